"""A data folder on disk. Each document is replaced whole, and is durable when the call returns.

Layout::

    <data>/shop.lock          held while the shop is open
    <data>/settings.json      shop-wide settings
    <data>/index.lines        what the Bench shows, rebuilt from the parts when missing or behind
    <data>/parts/<id>.json    one document a part
    *.json.last               last good copy;  *.json.new: being written;  *.json.damaged-N: set aside
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from core.errors import StoreError
from core.store.folder import SETTINGS, Folder, Listing, Stamp
from core.store.lock import FolderLock

_DOCUMENT, _COPY, _NEW = ".json", ".json.last", ".new"


class DiskFolder(Folder):
    """The documents under one data folder, locked against a second writer while open."""

    def __init__(self, data: Path) -> None:
        """Make the folder if it is not there, and lock it.

        Raises ShopInUse when another program has it open, StoreError when it cannot be used.
        """
        self._data = data
        self._parts = data / "parts"
        self._index = data / "index.lines"
        with _failing_as(data, "the data folder cannot be made"):
            self._parts.mkdir(parents=True, exist_ok=True)
            _sync_folder(data)
        self._lock = FolderLock(data / "shop.lock")
        try:
            self._sweep()
        except BaseException:
            self._lock.release()
            raise

    def path(self, name: str) -> str:
        """As Folder.path."""
        return str(self._document(name))

    def read(self, name: str) -> bytes | None:
        """As Folder.read."""
        return _contents(self._document(name))

    def read_copy(self, name: str) -> bytes | None:
        """As Folder.read_copy."""
        return _contents(self._copy(name))

    def replace(self, name: str, contents: bytes) -> None:
        """As Folder.replace: new file, fsync, old one kept as the copy, replace, fsync of the folder."""
        path, copy = self._document(name), self._copy(name)
        with _failing_as(path, "it could not be written; what was recorded before is unchanged"):
            new = _written(path, contents)
            first = not path.exists()
            if not first:
                _keep(path, copy)
            new.replace(path)
            if first:
                # Copied apart, not linked: damage to the one must not be damage to the other.
                _written(copy, contents).replace(copy)
            _sync_folder(path.parent)

    def set_aside(self, name: str) -> None:
        """As Folder.set_aside."""
        path = self._document(name)
        with _failing_as(path, "the damaged file could not be set aside"):
            if path.exists():
                path.replace(_free_name(path))
                _sync_folder(path.parent)

    def stamp(self, name: str) -> Stamp:
        """As Folder.stamp."""
        path = self._document(name)
        with _failing_as(path, "the file cannot be looked at"):
            return _stamp(path.stat())

    def listing(self) -> Listing:
        """As Folder.listing."""
        stamps: dict[str, Stamp] = {}
        copies: set[str] = set()
        with _failing_as(self._parts, "the folder of parts cannot be read"), os.scandir(self._parts) as found:
            for entry in found:
                if entry.name.endswith(_DOCUMENT):
                    stamps[entry.name.removesuffix(_DOCUMENT)] = _stamp(entry.stat())
                elif entry.name.endswith(_COPY):
                    copies.add(entry.name.removesuffix(_COPY))
        return Listing(stamps, frozenset(copies))

    def read_index(self) -> bytes:
        """As Folder.read_index."""
        return _contents(self._index) or b""

    def write_index(self, contents: bytes) -> None:
        """As Folder.write_index."""
        with _failing_as(self._index, "the index could not be written"):
            new = self._index.with_name(self._index.name + _NEW)
            new.write_bytes(contents)
            new.replace(self._index)

    def extend_index(self, contents: bytes) -> None:
        """As Folder.extend_index."""
        with _failing_as(self._index, "the index could not be written"), self._index.open("ab") as file:
            file.write(contents)

    def close(self) -> None:
        """As Folder.close."""
        self._lock.release()

    def _document(self, name: str) -> Path:
        return self._data / "settings.json" if name == SETTINGS else self._parts / (name + _DOCUMENT)

    def _copy(self, name: str) -> Path:
        document = self._document(name)
        return document.with_name(document.name + ".last")

    def _sweep(self) -> None:
        """Remove what a write that never ended left behind; it was not acknowledged."""
        with _failing_as(self._data, "the data folder cannot be tidied"):
            for folder in (self._data, self._parts):
                for left in folder.glob("*" + _NEW):
                    left.unlink()


def _contents(path: Path) -> bytes | None:
    with _failing_as(path, "the file cannot be read"):
        try:
            return path.read_bytes()
        except FileNotFoundError:
            return None


def _written(path: Path, contents: bytes) -> Path:
    """A new file beside ``path``, its contents on the disk; nothing is left of it when that fails."""
    new = path.with_name(path.name + _NEW)
    try:
        with new.open("wb") as file:
            file.write(contents)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        # On a full disk the torn file would take the room; the first error is the one to report.
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    return new


def _keep(path: Path, copy: Path) -> None:
    """Make ``copy`` hold what ``path`` holds, at no moment less than whole."""
    new = copy.with_name(copy.name + _NEW)
    new.unlink(missing_ok=True)
    try:
        os.link(path, new)
    except OSError:
        # Memory cards and some tablets know no hard links.
        shutil.copyfile(path, new)
        with new.open("rb+") as file:
            os.fsync(file.fileno())
    new.replace(copy)
    # Two names of one file are left as they are by a replacement (POSIX rename).
    new.unlink(missing_ok=True)


def _free_name(path: Path) -> Path:
    number = 1
    while (free := path.with_name(f"{path.name}.damaged-{number}")).exists():
        number += 1
    return free


def _stamp(status: os.stat_result) -> Stamp:
    return Stamp(status.st_size, status.st_mtime_ns)


def _sync_folder(folder: Path) -> None:
    """Make the folder's entries durable. Windows opens no folders and keeps its entries in a journal."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _failing_as(path: Path, what: str) -> Iterator[None]:
    """Turn an error of the operating system into a StoreError that names the file and the reason."""
    try:
        yield
    except StoreError:
        raise
    except OSError as error:
        raise StoreError(str(path), f"{what} ({error.strerror or error})") from error
