"""The table as it is read: names, other names, metals like another, own ones, and what is refused."""

from __future__ import annotations

import json
import subprocess
import sys
from math import isnan
from pathlib import Path
from typing import Any

import pytest

import core
from core.errors import InputError
from core.metals import METALS, metal_from, metals_with_own
from core.metals.shipped import shipped_text
from core.metals.table import MetalTable, metals_of
from tests.made_up import rib

ROOT = Path(__file__).parent.parent.parent
OWN = {"name": "own bronze", "E": "110 GPa", "poisson": 0.34}
SHEET = {"like": "aluminium 5754-O", "name": "coil 12"}


def test_the_names_that_jobs_have_used_are_understood():
    former = [
        *("aluminium 1050-O", "aluminium 3003-O", "aluminium 5052-O", "aluminium 5083-O", "aluminium 5754-O"),
        *(
            "aluminium 6061-O",
            "copper Cu-DHP soft",
            "brass CuZn37 soft",
            "mild steel DC01",
            "mild steel DC04",
        ),
        *("stainless steel 1.4301", "titanium grade 2"),
    ]
    assert [name for name in former if name not in METALS] == []
    assert metal_from("aluminium 1050-O").name == "aluminium 1050A-O"
    assert metal_from("aluminium 5754-H111") is METALS["aluminium 5754-O"]


def test_other_names_find_a_metal_and_are_not_listed():
    every = [name for metal in METALS.values() for name in (metal.name, *metal.also)]
    assert len(every) == len(set(every))
    assert len(list(METALS)) == len(METALS) < len(every)
    assert "aluminium 1050-O" not in list(METALS)


def test_metals_stand_in_the_order_of_the_file():
    assert list(METALS) == [entry["name"] for entry in json.loads(shipped_text())["metals"]]
    assert shipped_text() == (ROOT / "assets" / "metals.json").read_text("utf-8")


def test_the_table_is_read_once_and_only_when_it_is_wanted():
    read = []
    table = MetalTable(lambda: read.append(1) or [metal_from(OWN)])
    assert read == []
    assert table["own bronze"].e_mpa == 110e3
    assert "brass" not in table
    assert read == [1]
    program = "import core; print('_metals' in vars(core.METALS), len(core.METALS) > 10)"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["False", "True"]


def test_a_job_holds_its_metal_with_all_that_is_known():
    metal = core.job(rib(material="aluminium 5754-O")).metal
    assert metal is METALS["aluminium 5754-O"]
    proof = metal.figure("proof")
    assert (proof.low, proof.typical, proof.own) == (80.0, 80.0, False)
    assert isnan(proof.high)
    assert metal.figure("tensile").typical == 215.0
    assert metal.figure("hole_expansion").low == 0.4


def test_an_own_metal_has_only_what_is_given():
    metal = metal_from({**OWN, "elongation": "30 %", "n": 0.4, "density": "8.8 g/cm3"})
    assert (metal.e_mpa, metal.poisson, metal.density_kg_m3) == (110e3, 0.34, 8800.0)
    assert (metal.figure("elongation").typical, metal.figure("n").typical) == (0.30, 0.4)
    assert all(figure.own and figure.source == "as given" for figure in metal.figures.values())
    assert (metal.family, metal.how, metal.watch, metal.figure("proof")) == ("", "", (), None)
    assert isnan(metal_from(OWN).density_kg_m3)


def test_a_metal_like_another_keeps_what_is_not_given():
    plain, coil = METALS["aluminium 5754-O"], metal_from({**SHEET, "proof": "95 MPa", "poisson": 0.34})
    assert (coil.name, coil.family, coil.how, coil.watch) == ("coil 12", "aluminium", plain.how, plain.watch)
    assert (coil.figure("proof").low, coil.figure("proof").high) == (95.0, 95.0)
    assert {name for name, figure in coil.figures.items() if figure.own} == {"proof", "poisson"}
    for name in set(plain.figures) - {"proof", "poisson"}:
        assert coil.figure(name) is plain.figure(name)
    assert coil.also == ()


