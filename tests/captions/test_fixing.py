"""`proof --fix` on a deliberately bad file: what was wrong before, what is left after, and that no word is lost."""

from __future__ import annotations

import json
import re
import subprocess
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import placed

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.markup import without_markup
from scriptkit.timed_text.reading import ReadCue, parse_captions

BEFORE = """\
1
0:00:01.00 --> 00:00:03,000
In goes the butter and the
fennel, soft and glossy.

2
00:00:03,040 --> 00:00:05,010
No\u200b colour.

3
00:00:09,000 --> 00:00:11,000
then the stock

4
00:00:11,000 --> 00:00:13,000
then the stock
and a lazy simmer

5
00:00:07,000 --> 00:00:09,200
First, all of the celeriac,

6
00:00:14,000 --> 00:00:14,400


7
00:00:16,000 --> 00:00:16,400
Until a knife slides in.

8
00:00:20,000 --> 00:00:19,000
Reversed, and nobody knows how.

9
00:00:22,000 --> 00:00:31,000
<i>This one stands for far too long.
"""
AFTER = """\
1
00:00:01,000 --> 00:00:03,040
In goes the butter
and the fennel, soft and glossy.

2
00:00:03,040 --> 00:00:05,000
No colour.

3
00:00:07,000 --> 00:00:09,000
First, all of the celeriac,

4
00:00:09,000 --> 00:00:11,000
then the stock

5
00:00:11,000 --> 00:00:13,000
then the stock
and a lazy simmer

6
00:00:16,000 --> 00:00:17,240
Until a knife slides in.

7
00:00:20,000 --> 00:00:19,000
Reversed, and nobody knows how.

8
00:00:22,000 --> 00:00:31,000
<i>This one stands for far too long.
"""
Run = Callable[..., subprocess.CompletedProcess[str]]


def told(text: str) -> set[str]:
    return set(re.findall(r"\[([a-z-]+)\]", text))


