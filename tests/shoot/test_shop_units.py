"""A shop sells lemons and jars, not 30 ml of juice; what a kitchen has is apart."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table

from scriptkit.pack import make_pack
from scriptkit.pantry.table import food_rows
from scriptkit.papers.buying import AT_HOME, buying_of, purchase_rows, write_purchases
from scriptkit.production import Production, read
from scriptkit.shoot import shop_units
from scriptkit.shoot.buying import purchases_of
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


THIGHS = """\
dish: Thighs at the harbour
short: thighs
units: UNITS
servings: 4
ingredients:
  chicken: {amount: 2 lb, food: "bone-in chicken thigh", bought: whole}
  oil: {amount: 1 tbsp, food: canola oil}
  cream: {amount: 1/2 cup, food: heavy cream}
  kale: {amount: 8 oz, bought: whole}
  fennel: {amount: 1 bulb, food: fennel bulb}
  frying butter: {amount: 2 oz, food: "butter, unsalted"}
steps:
  - {id: roast, stage: cook, do: Roast it., add: [chicken, oil, cream, kale, fennel, frying butter], vessel: tin, hands: 2 min, wait: 20 min, heat: oven 220 °C}
"""


def test_what_the_cook_wrote_is_asked_for_and_what_else_is_in_its_weight_is_told(
    run: Callable[..., CompletedProcess[str]], table: Table
) -> None:
    """The pantry's names for the same (rapeseed oil, whipping cream) are for the tables; a shopper who reads no *bone-in* brings none."""
    rows = purchase_rows(purchases_of(table.dish(THIGHS.replace("UNITS", "us"))))
    assert [f"{row.buy} {row.called}" for row in rows] == [
        "2 lb bone-in chicken thighs", "1 tbsp canola oil", "½ cup heavy cream", "8 oz kale", "1 bulb fennel", "2 oz unsalted butter",
    ]  # fmt: skip
    assert [row.named for row in rows] == ["", "", "", "", "", "frying butter"]
    text = run("buying", table.write("thighs.yaml", THIGHS.replace("UNITS", "us"))).stdout
    assert re.search(r"2 lb +bone-in chicken thighs +1 lb 8 ½ oz without bones", text)
    report = make_pack(Production(table.read(THIGHS.replace("UNITS", "us")))).files["report.txt"]
    assert "2 lb  bone-in chicken thighs, 1 lb 8 ½ oz without bones (thighs × 1)" in report


@pytest.mark.parametrize("units", ["us", "metric"])
def test_what_to_buy_is_the_same_on_the_page_and_in_the_file(table: Table, units: str) -> None:
    purchases = purchases_of(table.dish(THIGHS.replace("UNITS", units)))
    written = [row["buy"] for row in csv.DictReader(io.StringIO(write_purchases(purchases), newline=""))]
    assert written == [row.buy for row in purchase_rows(purchases)]
    assert ("2 lb" in written) is (units == "us")
