"""Pictures beside the choices of the set-up; each is there as soon as what it shows is typed right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import core
from shopapp.presenters import machine_picture, metal_picture, profiles, sheet_pictures, tool_picture
from shopapp.presenters.complaints import Checked
from shopapp.presenters.picture_views import Picture

LINES = ("line", "outline", "shape")
BODIES = ("section", "height", "angle", "inside_radius", "thickness", "start_angle", "method")
"""parts of the document that the line and the cross-section of any kind of part are made of"""
PICKS_METAL = ("section",)
"""steps in which the metal is picked"""


def of_step(step: str, checked: Checked) -> tuple[Picture, ...]:
    """All pictures of a step that can be drawn, in the order of its fields."""
    job = checked.job
    if job is None or step not in STEPS:
        return ()
    return tuple(picture for picture in STEPS[step](job, checked) if picture is not None)


def of_part(job: core.Job) -> Picture | None:
    """What a part's outline does not show: its section across, of a dish its disc from above; in a sentence,
    what else there is to say stands among its facts."""
    drawn = (profiles.picture, sheet_pictures.flange, sheet_pictures.disc)
    found = next((found for picture in drawn if (found := picture(job)) is not None), None)
    return None if found is None else replace(found, said=found.said[:1])


def _of_section(job: core.Job, checked: Checked) -> tuple[Picture | None, ...]:
    whole = checked.right(*LINES, *BODIES, "tool.patch")
    drawn: tuple[Callable[[core.Job], Picture | None], ...] = (profiles.example,)
    if checked.right(*BODIES):
        drawn = (profiles.picture, sheet_pictures.flange, sheet_pictures.disc)
    return (
        *(picture(job) for picture in drawn),
        metal_picture.picture(job, part_known=whole) if checked.right("material", "limits") else None,
    )


def _of_tool(job: core.Job, checked: Checked) -> tuple[Picture | None, ...]:
    right = checked.right("tool.patch", "tool.free_length")
    return (tool_picture.picture(job, checked.right(*BODIES)) if right else None,)


def _of_machine(job: core.Job, checked: Checked) -> tuple[Picture | None, ...]:
    typed = checked.right(*BODIES, "tool.patch")
    return (machine_picture.picture(job, typed) if checked.right("machine") else None,)


STEPS: dict[str, Callable[[core.Job, Checked], tuple[Picture | None, ...]]] = {
    "section": _of_section,
    "tool": _of_tool,
    "machine": _of_machine,
}
"""steps that have pictures in place of the line"""
