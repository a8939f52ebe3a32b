"""Documents spoilt at random, the same for the same number: fields lost, misspelt, moved, replaced by what a
hand, a spreadsheet or a broken program might leave there."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

import core
from core.readings.reading import readings_of
from tests.made_up import LINES, OUTLINES, SECTIONS, flange, rib

N = 6
JUNK: tuple[Callable[[random.Random], Any], ...] = (
    lambda r: None,
    lambda r: r.choice([True, False]),
    lambda r: r.choice([0, -1, -0.0, 1e308, -1e308, 5e-324, 10**400, 2**63, 1e-12]),
    lambda r: r.choice([float("nan"), float("inf"), float("-inf")]),
    lambda r: r.uniform(-1e4, 1e4),
    lambda r: round(r.uniform(-100, 100)),
    lambda r: r.choice(
        ["", " ", "abc", "\x00", "\x1b[2J", "\ud800", "é" * 500, "1" * 400, "None", "null", "-"]
    ),
    lambda r: r.choice(
        ["3.5", "3,5", "1,500 mm", "1.234,5 mm", "1 500 mm", "1/2", "1/2 in", "1/0 in", "½ in"]
    ),
    lambda r: r.choice(
        ["5 kg", "46 deg", "70 GPa", "5 mil", "5 parsec", "1e400 mm", "1e308 m", "nan mm", "inf"]
    ),
    lambda r: (
        f"{r.choice([-1, 1]) * 10 ** r.uniform(-6, 6)!r} {r.choice(['mm', 'm', 'in', 'ft', 'thou', 'um'])}"
    ),
    lambda r: r.choice(
        [[], {}, [[]], [{}], [None] * 3, {"": 1}, [1, 2], [[1, 2], [3]], ["a"] * N, [0.1] * N]
    ),
    lambda r: nested(r.choice([3, 15, 300])),
    lambda r: r.choice(["inside", "dial", "angle", "Z", "shrink", "touching", "beyond", "section", "medium"]),
    lambda r: {"sweep": r.choice(["100 mm", 100, "1 m", None])},
    lambda r: [r.uniform(-1, 5) for _ in range(r.choice([N, N, N - 1, N + 1]))],
    lambda r: [r.randint(0, 9) for _ in range(r.choice([N, N, N - 1, N + 1, 2500]))],
)


def nested(depth: int) -> list[Any]:
    """A list in a list in a list."""
    value: list[Any] = []
    for _ in range(depth):
        value = [value]
    return value


def sound(seed: int) -> dict[str, Any]:
    """A document without fault: a short bar of any line and shape, with a pass and a round of gaps."""
    r = random.Random(seed)
    line, section = r.choice([*LINES.values(), *_hoops(r)]), r.choice(list(SECTIONS.values()))
    job = rib(line=line, section=section, tool__patch_depth="12 mm", pitch=...)
    job["stations_mm"] = [60 + 70 * i for i in range(N)]
    job["template"] = r.choice(
        ["inside", "outside", "layout line", {"sweep": "100 mm"}, {"name": "inside", "sd": "0.1 mm"}]
    )
    if "angle" in line and float(line["angle"].split()[0]) > 180.0:
        job["template"] = r.choice(["layout line", {"sweep": "100 mm"}])
    job["gauge"] = r.choice(
        [
            "taper gauge",
            "steel rule",
            {"name": "leaves", "step": "0.05 mm", "repeatability": "0.03 mm", "largest": "9 mm"},
        ]
    )
    if r.random() < 0.3:
        job["limits"] = {"strain_per_pass": 0.02, "strain_total": "20 %"}
        job["machine"] = {
            "throat": "150 mm",
            "rated_thickness": "2 mm",
            "rated_strength": "400 MPa",
            "thickness_limits": {"aluminium": "3 mm"},
            "stroke_rates": [60, 400],
            "feeds": ["2 mm/s", "60 mm/s"],
            "settings_range": ["0 mm", "6 mm"],
        }
        job["tool"] |= {
            "settings": {"light": "2 mm", "heavy": "notch 3"},
            "smallest_flange": "10 mm",
            "smallest_angle": "75 deg",
            "change_time": "4 min",
        }
        job["finish"] = r.choice(["plain", "visible"])
        job["response"] = {"common_sd": 0.1, "uneven_length": "250 mm", "scale": {"shrink": {"medium": 1.1}}}
    gaps = _half_done(job) if r.random() < 0.5 else [round(r.uniform(0.0, 4.0), 1) for _ in range(N)]
    gaps[2] = r.choice([None, "touching", "beyond", 1.0])
    events = [
        {
            "event": "pass_done",
            "action": r.choice(["shrink", "stretch"]),
            "bite": "light",
            "strokes": [2] * N,
            "id": "a",
        },
        {"event": "gaps_read", "gaps_mm": gaps, "id": "b"},
        {"event": "gap_read", "station": 3, "gap_mm": 1.2, "id": "c"},
        {"event": "annealed", "id": "d"},
        {"event": "smoothed", "bite": "medium", "strokes": [1] * N, "id": "s"},
        {"event": "counter_done", "action": "stretch", "bite": "light", "strokes": [1] * N, "id": "o"},
        {
            "event": "corrected",
            "of": "a",
            "with": {"event": "pass_done", "action": "shrink", "bite": "heavy", "strokes": [1] * N},
        },
        {"event": "withdrawn", "of": "d"},
        {
            **{
                "event": "trial_taken",
                "action": "shrink",
                "bite": "light",
                "strokes": 6.0,
                "source": "offcut",
            },
            **{"ratio": round(r.uniform(0.5, 2.0), 2), "sd": 0.1},
        },
        {"event": "bow_read", "bow_mm": round(r.uniform(-8.0, 8.0), 1), "countered": r.random() < 0.3},
    ]
    if core.job(job).part.other_edge() is None:  # nothing that counter-work could take
        events = [event for event in events if event["event"] != "counter_done"]
    return copy.deepcopy({"schema": 1, "job": job, "events": events[: r.randint(0, len(events))]})


def _hoops(r: random.Random) -> list[dict[str, Any]]:
    """Bends from a quarter to nearly a whole turn, either way, on a bar of half a metre."""
    bends = []
    for least, most in ((90, 180), (180, 300), (300, 360)):
        turn, length = r.uniform(least, most), r.uniform(470.0, 550.0)
        radius = r.choice([-1, 1]) * length / np.radians(turn)
        bends.append({"radius": f"{radius:.1f} mm", "angle": f"{turn:.1f} deg"})
    return bends


def _half_done(document: dict[str, Any]) -> list[float | None]:
    """Gaps, to a tenth of a mm, of a bar with half of its work done; a rigid template touches somewhere."""
    job = core.job(document)
    layout = job.template.layout(job.part.sites.position_mm, job.part.length_mm)
    seat = np.zeros(len(job.part.seat_sd))
    gaps = readings_of(job.part, job.template, 0.5 * job.part.target, seat, layout.points_mm).deviation_mm
    if job.template.rigid:
        gaps = gaps - gaps.min()
    beyond = job.gauge.largest_mm
    return [
        round(float(g), 1) if ok and abs(g) <= beyond else None
        for g, ok in zip(gaps, layout.readable, strict=True)
    ]


def sound_flange(seed: int) -> dict[str, Any]:
    """The same for a turned flange: sectors on any outline, tipped or half done."""
    r = random.Random(seed)
    height, angle = r.uniform(13.0, 40.0), r.uniform(20.0, 90.0)
    job = flange(
        outline=r.choice([*OUTLINES.values(), {"hole": f"{r.uniform(100.0, 900.0):.1f} mm"}]),
        height=f"{height:.1f} mm",
        angle=f"{angle:.1f} deg",
        thickness=f"{r.uniform(0.5, 2.0):.2f} mm",
        inside_radius=f"{r.uniform(0.5, 6.0):.1f} mm",
        tool__patch_depth="12 mm",
        pitch=f"{r.uniform(60.0, 120.0):.0f} mm",
        gauge="steel rule",
    )
    part = core.job(job).part
    half = part.linearise(r.uniform(0.3, 1.0) * part.target).deviation_mm
    gaps = [round(float(gap) + r.uniform(-0.2, 0.2), 1) for gap in half]
    gaps[1] = r.choice([None, "touching", gaps[1]])
    action = "shrink" if part.target[0] > 0.0 else "stretch"
    events = [
        {"event": "gaps_read", "gaps_mm": half.round(1).tolist(), "id": "a"},
        {"event": "pass_done", "action": action, "bite": "medium", "strokes": [3] * len(gaps), "id": "b"},
        {"event": "gap_read", "station": 2, "gap_mm": gaps[2], "template": "square"},
        {"event": "annealed"},
        {"event": "withdrawn", "of": "b"},
        {"event": "gaps_read", "gaps_mm": gaps},
    ]
    document = {"schema": 1, "job": job, "events": events[: r.randint(0, len(events))]}
    return copy.deepcopy(document)


def spoilt(seed: int, kind: Callable[[int], dict[str, Any]] = sound) -> dict[str, Any]:
    """A sound document with one to three things done to it."""
    r = random.Random(seed)
    document = kind(seed)
    for _ in range(r.choice([1, 1, 1, 2, 3])):
        places = list(_places(document))
        if places:
            holder, key = r.choice(places)
            r.choice(_DEEDS)(r, holder, key)
    return document


def spoilt_text(seed: int) -> bytes:
    """JSON of a sound or a spoilt document; of the first, with its text damaged."""
    r = random.Random(seed)
    if r.random() < 0.6:
        return json.dumps(spoilt(seed)).encode()
    text = bytearray(json.dumps(sound(seed)).encode())
    for _ in range(r.choice([1, 1, 2, 5])):
        if not text:  # all of it was cut off
            break
        at = r.randrange(len(text))
        deed = r.randrange(4)
        if deed == 0:
            del text[at : at + r.choice([1, 2, 10])]
        elif deed == 1:
            text[at:at] = r.choice([b'"', b"{", b"]", b",", b"\xff", b"\x00", b"9", b"-", b"e9", b" "])
        elif deed == 2:
            text[at] = r.randrange(256)
        else:
            del text[at:]
            text += b" "
    return bytes(text)


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every holder and key in a document."""
    if isinstance(value, dict | list):
        for key in list(value if isinstance(value, dict) else range(len(value))):
            yield value, key
            yield from _places(value[key])


