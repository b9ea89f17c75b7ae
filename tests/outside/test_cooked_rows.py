"""What a raw food becomes when it is cooked, against the published cooked rows (USDA SR28, 2016)."""

from __future__ import annotations

import csv
import statistics
from pathlib import Path
from typing import TYPE_CHECKING, get_args

import pytest

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.pantry import table as pantry
from scriptkit.pantry.cooked_rows import FIGURES, cooked_rows
from scriptkit.pantry.food import Composition
from scriptkit.pantry.physics import composition_faults
from scriptkit.recipe.step_forms import Method
from tests.outside.cooked_pairs import of_all, pairs

if TYPE_CHECKING:
    from conftest import Table

YIELDS = Path(__file__).parent / "yields.csv"


def test_every_printed_yield_is_in_the_table_and_no_other_is_called_weighed() -> None:
    with YIELDS.open(encoding="utf-8", newline="") as file:
        printed = {(r["food"], r["method"]): (float(r["yield"]), r["row"]) for r in csv.DictReader(file)}
    assert {k: (r.share, r.row) for k, r in cooked_rows().items() if r.by == "weighed"} == printed
    assert len(printed) == 145


def test_rows_are_well_formed() -> None:
    for (food, method), row in cooked_rows().items():
        assert row.by in ("weighed", "protein"), row
        assert method in get_args(Method), row
        assert pantry.food(food).source == f"USDA SR28 {row.row[:5]}" or row.by == "weighed", row
        assert 0.3 <= row.share <= 4, row
        figures = dict(zip(FIGURES, row.figures, strict=True))
        water = figures.pop("water_g")
        assert composition_faults(Composition(**figures), water) == [], row


def test_yields_by_protein_would_find_the_printed_ones() -> None:
    """Raw protein ÷ cooked protein, of the pairs with printed weights: half of them within 4 %, nine in ten within 9 %."""
    off = []
    for row in cooked_rows().values():
        if row.by == "weighed":
            raw, after = pantry.food(row.food).composition.protein_g, row.figures[FIGURES.index("protein_g")]
            assert raw and after
            off.append(abs(raw / after / row.share - 1))
    assert statistics.median(off) < 0.04
    assert statistics.quantiles(off, n=10)[-1] < 0.09


def test_left_out_each_pair_is_found_by_the_nearest() -> None:
    found = pairs()
    assert len(found) == 145
    way = "left out, by the nearest"
    assert of_all(found, way, "energy_kcal") < 0.08
    assert of_all(found, way, "fat_g") < 0.12
    # as if all that is lost were water, whole birds, mince and ribs are off by as much again
    assert of_all(found, "all loss is water", "energy_kcal", max) > 1
    assert of_all(found, way, "energy_kcal", max) < 0.6


def test_100_g_cooked_is_the_cooked_row_where_there_is_one(table: Table) -> None:
    """Through a dish: 1 kg raw, cooked by the row's method, its juices poured off."""
    for row in cooked_rows().values():
        dish = table.dish(f"""
            dish: D
            servings: 1
            ingredients: {{meat: {{amount: 1 kg, food: "{row.food}"}}}}
            steps: [{{stage: cook, do: Cook it., method: {row.way}, add: meat, juices: poured off, hands: 10 min}}]
        """)
        per_100_g = dish_macros(dish).per_100_g
        published = dict(zip(FIGURES, row.figures, strict=True))
        if row.share > 1:  # dry food swells and keeps what it has, though lupins lose a quarter to their water
            assert per_100_g.at_least("protein_g") == pytest.approx(published["protein_g"], rel=0.01), row
            assert per_100_g.at_least("energy_kcal") == pytest.approx(published["energy_kcal"], rel=0.35), row
            continue
        for nutrient in ("energy_kcal", "fat_g", "protein_g"):
            assert per_100_g.at_least(nutrient) == pytest.approx(published[nutrient], rel=0.01), (row, nutrient)
