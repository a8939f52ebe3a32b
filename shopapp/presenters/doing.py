"""What strokes of an action do at a part, as a word and as a sign: some sites are folded with the tool."""

from __future__ import annotations

from collections.abc import Sequence

import core
from shopapp.presenters import wording

FOLDS = {"fold up": "fold_up", "fold back": "fold_back"}
"""sign of strokes that fold"""


def done_by(sites: core.Sites, action: str, strokes: Sequence[int] | None = None) -> str:
    """What strokes of an action do, "Shrink", "Fold up", "Shrink, fold up"; "" is smoothing."""
    return wording.capital(sites.done_by(action, strokes)) if action else wording.SMOOTH


def sign(sites: core.Sites, action: str, strokes: Sequence[int] | None = None) -> str:
    """The sign for it; of folding only where nothing else is done."""
    first = sites.words(action, strokes)[0] if action else ""
    return {**wording.ARROWS, **FOLDS}.get(first, "")
