"""`proof --fix` on rolling captions: a line that a viewer has just read goes, however it is written, and no tag is halved."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import join_repeats, repair_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.timed_text.markup import plain_lines
from scriptkit.timed_text.reading import ReadCue, parse_captions

OPEN = Profile(name="open", source="no limits of time", limits={"line_length": 42, "lines": 9})


BEFORE = ["one\ntwo", "two\nthree", "three\nfour", "four\nfive"]
"""Cues by which the file is one that rolls; they end 2 s before the cues of a test."""


def sheet_of(texts: list[str], kind: str = "srt") -> Sheet:
    before = [ReadCue(2_000 * n - 10_000, 2_000 * n - 8_000, text, 10 * n - 98) for n, text in enumerate(BEFORE)]
    cues = (*before, *(ReadCue(2_000 * n, 2_000 * (n + 1), text, 10 * n + 2) for n, text in enumerate(texts)))
    cues = tuple(replace(c, start_ms=c.start_ms + 20_000, end_ms=c.end_ms + 20_000) for c in cues)
    return Sheet(replace(parse_captions("", "f"), kind=kind, cues=cues), OPEN)


def mended(*texts: str, kind: str = "srt") -> list[str]:
    return [cue.text for cue in repair_captions(sheet_of(list(texts), kind)).cues[len(BEFORE) :]]


def codes(sheet: Sheet) -> list[str]:
    return [p.code for p in proof(sheet) if p.place.line > 0]


@pytest.mark.parametrize(
    ("kind", "first", "second", "left"),
    [
        ("vtt", "stir<00:00:01.500><c> it</c>", "stir it", []),
        ("vtt", "stir<00:00:01.500><c> it</c>", "stir it\nthen<00:00:02.500><c> wait</c>", ["then<00:00:02.500><c> wait</c>"]),
        ("vtt", "salt &amp; butter", "salt &#38; butter\nthen wait", ["then wait"]),
        ("srt", "salt &amp; butter", "salt & butter\nthen wait", ["salt & butter\nthen wait"]),  # five letters in SubRip
        ("srt", "<i>stir it</i>", "stir it\nthen wait", ["then wait"]),
        ("srt", "stir it", " stir it\nthen wait", ["then wait"]),  # as wide as it is, it stands in the middle
        ("srt", "wait\nstir it", "<i>\nstir it\nthen wait</i>", ["<i>then wait</i>"]),
        ("srt", "stir <font\ncolor='red'>it</font>", "stir it\nthen wait", ["then wait"]),  # a tag over two lines
        ("srt", "stir it", "stir <font\ncolor='red'>it</font>\nthen wait", ["then wait"]),
        ("vtt", "stir it", "stir it&#10;then wait", ["stir it&#10;then wait"]),  # no line of the file to take out
        ("vtt", "stir it", "&nbsp;", ["&nbsp;"]),  # nothing that could be a repeat
    ],
)  # fmt: skip
def test_a_line_is_repeated_where_it_reads_the_same(kind: str, first: str, second: str, left: list[str]) -> None:
    assert mended(first, second, kind=kind) == [first, *left]


def test_a_cue_that_only_repeats_lets_the_one_before_it_stand_as_long() -> None:
    (cue,) = repair_captions(sheet_of(["<i>stir it</i>", "stir it", "<b>stir</b> it"])).cues[len(BEFORE) :]
    assert (cue.start_ms, cue.end_ms, cue.text) == (20_000, 26_000, "<i>stir it</i>")


@pytest.mark.parametrize(
    ("text", "left"),
    # What is left of a cue that begins with “stir it”, which was read before.
    [
        ("<i>stir it\nthen wait</i>", "<i>then wait</i>"),  # still open: kept whole
        ("<i>stir it</i>\nthen wait", "then wait"),  # closed: it goes whole
        ("<i><b>stir it</b>\nthen wait</i>", "<i>then wait</i>"),
        ("<b>stir</b> <B>it\nthen</b> wait", "<B>then</b> wait"),
        ("stir</i> it\nthen wait", "then wait"),  # what closed nothing goes
        ('<font\ncolor="red">stir it\nthen wait</font>', '<font\ncolor="red">then wait</font>'),
        ("<v Cook>stir it\nthen wait", "<v Cook>then wait"),  # whose voice it is
        ("<c.yellow>stir<00:00:02.500> it\nthen<00:00:03.000> wait</c>", "<c.yellow>then<00:00:03.000> wait</c>"),
        ("{\\an8}stir it\nthen wait", "{\\an8}then wait"),  # of the whole cue: it stands at the top
        ("{\\an8}<i>stir it\nthen wait</i>", "{\\an8}<i>then wait</i>"),
        ("stir it<BR>\nthen wait", "then wait"),  # a tag that never closes
        ("stir <br/>it\nthen wait", "then wait"),
    ],
)
def test_no_tag_is_halved(text: str, left: str) -> None:
    assert mended("stir it", text) == ["stir it", left]
    assert "markup" not in codes(fixed_sheet(["stir it", left]))


def test_very_many_tags_are_read_at_once() -> None:
    """Neither `proof` nor `--fix` looks through those that are open anew at each that closes."""
    many = "<i>" * 100_000 + "</b>" * 100_000
    assert mended("stir it", f"{many}stir it\nthen wait") == ["stir it", "<i>" * 100_000 + "then wait"]
    assert codes(sheet_of([f"{many}stir it"])) == ["markup"]
    assert mended("stir it", f"{'<i>' * 100_000}{'</i>' * 100_000}stir it\nthen wait") == ["stir it", "then wait"]


def fixed_sheet(texts: list[str], kind: str = "srt") -> Sheet:
    sheet = sheet_of(texts, kind)
    return replace(sheet, file=repair_captions(sheet))


PARTS = [
    "stir it",
    "then wait",
    "\n",
    "<i>",
    "</i>",
    "<b>",
    "</b>",
    '<font\ncolor="red">',
    "</font>",
    "<v Cook>",
    "{\\an8}",
]
TEXTS = st.lists(st.lists(st.sampled_from(PARTS), min_size=1, max_size=8).map("".join), min_size=2, max_size=4)


@settings(max_examples=60)
@given(TEXTS, st.sampled_from(["srt", "vtt"]))
def test_what_proof_calls_repeated_is_joined_and_no_tag_is_worse_than_it_was(texts: list[str], kind: str) -> None:
    sheet = sheet_of(texts, kind)
    after = fixed_sheet(texts, kind)
    assert "rolling" not in codes(after)
    assert codes(after).count("markup") <= codes(sheet).count("markup")
    if codes(sheet).count("rolling") == 0:
        assert [plain_lines(c.text, kind) for c in join_repeats(list(sheet.cues), sheet)[len(BEFORE) :]] == [
            plain_lines(text, kind) for text in texts
        ]


def test_cues_of_very_many_lines_are_compared_at_once() -> None:
    """No player rolls more than a few: only the last lines of the cue above are looked for."""
    many = "x\n" * 200_000
    sheet = sheet_of([many + "y", many + "z"])
    assert codes(sheet) == ["lines", "lines"]
    assert len(repair_captions(sheet).cues) == len(BEFORE) + 2


LINES = ["welcome to the quay", "today we make a soup", "with leeks and barley", "and a bit of cider", "that is all"]


@pytest.mark.parametrize(("length", "gap"), [(2_000, 0), (4_000, -2_000), (2_000, 300), (2_000, 2_500)])
def test_captions_that_roll_without_tags_are_known_by_the_whole_file(length: int, gap: int) -> None:
    """Each cue begins with the last line of the one before; whether they overlap, meet or pause."""
    shown = [LINES[0], *(f"{a}\n{b}" for a, b in itertools.pairwise(LINES))]
    starts = [n * (length + gap) for n in range(len(shown))]
    cues = tuple(ReadCue(at, at + length, text, 10 * at + 2) for at, text in zip(starts, shown, strict=True))
    sheet = Sheet(replace(parse_captions("", "f"), kind="srt", cues=cues), OPEN)
    assert codes(sheet).count("rolling") == len(LINES) - 1
    after = replace(sheet, file=repair_captions(sheet))
    assert [c.text for c in after.cues] == LINES
    assert "rolling" not in codes(after)


def test_a_refrain_after_a_pause_is_said_again() -> None:
    """Also where the file rolls, a line that comes alone after a pause is new; and where few cues repeat a line, none rolls."""
    sheet = sheet_of(["stir it", "stir it"])
    apart = (*sheet.cues[:-1], replace(sheet.cues[-1], start_ms=23_000, end_ms=24_000))
    assert [c.text for c in repair_captions(replace(sheet, file=replace(sheet.file, cues=apart))).cues[-2:]] == [
        "stir it"
    ] * 2
    song = [
        "fold\nand fold",
        "and fold\nthen wait",
        "low heat",
        "low heat\nand stir",
        "and stir",
        "taste it",
        "and salt",
        "done",
    ]
    cues = tuple(ReadCue(3_000 * n, 3_000 * n + 2_000, text, 9 * n + 2) for n, text in enumerate(song))
    quiet = Sheet(replace(parse_captions("", "f"), kind="srt", cues=cues), OPEN)
    assert "rolling" not in codes(quiet) and [c.text for c in repair_captions(quiet).cues] == song


ROLLED = """WEBVTT

00:00:01.000 --> 00:00:03.000
soften<00:00:01.400><c> it</c>

00:00:03.000 --> 00:00:03.010
soften it

00:00:03.010 --> 00:00:06.000
soften it
stir<00:00:03.500><c> it</c>

00:00:06.000 --> 00:00:06.010
stir it

00:00:06.010 --> 00:00:09.000
stir it
{last}
"""


@pytest.mark.parametrize(
    ("last", "left"),
    [
        ("stir<00:00:06.500><c> it</c>", 3),  # the same words, spoken once more
        ("stir<00:00:03.500><c> it</c>", 2),  # with the times of the line before: shown once more
        ("stir it", 2),
    ],
)
def test_words_with_times_after_the_cue_begins_are_spoken_anew(last: str, left: int) -> None:
    mended = repair_captions(Sheet(parse_captions(ROLLED.format(last=last), "f"), OPEN))
    assert [plain_lines(c.text, "vtt") for c in mended.cues] == [("soften it",), ("stir it",), ("stir it",)][:left]
    assert not [p for p in proof(Sheet(mended, OPEN)) if p.code == "rolling"]
