"""A job from its document: :func:`job` and nothing else.

Every quantity may be text with its unit. What the document leaves out gets the value named in the
tables here; what it spells wrongly is an error. The document is kept, JSON-ready, with the job, and
the same document always makes the same job.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from core.checks import checks_from
from core.errors import InputError
from core.events import ACTIONS
from core.jobdoubts import doubts
from core.jobfields import Fields, chosen, listed
from core.joblimits import limits_from
from core.jobmachine import machine_from
from core.jobtool import tool_from
from core.jobtypes import FINISHES, Job, ResponsePrior, Tool
from core.jsontext import json_ready, read_json
from core.kinds.base import Part
from core.kinds.registry import KINDS
from core.kinds.setting import Setting
from core.machine import Machine
from core.metals import Metal, metal_from
from core.misfit import misfits, unfit_of_all
from core.readings.laying import check_laying
from core.readings.named import gauge_from, template_from
from core.readings.templates import Template
from core.seen import Seen
from core.seendoc import seen_from, shared_from
from core.setplace import MOST_PARTS, SetPlace
from core.shopdoubts import shop_doubts
from core.toolchoice import Choice, choose_tools

LOOSEST_MM, MOST_SETS = 50.0, 20
# Largest value of each number of the response prior that still means something.
RESPONSE_MOST = {
    "common_sd": 2.0,
    "action_sd": 2.0,
    "bite_sd": 2.0,
    "bite_exponent": 1.0,
    "bite_exponent_sd": 1.0,
    "uneven_sd": 1.0,
    "neighbours": 2.0,
    "neighbours_sd": 2.0,
    "exponent": 1.5,
    "exponent_sd": 0.5,
    "hardening": 100.0,
    "hardening_sd": 100.0,
    "scatter": 1.0,
}


def job(document: Mapping[str, Any] | str | bytes) -> Job:
    """The job that a document describes.

    document : a mapping, or its JSON text (UTF-8). Fields: "name", "kind", the kind's own (for "section":
    "line", "section", and "pitch" or "stations_mm"), "material", "tool", "template", "gauge", "tolerance";
    may be left out: "more_tools" (further tool sets that lie ready), "machine", "finish", "limits",
    "response", "confidence", "overshoot_risk", "checks", "set", "batch", "note".
    Lengths in the job are mm, angles rad. Raises InputError for the first field that cannot be used,
    with its path, what was given and what would be right.
    """
    given = read_json(document) if isinstance(document, str | bytes) else json_ready(document)
    fields = Fields(given)
    name, kind = fields.text("name"), fields.choice("kind", KINDS)
    metal = metal_from(fields.need("material", "the name of a metal is wanted"))
    machine = machine_from(fields.part_or_none("machine"), metal)
    finish = chosen(fields.get("finish", Job.finish), "finish", FINISHES)
    sets = _sets(fields, machine)
    tool, takes = sets[0], _takes(fields, metal, sets)
    part = KINDS[kind](fields, _setting(tool, metal, takes))
    thinnest = float(np.min(part.thickness_mm(np.zeros(len(part.sites)))))
    choice = choose_tools(sets, part, metal, finish, thinnest, machine)
    limits = limits_from(fields.part_or_none("limits"), metal, choice.tools["shrink"], thinnest, part.sites)
    template = _template(fields, part)
    gauge = gauge_from(fields.need("gauge", "which gauge is used is wanted"))
    tolerance = fields.length_mm("tolerance", most=LOOSEST_MM)
    response = _response(fields.part_or_none("response"), choice.tools)
    confidence = fields.number("confidence", Job.confidence, 0.5, 0.9999)
    risk = fields.number("overshoot_risk", Job.overshoot_risk, 0.0, 0.5)
    checks, place = checks_from(fields, part, tolerance), _place(fields.part_or_none("set"))
    _finish(fields)
    odd = doubts(part, choice, limits, template, gauge, tolerance)
    unfit = misfits(part, metal, choice.tools, choice.actions, machine)
    shop = shop_doubts(part, metal, _used(sets, choice), choice.actions, machine, finish)
    return Job(
        name=name,
        kind=kind,
        part=part,
        metal=metal,
        tool=_on(tool, machine),
        tools={action: _on(each, machine) for action, each in choice.tools.items()},
        under=_under(given, kind, (metal, takes), part, tool, choice.tools),
        actions=choice.actions,
        smoother=choice.smoother,
        choice=choice.why,
        template=template,
        gauge=gauge,
        tolerance_mm=tolerance,
        document=given,
        settled=fields.settled,
        confidence=confidence,
        overshoot_risk=risk,
        response=response,
        limits=limits,
        machine=machine,
        finish=finish,
        checks=checks,
        place=place,
        misfits=unfit,
        warnings=(*fields.warnings, *unfit_of_all(unfit), *odd, *shop),
    )


def _used(sets: list[Tool], choice: Choice) -> list[Tool]:
    return [each for each in sets if each in choice.tools.values()]


def _template(fields: Fields, part: Part) -> Template:
    held = fields.need("template", "which template is used is wanted")
    template = template_from(held, length_mm=part.length_mm)
    check_laying(part, template, "template", held)
    return template


def _place(fields: Fields | None) -> SetPlace | None:
    if fields is None:
        return None
    part = fields.whole("part", MOST_PARTS)
    of = fields.whole("of", MOST_PARTS) if fields.has("of") else None
    if of is not None and part > of:
        raise InputError(fields.path("part"), part, f"at most {of}, the parts in all, is wanted")
    place = SetPlace(part, of, fields.text("id") if fields.has("id") else "")
    fields.finish()
    return place


def _sets(fields: Fields, machine: Machine | None) -> list[Tool]:
    """The tool sets that lie ready, the one in "tool" first."""
    sets = [tool_from(fields.part("tool"), machine)]
    if fields.has("more_tools"):
        path = fields.path("more_tools")
        entries = listed(fields.get("more_tools"), path, least=0, most=MOST_SETS)
        sets += [tool_from(Fields(entry, f"{path}[{i}]"), machine) for i, entry in enumerate(entries)]
    return sets


def _finish(fields: Fields) -> None:
    """The batch and the remark, which mean nothing here, and nothing besides."""
    for name in ("batch", "note"):
        if fields.has(name):
            fields.text(name)
    fields.finish()


def _on(tool: Tool, machine: Machine | None) -> Tool:
    """At a stroke rate that the machine makes."""
    if machine is None:
        return tool
    return replace(tool, strokes_per_minute=machine.rate(tool.strokes_per_minute))


def _takes(fields: Fields, metal: Metal, sets: list[Tool]) -> dict[str, float]:
    """By action that some set does, the strain that the metal takes in all; folds have no part in that."""
    limits = limits_from(fields.part_or_none("limits"), metal, sets[0], 1.0)
    able = {action for tool in sets for action in tool.actions}
    return {action: limits.most_in_all(action).strain for action in ACTIONS if action in able}


def _setting(tool: Tool, metal: Metal, takes: Mapping[str, float]) -> Setting:
    patch = tool.patch_length_mm, tool.patch_depth_mm
    return Setting(*patch, tool.strain_per_stroke, metal.poisson, takes)


def _under(
    given: Any,
    kind: str,
    of: tuple[Metal, Mapping[str, float]],
    part: Part,
    tool: Tool,
    tools: Mapping[str, Tool],
) -> dict[str, Part]:
    """By action, the part as its set strains it, made anew where that is another set than the first, of whose
    fields what is odd has been said. of : the metal and what it takes"""
    return {
        action: part if each == tool else KINDS[kind](Fields(given), _setting(each, *of))
        for action, each in tools.items()
    }


def _response(fields: Fields | None, tools: Mapping[str, Tool]) -> ResponsePrior:
    if fields is None:
        return ResponsePrior()
    numbers = {
        name: fields.number(name, getattr(ResponsePrior, name), 0.0, most, zero=name != "exponent")
        for name, most in RESPONSE_MOST.items()
    }
    length = fields.length_mm("uneven_length", ResponsePrior.uneven_length_mm)
    scale = _scale(fields.part_or_none("scale"), tools)
    seen, shared = _seen(fields, tools), fields.part_or_none("shared")
    together = None if shared is None else shared_from(shared, tools)
    fields.finish()
    return ResponsePrior(**numbers, uneven_length_mm=length, scale=scale, seen=seen, shared=together)


def _seen(fields: Fields, tools: Mapping[str, Tool]) -> tuple[Seen, ...]:
    """What was seen elsewhere, entry by entry; an empty list is nothing."""
    if not fields.has("seen"):
        return ()
    path = fields.path("seen")
    entries = listed(fields.get("seen"), path, least=0, most=100)
    return tuple(seen_from(Fields(entry, f"{path}[{i}]"), tools) for i, entry in enumerate(entries))


def _scale(fields: Fields | None, tools: Mapping[str, Tool]) -> dict[tuple[str, str], float]:
    """{"shrink": {"medium": 1.2}} as {("shrink", "medium"): 1.2}."""
    scale: dict[tuple[str, str], float] = {}
    if fields is None:
        return scale
    for action in ACTIONS:
        by_bite = fields.part_or_none(action)
        if by_bite is None:
            continue
        for bite in tools[action].bites:
            if by_bite.has(bite):
                scale[action, bite] = by_bite.number(bite, None, 0.0, 20.0)
        by_bite.finish()
    fields.finish()
    return scale
