"""Reading transcripts: every format, what is said once, what is no speech, and what cannot be used."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.cut.transcript.transcript_reader import looks_like_transcript, read_transcript, spoken
from scriptkit.problems import CannotDo


def read(text: str) -> Transcript:
    return read_transcript(text.encode("utf-8"), "cut.srt")


def said(text: str) -> list[tuple[int, str]]:
    return [(line.start_ms, line.text) for line in read(text).lines]


SRT = """\
1
00:00:01,000 --> 00:00:03,000
In goes the butter,

2
00:00:03,500 --> 00:00:05,000
<i>and</i> the fennel.
"""
VTT = """\
WEBVTT

NOTE exported

00:01.000 --> 00:03.000 align:start
In goes the butter,

00:03.500 --> 00:05.000
<v Cook>and the fennel.
"""
PLAIN = "[0:01] In goes the butter,\n[0:03.5] and the fennel.\n"
ALONE = "0:01\nIn goes the butter,\n0:03.5\nand the fennel.\n"


@pytest.mark.parametrize("text", [SRT, VTT, PLAIN, ALONE], ids=["srt", "vtt", "plain", "time on its own line"])
def test_every_format_says_the_same(text: str) -> None:
    assert said(text) == [(1000, "In goes the butter,"), (3500, "and the fennel.")]
    assert looks_like_transcript(text)


@pytest.mark.parametrize(
    ("stamp", "ms"),
    [("[0:05]", 5_000), ("[12:05]", 725_000), ("[1:02:05]", 3_725_000), ("(0:05.25)", 5_250), ("1:02:05 -", 3_725_000), ("00:05 |", 5_000)],
)  # fmt: skip
def test_stamps_of_plain_lines(stamp: str, ms: int) -> None:
    assert said(f"{stamp} the cream goes in\n") == [(ms, "the cream goes in")]


def test_a_plain_line_lasts_until_the_next_one_at_most() -> None:
    first, second = read("[0:01] one two three four\n[0:02] five\n").lines
    assert (first.end_ms, second.start_ms) == (2000, 2000)


def test_lines_know_where_they_stand() -> None:
    assert [line.line for line in read(SRT).lines] == [2, 6]
    assert [line.line for line in read("\n\n[0:01] a word\nmore\n[0:05] another\n").lines] == [3, 5]


# --- rolling captions -------------------------------------------------------------------------------------------------

# As automatic captions roll: each cue repeats the line above, and between them stands one of a hundredth of a second.
ROLLING = """\
WEBVTT

00:00:01.000 --> 00:00:03.000
soften the fennel in the

00:00:03.000 --> 00:00:03.010
soften the fennel in the

00:00:03.010 --> 00:00:05.000
soften the fennel in the
butter without letting it colour

00:00:05.000 --> 00:00:05.010
butter without letting it colour

