"""``gapwright set``: parts alike side by side, and what the next one starts from."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from shopapp.terminal import job_document, say

EPILOG = """examples:
  gapwright set rib-1.json rib-2.json rib-3.json
  gapwright set --json rib-*.json       the same as JSON; "next" holds what the next job starts from
  gapwright set --out ribs.pdf rib-*.json     the same on paper, with both charts; .csv for a spreadsheet

FILE is that of "gapwright next", of jobs that differ in nothing but the name. The response is told in per
cent of the first guess, the widest gap with its 95 % band.
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to a parser."""
    alike = commands.add_parser(
        "set",
        help="parts alike side by side: charts, capability, what the next one starts from",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    alike.add_argument("files", metavar="FILE", nargs="+", help="a part each, JSON, in the order of making")
    alike.add_argument("--json", action="store_true", help="print it as JSON")
    alike.add_argument("--out", metavar="FILE", type=Path, help="write it there: .pdf or .csv")
    alike.add_argument("--new-coil", action="store_true", help="another coil begins with the next part")
    alike.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Lay the parts side by side."""
    given = [job_document(file) for file in options.files]
    import core
    from shopapp import recording
    from shopapp.set_text import set_lines

    parts = [core.part_done(one.job, one.events, core.refit(one.job, one.events)) for one in given]
    summary = core.set_summary(given[0].job, parts, options.new_coil)
    if options.out is not None:
        say(recording.write_set(given[0].job, summary, options.out))
    elif options.json:
        say(json.dumps(core.set_document(summary), ensure_ascii=False, allow_nan=False, indent=1))
    else:
        say("\n".join(set_lines(summary)))
    return 0
