"""The focus of a keyboard: seen where it is, and nothing at all drawn where it is not."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.gui


def test_a_key_without_the_focus_draws_no_frame(start: Any) -> None:
    """Software fills what cannot be seen too: an unseen frame on every key was most of a picture's cost."""
    driver = start()
    driver.idle(2)
    key = driver.key_named("new")
    assert key._focus.vertices == []
    driver.key("tab")
    focused = [k for k in driver.widgets(type(key)) if k.focused]
    assert len(focused) == 1
    assert len(focused[0]._focus.vertices) == 8 * 4
    assert sum(bool(k._focus.vertices) for k in driver.widgets(type(key))) == 1
