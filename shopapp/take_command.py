"""``gapwright take``: every job document of a folder checked and taken into the shop, whole or not at all."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopapp import terminal
from shopapp.environment import data_folder

if TYPE_CHECKING:
    from shopapp.job_files import JobFile

FINE, MISTAKES = 0, 1
EPILOG = """examples:
  gapwright take jobs/                  check every job of the folder, take those without a mistake
  gapwright take jobs/ --check          check only

Every file ending in .json is a job with or without its log, as "gapwright next" reads it. One with a mistake
is named with what would be right, and nothing of it is taken. One that the shop has already, the same to the
letter, is not taken again. Close the touch app first: one program has the shop's data at a time.
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> argparse.ArgumentParser:
    """Add the command to a parser, and give its own."""
    take = commands.add_parser(
        "take",
        help="take a folder of jobs into the shop",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    take.add_argument("folder", metavar="FOLDER", type=Path, help="folder of job documents, JSON")
    take.add_argument("--check", action="store_true", help="check them only, take none")
    take.set_defaults(run=run)
    return take


def run(options: argparse.Namespace) -> int:
    """Check all, take the sound ones, say of each what became of it; 1 where one has a mistake."""
    import core
    from shopapp import job_files

    found = [_looked_at(path) for path in _paths(options.folder)]
    sound = [(one.name, one.document) for one in found if one.document is not None]
    wrong = [f"{one.name}: not taken. {one.wrong}" for one in found if one.document is None]
    said = []
    if options.check:
        said = [f"{name}: nothing is wrong with it, {document.job.name}" for name, document in sound]
    elif sound:
        with core.Shop(options.data or data_folder()) as shop:
            for name, document in sound:
                what = "taken" if job_files.take(shop, document) else "in the shop already"
                said.append(f"{name}: {what}, {document.job.name}")
    terminal.say("\n".join([*said, *wrong]))
    return MISTAKES if wrong else FINE


def _paths(folder: Path) -> list[Path]:
    """Raises InputError where there is none, OSError for a folder that cannot be read."""
    import core

    found = sorted(path for path in folder.iterdir() if path.suffix.lower() == ".json")
    if not found:
        raise core.InputError(str(folder), "the folder", "files ending in .json are wanted in it")
    return found


def _looked_at(path: Path) -> JobFile:
    """What is wrong is told in one line."""
    from shopapp import job_files

    try:
        found = job_files.looked_at(path.name, terminal.read(str(path), job_files.MOST_BYTES))
    except OSError as error:
        found = job_files.JobFile(path.name, None, terminal.one_line(error))
    return replace(found, wrong=" ".join(found.wrong.split()))
