"""``gapwright check``: whether the records of parts are as they were written."""

from __future__ import annotations

import argparse

from shopapp.environment import data_folder
from shopapp.terminal import read, say, shown

FINE, NOT_AS_WRITTEN = 0, 4
MOST_BYTES = 20_000_000
EPILOG = """Every entry of a log carries a seal: the SHA-256 of itself and of the seal before it. The
check says which entries of which part were changed, taken out, put in or moved outside the program, and which
records carry no seals. It changes no record. A chain that somebody reckoned anew from the change on looks
whole: only a seal that was written down at sign-off, compared with the one printed here, shows that.

FILE is a plain document such as that of "gapwright next"; without one the shop's data are checked.
"""


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> argparse.ArgumentParser:
    """Add the command to a parser, and give its own."""
    check = commands.add_parser(
        "check",
        help="say whether records are as they were written",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    check.add_argument("files", metavar="FILE", nargs="*", help="a part with its log, JSON")
    check.set_defaults(run=run)
    return check


def run(options: argparse.Namespace) -> int:
    """Check the files given, else the shop's data; 4 where something is not as it was written."""
    from shopapp import check_text

    if options.files:
        documents = {shown(file): read(file, MOST_BYTES) for file in options.files}
        lines, whole = check_text.of_documents(documents)
    else:
        folder = options.data or data_folder()
        if not folder.is_dir():
            raise FileNotFoundError(2, "there are no shop's data here", str(folder))
        import core

        with core.Shop(folder) as shop:
            lines, whole = check_text.of_shop(shop)
    say("\n".join(lines))
    return FINE if whole else NOT_AS_WRITTEN
