"""``gapwright take``: every job document of a folder checked and taken into the shop, whole or not at all."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from shopapp import terminal
from shopapp.environment import data_folder

if TYPE_CHECKING:
    import core

FINE, MISTAKES = 0, 1
MOST_BYTES = 20_000_000
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

    sound, wrong = checked(options.folder)
    if options.check:
        said = [f"{name}: nothing is wrong with it, {document.job.name}" for name, document in sound]
    elif sound:
        with core.Shop(options.data or data_folder()) as shop:
            said = list(_taken(shop, sound))
    else:
        said = []
    terminal.say("\n".join([*said, *wrong]))
    return MISTAKES if wrong else FINE


def checked(folder: Path) -> tuple[list[tuple[str, core.JobDocument]], list[str]]:
    """The sound documents of a folder by their names, and a sentence on each that is not sound.

    Raises InputError where there is none at all, OSError for a folder that cannot be read.
    """
    import core

    sound, wrong = [], []
    names = sorted(path for path in folder.iterdir() if path.suffix.lower() == ".json")
    if not names:
        raise core.InputError(str(folder), "the folder", "files ending in .json are wanted in it")
    for path in names:
        try:
            content = terminal.read(str(path), MOST_BYTES)
            if len(content) > MOST_BYTES:
                raise core.InputError(path.name, "the file", f"at most {MOST_BYTES} bytes are wanted")
            sound.append((path.name, core.read_document(content, field=path.name)))
        except (core.InputError, OSError) as error:
            wrong.append(f"{path.name}: not taken. {terminal.one_line(error).removeprefix(f'{path.name}: ')}")
    return sound, wrong


def _taken(shop: core.Shop, sound: list[tuple[str, core.JobDocument]]) -> Iterator[str]:
    """What became of each; a part is written whole or not at all."""
    there = [shop.open(card.id).job_document for card in shop.parts()]
    for name, document in sound:
        if document.job.document in there:
            yield f"{name}: in the shop already, {document.job.name}"
            continue
        shop.import_part(document.text())
        there.append(dict(document.job.document))
        yield f"{name}: taken, {document.job.name}"
