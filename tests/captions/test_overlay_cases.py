"""What the overlay says at the edges: cards where time is short, names in another script, portions in a narrow room, polyols."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table
from test_cards import SWEET
from test_overlay import overlay_of, read

from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.overlay import dish_card, overlay, portion_card
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Place
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.timed_text.cue import Cue

PART = """
dish: {name}
servings: 1
cooked_weight: 100 g
foods: {{quay cake: {{per: 100 g, basis: us, energy_kcal: 40, carbohydrate_g: 5, fibre_g: 1, fat_g: 1.26, protein_g: 1}}}}
ingredients: {{cake: {{amount: 100 g, food: quay cake}}}}
steps: [{{stage: cook, do: Warm it., add: cake, screen: 10 s}}]
"""

LEEKS = """
dish: Leeks
servings: 2
cooked_weight: 600 g
ingredients: {{leek: 600 g}}
steps: [{{id: soften, stage: cook, do: Soften it., add: leek, screen: {screen}}}]
film: {{closing: {closing}}}
"""


def shown_of(source: Dish | Meal) -> tuple[list[tuple[str, ...]], list[tuple[str, str]]]:
    """The lines of each cue, and the messages with their place and hint."""
    cues, problems = Preproduction(source).planned_overlay
    return [c.lines for c in cues], [(p.message, p.hint) for p in problems]


def test_a_short_closing_says_the_same_in_fewer_words(table: Table) -> None:
    """In full the cards take 8 and 7.7 s to read twice, in short 7.8 and 5.8."""
    full, short = ("A serving, 300 g: 183 kcal", "Serving 300 g: 183 kcal")
    long_closing, problems = shown_of(table.dish(LEEKS.format(screen="10 s", closing="20 s")))
    assert [lines[0] for lines in long_closing[1:]] == [full, "Carbs 42.5 g − fibre 5.4 g"] and problems == []
    assert long_closing[2][1] == "= net carbs 37.1 g (13–40 g)"
    brief, problems = shown_of(table.dish(LEEKS.format(screen="10 s", closing="13 s")))
    assert [lines[0] for lines in brief[1:]] == [short, "Carbs 42.5 g − fibre 5.4 g"] and problems == []
    assert brief[2][1] == "= net 37.1 g"


def test_a_closing_without_room_for_a_card_is_named(table: Table) -> None:
    _, ((message, hint),) = shown_of(table.dish(LEEKS.format(screen="10 s", closing="4 s")))
    assert message.endswith("and the closing of Leeks has no time left for it")
    assert hint.endswith("more `closing:` under `film:`")


def test_the_closing_of_a_meal_without_room_is_named_at_the_meal(table: Table) -> None:
    table.write("leeks.yaml", LEEKS.format(screen="10 s", closing="20 s"))
    meal = table.meal("meal: Supper\nplates: 2\ndishes: [{dish: leeks.yaml}]\nfilm: {closing: 4 s}\n")
    cues, problems = Preproduction(meal).planned_overlay
    assert [p.place for p in problems] == [meal.place] and meal.place.file.endswith("meal.yaml")
    assert "the meal's closing has no time left for it" in problems[0].message
    assert cues[-1].track == "macros"


def test_a_step_without_room_is_named_by_its_number_its_id_and_its_dish(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        film: {closing: 20 s}
        ingredients: {leek: 600 g, "stock powder of the house": 5 g}
        foods: {stock powder of the house: {per: 100 g, basis: us, energy_kcal: 0, carbohydrate_g: 0, fibre_g: 0, fat_g: 0, protein_g: 0}}
        steps:
          - {id: soften, stage: cook, do: Soften it., add: {leek: all, stock powder of the house: all}, screen: 2 s}
          - {id: plate, stage: cook, do: Plate it., add: {}, wait: 20 min, screen: 3 s}
    """)
    _, problems = shown_of(dish)
    assert any("step 2 (plate) of Leeks has no time left for it" in message for message, _ in problems)


def test_cards_of_the_dishes_of_a_meal_are_its_own(table: Table) -> None:
    """1.26 g of fat are 1.3 g at each closing, and twice that, 2.52 g, are 2.5 on the plate's."""
    for name in ("Left", "Right"):
        table.write(f"{name}.yaml", PART.format(name=name))
    meal = table.meal("meal: M\nplates: 1\ndishes: [{dish: Left.yaml}, {dish: Right.yaml}]\n")
    lines, _ = shown_of(meal)
    fat = sorted(lines[n][1].split(",")[0] for n in range(len(lines)) if lines[n][-1].startswith("fat"))
    assert fat == ["fat 1.3 g", "fat 1.3 g", "fat 2.5 g"]


