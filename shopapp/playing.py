"""What an operator does with a simulated bar between two answers of the core; everything goes on record."""

from __future__ import annotations

from collections.abc import Sequence

import core
from shopapp.presenters import planning

WHO = "simulated operator"


class Play:
    """One part of a shop, worked on a bar that answers.

    part : its record; seed : of the bar's hidden numbers; batch : of those that it shares, None: of none.
    A part that was begun goes on where its log ends.
    """

    def __init__(self, part: core.PartFile, seed: int, batch: int | None = None) -> None:
        self.part = part
        self.job = core.job(part.job_document)
        self.bar = core.answering_part(self.job, part.events, seed, batch)

    def advice(self) -> core.Advice:
        """What the core says of the record as it is now."""
        return core.refit(self.job, self.part.events)

    def run(self, planned: core.Pass) -> core.Event:
        """Run a pass as planned and record it; the anneal that it wants first as well."""
        if planned.anneal_first:
            self.bar.anneal()
            self._record(core.annealed())
        strokes = [int(m) for m in planned.strokes]
        self._record(core.note("pass as planned", planned={"as_shown": True, **planning.of_pass(planned)}))
        self.bar.work(planned.action, planned.bite, strokes)
        return self._record(core.pass_done(planned.action, strokes, bite=planned.bite))

    def smooth(self, wanted: core.Smoothing) -> core.Event:
        """Smooth the faces as planned and record it."""
        strokes = [int(m) for m in wanted.strokes]
        self.bar.smooth(wanted.bite, strokes)
        return self._record(core.smoothed(strokes, wanted.bite))

    def strike(self, step: core.RoundingStep) -> core.Event:
        """Do a step against lobes and record it."""
        assert isinstance(self.bar, core.SimulatedDish)
        self.bar.strike_arcs(step.action, step.bite, step.lobes, step.at_deg, step.strokes)
        return self._record(core.rounded(step.action, step.lobes, step.at_deg, step.strokes, step.bite))

    def read(self, at_deg: float | None = None) -> core.Event:
        """Seat the template, on this meridian where the part has any, read every station and record the
        round."""
        return self._record(_round(*gaps_on(self.bar, at_deg), at_deg=at_deg))

    def read_again(self, taken: core.Event, stations: Sequence[int]) -> core.Event:
        """Read some stations of a round again, as the template lies, and correct the round."""
        at_deg = taken.get("at_deg")
        gaps, gauges = gaps_on(self.bar, at_deg, reseat=False)
        for i, (gap, gauge) in enumerate(zip(taken["gaps_mm"], _gauges(taken), strict=True)):
            if i not in stations:
                gaps[i], gauges[i] = gap, gauge
        return self._record(core.corrected(taken["id"], _round(gaps, gauges, stations, at_deg)))

    def read_bow(self) -> None:
        """Read the bow of a bar over the bench plate and record it, for the checks that ask for it too."""
        assert isinstance(self.bar, core.SimulatedBar)
        bow_mm = self.bar.bow()
        self._record(core.bow_read(bow_mm))
        for check in self.job.checks:
            if check.bow and check.is_due(self.job.place):
                self._record(core.check_read(check.name, abs(bow_mm)))

    def sign_off(self, concession: str = "") -> core.Event:
        """Record that the part is finished. concession : what was not in order and why it may stay so"""
        event = core.signed_off(WHO)
        return self._record(event | {"concession": concession} if concession else event)

    def _record(self, event: core.Event) -> core.Event:
        return self.part.append(event, who=WHO)


def gaps_on(
    part: core.SimulatedPart, at_deg: float | None, reseat: bool = True
) -> tuple[list[float | str | None], list[str | None]]:
    """A round of a simulated part, on this meridian where it has any: readings, and the gauge of each where
    it was not the job's."""
    if isinstance(part, core.SimulatedDish):
        return part.gaps_by_any_gauge(reseat=reseat, at_deg=at_deg or 0.0)
    return part.gaps_by_any_gauge(reseat=reseat)


def _round(
    gaps: list[float | str | None],
    gauges: list[str | None],
    confirmed: Sequence[int] = (),
    at_deg: float | None = None,
) -> core.Event:
    """The event of a round; gauges are named only where one was not the job's."""
    return core.gaps_read(gaps, gauges if any(gauges) else None, confirmed=confirmed, at_deg=at_deg)


def _gauges(taken: core.Event) -> Sequence[str | None]:
    """Gauge of every station of a round, None where it was the job's."""
    gauges: Sequence[str | None] = taken.get("gauge") or [None] * len(taken["gaps_mm"])
    return gauges
