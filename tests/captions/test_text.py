"""A cue's text: cleaned, broken into lines, and how long it must stand."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.line_breaking import break_cost, clinging, pieces
from scriptkit.captions.composing.text_fitting import (
    GLUE,
    WIDEST,
    broken_as_written,
    fit,
    fits,
    glue,
    letters,
    readable_ms,
)
from scriptkit.captions.composing.text_width import columns, is_wide
from scriptkit.timed_text.cleaning import clean

WORDS = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S"]), min_size=1, max_size=30)
AMOUNTS = st.sampled_from(
    ["28 g", "1.18 kg", "½ tsp", "about 3 ¾ cups", "2 fl oz", "18 min", "63 °C (145 °F)", "= 0.8 g"]
)
SENTENCES = st.lists(WORDS | AMOUNTS, min_size=1, max_size=14).map(" ".join).map(clean).filter(bool)


@settings(max_examples=60)
@given(SENTENCES)
@example("Fennel " * 12)
def test_no_word_is_lost_or_moved_and_no_line_is_too_long(text: str) -> None:
    lines = fit(text)
    if lines is not None:
        assert "".join("".join(lines).split()) == "".join(text.split())
        assert 1 <= len(lines) <= 2
        assert all(columns(line) <= 42 for line in lines)


def two_lines(text: str) -> list[tuple[str, str]]:
    """Every way to put the text on two lines."""
    parts = pieces(glue(text))
    joined = ["".join(joint + piece for joint, piece in parts[:n]) for n in range(1, len(parts))]
    return [(upper, "".join(j + p for j, p in parts)[len(upper) :].strip(" ")) for upper in joined]


@settings(max_examples=60)
@given(SENTENCES)
def test_none_only_where_no_break_would_do(text: str) -> None:
    if fit(text) is None:
        assert columns(text) > WIDEST
        assert not any(columns(a) <= WIDEST and columns(b) <= WIDEST for a, b in two_lines(text))


@settings(max_examples=60)
@given(SENTENCES)
def test_the_lines_are_as_even_as_they_come_among_breaks_as_good(text: str) -> None:
    narrow = " ".join(
        "".join(c for c in text if not is_wide(c)).split()
    )  # a break between wide letters takes no space away
    lines = fit(narrow)
    if lines is not None and len(lines) == 2:
        mine = break_cost(*lines)
        fitting = [(a, b) for a, b in two_lines(narrow) if columns(a) <= WIDEST and columns(b) <= WIDEST]
        as_good = [(a, b) for a, b in fitting if break_cost(a.replace(GLUE, " "), b.replace(GLUE, " ")) <= mine]
        assert max(map(columns, lines)) == min(max(columns(a), columns(b)) for a, b in as_good)


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("Leave the meat to rest for ten minutes", 30, ("Leave the meat to rest", "for ten minutes")),
        ("Turn it over, and keep the lid beside you", 30, ("Turn it over,", "and keep the lid beside you")),
        ("Lay the fish in the pan away from you", 26, ("Lay the fish in the pan", "away from you")),
        ("When the oil shimmers I lay in the fish", 30, ("When the oil shimmers", "I lay in the fish")),
        ("Whole mustard seeds should have popped", 30, ("Whole mustard seeds", "should have popped")),
        ("Salt the water and do not stir it now", 22, ("Salt the water", "and do not stir it now")),
        ("魚のスープと白い野菜、バター三十グラム", 26, ("魚のスープと白い野菜、", "バター三十グラム")),
    ],
)
def test_lines_end_where_a_reader_would_pause(text: str, width: int, lines: tuple[str, ...]) -> None:
    assert fit(text, width=width) == lines


def test_rather_a_line_more_than_a_forbidden_break() -> None:
    assert fit("salt the fat of the hake", width=17, lines=2) == ("salt the fat", "of the hake")
    for upper, lower in itertools.pairwise(fit("Add the cream and the rest of the butter", width=22, lines=3) or ()):
        assert not clinging(upper, lower)


def test_a_line_may_be_narrow_in_letters_and_still_too_wide() -> None:
    assert fit("MMMM WWWW", width=9) == ("MMMM WWWW",)
    assert fit("MMMM WWWW", width=9, ems=5) == ("MMMM", "WWWW")  # each about 3.5 and 4 em in DejaVu Sans
    assert fit("MMMM WWWW", width=9, ems=3) is None
    assert fit("MMMM WWWW", width=9, ems=3.956) == ("MMMM", "WWWW")  # W is 0.989 em (text_width.py's table)
    assert fit("MMMM WWWW", width=9, ems=3.955) is None
    assert fits("WWWW", 4, 3.956) and not fits("WWWW", 4, 3.955) and not fits("WWWW", 3)


def test_where_every_break_parts_what_belongs_together_it_is_broken_in_the_fewest_lines() -> None:
    assert fit("the butter", width=6) == ("the", "butter")
    assert fit("in the butter", width=7, lines=3) == ("in the", "butter")
    assert fit("in the butter", width=7, lines=3, least=3) == ("in", "the", "butter")


@pytest.mark.parametrize(
    "text",
    [
        "Unsalted butter for the sauce, in cubes, 250 g (1 ¼ cups)",
        "Carbs 16.1 g − fibre 4.8 g − half the polyols 2.5 g = net carbs 8.8 g",
        "A quarter of an hour in the oven at 200 °C, then 45 min",
        "Lemon juice, squeezed and strained, 60 ml (2 fl oz)",
        "Whole milk, warmed to blood heat, 1 ½ cups or 360 g",
    ],
)
def test_an_amount_and_its_unit_are_never_parted(text: str) -> None:
    for width in range(20, 43):
        lines = fit(text, width=width, lines=4)
        for upper, lower in itertools.pairwise(lines or ()):
            assert not (upper[-1].isdigit() or upper[-1] in "½¼¾=−"), (upper, lower)


def test_what_fits_one_line_stays_in_one() -> None:
    assert fit("Butter 28 g (2 tbsp)") == ("Butter 28 g (2 tbsp)",)
    assert fit("x" * 42) == ("x" * 42,)
    assert fit("x" * 43) is None
    assert fit("x" * 42 + " " + "y" * 42) == ("x" * 42, "y" * 42)
    assert fit("x" * 42 + " y " + "z" * 42) is None


def test_with_a_choice_the_upper_line_is_no_longer() -> None:
    assert fit("aaaa bb cccc", width=8) == ("aaaa", "bb cccc")


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("oil --> pan", "oil → pan"),
        ("from 0:00:01.5 to 0:00:02,5", "from 0∶00:01.5 to 0∶00:02,5"),
        ("at 12:30, for 1:20:00", "at 12:30, for 1:20:00"),
        ("00:01 -->00:02", "00:01 →00:02"),
        ("<i>butter</i>", "‹i›butter‹/i›"),
        (r"{\an8}up here", "(/an8)up here"),
        (r"one\Ntwo", "one/Ntwo"),
        ("two\nlines\r\nand\ttab", "two lines and tab"),
        ("nul\x00 bell\x07 esc\x1b[31m", "nul bell esc [31m"),
        ("left\u202eright\u2066\u200f", "left right"),
        ("no\u00a0break \u200bzero", "no break zero"),
        ("line\u2028paragraph\u2029next\x85", "line paragraph next"),
        ("  crème fraîche, 200 g ", "crème fraîche, 200 g"),
    ],
)
def test_nothing_that_a_player_would_act_on_is_left(written: str, shown: str) -> None:
    assert clean(written) == shown


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80))
def test_clean_text_is_one_harmless_line_and_stays_as_it_is(text: str) -> None:
    cleaned = clean(text)
    assert not set("<>{}\\\n\r\t") & set(cleaned)
    assert cleaned.isprintable()
    assert cleaned == cleaned.strip()
    assert clean(cleaned) == cleaned


@pytest.mark.parametrize(
    ("text", "seconds"),
    # Rule of thumb for titles that are read twice: 3 s for the first 10 letters, 1 s for 5 more.
    [("Oil 27 g", 3.0), ("abcdefghij", 3.0), ("abcdefghijk", 3.2), ("abcdefghijklmno", 4.0), ("a-b c!", 3.0), ("", 3.0),
     ("abcde fghij klmno pqrst", 5.0)],
)  # fmt: skip
def test_how_long_a_text_must_stand(text: str, seconds: float) -> None:
    assert readable_ms(text) == seconds * 1000


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.text(max_size=60))
def test_more_to_read_never_takes_less_time(text: str, more: str) -> None:
    assert readable_ms(text + more) >= readable_ms(text) >= 3_000
    assert letters(text + more) == letters(text) + letters(more)


def test_lines_as_written_are_kept_where_they_fit() -> None:
    assert broken_as_written("Carbs 15.8 g − fibre 4.4 g\n= net carbs 11.4 g") == (
        "Carbs 15.8 g − fibre 4.4 g",
        "= net carbs 11.4 g",
    )
    assert broken_as_written("one line") is None
    assert broken_as_written("one\ntwo\nthree") is None
    assert broken_as_written("x" * 43 + "\ny") is None
    assert broken_as_written("a\n \u200b") is None


def test_glue_never_changes_what_is_read() -> None:
    text = "Stock 1.18 kg (1.2 l) and ½ tsp"
    assert glue(text).replace(GLUE, " ") == text


@given(
    st.lists(
        st.sampled_from(["butter 14 g (1 tbsp)", "cream 122 g (120 ml)", "salt, to taste", "stock 1.18 kg (1.2 l)"]),
        min_size=2,
    )
)
def test_a_measure_stays_with_the_grams_that_it_explains(items: list[str]) -> None:
    lines = fit(", ".join(items), lines=3)
    assert lines is None or not any(line.startswith("(") for line in lines)


def test_more_lines_than_words_are_no_work() -> None:
    """A profile may allow any number of lines."""
    assert fit("Leave the meat", width=5, lines=10**12) == ("Leave", "the", "meat")
    assert fit("Leave the meat", width=4, lines=10**12) is None
    assert fit("Leave the meat", width=9, lines=3, least=4) is None
