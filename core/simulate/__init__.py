"""A simulated bar that answers strokes and can be measured; it knows nothing of the estimator."""

from core.simulate.bar import SimulatedBar, Stock, Struck
from core.simulate.metal import Twist
from core.simulate.of_job import answering_bar, simulated_bar, stock_of
from core.simulate.truth import Truth, Wander, draw_truth

__all__ = [
    "SimulatedBar",
    "Stock",
    "Struck",
    "Truth",
    "Twist",
    "Wander",
    "answering_bar",
    "draw_truth",
    "simulated_bar",
    "stock_of",
]
