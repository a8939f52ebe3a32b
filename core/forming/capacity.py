"""What a machine rated for one metal takes in another: common practice, an order of magnitude and no rating.

The force of a machine is what is kept. Bending over a given width of die takes a force that goes with Rm
t^2, shearing one with Rm t (textbooks of manufacture, from memory). A machine that grips the sheet is
limited by grip and by folds as well, which no such rule knows. The maker's own table comes first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.forming.checked import Array, positive

# Power of thickness that the force goes with.
RULES = {"bending": 2.0, "shearing": 1.0}


def largest_thickness_mm(
    rated_mm: ArrayLike, rated_strength_mpa: ArrayLike, strength_mpa: ArrayLike, rule: str
) -> Array:
    """(...) thickness that takes the rated force in a metal of tensile strength ``strength_mpa``.

    rule : "bending", thickness goes with sqrt(Rm0/Rm), the nearer to 1; or "shearing", with Rm0/Rm. For a
    stronger metal shearing is the cautious one, for a softer metal bending.
    """
    if rule not in RULES:
        raise InputError("rule", rule, f"one of {', '.join(RULES)} is wanted")
    weaker = positive("rated_strength", rated_strength_mpa, "MPa") / positive("strength", strength_mpa, "MPa")
    return np.asarray(positive("rated", rated_mm, "mm") * weaker ** (1.0 / RULES[rule]))
