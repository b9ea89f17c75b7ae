"""Mise en place: bowls in order of use, vessels and tools."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest
from conftest import EXAMPLES, Table

from scriptkit.papers.cautions import mark_word
from scriptkit.papers.mise_en_place import cut_text, mise_en_place_of, oven_rows
from scriptkit.papers.ovens import oven_lines, switch_on
from scriptkit.preproduction import Preproduction
from scriptkit.recipe.display_names import behind_words
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import schedule_of
from scriptkit.shoot.mise_en_place import preheats_of, trays_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

DISH = """
    dish: Leek and potato
    servings: 2
    ingredients:
      leek: {amount: 240 g, prep: "sliced, 5 mm"}
      potato: {amount: 300 g, prep: brunoise}
      ghee: 60 g
      salt: to taste
      olive oil: 2 tbsp
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {ghee: 20 g, leek: all}, vessel: Stock pot, tools: [wooden spoon]}
      - {id: soak, stage: prep, do: Soak the potato., add: potato, vessel: bowl, tools: board}
      - {id: finish, stage: cook, do: Stir in the rest., add: {ghee: rest, salt: to taste, olive oil: half}, vessel: stock pot}
      - {id: dress, stage: cook, do: Dress., add: {olive oil: rest}, vessel: plates, tools: [wooden spoon, scale]}
"""


def test_one_bowl_an_addition_in_order_of_use(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    bowls = [(b.number, b.step.id, b.addition.ingredient.name, b.grams, b.cut, b.mm) for b in tray.bowls]
    assert bowls == [
        (1, "soak", "potato", "300 g", "brunoise", "3 mm"),
        (2, "soften", "ghee", "20 g", "", ""),
        (3, "soften", "leek", "240 g", "sliced, 5 mm", "5 mm"),
        (4, "finish", "ghee", "40 g", "", ""),
        (5, "finish", "salt", "to taste", "", ""),
        (6, "finish", "olive oil", "14 g", "", ""),
        (7, "dress", "olive oil", "14 g", "", ""),
    ]


def test_the_household_amount_is_the_cooks_own_where_it_was_no_weight(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    by_number = {b.number: b.household for b in tray.bowls}
    assert by_number[6] == by_number[7] == "1 tbsp"
    assert by_number[5] == ""
    assert by_number[2].startswith("about ")


def test_vessels_and_tools_once_each_with_their_steps(table: Table) -> None:
    (tray,) = trays_of(table.dish(DISH))
    assert [(r.name, [s.number for s in r.steps]) for r in tray.vessels] == [
        ("bowl", [2]),
        ("Stock pot", [1, 3]),
        ("plates", [4]),
    ]
    assert [(r.name, [s.number for s in r.steps]) for r in tray.tools] == [
        ("board", [2]),
        ("wooden spoon", [1, 4]),
        ("scale", [4]),
    ]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_bowls_of_an_ingredient_sum_to_it(path: object) -> None:
    for tray in trays_of(read_source(str(path)).usable()):
        sums: dict[str, float] = defaultdict(float)
        for bowl in tray.bowls:
            sums[bowl.addition.ingredient.key] += bowl.addition.grams or 0.0
        assert sums.keys() == {i.key for i in tray.dish.ingredients}
        for ingredient in tray.dish.ingredients:
            assert sums[ingredient.key] == pytest.approx(ingredient.grams or 0.0)


def test_a_tray_for_each_dish_and_one_for_a_dish_served_twice(table: Table) -> None:
    table.write("leek.yaml", DISH)
    meal = table.meal("meal: Twice\ndishes: [{dish: leek.yaml}, {dish: leek.yaml, portion: 50 g}]")
    assert [t.dish.name for t in trays_of(meal)] == ["Leek and potato"]


# --- with a schedule -------------------------------------------------------------------------------------------------

BAKED = """
    dish: Gratin
    servings: 2
    ingredients: {leek: 200 g, cream: {amount: 100 ml, food: "cream, single"}}
    steps:
      - {id: light, stage: prep, do: Heat the oven., heat: oven 190 °C, hands: 1 min}
      - {id: layer, stage: cook, do: Layer it., add: [leek, cream], vessel: gratin dish, hands: 4 min, tools: spoon}
      - {id: bake, stage: cook, do: Bake it., vessel: gratin dish, heat: oven 190 °C, hands: 1 min, wait: 25 min}
      - {id: on, stage: cook, do: Bake on., vessel: gratin dish, heat: oven 190 °C, hands: 1 min, wait: 5 min}
      - {id: brown, stage: cook, do: Brown it., vessel: gratin dish, heat: oven 220 °C, hands: 1 min, wait: 5 min, tools: [spoon, tongs]}
    kitchen: {preheat: %s, ovens: 2}
