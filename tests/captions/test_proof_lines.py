"""What `proof` tells away from the beginning of a film, in files that other programs wrote, and what it leaves alone."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.limits import close_slivers
from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES, frames_to_ms, rate_named
from scriptkit.problems import Place, error
from scriptkit.timed_text.reading import ReadCue, parse_captions

Cues = list[tuple[int, int, str]]

STREAMING = profiles()["streaming"]
OPEN = Profile(name="open", source="no limits of time or of the font", limits={"line_length": 42, "lines": 2})
TEN_EMS = replace(OPEN, name="ten", aspect="1:1").with_limits(
    safe_percent=90, font_percent=9
)  # 90 % of a square, set in 9 % of it
SOFT, ON = "Soft and glossy.", "On and on."
ANEW = "break the line, or use fewer words"


def sheet_of(cues: Cues, *, of: Profile = STREAMING, rate: str = "", kind: str = "srt") -> Sheet:
    """Cues of a file, each on line 10, 20, … of it."""
    read = tuple(ReadCue(a, b, text, 10 * n) for n, (a, b, text) in enumerate(cues, 1))
    return Sheet(replace(parse_captions("", "f"), kind=kind, cues=read), of, RATES[rate] if rate else None)


def told(cues: Cues, *, of: Profile = STREAMING, rate: str = "", kind: str = "srt") -> list[tuple[int, str, str]]:
    return [(p.place.line, p.code, p.message) for p in proof(sheet_of(cues, of=of, rate=rate, kind=kind))]


def told_of(text: str, *, of: Profile = STREAMING, kind: str = "srt") -> list[tuple[int, str, str]]:
    return told([(0, 7_000, text)], of=of, kind=kind)


def test_a_file_without_a_cue_is_told() -> None:
    found = error(
        Place("cut.srt"),
        "no-cues",
        "the file has no cues",
        "name a SubRip, WebVTT, TTML or ASS file",
    )
    assert proof(Sheet(parse_captions("", "cut.srt"), STREAMING)) == [found]


@pytest.mark.parametrize(
    ("cues", "found"),
    # How far off, where the cue does not begin with the film.
    [
        ([(20_000, 22_000, SOFT), (5_000, 7_000, ON)], [(20, "order", "begins 15 s before the cue above it")]),
        ([(10_000, 10_803, ON)], [(10, "too-short", "stands 0.803 s, at least 0.833 s (streaming)")]),
        ([(10_000, 17_001, SOFT)], [(10, "too-long", "stands 7.001 s, at most 7 s (streaming)")]),
        # A millisecond is a time, if no time to read in: 16 letters take 0.8 s at 20 a second.
        ([(10_000, 10_001, SOFT)], [
            (10, "too-fast", "takes 0.8 s to read and stands 0.001 s (streaming)"),
            (10, "too-short", "stands 0.001 s, at least 0.833 s (streaming)"),
        ]),
        ([(10_000, 10_000, SOFT)], [(10, "reversed", "the cue lasts no time")]),
    ],
)  # fmt: skip
def test_how_far_off_anywhere_in_the_film(cues: Cues, found: list[tuple[int, str, str]]) -> None:
    assert told(cues) == found


@pytest.mark.parametrize("stands", [1, 60_000])
def test_a_profile_without_limits_of_time_tells_none(stands: int) -> None:
    assert told([(10_000, 10_000 + stands, SOFT)], of=OPEN) == []


def test_every_cue_off_a_frame_is_told_once_and_times_below_zero_are_not() -> None:
    """At 25 frames a second; a time below zero is told as that, in reading."""
    cues = [(1_010, 2_010, SOFT), (3_000, 4_010, ON), (5_000, 6_000, ON)]
    lies = "lies between two frames at 25"
    assert told(cues, rate="25") == [(10, "off-frame", f"1.01 s {lies}"), (20, "off-frame", f"4.01 s {lies}")]
    assert told(cues) == []
    assert told([(-1_010, 1_000, SOFT)], rate="25") == []


@pytest.mark.parametrize(
    ("of", "text", "found"),
    [
        # In DejaVu Sans a W is 0.989 em, an em dash 1 em, an i 0.278 em; the line of streaming is 29.09 em.
        (STREAMING, "W" * 29, []),  # 28.7 em
        (STREAMING, "W" * 42, [(11, "143 %")]),  # 41.5 em
        (STREAMING, f"Piñata of leeks.\n{'W' * 42}", [(12, "143 %")]),  # a line with ñ over it, which is narrow
        (TEN_EMS, "—" * 10, []),  # just as wide as its line
        (TEN_EMS, "—" * 5 + "i" * 18, [(11, "101 %")]),  # 10.004 em: “100 % of the room” would tell nothing
        (TEN_EMS, "—" * 15, [(11, "150 %")]),
    ],
)
def test_a_line_is_as_wide_as_it_is_rendered(of: Profile, text: str, found: list[tuple[int, str]]) -> None:
    size = f"{of.name}: DejaVu Sans, type of {of.font_percent} % of the picture's height"
    assert told_of(text, of=of) == [(line, "too-wide", f"{room} of the room it has ({size})") for line, room in found]


@pytest.mark.parametrize(("letters", "wide"), [(42, False), (43, True)])
def test_a_profile_without_a_font_counts_letters_alone(letters: int, wide: bool) -> None:
    found = [(11, "too-wide", f"{letters} characters, at most 42 (open)")]
    assert told_of("W" * letters, of=OPEN) == (found if wide else [])


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("Stir it in the\npan.", "the"),
        ("Stir it in the \n  pan.", "the"),  # spaces at either end of a line
        ("Stir it in the\n\npan.", "the"),  # a blank line, which `--fix` takes out
        ("Freeze it at\n-18 °C.", "at"),  # a sign is no speaker's dash
        ("Freeze it at\n–18 °C.", "at"),
        ("- Is it in the\n- It is in the pot.", ""),  # what one says does not belong to what another says
        ("-Is it in the\n-It is in the pot.", ""),
        ("– Is it in the\n– It is in the pot.", ""),
        ("— Is it in the\n — It is in the pot.", ""),
        ("- Is it in the\npot?\n- It is in the pot.", "the"),  # what one person says, on two lines
    ],
)
def test_a_line_ends_badly_only_in_what_belongs_to_the_next_line(text: str, last: str) -> None:
    cues = [(0, 2_000, ON), (3_000, 7_000, text)]
    found = [(21, "break", f"the line ends in “{last}”, which belongs to the next")]
    assert told(cues, of=OPEN.with_limits(lines=3)) == (found if last else [])


LEAST_GAPS = {
    "": 33,  # two frames of 60 in a second: enough at any usual rate, where none is given
    "23.976": 83,  # 83.4 ms, in whole milliseconds 83 or 84
    "24": 83,
    "25": 80,
    "29.97": 66,  # 66.7 ms
    "29.97 drop": 66,
    "30": 66,
    "50": 40,
    "59.94": 33,  # 33.4 ms
    "59.94 drop": 33,
    "60": 33,
}


@pytest.mark.parametrize(("rate", "least"), LEAST_GAPS.items())
def test_a_gap_is_told_where_it_is_closed(rate: str, least: int) -> None:
    assert {"", *RATES} == {*LEAST_GAPS}
    for gap, flickers in ((1, True), (least - 1, True), (least, False), (0, False)):
        sheet = sheet_of([(0, 3_000, SOFT), (3_000 + gap, 6_000, ON)], rate=rate)
        found = (20, f"a gap of {gap} ms flickers; none, or at least {least} ms (streaming)")
        gaps = [(p.place.line, p.message) for p in proof(sheet) if p.code == "gap"]
        assert gaps == ([found] if flickers else [])
        assert (close_slivers(list(sheet.cues), sheet) != list(sheet.cues)) is flickers


@pytest.mark.parametrize("rate", ["12.5", "47.952", "119.88", "120", "30000/1001"])
def test_two_frames_are_a_gap_at_any_rate_and_one_is_not(rate: str) -> None:
    at = rate_named(rate)
    assert at is not None
    for frames, found in ((2, []), (1, ["gap"])):
        for start in range(0, 3_000, 301):
            begins = frames_to_ms(start + 100 + frames, at)
            cues = [(frames_to_ms(start, at), frames_to_ms(start + 100, at), SOFT), (begins, begins + 2_000, ON)]
            sheet = replace(sheet_of(cues), rate=at)
            assert [p.code for p in proof(sheet) if p.code == "gap"] == found


@pytest.mark.parametrize("rate", RATES)
def test_two_frames_are_a_gap_anywhere_in_the_film_and_one_is_not(rate: str) -> None:
    for frames, found in ((2, []), (1, ["gap"])):
        for start in range(0, 3_000, 101):  # an odd number, so that they begin at every part of a millisecond
            ends = frames_to_ms(start + 100, RATES[rate])
            begins = frames_to_ms(start + 100 + frames, RATES[rate])
            cues = [(frames_to_ms(start, RATES[rate]), ends, SOFT), (begins, begins + 2_000, ON)]
            assert [code for _, code, _ in told(cues, rate=rate) if code == "gap"] == found


@pytest.mark.parametrize(
    ("of", "gap", "flickers"),
    [
        (profiles()["education"], 1, False),  # its source gives no gap
        (profiles()["education"], 39, False),
        (STREAMING.with_limits(gap_frames=25), 999, True),  # 25 frames are a second
        (STREAMING.with_limits(gap_frames=25), 1_000, False),
        (STREAMING.with_limits(gap_ms=100), 99, True),  # the longer of two frames and 100 ms
        (STREAMING.with_limits(gap_ms=60), 59, True),
    ],
)
def test_a_gap_is_held_against_what_the_profile_gives(of: Profile, gap: int, flickers: bool) -> None:
    for rate in ("", "25"):
        frames = of.limits.get("gap_frames", 0)
        if not rate and frames == 25:
            continue  # at which rate, nobody says
        found = told([(0, 6_000, SOFT), (6_000 + gap, 11_000, ON)], of=of, rate=rate)
        assert [code for _, code, _ in found if code == "gap"] == (["gap"] if flickers else [])


@pytest.mark.parametrize("end", [19_000, 20_010])
def test_after_a_cue_whose_end_is_wrong_there_is_no_gap_to_tell(end: int) -> None:
    """`--fix` closes none there either."""
    codes = [code for _, code, _ in told([(20_010, end, SOFT), (end + 40, 24_000, ON)])]
    assert "reversed" in codes and "gap" not in codes


REPEATS = "repeats the line of the cue above it, as automatic captions do"
TWO = "Stir it in,\nthen wait."


@pytest.mark.parametrize(
    ("first", "second", "repeated"),
    [
        ((0, 2_000, TWO), (2_000, 4_000, f"then wait.\n{SOFT}"), True),
        ((0, 2_000, TWO), (2_000, 4_000, f"{TWO}\n{SOFT}"), True),  # both lines
        ((0, 2_000, TWO), (0, 2_000, TWO), True),  # the cue is there twice
        ((0, 2_000, TWO), (500, 1_500, TWO), True),
        ((0, 2_000, "then <i>wait</i>."), (2_000, 4_000, f" then wait. \n{SOFT}"), True),  # as it is read
        ((0, 2_000, f"{TWO}\nthen wait."), (2_000, 4_000, SOFT), False),
        ((0, 2_000, TWO), (2_000, 4_000, f"Stir it in,\n{SOFT}"), False),  # not what was shown last
        ((0, 2_000, TWO), (2_000, 4_000, f"{SOFT}\nthen wait."), False),
        ((20_000, 22_000, SOFT), (5_000, 7_000, SOFT), False),  # not near each other, though out of order
        ((20_000, 22_000, SOFT), (20_000, 22_000, SOFT), True),
        ((0, 2_000, "<i> </i>"), (2_000, 4_000, "<b> </b>"), False),  # nothing is shown
    ],
)
def test_a_line_shown_twice_is_told_where_it_rolls(
    first: tuple[int, int, str], second: tuple[int, int, str], repeated: bool
) -> None:
    """In a file that rolls: four cues after it do."""
    words = ["so", "low", "and", "slow", "it goes"]
    rest = [(40_000 + 2_000 * n, 42_000 + 2_000 * n, f"{a}\n{b}") for n, (a, b) in enumerate(itertools.pairwise(words))]
    found = told([first, second, *rest], of=OPEN.with_limits(lines=3))
    of_them = [(line, message) for line, code, message in found if code == "rolling" and line <= 20]
    assert of_them == ([(20, REPEATS)] * repeated)
    assert "overlap" not in [code for _, code, _ in found]
    assert "rolling" not in [code for _, code, _ in told([first, second], of=OPEN.with_limits(lines=3))]


def test_a_line_that_goes_on_rolling_is_told_of_each_cue() -> None:
    """An empty cue among them shows nothing to be repeated."""
    texts = ["Soft.", "Soft.\nOn.", "", "On.\nLow.", "Low.\nSlow.", "Slow.\nDone."]
    cues = [(n * 2_000, n * 2_000 + 2_000, text) for n, text in enumerate(texts)]
    found = [(line, code) for line, code, _ in told(cues, of=OPEN)]
    assert found == [(20, "rolling"), (30, "empty"), (50, "rolling"), (60, "rolling")]


def test_references_of_webvtt_are_read_as_the_letters_they_are() -> None:
    """42 letters on a line, 2.1 s at 20 a second; a SubRip file has no references: there they are 46 letters."""
    line = "Salt &amp; pepper, butter and a lemon for all."
    assert len(line) == 42 + len("amp;")
    assert told([(0, 2_100, line)], kind="vtt") == []
    assert [(n, code) for n, code, _ in told([(0, 2_100, line)])] == [(10, "too-fast"), (11, "too-wide")]
    assert told_of("Stir the&nbsp;\npan.", kind="vtt") == [
        (11, "break", "the line ends in “the”, which belongs to the next")
    ]


def test_lines_of_markup_alone_are_not_seen() -> None:
    assert told_of(f"<i>\n{TWO}\n</i>") == []
    assert told_of(f"{{\\an8}}\n{TWO}") == []
    assert told_of(f"<i>\n{TWO}\nOn.</i>") == [(10, "lines", "3 lines, at most 2 (streaming)")]


@pytest.mark.parametrize(
    ("over", "row"),
    [
        ("Stir it in.\n", 12),
        ("Stir it in.\n\n \n", 14),
        ("<i>\nStir</i> it in.\n", 13),
        ("&nbsp;\nStir it in.\n", 13),
        ("Stir it in,\u2028then wait.\n", 12),  # line ends that Unicode counts and an editor does not
        ("Stir it in,\x0bthen wait.\x85\n", 12),
    ],
)
def test_a_problem_of_a_line_stands_at_its_line_of_the_file(over: str, row: int) -> None:
    of = OPEN.with_limits(lines=5)
    found = told_of(f"{over}{'x' * 43}", of=of, kind="vtt")
    assert (row, "too-wide", "43 characters, at most 42 (open)") in found
    found = told_of(f"{over}Leave it in the\npan.", of=of, kind="vtt")
    assert (row, "break", "the line ends in “the”, which belongs to the next") in found


def test_a_tag_may_say_much() -> None:
    tag = '<font face="Harbour Sans Condensed" size="18" color="#FFFFFF">'
    assert "markup" not in [code for _, code, _ in told_of(f"{tag}Stir it in.</font>")]
    assert (10, "markup", "<font> is never closed") in told_of(f"{tag}Stir it in.")


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from([*"<>/&{}\\ib\n\r \x0b\u2028", "amp;", "#10;", "lt;", "the", "W" * 43]), max_size=14),
    st.sampled_from(["srt", "vtt"]),
)
def test_any_cue_is_told_within_its_lines(parts: list[str], kind: str) -> None:
    text = "".join(parts)
    assert {line for line, _, _ in told_of(text, kind=kind)} <= set(range(10, 12 + text.count("\n")))
