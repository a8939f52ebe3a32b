"""What a reading is worth: JCGM 100:2008 (GUM), and signs of the templates."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.errors import InputError
from core.readings.gauges import GAUGES
from core.readings.reading import readings_of
from core.readings.rounds import Annealed, PassDone, Round, steps_of
from core.readings.templates import TEMPLATES, Template, sweep
from tests.made_up import rib

N = 30


@pytest.mark.parametrize(
    "step, expected",
    [  # JCGM 100:2008, F.2.2.1 (from memory): u = step / sqrt(12) = 0.29 step
        (0.1, 0.0289),
        (0.05, 0.01443),
        (0.01, 0.00289),
    ],
)
def test_resolution_of_an_indicating_device(step: float, expected: float) -> None:
    found = core.Gauge("any", step, 0.0, 10.0).sd_mm()
    assert found == pytest.approx(expected, rel=3e-3)


def test_uncertainties_add_in_squares() -> None:
    """JCGM 100:2008, 5.1.2: u_c^2 is the sum of the squares; 3-4-12-13 by hand with step sqrt(12)*3."""
    assert core.Gauge("any", 3.0 * 12**0.5, 4.0, 100.0).sd_mm(12.0) == pytest.approx(13.0)


def test_rectangular_distribution_of_the_step() -> None:
    """JCGM 100:2008, 4.3.7: half width a gives a/sqrt(3), and a step of 2a the same."""
    half = 0.4
    assert core.Gauge("any", 2 * half, 0.0, 10.0).sd_mm() == pytest.approx(half / 3**0.5)


@pytest.mark.parametrize("name, sign", [("inside", 1.0), ("outside", -1.0), ("layout line", 1.0)])
def test_signs_of_the_templates(name: str, sign: float) -> None:
    """An under-closed bar stands outward: a gap on the inside, none to be had on the back."""
    job = core.job(rib(template=name))
    here = job.part.linearise(job.part.target)
    read = readings_of(job.part, TEMPLATES[name], job.part.target, np.zeros(3), job.part.sites.position_mm)
    np.testing.assert_allclose(read.deviation_mm, sign * here.deviation_mm)
    assert here.deviation_mm[0] > 0


@pytest.mark.parametrize("chord", [120.0, 240.0])
def test_sweep_can_be_offered_up_where_it_does_not_overhang(chord: float) -> None:
    at = 20.0 + 40.0 * np.arange(N)
    readable = sweep(chord).layout(at, 1200.0).readable
    assert np.all(readable == ((at >= chord / 2) & (at <= 1200.0 - chord / 2)))


def test_sweep_on_a_straight_bar_reads_the_template_s_own_sagitta() -> None:
    """R - sqrt(R^2 - (c/2)^2) = 3.337 mm at every station, for a chord of 200 mm and a radius of 1500 mm."""
    job = core.job(rib(template={"sweep": "200 mm"}, gauge="dial"))
    at = job.part.sites.position_mm[3:-3]
    read = readings_of(job.part, job.template, job.part.target, np.zeros(3), at).deviation_mm
    np.testing.assert_allclose(read, 1500.0 - (1500.0**2 - 100.0**2) ** 0.5, rtol=2e-3)


def test_sweep_slopes_are_those_of_what_it_reads() -> None:
    """Central differences of the readings of a half-bent bar."""
    job = core.job(rib(template={"sweep": "200 mm"}, gauge="dial"))
    at, x, step = job.part.sites.position_mm[3:-3], 0.5 * job.part.target, 1e-5
    slopes = job.part.sagitta(x, at, 200.0)[1]
    for j in (0, 7, 15):
        ahead, behind = (job.part.sagitta(x + sign * step * np.eye(N)[j], at, 200.0)[0] for sign in (1, -1))
        np.testing.assert_allclose(slopes[:, j], (ahead - behind) / (2 * step), atol=0.05)


def test_a_log_as_steps() -> None:
    job = core.job(rib())
    gaps = [None] * N
    gaps[2], gaps[3], gaps[4], gaps[5] = 0.25, "touching", "beyond", 12.0
    gauges = [None] * N
    gauges[5] = "steel rule"
    steps = steps_of(
        job,
        [
            core.pass_done("stretch", [1] * N, "light"),
            core.annealed(),
            core.gaps_read(gaps, gauges, confirmed=[5]),
            core.note("nothing to do with the shape"),
        ],
    )
    done, softened, read = steps
    assert isinstance(done, PassDone) and (done.action, done.bite) == ("stretch", "light")
    assert isinstance(softened, Annealed)
    assert isinstance(read, Round)
    assert list(read.read) == [2, 3, 5] and read.gaps_mm[3] == 0.0
    assert list(np.flatnonzero(read.beyond)) == [4]
    assert read.reach_mm[4] == 5.0 and read.reach_mm[5] == 500.0
    inside = TEMPLATES["inside"].sd_mm
    assert read.sd_mm[2] == pytest.approx(np.sqrt(0.05**2 / 12 + 0.03**2 + inside**2))
    assert read.sd_mm[5] == pytest.approx(np.sqrt(0.5**2 / 12 + 0.25**2 + inside**2))
    assert read.confirmed == frozenset({5})


def test_the_template_of_a_round_counts_and_not_the_job_s() -> None:
    job = core.job(rib())
    known = Template("outside", -1.0, True, sd_mm=0.2)
    (read,) = steps_of(job, [core.gaps_read([0.1] * N, template={"name": "outside", "sd": "0.2 mm"})])
    assert isinstance(read, Round)
    assert read.template == known
    assert read.sd_mm[0] == pytest.approx(GAUGES["feeler leaves"].sd_mm(0.2))


@pytest.mark.parametrize(
    "event, field",
    [
        (core.gaps_read([0.1] * (N + 1)), "events[0].gaps_mm"),
        (core.gaps_read([-0.1] + [0.1] * (N - 1)), "events[0].gaps_mm[0]"),
        (core.gaps_read([6.0] + [0.1] * (N - 1)), "events[0].gaps_mm[0]"),
        (core.pass_done("shrink", [1] * (N - 1)), "events[0].strokes"),
        (core.pass_done("shrink", [1] * N, "enormous"), "events[0].bite"),
    ],
)
def test_what_this_job_cannot_have_given_is_refused(event: dict, field: str) -> None:
    with pytest.raises(InputError) as caught:
        core.refit(core.job(rib()), [event])
    assert caught.value.field == field
