"""A small table of sheet metals: what the geometry of a bar needs to know of them.

Young's modulus cancels for a bar of one metal; Poisson's ratio enters the twisting of a Z and of a
channel worked on one flange. How the metal answers the tool is never taken from here: it is learned.

All values are from memory of handbook tables (rounded; they differ by a few per cent between
tables): check them against the metal's own certificate where it matters. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from core.errors import InputError
from core.jobfields import Fields, nearest
from core.units import parse_density_kg_m3, parse_stress_mpa


@dataclass(frozen=True)
class Material:
    """One metal, soft as it is formed.

    e_mpa : Young's modulus; poisson : Poisson's ratio; density_kg_m3; source : where the values are from
    """

    name: str
    e_mpa: float
    poisson: float
    density_kg_m3: float
    source: str = "from memory, check"


# Metals that a job can name; a job may also bring its own.
MATERIALS: dict[str, Material] = {
    m.name: m
    for m in (
        Material("aluminium 1050-O", 69e3, 0.33, 2705.0),
        Material("aluminium 3003-O", 69e3, 0.33, 2730.0),
        Material("aluminium 5052-O", 70e3, 0.33, 2680.0),
        Material("aluminium 5083-O", 71e3, 0.33, 2660.0),
        Material("aluminium 5754-O", 70e3, 0.33, 2660.0),
        Material("aluminium 6061-O", 69e3, 0.33, 2700.0),
        Material("copper Cu-DHP soft", 120e3, 0.34, 8940.0),
        Material("brass CuZn37 soft", 105e3, 0.35, 8440.0),
        Material("mild steel DC01", 210e3, 0.30, 7850.0),
        Material("mild steel DC04", 210e3, 0.30, 7850.0),
        Material("stainless steel 1.4301", 200e3, 0.30, 7900.0),
        Material("titanium grade 2", 105e3, 0.34, 4510.0),
    )
}


def material_from(value: Any, field: str = "material", warnings: list[str] | None = None) -> Material:
    """The metal of this name in the table, or one given as a mapping.

    value : "aluminium 5754-O", or {"name": ..., "E": "70 GPa", "poisson": 0.33, "density": "2.7 g/cm3"}
    where the density may be left out. Raises InputError for an unknown name, listing the table.
    """
    if isinstance(value, str):
        if value not in MATERIALS:
            raise InputError(field, value, _unknown(value))
        return MATERIALS[value]
    fields = Fields(value, field, warnings)
    e_mpa = parse_stress_mpa(
        fields.need("E", "Young's modulus, such as '70 GPa', is wanted"), fields.path("E")
    )
    if not 1e3 <= e_mpa <= 1e6:
        raise InputError(fields.path("E"), value["E"], "between 1 and 1000 GPa is wanted")
    density = fields.get("density")
    kg_m3 = float("nan") if density is None else parse_density_kg_m3(density, fields.path("density"))
    if density is not None and not 500.0 <= kg_m3 <= 25_000.0:
        raise InputError(fields.path("density"), density, "between 500 and 25000 kg/m3 is wanted")
    metal = Material(
        fields.text("name"), e_mpa, fields.number("poisson", None, 0.0, 0.499), kg_m3, "as given"
    )
    fields.finish()
    return metal


def _unknown(name: str) -> str:
    known = "one of " + ", ".join(MATERIALS)
    own = '{"name": "...", "E": "70 GPa", "poisson": 0.33}'
    return f"{known}, or an own one as {own}, is wanted{nearest(name, MATERIALS)}"
