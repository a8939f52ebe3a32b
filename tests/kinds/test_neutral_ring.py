"""The ring that keeps its size, and the method, stay as a begun part has them, whatever its limits become."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.geometry.blank import Blank
from core.geometry.meridian import torispherical
from core.geometry.ways import AREA_KEPT, LENGTH_KEPT, RIM_KEPT, EdgeAndMiddle
from core.kinds.dish import DishPart
from core.kinds.methods import BOTH, written
from tests.kinds.test_both_ways import LIMITS, steep
from tests.made_up import bowl, flange, rib

LONG = "the length along the dish from its pole to its rim"
# As an anneal, figures of the shop's own, a limit of the job's own or another tool set change them.
CHANGES: list[dict[str, Any]] = [
    {"limits": {**LIMITS, "stretch_total": 0.04}},
    {"limits": {"strain_total": 0.3, "stretch_total": 0.2}},
    {"limits": ...},
    {"material": "copper Cu-DHP soft"},
    {"tool": {**bowl()["tool"], "actions": ["shrink"]}},
]


def begun(**changes: Any) -> dict[str, Any]:
    return steep(**changes).settled_document


def changed(document: dict[str, Any], change: dict[str, Any]) -> core.Job:
    return core.job({key: value for key, value in {**document, **change}.items() if value is not ...})


def dish(job: core.Job) -> DishPart:
    assert isinstance(job.part, DishPart)
    return job.part


def test_a_job_states_what_limits_settled() -> None:
    job = steep()
    ring = dish(job).kept_ring_mm
    assert ring is not None and set(job.settled) == {"method", "neutral_ring"}
    assert job.settled["method"] == BOTH
    along = core.parse_length_mm(job.settled["neutral_ring"], "neutral_ring")
    assert 0.0 <= ring[0] - along <= 0.1
    again = core.job(job.settled_document)
    assert again.settled == {} and again.settled_document == again.document
    assert dish(again).kept_ring_mm == pytest.approx(ring, abs=0.15)
    for other in (rib(), flange(), bowl()):
        assert core.job(other).settled == {}


@pytest.mark.parametrize("change", CHANGES)
def test_limits_that_change_move_nothing_of_a_begun_part(change: dict[str, Any]) -> None:
    """Copper's ratio of Poisson alone, of the sheet's own bending, makes a hair of a difference."""
    document = begun()
    before, after = core.job(document), changed(document, change)
    assert before.limits != after.limits or before.actions != after.actions
    was, now = dish(before), dish(after)
    assert now.blank.way == was.blank.way and next(iter(now.discs_mm)) == BOTH
    np.testing.assert_array_equal(now.rings_mm, was.rings_mm)
    np.testing.assert_array_equal(now.target, was.target)
    work = np.linspace(0.02, -0.03, len(was.target))
    np.testing.assert_array_equal(now.thickness_mm(work), was.thickness_mm(work))
    at = now.linearise(0.5 * now.target)
    np.testing.assert_allclose(at.deviation_mm, was.linearise(0.5 * was.target).deviation_mm, atol=1e-3)


def test_the_advice_on_a_begun_part_keeps_its_disc() -> None:
    document = begun()
    made, log = core.simulated_part(core.job(document), 2), []
    for _ in range(2):
        planned = core.refit(core.job(document), log).next_pass
        assert planned is not None
        made.work(planned.action, planned.bite, planned.strokes.tolist())
        log.append(core.pass_done(planned.action, planned.strokes.tolist(), bite=planned.bite))
        gaps, gauges = made.gaps_by_any_gauge()
        log.append(core.gaps_read(gaps, gauges if any(gauges) else None))
    stricter = {"limits": {**LIMITS, "stretch_total": 0.06}}
    one, other = (core.refit(changed(document, each), log) for each in ({}, stricter))
    np.testing.assert_allclose(other.deviation_mm, one.deviation_mm, atol=0.02)
    np.testing.assert_allclose(other.thickness_mm, one.thickness_mm, atol=1e-4)
    left = [float(np.nanmax(np.abs(each.deviation_mm))) for each in (one, other)]
    assert left[1] == pytest.approx(left[0], abs=0.02)


@pytest.mark.parametrize("change", CHANGES[:2])
def test_a_document_that_does_not_state_it_opens_as_before_and_says_so(change: dict[str, Any]) -> None:
    document = {**begun(), "neutral_ring": ...}
    first, then = changed(document, {}), changed(document, change)
    assert dish(first).blank.way != dish(then).blank.way
    for job in (first, then):
        (said,) = [w for w in job.warnings if "keeps its size" in w]
        assert "by the limits as they are now" in said
        assert f"lies {job.settled['neutral_ring']} from the pole along the dish" in said
        assert not set('"{}_') & set(said)  # plain words: the screens show it as well
    assert not any("keeps its size" in said for said in core.job(begun()).warnings)


def test_a_method_by_limits_does_not_flip_once_the_part_is_begun() -> None:
    """A cap that shrinking the edge makes, until the limit falls below what that asks."""
    document = bowl(method="by limits")
    less = {"limits": {"strain_total": 0.05}}
    first = core.job(document)
    assert next(iter(dish(first).discs_mm)) == "shrink the edge" and first.settled == {
        "method": "shrink the edge"
    }
    assert any("stays so once the part is begun" in said for said in first.warnings)
    assert next(iter(dish(changed(document, less)).discs_mm)) != "shrink the edge"
    kept = changed(first.settled_document, less)
    assert next(iter(dish(kept).discs_mm)) == "shrink the edge"
    np.testing.assert_array_equal(kept.part.target, first.part.target)
    assert any("has to get" in said for said in kept.warnings)  # beyond the limit now, and said


def test_a_stated_ring_that_asks_more_than_another_would_is_told() -> None:
    stated = changed(begun(), {"neutral_ring": "80 mm"})
    (said,) = [w for w in stated.warnings if "keeps its size" in w]
    assert "is stated at 80.0 mm along the dish" in said and "it would lie at 173.5 mm" in said
    ring = dish(stated).kept_ring_mm
    assert ring is not None and ring[0] == pytest.approx(80.0)
    bare = changed(begun(), {"neutral_ring": ..., "neutral_ring_mm": 80})
    assert dish(bare).blank.way == dish(stated).blank.way


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"neutral_ring": "300 mm"}, "neutral_ring", f"at most 230.5 mm is wanted, {LONG}"),
        ({"neutral_ring": "0 mm"}, "neutral_ring", "more than 0 mm"),
        ({"neutral_ring": "-3 mm"}, "neutral_ring", "more than 0 mm"),
        ({"neutral_ring": "12"}, "neutral_ring", "with its unit, such as '12 mm'"),
        ({"neutral_ring": "12 deg"}, "neutral_ring", "a length with its unit"),
        ({"neutral_ring": ..., "neutral_ring_mm": "far"}, "neutral_ring_mm", "a length with its unit"),
        ({"neutral_ring_mm": 80}, "neutral_ring_mm", "'neutral_ring' is given too"),
        ({"method": "shrink the edge"}, "neutral_ring", f"only by the method '{BOTH}'"),
        ({"method": "by limits"}, "neutral_ring", f"only by the method '{BOTH}'"),
    ],
)
def test_a_ring_that_cannot_be_is_refused(change: dict[str, Any], field: str, said: str) -> None:
    with pytest.raises(core.InputError) as error:
        changed(begun(), change)
    assert error.value.field == field and said in str(error.value)


def test_the_ring_has_the_same_radius_on_disc_and_dish() -> None:
    """rho(s0) = r(s0), as the way defines it; a ring on the straight flange of a deep end as well."""
    end = torispherical(400.0, 60.0, 400.0, 40.0)
    for neutral in (0.2, 0.6, 0.95):
        blank = Blank(end, EdgeAndMiddle(neutral))
        assert blank.kept_mm is not None
        along, radius = blank.kept_mm
        assert float(blank.flat_mm(along)) == pytest.approx(radius, abs=0.05)
        assert written(end, blank.way) == f"{int(along * 10) / 10:.1f} mm"
    for way in (LENGTH_KEPT, RIM_KEPT, AREA_KEPT):
        assert Blank(end, way).kept_mm is None and written(end, way) == ""
