"""An anneal in the pass list of a part that is shrunk: once the edge is about half hard, not sooner."""

from __future__ import annotations

from math import log

import pytest

import core
from core.simulate import Truth
from shopapp.demo_jobs import demo_jobs
from tests.made_up import rib

TIGHT = {
    "line": {"radius": "145 mm", "length": "200 mm"},
    "pitch": "20 mm",
    "section": {"shape": "angle", "worked": "25 mm", "other": "25 mm", "thickness": "1 mm"},
    "material": "aluminium 1050A-O",
    "tool__patch_depth": "12 mm",
    "gauge": "steel rule",
}
OWN = {"shrink_per_stroke": 0.05, "shrink_since_anneal": 0.06}


@pytest.mark.parametrize(
    ("material", "strain"),
    [
        ("aluminium 1050A-O", 0.8 * 0.25),
        ("aluminium 1050A-H14", 0.8 * 0.25),  # its n is 0.05; that of the soft temper counts
        ("mild steel DC01", 0.8 * 0.21),
        # n of 0.44 and more: sheet is half hard once it is rolled 20.7 % thinner, two numbers of the gauge
        # (ASTM B601, from memory, check), an effective strain of 2/sqrt(3) times that in thickness
        ("copper Cu-DHP soft", 0.8 * 2.0 / 3.0**0.5 * -log(1.0 - 0.207)),
        ("stainless steel 1.4301", 0.8 * 2.0 / 3.0**0.5 * -log(1.0 - 0.207)),
    ],
)
def test_of_the_metals(material: str, strain: float) -> None:
    job = core.job(rib(material=material))
    assert job.limits.shrink_since_anneal.strain == pytest.approx(strain, rel=2e-3)


def test_half_hard_by_the_tables_own_figures() -> None:
    """Hollomon: metal drawn by e0 beforehand stretches evenly by n - e0 more; so half-hard sheet has had the
    difference of the two n. What is named is no more than that, and no less than half of it."""
    for soft, half in (
        ("aluminium 1050A-O", "aluminium 1050A-H14"),
        ("copper Cu-DHP soft", "copper Cu-DHP half hard"),
    ):
        had = core.METALS[soft].figure("n").typical - core.METALS[half].figure("n").typical
        assert 0.5 * had < core.job(rib(material=soft)).limits.shrink_since_anneal.strain < 1.001 * had


def test_it_comes_as_late_as_the_metal_is_soft_enough() -> None:
    job = core.job(rib(**TIGHT, limits=OWN))
    passes = core.refit(job, []).remaining
    at = [k for k, planned in enumerate(passes) if planned.anneal_first]
    since = [planned.edge.since.max() for planned in passes]
    assert at and at[0] > 1 and since[at[0] - 1] > 0.06 > since[at[0] - 2]
    assert since[at[0]] < 0.06 and passes[at[0]].edge.total.max() > 0.06
    hardened = passes[at[0]].hardened
    assert hardened is not None and hardened.limit is job.limits.shrink_since_anneal
    said = [reason for reason in core.refit(job, []).reasons if "soft metal" in reason]
    assert said[0].startswith(f"Pass {at[0] + 1} of those still planned goes better on soft metal")
    assert "more than 6 % of natural edge strain since the metal was last soft" in said[0]
    assert "(the job)" in said[0] and "340 to 400 °C" in said[0]


def test_a_soft_metal_and_a_small_strain_want_none() -> None:
    for document in demo_jobs().values():
        advice = core.refit(core.job(document), [])
        assert advice.remaining and not any(planned.anneal_first for planned in advice.remaining)
    wide = {**TIGHT, "line": {"radius": "500 mm", "length": "200 mm"}}
    advice = core.refit(core.job(rib(**wide, limits=OWN)), [])  # 3.8 % in all
    assert advice.remaining and not any(planned.anneal_first for planned in advice.remaining)
    assert not any("anneal" in reason for reason in advice.reasons)


def test_it_is_not_asked_for_again_nor_for_little() -> None:
    job = core.job(rib(**TIGHT, limits=OWN))
    one = core.pass_done("shrink", [8] * len(job.part.sites))
    hard = core.refit(job, [one] * 4)
    assert hard.edge_strain.max() > 0.06 and hard.next_pass is not None and hard.next_pass.anneal_first
    soft = core.refit(job, [*[one] * 4, core.annealed()])
    assert soft.next_pass is not None and not soft.next_pass.anneal_first
    bar = core.simulated_bar(job, 1, Truth(exponent=0.85, hardening_strain=0.5))
    for _ in range(6):
        bar.work("shrink", "medium", one["strokes"])
    most = core.refit(job, [*[one] * 6, core.gaps_read(bar.gaps())])
    assert most.edge_strain.max() > 0.06 and job.part.asked_strain().max() - most.edge_strain[5] < 0.015
    assert most.remaining and not any(planned.anneal_first for planned in most.remaining)


def test_metal_that_must_not_be_annealed_is_shrunk_on() -> None:
    job = core.job(rib(**TIGHT | {"material": "titanium-zinc EN 988"}, limits=OWN))
    passes = core.refit(job, []).remaining
    assert passes[-1].edge.since.max() > 0.06 and not any(planned.anneal_first for planned in passes)


def test_annealed_the_simulated_bar_is_done_with_less() -> None:
    """The same bar from the same state, which hardens to half at 30 %: softened, or worked on as it is."""
    job = core.job(rib(**TIGHT, limits=OWN))

    def effort(soften: bool) -> float:
        bar, events, total = core.simulated_bar(job, 3, Truth(hardening_strain=0.3)), [], 0.0
        for _ in range(12):
            planned = core.refit(job, events).next_pass
            if planned is None:
                break
            if planned.anneal_first and soften:
                bar.anneal()
                events.append(core.annealed())
            bar.work(planned.action, planned.bite, planned.strokes.tolist())
            events.append(core.pass_done(planned.action, planned.strokes.tolist(), bite=planned.bite))
            events.append(core.gaps_read(bar.gaps()))
            total += planned.total * job.tools[planned.action].bites[planned.bite]
            if bar.widest_gap_mm() < 2.0:
                break
        assert bar.widest_gap_mm() < 2.0 and (core.annealed() in events) == soften
        return total

    assert effort(soften=True) < 0.95 * effort(soften=False)
