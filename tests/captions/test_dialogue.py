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
from messages import kinds

from scriptkit.captions.dialogue.caption_avoidance import Beside, beside, place_in, with_line
from scriptkit.captions.dialogue.dialogue import usable, write_dialogue
from scriptkit.problems import Problem
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.places import CENTRAL, LOWER, MIDDLE, RAISED, UPPER, place_of, span_percent, top_percent
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
        there = [
            span_percent(place_of(c), len(c.lines))
            for c in overlay
            if c.start_ms < one.cue.end_ms and c.end_ms > one.cue.start_ms
        ]
        top, foot = span_percent(one.place, 1)
        assert one.meets_ms == 0  # one line finds a place whatever else stands on the picture
        assert not any(a < foot and top < b for a, b in there)
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
    assert top_percent(CENTRAL, lines) + height <= top_percent(MIDDLE, 3)
    vertical = 9 / 16
    assert top_percent(LOWER, lines, vertical) + height * vertical <= 80.5  # players' own controls are below
    assert top_percent(MIDDLE, lines, vertical) + height * vertical <= top_percent(LOWER, 2, vertical) + 1


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
    assert "cut.srt:2:1: note: SubRip cannot move a caption: the overlay and 1 cue" in done.stderr
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
        assert kinds(done.stderr).count("warning dialogue-cue") == 2


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


def told(problems: list[Problem]) -> list[tuple[int, str, str, str]]:
    assert all(p.place.file == "cut.srt" for p in problems)
    return [(p.place.line, p.code, p.message, p.hint) for p in problems]


def caption_file(*cues: ReadCue, kind: str = "srt") -> CaptionFile:
    return CaptionFile(file="cut.srt", kind=kind, cues=cues, repairs=(), head=("STYLE",), title="of the quay")


def test_which_cues_can_be_shown_and_why_the_others_cannot() -> None:
    later, first = ReadCue(1, 9_000, "later", 2), ReadCue(0, 1, "first", 6)
    kept, problems = usable(
        caption_file(
            later, first, ReadCue(0, 5, "<i></i>", 10), ReadCue(5, 5, "no time", 14), ReadCue(-1, 5, "early", 18)
        )
    )
    assert kept == [first, later]
    mend = "see what is wrong: `scriptkit proof cut.srt`"
    assert told(problems) == [
        (10, "dialogue-cue", "the cue is left out: it has no text", mend),
        (14, "dialogue-cue", "the cue is left out: its times are reversed or below zero", mend),
        (18, "dialogue-cue", "the cue is left out: its times are reversed or below zero", mend),
    ]
    assert (
        usable(caption_file(ReadCue(0, 5, "&nbsp;", 3), kind="vtt"))[0] == []
    )  # a space there, five letters in SubRip
    assert len(usable(caption_file(ReadCue(0, 5, "&nbsp;", 3)))[0]) == 1


def one(cue: ReadCue, place: str = LOWER, *, moved: bool = False, meets_ms: int = 0) -> Beside:
    return Beside(cue=cue, place=place, moved=moved, meets_ms=meets_ms)


def test_what_is_told_where_dialogue_and_overlay_meet() -> None:
    file = caption_file()
    placed = [one(ReadCue(0, 5_000, "a", 2)), one(ReadCue(6_000, 9_000, "b", 6), meets_ms=1_250)]
    meets = "for 1.2 s the overlay covers this cue: no other place was free"
    for kind in (".vtt", ".ttml"):
        _, problems = write_dialogue(file, placed, kind, 5.5)
        assert told(problems) == [(6, "dialogue-meets", meets, "split the cue where the overlay changes")]
    _, problems = write_dialogue(file, [*placed, one(ReadCue(9_000, 9_500, "c", 10), RAISED, moved=True)], ".srt", 5.5)
    foot = "SubRip cannot move a caption: the overlay and 2 cues of the dialogue share the foot, the first here"
    rise = "write .vtt or .ttml, which can raise them; or show one of the two files at a time"
    assert told(problems) == [(6, "no-place", foot, rise)]


def test_markup_that_another_kind_of_file_loses_is_told() -> None:
    placed = [one(ReadCue(0, 5, "<i>a</i>", 2)), one(ReadCue(6, 9, "b", 6)), one(ReadCue(9, 12, "<b>c</b>", 9))]
    for kind in (".vtt", ".ttml"):
        _, problems = write_dialogue(caption_file(), placed, kind, 5.5)
        lost = f"markup, such as italics, is lost in {kind}: in 2 cues"
        assert told(problems) == [(1, "markup-lost", lost, "write .srt to keep it")]
    _, problems = write_dialogue(caption_file(), placed[:2], ".vtt", 5.5)
    assert problems[0].message.endswith("in 1 cue")
    assert write_dialogue(caption_file(), placed, ".srt", 5.5)[1] == []
    assert write_dialogue(caption_file(), placed[1:2], ".vtt", 5.5)[1] == []


