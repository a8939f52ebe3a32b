"""What a record says of the job: its sizes as they were given, metal, machine, tools, template, gauge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

from core.calibration import in_words
from core.jobtypes import FINISHES, Job, Tool
from core.kinds.base import Part, ReadOnMeridians
from core.records.fates import Entry
from core.records.work import tool_name
from core.setplace import SetPlace
from core.units import format_length, format_limit

ELSEWHERE = (
    *("name", "kind", "material", "tool", "more_tools", "machine", "response", "template", "gauge"),
    *("tolerance", "tolerance_mm", "limits", "metals", "confidence", "overshoot_risk", "finish", "batch"),
    *("checks", "set", "neutral_ring", "neutral_ring_mm"),
)
# Sizes by their names in the document, where those need the document to be understood.
SAID = {
    "section shape": "section",
    "section worked": "worked flange",
    "section other": "other flange",
    "section flange": "flange",
    "section web": "web",
    "section depth": "depth",
    "section thickness": "thickness",
    "outline rim": "diameter of the rim",
    "outline hole": "diameter of the hole",
    "height": "height of the flange",
    "angle": "angle of the flange",
    "inside radius": "inside radius of the bend",
    "shape diameter": "diameter of the rim",
    "shape depth": "depth inside",
    "shape radius": "radius of the sphere",
    "shape crown radius": "radius of the crown",
    "shape knuckle radius": "radius of the knuckle",
    "pitch": "distance of the {}s",
}
LONGEST = 60  # letters of a value; longer ones are told by how many entries they have
KEPT = "ring that keeps its size"
IN_A_ROW, MOST_POINTS = 30, 300  # points told in one line, and in all; more are in the record's data alone


@dataclass(frozen=True)
class Fact:
    """One line of a record: what, and how it is."""

    label: str
    text: str


def facts_of(job: Job, entries: Sequence[Entry]) -> tuple[Fact, ...]:
    """Sizes first, in the words of the document, then what the part is worked and measured with."""
    return (
        *(Fact(_words(name, job.part), text) for name, text in _sizes(job.document) if text),
        *_ring(job.part),
        *_metal(job, entries),
        *worked_with(job),
        Fact("tolerance", f"gaps up to {format_limit(job.tolerance_mm)}"),
        Fact(f"{job.part.sites.label}s", str(len(job.part.sites))),
        *((Fact("faces", FINISHES[job.finish]),) if job.finish != "plain" else ()),
        *(() if job.place is None else (Fact("in its set", _place(job.place)),)),
    )


def worked_with(job: Job) -> tuple[Fact, ...]:
    """Machine, tools, template and gauge."""
    return (
        *_machine(job),
        *_tools(job),
        Fact("template", f"{job.template.name}, standard uncertainty {format_limit(job.template.sd_mm)}"),
        Fact("gauge", _gauge(job)),
    )


def _ring(part: Part) -> Iterator[Fact]:
    if isinstance(part, ReadOnMeridians) and part.kept_ring:
        yield Fact(KEPT, part.kept_ring)


def _sizes(document: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    for name, value in document.items():
        where = f"{path} {name}".strip()
        if not path and name in ELSEWHERE:
            continue
        if isinstance(value, Mapping):
            yield from _sizes(value, where)
        elif name.startswith("segments"):
            yield where, _segments(value)
        elif _points(value):
            yield from _in_rows(where, value)
        else:
            yield where, _value(value)


def _points(value: Any) -> bool:
    return (
        isinstance(value, list | tuple)
        and 0 < len(value) <= MOST_POINTS
        and isinstance(value[0], list | tuple)
    )


def _in_rows(where: str, points: Sequence[Any]) -> Iterator[tuple[str, str]]:
    """Every point as it was given: "0, 0; 100, 3.2"."""
    for first in range(0, len(points), IN_A_ROW):
        row = points[first : first + IN_A_ROW]
        told = "; ".join(", ".join(map(_value, point)) for point in row)
        at = f"points {first + 1} to {first + len(row)} of {len(points)}: "
        yield where, f"{at if len(points) > IN_A_ROW else ''}{told}"


def _segments(rows: Any) -> str:
    """Arcs and straights in a row: "400 mm R 1200 mm; 150 mm straight"."""
    told = (f"{_value(long)} {'straight' if radius is None else f'R {radius}'}" for long, radius in rows)
    return _short("; ".join(told), rows)


def _value(value: Any) -> str:
    if isinstance(value, list | tuple):
        between = "; " if any(isinstance(entry, list | tuple) for entry in value) else ", "
        return _short(between.join(_value(entry) for entry in value), value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _short(told: str, value: Sequence[Any]) -> str:
    return told if len(told) <= LONGEST else f"{len(value)} entries"


def _words(name: str, part: Part) -> str:
    known = SAID.get(name.removesuffix("_mm").replace("_", " "))
    if known is not None:
        return known.format(part.sites.label) + (", mm" if name.endswith("_mm") else "")
    return name.removesuffix("_mm").replace("_", " ") + (", mm" if name.endswith("_mm") else "")


def _place(place: SetPlace) -> str:
    return f"part {place.part}" + (f" of {place.of}" if place.of else "")


def _metal(job: Job, entries: Sequence[Entry]) -> Iterator[Fact]:
    yield Fact("metal", job.metal.name)
    named = job.document.get("batch")
    if named:
        yield Fact("batch", named)
    batches = [entry for entry in entries if entry.event["event"] == "batch_begun" and entry.counts]
    for entry in batches:
        note = entry.event.get("note")
        yield Fact("batch", f"another one begun with this part{f': {note}' if note else ''} ({entry.stamp})")
    if not batches and not named:
        yield Fact("batch", "no change of batch on record with this part")


def _machine(job: Job) -> Iterator[Fact]:
    if job.machine is None:
        yield Fact("machine", "not said")
        return
    told = [str(job.machine)]
    if isfinite(job.machine.throat_mm):
        told.append(f"throat {format_length(job.machine.throat_mm)}")
    yield Fact("machine", ", ".join(told))


def _tools(job: Job) -> Iterator[Fact]:
    """Each set once, with the actions that it does."""
    sets: list[tuple[Tool, list[str]]] = []
    for action in job.actions:
        tool = job.tools[action]
        known = next((actions for one, actions in sets if one == tool), None)
        if known is None:
            sets.append((tool, [action]))
        else:
            known.append(action)
    for tool, actions in sets:
        yield Fact(f"tool to {' and '.join(actions)}", tool_text(tool))


def tool_text(tool: Tool) -> str:
    """A tool set in a sentence, with its patch, its rate and the ram setting of every bite."""
    bites = [f"{name} {tool.settings[name].text}" if name in tool.settings else name for name in tool.bites]
    patch = f"patch {format_length(tool.patch_length_mm)} long, {format_length(tool.patch_depth_mm)} deep"
    return f"{tool_name(tool)}, {patch}, {tool.strokes_per_minute:g} strokes/min; bites: {', '.join(bites)}"


def _gauge(job: Job) -> str:
    gauge = job.gauge
    held = "" if gauge.calibration is None else f", {in_words(*gauge.calibration.days)}"
    return (
        f"{gauge.name}{held}, steps of {format_limit(gauge.step_mm)}, "
        f"standard uncertainty of a gap {format_length(gauge.sd_mm(job.template.sd_mm))}"
    )
