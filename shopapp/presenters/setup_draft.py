"""A set-up as typed so far, and the job document that it makes; the other way round for "another like it"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import core
from shopapp.presenters import setup_fields as fields
from shopapp.presenters import setup_machine
from shopapp.presenters.setup_fields import SWEEP_NAME, Field, Table
from shopapp.presenters.setup_kinds import KIND, KINDS, Choice, Form, Kind

Rows = tuple[tuple[str, ...], ...]
STATIONS = ("stations", "stations_mm")
KEPT = ("more_tools", "limits", "response", "confidence", "overshoot_risk", "note", *STATIONS)
"""fields of a job document that this form does not show and hands on as they are"""


@dataclass(frozen=True)
class Draft:
    """texts : by field name, as typed, right or wrong; tables : by name; choices : "kind", "form",
    "shape", "flanges", "material", "template", "gauge", "known" (whether it starts from what the shop knows);
    kept : parts of a document handed on as they are"""

    texts: Mapping[str, str] = field(default_factory=dict)
    tables: Mapping[str, Rows] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    kept: Mapping[str, Any] = field(default_factory=dict)

    def text(self, spec: Field) -> str:
        """What the field shows."""
        return self.texts.get(spec.name, spec.first)

    def rows(self, table: Table) -> Rows:
        """What the table shows."""
        return self.tables.get(table.name, table.first)

    def choice(self, name: str) -> str:
        """What is chosen; the gauge, until one is, goes by the kind of part."""
        first = self.kind.gauge if name == "gauge" else FIRST[name]
        return self.choices.get(name, first)

    def with_text(self, name: str, text: str) -> Draft:
        """With a field typed into."""
        return replace(self, texts={**self.texts, name: text})

    def with_rows(self, table: Table, rows: Rows) -> Draft:
        """With a table changed."""
        return replace(self, tables={**self.tables, table.name: rows})

    def with_choice(self, name: str, value: str) -> Draft:
        """With another choice made; what was typed for the earlier one is kept."""
        return replace(self, choices={**self.choices, name: value})

    @property
    def kind(self) -> Kind:
        """The kind of part that is set up."""
        return KINDS[self.choice(KIND.name)]

    @property
    def form_name(self) -> str:
        """The way in which its line is given; the first of its kind where none of that kind is chosen."""
        return _among(self.choice("form"), self.kind.forms)

    @property
    def form(self) -> Form:
        """Fields and table of that."""
        return self.kind.forms[self.form_name]

    @property
    def template(self) -> str:
        """Name of the template, an own one among them."""
        return _among(self.choice("template"), {**self.kind.templates, **self.kept.get("template", {})})

    @property
    def choices_of_kind(self) -> tuple[Choice, ...]:
        """What is to be chosen of its cross-section."""
        return self.kind.choices(self.choice)

    @property
    def body(self) -> tuple[Field, ...]:
        """Fields of its cross-section."""
        return self.kind.body(self.choice)

    @property
    def given_stations(self) -> bool:
        """True when the stations are those of the part before, one by one, and no pitch is asked for."""
        return any(name in self.kept for name in STATIONS) and self.choice("spacing") == "given"

    def plain(self) -> dict[str, Any]:
        """JSON-ready, for the shop's settings."""
        tables = {name: [list(row) for row in rows] for name, rows in self.tables.items()}
        return {
            "texts": dict(self.texts),
            "tables": tables,
            "choices": dict(self.choices),
            "kept": dict(self.kept),
        }


def _among(chosen: str, options: Mapping[str, Any]) -> str:
    return chosen if chosen in options else next(iter(options))


FIRST = {
    "kind": "section",
    "form": "length",
    "shape": "angle",
    "method": "shrink the edge",
    "flanges": "both",
    "material": "aluminium 5754-O",
    "template": "inside",
    "spacing": "given",
    "known": "on",
    "finish": "plain",
    "tools": "",
    "machines": "",
}


def from_plain(stored: Mapping[str, Any]) -> Draft:
    """A draft from :meth:`Draft.plain`; the bites of an earlier form had no ram settings yet."""
    tables = {name: tuple(tuple(row) for row in rows) for name, rows in stored["tables"].items()}
    if fields.BITES.name in tables:
        tables[fields.BITES.name] = tuple((*row, "")[:3] for row in tables[fields.BITES.name])
    return Draft(stored["texts"], tables, stored["choices"], stored["kept"])


def document(draft: Draft) -> dict[str, Any]:
    """The job document that the draft makes; wrong texts go in as typed, so that the core names them."""
    made = _document(draft, draft.text, draft.rows)
    made["tool"] = {key: value for key, value in made["tool"].items() if key != "settings" or value}
    return {key: value for key, value in made.items() if key != "machine" or value}


def table_of(draft: Draft, step: str) -> Table | None:
    """The table that a step asks for."""
    by_step = {"tool": fields.BITES, "checks": fields.CHECKS, "line": draft.form.table}
    return by_step.get(step)


def harmless(draft: Draft) -> dict[str, Any]:
    """A document of the same form that is good throughout."""
    return _document(draft, lambda spec: spec.harmless, lambda table: table.harmless)


def kept_rows(rows: Rows) -> list[int]:
    """Indices of the rows that are not blank throughout; only those go into the document."""
    return [i for i, row in enumerate(rows) if any(cell.strip() for cell in row)]


def with_unit(text: str, unit: str) -> str:
    """A typed text with the unit shown beside its field, when it has none of its own."""
    typed = text.strip()
    return core.format_with_unit(typed, unit) if typed and typed[-1] in "0123456789.," and unit else typed


