"""A metal from its fields: the same reader for the table and for a metal that a job brings."""

from __future__ import annotations

from collections.abc import Mapping
from math import isnan, nan
from typing import Any

from core.errors import InputError
from core.jobfields import Fields, listed, nearest
from core.metals.figures import QUANTITIES, figure_from
from core.metals.metal import FAMILIES, Figure, Metal

NEEDED = {
    "E": "Young's modulus, such as '70 GPa', is wanted",
    "poisson": "Poisson's ratio has to be given, such as 0.33",
}
NOTHING = Metal("", "", {})
MOST_SENTENCES = 20


def metal_of(fields: Fields, known: Mapping[str, Metal], own: bool) -> Metal:
    """The metal that these fields describe.

    known : metals that "like" may start from; own : whether the numbers are the shop's own.
    Raises InputError naming the field.
    """
    base = _like(fields, known)
    name = fields.text("name")
    figures = {**base.figures, **_given(fields, base.figures, own)}
    _check_strengths(fields, figures)
    metal = Metal(
        name,
        fields.choice("family", FAMILIES) if fields.has("family") else base.family,
        figures,
        _how(fields, base.how),
        _texts(fields, "watch") or base.watch,
        _texts(fields, "also"),
        _none_given(fields, figures) or base.none_given,
    )
    fields.finish()
    return metal


def known_metal(name: Any, field: str, known: Mapping[str, Metal]) -> Metal:
    """The metal of this name. Raises InputError listing the names otherwise."""
    if isinstance(name, str) and name in known:
        return known[name]
    own = '{"name": "...", "E": "70 GPa", "poisson": 0.33}'
    hint = nearest(name, known) if isinstance(name, str) else ""
    raise InputError(field, name, f"one of {', '.join(known)}, or an own one as {own}, is wanted{hint}")


def _like(fields: Fields, known: Mapping[str, Metal]) -> Metal:
    if not fields.has("like"):
        return NOTHING
    return known_metal(fields.get("like"), fields.path("like"), known)


def _given(fields: Fields, base: Mapping[str, Figure], own: bool) -> dict[str, Figure]:
    """Figures that the fields give. What is needed and not known already has to be there."""
    for name, what in NEEDED.items():
        if name not in base:
            fields.need(name, what)
    return {name: figure_from(fields, name, own) for name in QUANTITIES if fields.has(name)}


def _how(fields: Fields, usual: str) -> str:
    """How it is annealed; a new temperature alone leaves that as it was."""
    given = fields.get("annealing")
    return given["how"].strip() if isinstance(given, Mapping) and given.get("how") else usual


def _none_given(fields: Fields, figures: Mapping[str, Figure]) -> dict[str, str]:
    """Why there is none of these figures. Raises InputError for one that is given or that no metal has."""
    if not fields.has("none_given"):
        return {}
    part = fields.part("none_given")
    for name in figures:
        if part.has(name):
            wanted = "the figure itself is given; either that or why there is none is wanted"
            raise InputError(part.path(name), part.get(name), wanted)
    told = {name: _text(part.get(name), part.path(name)) for name in QUANTITIES if part.has(name)}
    part.finish()
    return told


def _texts(fields: Fields, key: str) -> tuple[str, ...]:
    """Sentences or names of a list; none when it is not given."""
    if not fields.has(key):
        return ()
    given = listed(fields.get(key), fields.path(key), least=0, most=MOST_SENTENCES)
    return tuple(_text(text, f"{fields.path(key)}[{i}]") for i, text in enumerate(given))


def _text(value: Any, field: str) -> str:
    if not isinstance(value, str) or not value.strip().isprintable() or not value.strip():
        raise InputError(field, value, "a text on one line is wanted")
    return value.strip()


def _check_strengths(fields: Fields, figures: Mapping[str, Figure]) -> None:
    """Raises InputError where the metal would yield only after it has torn.

    Typical values are held against each other; a limit alone counts for the side that it bounds.
    """
    proof, tensile = figures.get("proof"), figures.get("tensile")
    if proof is None or tensile is None:
        return
    at_least = nan if isnan(proof.low) else proof.typical
    at_most = nan if isnan(tensile.high) else tensile.typical
    if not at_least > at_most:
        return
    if fields.has("proof"):
        wanted = f"at most the tensile strength, {at_most:g} MPa, is wanted"
        raise InputError(fields.path("proof"), fields.get("proof"), wanted)
    wanted = f"at least the proof stress, {at_least:g} MPa, is wanted"
    raise InputError(fields.path("tensile"), fields.get("tensile"), wanted)
