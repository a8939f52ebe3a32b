"""What is to be had by learning from part to part: players who are told what no set can teach better.

One starts a part from the true response that its set has in common, and knows nothing of what the part has of
its own: unevenness, and by how much it answers more or less than the others. The other is told everything
besides, once the gaps of its first pass are read.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from draws import BITES, Drawn
from players import Played, knowing, worked

from core.estimate.response import SIGN, ResponseModel
from core.jobdoc import job as job_from
from core.simulate import Truth
from core.simulate.of_job import PIECE_SD, batch_truth

CERTAIN, NEARLY = (
    0.005,
    0.3,
)  # sd: of what is told; of hardening, whose law is not that of the simulated metal


def common_response(names: list[str], alike: Truth) -> list[float]:
    """The true value of each of these parameters (:attr:`ResponseModel.shared`)."""
    known = {
        "common": np.log(alike.common),
        "bite_exponent": alike.bite_exponent - 1.0,
        "neighbours": -np.log1p(-alike.neighbour_loss),
        "exponent": alike.exponent,
        "hardening": 1.0 / alike.hardening_strain,
        **{action: np.log(alike.action[action]) for action in SIGN},
        **{f"{action} {bite}": np.log(alike.bite[bite]) for action in SIGN for bite in BITES},
    }
    return [float(known[name]) for name in names]


def told(bar: Drawn, batch: int) -> Drawn:
    """The bar, its job starting from the true response of its batch."""
    names = list(ResponseModel(job_from(bar.document)).shared)
    sd = np.array([{"common": PIECE_SD, "hardening": NEARLY}.get(name, CERTAIN) for name in names])
    shared: dict[str, Any] = {
        "names": names,
        "mean": common_response(names, batch_truth(batch, BITES)),
        "cov": np.diag(sd**2).tolist(),
        "source": "the true response",
    }
    return replace(bar, document={**bar.document, "response": {"shared": shared}})


def told_of_the_set(bar: Drawn, batch: int) -> Played:
    """By this project, from the true response of the batch."""
    bench, advice = worked(told(bar, batch))
    return bench.played(len(bench.passes) if advice.verdict == "within" else None)


def told_all_after_one(bar: Drawn, batch: int) -> Played:
    """The same for one pass; after its gaps by one who knows everything."""
    return knowing(told(bar, batch), by_readings=1)
