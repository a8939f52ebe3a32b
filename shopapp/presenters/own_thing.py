"""A thing that the shop owns, typed in on a screen of its own: a gauge, a tool set or a machine."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping
from typing import Any, ClassVar

import core
from shopapp.presenters import belongings, mistakes, setup_machine, setup_rows
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.own_metal_views import OwnMetalView
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import Field, Table

NAME = "name"


class OwnThingPresenter(Presenter[OwnMetalView]):
    """kind : as :class:`core.Owned` has it; prefix : of the names of its fields; title, said : what stands
    over and under them; table : that it has besides. Keys: keep, choose:FIELD=TEXT, row_add,
    row_drop:INDEX."""

    kind: ClassVar[str]
    prefix: ClassVar[str] = ""
    title: ClassVar[str]
    said: ClassVar[tuple[str, ...]]
    table: ClassVar[Table | None] = None

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of: str | None = None
        self._known: Any = None
        self._draft = Draft()
        self.touches = {
            "keep": self._keep,
            "choose": lambda rest: self._type(*rest.split("=", 1)),
            "row_add": lambda _: self._set(setup_rows.with_row(self._draft, self._rows)),
            "row_drop": lambda i: self._set(setup_rows.without_row(self._draft, self._rows, int(i))),
        }

    @abstractmethod
    def fields(self) -> tuple[Field, ...]:
        """What is asked for, in its order, the name first."""

    @abstractmethod
    def taken(self, document: Mapping[str, Any]) -> Draft:
        """A document of the shop's as it is typed."""

    @abstractmethod
    def document(self, draft: Draft, known: Mapping[str, Any]) -> dict[str, Any]:
        """What is typed as the shop keeps it; known : as it was kept before."""

    def change(self, name: str, text: str) -> OwnMetalView:
        """A field was typed into; the text is kept whether it is right or not."""
        return self.attempt(lambda typed: self._type(name, typed), text)

    def attempt(self, touch: Touch, rest: str) -> OwnMetalView:
        """As in the base, for the thing that is in hand now."""
        self._take()
        return super().attempt(touch, rest)

    def view(self, go: str = "") -> OwnMetalView:
        """All fields, and what is wrong with them."""
        self._take()
        wrong = self._wrong()
        shown = wrong if self._name else {}
        why = "something is wrong" if wrong else "for the next parts"
        return OwnMetalView(
            header=Header(self.title, unit="", back="inventory"),
            fields=tuple(setup_rows.field_view(self._draft, spec, shown) for spec in self.fields()),
            table=None if self.table is None else setup_rows.table_view(self._draft, self.table, shown),
            sentences=self.said,
            keys=(Key("keep", "Keep for the shop", True, not wrong, why=why), *self.further_keys()),
            complaint=self.complaint
            or next((text for name, text in shown.items() if not self._has(name)), ""),
            go=go,
        )

    def further_keys(self) -> tuple[Key, ...]:
        """Keys besides."""
        return ()

    @property
    def _rows(self) -> Table:
        assert self.table is not None
        return self.table

    @property
    def _name(self) -> str:
        return self._draft.texts.get(self.prefix + NAME, "").strip()

    def _has(self, name: str) -> bool:
        """Whether a complaint has a place of its own."""
        cell = self.table is not None and name.startswith(self.table.name)
        return cell or any(spec.name == name for spec in self.fields())

    def _set(self, draft: Draft) -> None:
        self._draft = draft

    def _type(self, name: str, text: str) -> None:
        at = None if self.table is None else setup_rows.cell_of(self.table, name)
        draft = self._draft
        self._draft = (
            draft.with_text(name, text) if at is None else setup_rows.typed_into(draft, self._rows, at, text)
        )

    def _take(self) -> None:
        """Begin with the thing in hand, once, and anew where what is kept of it was changed meanwhile."""
        in_hand = self.session.thing_in_hand
        known = getattr(belongings.owned(self.session), self.kind).get(in_hand, {})
        if (self._of, self._known) != (in_hand, known):
            self._of, self._known, self._draft = in_hand, known, self.taken(known)

    def _wrong(self) -> dict[str, str]:
        """Sentence by field: what the shop cannot keep as it is typed."""
        try:
            core.owned_from(None).adding(self.kind, self.document(self._draft, self._known))
        except core.InputError as error:
            path = self.prefix + error.field.removeprefix(self.kind).strip(".")
            return {setup_machine.place(setup_rows.bite_cell(self._draft, path)): mistakes.sentence(error)}
        return {}

    def _keep(self, _: str) -> str:
        """For the next jobs, in place of the one that was in hand."""
        belongings.keep(self.session, self.kind, self.document(self._draft, self._known))
        if self._of and self._of != self._name:
            belongings.forget(self.session, self.kind, self._of)
        self._of, self.session.thing_in_hand = None, ""
        return "inventory"
