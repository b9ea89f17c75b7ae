"""Right-to-left names beside left-to-right amounts."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import ISOLATE, ISOLATE_END, LEFT_TO_RIGHT, closes_its_isolates, isolated
from scriptkit.timed_text.webvtt import escape, write_vtt


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("Butter 28 g (2 tbsp)", "Butter 28 g (2 tbsp)"),
        ("חמאה רכה", "חמאה רכה"),
        ("חמאה רכה 28 g", "\u200e\u2068חמאה רכה\u2069 28 g"),
        ("חֶמְאָה 28 g, שמן 5 g", "\u200e\u2068חֶמְאָה\u2069 28 g, \u2068שמן\u2069 5 g"),
        ("زبدة 28 g", "\u200e\u2068زبدة\u2069 28 g"),
        ("Soup: מרק (hot)", "\u200eSoup: \u2068מרק\u2069 (hot)"),
        ("crème fraîche 20 g", "crème fraîche 20 g"),
        ("80 g מרק, שמן", "\u200e80 g \u2068מרק\u2069, \u2068שמן\u2069"),  # two names stay in their order
    ],
)
def test_a_name_is_isolated_among_text_of_the_other_direction(line: str, shown: str) -> None:
    assert isolated(line) == shown
    assert isolated(shown) == shown


@settings(max_examples=60)
@given(st.text(st.sampled_from("ab 2(,)חמزب\u05b6\u0651"), max_size=20))
def test_isolating_changes_no_letter_and_closes_what_it_opens(text: str) -> None:
    shown = isolated(text)
    assert shown.replace(ISOLATE, "").replace(ISOLATE_END, "").removeprefix(LEFT_TO_RIGHT) == text
    assert closes_its_isolates(shown)


def test_webvtt_keeps_closed_isolates_and_nothing_else_that_turns_text() -> None:
    assert escape("\u2068מרק\u2069 5 g") == "\u2068מרק\u2069 5 g"
    assert escape("\u2068מרק 5 g") == "מרק 5 g"
    assert escape("\u202eמרק\u202c 5 g") == "מרק 5 g"
    cue = Cue(start_ms=0, end_ms=2_000, lines=("\u2068מרק\u2069 5 g",), track="addition")
    assert "\u2068מרק\u2069 5 g" in write_vtt([cue], "t")


def test_an_isolate_closed_before_it_is_opened_is_not_closed() -> None:
    assert closes_its_isolates(f"a {ISOLATE}b{ISOLATE_END} c")
    assert not closes_its_isolates(f"a {ISOLATE_END}b{ISOLATE} c")
    assert not closes_its_isolates(f"a {ISOLATE}b c")
