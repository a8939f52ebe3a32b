"""What the pictures of the set-up show: lengths in mm and strains, to scale, and what they say in words."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import PLAIN, Outline, Point, Profile, Size


@dataclass(frozen=True)
class ToolDrawing:
    """The worked flange with what one stroke takes hold of, mm, to scale.

    patch_length_mm, patch_depth_mm : along the free edge and from it; free_mm : between the gripping halves;
    flange_mm : width of the worked flange, None while that is not known; arrows : one patch for each action,
    "together" or "apart", with its name; length_text, depth_text, flange_text : the sizes as written, "20 mm"
    """

    patch_length_mm: float
    patch_depth_mm: float
    free_mm: float
    flange_mm: float | None
    arrows: tuple[tuple[str, str], ...]
    length_text: str
    depth_text: str
    flange_text: str = ""


@dataclass(frozen=True)
class MachineDrawing:
    """How far the worked flange reaches into the machine and how thick it is, each against its limit.

    Lengths in mm, to scale; None where one is not known. deep, thick : state of each; the texts are the sizes
    as written, "40 mm", "?" where one is not known, "" where a size is only a guess; section : (y0, z0, y1,
    z1) of its walls, y from the worked free edge and < 0 towards the heel, z from the middle of the flange;
    reach_name : what goes in so deep; jaws_mm : how deep the tool grips, None: as far as the part goes in
    """

    reach_mm: float | None
    throat_mm: float | None
    thickness_mm: float | None
    takes_mm: float | None
    deep: str = PLAIN
    thick: str = PLAIN
    reach_text: str = "?"
    throat_text: str = "?"
    thickness_text: str = "?"
    takes_text: str = "?"
    section: tuple[tuple[float, float, float, float], ...] = ()
    reach_name: str = "edge"
    jaws_mm: float | None = None


@dataclass(frozen=True)
class StrainMark:
    """An upright line at a strain, named. strain : a share, 0.17 is 17 %; bold : the limit"""

    strain: float
    text: str
    bold: bool = False


@dataclass(frozen=True)
class CurveDrawing:
    """True stress of soft metal over its strain. curve : (strain, MPa), strain rising; strain_ticks : shares;
    stress_ticks : MPa; the last tick of each is the end of its axis or before it; ends : of both axes"""

    curve: tuple[Point, ...]
    strain_ticks: tuple[float, ...]
    stress_ticks: tuple[float, ...]
    ends: Point
    marks: tuple[StrainMark, ...] = ()


@dataclass(frozen=True)
class StrengthDrawing:
    """Strengths as bars over one axis. bars : (name, low, high) in MPa, a limit alone as low == high;
    ticks : MPa; end : of the axis"""

    bars: tuple[tuple[str, float, float], ...]
    ticks: tuple[float, ...]
    end: float


@dataclass(frozen=True)
class LineDrawing:
    """Sheet as lines to scale, mm. metal : along its middle, thickness_mm thick; worked : edges that the tool
    works; thin : lines beside it; sizes : below and at the left"""

    metal: tuple[tuple[Point, ...], ...] = ()
    thickness_mm: float = 0.0
    worked: tuple[tuple[Point, ...], ...] = ()
    thin: tuple[tuple[Point, ...], ...] = ()
    sizes: tuple[Size, ...] = ()


@dataclass(frozen=True)
class Plan:
    """Where sites lie on the part. outline : its line with them bold; across : its section, or the disc from
    above, None without one"""

    outline: Outline
    across: Picture | None


@dataclass(frozen=True)
class ChartLine:
    """A level line of a chart, named at its end, by its number alone where there is no room.
    bold : a limit of the job, not of the chart"""

    value: float
    text: str
    number: str
    bold: bool = False


@dataclass(frozen=True)
class ChartPanel:
    """Values side by side, one a part. at : (n,) place of each among the parts, from 0; lines : over the
    stretch between two places; signals : indices of the values that break a run rule; ends : of the axis;
    named : (index, number) of values that are written"""

    title: str
    values: tuple[float, ...]
    at: tuple[int, ...]
    lines: tuple[ChartLine, ...]
    signals: tuple[int, ...]
    ends: Point
    stretch: Point
    named: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True)
class ChartDrawing:
    """Individuals above, their moving ranges below. names : (p,) of the parts, under both"""

    names: tuple[str, ...]
    values: ChartPanel
    ranges: ChartPanel


Drawing = ChartDrawing | Profile | LineDrawing | ToolDrawing | MachineDrawing | CurveDrawing | StrengthDrawing


@dataclass(frozen=True)
class Picture:
    """One picture. fields : first parts of the names of the fields that it belongs to; said : sentences with
    their state, under the drawing"""

    fields: tuple[str, ...]
    drawing: Drawing
    said: tuple[tuple[str, str], ...]
