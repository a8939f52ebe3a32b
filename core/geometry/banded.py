"""Symmetric banded systems, solved piece by piece.

A matrix is cut into pieces of neighbouring unknowns, so that the last few of each keep what lies before them
from what comes after. The others of all pieces are taken out at once; what is left ties the ends together and
is small. numpy does many small systems in one call nearly as fast as one of them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
BAND = 5  # how far apart unknowns may be that are tied; so many are the end of a piece
INNER = 19  # the others of a piece
PIECE = INNER + BAND


def places(row: Indices, column: Indices, size: int) -> Indices:
    """(...) where entries of a matrix (size, size) are kept in a :class:`Banded`'s pieces, flat; what is kept
    elsewhere by symmetry, and what lies before the first unknown, falls behind them all."""
    piece, own = np.divmod(row, PIECE)
    beside = column - piece * PIECE + BAND
    kept = (row >= 0) & (column >= 0) & (beside >= 0) & (beside < BAND + PIECE)
    return np.where(kept, (piece * PIECE + own) * (BAND + PIECE) + beside, _room(size))


def _room(size: int) -> int:
    return -(-size // PIECE) * PIECE * (BAND + PIECE)


class Banded:
    """A symmetric matrix (size, size) whose entries vanish further than BAND from the diagonal.

    pieces : (j, PIECE, BAND + PIECE) rows of every piece, by the end of the piece before and by its own
    unknowns; behind the last one the diagonal goes on in ones.
    """

    def __init__(self, pieces: Array, size: int) -> None:
        self._pieces, self._size = pieces, size

    @classmethod
    def summed(cls, at: Indices, values: Array, size: int) -> Banded:
        """Of values (e,) at these :func:`places` (e,); those at one place add up."""
        room = _room(size)
        pieces = np.asarray(np.bincount(at, values, room + 1)[:room], dtype=float)
        pieces = pieces.reshape(-1, PIECE, BAND + PIECE)
        behind = np.arange(size - PIECE * (len(pieces) - 1), PIECE)
        pieces[-1, behind, BAND + behind] = 1.0
        return cls(pieces, size)

    @property
    def diagonal(self) -> Array:
        """(size,)"""
        own = np.arange(PIECE)
        return np.asarray(self._pieces[:, own, BAND + own].ravel()[: self._size])

    def damped(self, by: float) -> Banded:
        """With so much more on the diagonal."""
        if not by:
            return self
        own, pieces = np.arange(PIECE), self._pieces.copy()
        pieces[:, own, BAND + own] += by
        return Banded(pieces, self._size)

    def solve(self, right: Array) -> Array:
        """(size, k) solution for right-hand sides (size, k). Raises numpy.linalg.LinAlgError where the matrix
        is not positive definite."""
        count, k = len(self._pieces), right.shape[1]
        every = np.zeros((count * PIECE, k))
        every[: self._size] = right
        wanted = every.reshape(count, PIECE, k)
        inner, end = self._pieces[:, :INNER, BAND:PIECE], self._pieces[:, INNER:, PIECE:]
        ties = self._pieces[:, :INNER, _TIES]
        found = _definite(inner, np.concatenate([ties, wanted[:, :INNER]], axis=2))
        taken = ties.transpose(0, 2, 1) @ found
        at_ends = wanted[:, INNER:] - taken[:, BAND:, 2 * BAND :]
        at_ends[:-1] -= taken[1:, :BAND, 2 * BAND :]
        ends = np.zeros((count + 1, BAND, k))  # the first for what lies before the first piece
        rest = _of_ends(end, taken[:, :, : 2 * BAND])
        ends[1:] = _definite(rest, at_ends.reshape(-1, k)).reshape(count, BAND, k)
        both = np.concatenate([ends[:-1], ends[1:]], axis=1)
        inside = found[:, :, 2 * BAND :] - found[:, :, : 2 * BAND] @ both
        return np.concatenate([inside, ends[1:]], axis=1).reshape(-1, k)[: self._size]


def _of_ends(end: Array, taken: Array) -> Array:
    """(j BAND, j BAND) what ties the ends of the pieces once the inner unknowns are taken out: their own
    (j, BAND, BAND), less what the inner ones did (j, 2 BAND, 2 BAND) to the end before and to their own."""
    own, before = np.arange(len(end)), slice(0, BAND)
    after = slice(BAND, 2 * BAND)
    rest = np.zeros((len(end), BAND, len(end), BAND))
    rest[own, :, own] = end - taken[:, after, after]
    rest[own[:-1], :, own[:-1]] -= taken[1:, before, before]
    rest[own[1:], :, own[:-1]] = -taken[1:, after, before]
    rest[own[:-1], :, own[1:]] = -taken[1:, before, after]
    return rest.reshape(len(end) * BAND, len(end) * BAND)


def _definite(matrix: Array, right: Array) -> Array:
    """Solution for one or many matrices, all of which have to be positive definite."""
    np.linalg.cholesky(matrix)
    return np.asarray(np.linalg.solve(matrix, right), dtype=float)


_TIES = np.r_[:BAND, PIECE : PIECE + BAND]  # columns of the ends before and after the inner unknowns
