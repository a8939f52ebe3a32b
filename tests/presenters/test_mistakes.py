"""What goes wrong is said in plain sentences: no paths of files, no forms of the program."""

from __future__ import annotations

import errno
import logging
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

import core
from shopapp.presenters import mistakes
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter


def refused(code: int) -> core.StoreError:
    """As the store raises it for what the operating system says."""
    try:
        try:
            raise OSError(code, os.strerror(code))
        except OSError as error:
            raise core.StoreError("/data/parts/rib.json", f"it could not be written ({error})") from error
    except core.StoreError as error:
        return error


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (errno.ENOSPC, "make room there, then touch again"),
        (errno.EROFS, "may not be written to"),
        (errno.EACCES, "may not be written to"),
        (errno.EIO, "does not work"),
        (errno.EBUSY, "it could not be written"),
    ],
)
def test_what_could_not_be_written_says_what_to_do(
    code: int, said: str, caplog: pytest.LogCaptureFixture
) -> None:
    """The file is named in the log alone."""
    with caplog.at_level(logging.ERROR):
        text = mistakes.not_written(refused(code))
    assert text.startswith("Not written: ") and said in text
    assert "rib.json" not in text and "rib.json" in caplog.text


def test_a_folder_that_is_a_file_on_a_real_disk(tmp_path: Path) -> None:
    """The store's own error, as it comes."""
    (tmp_path / "shop").write_text("in the way", "utf-8")
    with pytest.raises(core.StoreError) as caught:
        core.Shop(tmp_path / "shop")
    assert "something else lies where its folder should be" in mistakes.not_written(caught.value)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("5 kg", "“5 kg”: a length is wanted"),
        (0.25, "“0.25”: a length is wanted"),
        ([12.0, 3.5], "“12; 3.5”: a length is wanted"),
        (None, "a length is wanted"),
        ("", "a length is wanted"),
        ([], "a length is wanted"),
        ("[]", "a length is wanted"),
        ({"radius": "5 mm"}, "a length is wanted"),
        ([[1, 2], [3, 4]], "a length is wanted"),
        ((None, 1.0), "a length is wanted"),
        (["1"] * 30, "a length is wanted"),
    ],
)
def test_only_what_somebody_typed_is_repeated(value: object, said: str) -> None:
    """Whole forms and tables are marked where they stand."""
    assert mistakes.sentence(core.InputError("line", value, "a length is wanted")) == said


def test_an_empty_and_a_too_far_turning_line_are_told_in_words() -> None:
    """Two rows that turn 3 and 6 rad: 516°, by the definition of the radian."""
    setup = SetupPresenter(Session(core.Shop(core.MemoryFolder()), lambda: datetime(2026, 3, 14, tzinfo=UTC)))
    setup.change("name", "Rib")
    setup.press("step:line")
    setup.press("choose:form=segments")
    blank = setup.press("step:plan").complaints
    assert blank and not [text for text in blank if set("[]{}") & set(text)]
    setup.press("step:line")
    for row, cells in enumerate([("1500", "500"), ("3000", "500")]):
        for column, text in enumerate(cells):
            setup.change(f"line.segments[{row}][{column}]", text)
    told = [text for text in setup.press("step:plan").complaints if "516°" in text]
    assert len(told) == 1 and not set("[]{}'") & set(told[0])
