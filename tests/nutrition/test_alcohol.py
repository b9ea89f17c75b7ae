"""Alcohol left after simmering, from the steps' own times: never a guess."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.nutrition.alcohol import share_left
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.recipe.time_on_heat import heat_of

if TYPE_CHECKING:
    from conftest import Table


@pytest.mark.parametrize(
    ("minutes", "share"),
    [  # USDA Table of Nutrient Retention Factors, Release 6 (2007)
        (15, 0.40), (30, 0.35), (60, 0.25), (90, 0.20), (120, 0.10), (150, 0.05),
        (0, 1.0), (14.9, 1.0), (29.9, 0.40), (45, 0.35), (600, 0.05),
    ],
)  # fmt: skip
def test_published_factors(minutes: float, share: float) -> None:
    assert share_left(minutes) == share


@given(st.floats(0, 1000), st.floats(0, 1000))
def test_longer_never_leaves_more(one: float, other: float) -> None:
    assert share_left(max(one, other)) <= share_left(min(one, other))


def stew(steps: str) -> str:
    return "dish: D\nservings: 2\ningredients: {red wine: 200 g, brandy: 50 g, leek: 300 g}\nsteps:\n" + steps


def step(do: str, add: str = "", more: str = "", stage: str = "cook") -> str:
    return f"  - {{stage: {stage}, do: {do}, add: {{{add}}}, {more}}}\n".replace(", }", "}")


WINE = "red wine: all"
CASES = {
    "one simmer": (step("Simmer.", WINE, "wait: 30 min"), 30.0),
    "hands count too": (step("Simmer.", WINE, "hands: 5 min, wait: 10 min"), 15.0),
    "only from where it goes in": (step("Simmer the leek.", "leek: all", "wait: 60 min") + step("Boil up.", WINE, "wait: 20 min"), 20.0),
    "off the heat": (step("Stir it in.", WINE, "heat: 'off', wait: 30 min"), 0.0),
    "a simmer that says the heat is off": (step("Simmer in what heat is left.", WINE, "heat: 'off', wait: 30 min"), 0.0),
    "a rest between": (step("Simmer.", WINE, "wait: 10 min") + step("Rest it.", "", "wait: 60 min") + step("Simmer.", "", "wait: 10 min"), 20.0),
    "an oven": (step("Put the lid on.", WINE, "heat: oven 160 °C, wait: 2 h"), 120.0),
    "another pan's simmer": (
        step("Reduce it.", WINE, "vessel: pan, heat: high, wait: 5 min") + step("Boil the leek.", "leek: all", "vessel: pot, wait: 40 min")
        + step("Warm the sauce.", "", "vessel: Pan, heat: low, wait: 4 min"), 9.0),
    "moved on into the pot": (
        step("Deglaze.", WINE, "vessel: pan, heat: high, hands: 2 min") + step("Braise it all.", "leek: all", "vessel: casserole, wait: 88 min"), 90.0),
    "through the blender and back": (
        step("Simmer.", WINE, "vessel: pot, wait: 10 min") + step("Blend.", "", "vessel: jug, hands: 6 min") + step("Simmer on.", "", "vessel: pot, wait: 8 min"), 18.0),
    "marinated first": (step("Marinate.", WINE, "vessel: bowl, wait: 12 h", "prep") + step("Braise it all.", "", "vessel: pot, wait: 60 min"), 60.0),
    "nobody says how long": (step("Simmer.", WINE), None),
    "never said to go in": (step("Simmer the leek.", "leek: all", "wait: 60 min"), 0.0),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_minutes_of_heat_after_it_goes_in(table: Table, case: str) -> None:
    steps, minutes = CASES[case]
    dish = table.dish(stew(steps))
    wine = next(i for i in dish.ingredients if i.key == "red wine")
    assert heat_of(dish, wine) == [(1.0, minutes if minutes is None else pytest.approx(minutes))]


def alcohol(table: Table, steps: str, name: str) -> tuple[float, float, list[str]]:
    """Grams of alcohol and kcal of an ingredient, and what is said of it."""
    macros = dish_macros(table.dish(stew(steps)))
    row = next(m for i, m in macros.ingredients if i.name == name)
    said = [w for w in macros.estimated if w.startswith(f"alcohol of {name}")]
    return row.at_least("alcohol_g"), row.at_least("energy_kcal"), said


def test_a_simmer_takes_alcohol_and_its_energy_and_nothing_else(table: Table) -> None:
    # SR28 14096, red wine: 10.6 g alcohol and 85 kcal per 100 g; a gram of alcohol has 6.93 kcal there
    grams, kcal, said = alcohol(table, step("Simmer.", WINE, "wait: 30 min"), "red wine")
    assert grams == pytest.approx(21.2 * 0.35)
    assert kcal == pytest.approx(170 - 21.2 * 0.65 * 6.93)
    assert said == ["alcohol of red wine: 35% left after simmering (USDA Nutrient Retention Factors, Release 6)"]
    net = {
        minutes: dish_macros(table.dish(stew(step("Simmer.", WINE, f"wait: {minutes} min")))).batch.figure(
            "net_carbs_g"
        )
        for minutes in (1, 200)
    }
    assert net[1] == net[200]


def test_a_splash_that_simmers_away_leaves_no_more_than_its_own_energy(table: Table) -> None:
    """1 g of red wine: 0.85 kcal, of which 0.106 g x 95 % x 6.93 are gone."""
    text = stew(step("Simmer.", WINE, "wait: 150 min")).replace("red wine: 200 g", "red wine: 1 g")
    row = next(m for i, m in dish_macros(table.dish(text)).ingredients if i.name == "red wine")
    assert row.figure("energy_kcal") == pytest.approx(0.85 - 0.106 * 0.95 * 6.93)


@pytest.mark.parametrize(("label", "known"), [("energy_kcal: 80, ", True), ("", False)])
def test_what_simmers_off_makes_no_energy_known_or_unknown(table: Table, label: str, known: bool) -> None:
    dish = table.dish(
        f"dish: D\nservings: 1\nfoods: {{cider: {{basis: us, {label}fat_g: 0, protein_g: 0, carbohydrate_g: 4, fibre_g: 0, alcohol_g: 5}}}}\n"
        "ingredients: {cider: 100 g}\nsteps: [{stage: cook, do: Simmer., add: cider, wait: 30 min}]\n"
    )
    batch = dish_macros(dish).batch
    assert batch.figure("alcohol_g") == pytest.approx(5 * 0.35)
    assert batch.figure("energy_kcal") == (pytest.approx(80 - 5 * 0.65 * 6.93) if known else None)


def test_wine_at_the_table_is_counted_as_it_is(table: Table) -> None:
    table.write("a.yaml", "dish: A\nservings: 1\ningredients: {leek: 100 g}\n")
    meal = table.meal("meal: M\ndishes: [{dish: a.yaml}]\nat_table: {red wine: 100 g}\n")
    assert meal_macros(meal).extras.figure("alcohol_g") == pytest.approx(10.6)


def test_wine_that_goes_in_twice_is_two_wines(table: Table) -> None:
    steps = step("Simmer.", "red wine: half", "wait: 40 min") + step("Simmer.", "red wine: rest", "wait: 20 min")
    assert alcohol(table, steps, "red wine")[0] == pytest.approx(21.2 * (0.25 + 0.40) / 2)  # 60 and 20 minutes


@pytest.mark.parametrize(
    ("do", "more", "said"),
    [
        ("Flambé the brandy and let the flames die.", "heat: high, hands: 1 min", "no factor is published for less than 15 min"),
        ("Pour the brandy in and set it alight.", "heat: high", "the steps do not say how long it simmers"),
        ("Pour the brandy over and serve.", "hands: 1 min", ""),
    ],
)  # fmt: skip
def test_a_flambe_is_not_guessed(table: Table, do: str, more: str, said: str) -> None:
    grams, _, words = alcohol(table, step(do, "brandy: all", more), "brandy")
    whole = alcohol(table, step("Serve.", "brandy: all"), "brandy")[0]
    assert grams == whole > 10
    assert [said in w for w in words] == ([True] if said else [])


def test_alcohol_of_a_part_goes_on_simmering_in_the_whole(table: Table) -> None:
    table.write("base.yaml", "dish: Base\nservings: 1\ncooked_weight: 200 g\ningredients: {red wine: 200 g}\nsteps:\n" + step("Simmer.", WINE, "wait: 20 min"))  # fmt: skip
    text = "dish: D\nservings: 2\ningredients: {{base: {{amount: 100 g, dish: base.yaml}}, leek: 300 g}}\nsteps:\n{}"
    simmered = dish_macros(table.dish(text.format(step("Simmer.", "base: all, leek: all", "wait: 10 min"))))
    cold = dish_macros(table.dish(text.format(step("Stir it in.", "base: all, leek: all"))))
    # 20 min: 40 %; 20 + 10 min: 35 %, and not 40 % of 40 %
    assert cold.ingredients[0][1].at_least("alcohol_g") == pytest.approx(10.6 * 0.40)
    assert simmered.ingredients[0][1].at_least("alcohol_g") == pytest.approx(10.6 * 0.35)
    assert (
        "base, alcohol of red wine: 35% left after simmering (USDA Nutrient Retention Factors, Release 6)"
        in simmered.estimated
    )
