"""A sheet put on the screen: one mesh a colour for shapes, one a colour and size for letters."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, InstructionGroup, Mesh

from shopapp.widgets.glyphs import letter_meshes
from shopapp.widgets.look import look
from shopapp.widgets.sheet import Sheet

ORDER = ("panel", "band", "rule", "quiet", "go", "ink", "ok", "over", "under", "todo", "ground", "on_go")
"""Roles from the back to the front"""

MOST = 65000
"""Vertices that one mesh can count"""


def paint(group: InstructionGroup, sheet: Sheet) -> None:
    """Replace what the group draws by the sheet."""
    group.clear()
    for role in ORDER:
        corners = sheet.corners.get(role)
        if corners:
            group.add(Color(*look.rgba(role)))
            for start in range(0, len(corners), 2 * MOST):
                group.add(_shapes(corners[start : start + 2 * MOST]))
    for role in ORDER:
        pieces = sheet.letters.get(role)
        if pieces:
            group.add(Color(*look.rgba(role)))
            for texture, vertices, indices in letter_meshes(pieces):
                group.add(_mesh(vertices, indices, texture))


def _shapes(corners: list[float]) -> Mesh:
    count = len(corners) // 2
    vertices = [0.0] * (4 * count)
    vertices[0::4], vertices[1::4] = corners[0::2], corners[1::2]
    return _mesh(vertices, list(range(count)), None)


def _mesh(vertices: list[float], indices: list[int], texture: Any) -> Mesh:
    return Mesh(vertices=vertices, indices=indices, mode="triangles", texture=texture)
