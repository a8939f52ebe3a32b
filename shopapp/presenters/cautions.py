"""The cautions: acknowledged once before the first pass of a part, and always one touch away."""

from __future__ import annotations

from typing import Any

import core
from shopapp.cautions import CAUTIONS
from shopapp.presenters import wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import CautionsView


def cautions_understood() -> dict[str, Any]:
    """For the log of a part: its operator read them."""
    return {**core.note("Cautions read and understood"), "cautions": "understood"}


class CautionsPresenter(Presenter[CautionsView]):
    """Keys: understood (while it is needed), close."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {"understood": self._understood, "close": lambda _: self._back()}

    def view(self, go: str = "") -> CautionsView:
        """All cautions; with the key to acknowledge them while the open part needs that."""
        needed, job = self._needed(), self._job()
        where = "Every part" if job is None else job.name
        keys = (
            (Key("understood", "Read and understood", main=True), Key("close", "Not now"))
            if needed
            else (Key("close", "Close", main=True),)
        )
        return CautionsView(
            Header(f"Cautions, {where}", unit="", back=self._back()),
            (*CAUTIONS, *_of_the_metal(job)),
            needed,
            keys,
            complaint=self.complaint,
            go=go,
        )

    def _job(self) -> core.Job | None:
        """The job being set up that a trial is for, else that of the open part."""
        session = self.session
        return session.offcut_of or (session.job if session.part_id else None)

    def _needed(self) -> bool:
        if self.session.offcut_of is not None or not self.session.part_id:
            return not trial_cautions_read(self.session)
        standing = self.session.standing
        return not standing.cautions_read and not standing.closed

    def _back(self) -> str:
        if self.session.offcut_of is not None:
            return "trial"
        return "part" if self.session.part_id else "bench"

    def _understood(self, _: str) -> str:
        if not self._needed():
            return self._back()
        if self.session.offcut_of is not None:
            self.session.understood = self.session.offcut_of.metal.name
            return "trial"
        self.session.log(cautions_understood())
        return "pass_card"


def trial_cautions_read(session: Session) -> bool:
    """Whether they were understood before a trial: in the set-up once for a metal, of a part once for all."""
    if session.offcut_of is not None:
        return session.understood == session.offcut_of.metal.name
    return not session.part_id or session.standing.cautions_read


def _of_the_metal(job: core.Job | None) -> tuple[tuple[str, str], ...]:
    """What to watch for with the metal of this job."""
    if job is None or not job.metal.watch:
        return ()
    return ((wording.capital(job.metal.name), " ".join(job.metal.watch)),)
