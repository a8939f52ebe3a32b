"""A set-up as typed so far, and the job document that it makes; the other way round for "another like it"."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import core
from shopapp.presenters import setup_fields as fields
from shopapp.presenters.setup_fields import FORMS, SWEEP_NAME, Field, Table

Rows = tuple[tuple[str, ...], ...]
STATIONS = ("stations", "stations_mm")
KEPT = ("more_tools", "limits", "response", "confidence", "overshoot_risk", "note", *STATIONS)
"""fields of a job document that this form does not show and hands on as they are"""


@dataclass(frozen=True)
class Draft:
    """texts : by field name, as typed, right or wrong; tables : by name; choices : "form", "shape",
    "flanges", "material", "template", "gauge", "known" (whether it starts from what the shop knows);
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
        """What is chosen."""
        return self.choices.get(name, FIRST[name])

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


FIRST = {
    "form": "length",
    "shape": "angle",
    "flanges": "both",
    "material": "aluminium 5754-O",
    "template": "inside",
    "gauge": "feeler leaves",
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


def harmless(draft: Draft) -> dict[str, Any]:
    """A document of the same form that is good throughout."""
    return _document(draft, lambda spec: spec.harmless, lambda table: table.harmless)


def kept_rows(rows: Rows) -> list[int]:
    """Indices of the rows that are not blank throughout; only those go into the document."""
    return [i for i, row in enumerate(rows) if any(cell.strip() for cell in row)]


def with_unit(text: str, unit: str) -> str:
    """A typed text with the unit shown beside its field, when it has none of its own."""
    typed = text.strip()
    return f"{typed} {unit}" if typed and typed[-1] in "0123456789.," and unit else typed


def _document(draft: Draft, text: Any, rows: Any) -> dict[str, Any]:
    form = FORMS[draft.choice("form")]
    line: dict[str, Any] = {_last(spec.name): with_unit(text(spec), spec.unit) for spec in form.fields}
    if form.table is not None:
        line[_last(form.table.name)] = _points(rows(form.table), form.table)
    shape = draft.choice("shape")
    sizes = (size for size in fields.sizes(shape) if text(size).strip() or not size.may_be_blank)
    section = {"shape": shape, **{_last(size.name): with_unit(text(size), size.unit) for size in sizes}}
    if shape in core.WORKED_FLANGES:
        section["worked"] = draft.choice("flanges")
    return {
        "name": text(fields.NAME),
        "kind": "section",
        "line": line,
        "section": section,
        "material": draft.kept.get("material", {}).get(draft.choice("material"), draft.choice("material")),
        "tool": _tool(draft, text, _filled(rows(fields.BITES))),
        "machine": _machine(draft, text),
        "template": _template(draft, text),
        "gauge": draft.kept.get("gauge", {}).get(draft.choice("gauge"), draft.choice("gauge")),
        "tolerance": with_unit(text(fields.TOLERANCE), "mm"),
        "finish": draft.choice("finish"),
        **_spacing(draft, text),
        **{name: draft.kept[name] for name in KEPT if name in draft.kept and name not in STATIONS},
    }


def _spacing(draft: Draft, text: Any) -> dict[str, Any]:
    if draft.given_stations:
        return {name: draft.kept[name] for name in STATIONS if name in draft.kept}
    return {"pitch": with_unit(text(fields.PITCH), "mm")}


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
            _last(spec.name): _of_tool(spec, text(spec))
            for spec in fields.TOOL
            if text(spec).strip() or not spec.may_be_blank
        },
        "bites": {row[0].strip(): row[1].strip() for row in bites},
        "settings": {row[0].strip(): _setting(row[2]) for row in bites if row[2].strip()},
    }


def _of_tool(spec: Field, text: str) -> str:
    """The stroke rate is a bare number in the document; its unit is only shown."""
    return text.strip() if spec.unit == "strokes/min" else with_unit(text, spec.unit)


def _setting(text: str) -> str:
    """A number is in mm; the name of a mark ("notch 3") has no unit."""
    return with_unit(text, "mm") if text.strip()[0].isdecimal() else text.strip()


