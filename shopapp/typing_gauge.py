"""Numbers from a keyboard, a scanner or a gauge that types. No kivy here.

Key codes are mapped here, because the text that the window reports for keypad keys is wrong and
stops altogether once a text field has lost the focus.
"""

from __future__ import annotations

ENTER, ERASE, BACK, FORWARD, BACKWARD, HELP = "enter", "erase", "back", "forward", "backward", "help"
LEFT, RIGHT, UP, DOWN, MAIN = "left", "right", "up", "down", "main"

ACTIONS = {
    13: ENTER,
    271: ENTER,
    8: ERASE,
    127: ERASE,
    27: BACK,
    282: HELP,
    276: LEFT,
    275: RIGHT,
    273: UP,
    274: DOWN,
    279: MAIN,
}
"""Key code to what it means: Enter, keypad Enter, backspace, delete, escape, F1, arrows, End"""

TAB = 9
KEYPAD = {**{256 + n: str(n) for n in range(10)}, 266: ".", 267: "/", 269: "-", 270: "+"}
DIGIT_ROW = {30 + n: "1234567890"[n] for n in range(10)}
"""Place of a key to its digit: a French row writes digits only with Shift, a scanner does not press it"""

PRINTED = set("0123456789.,-+/ abcdefghijklmnopqrstuvwxyz\"'")


def action_of(code: int, modifiers: list[str]) -> str | None:
    """What a key does, or None when it writes something."""
    if code == TAB:
        return BACKWARD if "shift" in modifiers else FORWARD
    return ACTIONS.get(code)


def written_by(code: int, place: int, text: str | None, modifiers: list[str]) -> str:
    """The character that a key writes, or "" for none.

    code : of the key's meaning; place : of the key's position; text : what the window says it writes.
    """
    if {"ctrl", "alt", "meta"} & set(modifiers):
        return ""
    if code in KEYPAD:
        return KEYPAD[code]
    if place in DIGIT_ROW:
        return DIGIT_ROW[place]
    if code >= 256 or not text or text.lower() not in PRINTED:
        return ""
    return text.upper() if "shift" in modifiers or "capslock" in modifiers else text
