"""Who works: the name that every entry is logged under, typed once and then chosen from those used before."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import OK, PLAIN, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.who_views import WhoRow, WhoView

WORKS, USED = "who_works", "who_worked"
"""Names in the shop's settings: of the one who works, "" for nobody named; of all who did, the last first"""

LONGEST, MOST = 40, 60
"""letters of a name, and names that are kept"""
SAID = (
    "Every pass, gap and check is logged under the name that is chosen here, until another one is. At "
    "sign-off it is proposed, and can be changed.",
    "What is logged already keeps its name.",
)
NOBODY = "nobody named: entries carry no name"


def working(settings: Any) -> str:
    """Name of who works at a shop with these settings, "" while nobody is named."""
    name = settings.get(WORKS)
    return name if isinstance(name, str) else ""


def used(settings: Any) -> tuple[str, ...]:
    """Names used before, the last one first."""
    names = settings.get(USED)
    return tuple(name for name in names if isinstance(name, str)) if isinstance(names, list) else ()


class WhoPresenter(Presenter[WhoView]):
    """Keys: take:NAME of one used before, take_typed, nobody, forget. The text field is the new name."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._typed = ""
        self.touches = {
            "take": self._take,
            "take_typed": lambda _: self._take(self._typed),
            "nobody": lambda _: self._nobody(),
            "forget": self._forget,
        }

    def change(self, _: str, text: str) -> WhoView:
        """The new name was typed into."""
        return self.attempt(self._type, text)

    def view(self, go: str = "") -> WhoView:
        """The names to choose from."""
        who = self.session.who
        why = "" if who else "nobody is named"
        return WhoView(
            header=Header("Who works", unit="", back="display"),
            rows=tuple(_row(name, name == who) for name in used(self.session.shop.settings)),
            typed=self._typed,
            sentences=SAID,
            keys=(
                Key("nobody", "No name", enabled=bool(who), why=why or "entries then carry none"),
                Key("forget", "Forget this name", enabled=bool(who), why=why or "it is offered no longer"),
            ),
            complaint=self.complaint,
            go=go,
        )

    def _type(self, text: str) -> None:
        self._typed = text[:LONGEST]

    def _take(self, name: str) -> str:
        """Work under this name from now on; the name goes to the front of those used."""
        name = " ".join(name.split())
        if not name:
            raise core.InputError("who", None, "a name is wanted, such as that on the time sheet")
        others = [other for other in used(self.session.shop.settings) if other != name]
        self.session.shop.settings.set(USED, [name, *others][:MOST])
        self._works(name)
        self._typed = ""
        return "bench"

    def _nobody(self) -> None:
        self._works("")

    def _forget(self, _: str) -> None:
        """One that was mistyped, or who works here no longer; entries keep it."""
        others = [other for other in used(self.session.shop.settings) if other != self.session.who]
        self.session.shop.settings.set(USED, others)
        self._works("")

    def _works(self, name: str) -> None:
        self.session.shop.settings.set(WORKS, name)
        self.session.who = name


def _row(name: str, now: bool) -> WhoRow:
    return WhoRow(f"take:{name}", "Works now" if now else "Worked before", name, OK if now else PLAIN)
