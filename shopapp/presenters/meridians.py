"""Meridians that the template is laid along, as the operator marked them round the axis, in degrees.

A part that is not read on meridians has none; its readings are kept as if there were one, at 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees
from typing import Any

import core
from shopapp.presenters import rounds, wording
from shopapp.presenters.pieces import Key
from shopapp.presenters.steps import Standing

Event = dict[str, Any]
TURN = 360.0
EIGHTHS = tuple(TURN / 8 * k for k in range(8))
"""offered without being asked: five of them in a row tell two and three lobes apart"""


def has(job: core.Job) -> bool:
    """Whether this part is read on meridians."""
    return isinstance(job.part, core.ReadOnMeridians)


def parsed(text: str) -> float:
    """A typed angle from the mark, degrees. Raises InputError for what is no angle from 0 to 360."""
    angle = round(degrees(core.parse_angle_rad(text, "angle", bare_unit="deg")), 6)
    if not 0.0 <= angle <= TURN:
        raise core.InputError("angle", text, "an angle from the mark from 0° to 360° is wanted")
    return angle % TURN


def read_now(live: Sequence[Event]) -> list[float]:
    """Those read since the last strokes or anneal, the first one first."""
    return _read(live[rounds.since_struck(live) :])


def first_of(live: Sequence[Event]) -> float:
    """Where a new round begins: where the last one did."""
    return next(iter(_marked(live)), 0.0)


def still_wanted(standing: Standing) -> list[float]:
    """Those that were read before the last strokes and are not read since; then those that would tell lobes
    from what is even, once the part could be within."""
    live, advice = standing.live, standing.advice
    struck = rounds.since_struck(live)
    wanted = _read(live[:struck]) if struck else []
    if advice is not None and advice.lobing is not None and advice.verdict not in ("outside", "not measured"):
        wanted += [round(each, 6) % TURN for each in advice.lobing.more_deg]
    now = read_now(live)
    return [each for each in dict.fromkeys(wanted) if each not in now]


def following(standing: Standing, at_deg: float) -> float | None:
    """The meridian to be read after this one: a wanted one, else the next eighth of a turn; None once all
    eighths are read."""
    ahead = sorted(still_wanted(standing), key=lambda each: (each - at_deg) % TURN)
    if ahead:
        return ahead[0]
    now = read_now(standing.live)
    eighths = sorted(EIGHTHS, key=lambda each: (each - at_deg) % TURN)
    return next((each for each in eighths if each not in now and each != at_deg), None)


def choices(standing: Standing, at_deg: float) -> tuple[Key, ...]:
    """Meridians to choose from, those that are read said so, and any other angle."""
    now = read_now(standing.live)
    offered = sorted({*EIGHTHS, *_marked(standing.live), *still_wanted(standing), at_deg})
    keys = (
        Key(
            f"choose:{each:g}", f"{wording.degrees(each)} read" if each in now else wording.degrees(each),
            chosen=each == at_deg,
        )
        for each in offered
    )  # fmt: skip
    return (*keys, Key("other_angle", "Other angle"))


def _marked(live: Sequence[Event]) -> list[float]:
    """Those read after the strokes before the last ones, or since; those of the newest round with any."""
    struck = rounds.since_struck(live)
    return _read(live[:struck]) or _read(live[struck:])


def _read(live: Sequence[Event]) -> list[float]:
    """Meridians of the last stretch of these events that was read, in the order of reading."""
    found: dict[float, None] = {}
    ended = False
    for event in live:
        if event["event"] in rounds.STRUCK:
            ended = True
        elif event["event"] == "gaps_read":
            found = {} if ended else found
            ended = False
            found[rounds.meridian_of(event)] = None
    return list(found)
