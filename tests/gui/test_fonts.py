"""Every letter that the app can show is in the font: none comes out as a box or as nothing."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from kivy import kivy_data_dir

import shopapp
from shopapp.widgets.glyphs import LETTERS

FONTS = ("Roboto-Regular.ttf", "Roboto-Bold.ttf")
SOURCES = sorted(Path(shopapp.__file__).parent.rglob("*.py"))


def letters_of(font: str) -> set[str]:
    """Everything that a font of kivy's can draw."""
    return {chr(code) for code in TTFont(Path(kivy_data_dir) / "fonts" / font).getBestCmap()}


def shown_strings(path: Path) -> set[str]:
    """Every string of a module that is not a docstring."""
    tree = ast.parse(path.read_text("utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    constants = (n for n in ast.walk(tree) if isinstance(n, ast.Constant) and id(n) not in docs)
    return {n.value for n in constants if isinstance(n.value, str)}


@pytest.mark.parametrize("font", FONTS)
def test_every_string_can_be_drawn(font: str) -> None:
    """All strings in all modules of the app, in regular and bold."""
    known = letters_of(font) | {"\n", "\b", "\r", "\t"}
    missing = {
        (path.name, text): set(text) - known
        for path in SOURCES
        for text in shown_strings(path)
        if set(text) - known
    }
    keys_that_are_typed = {(name, text) for name, text in missing if name == "typing_gauge.py"}
    assert set(missing) - keys_that_are_typed == set()


def test_letters_of_drawings_are_in_the_font() -> None:
    """The sheet of letters that strips are set from holds nothing that the font lacks."""
    assert set("".join(LETTERS)) <= letters_of(FONTS[0])


def test_a_missing_letter_would_be_found() -> None:
    """The font has no arrow: the check above can fail."""
    assert "→" not in letters_of(FONTS[0])


def test_a_number_is_not_parted_from_its_unit() -> None:
    """Nor from its band; where all of it is too wide for a line, no letter is lost."""
    from shopapp.widgets.textures import extent, wrapped

    text = "Outside tolerance, 1.07 ± 0.08 mm"
    width = extent("Outside tolerance, 1.07 ± 0.08", 20.0)
    assert wrapped(text, width, 20.0) == ("Outside tolerance,", "1.07 ± 0.08 mm")
    assert wrapped(text, extent("tolerance,", 20.0), 20.0)[:2] == ("Outside", "tolerance,")
    for share in (0.2, 0.4, 0.6, 0.8, 1.0):
        lines = wrapped(text, share * width, 20.0)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")
        assert all(extent(line, 20.0) <= share * width for line in lines)
