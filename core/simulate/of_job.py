"""A simulated part for a job, fresh or as it is after a log."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from math import degrees
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.events import effective
from core.jobtypes import Job
from core.kinds.base import Part
from core.kinds.dish import DishPart
from core.kinds.flange import FlangePart
from core.kinds.section import SectionPart
from core.readings.named import meridian_rad
from core.simulate.bar import SimulatedBar
from core.simulate.dish import SimulatedDish
from core.simulate.flange import SimulatedFlange
from core.simulate.stocks import disc_of, edge_of, stock_of
from core.simulate.truth import Truth, draw_truth

# Of these section, patch and pitch make what they are (by finite elements), and one template reads all parts.
BY_SHAPE = ("neighbour_loss", "spread", "end_depth", "end_reach", "template_error")
PIECE_SD = 0.05  # of ln work from piece to piece of one metal under one tool (common practice, no source)


class SimulatedPart(Protocol):
    """What every simulated part answers; strokes are whole numbers, one a site."""

    def work(self, action: str, bite: str, strokes: Any) -> None:
        """Run one pass."""
        ...

    def smooth(self, bite: str, strokes: Any, action: str = "shrink") -> None:
        """Light strokes over the faces, by the tool of this action."""
        ...

    def anneal(self) -> None:
        """Soften the metal; the shape stays."""
        ...

    def gaps_by_any_gauge(self, *, reseat: bool = True) -> tuple[list[float | str | None], list[str | None]]:
        """A whole round: readings, one a site, and the gauge of each where it was not the job's."""
        ...

    def widest_gap_mm(self) -> float:
        """The true one."""
        ...

    def true_deviation_mm(self) -> NDArray[np.float64]:
        """(n,) true one at every site, > 0 outward, the template seated at its best."""
        ...


Maker = Callable[[Job, Truth, int], SimulatedPart]
MAKERS: dict[type[Part], Maker] = {
    SectionPart: lambda job, truth, seed: SimulatedBar(stock_of(job), truth, seed),
    FlangePart: lambda job, truth, seed: SimulatedFlange(edge_of(job), truth, seed),
    DishPart: lambda job, truth, seed: SimulatedDish(disc_of(job), truth, seed),
}


def simulated_part(
    job: Job, seed: int, truth: Truth | None = None, batch: int | None = None
) -> SimulatedPart:
    """The job's part before the first stroke; its hidden numbers are drawn from the seed unless given.

    batch : seed of what all parts of one metal have in common under one tool; None: nothing. Raises
    InputError for a kind of part that nothing simulates.
    """
    maker = MAKERS.get(type(job.part))
    if maker is None:
        raise InputError("kind", job.kind, "a kind of part that can be simulated is wanted")
    if truth is None:
        bites = {name: strength for tool in job.tools.values() for name, strength in tool.bites.items()}
        truth = draw_truth(np.random.default_rng([seed, 1]), bites)
        if batch is not None:
            truth = of_batch(truth, batch, seed, bites)
    return maker(job, truth, seed)


def simulated_bar(job: Job, seed: int, truth: Truth | None = None, batch: int | None = None) -> SimulatedBar:
    """As :func:`simulated_part`, for what only a bar can do. Raises InputError for another kind of part."""
    made = simulated_part(job, seed, truth, batch)
    if not isinstance(made, SimulatedBar):
        raise InputError("kind", job.kind, "a section bar is wanted")
    return made


def batch_truth(batch: int, bites: Mapping[str, float]) -> Truth:
    """The hidden numbers of a batch, those that its parts have in common among them."""
    return draw_truth(np.random.default_rng([batch, 2]), bites)


def of_batch(truth: Truth, batch: int, seed: int, bites: Mapping[str, float]) -> Truth:
    """A part that answers strokes as its batch does, but for what differs from piece to piece."""
    alike = batch_truth(batch, bites)
    piece = float(np.exp(np.random.default_rng([seed, 3]).normal(0.0, PIECE_SD)))
    return replace(
        truth,
        common=alike.common * piece,
        action=alike.action,
        bite_exponent=alike.bite_exponent,
        bite=alike.bite,
        exponent=alike.exponent,
        hardening_strain=alike.hardening_strain,
        **{name: getattr(alike, name) for name in BY_SHAPE},
    )


def answering_part(job: Job, events: Iterable[Any], seed: int, batch: int | None = None) -> SimulatedPart:
    """The job's part after what a log says was done to it; the same log gives the same part."""
    part = simulated_part(job, seed, batch=batch)
    for event in effective(events):
        if event["event"] == "pass_done":
            part.work(event["action"], event["bite"], event["strokes"])
        elif event["event"] == "annealed":
            part.anneal()
        elif event["event"] == "smoothed":
            part.smooth(event["bite"], event["strokes"], job.smoother)
        elif event["event"] == "counter_done" and isinstance(part, SimulatedBar):
            part.counter(event["action"], event["bite"], event["strokes"])
        elif event["event"] == "rounded" and isinstance(part, SimulatedDish):
            at_deg = degrees(meridian_rad(event["at_deg"], "at_deg"))
            part.strike_arcs(event["action"], event["bite"], event["lobes"], at_deg, event["strokes"])
    return part
