"""The table of metals, read when one is first asked for, and a job's or a shop's own beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any

from core.errors import InputError
from core.jobfields import Fields, listed
from core.jsontext import read_json
from core.metals.metal import Metal
from core.metals.reader import known_metal, metal_of
from core.metals.shipped import shipped_text


class MetalTable(Mapping[str, Metal]):
    """Metals by name, in order. Another name of a metal (``Metal.also``) finds it too, but is not listed."""

    def __init__(self, read: Callable[[], Iterable[Metal]]) -> None:
        """read : gives the metals; called once, when the first is asked for."""
        self._read = read

    @cached_property
    def _metals(self) -> dict[str, Metal]:
        return {metal.name: metal for metal in self._read()}

    @cached_property
    def _also(self) -> dict[str, Metal]:
        return {name: metal for metal in self._metals.values() for name in metal.also}

    def __getitem__(self, name: str) -> Metal:
        """The metal of this name. Raises KeyError."""
        return self._metals[name] if name in self._metals else self._also[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._metals)

    def __len__(self) -> int:
        return len(self._metals)


def metals_of(text: str) -> list[Metal]:
    """The metals of a file's text, {"about": ..., "metals": [...]}. Raises InputError naming the field."""
    fields = Fields(read_json(text, "metals"))
    fields.text("about")
    given = listed(fields.need("metals"), "metals")
    fields.finish()
    return _read_all(given, "metals", own=False)


# Metals that a job can name, read from the program's file; a job may also bring its own.
METALS = MetalTable(lambda: metals_of(shipped_text()))


def metal_from(value: Any, field: str = "material", warnings: list[str] | None = None) -> Metal:
    """The metal of this name in the table, or one given as a mapping.

    value : "aluminium 5754-O"; {"name": ..., "E": "70 GPa", "poisson": 0.33} with any further figures;
    or {"like": "aluminium 5754-O", "name": ..., "proof": "95 MPa"}, which starts from a metal of the
    table. Raises InputError naming the field; for an unknown name it lists the table.
    """
    if isinstance(value, str):
        return known_metal(value, field, METALS)
    return metal_of(Fields(value, field, warnings), METALS, own=True)


def metals_with_own(given: Any, field: str = "metals") -> MetalTable:
    """The table with a shop's own metals: further ones at its end, others in place of those of their name.

    given : a list of mappings as :func:`metal_from` takes them, so that each can be handed to a job as
    it is; "like" names a metal of the plain table. Raises InputError naming the field, "metals[2].proof".
    """
    own = {metal.name: metal for metal in _read_all(listed(given, field, least=0), field, own=True)}
    return MetalTable(lambda: {**METALS, **own}.values())


def _read_all(given: list[Any], field: str, own: bool) -> list[Metal]:
    known: Mapping[str, Metal] = METALS if own else {}
    metals: dict[str, Metal] = {}
    for i, entry in enumerate(given):
        path = f"{field}[{i}]"
        metal = metal_of(Fields(entry, path), known, own)
        if metal.name in metals:
            raise InputError(f"{path}.name", metal.name, "each name only once is wanted")
        metals[metal.name] = metal
    return list(metals.values())
