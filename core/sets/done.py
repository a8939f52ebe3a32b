"""What is kept of a part for its set: how it was made, how it came out, what it told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from itertools import pairwise
from math import inf, nan
from typing import Any

from core.advice import UNMEASURED, WITHIN, Advice
from core.errors import InputError
from core.events import Event, effective
from core.jobfields import Fields, listed
from core.jobtypes import Job
from core.seendoc import seen_from, told_from
from core.sets.parts import SetPart, set_part

BREAK_MIN = (
    30.0  # between two entries of a log; a longer one is none of the work (common practice, no source)
)
MOST_MINUTES, MOST_STROKES, MOST_PASSES = 1e5, 10**7, 1000


@dataclass(frozen=True)
class PassRun:
    """A pass as it was run; strokes : in all, on every spot"""

    action: str
    bite: str
    strokes: int


@dataclass(frozen=True)
class PartDone:
    """A part of a set, finished or not.

    told : its name, what it told of the response, whether another batch begins with it; passes : as run;
    minutes : at it by the times of its log, without breaks; NaN where those are not known; gap_mm,
    gap_sd_mm : widest gap by the last round, NaN where none was read after the last pass; finished : called
    within, or signed off
    """

    told: SetPart
    passes: tuple[PassRun, ...]
    minutes: float
    gap_mm: float
    gap_sd_mm: float
    finished: bool

    @property
    def name(self) -> str:
        """Of the part."""
        return self.told.name

    @property
    def strokes(self) -> int:
        """In all passes."""
        return sum(one.strokes for one in self.passes)

    @property
    def document(self) -> dict[str, Any]:
        """JSON-ready; :func:`part_done_from` reads it."""
        return {
            "name": self.name,
            "told": [asdict(seen) for seen in self.told.told],
            "together": None if self.told.together is None else asdict(self.told.together),
            "batch_begun": self.told.batch_begun,
            "passes": [asdict(one) for one in self.passes],
            "minutes": _known(self.minutes),
            "gap_mm": _known(self.gap_mm),
            "gap_sd_mm": _known(self.gap_sd_mm),
            "finished": self.finished,
        }


def part_done(job: Job, events: Iterable[Event], advice: Advice) -> PartDone:
    """A part from its job, its log and the advice on that. Raises InputError as
    :func:`core.events.effective`."""
    log = list(events)
    live = effective(log)
    read = advice.verdict != UNMEASURED
    signed = any(event["event"] == "signed_off" for event in live)
    return PartDone(
        set_part(job, log, advice.learned, advice.told),
        tuple(
            PassRun(e["action"], e["bite"], job.strokes_in_all(e["action"], e["strokes"]))
            for e in live
            if e["event"] == "pass_done"
        ),
        _minutes(log),
        advice.widest_gap_mm if read else nan,
        advice.widest_gap_sd_mm if read else nan,
        signed or advice.verdict == WITHIN,
    )


def part_done_from(document: Mapping[str, Any], job: Job, path: str = "part") -> PartDone:
    """A part as it was kept. job : of its set. Raises InputError naming the field that is wrong."""
    fields = Fields(document, path)
    told = [
        seen_from(Fields(one, f"{path}.told[{i}]"), job.tools)
        for i, one in enumerate(listed(fields.need("told"), f"{path}.told", least=0))
    ]
    together = fields.part_or_none("together")
    part = SetPart(
        fields.text("name"),
        tuple(told),
        _flag(fields, "batch_begun"),
        None if together is None else told_from(together, job.tools),
    )
    passes = [
        _pass_run(Fields(one, f"{path}.passes[{i}]"))
        for i, one in enumerate(listed(fields.need("passes"), f"{path}.passes", least=0, most=MOST_PASSES))
    ]
    done = PartDone(
        part,
        tuple(passes),
        _number(fields, "minutes", MOST_MINUTES),
        _number(fields, "gap_mm", inf),
        _number(fields, "gap_sd_mm", inf),
        _flag(fields, "finished"),
    )
    fields.finish()
    return done


def _pass_run(fields: Fields) -> PassRun:
    strokes = fields.need("strokes")
    if isinstance(strokes, bool) or not isinstance(strokes, int) or not 0 <= strokes <= MOST_STROKES:
        raise InputError(fields.path("strokes"), strokes, "a whole number from 0 up is wanted")
    run = PassRun(fields.text("action"), fields.text("bite"), strokes)
    fields.finish()
    return run


def _flag(fields: Fields, name: str) -> bool:
    value = fields.need(name)
    if not isinstance(value, bool):
        raise InputError(fields.path(name), value, "true or false is wanted")
    return value


def _number(fields: Fields, name: str, most: float) -> float:
    """A number from 0 up, NaN where it was not known."""
    if fields.get(name) is None:
        return nan
    return fields.number(name, None, 0.0, most, zero=True)


def _known(value: float) -> float | None:
    return value if value == value else None


def _minutes(log: Sequence[Event]) -> float:
    """Between entries that follow each other without a break."""
    times = [datetime.fromisoformat(e["at"].replace("Z", "+00:00")) for e in log if "at" in e]
    if len(times) < 2:
        return nan
    apart = [(later - earlier).total_seconds() / 60.0 for earlier, later in pairwise(sorted(times))]
    return sum(minutes for minutes in apart if minutes <= BREAK_MIN)
