"""What was seen of the response on other metal: what a job starts from, and what a part hands on."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Seen:
    """What has been seen of the response on other metal of the same kind, such as an offcut.

    strokes : on each spot, whole or an average; ratio : work of that many strokes on a spot of soft metal
    in one pass, its neighbours not struck, against strokes times the first guess of one (``scale`` in it);
    sd : standard deviation of ln ratio, its own noise; source : where it is from. Its fields are those of the
    job document.
    """

    action: str
    bite: str
    strokes: float
    ratio: float
    sd: float
    source: str


@dataclass(frozen=True)
class Shared:
    """A belief about what all strokes of parts alike have in common, in place of the first guess of it.

    names : (k,) of the parameters, those of :attr:`core.estimate.response.ResponseModel.shared`; mean : (k,);
    cov : (k, k); source : where it is from. JSON-ready with :func:`dataclasses.asdict`.
    """

    names: tuple[str, ...]
    mean: tuple[float, ...]
    cov: tuple[tuple[float, ...], ...]
    source: str


@dataclass(frozen=True)
class Told:
    """What a part told of the same parameters by itself: readings, independent of one another.

    names : (k,); rows : (r, k) slopes of each; values : (r,); variance : (r,) of each
    """

    names: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]
    values: tuple[float, ...]
    variance: tuple[float, ...]
