"""Small readers of what was written, by the published forms alone, and of plane figures."""

from __future__ import annotations

import numpy as np


def length_mm(points):
    """Of an open polyline (k, 2)."""
    return float(np.sum(np.hypot(*np.diff(points, axis=0).T)))


def crosses_itself(closed):
    """Whether two sides of a closed polygon (m, 2) that are no neighbours meet."""
    start, way = closed, np.roll(closed, -1, axis=0) - closed
    count = len(closed)
    for i in range(count - 2):
        others = np.arange(i + 2, count - (i == 0))
        apart = start[others] - start[i]
        turn = way[i, 0] * way[others, 1] - way[i, 1] * way[others, 0]
        flat = np.abs(turn) < 1e-12
        safe = np.where(flat, 1.0, turn)
        one = (apart[:, 0] * way[others, 1] - apart[:, 1] * way[others, 0]) / safe
        two = (apart[:, 0] * way[i, 1] - apart[:, 1] * way[i, 0]) / safe
        if np.any(~flat & (one > 0) & (one < 1) & (two > 0) & (two < 1)):
            return True
    return False


def farthest_mm(points, polyline):
    """Largest distance of points (n, 2) from a polyline (k, 2)."""
    start, way = polyline[:-1], np.diff(polyline, axis=0)
    arm = points[:, None] - start
    share = np.clip(np.sum(arm * way, axis=2) / np.sum(way**2, axis=1), 0.0, 1.0)
    return float(np.max(np.min(np.linalg.norm(arm - share[..., None] * way, axis=2), axis=1)))


def svg_points(path):
    """(k, 2) of the data of a path that has absolute M and L alone, closed or not."""
    words = path.replace("M", " ").replace("L", " ").replace("Z", " ").split()
    return np.array([[float(c) for c in word.split(",")] for word in words])


def dxf_polylines(text):
    """[(layer, closed, (k, 2))] of the LWPOLYLINEs of a DXF text: pairs of lines, group code and value (DXF
    reference: 8 layer, 70 flags with 1 for closed, 10 and 20 the vertices)."""
    lines = [line.strip() for line in text.splitlines()]
    found, current = [], None
    for code, value in zip(lines[::2], lines[1::2], strict=False):
        if code == "0":
            current = [None, False, [], []] if value == "LWPOLYLINE" else None
            found += [current] if current else []
        elif current and code == "8":
            current[0] = value
        elif current and code == "70":
            current[1] = bool(int(value) & 1)
        elif current and code in ("10", "20"):
            current[2 if code == "10" else 3].append(float(value))
    return [(layer, closed, np.column_stack([x, y])) for layer, closed, x, y in found]
