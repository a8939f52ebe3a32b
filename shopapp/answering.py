"""In a demo the metal answers by itself: the gaps of a bar, the rise of an offcut, as read. No kivy here."""

from __future__ import annotations

from collections.abc import Sequence

import core
from shopapp import demo
from shopapp.playing import gaps_on
from shopapp.presenters.across import Across
from shopapp.presenters.session import Session


def rise_of(trial: core.Trial) -> tuple[float, core.Gauge]:
    """The rise of the demo's offcut after a trial's strokes, as read, and the gauge that it took."""
    offcut = demo.offcut_of(trial)
    strokes = [trial.strokes if i in trial.spots else 0 for i in range(len(trial.job.part.sites))]
    offcut.work(trial.action, trial.bite, strokes)
    return offcut.rise(trial.chord_mm, trial.action, trial.gauge)


def rim_of(session: Session, across: Across, at_deg: Sequence[float], gauge: core.Gauge) -> list[float]:
    """Diameters or heights of the open dish's rim as simulated, mm, at these angles with this gauge."""
    disc = demo.bar_of(session.shop.open(session.part_id))
    assert isinstance(disc, core.SimulatedDish)  # no other part has a rim to be read across
    return across.of_simulated(disc, at_deg, gauge)


def gaps_of(session: Session) -> core.Event:
    """The open part as simulated, read at every site on the meridian in hand: an event for the log.

    Gauges are named only where one had to be taken that is not the job's.
    """
    gaps, gauges = gaps_on(demo.bar_of(session.shop.open(session.part_id)), session.meridian_deg)
    return core.gaps_read(gaps, gauges if any(gauges) else None, at_deg=session.meridian_deg)