def test_like_takes_other_names_of_a_metal_too():
    assert metal_from({**SHEET, "like": "copper Cu-DHP R240"}).figure("K").typical == 370.0


def test_figures_as_ranges_with_a_source():
    given = {
        "proof": {"low": "90 MPa", "high": "13,5 ksi", "source": "certificate"},
        "tensile": {"high": "230 MPa"},
        "annealing": {"value": "650 °F", "how": "in the oven"},
        "family": "aluminium",
        "watch": ["Curls."],
        "also": ["coil twelve"],
    }
    metal = metal_from({**SHEET, **given})
    proof, tensile = metal.figure("proof"), metal.figure("tensile")
    # 1 psi = 6.894 757 kPa, NIST SP 811 appendix B.8, from memory
    assert (proof.low, proof.high, proof.source) == (90.0, pytest.approx(13.5 * 6.894757), "certificate")
    assert (isnan(tensile.low), tensile.high, tensile.source) == (True, 230.0, "as given")
    assert metal.figure("annealing").typical == pytest.approx((650 - 32) / 1.8)
    assert (metal.how, metal.watch, metal.also) == ("in the oven", ("Curls.",), ("coil twelve",))


def test_a_new_temperature_alone_leaves_how():
    metal = metal_from({**SHEET, "annealing": "360 C"})
    assert metal.figure("annealing").typical == 360.0
    assert metal.how == METALS["aluminium 5754-O"].how != ""


def test_why_there_is_no_figure_is_handed_on_to_metals_like_it():
    zinced = METALS["galvanised steel DX51D+Z"]
    coil = metal_from({"like": zinced.name, "name": "coil", "proof": "260 MPa"})
    assert coil.none_given == zinced.none_given
    assert coil.figure("proof").own
    own = metal_from({**OWN, "none_given": {"proof": "never pulled"}})
    assert (own.none_given, own.figure("proof")) == ({"proof": "never pulled"}, None)


def test_the_same_document_makes_the_same_metal():
    given = {**SHEET, "tensile": {"low": "205 MPa"}}
    assert metal_from(given) == metal_from(given)


def refused(value: Any) -> InputError:
    with pytest.raises(InputError) as caught:
        metal_from(value)
    return caught.value


