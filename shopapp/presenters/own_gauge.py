"""A gauge of the shop's own: what it reads, how well, and when it was calibrated."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters import belongings, wording
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.own_metal_views import OwnMetalView
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import with_unit
from shopapp.presenters.setup_views import FieldView

NAME = "name"
FIELDS = {  # name -> label, unit, what is written where nothing is typed
    NAME: ("Name", "", "such as dial 2"),
    "step": ("Smallest step, where it reads gaps", "mm", "such as 0.01; blank for one of checks alone"),
    "repeatability": ("Repeatability, standard deviation", "mm", "such as 0.02"),
    "largest": ("Largest gap that it reads", "mm", "such as 25"),
    "uncertainty": ("Standard uncertainty, by its calibration", "mm", "such as 0.005, or 0.05 deg"),
    "calibrated": ("Calibrated on", "", "year, month, day, such as 2026-11-25"),
    "interval_months": ("Holds for", "months", "such as 12"),
}
SAID = (
    "A gauge under a name that the program knows, such as feeler leaves, needs only what differs. One that "
    "reads checks alone, a micrometer or a protractor, needs its uncertainty.",
    "Once its last day is past, readings and sign-off are warned; nothing is refused.",
)


class OwnGaugePresenter(Presenter[OwnMetalView]):
    """Keys: keep, today. Fields: those of ``FIELDS``."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of: str | None = None
        self._texts: dict[str, str] = {}
        self.touches = {"keep": self._keep, "today": self._today}

    def change(self, name: str, text: str) -> OwnMetalView:
        """A field was typed into; the text is kept whether it is right or not."""
        return self.attempt(lambda typed: self._texts.update({name: typed}), text)

    def attempt(self, touch: Touch, rest: str) -> OwnMetalView:
        """As in the base, for the gauge that is in hand now."""
        self._take()
        return super().attempt(touch, rest)

    def view(self, go: str = "") -> OwnMetalView:
        """All fields, and what is wrong with them."""
        self._take()
        wrong = self._wrong()
        shown = wrong if self._texts.get(NAME, "").strip() else {}
        why = "something is wrong" if wrong else "for the next jobs"
        return OwnMetalView(
            header=Header("A gauge of our own", unit="", back="inventory"),
            fields=tuple(self._field(name, shown) for name in FIELDS),
            sentences=SAID,
            keys=(
                Key("keep", "Keep for the shop", True, not wrong, why=why),
                Key("today", "Calibrated today", why="puts today's day in"),
            ),
            complaint=self.complaint,
            go=go,
        )

    def _take(self) -> None:
        """Begin with the gauge in hand, once."""
        if self._of == self.session.gauge_in_hand:
            return
        self._of = self.session.gauge_in_hand
        given = belongings.owned(self.session).gauges.get(self._of or "", {})
        self._texts = {name: f"{given[name]}" for name in FIELDS if name in given}

    def _document(self) -> dict[str, Any]:
        typed = {name: self._texts.get(name, "").strip() for name in FIELDS}
        return {name: _with_unit(name, text) for name, text in typed.items() if text}

    def _wrong(self) -> dict[str, str]:
        try:
            core.owned_from(None).adding("gauges", self._document())
        except core.InputError as error:
            return {error.field.removeprefix("gauges").strip("."): wording.sentence(error)}
        return {}

    def _field(self, name: str, wrong: dict[str, str]) -> FieldView:
        label, unit, hint = FIELDS[name]
        typed = self._texts.get(name, "")
        own = bool(typed) and not typed.strip()[-1:].isdigit()
        kind = "number" if name not in (NAME, "calibrated") else "text"
        return FieldView(name, label, kind, typed, "" if own else unit, hint, complaint=wrong.get(name, ""))

    def _today(self, _: str) -> None:
        self._texts["calibrated"] = self.session.now().date().isoformat()

    def _keep(self, _: str) -> str:
        """For the next jobs, in place of the one that was in hand."""
        document = self._document()
        belongings.keep(self.session, "gauges", document)
        if self._of and self._of != document[NAME]:
            belongings.forget(self.session, "gauges", self._of)
        self._of, self.session.gauge_in_hand = None, ""
        self._texts = {}
        return "inventory"


def _with_unit(name: str, text: str) -> str:
    unit = FIELDS[name][1]
    return with_unit(text, unit) if unit == "mm" else text
