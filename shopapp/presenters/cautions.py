"""The cautions: acknowledged once before the first pass of a part, and always one touch away."""

from __future__ import annotations

import core
from shopapp.cautions import CAUTIONS
from shopapp.presenters import wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import CautionsView


class CautionsPresenter(Presenter[CautionsView]):
    """Keys: understood (while it is needed), close."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {"understood": self._understood, "close": lambda _: self._back()}

    def view(self, go: str = "") -> CautionsView:
        """All cautions; with the key to acknowledge them while the open part needs that."""
        needed = self._needed()
        where = self.where() if self.session.part_id else "Every part"
        keys = (
            (Key("understood", "Read and understood", main=True), Key("close", "Not now"))
            if needed
            else (Key("close", "Close", main=True),)
        )
        return CautionsView(
            Header(f"Cautions, {where}", unit="", back=self._back()),
            (*CAUTIONS, *self._of_the_metal()),
            needed,
            keys,
            complaint=self.complaint,
            go=go,
        )

    def _of_the_metal(self) -> tuple[tuple[str, str], ...]:
        """What to watch for with the metal of the open part."""
        if not self.session.part_id or not self.session.job.metal.watch:
            return ()
        metal = self.session.job.metal
        return ((wording.capital(metal.name), " ".join(metal.watch)),)

    def _needed(self) -> bool:
        if not self.session.part_id:
            return False
        standing = self.session.standing
        return not standing.cautions_read and not standing.closed

    def _back(self) -> str:
        return "part" if self.session.part_id else "bench"

    def _understood(self, _: str) -> str:
        if not self._needed():
            return self._back()
        self.session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
        return "pass_card"
