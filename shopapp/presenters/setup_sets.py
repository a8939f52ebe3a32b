"""What the shop owns, copied into a set-up: a tool set, a machine, a metal with the shop's limits for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import setup_draft, setup_machine
from shopapp.presenters import setup_fields as fields
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import Field

MORE = "more_tools"
"""sets that lie ready besides the one that is chosen or typed, as the document has them"""
SETS = {"tools": "tool", "machines": "machine"}
"""what the shop owns several of, and the part of the document that one of them fills"""


def taking(draft: Draft, name: str, value: str, owned: core.Owned) -> Draft:
    """The draft with a choice made, and what the shop owns under that name copied in."""
    if name == MORE:
        return _with_more(draft, value, owned)
    draft = draft.with_choice(name, value)
    if name == "tools" and value in more_names(draft):
        draft = _with_more(draft, value, owned)
    if name == "gauge":
        return _with_own(draft, name, value, owned.gauges, core.GAUGES)
    if name in SETS and value:
        return _with_set(draft, SETS[name], getattr(owned, name)[value])
    if name != "material":
        return draft
    return with_limits(_with_own(draft, name, value, owned.metals, core.METALS), owned)


def more_names(draft: Draft) -> tuple[str, ...]:
    """Names of the sets that lie ready besides."""
    return tuple(str(one.get("name", "")) for one in draft.kept.get(MORE, ()))


def _with_more(draft: Draft, name: str, owned: core.Owned) -> Draft:
    """With this set lying ready too, or no longer."""
    kept = {key: value for key, value in draft.kept.items() if key != MORE}
    more = [one for one in draft.kept.get(MORE, ()) if one.get("name") != name]
    if name not in more_names(draft):
        more.append(dict(owned.tools[name]))
    return replace(draft, kept={**kept, MORE: more} if more else kept)


def no_longer(draft: Draft, field: str) -> Draft:
    """The draft as this field of it is typed into: a set that is changed is no longer the shop's."""
    found = (kind for kind, part in SETS.items() if field.startswith(f"{part}.") and draft.choice(kind))
    return next((draft.with_choice(kind, "") for kind in found), draft)


def of_the_shop(draft: Draft, owned: core.Owned) -> set[str]:
    """Parts of the document that a set or a machine of the shop fills, whose fields need not be typed."""
    return {part for kind, part in SETS.items() if draft.choice(kind) in getattr(owned, kind)}


def renewed(draft: Draft, owned: core.Owned) -> Draft:
    """The draft with what it has of the shop's as that is kept now; as it was typed where that is gone."""
    for kind, part in SETS.items():
        name = draft.choice(kind)
        if name in getattr(owned, kind):
            draft = _with_set(draft, part, getattr(owned, kind)[name])
        elif name:
            draft = draft.with_choice(kind, "")
    more = [dict(owned.tools.get(one.get("name"), one)) for one in draft.kept.get(MORE, ())]
    return replace(draft, kept={**draft.kept, MORE: more}) if more else draft


def told(draft: Draft, part: str) -> str:
    """What this part of the shop's is like, in a line."""
    shown = {"tool": fields.TOOL, "machine": fields.MACHINE}
    return f"{_in_words(draft, part, shown[part])}."


def _in_words(draft: Draft, part: str, specs: tuple[Field, ...]) -> str:
    """ "ribs: patch length of one stroke 20 mm, ..., light 0.4" """
    name = draft.texts.get(f"{part}.name", "")
    typed = ((spec, draft.text(spec).strip()) for spec in specs if spec.name != f"{part}.name")
    said = [
        f"{spec.label.partition(',')[0].lower()} {setup_draft.with_unit(text, spec.unit)}"
        for spec, text in typed
        if text
    ]
    if part == "tool":
        bites = draft.rows(fields.BITES)
        said += [f"{bite} {strength}{f' at {at}' if at.strip() else ''}" for bite, strength, at in bites]
    return f"{name}: {', '.join(said)}"


def with_limits(draft: Draft, owned: core.Owned) -> Draft:
    """With the shop's own limits for the metal that is chosen, in place of those of another."""
    kept = {name: value for name, value in draft.kept.items() if name != "limits"}
    own = owned.limits.get(draft.choice("material"))
    return replace(draft, kept={**kept, "limits": {"source": "the shop", **own}} if own else kept)


def _with_own(
    draft: Draft, part: str, name: str, own: Mapping[str, Any], brought: Mapping[str, Any]
) -> Draft:
    """The shop's own goes before what the program brings; without any, an earlier job's gives way to that."""
    kept = dict(draft.kept.get(part, {}))
    if name in own:
        kept[name] = dict(own[name])
    elif name in brought:
        kept.pop(name, None)
    return replace(draft, kept={**draft.kept, part: kept})


def _with_set(draft: Draft, part: str, given: Mapping[str, Any]) -> Draft:
    """A tool set or a machine in place of what was typed of another."""
    texts = {name: text for name, text in draft.texts.items() if not name.startswith(f"{part}.")}
    tables = {name: rows for name, rows in draft.tables.items() if not name.startswith(f"{part}.")}
    kept = {**draft.kept, part: setup_draft.unshown(part, given)}
    draft = setup_draft.take_texts(replace(draft, texts=texts, tables=tables, kept=kept), part, given)
    if part == "machine":
        draft = setup_draft.take_texts(draft, part, setup_machine.ends(given))
    return setup_draft.take_bites(draft, given) if "bites" in given else draft
