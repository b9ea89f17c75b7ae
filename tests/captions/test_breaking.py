"""Where a line may end: each rule with a break it forbids and a break it leaves."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.line_breaking import FORBIDDEN, break_cost, clinging, pieces

# BBC Subtitle Guidelines 1.2.5, section 3.4: never article + noun, preposition + phrase, conjunction + clause, pronoun + verb,
# parts of a verb. The sentences are ours.
FORBIDS = [
    ("article + noun", "Take the", "pan off"),
    ("article + noun", "This is an", "oily fish"),
    ("determiner + noun", "Salt your", "water"),
    ("preposition + phrase", "Soften it in", "the butter"),
    ("preposition + phrase", "A spoon of", "mustard"),
    ("preposition + phrase", "Cook it without", "colour"),
    ("conjunction + clause", "Stir it and", "taste it"),
    ("conjunction + clause", "Wait, because", "it burns"),
    ("conjunction + clause", "Lift it out when", "it floats"),
    ("pronoun + verb", "And now we", "blend it"),
    ("pronoun + verb", "And now it", "is smooth"),
    ("pronoun + verb", "That means you", "can stop"),
    ("parts of a verb", "The fennel has", "softened"),
    ("parts of a verb", "The stock is", "simmering"),
    ("parts of a verb", "It should", "coat a spoon"),
    ("parts of a verb", "Do", "not stir it"),
    ("parts of a verb", "It isn’t", "ready"),
    ("amount + unit", "Butter: 30", "g of it"),
    ("amount + unit", "Stock: 1 ½", "l of it"),
    ("amount + fraction", "Cream: 1", "½ cups"),
    ("amount + unit", "Lemon: 2 fl", "oz of it"),
    ("amount + unit", "Lemon: 2 fl", "oz, no more"),
    ("amount + unit", "Stock: 1.5", "l of it"),
    ("amount + unit", "Butter: 30", "g"),
    ("sign + figure", "Carbs 5 g =", "net 4 g"),
    ("after an opening mark", "Butter (the", "soft one)"),
]
LEAVES = [
    ("after punctuation", "Take it off,", "then wait"),
    ("before a preposition", "Soften it", "in the butter"),
    ("before a conjunction", "Turn it over", "and salt it"),
    ("an adverb, not a preposition", "Stir it in", "and wait"),
    ("an object, not a subject", "Now I lay it", "away from me"),
    ("a noun that is a figure", "Batch 2", "goes in"),
    ("have, not part of a verb", "We need to have", "the lid ready"),
    ("an adverb before a conjunction with a comma", "Stir it in", "and, when it foams, wait"),
    ("fl of no ounces", "Stock: 2 fl", "by weight"),
    ("ounces of no volume", "Weigh the flour", "oz by oz"),
    ("between clauses", "The fennel goes in", "when it foams"),
]


@pytest.mark.parametrize(("rule", "before", "after"), FORBIDS)
def test_what_belongs_together_is_not_parted(rule: str, before: str, after: str) -> None:
    assert clinging(before, after), rule
    assert break_cost(before, after) == FORBIDDEN


@pytest.mark.parametrize(("rule", "before", "after"), LEAVES)
def test_what_may_be_parted_is(rule: str, before: str, after: str) -> None:
    assert clinging(before, after) == "", rule


def test_punctuation_is_best_then_conjunctions_and_prepositions_then_the_rest() -> None:
    """Netflix Timed Text Style Guide, line treatment: after punctuation, before conjunctions, before prepositions."""
    costs = [
        break_cost("Take it off,", "wait"), break_cost("Take it off", "and wait"), break_cost("Hot soup", "waits"),
        break_cost("Butter (cold", "cubes of it)"), break_cost("Butter (about", "x 2 tbsp)"),
    ]  # fmt: skip
    # half the square of 4 and of 16 characters (our own figures), and worse than that inside brackets
    assert costs == [0, 4**2 / 2, 16**2 / 2, 400, FORBIDDEN]
    assert break_cost("Butter (soft)", "melts") == break_cost("Hot soup", "waits")
    assert break_cost("Lay the fish down", "away from you") == break_cost("Stir it twice", "and")
    assert break_cost("Carbs 5 g", "= net 4 g") == break_cost("Butter 28 g", "(2 tbsp)") == 4**2 / 2


@settings(max_examples=60)
@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Zs", "Cc"]), min_size=1, max_size=30))
def test_pieces_put_together_are_the_text(text: str) -> None:
    parts = pieces(text)
    assert "".join(joint + piece for joint, piece in parts) == text
    assert all(piece for _, piece in parts)


def test_wide_characters_are_not_parted_from_their_marks() -> None:
    """After JIS X 4051: no line begins with a closing mark, none ends with an opening one (from memory)."""
    assert [piece for _, piece in pieces("「魚」の。")] == ["「魚」", "の。"]
    assert pieces("Oil魚30 g") == [("", "Oil"), ("", "魚"), ("", "30"), (" ", "g")]