def _lose(r: random.Random, holder: Any, key: Any) -> None:
    del holder[key]


def _replace(r: random.Random, holder: Any, key: Any) -> None:
    holder[key] = r.choice(JUNK)(r)


def _scale(r: random.Random, holder: Any, key: Any) -> None:
    value = holder[key]
    if isinstance(value, int | float) and not isinstance(value, bool):
        holder[key] = value * r.choice([-1, 0, 10, 1000, 0.1, 1.5])
    elif isinstance(value, str) and value.partition(" ")[0].replace(".", "").isdecimal():
        number, _, unit = value.partition(" ")
        holder[key] = f"{float(number) * r.choice([-1, 0, 10, 1000, 0.1, 1.5])!r} {unit}"
    else:
        _replace(r, holder, key)


def _nudge(r: random.Random, holder: Any, key: Any) -> None:
    """A little more or less, which mostly can be used."""
    value = holder[key]
    if isinstance(value, float):
        holder[key] = value * r.uniform(0.97, 1.03)
    elif isinstance(value, str) and value.partition(" ")[0].replace(".", "").isdecimal():
        number, _, unit = value.partition(" ")
        holder[key] = f"{float(number) * r.uniform(0.97, 1.03)!r} {unit}"


def _misspell(r: random.Random, holder: Any, key: Any) -> None:
    if isinstance(key, str) and len(key) > 2:
        at = r.randrange(len(key) - 1)
        holder[key[:at] + key[at + 1] + key[at] + key[at + 2 :]] = holder.pop(key)
    else:
        _replace(r, holder, key)


def _add(r: random.Random, holder: Any, key: Any) -> None:
    if isinstance(holder, dict):
        holder[r.choice(["x", "", "radius", "pitch", "gauge", "sd", "id", "event", "length_mm", "note"])] = (
            r.choice(JUNK)(r)
        )
    else:
        holder.insert(key, copy.deepcopy(r.choice([*holder, r.choice(JUNK)(r)])))


def _swap(r: random.Random, holder: Any, key: Any) -> None:
    other = r.choice(list(holder) if isinstance(holder, dict) else range(len(holder)))
    holder[key], holder[other] = holder[other], holder[key]


def _wrap(r: random.Random, holder: Any, key: Any) -> None:
    holder[key] = r.choice([[holder[key]], {"value": holder[key]}, str(holder[key])])


_DEEDS = (_nudge, _nudge, _nudge, _lose, _replace, _replace, _scale, _scale, _misspell, _add, _swap, _wrap)
