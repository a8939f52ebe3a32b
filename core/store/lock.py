"""One writer a folder: a lock that the operating system holds, and lets go when the program ends.

The lock belongs to the open file, not to the file's being there: what a crashed program leaves behind
locks nobody out.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from core.errors import ShopInUse, StoreError

# Windows locks a range of bytes against reading too; this one lies far behind the holder's number.
_FAR_BYTE = 1 << 30


class FolderLock:
    """Exclusive lock on ``path``, taken at once or refused with ShopInUse."""

    def __init__(self, path: Path) -> None:
        """Take the lock. Raises ShopInUse when another program, or another Shop here, holds it."""
        self._path = path
        try:
            self._file: int | None = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise StoreError(str(path), f"the lock file cannot be opened ({error.strerror})") from error
        try:
            _take(self._file)
        except (BlockingIOError, PermissionError) as error:
            os.close(self._file)
            raise ShopInUse(str(path.parent), _in_use(path)) from error
        except OSError as error:
            os.close(self._file)
            raise StoreError(str(path), f"this folder cannot be locked ({error.strerror})") from error
        os.ftruncate(self._file, 0)
        os.write(self._file, str(os.getpid()).encode("ascii"))

    def release(self) -> None:
        """Let go. The file stays: removing it would let two programs lock two files of one name."""
        if self._file is not None:
            os.close(self._file)
            self._file = None


def _in_use(path: Path) -> str:
    holder = path.read_bytes()[:20].decode("ascii", "replace").strip()
    who = f" (process {holder})" if holder.isdigit() else ""
    return f"another running program{who} has this data folder open; close it first"


if sys.platform == "win32":
    import msvcrt

    def _take(file: int) -> None:
        os.lseek(file, _FAR_BYTE, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        os.lseek(file, 0, os.SEEK_SET)

else:
    import fcntl

    def _take(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
