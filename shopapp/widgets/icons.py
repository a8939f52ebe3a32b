"""Pictures on keys, as triangles in a unit square (y upwards): no font has them all."""

from __future__ import annotations

Triangle = tuple[float, float, float, float, float, float]


def _box(x0: float, y0: float, x1: float, y1: float) -> list[Triangle]:
    return [(x0, y0, x1, y0, x1, y1), (x0, y0, x1, y1, x0, y1)]


def _bar(x0: float, y0: float, x1: float, y1: float, half: float) -> list[Triangle]:
    """A slanted bar from one point to another."""
    run, rise = x1 - x0, y1 - y0
    length = (run * run + rise * rise) ** 0.5
    across, up = -rise / length * half, run / length * half
    a, b = (x0 + across, y0 + up), (x0 - across, y0 - up)
    c, d = (x1 - across, y1 - up), (x1 + across, y1 + up)
    return [(*a, *b, *c), (*a, *c, *d)]


ICONS: dict[str, list[Triangle]] = {
    "back": [(0.1, 0.5, 0.5, 0.88, 0.5, 0.12), *_box(0.5, 0.38, 0.9, 0.62)],
    "undo": [
        (0.05, 0.66, 0.4, 0.98, 0.4, 0.34),
        *_box(0.4, 0.56, 0.88, 0.76),
        *_box(0.7, 0.1, 0.88, 0.56),
        *_box(0.3, 0.1, 0.7, 0.28),
    ],
    "erase": [
        (0.05, 0.5, 0.35, 0.85, 0.35, 0.15),
        *_box(0.35, 0.15, 0.95, 0.3),
        *_box(0.35, 0.7, 0.95, 0.85),
        *_box(0.85, 0.3, 0.95, 0.7),
        *_bar(0.45, 0.38, 0.72, 0.62, 0.05),
        *_bar(0.45, 0.62, 0.72, 0.38, 0.05),
    ],
    "up": [(0.1, 0.25, 0.9, 0.25, 0.5, 0.8)],
    "down": [(0.1, 0.75, 0.9, 0.75, 0.5, 0.2)],
    "before": [(0.75, 0.1, 0.75, 0.9, 0.2, 0.5)],
    "after": [(0.25, 0.1, 0.25, 0.9, 0.8, 0.5)],
    "together": [
        *_box(0.0, 0.42, 0.2, 0.58),
        (0.2, 0.2, 0.2, 0.8, 0.47, 0.5),
        *_box(0.8, 0.42, 1.0, 0.58),
        (0.8, 0.2, 0.8, 0.8, 0.53, 0.5),
    ],
    "apart": [
        (0.27, 0.2, 0.27, 0.8, 0.0, 0.5),
        *_box(0.27, 0.42, 0.47, 0.58),
        (0.73, 0.2, 0.73, 0.8, 1.0, 0.5),
        *_box(0.53, 0.42, 0.73, 0.58),
    ],
    "fold_up": [
        *_box(0.0, 0.1, 0.5, 0.24),
        *_box(0.36, 0.1, 0.5, 0.5),
        *_bar(0.52, 0.17, 0.8, 0.3, 0.06),
        *_bar(0.78, 0.28, 0.84, 0.56, 0.06),
        (0.68, 0.52, 1.0, 0.52, 0.84, 0.86),
    ],
    "fold_back": [
        *_box(0.0, 0.1, 0.5, 0.24),
        *_box(0.36, 0.1, 0.5, 0.62),
        *_bar(0.54, 0.76, 0.78, 0.66, 0.06),
        *_bar(0.76, 0.7, 0.84, 0.44, 0.06),
        (0.68, 0.46, 1.0, 0.46, 0.84, 0.12),
    ],
    "tick": [*_bar(0.12, 0.5, 0.4, 0.2, 0.08), *_bar(0.36, 0.2, 0.9, 0.84, 0.08)],
    "start": [(0.2, 0.1, 0.2, 0.9, 0.9, 0.5)],
    "stop": _box(0.2, 0.2, 0.8, 0.8),
    "plus": [*_box(0.42, 0.12, 0.58, 0.88), *_box(0.12, 0.42, 0.42, 0.58), *_box(0.58, 0.42, 0.88, 0.58)],
    "minus": _box(0.12, 0.42, 0.88, 0.58),
    "caution": [
        *_bar(0.5, 0.95, 0.02, 0.08, 0.05),
        *_bar(0.5, 0.95, 0.98, 0.08, 0.05),
        *_box(0.0, 0.03, 1.0, 0.13),
        *_box(0.45, 0.34, 0.55, 0.66),
        *_box(0.45, 0.19, 0.55, 0.28),
    ],
    "ok": _box(0.18, 0.18, 0.82, 0.82),
    "over": [(0.1, 0.2, 0.9, 0.2, 0.5, 0.85)],
    "under": [(0.1, 0.8, 0.9, 0.8, 0.5, 0.15)],
    "todo": [(0.5, 0.95, 0.05, 0.5, 0.5, 0.05), (0.5, 0.95, 0.5, 0.05, 0.95, 0.5)],
}
"""Name to triangles. "ok", "over", "under" and "todo" are the shapes of the states everywhere."""


def mesh_of(name: str, x: float, y: float, side: float) -> tuple[list[float], list[int]]:
    """Vertices (x, y, u, v in turn) and indices of a picture in a square of this side."""
    vertices: list[float] = []
    for triangle in ICONS[name]:
        for i in (0, 2, 4):
            vertices += [x + triangle[i] * side, y + triangle[i + 1] * side, 0.0, 0.0]
    return vertices, list(range(len(vertices) // 4))
