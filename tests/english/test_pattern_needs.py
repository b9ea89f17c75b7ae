"""Texts that are not searched because of letters that they lack are texts that the expression does not fit."""

import random
import re

import pytest

from scriptkit.english.effect_phrases import phrases
from scriptkit.measure.spoken import may_count, number_at, tokens_in
from scriptkit.pattern_needs import may_fit, needs_of
from scriptkit.patterns import SoughtPattern


@pytest.mark.parametrize(
    ("pattern", "needs"),
    [
        (r"not (?:yet|until)(?: now)?", (("not ",), ("yet", "until"))),
        (r"\b(?:some)?thing", (("thing",),)),
        (r"colou?rs*", (("colo",), ("r",))),
        (r"(?:salt|)", ()),
        (r"(?!salt)(?<=oil )pepper{0,2}", (("peppe",),)),
        (r"[^\]]in\.", (("in.",),)),
        (r"(?i:salt)", ()),
    ],
)
def test_needs_of_an_expression(pattern: str, needs: tuple[tuple[str, ...], ...]) -> None:
    assert needs_of(pattern) == needs


def _any_pattern(r: random.Random, deep: int = 0) -> str:
    def piece() -> str:
        kind = r.randrange(6 if deep < 2 else 3)
        if kind < 3:
            return r.choice(["x", "y", "xy", r"\.", r"\b", ".", "[xy]", " "])
        inner = "|".join(_any_pattern(r, deep + 1) for _ in range(r.randint(1, 2)))
        return r.choice(["(?:", "(?:", "(", "(?!", "(?="]) + inner + ")"

    found = ""
    for _ in range(r.randint(1, 3)):
        one = piece()
        often = (
            ""
            if one.startswith(("(?!", "(?=", r"\b"))
            else r.choice(["", "", "?", "*", "+", "{0,2}", "{1,2}", "{2}", "*?", "??"] if deep != 1 else ["", "?"])
        )
        found += one + often
    return found


def test_no_text_that_fits_is_passed_over() -> None:
    r = random.Random(16)
    fits = 0
    for _ in range(600):
        pattern = _any_pattern(r)
        compiled, needs = re.compile(pattern), needs_of(pattern)
        for _ in range(6):
            text = "".join(r.choice("xy. ") for _ in range(r.randint(0, 9)))
            if compiled.search(text):
                fits += 1
                assert may_fit(needs, text), (pattern, text)
    assert fits > 500


def test_an_expression_whose_letters_do_not_come_is_not_compiled() -> None:
    one = SoughtPattern(r"@\d+ (?:is|are) missing")
    assert one.search("the @1 is in") is None and "compiled" not in vars(one)
    assert one.search("the @1 is missing") is not None


def test_every_phrase_has_needs() -> None:
    assert sum(not p.all_needs for p in phrases()) <= 3


@pytest.mark.parametrize("text", ["half of it", "a couple", "2 spoons", "Twenty grams", "one", "½ a cup", "point five grams", "a hundred", "a quarter cup", "some of it", "none", "weight"])  # fmt: skip
def test_where_a_number_begins_one_may(text: str) -> None:
    tokens = tokens_in(text)
    counts = any(number_at(tokens, n) is not None for n in range(len(tokens)))
    assert may_count(text) or not counts