def test_before_and_after(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.srt").write_text(BEFORE, encoding="utf-8")
    before = run("proof", "bad.srt", "--fps", "25")
    assert told(before.stderr) == {
        "odd-time", "break", "gap", "characters", "off-frame", "order", "empty", "too-short", "too-fast",
        "reversed", "too-long", "markup",
    }  # fmt: skip
    after = run("proof", "bad.srt", "--fps", "25", "--fix", "mended.srt")
    assert (tmp_path / "mended.srt").read_text(encoding="utf-8") == AFTER
    assert told(after.stderr) == {"reversed", "too-fast", "too-long", "markup"}  # what is left, for a person
    assert "mended.srt:28:1 error reversed" in placed(after.stderr)
    assert "repaired: break 1, characters 1, empty 1" in after.stderr
    assert after.returncode == 1
    assert (tmp_path / "bad.srt").read_text(encoding="utf-8") == BEFORE


def test_the_file_itself_is_changed_only_where_it_is_named(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.srt").write_text(BEFORE, encoding="utf-8")
    run("proof", "bad.srt", "--fps", "25", "--fix", "bad.srt")
    assert (tmp_path / "bad.srt").read_text(encoding="utf-8") == AFTER


def test_a_line_is_broken_again_only_where_that_is_safe() -> None:
    def again(text: str) -> str:
        read = parse_captions(f"1\n00:00:01,000 --> 00:00:05,000\n{text}\n", "f.srt")
        return repair_captions(Sheet(read, profiles()["streaming"])).cues[0].text

    assert again("Stir in the\nbutter.") == "Stir in the butter."
    assert again("- Is it in the\n- It is.") == "- Is it in the\n- It is."  # two people
    assert again("<i>Stir in the\nbutter.</i>") == "<i>Stir in the butter.</i>"
    assert again("Stir <i>in</i> the\nbutter.") == "Stir <i>in</i> the\nbutter."
    assert again("Stir it in,\nthen wait.") == "Stir it in,\nthen wait."


WORDS = st.lists(
    st.sampled_from(["in", "goes", "the", "butter", "and", "soft", "glossy", ",", ".", "no", "colour", "a", "knife"]),
    min_size=1,
    max_size=12,
)
CUES = st.lists(st.tuples(st.integers(0, 60_000), st.integers(1, 9_000), WORDS.map(" ".join)), min_size=1, max_size=8)


@settings(max_examples=60)
@given(CUES, st.sampled_from(sorted(profiles())), st.sampled_from(["25", "29.97 drop"]))
def test_no_word_is_lost_no_check_gets_worse_and_twice_is_once(
    rows: list[tuple[int, int, str]], profile: str, rate: str
) -> None:
    text = write_captions(parse_captions("", "f.srt")) + "\n".join(
        f"{n}\n00:00:{a // 1000:02d},{a % 1000:03d} --> 00:01:{b // 1000:02d},{b % 1000:03d}\n{n} {words}\n"
        for n, (a, b, words) in enumerate(rows, 1)
    )
    sheet = Sheet(parse_captions(text, "f.srt"), profiles()[profile], RATES[rate])
    mended = repair_captions(sheet)
    words = Counter(w for c in sheet.cues for w in without_markup(c.text).split())
    assert Counter(w for c in mended.cues for w in without_markup(c.text).split()) == words
    again = repair_captions(Sheet(mended, sheet.profile, sheet.rate))
    assert [(c.start_ms, c.end_ms, c.text) for c in again.cues] == [(c.start_ms, c.end_ms, c.text) for c in mended.cues]
    left = Counter(p.code for p in proof(Sheet(mended, sheet.profile, sheet.rate)))
    before = Counter(p.code for p in proof(sheet))
    assert not {c for c in ("order", "empty", "characters", "off-frame", "break", "gap") if left[c] > before[c]}
    assert left["order"] == left["empty"] == left["off-frame"] == 0


def test_what_is_left_is_told_as_json(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.srt").write_text(BEFORE, encoding="utf-8")
    told = json.loads(run("proof", "bad.srt", "--json").stdout)
    assert (told["file"], told["profile"]) == ("bad.srt", "streaming")
    assert told["cues"] == len(parse_captions(BEFORE, "bad.srt").cues)
    left = json.loads(run("proof", "bad.srt", "--fix", "good.srt", "--json").stdout)
    assert left["file"] == "good.srt"
    assert {p["file"] for p in left["problems"]} <= {"good.srt"}
    assert len(left["problems"]) < len(told["problems"])


LONG = "x" * 19 + "\n" + "y" * 20  # 40 characters with the space between: 2 s at 20 characters a second
ON = "On and on."


@pytest.mark.parametrize(
    ("cues", "times", "rate"),
    # Each repair at its edge: where it is still made, and a millisecond on where it no longer is.
    [
        ([(0, 3_000, LONG), (2_000, 4_000, ON)], [(0, 2_000), (2_000, 4_000)], ""),  # ended earlier
        ([(0, 3_000, LONG), (1_999, 4_000, ON)], [(0, 3_000), (1_999, 4_000)], ""),  # it could not be read
        ([(0, 900, "On."), (833, 4_000, ON)], [(0, 833), (833, 4_000)], ""),
        ([(0, 900, "On."), (832, 4_000, ON)], [(0, 900), (832, 4_000)], ""),
        ([(0, 1_000, LONG), (2_000, 4_000, ON)], [(0, 2_000), (2_000, 4_000)], ""),  # stands longer
        ([(0, 1_000, LONG), (1_999, 4_000, ON)], [(0, 1_000), (1_999, 4_000)], ""),
        ([(0, 1_000, LONG), (2_040, 4_000, ON)], [(0, 2_040), (2_040, 4_000)], "25"),  # a frame more, for snapping
        ([(0, 1_000, LONG)], [(0, 2_000)], ""),
        ([(0, 400, "On.")], [(0, 833)], ""),
        (
            [(0, 1_000, " ".join([LONG] * 4))],
            [(0, 7_000)],
            "",
        ),  # 163 characters take 8.15 s: no longer than the longest
        ([(0, 2_000, ON), (2_079, 4_000, "Off.")], [(0, 2_046), (2_079, 4_000)], ""),  # a sliver closed to two frames
        ([(0, 2_000, ON), (2_001, 4_000, "Off.")], [(0, 1_968), (2_001, 4_000)], ""),
        ([(0, 2_000, ON), (2_033, 4_000, "Off.")], [(0, 2_000), (2_033, 4_000)], ""),
        ([(0, 6_950, ON), (7_033, 9_000, "Off.")], [(0, 7_000), (7_033, 9_000)], ""),
        ([(0, 6_951, ON), (7_034, 9_000, "Off.")], [(0, 6_951), (7_034, 9_000)], ""),  # it would stand too long
        ([(0, 2_000, ON), (2_500, 4_500, ON)], [(0, 2_000), (2_500, 4_500)], ""),  # said twice
        ([(0, 2_000, ON), (2_501, 4_500, ON)], [(0, 2_000), (2_501, 4_500)], ""),
        ([(0, 5_000, ON), (2_000, 4_000, ON)], [(0, 2_000), (2_000, 4_000)], ""),
        (
            [(-500, 1_500, ON), (-500, 0, "Off.")],
            [(-500, 0), (0, 1_500)],
            "",
        ),  # before the picture begins: told, and kept
        ([(19, 1_021, ON)], [(0, 1_040)], "25"),  # the nearest frame
        ([(21, 1_019, ON)], [(40, 1_000)], "25"),
    ],
)
def test_each_repair_at_its_edge(cues: list[tuple[int, int, str]], times: list[tuple[int, int]], rate: str) -> None:
    file = replace(parse_captions("", "f.srt"), cues=tuple(ReadCue(a, b, text, 1) for a, b, text in cues))
    mended = repair_captions(Sheet(file, profiles()["streaming"], RATES[rate] if rate else None))
    assert [(c.start_ms, c.end_ms) for c in mended.cues] == times
