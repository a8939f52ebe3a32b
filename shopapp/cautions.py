"""Cautions that every operator reads before the first pass of a part.

General knowledge of the trade (common practice, no source); they take nothing away from local rules
and from the instructions of the machine.
"""

from __future__ import annotations

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Local rules come first",
        "This shop's rules and the machine's instructions go before anything here. Trained people only, "
        "guards in place.",
    ),
    (
        "Nip points",
        "The tool does not feel a finger: hands behind the worked edge, short pieces in a holder, stop "
        "before reaching in.",
    ),
    (
        "No loose gloves at the tool",
        "Gloves, sleeves, cords and hair are drawn in: gloves are to carry; what is worn at the tool its "
        "instructions say.",
    ),
    (
        "Hearing",
        "Wear ear protection, mind others. 80 and 85 dB(A) over 8 h call for action (2003/10/EC): at 95 "
        "dB(A) after 15 and 48 min.",
    ),
    (
        "Eyes and sharp edges",
        "Tools and edges throw splinters: wear eye protection. Cut edges are sharp: deburr first, carry "
        "with gloves.",
    ),
    (
        "Dust and heat",
        "Dust harms the lungs, that of light metals can burn: extract it, no sparks. After an anneal "
        "metal is hot, unseen.",
    ),
    (
        "Parts that people depend on",
        "Aircraft, lifting, pressure: licensed practice, approved data, material, inspection. Only shape "
        "is judged here, not strength.",
    ),
    (
        "It is advice",
        "Passes can be wrong: start light, leave what looks wrong. Stop at a crack, wrinkle or bright "
        "stiff edge: no stroke mends it.",
    ),
)
"""Two lines each on the smallest screen that is laid out for, so that two fit on a page."""
IN_A_LINE = (
    "nip points, ear and eye protection, sharp edges, dust, hot metal, parts that people depend on: follow "
    "local rules and the machine's own instructions"
)
"""what they are about, for where there is room for a line"""
