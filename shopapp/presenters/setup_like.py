"""A set-up made from a job document, for another part like it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import setup_checks, setup_machine
from shopapp.presenters import setup_fields as fields
from shopapp.presenters.setup_draft import (
    FIRST,
    KEPT,
    Draft,
    Rows,
    take_bites,
    take_texts,
    unshown,
)
from shopapp.presenters.setup_fields import SWEEP_NAME
from shopapp.presenters.setup_kinds import KIND, Kind


def like(job_document: Mapping[str, Any]) -> Draft:
    """A draft for another part like that of a job document, under the next name."""
    job = core.job(job_document)
    job_document = job.settled_document
    tool, machine = job_document["tool"], job_document.get("machine") or {}
    kept = {name: job_document[name] for name in KEPT if name in job_document}
    draft = Draft(kept={**kept, "tool": unshown("tool", tool), "machine": unshown("machine", machine)})
    draft = _take_choices(draft.with_choice(KIND.name, job_document["kind"]), job_document)
    for part, value in {"": job_document, **job_document}.items():
        draft = _take_shown(draft, part, value) if isinstance(value, Mapping) else draft
    table = draft.form.table
    if table is not None:
        draft = draft.with_rows(table, _rows_of(job_document, table.name))
    draft = take_texts(draft, "machine", setup_machine.ends(machine))
    if "bites" in tool:
        draft = take_bites(draft, tool)
    draft = setup_checks.like(_next_place(draft, job), job)
    return draft.with_text(fields.NAME.name, next_name(str(job_document["name"])))


def with_line(draft: Draft, line: Mapping[str, Any]) -> Draft:
    """The draft with its line replaced by what a document may hold in that place."""
    part = draft.kind.line_part
    given = {part: line}
    draft = draft.with_choice("form", _form_of(draft.kind, given))
    table = draft.form.table
    for spec in draft.form.fields:
        draft = draft.with_text(spec.name, spec.first)
    draft = take_texts(
        draft, part, {key: value for key, value in line.items() if not isinstance(value, list)}
    )
    return draft if table is None else draft.with_rows(table, _rows_of(given, table.name))


def _next_place(draft: Draft, job: core.Job) -> Draft:
    """The next number of the set, while there is one."""
    place = job.place
    if place is None or place.part == place.of:
        return draft
    kept = {**draft.kept, **({"set": {"id": place.id}} if place.id else {})}
    draft = replace(draft, kept=kept).with_text(fields.PART_NUMBER.name, f"{place.part + 1}")
    return draft if place.of is None else draft.with_text(fields.PARTS_IN_ALL.name, f"{place.of}")


def _take_shown(draft: Draft, part: str, given: Mapping[str, Any]) -> Draft:
    """The quantities of a part of the document that the form asks for."""
    asked = (
        fields.TOLERANCE,
        fields.BATCH,
        draft.kind.pitch,
        *draft.form.fields,
        *draft.body,
        *fields.TOOL,
        *fields.MACHINE,
    )
    names = {spec.name for spec in asked}
    paths = {name: f"{part}.{name.removesuffix('_mm')}".removeprefix(".") for name in given}
    return take_texts(draft, part, {name: value for name, value in given.items() if paths[name] in names})


def next_name(name: str) -> str:
    """The name with its last number one higher, "Rib 3" to "Rib 4"; unchanged without a number."""
    found = re.search(r"(\d+)(\D*)$", name)
    if found is None:
        return name
    number = str(int(found[1]) + 1).zfill(len(found[1]))
    return f"{name[: found.start()]}{number}{found[2]}"


def _form_of(kind: Kind, job_document: Mapping[str, Any]) -> str:
    """The form that asks for most of what the document gives, and for least besides."""
    given = {
        f"{part}.{name.removesuffix('_mm')}"
        for part, value in job_document.items()
        if isinstance(value, Mapping)
        for name in value
    }
    return max(
        kind.forms, key=lambda name: (len(kind.forms[name].names & given), -len(kind.forms[name].names))
    )


def _rows_of(job_document: Mapping[str, Any], path: str) -> Rows:
    part, _, name = path.rpartition(".")
    given = job_document[part]
    rows = given[name] if name in given else given[f"{name}_mm"]
    return tuple(tuple("" if cell is None else f"{cell}" for cell in row) for row in rows)


def _take_choices(draft: Draft, job_document: Mapping[str, Any]) -> Draft:
    draft = draft.with_choice("form", _form_of(draft.kind, job_document))
    draft = draft.with_choice("finish", job_document.get("finish", FIRST["finish"]))
    for _ in range(2):  # what is chosen first decides what else there is to choose
        for choice in draft.choices_of_kind:
            part, _, key = choice.path.rpartition(".")
            value = (job_document.get(part, {}) if part else job_document).get(key)
            draft = draft.with_choice(choice.name, value) if value in choice.options else draft
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
