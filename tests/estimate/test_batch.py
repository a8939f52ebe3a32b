"""The filter's answer against the same linear problem solved by somebody else, to 1e-8 of its deviation.

Sources: generalised least squares by scipy.linalg.qr on all unknowns at once; the Kalman filter and
smoother of statsmodels (tsa.statespace), which is checked by its makers against Durbin and Koopman (2012).
"""

from __future__ import annotations

from typing import Any

import pytest

import core
from core.estimate.gaussian import Belief
from tests.estimate.logs import apart, batch, fitted, state_space, whole_round, worked
from tests.made_up import SECTIONS, rib

EQUAL = 1e-8
S_SHAPE = {"segments": [["400 mm", "1500 mm"], ["100 mm", None], ["400 mm", "-1200 mm"]]}
JOBS: dict[str, dict[str, Any]] = {
    "arc": rib(),
    "S-shape": rib(line=S_SHAPE),
    "sweep": rib(line={"radius": "6000 mm", "length": "800 mm"}, template={"sweep": "200 mm"}, gauge="dial"),
    "twisting": rib(
        line={"radius": "4000 mm", "length": "800 mm"},
        section=SECTIONS["Z"],
    ),
}


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("every", [1, 3])
def test_filter_is_the_batch_least_squares_solution(name: str, every: int) -> None:
    job = core.job(JOBS[name])
    answer = fitted(job, worked(job, 4, every=every))
    assert answer.converged
    mean, cov = apart(answer.belief, batch(job, answer))
    assert mean < EQUAL and cov < EQUAL


def test_batch_agrees_where_rounds_follow_one_another_and_templates_change() -> None:
    job = core.job(rib())
    events = worked(job, 3)
    bar = core.answering_part(job, events, 3)
    events += [whole_round(bar), whole_round(bar, template=core.TEMPLATES["outside"])]
    answer = fitted(job, events)
    mean, cov = apart(answer.belief, batch(job, answer))
    assert mean < EQUAL and cov < EQUAL


def test_batch_agrees_where_the_faces_were_smoothed() -> None:
    """Smoothing moves every site by a number of its own and all of them by one more."""
    job = core.job(rib())
    events = worked(job, 3)
    bar = core.answering_part(job, events, 3)
    counts = [4] * len(job.part.sites)
    bar.smooth("light", counts)
    smoothed = [*events, core.smoothed(counts, "light")]
    for log in (smoothed, [*smoothed, whole_round(bar)]):
        answer = fitted(job, log)
        mean, cov = apart(answer.belief, batch(job, answer))
        assert mean < EQUAL and cov < EQUAL


@pytest.mark.parametrize("name", ["arc", "twisting"])
def test_batch_agrees_where_there_was_counter_work(name: str) -> None:
    """Strokes on the other flange move every site by a share that all of them have in common, by one of their
    own and by their scatter; the strain that they do is as unsure as that of a stroke on the worked edge."""
    job = core.job(JOBS[name])
    events = worked(job, 3)
    bar = core.answering_part(job, events, 3)
    counts = [1 + i % 2 for i in range(len(job.part.sites))]
    log, answers = list(events), []
    for action in ("stretch", "shrink"):
        bar.counter(action, "medium", counts)
        log += [core.counter_done(action, counts), whole_round(bar)]
        for part in (log[:-1], log):
            answers.append(fitted(job, part))
            mean, cov = apart(answers[-1].belief, batch(job, answers[-1]))
            assert mean < EQUAL and cov < EQUAL
    before, after = (answer.belief.cov[answer.sites + answer.model.share_at] for answer in answers[::3])
    at = answers[0].sites + answers[0].model.share_at
    assert after[at] < 0.5 * before[at], "the gaps told of the share"


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("every", [1, 3])
def test_filter_is_that_of_a_state_space_library(name: str, every: int) -> None:
    job = core.job(JOBS[name])
    answer = fitted(job, worked(job, 4, every=every))
    size = len(answer.belief.mean)
    library = state_space(job, answer)
    library.filter_univariate = True  # one reading after another: exact to ten digits, its default to seven
    found = library.filter()
    theirs = Belief(found.filtered_state[:size, -1], found.filtered_state_cov[:size, :size, -1])
    mean, cov = apart(answer.belief, theirs)
    assert mean < EQUAL and cov < EQUAL


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("every", [1, 3])
def test_the_smoother_ends_where_the_filter_does(name: str, every: int) -> None:
    """At the last round the state is that of the filter; what a log says of the response, which does not
    move, is the same looking back from any time of it."""
    job = core.job(JOBS[name])
    answer = fitted(job, worked(job, 4, every=every))
    n, size = answer.sites, len(answer.belief.mean)
    library = state_space(job, answer)
    library.filter_univariate = True  # as above
    found = library.smooth()
    last = Belief(found.smoothed_state[:size, -1], found.smoothed_state_cov[:size, :size, -1])
    mean, cov = apart(answer.belief, last)
    assert mean < EQUAL and cov < EQUAL
    response = Belief(answer.belief.mean[n:], answer.belief.cov[n:, n:])
    times = found.smoothed_state.shape[1]
    assert times == 5
    for t in range(times):
        theirs = Belief(found.smoothed_state[n:size, t], found.smoothed_state_cov[n:size, n:size, t])
        mean, cov = apart(response, theirs)
        assert mean < EQUAL and cov < EQUAL, t


def test_a_long_log_is_as_exact() -> None:
    """60 stations, ten passes."""
    job = core.job(rib(line={"radius": "2400 mm", "length": "2400 mm"}))
    answer = fitted(job, worked(job, 10))
    mean, cov = apart(answer.belief, batch(job, answer))
    assert mean < EQUAL and cov < EQUAL
