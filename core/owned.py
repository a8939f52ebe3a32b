"""What a shop owns and knows, kept for its next jobs: metals, tool sets, machines, gauges, limits of a metal.

A job's document is self-contained: what is chosen here is copied into it, so a change here changes no job.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from core.calibration import Calibration
from core.calibrationdoc import calibration_from
from core.checks import check_gauge
from core.errors import InputError
from core.jobfields import Fields
from core.joblimits import given_limits
from core.jobmachine import machine_from
from core.jobtool import tool_from
from core.jsontext import json_ready
from core.limits import Limits
from core.metals import Metal, metal_from, metals_with_own
from core.readings.gauges import GAUGES
from core.readings.named import gauge_from

Document = Mapping[str, Any]


@dataclass(frozen=True)
class Owned:
    """Documents by name, in the order in which they were kept.

    metals : as a job's own "material"; tools : as its "tool"; machines : as its "machine"; limits : as its
    "limits", by the name of the metal; gauges : as its "gauge", or as that of a check; stored : every entry
    as it was kept, unreadable ones too; left_out : a sentence for each entry that cannot be read
    """

    metals: Mapping[str, Document] = field(default_factory=dict)
    tools: Mapping[str, Document] = field(default_factory=dict)
    machines: Mapping[str, Document] = field(default_factory=dict)
    limits: Mapping[str, Document] = field(default_factory=dict)
    gauges: Mapping[str, Document] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()
    stored: Mapping[str, tuple[Any, ...]] = field(default_factory=dict, repr=False)

    @property
    def all_metals(self) -> Mapping[str, Metal]:
        """The table of metals with the shop's own; one under a name of the table stands in its place."""
        return metals_with_own(list(self.metals.values()))

    def reads_gaps(self, name: str) -> bool:
        """Whether the gauge of this name can be a job's "gauge"; others read checks alone."""
        return _reads_gaps(self.gauges[name])

    def of_check(self, name: str) -> Document:
        """The gauge of this name as the "gauge" of a check: one that reads gaps with the uncertainty of a
        reading, step and repeatability in it."""
        document = self.gauges[name]
        if not _reads_gaps(document):
            return document
        gauge = gauge_from(dict(document))
        held = {} if gauge.calibration is None else gauge.calibration.document
        return {"name": name, "uncertainty": f"{gauge.sd_mm():.4g} mm", **held}

    def calibration(self, name: str) -> Calibration | None:
        """When the gauge of this name was calibrated; None where it is not owned or that is not known."""
        return calibration_from(Fields(self.gauges.get(name, {})))

    def adding(self, kind: str, document: Any) -> Owned:
        """With this as well, in place of what had its name.

        kind : a name of ``READERS``; document : with "name", for limits the metal's.
        Raises InputError naming the field that is wrong.
        """
        name, _ = _read(kind, json_ready(document, kind), kind)
        return owned_from({**self.stored, kind: [*self._but(kind, name), document]})

    def without(self, kind: str, name: str) -> Owned:
        """Without what has this name. Raises InputError where there is none."""
        if name not in getattr(self, kind):
            raise InputError(kind, name, "one of " + ", ".join(getattr(self, kind)) + " is wanted")
        return owned_from({**self.stored, kind: self._but(kind, name)})

    @property
    def document(self) -> dict[str, list[Any]]:
        """JSON-ready; :func:`owned_from` reads it."""
        return {kind: list(entries) for kind, entries in self.stored.items()}

    def _but(self, kind: str, name: str) -> list[Any]:
        kept = self.stored.get(kind, ())
        return [one for one in kept if not (isinstance(one, Mapping) and one.get("name") == name)]


def owned_from(stored: Any) -> Owned:
    """What the shop owns from what was kept of it; None: nothing yet. Never raises.

    What is damaged, or of a later form, is left out and named; it is handed on as it is.
    """
    given = stored if isinstance(stored, Mapping) else {}
    found: dict[str, dict[str, Document]] = {kind: {} for kind in READERS}
    left_out: list[str] = [] if isinstance(stored, Mapping | None) else [f"owned: {stored!r} cannot be read"]
    kept = {kind: _entries(given.get(kind)) for kind in READERS}
    for kind, entries in kept.items():
        for i, entry in enumerate(entries):
            try:
                name, document = _read(kind, json_ready(entry, kind), f"{kind}[{i}]")
                found[kind][name] = document
            except InputError as error:
                left_out.append(str(error))
    return Owned(**found, left_out=tuple(left_out), stored=kept)


def _entries(given: Any) -> tuple[Any, ...]:
    if given is None:
        return ()
    return tuple(given) if isinstance(given, list | tuple) else (given,)


def _read(kind: str, entry: Any, path: str) -> tuple[str, Document]:
    """Name and document of an entry. Raises InputError."""
    name = Fields(entry, path).text("name")
    return name, READERS[kind](entry, path)


def _metal(entry: Document, path: str) -> Document:
    metal_from(entry, path)
    return entry


def _tool(entry: Document, path: str) -> Document:
    tool_from(Fields(entry, path), None)
    return entry


def _machine(entry: Document, path: str) -> Document:
    """A table of thicknesses may name metals that only a job brings: those are checked with the job."""
    listed = entry.get("thickness_limits")
    names = tuple(map(str, listed)) if isinstance(listed, Mapping) else ()
    machine_from(Fields(entry, path), Metal("", "", {}, also=names))
    return entry


def _limits(entry: Document, path: str) -> Document:
    rest = {key: value for key, value in entry.items() if key != "name"}
    given_limits(Fields(rest, path), Limits())
    return rest


def _gauge(entry: Document, path: str) -> Document:
    if _reads_gaps(entry):
        gauge_from(dict(entry), path)
    else:
        check_gauge(Fields(entry, path))
    return entry


def _reads_gaps(entry: Document) -> bool:
    return entry.get("name") in GAUGES or any(
        entry.get(key) is not None for key in ("step", "step_mm", "largest", "largest_mm")
    )


READERS: dict[str, Callable[[Document, str], Document]] = {
    "metals": _metal,
    "tools": _tool,
    "machines": _machine,
    "limits": _limits,
    "gauges": _gauge,
}
