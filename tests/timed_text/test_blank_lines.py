"""What ends a cue: in WebVTT an empty line and nothing else (W3C, WebVTT cue text block), in SubRip the next cue alone; and on
which line of the file what follows is told."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.misheard import misheard
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.timed_text.reading import parse_captions

STREAMING = profiles()["streaming"]


def told(text: str) -> list[tuple[int, str, str]]:
    return [(p.place.line, p.code, p.message) for p in proof(Sheet(parse_captions(text, "f"), STREAMING))]


def texts(text: str) -> list[str]:
    return [cue.text for cue in parse_captions(text, "f").cues]


def mended(text: str) -> str:
    return write_captions(repair_captions(Sheet(parse_captions(text, "f"), STREAMING)))


# Automatic captions: the row above is one space while nothing rolls there, and each line stands still for a moment.
AUTOMATIC = """\
WEBVTT

00:00:01.000 --> 00:00:03.000 align:start position:0%
{}
stir<00:00:01.500><c> the</c><00:00:02.000><c> leeks</c>

00:00:03.000 --> 00:00:03.010 align:start position:0%
stir the leeks
{}

00:00:03.010 --> 00:00:05.000 align:start position:0%
stir the leeks
in<00:00:03.500><c> the</c><00:00:04.000><c> butter</c>
""".replace("{}", " ")


def test_a_line_of_one_space_does_not_end_a_cue_of_webvtt() -> None:
    assert texts(AUTOMATIC) == [
        " \nstir<00:00:01.500><c> the</c><00:00:02.000><c> leeks</c>",
        "stir the leeks\n ",
        "stir the leeks\nin<00:00:03.500><c> the</c><00:00:04.000><c> butter</c>",
    ]
    assert not {"empty", "stray-text"} & {code for _, code, _ in told(AUTOMATIC)}


def test_automatic_captions_are_mended_to_each_line_once_and_no_word_is_lost() -> None:
    assert mended(AUTOMATIC) == (
        "WEBVTT\n\n00:00:01.000 --> 00:00:03.010 align:start position:0%\n"
        "stir<00:00:01.500><c> the</c><00:00:02.000><c> leeks</c>\n\n"
        "00:00:03.010 --> 00:00:05.000 align:start position:0%\n"
        "in<00:00:03.500><c> the</c><00:00:04.000><c> butter</c>\n"
    )
    assert told(mended(AUTOMATIC)) == []


def test_a_transcript_of_automatic_captions_has_its_words_from_the_moment_they_are_said() -> None:
    first, then = read_transcript(AUTOMATIC.encode(), "cut.vtt").lines
    assert (first.start_ms, first.text) == (1_000, "stir the leeks")
    assert (then.start_ms, then.text) == (3_010, "in the butter")


@pytest.mark.parametrize("blank", [" ", "   ", "\t", "\u00a0", "\u3000"])
@pytest.mark.parametrize("kind", ["vtt", "srt"])
def test_no_text_is_lost_at_a_line_of_spaces(kind: str, blank: str) -> None:
    text = f"00:00:01.000 --> 00:00:03.000\n{blank}\nStir it in,\n{blank}\nthen wait.\n\n00:00:04.000 --> 00:00:06.000\nOn.\n"
    if kind == "vtt":
        text = f"WEBVTT\n\n{text}"
    assert texts(text) == [f"{blank}\nStir it in,\n{blank}\nthen wait.", "On."]
    assert texts(write_captions(parse_captions(text, "f"))) == texts(text)
    assert texts(mended(text)) == ["Stir it in,\nthen wait.", "On."]


@pytest.mark.parametrize("separator", ["", " ", "   ", "\t", " \n\n  ", "\n   \n"])
def test_cues_of_subrip_are_parted_by_lines_of_spaces_too(separator: str) -> None:
    text = (
        f"1\n00:00:01,000 --> 00:00:03,000\nStir it in,\nthen wait.\n{separator}\n"
        f"2\n00:00:04,000 --> 00:00:06,000\nOff the heat.\n{separator}\n"
        f"00:00:07,000 --> 00:00:09,000\nOn. \n{separator}\n"
    )
    assert texts(text) == ["Stir it in,\nthen wait.", "Off the heat.", "On. "]
    assert told(text) == []


def test_only_an_empty_line_ends_a_cue_of_webvtt_before_its_name_or_note() -> None:
    """A name under a line of spaces is the end of the text before it, and is shown."""
    text = "WEBVTT\n\n00:01.000 --> 00:03.000\nSalt,\n{}\n{}\n00:04.000 --> 00:06.000\nOn.\n"
    assert texts(text.format("", "two")) == ["Salt,", "On."]
    assert texts(text.format(" ", "and butter")) == ["Salt,\n \nand butter", "On."]
    assert texts(text.format(" ", "NOTE salt\n")) == ["Salt,\n \nNOTE salt", "On."]
    (_, named) = parse_captions(text.format("", "two"), "f").cues
    assert named.name == "two"


def test_under_the_first_line_of_webvtt_a_line_of_spaces_parts_the_first_name() -> None:
    (cue,) = parse_captions("WEBVTT\n \nfirst\n00:01.000 --> 00:03.000\nSalt.\n", "f").cues
    assert (cue.name, cue.text) == ("first", "Salt.")


def test_text_that_no_times_stand_over_is_told_on_its_line_wherever_it_stands() -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:03.000\nSalt.\n\n\n\n\nstray\n\n \nand salt\n\n00:04.000 --> 00:06.000\nOn.\n\nand more\n"
    assert told(text) == [
        (9, "stray-text", "“stray” belongs to no cue"),
        (12, "stray-text", "“and salt” belongs to no cue"),
        (17, "stray-text", "“and more” belongs to no cue"),
    ]


def test_a_note_after_the_last_cue_is_kept() -> None:
    text = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nSalt.\n\nNOTE to be timed anew\nby hand\n\nNOTE thanks\n"
    assert told(text) == []
    assert write_captions(parse_captions(text, "f.vtt")) == mended(text) == text


WIDE = "Stir the leeks into the butter until all of it is soft."  # 55 characters, at most 42
UNDER = "00:00:01,000 --> 00:00:06,000\n{}" + f"On.\n{WIDE}\n"


@pytest.mark.parametrize("blank", ["", "\n", "\n\n", " \n", "\n \n"])
def test_a_blank_line_under_the_times_puts_no_line_of_a_problem_off(blank: str) -> None:
    text = "1\n" + UNDER.format(blank)
    wide = 4 + blank.count("\n")
    assert text.split("\n")[wide - 1] == WIDE
    assert told(text) == [(wide, "too-wide", "55 characters, at most 42 (streaming)")]
    heard = parse_captions(text.replace(WIDE, "Soften the leaks."), "f")
    assert [p.place.line for p in misheard(heard, frozenset())] == [wide]


def test_a_blank_line_under_the_times_is_not_written_again() -> None:
    """Some players end a cue at it."""
    text = "1\n00:00:01,000 --> 00:00:06,000\nOn.\n"
    assert write_captions(parse_captions(text.replace("\nOn", "\n\n\nOn"), "f.srt")) == text


def by_the_standard(text: str) -> list[str]:
    """The texts of the cues as the W3C's parser collects its blocks: up to an empty line or the next line with an arrow."""
    lines, found = text.split("\n")[1:], []
    at = 0
    while at < len(lines):
        over, at = at, next((n for n in range(at, len(lines)) if not lines[n]), len(lines))
        block = lines[over:at]
        starts = [n for n, line in enumerate(block) if "-->" in line]
        ends = [*starts[1:], len(block)]
        found += ["\n".join(block[a + 1 : b]) for a, b in zip(starts, ends, strict=False)]
        at += 1
    return found


LINES = ["", "", " ", "Salt.", "one", "NOTE on", "00:01.000 --> 00:03.000", "00:01.000 --> 00:03.000"]


@settings(max_examples=60)
@given(st.lists(st.sampled_from(LINES), max_size=14).map("\n".join))
def test_a_cue_of_webvtt_is_what_the_standard_says(lines: str) -> None:
    text = f"WEBVTT\n\n{lines}"
    assert texts(text) == by_the_standard(text)
    assert texts(write_captions(parse_captions(text, "f"))) == texts(text)
