"""What a cook would not do: hot soup left in a jug, a blend before the soup has cooled, an oven that takes a burner, two totals."""

from __future__ import annotations

import json
import re

import pytest
from conftest import Table

from scriptkit.english.standing import stands_in
from scriptkit.pack import make_pack
from scriptkit.papers.schedule import schedule_json, schedule_text
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.jug_fill import COOLS_MS
from scriptkit.safety.rules import rules
from scriptkit.shoot.day.schedule import CannotSchedule, Task, schedule_of

FISH = """
    dish: Fish
    servings: 2
    cooked_weight: 300 g
    ingredients: {leek: 300 g}
    steps:
      - {id: fry, stage: cook, do: Fry it., add: leek, vessel: frying pan, heat: high, hands: 14 min}
      - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 8 min}
"""
SOUP = """
    dish: Soup
    servings: 2
    cooked_weight: 600 g
    keeps: 30 min
    ingredients: {{carrot: 600 g}}
    steps:
      - {{id: simmer, stage: cook, do: {simmer}, add: carrot, vessel: pot, heat: low, hands: 1 min, wait: 20 min}}
      - {{id: blend, stage: cook, do: Blend it smooth., vessel: {jug}, hands: 4 min}}
      - {{id: serve, stage: cook, do: Ladle it into bowls., vessel: soup bowls, hands: 2 min}}
"""
MEAL = """
    meal: Supper
    plates: 1
    dishes: [{dish: soup.yaml, portion: 100 g}, {dish: fish.yaml, portion: 100 g}]
    kitchen: {landing: %s min, filming: 0 min, cooks: 1}
"""


def tasks(source: Dish | Meal) -> dict[str, Task]:
    return {t.step.id: t for t in schedule_of(source, most_nodes=400).tasks}


def soup_and_fish(table: Table, jug: str, landing: int = 12) -> dict[str, Task]:
    table.write("soup.yaml", SOUP.format(simmer="Simmer it.", jug=jug))
    table.write("fish.yaml", FISH)
    return tasks(table.meal(MEAL % landing))


KOFTA = """
    dish: Koftas
    servings: 2
    cooked_weight: 400 g
    ingredients: {{lamb: {{amount: 400 g, food: "lamb, ground"}}, red pepper: 300 g, olive oil: 30 g}}
    steps:
      - {{id: char, stage: cook, do: "{char}", add: {{olive oil: half, red pepper: all}}, vessel: griddle pan, hands: 6 min}}
      - {{id: fry, stage: cook, do: Fry the lamb., add: {{olive oil: rest, lamb: all}}, vessel: frying pan, hands: 8 min, from: {{}}}}
      - {{id: serve, stage: cook, do: Lay the lamb on the peppers., from: [char, fry], vessel: plates, hands: 1 min}}
    kitchen: {{filming: 0 min, cooks: 1}}
"""


@pytest.mark.parametrize(
    ("char", "lands"),
    [
        ("Char the peppers, then set them aside on a plate.", True),
        ("Char the peppers, and keep them warm.", True),
        ("Char the peppers and set the red peppers aside.", True),
        ("Char the peppers over a high heat.", False),
        ("Char the peppers, but do not set them aside.", False),
        ("Char the peppers and set aside a spoon of the oil.", False),
    ],
)
def test_what_is_set_aside_or_kept_warm_may_stand_while_the_next_pan_is_busy(
    table: Table, char: str, lands: bool
) -> None:
    dish = table.dish(KOFTA.format(char=char))
    if not lands:
        with pytest.raises(CannotSchedule):
            tasks(dish)
        return
    when = tasks(dish)
    assert when["serve"].start_min - when["char"].end_min == 8


def test_hot_soup_does_not_wait_in_the_jug_but_may_in_a_pot(table: Table) -> None:
    """`keeps:` is of the soup in its pot: 22 minutes of fish fit between a pot and the bowls, and not between a jug and them."""
    in_a_pot = soup_and_fish(table, "second pot", landing=5)
    assert in_a_pot["serve"].start_min - in_a_pot["blend"].end_min >= 22
    with pytest.raises(CannotSchedule):
        soup_and_fish(table, "blender jug", landing=5)
    later = soup_and_fish(table, "blender jug", landing=8)  # the fish is plated first
    assert later["serve"].start_min - later["blend"].end_min <= 5