def test_another_kind_of_file_gets_the_words_alone() -> None:
    """References, an arrow, names, places and the head belong to one kind; the words are the same in both."""
    vtt = one(ReadCue(0, 5_000, "<v Cook>2 &lt; 3 &amp; --&gt; 4", 2, "name", "align:left"))
    text, _ = write_dialogue(caption_file(kind="vtt"), [vtt], ".srt", 5.5)
    assert text == "1\n00:00:00,000 --> 00:00:05,000\n2 < 3 & → 4\n"
    srt = one(ReadCue(0, 5_000, "2 < 3 & --> <b>4</b>", 2, "", "X1:40"))
    text, _ = write_dialogue(caption_file(), [srt], ".vtt", 5.5)
    assert text == "WEBVTT\n\n00:00:00.000 --> 00:00:05.000\n2 &lt; 3 &amp; → 4\n"
    text, _ = write_dialogue(caption_file(kind="vtt"), [vtt], ".vtt", 5.5)
    assert text.startswith("WEBVTT of the quay\n\nSTYLE\n\nname\n00:00:00.000 --> 00:00:05.000 align:left\n<v Cook>2 ")


def test_ttml_has_each_place_and_the_words_alone() -> None:
    cue = ReadCue(0, 5_000, "salt &amp; <i>pepper</i>", 2)
    placed = [one(cue, place, moved=place != LOWER) for place in (LOWER, RAISED, UPPER)]
    root = ET.fromstring(write_dialogue(caption_file(kind="vtt"), placed, ".ttml", 4.5)[0])
    shown = list(root.iter("{http://www.w3.org/ns/ttml}p"))
    assert [(p.get("region"), "".join(p.itertext()).strip()) for p in shown] == [
        (region, "salt & pepper") for region in ("lower", "raised", "upper")
    ]
    for percent, size in ((4.5, "68%"), (5.5, "82%")):  # of a cell, which is a fifteenth of the height (W3C TTML)
        assert f'tts:fontSize="{size}"' in write_dialogue(caption_file(), placed, ".ttml", percent)[0]


@pytest.mark.parametrize(
    ("settings_", "place"),
    # In percent; else in lines of 6 % from the top, or below zero from the foot, where -1 is the last line.
    [
        ("line:39.9%", UPPER), ("line:40%", RAISED), ("line:71.9%", RAISED), ("line:72%", LOWER), ("line:6", UPPER),
        ("line:7", RAISED), ("line:11", RAISED), ("line:12", LOWER), ("line:-4", LOWER), ("line:-5", RAISED),
        ("line:-10", RAISED), ("line:-11", UPPER), ("line:-0", LOWER),
    ],
)  # fmt: skip
def test_where_one_place_ends_and_the_next_begins(settings_: str, place: str) -> None:
    assert place_in(settings_) == place


def test_settings_on_both_sides_of_a_line_stay_apart() -> None:
    assert with_line("align:left line:10% size:40%", 62) == "align:left size:40% line:62%"


def test_for_how_long_the_overlay_is_in_the_way() -> None:
    """Of the usual three places the one that is taken for the least time; where all are taken, in the middle of the picture."""
    overlay = [
        Cue(start_ms=start, end_ms=end, lines=("y",), track=track)
        for start, end, track in [
            (0, 1_000, "time"), (1_000, 1_300, "time"), (1_300, 1_500, "macros"), (1_500, 1_600, "safety"),
            (1_600, 1_700, "macros"), (1_700, 1_900, "safety"), (1_900, 1_950, "time"), (2_000, 9_000, "time"),
        ]
    ]  # fmt: skip
    (cue,) = beside([ReadCue(1_000, 2_000, "x", 1)], overlay)
    assert (cue.place, cue.moved, cue.meets_ms) == (CENTRAL, True, 0)
    (cue,) = beside([ReadCue(1_000, 1_400, "x", 1)], overlay)
    assert (cue.place, cue.meets_ms) == (UPPER, 0)
    (cue,) = beside([ReadCue(1_000, 2_000, "\n".join("six lines high it fills"), 1)], overlay)
    assert cue.meets_ms > 0
    (cue,) = beside([ReadCue(999, 1_950, "x", 1)], overlay[:2])
    assert (cue.place, cue.meets_ms) == (RAISED, 0)
    (cue,) = beside([ReadCue(1_300, 1_500, "x", 1)], overlay)  # the time ends as it begins
    assert (cue.place, cue.moved, cue.meets_ms) == (LOWER, False, 0)
    (cue,) = beside([ReadCue(1_301, 1_400, "x", 1)], overlay[:2])
    assert (cue.place, cue.meets_ms) == (LOWER, 0)
    (cue,) = beside([ReadCue(1_299, 1_500, "x", 1)], overlay[:2])
    assert cue.moved


@pytest.mark.parametrize("rate", ["25", "29.97", "24"])
def test_on_the_frames_that_are_asked_for_stand_the_overlay_and_the_dialogue(
    run: Run, tmp_path: Path, rate: str
) -> None:
    """What `proof --fps` with the same rate holds against them is nothing; without --fps the dialogue keeps its times."""
    said = "WEBVTT\n\n00:00:01.111 --> 00:00:03.333\nSoften the fennel.\n\n00:00:03.333 --> 00:00:05.007\nThen wait.\n"
    (tmp_path / "said.vtt").write_text(said, encoding="utf-8")
    asked = ("captions", str(EXAMPLES / "seared-hake.yaml"), "--dialogue", "said.vtt", "-o", "over.vtt")
    assert run(*asked, "--fps", rate).returncode in (0, 1)
    for name in ("over.vtt", "dialogue.vtt"):
        assert "off-frame" not in run("proof", name, "--fps", rate).stderr, name
    assert run(*asked, "--force").returncode in (0, 1)
    assert "off-frame" in run("proof", "dialogue.vtt", "--fps", rate).stderr
