"""The table of metals against what is published of them; each file of tests/reference names its sources."""

from __future__ import annotations

import csv
from math import e, isnan, nan
from pathlib import Path

import pytest

from core.metals.figures import QUANTITIES
from core.metals.metal import Figure
from core.metals.table import METALS

REFERENCE = Path(__file__).parent.parent / "reference"
# A pair K, n is fitted to a curve and a standard bounds a coil: they may differ by this share.
SHARE = 0.05
CHARTED = list(METALS.values())


def rows(name: str) -> list[dict[str, str]]:
    lines = (REFERENCE / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


STANDARDS = {row["metal"]: row for row in rows("metals_standards.csv")}
PAIRS = rows("metals_hollomon.csv")
SEEN = {  # figures whose published value was read, by metal and name
    *(
        (name, figure)
        for name, row in STANDARDS.items()
        for figure in ("proof", "tensile", "elongation")
        if row["known"] == "seen"
    ),
    *((row["metal"], figure) for row in PAIRS if row["metal"] for figure in ("K", "n")),
}


def number(text: str) -> float:
    return float(text) if text else nan


def tensile_of_pair(strength_mpa: float, n: float) -> float:
    """Tensile strength by Considere: necking begins at a true strain of n. Any textbook of plasticity."""
    return strength_mpa * (n / e) ** n


def fits(mpa: float, tensile: Figure) -> bool:
    """Whether a tensile strength lies within limits, give or take the share."""
    return not (mpa < tensile.low * (1 - SHARE) or mpa > tensile.high * (1 + SHARE))


def named(metals):
    return pytest.mark.parametrize("metal", metals, ids=lambda m: m.name)


@named(CHARTED)
def test_hardening_leads_to_the_tensile_strength(metal):
    pair = tensile_of_pair(metal.figure("K").typical, metal.figure("n").typical)
    assert fits(pair, metal.figure("tensile")), pair


@pytest.mark.parametrize("row", [r for r in PAIRS if r["metal"]], ids=lambda r: r["alloy"])
def test_published_pairs_are_those_of_the_table(row):
    metal = METALS[row["metal"]]
    assert (metal.figure("K").typical, metal.figure("n").typical) == (float(row["K_mpa"]), float(row["n"]))
    assert row["source"] in metal.figure("n").source


@pytest.mark.parametrize(("alloy", "name"), [("5052-O", "5052-O"), ("1100-O", "1050A-O")])
def test_the_check_refuses_pairs_that_do_not_fit_the_metal(alloy, name):
    """Published, but of no sheet that the standard lets pass: that is why the table does not take them."""
    (row,) = (r for r in PAIRS if r["alloy"] == alloy)
    assert row["why_not"]
    pair = tensile_of_pair(float(row["K_mpa"]), float(row["n"]))
    assert not fits(pair, METALS[f"aluminium {name}"].figure("tensile"))


@pytest.mark.parametrize("name", STANDARDS)
@pytest.mark.parametrize("figure", ["proof", "tensile", "elongation"])
def test_limits_are_those_of_the_product_standards(name, figure):
    row, held = STANDARDS[name], METALS[name].figure(figure)
    published = (number(row[f"{figure}_low"]), number(row[f"{figure}_high"]))
    assert (held.low, held.high) == pytest.approx(published, rel=1e-12, nan_ok=True)
    assert row["source"] in held.source


def test_deep_drawing_steel_hardens_as_its_standard_asks():
    """EN 10130:2006, DC04: n90 at least 0.18. From memory, to be confirmed."""
    assert METALS["mild steel DC04"].figure("n").typical >= 0.18


@named(CHARTED)
def test_every_figure_says_where_it_is_from(metal):
    for name, figure in metal.figures.items():
        assert figure.source.strip(), name
        assert not figure.own
        assert "from memory" in figure.source or (metal.name, name) in SEEN, (name, figure.source)


@named(CHARTED)
def test_what_every_metal_tells(metal):
    assert {"E", "poisson", "density", "tensile", "elongation", "K", "n"} <= set(metal.figures)
    assert set(metal.figures) <= set(QUANTITIES)
    assert 2 <= len(metal.watch) <= 6
    assert all(sentence.endswith(".") for sentence in metal.watch)
    assert bool(metal.how) == ("annealing" in metal.figures)


@named([m for m in CHARTED if m.figure("proof")])
def test_metals_yield_before_they_tear(metal):
    """Typical values; a least tensile strength alone is held against the least proof stress."""
    proof, tensile = metal.figure("proof"), metal.figure("tensile")
    assert (proof.low if isnan(tensile.high) else proof.typical) <= tensile.typical
    assert not proof.low > tensile.low
    assert not proof.high > tensile.high


FAMILIES = {  # GPa; from memory of engineering handbooks, to be confirmed
    "aluminium": (68, 72),
    "copper": (110, 130),
    "brass": (100, 115),
    "steel": (200, 215),
    "stainless": (190, 205),
    "zinc": (75, 110),
    "titanium": (100, 116),
}
SPECIFIC = {  # E / density, GPa cm3/g: nearly the same for light metals and steel, half for copper and zinc
    **dict.fromkeys(("aluminium", "steel", "stainless", "titanium"), (23, 27)),
    **dict.fromkeys(("copper", "brass", "zinc"), (10, 15)),
}


@named(CHARTED)
def test_stiffness_and_density_lie_where_handbooks_have_them(metal):
    """Ranges from memory of engineering handbooks, to be confirmed."""
    low, high = FAMILIES[metal.family]
    assert 1e3 * low <= metal.e_mpa <= 1e3 * high
    assert 0.24 <= metal.poisson <= 0.36
    low, high = SPECIFIC[metal.family]
    assert low <= metal.e_mpa / metal.density_kg_m3 <= high


def test_density_and_stiffness_keep_their_order():
    """Handbook order, from memory; magnesium makes aluminium lighter and a little stiffer."""
    metals = {m.family: m for m in CHARTED}
    by_weight = sorted(metals, key=lambda family: metals[family].density_kg_m3)
    assert by_weight == ["aluminium", "titanium", "zinc", "steel", "stainless", "brass", "copper"]
    alloyed = [METALS[f"aluminium {name}"] for name in ("1050A-O", "5052-O", "5754-O", "5083-O")]
    assert alloyed == sorted(alloyed, key=lambda m: (-m.density_kg_m3, m.e_mpa))


@pytest.mark.parametrize("row", rows("metals_annealing.csv"), ids=lambda r: r["metal"])
def test_annealing_stays_inside_what_is_published(row):
    held = METALS[row["metal"]].figure("annealing")
    assert float(row["low_c"]) <= held.low <= held.high <= float(row["high_c"])


@named(CHARTED)
def test_nothing_is_annealed_near_its_melting_point(metal):
    """Melting begins (C), from memory of handbooks, to be confirmed."""
    melts = {
        "aluminium": 555,
        "copper": 1080,
        "brass": 900,
        "steel": 1480,
        "stainless": 1400,
        "titanium": 1660,
    }
    held = metal.figure("annealing")
    assert held is None or held.high <= melts[metal.family] - 100


@pytest.mark.parametrize("name", ["galvanised steel DX51D+Z", "titanium-zinc EN 988"])
def test_what_heat_spoils_is_not_annealed(name):
    metal = METALS[name]
    assert metal.figure("annealing") is None
    assert any("Do not anneal" in sentence for sentence in metal.watch)


def test_a_figure_of_its_kind_only_where_one_is_published():
    """ISO 16630 tells how a hole is expanded, and no value for any of these metals."""
    assert [m.name for m in CHARTED if m.figure("hole_expansion")] == []


def test_typical_is_the_middle_or_the_one_end():
    assert Figure(190.0, 240.0, "x").typical == 215.0
    assert Figure(80.0, nan, "x").typical == 80.0
    assert Figure(nan, 85.0, "x").typical == 85.0
    assert isnan(Figure(nan, nan, "x").typical)