"""


def test_an_oven_is_switched_on_once_for_each_setting_the_preheat_before_it_is_needed(table: Table) -> None:
    dish = table.dish(BAKED % "12 min")
    assert [(p.step.id, p.setting, p.lead_ms, p.on_min) for p in preheats_of(dish)] == [
        ("bake", "oven 190 °C", 720_000, None),
        ("brown", "oven 220 °C", 720_000, None),
    ]
    schedule = schedule_of(dish)
    start = {t.step.id: t.start_min for t in schedule.tasks}
    assert [(p.step.id, p.on_min, p.needed_min) for p in preheats_of(dish, schedule)] == [
        ("bake", start["bake"] + 1 - 12, start["bake"] + 1),  # when its hands have put it in
        ("brown", start["brown"] - 12, start["brown"]),
    ]


def test_a_dish_without_an_oven_needs_no_preheat(table: Table) -> None:
    assert preheats_of(table.dish(DISH)) == ()


def test_vessels_and_tools_say_from_which_minute_they_are_needed(table: Table) -> None:
    dish = table.dish(BAKED % "12 min")
    schedule = schedule_of(dish)
    start = {t.step.id: t.start_min for t in schedule.tasks}
    (tray,) = trays_of(dish, schedule)
    assert {r.name: r.at_min for r in tray.vessels} == {"gratin dish": start["layer"]}
    assert {r.name: r.at_min for r in tray.tools} == {"spoon": start["layer"], "tongs": start["brown"]}
    (tray,) = trays_of(dish)
    assert {r.at_min for r in (*tray.vessels, *tray.tools)} == {None}


# Millimetres beside the names, because books differ; the figures of the trade's own sheet of cuts.
@pytest.mark.parametrize(
    ("prep", "mm"),
    [
        ("brunoise", "3 mm"),
        ("small dice", "6 mm"),
        ("medium dice", "12 mm"),
        ("large dice", "20 mm"),
        ("julienne", "3 × 3 × 40 mm"),
        ("bâtonnet", "6 × 6 × 55 mm"),
        ("batonnets", "6 × 6 × 55 mm"),
        ("julienne, 2 mm", "2 mm"),
        ("dice, 1.5 cm", "15 mm"),
        ("picked", ""),
    ],
)
def test_a_cut_is_named_with_its_millimetres(table: Table, prep: str, mm: str) -> None:
    dish = table.dish(
        f'dish: D\nservings: 1\ningredients: {{leek: {{amount: 90 g, prep: "{prep}"}}}}\n'
        "steps: [{stage: cook, do: Stir., add: leek}]"
    )
    assert [b.mm for b in trays_of(dish)[0].bowls] == [mm]


@pytest.mark.parametrize(
    ("lead_ms", "on_min", "words"),
    [
        (0, 4.0, "switch it on at 0:04, when the dish goes in, at step 3 of Gratin"),
        (720_000, None, "switch it on 12 min before the dish goes in, at step 3 of Gratin"),
        (720_000, -5.0, "switch it on 5 min before the first step, for step 3 of Gratin"),
        (720_000, 8.0, "switch it on at 0:08, 12 min before the dish goes in, at step 3 of Gratin"),
    ],
)
def test_when_an_oven_is_switched_on_in_words(table: Table, lead_ms: int, on_min: float | None, words: str) -> None:
    one = replace(preheats_of(table.dish(BAKED % "12 min"))[0], lead_ms=lead_ms, on_min=on_min)
    assert [p.on for p in oven_rows([one])] == [words]


BRAISE = """
    dish: Braised chicken
    servings: 4
    ingredients:
      chicken: {amount: 800 g, food: "chicken thigh, skinless"}
      salt: 6 g
      chilli: {amount: 1, food: "chilli, red", prep: sliced}
      onion: {amount: 1 medium, prep: sliced}
      olive oil: 2 tbsp
      stock: {amount: 250 ml, food: "chicken stock, homemade"}
    steps:
      - {id: season, stage: prep, do: Season the chicken with the salt., uses: chicken, add: {salt: all}, vessel: tray}
      - {id: fry, stage: cook, do: "Heat the oil, and fry the onion and the chilli.", add: {olive oil: all, onion: all, chilli: all}, vessel: wide pan, heat: medium-high}
      - {id: brown, stage: cook, do: Add the chicken., add: {chicken: all}, vessel: wide pan, heat: medium}
      - {id: simmer, stage: cook, do: Add the stock and simmer until the chicken is cooked through., add: {stock: all}, vessel: wide pan, wait: 25 min}
