"""What the shop owns and knows, among its settings: its metals, tool sets, machines, limits of its metals."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters.session import Session

STORED = "owned"
"""name of all of it among the shop's settings"""


def owned(session: Session) -> core.Owned:
    """All that the shop owns; what cannot be read is left out and named in it."""
    return core.owned_from(session.shop.settings.get(STORED))


def gauges(session: Session) -> core.Owned:
    """Its gauges alone, quicker: they are looked up at every reading."""
    stored = session.shop.settings.get(STORED)
    found = stored.get("gauges") if isinstance(stored, dict) else None
    return core.owned_from({"gauges": found})


def keep(session: Session, kind: str, document: dict[str, Any]) -> None:
    """Keep this, in place of what had its name; on disk when this returns.

    Raises core.InputError naming the field that is wrong, core.StoreError.
    """
    session.shop.settings.set(STORED, owned(session).adding(kind, document).document)


def forget(session: Session, kind: str, name: str) -> None:
    """Keep this no longer; no job is changed. Raises core.InputError where there is none, core.StoreError."""
    session.shop.settings.set(STORED, owned(session).without(kind, name).document)
