"""The last step of a dish is told in other words than the recipe's: it has its time; one that is not in the film has none."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript

DISH = """
dish: Mustard chops
servings: 2
ingredients: {pork chops: {amount: 500 g, food: pork loin chop}, oil: {amount: 1 tbsp, food: rapeseed oil}, mustard: {amount: 30 g, food: Dijon mustard}, parsley: 10 g, lemon: 60 g}
steps:
  - {id: dry, stage: prep, do: Pat the chops dry., uses: pork chops}
  - {id: sear, stage: cook, do: Sear the chops in the oil., add: {oil: all, pork chops: all}, vessel: frying pan, heat: high, hands: 6 min}
  - {id: sauce, stage: cook, do: Stir the mustard into the pan., add: {mustard: all}, vessel: frying pan, heat: low, hands: 2 min}
"""
TALK = [
    "Hi, it's chop night.",
    "Two chops, five hundred grams. Pat them dry, top and bottom.",
    "Wet meat steams, it never browns.",
    "A spoon of oil in the pan, high heat, wait for the shimmer.",
    "And in go the chops. You want to hear them sear.",
    "Three minutes a side, don't move them.",
    "Thirty grams of mustard straight in the pan,",
    "and stir, scrape up all the brown bits.",
]
TASTED = ["Have a taste of that. Sharp and rich.", "Next week we do fish. Bye bye."]
LAST = {
    "garnish": "{id: last, stage: cook, do: Sprinkle with the parsley., add: {parsley: all}}",
    "serve": "{id: last, stage: cook, do: Plate the chops and serve with the lemon., add: {lemon: all}, vessel: plates}",
    "pour": "{id: last, stage: cook, do: Pour the pan juices over the meat.}",
    "rest": "{id: last, stage: cook, do: Rest the chops for 5 minutes., wait: 5 min}",
    "cut": "{id: last, stage: cook, do: Carve the meat thinly., vessel: board}",
    "chill": "{id: last, stage: cook, do: Chill it for the picnic., wait: 3 h}",
}


def last_ms(table: Table, step: str, said: list[str]) -> tuple[int | None, int]:
    """Where the last step is placed, and where the ending begins."""
    lines = [SpokenLine(n * 5_000, n * 5_000 + 3_500, text, n + 1) for n, text in enumerate([*TALK, *said])]
    cut = place(table.dish(f"{DISH}  - {step}\n"), Transcript(file="cut.srt", lines=tuple(lines), problems=()))
    assert all(p.time_ms is not None for p in cut.placements if p.step.id != "last")
    return next(p.time_ms for p in cut.placements if p.step.id == "last"), len(TALK) * 5_000


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("garnish", "And a fistful of green, torn up, all over."),
        ("serve", "One each, in the middle, and something sour on the side to squeeze."),
        ("pour", "And what's left in here, every drop, over the lot of it."),
        ("rest", "Now hands off. It sits on a rack for as long as it cooked."),
        ("cut", "See the lines? Your knife goes across them, thin as you can."),
        ("chill", "Into the fridge until tomorrow, we eat this one cold."),
    ],
)
def test_an_ending_told_in_other_words_has_its_time(table: Table, kind: str, said: str) -> None:
    at, begins = last_ms(table, LAST[kind], [said, "That is supper. Bye bye."])
    assert at is not None and begins <= at <= begins + 5_000


@pytest.mark.parametrize("kind", LAST)
def test_an_ending_that_is_not_in_the_film_has_none(table: Table, kind: str) -> None:
    assert last_ms(table, LAST[kind], TASTED)[0] is None


def test_what_is_said_not_to_have_been_done_is_not_in_the_film(table: Table) -> None:
    said = ["I never put the green on top, I forgot to buy it.", "Next week we do fish. Bye bye."]
    assert last_ms(table, LAST["garnish"], said)[0] is None


def test_a_rest_of_which_nothing_is_said_is_not_where_the_food_is_plated(table: Table) -> None:
    """Its words are said there, of the plating."""
    rest = "{id: rest, stage: cook, do: Let the chops rest on a warm plate., wait: 4 min}"
    plate = "{id: last, stage: cook, do: Plate the chops and sprinkle the parsley over., add: {parsley: all}, vessel: plates}"
    said = ["Plate the chops, one on each, on a warm plate.", "Parsley over the top.", "That is supper. Bye bye."]
    lines = [SpokenLine(n * 5_000, n * 5_000 + 3_500, text, n + 1) for n, text in enumerate([*TALK, *said])]
    cut = place(
        table.dish(f"{DISH}  - {rest}\n  - {plate}\n"), Transcript(file="cut.srt", lines=tuple(lines), problems=())
    )
    times = {p.step.id: p.time_ms for p in cut.placements}
    assert times["rest"] is None and times["last"] is not None and times["last"] >= len(TALK) * 5_000
