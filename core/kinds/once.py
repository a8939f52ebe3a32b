"""What a part is, asked once for each class."""

from __future__ import annotations

from typing import Any, Protocol

_FOUND: dict[tuple[type, type], bool] = {}


class OnceAClass(type(Protocol)):  # type: ignore[misc]
    """Of protocols that say what a kind of part has, for ``isinstance``: a refit asks hundreds of times, and
    Python looks up every name of a protocol each time, a tenth of a dish's advice."""

    def __instancecheck__(cls, instance: Any) -> bool:
        """Whether the class of this part has all of it; so have all its parts."""
        asked = cls, type(instance)
        if asked not in _FOUND:
            _FOUND[asked] = bool(super().__instancecheck__(instance))
        return _FOUND[asked]
