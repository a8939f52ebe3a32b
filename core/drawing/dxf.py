"""A drawing as DXF, release 2000, in mm, by the package ezdxf (the extra "drawings")."""

from __future__ import annotations

from typing import Any

from core.drawing.extras import missing_extra
from core.drawing.template import Drawing

MILLIMETRES = 4  # $INSUNITS of the DXF reference
# Layers with their colours of the AutoCAD Colour Index: red and blue.
LAYERS = {"CUT": 1, "MARKS": 5}


class _Text(list[str]):
    """What ezdxf writes to, in place of a file."""

    def write(self, text: str) -> None:
        self.append(text)


def dxf_bytes(drawing: Drawing) -> bytes:
    """A closed LWPOLYLINE on the layer CUT; LINE and TEXT on the layer MARKS. Raises InputError, ``form``,
    where ezdxf is not installed."""
    try:
        import ezdxf
        from ezdxf.enums import TextEntityAlignment
    except ImportError as error:
        raise missing_extra("dxf", "ezdxf") from error
    document = ezdxf.new("R2000", units=MILLIMETRES)
    for name, colour in LAYERS.items():
        document.layers.add(name, color=colour)
    space = document.modelspace()
    space.add_lwpolyline(_plain(drawing.cut), close=True, dxfattribs={"layer": "CUT"})
    for start, end in drawing.ticks:
        space.add_line(*_plain([start, end]), dxfattribs={"layer": "MARKS"})
    for label in drawing.labels:
        text = space.add_text(label.text, height=label.height_mm, dxfattribs={"layer": "MARKS"})
        align = TextEntityAlignment.MIDDLE_CENTER if label.centred else TextEntityAlignment.LEFT
        text.set_placement(label.at_mm, align=align)
    written = _Text()
    document.write(written)
    return bytes(document.encode("".join(written)))


def _plain(points: Any) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in points]
