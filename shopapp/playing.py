"""What an operator does with a simulated bar between two answers of the core; everything goes on record."""

from __future__ import annotations

from collections.abc import Sequence

import core

WHO = "simulated operator"
COARSE = "steel rule"
FEW = 0.25
"""When more of the gaps than this share are beyond the gauge, the operator takes the rule instead."""


class Play:
    """One part of a shop, worked on a bar that answers.

    part : its record; seed : of the bar's hidden numbers. A part that was begun goes on where its log ends.
    """

    def __init__(self, part: core.PartFile, seed: int) -> None:
        self.part = part
        self.job = core.job(part.job_document)
        self.bar = core.answering_bar(self.job, part.events, seed)

    def advice(self) -> core.Advice:
        """What the core says of the record as it is now."""
        return core.refit(self.job, self.part.events)

    def run(self, planned: core.Pass) -> core.Event:
        """Run a pass as planned and record it."""
        strokes = [int(m) for m in planned.strokes]
        self.bar.work(planned.action, planned.bite, strokes)
        return self._record(core.pass_done(planned.action, strokes, bite=planned.bite))

    def read(self) -> core.Event:
        """Seat the template, read every station and record the round."""
        gaps = self.bar.gaps()
        if gaps.count("beyond") <= FEW * len(gaps):
            return self._record(core.gaps_read(gaps))
        gaps = self.bar.gaps(gauge=core.GAUGES[COARSE], reseat=False)
        return self._record(core.gaps_read(gaps, gauge=COARSE))

    def read_again(self, round_: core.Event, stations: Sequence[int]) -> core.Event:
        """Read some stations of a round again, as the template lies, and correct the round."""
        gauge = round_.get("gauge")
        fresh = self.bar.gaps(gauge=core.GAUGES[gauge] if gauge else None, reseat=False)
        gaps = list(round_["gaps_mm"])
        for i in stations:
            gaps[i] = fresh[i]
        return self._record(core.corrected(round_["id"], core.gaps_read(gaps, gauge, confirmed=stations)))

    def sign_off(self) -> core.Event:
        """Record that the part is finished."""
        return self._record({"event": "signed_off", "by": WHO})

    def _record(self, event: core.Event) -> core.Event:
        return self.part.append(event, who=WHO)
