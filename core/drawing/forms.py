"""A drawing as the bytes of a file."""

from __future__ import annotations

from core.drawing.dxf import dxf_bytes
from core.drawing.pdf import pdf_bytes
from core.drawing.svg import svg_text
from core.drawing.template import Drawing
from core.jobfields import chosen

# Forms of a drawing, by the ending of the file's name, and what each is for.
DRAWING_FORMS = {
    "svg": "for cutting and for a browser",
    "dxf": "for cutting",
    "pdf": "over sheets of paper that are joined",
}


def drawing_bytes(drawing: Drawing, form: str, sheet: str = "A4") -> bytes:
    """The drawing as a file of a form of ``DRAWING_FORMS``; sheet : of a PDF, of ``SHEETS``.

    Raises InputError, ``form`` or ``sheet``, for what is not known or not installed.
    """
    chosen(form, "form", DRAWING_FORMS)
    if form == "pdf":
        return pdf_bytes(drawing, sheet)
    return svg_text(drawing).encode("utf-8") if form == "svg" else dxf_bytes(drawing)
