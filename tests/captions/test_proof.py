"""Reading, proofing and repairing caption files: each fault planted once, and a faultless twin in which nothing is found."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.text_width import columns
from scriptkit.captions.profiles import profile_of, profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, repaired, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.problems import CannotDo
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.reading import ReadCue, parse_captions

STREAMING = profiles()["streaming"]
GOOD = """\
1
00:00:01,000 --> 00:00:03,000
In goes the butter,
all of it.

2
00:00:03,080 --> 00:00:05,000
Soft and glossy.
"""


def codes(text: str, profile: str = "streaming", rate: str = "25") -> list[str]:
    sheet = Sheet(parse_captions(text, "cut.srt"), profiles()[profile], RATES[rate] if rate else None)
    return [f"{p.place.line} {p.code}" for p in proof(sheet)]


def test_a_faultless_file() -> None:
    assert codes(GOOD) == []


# What is planted in the faultless file, and what is found there (line of the file, code).
PLANTED = [
    ("00:00:03,080 --> 00:00:05,000", "00:00:02,000 --> 00:00:05,000", ["7 overlap"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:00,080 --> 00:00:00,960", ["7 order"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:05,000 --> 00:00:03,080", ["7 reversed"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:03,040 --> 00:00:05,000", ["7 gap"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:03,090 --> 00:00:05,000", ["7 off-frame"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:03,080 --> 00:00:13,000", ["7 too-long"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:03,080 --> 00:00:03,880", ["7 too-short"]),
    ("00:00:01,000 --> 00:00:03,000", "00:00:01,000 --> 00:00:02,000", ["2 too-fast"]),
    ("00:00:03,080 --> 00:00:05,000", "00:00:3x --> 00:00:05,000", ["7 broken-time"]),
    ("Soft and glossy.", "", ["7 empty"]),
    ("Soft and glossy.", "Soft and glossy and so very much longer than it.", ["7 too-fast", "8 too-wide"]),
    ("Soft and glossy.", "Soft\nand\nglossy.", ["7 lines", "9 break"]),
    ("In goes the butter,\nall of it.", "In goes the\nbutter, all of it.", ["3 break"]),
    ("In goes the butter,\nall of it.", "In goes butter: 30\ng, all of it.", ["3 break"]),
    ("Soft and glossy.", "<i>Soft and glossy.", ["7 markup"]),
    ("Soft and glossy.", "Soft and</b> glossy.", ["7 markup"]),
    ("Soft and glossy.", "Soft and\u200b glossy.", ["7 characters"]),
    ("Soft and glossy.", "all of it.\nSoft.", []),  # said twice: one pair is no rolling file
]


@pytest.mark.parametrize(("old", "new", "found"), PLANTED)
def test_each_fault_is_found_where_it_is(old: str, new: str, found: list[str]) -> None:
    assert old in GOOD
    assert codes(GOOD.replace(old, new)) == found


def test_profiles_hold_their_own_limits() -> None:
    """BBC Subtitle Guidelines 1.2.5: 37 characters, a gap of 1 s; DCMP Captioning Key: 32 characters, 2 s at least."""
    assert codes(GOOD, "public-broadcaster") == ["2 too-fast", "7 gap"]
    assert codes(GOOD.replace("03,080 --> 00:00:05,000", "03,000 --> 00:00:04,000"), "education") == [
        "2 too-fast",
        "7 too-fast",
        "7 too-short",
    ]
    assert [p.source != "" for p in profiles().values()] == [True] * 4


def test_an_own_profile(tmp_path: Path) -> None:
    own = tmp_path / "quay.yaml"
    own.write_text("like: streaming\nline_length: 20\nlines: 1\n", encoding="utf-8")
    profile = profile_of(str(own))
    assert (profile.name, profile.line_length, profile.lines, profile.longest_ms) == ("quay", 20, 1, 7000)
    own.write_text("line_lenght: 20\n", encoding="utf-8")
    with pytest.raises(CannotDo) as caught:
        profile_of(str(own))
    assert caught.value.problems[0].hint == "did you mean `line_length`?"
    with pytest.raises(CannotDo):
        profile_of("streeming")


NINES = "a0: &a0 [x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"a{n}: &a{n} [{','.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 12)
)
HOSTILE_PROFILES = {
    "like: [x]": "profile",
    "like: {a: b}": "profile",
    "like:": "profile",
    "source: [2026-13-45]": "wrong-value",
    "source: !!python/object/apply:os.system ['touch run']": "yaml",
    "lines: !!timestamp 2026-13-45": "wrong-value",
    "lines: !!int two": "wrong-value",
    f"lines: {'9' * 5000}": "wrong-value",
    f"lines: 0x{'f' * 5000}": "wrong-value",
    "lines: ٣": "wrong-value",
    "lines: 0.5": "wrong-value",
    "lines: .inf": "wrong-value",
    "lines: yes": "wrong-value",
    "lines:": "wrong-value",
    "lines: 2\nlines: 3": "duplicate-key",
    "? [a]\n: 1": "yaml",
    "<<: {lines: 2}": "unknown-key",
    "source: &x [*x]": "yaml",
    NINES: "too-large",
    "source: " + "[" * 60_000: "yaml",
    "source: " + "x" * 5000: "wrong-value",
    "source: " + "x" * 200_000: "too-large",
    "a: \0b": "yaml",
    "aspect: 16:9\\n": "wrong-value",
    "--- \nlines: 2\n--- \nlines: 3": "yaml",
}


@pytest.mark.parametrize(("text", "code"), HOSTILE_PROFILES.items())
def test_a_hostile_profile_is_told_and_nothing_of_it_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, code: str
) -> None:
    monkeypatch.chdir(tmp_path)
    own = tmp_path / "quay.yaml"
    own.write_text(text, encoding="utf-8")
    with pytest.raises(CannotDo) as caught:
        profile_of(str(own))
    assert code in {p.code for p in caught.value.problems}
    assert all(p.hint and len(p.message) < 200 for p in caught.value.problems)
    assert [p.name for p in tmp_path.iterdir()] == ["quay.yaml"]


def test_everything_that_is_wrong_with_a_profile_is_told_at_its_place(tmp_path: Path) -> None:
    own = tmp_path / "quay.yaml"
    own.write_text("like: streeming\n\nlines: none\n  \nfont_percent: 101\nsourse: x\n", encoding="utf-8")
    with pytest.raises(CannotDo) as caught:
        profile_of(str(own))
    assert [(p.place.line, p.place.column, p.code) for p in caught.value.problems] == [
        (1, 7, "profile"),
        (3, 8, "wrong-value"),
        (5, 15, "wrong-value"),
        (6, 1, "unknown-key"),
    ]
    for name in ("none.yaml", "x" * 300 + ".yaml", "nul\0.yaml"):
        with pytest.raises(CannotDo):
            profile_of(str(tmp_path / name))


@pytest.mark.parametrize(("text", "width"), [("abc", 3), ("魚のスープ", 10), ("e\u0301", 1), ("מרק", 3)])
def test_columns_count_wide_and_right_to_left_letters(text: str, width: int) -> None:
    """East Asian width: Unicode Standard Annex #11."""
    assert columns(text) == width


