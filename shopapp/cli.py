"""The command line. Everything heavy is imported by the command that needs it."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from importlib import metadata
from pathlib import Path

from shopapp import (
    check_command,
    line_command,
    original_command,
    record_command,
    set_command,
    take_command,
)
from shopapp.environment import data_folder, prepare_kivy, prepare_numbers
from shopapp.terminal import Reference, job_document, one_line, say

FINE, BAD_INPUT, USAGE, NO_FILE, STOPPED = 0, 1, 2, 3, 130

DESCRIPTION = "Sheet parts and bars to their template, pass by pass, on a shrinking and stretching machine."
EPILOG = """examples:
  gapwright                          open the touch app on this computer's own shop
  gapwright --data /media/stick/shop open it on another shop's data
  gapwright demo                     open it on a made-up shop with a bar that answers
  gapwright rehearse                 play whole jobs against a made-up bar, in the terminal
  gapwright next rib-3.json          read a job with its log, print the next pass
  gapwright next --json - < rib.json the same as JSON, from standard input
  gapwright set rib-1.json rib-2.json            parts alike side by side
  gapwright template rib-3.json --out rib-3.pdf  its template in true size, over sheets of A4
  gapwright record rib-3.json        its record as PDF, with every stroke and reading
  gapwright line rib-3.dxf           the target line in a drawing or a table of points, for a job
  gapwright original old-rib.json    the line of an original from what was measured off it
  gapwright take jobs/               a folder of jobs, checked and taken into the shop
  gapwright check                    say of every part whether its record is as it was written

exit codes:
  0  done    1  something given cannot be used    2  wrong use of the command line
  3  a file or the shop's data cannot be read or written    130  stopped from the keyboard
  4  the check found a record that is not as it was written
"""
NEXT_EPILOG = """FILE holds {"schema": 1, "job": {...}, "events": [...]}; - reads standard input.
All fields with their units and defaults, and examples: gapwright next --reference
Lengths are text with a unit ("1500 mm", "1/16 in"); fields ending in _mm take plain numbers.

Which side the worked edge lies: walk along the line, the worked edge is at your left hand. Where the
line turns left the edge gets shorter, where it turns right longer. A radius or rise above 0 turns left.
Points are walked as listed, x to the right and y up; the same arc, once for either:
  "line": {"offsets_mm": [[0, 0], [500, 50], [1000, 0]]}    turns right: stretch
  "line": {"offsets_mm": [[1000, 0], [500, 50], [0, 0]]}    turns left: shrink

Every figure behind ± is the half of a band that holds the truth 95 times in 100. What was learned of a
stroke is told in per cent of the first guess.

A gap wider than the gauge reaches: name the gauge that did read it in its event,
  {"event": "gaps_read", "gaps_mm": [...], "gauge": "steel rule"}
"""
TEMPLATE_EPILOG = """examples:
  gapwright template rib-3.json --out rib-3.pdf --sheet A3      print at 100 %, join by the crosses, cut
  gapwright template rib-3.json --out rib-3.dxf --side outside  the template for the back, for cutting

