"""A batch weighs no less than its dry matter and no more than it can take up; where nobody weighed it, neither."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.recipe.mass_balance import dry_matter_g, most_g
from scriptkit.recipe.reader import Reading

RICE = """
    dish: Quay rice
    servings: 2
    cooked_weight: {cooked}
    ingredients: {{rice: {{amount: 100 g, food: "rice, long-grain white"}}, leek: 300 g}}
    steps: [{{stage: cook, do: Boil them., add: [rice, leek]}}]
"""


def said(reading: Reading) -> list[tuple[str, str]]:
    return [(p.severity.value, p.hint) for p in reading.problems if p.code == "cooked-weight"]


@pytest.mark.parametrize(
    ("cooked", "severity"),
    [
        ("100 g", "error"),
        ("140 g", None),
        ("700 g", None),
        ("800 g", None),
        ("1.2 kg", "note"),
        ("5 kg", "warning"),
        ("50 kg", "error"),
    ],
)
def test_a_weighed_batch(table: Table, cooked: str, severity: str | None) -> None:
    """100 g of rice (SR28 20444: 88 g fat, protein and carbohydrate) and 300 g of leek (11246: 16 g a 100 g) hold 136 g that
    no heat drives off; the rice takes up four times its weight."""
    found = said(table.read(RICE.format(cooked=cooked)))
    assert [s for s, _ in found] == ([severity] if severity else [])


def test_fat_that_was_poured_off_is_said_and_then_it_can_be(table: Table) -> None:
    """Fried, 300 g of streaky bacon hold 79 g of fat, protein and carbohydrate by the cooked row (SR28 10862), what ran out aside."""
    text = """
        dish: Crisp bacon
        servings: 2
        cooked_weight: 60 g
        ingredients: {bacon: {amount: 300 g, food: "bacon, streaky"}}
        steps: [{stage: cook, do: Fry it., add: bacon}]
    """
    ((severity, hint),) = said(table.read(text))
    assert severity == "error" and "left_in_pan" in hint
    assert said(table.read(text + "    left_in_pan: {lard: 90 g}\n")) == []


FOODS = [
    "bacon, streaky",
    "duck, whole",
    "beef mince, 30% fat",
    "salmon",
    "olive oil",
    "chicken thigh, skinless",
    "leek",
]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(FOODS), st.integers(1, 900)), min_size=1, max_size=4),
    st.sampled_from(["Fry", "Roast", "Simmer"]),
)
def test_an_estimated_batch_holds_no_more_than_it_weighs(
    tmp_path_factory: pytest.TempPathFactory, foods: list[tuple[str, int]], verb: str
) -> None:
    lines = "".join(f'  a{n}: {{amount: {grams} g, food: "{food}"}}\n' for n, (food, grams) in enumerate(foods))
    names = ", ".join(f"a{n}" for n in range(len(foods)))
    text = f"dish: D\nservings: 1\ningredients:\n{lines}steps:\n  - {{stage: cook, do: {verb} it., add: [{names}]}}\n"
    dish = Table(tmp_path_factory.mktemp("batch")).dish(text)
    per = dish_macros(dish).per_100_g
    assert sum(per.at_least(n) for n in ("fat_g", "protein_g", "carbohydrate_g")) <= 100 + 1e-6
    assert dry_matter_g(dish.ingredients, (), dish.cooking) <= dish.cooked_g + 1e-6 <= most_g(dish.ingredients) + 1e-3
