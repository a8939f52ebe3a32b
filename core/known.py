"""A shop's own knowledge of how its metals answer its tools: entries, and the library that they make.

An entry holds what one stroke did, not how that stood to a first guess, so that it outlives the guess.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from core.errors import InputError, NewerDocument
from core.events import ACTIONS
from core.jobfields import Fields
from core.jobtypes import ResponsePrior
from core.jsontext import json_ready

SCHEMA = 2  # 1 had neither the ram setting nor the tool set
MOST_KEPT = 200  # entries; the oldest go first
TRIAL = "trial on an offcut"
LARGEST_STRAIN = 0.2  # of one stroke; a tool that does more tears the edge (common practice, no source)
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


@dataclass(frozen=True)
class Known:
    """How one metal answered one action and bite of one tool.

    metal : its name; thickness_mm : of the worked edge; patch_length_mm, patch_depth_mm, face : the tool;
    strength : of the bite against bite 1.0; strokes : on each spot in one pass, whole or an average;
    strain : edge strain that each of them did on the patch of soft metal, on average, > 0;
    sd : standard deviation of ln strain by what was measured; source : "trial on an offcut" or "finished
    part ..."; day : when; machine : where, "" if not said; part : id of the finished part, "" for a trial;
    setting, setting_mm : of the ram for the bite, as it is written and where it is a length; tool : name of
    the set, "" for one without a name; None where nobody said
    """

    metal: str
    thickness_mm: float
    patch_length_mm: float
    patch_depth_mm: float
    face: str
    action: str
    bite: str
    strength: float
    strokes: float
    strain: float
    sd: float
    source: str
    day: date
    machine: str = ""
    part: str = ""
    setting: str | None = None
    setting_mm: float | None = None
    tool: str | None = None

    def __str__(self) -> str:
        """In words, "trial on an offcut of aluminium 5754-O, 1.5 mm, shrink, heavy bite, 2 May 2026"."""
        day = f"{self.day.day} {_MONTHS[self.day.month - 1]} {self.day.year}"
        what = f"{self.source} of {self.metal}, {self.thickness_mm:.3g} mm, {self.action}, {self.bite} bite"
        return ", ".join([what, *([f"on {self.machine}"] if self.machine else []), day])

    def against(self, strain_per_stroke: float) -> float:
        """Its strain against what so many strokes of this bite are expected to do.

        strain_per_stroke : first guess for a single stroke at bite 1.0
        """
        prior = ResponsePrior()
        bite = self.strength ** (1.0 + prior.bite_exponent)
        expected = strain_per_stroke * bite * self.strokes ** (prior.exponent - 1.0)
        return float(self.strain / expected)

    @property
    def document(self) -> dict[str, Any]:
        """JSON-ready; :func:`known_from` reads it."""
        return {"schema": SCHEMA, **asdict(self), "day": self.day.isoformat()}


def known_from(document: Any, path: str = "response") -> Known:
    """An entry from its document. Raises InputError naming the field, NewerDocument for a later form."""
    fields = Fields(document, path)
    schema = fields.need("schema")
    if isinstance(schema, int) and not isinstance(schema, bool) and schema > SCHEMA:
        raise NewerDocument(fields.path("schema"), schema, f"{SCHEMA} or less is what this version reads")
    if schema not in range(1, SCHEMA + 1) or isinstance(schema, bool):
        raise InputError(fields.path("schema"), schema, f"1 to {SCHEMA} is wanted")
    known = Known(
        metal=fields.text("metal"),
        thickness_mm=fields.length_mm("thickness"),
        patch_length_mm=fields.length_mm("patch_length"),
        patch_depth_mm=fields.length_mm("patch_depth"),
        face=fields.text("face"),
        action=fields.choice("action", dict.fromkeys(ACTIONS)),
        bite=fields.text("bite"),
        strength=fields.number("strength", None, 0.0, 10.0),
        strokes=fields.number("strokes", None, 0.0, 1000.0),
        strain=fields.number("strain", None, 0.0, LARGEST_STRAIN),
        sd=fields.number("sd", None, 0.0, 2.0),
        source=fields.text("source"),
        day=fields.day("day"),
        machine=_perhaps(fields, "machine"),
        part=_perhaps(fields, "part"),
        setting=fields.text("setting") if fields.has("setting") else None,
        setting_mm=fields.number("setting_mm", None, -0.1, 500.0) if fields.has("setting_mm") else None,
        tool=_perhaps(fields, "tool") if fields.has("tool") else None,
    )
    fields.finish()
    return known


@dataclass(frozen=True)
class Library:
    """What a shop knows. entries : oldest first; left_out : a sentence for each entry that cannot be read

    ``stored`` : every entry as it was kept, unreadable ones too: they are handed on as they are.
    """

    entries: tuple[Known, ...] = ()
    left_out: tuple[str, ...] = ()
    stored: tuple[Any, ...] = field(default=(), repr=False)

    def adding(self, more: Iterable[Known], instead_of: Known | None = None) -> Library:
        """With these as well; what came from the same finished parts goes, and of too many the oldest.

        instead_of : an entry that goes too, where it is still there
        """
        new = list(more)
        parts = {known.part for known in new if known.part}
        kept = [known for known in self.entries if known.part not in parts]
        if instead_of in kept:
            kept.remove(instead_of)
        return self._holding([*kept, *new][-MOST_KEPT:])

    def without(self, entry: Known) -> Library:
        """Without this entry, once; where it is not there, the same. What cannot be read is handed on."""
        kept = list(self.entries)
        if entry in kept:
            kept.remove(entry)
        return self._holding(kept)

    def _holding(self, entries: list[Known]) -> Library:
        odd = [entry for entry in self.stored if not isinstance(_read(entry), Known)]
        return library_from([*odd, *(known.document for known in entries)])


def library_from(stored: Any) -> Library:
    """The library from what was kept of it, a list of documents; None: an empty one. Never raises.

    What is damaged, or of a later form, is left out and named.
    """
    if stored is None:
        return Library()
    rows = stored if isinstance(stored, list) else [stored]
    read = [_read(row, f"responses[{i}]") for i, row in enumerate(rows)]
    return Library(
        tuple(known for known in read if isinstance(known, Known)),
        tuple(str(error) for error in read if not isinstance(error, Known)),
        tuple(rows),
    )


def _read(row: Any, path: str = "response") -> Known | InputError:
    try:
        return known_from(json_ready(row, path), path)
    except InputError as error:
        return error


def _perhaps(fields: Fields, name: str) -> str:
    """A text that may be empty."""
    return fields.text(name) if fields.get(name, "") != "" else ""
