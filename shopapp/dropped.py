"""Folders beside the shop's records that files are dropped into: target lines, whole jobs, photos."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

FOLDER, JOBS, PHOTOS = "line-files", "job-files", "photos"
MOST_BYTES = 10_000_000
MOST_FILES = 200


@dataclass(frozen=True)
class Dropped:
    """A file in the folder. changed : local time"""

    name: str
    changed: datetime


class DropFolder:
    """On disk, inside the data folder; made when it is first looked into, so that it can be found."""

    def __init__(self, data_folder: Path, name: str = FOLDER) -> None:
        self._folder = data_folder / name

    @property
    def place(self) -> str:
        """Where to put files, for a sentence."""
        return str(self._folder)

    def listing(self, endings: tuple[str, ...]) -> tuple[Dropped, ...]:
        """Files with one of these endings, the newest first. Raises OSError."""
        self._folder.mkdir(parents=True, exist_ok=True)
        found = [
            Dropped(path.name, datetime.fromtimestamp(path.stat().st_mtime).astimezone())
            for path in self._folder.iterdir()
            if path.suffix.lower().removeprefix(".") in endings and path.is_file()
        ]
        return tuple(sorted(found, key=lambda one: (-one.changed.timestamp(), one.name))[:MOST_FILES])

    def read(self, name: str) -> bytes:
        """A file of the listing, up to one byte more than is taken. Raises OSError."""
        with (self._folder / name).open("rb") as file:
            return file.read(MOST_BYTES + 1)


@dataclass
class DroppedInMemory:
    """The same without a disk. files : name -> (when changed, content); place : for a sentence"""

    files: dict[str, tuple[datetime, bytes]] = field(default_factory=dict)
    place: str = FOLDER

    def listing(self, endings: tuple[str, ...]) -> tuple[Dropped, ...]:
        """As of the folder on disk."""
        found = [Dropped(name, changed) for name, (changed, _) in self.files.items()]
        found = [one for one in found if one.name.rpartition(".")[2].lower() in endings]
        return tuple(sorted(found, key=lambda one: (-one.changed.timestamp(), one.name)))

    def read(self, name: str) -> bytes:
        """As of the folder on disk."""
        if name not in self.files:
            raise FileNotFoundError(2, "no such file", name)
        return self.files[name][1]


Folder = DropFolder | DroppedInMemory


@dataclass
class Folders:
    """Those of a shop; in memory unless they are named. lines : target lines; jobs : whole job documents"""

    lines: Folder = field(default_factory=DroppedInMemory)
    jobs: Folder = field(default_factory=lambda: DroppedInMemory(place=JOBS))
    photos: Folder = field(default_factory=lambda: DroppedInMemory(place=PHOTOS))


def folders_in(data: Path) -> Folders:
    """On disk, inside the data folder."""
    return Folders(*(DropFolder(data, name) for name in (FOLDER, JOBS, PHOTOS)))