@pytest.mark.parametrize(
    ("words", "least", "most"),
    [
        ("Take it off the heat and let it cool 5 to 10 minutes.", 5, 10),
        ("Let it cool for ten minutes.", 10, 15),
        ("Rest it for 3 minutes.", 3, 8),
    ],
)
def test_what_the_words_give_the_food_it_is_given(table: Table, words: str, least: int, most: int) -> None:
    text = SOUP.format(simmer="Simmer it.", jug="blender jug").replace(
        "      - {id: blend", f"      - {{id: cool, stage: cook, do: {words}, vessel: pot, heat: 'off', hands: 0 min}}\n      - {{id: blend"
    )  # fmt: skip
    found = tasks(table.dish(text))
    waited = found["blend"].start_min - found["cool"].start_min
    assert least <= waited <= most


def test_a_written_wait_beats_the_words(table: Table) -> None:
    text = SOUP.format(simmer="Let it stand 5 minutes.", jug="blender jug")
    found = tasks(table.dish(text))
    assert found["simmer"].end_min - found["simmer"].start_min == 21 + 1  # a minute of filming


@pytest.mark.parametrize(
    ("kept", "lands"), [("keeps: 25 min", True), ("keeps: 3 min", False), ("wait_at_most: 25 min", True)]
)
def test_a_step_says_how_long_what_it_makes_keeps(table: Table, kept: str, lands: bool) -> None:
    """The fish is fried and plated between the sauce and its plate, in 22 minutes."""
    sauce = """
        dish: Sauce
        servings: 2
        cooked_weight: 100 g
        ingredients: {leek: 100 g}
        steps:
          - {id: whisk, stage: cook, do: Whisk it., add: leek, vessel: small pan, heat: low, hands: 4 min, %s}
          - {id: spoon, stage: cook, do: Spoon it over., vessel: saucers, hands: 1 min}
    """
    table.write("soup.yaml", sauce % kept)
    table.write("fish.yaml", FISH)
    if lands:
        found = tasks(table.meal(MEAL % "2"))
        assert found["spoon"].start_min >= found["whisk"].end_min
    else:
        work = Production(table.read(MEAL % "0", "meal.yaml"))
        assert (
            work.schedule is None
            or max(t.end_min for t in work.schedule.tasks if t.step.id == "plate") <= work.schedule.length_min
        )


@pytest.mark.parametrize("vessel", ["slow cooker", "air fryer", "microwave", "casserole"])
def test_what_has_its_own_heat_takes_no_burner(table: Table, vessel: str) -> None:
    heat = "oven 160 °C" if vessel == "casserole" else "low"
    text = f"""
        dish: Stew
        servings: 2
        cooked_weight: 300 g
        ingredients: {{leek: 300 g, carrot: 100 g}}
        kitchen: {{burners: 0, preheat: 0 min}}
        steps: [{{id: stew, stage: cook, do: Stew it., add: [leek, carrot], vessel: {vessel}, heat: "{heat}", wait: 30 min}}]
    """
    (only,) = schedule_of(table.dish(text)).tasks
    assert only.burner == 0
    assert only.oven == (vessel == "casserole")


@pytest.mark.parametrize(
    ("counted", "together"), [("", True), ("vessels: {air fryer: 1},", False), ("vessels: {air fryer: 2},", True)]
)
def test_an_appliance_that_is_counted_holds_so_much_at_a_time(table: Table, counted: str, together: bool) -> None:
    dish = """
        dish: {name}
        servings: 1
        cooked_weight: 100 g
        keeps: 1 h
        ingredients: {{leek: 100 g}}
        steps: [{{id: {name}, stage: cook, do: Crisp it., add: leek, vessel: {name} tray, heat: air fryer 190 °C, wait: 20 min}}]
    """
    table.write("soup.yaml", dish.format(name="one"))
    table.write("fish.yaml", dish.format(name="two"))
    found = tasks(table.meal(MEAL.replace("kitchen: {", "kitchen: {" + counted) % "60"))
    first, second = sorted(found.values(), key=lambda t: t.start_min)
    assert (second.start_min < first.end_min) == together


BRAISE = """
    dish: Braise
    servings: 2
    cooked_weight: 500 g
    ingredients: {{leek: 500 g}}
    kitchen: {{preheat: 15 min, ovens: 1}}
    steps:
      - {{id: braise, stage: cook, do: Braise it., add: leek, vessel: casserole, heat: oven 150 °C, hands: 2 min, wait: 2 h{most}}}
      - {{id: skim, stage: cook, do: Skim it., vessel: casserole, heat: "off", hands: 2 min}}
      - {{id: glaze, stage: cook, do: Glaze it., vessel: casserole, heat: oven 220 °C, hands: 1 min, wait: 10 min}}
"""


