"""Solving symmetric banded systems by Cholesky's factors in blocks, which numpy does quickly."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
BLOCK = 24  # unknowns; wider than any band here, and a size that LAPACK likes


class BandedCholesky:
    """Factors of a symmetric positive definite matrix (n, n) whose entries vanish outside a narrow band.

    block : at least the half-width of the band. Raises numpy.linalg.LinAlgError where the matrix is not
    positive definite.
    """

    def __init__(self, matrix: Array, block: int = BLOCK) -> None:
        edges = [*range(0, len(matrix), block), len(matrix)]
        self._parts = [slice(a, b) for a, b in pairwise(edges)]
        self._inverse: list[Array] = []  # of the diagonal factors
        self._below: list[Array] = []  # factors that tie a block to the one before it
        for j, part in enumerate(self._parts):
            own = matrix[part, part]
            if j:
                tie = matrix[part, self._parts[j - 1]] @ self._inverse[-1].T
                self._below.append(tie)
                own = own - tie @ tie.T
            self._inverse.append(np.linalg.inv(np.linalg.cholesky(own)))

    def solve(self, right: Array) -> Array:
        """(n, ...) solution for right-hand sides (n, ...)."""
        out = np.array(right, dtype=float)
        for j, part in enumerate(self._parts):
            if j:
                out[part] -= self._below[j - 1] @ out[self._parts[j - 1]]
            out[part] = self._inverse[j] @ out[part]
        for j in reversed(range(len(self._parts))):
            part = self._parts[j]
            if j + 1 < len(self._parts):
                out[part] -= self._below[j].T @ out[self._parts[j + 1]]
            out[part] = self._inverse[j].T @ out[part]
        return out
