"""A file with a target line: what is in it, to be looked at before anything is taken."""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.dimensions import LENGTH, own_factor
from core.errors import InputError
from core.geometry.points import chord_lengths
from core.jobfields import chosen
from core.linefiles.drawn import Drawn
from core.linefiles.dxf import read_dxf
from core.linefiles.errors import UnitWanted, at_line
from core.linefiles.figure import extent, joined
from core.linefiles.shape import FileLine, figure_line, table_line
from core.linefiles.svg import read_svg
from core.linefiles.table import Table, read_table
from core.units import parse_length_mm

LINE_FILE_FORMS = {
    "csv": "a table of points",
    "tsv": "a table of points",
    "txt": "a table of points",
    "dxf": "a drawing",
    "svg": "a drawing",
}
"""by the ending of the file's name"""
MOST_BYTES = 10_000_000
MOST_LINES = 20
TABLE = "table"
MOST_SD_MM = 20.0


@dataclass(frozen=True)
class LineFile:
    """What a file holds.

    form : "table", "dxf" or "svg"; unit : of its numbers, as said or found; lines : each fit to be taken, the
    longest first; refused : (label, why) of those that are not; notes : sentences
    """

    name: str
    form: str
    unit: str
    lines: tuple[FileLine, ...]
    refused: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def read_line_file(
    content: bytes, name: str, unit: str | None = None, tracing_sd: str | None = None
) -> LineFile:
    """The lines in a file. name : with its ending, one of ``LINE_FILE_FORMS``; unit : of its numbers, goes
    before what the file says; tracing_sd : for points traced off an original, how far one may be off.

    Raises UnitWanted where the unit is said nowhere; InputError, naming the line of the file, for what cannot
    be used, and when none of its lines can.
    """
    form = chosen(name.rpartition(".")[2].lower(), name, LINE_FILE_FORMS)
    if unit is not None:
        chosen(unit, "unit", LENGTH.spellings)
    if len(content) > MOST_BYTES:
        raise InputError(name, f"{len(content)} bytes", f"at most {MOST_BYTES} bytes are wanted")
    if form not in ("dxf", "svg"):
        sd = None if tracing_sd is None else _sd_mm(tracing_sd)
        return _of_table(read_table(_decoded(content, name), name, unit), name, unit, sd)
    if tracing_sd is not None:
        raise InputError("tracing_sd", tracing_sd, "only a table of points is taken as traced")
    drawn = read_svg(content, name) if form == "svg" else read_dxf(_drawing_text(content, name), name)
    return _of_drawing(drawn, name, form, unit)


def _of_table(table: Table, name: str, unit: str | None, sd_mm: float | None) -> LineFile:
    drawn_mm = float(chord_lengths(table.points)[-1])
    field = at_line(name, table.lines[0])
    line = replace(table_line(table.points, "table", field, drawn_mm, sd_mm=sd_mm), from_axis=True)
    notes = (f"Columns parted by {table.separator}, decimal {table.decimal}.",)
    return LineFile(
        name, TABLE, unit or table.unit_said, (line,), (), (*_other_unit(unit, table.unit_said), *notes)
    )


def _of_drawing(drawn: Drawn, name: str, form: str, unit: str | None) -> LineFile:
    figures = joined(drawn.figures)
    if not figures:
        raise InputError(name, "the drawing", "a drawing with a line is wanted; there is none in it")
    factor = drawn.unit_mm if unit is None else own_factor(unit, LENGTH)
    if factor is None:
        raise UnitWanted(name, "a drawing without a unit", extent(figures))
    longest = sorted(figures, key=lambda figure: -figure.length)
    figures = [figure.scaled(factor) for figure in longest[:MOST_LINES]]
    more = len(longest) - len(figures)
    notes = (f"Left out: {more} shorter lines.",) if more else ()
    lines, refused, errors = [], [], []
    for figure in figures:
        try:
            lines.append(figure_line(figure, name))
        except InputError as error:
            refused.append((figure.label, str(error)))
            errors.append(error)
    if not lines:
        raise errors[0]
    said = "" if drawn.unit_mm is None else _unit_name(drawn.unit_mm)
    notes = (*_other_unit(unit, said), *notes, *drawn.left_out)
    return LineFile(name, form, unit or said, tuple(lines), tuple(refused), notes)


def _unit_name(unit_mm: float) -> str:
    """ "mm", "in", or how many mm where it has no name."""
    for name in LENGTH.spellings:
        if abs(own_factor(name, LENGTH) / unit_mm - 1.0) < 1e-9:
            return name
    return f"{unit_mm:.6g} mm"


def _other_unit(unit: str | None, said: str) -> tuple[str, ...]:
    if unit is None or not said or unit == said:
        return ()
    return (f"The file says its unit, {said}; {unit} was said besides, and is taken.",)


def _sd_mm(text: str) -> float:
    sd = parse_length_mm(text, "tracing_sd")
    if not 0.0 < sd <= MOST_SD_MM:
        raise InputError("tracing_sd", text, f"more than 0 and at most {MOST_SD_MM:g} mm is wanted")
    return sd


def _decoded(content: bytes, name: str) -> str:
    """Text in UTF-8 or UTF-16, or as older spreadsheets write it."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = content.decode("utf-16", errors="replace")
    else:
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = content.decode("cp1252", errors="replace")
    if "\0" in text:
        raise InputError(name, "bytes that are no text", "a table in text form is wanted, as CSV")
    return text


def _drawing_text(content: bytes, name: str) -> str:
    if b"\x1a\0" in content[:40]:  # how the binary form begins
        raise InputError(name, "a binary DXF", "a DXF in text form is wanted; save it as ASCII DXF")
    return _decoded(content, name)