def _machine(draft: Draft, text: Any) -> dict[str, Any]:
    given = {_last(spec.name): with_unit(text(spec), spec.unit) for spec in fields.MACHINE}
    return {**draft.kept.get("machine", {}), **{name: typed for name, typed in given.items() if typed}}


def _template(draft: Draft, text: Any) -> Any:
    name = draft.choice("template")
    if name == SWEEP_NAME:
        return {"sweep": with_unit(text(fields.SWEEP), "mm")}
    return draft.kept.get("template", {}).get(name, name)


def like(job_document: Mapping[str, Any]) -> Draft:
    """A draft for another part like that of a job document, under the next name."""
    line, tool, machine = job_document["line"], job_document["tool"], job_document.get("machine") or {}
    kept = {name: job_document[name] for name in KEPT if name in job_document}
    draft = Draft(kept={**kept, "tool": unshown("tool", tool), "machine": unshown("machine", machine)})
    draft = draft.with_choice("form", _form_of(line))
    whole = {key: value for key, value in job_document.items() if key.startswith(("pitch", "tolerance"))}
    section = {key: value for key, value in job_document["section"].items() if value not in fields.FLANGES}
    for part, given in (
        ("line", line),
        ("section", section),
        ("tool", tool),
        ("machine", machine),
        ("", whole),
    ):
        draft = take_texts(draft, part, given)
    draft = draft.with_text("name", next_name(str(job_document["name"])))
    form = FORMS[draft.choice("form")]
    if form.table is not None:
        draft = draft.with_rows(form.table, _rows_of(line, _last(form.table.name)))
    if "bites" in tool:
        draft = take_bites(draft, tool)
    return _take_choices(draft, job_document)


def take_bites(draft: Draft, tool: Mapping[str, Any]) -> Draft:
    settings = tool.get("settings") or {}
    bites = ((name, f"{strength}", settings.get(name) or "") for name, strength in tool["bites"].items())
    return draft.with_rows(fields.BITES, tuple(bites))


def unshown(part: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """What the form does not show of the tool or the machine and hands on as it is."""
    shown = {spec.name for spec in (*fields.TOOL, *fields.MACHINE)} | {fields.BITES.name, fields.SETTINGS}
    return {key: value for key, value in given.items() if f"{part}.{key.removesuffix('_mm')}" not in shown}


def next_name(name: str) -> str:
    """The name with its last number one higher, "Rib 3" to "Rib 4"; unchanged without a number."""
    found = re.search(r"(\d+)(\D*)$", name)
    if found is None:
        return name
    number = str(int(found[1]) + 1).zfill(len(found[1]))
    return f"{name[: found.start()]}{number}{found[2]}"


def _form_of(line: Mapping[str, Any]) -> str:
    if "angle" in line:
        return "angle"
    for name in ("segments", "offsets", "traced", "chord"):
        if name in line or f"{name}_mm" in line:
            return name
    return "length"


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


def _rows_of(line: Mapping[str, Any], name: str) -> Rows:
    given = line[name] if name in line else line[f"{name}_mm"]
    return tuple(tuple("" if cell is None else f"{cell}" for cell in row) for row in given)


def _take_choices(draft: Draft, job_document: Mapping[str, Any]) -> Draft:
    section = job_document["section"]
    draft = draft.with_choice("shape", section["shape"])
    if section.get("worked") in fields.FLANGES:
        draft = draft.with_choice("flanges", section["worked"])
    draft = draft.with_choice("finish", job_document.get("finish", FIRST["finish"]))
    for name in ("material", "gauge", "template"):
        value = job_document[name]
        if isinstance(value, str):
            draft = draft.with_choice(name, core.METALS[value].name if name == "material" else value)
        elif "name" in value:
            kept = {**draft.kept, name: {value["name"]: value}}
            draft = replace(draft.with_choice(name, value["name"]), kept=kept)
        else:
            chord = value["sweep"] if "sweep" in value else f"{value['sweep_mm']} mm"
            draft = draft.with_choice(name, SWEEP_NAME).with_text(fields.SWEEP.name, chord)
    return draft
