"""The machine: the section in its throat, the metal's thickness against what it takes."""

from __future__ import annotations

from dataclasses import replace
from math import inf, isnan

import numpy as np

import core
from shopapp.presenters import wording
from shopapp.presenters.picture_views import MachineDrawing, Picture
from shopapp.presenters.pieces import OK, OVER, PLAIN

FIELDS = ("machine", "machines")
SHEET = 4.0
"""reaches of a sheet that are drawn"""
NEARLY = 1.0 + 1e-9
"""sizes that were typed alike are alike"""


def picture(job: core.Job, section_known: bool) -> Picture:
    """section_known : the section is typed right; else its shape alone is drawn, without a size."""
    machine = job.machine or core.Machine()
    grip, sites = min(job.tool.patch_depth_mm, job.part.worked_depth_mm), job.part.sites
    reach = sites.reach_mm(grip, job.part.target)
    thickness = float(np.max(job.part.thickness_mm(np.zeros(len(job.part.sites))))) if section_known else None
    takes, by = _takes(machine, job.metal)
    throat, typed = _known(machine.throat_mm), reach if section_known else None
    drawing = MachineDrawing(
        *(reach, throat, thickness, takes),
        *(_state(typed, throat), _state(thickness, takes)),
        *("" if typed is None else _size(reach), *(_size(mm) for mm in (throat, thickness, takes))),
        section=_walls(job, reach),
    )
    if sites.inward_mm is not None:
        inward = f"innermost {sites.label}"
        drawing = replace(drawing, reach_name=inward, jaws_mm=grip)
    said = (
        (_deep(typed, throat), drawing.deep if drawing.deep == OVER else PLAIN),
        (_thick(thickness, takes, by, job.metal), drawing.thick if drawing.thick == OVER else PLAIN),
    )
    return Picture(FIELDS, drawing, said)


def _walls(job: core.Job, reach: float) -> tuple[tuple[float, float, float, float], ...]:
    """The section as it lies before the machine, its worked flange in the jaws; walls beside that flange as
    far as the jaws. Of a sheet so much as a few reaches."""
    section = getattr(job.part, "section", None)
    if section is None:
        thickness = float(np.max(job.part.thickness_mm(np.zeros(len(job.part.sites)))))
        return ((-min(job.part.worked_depth_mm, SHEET * reach), -thickness / 2, 0.0, thickness / 2),)
    worked = section.worked[0]
    edge, middle = worked.y1, (worked.z0 + worked.z1) / 2
    found = []
    for wall in section.rectangles:
        whole = (wall.z0, wall.z1) == (worked.z0, worked.z1) or wall.z0 <= middle <= wall.z1
        end = wall.y1 if whole else max(min(wall.y1, edge - reach), wall.y0 + section.thickness_mm)
        found.append((wall.y0 - edge, wall.z0 - middle, end - edge, wall.z1 - middle))
    return tuple(found)


def _known(mm: float) -> float | None:
    return None if isnan(mm) or mm == inf else mm


def _size(mm: float | None) -> str:
    return "?" if mm is None else wording.size(mm)


def _takes(machine: core.Machine, metal: core.Metal) -> tuple[float | None, str]:
    """Thickest of this metal that the machine takes, and by what: its own table before its rating."""
    listed = machine.listed_mm(metal)
    if not isnan(listed):
        return listed, "by its table"
    return _known(machine.rated_mm(metal)), "by its rating, a guard"


def _state(mm: float | None, most_mm: float | None) -> str:
    if mm is None or most_mm is None:
        return PLAIN
    return OK if mm <= most_mm * NEARLY else OVER


def _deep(reach: float | None, throat: float | None) -> str:
    if throat is None:
        return "Throat not given: from the tool to the frame."
    if reach is None:
        return f"Throat {wording.size(throat)}; the section is not typed yet."
    if _state(reach, throat) == OVER:
        return f"{wording.size(reach - throat)} too deep for the throat."
    return f"{wording.size(throat - reach)} of throat to spare."


def _thick(thickness: float | None, takes: float | None, by: str, metal: core.Metal) -> str:
    if takes is None:
        return f"How thick {metal.name} may be is not known."
    if thickness is not None and _state(thickness, takes) == OVER:
        return f"{wording.size(thickness - takes)} too thick {by}."
    return f"{wording.capital(metal.name)} to {wording.size(takes)} {by}."
