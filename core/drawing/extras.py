"""What is said where a package that only drawings or records need is not installed."""

from __future__ import annotations

from core.errors import InputError


def missing_extra(
    form: str, package: str, extra: str = "drawings", instead: str = "draw it as svg"
) -> InputError:
    """The error for a form whose package is missing. extra : that brings it; instead : what needs none"""
    wanted = f"the package {package} is wanted for it: pip install 'gapwright[{extra}]', or {instead}"
    return InputError("form", form, wanted)
