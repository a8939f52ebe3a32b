"""A folder of jobs at once: what each file holds is looked at, then all without a mistake are taken."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic

import core
from shopapp import job_files
from shopapp.job_files import JobFile
from shopapp.presenters import mistakes, outlines, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.inventory_views import InventoryRow
from shopapp.presenters.line_file_views import LineFileView
from shopapp.presenters.pieces import OK, OVER, PLAIN, Fact, Header, Key
from shopapp.presenters.record_work import JobFilesWork
from shopapp.presenters.session import Session

EMPTY = (
    "There is no file with a part yet. Put files ending in .json into the folder {}, then look again. Each "
    "holds a part to be made, with or without its log, as “gapwright next” reads it."
)
WHOLE = "A part is taken with its log, whole or not at all. The file stays where it is."
SLICE_S = 0.05
"""time that jobs are taken in before the screen gets its turn again"""

SOUND, THERE = "nothing is wrong with it", "in the shop"


class JobFilesPresenter(Presenter[LineFileView]):
    """Keys: open:NUMBER in the list, again, all (take all that are sound), take, list; on, which the screen
    touches by itself while there is more to take in."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._names: tuple[str, ...] | None = None
        self._found: tuple[JobFile, ...] | None = None
        self._compared: tuple[JobFile, ...] | None = None
        self._to_compare: list[JobFile] = []
        self._there: set[str] = set()
        self._open: JobFile | None = None
        self._wanted: list[JobFile] = []
        self._of = self._taken = 0
        self._wrong = self._said = ""
        self.touches = {
            "open": self._look_at,
            "again": self._look,
            "list": self._close,
            "all": self._take_all,
            "take": self._take_one,
            "on": self._go_on,
        }

    def view(self, go: str = "") -> LineFileView:
        """The list of files, or the job that is open."""
        shown = self._list_view() if self._open is None else self._job_view(self._open)
        return replace(shown, complaint=self.complaint, go=go)

    def _list_view(self) -> LineFileView:
        found = self._found or ()
        self._compare(found)
        busy = f"Looking at {wording.count(len(self._names or ()), 'file')} …" if self._waits() else ""
        if self._to_compare:
            done = len(found) - len(self._to_compare)
            busy = f"Looking whether the shop has them: {done} of {len(found)} are done …"
        if self._wanted:
            busy = f"Taking them in: {self._of - len(self._wanted)} of {self._of} are done …"
        empty = not self._names and not self._wrong
        said = (EMPTY.format(self.session.folders.jobs.place),) if empty else (WHOLE,)
        return LineFileView(
            header=Header("Parts from files", unit=""),
            keys=(self._all_key(), Key("again", "Look again", why="for files that were put there meanwhile")),
            listing=True,
            rows=tuple(self._row(i, one) for i, one in enumerate(found)),
            warnings=(self._wrong,) if self._wrong else (),
            sentences=said,
            question=self._said,
            busy=busy,
            then="on" if self._wanted or self._to_compare else "",
        )

    def _waits(self) -> bool:
        """Whether the files are being looked at."""
        return self._found is None and bool(self._names)

    def _all_key(self) -> Key:
        sound = [one for one in self._found or () if self._to_take(one)]
        text = f"Take all {len(sound)}" if len(sound) > 1 else "Take it" if sound else "Take all"
        why = "those without a mistake" if sound else "none is there that the shop has not"
        if self._to_compare:
            sound, why = [], "wait until it is known which of them the shop has"
        return Key("all", text, main=True, enabled=bool(sound), why=why)

    def _row(self, i: int, one: JobFile) -> InventoryRow:
        if one.document is None:
            return InventoryRow(f"open:{i}", f"{one.name}: {_wrong(one)}", "a mistake", OVER)
        state, what = (PLAIN, THERE) if one.name in self._there else (OK, SOUND)
        return InventoryRow(f"open:{i}", f"{one.name}: {what}", one.document.job.name, state)

    def _job_view(self, one: JobFile) -> LineFileView:
        header, back = Header(one.name, unit=""), Key("list", "Back to the list", main=one.document is None)
        if one.document is None:
            return LineFileView(header, (back,), listing=False, warnings=(wording.capital(_wrong(one)),))
        job, can = one.document.job, self._to_take(one)
        return LineFileView(
            header=header,
            keys=(Key("take", "Take this part", main=True, enabled=can, why="" if can else THERE), back),
            listing=False,
            outline=outlines.with_worked_edge(job),
            facts=_facts(one.document),
            warnings=tuple(wording.capital(text) for text in job.warnings),
            sentences=(WHOLE,),
        )

    def _to_take(self, one: JobFile) -> bool:
        known = one not in self._to_compare and one not in self._wanted
        return one.document is not None and one.name not in self._there and known

    def _close(self, _: str) -> None:
        """Back to the list; it is looked through when it is first shown."""
        self._open, self._said = None, ""
        if self._names is None:
            self._look("")

    def _look(self, _: str) -> None:
        """Ask for all files to be looked at, in a thread."""
        self._found, self._names, self._wrong, self._said = None, (), "", ""
        files = self.session.folders.jobs
        try:
            self._names = tuple(sorted(one.name for one in files.listing(job_files.ENDINGS)))
        except OSError as error:
            self._wrong = f"The folder cannot be read: {error.strerror or error}"
        if self._names:
            work = JobFilesWork(self.session.part_id, self._names, files.read, self._take_note)
            self.session.ask_paper(work, "")

    def _take_note(self, found: tuple[JobFile, ...]) -> None:
        self._found = found

    def _compare(self, found: tuple[JobFile, ...]) -> None:
        """Once for each look: which of them the shop has already, as many at once as a touch may wait for."""
        if self._compared is not found:
            self._compared, self._there = found, set()
            self._to_compare = [one for one in found if one.document is not None]
            self._compare_some()

    def _compare_some(self) -> None:
        until = monotonic() + SLICE_S
        while self._to_compare:
            one = self._to_compare.pop(0)
            if one.document is not None and job_files.is_there(self.session.shop, one.document):
                self._there.add(one.name)
            if monotonic() >= until:
                break

    def _look_at(self, place: str) -> None:
        self._open, self._said = (self._found or ())[int(place)], ""

    def _take_one(self, _: str) -> None:
        one = self._open
        if one is None or one.document is None or not self._to_take(one):
            raise core.InputError("job", None, "first touch a file with a part that the shop has not")
        self._open = None
        self._take((one,))

    def _take_all(self, _: str) -> None:
        """In the order of the list, so that the last one is the first on the bench."""
        self._take(tuple(one for one in self._found or () if self._to_take(one)))

    def _take(self, wanted: tuple[JobFile, ...]) -> None:
        """Begin to take them in, one after the other; many take longer than a touch may wait."""
        self._of, self._taken = (self._of, self._taken) if self._wanted else (0, 0)
        self._wanted += wanted
        self._of += len(wanted)
        self._go_on("")

    def _go_on(self, _: str) -> None:
        """As many as a touch may wait for. What was taken before a disk failed is taken, the rest is left."""
        if self._to_compare:
            self._compare_some()
            return
        until = monotonic() + SLICE_S
        try:
            while self._wanted:
                self._take_in(self._wanted[0])
                del self._wanted[0]
                if monotonic() >= until:
                    break
        except core.GapwrightError:
            self._wanted = []
            raise
        if not self._wanted:
            self._said = f"{wording.capital(wording.count(self._taken, 'part'))} taken; on the bench now"

    def _take_in(self, one: JobFile) -> None:
        if one.document is not None:
            self._taken += job_files.take(self.session.shop, one.document)
            self._there.add(one.name)


def _wrong(one: JobFile) -> str:
    """What is wrong with it, without the path of a field."""
    return one.wrong if one.error is None else mistakes.in_file(one.error, one.name)


def _facts(document: core.JobDocument) -> tuple[Fact, ...]:
    job = document.job
    sites = job.part.sites
    return (
        Fact("Part", job.name, big=True),
        Fact("Metal", job.metal.name),
        Fact("Length", wording.length(job.part.length_mm)),
        Fact(f"{wording.capital(sites.label)}s", str(len(sites))),
        Fact("Tolerance", wording.limit(job.tolerance_mm)),
        Fact("Entries in its log", str(len(document.events))),
    )
