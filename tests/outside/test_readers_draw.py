"""Captions as readers draw them, by their pixels: centred, inside the safe area, the box behind the words, nothing on anything."""

from __future__ import annotations

import shutil
import subprocess
from typing import Any

import pytest
from drawn import in_chromium, in_imsc

from scriptkit.captions.composing.text_width import thousandths
from scriptkit.captions.proofing.vtt_rules import webvtt_rules
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.timed_text.reading import parse_captions
from scriptkit.timed_text.ttml import write_ttml
from scriptkit.timed_text.webvtt import write_vtt

SIZES = [(640, 360), (1280, 720), (360, 640)]
LINES = {
    "one": ("Butter 28 g (2 tbsp)",),
    "two": ("Celeriac 602 g (about 3 ¾ cups)", "Stock 1.2 l, hot"),
    "a figure at each end": ("1 W", "W 1"),
}
TRACKS = ["addition", "macros", "safety", "dialogue", "dialogue raised", "dialogue central", "dialogue upper"]


def cue(lines: tuple[str, ...], track: str) -> Cue:
    return Cue(start_ms=0, end_ms=1_900, lines=lines, track=track)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("lines", LINES)
def test_chromium_draws_webvtt_centred_and_safe(browser: Any, ffmpeg: str, size: tuple[int, int], lines: str) -> None:
    shape = size[0] / size[1]
    for track in ("addition", "macros", "safety"):
        drawn = in_chromium(browser, ffmpeg, write_vtt([cue(LINES[lines], track)], "t", shape), size)
        assert drawn is not None
        assert abs(drawn.off_centre) <= 0.5
        assert drawn.left >= 5 and drawn.right <= 95 and drawn.top >= 5
        assert drawn.foot <= (95.5 if shape > 1 else 80.5)


def test_chromium_centres_a_line_that_is_wider_than_the_safe_area(browser: Any, ffmpeg: str) -> None:
    def drawn(letters: str) -> Any:
        return in_chromium(browser, ffmpeg, write_vtt([cue((letters,), "addition")], "t"), (640, 360))

    some = drawn("m" * 19)
    assert abs(some.off_centre) <= 0.5
    # how wide a letter is depends on the fonts of the machine
    wide = drawn("m" * round(19 * 94 / (some.right - some.left)))
    assert wide.right - wide.left > 90
    assert abs(wide.off_centre) <= 0.5


SCRIPTS = {
    "Thai": "น้ำมันมะพร้าว 28 g", "Devanagari": "नारियल तेल 28 g", "Arabic": "زبدة 28 g", "Persian, kept apart": "می\u200cخواهم 28 g",
    "Han and kana": "魚のスープ 200 ml", "Hangul": "한국 된장 28 g", "emoji": "\U0001f469\U0001f3fd\u200d\U0001f373 28 g", "Hebrew": "חמאה רכה 28 g",
}  # fmt: skip


LANGUAGES = {
    "Thai": "th",
    "Devanagari": "hi",
    "Arabic": "ar",
    "Persian, kept apart": "fa",
    "Han and kana": "ja",
    "Hangul": "ko",
    "Hebrew": "he",
}


def has_font(language: str) -> bool:
    """Whether fontconfig knows a font for it on this machine."""
    if not language or shutil.which("fc-list") is None:
        return False
    return bool(subprocess.run(["fc-list", f":lang={language}"], capture_output=True, check=False).stdout.strip())


@pytest.mark.parametrize("script", SCRIPTS)
def test_other_scripts_are_drawn_centred_and_about_as_wide_as_they_are_taken_for(
    browser: Any, ffmpeg: str, script: str
) -> None:
    """In both readers, at the size of type that browsers take (5.34 % of the height): a line is never much wider than it is counted, so
    that what fits by the count fits in the picture."""
    line = isolated(SCRIPTS[script])
    ems = thousandths(line) / 1000
    for draw, text, percent in (
        (in_chromium, write_vtt([cue((line,), "addition")], "t"), 5.34),
        (in_imsc, write_ttml([cue((line,), "addition")], "t", font_percent=5.34), 5.34),
    ):
        drawn = draw(browser, ffmpeg, text, (1280, 720))
        assert drawn is not None
        assert abs(drawn.off_centre) <= 1.0
        assert drawn.left >= 5 and drawn.right <= 95
        counted = ems * percent * 720 / 1280
        if not has_font(LANGUAGES.get(script, "")):
            continue  # each mark is then drawn as a box of its own
        assert drawn.right - drawn.left <= counted * 1.25 + 2


@pytest.mark.parametrize("size", SIZES)
def test_imsc_draws_the_box_behind_the_words(browser: Any, ffmpeg: str, size: tuple[int, int]) -> None:
    """No bar across the frame: the box of a short line is short, and each line has its own."""
    shape = size[0] / size[1]
    percent = 5.5 if shape > 1 else 2.8
    for track in TRACKS:
        text = write_ttml([cue(("Butter 28 g", "Salt"), track)], "t", font_percent=percent, shape=shape)
        drawn = in_imsc(browser, ffmpeg, text, size)
        assert drawn is not None
        assert abs(drawn.off_centre) <= 0.5
        assert drawn.right - drawn.left < 45
        assert drawn.left >= 5 and drawn.right <= 95 and drawn.top >= 5 and drawn.foot <= 95.5
        seen = [row for row in drawn.rows if row]
        assert seen[-2][1] - seen[-2][0] < 0.8 * (seen[1][1] - seen[1][0])  # Salt is shorter than butter


@pytest.mark.parametrize("draw", [in_chromium, in_imsc])
@pytest.mark.parametrize("lines", [1, 2, 3])
def test_dialogue_and_overlay_are_drawn_apart(browser: Any, ffmpeg: str, draw: Any, lines: int) -> None:
    def span(track: str, count: int) -> tuple[float, float]:
        one = cue(("All of it",) * count, track)
        text = write_vtt([one], "t") if draw is in_chromium else write_ttml([one], "t")
        drawn = draw(browser, ffmpeg, text, (640, 360))
        assert drawn is not None
        return drawn.top, drawn.foot

    order = [("safety", "dialogue central"), ("dialogue central", "macros"), ("dialogue raised", "addition")]
    for over, under in order:
        counts = {over: 2 if over in ("safety", "addition") else lines, under: 2 if under == "addition" else lines}
        if under == "macros":
            counts["macros"] = 2
        assert span(over, counts[over])[1] <= span(under, counts[under])[0] + 0.1


BLANK = ["<pepper and salt", "<v Ann salt", "<i salt", "<b", "<00:00:00.000salt"]
SHOWN = [
    "<rt>salt",
    "<font color=red>salt</font>",
    "<c.hidden>salt</c>",
    "<00:00:05.000>salt",
    "</i>salt",
    "{\\an8}salt",
]


@pytest.mark.parametrize("text", [*BLANK, *SHOWN])
def test_what_chromium_draws_nothing_of_is_an_error(browser: Any, ffmpeg: str, text: str) -> None:
    file = f"WEBVTT\n\n00:00.000 --> 00:01.900 line:50%\n{text}\n"
    blank = in_chromium(browser, ffmpeg, file, (320, 180)) is None
    errors = [p for p in webvtt_rules(parse_captions(file, "o.vtt")) if p.severity == "error"]
    assert blank is (text in BLANK)
    assert bool(errors) is blank
