"""What is said where something could not be written: what happened and what to do, no names of files."""

from __future__ import annotations

from errno import EACCES, EDQUOT, ENOENT, ENOSPC, EPERM, EROFS

import core
from shopapp.presenters import wording

HAPPENED = {
    ENOSPC: ("the disk is full", "Make room on it"),
    EDQUOT: ("this user may take no more of the disk", "Make room on it"),
    EACCES: ("this user may not write in the shop's folder", "Have that allowed"),
    EPERM: ("this user may not write in the shop's folder", "Have that allowed"),
    EROFS: ("the disk can only be read", "Have it made writable"),
    ENOENT: ("the shop's folder is gone", "Plug its disk in, or bring it back"),
}
"""by the system's number of an error: what happened, and what helps"""
ELSE = "the disk did not take it ({})"


def sentence(error: core.StoreError, again: str = "touch again") -> str:
    """Nothing of it was taken. again : what to do once that is mended"""
    if isinstance(error, core.ShopInUse):
        return f"Not written: another program has the shop open. Close that, then {again}."
    if isinstance(error, core.DamagedDocument):
        return "Not written: the part's own record is damaged. Go back to the bench: it offers what helps."
    cause = error.__cause__
    if not isinstance(cause, OSError):
        return f"Not written: {error.what}. When that is mended, {again}."
    happened, helps = HAPPENED.get(cause.errno or 0, (ELSE.format(cause.strerror or cause), "Look after it"))
    return f"Not written: {happened}. {helps}, then {again}."


def told(error: core.GapwrightError) -> str:
    """The same of anything that kept a paper from being written."""
    if isinstance(error, core.StoreError):
        return sentence(error)
    return f"Not written: {wording.sentence(error)}"
