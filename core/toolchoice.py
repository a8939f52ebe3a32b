"""Which of the tool sets that lie ready does which action.

A set that enters the part goes before one that does not, one that does not fold the edge before one that
does, one that leaves no marks on faces that stay in sight before one that does; then fewer changes of tool,
then the set that is given first (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from core.events import ACTIONS
from core.joblimits import folding
from core.jobtypes import Tool
from core.kinds.base import Part
from core.metals import Metal
from core.shopdoubts import MARKING, leaves_marks, too_narrow

Faults = tuple[bool, bool, bool]
WHY = ("does not enter the part", "has no bite that does not fold the edge", "leaves marks on faces in sight")


@dataclass(frozen=True)
class Choice:
    """tools : by action, the first set given where none does it; actions : that some set does; smoother : the
    action whose set smooths faces that stay in sight; why : sentences on what was left out, () where there
    was nothing to choose"""

    tools: Mapping[str, Tool]
    actions: tuple[str, ...]
    smoother: str
    why: tuple[str, ...]


def choose_tools(sets: Sequence[Tool], part: Part, metal: Metal, finish: str, thickness_mm: float) -> Choice:
    """sets : in the order that they are given; thickness_mm : the least along the worked edge."""
    able = {a: [i for i, tool in enumerate(sets) if a in tool.actions] for a in ACTIONS}
    faults = {
        (a, i): _faults(sets[i], a, part, metal, finish, thickness_mm) for a in ACTIONS for i in able[a]
    }
    actions = tuple(a for a in ACTIONS if able[a])

    def cost(taken: Iterable[int]) -> tuple[int, ...]:
        found = [faults[a, i] for a, i in zip(actions, taken, strict=True)]
        return *(sum(fault) for fault in zip(*found, strict=True)), len(set(taken)), *taken

    best = dict(zip(actions, min(product(*(able[a] for a in actions)), key=cost), strict=True))
    why = [_why(a, sets, able[a], best[a], faults) for a in actions if len(able[a]) > 1]
    tools = {a: sets[best.get(a, 0)] for a in ACTIONS}
    smoother = min(actions, key=lambda a: tools[a].face.lower() == MARKING)
    return Choice(tools, actions, smoother, tuple(why))


def _faults(tool: Tool, action: str, part: Part, metal: Metal, finish: str, thickness_mm: float) -> Faults:
    most = folding(metal, tool, thickness_mm).strain
    folds = action == "shrink" and all(tool.strain(bite) > most for bite in tool.bites)
    return bool(too_narrow(part, tool)), folds, leaves_marks(metal, tool, finish)


def _why(
    action: str, sets: Sequence[Tool], able: list[int], taken: int, faults: Mapping[tuple[str, int], Faults]
) -> str:
    """What was taken, and what speaks against each of the others more than against it."""
    against = []
    for i in able:
        more = [
            why
            for why, is_so, was in zip(WHY, faults[action, i], faults[action, taken], strict=True)
            if is_so and not was
        ]
        if more:
            against.append(f"{sets[i]} {' and '.join(more)}")
    told = "; ".join(against) or "the others would do as well"
    return f"To {action}, {sets[taken]} is taken: {told}."
