"""Public-domain recipes drafted from their texts, and their macros held against a second table.

The texts: ``old_recipes/README.md``. The figures: ANSES-Ciqual French food composition table 2020 (Licence Ouverte), the rows
that ``ciqual_of_old_recipes.csv`` names, as printed (*traces* is 0, *< x* is half of x). Weights and amounts are the same on both
sides, so what is compared is the food that each line was matched with, and its row of the pantry's own table.

Tolerances, of a batch: fat and protein 12 % or 4 g, since the tables analyse different animals, mills and harvests; net carbs must
lie in the spread that the dish itself prints, widened by 6 % or 4 g for the foods of which the pantry has no second figure.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from conftest import Table

from scriptkit.drafting.draft import DraftFile, draft
from scriptkit.drafting.plain_recipe import recipe_in_text
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.dish import Dish

FOLDER = Path(__file__).parent / "old_recipes"
RECIPES = sorted(FOLDER.glob("*.txt"))
LACKING = {"suet-pudding", "fish-chowder"}
"""Their suet and salt pork have no row in the second table."""
COMPARED = [p for p in RECIPES if p.stem not in LACKING]

with (Path(__file__).parent / "ciqual_of_old_recipes.csv").open(encoding="utf-8", newline="") as _file:
    CIQUAL = {row["food"]: row for row in csv.DictReader(_file)}


def figure(text: str) -> float:
    return 0.0 if text == "traces" else float(text[1:]) / 2 if text.startswith("<") else float(text)


def drafted(path: Path) -> DraftFile:
    return draft(recipe_in_text(path.read_text(encoding="utf-8")), file=path.name)


def test_there_are_sixteen_to_compare() -> None:
    assert len(COMPARED) >= 16


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_an_old_recipe_becomes_a_dish_that_reads_without_errors(path: Path, table: Table) -> None:
    made = drafted(path)
    reading = table.read(made.text)
    assert not [p for p in reading.problems if p.severity == "error"]
    assert isinstance(reading.usable(), Dish)
    assert made.text.count("unsure: {") == made.guesses
    lines = path.read_text(encoding="utf-8").splitlines()
    assert made.name == lines[0]


@pytest.mark.parametrize("path", COMPARED, ids=lambda p: p.stem)
def test_macros_agree_with_the_second_table(path: Path, table: Table) -> None:
    dish = table.dish(re.sub(r",? ?\bunsure: \{[^}]*\}", "", drafted(path).text))
    batch = dish_macros(dish).batch
    fat = protein = net = lacking_g = 0.0
    for ingredient in dish.ingredients:
        grams = ingredient.grams or 0.0
        row = CIQUAL.get(ingredient.food.name)
        if row is None:
            lacking_g += grams
            continue
        fat += figure(row["fat_g"]) * grams / 100
        protein += figure(row["protein_g"]) * grams / 100
        net += figure(row["available_carbohydrate_g"]) * grams / 100
    assert lacking_g <= 3  # a pinch of what the second table lacks
    assert batch.at_least("fat_g") == pytest.approx(fat, rel=0.12, abs=4)
    assert batch.at_least("protein_g") == pytest.approx(protein, rel=0.12, abs=4)
    slack = max(0.06 * net, 4.0)
    assert batch.net_low_g - slack <= net <= batch.net_high_g + slack


def test_the_words_of_each_list_find_the_foods_that_are_meant(table: Table) -> None:
    """A food's row is only as good as its match: what these lines mean is common knowledge of the kitchen."""
    meant = {
        "potato-soup": {"milk": "milk, whole", "butter": "butter, unsalted", "flour": "flour, plain", "pepper": "pepper, black"},
        "welsh-rarebit": {"cornstarch": "cornflour", "cheese": "cheddar", "cayenne": "cayenne pepper"},
        "soft-gingerbread": {"ground ginger": "ginger, ground", "soda": "bicarbonate of soda", "molasses": "molasses"},
        "mayonnaise": {"egg yolks": "egg yolk", "vinegar": "wine vinegar"},
        "pease-pudding": {"split peas": "split peas", "eggs": "egg"},
        "suet-pudding": {"suet": "beef suet"},
    }  # fmt: skip
    for stem, foods in meant.items():
        dish = table.dish(drafted(FOLDER / f"{stem}.txt").text)
        found = {i.key: i.food.name for i in dish.ingredients}
        assert {name: found.get(name) for name in foods} == foods
