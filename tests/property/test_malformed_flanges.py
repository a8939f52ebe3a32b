"""Spoilt documents of flanges through the face: an advice or one InputError, no other error and no warning of
the arithmetic (warnings are errors here), and numbers that are numbers."""

from __future__ import annotations

import json

import numpy as np
import pytest

import core
from tests.property.mutations import sound_flange, spoilt

pytestmark = [pytest.mark.property, pytest.mark.slow]
BLOCKS, BLOCK = 4, 40


def test_the_sound_documents_are_sound() -> None:
    for seed in range(30):
        document = sound_flange(seed)
        advice = core.refit(core.job(document["job"]), document["events"])
        assert holds_numbers(advice)


@pytest.mark.parametrize("block", range(BLOCKS))
def test_the_face_takes_or_refuses(block: int) -> None:
    taken = 0
    for seed in range(block * BLOCK, (block + 1) * BLOCK):
        document = spoilt(seed, sound_flange)
        try:
            job = core.job(document.get("job"))
            advice = core.refit(job, document.get("events", []))
        except core.InputError as error:
            assert error.field and "\n" not in str(error), seed
            continue
        taken += 1
        again = core.job(json.dumps(job.document)).part
        assert np.array_equal(job.part.target, again.target), seed
        assert holds_numbers(advice), seed
    assert 0 < taken < BLOCK


def holds_numbers(advice: core.Advice) -> bool:
    """Whether what is reckoned is finite and what is planned are counts."""
    numbers = [advice.deviation_mm, advice.deviation_sd_mm, advice.remaining_work, [advice.widest_gap_mm]]
    planned = [planned.strokes for planned in advice.remaining]
    counts = all(strokes.dtype == np.int64 and np.all(strokes >= 0) for strokes in planned)
    return counts and all(np.all(np.isfinite(each)) for each in numbers)
