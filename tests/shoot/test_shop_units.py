"""A shop sells lemons and jars, not 30 ml of juice; what a kitchen has is apart."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES

from scriptkit.pantry.table import food_rows
from scriptkit.papers.buying import AT_HOME, buying_of, write_purchases
from scriptkit.production import read
from scriptkit.shoot import shop_units
from scriptkit.shoot.shop_units import in_shop_units, surely_at_home


@pytest.mark.parametrize(
    ("food", "grams", "shown"),
    [("lemon juice", 30, "1 lemon"), ("lemon juice", 40, "1 lemon"), ("lemon juice", 41, "2 lemons"),
     ("capers", 30, "1 jar"), ("parsley", 60, "3 bunches"), ("hake", 700, ""), ("lemon juice", 0, "")],
)  # fmt: skip
def test_as_many_as_hold_it(food: str, grams: float, shown: str) -> None:
    assert in_shop_units(food, grams) == shown


def test_every_food_of_the_lists_is_one_of_the_pantry() -> None:
    known = set(food_rows())
    assert set(shop_units._UNITS) | set(shop_units._AT_HOME) <= known
    assert surely_at_home("salt", 10) and not surely_at_home("salt", 500) and not surely_at_home("hake", 1)


def test_the_page_names_what_the_shop_sells_and_the_file_for_machines_the_amount() -> None:
    production = read(str(EXAMPLES / "harbour-supper.yaml"))
    page = buying_of(production.purchases, production.swap_outs, production.chill_clocks)
    shown = {row.food: row.cells[2].spans[0].text for row in page.rows}
    assert (shown["lemon juice"], shown["capers"], shown["hake"]) == ("1 lemon", "1 jar", "700 g")
    assert page.kinds[-1].name == AT_HOME
    assert {row.food for row in page.kinds[-1].rows} == {"salt", "olive oil"}
    assert sorted(row.food for kind in page.kinds for row in kind.rows) == sorted(shown)
    assert "30 ml" in write_purchases(production.purchases)
