"""Every reading of a log, one by one: with what, by whom, when, and whether it still counts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import degrees
from typing import Any

from core.events import ENDS_ROUND, ROUND, STRUCK, Event
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.named import RIM_GAUGE, gauge_from, gauges_of, meridian_rad, template_from
from core.records.fates import AGAIN, COUNTS, NOBODY, REPLACED, WITHDRAWN, Entry, Stamp, gap_text

GAP, DIAMETER, HEIGHT = "gap", "diameter of the rim", "height of the rim"
BOW = "bow out of plane"


@dataclass(frozen=True)
class Reading:
    """One reading.

    quantity : GAP, DIAMETER, HEIGHT or BOW; round : of gaps, from 1, 0 for what is read by itself; after :
    how much work on the metal came before it; site : index from 0, None where it belongs to none; at_mm : the
    site's place; at_deg : round the axis, None where the part is not read so; value_mm : None where ``word``
    tells it ("touching" is 0 mm); sd_mm : standard uncertainty, None where nobody knows it; status : as of an
    entry, or AGAIN; instead : what stands in its place, "" where nothing does; by : who changed that
    """

    quantity: str
    round: int
    after: int
    site: int | None
    at_mm: float | None
    at_deg: float | None
    value_mm: float | None
    word: str
    gauge: str
    template: str
    sd_mm: float | None
    confirmed: bool
    stamp: Stamp
    status: str
    by: Stamp = NOBODY
    instead: str = ""

    @property
    def counts(self) -> bool:
        """Whether it is in force."""
        return self.status == COUNTS

    @property
    def put_right(self) -> bool:
        """Whether something else stands in its place; not where it was read again and found right."""
        return not self.counts and self.instead != self.text

    @property
    def text(self) -> str:
        """As it was logged, "0.35 mm", "touching"."""
        return self.word or gap_text(self.value_mm)


def readings_of_log(job: Job, entries: Sequence[Entry]) -> list[Reading]:
    """In the order of the log. Corrections give what they change; what they leave alone stands as it was."""
    found: list[Reading] = []
    by_place = {entry.place: entry for entry in entries}
    after = rounds = 0
    open_round: tuple[Any, ...] | None = None
    where: dict[int, tuple[int, int]] = {}
    sure: set[tuple[int, float | None]] = set()
    for entry in entries:
        event = entry.event
        name = event["event"]
        if entry.of is not None:  # belongs where the entry stands that it puts right
            after_then, round_then = where.get(entry.of, (after, rounds))
            changed = list(_changed(job, entry, by_place[entry.of], after_then, round_then))
            found, sure = found + changed, sure | _all_sure(entry, changed)
            continue
        if name == "gap_read" and entry.status != WITHDRAWN:
            laid = event.get("template"), event.get("at_deg")
            rounds += open_round != laid
            open_round = laid
        elif name in ENDS_ROUND and entry.status != WITHDRAWN:
            open_round = None
            rounds += name == "gaps_read"
            after += name in STRUCK
        where[entry.place] = after, rounds
        read = list(_read(job, entry, after, rounds))
        found, sure = found + read, sure | _all_sure(entry, read)
    return _read_again([replace(r, confirmed=r.confirmed or (r.round, r.at_deg) in sure) for r in found])


def _all_sure(entry: Entry, read: Sequence[Reading]) -> set[tuple[int, float | None]]:
    """Round and meridian of which one entry confirms all readings with its own."""
    whole = entry.counts and entry.event.get("confirmed") == ROUND
    return {(reading.round, reading.at_deg) for reading in read} if whole else set()


def _read(job: Job, entry: Entry, after: int, rounds: int) -> Iterator[Reading]:
    """The readings of one entry; none where it is no reading."""
    instead = {}
    if entry.status == REPLACED and entry.instead is not None:
        instead = {_place(reading): reading for reading in _told(job, entry.instead)}
    for reading in _told(job, entry.event):
        then = instead.get(_place(reading))
        stands = then is not None and _says(then) == _says(reading)
        yield replace(
            reading,
            round=rounds if reading.quantity == GAP else 0,
            after=after,
            stamp=entry.stamp,
            status=COUNTS if stands else entry.status,
            by=NOBODY if stands else entry.by,
            instead="" if then is None or stands else then.text,
        )


def _changed(job: Job, entry: Entry, first: Entry, after: int, rounds: int) -> Iterator[Reading]:
    """What a correction reads otherwise than the entry that it puts right."""
    before = {_place(reading): _says(reading) for reading in _told(job, first.event)}
    for reading in _read(job, entry, after, rounds):
        if before.get(_place(reading)) != _says(reading):
            yield reading


def _told(job: Job, event: Event) -> Iterator[Reading]:
    made = _MADE.get(event["event"])
    return made(job, event) if made else iter(())


def _place(reading: Reading) -> tuple[Any, ...]:
    return reading.quantity, reading.site, reading.at_deg


def _says(reading: Reading) -> tuple[Any, ...]:
    return reading.text, reading.gauge, reading.template, reading.confirmed


def _read_again(found: list[Reading]) -> list[Reading]:
    """The last reading of a place in a round counts."""
    last: dict[tuple[Any, ...], int] = {}
    told = list(found)
    for i, reading in enumerate(found):
        if reading.quantity != GAP or not reading.counts:
            continue
        place = reading.round, reading.site, reading.at_deg
        if place in last:
            told[last[place]] = replace(
                found[last[place]], status=AGAIN, by=reading.stamp, instead=reading.text
            )
        last[place] = i
    return told


def _gap(job: Job, event: Event) -> Iterator[Reading]:
    site = event["station"]
    yield _gap_reading(job, event, site, event["gap_mm"], gauge_of(job, event), event.get("confirmed"))


def _gaps(job: Job, event: Event) -> Iterator[Reading]:
    gauges = gauges_of(event.get("gauge"), job.gauge, len(job.part.sites))
    confirmed = set(event.get("confirmed", ()))
    for site, gap in enumerate(event["gaps_mm"]):
        if gap is not None:
            yield _gap_reading(job, event, site, gap, gauges[site], site in confirmed)


def gauge_of(job: Job, event: Event) -> Any:
    """The gauge of a reading, the job's where none is said."""
    return job.gauge if event.get("gauge") is None else gauge_from(event["gauge"])