"""


def test_a_caution_stands_with_the_bowl_of_its_food(table: Table) -> None:
    """Salt and stock go in where raw chicken is seasoned and cooked through; it is the chicken's bowl that is marked."""
    production = Preproduction(table.dish(BRAISE))
    (tray,) = mise_en_place_of(production.trays, production.preheats, production.cautions).trays
    marks = {bowl.item: set(bowl.marks) for bowl in tray.bowls}
    assert marks["salt"] == marks["homemade chicken stock"] == set()
    assert {"Raw", "Temperature"} <= marks["skinless chicken thighs"]
    assert "Fumes" in marks["red chilli"] and "Fumes" not in marks["onion"] | marks["olive oil"]
    assert "Hot fat" in marks["onion"] & marks["olive oil"]  # about the step, and all that goes in there


def test_every_caution_that_names_a_food_marks_a_bowl_or_none_is_laid_out(table: Table) -> None:
    production = Preproduction(table.dish(BRAISE))
    for caution in production.cautions:
        known = {i.key for i in caution.dish.ingredients}
        assert set(caution.about) <= known


@pytest.mark.parametrize(
    ("units", "written", "leads", "beside"),
    [
        ("", "250 ml", "250 ml", "254 g"),
        ("", "2.5 dl", "2 ½ dl", "254 g"),
        ("", "250 g", "250 g", "about 1 cup"),
        ("", "1 cup", "240 g", "1 cup"),  # a spoon or a cup is weighed
        ("units: metric\n    ", "250 ml", "250 ml", "254 g"),
    ],
)
def test_millilitres_lead_where_the_cook_wrote_them(
    table: Table, units: str, written: str, leads: str, beside: str
) -> None:
    production = Preproduction(
        table.dish(BRAISE.replace("servings: 4", f"{units}servings: 4").replace("250 ml", written))
    )
    bowl = next(b for b in production.trays[0].bowls if b.addition.ingredient.key == "stock")
    assert (bowl.grams, bowl.household) == (leads, beside)


TWO_SETTINGS = """
dish: D
servings: 1
kitchen: {cooks: 1, ovens: %s, preheat: 15 min}
ingredients: {leek: 90 g, fig: 90 g}
steps:
  - {id: roast, stage: cook, do: Roast the leek., add: {leek: all}, vessel: tray, heat: oven 150 °C, hands: 5 min, wait: 60 min}
  - {id: figs, stage: cook, do: Roast the figs., add: {fig: all}, from: roast, vessel: small tray, heat: oven %s, hands: 2 min, wait: %s}
"""


@pytest.mark.parametrize(
    ("ovens", "setting", "line", "do", "on"),
    [
        (1, "220 °C", "Oven 220 °C: turned up at ", "Turn the oven up: 220 °C.", "turn it up at "),
        (1, "100 °C", "Oven 100 °C: turned down at ", "Turn the oven down: 100 °C.", "turn it down at "),
        (1, "150 °C fan", "Oven 150 °C fan: set at ", "Set the oven: 150 °C fan.", "set it at "),
        (2, "220 °C", "Oven 220 °C: on at ", "Switch the oven on: 220 °C.", "switch it on at "),
    ],
)
def test_one_oven_that_is_in_use_is_turned_to_its_next_setting(
    table: Table, ovens: int, setting: str, line: str, do: str, on: str
) -> None:
    dish = table.dish(TWO_SETTINGS % (ovens, setting, "10 min"))
    first, second = preheats_of(dish, schedule_of(dish))
    assert switch_on(first) == "Switch the oven on: 150 °C."
    assert oven_lines([second])[0].startswith(line)
    assert switch_on(second) == do
    assert oven_rows([second])[0].on.startswith(on)


