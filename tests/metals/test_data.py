"""The table of metals against what is published of them; each file of tests/reference names its sources."""

from __future__ import annotations

import csv
import re
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


STANDARDS = rows("metals_standards.csv")
BANDS = rows("metals_elongation_bands.csv")
TYPICAL = rows("metals_typical.csv")
PAIRS = rows("metals_hollomon.csv")
ANNEALING = rows("metals_annealing.csv")
HOLES = {row["metal"]: row for row in rows("metals_hole_expansion.csv")}
SEEN = {  # figures whose published limit, pair or range was read, by metal and name
    *((row["metal"], row["figure"]) for row in STANDARDS if row["known"] == "seen"),
    *((row["metal"], figure) for row in PAIRS if row["metal"] for figure in ("K", "n")),
    *((row["metal"], "annealing") for row in ANNEALING if row["known"] == "seen"),
}


def number(text: str) -> float:
    return float(text) if text else nan


def typical(row: dict[str, str]) -> float:
    """The value of a row of ``TYPICAL``, in the figure's own unit."""
    return float(row["value"]) * (1e3 if row["figure"] == "E" else 1.0)


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


def test_every_limit_of_every_metal_is_in_the_reference():
    """So that none is in the table which nothing outside is held against, and it is known which were read."""
    wanted = {(m.name, figure) for m in CHARTED for figure in ("proof", "tensile", "elongation")}
    assert {(row["metal"], row["figure"]) for row in STANDARDS} == wanted
    assert len(STANDARDS) == len(wanted)
    assert all((row["known"] == "seen") == bool(row["read"]) for row in (*STANDARDS, *ANNEALING))
    assert {row["known"] for row in (*STANDARDS, *ANNEALING)} == {"seen", "memory"}


@pytest.mark.parametrize("row", STANDARDS, ids=lambda r: f"{r['known']}-{r['metal']}-{r['figure']}")
def test_limits_are_those_of_the_product_standards(row):
    """Held against what was read ("seen"), or against memory alone: then the figure says so too."""
    held = METALS[row["metal"]].figure(row["figure"])
    low, high = number(row["low"]), number(row["high"])
    if isnan(low) and isnan(high):
        assert held is None
        assert row["source"] in METALS[row["metal"]].none_given[row["figure"]]
        return
    assert (held.low, held.high) == pytest.approx((low, high), rel=1e-12, nan_ok=True)
    assert row["source"] in held.source
    assert ("from memory" in held.source) == (row["known"] == "memory")


@named([m for m in CHARTED if m.figure("elongation").by_thickness])
def test_elongations_go_by_the_bands_of_the_standard(metal):
    """Each band as in the reference, at its ends and inside it; the least of them is what is held for all."""
    held, wanted = metal.figure("elongation"), [row for row in BANDS if row["metal"] == metal.name]
    assert len(held.by_thickness) == len(wanted)
    for row in wanted:
        over, to = (float(row[end] or wide) for end, wide in (("over_mm", 0.0), ("to_mm", over_all(row))))
        for thickness in (over + 1e-6, 0.5 * (over + to), to):
            found = held.at(thickness)
            assert found.low == pytest.approx(float(row["least"]))
            assert found.source.startswith(f"{held.source}; ") and not found.by_thickness
        assert row["source"] in held.source
    assert held.low == pytest.approx(min(float(row["least"]) for row in wanted))
    memory = any(row["known"] == "memory" for row in wanted)
    assert ("from memory" in held.source) == memory


def over_all(row):
    """A thickness in the last band, which has no end."""
    return 3.0 * float(row["over_mm"] or 0.0)


def test_every_band_is_of_a_metal_that_goes_by_thickness():
    assert {row["metal"] for row in BANDS} == {m.name for m in CHARTED if m.figure("elongation").by_thickness}
    assert all((row["known"] == "seen") == bool(row["read"]) for row in BANDS)


# Shares by which sources differ: copper 110 or 120 GPa, 5754 2660 or 2680 kg/m3, stainless 7900 or 8000.
APART = {"E": 0.10, "density": 0.014, "poisson": 0.0}


@pytest.mark.parametrize("row", TYPICAL, ids=lambda r: f"{r['metal']}-{r['figure']}")
def test_typical_values_that_were_read(row):
    """Stiffness and density near to what is held, strengths and elongations inside the standard's limits."""
    held, value = METALS[row["metal"]].figure(row["figure"]), typical(row)
    if row["figure"] in APART:
        assert held.typical == pytest.approx(value, rel=APART[row["figure"]])
    else:
        assert not value < held.low
        assert not value > held.high


