"""`proof --fix` counts the letters that a viewer reads, and takes `>>` for another speaker, as `proof` does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.timed_text.reading import ReadCue, parse_captions

Cues = list[tuple[int, int, str]]
STREAMING = profiles()["streaming"]


def sheet_of(cues: Cues, *, of: Profile = STREAMING, kind: str = "vtt") -> Sheet:
    read = tuple(ReadCue(a, b, text, 10 * n) for n, (a, b, text) in enumerate(cues, 1))
    return Sheet(replace(parse_captions("", "f"), kind=kind, cues=read), of)


def mended(cues: Cues, *, of: Profile = STREAMING, kind: str = "vtt") -> Cues:
    return [(c.start_ms, c.end_ms, c.text) for c in repair_captions(sheet_of(cues, of=of, kind=kind)).cues]


def lines_of(text: str, *, of: Profile = STREAMING, kind: str = "vtt") -> str:
    ((_, _, shown),) = mended([(0, 7_000, text)], of=of, kind=kind)
    return shown


def codes_of(text: str, *, kind: str = "vtt") -> list[str]:
    return [p.code for p in proof(sheet_of([(0, 7_000, text)], kind=kind))]


FORTY = "Salt &amp; pepper, butter and a lemon, all."  # 39 letters as it is read, 1.95 s at 20 a second


@pytest.mark.parametrize(
    ("cues", "times"),
    [
        ([(0, 1_000, FORTY)], [(0, 1_950)]),  # stands as long as it takes to read
        ([(0, 3_000, FORTY), (1_950, 4_000, "On.")], [(0, 1_950), (1_950, 4_000)]),  # ends where the next begins
        ([(0, 3_000, FORTY), (1_949, 4_000, "On.")], [(0, 3_000), (1_949, 4_000)]),
    ],
)
def test_a_reference_of_webvtt_takes_as_long_as_the_letter_it_is(cues: Cues, times: list[tuple[int, int]]) -> None:
    assert [(start, end) for start, end, _ in mended(cues)] == times


def test_in_subrip_it_takes_as_long_as_its_letters() -> None:
    """43 of them take 2.15 s: there they are seen."""
    ((start, end, _),) = mended([(0, 1_000, FORTY)], kind="srt")
    assert (start, end) == (0, 2_150)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        # 42 letters as they are read: it fits.
        ("Salt &amp; pepper, butter and a lemon for all.", "Salt &amp; pepper, butter and a lemon for all."),
        # 44: it is broken after the comma, and every reference stays as it is written.
        (
            "Salt &amp; pepper, butter &#38; a lemon for all, on.",
            "Salt &amp; pepper,\nbutter &#38; a lemon for all, on.",
        ),
        ("Stir the&nbsp;leeks in the\nbutter.", "Stir the&nbsp;leeks in the butter."),
        ("Stir less than &lt;b&gt; in the\npot.", "Stir less than &lt;b&gt; in the pot."),
        ("It&#39;s in the\npot &amp; soft.", "It&#39;s in the pot &amp; soft."),
        # What is no reference of one letter, a browser shows as it is written, or as two: it is left alone.
        ("Stir &leeks; in the\npot.", "Stir &leeks; in the\npot."),
        ("Stir &nGt; in the\npot.", "Stir &nGt; in the\npot."),
        # Wide letters take two columns each, and a line may end between them: 49 with the signs, at most 42.
        ("魚の汁&amp;" * 7, f"{'魚の汁&amp;' * 3}魚の\n汁&amp;{'魚の汁&amp;' * 3}"),
    ],
)
def test_a_line_is_as_wide_as_it_is_read(text: str, shown: str) -> None:
    assert lines_of(text) == shown
    assert lines_of(shown) == shown


def test_a_no_break_space_stays_when_lines_are_broken_anew() -> None:
    assert lines_of("Stir 30\u00a0g of it in the\nbutter.", kind="srt") == "Stir 30\u00a0g of it in the butter."


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("srt", ">> Is it in the\n>> It is."),
        ("srt", "Is it in the\n>> It is."),
        ("srt", ">>> Is it in the\n>>It is."),
        ("vtt", "&gt;&gt; Is it in the\n&gt;&gt; It is."),
        ("vtt", ">> Is it in the\n- It is."),
    ],
)
def test_what_two_people_say_is_never_one_line_and_no_break_is_told_there(kind: str, text: str) -> None:
    assert lines_of(text, kind=kind) == text
    assert codes_of(text, kind=kind) == []


def test_what_one_speaker_says_in_two_lines_is_held_to_the_rule_all_the_same() -> None:
    assert codes_of(">> Is it in the\npot?", kind="srt") == ["break"]
    assert codes_of("Is it in the\n> pot?", kind="srt") == ["break"]
