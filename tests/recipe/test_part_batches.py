"""A dish that goes into others: one batch must be enough for all that they take."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.recipe.part_batches import part_batch_problems

STOCK = """
    dish: Fish stock
    servings: 4
    cooked_weight: 1 kg
    ingredients: {cod: 800 g, water: 1.2 l}
    steps: [{id: simmer, stage: cook, do: Simmer the cod in the water., add: [cod, water], vessel: stock pot, heat: low, wait: 20 min}]
"""


def using(name: str, grams: int) -> str:
    return f"""
        dish: {name}
        servings: 4
        ingredients: {{stock: {{amount: {grams} g, dish: stock.yaml}}, leek: 200 g}}
        steps: [{{id: s, stage: cook, do: Simmer it., add: [stock, leek], vessel: pan, heat: low, wait: 10 min}}]
    """


@pytest.mark.parametrize(("soup", "sauce", "more", "told"), [
    (700, 300, "", None),
    (700, 319, "", None),  # as fine as a scale
    (700, 600, "", "700 g in Soup, 600 g in Sauce"),
    (700, 250, "at_table: {stock: {amount: 50 g, dish: stock.yaml}}\n", "700 g in Soup, 250 g in Sauce, 200 g in what is at the table"),
])  # fmt: skip
def test_more_than_a_batch_is_told_with_who_takes_it(
    table: Table, soup: int, sauce: int, more: str, told: str | None
) -> None:
    table.write("stock.yaml", STOCK)
    table.write("soup.yaml", using("Soup", soup))
    table.write("sauce.yaml", using("Sauce", sauce))
    meal = table.meal(f"meal: M\nplates: 4\ndishes: [{{dish: soup.yaml}}, {{dish: sauce.yaml}}]\n{more}")
    problems = list(part_batch_problems(meal))
    assert len(problems) == (told is not None)
    if told is not None:
        assert told in problems[0].message
        assert "cook" in problems[0].hint and "times as much in" in problems[0].hint


def test_a_dish_that_two_others_take_is_counted_once_in_each(table: Table) -> None:
    """The sauce is in both dishes, and its stock is cooked once for it."""
    table.write("stock.yaml", STOCK)
    table.write("sauce.yaml", using("Sauce", 600) + "\n        cooked_weight: 700 g\n")
    for name in ("one", "other"):
        table.write(f"{name}.yaml", using(name, 300).replace("stock.yaml", "sauce.yaml"))
    meal = table.meal("meal: M\nplates: 4\ndishes: [{dish: one.yaml}, {dish: other.yaml}]\n")
    assert list(part_batch_problems(meal)) == []
