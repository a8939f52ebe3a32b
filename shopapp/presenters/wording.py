"""Words and numbers as screens show them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from math import isnan
from typing import Any

import core
from shopapp.presenters.pieces import OK, OVER, UNDER

ACTIONS = {"shrink": "Shrink", "stretch": "Stretch"}
SMOOTH = "Smooth"
COUNTER = "Counter-work"
ARROWS = {"shrink": "together", "stretch": "apart"}
BY = {"shrink": "by shrinking", "stretch": "by stretching"}
UNKNOWN = "not known yet"
BY_PROTRACTOR = f"by {core.PROTRACTOR}: "
"""how the note of an angle begins, see :func:`core.angle_read`"""
Z95 = 1.96
"""half width of a 95 % band in standard deviations"""


def digits(mm: float) -> str:
    """A length without its unit, "0.35", "−0.20"."""
    return length(mm).removesuffix(" mm")


def length(mm: float) -> str:
    """A length with its unit, "0.35 mm", "−0.20 mm" with a minus that is as wide as a plus."""
    return core.format_length(mm).replace("-", "−")


def number(value: float) -> str:
    """A number with no more digits than it needs, two behind the point at most: "40", "1.5", "0.03"."""
    return f"{round(value, 2):g}"


def size(mm: float) -> str:
    """A size as it is ordered, "40 mm", "1.5 mm"."""
    return f"{number(mm)} mm"


def limit(mm: float) -> str:
    """A limit with the decimals that it needs and its unit, "0.50 mm", "0.001 mm"."""
    return core.format_limit(mm)


def limit_digits(mm: float) -> str:
    """A limit without its unit, "0.50"."""
    return core.format_limit(mm).removesuffix(" mm")


def band(mm: float, sd_mm: float, touching: bool = False) -> str:
    """A length with its 95 % band, "0.30 ± 0.08 mm", or "not known yet"; touching : see core.format_band."""
    unknown = isnan(mm) or isnan(sd_mm)
    return UNKNOWN if unknown else core.format_band(mm, sd_mm, touching=touching).replace("-", "−")


def gaps_to(template: str) -> str:
    """What gaps are read against: "Gaps to the inside template", "Gaps by the square"."""
    if template == "square":
        return "Gaps by the square"
    return f"Gaps to the {template}{'' if template == 'layout line' else ' template'}"


def about(mm: float) -> str:
    """A length that is only reckoned, two digits of it: "about 25 mm", "about 1.2 mm"."""
    return f"about {core.format_about(mm)}"


def count(number: int, noun: str) -> str:
    """A number of things, "1 stroke", "12 strokes", "2 passes", "3 entries"."""
    plural = f"{noun[:-1]}ies" if noun.endswith("ry") else f"{noun}es" if noun.endswith("s") else f"{noun}s"
    return f"{number} {noun if number == 1 else plural}"


def seconds(value: float) -> str:
    """A time to work by, "6.5 s", "48 s", "2 min 05 s"."""
    whole = round(value)
    return f"{short_seconds(value)} s" if whole < 90 else f"{whole // 60} min {whole % 60:02d} s"


def anneal(planned: core.Pass) -> str:
    """What comes before a pass, and why, "anneal first: hardly any even stretch left"; "" without one."""
    if not planned.anneal_first:
        return ""
    if planned.hardened is None:
        return "anneal first"
    if planned.hardened.limit is None:
        return "anneal first, advised: strokes do less than half"
    hard = "anneal first, advised: the edge has hardened"
    return hard if planned.action == "shrink" else "anneal first: hardly any even stretch left"


def minutes(value: float) -> str:
    """How long work takes, to a minute, "7 min", "1 h 40 min"."""
    whole = max(1, round(value))
    return f"{whole} min" if whole < 90 else f"{whole // 60} h {whole % 60:02d} min"


def short_seconds(value: float) -> str:
    """A number of seconds, with a tenth where it is less than ten."""
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"


def feed(mm_per_s: float) -> str:
    """A feed, "12 mm/s", "3.5 mm/s"."""
    return f"{mm_per_s:.0f} mm/s" if mm_per_s >= 10 else f"{mm_per_s:.1f} mm/s"


def share(ratio: float) -> str:
    """A response against the expected one: "18 % less", "5 % more", "as much"."""
    per_cent = round(100 * (ratio - 1))
    if per_cent == 0:
        return "as much"
    return f"{abs(per_cent)} % {'more' if per_cent > 0 else 'less'}"


def on_a_spot(strokes: float) -> str:
    """How many strokes a response is told of: "a stroke", "12 strokes on a spot", "3.4 strokes on a spot"."""
    return "a stroke" if strokes < 1.05 else f"{strokes:.2g} strokes on a spot"


def strain(value: float, sd: float) -> str:
    """Edge strain with its 95 % band, both in per cent of strain, "0.26 ± 0.06 %". sd : of its logarithm"""
    return f"{100 * value:.2f} ± {max(100 * Z95 * sd * value, 0.01):.2f} %"


def nearest_limit(use: core.LimitUse, label: str) -> str:
    """The station nearest to a limit of the metal, "48 % of what one pass may, station 7"."""
    most = max(range(len(use.share)), key=lambda i: use.share[i])
    return f"{share_used(use.share[most])} of {use.name[most]}, {label} {most + 1}"


def share_used(share: float) -> str:
    """Of a limit, never less than 100 % where it is gone beyond nor the other way round: "48 %"."""
    beyond = share > 1.0 + 1e-6
    return f"{max(round(100 * share), 101) if beyond else round(100 * share)} %"


def reach(advice: core.Advice) -> tuple[tuple[str, str, str], ...]:
    """Sizes of the part at the utmost in its metal: what, how much, and the limit that sets it."""
    return tuple(
        (
            f"{capital(most.what)}{', not annealed' if found.annealed is False else ''}",
            f"about {most.size}",
            f"{BY[found.action]}, {found.limit}",
        )
        for found in advice.reach
        for most in found.sizes
    )


def held(planned: core.Pass, label: str) -> tuple[str, ...]:
    """Where limits of the metal hold a planned pass back, a phrase each."""
    return tuple(f"held back at {listed(one.sites, label)} by {one.limit.name}" for one in planned.held)


def listed(sites: Sequence[int], label: str) -> str:
    """Sites, from 0 and rising, in words from 1, neighbours drawn together: "stations 1 to 10, 14"."""
    runs: list[list[int]] = []
    for site in sites:
        if not runs or site != runs[-1][-1] + 1:
            runs.append([])
        runs[-1].append(site)
    shown = [f"{r[0] + 1}" if len(r) == 1 else f"{r[0] + 1} to {r[-1] + 1}" for r in runs]
    return (f"{label} " if len(sites) == 1 else f"{label}s ") + ", ".join(shown)


def lengths(values: Iterable[float]) -> str:
    """The least and the largest of some lengths, "1.50 to 1.53 mm"."""
    found = sorted(values)
    low, high = digits(found[0]), digits(found[-1])
    return f"{high} mm" if low == high else f"{low} to {high} mm"


def degrees(deg: float) -> str:
    """An angle round an axis as it is marked, "45°", "22.5°"."""
    return f"{deg:g}°"


def on_meridian(at_deg: float | None) -> str:
    """Where a reading was taken, after its site: " on 45°"; "" for a part that is not read on meridians."""
    return "" if at_deg is None else f" on {degrees(at_deg)}"


def tool_set(tool: core.Tool) -> str:
    """A tool set by its name; one without a name by its patch."""
    patch = f"patch {number(tool.patch_length_mm)} × {number(tool.patch_depth_mm)} mm"
    return tool.name or f"no name, {patch}"


def reading(gap: float | str | None) -> str:
    """A reading beside its mark: "0.35", "touches", "beyond", "skipped"."""
    if gap is None:
        return "skipped"
    if isinstance(gap, str):
        return {"touching": "touches", "beyond": "beyond"}[gap]
    return digits(gap)


def state(mm: float, tolerance_mm: float) -> str:
    """State of a signed deviation or gap in mm: within, over (> tolerance), under (< -tolerance)."""
    if mm > tolerance_mm:
        return OVER
    return UNDER if mm < -tolerance_mm else OK


def entry(event: dict[str, Any], sites: core.Sites | None = None) -> str:
    """An entry of the log in a few words, for the undo key."""
    name = event["event"]
    if name == "pass_done":
        done = event["action"] if sites is None else sites.done_by(event["action"], event["strokes"])
        return f"{done} pass, {count(sum(event['strokes']), 'stroke')}"
    if name == "counter_done":
        return f"counter-work, {count(sum(event['strokes']), 'stroke')}"
    if name == "gap_read":
        label = "station" if sites is None else sites.label
        return f"{_as_read(event)} at {label} {event['station'] + 1}"
    if name == "corrected" and event["with"].get("confirmed") not in (None, True, False):
        return "all of the round confirmed"
    if name == "corrected" and event["with"]["event"] == "gap_read":
        return entry(event["with"], sites)
    if name == "trial_taken":
        return f"trial to {event['action']}, {event['bite']} bite"
    if name == "bow_read":
        return f"bow of {length(abs(event['bow_mm']))}"
    if name == "check_read":
        value = event["value"]
        return f"{event['check']} {value if isinstance(value, str) else f'{round(value, 3):.7g}'}"
    return {
        "gaps_read": "round of gaps",
        "annealed": "anneal",
        "smoothed": "smoothing",
        "rim_read": "diameters of the rim",
        "heights_read": "heights of the rim",
        "rounded": "step against lobes",
        "batch_begun": "new coil",
        "template_seated": "template seated again",
        "corrected": "correction",
    }[name]


def _as_read(event: dict[str, Any]) -> str:
    """A reading as it was taken: an angle off a protractor, a gap with its unit, "touches"."""
    gap, note = event["gap_mm"], event.get("note", "")
    if note.startswith(BY_PROTRACTOR):
        return f"{float(note.removeprefix(BY_PROTRACTOR).rstrip('°')):g}°"
    return length(gap) if isinstance(gap, float | int) else reading(gap)


def later(event: dict[str, Any], sites: core.Sites | None = None) -> str:
    """An entry that came after a sign-off, with its time."""
    what = {"withdrawn": "an entry taken back", "corrected": "an entry corrected"}.get(event["event"])
    known = event["event"] in (
        "pass_done",
        "counter_done",
        "gap_read",
        "trial_taken",
        "bow_read",
        "check_read",
    )
    plain = entry(event, sites) if known else event["event"].replace("_", " ")
    return f"{what or plain} ({moment(event)})"


def moment(event: dict[str, Any]) -> str:
    """When an entry was made, in the shop's own time, "2026-03-14 15:09"; "time not known" without it."""
    if "at" not in event:
        return "time not known"
    utc = datetime.fromisoformat(event["at"].replace("Z", "+00:00"))
    offset = datetime.strptime(event["offset"].replace(":", ""), "%z").tzinfo
    return f"{utc.astimezone(offset):%Y-%m-%d %H:%M}"


def capital(text: str) -> str:
    """A sentence with a capital at its beginning."""
    return text[:1].upper() + text[1:]
