"""What the shop owns in words: each thing in a line; its figures, their units and where they are from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import core
from shopapp.presenters import metal_words, wording
from shopapp.presenters.metal_views import FigureRow
from shopapp.presenters.own_metal import LIMITED, SOURCE
from shopapp.presenters.setup_fields import MACHINE, TOOL, TOOL_MORE

LABELS = {field.name.partition(".")[2]: field.label for field in (*TOOL, *TOOL_MORE, *MACHINE)} | {
    "bites": "Bites, by strength",
    "settings": "Ram settings",
    "thickness_limits": "Thickest metal",
    "stroke_rates": "Stroke rates, strokes/min",
    "feeds": "Feeds, from and to",
    "settings_range": "Ram settings, from and to",
    "step": "Smallest step",
    "repeatability": "Repeatability, standard deviation",
    "largest": "Largest gap that it reads",
    "uncertainty": "Standard uncertainty, by its calibration",
    "calibrated": "Calibrated on",
    "interval_months": "Holds for, months",
}
UNITS = {"strokes_per_minute": "strokes/min", "rated_strength": "MPa"}
"""of bare numbers; a bare strain is a part of one"""
ALIKE = 0.02
"""share by which the patches of one tool may be apart"""


def metal(name: str, owned: core.Owned) -> tuple[FigureRow, ...]:
    """Own figures of a metal, and what else is kept of it but its name and what it is like."""
    document, known = owned.metals[name], owned.all_metals[name]
    rows = [_figure(figure, known) for figure in metal_words.NAMES if figure in document]
    rest = (key for key in document if key not in (*metal_words.NAMES, "name", "like"))
    others = [FigureRow(_label(key), _text(key, document[key]), "") for key in rest]
    return (*rows, *others)


def limits(document: Mapping[str, Any]) -> tuple[FigureRow, ...]:
    """Limits of a metal, as strains, and where they are from."""
    source = str(document.get(SOURCE, ""))
    keys = (key for key in document if key != SOURCE)
    return tuple(FigureRow(LIMITED[key], _text("strain", document[key]), source) for key in keys)


def equipment(document: Mapping[str, Any]) -> tuple[FigureRow, ...]:
    """A tool set or a machine, as it was typed."""
    keys = (key for key in document if key != "name")
    return tuple(FigureRow(_label(key), _text(key, document[key]), "") for key in keys)


def response(known: core.Known, tools: Mapping[str, Mapping[str, Any]]) -> tuple[FigureRow, ...]:
    """How a metal answered. tools : own sets, whose first guess it is held against where they are alike"""
    band = f"± {100 * wording.Z95 * known.sd:.0f} % of it (95 %); {known.strokes:.3g} strokes on a spot"
    machine = (FigureRow("Machine", known.machine, ""),) if known.machine else ()
    return (
        FigureRow("Edge strain of a stroke", wording.strain(known.strain, known.sd), band),
        *_against(known, tools),
        FigureRow("Metal", known.metal, f"{wording.number(known.thickness_mm)} mm thick"),
        FigureRow("Action and bite", bite(known), f"strength {known.strength:g}"),
        FigureRow("Patch of the tool", patch(known), f"{known.face} face"),
        *machine,
        FigureRow("Read on", f"{known.day.isoformat()}", known.source),
    )


def bite(known: core.Known) -> str:
    """ "shrink, heavy" """
    return f"{known.action}, {known.bite}"


def patch(known: core.Known) -> str:
    """ "20 x 15 mm" """
    return f"{wording.number(known.patch_length_mm)} x {wording.number(known.patch_depth_mm)} mm"


def response_line(known: core.Known) -> str:
    """A response in a line of the list."""
    thick = wording.number(known.thickness_mm)
    return f"{known.metal}, {thick} mm, {bite(known)}: {wording.strain(known.strain, known.sd)}"


def _against(known: core.Known, tools: Mapping[str, Mapping[str, Any]]) -> tuple[FigureRow, ...]:
    """Its ratio to the first guess of each own tool set with its patch and face."""
    found = []
    for name, tool in tools.items():
        if _alike(known, tool):
            guess = core.parse_number(tool["strain_per_stroke"], "strain_per_stroke")
            share = 100.0 * known.against(guess)
            value = f"{share:.0f} ± {wording.Z95 * known.sd * share:.0f} %"
            label = f"Of the first guess for {wording.on_a_spot(known.strokes)}"
            found.append(FigureRow(label, value, f"of the tool set {name} (95 %)"))
    return tuple(found)


def _alike(known: core.Known, tool: Mapping[str, Any]) -> bool:
    sizes = {"patch_length": known.patch_length_mm, "patch_depth": known.patch_depth_mm}
    there = (_length_mm(tool, key) for key in sizes)
    near = all(abs(mm - here) <= ALIKE * here for mm, here in zip(there, sizes.values(), strict=True))
    return near and tool.get("face", "gripping") == known.face


def _length_mm(document: Mapping[str, Any], key: str) -> float:
    return core.parse_length_mm(document[key] if key in document else document[f"{key}_mm"], key, "mm")


def _figure(name: str, known: core.Metal) -> FigureRow:
    figure = known.figure(name)
    assert figure is not None, name
    return FigureRow(metal_words.NAMES[name], metal_words.value(name, figure), metal_words.source(figure))


def _label(key: str) -> str:
    plain = key.removesuffix("_mm")
    return LABELS.get(plain, wording.capital(plain.replace("_", " ")))


def _text(key: str, value: Any) -> str:
    """A value as it was kept, with its unit."""
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_text('', one)}" for name, one in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_text(key, one) for one in value)
    if isinstance(value, str) and not _bare(value):
        return value
    if key.startswith("strain"):
        return metal_words.share(float(value))
    number = value if isinstance(value, str) else f"{value:g}"
    return f"{number} {'mm' if key.endswith('_mm') else UNITS.get(key, '')}".strip()


def _bare(text: str) -> bool:
    """Whether a text is a number without its unit."""
    return text.replace(".", "", 1).isdigit()
