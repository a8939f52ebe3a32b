"""``gapwright line``: the lines in a file, told in short, and one of them as JSON for a job."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import replace
from math import degrees, isinf
from pathlib import Path
from typing import TYPE_CHECKING

from shopapp import terminal

if TYPE_CHECKING:
    import core

MOST_BYTES = 10_000_000
EPILOG = """examples:
  gapwright line rib.csv --unit mm             what is in it, and the line for a job
  gapwright line rib.dxf --pick 2 > line.json  the second of the lines that are listed
  gapwright line bowl.csv --as shape           a dish's meridian: distance from the axis, height
  gapwright line old-rib.csv --tracing-sd "0.3 mm"  points traced off an original

FILE is a table of points, x and y on every line (.csv, .tsv, .txt), or a drawing (.dxf, .svg). What is in it
is told on standard error: look there first. The line goes to standard output as {"line": {...}}, plain
numbers in mm, a field of a job as it stands; for a flange --as outline, for a dish --as shape. A unit that
the file does not say is asked for; one that is said here goes before it. Which side the worked edge lies:
walk along the line, it is at your left hand. All forms that are read: gapwright next --reference. dxf needs
a package: pip install 'gapwright[drawings]'
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to a parser."""
    line = commands.add_parser(
        "line",
        help="read a target line from a table of points or a drawing",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    line.add_argument("file", metavar="FILE", help="table of points or drawing; its name's ending says which")
    line.add_argument("--unit", metavar="UNIT", help="of its numbers: mm, cm, m, in, ft, thou")
    line.add_argument("--pick", metavar="N", type=int, help="which of its lines, where there are several")
    line.add_argument("--other-end", action="store_true", help="walk along it from its other end")
    line.add_argument("--tracing-sd", metavar="LENGTH", help="for traced points: how far one may be off")
    line.add_argument(
        "--as", dest="part", metavar="FIELD", default="line", help="of a job: line, outline or shape"
    )
    line.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Tell what is in the file, print the line."""
    content = terminal.read(options.file, MOST_BYTES)
    import core

    found = core.read_line_file(content, Path(options.file).name, options.unit, options.tracing_sd)
    if options.other_end:
        found = replace(found, lines=tuple(line.other_end() for line in found.lines))
    terminal.say("\n".join(told(found)), sys.stderr)
    line = _picked(found, options.pick)
    terminal.say(json.dumps({options.part: core.line_as(options.part, line)}, allow_nan=False))
    return 0


def told(found: core.LineFile) -> list[str]:
    """Sentences on what a file holds, its lines numbered from 1."""
    lines = [f"{found.name}: {found.form}, numbers in {found.unit}"]
    lines += [f"  {i + 1}  {summary(line)}" for i, line in enumerate(found.lines)]
    for line in found.lines:
        lines += [f"  Look: {sentence}" for sentence in line.warnings]
    lines += [f"  Not to be taken: {label}; {why}" for label, why in found.refused]
    return lines + [f"  {note}" for note in found.notes]


def summary(line: core.FileLine) -> str:
    """A line in short."""
    import core

    bends = "straight"
    if not isinf(line.tightest_mm):
        radius, at = (core.format_length(mm) for mm in (line.tightest_mm, line.tightest_at_mm))
        side = "left" if line.turn_rad >= 0.0 else "right"
        bends = f"tightest radius {radius} at {at}, turns {side} by {degrees(abs(line.turn_rad)):.1f}° in all"
    drawn = abs(line.drawn_mm - line.length_mm) > 1e-4 * line.length_mm
    chords = f" ({core.format_length(line.drawn_mm)} along its chords)" if drawn else ""
    return f"{line.label}: {line.points} points, {core.format_length(line.length_mm)} long{chords}, {bends}"


def _picked(found: core.LineFile, number: int | None) -> core.FileLine:
    import core

    if number is None and len(found.lines) == 1:
        return found.lines[0]
    if number is None or not 1 <= number <= len(found.lines):
        wanted = f"the number of a line, 1 to {len(found.lines)}, is wanted"
        raise core.InputError("--pick", number, wanted)
    return found.lines[number - 1]
