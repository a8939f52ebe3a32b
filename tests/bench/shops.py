"""The shop of a simulated job: machine and tool sets as drawn, and what of the job they cannot run.

The reckoning here is by plain formulas from the document alone and shares nothing with the core's own: it is
what that is held against. Machines, sets and their sizes are invented.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
from draws import BITES

ASSETS = Path(__file__).parents[2] / "assets" / "metals.json"
METALS = {metal["name"]: metal for metal in json.loads(ASSETS.read_text(encoding="utf-8"))["metals"]}
RATED_MPA = 400.0  # of the metal that a machine is rated for where it does not say (common practice)
FEEDS = (["2 mm/s", "60 mm/s"], ["2 mm/s", "20 mm/s"], ["10 mm/s", "200 mm/s"], ["50 mm/s", "200 mm/s"])
EXACT = 1e-6
CLOSE_MM = 0.06  # what the rounding of a sentence leaves of an amount; of long ones a hundredth

# What does not fit -> how the core's sentence about it goes on, the amount before it where there is one.
SAID = {
    "flange": r"worked flange of .* is (\S+ m?m) less than the tool enters",
    "radius": r"inside radius of the worked edge of .* is (\S+ m?m) less than the tool enters",
    "angle": r"ends up at .* to the metal beside it, (\S+)° less than the tool enters",
    "throat": r"deep and the throat of .*, (\S+ m?m) too little",
    "thickness": r"Thickness .*, (\S+ m?m) less: thinner metal",
    "setting": r"The ram setting of the \w+ bite, .*, is (\S+ m?m) (?:below|beyond)",
    "rate": r"stroke rate of \S+ strokes a minute is (\S+) (?:slower|faster)",
    "feed": r"want a feed of .* at (?:most|least), (\S+) mm/s (?:less|more)",
    "action": r"strokes that (?:shrink|stretch) and no tool here does",
}


@dataclass(frozen=True)
class Misfit:
    """One thing that does not fit. what : a name of ``SAID``; by : mm, degrees, mm/s or strokes a minute,
    nan: no amount"""

    what: str
    by: float


def with_shop(document: Mapping[str, Any], rng: np.random.Generator) -> dict[str, Any]:
    """The job on a machine that most jobs fit, with one tool set or two."""
    machine = {
        "name": "bench machine",
        "throat": f"{rng.choice([12, 40, 150, 300], p=[0.12, 0.28, 0.3, 0.3])} mm",
        "rated_thickness": f"{rng.choice([1.0, 2.0, 4.0], p=[0.1, 0.2, 0.7])} mm",
        "stroke_rates": [60, int(rng.choice([200, 600]))],
        "settings_range": ["1 mm", f"{rng.choice([4, 6], p=[0.3, 0.7])} mm"],
    }
    apart = rng.spawn(1)[0]  # leaves all other draws as they were before there were angles and feeds
    machine["feeds"] = FEEDS[int(apart.integers(len(FEEDS)))]
    sets = [_set("long jaws", 20, 15, rng)]
    if rng.random() < 0.4:
        sets.append(_set("short jaws", 12, 10, rng))
    if rng.random() < 0.1:
        sets[0]["actions"] = ["shrink"]
    sets[0]["smallest_angle"] = f"{apart.choice([75, 105], p=[0.9, 0.1])} deg"
    sets[1:] = [{**one, "smallest_angle": "60 deg"} for one in sets[1:]]
    return {**document, "machine": machine, "tool": sets[0], "more_tools": sets[1:]}


def _set(name: str, length: int, depth: int, rng: np.random.Generator) -> dict[str, Any]:
    large = length == 20
    return {
        "name": name,
        "patch_length": f"{length} mm",
        "patch_depth": f"{depth} mm",
        "strain_per_stroke": 0.004,
        "bites": BITES,
        "settings": {"light": "2 mm", "medium": "3 mm", "heavy": "5 mm"},
        "strokes_per_minute": int(rng.choice([40, 120, 300], p=[0.05, 0.8, 0.15])),
        "smallest_flange": f"{rng.choice([18, 28, 35], p=[0.7, 0.2, 0.1]) if large else 12} mm",
        "smallest_radius": f"{rng.choice([20, 150], p=[0.7, 0.3]) if large else 20} mm",
        "actions": ["shrink", "stretch"],
    }


def mm(text: str) -> float:
    """The number of a length as the drawn documents and the core's sentences write it."""
    number, unit = text.replace("\N{NO-BREAK SPACE}", " ").split()
    return float(number) * (1000.0 if unit == "m" else 1.0)


