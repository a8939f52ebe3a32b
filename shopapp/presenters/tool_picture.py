"""The tool over the flange: the patch of one stroke, and what a stroke does to it."""

from __future__ import annotations

import core
from shopapp.presenters import wording
from shopapp.presenters.picture_views import Picture, ToolDrawing
from shopapp.presenters.pieces import PLAIN

FIELDS = ("tool", "tools")


def picture(job: core.Job, section_known: bool) -> Picture:
    """section_known : the section is typed right, so that the flange can be drawn too."""
    tool = job.tool
    flange = job.part.worked_depth_mm if section_known else None
    drawing = ToolDrawing(
        patch_length_mm=tool.patch_length_mm,
        patch_depth_mm=tool.patch_depth_mm,
        free_mm=tool.free_length_mm,
        flange_mm=flange,
        arrows=tuple((wording.ARROWS[action], wording.ACTIONS[action]) for action in tool.actions),
        length_text=wording.size(tool.patch_length_mm),
        depth_text=wording.size(tool.patch_depth_mm),
        flange_text="" if flange is None else wording.size(flange),
    )
    return Picture(FIELDS, drawing, ((_face(tool, flange), PLAIN), (_stroke(tool), PLAIN)))


def _face(tool: core.Tool, flange_mm: float | None) -> str:
    """The kind of face, and whether the patch can be drawn on its flange."""
    face = wording.capital(f"{tool.face} face")
    return f"{face}; the flange is not typed yet." if flange_mm is None else f"{face}; drawn to scale."


def _stroke(tool: core.Tool) -> str:
    """How much of the patch's length one stroke takes or gives, with the weakest and the strongest bite."""
    moves = [tool.strain(bite) * tool.patch_length_mm for bite in tool.bites]
    least, most = wording.number(min(moves)), wording.size(max(moves))
    by = most if len(moves) == 1 else f"{least} to {most}"
    return f"A stroke: {by}, first guess."
