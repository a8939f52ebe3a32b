"""What all presenters share: keys go to handlers, complaints are kept for the view."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from typing import Generic, Protocol, TypeVar

import core
from shopapp.presenters import mistakes
from shopapp.presenters.session import Session


class Leading(Protocol):
    """What every view has."""

    @property
    def go(self) -> str:
        """Screen to move to, "" to stay."""
        ...


View = TypeVar("View", bound=Leading)
Touch = Callable[[str], str | None]
"""takes what follows the colon in a key's name, gives the screen to go to, if any"""


class Presenter(ABC, Generic[View]):
    """Base of the presenters. ``touches`` maps the part of a key's name before ":" to its handler."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.complaint = ""
        self.touches: dict[str, Touch] = {}

    @abstractmethod
    def view(self, go: str = "") -> View:
        """What to show now. go : screen to move to, "" to stay."""

    def press(self, name: str) -> View:
        """A key was touched. name : from the view. Raises KeyError for a key that no view has offered."""
        verb, _, rest = name.partition(":")
        return self.attempt(self.touches[verb], rest)

    def typed(self, text: str) -> View:
        """Characters from a keyboard, a scanner or a gauge that types; "\n" is Enter, "\b" rubs out."""
        go = ""
        for character in text:
            if character in "\n\r":
                go = self.enter().go
            elif character == "\b":
                self.erase()
            else:
                self.attempt(self.take_character, character)
        return self.view(go)

    def enter(self) -> View:
        """Enter was typed."""
        return self.view()

    def erase(self) -> View:
        """The last character is to be rubbed out."""
        return self.view()

    def tap(self, station: int) -> View:
        """A station of the strip was touched, counted from 0."""
        return self.view()

    def take_character(self, character: str) -> str | None:
        """One typed character; a screen that takes none passes it over."""
        return None

    def attempt(self, touch: Touch, rest: str) -> View:
        """Run a handler; what it complains of is shown, and nothing was taken."""
        self.complaint = ""
        go: str | None = None
        try:
            go = touch(rest)
        except core.InputError as error:
            self.complaint = mistakes.sentence(error)
        except core.StoreError as error:
            self.complaint = mistakes.not_written(error)
        return self.view(go or "")

    def where(self) -> str:
        """Name of the open part for the header."""
        return self.session.job.name

    def busy(self) -> str:
        """Sentence while the advice is older than the log, else ""."""
        self.session.settle()
        return "Working out the next pass …" if self.session.stale else ""
