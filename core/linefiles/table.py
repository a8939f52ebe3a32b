"""Points from a table in text form: comma, semicolon, tab or spaces between, decimal point or comma, with or
without a heading. What could be read in two ways is refused, never guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite

import numpy as np

from core.dimensions import LENGTH, own_factor
from core.geometry.line import Array
from core.geometry.points import LARGEST_TABLE
from core.jobfields import LONGEST_MM
from core.linefiles.errors import UnitWanted, at_line, wrong_at

SEPARATORS = {"\t": "tab", ";": "semicolon", ",": "comma", " ": "space"}
ALONG = ("x", "station", "along", "distance", "position", "length", "s")
BESIDE = ("y", "offset", "height", "rise", "z")
_NUMBER = re.compile(r"([+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,4})?)\s*([^\d\s.,;]\S*)?")
_MAY_BE_THOUSANDS = re.compile(r"[+\-−]?[1-9]\d{0,2},\d{3}")
_WORD = re.compile(r"[^\W\d_]+")
_UNIT = re.compile(r"[\[(/_,\s:=]\s*(?:in\s+)?([^\W\d_]+|\"|″)\s*[\])]?\s*$")
LONGEST_LINE, MOST_LINES = 1000, 20_000


@dataclass(frozen=True)
class Table:
    """points : (k, 2) in mm where the unit is known, else as written; lines : (k,) of the file, from 1;
    unit_said : by the file, "" where it says none; separator, decimal : as found, in words"""

    points: Array
    lines: tuple[int, ...]
    unit_said: str
    separator: str
    decimal: str


@dataclass(frozen=True)
class _Row:
    line: int
    cells: tuple[str, ...]


def read_table(text: str, name: str, unit: str | None) -> Table:
    """The points of a table. unit : as said besides the file, which goes before what the file says.

    Raises UnitWanted where neither says it, InputError naming the line of the file for all else.
    """
    written = _written(text, name)
    numbers = [line for line in written if _begins_with_number(line[1])]
    if not numbers:
        raise wrong_at(name, 1, text[:40], "a table of points, x and y on every line, is wanted")
    first = numbers[0][0]
    heading = [line for line in written if line[0] < first and not _is_remark(line[1])]
    rows = [line for line in written if line[0] >= first and not _is_remark(line[1])]
    separator = _separator([text for _, text in rows], name, first)
    cells = [_Row(line, _split(text, separator)) for line, text in rows]
    _even(cells, name)
    columns, units = _columns([_split(text, separator) for _, text in heading], cells[0], name)
    remarks = [_unit_of(text.lstrip("#/ ")) for _, text in written if _is_remark(text)]
    decimal = _decimal(cells, columns, separator, name)
    values, in_cells = _values(cells, columns, decimal, name)
    said = [own or of_column for own, of_column in zip(in_cells, units, strict=True)]
    said = [one or next(filter(None, remarks), "") for one in said]
    factors = _factors([unit or one for one in said], name, cells[0], values)
    points = _within(values * factors, cells, name)
    return Table(
        points,
        tuple(row.line for row in cells),
        said[0] if said[0] == said[1] else " and ".join(filter(None, said)),
        SEPARATORS[separator],
        "comma" if decimal == "," else "point",
    )


def _written(text: str, name: str) -> list[tuple[int, str]]:
    """Lines that are not blank, with their numbers."""
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise wrong_at(name, MOST_LINES + 1, f"{len(lines)} lines", f"at most {MOST_LINES} lines are wanted")
    for i, line in enumerate(lines):
        if len(line) > LONGEST_LINE:
            raise wrong_at(name, i + 1, line[:20], f"lines of at most {LONGEST_LINE} characters are wanted")
    return [(i + 1, line.strip()) for i, line in enumerate(lines) if line.strip(" \t;,")]


def _is_remark(text: str) -> bool:
    return text.startswith(("#", "//"))


def _begins_with_number(text: str) -> bool:
    return _NUMBER.match(text.strip("\"' ")) is not None and not _is_remark(text)


def _separator(rows: list[str], name: str, line: int) -> str:
    for separator in ("\t", ";"):
        if separator in rows[0]:
            return separator
    if "," in rows[0] and not re.search(r"\d,\d*\s+[+\-−]?\d", rows[0]):
        return ","
    if re.search(r"\S\s+\S", rows[0]):
        return " "
    raise wrong_at(
        name, line, rows[0][:40], "two numbers, x and y, with a comma, semicolon or tab between are wanted"
    )


def _split(text: str, separator: str) -> tuple[str, ...]:
    cells = text.split() if separator == " " else text.split(separator)
    return tuple(cell.strip().strip("\"'").strip() for cell in cells)


def _even(rows: list[_Row], name: str) -> None:
    """No row has a number beyond the columns of the first: it may be the decimals of the one before."""
    count = len(rows[0].cells)
    for row in rows:
        if any(_begins_with_number(cell) for cell in row.cells[count:]):
            wanted = (
                f"{count} columns, as in the first row, are wanted; decimals after a comma need semicolons"
            )
            raise wrong_at(name, row.line, ", ".join(row.cells), f"{wanted} between the columns")


def _columns(heading: list[tuple[str, ...]], first: _Row, name: str) -> tuple[tuple[int, int], list[str]]:
    """Which columns are x and y, and the unit that the heading gives each."""
    count = len(first.cells)
    names = [cells for cells in heading if len(cells) == count]
    words = [[_WORD.findall(cell.lower()) for cell in cells] for cells in names]
    x, y = (_named(words, known) for known in (ALONG, BESIDE))
    if x is None or y is None:
        if count != 2:
            told = "two columns, x and y, are wanted, or a heading that names them x and y"
            if count == 4 and all(cell.isdigit() for cell in first.cells[1:]):
                told = "where the comma is the decimal sign, semicolons between the columns are wanted"
            raise wrong_at(name, first.line, f"{count} columns", told)
        x, y = 0, 1
    units = [next(filter(None, (_unit_of(f" {cells[k]}") for cells in names)), "") for k in (x, y)]
    alone = next(filter(None, (_unit_of(f" {c}") for cells in heading if len(cells) == 1 for c in cells)), "")
    return (x, y), [unit or alone for unit in units]


def _named(words: list[list[list[str]]], known: tuple[str, ...]) -> int | None:
    """The column whose heading begins with one of these names, an earlier name before a later one."""
    for name in known:
        for cells in words:
            for k, cell in enumerate(cells):
                if cell[:1] == [name]:
                    return k
    return None


def _unit_of(text: str) -> str:
    """A unit of length at the end of a heading, "x [mm]", "y, mm", "offset_in", "mm"; else "" ."""
    found = _UNIT.search(f" {text}")
    return found[1] if found is not None and found[1] in LENGTH.spellings else ""


def _decimal(rows: list[_Row], columns: tuple[int, int], separator: str, name: str) -> str:
    """The decimal sign of the whole table."""
    if separator == ",":
        return "."
    cells = [(row.line, row.cells[k]) for row in rows for k in columns if k < len(row.cells)]
    commas = [(line, cell) for line, cell in cells if "," in cell]
    points = [(line, cell) for line, cell in cells if "." in cell]
    if not commas:
        return "."
    if points:
        line, cell = max(commas[0], points[0])
        raise wrong_at(name, line, cell, "one decimal sign throughout is wanted, a point or a comma")
    if all(_MAY_BE_THOUSANDS.fullmatch(cell) for _, cell in commas):
        line, cell = commas[0]
        raise wrong_at(
            name, line, cell, "the comma may be read two ways; write the numbers with a decimal point"
        )
    return ","


def _values(rows: list[_Row], columns: tuple[int, int], decimal: str, name: str) -> tuple[Array, list[str]]:
    """(k, 2) numbers as written, and the unit that the cells of each column carry."""
    values, units = np.empty((len(rows), 2)), ["", ""]
    for i, row in enumerate(rows):
        for j, k in enumerate(columns):
            cell = row.cells[k] if k < len(row.cells) else ""
            values[i, j], unit = _number(cell, decimal, name, row.line)
            if i == 0:
                units[j] = unit
            if unit != units[j]:
                wanted = f"the unit of the rows before, {units[j] or 'none'}, is wanted"
                raise wrong_at(name, row.line, cell, wanted)
    return values, units


def _number(cell: str, decimal: str, name: str, line: int) -> tuple[float, str]:
    found = _NUMBER.fullmatch(cell)
    other = "," if decimal == "." else "."
    if found is None or other in found[1]:
        raise wrong_at(name, line, cell, f"a number such as 12{decimal}5 is wanted")
    value = float(found[1].replace(",", ".").replace("−", "-"))
    if not isfinite(value):
        raise wrong_at(name, line, cell, "a finite number is wanted")
    unit = found[2] or ""
    if unit and unit not in LENGTH.spellings:
        raise wrong_at(name, line, cell, "a length, with a unit such as mm or none, is wanted")
    return value, unit


def _factors(units: list[str], name: str, first: _Row, values: Array) -> Array:
    """(2,) mm in one of each column."""
    if not all(units):
        wide, high = (float(size) for size in np.ptp(values, axis=0))
        raise UnitWanted(at_line(name, first.line), ", ".join(first.cells), (wide, high))
    return np.array([own_factor(unit, LENGTH) for unit in units])


def _within(points: Array, rows: list[_Row], name: str) -> Array:
    if len(points) > LARGEST_TABLE:
        line = rows[LARGEST_TABLE].line
        raise wrong_at(name, line, f"{len(points)} points", f"at most {LARGEST_TABLE} points are wanted")
    far = np.flatnonzero(np.max(np.abs(points), axis=1) > LONGEST_MM)
    if far.size:
        row = rows[far[0]]
        wanted = f"at most {LONGEST_MM / 1000:g} m is wanted; is the unit right?"
        raise wrong_at(name, row.line, ", ".join(row.cells), wanted)
    same = np.flatnonzero((np.diff(points, axis=0) == 0.0).all(axis=1))
    if same.size:
        row = rows[same[0] + 1]
        raise wrong_at(name, row.line, ", ".join(row.cells), "a point other than the one before it is wanted")
    return points
