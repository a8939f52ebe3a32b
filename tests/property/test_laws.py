"""Laws that hold for any log: the same part told in another way gets the same answer.

A log is drawn by hypothesis: line, section, template, passes and how many readings are missing; its gaps are
those of a simulated bar.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import core
from core.estimate.fit import Fit
from core.readings.rounds import steps_of
from core.readings.seating import rigid_free
from tests.estimate.logs import fitted, worked
from tests.made_up import rib

pytestmark = pytest.mark.property
LENGTH, PITCH, N = 800.0, 40.0, 20
SEGMENTS: list[list[list[Any]]] = [
    [[LENGTH, 1500.0]],
    [[300.0, 1200.0], [500.0, 2500.0]],
    [[400.0, 1500.0], [400.0, -1200.0]],
]
SOME = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@dataclass(frozen=True)
class Told:
    """A job's document and its log."""

    document: dict[str, Any]
    events: list[dict[str, Any]]

    @property
    def job(self) -> core.Job:
        return core.job(self.document)

    def fit(self) -> Fit:
        return fitted(self.job, self.events)

    def advice(self) -> core.Advice:
        return core.refit(self.job, self.events)


@st.composite
def told(draw: st.DrawFn, most_passes: int = 3) -> Told:
    """A part and what was done to it, each pass read."""
    template = draw(st.sampled_from(["inside", "outside", "layout line"]))
    document = rib(line={"segments_mm": draw(st.sampled_from(SEGMENTS))}, template=template)
    passes, seed = draw(st.integers(1, most_passes)), draw(st.integers(0, 999))
    return Told(document, worked(core.job(document), passes, seed, every=draw(st.sampled_from([1, 1, 3]))))


def shape(answer: Fit, job: core.Job) -> tuple[np.ndarray, np.ndarray]:
    """Deviation at the stations with rigid motion taken out, and its standard deviation."""
    n = answer.sites
    here = job.part.linearise(answer.belief.mean[:n])
    free = rigid_free(here.seating)
    rows = free @ here.influence
    return free @ here.deviation_mm, np.sqrt(np.sum((rows @ answer.belief.cov[:n, :n]) * rows, axis=1))


def alike(one: np.ndarray, other: np.ndarray, sd: np.ndarray, share: float) -> None:
    """Equal to a share of the uncertainty."""
    assert np.max(np.abs(one - other) / np.maximum(sd, 1e-12)) < share


def turned(story: Told) -> Told:
    """The bar laid the other way round: what was first is last."""
    document = copy.deepcopy(story.document)
    document["line"]["segments_mm"] = document["line"]["segments_mm"][::-1]
    events = copy.deepcopy(story.events)
    for event in events:
        for field in ("strokes", "gaps_mm", "gauge"):
            if isinstance(event.get(field), list):
                event[field] = event[field][::-1]
    return Told(document, events)


def planned_work(advice: core.Advice, bites: dict[str, float], action: str) -> np.ndarray:
    """What all passes of an action still do at each station, in medium strokes."""
    planned = [bites[p.bite] * p.strokes for p in advice.remaining if p.action == action]
    return np.sum(planned, axis=0)


@SOME
@given(told())
def test_turning_the_bar_end_for_end_turns_the_answer(story: Told) -> None:
    one, other = story.fit(), turned(story).fit()
    sd = np.sqrt(np.diag(one.belief.cov))[:N]
    alike(other.belief.mean[:N][::-1], one.belief.mean[:N], sd, 0.02)
    np.testing.assert_allclose(np.sqrt(np.diag(other.belief.cov))[:N][::-1], sd, rtol=0.01)


