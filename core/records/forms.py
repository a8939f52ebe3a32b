"""A record as the text of files: CSV (RFC 4180) and JSON."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from typing import Any

from core.advicedoc import plain
from core.jsontext import write_json
from core.records.record import Record
from core.records.tables import Cell, Table

SCHEMA = 1
# What spreadsheets take for the beginning of a formula, the wide forms of these signs among it.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
BLANKS = " \u00a0\u200b\ufeff"  # a formula may stand behind these


class _Text(list[str]):
    """What the writer writes to, in place of a file."""

    def write(self, text: str) -> None:
        self.append(text)


def record_document(record: Record) -> dict[str, Any]:
    """Every field of the record under its own name, JSON-ready; sites count from 0, NaN is null."""
    document: dict[str, Any] = plain(record)
    return {"schema": SCHEMA, **document, "sign_off": record.sign_off_text}


def record_json(record: Record) -> str:
    """The same as text."""
    return write_json(record_document(record))


def table_csv(table: Table) -> str:
    """Comma-separated values, lines that end in CR LF; begins with the mark by which spreadsheets know UTF-8.

    Numbers are bare, with a decimal point. A text that a spreadsheet would run as a formula begins with "'".
    """
    written = _Text("\ufeff")
    writer = csv.writer(written, quoting=csv.QUOTE_MINIMAL)
    writer.writerow(table.header)
    writer.writerows(_harmless(row) for row in table.rows)
    return "".join(written)


def _harmless(row: Iterable[Cell]) -> list[Cell]:
    return [_cell(value) for value in row]


def _cell(value: Cell) -> Cell:
    if not isinstance(value, str):
        return value
    return f"'{value}" if value.lstrip(BLANKS).startswith(FORMULA) else value
