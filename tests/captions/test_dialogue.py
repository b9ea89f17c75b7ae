"""The overlay beside the dialogue captions: nothing stands on anything, no time is changed, nothing is lost."""

from __future__ import annotations

import itertools
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.beside import beside, place_in, with_line
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.places import LOWER, MIDDLE, RAISED, UPPER, place_of, top_percent
from scriptkit.timed_text.reading import CaptionFile, ReadCue, parse_captions

Run = Callable[..., subprocess.CompletedProcess[str]]
DISH = str(EXAMPLES / "fennel-bisque.yaml")
SRT = """\
1
00:00:30,000 --> 00:00:34,500
In goes <i>twenty-eight grams</i> of butter,
and the fennel.

2
00:00:50,000 --> 00:00:51,500
Soft & glossy.

3
00:01:16,000 --> 00:01:18,500
And now the blender.
"""


def spans(steps: list[tuple[int, int]]) -> list[tuple[int, int]]:
    now, found = 0, []
    for gap, length in steps:
        found.append((now + gap, now + gap + length))
        now += gap + length
    return found


STEPS = st.lists(st.tuples(st.integers(1, 3_000), st.integers(500, 5_000)), max_size=12).map(spans)
TRACKS = st.sampled_from(["addition", "time", "safety", "macros", "sound"])


@settings(max_examples=60)
@given(
    STEPS, STEPS, st.lists(TRACKS, min_size=12, max_size=12), st.sampled_from(["", "line:10%", "line:-1", "line:60%"])
)
def test_what_stands_together_stands_apart_where_there_is_a_place(
    spoken: list[tuple[int, int]], shown: list[tuple[int, int]], tracks: list[str], own: str
) -> None:
    dialogue = [ReadCue(a, b, "x", 1, "", own) for a, b in spoken]
    overlay = [Cue(start_ms=a, end_ms=b, lines=("y",), track=t) for (a, b), t in zip(shown, tracks, strict=False)]
    placed = beside(dialogue, overlay)
    assert [one.cue for one in placed] == dialogue
    for one in placed:
        there = {place_of(c) for c in overlay if c.start_ms < one.cue.end_ms and c.end_ms > one.cue.start_ms}
        in_the_way = {LOWER: LOWER, RAISED: MIDDLE, UPPER: UPPER}[one.place]
        assert (in_the_way in there) == (one.meets_ms > 0)
        assert one.meets_ms == 0 or there == {LOWER, MIDDLE, UPPER}  # else there was a free place
        if not there:
            assert not one.moved


@pytest.mark.parametrize("lines", [1, 2, 3])
def test_places_do_not_meet_and_are_title_safe(lines: int) -> None:
    """Title safe: 5 % of the height at top and foot (SMPTE ST 2046-1:2009). A line takes 6.4 % (WebVTT's own type, 1.2 high)."""
    height = 6.4 * lines
    assert top_percent(UPPER, lines) >= 5
    assert top_percent(LOWER, lines) + height <= 95
    assert top_percent(RAISED, lines) + height <= top_percent(LOWER, 3)
    assert top_percent(MIDDLE, lines) + height <= top_percent(LOWER, 2)
    assert top_percent(UPPER, 3) + 6.4 * 3 < top_percent(RAISED, lines)


@pytest.mark.parametrize(
    ("settings_", "place"),
    [("", LOWER), ("line:0", UPPER), ("line:5%,start align:left", UPPER), ("line:-2", LOWER), ("line:90%", LOWER), ("position:10%", LOWER)],
)  # fmt: skip
def test_places_of_settings(settings_: str, place: str) -> None:
    assert place_in(settings_) == place
    moved = with_line(settings_, 62)
    assert moved.split().count("line:62%") == 1
    assert place_in(moved) == RAISED
    assert {s for s in settings_.split() if not s.startswith("line")} <= set(moved.split())


def written(run: Run, folder: Path, kind: str, text: str = SRT, name: str = "cut.srt", *more: str) -> CaptionFile:
    (folder / name).write_text(text, encoding="utf-8")
    done = run("captions", DISH, "--dialogue", name, "-o", f"out/overlays.{kind}", *more)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert (folder / name).read_text(encoding="utf-8") == text
    return parse_captions((folder / "out" / f"dialogue.{kind}").read_text(encoding="utf-8"), f"dialogue.{kind}")


def test_webvtt_rises_while_a_lower_third_shows(run: Run, tmp_path: Path) -> None:
    read = written(run, tmp_path, "vtt")
    assert [(c.start_ms, c.end_ms, c.text, c.settings) for c in read.cues] == [
        (30_000, 34_500, "In goes twenty-eight grams of butter,\nand the fennel.", "line:62%"),
        (50_000, 51_500, "Soft &amp; glossy.", ""),
        (76_000, 78_500, "And now the blender.", ""),
    ]
    overlay = parse_captions((tmp_path / "out" / "overlays.vtt").read_text(encoding="utf-8"), "o.vtt")
    assert any(c.settings.startswith("line:8%") and c.start_ms < 78_500 < c.end_ms for c in overlay.cues)