def _gap_reading(job: Job, event: Event, site: int, gap: Any, gauge: Any, confirmed: Any) -> Reading:
    given = event.get("template")
    template = job.template if given is None else template_from(given, length_mm=job.part.length_mm)
    number = isinstance(gap, int | float)
    return Reading(
        quantity=GAP,
        round=0,
        after=0,
        site=site,
        at_mm=float(job.part.sites.position_mm[site]),
        at_deg=_meridian(job, event),
        value_mm=float(gap) if number else 0.0 if gap == "touching" else None,
        word="" if number else gap_text(gap),
        gauge=gauge.name,
        template=template.name,
        sd_mm=gauge.sd_mm(template.sd_mm) if number or gap == "touching" else None,
        confirmed=bool(confirmed),
        stamp=NOBODY,
        status=COUNTS,
    )


def _rim(job: Job, event: Event) -> Iterator[Reading]:
    return _across(event, DIAMETER, "diameters_mm")


def _heights(job: Job, event: Event) -> Iterator[Reading]:
    return _across(event, HEIGHT, "heights_mm")


def _across(event: Event, quantity: str, key: str) -> Iterator[Reading]:
    gauge = gauge_from(event.get("gauge") or RIM_GAUGE)
    for angle, value in zip(event["at_deg"], event[key], strict=True):
        yield _alone(quantity, _degrees(angle), float(value), gauge.name, gauge.sd_mm())


def _bow(job: Job, event: Event) -> Iterator[Reading]:
    yield _alone(BOW, None, float(event["bow_mm"]), "on the bench plate", None)


def _alone(quantity: str, at_deg: float | None, value: float, gauge: str, sd: float | None) -> Reading:
    return Reading(quantity, 0, 0, None, None, at_deg, value, "", gauge, "", sd, False, NOBODY, status=COUNTS)


def _meridian(job: Job, event: Event) -> float | None:
    """Degrees; at the mark where it is not said."""
    on_meridians = isinstance(job.part, ReadOnMeridians)
    return _degrees(event.get("at_deg") or 0.0) if on_meridians else None


def _degrees(angle: Any) -> float:
    return round(degrees(meridian_rad(angle, "at_deg")), 6)


_MADE: dict[str, Callable[[Job, Event], Iterator[Reading]]] = {
    "gap_read": _gap,
    "gaps_read": _gaps,
    "rim_read": _rim,
    "heights_read": _heights,
    "bow_read": _bow,
}
