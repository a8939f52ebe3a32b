"""What a shop owns: read by the readers of jobs, kept as it was given, damaged entries left out and named."""

from __future__ import annotations

from typing import Any

import pytest

import core
from core import InputError
from tests.made_up import rib

TOOL = {"name": "rib set", "patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004}
METAL = {"name": "dome sheet", "like": "aluminium 5754-O", "proof": "95 MPa"}  # invented, as all here
MACHINE = {"name": "workshop machine", "throat": "120 mm", "thickness_limits": {"dome sheet": "2 mm"}}
LIMITS = {"name": "dome sheet", "strain_per_pass": "2 %"}
ALL: dict[str, dict[str, Any]] = {"tools": TOOL, "metals": METAL, "machines": MACHINE, "limits": LIMITS}


@pytest.fixture
def owned() -> core.Owned:
    found = core.owned_from(None)
    for kind, document in ALL.items():
        found = found.adding(kind, document)
    return found


def test_what_is_kept_comes_back(owned: core.Owned) -> None:
    again = core.owned_from(owned.document)
    assert again == owned and again.left_out == ()
    assert again.tools == {"rib set": TOOL} and again.machines == {"workshop machine": MACHINE}
    assert again.limits == {"dome sheet": {"strain_per_pass": "2 %"}}


def test_it_makes_a_job_as_it_is(owned: core.Owned) -> None:
    job = core.job(
        rib(
            material=owned.metals["dome sheet"],
            tool=owned.tools["rib set"],
            machine=owned.machines["workshop machine"],
            limits=owned.limits["dome sheet"],
        )
    )
    assert job.metal.figure("proof").typical == 95.0 and job.metal.figure("proof").own
    assert job.limits.per_pass.strain == pytest.approx(0.02)
    assert job.machine.throat_mm == 120.0 and job.tool.name == "rib set"


def test_a_metal_of_its_own_stands_in_the_table(owned: core.Owned) -> None:
    table = owned.all_metals
    assert table["dome sheet"].figure("proof").own and not table["aluminium 5754-O"].figure("proof").own
    over = owned.adding("metals", {**METAL, "name": "aluminium 5754-O"}).all_metals
    assert over["aluminium 5754-O"].figure("proof").typical == 95.0 and len(over) == len(table)


def test_the_same_name_is_kept_once(owned: core.Owned) -> None:
    changed = owned.adding("tools", {**TOOL, "patch_length": "25 mm"})
    assert list(changed.tools) == ["rib set"] and changed.tools["rib set"]["patch_length"] == "25 mm"
    assert owned.tools["rib set"]["patch_length"] == "20 mm"


@pytest.mark.parametrize("kind", ALL)
def test_what_is_forgotten_is_gone_and_nothing_else(owned: core.Owned, kind: str) -> None:
    left = owned.without(kind, ALL[kind]["name"])
    assert getattr(left, kind) == {}
    assert all(getattr(left, other) == getattr(owned, other) for other in ALL if other != kind)
    with pytest.raises(InputError, match=kind):
        left.without(kind, ALL[kind]["name"])


@pytest.mark.parametrize(
    ("kind", "document", "field"),
    [
        ("tools", {"name": "a"}, "tools.patch_length"),
        ("tools", {**TOOL, "name": ""}, "tools.name"),
        ("tools", {k: v for k, v in TOOL.items() if k != "name"}, "tools.name"),
        ("tools", {**TOOL, "patch_lenght": "20 mm"}, "tools.patch_lenght"),
        ("tools", 3, "tools"),
        ("metals", {"name": "b", "like": "unobtainium"}, "metals.like"),
        ("metals", {**METAL, "proof": "95"}, "metals.proof"),
        ("machines", {"name": "c", "throat": "-1 mm"}, "machines.throat"),
        ("limits", {"name": "d", "strain_per_pass": 3}, "limits.strain_per_pass"),
        ("limits", {"name": "d", "strain": 0.1}, "limits.strain"),
    ],
)
def test_what_no_job_could_use_is_refused(owned: core.Owned, kind: str, document: Any, field: str) -> None:
    with pytest.raises(InputError) as error:
        owned.adding(kind, document)
    assert error.value.field == field


def test_what_is_damaged_is_named_and_handed_on() -> None:
    stored = {"tools": [3, TOOL, {"name": "broken"}], "metals": "rust", "machines": None}
    owned = core.owned_from(stored)
    assert list(owned.tools) == ["rib set"] and len(owned.left_out) == 3
    assert any("tools[2].patch_length" in sentence for sentence in owned.left_out)
    assert owned.adding("machines", MACHINE).document["tools"] == stored["tools"]
    assert core.owned_from([1]).left_out != ()
