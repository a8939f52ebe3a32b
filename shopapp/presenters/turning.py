"""The line of a set-up turned over, so that the worked edge is on its other side."""

from __future__ import annotations

from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import Field
from shopapp.presenters.setup_kinds import Form

SIGNED = ("line.radius", "line.rise")
MINUS = ("-", "\N{MINUS SIGN}")


def turned(draft: Draft) -> Draft:
    """The draft with its line turned over: radius, rise or y of the opposite sign, whatever else is typed."""
    form = draft.form
    for spec in _signed(form):
        draft = draft.with_text(spec.name, opposite(draft.text(spec)))
    if form.table is None:
        return draft
    rows = tuple((row[0], opposite(row[1])) for row in draft.rows(form.table))
    return draft.with_rows(form.table, rows)


def has_sides(draft: Draft) -> bool:
    """Whether the line is one that can be turned over."""
    return any(_signed(form) for form in draft.kind.forms.values())


def can_turn(draft: Draft) -> bool:
    """False while nothing is typed that has a side."""
    form = draft.form
    cells = [] if form.table is None else [row[1] for row in draft.rows(form.table)]
    return any(opposite(text) != text for text in (*map(draft.text, _signed(form)), *cells))


def opposite(text: str) -> str:
    """A typed number with the other sign; what is blank or nothing but zero stays."""
    typed = text.strip()
    if not any(c in "123456789" for c in typed):
        return text
    if typed.startswith(MINUS):
        return typed[1:].lstrip()
    return f"-{typed.removeprefix('+').lstrip()}"


def _signed(form: Form) -> list[Field]:
    """Fields whose sign says the side."""
    return [spec for spec in form.fields if spec.name in SIGNED]
