"""Seals of a log: each entry carries the SHA-256 of itself and of the seal before it.

    start = SHA-256( C({"job": job, "unsealed": entries before the first seal}) )
    seal  = SHA-256( seal before it, 64 hex digits + C(entry without "seal") )

``C`` is the canonical text: JSON in ASCII, names in order, no spaces, numbers as Python writes them. An
entry has its ``number``, from 1, so that a change, a gap and an exchange can be told apart.

What this shows: an entry or a job that was changed by hand, one that was taken out or put in, two that
changed places; at the end too, as the record holds its last seal. What it does not: a chain that somebody
reckoned anew from the change on. Only a seal that was written down elsewhere pins what came before it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from core.events import Event

SEALED = ("number", "seal")
SHOWN_DIGITS = 16  # of the 64; enough that nobody finds another log with the same ones by trying


@dataclass(frozen=True)
class Chain:
    """Where a chain of seals begins and ends. number : of the last entry, 0 before the first"""

    start: str
    number: int
    seal: str

    @property
    def document(self) -> dict[str, Any]:
        """JSON-ready."""
        return {"start": self.start, "number": self.number, "seal": self.seal}


@dataclass(frozen=True)
class Broken:
    """A place where a log is not as it was recorded. number : of the entry, 0 for the job; event : what the
    entry is, "" where it is gone; what : a sentence that names it"""

    number: int
    event: str
    what: str


@dataclass(frozen=True)
class Seals:
    """What the seals of a log say.

    sealed : entries that carry one; unsealed : entries before the first seal; broken : what is not as it was
    recorded, in the order of the log; last : the last seal, "" for none
    """

    sealed: int
    unsealed: int
    broken: tuple[Broken, ...]
    last: str

    @property
    def words(self) -> str:
        """In a few words: "sealed, 14 entries", "not sealed", "changed outside the program"."""
        if self.broken:
            return "changed outside the program"
        count = f"{self.sealed} entr{'y' if self.sealed == 1 else 'ies'}"
        if not self.unsealed:
            return f"sealed, {count}"
        return "not sealed" if not self.sealed else f"sealed from entry {self.unsealed + 1}, {count}"


def short_seal(seal: str) -> str:
    """The first digits of a seal in groups, to be written down: "3f9a 1c20 77ab 09de"."""
    return " ".join(seal[i : i + 4] for i in range(0, min(len(seal), SHOWN_DIGITS), 4))


def start_of(job: Any, unsealed: Iterable[Any]) -> str:
    """The seal that stands before the first sealed entry."""
    return _sha256(_canonical({"job": job, "unsealed": list(unsealed)}))


def seal_of(entry: Mapping[str, Any], before: str) -> str:
    """The seal of an entry after the seal before it."""
    plain = {name: value for name, value in entry.items() if name != "seal"}
    return _sha256(before.encode("utf-8") + _canonical(plain))


def sealed(entry: Mapping[str, Any], chain: Chain) -> tuple[Event, Chain]:
    """The entry with its number and seal, and the chain with it at its end."""
    numbered = {**entry, "number": chain.number + 1}
    seal = seal_of(numbered, chain.seal)
    return {**numbered, "seal": seal}, Chain(chain.start, chain.number + 1, seal)


def chain_of(job: Any, log: list[Event]) -> Chain:
    """The chain of a log that is taken as it is; without seals: one that begins after it."""
    first = _first(log)
    start = start_of(job, log[:first])
    for entry in reversed(log):
        if _is_sealed(entry):
            return Chain(start, entry["number"], entry["seal"])
    return Chain(start, len(log), start)


def sealed_on(job: Any, log: list[Event]) -> tuple[list[Event], Chain]:
    """A log that comes from elsewhere, the entries after its last seal sealed: all, where none has one."""
    last = max((i for i, entry in enumerate(log) if _is_sealed(entry)), default=-1)
    done, chain = log[: last + 1], chain_of(job, log[: last + 1])
    for entry in log[last + 1 :]:
        made, chain = sealed(entry, chain)
        done.append(made)
    return done, chain


def chain_from(given: Any) -> Chain | None:
    """The chain as a record holds it; None where it holds none that can be read."""
    if not isinstance(given, Mapping):
        return None
    start, number, seal = (given.get(name) for name in ("start", "number", "seal"))
    if isinstance(start, str) and isinstance(seal, str) and _is_whole(number):
        return Chain(start, int(number or 0), seal)
    return None


def check_seals(job: Any, events: Iterable[Any], chain: Chain | None = None) -> Seals:
    """What the seals of a log say of it and of its job; nothing is changed or refused.

    job, events : as in the plain document of a part; chain : as the part's record holds it, None where it is
    not at hand: then entries taken off the end are not noticed.
    """
    log = [entry for entry in events if isinstance(entry, Mapping)]
    first = _first(log)
    own_start = start_of(job, log[:first])
    start = own_start if chain is None else chain.start
    found = [] if start == own_start else [_job(first)]
    seals = {first: {start}}
    for entry in log[first:]:
        if _is_sealed(entry):
            seals.setdefault(entry["number"], set()).add(entry["seal"])
    found += _walk(log, first, seals, chain is None)
    found += _gaps(log, first, chain)
    sealed = [entry["seal"] for entry in log if _is_sealed(entry)]
    return Seals(len(sealed), first, tuple(sorted(found, key=lambda b: b.number)), (sealed or [""])[-1])


def _walk(log: list[Any], first: int, seals: dict[int, set[str]], job_open: bool) -> list[Broken]:
    """Entries that were changed, put in, or stand in another place."""
    found, highest = [], first
    for place, entry in enumerate(log[first:], first + 1):
        if not _is_sealed(entry):
            found.append(_broken(place, entry, "carries no seal: it was put in outside the program"))
            continue
        number, before = entry["number"], seals.get(entry["number"] - 1, set())
        own = {seal_of(entry, seal) for seal in before}
        if before and entry["seal"] not in own:
            what = "was changed after it was recorded"
            if job_open and number == first + 1:
                what += ", or the job was" if not first else ", or the job or an entry before it was"
            found.append(_broken(number, entry, what))
        elif number <= highest:
            found.append(_broken(number, entry, "stands in another place than it was recorded in"))
        seals[number] |= own  # a seal that was itself changed is not held against the entry after it
        highest = max(highest, number)
    return found


def _gaps(log: list[Any], first: int, chain: Chain | None) -> list[Broken]:
    """Entries that are no longer there."""
    numbers = sorted({first, *(entry["number"] for entry in log if _is_sealed(entry))})
    if chain is not None and chain.number > numbers[-1]:
        numbers.append(chain.number + 1)
    return [_missing(low + 1, high - 1) for low, high in pairwise(numbers) if high - low > 1]


def _missing(low: int, high: int) -> Broken:
    which = f"Entry {low} is" if low == high else f"Entries {low} to {high} are"
    return Broken(low, "", f"{which} missing: taken out after recording")


def _job(unsealed: int) -> Broken:
    more = "" if not unsealed else f", or one of the first {unsealed} entries, which carry no seals, was"
    return Broken(0, "", f"The job was changed after it was recorded{more}")


def _broken(number: int, entry: Mapping[str, Any], what: str) -> Broken:
    name, at = str(entry.get("event", "")), str(entry.get("at", ""))[:16].replace("T", " ")
    when = f" of {at} UTC" if at else ""
    return Broken(number, name, f"Entry {number}, {name.replace('_', ' ')}{when}, {what}")


def _first(log: list[Any]) -> int:
    return next((i for i, entry in enumerate(log) if _is_sealed(entry)), len(log))


def _is_sealed(entry: Any) -> bool:
    return isinstance(entry.get("seal"), str) and _is_whole(entry.get("number"))


def _is_whole(number: Any) -> bool:
    return isinstance(number, int) and not isinstance(number, bool)


def _canonical(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":")).encode("ascii")


def _sha256(text: bytes) -> str:
    return hashlib.sha256(text).hexdigest()
