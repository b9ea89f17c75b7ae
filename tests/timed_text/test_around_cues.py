"""What stands around the cues: nothing of it is lost, and what is read as a part of a cue or moved is told."""

from __future__ import annotations

import pytest

from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing.losses import taken_as
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.timed_text.encodings import STRAY, SURE, decode
from scriptkit.timed_text.reading import parse_captions

OPEN = Profile(name="open", source="no limits of time", limits={"line_length": 99, "lines": 9})


def told(text: str, name: str = "f.srt") -> list[tuple[int, str]]:
    return [(p.place.line, p.code) for p in proof(Sheet(parse_captions(text, name), OPEN))]


def mended(text: str, name: str = "f.srt") -> str:
    return write_captions(repair_captions(Sheet(parse_captions(text, name), OPEN)))


ONE = "1\n00:00:01,000 --> 00:00:03,000"


@pytest.mark.parametrize(
    ("text", "line", "left"),
    [
        (f"{ONE}\nSalt.\n\nAnd butter.\n", 5, f"{ONE}\nSalt.\nAnd butter.\n"),
        (f"{ONE}\nSalt.\n \nAnd butter.\n", 5, f"{ONE}\nSalt.\nAnd butter.\n"),
        (f"{ONE}\n\nSalt.\n\n\n2\n\nAnd butter.\n", 7, f"{ONE}\nSalt.\n2\nAnd butter.\n"),
    ],
)
def test_words_after_a_blank_line_of_a_cue_are_told_before_and_after(text: str, line: int, left: str) -> None:
    assert told(text) == [(line, "after-blank")]
    assert mended(text) == left
    (after,) = taken_as(parse_captions(text, "f.srt"))
    assert (after.place.line, after.severity) == (
        line,
        "note",
    ) and "written as part of the cue on line 2" in after.message


@pytest.mark.parametrize("text", [f"{ONE}\n\nSalt,\nbutter.\n\n\n", f"{ONE}\nSalt,\n  butter.\n \n"])
def test_blank_lines_that_part_no_words_are_nothing_to_tell(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    ("by_times", "under", "codes", "left"),
    [
        ("Salt.", "Butter.\n", [(2, "by-times")], "\nSalt.\nButter.\n"),
        ("Salt.", "", [(2, "by-times")], "\nSalt.\n"),
        ("X1:40 X2:600 Y1:20 Y2:50", "Butter.\n", [], " X1:40 X2:600 Y1:20 Y2:50\nButter.\n"),
        ("align:start position:10%", "Butter.\n", [], " align:start position:10%\nButter.\n"),
    ],
)
def test_what_stands_on_the_line_of_times_is_kept(
    by_times: str, under: str, codes: list[tuple[int, str]], left: str
) -> None:
    text = f"{ONE} {by_times}\n{under}"
    assert told(text) == codes
    assert mended(text) == f"{ONE}{left}"


BLOCKS = """\
WEBVTT of the quay
X-TIMESTAMP-MAP=LOCAL:00:00:00.000,MPEGTS:900000
Kind: captions

NOTE first

one
00:00:01.000 --> 00:00:03.000 line:80% align:start
Salt.

STYLE
::cue { color: yellow }

NOTE
between

00:00:04.000 --> 00:00:06.000
Butter.

REGION
id:foot

NOTE last
"""


def test_every_block_of_webvtt_is_written_and_late_ones_are_moved_and_told() -> None:
    assert told(BLOCKS, "f.vtt") == [(11, "late-block"), (20, "late-block")]
    style, region = "STYLE\n::cue { color: yellow }\n\n", "REGION\nid:foot\n\n"
    expected = BLOCKS.replace(style, "").replace(region, "").replace("\none\n", f"\n{style}{region}one\n")
    assert mended(BLOCKS, "f.vtt") == write_captions(parse_captions(BLOCKS, "f.vtt")) == expected
    assert (told(expected, "f.vtt"), mended(expected, "f.vtt")) == ([], expected)
    assert [p.place.line for p in taken_as(parse_captions(BLOCKS, "f.vtt"))] == [11, 20]


def test_a_header_stays_right_under_webvtt_and_anything_else_there_is_told() -> None:
    head = "WEBVTT\nKind: captions\nLanguage: en\n\n00:00:01.000 --> 00:00:03.000\nSalt.\n"
    assert (told(head, "f.vtt"), mended(head, "f.vtt")) == ([], head)
    style = head.replace("Kind: captions\nLanguage: en", "STYLE\n::cue { color: red }")
    assert told(style, "f.vtt") == [(2, "vtt-signature")]
    assert mended(style, "f.vtt") == style.replace("WEBVTT\n", "WEBVTT\n\n")


RIGHT = "A crème brûlée.\nThen a caf{} outside.\n"


@pytest.mark.parametrize(
    ("byte", "read", "codes"),
    [
        (b"\xe9", "é", [(2, STRAY)]),
        (b"\xe9\x92", "\ufffd", [(2, SURE)]),  # two may be anything
        (b"\xc3", "\ufffd", [(2, SURE)]),  # rather the first half of a letter
        (b"\xa8", "\ufffd", [(2, SURE)]),  # and the second
        (b"\x92", "’", [(2, STRAY)]),
    ],
)
def test_a_byte_that_is_no_utf8_is_read_where_that_is_sure_and_never_dropped(
    byte: bytes, read: str, codes: list[tuple[int, str]]
) -> None:
    text, problems = decode(RIGHT.encode().replace(b"{}", byte), "cut.srt")
    assert text == RIGHT.replace("{}", read)
    assert [(p.place.line, p.code) for p in problems] == codes


def test_among_letters_of_another_script_a_stray_byte_is_not_guessed() -> None:
    text, (told_of,) = decode("Сливки, масло и caf\n".encode().replace(b"caf", b"caf\xe9"), "cut.srt")
    assert text == "Сливки, масло и caf\ufffd\n" and told_of.code == SURE


def test_a_broken_character_stays_where_it_was_and_is_told() -> None:
    text = f"{ONE}\nThen a caf\ufffd\u200b outside.\n"
    assert told(text) == [(2, "characters"), (3, "characters")]
    assert mended(text) == text.replace("\u200b", "")
    assert told(mended(text)) == [(3, "characters")]
