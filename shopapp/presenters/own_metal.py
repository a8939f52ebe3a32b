"""Own figures of a metal and limits for it, typed over what is known else, and kept for the shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isnan
from typing import Any

import core
from shopapp.presenters import belongings, metal_words, mistakes
from shopapp.presenters.base import Presenter
from shopapp.presenters.own_metal_views import OwnMetalView
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import with_unit
from shopapp.presenters.setup_views import UNIT_KEYS, FieldView

NAME = "name"
LIMITS = "limits."


@dataclass(frozen=True)
class Shown:
    """How a figure is shown: its label, the unit that is typed, how many of the core's own units that is."""

    label: str
    unit: str
    size: float = 1.0


FIGURES = {
    "proof": Shown("Proof stress, 0.2 %", "MPa"),
    "tensile": Shown("Tensile strength", "MPa"),
    "elongation": Shown("Elongation after fracture", "%", 0.01),
    "n": Shown("Hardening exponent n", ""),
    "n_annealed": Shown("Hardening exponent n once annealed", ""),
    "elongation_annealed": Shown("Elongation after fracture once annealed", "%", 0.01),
    "K": Shown("Strength coefficient K", "MPa"),
    "hole_expansion": Shown("Hole expansion", "%", 0.01),
    "annealing": Shown("Annealed at", "°C"),
    "E": Shown("Young's modulus E", "GPa", 1000.0),
    "poisson": Shown("Poisson's ratio", ""),
    "density": Shown("Density", "kg/m3"),
}
LIMITED = {
    "strain_per_pass": "Most edge strain planned for one pass",
    "strain_total": "Most edge strain in the whole job",
    "stretch_since_anneal": "Most stretching since the last anneal",
    "stretch_by_elongation": "Most stretching by its elongation",
    "shrink_since_anneal": "Shrinking after which an anneal is advised",
    "stretch_total": "Most stretching in all",
    "shrink_per_stroke": "Most shrinking by one stroke",
    "risk": "Chance that a pass goes beyond one",
    "strain_per_pass_risk": "Chance of over a quarter more in one pass",
}
SOURCE = "source"
FROM_FIGURES = "from the figures above, or common practice"