MESSY = (
    "\ufeffstray words\r\n\r\n1\r\n0:00:01.5 --> 00:00:03\r\nOne\r\n\r\nstill one\r\n\r\n"
    "00:00:04,000 -> 00:00:06,000 X1:40\r\nTwo, without a number\r\n\r\n\r\n9\r\n00:00:07,000 --> 00:00:08,500\r\nThree"
)


def test_files_in_the_wild_are_read() -> None:
    read = parse_captions(MESSY, "wild.srt")
    assert [(c.start_ms, c.end_ms, c.text) for c in read.cues] == [
        (1500, 3000, "One\n\nstill one"),
        (4000, 6000, "Two, without a number"),
        (7000, 8500, "Three"),
    ]
    assert (read.crlf, read.bom, [p.code for p in read.repairs]) == (
        True,
        True,
        ["after-blank", "odd-time", "stray-text"],
    )


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(encoding: str) -> None:
    text, told = decode("1\n00:00:01,000 --> 00:00:02,000\nCrème fraîche\n".encode(encoding), "f.srt")
    assert parse_captions(text, "f.srt").cues[0].text == "Crème fraîche"
    assert bool(told) is (encoding in ("utf-16", "cp1252"))


def test_webvtt_keeps_its_head_names_and_settings() -> None:
    text = (
        "WEBVTT\n\nSTYLE\n::cue { color: white }\n\nNOTE of the quay\n\nfirst\n00:01.000 --> 00:02.000 line:10%\nOne\n"
    )
    read = parse_captions(text, "f.vtt")
    assert (read.head, read.cues[0].name, read.cues[0].settings) == (
        ("STYLE\n::cue { color: white }", "NOTE of the quay"),
        "first",
        "line:10%",
    )
    assert parse_captions(write_captions(read), "f.vtt").cues[0].text == "One"


BAD = """\
1
00:00:05,000 --> 00:00:07,000
second\u200b

2
00:00:01,000 --> 00:00:05,500
first and all of it

3
00:00:08,000 --> 00:00:08,400


4
00:00:09,013 --> 00:00:11,000
third
"""