def test_an_oven_that_stood_cold_for_hours_is_switched_on_again(table: Table) -> None:
    cold = TWO_SETTINGS.replace(
        "  - {id: figs",
        "  - {id: rest, stage: cook, do: Rest it., from: roast, vessel: board, wait: 3 h}\n  - {id: figs",
    )
    dish = table.dish(cold.replace("from: roast, vessel: small", "from: rest, vessel: small") % (1, "220 °C", "10 min"))
    assert [p.turn for p in preheats_of(dish, schedule_of(dish))] == ["", ""]


def test_an_oven_that_is_at_its_setting_already_is_left_on(table: Table) -> None:
    same = TWO_SETTINGS.replace(
        "  - {id: figs",
        "  - {id: rest, stage: cook, do: Rest it., from: roast, vessel: board, wait: 20 min}\n  - {id: figs",
    )
    dish = table.dish(same.replace("from: roast, vessel: small", "from: rest, vessel: small") % (1, "150 °C", "10 min"))
    second = preheats_of(dish, schedule_of(dish))[1]
    assert oven_lines([second]) == ("Oven 150 °C: on already, for step 3 of D",)
    assert (switch_on(second), oven_rows([second])[0].on) == (
        "Leave the oven on: 150 °C.",
        "it is on already, for step 3 of D",
    )


def test_a_size_that_is_said_is_not_said_again_in_another_unit(table: Table) -> None:
    dish = table.dish(
        'dish: D\nservings: 1\ningredients: {leek: {amount: 90 g, prep: "cubes, 2 cm"}, chard: {amount: 90 g, prep: brunoise}}\n'
        "steps: [{stage: cook, do: Stir., add: [leek, chard]}]"
    )
    assert [cut_text(b, dish) for b in trays_of(dish)[0].bowls] == ["cubes, 2 cm", "brunoise, 3 mm"]


BEHIND = """
dish: D
servings: 1
units: %s
ingredients: {leek: 500 g, cumin: %s}
steps:
  - {id: soak, stage: prep, do: Marinate the leek with the cumin., add: {leek: all, cumin: all}, vessel: bowl, wait: 2 h}
  - {id: fry, stage: cook, from: soak, do: Lift it out and discard the marinade., left_behind: {cumin: %s}, vessel: pan, heat: high, hands: 5 min}
"""


@pytest.mark.parametrize(
    ("units", "amount", "told"),
    [
        ("us", "2 tsp", "1–1 ¾ tsp of it is left behind (an estimate)"),
        ("us", "4 g", "about 0.1 oz of it is left behind (an estimate)"),
        ("metric", "2 tsp", "2.1–3.8 g of it is left behind (an estimate)"),
    ],
)
def test_what_is_left_behind_is_told_as_it_is_measured_and_a_range_of_one_figure_once(
    table: Table, units: str, amount: str, told: str
) -> None:
    dish = table.dish(BEHIND % (units, amount, "60 %"))
    cumin = next(i for i in dish.ingredients if i.key == "cumin")
    assert behind_words(replace(cumin, behind_share=0.7, behind_range=(0.5, 0.9))) == told


def test_a_bowl_is_not_marked_with_what_is_about_the_step_and_not_its_food(table: Table) -> None:
    """How long the marinade stands, the handle of the tin and the knife are no matter of a spoon of oil."""
    production = Preproduction(
        table.dish(
            "dish: D\nservings: 2\ningredients: {chicken: {amount: 900 g, food: chicken leg}, cumin: 4 g, oil: {amount: 20 g, food: olive oil}}\nsteps:\n"
            "  - {id: soak, stage: prep, do: Rub the chicken with the cumin., add: {chicken: all, cumin: all}, vessel: bowl, wait: 2 h}\n"
            "  - {id: roast, stage: cook, from: soak, do: Roast the chicken in the pan with the oil., add: {oil: all}, vessel: cast-iron pan, heat: oven 200 °C, wait: 45 min}\n"
        )
    )
    (tray,) = mise_en_place_of(production.trays, production.preheats, production.cautions).trays
    marks = {bowl.item: set(bowl.marks) for bowl in tray.bowls}
    told = {mark_word(c.rule) for c in production.cautions if c.printed and not c.about}
    assert "Fridge" in told
    assert not (marks["cumin"] | marks["olive oil"]) & {"Fridge", "Hot handle", "Knife"}