@settings(SOME, max_examples=6)
@given(told(most_passes=2))
def test_turning_the_bar_end_for_end_turns_the_advice(story: Told) -> None:
    """Verdict and gap to the digit that is shown; what is to do by action, in passes and along the bar."""
    one, other = story.advice(), turned(story).advice()
    assert other.widest_gap_mm == pytest.approx(one.widest_gap_mm, rel=0.01, abs=0.02)
    assert other.chance_within == pytest.approx(one.chance_within, abs=0.15)
    assert (one.next_pass is None) == (other.next_pass is None)
    if one.next_pass is None or other.next_pass is None:
        return
    assert {p.action for p in other.remaining} == {p.action for p in one.remaining}
    assert len(other.remaining) == pytest.approx(len(one.remaining), abs=1)
    for action in {p.action for p in one.remaining}:  # rounding from the other end may share it otherwise
        done, turned_round = (
            np.cumsum(planned_work(advice, story.document["tool"]["bites"], action)[::way])
            for advice, way in ((one, 1), (other, -1))
        )
        assert np.max(np.abs(done - turned_round)) <= 4 + 0.25 * max(done[-1], turned_round[-1])


@SOME
@given(told(), st.sampled_from(["cm", "m", "in", "um"]))
def test_units_do_not_matter(story: Told, unit: str) -> None:
    """The same document in other units: exactly the same job and the same answer to rounding."""
    factor = {"cm": 10.0, "m": 1000.0, "in": 25.4, "um": 1e-3}[unit]

    def told_in(value: Any) -> Any:
        if isinstance(value, str) and value.endswith(" mm"):
            return f"{float(value[:-3]) / factor!r} {unit}"
        if isinstance(value, dict):
            return {k: told_in(v) for k, v in value.items()}
        return value

    document = told_in(story.document)
    pieces = document["line"].pop("segments_mm")
    document["line"]["segments"] = [[f"{v / factor!r} {unit}" for v in piece] for piece in pieces]
    assert any(text.endswith(f" {unit}") for text in document["section"].values() if isinstance(text, str))
    one, other = story.fit(), Told(document, story.events).fit()
    sd = np.sqrt(np.diag(one.belief.cov))
    alike(other.belief.mean, one.belief.mean, sd, 1e-4)


@SOME
@given(told(), st.floats(0.0, 3.0), st.floats(-3e-3, 3e-3))
def test_how_the_template_is_held_does_not_matter(story: Told, shift: float, tilt: float) -> None:
    """A rigid motion of the part as it is, added to a round of gaps, says nothing of its shape.

    Nearly: the refit rests when the geometry moves by less than 0.02 mm, a few tenths of what readings
    with an uncertainty of 0.05 mm leave unknown.
    """
    job, answer = story.job, story.fit()
    work = answer.belief.mean[:N]
    seat = np.array([job.template.sign * (shift + 1.2), tilt, 0.0])  # 1.2 mm: an end goes in with the tilt
    held, moved = (job.part.linearise(work, s).deviation_mm for s in (np.zeros(3), seat))
    more = job.template.sign * (moved - held)
    last = story.events[-1]
    gaps = [0.0 if g == "touching" else g for g in last["gaps_mm"]]
    gauges = ["steel rule"] * N  # reaches whatever comes of it
    plain = core.gaps_read(gaps, gauges)
    again = core.gaps_read([None if g is None else g + m for g, m in zip(gaps, more, strict=True)], gauges)
    before = story.events[:-1]
    one, other = (Told(story.document, [*before, e]).fit() for e in (plain, again))
    alike(other.belief.mean, one.belief.mean, np.sqrt(np.diag(one.belief.cov)), 0.3)


UNBUNDLED = {"exponent": 1.0, "exponent_sd": 0.0, "neighbours": 0.0, "neighbours_sd": 0.0}


def in_two_entries(story: Told, seed: int) -> list[dict[str, Any]]:
    """The same log with the strokes of every pass divided at random between two entries."""
    rng = np.random.default_rng(seed)
    split: list[dict[str, Any]] = []
    for event in story.events:
        if event["event"] != "pass_done":
            split.append(event)
            continue
        some = [int(rng.integers(0, m + 1)) for m in event["strokes"]]
        rest = [m - s for m, s in zip(event["strokes"], some, strict=True)]
        split += [core.pass_done(event["action"], part, event["bite"]) for part in (some, rest)]
    return split


