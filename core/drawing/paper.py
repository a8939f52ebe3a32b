"""An empty PDF in mm, by the package fpdf2: the one place that imports it."""

from __future__ import annotations

from typing import Any

from core.drawing.extras import missing_extra


def empty_pdf(page_mm: tuple[float, float], extra: str = "drawings", instead: str = "draw it as svg") -> Any:
    """A document without pages, each to be as large as this; nothing breaks over by itself.

    extra : of this program that brings the package; instead : what can be had without it. Raises InputError,
    ``form``, where it is not installed.
    """
    try:
        from fpdf import FPDF
    except ImportError as error:
        raise missing_extra("pdf", "fpdf2", extra, instead) from error
    document = FPDF(unit="mm", format=page_mm)
    document.set_auto_page_break(False)
    return document
