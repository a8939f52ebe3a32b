"""What each screen shows: frozen records of ready texts, numbers to draw, and keys.

Every view has ``header`` and ``go``; ``go`` is the name of the screen to move to next, or "".
Texts are final: a screen draws them and decides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.bench_views import BenchView, Card, Damaged
from shopapp.presenters.bow_views import BowView
from shopapp.presenters.finish_views import CheckRow, FinishView
from shopapp.presenters.inventory_views import InventoryRow, InventoryView
from shopapp.presenters.line_file_views import LineFileView
from shopapp.presenters.metal_views import FigureRow, MetalView
from shopapp.presenters.original_views import OriginalsView, OriginalView
from shopapp.presenters.own_metal_views import OwnMetalView
from shopapp.presenters.picture_views import (
    ChartDrawing,
    ChartLine,
    ChartPanel,
    CurveDrawing,
    LineDrawing,
    MachineDrawing,
    Picture,
    Plan,
    StrainMark,
    StrengthDrawing,
    ToolDrawing,
)
from shopapp.presenters.pieces import (
    OK,
    OVER,
    PLAIN,
    SCREENS,
    TODO,
    UNDER,
    Bracket,
    Fact,
    Header,
    Key,
    Mark,
    Outline,
    Point,
    Strip,
)
from shopapp.presenters.set_views import SetLine, SetRow, SetView
from shopapp.presenters.setup_views import LENGTHS, FieldView, SetupView, TableView
from shopapp.presenters.trial_views import TrialView
from shopapp.presenters.who_views import WhoRow, WhoView

__all__ = [
    "LENGTHS",
    "OK",
    "OVER",
    "PLAIN",
    "SCREENS",
    "TODO",
    "UNDER",
    "BenchView",
    "BowView",
    "Bracket",
    "Card",
    "CautionsView",
    "ChartDrawing",
    "ChartLine",
    "ChartPanel",
    "CheckRow",
    "CurveDrawing",
    "Damaged",
    "Fact",
    "FieldView",
    "FigureRow",
    "FinishView",
    "GapsView",
    "Header",
    "InventoryRow",
    "InventoryView",
    "Key",
    "LineDrawing",
    "LineFileView",
    "MachineDrawing",
    "Mark",
    "MetalView",
    "NextView",
    "OriginalView",
    "OriginalsView",
    "Outline",
    "OwnMetalView",
    "PacerView",
    "PartView",
    "PassCardView",
    "PassRow",
    "Picture",
    "Plan",
    "Point",
    "ReseatView",
    "SetLine",
    "SetRow",
    "SetView",
    "SetupView",
    "StrainMark",
    "StrengthDrawing",
    "Strip",
    "TableView",
    "ToolDrawing",
    "TrialView",
    "WhoRow",
    "WhoView",
]


@dataclass(frozen=True)
class PassRow:
    """A pass. number : None: smoothing; status : "done", "next", "planned"; changed : by the last reading;
    beside : bow and twist expected after it, "" where they are negligible"""

    number: int | None
    status: str
    action: str
    arrows: str
    bite: str
    strokes: str
    expected: str
    was: str
    state: str
    changed: bool = False
    note: str = ""
    beside: str = ""


@dataclass(frozen=True)
class PartView:
    """Part. offer : trial that a key would take up; said : what a key did; busy : while it works; else "";
    picture : what its outline does not show: the section across, of a dish its disc from above"""

    header: Header
    outline: Outline
    facts: tuple[Fact, ...]
    rows: tuple[PassRow, ...]
    reasons: tuple[str, ...]
    warnings: tuple[str, ...]
    keys: tuple[Key, ...]
    offer: str = ""
    said: str = ""
    busy: str = ""
    complaint: str = ""
    go: str = ""
    picture: Picture | None = None


@dataclass(frozen=True)
class PassCardView:
    """Pass card. editing : "" or "station" / "zone" while counts are changed, then ``edit_at`` is the
    first and last station of what the +/- keys change and ``edit_text`` its count, else what was asked of
    the station touched; bite : its name; setting : ram, face and rate, in a line; outline : in place of the
    strip, the rim with the arcs of a step against lobes; plan : where the sites lie that are struck"""

    header: Header
    action: str
    arrows: str
    facts: tuple[Fact, ...]
    strip: Strip | None
    keys: tuple[Key, ...]
    editing: str = ""
    edit_at: tuple[int, int] | None = None
    edit_text: str = ""
    pacer_seconds: float = 0.0
    pacer_text: str = ""
    outline: Outline | None = None
    plan: Plan | None = None
    bite: str = ""
    setting: str = ""
    busy: str = ""
    complaint: str = ""
    go: str = ""


@dataclass(frozen=True)
class PacerView:
    """The marker at one moment. position_mm : along the edge; zone : index of the bracket, None before or
    after; text : "zone 2 of 4, 8 mm/s, 5 s left" """

    position_mm: float
    zone: int | None
    text: str
    finished: bool


@dataclass(frozen=True)
class GapsView:
    """Gaps. station : "station 7 of 30"; expected : "0.30 ± 0.08 mm" or "not known yet"; entry : typed yet;
    last : last value taken; question : why this reading is asked for again, else ""; with it the keys are
    "right" (It is right) and "again"; mode : "leaves" or "pad"; nearest : name of the leaf key next to
    the expected gap, or ""; choosing : "", "gauge", "template" or "meridian"; answered : in a demo, the part
    itself can answer what is asked for; plan : where the station lies, None where all are read"""

    header: Header
    strip: Strip
    station: str
    expected: str
    entry: str
    entry_unit: str
    last: str
    progress: str
    question: str
    complaint: str
    mode: str
    leaves: tuple[Key, ...]
    pad: tuple[Key, ...]
    keys: tuple[Key, ...]
    nearest: str = ""
    choosing: str = ""
    choices: tuple[Key, ...] = ()
    answered: bool = True
    plan: Plan | None = None
    go: str = ""


@dataclass(frozen=True)
class ReseatView:
    """How to move the template. shift_mm > 0 : away from its seat, outward; tilt_mm : far end's lift over
    the whole length"""

    text: str
    shift_mm: float
    tilt_mm: float
    gap_then: str


@dataclass(frozen=True)
class NextView:
    """Next: after the readings. bow : what was read of it, was expected and is left, () where nothing bows;
    last : the bow just taken, else ""; expected, beside : gap, bow and twist after the next pass; tool_set :
    that it is done with; rim : from above, what it is out of round magnified, None where not known; stayed :
    of the pass read last; doubts : why the round as a whole is in doubt"""

    header: Header
    verdict: str
    state: str
    facts: tuple[Fact, ...]
    strip: Strip | None
    stayed: tuple[Fact, ...]
    response: tuple[str, ...]
    reseat: ReseatView | None
    suspects: tuple[Key, ...]
    reasons: tuple[str, ...]
    next_pass: str
    expected: str
    keys: tuple[Key, ...]
    bow: tuple[Fact, ...] = ()
    last: str = ""
    beside: str = ""
    tool_set: str = ""
    rim: Outline | None = None
    doubts: tuple[str, ...] = ()
    busy: str = ""
    complaint: str = ""
    go: str = ""


@dataclass(frozen=True)
class CautionsView:
    """Cautions. needed : must be acknowledged before the first pass of this part"""

    header: Header
    cautions: tuple[tuple[str, str], ...]
    needed: bool
    keys: tuple[Key, ...]
    complaint: str = ""
    go: str = ""
