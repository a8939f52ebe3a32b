"""A gap noted as beyond the gauge that the numbers around it speak against."""

import numpy as np
import pytest

import core

RIB = {
    "name": "rib",
    "kind": "section",
    "line": {"radius": "3000 mm", "length": "480 mm"},
    "section": {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
    "material": "aluminium 5754-O",
    "tool": {
        "patch_length": "20 mm",
        "patch_depth": "15 mm",
        "strain_per_stroke": 0.004,
        "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    },
    "pitch": "40 mm",
    "template": "inside",
    "gauge": "feeler leaves",
    "tolerance": "0.5 mm",
}
FAR = [2.4, 1.6, 0.9, 0.4, 0.15, 0.0, 0.0, 0.15, 0.4, 0.9, 1.6, 2.4]
CLOSE = [0.1, 0.1, 0.15, 0.2, 0.15, 0.0, 0.0, 0.15, 0.2, 0.1, 0.1, 0.1]


def one_beyond(gaps, site, strokes, **also):
    log = [
        core.pass_done("shrink", [strokes] * 12, bite="medium"),
        core.gaps_read([*gaps[:site], "beyond", *gaps[site + 1 :]], **also),
    ]
    return core.refit(core.job(RIB), log)


@pytest.mark.parametrize("site", range(12))
def test_one_beyond_among_numbers_is_a_suspect_with_what_they_say(site):
    advice = one_beyond(FAR, site, 3)
    (suspect,) = advice.suspects
    assert suspect.station == site and suspect.beyond
    assert suspect.read_mm == core.job(RIB).gauge.largest_mm
    assert suspect.low_mm - 0.15 <= FAR[site] <= suspect.high_mm + 0.15
    assert advice.widest_gap_mm == pytest.approx(2.4, abs=0.15)
    assert "reads beyond 5.00 mm" in advice.reasons[0]


@pytest.mark.parametrize("site", range(12))
def test_near_the_end_it_cannot_throw_the_refit_off_and_the_part_is_not_called_within(site):
    advice = one_beyond(CLOSE, site, 6)
    assert [suspect.station for suspect in advice.suspects] == [site]
    assert advice.verdict == "too close to call" and advice.widest_gap_mm < 0.2


def test_confirmed_it_counts():
    advice = one_beyond(FAR, 0, 3, confirmed=[0])
    assert not [s for s in advice.suspects if s.station == 0]
    assert advice.widest_gap_mm > 3.0


def test_read_again_it_is_forgotten():
    job, log = core.job(RIB), [core.pass_done("shrink", [3] * 12, bite="medium")]
    wrong = core.gaps_read([*FAR[:5], "beyond", *FAR[6:]])
    advice = core.refit(job, [*log, wrong, core.gaps_read(FAR)])
    plain = core.refit(job, [*log, core.gaps_read(FAR)])
    assert not advice.suspects
    assert advice.widest_gap_mm == pytest.approx(plain.widest_gap_mm, abs=0.05)


def test_ends_truly_beyond_the_gauge_are_no_suspects():
    job = core.job(RIB | {"line": {"radius": "1500 mm", "length": "480 mm"}})
    bar = core.simulated_bar(job, 3)
    strokes = np.asarray(core.refit(job, []).next_pass.strokes) // 2
    bar.work("shrink", "heavy", strokes.tolist())
    gaps = bar.gaps()
    assert gaps.count("beyond") >= 2
    advice = core.refit(job, [core.pass_done("shrink", strokes.tolist(), bite="heavy"), core.gaps_read(gaps)])
    assert not advice.suspects
    assert advice.widest_gap_mm == pytest.approx(bar.widest_gap_mm(), rel=0.15)