@SOME
@given(told(), st.integers(0, 2**32 - 1))
def test_one_pass_told_in_two_entries_is_the_same(story: Told, seed: int) -> None:
    """For a bar that does not mind how its strokes are bundled (p = 1, nothing lost beside a worked
    neighbour, no hardening, known beforehand)."""
    plain = UNBUNDLED | {"hardening": 0.0, "hardening_sd": 0.0}
    document = story.document | {"response": plain}
    job, split = core.job(document), in_two_entries(story, seed)
    one, other = Told(document, story.events).fit(), Told(document, split).fit()
    (d_one, sd), (d_other, sd_other) = shape(one, job), shape(other, job)
    alike(d_other, d_one, sd, 1e-5)
    np.testing.assert_allclose(sd_other, sd, rtol=1e-6)
    np.testing.assert_allclose(other.strain, one.strain, rtol=1e-9)


@settings(SOME, max_examples=6)
@given(told(), st.integers(0, 2**32 - 1))
def test_hardening_within_a_pass_is_taken_at_its_middle(story: Told, seed: int) -> None:
    """Each entry's strokes count as made at the strain half-way through it. By hand: the mean of exp(-h e)
    over a pass of strain s is more than that by (h s)^2 / 24 of the work, under 1e-4 here; gaps of tens of mm
    known to hundredths feel a tenth of their uncertainty of it."""
    document = story.document | {"response": UNBUNDLED}
    job, split = core.job(document), in_two_entries(story, seed)
    one, other = Told(document, story.events).fit(), Told(document, split).fit()
    (d_one, sd), (d_other, sd_other) = shape(one, job), shape(other, job)
    alike(d_other, d_one, sd, 0.2)
    np.testing.assert_allclose(sd_other, sd, rtol=0.05)


@SOME
@given(told(most_passes=2))
def test_the_order_of_gaps_in_a_round_does_not_matter(story: Told) -> None:
    """One list, or single readings from the far end to the near one."""
    single: list[dict[str, Any]] = []
    for event in story.events:
        if event["event"] != "gaps_read":
            single.append(event)
            continue
        gauges = event.get("gauge") or [None] * N
        for i in reversed(range(N)):
            if event["gaps_mm"][i] is not None:
                single.append(core.gap_read(i, event["gaps_mm"][i], gauges[i]))
    one, other = story.fit(), Told(story.document, single).fit()
    alike(other.belief.mean, one.belief.mean, np.sqrt(np.diag(one.belief.cov)), 1e-6)


@settings(SOME, max_examples=5)
@given(told(most_passes=2))
def test_a_refit_is_pure(story: Told) -> None:
    """Asked twice, answered alike to the last bit; the log and the document are as they were."""
    events, document = copy.deepcopy(story.events), copy.deepcopy(story.document)
    job = core.job(document)
    one, other = core.refit(job, events), core.refit(job, events)
    assert events == story.events and document == story.document
    assert core.advice_document(one) == core.advice_document(other)
    np.testing.assert_array_equal(one.remaining_work, other.remaining_work)
    np.testing.assert_array_equal(one.deviation_sd_mm, other.deviation_sd_mm)
    again = core.refit(core.job(copy.deepcopy(document)), copy.deepcopy(events))
    assert core.advice_document(again) == core.advice_document(one)


@SOME
@given(told())
def test_what_was_withdrawn_never_was(story: Told) -> None:
    """A slip and its undo in the middle of the log leave no trace in the answer."""
    slip = {**core.pass_done("stretch", [3] * N, "heavy"), "id": "slip"}
    middle = len(story.events) // 2
    with_slip = [*story.events[:middle], slip, core.withdrawn("slip"), *story.events[middle:]]
    one, other = story.fit(), Told(story.document, with_slip).fit()
    np.testing.assert_array_equal(one.belief.mean, other.belief.mean)
    assert len(steps_of(story.job, with_slip)) == len(steps_of(story.job, story.events))
