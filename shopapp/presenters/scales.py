"""How the readings of a gauge are typed and told: in mm, or with a protractor in degrees from the plate."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, isnan
from typing import Any

import core
from shopapp.presenters import screening, wording

Event = dict[str, Any]
Gap = float | str | None


@dataclass(frozen=True)
class Scale:
    """Gaps in mm."""

    job: core.Job
    unit = header_unit = "mm"
    words = True
    """"touching" and "beyond" are answers too"""

    def text(self, gap: Gap) -> str:
        """A reading beside its mark."""
        return wording.reading(gap)

    def band(self, mm: float, sd_mm: float) -> str:
        """What is expected, with its 95 % band."""
        return wording.band(mm, sd_mm, self.job.template.rigid)

    def told(self, gap: Gap) -> str:
        """A reading in a sentence."""
        return wording.length(gap) if isinstance(gap, float | int) else wording.reading(gap)

    def typed(self, text: str, gauge: core.Gauge, template: core.Template) -> float:
        """A typed reading as a gap in mm. Raises InputError as :func:`screening.typed`."""
        return screening.typed(text, gauge, template, "gap")

    def doubt(
        self, gap: float | str, mean_mm: float, sd_mm: float, gauge: core.Gauge, others: list[float]
    ) -> str:
        """Why a reading should be taken again, or ""."""
        return screening.doubt(gap, mean_mm, sd_mm, gauge, others, self.job.template.rigid)

    def event(self, station: int, gap: Gap, confirmed: bool, **chosen: Any) -> Event:
        """The entry of the log. chosen : gauge, template, at_deg"""
        return core.gap_read(station, gap, confirmed=confirmed, **chosen)


@dataclass(frozen=True)
class ByProtractor(Scale):
    """Angles from the plate, of a part whose edge is turned; the log knows the gaps that a square would
    show."""

    part: core.TurnedEdge
    unit, header_unit = "°", "degrees"
    words = False

    def text(self, gap: Gap) -> str:
        """As in the base, in degrees."""
        return self._angle(gap) if isinstance(gap, float | int) else wording.reading(gap)

    def band(self, mm: float, sd_mm: float) -> str:
        """As in the base, in degrees."""
        if isnan(mm) or isnan(sd_mm):
            return wording.UNKNOWN
        ends = [self.part.tip_angle_rad(mm + wording.Z95 * sd_mm * way) for way in (-1.0, 1.0)]
        half = 0.5 * degrees(ends[0] - ends[1])
        places = 1 if half < 10.0 else 0
        return f"{degrees(self.part.tip_angle_rad(mm)):.{places}f} ± {max(half, 0.1):.{places}f}°"

    def told(self, gap: Gap) -> str:
        """As in the base, in degrees."""
        return self.text(gap)

    def typed(self, text: str, gauge: core.Gauge, template: core.Template) -> float:
        """A typed angle as the gap at the tip, mm. Raises InputError for what is no angle of a flange."""
        gap: float = core.angle_read(self.job, 0, text)["gap_mm"]
        return gap

    def doubt(
        self, gap: float | str, mean_mm: float, sd_mm: float, gauge: core.Gauge, others: list[float]
    ) -> str:
        """As in the base; a slip of the decimal point is not looked for."""
        if not screening.doubt(gap, mean_mm, sd_mm, gauge, others):
            return ""
        expected = self.band(mean_mm, sd_mm)
        return f"{self.told(gap)} was read, {expected} is expected. Read this one again, please."

    def event(self, station: int, gap: Gap, confirmed: bool, **chosen: Any) -> Event:
        """As in the base; the gauge is as fine as a step of the protractor is there."""
        if not isinstance(gap, float | int):
            return super().event(station, gap, confirmed, **chosen)
        read = core.angle_read(self.job, station, self._deg(gap), confirmed=confirmed)
        if chosen.get("template") is None:
            del read["template"]  # its square is the job's own
        return read

    def _deg(self, gap_mm: float) -> float:
        return round(degrees(self.part.tip_angle_rad(gap_mm)), 6)

    def _angle(self, gap_mm: float) -> str:
        return f"{round(self._deg(gap_mm), 2):g}°"


def scale_of(job: core.Job, gauge: core.Gauge) -> Scale:
    """How this gauge is read."""
    if gauge.name == core.PROTRACTOR and isinstance(job.part, core.TurnedEdge):
        return ByProtractor(job, job.part)
    return Scale(job)


def names(job: core.Job) -> tuple[str, ...]:
    """Gauges that this part can be read with."""
    turned = isinstance(job.part, core.TurnedEdge)
    return (*core.GAUGES, *((core.PROTRACTOR,) if turned else ()))


def gauge_named(job: core.Job, name: str) -> Any:
    """What the log says of a gauge of this name: a protractor's step as it is at the finished angle."""
    if name == core.PROTRACTOR and isinstance(job.part, core.TurnedEdge):
        return core.angle_read(job, 0, degrees(job.part.tip_angle_rad(0.0)))["gauge"]
    core.gauge_from(name)
    return name
