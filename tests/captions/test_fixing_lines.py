"""Each repair of `proof --fix` at its edges: what it leaves alone, and what it makes of times and lines, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import repair_captions, write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES, frames_to_ms
from scriptkit.timed_text.reading import ReadCue, parse_captions

Cues = list[tuple[int, int, str]]

STREAMING = profiles()["streaming"]
OPEN = Profile(name="open", source="no limits of time", limits={"line_length": 42, "lines": 2})
LONG = "x" * 19 + "\n" + "y" * 20  # 40 characters with the space between: 2 s at 20 characters a second
ON, OFF = "On and on.", "Off."


def mended(cues: Cues, *, of: Profile = STREAMING, rate: str = "", head: str = "") -> Cues:
    file = replace(parse_captions(head, "f"), cues=tuple(ReadCue(a, b, text, 1) for a, b, text in cues))
    return [
        (c.start_ms, c.end_ms, c.text) for c in repair_captions(Sheet(file, of, RATES[rate] if rate else None)).cues
    ]


def mended_text(text: str, *, of: Profile = STREAMING, head: str = "") -> str:
    ((_, _, shown),) = mended([(0, 6_000, text)], of=of, head=head)
    return shown


def test_what_one_repair_uncovers_the_next_round_mends() -> None:
    """The line is in the second cue twice; each round finds it once."""
    rolling = [(2_000 * n, 2_000 * n + 2_000, text) for n, text in enumerate(["a", "a\nb", "b\nc", f"c\n{ON}"])]
    assert mended([*rolling, (8_000, 10_000, f"{ON}\n{ON}")])[-1] == (6_000, 10_000, ON)


def test_what_was_wrong_in_reading_is_not_wrong_with_the_mended_file() -> None:
    read = parse_captions("1\n0:00:01.00 --> 00:00:03,000\nStir it in.\n", "f.srt")
    assert [p.code for p in proof(Sheet(read, STREAMING))] == ["odd-time"]
    assert proof(Sheet(repair_captions(Sheet(read, STREAMING)), STREAMING)) == []


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Out --> in.", "Out → in."),
        ("Stir it in,  \nthen wait. \t", "Stir it in,\nthen wait."),  # spaces at the end of a line
        ("Stir it in,\n \t\nthen wait.", "Stir it in,\nthen wait."),
        ("\x00Stir\u200b it\x07\x08 in\ufeff.", "Stir it in."),
        ("St\x1fir\u2060 it\x0e\x1b in.", "Stir it in."),
        ("Stir it i\ufffd.", "Stir it i\ufffd."),  # a letter was there
        ("Stir it in,\x1ethen wait.", "Stir it in,\nthen wait."),
        ("Stir it in,\x0bthen wait.", "Stir it in,\nthen wait."),  # a word processor's line end parts words too
        ("Stir it in,\x0cthen wait.", "Stir it in,\nthen wait."),
    ],
)
def test_characters_that_are_not_seen_go_and_words_stay_apart(text: str, shown: str) -> None:
    assert mended_text(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Salt & pepper.", "Salt &amp; pepper."),
        ("Less than <5 g.", "Less than &lt;5 g."),
        ("<i>Salt</i> &amp; pepper.", "<i>Salt</i> &amp; pepper."),
    ],
)
def test_signs_that_begin_markup_are_escaped_in_webvtt_alone(text: str, shown: str) -> None:
    assert mended_text(text, head="WEBVTT") == shown
    assert mended_text(text) == text


@pytest.mark.parametrize(
    ("times", "left"),
    [
        ((-500, 1), (0, 833)),  # seen for a millisecond: kept, and let stand for the shortest time of the profile
        ((-500, 0), (-500, 0)),  # over before the picture begins: told, and kept as it is
        ((-500, -200), (-500, -200)),
        ((300, -200), (300, -200)),  # reversed: what it should be is a guess
        ((0, -200), (0, -200)),
        ((1, 0), (1, 0)),
        ((0, 0), (0, 0)),  # a transcript that nobody has timed yet: its words stay
    ],
)
def test_no_cue_goes_though_it_is_over_before_the_beginning(times: tuple[int, int], left: tuple[int, int]) -> None:
    assert mended([(*times, "On.")]) == [(*left, "On.")]


def test_a_time_below_zero_is_written_and_read_as_it_was() -> None:
    text = "1\n-00:00:02,000 --> -00:00:01,500\nOn.\n\n2\n00:00:01,000 --> 00:00:03,000\nStir it in.\n"
    read = parse_captions(text, "f.srt")
    assert write_captions(repair_captions(Sheet(read, STREAMING))) == text
    assert [p.code for p in read.repairs if p.code != "odd-time"] == ["negative-time"]


@pytest.mark.parametrize("rate", ["", "25"])
@pytest.mark.parametrize("end", [20_010, 20_000])
def test_reversed_times_stay_as_they_are(end: int, rate: str) -> None:
    """Off a frame, and with a gap after them that would flicker: what they should be is a guess all the same."""
    cues = [(20_010, end, ON), (20_040, 24_000, OFF)]
    assert mended(cues, rate=rate) == cues


@pytest.mark.parametrize(
    ("cues", "ends"),
    # Each repair at its edge, away from the beginning of the film: where it is made, and where it no longer is.
    [
        ([(10_000, 13_000, LONG), (12_000, 14_000, ON)], [12_000, 14_000]),  # ended earlier: 2 s to be read in
        ([(10_000, 13_000, LONG), (11_999, 14_000, ON)], [13_000, 14_000]),
        ([(10_000, 12_000, ON), (12_050, 14_000, OFF)], [12_017, 14_000]),  # a sliver closed to two frames
        ([(10_000, 16_950, ON), (17_033, 19_000, OFF)], [17_000, 19_000]),  # 7 s, as long as a cue may stand
        ([(10_000, 16_951, ON), (17_034, 19_000, OFF)], [16_951, 19_000]),
    ],
)
def test_each_repair_at_its_edge_anywhere_in_the_film(cues: Cues, ends: list[int]) -> None:
    assert mended(cues) == [(start, end, text) for (start, _, text), end in zip(cues, ends, strict=True)]


@pytest.mark.parametrize(
    ("profile", "gap", "closed"),
    [
        ("education", 1, False),  # its source gives no gap
        ("education", 39, False),
        ("public-broadcaster", 999, True),  # a second
        ("public-broadcaster", 1_000, False),
    ],
)
def test_a_gap_is_closed_where_the_profile_gives_one(profile: str, gap: int, closed: bool) -> None:
    cues = [(0, 3_000, ON), (3_000 + gap, 6_000, OFF)]
    left = [(0, 3_000 + gap if closed else 3_000, ON), cues[1]]
    assert mended(cues, of=profiles()[profile]) == left


@pytest.mark.parametrize(
    ("gap", "left"),
    [(0, 3_000), (1, 2_968), (32, 2_999), (33, 3_000), (40, 3_000), (50, 3_017), (499, 3_466), (500, 3_000)],
)
def test_a_sliver_is_closed_to_two_frames(gap: int, left: int) -> None:
    """From the Netflix Timed Text Style Guide (from memory): two frames at least, and gaps under half a second closed to two."""
    for profile in ("streaming", "vertical-short"):
        cues = [(0, 3_000, ON), (3_000 + gap, 6_000, OFF)]
        assert mended(cues, of=profiles()[profile]) == [(0, left, ON), cues[1]]


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("gap_frames", [2, 4])
def test_a_gap_of_as_many_frames_as_asked_for_stays_at_every_rate_and_one_less_is_closed(
    rate: str, gap_frames: int
) -> None:
    """Two frames at 29.97 are 66.7 ms: in whole milliseconds they take 67 in one place of the film and 66 in another."""
    of = STREAMING.with_limits(gap_frames=gap_frames)

    def with_gaps(frames: int) -> Cues:
        starts = range(0, 3_000, 101)  # an odd number, so that they begin at every part of a millisecond
        spans = [(frames_to_ms(n, RATES[rate]), frames_to_ms(n + 101 - frames, RATES[rate])) for n in starts]
        return [(a, b, f"Turn {n}.") for n, (a, b) in enumerate(spans)]

    stays, flickers = with_gaps(gap_frames), with_gaps(gap_frames - 1)
    assert mended(stays, of=of, rate=rate) == stays
    closed = mended(flickers, of=of, rate=rate)
    assert closed[:-1] == stays[:-1]


def test_a_cue_that_the_next_begins_with_is_not_ended_before_it_is_seen() -> None:
    """Even where the profile gives a text no time at all."""
    for start, end in ((0, 3_000), (1, 1)):
        assert mended([(0, 3_000, ON), (start, 4_000, OFF)], of=OPEN) == [(0, end, ON), (start, 4_000, OFF)]


@pytest.mark.parametrize(
    ("cues", "of", "left"),
    [
        # No room to stand longer: 1,000 to 1,015 ms rounds to no frame at all, and gets one.
        ([(1_000, 1_015, ON), (1_100, 4_000, OFF)], STREAMING, [(1_000, 1_040, ON), (1_120, 4_000, OFF)]),
        # 40 ms, a frame: the profile asks for no more, and 59 ms is nearest to frame 1.
        ([(19, 59, ON)], OPEN, [(0, 40, ON)]),
    ],
)
def test_on_the_nearest_frame_and_for_one_at_least(cues: Cues, of: Profile, left: Cues) -> None:
    assert mended(cues, of=of, rate="25") == left


@pytest.mark.parametrize(
    ("profile", "text"),
    [
        ("streaming", "Stir the leeks in,\nthen wait."),  # nothing wrong, though it would fit on one line
        ("streaming", "Leave the mussels in the pot until open,\nthen serve."),  # nor here, though it is uneven
        ("streaming", "- Is it in the\n- It is in the pot."),  # two people
        ("streaming", "– Is it in the\n– It is in the pot."),
        ("streaming", "— Is it in the\n— It is in the pot."),
        ("streaming", " - Are the mussels open, or shall we wait a while?\n - They are."),  # 50 characters: too wide
        # 32 and 32 characters: the one break that there is room for parts “the” from “softened”, and mends nothing.
        ("education", "Stir half of the butter into the softened leeks and the celeriac."),
    ],
)
def test_lines_stay_as_they_are(profile: str, text: str) -> None:
    assert mended_text(text, of=profiles()[profile]) == text


@pytest.mark.parametrize(
    ("profile", "text", "shown"),
    [
        ("streaming", "Stir the\nleeks in.", "Stir the leeks in."),
        # 39 characters, at most 32.
        ("education", "Soften the fennel slowly in the butter.", "Soften the fennel slowly\nin the butter."),
        # Three lines of at most 26.
        (
            "vertical-short",
            "Soften the fennel slowly in the butter, then pour the stock over it.",
            "Soften the fennel slowly\nin the butter, then\npour the stock over it.",
        ),
        # 40 characters of at most 42, but 30.4 em of 29.1: M, W and the ellipsis are wide letters.
        (
            "streaming",
            "MMMMMM… WOW… WARM WHOLE MUSSELS… MMMMMM…",
            "MMMMMM… WOW…\nWARM WHOLE MUSSELS… MMMMMM…",
        ),
    ],
)
def test_lines_are_broken_anew(profile: str, text: str, shown: str) -> None:
    assert mended_text(text, of=profiles()[profile]) == shown


SUBRIP = """\
1
00:00:01,000 --> 00:00:03,000
Stir it in,
then wait.

2
00:00:04,000 --> 00:00:06,000
Off the heat.
"""


def test_line_ends_of_subrip_are_written_as_they_were() -> None:
    dos = SUBRIP.replace("\n", "\r\n")
    assert write_captions(parse_captions(dos, "f.srt")) == dos
    assert write_captions(parse_captions(SUBRIP, "f.srt")) == SUBRIP


def test_webvtt_is_written_with_plain_line_ends_whatever_it_had() -> None:
    text = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nStir it in,\nthen wait.\n"
    assert write_captions(parse_captions(text.replace("\n", "\r\n"), "f.vtt")) == text
