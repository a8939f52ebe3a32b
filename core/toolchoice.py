"""Which of the tool sets that lie ready does which action.

A set that enters the part goes before one that does not, one that the throat of the machine is deep enough
for before one that it is not, one that does not fold the edge before one that
does, one that leaves no marks on faces that stay in sight before one that does; then fewer changes of tool,
then the set that is given first (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from core.events import ACTIONS
from core.joblimits import folding
from core.jobtypes import Tool
from core.kinds.base import Part
from core.machine import Machine
from core.metals import Metal
from core.misfit import reach_doubt, too_narrow
from core.shopdoubts import MARKING, leaves_marks

Faults = tuple[bool, bool, bool, bool]
WHY = (
    "does not enter the part",
    "grips deeper than the throat of the machine",
    "has no bite that does not fold the edge",
    "leaves marks on faces in sight",
)


@dataclass(frozen=True)
class Choice:
    """tools : by action, the first set given where none does it; actions : that some set does; smoother : the
    action whose set smooths faces that stay in sight; why : sentences on what was left out, () where
    nothing spoke against any"""

    tools: Mapping[str, Tool]
    actions: tuple[str, ...]
    smoother: str
    why: tuple[str, ...]


def choose_tools(
    sets: Sequence[Tool],
    part: Part,
    metal: Metal,
    finish: str,
    thickness_mm: float,
    machine: Machine | None = None,
) -> Choice:
    """sets : in the order that they are given; thickness_mm : the least along the worked edge."""
    able = {a: [i for i, tool in enumerate(sets) if a in tool.actions] for a in ACTIONS}
    faults = {
        (a, i): _faults(sets[i], a, part, metal, finish, thickness_mm, machine)
        for a in ACTIONS
        for i in able[a]
    }
    actions = tuple(a for a in ACTIONS if able[a])

    def cost(taken: Iterable[int]) -> tuple[int, ...]:
        found = [faults[a, i] for a, i in zip(actions, taken, strict=True)]
        return *(sum(fault) for fault in zip(*found, strict=True)), len(set(taken)), *taken

    best = dict(zip(actions, min(product(*(able[a] for a in actions)), key=cost), strict=True))
    tools = {a: sets[best.get(a, 0)] for a in ACTIONS}
    smoother = min(actions, key=lambda a: tools[a].face.lower() == MARKING)
    return Choice(tools, actions, smoother, tuple(_whys(sets, able, _asked(part, best), faults)))


def _asked(part: Part, best: Mapping[str, int]) -> Mapping[str, int]:
    """The sets of the actions that the target asks for; of all where it asks for none."""
    strain = part.asked_strain()
    wants = {"shrink": bool((strain > 0.0).any()), "stretch": bool((strain < 0.0).any())}
    return {action: taken for action, taken in best.items() if wants[action]} or best


def _faults(
    tool: Tool,
    action: str,
    part: Part,
    metal: Metal,
    finish: str,
    thickness_mm: float,
    machine: Machine | None,
) -> Faults:
    most = folding(metal, tool, thickness_mm).strain
    folds = action == "shrink" and all(tool.strain(bite) > most for bite in tool.bites)
    too_deep = machine is not None and bool(reach_doubt(part, tool, machine))
    return bool(too_narrow(part, tool)), too_deep, folds, leaves_marks(metal, tool, finish)


def _whys(
    sets: Sequence[Tool],
    able: Mapping[str, list[int]],
    best: Mapping[str, int],
    faults: Mapping[tuple[str, int], Faults],
) -> Iterator[str]:
    """What was taken, actions that go together in one sentence, where something speaks against another."""
    said: dict[tuple[int, str], list[str]] = {}
    for action, taken in best.items():
        against = []
        for i in able[action]:
            pairs = zip(WHY, faults[action, i], faults[action, taken], strict=True)
            more = [why for why, is_so, was in pairs if is_so and not was]
            against += [f"{sets[i]} {' and '.join(more)}"] if more else []
        if against:
            said.setdefault((taken, "; ".join(against)), []).append(action)
    for (taken, told), actions in said.items():
        yield f"To {' and '.join(actions)}, {sets[taken]} is taken: {told}."
