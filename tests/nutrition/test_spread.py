"""Net carbs as a value and a spread across published tables; one figure where that is asked for."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from subprocess import CompletedProcess
from typing import TYPE_CHECKING, Any

import pytest
from conftest import EXAMPLES
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.display_figures import printed_plate, printed_serving, spread_words
from scriptkit.nutrition.macros import PRINTED, SPREAD_SEEN_G, Macros, macros_of, total
from scriptkit.nutrition.rounding import print_one
from scriptkit.pantry import table as pantry_table
from scriptkit.pantry.food import Composition
from scriptkit.pantry.labels import from_label
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.macros_json import dish_json, meal_json

if TYPE_CHECKING:
    from conftest import Table

GRAMS = st.floats(0, 2000)
NETS = st.floats(0, 90)
FOOD = st.tuples(NETS, st.none() | NETS, GRAMS)


def of(net: float, second: float | None, grams: float) -> Macros:
    return macros_of(Composition(carbohydrate_g=net, fibre_g=0.0, net_carbs_g=net), grams, second)


@given(st.lists(FOOD, max_size=8), st.floats(-3, 50))
def test_the_spread_holds_the_figure_adds_up_and_scales(
    foods: list[tuple[float, float | None, float]], factor: float
) -> None:
    rows = [of(*food) for food in foods]
    whole = total(rows)
    for m in (*rows, whole, whole.times(factor), whole + whole.times(-0.5)):
        slack = 1e-9 * (abs(m.net_low_g) + abs(m.net_high_g))
        assert m.net_low_g - slack <= m.at_least("net_carbs_g") <= m.net_high_g + slack
    assert whole.net_low_g == pytest.approx(sum(m.net_low_g for m in rows))
    assert whole.net_high_g == pytest.approx(sum(m.net_high_g for m in rows))
    ends = sorted((whole.net_low_g * factor, whole.net_high_g * factor))
    assert [whole.times(factor).net_low_g, whole.times(factor).net_high_g] == pytest.approx(ends)
    assert to_basis(whole, Basis.EU).net_spread_g == whole.net_spread_g


@given(st.lists(FOOD, min_size=1, max_size=8))
def test_the_printed_figure_lies_within_the_printed_spread(foods: list[tuple[float, float | None, float]]) -> None:
    whole = total(of(*food) for food in foods)
    words = spread_words(whole)
    if whole.net_spread_g is None:
        assert words == ""
        assert whole.net_high_g - whole.net_low_g < SPREAD_SEEN_G
        return
    found = re.fullmatch(r"(\d+\.\d) g; between (\d+\.\d) and (\d+\.\d) g, depending on the food table", words)
    assert found
    figure, low, high = map(float, found.groups())
    assert low <= figure <= high
    assert figure == print_one(whole).figures["net_carbs_g"]
    assert (low, high) == pytest.approx(whole.net_spread_g, abs=0.1001)


@pytest.mark.parametrize(
    ("net", "second", "grams", "words"),
    [
        (
            12.35,
            4.9,
            100,
            "12.4 g; between 4.9 and 12.4 g, depending on the food table",
        ),  # leek, SR28 11246 and Ciqual 20039
        (7.4, 9.9, 50, "3.7 g; between 3.7 and 5.0 g, depending on the food table"),
        (4.0, None, 100, ""),
        (4.0, 4.04, 100, ""),
        (4.0, 4.04, 1000, "40.0 g; between 40.0 and 40.4 g, depending on the food table"),
    ],
)
def test_a_value_and_a_spread(net: float, second: float | None, grams: float, words: str) -> None:
    assert spread_words(of(net, second, grams)) == words


def test_where_net_carbs_are_unknown_there_is_no_spread() -> None:
    assert spread_words(of(12.35, 4.9, 100) + macros_of(Composition(fat_g=1.0), 10)) == ""


def test_at_least_150_foods_have_a_second_figure() -> None:
    rows = [pantry_table.food(name) for name in pantry_table.food_rows()]
    second = [food for food in rows if food.second_net_carbs_g is not None]
    assert len(second) >= 150
    assert all(food.second_source.startswith("Ciqual 2020 ") for food in second)
    # a second figure of the same table would be no second opinion
    assert all(food.source.startswith("USDA SR28 ") for food in second)
    assert {"vegetable", "dairy", "cheese"} <= {food.category for food in second}


BISQUE = str(EXAMPLES / "fennel-bisque.yaml")
SUPPER = str(EXAMPLES / "harbour-supper.yaml")


@pytest.mark.parametrize("source", [BISQUE, SUPPER])
@pytest.mark.parametrize("basis", ["us", "eu"])
def test_single_prints_the_single_figure_only(
    run: Callable[..., CompletedProcess[str]], source: str, basis: str
) -> None:
    both, single = (run("macros", source, "--basis", basis, *more).stdout for more in ((), ("--single",)))
    assert "depending on the food table" in both and re.search(r"Net carbs of (a serving|the plate): \d", both)
    assert "tables" not in single and "Ciqual 2020 20055" not in single
    assert single.split("\n\n")[1] == both.split("\n\n")[1]  # the table itself is the same


def _spreads(out: Any) -> list[Any]:
    if isinstance(out, dict):
        own = [out["net_carbs_spread_g"]] if "net_carbs_spread_g" in out else []
        return own + [s for value in out.values() for s in _spreads(value)]
    return [s for value in out for s in _spreads(value)] if isinstance(out, list) else []


def test_json_carries_the_spread_where_it_is_asked_for(table: Table) -> None:
    table.write("leeks.yaml", "dish: Leeks\nservings: 2\ningredients: {leek: 400 g, cod: 100 g}\n")
    meal = table.meal("meal: M\ndishes: [{dish: leeks.yaml, portion: 100 g}]\n")
    macros = meal_macros(meal)
    out = meal_json(macros)
    assert out["plate"]["net_carbs_spread_g"] == [
        pytest.approx(4.9 * 0.8, abs=0.01),
        pytest.approx(12.35 * 0.8, abs=0.01),
    ]
    assert len(_spreads(out)) == 7  # portion, plate, party; of the dish: leek, serving, 100 g, batch
    assert _spreads(meal_json(macros, spread=False)) == []
    assert _spreads(dish_json(dish_macros(meal.dishes[0]), spread=False)) == []
    assert "across" not in meal_text(macros, spread=False)
    assert "across" not in dish_text(dish_macros(meal.dishes[0]), spread=False)


def test_a_portion_in_json_has_its_spread_unless_that_is_not_asked_for(table: Table) -> None:
    leeks = dish_macros(table.dish("dish: Leeks\nservings: 2\ningredients: {leek: 300 g}\n"))
    assert dish_json(leeks, portion_g=200)["portion"]["net_carbs_spread_g"] == [9.8, 24.7]  # 2 x 4.9 and 2 x 12.35
    assert "net_carbs_spread_g" not in dish_json(leeks, portion_g=200, spread=False)["portion"]
    table.write("dip.yaml", "dish: Dip\nservings: 1\ningredients: {leek: 100 g}\n")
    meal = meal_macros(
        table.meal("meal: M\ndishes: [{dish: dish.yaml}]\nat_table: {dip: {amount: 37 g, dish: dip.yaml}}\n")
    )
    assert "\n\nNet carbs of the plate: " in meal_text(meal)
    assert meal_json(meal)["extras"][0]["net_carbs_spread_g"] == [1.81, 4.57]  # 37 % of 4.9 and 12.35


def test_drippings_widen_no_spread_below_the_figure(table: Table) -> None:
    dish = table.dish(
        "dish: D\nservings: 1\ningredients: {leek: 400 g}\nleft_in_pan: {juices: {amount: 100 g, food: leek}}\n"
    )
    batch = dish_macros(dish).batch
    assert batch.net_low_g <= batch.at_least("net_carbs_g") <= batch.net_high_g
    assert batch.at_least("net_carbs_g") == pytest.approx(12.35 * 3)


# --- one food, two labels ------------------------------------------------------------------------------------------------


@given(
    net=st.floats(0.5, 60), fibre=st.floats(0, 30), polyols=st.floats(0, 20), per=st.sampled_from([100.0, 30.0, 250.0]),
    grams=st.floats(1, 500),
)  # fmt: skip
def test_one_food_off_either_label_is_one_food_and_loses_its_fibre_once(
    net: float, fibre: float, polyols: float, per: float, grams: float
) -> None:
    """21 CFR 101.9(c)(6) counts fibre and polyols into carbohydrate, Reg. (EU) 1169/2011, Annex I, only polyols."""
    common = {"fat_g": 3.0, "protein_g": 2.0, "fibre_g": fibre, "kinds": {"erythritol": polyols}, "alcohol_g": 0.0}
    us = macros_of(from_label(per_g=per, basis="us", carbohydrate_g=net + fibre + polyols, **common), grams)
    eu = macros_of(from_label(per_g=per, basis="eu", carbohydrate_g=net + polyols, **common), grams)
    assert us.known == pytest.approx(eu.known)
    for basis, carbohydrate in ((Basis.US, net + fibre + polyols), (Basis.EU, net + polyols)):
        for food in (us, eu):
            shown = to_basis(food, basis)
            assert shown.figure("net_carbs_g") == pytest.approx(net * grams / per)
            assert shown.figure("carbohydrate_g") == pytest.approx(carbohydrate * grams / per)
            assert to_basis(shown, Basis.US).figure("net_carbs_g") == pytest.approx(net * grams / per)


@pytest.mark.parametrize("basis", ["us", "eu"])
def test_the_basis_reaches_every_row_of_dish_meal_and_json(
    run: Callable[..., CompletedProcess[str]], basis: str
) -> None:
    for source in (BISQUE, SUPPER):
        out = json.loads(run("macros", source, "--basis", basis, "--json").stdout)
        dishes = out.get("dishes", [out])
        rows = [row for d in dishes for row in (d["serving"], d["per_100_g"], d["batch"], *d["ingredients"])]
        rows += [out["plate"], out["party"], *out["portions"]] if "plate" in out else []
        assert len(rows) > 8
        for row in rows:
            fibre = row["fibre_g"] if basis == "us" else 0.0
            assert row["carbohydrate_g"] == pytest.approx(fibre + row["polyols_g"] + row["net_carbs_g"], abs=1e-6)
        assert out["basis"] == basis and all(d["basis"] == basis for d in dishes)


def test_the_sentence_has_the_figure_of_the_table_above_it(table: Table) -> None:
    """A serving has one figure, alone and on the plate of a meal, on every line; where the plate is then missed, that is said once."""
    missed = 0
    for grams in range(101, 125, 3):
        for name, food, amount in (("a", "leek", grams), ("b", "celeriac", 2 * grams + 1)):
            step = f"steps: [{{stage: cook, do: Stir., add: {food}}}]"
            table.write(f"{name}.yaml", f"dish: {name}\nservings: 1\ningredients: {{{food}: {amount} g}}\n{step}\n")
        meal = meal_macros(table.meal("meal: M\nplates: 1\ndishes: [{dish: a.yaml}, {dish: b.yaml}]\n"))
        for _, dish, _ in meal.portions:
            net = printed_serving(dish, meal).text("net_carbs_g")
            text = dish_text(dish, beside=meal)
            row = next(line for line in text.splitlines() if line.startswith("serving (1 of"))
            assert net in row.split()
            assert f"Net carbs of a serving: {net} g; between" in text
            assert net == print_one(dish.serving).text("net_carbs_g") and f"  {net}" in dish_text(dish)
        assert f"Net carbs of the plate: {printed_plate(meal).whole.text('net_carbs_g')} g" in meal_text(meal)
        columns = [
            [round(r.figures[n] or 0.0, 1) for r in (*printed_plate(meal).rows, printed_plate(meal).whole)]
            for n in PRINTED
        ]
        miss = any(round(sum(rows) - whole, 1) for *rows, whole in columns)
        assert ("rounded by itself" in meal_text(meal)) == miss
        missed += miss
    assert 0 < missed < 8  # else nothing was asked
