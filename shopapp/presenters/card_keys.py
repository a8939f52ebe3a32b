"""Keys of the pass card, and what stands beside a count while it is changed."""

from __future__ import annotations

import core
from shopapp.presenters import limit_runs
from shopapp.presenters.card_work import CardWork
from shopapp.presenters.counts import Counts
from shopapp.presenters.pieces import Key


def edit_text(counts: Counts, use: core.LimitUse | None, label: str) -> str:
    """The count that is being changed, how much of a limit it uses, and where one is gone beyond."""
    if use is None:
        return counts.text
    first, last = counts.span
    most = max(range(first, last + 1), key=lambda i: use.share[i])
    elsewhere = limit_runs.beyond(use, label, range(first, last + 1))
    told = (f"{counts.text}, {limit_runs.in_short(use, most)}", elsewhere)
    return "; ".join(text for text in told if text)


def bite_key(name: str, now: str) -> Key:
    """The bite that is on, or what another key would do."""
    return Key(f"bite:{name}", f"{name} bite" if name == now else f"Take {name} bite", chosen=name == now)


def by_keys(counts: Counts) -> tuple[Key, ...]:
    """What a change is for."""
    return (
        Key("by_station", f"By {counts.label}", chosen=counts.by == "station"),
        Key("by_zone", "By zone", chosen=counts.by == "zone", enabled=bool(counts.zones)),
    )


def keys(work: CardWork) -> tuple[Key, ...]:
    """What may have been done; an anneal that is wanted comes first."""
    if work.anneal_first:
        first = Key("annealed", "Annealed", main=True, why="log that the part was softened")
        return first, Key("differently", "Run without"), Key("not_done", "Not done")
    return (
        Key("done", "Done as shown", main=True),
        Key("differently", "Done differently"),
        Key("not_done", "Not done"),
    )