@pytest.mark.parametrize(
    ("given", "field", "says"),
    [
        ("aluminium 5754", "material", "is 'aluminium 5754-O' meant?"),
        (5, "material", "an object with named fields"),
        ({**SHEET, "like": "aluminum 5754-O"}, "material.like", "is 'aluminium 5754-O' meant?"),
        ({**SHEET, "like": ["x"]}, "material.like", "one of aluminium 1050A-O, "),
        ({"like": "mild steel DC01"}, "material.name", "has to be given"),
        ({"name": "x", "poisson": 0.3}, "material.E", "Young's modulus, such as '70 GPa'"),
        ({"name": "x", "E": "70 GPa"}, "material.poisson", "has to be given"),
        ({**OWN, "E": 70}, "material.E", "'70 GPa'"),
        ({**OWN, "density": "2.7"}, "material.density", "'2.7 g/cm3'"),
        ("5754", "material", "is 'aluminium 5754-O' meant?"),
        ({**OWN, "E": "70 MPa"}, "material.E", "between 1 and 1000 GPa"),
        ({**OWN, "E": "1100 GPa"}, "material.E", "between 1 and 1000 GPa"),
        ({**OWN, "E": {"value": "70 MPa"}}, "material.E.value", "between 1 and 1000 GPa"),
        ({**OWN, "poisson": 0.5}, "material.poisson", "between 0 and 0.499"),
        ({**OWN, "poisson": -0.1}, "material.poisson", "between 0 and 0.499"),
        ({**OWN, "density": "2.7 kg/m3"}, "material.density", "between 500 and 25000 kg/m3"),
        ({**OWN, "density": "270 g/cm3"}, "material.density", "between 500 and 25000 kg/m3"),
        ({**OWN, "n": 1.1}, "material.n", "between 0 and 1"),
        ({**OWN, "n": "0.2 MPa"}, "material.n", "a number without a unit"),
        ({**OWN, "K": "0 MPa"}, "material.K", "between 1 and 10000 MPa"),
        ({**OWN, "proof": 95}, "material.proof", "'95 MPa'"),
        ({**OWN, "tensile": "200 GPa"}, "material.tensile", "between 1 and 5000 MPa"),
        ({**OWN, "elongation": 30}, "material.elongation", "between 0.1 % and 200 %"),
        (
            {**OWN, "elongation": {"by_thickness": {"1 mm": "9 %"}}},
            "material.elongation.by_thickness",
            'the last "thicker"',
        ),
        ({**OWN, "elongation": {"by_thickness": "9 %"}}, "material.elongation.by_thickness", "such as"),
        (
            {**OWN, "elongation": {"by_thickness": {"1 mm": "9 %", "0.5 mm": "7 %", "thicker": "9 %"}}},
            "material.elongation.by_thickness.0.5 mm",
            "above the one before it",
        ),
        (
            {**OWN, "elongation": {"by_thickness": {"1": "9 %", "thicker": "9 %"}}},
            "material.elongation.by_thickness.1",
            "with its unit",
        ),
        (
            {**OWN, "elongation": {"by_thickness": {"thicker": "9 %"}, "low": "8 %"}},
            "material.elongation.low",
            "'by_thickness' is given too",
        ),
        (
            {**OWN, "proof": {"by_thickness": {"thicker": "9 MPa"}}},
            "material.proof.value",
            "'low', 'high' or both",
        ),
        ({**OWN, "elongation": "0 %"}, "material.elongation", "between 0.1 % and 200 %"),
        ({**OWN, "hole_expansion": 80}, "material.hole_expansion", "between 0.1 % and 500 %"),
        ({**OWN, "annealing": "345"}, "material.annealing", "'345 °C'"),
        ({**OWN, "annealing": "345 MPa"}, "material.annealing", "'MPa' belongs to a stress"),
        ({**OWN, "annealing": "-10 °C"}, "material.annealing", "between 20 and 2000 °C"),
        ({**OWN, "annealing": {"value": "345 °C", "how": 5}}, "material.annealing.how", "a text on one line"),
        ({**OWN, "proof": {"value": "9 MPa", "how": "x"}}, "material.proof.how", "there is no such field"),
        (
            {**OWN, "proof": {"low": "9 MPa", "high": "8 MPa"}},
            "material.proof.low",
            "at most the high end, 8 MPa",
        ),
        ({**OWN, "proof": {"low": "9 MPa", "value": "8 MPa"}}, "material.proof.low", "'value' is given too"),
        ({**OWN, "proof": {"source": "x"}}, "material.proof.value", "'low', 'high' or both"),
        ({**OWN, "proof": {"hihg": "9 MPa"}}, "material.proof.hihg", "is 'high' meant?"),
        ({**OWN, "proof": {"low": "9 MPa", "source": ""}}, "material.proof.source", "a text on one line"),
        ({**OWN, "proof": "300 MPa", "tensile": "200 MPa"}, "material.proof", "tensile strength, 200 MPa"),
        ({**SHEET, "proof": "300 MPa"}, "material.proof", "tensile strength, 215 MPa"),
        ({**SHEET, "tensile": "70 MPa"}, "material.tensile", "at least the proof stress, 80 MPa"),
        ({**OWN, "family": "wood"}, "material.family", "one of aluminium, copper"),
        ({**OWN, "watch": "Curls."}, "material.watch", "a list is wanted"),
        ({**OWN, "watch": ["Curls.", 3]}, "material.watch[1]", "a text on one line"),
        ({**OWN, "also": [" "]}, "material.also[0]", "a text on one line"),
        ({**OWN, "densty": "2.7 g/cm3"}, "material.densty", "is 'density' meant?"),
        (
            {**SHEET, "none_given": {"proof": "x"}},
            "material.none_given.proof",
            "the figure itself is given; either",
        ),
        ({**OWN, "none_given": {"prof": "x"}}, "material.none_given.prof", "is 'proof' meant?"),
        ({**OWN, "none_given": {"proof": 3}}, "material.none_given.proof", "a text on one line"),
    ],
)
def test_what_is_refused_and_why(given, field, says):
    error = refused(given)
    assert error.field == field
    assert says in str(error)


