"""What becomes of an addition today: late and in all the same, exchanged with another figure behind, and not what was last week."""

from __future__ import annotations

from textwrap import dedent

import pytest

from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.coverage.addition_effects import effects_of
from scriptkit.cut.coverage.spoken_additions import heard
from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.effect_kinds import GOES_IN, INSTEAD, LATER, LEFT_OUT
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source_text

BOWL = """
    dish: Cauliflower bowl
    servings: 4
    ingredients:
      cauliflower: 300 g
      tomatoes: 150 g
      cucumber: 200 g
      parsley: 15 g
      walnuts: 40 g
      lemon juice: 2 tbsp
      olive oil: 3 tbsp
      salt: 1/2 tsp
    steps:
      - {id: dress, stage: cook, do: "Dress the cauliflower with the tomatoes, the cucumber, the parsley, the lemon juice, the oil and the salt.", add: {cauliflower: all, tomatoes: all, cucumber: all, parsley: all, lemon juice: all, olive oil: all, salt: all}, vessel: bowl, hands: 4 min, screen: 30 s}
      - {id: scatter, stage: cook, do: Scatter the walnuts over., add: {walnuts: all}, vessel: bowl, hands: 1 min, screen: 6 s}
"""


def talk(*lines: str, bowl: str = BOWL) -> tuple[Dish, Transcript, Cut]:
    """A talk of lines that are said 6 s after each other, with the bowl dressed at 10 s and scattered at 30 s."""
    dish = read_source_text(dedent(bowl), "bowl.yaml").usable()
    assert isinstance(dish, Dish)
    spoken = tuple(SpokenLine(n * 6000, n * 6000 + 5500, text, n + 1) for n, text in enumerate(lines))
    places = tuple(
        Placement(dish=dish, step=s, time_ms=ms, confidence=0.9)
        for s, ms in zip(dish.steps, (10_000, 30_000), strict=True)
    )
    cut = Cut(title="bowl", length_ms=60_000, placements=places, confidence=0.9)
    return dish, Transcript(file="cut.txt", lines=spoken, problems=()), cut


def told(*lines: str, bowl: str = BOWL) -> dict[str, str]:
    """What is left of each ingredient that is told of, by the lines of such a talk."""
    return {one.addition.ingredient.name: one.effect for one in effects_of(*talk(*lines, bowl=bowl)) if one.words}


@pytest.mark.parametrize(
    "line",
    [
        "I used vinegar instead of the lemon juice, and two tablespoons of olive oil.",
        "I used vinegar instead of the lemon juice, and half a teaspoon of salt.",
        "I took cider vinegar in place of the lemon juice, and two cloves of garlic.",
        "I used vinegar instead of the lemon juice and three spoons of olive oil",
        "I've run out of lemons, so I used vinegar instead of the lemon juice, and the salt as it says.",
    ],
)
def test_what_is_exchanged_is_heard_before_another_addition_with_its_figure(line: str) -> None:
    found = told("The cauliflower is cold now.", line, "Toss it well.")
    assert found.pop("lemon juice") == INSTEAD
    assert INSTEAD not in found.values()


@pytest.mark.parametrize(
    "lines",
    [
        ("i've just seen the cucumber still sitting there on the board it should have gone in with the tomatoes so in it goes now two hundred grams",),
        ("I've just seen the cucumber on the board. It should have gone in with the tomatoes, so in it goes now.",),
        ("The cucumber should have gone in with the tomatoes, so in it goes now.",),
        ("I forgot the cucumber, so that's going in now.",),
    ],
)  # fmt: skip
def test_what_is_seen_to_be_missing_and_goes_in_now_is_in(lines: tuple[str, ...]) -> None:
    found = told("The cauliflower is cold, and in go the tomatoes.", "Three tablespoons of oil.", *lines, "Good.")
    assert found["cucumber"] == GOES_IN
    assert found["tomatoes"] == GOES_IN


@pytest.mark.parametrize(
    "line",
    [
        "I forgot the cucumber, and the tomatoes go in now.",
        "I forgot the cucumber, and the tomatoes are going in now.",
        "I forgot the cucumber and in go the tomatoes now.",
        "i forgot the cucumber and the tomatoes go in now",
    ],
)
def test_what_goes_in_now_in_place_of_what_is_missing_leaves_it_missing(line: str) -> None:
    found = told("The cauliflower is cold.", line, "Good.")
    assert (found["cucumber"], found["tomatoes"]) == (LEFT_OUT, GOES_IN)
    assert told("The cauliflower is cold.", "I forgot the cucumber and the tomatoes.")["tomatoes"] == LEFT_OUT


