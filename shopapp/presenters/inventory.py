"""All that the shop owns: metals, limits, tool sets, machines, how its metals answered; forgetting one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import core
from shopapp.presenters import belongings, calibrations, inventory_words, responses, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.inventory_views import InventoryRow, InventoryView
from shopapp.presenters.metal_views import FigureRow
from shopapp.presenters.pieces import PLAIN, TODO, Header, Key
from shopapp.presenters.session import Session

GROUPS = {
    "metals": "Metals",
    "tools": "Tool sets",
    "machines": "Machines",
    "gauges": "Gauges",
    "responses": "Responses",
}
EMPTY = {
    "metals": "No own figures and no own limits of a metal are kept yet. While a part is set up: step "
    "Section, key The metal, Own figures, then Keep for the shop.",
    "tools": "No tool set is kept yet. Touch New tool set, or while a part is set up: step Tool, give the "
    "set a name, then Keep tool set.",
    "machines": "No machine is kept yet. Touch New machine, or while a part is set up: step Tool, give the "
    "machine a name, then Keep machine.",
    "gauges": "No gauge is kept yet. Touch New gauge: name it, say how well it reads, and when it was "
    "calibrated.",
    "responses": "Nothing is known yet of how a metal answers. Make a trial on an offcut and keep it: key "
    "Trial strip, on the plan of a new part or on a part before its first pass. Every part that is signed "
    "off adds what it taught.",
}
WORDS = {
    "metals": "Own metal",
    "limits": "Own limits of",
    "tools": "Tool set",
    "machines": "Machine",
    "gauges": "Gauge",
}
TYPED_IN = {"gauges": "own_gauge", "tools": "own_tool", "machines": "own_machine"}
"""screen on which a thing of each kind is typed in and changed"""
AS_TYPED = "All of it is as the shop typed it. What is not listed is as the program has it."
FROM = {
    "limits": "These are the shop's own. Others follow from the metal's figures, or are common practice.",
    "tools": AS_TYPED,
    "machines": AS_TYPED,
    "gauges": "Whether it is calibrated is looked up here, on the day of each reading and sign-off.",
}
COPIED = "A part holds a copy of what it was begun with: a change here, or forgetting, changes no part."
STARTED = "Parts that started from it keep it; the next ones do without."


@dataclass(frozen=True)
class Thing:
    """One thing that the shop owns. kind : "metals", "limits", "tools", "machines", "gauges" or "responses";
    name : of what has one; known : of a response"""

    kind: str
    name: str
    known: core.Known | None = None


class InventoryPresenter(Presenter[InventoryView]):
    """Keys: show:GROUP, open:NUMBER in the list, new, change, forget, forget_it, keep_it, list."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._group = "metals"
        self._thing: Thing | None = None
        self._asked = False
        self.touches = {
            "show": self._show,
            "open": self._open,
            "change": self._change,
            "new": lambda _: self._typed_in(self._group, ""),
            "forget": lambda _: self._ask(True),
            "keep_it": lambda _: self._ask(False),
            "forget_it": self._forget,
            "list": lambda _: self._close(),
        }

    def view(self, go: str = "") -> InventoryView:
        """The list of one kind, or the one thing that is open."""
        things = self._things()
        if self._thing not in things:
            self._close()
        return self._list_view(things, go) if self._thing is None else self._thing_view(self._thing, go)

    def _list_view(self, things: tuple[Thing, ...], go: str) -> InventoryView:
        damaged = self._damaged()
        return InventoryView(
            header=Header("What the shop owns", unit="", back="bench"),
            keys=(*self._group_keys(), *self._new_keys()),
            listing=True,
            rows=tuple(self._row(i, thing) for i, thing in enumerate(things)),
            sentences=(COPIED,) if things else (EMPTY[self._group],),
            damaged=damaged,
            complaint=self.complaint,
            go=go,
        )

    def _thing_view(self, thing: Thing, go: str) -> InventoryView:
        return InventoryView(
            header=Header(wording.capital(_short(thing)), unit="", back="bench"),
            keys=self._asked_keys() if self._asked else self._thing_keys(thing),
            listing=False,
            figures=self._figures(thing),
            sentences=self._said(thing),
            question=f"Forget {_short(thing)}?" if self._asked else "",
            complaint=self.complaint,
            go=go,
        )

    def _said(self, thing: Thing) -> tuple[str, ...]:
        """Where the rest is from, and what a change here does to parts."""
        if thing.known is not None:
            return (STARTED,)
        if thing.kind != "metals":
            return (FROM[thing.kind], COPIED)
        like = belongings.owned(self.session).metals[thing.name].get("like")
        return (f"What is not listed is as in {like}.", COPIED) if like else (COPIED,)

    def _things(self) -> tuple[Thing, ...]:
        """Those of the group that is shown; of responses the newest first."""
        if self._group == "responses":
            entries = responses.library(self.session).entries
            by_day = sorted(entries, key=lambda known: known.day)
            return tuple(Thing("responses", known.source, known) for known in by_day[::-1])
        kinds = ("metals", "limits") if self._group == "metals" else (self._group,)
        owned = belongings.owned(self.session)
        return tuple(Thing(kind, name) for kind in kinds for name in getattr(owned, kind))

    def _damaged(self) -> tuple[str, ...]:
        """Sentences on what was kept of this group and cannot be read."""
        if self._group == "responses":
            left_out = responses.library(self.session).left_out
        else:
            kinds = ("metals", "limits", "owned") if self._group == "metals" else (self._group,)
            left_out = tuple(t for t in belongings.owned(self.session).left_out if t.startswith(kinds))
        return tuple(f"Kept, but cannot be read: {text}" for text in left_out)

    def _group_keys(self) -> tuple[Key, ...]:
        owned = belongings.owned(self.session)
        counts = {group: len(getattr(owned, group, ())) for group in GROUPS}
        counts["metals"] += len(owned.limits)
        counts["responses"] = len(responses.library(self.session).entries)
        return tuple(
            Key(f"show:{group}", f"{label} {counts[group]}", chosen=group == self._group)
            for group, label in GROUPS.items()
        )

    def _new_keys(self) -> tuple[Key, ...]:
        """Metals are kept where a part is set up, responses where one is tried or signed off."""
        if self._group not in TYPED_IN:
            return ()
        return (Key("new", f"New {WORDS[self._group].lower()}"),)

    def _thing_keys(self, thing: Thing) -> tuple[Key, ...]:
        change = ()
        if thing.kind in ("metals", "limits"):
            known = thing.name in belongings.owned(self.session).all_metals
            why = "on the screen of own figures" if known else "its metal is no longer kept"
            change = (Key("change", "Change", enabled=known, why=why),)
        if thing.kind in TYPED_IN:
            why = "also after a calibration" if thing.kind == "gauges" else "its name too"
            change = (Key("change", "Change", why=why),)
        forget = Key("forget", "Forget", why="it is asked once more")
        return (Key("list", "Back to the list", main=True), *change, forget)

    def _asked_keys(self) -> tuple[Key, ...]:
        return (Key("keep_it", "No, keep it", main=True), Key("forget_it", "Yes, forget it"))

    def _row(self, place: int, thing: Thing) -> InventoryRow:
        name = f"open:{place}"
        if thing.known is not None:
            label = f"{wording.capital(thing.known.source)}, {thing.known.day.isoformat()}"
            return InventoryRow(name, label, inventory_words.response_line(thing.known))
        if thing.kind == "gauges":
            words, past = calibrations.words(self.session, thing.name)
            return InventoryRow(name, f"Gauge, {words}", thing.name, TODO if past else PLAIN)
        held = wording.count(len(self._figures(thing)), "figure")
        return InventoryRow(name, f"{WORDS[thing.kind].removesuffix(' of')}, {held}", thing.name)

    def _figures(self, thing: Thing) -> tuple[FigureRow, ...]:
        owned = belongings.owned(self.session)
        if thing.known is not None:
            return inventory_words.response(thing.known, owned.tools)
        if thing.kind == "metals":
            return inventory_words.metal(thing.name, owned)
        document: Any = getattr(owned, thing.kind)[thing.name]
        told = inventory_words.limits if thing.kind == "limits" else inventory_words.equipment
        return told(document)

    def _show(self, group: str) -> None:
        self._close()
        self._group = group

    def _open(self, place: str) -> None:
        self._thing = self._things()[int(place)]

    def _close(self) -> None:
        self._thing, self._asked = None, False

    def _ask(self, asked: bool) -> None:
        self._asked = asked

    def _change(self, _: str) -> str:
        """On a screen of its own; of a metal with its figures and limits."""
        assert self._thing is not None
        if self._thing.kind in TYPED_IN:
            return self._typed_in(self._thing.kind, self._thing.name)
        self.session.metal_in_hand, self.session.metal_back = self._thing.name, "inventory"
        return "own_metal"

    def _typed_in(self, kind: str, name: str) -> str:
        self.session.thing_in_hand = name
        return TYPED_IN[kind]

    def _forget(self, _: str) -> None:
        """Once it was asked: what is open is kept no longer."""
        thing = self._thing
        if thing is None or not self._asked:
            raise core.InputError("forget", None, "first touch what is to be forgotten")
        if thing.known is not None:
            responses.forget(self.session, thing.known)
        else:
            belongings.forget(self.session, thing.kind, thing.name)
        self._close()


def _short(thing: Thing) -> str:
    if thing.known is not None:
        return f"{thing.known.source}, {inventory_words.bite(thing.known)}"
    return f"{WORDS[thing.kind].lower()} {thing.name}"
