"""The job card as PDF: what is to be done next, in print that is read from the machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.advice import WITHIN
from core.printing.letters import Fonts
from core.printing.pages import INK, INNER_MM, LARGE, LINE, MARGIN_MM, MM_PER_POINT, PLAIN, SMALL, Pages
from core.printing.record_pdf import gaps_text
from core.records.facts import KEPT
from core.records.record import Record
from core.records.work import Ahead
from core.units import format_band, format_limit

PASS = 14.0  # points of the line above the counts
CAUTIONS_MM = 66.0  # of the page that they take, about


@dataclass(frozen=True)
class Cells:
    """How counts of strokes are set: most in a line, how high and wide at most, points of the print."""

    most: int
    high_mm: float
    wide_mm: float
    points: float

    def per_line(self, count: int) -> int:
        """As many in a line that all lines are about as long."""
        lines = -(-count // self.most)
        return -(-count // lines)


LARGE_CELLS, SMALL_CELLS = Cells(15, 13.5, 24.0, 20.0), Cells(20, 9.5, 12.0, 12.0)
WORDS = {
    "shrink": "SHRINK, press together",
    "stretch": "STRETCH, pull apart",
    "fold up": "FOLD UP with the tool",
    "fold back": "FOLD BACK with the tool",
    "": "SMOOTH the faces",
}


def card_pdf(record: Record, cautions: Sequence[tuple[str, str]], fonts: Fonts) -> bytes:
    """A card to hang at the machine: every pass still planned, strokes by site in large print.

    cautions : heading and sentence of each. Raises InputError, ``form``, where fpdf2 is not installed.
    """
    pages = Pages(f"{record.name}, job card", f"{record.name}, job card", fonts)
    pages.paragraph("Job card", PLAIN)
    pages.paragraph(record.name, LARGE, bold=True)
    facts = {fact.label: fact.text for fact in record.facts}
    tolerance = f"gaps up to {format_limit(record.tolerance_mm)}"
    pages.paragraph(f"{facts['metal']}; machine: {facts['machine']}; {tolerance}")
    if KEPT in facts:
        pages.paragraph(f"{KEPT[0].upper()}{KEPT[1:]}: {facts[KEPT]}.")
    if record.misfits:
        pages.paragraph("NOT TO BE RUN as it stands: the part does not fit tool or machine.", PASS, bold=True)
        pages.paragraph(f"{' '.join(record.misfits)} The passes are those that would be run once it fits.")
    if not record.ahead:
        pages.heading(f"No pass is planned. {record.sign_off_text}")
        pages.paragraph(gaps_text(record))
    if record.state == WITHIN and record.signed is None:
        pages.paragraph("To be done: the finish check, then sign-off.", PASS, bold=True)
    fits = len(record.ahead) * _high(len(record.position_mm), LARGE_CELLS) + CAUTIONS_MM <= pages.left_mm
    for k, ahead in enumerate(record.ahead):
        _pass(pages, record, ahead, LARGE_CELLS if k == 0 or fits else SMALL_CELLS, first=k == 0)
    _cautions(pages, cautions)
    return pages.done()


def _high(count: int, cells: Cells, before: int = 0) -> float:
    """Of a pass, about. before : lines of what comes before it"""
    return (2.5 + before) * PASS * LINE + -(-count // cells.most) * cells.high_mm + 12.0


def _pass(pages: Pages, record: Record, ahead: Ahead, cells: Cells, first: bool) -> None:
    before = bool(ahead.change_first) + ahead.anneal_first
    pages.need(_high(len(ahead.strokes), cells, before))
    pages.y += 3.0
    name = f"Pass {ahead.number}: " if ahead.number else ""
    pages.paragraph(f"{name}{'; '.join(WORDS[word] for word in ahead.words or ('',))}", PASS, bold=True)
    if ahead.change_first:
        to = f", to {ahead.tool}" if ahead.change_first == "tool" else ""
        pages.paragraph(f"CHANGE THE {ahead.change_first.upper()} first{to}.", PASS, bold=True)
    if ahead.anneal_first:
        pages.paragraph("ANNEAL the part first, and log it.", PASS, bold=True)
    pages.paragraph(_setting(ahead), PASS - 2.0)
    pages.paragraph(_told(record, ahead, first))
    if ahead.where:
        pages.paragraph(f"{ahead.where[0].upper()}{ahead.where[1:]}.")
    pages.y += 1.0
    per_line = cells.per_line(len(ahead.strokes))
    for start in range(0, len(ahead.strokes), per_line):
        _counts(pages, cells, ahead.strokes[start : start + per_line], start, per_line)
    pages.y += 1.0


def _setting(ahead: Ahead) -> str:
    ram = f"ram setting {ahead.setting}" if ahead.setting else "ram setting: not said"
    return (
        f"{ahead.bite} bite, {ram}, {ahead.tool}, {ahead.rate:g} strokes/min, {ahead.in_all} strokes in all"
    )


def _told(record: Record, ahead: Ahead, first: bool) -> str:
    told = [record.each]
    if ahead.gap_mm is not None:
        told.append(f"widest gap expected after it {format_band(ahead.gap_mm, ahead.gap_sd_mm or 0.0)}")
    told += [ahead.beside] if ahead.beside else []
    if ahead.minutes is not None:
        told.append(f"about {max(1.0, ahead.minutes):.0f} min with its gaps")
    if not first:
        told.append("as planned now: it is planned anew once the gaps before it are read")
    return "; ".join(told)


def _counts(pages: Pages, cells: Cells, counts: Sequence[int], start: int, per_line: int) -> None:
    """Numbers of the sites, small, over the strokes, large; a site without any is shaded and has a dash."""
    wide, high = min(cells.wide_mm, INNER_MM / per_line), cells.high_mm
    document = pages.document
    for k, count in enumerate(counts):
        x = MARGIN_MM + k * wide
        if not count:
            pages.shade(x, pages.y, wide, high)
        document.set_draw_color(INK)
        document.rect(x, pages.y, wide, high)
        pages.text(x + 0.8, pages.y + 3.2, str(start + k + 1), SMALL)
        base = pages.y + high - 0.16 * high
        points = cells.points if count < 1000 else 0.7 * cells.points
        pages.centred(x + 0.5 * wide, base, str(count) if count else "–", points, bold=True)
    pages.y += high


def _cautions(pages: Pages, cautions: Sequence[tuple[str, str]]) -> None:
    lines = sum(len(pages.letters.wrapped(f"{a}: {b}", SMALL, INNER_MM)) for a, b in cautions)
    pages.heading("Cautions", keep_mm=lines * SMALL * LINE)
    for heading, sentence in cautions:
        first, *more = pages.letters.wrapped(f"{heading}: {sentence}", SMALL, INNER_MM)
        for line in (first, *more):
            pages.need(SMALL * LINE)
            pages.y += SMALL * LINE
            pages.text(MARGIN_MM, pages.y - 0.25 * SMALL * MM_PER_POINT, line, SMALL)