def number(text: str) -> float:
    """The number before a unit."""
    return float(text.split()[0])


def sets_of(document: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Tool sets that lie ready, in their order."""
    return [document["tool"], *document["more_tools"]]


def asked(document: Mapping[str, Any]) -> list[str]:
    """Actions that the line asks for: it closes, it opens, or both."""
    radii = _radii(document["line"])
    closes, opens = any(r > 0.0 for r in radii), any(r < 0.0 for r in radii)
    return [action for action, wanted in (("shrink", closes), ("stretch", opens)) if wanted]


def _radii(line: Mapping[str, Any]) -> list[float]:
    if "radius" in line:
        return [mm(line["radius"])]
    if "segments_mm" in line:
        return [radius for _, radius in line["segments_mm"] if radius is not None]
    return [600.0]  # tables of offsets are drawn closing, with no radius below this


def misfits_of_set(document: Mapping[str, Any], tool: Mapping[str, Any]) -> list[Misfit]:
    """What one set on this machine cannot do with this part."""
    section, machine = document["section"], document["machine"]
    flange = mm(section.get("worked") if section["shape"] == "angle" else _flange(section))
    inside = min((r for r in _radii(document["line"]) if r > 0.0), default=inf) - flange
    (slowest, fastest), rate = machine["stroke_rates"], tool["strokes_per_minute"]
    feeds = [number(feed) for feed in machine["feeds"]]
    beside = (
        180.0 if section["shape"] == "flat bar" else 90.0
    )  # walls stand square, nothing beside a flat bar
    side_by_side = mm(tool["patch_length"]) / 60.0  # mm/s at a stroke a minute
    short = {
        "angle": number(tool["smallest_angle"]) - beside,
        "feed": max(side_by_side * slowest - feeds[1], feeds[0] - side_by_side * fastest),
        "flange": mm(tool["smallest_flange"]) - flange,
        "radius": mm(tool["smallest_radius"]) - inside,
        "throat": min(mm(tool["patch_depth"]), flange) - mm(machine["throat"]),
        "rate": max(slowest - rate, rate - fastest),
    }
    off = [_off_range(machine, setting) for setting in tool["settings"].values()]
    found = [Misfit(what, by) for what, by in short.items() if by > 0.0]
    return found + [Misfit("setting", by) for by in off if by > 0.0]


def _flange(section: Mapping[str, Any]) -> str:
    return str(section["depth"] if section["shape"] in ("T", "flat bar") else section["flange"])


def _off_range(machine: Mapping[str, Any], setting: str) -> float:
    least, most = map(mm, machine["settings_range"])
    return max(least - mm(setting), mm(setting) - most)


def runs(document: Mapping[str, Any], bite: str, tool: Mapping[str, Any]) -> bool:
    """Whether the machine can be set to this bite."""
    return _off_range(document["machine"], tool["settings"][bite]) <= 0.0


def fed_as_it_can(document: Mapping[str, Any], zone: Any, rate: float, length_mm: float) -> bool:
    """Whether the feed of a zone puts its strokes there at this rate, as fast as this machine feeds.

    zone : a zone of a pass; length_mm : of its sites. All its strokes take 60 * strokes * sites / rate
    seconds; gone over g times, the edge moves g lengths in that time. Made standing, no number of goes may be
    one that the machine feeds.
    """
    slowest, fastest = (number(feed) for feed in document["machine"]["feeds"])
    seconds = 60.0 * zone.strokes * (zone.last - zone.first + 1) / rate
    least, most = (
        slowest * (1.0 - EXACT),
        fastest * (1.0 + EXACT),
    )  # a feed at the very end of the range is one
    able = [g for g in range(1, zone.strokes + 1) if least <= g * length_mm / seconds <= most]
    if zone.standing:
        return not able and zone.seconds >= seconds * (1.0 - EXACT)
    feed = zone.goes * length_mm / seconds
    alike = abs(zone.feed_mm_per_s / feed - 1.0) < EXACT and abs(zone.seconds / seconds - 1.0) < EXACT
    return alike and zone.goes in able


def too_thick_mm(document: Mapping[str, Any]) -> float:
    """By how much the metal is thicker than its strength allows on this machine, the more cautious of
    Rm0/Rm (shearing) and its root (bending)."""
    weaker = RATED_MPA / _strength_mpa(METALS[document["material"]])
    takes = mm(document["machine"]["rated_thickness"]) * min(weaker, weaker**0.5)
    return mm(document["section"]["thickness"]) - takes


def _strength_mpa(metal: Mapping[str, Any]) -> float:
    """Tensile strength: the middle of a range. Of a least value alone, or of that at which a strip of true
    stress K eps^n necks, at eps = n and 1/e^n of its first area, the greater."""
    tensile = metal["tensile"]
    ends = [number(tensile[end]) for end in ("low", "high", "value") if end in tensile]
    if "low" not in tensile or "high" in tensile:
        return float(np.mean(ends))
    strength, n = number(metal["K"]["value"]), float(metal["n"]["value"])
    return max(ends[0], strength * n**n * np.exp(-n))


def fits_shop(document: Mapping[str, Any]) -> bool:
    """Whether for every action asked for a set lies ready that this machine runs, and it takes the metal. A
    stroke rate is brought to what the machine makes, a bite that it cannot be set to is left out."""
    in_the_way = ("flange", "radius", "throat", "angle")

    def able(tool: Mapping[str, Any], action: str) -> bool:
        faults = any(m.what in in_the_way for m in misfits_of_set(document, tool))
        return (
            action in tool["actions"] and not faults and any(runs(document, b, tool) for b in tool["bites"])
        )

    sets = sets_of(document)
    return too_thick_mm(document) <= 0.0 and all(any(able(s, a) for s in sets) for a in asked(document))


def misfits(document: Mapping[str, Any], used: Iterable[str]) -> list[Misfit]:
    """Everything that does not fit, with the sets of these names. Each but for its kind told alone."""
    sets = sets_of(document)
    found = [m for tool in sets if tool["name"] in used for m in misfits_of_set(document, tool)]
    thick = too_thick_mm(document)
    found += [Misfit("thickness", thick)] if thick > 0.0 else []
    missing = [a for a in asked(document) if not any(a in tool["actions"] for tool in sets)]
    return found + [Misfit("action", np.nan) for _ in missing]


def told(warnings: Sequence[str]) -> list[Misfit]:
    """What the core's sentences say does not fit."""
    found = []
    for sentence in warnings:
        for what, pattern in SAID.items():
            if match := re.search(pattern, sentence.replace("\N{NO-BREAK SPACE}", " ")):
                said = match.group(1) if match.groups() else "nan"
                found.append(Misfit(what, mm(said) if " " in said else float(said)))
    return found


def unlike(reckoned: Sequence[Misfit], said: Sequence[Misfit]) -> tuple[list[Misfit], list[Misfit]]:
    """(reckoned and not told, told and not reckoned); an amount further off than its rounding is both."""
    left, unsaid = list(said), []
    for one in reckoned:
        like = next((s for s in left if s.what == one.what and _alike(s.by, one.by)), None)
        if like is None:
            unsaid.append(one)
        else:
            left.remove(like)
    return unsaid, left


def _alike(a: float, b: float) -> bool:
    return bool(np.isnan(a) and np.isnan(b)) or abs(a - b) <= max(CLOSE_MM, 0.01 * abs(b))
