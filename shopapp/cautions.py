"""Cautions that every operator reads before the first pass of a part.

General knowledge of the trade (common practice, no source); they take nothing away from local rules
and from the instructions of the machine.
"""

from __future__ import annotations

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Local rules come first",
        "The rules of this shop and the instructions of this machine go before anything shown here. "
        "Only people trained on the machine use it, with its guards in place.",
    ),
    (
        "Nip points",
        "The tool closes many times a second and does not feel a finger. Keep hands behind the edge "
        "being worked, hold short pieces with a holder, stop the machine before reaching in.",
    ),
    (
        "No loose gloves at the tool",
        "Gloves, sleeves, cords and hair can be drawn in. Wear gloves to carry sheet, and follow the "
        "machine's instructions on what may be worn while it runs.",
    ),
    (
        "Hearing",
        "The machine is loud enough to do lasting harm. Wear hearing protection, and mind people nearby. The "
        "exposure action values are 80 dB(A) over 8 hours, the lower one, and 85 dB(A), the upper one "
        "(Directive 2003/10/EC): at 95 dB(A) they are reached after 15 and 48 minutes.",
    ),
    ("Eyes", "Wear eye protection: a tool or an over-worked edge can throw a splinter."),
    ("Sharp edges", "Cut edges and cracked edges are sharp. Deburr before working; carry with gloves."),
    (
        "Dust and heat",
        "Dressing and sanding raise dust that is harmful to breathe and, from light metals, can burn: "
        "extract it, keep sparks away. After an anneal, metal is hot without looking hot.",
    ),
    (
        "Cracks",
        "Stop when the edge cracks, wrinkles or goes bright and stiff. More strokes will not mend it.",
    ),
    (
        "Parts that people depend on",
        "Parts of aircraft, lifting gear, pressure vessels and the like can hurt people when they fail. "
        "They belong to licensed practice: approved data, approved material, approved inspection. "
        "What is planned and judged here is shape only; it says nothing about strength or fatigue.",
    ),
    (
        "It is advice",
        "The passes shown are worked out from readings and can be wrong. Look at the metal, start light, "
        "and do not follow a pass that looks wrong.",
    ),
)
