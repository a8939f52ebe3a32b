"""Paper and files, longer than a touch may wait, in a thread: records and templates written, jobs read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import core
from shopapp import job_files
from shopapp.job_files import JobFile
from shopapp.presenters import mistakes

Keep = Callable[[core.Record, str], str]
"""writes a record, given the part's id, and says where"""
Draw = Callable[[core.Job, str], str]
"""draws the template of a job, given the part's id, and says where"""
KeepSet = Callable[[core.Job, core.SetSummary, str], str]
"""writes the summary of a set, given its first job and its id, and says where"""


@dataclass(frozen=True)
class Written:
    """said : what was written where, or that it is being written; problem : why it was not, else "" """

    part_id: str
    said: str
    problem: str = ""


@dataclass(frozen=True)
class RecordWork:
    """A record to be made and written; it holds copies and changes nothing of the part. broken : what was
    changed outside the program"""

    part_id: str
    job: core.Job
    events: tuple[dict[str, Any], ...]
    advice: core.Advice | None
    broken: tuple[str, ...]
    keep: Keep

    def run(self) -> Written:
        """Where it was written; what went wrong is an answer too."""
        try:
            record = core.part_record(self.job, self.events, self.advice, self.broken)
            return Written(self.part_id, self.keep(record, self.part_id))
        except core.GapwrightError as error:
            return Written(self.part_id, "", mistakes.not_written(error))


@dataclass(frozen=True)
class TemplateWork:
    """A template to be drawn."""

    part_id: str
    job: core.Job
    draw: Draw

    def run(self) -> Written:
        """Where it was drawn; what went wrong is an answer too."""
        try:
            return Written(self.part_id, self.draw(self.job, self.part_id))
        except core.GapwrightError as error:
            return Written(self.part_id, "", mistakes.not_written(error, "Not drawn"))


@dataclass(frozen=True)
class SetWork:
    """The summary of a set to be written. part_id : of the part that is open meanwhile"""

    part_id: str
    job: core.Job
    summary: core.SetSummary
    set_id: str
    keep: KeepSet

    def run(self) -> Written:
        """Where it was written; what went wrong is an answer too."""
        try:
            return Written(self.part_id, self.keep(self.job, self.summary, self.set_id))
        except core.GapwrightError as error:
            return Written(self.part_id, "", mistakes.not_written(error))


@dataclass(frozen=True)
class JobFilesWork:
    """Files with jobs to be looked at. part_id : of the part that is open meanwhile; keep : takes what was
    found"""

    part_id: str
    names: tuple[str, ...]
    read: Callable[[str], bytes]
    keep: Callable[[tuple[JobFile, ...]], None]

    def run(self) -> Written:
        """What is wrong with a file is an answer too."""
        self.keep(tuple(self._one(name) for name in self.names))
        return Written(self.part_id, "")

    def _one(self, name: str) -> JobFile:
        try:
            return job_files.looked_at(name, self.read(name))
        except OSError as error:
            return JobFile(name, None, f"it cannot be read: {error.strerror or error}")


Paper = RecordWork | TemplateWork | SetWork | JobFilesWork
"""what is written, drawn or read in a thread"""