def test_a_name_that_is_read_from_the_right_is_kept_apart_from_its_amount(table: Table) -> None:
    dish = table.dish("""
        dish: Soup
        servings: 2
        ingredients: {מרק: {amount: 30 g, food: olive oil}}
        steps: [{stage: cook, do: Pour it in., add: מרק, screen: 10 s}]
    """)
    assert shown_of(dish)[0][0] == (
        "\u200e\u2068מרק\u2069 30 g (about 2 ¼ tbsp)",
    )  # UAX #9: left to right, and an isolate in it


def first_safety(cues: list[Cue], after_ms: int) -> int:
    return next(c.start_ms for c in cues if c.track == "safety" and c.start_ms >= after_ms)


def test_a_step_with_a_picture_of_its_own_for_the_caution_is_not_told_over_the_one_before() -> None:
    """The hake goes in 12 s after its step begins, at 0:25."""
    _, cues, _ = overlay_of(read(EXAMPLES / "seared-hake.yaml"))
    assert first_safety(cues, 11_000) == 25_000


def test_what_was_not_filmed_is_told_as_an_addition(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 600 g, "mustard powder": 20 g}
        steps: [{stage: cook, do: Stir., add: {leek: all, mustard powder: all}, unfilmed: mustard powder, screen: 20 s}]
    """)
    cues, _ = Preproduction(dish).planned_overlay
    assert [(c.track, c.lines) for c in cues if "ustard" in c.text] == [
        ("addition", ("Also in it: 20 g mustard powder",))
    ]


def test_polyols_stand_on_the_card_where_there_are_some(table: Table) -> None:
    card = dish_card(dish_macros(table.dish(SWEET.format(weight="cooked_weight: 110 g"))))
    assert card[1] == ("Carbs 11.3 g − fibre 0.9 g − half the polyols 2.5 g", "= net carbs 7.9 g (7–9 g)")


# --- the portion line -------------------------------------------------------------------------------------------------

SOUP = """
dish: {name}
short: {name}
servings: 4
serving: {serving}
cooked_weight: 1.2 kg
cooked_volume: 1.183 l
ingredients: {{celeriac: 800 g, butter: {{amount: 60 g, food: "butter, unsalted"}}}}
"""


def test_where_room_is_scarce_the_measure_of_what_is_as_usual_goes_first(table: Table) -> None:
    """A cup of 1.2 kg in 1.183 l is 240 g."""
    table.write("soup.yaml", SOUP.format(name="soup", serving="1 cup"))
    table.write("broth.yaml", SOUP.format(name="broth", serving="1 cup"))
    meal = table.meal(
        "meal: Supper\ndishes: [{dish: soup.yaml, step: 1/4 cup, least: 1 cup}, {dish: broth.yaml, step: 1/4 cup}]\n"
        "at_most: {net_carbs_g: 21}\n"
    )
    suggestion = Preproduction(meal).suggestion
    ((_, whole),) = portion_card(suggestion, CueLimits(width=80))
    assert whole == "240 g (1 cup) soup, 120 g (½ cup) broth"
    ((_, less),) = portion_card(suggestion, CueLimits(width=len(whole) - 1))
    assert less == "240 g soup, 120 g (½ cup) broth"
    ((_, least),) = portion_card(suggestion, CueLimits(width=len(less) - 1))
    assert least == "240 g soup, 120 g broth"


@pytest.mark.parametrize("width", [42, 31])
def test_the_portion_line_of_the_closing_keeps_to_the_room(width: int, table: Table) -> None:
    table.write("soup.yaml", SOUP.format(name="soup", serving="1 cup"))
    table.write("broth.yaml", SOUP.format(name="broth", serving="1 cup"))
    meal = table.meal(
        "meal: Supper\ndishes: [{dish: soup.yaml, step: 1/4 cup, least: 1 cup}, {dish: broth.yaml, step: 1/4 cup}]\n"
        "at_most: {net_carbs_g: 21}\nfilm: {closing: 60 s}\n"
    )
    of = Preproduction(meal)
    cues, _ = overlay(of.plan, [], of.macros.dishes, of.macros.meal, of.suggestion, CueLimits(width=width))
    (line,) = [c.lines[1] for c in cues if c.lines[0].startswith("For at most")]
    assert line == ("240 g (1 cup) soup, 120 g (½ cup) broth" if width == 42 else "240 g soup, 120 g (½ cup) broth")


def test_places_of_problems_are_those_of_the_file(table: Table) -> None:
    dish = table.dish(LEEKS.format(screen="10 s", closing="4 s"))
    _, problems = Preproduction(dish).planned_overlay
    assert [p.place for p in problems] == [Place(dish.place.file, dish.place.line, dish.place.column)]