def test_deep_drawing_steel_hardens_as_its_standard_asks():
    """EN 10130:1999, DC04: n90 at least 0.18 (read in the sheet that metals_standards.csv names)."""
    assert METALS["mild steel DC04"].figure("n").typical >= 0.18


SOFT = {  # the temper that an anneal makes of a hard one
    "aluminium 1050A-H14": "aluminium 1050A-O",
    "aluminium 6082-T4": "aluminium 6082-O",
    "copper Cu-DHP half hard": "copper Cu-DHP soft",
}


@pytest.mark.parametrize(("hard", "soft"), SOFT.items())
def test_a_hard_temper_once_annealed_is_the_soft_one(hard, soft):
    then, published = METALS[hard].figure("elongation_annealed"), METALS[soft].figure("elongation")
    assert (then.low, then.high) == pytest.approx((published.low, published.high), nan_ok=True)
    assert then.by_thickness == published.by_thickness
    assert METALS[hard].figure("n_annealed").typical == METALS[soft].figure("n").typical
    assert ("from memory" in then.source) == ("from memory" in published.source)
    assert {m.name for m in CHARTED if m.figure("elongation_annealed")} == set(SOFT)


def read(metal, name, figure):
    """Whether the published value was read that this figure is: a limit, a pair, a range, or typical."""
    if name == "elongation_annealed":
        return (SOFT[metal.name], "elongation") in SEEN
    found = [typical(row) for row in TYPICAL if (row["metal"], row["figure"]) == (metal.name, name)]
    return (metal.name, name) in SEEN or figure.typical in found


@named(CHARTED)
def test_every_figure_says_where_it_is_from(metal):
    for name, figure in metal.figures.items():
        assert figure.source.strip(), name
        assert not figure.own
        assert "from memory, check" in figure.source or read(metal, name, figure), (name, figure.source)


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


@pytest.mark.parametrize("row", ANNEALING, ids=lambda r: f"{r['known']}-{r['metal']}")
def test_annealing_stays_inside_what_is_published(row):
    held = METALS[row["metal"]].figure("annealing")
    assert float(row["low_c"]) <= held.low <= held.high <= float(row["high_c"])
    assert ("from memory" in held.source) == (row["known"] == "memory")


def test_every_annealing_is_in_the_reference():
    assert {row["metal"] for row in ANNEALING} == {m.name for m in CHARTED if m.figure("annealing")}


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
    assert metal.none_given["annealing"]
    assert any("Do not anneal" in sentence for sentence in metal.watch)


def test_the_heat_that_spoils_titanium_zinc_is_above_that_of_a_solder_and_below_its_melting():
    """It is soft soldered every day (common practice): solder of 40 % tin is liquid from 235 C (ISO 9453,
    from memory, check), and zinc melts at 420 C (handbooks)."""
    metal = METALS["titanium-zinc EN 988"]
    (warning,) = (sentence for sentence in metal.watch if "Do not anneal" in sentence)
    (limit,) = (float(said) for said in re.findall(r"(\d+) °C", warning))
    assert 235 < limit < 420
    assert "from memory, check" in warning
    assert f"{limit:.0f} °C" in metal.none_given["annealing"]


@named(CHARTED)
def test_hole_expansions_are_those_of_the_reference_or_said_to_be_none(metal):
    held, row = metal.figure("hole_expansion"), HOLES.get(metal.name)
    if row is None:
        assert held is None
        assert "no published figure" in metal.none_given["hole_expansion"]
        return
    assert (held.low, held.high) == pytest.approx((float(row["low"]), float(row["high"])))
    assert "ISO 16630" in held.source
    assert ("from memory, check" in held.source) == (row["known"] == "memory")


def test_an_edge_that_was_punched_is_widened_further_than_its_strip_stretches():
    """Round a hole only the edge is strained so much and its neighbours hold back a neck: the least ratio is
    above the even strain of a strip, exp(n) - 1 (Considère)."""
    assert set(HOLES) <= set(METALS)
    for name in HOLES:
        metal = METALS[name]
        assert metal.figure("hole_expansion").high > e ** metal.figure("n").typical - 1.0
        assert metal.figure("hole_expansion").low > metal.figure("elongation").low


def test_typical_is_the_middle_or_the_one_end():
    assert Figure(190.0, 240.0, "x").typical == 215.0
    assert Figure(80.0, nan, "x").typical == 80.0
    assert Figure(nan, 85.0, "x").typical == 85.0
    assert isnan(Figure(nan, nan, "x").typical)
