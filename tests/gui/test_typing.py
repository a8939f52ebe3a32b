"""What a keyboard, a scanner or a gauge that types writes, by key code and place."""

from __future__ import annotations

import pytest

from shopapp import typing_gauge as gauge


@pytest.mark.parametrize(
    ("code", "place", "text", "modifiers", "written"),
    [
        (ord("3"), 0, "3", [], "3"),
        (259, 0, "ć", [], "3"),  # keypad 3: kivy reports a letter that is not there
        (266, 0, "x", [], "."),
        (269, 0, None, [], "-"),
        (ord(","), 0, ",", [], ","),
        (ord("é"), 31, "é", [], "2"),  # second key of a French digit row
        (ord("&"), 30, "&", ["shift"], "1"),
        (ord("a"), 4, "a", [], "a"),
        (ord("a"), 4, "a", ["shift"], "A"),
        (ord("c"), 6, "c", ["ctrl"], ""),
        (304, 225, None, ["shift"], ""),
        (ord("ß"), 45, "ß", [], ""),
    ],
)
def test_what_a_key_writes(code: int, place: int, text: str, modifiers: list[str], written: str) -> None:
    """Codes 256 to 271 are the keypad; places 30 to 39 the digit row (USB HID usage tables)."""
    assert gauge.written_by(code, place, text, modifiers) == written


@pytest.mark.parametrize(
    ("code", "modifiers", "action"),
    [
        (13, [], gauge.ENTER),
        (271, [], gauge.ENTER),
        (8, [], gauge.ERASE),
        (27, [], gauge.BACK),
        (282, [], gauge.HELP),
        (9, [], gauge.FORWARD),
        (9, ["shift"], gauge.BACKWARD),
        (ord("1"), [], None),
    ],
)
def test_what_a_key_does(code: int, modifiers: list[str], action: str | None) -> None:
    """Both Enter keys, Escape, F1, Tab both ways."""
    assert gauge.action_of(code, modifiers) == action
