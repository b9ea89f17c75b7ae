"""Reading rates as published, held against how long we say that a line takes.

BBC Subtitle Guidelines 1.2.5 (2026), section 3: 160 to 180 words a minute, and at least 0.3 s a word.
150 words a minute is the usual figure for conversation (common practice, as in the trade's handbooks).
"""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.recipe.dish import Film
from scriptkit.shoot.script.narration import line_ms, words_for

BBC_WORDS_A_MINUTE = (160, 180)
BBC_SHORTEST_WORD_MS = 300
CONVERSATION = 150

LINE = "In go two tablespoons of butter and all of the leek, soft and glossy, and no colour at all."
"""19 words, counted by hand."""


def test_the_usual_rate_is_that_of_conversation() -> None:
    assert Film().reading_rate == CONVERSATION


@pytest.mark.parametrize(("rate", "seconds"), [(150, 7.6), (160, 7.125), (180, 6.333)])
def test_a_line_at_published_rates(rate: int, seconds: float) -> None:
    assert line_ms(LINE, rate) == pytest.approx(seconds * 1000, abs=1)


@pytest.mark.parametrize("rate", [CONVERSATION, *BBC_WORDS_A_MINUTE])
def test_no_word_is_shorter_than_it_can_be_read(rate: int) -> None:
    assert line_ms(LINE, rate) / 19 >= BBC_SHORTEST_WORD_MS


def test_a_minute_of_picture_holds_what_the_rates_say() -> None:
    assert [words_for(60_000, rate) for rate in BBC_WORDS_A_MINUTE] == list(BBC_WORDS_A_MINUTE)


def test_a_rate_that_nobody_speaks_is_refused(table: Table) -> None:
    for rate in (20, 900):
        reading = table.read(f"dish: D\nservings: 1\nfilm: {{reading_rate: {rate}}}\ningredients: {{salt: 3 g}}")
        assert any(p.place.line == 3 for p in reading.problems)
