"""What the Bench shows of every part, in one file that only grows; it can always be rebuilt.

A line is a CRC-32 of the rest and ``[size, changed_ns, [card fields]]``; of several lines of one
part the last counts. The stamp (size and time) says which state of the part's document the line tells
of, so a line that was lost or never written is found out and only that part is read again.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Collection, Iterable
from dataclasses import astuple

from core.errors import StoreError
from core.store.folder import Folder, Stamp
from core.store.part import PartCard

_Entry = tuple[Stamp, PartCard]
_UNKNOWN = Stamp(-1, -1)
_SPARE_LINES = 1000


class Index:
    """Cards of all parts by id, each with the stamp of the document it was taken from."""

    def __init__(self, folder: Folder) -> None:
        """Read the index; torn, changed and foreign lines are passed over, their parts are read anew."""
        self._folder = folder
        lines = _read(folder)
        entries = [entry for line in lines if (entry := _entry(line)) is not None]
        self._entries: dict[str, _Entry] = {card.id: (stamp, card) for stamp, card in entries}
        self._lines = len(lines)
        self._has_gone = False

    def cards(self) -> list[PartCard]:
        """All cards, in no order that means anything."""
        return [card for _, card in self._entries.values()]

    def __contains__(self, part_id: str) -> bool:
        """Whether there is a card of this part."""
        return part_id in self._entries

    def ids(self) -> set[str]:
        """The parts that have a card."""
        return set(self._entries)

    def name(self, part_id: str) -> str:
        """Name of a part as last known, empty when it is not known."""
        entry = self._entries.get(part_id)
        return "" if entry is None else entry[1].name

    def is_current(self, part_id: str, stamp: Stamp) -> bool:
        """Whether the card was taken from the document that has this stamp."""
        entry = self._entries.get(part_id)
        return entry is not None and entry[0] == stamp

    def record(self, cards: Collection[PartCard]) -> None:
        """Take over new cards: one line each, however many parts there are."""
        entries = {card.id: (_UNKNOWN, card) for card in cards}
        try:
            for card in cards:
                entries[card.id] = (self._folder.stamp(card.id), card)
            self._folder.extend_index(_lines(entries.values()))
        except StoreError:
            # The parts themselves are safe on disk; at the next opening the stamps tell what is missing.
            self._lines -= len(cards)
        self._entries.update(entries)
        self._lines += len(cards)

    def forget(self, part_ids: Iterable[str]) -> None:
        """Drop the cards of parts that cannot be shown; ``tidy`` takes them out of the file."""
        for part_id in part_ids:
            if self._entries.pop(part_id, None) is not None:
                self._has_gone = True

    def tidy(self) -> None:
        """Write the file anew when parts are gone or most lines no longer count; never while logging."""
        if not self._has_gone and self._lines <= 2 * len(self._entries) + _SPARE_LINES:
            return
        try:
            self._folder.write_index(_lines(self._entries.values()))
        except StoreError:
            # A long index says the same as a short one; the next opening tries again.
            return
        self._lines = len(self._entries)
        self._has_gone = False


def _read(folder: Folder) -> list[bytes]:
    try:
        return folder.read_index().splitlines()
    except StoreError:
        # As good as no index: all parts are read, and the file is written anew.
        return []


def _lines(entries: Iterable[_Entry]) -> bytes:
    return b"".join(_line(stamp, card) for stamp, card in entries)


def _line(stamp: Stamp, card: PartCard) -> bytes:
    text = json.dumps([stamp.size, stamp.changed_ns, astuple(card)], separators=(",", ":")).encode("ascii")
    return b"%08x %b\n" % (zlib.crc32(text), text)


def _entry(line: bytes) -> _Entry | None:
    seal, _, text = line.partition(b" ")
    if seal != b"%08x" % zlib.crc32(text):
        return None
    size, changed_ns, fields = json.loads(text)
    return Stamp(size, changed_ns), PartCard(*fields)