def test_fix_repairs_what_is_safe_and_leaves_the_words() -> None:
    sheet = Sheet(parse_captions(BAD, "f.srt"), STREAMING, RATES["25"])
    mended = repair_captions(sheet)
    assert [(c.start_ms, c.end_ms, c.text) for c in mended.cues] == [
        (1000, 5000, "first and all of it"),
        (5000, 7000, "second"),
        (9000, 11000, "third"),
    ]
    assert proof(Sheet(mended, STREAMING, RATES["25"])) == []


def test_rolling_captions_become_each_line_once() -> None:
    lines = ["in goes the butter", "all of it", "soft and glossy", "no colour"]
    shown = [lines[0], *(f"{a}\n{b}" for a, b in itertools.pairwise(lines)), lines[-1]]
    text = "".join(f"{n}\n00:00:{n:02d},000 --> 00:00:{n + 1:02d},000\n{t}\n\n" for n, t in enumerate(shown, 1))
    done = repaired(Sheet(parse_captions(text, "f.srt"), STREAMING))
    assert [c.text for c in done.file.cues] == lines
    assert done.file.cues[-1].end_ms == 6000
    assert done.taken_out == tuple(c.line for c in parse_captions(text, "f.srt").cues[1:])
    assert done.wrong == ()


@pytest.mark.parametrize("times", [2, 3, 9])
@pytest.mark.parametrize("said", ["Thank you.", "Stir.", "♪", "[whisking]"])
def test_what_is_said_again_and_again_is_kept(said: str, times: int) -> None:
    text = "".join(f"{n}\n00:00:{n:02d},000 --> 00:00:{n + 1:02d},000\n{said}\n\n" for n in range(1, times + 1))
    sheet = Sheet(parse_captions(text, "f.srt"), STREAMING)
    assert [c.text for c in repair_captions(sheet).cues] == [said] * times
    assert "rolling" not in [p.code for p in proof(sheet)]


# A line of figures alone may be taken for a number, and an arrow for times: those are repaired, not kept.
lines = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x2FFF, exclude_characters="\u2028\u2029\x85>"),
    min_size=1,
    max_size=30,
)
texts = st.lists(lines.map(str.strip).filter(lambda s: s and not s.isdigit()), min_size=1, max_size=3).map("\n".join)


@settings(max_examples=150)
@given(st.lists(st.tuples(st.integers(1, 5_000), st.integers(1, 9_000), texts), min_size=1, max_size=8))
def test_what_is_written_is_read_back(parts: list[tuple[int, int, str]]) -> None:
    cues, now = [], 0
    for gap, length, text in parts:
        cues.append(ReadCue(now + gap, now + gap + length, text, 1))
        now += gap + length
    for kind in ("srt", "vtt"):
        file = parse_captions("WEBVTT\n" if kind == "vtt" else "", f"f.{kind}")
        again = parse_captions(write_captions(replace(file, kind=kind, cues=tuple(cues))), f"f.{kind}")
        kept = [tuple(line for line in c.text.splitlines() if line.strip()) for c in cues]
        assert [tuple(line for line in c.text.splitlines() if line.strip()) for c in again.cues] == kept
        assert [(c.start_ms, c.end_ms) for c in again.cues] == [(c.start_ms, c.end_ms) for c in cues]


@settings(max_examples=150)
@given(
    st.text(max_size=200)
    | st.lists(st.sampled_from([*GOOD.splitlines(), *MESSY.splitlines(), "-->", "WEBVTT", "-1"])).map("\n".join)
)
def test_any_text_is_read_or_told(text: str) -> None:
    sheet = Sheet(parse_captions(text, "f.srt"), STREAMING, RATES["29.97 drop"])
    proof(sheet)
    mended = repair_captions(sheet)
    assert all(a.start_ms <= b.start_ms for a, b in pairwise(mended.cues))
    again = repair_captions(Sheet(mended, STREAMING, RATES["29.97 drop"]))
    assert [(c.start_ms, c.end_ms, c.text) for c in again.cues] == [(c.start_ms, c.end_ms, c.text) for c in mended.cues]


def test_a_line_that_is_wide_only_as_it_is_rendered_is_told_with_the_room_that_it_has() -> None:
    """As many letters as the line takes, all of them wide."""
    of = next(p for p in profiles().values() if p.line_ems is not None)
    text = "Ŵ" * of.line_length
    cue = f"1\n00:00:01,000 --> 00:00:06,000\n{text}\n"
    (found,) = [p for p in proof(Sheet(parse_captions(cue, "cut.srt"), of)) if p.code == "too-wide"]
    assert re.match(rf"\d+ % of the room it has \({of.name}: ", found.message)
    assert found.place.line == 3
    narrow = cue.replace(text, "ì" * of.line_length)
    assert not [p for p in proof(Sheet(parse_captions(narrow, "cut.srt"), of)) if p.code == "too-wide"]
