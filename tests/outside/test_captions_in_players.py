"""What is written opens in real players with the same times, text and places: Chromium's own <track>, ffmpeg, pysubs2."""

from __future__ import annotations

import html
import subprocess
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES

from scriptkit.captions.composing.overlay import overlay
from scriptkit.captions.dialogue.caption_avoidance import beside
from scriptkit.captions.dialogue.dialogue import write_dialogue
from scriptkit.measure.timecode import RATES
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.ttml import write_ttml
from scriptkit.timed_text.webvtt import write_chapters, write_vtt

TRACK = """
async (text) => {
  const video = document.createElement('video');
  const track = document.createElement('track');
  track.kind = 'captions';
  track.src = URL.createObjectURL(new Blob([text], {type: 'text/vtt'}));
  video.append(track);
  document.body.append(video);
  track.track.mode = 'hidden';
  await new Promise((done, failed) => { track.onload = done; track.onerror = () => failed(new Error('not loaded')); });
  return [...track.track.cues].map(c => ({
    id: c.id, start: Math.round(c.startTime * 1000), end: Math.round(c.endTime * 1000), text: c.text,
    line: c.line, position: c.position, size: c.size, align: c.align,
  }));
}
"""


@pytest.fixture(scope="module")
def cues() -> list[Cue]:
    meal = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    assert isinstance(meal, Meal)
    found, _ = overlay(plan_of(meal), cautions_in(meal), [dish_macros(d) for d in dishes_of(meal)], meal_macros(meal))
    return on_frames(found, RATES["25"])


def in_browser(browser: Any, text: str) -> list[dict[str, Any]]:
    page = browser.new_page()
    try:
        return list(page.evaluate(TRACK, text))
    finally:
        page.close()


def test_chromium_lists_the_same_cues(browser: Any, cues: list[Cue]) -> None:
    listed = in_browser(browser, write_vtt(cues, "Harbour supper"))
    assert [(c["start"], c["end"], c["text"]) for c in listed] == [(c.start_ms, c.end_ms, c.text) for c in cues]
    assert {(c["position"], c["size"], c["align"]) for c in listed} == {(50, 100, "center")}
    places = {cue.track: c["line"] for cue, c in zip(cues, listed, strict=True)}
    assert places["safety"] < 20 < places["macros"] < places["addition"] <= 90
    assert len({c["id"] for c in listed}) == len(cues)


def test_chromium_reads_markup_as_text(browser: Any) -> None:
    cue = Cue(start_ms=0, end_ms=2_000, lines=("<b>salt</b> & --> pepper",), track="addition")
    assert in_browser(browser, write_vtt([cue], "x --> y"))[0]["text"] == "&lt;b&gt;salt&lt;/b&gt; &amp; → pepper"


def test_chromium_lists_the_chapters(browser: Any) -> None:
    listed = in_browser(browser, write_chapters([(0, "Opening"), (12_000, "Prep")], 60_000))
    assert [(c["start"], c["end"], c["text"]) for c in listed] == [(0, 12_000, "Opening"), (12_000, 60_000, "Prep")]


@pytest.mark.parametrize("kind", ["srt", "vtt"])
def test_ffmpeg_reads_the_same_times_and_text(kind: str, cues: list[Cue], ffmpeg: str, tmp_path: Path) -> None:
    text = write_srt(cues) if kind == "srt" else write_vtt(cues, "Harbour supper")
    source = tmp_path / f"o.{kind}"
    source.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [ffmpeg, "-v", "error", "-i", str(source), "-f", "srt", "-"], capture_output=True, encoding="utf-8", check=True
    )
    import srt

    read = [
        (round(s.start.total_seconds() * 1000), round(s.end.total_seconds() * 1000), s.content)
        for s in srt.parse(done.stdout)
    ]
    assert read == [(c.start_ms, c.end_ms, c.text) for c in cues]


