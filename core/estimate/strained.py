"""The strain of the worked edge as the gaps have it, for the limits that it is held against.

What passes are expected to have done knows nothing of the scatter of their strokes; the gaps do. By as much
as the work that is left differs from what was expected, the strain of the edge differs too; where both
actions were at work, by the share of the one over the other.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief
from core.estimate.moves import Worn
from core.estimate.response import ResponseModel
from core.jobtypes import Job
from core.kinds.base import Part
from core.strained import Strained

Array = NDArray[np.float64]
NONE = 1e-9  # strain that is none


def as_read(job: Job, model: ResponseModel, worn: Worn, belief: Belief) -> Worn:
    """With the strain of the edge and how unsure it is, by the work left; belief : over [x, theta]."""
    edge, part = worn.edge, job.part
    struck = edge.total > NONE
    total = np.where(struck, edge.total, 1.0)
    net = part.edge_strain(worn.work) / total  # 1 where all of it was shrunk, -1 where all was stretched
    found = part.edge_strain(part.target - belief.mean[: len(total)] - worn.work - worn.aside)
    share = np.where(struck, np.maximum(1.0 + found * np.clip(net, -1.0, 1.0) / total, 0.0), 1.0)
    return replace(worn, edge=with_unsure(part, model, edge.times(share), belief))


def with_unsure(part: Part, model: ResponseModel, edge: Strained, belief: Belief) -> Strained:
    """The same with how unsure it is: what is not known of the work left, is not known of that done."""
    sd = part.edge_strain(np.sqrt(np.diag(belief.cov)[: model.sites].clip(0.0)))
    return replace(edge, unsure=np.hypot(sd, model.ends * edge.total))
