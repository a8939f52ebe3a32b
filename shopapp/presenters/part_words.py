"""What the shape of a part is called on the screens, by what the part has and not by its kind."""

from __future__ import annotations

from dataclasses import dataclass

import core


@dataclass(frozen=True)
class PartWords:
    """along : which length is told; edge : what strokes change; bold : whether the worked edge is drawn
    beside the line that is set up, caption : under that; deviation, gap : what the height of a strip is;
    off : what is magnified in the drawing; stock : what there is before the first pass;
    stays : what strokes do that stays; seen : what its line shows; thick : what the thickness on target is
    called"""

    along: str
    edge: str
    bold: bool
    caption: str
    deviation: str
    gap: str
    off: str
    stock: str
    stays: str
    seen: str
    thick: str = "Edge thickness on target"


BAR = PartWords(
    along="along the edge",
    edge="worked edge",
    bold=True,
    caption="bold: the worked edge",
    deviation="deviation, mm, + outward of the template",
    gap="gap, mm",
    off="deviation",
    stock="straight stock",
    stays="bend",
    seen="the line",
)
TURNED = PartWords(
    along="along the bend",
    edge="edge of the flange",
    bold=False,
    caption="the bend from above",
    deviation="gap at the tip, mm, + turned too little",
    gap="gap at the tip, mm, + turned too little",
    off="gap at the tip",
    stock="the plate with its edge tipped",
    stays="turn",
    seen="from above",
)
ROUND = PartWords(
    along="from the middle to the rim",
    edge="metal of the rings",
    bold=False,
    caption="middle to rim, hollow up",
    deviation="mean all round off the line, mm, + outward",
    gap="gap, mm",
    off="deviation",
    stock="the flat disc",
    stays="change",
    seen="middle to rim",
    thick="Thickness on target",
)


def gap_words(part: core.Part, template: core.Template) -> str:
    """What a reading of this template is, and which way is above 0 where it can go either way."""
    gap = words_of(part).gap
    if template.rigid or isinstance(part, core.TurnedEdge):
        return gap
    above = "still too open" if template.chord_mm else "outward of the line"
    return f"{gap}, + {above}"


def words_of(part: core.Part) -> PartWords:
    """The words for a part."""
    if isinstance(part, core.TurnedEdge):
        return TURNED
    return ROUND if isinstance(part, core.ReadOnMeridians) else BAR
