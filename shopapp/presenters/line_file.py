"""A target line from a file: chosen by name, looked at to scale, then taken into the set-up."""

from __future__ import annotations

from math import degrees, isinf

import core
from shopapp.dropped import Dropped
from shopapp.presenters import mistakes, outlines, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.inventory_views import InventoryRow
from shopapp.presenters.line_file_views import LineFileView
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session

TRACED = "0.3 mm"
"""how far traced points may be off, until the set-up says better"""
ENDINGS = ", ".join(core.LINE_FILE_FORMS)
EMPTY = "There is no file with a line yet. Put files ending in {} into the folder {}, then look again."
SIDES = {
    "line": ("the worked edge", "The worked edge is drawn bold: from start to end it lies at the left hand."),
    "outline": (
        "the plate",
        "The plate is drawn bold, at the left hand: where the line turns left, the edge bulges out.",
    ),
    "shape": (
        "",
        "It starts at the pole, in the middle of the dish, and ends at the rim. A table gives the distance "
        "from the axis and the height.",
    ),
}
"""by the part of the document that is taken: what is drawn bold, and how it is walked"""


class LineFilePresenter(Presenter[LineFileView]):
    """Keys: open:NUMBER in the list, again, unit:UNIT, next, other_end, traced, take, list."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._files: tuple[Dropped, ...] = ()
        self._name = self._wrong = ""
        self._content = b""
        self._unit: str | None = None
        self._sd: str | None = None
        self._asked: core.UnitWanted | None = None
        self._found: core.LineFile | None = None
        self._place, self._turned = 0, False
        self.touches = {
            "open": self._open,
            "again": lambda _: self._close(),
            "list": lambda _: self._close(),
            "unit": self._say_unit,
            "next": self._next,
            "other_end": self._other_end,
            "traced": self._trace,
            "take": self._take,
        }

    def view(self, go: str = "") -> LineFileView:
        """The list of files, or the file that is open."""
        if not self._name:
            return self._list_view(go)
        if self._found is None:
            return self._unread_view(go)
        return self._line_view(self._found, go)

    def _list_view(self, go: str) -> LineFileView:
        try:
            self._files = self.session.folders.lines.listing(tuple(core.LINE_FILE_FORMS))
            wrong = ""
        except OSError as error:
            self._files, wrong = (), f"The folder cannot be read: {error.strerror or error}"
        told = EMPTY.format(ENDINGS, self.session.folders.lines.place)
        return LineFileView(
            header=Header("Line from a file", unit="", back="setup"),
            keys=(Key("again", "Look again", main=True, why="for files that were put there meanwhile"),),
            listing=True,
            rows=tuple(
                InventoryRow(f"open:{i}", f"{one.changed:%Y-%m-%d %H:%M}", one.name)
                for i, one in enumerate(self._files)
            ),
            warnings=(wrong,) if wrong else (),
            sentences=() if self._files else (told,),
            complaint=self.complaint,
            go=go,
        )

    def _unread_view(self, go: str) -> LineFileView:
        """A file that says no unit, or that cannot be used."""
        sizes = {}
        if self._asked is not None:
            in_mm = {unit: core.parse_length_mm(f"1 {unit}", "unit") for unit in core.LINE_UNITS}
            sizes = {unit: self._asked.size_in(mm) for unit, mm in in_mm.items()}
        units = tuple(Key(f"unit:{unit}", unit, why=size) for unit, size in sizes.items())
        return LineFileView(
            header=Header(self._name, unit="", back="setup"),
            keys=(*units, Key("list", "Back to the list", main=not units)),
            listing=False,
            warnings=(self._wrong,) if self._wrong else (),
            facts=tuple(Fact(f"In {unit} it would be", size) for unit, size in sizes.items()),
            question="The file says no unit: which is it?" if units else "",
            complaint=self.complaint,
            go=go,
        )

    def _line_view(self, found: core.LineFile, go: str) -> LineFileView:
        line = self._line(found)
        bold, walked = SIDES[self.session.line_part]
        refused = tuple(f"Not to be taken: {label}; {why}" for label, why in found.refused)
        return LineFileView(
            header=Header(self._name, unit="", back="setup"),
            keys=self._keys(found),
            listing=False,
            outline=outlines.of_points(line.outline, bold),
            facts=self._facts(found, line),
            warnings=line.warnings,
            sentences=(walked, *found.notes, *refused),
            complaint=self.complaint,
            go=go,
        )

    def _keys(self, found: core.LineFile) -> tuple[Key, ...]:
        count = len(found.lines)
        several = (Key("next", f"Next of {count}", why="lines in this file"),) if count > 1 else ()
        traced = ()
        if found.form == "table":
            why = f"smooth them; each may be off by {TRACED}"
            traced = (Key("traced", "Traced points", chosen=self._sd is not None, why=why),)
        return (
            Key("take", "Take this line", main=True),
            *several,
            Key("other_end", "Other end", why="walked from there, with the other side at the left hand"),
            *traced,
            Key("list", "Back to the list"),
        )

    def _facts(self, found: core.LineFile, line: core.FileLine) -> tuple[Fact, ...]:
        side = "left" if line.turn_rad >= 0.0 else "right"
        bent = not isinf(line.tightest_mm)
        radius = f"{wording.length(line.tightest_mm)}, {wording.length(line.tightest_at_mm)} along"
        several = f", {self._place + 1} of {len(found.lines)}" if len(found.lines) > 1 else ""
        return (
            Fact("Length", wording.length(line.length_mm), big=True),
            Fact("Tightest radius", radius if bent else "straight"),
            Fact("Turns in all", f"{degrees(abs(line.turn_rad)):.1f}° to the {side}"),
            Fact("Points", str(line.points)),
            Fact("Unit", found.unit),
            Fact("In the file", f"{line.label}{several}"),
        )

    def _line(self, found: core.LineFile) -> core.FileLine:
        line = found.lines[self._place]
        return line.other_end() if self._turned else line

    def _open(self, place: str) -> None:
        name = self._files[int(place)].name
        try:
            content = self.session.folders.lines.read(name)
        except OSError as error:
            raise core.InputError(name, name, f"it cannot be read: {error.strerror or error}") from error
        self._name, self._content, self._unit, self._sd = name, content, None, None
        self._read()

    def _read(self) -> None:
        self._found, self._asked, self._wrong = None, None, ""
        self._place, self._turned = 0, False
        try:
            self._found = core.read_line_file(self._content, self._name, self._unit, self._sd)
        except core.UnitWanted as error:
            self._asked = error
        except core.InputError as error:
            self._wrong = f"{error.field}: {mistakes.sentence(error)}"

    def _close(self) -> None:
        self._name, self._content, self._found, self._asked, self._wrong = "", b"", None, None, ""

    def _say_unit(self, unit: str) -> None:
        self._unit = unit
        self._read()

    def _next(self, _: str) -> None:
        self._place = (self._place + 1) % len(self._must().lines)
        self._turned = False

    def _other_end(self, _: str) -> None:
        self._must()
        self._turned = not self._turned

    def _trace(self, _: str) -> None:
        """As traced points, or as offsets again; too few for that leave all as it was."""
        found, turned = self._must(), self._turned
        sd = TRACED if self._sd is None else None
        self._found = core.read_line_file(self._content, self._name, self._unit, sd)
        self._sd, self._turned = sd, turned
        self._place = min(self._place, len(found.lines) - 1)

    def _take(self, _: str) -> str:
        self.session.line_taken = core.line_as(self.session.line_part, self._line(self._must()))
        self._close()
        return "setup"

    def _must(self) -> core.LineFile:
        if self._found is None:
            raise core.InputError("file", None, "first touch a file with a line")
        return self._found