FILE is that of "gapwright next". The edge of the template is the line of the job, or lies off it by the
metal where the template touches its other face; what it lies against is written on it. svg needs nothing
more; dxf and pdf need two packages: pip install 'gapwright[drawings]'
"""
REFERENCE = "job-document.md"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code is returned. Errors are one sentence on standard error."""
    prepare_numbers()
    try:
        options = _parser().parse_args(arguments)
    except SystemExit as stop:  # argparse ends the program itself, also after --help
        return stop.code if isinstance(stop.code, int) else USAGE
    try:
        code = options.run(options)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        return STOPPED
    except BrokenPipeError:  # the reader of our output has gone, such as a pager that was left
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except Exception as error:
        code = _code(error)
        if code is None:
            raise
        print(f"gapwright: {one_line(error)}", file=sys.stderr)
        return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="gapwright",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"gapwright {_version()}")
    _add_data(parser, None)
    parser.set_defaults(run=_open)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    demo = commands.add_parser("demo", help="open the touch app on a made-up shop with a bar that answers")
    demo.set_defaults(run=_demo)
    _add_data(demo, argparse.SUPPRESS)
    rehearse = commands.add_parser("rehearse", help="play whole jobs against a made-up bar, in the terminal")
    rehearse.add_argument("jobs", nargs="*", metavar="JOB", help="name of a job; all of them if not given")
    rehearse.set_defaults(run=_rehearse)
    _add_data(rehearse, argparse.SUPPRESS)
    following = commands.add_parser(
        "next",
        help="read a job with its log, print the next pass",
        epilog=NEXT_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    following.add_argument("file", metavar="FILE", help="job with its log, JSON; - is standard input")
    following.add_argument("--json", action="store_true", help="print the whole advice as JSON")
    following.add_argument(
        "--reference",
        action=Reference,
        const=REFERENCE,
        help="print all that a job and its log can hold, and stop",
    )
    following.set_defaults(run=_next)
    _add_template(commands)
    line_command.add(commands)
    original_command.add(commands)
    set_command.add(commands)
    _add_data(record_command.add(commands), argparse.SUPPRESS)
    _add_data(take_command.add(commands), argparse.SUPPRESS)
    _add_data(check_command.add(commands), argparse.SUPPRESS)
    return parser


def _add_template(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    template = commands.add_parser(
        "template",
        help="draw the template of a job in true size, to be cut or printed",
        epilog=TEMPLATE_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    template.add_argument("file", metavar="FILE", help="job, JSON; - is standard input")
    template.add_argument(
        "--out", metavar="FILE", type=Path, required=True, help="drawing: a name ending in .svg, .dxf or .pdf"
    )
    template.add_argument("--sheet", metavar="SHEET", help="of paper for a PDF: A4 (if not said) or A3")
    template.add_argument("--side", metavar="SIDE", help="inside or outside; if not said, as the job has it")
    template.add_argument("--half", action="store_true", help="of a dish, from the pole to the rim only")
    template.set_defaults(run=_template)


def _add_data(parser: argparse.ArgumentParser, default: object) -> None:
    parser.add_argument(
        "--data", metavar="FOLDER", type=Path, default=default, help="folder of the shop's data"
    )


def _open(options: argparse.Namespace) -> int:
    return _touch_app(options.data or data_folder(), demo=False)


def _demo(options: argparse.Namespace) -> int:
    return _touch_app(options.data or data_folder("-demo"), demo=True)


def _touch_app(folder: Path, demo: bool) -> int:
    prepare_kivy()
    from shopapp import app

    app.run(folder, demo=demo)
    return FINE


def _rehearse(options: argparse.Namespace) -> int:
    from shopapp.rehearse import rehearse

    return rehearse(options.jobs or None, options.data or data_folder("-rehearsal"), sys.stdout)


def _next(options: argparse.Namespace) -> int:
    given = job_document(options.file)
    import core
    from shopapp.next_text import next_lines

    advice = core.refit(given.job, given.events)
    if options.json:
        document = core.advice_document(advice, given.job)
        say(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1))
    else:
        say("\n".join(next_lines(given.job, advice, core.effective(given.events))))
    return FINE


def _template(options: argparse.Namespace) -> int:
    import core

    out, form = options.out, options.out.suffix.lower().removeprefix(".")
    if form not in core.DRAWING_FORMS:
        raise core.InputError("--out", str(out), "a name that ends in .svg, .dxf or .pdf is wanted")
    if options.sheet is not None and form != "pdf":
        raise core.InputError("--sheet", options.sheet, "only a PDF is cut into sheets; leave it out")
    sheet = (options.sheet or "A4").upper()
    drawing = core.template_drawing(job_document(options.file).job, options.side, options.half)
    out.write_bytes(core.drawing_bytes(drawing, form, sheet))
    over = f", sheets of {sheet}: {len(core.tiled(drawing.cut, sheet).tiles)}" if form == "pdf" else ""
    width, height = drawing.size_mm
    say(f"{out}: {drawing.title}, {width:.1f} x {height:.1f} mm over all{over}")
    return FINE


def _code(error: Exception) -> int | None:
    """Exit code of an error that is the user's to mend; None for one that is ours."""
    import core

    if isinstance(error, core.InputError):
        return BAD_INPUT
    return NO_FILE if isinstance(error, OSError) else None


def _version() -> str:
    try:
        return metadata.version("gapwright")
    except metadata.PackageNotFoundError:
        return "(run from its source)"
