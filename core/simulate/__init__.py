"""A simulated bar that answers strokes and can be measured; it knows nothing of the estimator."""

from core.simulate.bar import SimulatedBar, Stock
from core.simulate.metal import Twist
from core.simulate.truth import Truth, Wander, draw_truth

__all__ = ["SimulatedBar", "Stock", "Truth", "Twist", "Wander", "draw_truth"]
