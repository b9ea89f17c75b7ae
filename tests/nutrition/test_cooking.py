"""What cooking leaves in the food: by hand from printed rows, with juices kept and poured off, and which of the two is taken.

Rows are of USDA SR28 (2016), per 100 g: raw and cooked figures, and the share of the raw weight that the cooked piece weighs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from scriptkit.nutrition.dish_meal_macros import DishMacros, dish_macros

if TYPE_CHECKING:
    from conftest import Table


@dataclass(frozen=True, slots=True)
class Pair:
    """Energy, fat and protein per 100 g raw and cooked, and cooked weight ÷ raw weight."""

    food: str
    method: str
    raw: tuple[float, float, float]
    cooked: tuple[float, float, float]
    share: float


PAIRS = [
    Pair("beef mince, 30% fat", "fry", (332, 30.0, 14.35), (270, 17.86, 25.56), 139 / 226.8),  # 13498, 13494
    Pair("chicken leg", "roast", (214, 15.95, 16.37), (184, 8.99, 24.03), 258 / 344),  # 05075, 05078
    Pair("duck, whole", "roast", (404, 39.34, 11.49), (337, 28.35, 18.99), 382 / 634),  # 05139, 05140
    Pair("bacon, streaky", "fry", (417, 39.69, 12.62), (468, 35.09, 33.92), 12.62 / 33.92),  # 10123, 10862; by protein
    Pair("lamb shoulder", "braise", (244, 18.96, 17.07), (338, 23.57, 29.46), 213 / (453.6 * 0.78)),  # 17242, 17243
    Pair("salmon", "bake", (208, 13.42, 20.42), (206, 12.35, 22.1), 178 / 198),  # 15236, 15237
]
NUTRIENTS = ("energy_kcal", "fat_g", "protein_g")


def of(table: Table, pair: Pair, juices: str) -> DishMacros:
    """500 g of the food and 30 g of butter, in one pan."""
    return dish_macros(
        table.dish(f"""
        dish: D
        servings: 2
        ingredients:
          meat: {{amount: 500 g, food: "{pair.food}", juices: {juices}}}
          butter: {{amount: 30 g, food: "butter, unsalted"}}
        steps: [{{stage: cook, do: Cook it., method: {pair.method}, add: [butter, meat], vessel: pan, hands: 20 min}}]
    """)
    )


BUTTER = (717 * 0.3, 81.11 * 0.3, 0.85 * 0.3)  # SR28 01145


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.food)
def test_by_hand_with_juices_kept_and_poured_off(table: Table, pair: Pair) -> None:
    kept, off = of(table, pair, "kept"), of(table, pair, "poured off")
    for n, nutrient in enumerate(NUTRIENTS):
        assert kept.batch.at_least(nutrient) == pytest.approx(5 * pair.raw[n] + BUTTER[n], abs=0.3)
        assert off.batch.at_least(nutrient) == pytest.approx(5 * pair.share * pair.cooked[n] + BUTTER[n], rel=0.002)
    assert off.dish.cooked_g == pytest.approx(500 * pair.share + 30, abs=0.5)
    dry = sum(max(5 * (pair.raw[n] - pair.share * pair.cooked[n]), 0.0) for n in (1, 2))
    if pair.method == "braise":  # and what it loses is in the pot
        assert kept.dish.cooked_g == pytest.approx(530)
    else:  # its fat and protein stay in the pan, its water does not
        assert kept.dish.cooked_g == pytest.approx(500 * pair.share + 30 + dry, abs=3.5)  # and up to 3.2 g sugar


# --- which of the two -----------------------------------------------------------------------------------------------------


def lost(table: Table, steps: str, more: str = "") -> float:
    """Grams of fat that are left behind of 500 g of mince with 150 g fat, 30 g of oil and whatever."""
    macros = dish_macros(
        table.dish(f"""
        dish: D
        servings: 2
        ingredients:
          mince: {{amount: 500 g, food: "beef mince, 30% fat"}}
          water: 400 g
          onion: 100 g
          pasta: {{amount: 100 g, food: "pasta, dried"}}
        steps:
{steps}
        {more}
    """)
    )
    return 500 * 0.30 + 0.1 + 1.51 - macros.batch.at_least("fat_g")  # onion SR28 11282, pasta 20420


FRY = "          - {stage: cook, do: Fry the mince., add: mince, vessel: pan, hands: 10 min}\n"
REST = "          - {stage: cook, do: Boil the pasta in the water., add: [pasta, water], vessel: pot, wait: 9 min}\n          - {stage: cook, do: Plate it with the onion., add: onion, vessel: plates}\n"
OFF = pytest.approx(150 - 5 * 139 / 226.8 * 17.86, abs=0.3)
KEPT = pytest.approx(0, abs=0.3)


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        (FRY + REST, OFF),  # dry-fried, and nothing is made in that pan
        (FRY.replace("Fry", "Grill") + REST, pytest.approx(150 - 5 * 0.565 * 18.66, abs=0.5)),  # SR28 13497, by protein
        (FRY.replace("mince.,", "mince.,  juices: kept,") + REST, KEPT),
        # a sauce in the same pan
        (FRY + "          - {stage: cook, do: Add the onion and fry on., add: onion, vessel: pan, hands: 5 min}\n" + REST.replace("with the onion., add: onion", "."), KEPT),
        # the same, drained or poured off before
        (FRY.replace("Fry the mince.", "Fry the mince and drain off the fat.") + "          - {stage: cook, do: Add the onion and fry on., add: onion, vessel: pan, hands: 5 min}\n" + REST.replace("with the onion., add: onion", "."), OFF),
        (FRY.replace("Fry the mince.", "Fry the mince and pour the fat off.") + "          - {stage: cook, do: Add the onion and fry on., add: onion, vessel: pan, hands: 5 min}\n" + REST.replace("with the onion., add: onion", "."), OFF),
        # the same in a wiped pan
        (FRY + "          - {stage: cook, do: Fry the onion in the wiped pan., add: onion, vessel: pan, hands: 5 min}\n" + REST.replace("with the onion., add: onion", "."), OFF),
        # do not drain: nothing is poured off
        (FRY.replace("Fry the mince.", "Fry the mince; do not drain off the fat.") + "          - {stage: cook, do: Add the onion and fry on., add: onion, vessel: pan, hands: 5 min}\n" + REST.replace("with the onion., add: onion", "."), KEPT),
        # braised in liquid
        ("          - {stage: cook, do: Braise the mince in the water., add: [water, mince], vessel: pot, wait: 1 h}\n          - {stage: cook, do: Boil the pasta., add: [pasta], vessel: pan, wait: 9 min}\n          - {stage: cook, do: Serve with the onion., add: onion}\n", KEPT),
        ("          - {stage: cook, do: Braise the mince in the water and skim off the fat., add: [water, mince], vessel: pot, wait: 1 h}\n          - {stage: cook, do: Boil the pasta., add: [pasta], vessel: pan, wait: 9 min}\n          - {stage: cook, do: Serve with the onion., add: onion}\n", pytest.approx(100, abs=30)),
    ],
)  # fmt: skip
def test_what_runs_out_is_left_behind_or_eaten(table: Table, steps: str, expected: float) -> None:
    assert lost(table, steps) == expected


def test_weighed_drippings_stand_in_for_what_would_be_taken_to_run_out(table: Table) -> None:
    assert lost(table, FRY + REST, "left_in_pan: {drippings: {amount: 40 g, food: lard}}") == pytest.approx(40, abs=0.2)


def test_what_is_left_behind_is_said_and_how_to_say_otherwise(table: Table) -> None:
    for juices, how in (("", "write `juices: kept` if it is eaten"), (", juices: poured off", "as the file says")):
        dish = table.dish(f"""
            dish: D
            servings: 2
            cooked_weight: 300 g
            ingredients: {{mince: {{amount: 500 g, food: "beef mince, 30% fat"{juices}}}}}
            steps: [{{stage: cook, do: Fry it., add: mince}}]
        """)
        assert dish_macros(dish).estimated == (
            f"mince: 95 of its 150 g fat runs out and is left behind (fry; USDA SR28 13494; {how})",
        )


@pytest.mark.parametrize(
    ("ingredient", "step", "where", "words"),
    [
        ("salad: 100 g, food: leek, juices: kept", "do: Toss the salad.", (4, "juices"), "no juices run out of salad"),
        ("salad: 100 g, food: salmon, juices: poured off", "do: Slice the salad thinly.", (4, "juices"), "no juices run out of salad"),
        ("salad: 100 g, food: salmon", "do: Slice the salad thinly., juices: kept", (5, "juices"), "nothing is heated at step 1 (step-1)"),
    ],
)  # fmt: skip
def test_juices_of_what_is_raw_are_told(
    table: Table, ingredient: str, step: str, where: tuple[int, str], words: str
) -> None:
    key, _, rest = ingredient.partition(": ")
    (problem,) = (
        p
        for p in table.read(
            f"dish: D\nservings: 1\ningredients:\n  {key}: {{amount: {rest}}}\nsteps: [{{stage: cook, {step}, add: salad}}]\n"
        ).problems
        if p.severity == "error"
    )
    assert problem.code == "juices"
    assert problem.place.line == where[0]
    assert words in problem.message
