"""Keys of the Set-up screen: on and back, those of the open step, those of the whole form."""

from __future__ import annotations

import core
from shopapp.presenters import setup_draft, setup_sets, trial_view, turning
from shopapp.presenters.pieces import Key
from shopapp.presenters.responses import Start
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_kinds import steps

SET_LABELS = {"tools": "Tool set", "machines": "Machine"}


def keys(draft: Draft, step: str, begun: Start | None, owned: core.Owned) -> tuple[Key, ...]:
    """Keys of the open step; begun : as for the view; owned : by the shop."""
    named = steps(draft.kind)
    names = list(named)
    place = names.index(step)
    others = (Key("back", "Back", enabled=place > 0), Key("clear", "Clear form"))
    if step == "plan":
        return (*_plan_keys(begun), *others)
    forward = Key("forward", f"On: {named[names[place + 1]]}", main=True)
    own: dict[str, tuple[Key, ...]] = {
        "line": (*_file_keys(), *(_turn_keys(draft) if turning.has_sides(draft) else ())),
        "section": (Key("metal", "The metal", why="figures, annealing, what to watch for"),),
        "tool": _set_keys(draft, "tools"),
        "machine": _set_keys(draft, "machines"),
        "checks": (
            Key("own_check", "Add a check", why="by touch: what, limits, gauge, which parts"),
            Key("usual", "Usual checks", why="those of its kind, line by line, to be changed"),
        ),
    }
    return (forward, *own.get(step, ()), *others)


def _set_keys(draft: Draft, kind: str) -> tuple[Key, ...]:
    """Keep what is typed for the next parts, or keep it no longer."""
    word = SET_LABELS[kind].lower()
    if draft.choice(kind):
        return (Key(f"forget:{kind}", f"Forget {word}", why="parts that use it keep it"),)
    named = bool(str((setup_draft.document(draft).get(setup_sets.SETS[kind]) or {}).get("name", "")).strip())
    why = "for the next parts" if named else "give it a name first"
    return (Key(f"keep:{kind}", f"Keep {word}", enabled=named, why=why),)


def _plan_keys(begun: Start | None) -> tuple[Key, ...]:
    """What to do with the whole form; why not, while something is wrong."""
    ready = begun is not None
    why = "" if ready else "something is marked"
    start = Key("start", "Start this part", main=True, enabled=ready, why=why)
    trial = (Key("trial", "Trial strip", enabled=ready, why=why or trial_view.WHY),)
    if begun is not None and not hasattr(begun.job.part, "offcut"):
        trial = ()
    if begun is None or not begun.can:
        return (start, *trial)
    known = Key("known", "First guess only", why="leave aside what the shop knows")
    if not begun.on:
        known = Key("known", "Use what is known", why="start from what the shop knows of this metal")
    return (start, known, *trial)


def _file_keys() -> tuple[Key, ...]:
    """Every kind takes both."""
    return (
        Key("file", "From a file", why="a table of points or a drawing"),
        Key("original", "Off an original", why="measure a part that is there"),
    )


def _turn_keys(draft: Draft) -> tuple[Key, ...]:
    can = turning.can_turn(draft)
    why = "the worked edge then is on the other side" if can else "no line is typed yet"
    return (Key("turn", "Turn over", enabled=can, why=why),)
