"""Cooking methods and knife cuts, read from a cook's words."""

from __future__ import annotations

import pytest

from scriptkit.english.methods import method_of
from scriptkit.recipe.cuts import cut_mm


@pytest.mark.parametrize(
    ("words", "method"),
    [
        ("Blend the soup in batches until it is smooth.", "blend"),
        ("Purée it with the stock.", "blend"),
        ("Blitz the herbs.", "blend"),
        ("Sear the fillets skin side down.", "sear"),
        ("Brown the chops on both sides.", "sear"),
        ("Deep-fry the capers.", "deep-fry"),
        ("Sweat the onions.", "sweat"),
        ("Soften the fennel in the butter without letting it colour.", "sweat"),
        ("Bring it to a boil.", "boil"),
        ("Simmer until a knife slides in.", "simmer"),
        ("Add boiling water and stir.", "mix"),
        ("Line a baking tray with parchment.", ""),
        ("Warm the frying pan.", ""),
        ("Stir in the rest of the cream.", "mix"),
        ("Let the meat rest under foil.", "rest"),
        ("Roast it for 40 minutes.", "roast"),
        ("Cut the celeriac into dice.", "cut"),
        ("Ladle into warm bowls.", "plate"),
        ("Put it in the fridge.", "chill"),
        ("SEAR IT", "sear"),
        ("Weigh the flour.", ""),
        ("", ""),
    ],
)
def test_the_method_that_a_sentence_names(words: str, method: str) -> None:
    assert method_of(words) == method


# Millimetres of named cuts: as culinary schools commonly teach them (from memory); an inch is 25.4 mm by definition.
@pytest.mark.parametrize(
    ("prep", "mm"),
    [
        ("dice, 15 mm", 15), ("sliced, 1 cm", 10), ("cubes, 1.5 cm", 15), ("1 inch chunks", 25.4), ("strips, 2 in", 50.8),
        ("brunoise", 3), ("small dice", 6), ("Medium dice", 12), ("large dice", 20), ("julienne", 3), ("bâtonnet", 6),
        ("batonnets", 6), ("small dice, 8 mm", 8), ("picked", None), ("", None), ("15 minutes", None), ("in 3 pieces", None),
    ],
)  # fmt: skip
def test_the_size_of_a_cut(prep: str, mm: float | None) -> None:
    assert cut_mm(prep) == (None if mm is None else pytest.approx(mm))
