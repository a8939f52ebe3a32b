"""A thousand spoilt documents through the face and a thousand through the command line.

Law: whatever is given, the answer is an advice or one InputError; never another error, never a warning of
the arithmetic (warnings are errors here), and never a silent wrong answer: what is accepted is read back to
the same job, says what it was given, and gives numbers that are numbers.
"""

from __future__ import annotations

import copy
import json
import random
from dataclasses import replace

import numpy as np
import pytest

import core
from shopapp import cli
from tests.made_up import rib
from tests.property.mutations import JUNK, sound, spoilt, spoilt_text

pytestmark = [pytest.mark.property, pytest.mark.slow]
BLOCKS, BLOCK = 10, 100
VERDICTS = ("within", "outside", "too close to call", "not measured")


def same_job(one, two):
    """Whether two jobs are the same in everything that is reckoned with."""
    plain = [
        (job.name, job.kind, job.metal, job.tool, job.template, job.gauge, job.tolerance_mm, job.response)
        for job in (one, two)
    ]
    numbers = [np.concatenate(_numbers(job.part)) for job in (one, two)]
    return (
        plain[0] == plain[1]
        and np.array_equal(*numbers)
        and (one.limits, one.confidence, one.overshoot_risk, one.warnings)
        == (two.limits, two.confidence, two.overshoot_risk, two.warnings)
        and one.document == two.document
    )


def _numbers(part):
    return [
        part.sites.position_mm,
        part.sites.width_mm,
        part.target,
        part.work_per_strain(),
        part.outline().ravel(),
    ]


def test_the_sound_documents_are_sound():
    """All but one in ten: gaps that are made up may contradict strokes that are."""
    refused = 0
    for seed in range(40):
        document = sound(seed)
        try:
            assert core.refit(core.job(document["job"]), document["events"]).verdict in VERDICTS
        except core.InputError as error:
            assert "cannot have left" in str(error)
            refused += 1
    assert refused <= 4


def test_the_comparison_can_tell_jobs_apart():
    one = core.job(rib())
    assert same_job(one, core.job(rib()))
    assert not same_job(one, core.job(rib(tolerance="0.6 mm")))
    assert not same_job(one, core.job(rib(line__radius="1500.1 mm")))
    assert not same_job(one, replace(one, confidence=0.9))


@pytest.mark.parametrize("block", range(BLOCKS))
def test_the_face_takes_or_refuses(block):
    taken = 0
    for seed in range(block * BLOCK, (block + 1) * BLOCK):
        document = spoilt(seed)
        try:
            job = core.job(document.get("job"))
            advice = core.refit(job, document.get("events", []))
        except core.InputError as error:
            assert "\n" not in str(error), seed
            assert error.field, seed
            continue
        taken += 1
        assert same_job(job, core.job(json.dumps(job.document))), seed
        _holds_numbers(job, advice, seed)
    assert 0 < taken < BLOCK  # the spoiling is neither too mild nor too harsh to show anything


def _holds_numbers(job, advice, seed):
    assert advice.verdict in VERDICTS, seed
    assert np.all(np.isfinite(advice.deviation_mm)), seed
    assert np.all(advice.deviation_sd_mm >= 0.0), seed
    assert 0.0 <= advice.widest_gap_mm < 3.0 * job.part.length_mm, seed  # no bar reaches further
    for planned in advice.remaining:
        assert planned.strokes.dtype == np.int64, seed
        assert np.all(planned.strokes >= 0), seed


@pytest.mark.parametrize("block", range(BLOCKS))
def test_the_command_line_takes_or_refuses(block, tmp_path, capsys):
    path = tmp_path / "job.json"
    codes = set()
    for seed in range(block * BLOCK, (block + 1) * BLOCK):
        path.write_bytes(spoilt_text(seed))
        code = cli.main(["next", str(path), *(["--json"] if seed % 2 else [])])
        out, err = capsys.readouterr()
        codes.add(code)
        if code == cli.BAD_INPUT:
            assert out == "", seed
            assert err.startswith("gapwright: "), seed
            assert err.count("\n") == 1, seed
        else:
            assert code == cli.FINE, seed
            assert err == "", seed
            assert "nan" not in out.lower().split(), seed
    assert codes == {cli.FINE, cli.BAD_INPUT}


LENGTHS = {
    ("tolerance",): lambda job: job.tolerance_mm,
    ("line", "radius"): lambda job: 1.0 / job.part.line.curvature_per_mm(600.0),
    ("line", "length"): lambda job: job.part.length_mm,
    ("section", "thickness"): lambda job: job.part.section.thickness_mm,
    ("section", "worked"): lambda job: job.part.section.flange_mm,
    ("tool", "patch_length"): lambda job: job.tool.patch_length_mm,
    ("tool", "patch_depth"): lambda job: job.tool.patch_depth_mm,
    ("pitch",): lambda job: job.part.sites.position_mm[1] - job.part.sites.position_mm[0],
}
# Independent of the program's own units: exact definitions.
IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "thou": 0.0254, "um": 0.001}


@pytest.mark.parametrize("place", LENGTHS, ids=".".join)
def test_a_length_that_is_taken_is_the_length_that_was_given(place):
    """Whatever number and unit: refused, or in the job as that many millimetres."""
    rng = np.random.default_rng(len(place) + sum(map(ord, "".join(place))))
    taken = 0
    for _ in range(150):
        unit = rng.choice(list(IN_MM))
        amount = float(f"{rng.choice([1, 1, 1, -1]) * 10 ** rng.uniform(-4, 4):.4g}")
        document = rib()
        holder = document
        for step in place[:-1]:
            holder = holder[step]
        holder[place[-1]] = f"{amount!r} {unit}".replace(".", rng.choice([".", ","]))
        try:
            job = core.job(document)
        except core.InputError:
            continue
        taken += 1
        assert LENGTHS[place](job) == pytest.approx(amount * IN_MM[unit], rel=1e-9)
    assert taken > 5


def test_a_field_that_does_not_exist_is_never_passed_over():
    """At any level of a sound document, a field with a new name is an error that names it."""
    for seed in range(60):
        document = sound(seed)
        for where in _mappings(document["job"]):
            spoiled = copy.deepcopy(document["job"])
            holder = spoiled
            for step in where:
                holder = holder[step]
            holder["surplus"] = 1
            with pytest.raises(core.InputError) as caught:
                core.job(spoiled)
            assert "surplus" in caught.value.field


def _mappings(value, way=()):
    if isinstance(value, dict):
        if way != ("tool", "bites"):  # names of bites are free
            yield way
        for key, entry in value.items():
            yield from _mappings(entry, (*way, key))


def test_junk_for_the_whole_document():
    for seed in range(200):
        junk = random.Random(seed).choice(JUNK)(random.Random(seed))
        with pytest.raises(core.InputError):
            core.job(junk)
        with pytest.raises(core.InputError):
            core.refit(core.job(rib()), [junk])
