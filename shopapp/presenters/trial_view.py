"""What the Trial screen shows of a trial: its strip with the spots, its steps in words, its keys."""

from __future__ import annotations

import core
from shopapp.presenters import card_work, strips, wording
from shopapp.presenters import steps as part_steps
from shopapp.presenters.pieces import TODO, Fact, Key, Strip

Held = tuple[tuple[Fact, ...], tuple[str, ...], tuple[Key, ...]]
MINUTES = "about 10 min: to cut, to mark, to strike, to read"  # common practice, no source
WHY = "a few strokes on an offcut first, about ten minutes"
DIGITS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".")


def strip(trial: core.Trial) -> Strip:
    """The offcut with its spots, the strokes at each and their feed along a spot."""
    count = len(trial.spots)
    seconds = 60.0 * trial.strokes / rate(trial)
    feed = trial.zone_mm / seconds
    machine = trial.job.machine
    standing = machine is not None and not machine.feeds_mm_per_s[0] <= feed <= machine.feeds_mm_per_s[1]
    zone = core.Zone(0, count - 1, trial.strokes, feed, seconds, standing=standing)
    return Strip(
        position_mm=trial.spots_mm,
        length_mm=trial.length_mm,
        names=tuple(f"{at:.0f}" for at in trial.spots_mm),
        strokes=(trial.strokes,) * count,
        arrows=wording.ARROWS[trial.action],
        brackets=(strips.bracket(zone),),
        scale_text="strokes; mm from one end",
    )


def rate(trial: core.Trial) -> float:
    """Strokes a minute: the tool's own, or the nearest that the machine makes."""
    job = trial.job
    wanted = job.tools[trial.action].strokes_per_minute
    return wanted if job.machine is None else job.machine.rate(wanted)


def unfit(trial: core.Trial, job: core.Job, action: str, bite: str, on: str) -> Held:
    """What does not fit, in place of the strip; another action may. on : screen that the main key leads to"""
    keys = {
        "setup": Key("back", "Back to the set-up", main=True),
        "part": Key("back", "Back to the part", main=True),
        part_steps.UNFIT.screen: Key(part_steps.UNFIT.screen, part_steps.UNFIT.key, main=True),
    }
    others = (key for key in plan_keys(job, action, bite, False) if key.name.startswith(("action", "bite")))
    fact = Fact("Trial", "The offcut does not fit tool or machine", TODO, big=True)
    return (fact,), tuple(map(wording.capital, trial.misfits)), (keys[on], *others)


def unread_cautions() -> Held:
    """In place of the strip, which is struck on the same machine as a part."""
    fact = Fact("Trial", "Read the cautions first", big=True)
    return (fact,), (), (Key("cautions", "Cautions", main=True),)


def steps(trial: core.Trial) -> tuple[str, ...]:
    """What to do, in order. Lengths that are marked out are whole millimetres."""
    end = 0.5 * (trial.length_mm - trial.chord_mm)
    spots = ", ".join(f"{at:.0f}" for at in trial.spots_mm)
    strokes = wording.count(trial.strokes, "stroke")
    setting = card_work.setting(trial.job.tools[trial.action], trial.bite, f"{rate(trial):.0f}/min")
    return (
        f"1. Cut a straight offcut of this stock, {trial.length_mm:.0f} mm long.",
        f"2. Mark the middle of each spot on the worked edge, from one end: {spots} mm. Mark {end:.0f} mm "
        f"from both ends for the straight edge.",
        f"3. {wording.ACTIONS[trial.action]} with {trial.bite} bite, {setting}: {strokes} at each spot, "
        f"along {trial.zone_mm:.0f} mm of edge; nothing between.",
        f"4. Lay a straight edge over the hollow side from mark to mark. Read the rise at its middle by "
        f"{trial.gauge.name}: {_rise(trial)}.",
    )


def rise_expected(trial: core.Trial) -> tuple[str, ...]:
    """What the rise should be, beside the number keys."""
    return (f"Expected: {_rise(trial)}.",)


def _rise(trial: core.Trial) -> str:
    low, high = (f"{mm:.1f}" for mm in trial.rise_band_mm)
    return f"{wording.about(trial.rise_mm)}, {low} to {high} mm (95 %)"


def facts(trial: core.Trial, known: core.Known | None) -> tuple[Fact, ...]:
    """The number that counts now: strokes to make, or what one of them did."""
    if known is None:
        return (Fact("Strokes at each spot", str(trial.strokes), big=True), Fact("Time", MINUTES))
    return (Fact("Edge strain of a stroke (95 %)", wording.strain(known.strain, known.sd), big=True),)


def answer(trial: core.Trial, seen: core.Seen, known: core.Known) -> str:
    """What the rise said, against what so many strokes on one spot were expected to do."""
    than = wording.share(seen.ratio / trial.expected_ratio)
    against = "as expected" if than == "as much" else f"{than} than expected"
    strokes = wording.count(trial.strokes, "stroke")
    return (
        f"A stroke does {wording.strain(known.strain, seen.sd)} of edge strain (95 %), {against} from the "
        f"first guess with {strokes} on a spot."
    )


def plan_keys(job: core.Job, action: str, bite: str, ready: bool) -> tuple[Key, ...]:
    """What to strike with, and that it is done."""
    why = "" if ready else "no strip can be planned"
    actions = (
        Key(f"action:{name}", text, chosen=name == action, why=f"try to {name}")
        for name, text in wording.ACTIONS.items()
    )
    able = job.bites(action)
    bites = (
        Key(
            f"bite:{name}",
            wording.capital(name),
            chosen=name == bite,
            enabled=name in able,
            why=f"try the {name} bite" if name in able else "no pass is run with it",
        )
        for name in job.tools[action].bites
    )
    return (
        Key("read", "Read the rise", main=True, enabled=ready, why=why),
        *actions,
        *bites,
        Key("gauge", "Other gauge"),
    )


def gauge_keys(gauge: core.Gauge) -> tuple[Key, ...]:
    """Gauges that the rise may be read with."""
    own = {gauge.name: gauge} if gauge.name not in core.GAUGES else {}
    names = (*core.GAUGES, *own)
    return (
        *(Key(f"choose:{name}", wording.capital(name), chosen=name == gauge.name) for name in names),
        Key("gauge", "Leave as is"),
    )


def pad_keys(entry: str) -> tuple[Key, ...]:
    """Number keys of a size, such as the rise; it has no sign."""
    digits = tuple(Key(f"digit:{c}", c) for c in DIGITS)
    typed = bool(entry.strip())
    return (*digits, Key("erase", "Rub out", enabled=bool(entry)), Key("enter", "Enter", typed, typed))


def back_to_plan() -> Key:
    """To what is to be done, without a rise."""
    return Key("plan", "Back to the strip")


def answer_keys(kept: bool, back: str) -> tuple[Key, ...]:
    """Keep it; once kept, back to where the trial was asked for."""
    first = Key("back", back, main=True) if kept else Key("keep", "Keep it", main=True)
    return (first, Key("read", "Read again"), Key("plan", "Another trial"))
