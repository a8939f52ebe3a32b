"""Pieces that views are made of: keys, facts, the strip, the outline.

Points are (x, y) in mm. A *state* is one of the words below; it comes with its own shape, so that
colour never stands alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import core

with_unit = core.format_with_unit
Point = tuple[float, float]

OK, OVER, UNDER, TODO, PLAIN = "ok", "over", "under", "todo", "plain"
"""States: within tolerance (square), too wide / still open (triangle up), past the template
(triangle down), still to do or to be looked at (diamond), nothing to tell (no shape)"""

SCREENS = (
    *("bench", "part", "pass_card", "gaps", "rim", "rim_height", "next_step", "bow", "finish", "set"),
    *("setup", "trial", "metal", "own_metal", "own_check", "own_gauge", "own_tool", "own_machine"),
    *("inventory", "line_file", "job_files", "original", "originals", "cautions", "misfit", "who"),
)


@dataclass(frozen=True)
class Key:
    """One key. name : what to hand to ``press``; main : the largest, "do this next"; why : reason when off,
    or what it would do; chosen : one of a set of keys that is on"""

    name: str
    text: str
    main: bool = False
    enabled: bool = True
    chosen: bool = False
    why: str = ""


@dataclass(frozen=True)
class Header:
    """where : part and "pass 3 of 5"; unit : "mm"; back : screen that the back key leads to, or "" """

    where: str
    unit: str = "mm"
    back: str = "bench"


@dataclass(frozen=True)
class Fact:
    """A label with its value; big : the number that counts (7 mm high)"""

    label: str
    value: str
    state: str = PLAIN
    big: bool = False


@dataclass(frozen=True)
class Mark:
    """One station of the strip. value_mm : height to draw, None where there is none; text : the number
    beside it ("0.35", "touches", "> 5.00", "skipped", ""); suspect : to be questioned"""

    value_mm: float | None
    text: str
    state: str
    suspect: bool = False


@dataclass(frozen=True)
class Bracket:
    """A zone of equal count. first, last : stations from 0; text : "3 strokes each"; feed : "12 mm/s, 7 s";
    mm_per_s, s : the same two numbers alone, "12" and "7", for a narrow zone; "12 ×2" where it is gone over
    twice, "stand" where it is not fed"""

    first: int
    last: int
    strokes: int
    text: str
    feed: str
    mm_per_s: str = ""
    s: str = ""


@dataclass(frozen=True)
class LimitRun:
    """Neighbouring stations that are nearest to the same limit of the metal. first, last : from 0; name : of
    the limit, in two words; share : most of it that is used there, "31 %", with ``up_to`` before it where
    that differs along the run; over : the strokes go beyond it"""

    first: int
    last: int
    name: str
    share: str
    up_to: str = ""
    over: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        """Ways to say it, the longest first."""
        whole, short = f"{self.name}, {self.up_to}{self.share}", f"{self.name} {self.share}"
        return whole, short, self.name


@dataclass(frozen=True)
class Strip:
    """The shared drawing: stations along the worked edge.

    position_mm : (n,) along the edge; length_mm : whole edge; names : (n,) "1", "2", ...;
    strokes : (n,) or () when no strokes are shown; arrows : sign of what they do, or "";
    marks : (n,) readings or deviations, or (); expected_mm, low_mm, high_mm : (n,) band, None where not
    known, or (); tolerance_mm : (low, high) lines, limit_text : the high one as written; range_mm :
    (low, high) of the drawing's height axis; current : station from 0 that is asked for, or None;
    scale_text : what the height axis is, its unit; scale_short : the same where that finds no room;
    before : (n,) strokes as planned before the last reading, or () where there is nothing to compare;
    used : (n,) share of the tightest limit of the metal that is used after these strokes, or (); limits :
    which limit that is, by runs of stations;
    label : what a station is called; folds : (n,) sign of strokes that fold there, "" for others, or ()
    """

    position_mm: tuple[float, ...]
    length_mm: float
    names: tuple[str, ...]
    strokes: tuple[int, ...] = ()
    arrows: str = ""
    brackets: tuple[Bracket, ...] = ()
    marks: tuple[Mark, ...] = ()
    expected_mm: tuple[float | None, ...] = ()
    low_mm: tuple[float | None, ...] = ()
    high_mm: tuple[float | None, ...] = ()
    tolerance_mm: tuple[float, float] = (0.0, 0.0)
    limit_text: str = ""
    range_mm: tuple[float, float] = (0.0, 1.0)
    current: int | None = None
    scale_text: str = ""
    scale_short: str = ""
    before: tuple[int, ...] = ()
    used: tuple[float, ...] = ()
    limits: tuple[LimitRun, ...] = ()
    label: str = "station"
    folds: tuple[str, ...] = ()

    @property
    def over(self) -> frozenset[int]:
        """Stations whose strokes go beyond a limit."""
        return frozenset(i for run in self.limits if run.over for i in range(run.first, run.last + 1))


@dataclass(frozen=True)
class Outline:
    """The target drawn to scale. points : the line; stations : where they lie on it; part : the part with
    its deviation magnified by ``factor``, at the stations; band : both edges of the tolerance, magnified
    alike, limit_text : its half, as a number; factor_text : "deviation x 50"; all () where nothing is known
    yet. Of a line that is being set up: worked : the worked edge beside the line, not to scale; arrows :
    where it is pressed "together" or pulled "apart"; ends : places of the first and the last station's
    number; arcs : stretches drawn bold; stems : the part stands off at each station, square to what is drawn,
    and nothing is known between them"""

    points: tuple[Point, ...]
    stations: tuple[Point, ...] = ()
    part: tuple[Point, ...] = ()
    states: tuple[str, ...] = ()
    band: tuple[tuple[Point, ...], tuple[Point, ...]] = ((), ())
    factor: float = 1.0
    factor_text: str = ""
    limit_text: str = ""
    worked: tuple[Point, ...] = ()
    arrows: tuple[tuple[Point, str], ...] = ()
    ends: tuple[tuple[Point, str], ...] = ()
    arcs: tuple[tuple[Point, ...], ...] = ()
    stems: bool = False


@dataclass(frozen=True)
class Size:
    """A size beside a cross-section. side : "below", "above" or "left" of it; low_mm, high_mm : from where to
    where, along y or, at the left, z; text : as written"""

    side: str
    low_mm: float
    high_mm: float
    text: str


@dataclass(frozen=True)
class Profile:
    """A cross-section to scale, mm; y to the free edge of the worked flange, z upright.

    rectangles : (y0, z0, y1, z1) that fill it; worked : those of them next to an edge that the tool works;
    sizes : written beside it
    """

    rectangles: tuple[tuple[float, float, float, float], ...]
    worked: tuple[tuple[float, float, float, float], ...]
    sizes: tuple[Size, ...] = ()
