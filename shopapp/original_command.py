"""``gapwright original``: the line that measurements of an original give; two originals side by side."""

from __future__ import annotations

import argparse
import json
import sys
from typing import TYPE_CHECKING

from shopapp import terminal

if TYPE_CHECKING:
    import core

MOST_BYTES = 2_000_000
TOLD = 9
EPILOG = """examples:
  gapwright original old-rib.json               the line of an original with its uncertainty, for a job
  gapwright original left.json right.json       how far two of them differ, and their mean
  gapwright original bowl.json --as shape       a dish measured across, as its meridian

FILE holds what was read off the original: offsets from a straight edge, the rise over a chord moved along,
or traced points; worn spots left out, symmetry where the part has it. All fields, with examples, are in
assets/original-document.md. What was found is told on standard error, the line goes to standard output as
{"line": {...}}, a field of a job; --as outline gives that of a flange, --as shape that of a dish, which is
measured from rim to rim through its middle.
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to a parser."""
    measured = commands.add_parser(
        "original",
        help="the line of an original from what was measured off it",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    measured.add_argument("file", metavar="FILE", help="measurements, JSON; - is standard input")
    measured.add_argument("other", metavar="FILE", nargs="?", help="of another original, to lay beside it")
    measured.add_argument(
        "--as", dest="part", metavar="FIELD", default="line", help="of a job: line, outline or shape"
    )
    measured.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Tell what was found, print the line."""
    import core

    files = (options.file, options.other)
    found = [core.original(terminal.whole(file, MOST_BYTES)) for file in files if file is not None]
    said = [line for one in found for line in told(one)]
    line = found[0].line_as(options.part)
    if len(found) == 2:
        both = core.side_by_side(*found)
        said += told_of_two(both)
        line = both.line_as(options.part)
    terminal.say("\n".join(said), sys.stderr)
    terminal.say(json.dumps({options.part: line}, allow_nan=False))
    return 0


def told(found: core.Original) -> list[str]:
    """Sentences on one original."""
    import core

    spots, line = found.spots, found.measured
    total, worst = int(spots.count.sum()), float(line.sd_mm.max())
    worn = f", {spots.left_out} on worn spots left out" if spots.left_out else ""
    return [
        f"{found.name}: {total} readings at {len(spots.at_mm)} places{worn}",
        f"  one reading is off by {core.format_length(spots.reading_sd_mm)} (standard deviation)",
        f"  length {core.format_length(line.length_mm)}, the line known to "
        f"{core.format_length(1.96 * found.sd_mm)} (95 %), at worst {core.format_length(1.96 * worst)}",
        f"  {_tightest(found)}",
        *(f"  {doubt}" for doubt in found.doubts),
    ]


def told_of_two(both: core.SideBySide) -> list[str]:
    """Sentences on two originals beside each other."""
    import core

    step = (len(both.along_mm) - 1) // (TOLD - 1)
    places = range(0, len(both.along_mm), step)
    more = "more" if both.beyond_doubt else "no more"
    return [
        f"Side by side: the second is longer by {core.format_length(both.length_apart_mm)}",
        f"  they differ by {more} than the measuring explains",
        "  along the first, how far the second lies to the left of it:",
        *(
            f"  {core.format_length(both.along_mm[i])}: {core.format_band(both.apart_mm[i], both.sd_mm[i])}"
            for i in places
        ),
        "The line is the mean of both.",
    ]


def _tightest(found: core.Original) -> str:
    """The smallest radius with its band, told by its curvature, which is what is known."""
    import core

    line = found.measured
    worst = int(abs(line.bend_per_mm).argmax())
    bend, half = abs(line.bend_per_mm[worst]), 1.96 * line.bend_sd[worst]
    if bend <= half:
        return "tightest radius not known: it may be straight everywhere"
    low, high = (core.format_length(1.0 / value) for value in (bend + half, bend - half))
    return f"tightest radius {core.format_length(1.0 / bend)}, between {low} and {high} (95 %)"
