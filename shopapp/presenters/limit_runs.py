"""Which limit of the metal binds at which stations: runs that share its name; one station read in full."""

from __future__ import annotations

import numpy as np

import core
from shopapp.presenters import metal_words, wording
from shopapp.presenters.pieces import OVER, PLAIN, Fact, LimitRun

UNUSED = 0.005  # of a limit, below which none is worth naming
APART = 5  # stations from one to the next that still share a name


def runs(use: core.LimitUse) -> tuple[LimitRun, ...]:
    """Neighbours that are nearest to the same limit, on the same side of it. Where none is used, none is
    named; a few such stations do not part those beside them."""
    found: list[list[int]] = []
    for site in np.flatnonzero(use.share >= UNUSED):
        goes_on = bool(found) and site - found[-1][-1] <= APART and _alike(use, found[-1][-1], site)
        if not goes_on:
            found.append([])
        found[-1].append(int(site))
    return tuple(_run(use, sites) for sites in found)


def _alike(use: core.LimitUse, one: int, other: int) -> bool:
    return use.of[one].short == use.of[other].short and bool(use.beyond[one] == use.beyond[other])


def _run(use: core.LimitUse, sites: list[int]) -> LimitRun:
    shares = [wording.share_used(float(use.share[i])) for i in sites]
    most = wording.share_used(max(float(use.share[i]) for i in sites))
    alike = all(share == most for share in shares)
    first = sites[0]
    name, over = use.of[first].short, bool(use.beyond[first])
    return LimitRun(first, sites[-1], name, most, "" if alike else "up to ", over)


def nearest(use: core.LimitUse, label: str) -> Fact:
    """The station nearest to a limit; red where strokes go beyond one."""
    told = wording.nearest_limit(use, label)
    if not use.beyond.any():
        return Fact("Nearest to a limit", f"{told}{counted(use)}")
    return Fact("Beyond a limit", told, OVER)


def counted(use: core.LimitUse) -> str:
    """For how strong an answer of the metal the share of a limit stands; "" where nothing is used, or a limit
    is gone beyond."""
    most = int(np.argmax(use.share))
    limit = use.of[most]
    if wording.share_used(use.share[most]) == "0 %" or use.beyond.any():
        return ""
    if limit.as_expected:
        return ", by what the strokes are expected to do"
    return f", if the strokes do as much as they may 1 time in {1.0 / limit.risk:.0f}"


def strained(advice: core.Advice, planned: core.Pass, sites: core.Sites) -> tuple[Fact, ...]:
    """Strain that is expected of the next pass, and of all passes with it, where each is most."""
    if planned.edge is None:
        return ()
    added, total = planned.edge.total - advice.edge_strain, planned.edge.total
    label = sites.label
    most, in_all = int(np.argmax(added)), int(np.argmax(total))
    return (
        Fact(
            wording.capital(sites.strain),
            f"{metal_words.share(float(added[most]))} expected in this pass at {label} {most + 1}, "
            f"{metal_words.share(float(total[in_all]))} in all at {label} {in_all + 1}: there most",
        ),
    )


def in_full(use: core.LimitUse, station: int, label: str) -> Fact:
    """The limit that binds at one station, how much of it is used and where it comes from."""
    share, limit = float(use.share[station]), use.of[station]
    return Fact(
        f"{wording.capital(label)} {station + 1}",
        f"{wording.share_used(share)} of {limit.name}: {limit}",
        OVER if use.beyond[station] else PLAIN,
    )


def in_short(use: core.LimitUse, station: int) -> str:
    """The same in a few words: "48 % of one pass"."""
    return f"{wording.share_used(float(use.share[station]))} of {use.of[station].short}"


def at(use: core.LimitUse, station: int, label: str) -> str:
    """One station's in a few words: "station 7: 48 % of one pass"."""
    return f"{label} {station + 1}: {in_short(use, station)}"


def beyond(use: core.LimitUse | None, label: str, but: range = range(0)) -> str:
    """Stations whose strokes go beyond a limit, but for some; "" where none do, or nobody knows."""
    sites = [i for i, over in enumerate(() if use is None else use.beyond) if over and i not in but]
    return f"beyond a limit: {wording.listed(sites, label)}" if sites else ""
