"""Work that takes longer than a touch may wait, done in a thread of its own. No kivy here."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import Any


class Background:
    """session : says what there is to work out, and takes the answer; answered : called after that;
    held : True while it is better not to begin, such as amid a run of touches."""

    def __init__(
        self, session: Any, answered: Callable[[], None], held: Callable[[], bool] = lambda: False
    ) -> None:
        self._session, self._answered, self._held = session, answered, held
        self._thread: Thread | None = None
        self._done: Any = None
        self._failed: BaseException | None = None

    def poll(self, *_: Any) -> None:
        """Take an answer that has come; start on what is waiting. Raises what the work raised."""
        if self._thread is not None:
            if self._thread.is_alive():
                return
            self._thread = None
            if self._failed is not None:
                failed, self._failed = self._failed, None
                raise failed
            self._session.finish(self._done)
            self._answered()
        if self._session.waiting and not self._held():
            work = self._session.begin()
            self._thread = Thread(target=self._run, args=(work,), daemon=True)
            self._thread.start()

    def _run(self, work: Any) -> None:
        try:
            self._done = work.run()
        except BaseException as error:  # raised again on the screen's own thread
            self._failed = error


class Beforehand:
    """Work to be done once before the first screen.

    work : runs in a thread, and is given what it tells its progress to (so many ready, of so many);
    done : called after it; told : called with the progress whenever that has changed
    """

    def __init__(
        self,
        work: Callable[[Callable[[int, int], None]], None],
        done: Callable[[], None],
        told: Callable[[int, int], None],
    ) -> None:
        self._work, self._done, self._told = work, done, told
        self._progress = self._shown = (0, 0)
        self._failed: BaseException | None = None
        self._thread: Thread | None = Thread(target=self._run, daemon=True)
        self._thread.start()

    def poll(self, *_: Any) -> None:
        """Show how far it is, and go on once it is done. Raises what the work raised."""
        if self._thread is None:
            return
        if self._progress != self._shown:
            self._shown = self._progress
            self._told(*self._shown)
        if self._thread.is_alive():
            return
        self._thread = None
        if self._failed is not None:
            raise self._failed
        self._done()

    def _tell(self, ready: int, of: int) -> None:
        """Called in the thread of the work; shown at the next poll."""
        self._progress = (ready, of)

    def _run(self) -> None:
        try:
            self._work(self._tell)
        except BaseException as error:  # raised again on the screen's own thread
            self._failed = error
