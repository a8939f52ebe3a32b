"""Photos that lie in the shop's folder for them, the newest as keys to be touched."""

from __future__ import annotations

from shopapp.dropped import PHOTOS, Dropped
from shopapp.presenters.pieces import Key
from shopapp.presenters.session import Session

ENDINGS = ("jpg", "jpeg", "png", "webp")
MOST = 3
"""keys; any other photo is named by typing"""


def keys(session: Session, chosen: str) -> tuple[Key, ...]:
    """The newest photos by the time that they were taken; none where the folder cannot be read. chosen : path
    of the one that is taken"""
    try:
        found = session.folders.photos.listing(ENDINGS)[:MOST]
    except OSError:
        return ()
    return tuple(
        Key(f"photo:{one.name}", _told(session, one), chosen=path(one.name) == chosen, why=one.name)
        for one in found
    )


def path(name: str) -> str:
    """Below the data folder, as a check keeps it."""
    return f"{PHOTOS}/{name}"


def _told(session: Session, one: Dropped) -> str:
    today = one.changed.date() == session.now().date()
    return f"Photo {one.changed:%H:%M:%S}" if today else f"Photo {one.changed:%Y-%m-%d %H:%M}"
