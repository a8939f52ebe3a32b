"""What is said where a package that only drawings need is not installed."""

from __future__ import annotations

from core.errors import InputError


def missing_extra(form: str, package: str) -> InputError:
    """The error for a form of drawing whose package is missing."""
    wanted = f"the package {package} is wanted for it: pip install 'gapwright[drawings]', or draw it as svg"
    return InputError("form", form, wanted)
