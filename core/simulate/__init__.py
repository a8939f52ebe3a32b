"""Simulated parts that answer strokes and can be measured; they know nothing of the estimator."""

from core.simulate.bar import SimulatedBar, Stock, Struck
from core.simulate.dish import Disc, SimulatedDish
from core.simulate.flange import Edge, Pressed, SimulatedFlange
from core.simulate.metal import Twist
from core.simulate.of_job import SimulatedPart, answering_part, simulated_bar, simulated_part
from core.simulate.stocks import stock_of
from core.simulate.truth import Truth, Wander, draw_truth

__all__ = [
    "Disc",
    "Edge",
    "Pressed",
    "SimulatedBar",
    "SimulatedDish",
    "SimulatedFlange",
    "SimulatedPart",
    "Stock",
    "Struck",
    "Truth",
    "Twist",
    "Wander",
    "answering_part",
    "draw_truth",
    "simulated_bar",
    "simulated_part",
    "stock_of",
]
