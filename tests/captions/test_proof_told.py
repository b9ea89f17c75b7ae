"""What `proof` tells: each limit at its edge, where the fault stands, and the words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.captions.proofing.vtt_rules import webvtt_rules
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.reading import ReadCue, parse_captions

WRONG_VTT = f"""\
WEBVTT

NOTE salt --> pepper

one --> two
00:01.000 --> 00:03.000
Salt & pepper,
<5 g & less

{"n" * 45}
00:03.000 --> 00:05.000 line:10% line:20% {"s" * 45} size:{"9" * 45} align:
In goes the butter.

NOTE all --> of it

{"n" * 45}
00:05.000 --> 00:07.000 region:a:b -->
Soft and glossy.
"""


def test_what_is_told_of_webvtt_and_where() -> None:
    problems = webvtt_rules(parse_captions(WRONG_VTT, "f.vtt"))
    hint = "delete it; settings are vertical, line, position, size, align, region, each with a colon and its value"
    as_in = "write it as in {}, percentages from 0% to 100%; or delete it"
    arrow = "“-->” stands in its name, settings or NOTE: readers take it for times"
    assert [(p.place.file, p.place.line, p.code, p.message, p.hint) for p in problems] == [
        ("f.vtt", 1, "arrow", "“-->” stands in a block before the first cue: readers take it for times", "write →"),
        ("f.vtt", 6, "arrow", arrow, "write →"),
        ("f.vtt", 7, "vtt-escape", "“&” begins markup in WebVTT", "write &amp;: `--fix` does"),
        ("f.vtt", 8, "vtt-escape", "“&” begins markup in WebVTT", "write &amp;: `--fix` does"),
        ("f.vtt", 8, "vtt-escape", "“<” begins a tag that does not end: browsers show nothing of the cue from here on", "write &lt;: `--fix` does"),
        ("f.vtt", 11, "vtt-setting", "`line:` stands twice", "keep one of them"),
        ("f.vtt", 11, "vtt-setting", f"“{'s' * 40}” is not a setting of a cue", hint),
        ("f.vtt", 11, "vtt-setting", f"“{'9' * 40}” is not a value for `size:`", as_in.format("size:80%")),
        ("f.vtt", 11, "vtt-setting", "“” is not a value for `align:`", as_in.format("align:center")),
        ("f.vtt", 17, "arrow", arrow, "write →"),
        (
            "f.vtt", 17, "vtt-name", f"the name “{'n' * 40}” is the cue's of line 11 too",
            "give each cue a name of its own, or none",
        ),
        ("f.vtt", 17, "vtt-setting", "“-->” is not a setting of a cue", hint),
    ]  # fmt: skip


@pytest.mark.parametrize("where", ["note", "name", "settings"])
def test_an_arrow_beside_a_cues_text(where: str) -> None:
    cue = replace(ReadCue(0, 1_000, "Salt", 3), **{where: "a --> b"})
    read = replace(parse_captions("WEBVTT\n", "f.vtt"), cues=(cue,))
    assert "arrow" in [p.code for p in webvtt_rules(read)]
    assert list(webvtt_rules(replace(read, kind="srt"))) == []


def told(*cues: tuple[int, int, str], rate: str = "", profile: str = "streaming") -> list[tuple[int, str, str, str]]:
    """Cues of a file, each on line 10, 20, … of it, as it is proofed."""
    read = tuple(ReadCue(a, b, text, 10 * n) for n, (a, b, text) in enumerate(cues, 1))
    file = replace(parse_captions("", "f.srt"), cues=read)
    found = proof(Sheet(file, profiles()[profile], RATES[rate] if rate else None))
    assert {p.place.file for p in found} <= {"f.srt"}
    return [(p.place.line, p.code, p.message, p.hint) for p in found]


SOFT = "Soft and glossy."
LONG = "x" * 19 + "\n" + "y" * 20  # 40 characters with the space between: 2 s at 20 characters a second


@pytest.mark.parametrize(
    ("cues", "found"),
    # Each limit: what just keeps it, and what is told of a millisecond or a letter more.
    [
        ([(0, 2_000, SOFT), (2_000, 4_000, "On.")], []),
        ([(0, 2_000, SOFT), (1_960, 4_000, "On.")], [
            (20, "overlap", "overlaps the cue above it by 0.04 s", "end that one at 00:00:01,960: `--fix` does")
        ]),
        ([(500, 2_000, SOFT), (500, 2_000, "On.")], [
            (20, "overlap", "overlaps the cue above it by 1.5 s",
             "show both in one cue from 00:00:00,500 to 00:00:02,000: there is no time to show one after the other")
        ]),
        ([(2_000, 4_000, SOFT), (0, 1_500, "On.")], [
            (20, "order", "begins 2 s before the cue above it", "sort the cues: `--fix` does")
        ]),
        ([(2_000, 2_000, SOFT)], [
            (10, "reversed", "the cue lasts no time", "write its end, such as 00:00:03,000")
        ]),
        ([(0, 833, SOFT)], []),
        ([(0, 803, SOFT)], [
            (10, "too-short", "stands 0.803 s, at least 0.833 s (streaming)", "end it at 00:00:00,833: `--fix` does")
        ]),
        ([(0, 832, SOFT)], [
            (10, "too-short", "stands 0.832 s, at least 0.833 s (streaming)", "end it at 00:00:00,833: `--fix` does")
        ]),
        ([(0, 7_000, SOFT)], []),
        ([(0, 7_001, SOFT)], [(10, "too-long", "stands 7.001 s, at most 7 s (streaming)", "end it at 00:00:07,000, or split it")]),
        ([(0, 1_999, LONG)], []),  # a millisecond for rounding
        ([(0, 1_998, LONG)], [
            (10, "too-fast", "takes 2 s to read and stands 1.998 s (streaming)", "end it at 00:00:02,000: `--fix` does")
        ]),
        ([(0, 1_250, LONG)], [
            (10, "too-fast", "takes 2 s to read and stands 1.25 s (streaming)", "end it at 00:00:02,000: `--fix` does")
        ]),
        ([(0, 3_000, f"{'a' * 42}\non")], []),
        ([(0, 3_000, f"One\n{'a' * 43}")], [
            (12, "too-wide", "43 characters, at most 42 (streaming)", "break the line, or use fewer words")
        ]),
        ([(0, 3_000, "One\ntwo\n \nthree")], [(10, "lines", "3 lines, at most 2 (streaming)", "split the cue")]),
        ([(0, 3_000, "One\n\ntwo")], []),
        ([(0, 3_000, "Take the\npan off")], [
            (11, "break", "the line ends in “the”, which belongs to the next", "break before it")
        ]),
        ([(0, 2_000, SOFT), (2_033, 4_000, "On.")], []),
        ([(0, 2_000, SOFT), (2_032, 4_000, "On.")], [
            (20, "gap", "a gap of 32 ms flickers; none, or at least 33 ms (streaming)", "close it or widen it: `--fix` closes it")
        ]),
        ([(0, 2_000, SOFT), (2_499, 4_000, "On.")], [
            (20, "sliver", "a gap of 499 ms: one shorter than 500 ms is closed to 33 ms (streaming)",
             "let the cue above it stand longer: `--fix` does")
        ]),
        ([(0, 2_000, SOFT), (2_500, 4_000, "On.")], []),
        ([(0, 2_000, SOFT), (2_001, 4_000, "On.")], [
            (20, "gap", "a gap of 1 ms flickers; none, or at least 33 ms (streaming)", "close it or widen it: `--fix` closes it")
        ]),
        ([(0, 2_000, f"All of it,\n{SOFT}"), (2_500, 4_500, f"{SOFT}\nOn.")], []),
        ([(0, 2_000, SOFT), (0, 2_000, SOFT)], [(20, "doubled", "the same cue stands on line 10", "delete one of them")]),
        ([(0, 2_000, "<i> </i>")], [(10, "empty", "the cue has no text", "delete it: `--fix` does")]),
        ([(0, 2_000, "<i>Soft")], [(10, "markup", "<i> is never closed", "write </i> at the end of the cue")]),
        ([(0, 2_000, "Soft</B>")], [(10, "markup", "</b> closes nothing", "delete it")]),
        ([(0, 2_000, "<i><b>Soft</i></b> <v Cook>and")], []),
        ([(0, 2_000, "So\u200bft")], [
            (10, "characters", "an invisible character (U+200B)", "delete it: `--fix` does")
        ]),
        ([(0, 2_000, "So --> ft")], [(10, "arrow", "“-->” stands in the text", "write →: `--fix` does")]),
    ],
)  # fmt: skip
def test_what_is_told_of_each_limit(cues: list[tuple[int, int, str]], found: list[tuple[int, str, str, str]]) -> None:
    assert told(*cues) == found


def test_what_is_told_of_frames() -> None:
    """At 25 frames a second: a frame is 40 ms, and a millisecond beside it is for rounding."""
    assert told((1, 2_039, SOFT), rate="25") == []
    hint = "snap it: `--fix` does"
    assert told((2, 2_042, SOFT), rate="25") == [(10, "off-frame", "0.002 s lies between two frames at 25", hint)]
    assert told((0, 2_020, SOFT), rate="25") == [(10, "off-frame", "2.02 s lies between two frames at 25", hint)]
    assert [t[1:3] for t in told((0, 2_000, SOFT), (2_040, 4_000, "On."), rate="50")] == []  # two frames are 40 ms
    assert [t[2] for t in told((0, 2_000, SOFT), (2_020, 4_000, "On."), rate="50")] == [
        "a gap of 20 ms flickers; none, or at least 40 ms (streaming)"
    ]
    assert [t[1] for t in told((0, 2_000, SOFT), (2_999, 9_990, "On."), profile="public-broadcaster")] == ["gap"]
    assert told((0, 2_000, SOFT), (3_000, 9_990, "On."), profile="public-broadcaster") == []