00:00:05.010 --> 00:00:07.000
butter without letting it colour
then the stock
"""


def test_what_rolls_is_said_once() -> None:
    assert said(ROLLING) == [
        (1000, "soften the fennel in the"),
        (3010, "butter without letting it colour"),
        (5010, "then the stock"),
    ]


def test_what_grows_word_by_word_is_said_once() -> None:
    words = ["now", "the", "cream", "goes", "in"]
    growing = "\n".join(f"[0:0{n}] {' '.join(words[: n + 1])}" for n in range(5))
    assert " ".join(text for _, text in said(growing)) == "now the cream goes in"


def test_what_is_said_twice_stays_twice() -> None:
    text = "[0:01] stir the cream in\n[0:20] stir the cream in\n"
    assert [words for _, words in said(text)] == ["stir the cream in", "stir the cream in"]


def test_a_word_that_ends_a_line_and_begins_the_next_is_not_lost() -> None:
    assert [w for _, w in said("[0:01] in goes the butter\n[0:02] butter that is cold\n")][1] == "butter that is cold"


@given(st.lists(st.sampled_from(["fennel", "stock", "it", ""]), min_size=1, max_size=6))
@settings(max_examples=50)
def test_rolled_and_plain_captions_give_the_same_words(words: list[str]) -> None:
    plain = [f"{word} then{n}".strip() for n, word in enumerate(words)]  # none repeats the one before of its own accord
    rolled = ["\n".join(plain[max(0, n - 1) : n + 1]) for n in range(len(plain))]
    cues = "\n\n".join(f"00:00:{n:02d},000 --> 00:00:{n:02d},990\n{text}" for n, text in enumerate(rolled))
    assert [text for _, text in said(cues)] == plain


# --- what is no speech ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[Music] the pan is hot", "the pan is hot"),
        ("♪ a jolly tune ♪", ""),
        ("(applause)", ""),
        ("*sizzling*", ""),
        (">> Chop it.", "Chop it."),
        ("- Chop it.", "Chop it."),
        ("butter (200 grams)", "butter (200 grams)"),
        ("salt &amp; pepper", "salt & pepper"),
        (r"{\an8}Chop it.", "Chop it."),
        ("…", ""),
    ],
)
def test_marks_and_sounds_are_dropped(text: str, words: str) -> None:
    assert spoken(text) == words


GERMAN = (
    "[0:01] Heute kochen wir eine Suppe aus Fenchel und Sellerie. Zuerst schneide ich den Sellerie in Würfel, dann kommt\n"
    "[0:09] die Butter in den Topf und der Fenchel dazu. Sieben Minuten weich dünsten, ohne Farbe. Am Ende die Sahne.\n"
)
JAPANESE = "".join(f"[0:0{n}] フェンネル{n} を バター で 炒め ます それ から 水 を 入れ ます\n" for n in range(1, 6))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty-file"),
        (" \n\n", "empty-file"),
        ("soften the fennel\nthen the stock\n", "no-cues"),
        ("[0:01] [Music]\n[0:09] ♪\n", "no-speech"),
        ("1\n00:00:01,000 --> 00:00:02,000\n\n", "no-speech"),
        (GERMAN, "not-english"),
        (JAPANESE, "not-english"),
    ],
    ids=["empty", "blank", "no times", "music", "no text", "german", "japanese"],
)
def test_what_holds_nothing_to_align_is_refused_with_a_hint(text: str, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        read(text)
    assert [p.code for p in refused.value.problems] == [code]
    assert refused.value.problems[0].hint


def test_english_with_few_everyday_words_is_english() -> None:
    listed = "[0:01] Celeriac, dice. Fennel, sliced. Butter, two tablespoons. Fish stock, simmer. Cream and mustard in at the end.\n"
    assert read(
        listed + "[0:20] Chives on top of it, then plate, with salt to taste and the rest of the butter.\n"
    ).lines


def test_times_that_go_back_are_told_and_put_in_order() -> None:
    found = read("[0:09] then the stock\n[0:01] the fennel goes in\n")
    assert [line.start_ms for line in found.lines] == [1000, 9000]
    assert [(p.code, p.place.line) for p in found.problems] == [("order", 2)]


def test_windows_line_ends_marks_and_code_pages() -> None:
    assert said("\ufeff" + SRT.replace("\n", "\r\n")) == said(SRT)
    cp = read_transcript("[0:01] crème fraîche goes in\n".encode("cp1252"), "cut.txt")
    assert cp.lines[0].text == "crème fraîche goes in"
    assert [p.code for p in cp.problems] == ["encoding-unsure"]


@given(st.binary(max_size=300))
@settings(max_examples=60)
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    try:
        found = read_transcript(raw, "x")
    except CannotDo as refused:
        assert refused.problems
        return
    assert all(line.text and line.start_ms < line.end_ms for line in found.lines)
    assert [line.start_ms for line in found.lines] == sorted(line.start_ms for line in found.lines)


@given(st.text(alphabet="[]0123456789:.,->abc \n", max_size=120))
@settings(max_examples=60)
def test_any_stamps_are_read_or_refused(text: str) -> None:
    test = text.encode("utf-8")
    try:
        found = read_transcript(test, "x")
    except CannotDo as refused:
        assert refused.problems
        return
    assert all(line.text and line.start_ms < line.end_ms for line in found.lines)


@pytest.mark.parametrize("hours", [1, 10])
def test_the_whole_hour_at_which_a_programme_starts_is_taken_off_and_said(hours: int) -> None:
    found = read(SRT.replace("00:00:", f"{hours:02d}:00:"))
    assert [(line.start_ms, line.end_ms) for line in found.lines] == [
        (line.start_ms, line.end_ms) for line in read(SRT).lines
    ]
    assert [(p.severity, p.code, p.place.line) for p in found.problems] == [("note", "start-time-code", 2)]
    assert f"{hours:02d}:00:00" in found.problems[0].message


def test_a_row_that_is_kept_over_a_pause_is_said_once() -> None:
    rolling = "1\n00:00:01,000 --> 00:00:03,000\ntwenty grams of mustard\n\n"
    rolling += "2\n00:00:09,000 --> 00:00:12,000\ntwenty grams of mustard\nand the cream\n\n"
    assert said(rolling) == [(1000, "twenty grams of mustard"), (9000, "and the cream")]
    repeated = rolling.replace("\nand the cream", "")
    assert said(repeated) == [(1000, "twenty grams of mustard"), (9000, "twenty grams of mustard")]
