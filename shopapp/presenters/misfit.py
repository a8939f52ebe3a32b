"""The part does not fit tool or machine: what, by how much, what would; set up anew, or go on knowingly."""

from __future__ import annotations

import core
from shopapp.presenters import sets, steps, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import CautionsView

HEADINGS = ("What does not fit", "And")
FITS = ("It fits", "Tool and machine can run what is planned.")
HELP = (
    (
        "What can be done",
        "Another tool set or machine, or other metal: set the part up with it. What is on the bench stays "
        "there. Or a limit was entered wrongly: put it right under “What we own” for the next parts, and run "
        "this one all the same.",
    ),
    (
        "Before you run it all the same",
        "Force and reach are limits of safety too: look at the machine's own plate and instructions. That "
        "you went on is kept in the log.",
    ),
)


class MisfitPresenter(Presenter[CautionsView]):
    """Keys: anew (the same part set up with other things), understood (run all the same), close."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {
            "anew": self._anew,
            "understood": self._run_all_the_same,
            "close": lambda _: "part",
        }

    def view(self, go: str = "") -> CautionsView:
        """Every misfit with its amount; nothing to go on with once there is none."""
        unfit = steps.misfits(self.session.standing)
        told = [(HEADINGS[k > 0], wording.capital(said)) for k, said in enumerate(unfit)]
        keys = _keys(self.busy()) if unfit else (Key("close", "Close", main=True),)
        return CautionsView(
            Header(f"Does not fit, {self.where()}", unit="", back="part"),
            (*told, *HELP) if unfit else (FITS,),
            needed=bool(unfit),
            keys=keys,
            complaint=self.complaint,
            go=go,
        )

    def _anew(self, _: str) -> str:
        session = self.session
        session.like = sets.with_id(dict(session.job.document), session.part_id)
        return "setup"

    def _run_all_the_same(self, _: str) -> str:
        unfit = steps.misfits(self.session.standing)
        if not unfit or self.session.stale:
            raise core.InputError("misfit", None, "wait until it is known what does not fit")
        self.session.log(core.run_all_the_same(unfit))
        return "pass_card" if self.session.standing.cautions_read else "cautions"


def _keys(busy: str) -> tuple[Key, ...]:
    return (
        Key("anew", "Set up anew", main=True, why="the same part with another tool, machine or metal"),
        Key("understood", "Run all the same", enabled=not busy, why=busy or "it is logged; the limits stay"),
        Key("close", "Not now"),
    )
