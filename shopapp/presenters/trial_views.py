"""What the Trial screen shows: how the offcut is worked, the rise as it is typed, what it says."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import Fact, Header, Key, Strip


@dataclass(frozen=True)
class TrialView:
    """Trial. steps : what to do, in order; strip : the offcut with its spots, None where there can be no
    trial; facts : the number that counts; entry : rise as typed yet; pad : keys of the rise, () while it is
    not asked for; question : what is asked now; answer : what the rise said, sentences; doubt : why it should
    be looked at once more before it is kept, else "" """

    header: Header
    steps: tuple[str, ...]
    strip: Strip | None
    facts: tuple[Fact, ...]
    keys: tuple[Key, ...]
    pad: tuple[Key, ...] = ()
    entry: str = ""
    entry_unit: str = "mm"
    question: str = ""
    answer: tuple[str, ...] = ()
    doubt: str = ""
    complaint: str = ""
    go: str = ""
