"""Errors of the core.

Tree::

    GapwrightError
    ├── InputError (ValueError)      a field holds something that cannot be used
    │   └── NewerDocument            written by a newer version of the program
    └── StoreError (OSError)         the record on disk
        ├── DamagedDocument          a file does not match its checksum
        └── ShopInUse                another program holds the folder

Facts are kept as attributes; the sentence is made from them in ``__str__``.
"""

from __future__ import annotations

from typing import Any


class GapwrightError(Exception):
    """Base of everything the core raises on purpose."""


class InputError(GapwrightError, ValueError):
    """A field of a job, a log or a screen holds something that cannot be used.

    Attributes:
        field: path of the field, such as ``section.thickness`` or ``gaps_mm[3]``.
        value: what was given, as given.
        expected: what would be right, as the end of "... is wanted".
    """

    def __init__(self, field: str, value: Any, expected: str) -> None:
        super().__init__(field, value, expected)
        self.field = field
        self.value = value
        self.expected = expected

    def __str__(self) -> str:
        return f"{self.field}: {_shown(self.value)} cannot be used; {self.expected}"


class NewerDocument(InputError):
    """The document was written by a newer version; it is left untouched."""


class StoreError(GapwrightError, OSError):
    """Reading or writing the record on disk failed; ``path`` names the file."""

    def __init__(self, path: str, what: str) -> None:
        super().__init__(path, what)
        self.path = path
        self.what = what

    def __str__(self) -> str:
        return f"{self.path}: {self.what}"


class DamagedDocument(StoreError):
    """The file does not match its checksum or is not a document at all."""


class ShopInUse(StoreError):
    """Another running program holds the lock of this data folder."""


def _shown(value: Any) -> str:
    try:
        text = repr(value)
    except (ValueError, RecursionError):  # whole numbers of thousands of digits, lists within lists
        text = f"a {type(value).__name__} too large to show"
    return text if len(text) <= 60 else text[:57] + "..."
