"""A simulated bar or dish that answers strokes and can be measured; it knows nothing of the estimator."""

from core.simulate.bar import SimulatedBar, Stock
from core.simulate.dish import Disc, SimulatedDish
from core.simulate.metal import Twist
from core.simulate.of_job import answering_bar, answering_dish, simulated_bar, simulated_dish, stock_of
from core.simulate.truth import Truth, Wander, draw_truth

__all__ = [
    "Disc",
    "SimulatedBar",
    "SimulatedDish",
    "Stock",
    "Truth",
    "Twist",
    "Wander",
    "answering_bar",
    "answering_dish",
    "draw_truth",
    "simulated_bar",
    "simulated_dish",
    "stock_of",
]
