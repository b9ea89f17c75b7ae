"""Contrast by the WCAG 2.2 formula: its published figures, and what we draw captions and cards in."""

from __future__ import annotations

import re

import pytest

from scriptkit.drawing.layout import ALARM, BRIGHT, PANEL, PANEL_OPACITY, QUIET, WHITE
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.ttml import write_ttml

ENOUGH = 4.5
"""WCAG 2.2, success criterion 1.4.3, for text of any size."""


def rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return red, green, blue


def luminance(colour: tuple[float, float, float]) -> float:
    """Relative luminance (WCAG 2.2)."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def over(panel: str, opacity: float, picture: str) -> tuple[float, float, float]:
    """What a panel shows over a picture of one colour."""
    red, green, blue = (opacity * p + (1 - opacity) * b for p, b in zip(rgb(panel), rgb(picture), strict=True))
    return red, green, blue


# The formula of WCAG 2.2 for these pairs; no rounding: #777777 on white is not enough, #949494 is for large text.
@pytest.mark.parametrize(
    ("text", "ground", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#767676", "#ffffff", 4.542), ("#777777", "#ffffff", 4.478),
     ("#ffff00", "#000000", 19.556), ("#ff0000", "#ffffff", 3.998), ("#949494", "#ffffff", 3.034),
     ("#959595", "#ffffff", 2.995)],
)  # fmt: skip
def test_published_ratios(text: str, ground: str, ratio: float) -> None:
    assert contrast(rgb(text), rgb(ground)) == pytest.approx(ratio, abs=0.001)


@pytest.mark.parametrize("picture", ["#ffffff", "#000000", "#ff0000", "#00ff00", "#0000ff", "#ffff00", "#777777"])
@pytest.mark.parametrize("colour", [WHITE, QUIET, BRIGHT, ALARM])
def test_cards_can_be_read_over_any_picture(colour: str, picture: str) -> None:
    assert contrast(rgb(f"#{colour}"), over(f"#{PANEL}", PANEL_OPACITY, picture)) >= ENOUGH


def test_ttml_captions_can_be_read_over_any_picture() -> None:
    text = write_ttml([Cue(start_ms=0, end_ms=2_000, lines=("x",), track="time")], "t")
    found = re.search(r'tts:color="white" tts:backgroundColor="(#\w{6})(\w\w)"', text)
    assert found
    assert contrast((1, 1, 1), over(found.group(1), int(found.group(2), 16) / 255, "#ffffff")) >= ENOUGH
