"""A tool set and a machine of the shop's own, with all that a job's document may hold of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import setup_draft, setup_machine
from shopapp.presenters import setup_fields as fields
from shopapp.presenters.own_thing import OwnThingPresenter
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import Field

LIMITS = "thickness_limits"
KEPT = "Parts that were begun with it keep it as it was; a set-up that is not started yet takes the change."


class OwnToolPresenter(OwnThingPresenter):
    """A tool set with its bites."""

    kind, prefix, title, table = "tools", "tool.", "A tool set of our own", fields.BITES
    said = (
        "Bites by their strength: 1 does the strain of a stroke, 0.4 four tenths of it. The ram setting is a "
        "length, or the name of a mark such as notch 3.",
        "The inside angle is that between the worked flange and the metal beside it, 90° for an angle bar.",
        "What lies free between the gripping halves is a quarter of the patch where nothing is typed.",
        KEPT,
    )

    def fields(self) -> tuple[Field, ...]:
        """See the base."""
        return (_named(fields.TOOL[0], "ribs"), *fields.TOOL[1:], *fields.TOOL_MORE)

    def taken(self, document: Mapping[str, Any]) -> Draft:
        """See the base."""
        draft = setup_draft.take_texts(Draft(), "tool", document)
        does = document.get("actions", [])
        if len(does) == 1:
            draft = draft.with_text("tool.actions", does[0])
        return setup_draft.take_bites(draft, document) if "bites" in document else draft

    def document(self, draft: Draft, known: Mapping[str, Any]) -> dict[str, Any]:
        """See the base."""
        typed, bites = _typed(draft, self.fields()), setup_draft.bites_of(draft.rows(fields.BITES))
        does = typed.pop("actions")
        made = {**typed, **{name: given for name, given in bites.items() if given}}
        return made if does == fields.BOTH else {**made, "actions": [does]}


class OwnMachinePresenter(OwnThingPresenter):
    """A machine, with the thickest that it takes of each metal."""

    kind, prefix, title = "machines", "machine.", "A machine of our own"
    said = (
        "The thickest of a metal goes before what follows from the rating. What is blank holds nothing back.",
        "Feed: how fast the edge is moved through, by the machine or by hand; passes are kept within it.",
        KEPT,
    )

    def fields(self) -> tuple[Field, ...]:
        """See the base; a metal that the machine's table names besides its family too."""
        families = dict.fromkeys(metal.family for metal in core.METALS.values())
        named = dict.fromkeys([*families, *self._known.get(LIMITS, {})])
        thickest = (
            Field(
                f"machine.{LIMITS}.{name}",
                f"Thickest {name}",
                hint="2",
                may_be_blank=True,
                beside=bool(i % 2),
            )
            for i, name in enumerate(named)
        )
        machine = (_named(fields.MACHINE[0], "bench machine"), *fields.MACHINE[1:])
        return (*machine, *thickest)

    def taken(self, document: Mapping[str, Any]) -> Draft:
        """See the base."""
        draft = setup_draft.take_texts(Draft(), "machine", document)
        draft = setup_draft.take_texts(draft, f"machine.{LIMITS}", document.get(LIMITS, {}))
        return setup_draft.take_texts(draft, "machine", setup_machine.ends(document))

    def document(self, draft: Draft, known: Mapping[str, Any]) -> dict[str, Any]:
        """See the base."""
        return setup_machine.document(_typed(draft, self.fields()))


def _named(name: Field, hint: str) -> Field:
    """What the shop keeps has to have a name."""
    return replace(name, hint=hint, may_be_blank=False)


def _typed(draft: Draft, specs: tuple[Field, ...]) -> dict[str, str]:
    """What is typed of these fields, by path within the part; the name always, so that it is asked for."""
    texts = {spec.name.partition(".")[2]: setup_draft.as_typed(spec, draft.text(spec)) for spec in specs}
    return {path: text for path, text in texts.items() if text or path == "name"}
