"""What commands read and print."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    import core

MOST_BYTES = 20_000_000  # a job with a thousand passes of a thousand stations has fewer


def read(name: str, most: int) -> bytes:
    """A file, or standard input for "-", up to one byte more than ``most``, for the reader to refuse."""
    if name == "-":
        return sys.stdin.buffer.read(most + 1)
    with Path(name).open("rb") as file:
        return file.read(most + 1)


def whole(name: str, most: int) -> bytes:
    """All of a file or of standard input. Raises InputError for more bytes than ``most``."""
    content = read(name, most)
    if len(content) > most:
        import core

        raise core.InputError(shown(name), "the file", f"at most {most} bytes are wanted")
    return content


def job_document(name: str) -> core.JobDocument:
    """Job and log from a file or standard input. Raises InputError, its field with the file's name before it,
    for what cannot be used."""
    content = whole(name, MOST_BYTES)
    import core

    try:
        return core.read_document(content, field=shown(name))
    except core.InputError as error:
        if error.field != shown(name):
            error.field = f"{shown(name)}: {error.field}"
        raise


def asset(name: str) -> Path:
    """A file that ships with the program: among its modules once installed, beside them in a checkout."""
    here = Path(__file__).parent
    shipped = here / "assets" / name
    return shipped if shipped.exists() else here.parent / "assets" / name


class Reference(argparse.Action):
    """Print a page that ships with the program, ``const``, and stop, as --help does."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(option_strings, dest, nargs=0, **more)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        say(asset(str(self.const)).read_text("utf-8").rstrip())
        parser.exit()


def shown(name: str) -> str:
    """What a message calls it."""
    return "standard input" if name == "-" else name


def say(text: str, out: TextIO | None = None) -> None:
    """Print what a narrow terminal encoding cannot show as its nearest stand-in. out : standard output"""
    out = out or sys.stdout
    encoding = getattr(out, "encoding", None) or "utf-8"
    print(text.encode(encoding, errors="replace").decode(encoding), file=out)


def one_line(error: Exception) -> str:
    """An error as one sentence."""
    if isinstance(error, OSError) and error.filename and error.strerror:
        return f"{error.filename}: {error.strerror.lower()}"
    return " ".join(str(error).split())
