"""What strokes of parts alike have in common, handed on together: exact, and void with another coil."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

import core
from core.estimate.fit import Fit
from core.estimate.gaussian import Belief, read
from core.estimate.response import ResponseModel
from core.learned import told_by
from core.readings.rounds import in_force, laid_out
from core.rounddoubts import fit_or_explain
from core.sets.outlook import SetOutlook
from tests.made_up import rib

JOB = core.job(rib(line__length="600 mm"))  # invented, as all here


@cache
def log() -> list[core.Event]:
    """One pass with more strokes at one end, and its gaps."""
    bar, strokes = core.simulated_bar(JOB, 3, batch=11), [*[2] * 7, *[6] * 8]
    strokes = (strokes * 2)[: len(JOB.part.sites)]
    bar.work("shrink", "heavy", strokes)
    gaps, gauges = bar.gaps_by_any_gauge()
    return [core.pass_done("shrink", strokes, "heavy"), core.gaps_read(gaps, gauges if any(gauges) else None)]


def fitted() -> Fit:
    return fit_or_explain(JOB, laid_out(JOB, in_force(JOB, log()))[0])


def outlook() -> SetOutlook:
    advice = core.refit(JOB, log())
    return core.set_outlook(JOB, [core.set_part(JOB, log(), advice.learned, advice.told)])


def test_what_a_part_told_leads_from_what_was_believed_to_what_is():
    """Prior of the shared parameters, conditioned on it (Kalman), is their part of the posterior."""
    fit, told = fitted(), told_by(fitted())
    at = np.array(list(fit.model.shared.values()))
    prior = Belief(fit.model.mean[at], fit.model.cov[np.ix_(at, at)])
    rows, values = np.array(told.rows), np.array(told.values)
    after = read(prior, rows, values - rows @ prior.mean, np.array(told.variance)).belief
    sd = np.sqrt(np.diag(prior.cov))
    assert np.abs((after.mean - fit.belief.mean[fit.sites + at]) / sd).max() < 0.15
    wanted = fit.belief.cov[np.ix_(fit.sites + at, fit.sites + at)]
    assert np.abs((after.cov - wanted) / np.outer(sd, sd)).max() < 0.05
    assert np.sqrt(after.cov[0, 0]) < 0.8 * sd[0]


def test_a_part_that_was_not_struck_tells_nothing():
    assert core.refit(JOB, []).told is None


def test_the_next_part_starts_from_all_of_it():
    found = outlook()
    document = core.starting_from_set(core.starting_from(dict(JOB.document), found.seen), found)
    assert "seen" not in document["response"]
    model = ResponseModel(core.job(document))
    at = [model.shared[name] for name in found.shared.names]
    assert model.mean[at] == pytest.approx(found.shared.mean)
    assert model.cov[np.ix_(at, at)] == pytest.approx(np.array(found.shared.cov))
    assert found.shared.source == f"part {JOB.name} of this set"


def test_what_strokes_lose_beside_others_is_carried_on():
    """It follows from patch, pitch and section: once a part told it, the next starts from it. Where only
    others of the parameters were told, as in older records, it stays as first believed."""
    loss = core.Told(("common", "neighbours"), ((1.0, 0.0), (0.0, 1.0)), (0.1, 0.2), (0.01**2,) * 2)
    for told, mean, sd in ((loss, 0.2, 0.01), (replace(loss, names=("common", "shrink")), 0.13, 0.08)):
        part = core.SetPart("Rib 1", (core.Seen("shrink", "heavy", 5.0, 1.0, 0.1, "Rib 1"),), False, told)
        found = core.set_outlook(JOB, [part]).shared
        model = ResponseModel(core.job(core.starting_from_set(JOB.document, core.set_outlook(JOB, [part]))))
        at = model.shared["neighbours"]
        assert model.mean[at] == pytest.approx(mean, abs=2e-3)
        assert model.sd[at] == pytest.approx(sd, rel=0.02)
        assert "neighbours" in found.names


def test_another_coil_makes_it_void():
    """The plan is that of a job that starts from nothing, and the reasons say so."""
    begun = core.job(core.starting_from_set(JOB.document, outlook()))
    void, bare, told = (core.refit(*one) for one in ((begun, [core.batch_begun()]), (JOB, []), (begun, [])))
    assert np.array_equal(void.next_pass.strokes, bare.next_pass.strokes)
    assert not np.array_equal(void.next_pass.strokes, told.next_pass.strokes)
    assert any("Another coil" in text for text in void.reasons)
    assert core.job_with_trials(begun, [core.batch_begun()]).response.shared is None


def form(**changes: Any) -> dict[str, Any]:
    shared = {"names": ["common", "exponent"], "mean": [0.1, 0.8], "cov": [[0.01, 0.0], [0.0, 0.001]]}
    return {**rib(), "response": {"shared": {**shared, "source": "parts of this set", **changes}}}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"names": ["common", "luck"]}, "names"),
        ({"mean": [0.1]}, "mean"),
        ({"cov": [[0.01, 0.0]]}, "cov"),
        ({"cov": [[0.01, 0.2], [0.2, 0.001]]}, "cov"),
        ({"mean": [0.1, "x"]}, "mean[1]"),
    ],
)
def test_what_cannot_be_shared_is_named(changes: dict[str, Any], field: str):
    assert core.job(form()).response.shared.mean == (0.1, 0.8)
    with pytest.raises(core.InputError) as caught:
        core.job(form(**changes))
    assert caught.value.field == f"response.shared.{field}"


@pytest.mark.parametrize(
    "place", [{"id": "a", "part": 0}, {"part": 2, "of": 1.5}, {"part": 3, "of": 2}, {"id": "a"}]
)
def test_a_place_in_a_set_is_checked(place: dict[str, Any]):
    assert core.job({**rib(), "set": {"id": "a", "part": 2, "of": 6}}).place == core.SetPlace(2, 6, "a")
    with pytest.raises(core.InputError, match="set"):
        core.job({**rib(), "set": place})