class OwnMetalPresenter(Presenter[OwnMetalView]):
    """Keys: keep, forget. Fields: "name", a figure's name, "limits." with a limit's name or "source"."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of: Any = None
        self._known: Any = None
        self._texts: dict[str, str] = {}
        self.touches = {"keep": self._keep, "forget": self._forget}

    def change(self, name: str, text: str) -> OwnMetalView:
        """A field was typed into; the text is kept whether it is right or not."""
        self._take()
        return self.attempt(lambda typed: self._texts.update({name: typed}), text)

    def view(self, go: str = "") -> OwnMetalView:
        """All figures, what is typed over them, and what is wrong with that."""
        self._take()
        metal, wrong, name = self._metal(), self._wrong(), self._texts[NAME].strip()
        kept = belongings.owned(self.session)
        known = name in kept.metals or name in kept.limits
        why = "something is wrong" if wrong else "for the next parts"
        return OwnMetalView(
            header=Header(f"Own figures: {metal.name}", unit="", back=self.session.metal_back),
            fields=(
                FieldView(NAME, "Name", "text", self._texts[NAME], complaint=wrong.get(NAME, "")),
                *(self._figure(metal, figure, wrong) for figure in FIGURES),
                *(self._limit(limit, wrong) for limit in LIMITED),
                self._source(wrong),
            ),
            sentences=_sentences(metal),
            keys=(
                Key("keep", "Keep for the shop", True, not wrong, why=why),
                Key("forget", "Forget own figures", enabled=known, why="parts that use them keep them"),
            ),
            complaint=self.complaint,
            go=go,
        )

    def _take(self) -> None:
        """Begin with the metal in hand, once, and anew where another screen changed what is kept of it; the
        shop's own figures of it as they were typed."""
        given, owned = self.session.metal_in_hand, belongings.owned(self.session)
        name = given if isinstance(given, str) else given["name"]
        limits = owned.limits.get(name, {})
        known = (owned.metals.get(name), limits)
        if self._texts and (self._of, self._known) == (given, known):
            return
        self._of, self._known = given, known
        self._texts = {NAME: name}
        own = self._own()
        self._texts |= {key: _typed(own[key], shown.unit) for key, shown in FIGURES.items() if key in own}
        self._texts |= {
            LIMITS + key: str(value) if key == SOURCE else _typed(value, "%") for key, value in limits.items()
        }

    def _own(self) -> Mapping[str, Any]:
        """The document of the metal in hand, empty where it is one of the program's."""
        if isinstance(self._of, Mapping):
            return self._of
        return belongings.owned(self.session).metals.get(self._of, {})

    def _metal(self) -> core.Metal:
        own = self._own()
        return core.metals_with_own([own])[own["name"]] if own else core.METALS[self._of]

    def _document(self) -> dict[str, Any]:
        """The metal as typed: what is blank is as in the metal that it is like."""
        own = self._own()
        kept = {k: v for k, v in own.items() if k not in FIGURES or isinstance(v, Mapping)}
        typed = {
            name: with_unit(self._texts[name], shown.unit)
            for name, shown in FIGURES.items()
            if self._texts.get(name, "").strip()
        }
        return {**(kept or {"like": self._of}), **typed, NAME: self._texts[NAME].strip()}

    def _limits(self) -> dict[str, str]:
        texts = ((name, self._texts.get(LIMITS + name, "")) for name in LIMITED)
        found = {name: with_unit(text, "%") for name, text in texts if text.strip()}
        source = self._texts.get(LIMITS + SOURCE, "").strip()
        return {**found, SOURCE: source} if found and source else found

    def _wrong(self) -> dict[str, str]:
        """Sentence by field: what the shop cannot keep as it is typed."""
        found: dict[str, str] = {}
        limits = {NAME: self._texts[NAME].strip(), **self._limits()}
        for kind, document, prefix in (("metals", self._document(), ""), ("limits", limits, LIMITS)):
            try:
                core.owned_from(None).adding(kind, document)
            except core.InputError as error:
                field = error.field.removeprefix(f"{kind}.").partition(".")[0]
                found[field if field == NAME else prefix + field] = mistakes.sentence(error)
        return found

    def _figure(self, metal: core.Metal, name: str, wrong: Mapping[str, str]) -> FieldView:
        shown = FIGURES[name]
        figure, none_given = metal.figure(name), name in metal.none_given
        hint = metal_words.NONE_GIVEN if figure is None and none_given else figure_text(figure, shown)
        return self._field(name, shown.label, shown.unit, hint, wrong)

    def _limit(self, name: str, wrong: Mapping[str, str]) -> FieldView:
        return self._field(LIMITS + name, LIMITED[name], "%", FROM_FIGURES, wrong)

    def _source(self, wrong: Mapping[str, str]) -> FieldView:
        name = LIMITS + SOURCE
        typed, hint = self._texts.get(name, ""), "such as: bends of our own, last spring"
        return FieldView(
            name, "Where own limits are from", "text", typed, hint=hint, complaint=wrong.get(name, "")
        )

    def _field(self, name: str, label: str, unit: str, hint: str, wrong: Mapping[str, str]) -> FieldView:
        """Marked as own where something is typed; else what is known without that."""
        typed = self._texts.get(name, "")
        own, keys, said = bool(typed.strip()), UNIT_KEYS.get(unit, ()), wrong.get(name, "")
        whole, unit = (f"{label}: own", unit) if own else (label, "")
        return FieldView(name, whole, "number", typed, unit, hint, complaint=said, unit_keys=keys)

    def _keep(self, _: str) -> str:
        """Figures and limits for the next parts; the set-up takes this metal."""
        name, limits = self._texts[NAME].strip(), self._limits()
        document, owned = self._document(), belongings.owned(self.session)
        if set(document) - {"like", NAME} or name not in core.METALS:
            belongings.keep(self.session, "metals", document)
        elif name in owned.metals:
            belongings.forget(self.session, "metals", name)
        if limits:
            belongings.keep(self.session, "limits", {NAME: name, **limits})
        elif name in owned.limits:
            belongings.forget(self.session, "limits", name)
        return self._leave(name)

    def _forget(self, _: str) -> str:
        """Back to the program's own figures; the parts that use the others keep them."""
        name, owned = self._texts[NAME].strip(), belongings.owned(self.session)
        like = str(self._own().get("like", name))
        for kind in ("metals", "limits"):
            if name in getattr(owned, kind):
                belongings.forget(self.session, kind, name)
        return self._leave(name if name in core.METALS else like)

    def _leave(self, name: str) -> str:
        """Back to the set-up, which takes this metal; or to the list of what the shop owns."""
        self._texts, self.session.metal_in_hand = {}, name
        if self.session.metal_back != "metal":
            return self.session.metal_back
        self.session.metal_kept = name
        return "setup"


def figure_text(figure: core.Figure | None, shown: Shown) -> str:
    """A figure with its unit and its source, "85 MPa or more (EN 485-2)"."""
    if figure is None:
        return metal_words.UNKNOWN
    low, high = (f"{end / shown.size:.4g}" for end in (figure.low, figure.high))
    unit = f" {shown.unit}" if shown.unit else ""
    if figure.by_thickness:
        most = max(least for _, least in figure.by_thickness) / shown.size
        value = f"{low} to {most:.4g}{unit} or more, by thickness"
    elif isnan(figure.high):
        value = f"{low}{unit} or more"
    elif isnan(figure.low):
        value = f"{high}{unit} or less"
    else:
        value = f"{low}{unit}" if low == high else f"{low} to {high}{unit}"
    return f"{value} ({figure.source})"


def _sentences(metal: core.Metal) -> tuple[str, ...]:
    not_at_all = metal.none_given.get("annealing")
    how = f"Annealed: {metal.how}." if metal.how else "How it is annealed is not known here."
    how = f"Not annealed: {not_at_all}." if not_at_all and not metal.how else how
    own = "What is typed is the shop's own and goes before what is known else; left blank, that counts."
    return (own, how, *metal.watch)


def _typed(value: Any, unit: str) -> str:
    """A figure that was kept as a text or a number, a part of one where it is typed in per cent; a range with
    its source is not typed here."""
    if isinstance(value, Mapping):
        return ""
    return value if isinstance(value, str) else f"{100 * value if unit == '%' else value:.6g}"