@pytest.mark.parametrize("most", ["", ", wait_at_most: 20 min", ", wait_at_most: 2 h 20 min", ", keeps: 20 min"])
def test_a_braise_that_is_finished_later_in_the_same_oven_lands(table: Table, most: str) -> None:
    """Its own two hours are not held against how long it may stand."""
    found = tasks(table.dish(BRAISE.format(most=most)))
    assert 0 <= found["skim"].start_min - found["braise"].end_min <= 20
    assert found["glaze"].goes_in_min >= found["braise"].end_min + 15  # the oven is turned up


def test_card_description_linked_data_and_schedule_print_one_total(table: Table) -> None:
    table.write("soup.yaml", SOUP.format(simmer="Simmer it.", jug="blender jug"))
    table.write("fish.yaml", FISH)
    work = Production(table.read(MEAL.replace("filming: 0 min", "filming: 3 min") % "12", "meal.yaml"))
    total = work.total_time
    assert total.times.total_ms is not None
    minutes = total.times.total_ms // 60_000
    files = make_pack(work).files
    assert f"It takes one cook {minutes} min." in files["description.txt"]
    assert f"{minutes} min for one cook" in files["recipe-card.html"]
    assert f"Total time {minutes} min for one cook." in files["schedule.html"]
    assert json.loads(files["files/recipe.jsonld"])["totalTime"] == f"PT{minutes}M"
    assert work.schedule is not None
    assert f"Total time: {minutes} min for one cook." in schedule_text(work.schedule, total=total)
    data = schedule_json(work.schedule, None, total=total)
    assert (data["total_time_min"], data["total_time_cooks"]) == (minutes, 1)
    assert work.schedule.length_min > minutes  # filming costs time, and is told apart
    assert re.search(r"Ready in \d+ min .*Filmed, with 1 cook\.", files["schedule.html"])


def test_a_total_names_as_many_cooks_as_it_takes(table: Table) -> None:
    """Two pans that must both be stirred to the end need two cooks."""
    dish = """
        dish: {name}
        servings: 1
        cooked_weight: 100 g
        ingredients: {{leek: 100 g}}
        steps: [{{id: {name}, stage: cook, do: Stir it all the time., add: leek, vessel: {name} pan, heat: low, hands: 20 min}}]
    """
    table.write("soup.yaml", dish.format(name="one"))
    table.write("fish.yaml", dish.format(name="two"))
    work = Production(table.read((MEAL % "2").replace("cooks: 1", "cooks: 3"), "meal.yaml"))
    assert (work.total_time.words, work.total_time.cooks) == ("20 min for two cooks", 2)
    assert "It takes two cooks 20 min." in make_pack(work).files["description.txt"]


@pytest.mark.parametrize(
    ("do", "cools", "ends"),
    [
        ("Take it off the heat, let it cool for 5 to 10 minutes, then blend it smooth.", 5, 4),
        ("Blend it smooth, then let it cool for 5 to 10 minutes.", 5, 9),
        ("Blend it smooth.", 5, 4),  # as its caution says
        ("Blend it smooth with a stick blender.", 0, 4),
        ("Pour it through a sieve.", 0, 4),
    ],
)
def test_a_step_that_cools_first_begins_when_it_has_cooled(table: Table, do: str, cools: int, ends: int) -> None:
    """The cook's hands come after the food's own time, not before it; the blend is of soup that has cooled."""
    text = SOUP.format(simmer="Simmer it.", jug="blender jug").replace("do: Blend it smooth.", f'do: "{do}"')
    soup = tasks(table.dish(text + "    kitchen: {filming: 0 min}\n"))
    assert soup["blend"].start_min - soup["simmer"].end_min == cools
    assert soup["blend"].end_min - soup["blend"].start_min == ends


def test_the_schedule_says_that_it_cools_and_as_long_as_the_caution(table: Table) -> None:
    work = Production(table.read(SOUP.format(simmer="Simmer it.", jug="blender jug")))
    assert work.schedule is not None
    assert "Step 2 of Soup: it cools for 5 min first, off the heat from 0:22." in schedule_text(work.schedule)
    assert "off the heat to cool for 5 min" in make_pack(work).files["schedule.html"]
    printed = [rule.printed for rule in rules() if rule.id in ("hot-blending-jug", "hot-in-processor")]
    assert [stands_in(text) for text in printed] == [(COOLS_MS, 2 * COOLS_MS)] * 2