def test_webvtt_from_webvtt_keeps_its_head_names_markup_and_settings(run: Run, tmp_path: Path) -> None:
    text = (
        "WEBVTT\n\nSTYLE\n::cue { color: white }\n\nwhole\n00:30.000 --> 00:34.500 align:left\n<v Cook>In goes the <i>butter</i> &amp; salt\n\n"
        "00:50.000 --> 00:51.500 line:10%\nup here\n"
    )
    read = written(run, tmp_path, "vtt", text, "cut.vtt")
    assert read.head == ("STYLE\n::cue { color: white }",)
    assert [(c.name, c.text, c.settings) for c in read.cues] == [
        ("whole", "<v Cook>In goes the <i>butter</i> &amp; salt", "align:left line:68%"),
        ("", "up here", "line:10%"),
    ]


def test_ttml_has_regions_for_it(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    assert run("captions", DISH, "--dialogue", "cut.srt", "-o", "overlays.ttml").returncode == 0
    root = ET.fromstring((tmp_path / "dialogue.ttml").read_text(encoding="utf-8"))
    assert [p.get("region") for p in root.iter("{http://www.w3.org/ns/ttml}p")] == ["raised", "lower", "lower"]


def test_subrip_has_no_place_and_says_so(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text(SRT, encoding="utf-8")
    done = run("captions", DISH, "--dialogue", "cut.srt", "-o", "overlays.srt")
    assert done.returncode == 0
    assert "cut.srt:2:1: note[no-place]: SubRip has no place on the picture: 1 cue" in done.stderr
    read = parse_captions((tmp_path / "dialogue.srt").read_text(encoding="utf-8"), "d.srt")
    assert [(c.start_ms, c.end_ms, c.text) for c in read.cues] == [
        (c.start_ms, c.end_ms, c.text) for c in parse_captions(SRT, "cut.srt").cues
    ]


def test_sounds_go_into_the_dialogue_where_nobody_speaks(run: Run, tmp_path: Path) -> None:
    read = written(run, tmp_path, "vtt", SRT, "cut.srt", "--sounds")
    sounds = [c for c in read.cues if c.text.startswith("[")]
    assert [c.text for c in sounds] == ["[chopping]", "[gentle sizzling]", "[gentle bubbling]", "[blender running]"]
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(read.cues))
    overlay = (tmp_path / "out" / "overlays.vtt").read_text(encoding="utf-8")
    assert "[" not in overlay


def test_a_dialogue_that_counts_from_zero_is_moved_to_the_start(run: Run, tmp_path: Path) -> None:
    read = written(run, tmp_path, "vtt", SRT, "cut.srt", "--start", "10:00:00:00", "--fps", "25")
    assert read.cues[0].start_ms == 36_000_000 + 30_000


def test_overlapping_dialogue_and_unusable_cues(run: Run, tmp_path: Path) -> None:
    text = SRT.replace("00:00:50,000 --> 00:00:51,500", "00:00:33,000 --> 00:00:51,500") + (
        "\n4\n00:02:00,000 --> 00:01:00,000\nbackwards\n\n5\n00:02:10,000 --> 00:02:12,000\n\n"
    )
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    for kind in ("vtt", "ttml", "srt"):
        done = run("captions", DISH, "--dialogue", "cut.srt", "-o", f"{kind}/overlays.{kind}")
        assert done.returncode == 1
        assert done.stderr.count("warning[dialogue-cue]") == 2


@pytest.mark.parametrize(
    ("output", "dialogue", "told"),
    [("dialogue.vtt", "cut.srt", "another name"), ("overlays.srt", "dialogue.srt", "would be written over"), ("overlays.vtt", "none.srt", "cannot be opened")],
)  # fmt: skip
def test_nothing_is_written_over(run: Run, tmp_path: Path, output: str, dialogue: str, told: str) -> None:
    for name in ("cut.srt", "dialogue.srt"):
        (tmp_path / name).write_text(SRT, encoding="utf-8")
    done = run("captions", DISH, "--dialogue", dialogue, "-o", output)
    assert done.returncode == 2
    assert told in done.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == ["cut.srt", "dialogue.srt"]
    assert (tmp_path / "dialogue.srt").read_text(encoding="utf-8") == SRT


def test_subrip_that_never_meets_the_overlay_has_nothing_to_say(run: Run, tmp_path: Path) -> None:
    """Over the opening there is no overlay."""
    (tmp_path / "cut.srt").write_text("1\n00:00:00,500 --> 00:00:01,500\nHello.\n", encoding="utf-8")
    done = run("captions", DISH, "--dialogue", "cut.srt", "-o", "overlays.srt")
    assert done.returncode == 0
    assert "no-place" not in done.stderr