def test_pysubs2_reads_the_ttml(cues: list[Cue], tmp_path: Path) -> None:
    """pysubs2 reads TTML by its paragraphs; times to the millisecond, lines apart."""
    import pysubs2

    path = tmp_path / "o.ttml"
    path.write_text(write_ttml(cues, "Harbour supper"), encoding="utf-8")
    read = pysubs2.load(str(path), format_="ttml")
    assert [(e.start, e.end, e.plaintext) for e in read] == [(c.start_ms, c.end_ms, c.text) for c in cues]


def rows_of(kind: str, path: Path) -> list[tuple[int, int, str]]:
    """Start, end and text of each cue as another program's reader has them."""
    if kind == "webvtt-py":
        import webvtt

        return [(ms(c.start), ms(c.end), html.unescape(c.raw_text)) for c in webvtt.read(str(path))]
    import pysubs2

    return [(e.start, e.end, html.unescape(e.plaintext)) for e in pysubs2.load(str(path), format_=path.suffix[1:])]


def ms(moment: str) -> int:
    hours, minutes, seconds = moment.split(":")
    whole, thousandths = seconds.split(".")
    return ((int(hours) * 60 + int(minutes)) * 60 + int(whole)) * 1000 + int(thousandths)


@pytest.mark.parametrize("reader", ["webvtt-py", "pysubs2"])
def test_other_readers_of_webvtt_agree(reader: str, cues: list[Cue], tmp_path: Path) -> None:
    path = tmp_path / "o.vtt"
    path.write_text(write_vtt(cues, "Harbour supper"), encoding="utf-8")
    assert rows_of(reader, path) == [(c.start_ms, c.end_ms, c.text) for c in cues]


ODD = [
    Cue(start_ms=500, end_ms=2_000, lines=("salt & <b>pepper</b>", "2 > 1"), track="addition"),
    Cue(start_ms=2_000, end_ms=4_000, lines=(isolated("חמאה רכה 28 g"),), track="addition"),
    Cue(start_ms=3_600_000, end_ms=3_602_040, lines=("魚のスープ 320 g", "½ cup"), track="macros"),
    Cue(start_ms=36_000_000, end_ms=36_003_000, lines=("[sizzling]",), track="sound"),
]


@pytest.mark.parametrize("reader", ["webvtt-py", "pysubs2", "pysubs2 ttml"])
def test_odd_texts_and_long_clocks(reader: str, tmp_path: Path) -> None:
    path = tmp_path / ("o.ttml" if reader.endswith("ttml") else "o.vtt")
    path.write_text(write_ttml(ODD, "t") if reader.endswith("ttml") else write_vtt(ODD, "t"), encoding="utf-8")
    assert rows_of(reader.split(maxsplit=1)[0], path) == [(c.start_ms, c.end_ms, c.text) for c in ODD]


def test_chromium_reads_odd_texts_as_they_are(browser: Any) -> None:
    listed = in_browser(browser, write_vtt(ODD, "t"))
    assert [(c["start"], c["end"], html.unescape(c["text"])) for c in listed] == [
        (c.start_ms, c.end_ms, c.text) for c in ODD
    ]


def test_chromium_raises_the_dialogue_and_draws_nothing_on_anything(browser: Any) -> None:
    """The boxes of an overlay and of the dialogue beside it, as Chromium lays them out at one moment, do not meet."""
    overlay = [Cue(start_ms=0, end_ms=9_000, lines=("Celeriac 602 g", "(about 3 ¾ cups)"), track="addition")]
    spoken = [ReadCue(1_000, 8_000, "All of the celeriac,\nthen the stock.", 1)]
    placed = beside(spoken, overlay)
    file = CaptionFile(file="d.srt", kind="srt", cues=tuple(spoken), repairs=())
    dialogue, _ = write_dialogue(file, placed, ".vtt", 5.5)
    listed = in_browser(browser, dialogue)
    shown = in_browser(browser, write_vtt(overlay, "t"))
    two_lines = 2 * 6.4  # percent of the height: WebVTT's type of 5.33 %, lines 1.2 high
    assert listed[0]["line"] + two_lines <= shown[0]["line"]
    assert shown[0]["line"] + two_lines <= 95
