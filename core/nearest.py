"""From a job to the shop's knowledge and back: what was seen, kept; what was kept, as seen for another job.

What does not match widens the standard deviation; what matches too little is not used. Another metal is
not used at all, one of the same family neither: its temper alone changes the answer by more than a first
guess is off. All widths here are common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from math import hypot, inf, isclose, log, sqrt
from typing import Any

import numpy as np

from core.errors import InputError
from core.estimate.response import ResponseModel
from core.jobtypes import Job, RamSetting, ResponsePrior, Tool
from core.known import LARGEST_STRAIN, TRIAL, Known
from core.seen import Seen

PART_SD = 0.08  # of ln strain from part to part: another sheet, the tool set anew
THICKNESS_SD, THICKNESS_RATIO = 0.5, 1.6  # by ln of the thickness; beyond this ratio not used
PATCH_SD, PATCH_RATIO = 0.5, 1.5  # by ln of the length and of the depth of the patch; the same
FACE_SD = 0.2  # another face of the tool
SETTING_SD, SETTING_RATIO = 1.0, 1.5  # by ln of the ram setting of a bite taken for the same; as above
MARK_SD = 0.2  # another mark of the ram, where settings are no lengths
TOOL_SD, MACHINE_SD = 0.1, 0.1  # other jaws of the same sizes and face; another machine
BITE_RATIO = 1.5  # of strength, to the nearest bite that the job has
SAME = 0.02  # of ln: smaller differences are none
MOST, LOOSEST_SD = 4, 0.35  # entries that a job starts from; a looser one tells no more than the first guess
NAMELESS = "one without a name"
LARGEST_RATIO = 20.0  # against the first guess; a job takes no more


def known_from_seen(seen: Seen, job: Job, day: date, source: str = TRIAL, part: str = "") -> Known:
    """What was seen on a job's metal, as an entry. part : id of the finished part, "" for a trial."""
    tool, setting = job.tools[seen.action], job.tools[seen.action].settings.get(seen.bite)
    guess = tool.strain(seen.bite) * job.response.scale.get((seen.action, seen.bite), 1.0)
    return Known(
        metal=job.metal.name,
        thickness_mm=_thickness_mm(job),
        patch_length_mm=tool.patch_length_mm,
        patch_depth_mm=tool.patch_depth_mm,
        face=tool.face,
        action=seen.action,
        bite=seen.bite,
        strength=tool.bites[seen.bite],
        strokes=seen.strokes,
        strain=min(seen.ratio * guess, LARGEST_STRAIN),
        sd=seen.sd,
        source=source,
        day=day,
        machine="" if job.machine is None else job.machine.name,
        part=part,
        setting=None if setting is None else setting.text,
        setting_mm=None if setting is None else setting.mm,
        tool=tool.name,
    )


def seen_from_known(known: Known, job: Job) -> Seen | None:
    """An entry as what was seen for this job, with the sentence of where it is from and how it differs.

    None where metal, thickness, patch or bite are too far off, or so much differs that it tells nothing.
    """
    tool = job.tools[known.action]
    bite = min(tool.bites, key=lambda name: _far(tool.bites[name], known.strength))
    strength, thickness = tool.bites[bite], _thickness_mm(job)
    patch = (
        _far(tool.patch_length_mm, known.patch_length_mm),
        _far(tool.patch_depth_mm, known.patch_depth_mm),
    )
    thicker, stronger = _far(thickness, known.thickness_mm), _far(strength, known.strength)
    set_otherwise = 0.0 if stronger else _set_otherwise(known, tool.settings.get(bite))
    fits = thicker <= log(THICKNESS_RATIO) and max(patch) <= log(PATCH_RATIO) and stronger <= log(BITE_RATIO)
    fits &= set_otherwise <= SETTING_SD * log(SETTING_RATIO)
    if known.metal != job.metal.name or not fits:
        return None
    sd = hypot(
        *(known.sd, PART_SD, THICKNESS_SD * thicker, PATCH_SD * patch[0], PATCH_SD * patch[1]),
        0.0 if tool.face == known.face else FACE_SD,
        set_otherwise,
        TOOL_SD * _other_tool(known, tool),
        MACHINE_SD * _other_machine(known, job),
        _bite_sd(job.response, stronger),
    )
    ratio = known.strain / _guess(job, known.action, bite, known.strength)
    if sd > LOOSEST_SD or ratio > LARGEST_RATIO:
        return None
    source = "; ".join([str(known), *_differences(known, job, bite)])
    return Seen(known.action, bite, known.strokes, ratio, sd, source)


def nearest(entries: Iterable[Known], job: Job) -> tuple[Seen, ...]:
    """What this job starts from: the best entry for each action and bite, best first, a few at most.

    Entries of one finished part share what that part was like: together they count as one, so the
    variance of each is multiplied by their number.
    """
    fitting = [(known, seen) for known in entries if (seen := seen_from_known(known, job)) is not None]
    fitting.sort(key=lambda pair: (round(pair[1].sd, 2), -pair[0].day.toordinal()))
    best: dict[tuple[str, str], tuple[Known, Seen]] = {}
    for known, seen in fitting:
        best.setdefault((seen.action, seen.bite), (known, seen))
    chosen = list(best.values())[:MOST]
    sharing = Counter(known.part for known, _ in chosen if known.part)
    return tuple(replace(seen, sd=seen.sd * sqrt(sharing.get(known.part, 1))) for known, seen in chosen)