def test_a_limit_alone_is_no_contradiction():
    """At most 280 MPa of proof stress says nothing of a coil that tears at 275."""
    coil = metal_from({"like": "mild steel DC01", "name": "coil", "tensile": "275 MPa"})
    assert coil.figure("tensile").typical == 275.0


def test_a_shops_own_metals_stand_with_those_of_the_table():
    table = metals_with_own([OWN, {**SHEET, "name": "aluminium 5754-O", "proof": "95 MPa"}])
    assert list(table) == [*METALS, "own bronze"]
    assert table["aluminium 5754-O"].figure("proof").own
    assert not METALS["aluminium 5754-O"].figure("proof").own
    assert table["aluminium 1050-O"] is METALS["aluminium 1050A-O"]
    assert list(metals_with_own([])) == list(METALS)


def test_a_name_of_a_shops_own_goes_before_another_name_of_a_metal():
    assert metals_with_own([{**OWN, "name": "aluminium 1050-O"}])["aluminium 1050-O"].e_mpa == 110e3


@pytest.mark.parametrize(
    ("given", "field", "says"),
    [
        ([OWN, SHEET, {**SHEET, "name": "z", "proof": "9"}], "metals[2].proof", "'9 MPa'"),
        ([OWN, {"like": "own bronze", "name": "y"}], "metals[1].like", "one of aluminium 1050A-O"),
        ([OWN, SHEET, OWN], "metals[2].name", "each name only once"),
        ({"own bronze": OWN}, "metals", "a list is wanted"),
        (["mild steel DC01"], "metals[0]", "an object with named fields"),
    ],
)
def test_errors_in_a_shops_own_metals_name_the_place(given, field, says):
    with pytest.raises(InputError) as caught:
        metals_with_own(given)
    assert caught.value.field == field
    assert says in str(caught.value)


def sourced(**changed: Any) -> str:
    """A file of one metal, some of it changed."""
    metal = {
        "name": "x",
        "E": {"value": "70 GPa", "source": "a book"},
        "poisson": {"value": 0.3, "source": "a book"},
    }
    return json.dumps({"about": "one metal", "metals": [metal | changed]})


def test_a_file_of_metals_is_read():
    (metal,) = metals_of(sourced())
    assert (metal.e_mpa, metal.figure("E").source, metal.figure("E").own) == (70e3, "a book", False)


@pytest.mark.parametrize(
    ("text", "field", "says"),
    [
        (sourced(E="70 GPa"), "metals[0].E", '{"value": ..., "source": ...}'),
        (sourced(n={"value": 0.2}), "metals[0].n.source", "has to be given"),
        (sourced(n={"value": 0.2, "source": " "}), "metals[0].n.source", "a text on one line"),
        (sourced(like="mild steel DC01"), "metals[0].like", "cannot be used"),
        ('{"about": "none", "metals": []}', "metals", "1 to 2000 entries"),
        ('{"about": "x", "metals": [{}], "more": 1}', "more", "there is no such field"),
        ('{"metals": [{}]}', "about", "has to be given"),
        ("{", "metals", "it is not JSON"),
    ],
)
def test_a_file_without_sources_or_with_slips_is_refused(text, field, says):
    with pytest.raises(InputError) as caught:
        metals_of(text)
    assert caught.value.field == field
    assert says in str(caught.value)
