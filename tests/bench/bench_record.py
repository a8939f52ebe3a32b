"""What the record of a long part costs: ten passes, sixty stations, eleven rounds of gaps.

Run: ``OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python tests/bench/bench_record.py`` (or with pytest -s).
Processor time of one thread, the best of several, after one of each to warm up. The reference in the same run
is a PDF by the same package and fonts with as many letters, in lines without any table. Memory is the most
that Python held at once while one PDF was made (tracemalloc), and how large the file is.
"""

from __future__ import annotations

import io
import sys
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import pypdf
import pytest

import core
from core.printing.pages import PLAIN, Pages
from shopapp import recording
from shopapp.cautions import CAUTIONS
from tests.estimate.logs import worked
from tests.made_up import rib

pytestmark = pytest.mark.bench
STATIONS, PASSES, PITCH = 60, 10, 25.0
MOST_S, MOST_RATIO = 1.0, 5.0
LINE_LETTERS = 90


def best_s(action: Callable[[], object], tries: int = 5) -> float:
    """Least processor time of one call in so many tries, after one that does not count."""
    action()
    times = []
    for _ in range(tries):
        start = time.process_time()
        action()
        times.append(time.process_time() - start)
    return min(times)


def long_part() -> tuple[core.Job, list[core.Event], core.Advice]:
    """A job with so many passes of the first guess, each with its plan and a round of gaps."""
    length = f"{STATIONS * PITCH} mm"
    line = {"radius": length, "length": length}
    job = core.job(rib(pitch=f"{PITCH} mm", line=line, tool__strain_per_stroke=0.02 / PASSES))
    events: list[core.Event] = []
    for event in worked(job, PASSES):
        if event["event"] == "pass_done":
            asked = {name: event[name] for name in ("action", "bite", "strokes")}
            events.append(
                core.note("as planned", planned={"as_shown": True, **asked, "gap_mm": 1.0, "gap_sd_mm": 0.2})
            )
        events.append(event)
    return job, events, core.refit(job, events)


def plain_pdf(letters: int) -> bytes:
    """So many letters in lines, on as many pages as they take."""
    pages = Pages("letters", "letters", recording.fonts())
    for k in range(letters // LINE_LETTERS):
        pages.paragraph(f"{k:06d} {'0.35 12.5 7 ' * 7}"[:LINE_LETTERS], PLAIN)
    return pages.done()


def test_ten_passes_and_sixty_stations() -> None:
    job, events, advice = long_part()
    record = core.part_record(job, events, advice)
    caution, fonts = CAUTIONS[-1][1], recording.fonts()

    def made() -> bytes:
        return core.record_pdf(record, caution, fonts)

    letters = sum(len(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(made())).pages)
    reference = best_s(lambda: plain_pdf(letters))
    seconds = best_s(made)
    rows = {
        "record from log and advice": best_s(lambda: core.part_record(job, events, advice)),
        "PDF of the record": seconds,
        "job card": best_s(lambda: core.card_pdf(record, CAUTIONS, fonts)),
        "tables as CSV     ": best_s(lambda: [core.table_csv(t) for t in core.record_tables(record)]),
        "JSON": best_s(lambda: core.record_json(record)),
    }
    print(f"\n{PASSES} passes, {STATIONS} stations, {len(record.readings)} readings, {letters} letters:")
    for name, took in rows.items():
        print(f"  {name:28s} {1e3 * took:7.0f} ms, {took / reference:5.2f} of the reference")
    print(f"  {'reference: bare lines':28s} {1e3 * reference:7.0f} ms")
    tracemalloc.start()
    contents = made()
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"  at most {most / 1e6:.1f} MB held, file of {len(contents) / 1e3:.0f} kB; target: {MOST_S:g} s")
    assert seconds <= MOST_S
    assert seconds <= MOST_RATIO * reference


if __name__ == "__main__":
    test_ten_passes_and_sixty_stations()