def nearer(entries: Iterable[Known], job: Job) -> tuple[Seen, ...]:
    """Trials among these that tell as much as what the job starts from, or more, of an action and bite.

    job : with what its log took up. What it starts from already is not among them.
    """
    had: dict[tuple[str, str], list[Seen]] = {}
    for seen in job.response.seen:
        had.setdefault((seen.action, seen.bite), []).append(seen)
    trials = nearest((known for known in entries if not known.part), job)
    return tuple(
        new for new in trials if all(_as_near(new, old) for old in had.get((new.action, new.bite), ()))
    )


def _as_near(new: Seen, old: Seen) -> bool:
    same = new.source == old.source and isclose(new.ratio, old.ratio, rel_tol=1e-6)
    return not same and round(new.sd, 2) <= round(old.sd, 2)


def known_to(job: Job, seen: Seen) -> tuple[float, float]:
    """Standard deviation of ln work of as many strokes of this action and bite on a part of this job's metal,
    without and with all that ``job.response.seen`` tells."""
    bare = ResponseModel(replace(job, response=replace(job.response, seen=(), shared=None)))
    return _spread(bare, seen), _spread(ResponseModel(job), seen)


def starting_from(document: Mapping[str, Any], seen: Iterable[Seen]) -> dict[str, Any]:
    """A job document that starts from what was seen, in place of all that it started from; self-contained.

    document : a mapping, not a job; seen : a list, such as ``[read.seen]``. Raises InputError for others.
    """
    if not isinstance(document, Mapping):
        raise InputError("document", document, "a job document, such as job.document, is wanted")
    if not isinstance(seen, Iterable):
        raise InputError("seen", seen, "a list of what was seen is wanted, also of one thing")
    plain = [
        {name: getattr(one, name) for name in ("action", "bite", "strokes", "ratio", "sd", "source")}
        for one in seen
    ]
    response = {**(document.get("response") or {}), "seen": plain}
    if not plain:
        del response["seen"]
    rest = {name: value for name, value in document.items() if name != "response"}
    return {**rest, "response": response} if response else rest


def _thickness_mm(job: Job) -> float:
    """Of the worked edge before the first stroke, where it is thinnest."""
    return float(np.min(job.part.thickness_mm(np.zeros(len(job.part.sites)))))


def _far(one: float, other: float) -> float:
    """|ln| of a ratio, 0 where it makes no difference."""
    away = abs(log(one / other))
    return 0.0 if away < SAME else away


def _set_otherwise(known: Known, here: RamSetting | None) -> float:
    """What another ram setting leaves open, 0 for none and where one of the two is not known."""
    if here is None or known.setting is None or here.text == known.setting:
        return 0.0
    if here.mm is None or known.setting_mm is None:
        return MARK_SD
    if here.mm == known.setting_mm:
        return 0.0
    return SETTING_SD * _far(here.mm, known.setting_mm) if min(here.mm, known.setting_mm) > 0.0 else inf


def _other_tool(known: Known, tool: Tool) -> bool:
    return known.tool is not None and known.tool != tool.name


def _other_machine(known: Known, job: Job) -> bool:
    """Where both have a name."""
    here = "" if job.machine is None else job.machine.name
    return bool(here and known.machine) and here != known.machine


def _bite_sd(prior: ResponsePrior, stronger: float) -> float:
    """What another strength leaves open: how much of it the metal keeps, and the setting of the bite."""
    return hypot(prior.bite_exponent_sd * stronger, prior.bite_sd) if stronger else 0.0


def _guess(job: Job, action: str, bite: str, strength: float) -> float:
    """First guess of a stroke's strain with a bite as strong as the entry's, from this job's own bite."""
    tool = job.tools[action]
    guess = tool.strain(bite) * job.response.scale.get((action, bite), 1.0)
    if not _far(strength, tool.bites[bite]):
        return guess
    power: float = (strength / tool.bites[bite]) ** (1.0 + job.response.bite_exponent)
    return guess * power


def _differences(known: Known, job: Job, bite: str) -> list[str]:
    """What is other than in this job, each as the end of a sentence."""
    tool, found = job.tools[known.action], []
    if _far(_thickness_mm(job), known.thickness_mm):
        found.append(f"this job's is {_thickness_mm(job):.3g} mm")
    if _far(tool.bites[bite], known.strength):
        found.append(f"this job's {bite} bite is {tool.bites[bite]:g} strong, not {known.strength:g}")
    elif bite != known.bite:
        found.append(f"this job calls that bite {bite}")
    here, there = (f"{t.patch_length_mm:.3g} x {t.patch_depth_mm:.3g} mm" for t in (tool, known))
    if here != there:
        found.append(f"this job's patch is {here}, not {there}")
    if tool.face != known.face:
        found.append(f"this job's tool face is {tool.face}, not {known.face}")
    setting = tool.settings.get(bite)
    if setting and not _far(tool.bites[bite], known.strength) and _set_otherwise(known, setting):
        found.append(f"this job's ram setting is {setting.text}, not {known.setting}")
    if _other_tool(known, tool):
        found.append(f"this job's tool set is {tool.name or NAMELESS}, not {known.tool or NAMELESS}")
    if _other_machine(known, job) and job.machine is not None:
        found.append(f"this job's machine is {job.machine.name}")
    return found


def _spread(model: ResponseModel, seen: Seen) -> float:
    row = model.alone(seen.action, seen.bite, seen.strokes)
    return sqrt(max(float(row @ model.cov @ row), 0.0))
