"""What ``gapwright check`` prints: of every part, whether its record is as it was written."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

import core

Checked = tuple[list[str], bool]
"""lines to print, and whether all is as it was written"""


def of_shop(shop: core.Shop) -> Checked:
    """Every part of a shop."""
    lines, whole, count = [], True, 0
    for card, seals in shop.check_seals():
        count += 1
        whole = whole and not seals.broken
        lines += _part_lines(f"{card.name or 'A part without a name'} ({card.id})", seals)
    for damage in shop.damaged():
        whole = False
        lines.append(f"{damage.name or 'A part without a name'} ({damage.part_id}): {damage.what}")
        lines += [f"  {broken.what}" for broken in damage.broken]
    return [*lines, _counted(count, whole)], whole


def of_documents(documents: Mapping[str, bytes]) -> Checked:
    """Plain documents by the name of their file. Raises core.InputError for one that is none."""
    lines, whole = [], True
    for name, text in documents.items():
        document = _document(name, text)
        seals = core.check_seals(document["job"], document.get("events") or [])
        whole = whole and not seals.broken
        lines += _part_lines(name, seals)
    return lines, whole


def _part_lines(name: str, seals: core.Seals) -> list[str]:
    last = f", last seal {core.short_seal(seals.last)}" if seals.last else ""
    return [f"{name}: {seals.words}{last}", *(f"  {text}" for text in _named(seals))]


def _named(seals: core.Seals) -> Iterator[str]:
    yield from (broken.what for broken in seals.broken)
    if seals.unsealed:
        many = "entry carries" if seals.unsealed == 1 else "entries carry"
        yield f"The first {seals.unsealed} {many} no seal: nothing can be said of them before that"


def _document(name: str, text: bytes) -> dict[str, Any]:
    """The document as it stands: what is wrong with its job or its log is no matter here."""
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise core.InputError(name, "the file", "JSON is wanted") from error
    if not isinstance(found, dict) or "job" not in found or not isinstance(found.get("events", []), list):
        raise core.InputError(name, "the file", "an object with schema, job and events is wanted")
    return found


def _counted(parts: int, whole: bool) -> str:
    end = "all as they were written" if whole else "not all as they were written"
    return f"{parts} part{'' if parts == 1 else 's'} read, {end}"
