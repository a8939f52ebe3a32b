"""A gauge of the shop's own: what it reads, how well, and when it was calibrated."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shopapp.presenters.own_thing import NAME, OwnThingPresenter
from shopapp.presenters.pieces import Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import Draft, with_unit
from shopapp.presenters.setup_fields import Field

MONTHS = "months"
FIELDS = (
    Field(NAME, "Name", "", "text", hint="dial 2"),
    Field("step", "Smallest step, where it reads gaps", hint="0.01"),
    Field("repeatability", "Repeatability, standard deviation", hint="0.02"),
    Field("largest", "Largest gap that it reads", hint="25"),
    Field("uncertainty", "Standard uncertainty, by its calibration", hint="0.05 deg, or 0.005"),
    Field("calibrated", "Calibrated on", "", "text", hint="2026-11-25: year, month, day"),
    Field("interval_months", "Holds for", MONTHS, hint="12"),
)


class OwnGaugePresenter(OwnThingPresenter):
    """Key besides: today."""

    kind, title = "gauges", "A gauge of our own"
    said = (
        "A gauge under a name that the program knows, such as feeler leaves, needs only what differs. One "
        "that reads checks alone, a micrometer or a protractor, has no step and needs its uncertainty.",
        "Once its last day is past, readings and sign-off are warned; nothing is refused.",
    )

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches["today"] = self._today

    def fields(self) -> tuple[Field, ...]:
        """See the base."""
        return FIELDS

    def taken(self, document: Mapping[str, Any]) -> Draft:
        """See the base."""
        return Draft({spec.name: f"{document[spec.name]}" for spec in FIELDS if spec.name in document})

    def document(self, draft: Draft, known: Mapping[str, Any]) -> dict[str, Any]:
        """See the base."""
        typed = {spec: draft.text(spec).strip() for spec in FIELDS}
        return {
            spec.name: text if spec.unit == MONTHS else with_unit(text, spec.unit)
            for spec, text in typed.items()
            if text
        }

    def further_keys(self) -> tuple[Key, ...]:
        """See the base."""
        return (Key("today", "Calibrated today", why="puts today's day in"),)

    def _today(self, _: str) -> None:
        self._type("calibrated", self.session.now().date().isoformat())
