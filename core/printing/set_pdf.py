"""A set of parts on paper: side by side, both charts, what they say."""

from __future__ import annotations

from core.jobtypes import Job
from core.printing.chart import Level, draw_chart
from core.printing.letters import Fonts
from core.printing.pages import INNER_MM, LARGE, PLAIN, SMALL, Pages
from core.records.facts import worked_with
from core.records.set_table import CHANGES
from core.sets.summary import SetSummary
from core.units import format_band, format_limit

HEADER = ("part", "name", "passes", "strokes", "minutes", "widest gap", "response", "finished", "batch")
WIDTHS_MM = (10.0, 48.0, 14.0, 16.0, 16.0, 30.0, 18.0, 16.0, 18.0)
READ_SO = (
    "Charts of individuals and moving ranges of two, limits at 2.660 mean ranges from the mean and at 3.267 "
    "mean ranges (ISO 7870-2), run rules 1, 2, 3, 5 and 6 of Nelson; a square marks the part that completes "
    "one. ± is half of a 95 % band. The response is what strokes did against the first guess of them."
)


def set_pdf(job: Job, summary: SetSummary, fonts: Fonts) -> bytes:
    """The set on paper. job : of its first part.

    Raises InputError, ``form``, where fpdf2 is not installed.
    """
    names = [part.name for part in summary.parts]
    title = f"{names[0]} to {names[-1]}, set of parts" if names else "set of parts"
    pages = Pages(title, title, fonts)
    pages.paragraph("Set of parts", PLAIN)
    pages.paragraph(title.removesuffix(", set of parts"), LARGE, bold=True)
    pages.paragraph(f"{job.metal.name}; gaps up to {format_limit(job.tolerance_mm)}")
    pages.y += 2.0
    facts = [(fact.label, fact.text) for fact in worked_with(job)]
    pages.table(("", ""), facts, (32.0, INNER_MM - 32.0), headed=False)
    pages.heading("Parts")
    pages.table(HEADER, _rows(summary), WIDTHS_MM)
    pages.heading("What they say")
    for sentence in summary.sentences:
        pages.paragraph(sentence)
    pages.heading("Charts", keep_mm=75.0)
    limit = Level("tolerance", job.tolerance_mm)
    draw_chart(pages, "Final gap of each finished part, mm", summary.gaps, 1.0, "{:.2f}", limit)
    draw_chart(pages, "Response, per cent of the first guess", summary.responses, 100.0, "{:.0f}", None)
    pages.paragraph(READ_SO, SMALL)
    return pages.done()


def _rows(summary: SetSummary) -> list[tuple[str, ...]]:
    rows = zip(summary.parts, summary.response, summary.outlook.steps, strict=True)
    return [
        (
            str(number),
            part.name,
            str(len(part.passes)),
            str(part.strokes),
            "–" if part.minutes != part.minutes else f"{part.minutes:.0f}",
            "–" if part.gap_mm != part.gap_mm else format_band(part.gap_mm, part.gap_sd_mm),
            "–" if response != response else f"{100 * response:.0f} %",
            "yes" if part.finished else "no",
            CHANGES[step.change],
        )
        for number, (part, response, step) in enumerate(rows, 1)
    ]