def _document(draft: Draft, text: Any, rows: Any) -> dict[str, Any]:
    made: dict[str, Any] = {"name": text(fields.NAME), "kind": draft.choice(KIND.name)}
    table = draft.form.table
    if table is not None:
        _put(made, table.name, _points(rows(table), table))
    for choice in draft.choices_of_kind:
        _put(made, choice.path, draft.choice(choice.name))
    for spec in (*draft.form.fields, *draft.body):
        if text(spec).strip() or not spec.may_be_blank:
            _put(made, spec.name, with_unit(text(spec), spec.unit))
    return made | {
        "material": draft.kept.get("material", {}).get(draft.choice("material"), draft.choice("material")),
        "tool": _tool(draft, text, _filled(rows(fields.BITES))),
        "machine": _machine(draft, text),
        "template": _template(draft, text),
        "gauge": draft.kept.get("gauge", {}).get(draft.choice("gauge"), draft.choice("gauge")),
        "tolerance": with_unit(text(fields.TOLERANCE), "mm"),
        "finish": draft.choice("finish"),
        **({"batch": text(fields.BATCH).strip()} if text(fields.BATCH).strip() else {}),
        **_place(draft, text),
        **_spacing(draft, text),
        **{name: draft.kept[name] for name in KEPT if name in draft.kept and name not in STATIONS},
    }


def _place(draft: Draft, text: Any) -> dict[str, Any]:
    typed = {_last(spec.name): text(spec).strip() for spec in fields.PLACE if text(spec).strip()}
    return {"set": {**draft.kept.get("set", {}), **typed}} if typed else {}


def _put(made: dict[str, Any], path: str, value: Any) -> None:
    """A value under its path, such as "section.worked"."""
    part, _, name = path.rpartition(".")
    (made.setdefault(part, {}) if part else made)[name] = value


def _spacing(draft: Draft, text: Any) -> dict[str, Any]:
    if draft.given_stations:
        return {name: draft.kept[name] for name in STATIONS if name in draft.kept}
    return {"pitch": with_unit(text(draft.kind.pitch), "mm")}


def _last(path: str) -> str:
    return path.rpartition(".")[2]


def _filled(rows: Rows) -> list[tuple[str, ...]]:
    return [rows[i] for i in kept_rows(rows)]


def _points(rows: Rows, table: Table) -> list[list[str | None]]:
    """Cells with their unit; a blank cell is null where it may be blank."""
    return [
        [
            None if not cell.strip() and may_be_blank else with_unit(cell, "mm")
            for cell, (_, may_be_blank) in zip(row, table.columns, strict=True)
        ]
        for row in _filled(rows)
    ]


def _tool(draft: Draft, text: Any, bites: list[tuple[str, ...]]) -> dict[str, Any]:
    return {
        **draft.kept.get("tool", {}),
        **{
            _last(spec.name): as_typed(spec, text(spec))
            for spec in fields.TOOL
            if text(spec).strip() or not spec.may_be_blank
        },
        **bites_of(bites),
    }


def bites_of(rows: Sequence[tuple[str, ...]]) -> dict[str, dict[str, str]]:
    """Strengths and ram settings of the bites, of the rows that are not blank throughout."""
    bites = [row for row in rows if any(cell.strip() for cell in row)]
    return {
        "bites": {row[0].strip(): row[1].strip() for row in bites},
        "settings": {row[0].strip(): _setting(row[2]) for row in bites if row[2].strip()},
    }


def as_typed(spec: Field, text: str) -> str:
    """A text with its unit. The stroke rate is a bare number in the document; its unit is only shown."""
    return text.strip() if spec.unit == fields.RATE else with_unit(text, spec.unit)


def _setting(text: str) -> str:
    """A number is in mm; the name of a mark ("notch 3") has no unit."""
    return with_unit(text, "mm") if text.strip()[0].isdecimal() else text.strip()


def _machine(draft: Draft, text: Any) -> dict[str, Any]:
    given = {_last(spec.name): as_typed(spec, text(spec)) for spec in fields.MACHINE}
    typed = {path: value for path, value in given.items() if value}
    return {**draft.kept.get("machine", {}), **setup_machine.document(typed)}


def _template(draft: Draft, text: Any) -> Any:
    name = draft.template
    if name == SWEEP_NAME:
        return {"sweep": with_unit(text(fields.SWEEP), "mm")}
    return draft.kept.get("template", {}).get(name, name)


def take_bites(draft: Draft, tool: Mapping[str, Any]) -> Draft:
    settings = tool.get("settings") or {}
    bites = ((name, f"{strength}", settings.get(name) or "") for name, strength in tool["bites"].items())
    return draft.with_rows(fields.BITES, tuple(bites))


def unshown(part: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """What the form does not show of the tool or the machine and hands on as it is."""
    typed = (*fields.TOOL, *fields.MACHINE)
    shown = {spec.name.partition("[")[0] for spec in typed} | {fields.BITES.name, fields.SETTINGS}
    return {key: value for key, value in given.items() if f"{part}.{key.removesuffix('_mm')}" not in shown}


def take_texts(draft: Draft, part: str, given: Mapping[str, Any]) -> Draft:
    """Every plain quantity of a mapping, under its path; a name with its unit loses that."""
    for key, value in given.items():
        name, has_unit = (key[:-3], True) if key.endswith("_mm") else (key, False)
        if isinstance(value, str) or (isinstance(value, int | float) and not isinstance(value, bool)):
            text = value if isinstance(value, str) else f"{value:.10g}"
            if name == "strain_per_stroke" and not isinstance(value, str):
                text = f"{100 * value:.10g} %"
            path = f"{part}.{name}" if part else name
            draft = draft.with_text(path, f"{text} mm" if has_unit else text)
    return draft
