"""The tool over the flange: the patch of one stroke, and what a stroke does to it."""

from __future__ import annotations

import core
from shopapp.presenters import wording
from shopapp.presenters.picture_views import Picture, ToolDrawing
from shopapp.presenters.pieces import PLAIN, TODO

FIELDS = ("tool",)


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
    return Picture(FIELDS, drawing, (lying(tool, flange), *((text, PLAIN) for text in _stroke(tool))))


def lying(tool: core.Tool, flange_mm: float | None) -> tuple[str, str]:
    """The face, and how the patch lies on the flange."""
    face = wording.capital(f"{tool.face} face")
    if flange_mm is None:
        return f"{face}; the flange is not typed yet.", PLAIN
    if tool.patch_depth_mm > flange_mm:
        return f"{face}; {wording.size(tool.patch_depth_mm - flange_mm)} deeper than the flange.", TODO
    return f"{face}; drawn to scale.", PLAIN


def _stroke(tool: core.Tool) -> tuple[str, ...]:
    """How much of the patch's length one stroke takes or gives, with the weakest and the strongest bite."""
    moves = [tool.strain(bite) * tool.patch_length_mm for bite in tool.bites]
    least, most = wording.number(min(moves)), wording.size(max(moves))
    by = most if len(moves) == 1 else f"{least} to {most}"
    return (f"A stroke: {by}, first guess.",)
