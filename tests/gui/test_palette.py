"""Contrast of the palettes, and that states stay apart for colour-blind eyes."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from shopapp.palette import BRIGHT, DIM, PALETTES, Palette, contrast, luminance

TEXT = ("ink", "quiet", "ok", "over", "under", "todo")
GROUNDS = ("ground", "panel", "band")

# Simulation of protanopia, deuteranopia and tritanopia in linear RGB: G. M. Machado, M. M. Oliveira and
# L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE TVCG
# 15(6), 2009, severity 1.0. Coefficients from memory.
EYES = {
    "full": np.eye(3),
    "protan": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "deutan": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                        [-0.011820, 0.042940, 0.968881]]),
    "tritan": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                        [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip


@pytest.mark.parametrize("palette", PALETTES.values(), ids=lambda p: p.name)
def test_text_stands_out(palette: Palette) -> None:
    """At least 7:1 on everything that text stands on (WCAG 2.1, success criterion 1.4.6)."""
    for text in TEXT:
        for ground in GROUNDS:
            assert contrast(getattr(palette, text), getattr(palette, ground)) >= 7.0, (text, ground)
    assert contrast(palette.on_go, palette.go) >= 7.0
    assert contrast(palette.ground, palette.ink) >= 7.0  # a pressed key


@pytest.mark.parametrize("palette", PALETTES.values(), ids=lambda p: p.name)
def test_lines_and_the_main_key_can_be_seen(palette: Palette) -> None:
    """At least 3:1 for what is not text (WCAG 2.1, success criterion 1.4.11)."""
    for ground in GROUNDS:
        assert contrast(palette.rule, getattr(palette, ground)) >= 3.0
    assert contrast(palette.go, palette.ground) >= 3.0


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("palette", PALETTES.values(), ids=lambda p: p.name)
def test_states_stay_apart(palette: Palette, eye: str) -> None:
    """CIE 1976 difference of at least 20 between any two states; their shapes tell them apart besides."""
    for one, other in combinations(("ok", "over", "under"), 2):
        apart = np.linalg.norm(_lab(getattr(palette, one), eye) - _lab(getattr(palette, other), eye))
        assert apart >= 20.0, (one, other, apart)


def test_luminance_at_the_ends() -> None:
    """Black and white have contrast 21:1 (WCAG 2.1, definition of contrast ratio)."""
    assert luminance("FFFFFF") == pytest.approx(1.0)
    assert luminance("000000") == 0.0
    assert contrast("000000", "FFFFFF") == pytest.approx(21.0)
    assert contrast("777777", "FFFFFF") == pytest.approx(
        4.48, abs=0.01
    )  # WebAIM's contrast page, from memory


def test_every_role_is_a_colour() -> None:
    """Six hex digits each, and opaque when drawn."""
    for palette in (BRIGHT, DIM):
        for role, colour in palette.roles().items():
            assert len(colour) == 6 and int(colour, 16) >= 0
            assert palette.rgba(role)[3] == 1.0
    assert BRIGHT.rgba("plain") == BRIGHT.rgba("ink")


def _lab(colour: str, eye: str) -> np.ndarray:
    """CIE L*a*b* under D65, as seen by an eye."""
    srgb = np.array([int(colour[i : i + 2], 16) / 255 for i in (0, 2, 4)])
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    seen = np.clip(EYES[eye] @ linear, 0, 1)
    to_xyz = np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750],
                       [0.0193339, 0.1191920, 0.9503041]])  # fmt: skip
    ratio = to_xyz @ seen / np.array([0.95047, 1.0, 1.08883])
    f = np.where(ratio > 0.008856, np.cbrt(ratio), 7.787 * ratio + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])
