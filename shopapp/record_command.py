"""``gapwright record``: the record of parts, or the job card, written into a folder."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from shopapp.environment import data_folder
from shopapp.terminal import Reference, job_document, say

FINE = 0
REFERENCE = "part-record.md"
EPILOG = """examples:
  gapwright record rib-3.json                       its record as PDF, into this folder
  gapwright record "Shutter rib 3" --to records     a part of the shop, by its name
  gapwright record rib-3.json --form card           the job card: passes to come, in large print
  gapwright record *.json --form csv --form json    tables for a spreadsheet, and JSON
  gapwright record --reference                      every table, column and field

log is the job with its log, for "gapwright take" in another shop or "gapwright check" on any machine.
PART is a file as "gapwright next" takes it, or the name or id of a part in the shop. csv and json need
nothing more; pdf and card need a package: pip install 'gapwright[records]'
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> argparse.ArgumentParser:
    """Add the command to a parser, and give its own."""
    record = commands.add_parser(
        "record",
        help="write the record of parts, or the job card, into a folder",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    record.add_argument("parts", metavar="PART", nargs="+", help="job with its log, or a part of the shop")
    record.add_argument(
        "--to", metavar="FOLDER", type=Path, default=Path(), help="folder (this one if not said)"
    )
    record.add_argument(
        "--form",
        metavar="FORM",
        action="append",
        help="pdf (if none is said), card, csv, json or log; may be given several times",
    )
    record.add_argument(
        "--reference", action=Reference, const=REFERENCE, help="print what the forms hold, and stop"
    )
    record.set_defaults(run=run)
    return record


def run(options: argparse.Namespace) -> int:
    """Write all that is asked for, and say of each file what it is of."""
    for line in _written(options):
        say(line)
    return FINE


def _written(options: argparse.Namespace) -> Iterator[str]:
    import core
    from shopapp.filenames import stem_of
    from shopapp.recording import FORMS, records_from, write_record

    for form in options.form or ():
        if form not in FORMS:
            raise core.InputError("--form", form, f"one of {', '.join(FORMS)} is wanted")
    stems: dict[str, int] = {}
    data = options.data or data_folder()
    for record in records_from(options.parts, job_document, data):
        stem = stem_of(record.name)
        stems[stem] = stems.get(stem, 0) + 1
        numbered = stem if stems[stem] == 1 else f"{stem}-{stems[stem]}"
        forms = dict.fromkeys(options.form or ["pdf"])
        for path in write_record(record, options.to, numbered, forms, data):
            yield f"{path}: {record.name}, gaps {record.state}, {record.sign_off_text}"
