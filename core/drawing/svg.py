"""A drawing as SVG in its true size: one unit of the picture is a millimetre (W3C, SVG 1.1, section 7)."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from core.drawing.template import Drawing

Array = NDArray[np.float64]
SPACE = "http://www.w3.org/2000/svg"
BORDER_MM = 5.0
HAIRLINE_MM = 0.2
CAPITAL = 0.72  # height of a capital over the size of its font, about


def svg_text(drawing: Drawing) -> str:
    """SVG text: a group "cut" with the closed outline (red), a group "marks" with ticks and texts (blue)."""
    width, height = (size + 2.0 * BORDER_MM for size in drawing.size_mm)
    root = ElementTree.Element(
        "svg",
        xmlns=SPACE,
        version="1.1",
        width=f"{width:.6f}mm",
        height=f"{height:.6f}mm",
        viewBox=f"0 0 {width:.6f} {height:.6f}",
    )
    ElementTree.SubElement(root, "title").text = drawing.title
    cut = _group(root, "cut", "#ff0000")
    ElementTree.SubElement(cut, "path", d=_path(_down(drawing.cut, height)) + " Z")
    marks = _group(root, "marks", "#0000ff")
    for tick in _down(drawing.ticks, height):
        ElementTree.SubElement(marks, "path", d=_path(tick))
    for label in drawing.labels:
        x, y = _down(np.array(label.at_mm), height)
        if label.centred:
            y += 0.5 * label.height_mm
        text = ElementTree.SubElement(
            marks, "text", x=f"{x:.3f}", y=f"{y:.3f}", stroke="none", fill="#0000ff"
        )
        text.set("font-family", "sans-serif")
        text.set("font-size", f"{label.height_mm / CAPITAL:.3f}")
        text.set("text-anchor", "middle" if label.centred else "start")
        text.text = label.text
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, "unicode") + "\n"


def _group(root: ElementTree.Element, name: str, colour: str) -> ElementTree.Element:
    group = ElementTree.SubElement(root, "g", id=name, fill="none", stroke=colour)
    group.set("stroke-width", f"{HAIRLINE_MM:g}")
    return group


def _down(points: Array, height_mm: float) -> Array:
    """(..., 2) from y up to y down, with the border."""
    return np.stack([points[..., 0] + BORDER_MM, height_mm - BORDER_MM - points[..., 1]], axis=-1)


def _path(points: Array) -> str:
    return "M " + " L ".join(f"{x:.6f},{y:.6f}" for x, y in points)