@pytest.mark.parametrize(
    "line",
    [
        "Last week I left the parsley out, and I used almonds instead of the walnuts, and it was fine.",
        "Last week I left the parsley out completely, and I went and used almonds instead of the walnuts.",
        "Last Sunday I left the parsley out, and I used almonds instead of the walnuts.",
        "On Monday I forgot the parsley and I used almonds instead of the walnuts.",
        "Yesterday I skipped the parsley, and then I used almonds instead of the walnuts.",
    ],
)
def test_what_was_done_another_day_is_not_done_today(line: str) -> None:
    found = told(
        "The cauliflower is cold, and in goes the parsley.",
        line,
        "Today it's all of it.",
        "",
        "",
        "The walnuts go over.",
    )
    assert (found["parsley"], found["walnuts"]) == (GOES_IN, GOES_IN)


@pytest.mark.parametrize(
    "line",
    [
        "two tablespoons of lemon juice I found one after all at the bottom of the drawer",
        "And two tablespoons of lemon juice, I found one after all, behind the eggs.",
        "And the lemon juice, I had one left after all.",
    ],
)
def test_what_was_found_after_all_goes_in_whole(line: str) -> None:
    assert told("The cauliflower is cold.", line, "Toss it well.")["lemon juice"] == GOES_IN


@pytest.mark.parametrize(
    "line",
    ["And forty grams of walnuts, at the last moment.", "The walnuts, at the very last minute, so they stay crisp."],
)
def test_what_goes_in_at_the_last_moment_goes_in(line: str) -> None:
    assert told("The cauliflower is cold.", "Toss it.", "", "", "Nearly there.", line)["walnuts"] == GOES_IN


def test_what_will_go_in_at_the_last_moment_is_for_later() -> None:
    line = "The walnuts I'm keeping back until the last moment."
    assert told("The cauliflower is cold.", line, "Toss it.")["walnuts"] == LATER


STORIES = [
    ["Last Sunday my aunt used sixty grams of walnuts."],
    ["My aunt used sixty grams of walnuts."],
    ["Last Sunday my aunt came over.", "She put sixty grams of walnuts on hers."],
    ["The other day we had this at a friend's house.", "It was sixty grams of walnuts, at least."],
    ["I made it with sixty grams of walnuts two years ago."],
    ["When I was little, it was sixty grams of walnuts."],
    ["Like the loaf we made in the spring, that was sixty grams of walnuts."],
]


@pytest.mark.parametrize("story", STORIES)
def test_a_figure_of_a_story_is_held_against_nothing_and_moves_no_caption(story: list[str]) -> None:
    whole = talk("The cauliflower is cold.", "Toss it well.", "There.", "", "And forty grams of walnuts go over.")
    assert [(c.subject, c.agrees) for c in claims_in(*whole)] == [("walnuts", True)]  # else the next lines say nothing
    dish, transcript, cut = talk(
        "The cauliflower is cold.",
        "Toss it well.",
        *story,
        "Right.",
        "",
        "And forty grams of walnuts go over, all forty.",
    )
    at = transcript.lines[-1].start_ms
    assert [(c.subject, c.agrees, c.time_ms >= at) for c in claims_in(dish, transcript, cut)] == [
        ("walnuts", True, True)
    ]
    (walnuts,) = (h for h in heard(dish, transcript, cut) if h.addition.ingredient.name == "walnuts")
    assert walnuts.time_ms is not None and walnuts.time_ms >= at


@pytest.mark.parametrize(
    "lines",
    [
        ["My aunt used sixty grams, so I put sixty grams of walnuts on as well."],
        ["Last Sunday it went well.", "And sixty grams of walnuts go over."],
        ["Once it is tossed, sixty grams of walnuts go over."],
        ["My aunt is here.", "Sixty grams of walnuts."],
    ],
)
def test_a_figure_of_today_beside_a_story_is_held_against_the_recipe(lines: list[str]) -> None:
    found = claims_in(*talk("The cauliflower is cold.", "Toss it well.", "", "", *lines))
    assert [(c.subject, c.agrees) for c in found] == [("walnuts", False)]


def test_yesterday_is_of_a_dish_that_is_begun_the_day_before() -> None:
    line = "I left the parsley out yesterday, I'm afraid."
    other = "Yesterday I left the parsley out."
    slow = BOWL.replace("hands: 4 min,", "hands: 4 min, wait: 12 h,")
    assert told("The cauliflower is cold.", other).get("parsley") != LEFT_OUT
    assert told("The cauliflower is cold.", line, bowl=slow)["parsley"] == LEFT_OUT
    assert told("The cauliflower is cold.", other, bowl=slow)["parsley"] == LEFT_OUT


def test_seeds_and_pods_are_called_by_their_plant() -> None:
    bowl = BOWL.replace("walnuts:", "fennel seeds:").replace("walnuts", "fennel seeds")
    found = told("The cauliflower is cold, and the tomatoes.", "The fennel never went in there.", bowl=bowl)
    assert (found["fennel seeds"], found["tomatoes"]) == (LEFT_OUT, GOES_IN)


def test_a_quote_has_no_space_before_its_comma() -> None:
    effects = effects_of(*talk("The cauliflower is cold.", "I forgot the parsley, I'm afraid."))
    assert [one.words for one in effects if one.effect == LEFT_OUT] == ["I forgot the parsley, I'm afraid."]
