"""What goes in where: each mention is of the ingredient that it fits best, and a mention in passing is none."""

from __future__ import annotations

import pytest

from scriptkit.drafting.step_mentions import Named
from scriptkit.drafting.steps import draft_steps
from scriptkit.recipe.tray import TRAY


def placed(steps: list[str], *names: str) -> dict[str, list[tuple[int, str]]]:
    """Name → at which of the steps (from 1) it goes in, and how much."""
    made, _ = draft_steps(steps, [Named(n) for n in names])
    told = [s for s in made if s.id != TRAY]
    return {n: [(k, v) for k, s in enumerate(told, 1) for m, v in s.add if m == n] for n in names}


@pytest.mark.parametrize(
    ("steps", "names", "wanted"),
    [
        (["Beat the cream cheese.", "Whip the heavy cream.", "Add the sour cream."], ["heavy whipping cream", "cream cheese", "sour cream"], [2, 1, 3]),
        (["Toast the sesame seeds.", "Stir the tomato paste into the oil.", "Add the tomatoes."], ["canned tomatoes", "tomato paste", "sesame seeds"], [3, 2, 1]),
        (["Butter or oil a baking pan.", "Cream the butter with the sugar."], ["butter", "granulated sugar"], [2, 2]),
        (["When the oil is hot, add the onions.", "Heat the oil again."], ["onion", "oil"], [1, 2]),
        (["In the meantime, make the polenta.", "Pour the polenta into the water."], ["polenta", "water"], [2, 2]),
        (["Spoon the garlic mixture on the plate.", "Fry the garlic."], ["garlic"], [2]),
        (["Season the hake (the soy sauce is salty).", "Stir in the soy sauce."], ["hake", "soy sauce"], [1, 2]),
        (["Line a baking pan.", "Whisk the flour and the baking powder."], ["flour", "baking powder"], [2, 2]),
        (["Add the mayo.", "Add the broth."], ["mayonnaise", "chicken stock"], [1, 2]),
        (["Mix the dry rice and half and half.", "Add half the cream."], ["half and half", "cream", "rice"], [1, 2, 1]),
    ],
)  # fmt: skip
def test_a_mention_is_of_what_it_fits_best(steps: list[str], names: list[str], wanted: list[int]) -> None:
    assert [places[0][0] for places in placed(steps, *names).values()] == wanted


def test_all_ingredients_of_a_part_are_those_before_what_comes_later() -> None:
    steps = [
        "Toast the hazelnuts.",
        "Blend in the remaining spread ingredients.",
        "Whisk the flour.",
        "Add all the batter ingredients but the oil.",
        "Heat the oil.",
    ]
    names = ["hazelnuts", "honey", "salt", "flour", "milk", "eggs", "salt 2", "oil"]
    found = placed([*steps], *names)
    assert {n: [step for step, _ in places] for n, places in found.items()} == {
        "hazelnuts": [1], "honey": [2], "salt": [2], "flour": [3], "milk": [4], "eggs": [4], "salt 2": [4], "oil": [5],
    }  # fmt: skip


def test_the_remaining_is_a_second_addition_and_what_comes_back_cooked_is_none() -> None:
    steps = [
        "Melt 2 tablespoons of the butter.",
        "Fry half of the onions.",
        "Add the remaining 1 tablespoon of the butter.",
        "Scatter the rest of the caramelised onions.",
    ]
    found = placed(steps, "butter", "onions")
    assert found == {"butter": [(1, "half"), (3, "rest")], "onions": [(2, "all")]}


def test_words_that_fit_several_mean_one_after_the_other() -> None:
    found = placed(
        ["Combine the cinnamon and flour.", "Stir the cinnamon into the sugar."],
        "ground cinnamon",
        "flour",
        "cinnamon",
        "sugar",
    )
    assert found == {
        "ground cinnamon": [(1, "all")],
        "flour": [(1, "all")],
        "cinnamon": [(2, "all")],
        "sugar": [(2, "all")],
    }


def test_what_is_drizzled_and_seasoned_is_cooked() -> None:
    assert placed(["Halve the squash. Drizzle it with oil and season with salt."], "squash", "oil", "salt")["oil"] == [
        (1, "all")
    ]


@pytest.mark.parametrize(
    ("steps", "wanted"),
    [
        (["Heat 1 tablespoon of the oil.", "Add the remaining oil."], [(1, "1 tbsp"), (2, "rest")]),
        (["Heat 1 tsp of the oil.", "Add 1 tbsp oil.", "Add the rest of the oil."], [(1, "1 tsp"), (2, "1 tbsp"), (3, "rest")]),
        (["Heat 1 tbsp oil.", "Add 2 tbsp of the olive oil."], [(1, "1 tbsp"), (2, "rest")]),
        # harmless twins: all of it at once, no second place, and no figure
        (["Heat 3 tbsp of the oil.", "Stir."], [(1, "all")]), (["Heat 1 tbsp of the oil.", "Stir."], [(1, "all")]), (["Heat half the oil.", "Add the remaining oil."], [(1, "half"), (2, "rest")]),
    ],
)  # fmt: skip
def test_spoons_of_it_are_so_many_and_then_the_rest(steps: list[str], wanted: list[tuple[int, str]]) -> None:
    made, _ = draft_steps(steps, [Named("olive oil", "fat or oil", "3 tbsp")])
    told = [s for s in made if s.id != TRAY]
    assert [(n, share) for n, s in enumerate(told, 1) for _, share in s.add] == wanted
