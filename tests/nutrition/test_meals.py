"""The plate: what is left in the pan, poured over, strained out, or a dish of its own; every way of it must add up."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros, dish_macros, meal_macros, taken_out_problems
from scriptkit.nutrition.macros import PRINTED, Macros, total
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.macros_json import dish_json, meal_json
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table


def dish_in(folder: Path, text: str, name: str = "dish.yaml") -> DishMacros:
    (folder / name).write_text(text, encoding="utf-8")
    source = read_source(str(folder / name)).usable()
    assert isinstance(source, Dish)
    return dish_macros(source)


def meal_in(folder: Path, text: str) -> MealMacros:
    (folder / "meal.yaml").write_text(text, encoding="utf-8")
    source = read_source(str(folder / "meal.yaml")).usable()
    assert isinstance(source, Meal)
    return meal_macros(source)


def same(one: Macros, other: Macros) -> None:
    assert one.known == pytest.approx(other.known, abs=1e-6)
    assert one.unknown == other.unknown


def printed(text: str) -> tuple[list[list[Fraction]], list[list[Fraction]], list[str]]:
    """Figures of the first table: rows, wholes, and the heads; a minus sign reads as one."""
    block = text.split("\n\n")[1].splitlines()
    rules = [i for i, line in enumerate(block) if set(line) == {"-"}]
    heads = re.split(r"\s{2,}", block[0].strip())

    def read(line: str) -> list[Fraction]:
        cells = re.split(r"\s{2,}", line)[-len(heads) :]
        return [
            Fraction(c.replace("−", "-").replace("≥ ", "").replace("<1", "0").replace("–", "0").replace("unknown", "0"))
            for c in cells
        ]

    return [read(n) for n in block[rules[0] + 1 : rules[1]]], [read(n) for n in block[rules[1] + 1 :]], heads


CHOPS = """dish: Chops
servings: 2
ingredients:
  pork loin chop: {chop} g
  leek: {leek} g
  olive oil: {{amount: {oil} g, left_in_pan: {left}}}
left_in_pan: {{drippings: {{amount: {fat} g, food: {food}}}}}
steps: [{{stage: cook, do: Fry it all., add: [olive oil, pork loin chop, leek]}}]
"""


def chops(
    chop: int = 400, leek: int = 100, oil: int = 30, left: str = "half", fat: int = 20, food: str = "lard"
) -> str:
    return CHOPS.format(chop=chop, leek=leek, oil=oil, left=left, fat=fat, food=food)


@settings(max_examples=40)
@given(
    chop=st.integers(150, 900), leek=st.integers(1, 400), oil=st.integers(1, 60), percent=st.integers(0, 100),
    fat=st.integers(1, 60), basis=st.sampled_from(list(Basis)), plates=st.integers(1, 2),
)  # fmt: skip
def test_printed_figures_add_up_with_rows_below_zero(
    chop: int, leek: int, oil: int, percent: int, fat: int, basis: Basis, plates: int,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:  # fmt: skip
    folder = tmp_path_factory.mktemp("below")
    one = dish_in(folder, chops(chop, leek, oil, f"{percent} %", fat), "chops.yaml")
    meal = meal_in(
        folder,
        f"meal: M\nplates: {plates}\ndishes:\n  - {{dish: chops.yaml, portion: 1/2 serving, poured_over: {{drippings: {fat / 4} g}}}}\n"
        "at_table: {lemon juice: 1 tsp}\n",
    )
    for text in (dish_text(one, basis=basis), meal_text(meal, basis=basis)):
        rows, wholes, heads = printed(text)
        off = {head: sum(r[column] for r in rows) - wholes[0][column] for column, head in enumerate(heads)}
        if text.startswith("M"):  # a plate: each part has the figures of its own, and that they miss it is said
            assert ("rounded by itself" in text) == any(off.values())
            assert all(abs(miss) < (3 if head in ("kcal", "weight") else Fraction(3, 10)) for head, miss in off.items())
        else:
            assert not any(miss for head, miss in off.items() if head != "weight"), off
        at = {head: n for n, head in enumerate(heads)}
        for row in (*rows, *wholes):
            fibre = row[at["fibre"]] if basis is Basis.US else 0
            assert row[at["carbs"]] == fibre + row[at["net carbs"]]
    assert not re.search(r"-\d", dish_text(one).split("\n\n")[1])  # a minus is a minus sign


@settings(max_examples=30)
@given(grams=st.lists(st.integers(100, 400), min_size=4, max_size=4), percent=st.integers(1, 60))
def test_what_is_left_in_the_pan_and_poured_over_again_gives_back_the_whole(
    grams: list[int], percent: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    chop, leek, oil, fat = (grams[0], grams[1], grams[2], grams[3] // 3)
    folder = tmp_path_factory.mktemp("back")
    kept = dish_in(folder, chops(chop, leek, oil, f"{percent} %", fat), "chops.yaml")
    nothing_lost = re.sub(
        r"left_in_pan: \d+ %|^left_in_pan:.*$", "", chops(chop, leek, oil, f"{percent} %", fat), flags=re.MULTILINE
    )
    all_kept = nothing_lost.replace(" g, }", " g}").replace("stage: cook", "stage: cook, juices: kept")
    whole = dish_in(folder, all_kept, "whole.yaml")
    meal = meal_in(
        folder,
        f"meal: M\ndishes: [{{dish: chops.yaml, portion: 2 servings, poured_over: {{drippings: {fat} g, olive oil: {oil * percent / 100} g}}}}]\n",
    )
    assert kept.batch.at_least("fat_g") < meal.plate.at_least("fat_g")
    same(meal.plate, whole.batch)


@settings(max_examples=30)
@given(
    portions=st.lists(st.tuples(st.sampled_from("ab"), st.integers(1, 900)), min_size=1, max_size=8),
    plates=st.integers(1, 40),
)
def test_the_plate_is_the_sum_of_its_rows_and_the_party_of_its_plates(
    portions: list[tuple[str, int]], plates: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("sum")
    dishes = {
        "a": dish_in(folder, chops(), "a.yaml"),
        "b": dish_in(folder, "dish: B\nservings: 1\ningredients: {leek: 1 kg, red wine: 200 g}\n", "b.yaml"),
    }
    lines = "".join(f"  - {{dish: {name}.yaml, portion: {grams} g}}\n" for name, grams in portions)
    meal = meal_in(
        folder,
        f"meal: M\nplates: {plates}\ndishes:\n{lines}at_table: {{butter: {{amount: 5 g, food: 'butter, salted'}}}}\n",
    )
    same(meal.plate, total(m for _, m in meal.rows))
    same(meal.plate, total(dishes[n].per_100_g.times(g / 100) for n, g in portions) + meal.extras)
    same(meal.party, meal.plate.times(plates))
    out = meal_json(meal)
    for n in set(PRINTED) - {"alcohol_g"}:
        lines = (*out["portions"], *out["extras"], out["plate"])
        apart = (
            (0.1 if n == "energy_kcal" else 0.01) * 0.67 * len(lines)
        )  # each by itself, in steps ten times finer than on paper
        assert sum(r[n] for r in lines[:-1]) == pytest.approx(out["plate"][n], abs=apart)
    assert out["party"]["fat_g"] == pytest.approx(plates * meal.plate.at_least("fat_g"), abs=0.006)


def test_drippings_are_named_and_traced(table: Table) -> None:
    macros = dish_in(table.folder, chops(fat=25))
    text = dish_text(macros)
    assert re.search(r"^drippings, left in the pan +−25 +−226 +−25\.0 ", text, re.MULTILINE)  # SR28 04002: 902 kcal
    assert re.search(r"^  drippings +25 g +25 g +lard, USDA SR28 04002$", text, re.MULTILINE)
    assert re.search(r"^  olive oil +30 g +30 g, 15 g of it left in the pan ", text, re.MULTILINE)
    out = dish_json(macros)
    assert [(i["name"], i["weight_g"], i["left_in_pan_g"]) for i in out["ingredients"]] == [
        ("pork loin chop", 400, 0), ("leek", 100, 0), ("olive oil", 15, 15), ("drippings", -25, 0),
    ]  # fmt: skip


def test_the_weight_of_a_stock_is_accounted_for(table: Table) -> None:
    text = dish_text(
        dish_in(
            table.folder,
            "dish: S\nservings: 4\ncooked_weight: 900 g\ningredients:\n  cod: {amount: 600 g, strained_out: all}\n"
            "  leek: {amount: 100 g, strained_out: half}\n  butter: {amount: 20 g, food: 'butter, salted', left_in_pan: 5 g}\n  water: {amount: 1.2 kg}\n",
        )
    )
    assert (
        "1.92 kg went in, 650 g is discarded, 5 g is left in the pan, the batch weighs 900 g; the difference counts as water."
        in text
    )
    assert re.search(r"^cod +0 +0 ", text, re.MULTILINE)  # nothing of it is eaten, not less than a gram
    assert "leek: 50% of it counted as thrown away; what it leaves in the dish is not known" in text


def test_more_fat_left_in_the_pan_than_went_in(table: Table) -> None:
    macros = dish_in(table.folder, chops(fat=400))
    problems = taken_out_problems(macros)
    assert {p.code for p in problems} == {"taken-out"}
    assert "more fat is left in the pan than went in" in [p.message for p in problems]
    assert all(p.place.line == 7 for p in problems)
    assert {p.hint for p in problems} == {"weigh what is left, and check the unit"}
    assert taken_out_problems(dish_in(table.folder, chops())) == []


def test_drippings_that_lack_a_figure_leave_no_false_bound(table: Table) -> None:
    label = "foods: {juices: {basis: us, energy_kcal: 300, fat_g: 30, protein_g: 1}}\n"
    macros = dish_in(table.folder, label + chops(leek=200, food="juices"))
    assert macros.batch.figure("net_carbs_g") is None
    assert macros.batch.at_least("net_carbs_g") == pytest.approx(0)  # all of it may have gone with the juices
    assert macros.batch.figure("fat_g") is not None
    assert macros.unknown == ("drippings",)


@pytest.mark.parametrize(("fat", "told"), [(2, False), (3, True)])
def test_less_than_half_a_gram_too_much_in_the_pan_is_the_scales_own_doubt(table: Table, fat: int, told: bool) -> None:
    """Lean cod with 2 g of lard more in the pan than it had (SR28 15015: 0.67 g fat in 100 g): 1.7 g went in of 250 g."""
    macros = dish_in(
        table.folder,
        f"dish: C\nservings: 1\ningredients: {{cod: 250 g}}\nleft_in_pan: {{drippings: {{amount: {fat} g, food: lard}}}}\n",
    )
    assert ("more fat is left in the pan than went in" in [p.message for p in taken_out_problems(macros)]) is told


def test_drippings_that_lack_net_carbs_may_have_taken_all_of_them_in_either_table(table: Table) -> None:
    """And where they lack another figure, only that one is not known."""
    labels = (
        "foods:\n  juices: {basis: us, energy_kcal: 300, fat_g: 30, protein_g: 1}\n"
        "  lean juices: {basis: us, energy_kcal: 30, protein_g: 1, carbohydrate_g: 0, fibre_g: 0}\n"
    )
    whole = dish_in(table.folder, labels + chops(leek=200, food="lard"))
    low, high = whole.batch.net_spread_g or (0, 0)
    assert 0 < low < high
    none = dish_in(table.folder, labels + chops(leek=200, food="juices")).batch
    assert (none.net_low_g, none.net_high_g) == (pytest.approx(low - high), pytest.approx(high - low))
    lean = dish_in(table.folder, labels + chops(leek=200, food="lean juices")).batch
    assert lean.net_spread_g == pytest.approx((low, high))
    assert lean.unknown >= {"fat_g"} and lean.at_least("fat_g") == pytest.approx(0)
    assert lean.figure("net_carbs_g") == pytest.approx(whole.batch.figure("net_carbs_g"))


def test_drippings_take_no_wine_along_and_no_more_than_went_in(table: Table) -> None:
    """A table's blank for the alcohol of lard is no doubt about the wine's; of fibre that nothing had, none can be gone."""
    wine = dish_in(
        table.folder,
        "dish: W\nservings: 1\nfoods: {juices: {basis: us, energy_kcal: 9, fat_g: 0, protein_g: 1}}\n"
        "ingredients: {red wine: 100 g, pork loin chop: 200 g}\nleft_in_pan: {juices: 5 g}\n",
    ).batch
    assert wine.at_least("alcohol_g") == pytest.approx(10.6)  # SR28 14096
    assert (wine.figure("fibre_g"), wine.at_least("fibre_g")) == (None, 0)


def test_too_much_in_the_pan_is_told_once_for_all_that_is_left_there(table: Table) -> None:
    text = chops(fat=400).replace(
        "left_in_pan: {drippings:", "left_in_pan: {more: {amount: 5 g, food: lard}, drippings:"
    )
    messages = [p.message for p in taken_out_problems(dish_in(table.folder, text))]
    assert len(messages) == len(set(messages)) > 0


def test_two_yields_of_an_unweighed_dish_are_both_named(table: Table) -> None:
    macros = dish_in(
        table.folder,
        "dish: G\nservings: 1\ningredients: {pork loin chop: 200 g, flank: {amount: 200 g, food: 'beef, flank steak'}}\n"
        "steps: [{stage: cook, do: Grill it., add: [pork loin chop, flank], hands: 9 min}]\n",
    )
    assert macros.estimated == (
        "cooked weight: pork loin chop 0.79 of its raw weight (grill; USDA SR28 10036+10038); "
        "beef, flank steak 0.81 of its raw weight (grill; USDA SR28 13948); the rest as it went in",
        "pork loin chop: 1 of its 18 g fat and 1 of its 41 g protein run out and are left behind (grill; USDA SR28 10036+10038; write `juices: kept` if it is eaten)",
        "flank: 1 of its 14 g fat runs out and is left behind (grill; USDA SR28 13948; write `juices: kept` if it is eaten)",
    )


def test_a_part_that_is_partly_left_in_the_pan_goes_in_twice_and_is_heated_twice(table: Table) -> None:
    """A dish in a dish, of which a quarter stays in the pan, and which goes in by halves of 120 g together."""
    sauce = dish_in(table.folder, SAUCE.format(cooked=300, leek=200, oil=100), "sauce.yaml")
    dish = dish_in(
        table.folder,
        "dish: D\nservings: 1\ningredients: {sauce: {amount: 120 g, dish: sauce.yaml, left_in_pan: 25 %}, cod: 100 g}\n"
        "steps:\n  - {stage: cook, do: Simmer it., add: {sauce: half}, wait: 20 min}\n"
        "  - {stage: cook, do: Simmer on., add: {sauce: rest, cod: all}, wait: 10 min}\n",
    )
    same(dish.ingredients[0][1], sauce.portion(90))
    assert dish.ingredients[0][1].weight_g == pytest.approx(90)


# --- a dish in a dish ----------------------------------------------------------------------------------------------------

SAUCE = """dish: Sauce
servings: 4
cooked_weight: {cooked} g
ingredients: {{leek: {leek} g, olive oil: {oil} g}}
"""


@settings(max_examples=30)
@given(grams=st.lists(st.integers(50, 500), min_size=4, max_size=4), cooked=st.integers(50, 2000))
def test_a_dish_in_a_dish_is_its_share_of_the_batch(
    grams: list[int], cooked: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    leek, oil, taken, cod = grams
    cooked = max(cooked, leek + oil)  # no less than its dry matter
    folder = tmp_path_factory.mktemp("part")
    sauce = dish_in(folder, SAUCE.format(cooked=cooked, leek=leek, oil=oil), "sauce.yaml")
    dish = dish_in(
        folder, f"dish: D\nservings: 1\ningredients: {{sauce: {{amount: {taken} g, dish: sauce.yaml}}, cod: {cod} g}}\n"
    )
    flat = dish_in(
        folder,
        f"dish: F\nservings: 100\ningredients: {{leek: {leek * taken / cooked:.9f} g, olive oil: {oil * taken / cooked:.9f} g, cod: {cod} g}}\n",
        "flat.yaml",
    )
    same(dish.ingredients[0][1], sauce.portion(taken))
    same(dish.batch, flat.batch)
    assert dish.batch.weight_g == pytest.approx(taken + cod)
    assert (dish.batch.net_low_g, dish.batch.net_high_g) == pytest.approx((flat.batch.net_low_g, flat.batch.net_high_g))


def test_what_is_not_known_and_what_is_estimated_flow_up(table: Table) -> None:
    table.write("stock.yaml", """
        dish: Stock
        servings: 4
        foods: {powder: {basis: us, energy_kcal: 200, fat_g: 1, protein_g: 10, carbohydrate_g: 30}}
        ingredients: {cod: {amount: 500 g, strained_out: all}, powder: 10 g, water: 1 l, salt: to taste, nutmeg: 1 pinch}
    """)  # fmt: skip
    table.write(
        "sauce.yaml", "dish: Sauce\nservings: 2\ningredients: {stock: {amount: 200 g, dish: stock.yaml}, leek: 50 g}\n"
    )
    macros = dish_in(
        table.folder,
        "dish: D\nservings: 1\ncooked_weight: 200 g\ningredients: {sauce: {amount: 150 g, dish: sauce.yaml}}\n",
    )
    assert macros.batch.figure("net_carbs_g") is None and macros.batch.at_least("net_carbs_g") > 0
    assert macros.unknown == ("salt of stock of sauce", "powder of stock of sauce")
    assert macros.unknown_figures["fibre_g"] == ("powder of stock of sauce",)
    assert macros.estimated == (
        "sauce, cooked weight: the sum of what went in, as if nothing boiled away",
        "sauce, stock, cooked weight: the sum of what went in, as if nothing boiled away",
        "sauce, stock, nutmeg: a pinch taken as 1/16 tsp",
        "sauce, stock, cod: counted as thrown away; what it leaves in the dish is not known",
    )


def test_a_serving_of_what_weighs_nothing_is_unknown_and_not_zero(table: Table) -> None:
    macros = dish_in(table.folder, "dish: D\nservings: 1\ningredients: {salt: to taste}\n")
    assert macros.per_100_g.figure("energy_kcal") is None
    assert macros.portion(0) == Macros()  # of nothing, everything is known
    assert re.search(r"^100 g +100 +unknown ", dish_text(macros), re.MULTILINE)
    assert re.search(r"^batch, weight estimated +0 ", dish_text(macros), re.MULTILINE)


def test_what_else_lies_on_the_plate_is_told_of_too(table: Table) -> None:
    table.write(
        "pantry.yaml", "foods: {relish: {basis: us, energy_kcal: 50, fat_g: 0, protein_g: 1, carbohydrate_g: 9}}\n"
    )
    table.write("dip.yaml", "dish: Dip\nservings: 1\ningredients: {leek: 50 g}\n")
    (table.folder / "a.yaml").write_text(chops(), encoding="utf-8")
    meal = meal_in(
        table.folder,
        "meal: M\ndishes: [{dish: a.yaml}]\nat_table: {relish: 10 g, salt: to taste, dip: {amount: 20 g, dish: dip.yaml}}\n",
    )
    text = meal_text(meal)
    assert "on the plate: not counted (to taste): salt" in text
    assert "on the plate: fibre of relish not known; figures with ≥ lack it" in text
    assert "estimated: dip: cooked weight: the sum of what went in, as if nothing boiled away" in text
    assert meal.unknown == ("salt", "relish")
    assert meal_json(meal)["unknown"] == ["salt", "relish"]
    assert meal_json(meal)["estimated"][-1] == "dip: cooked weight: the sum of what went in, as if nothing boiled away"


@pytest.mark.parametrize(("basis", "marked"), [(Basis.US, False), (Basis.EU, True)])
def test_a_limit_that_the_basis_changes_says_whose_it_is(table: Table, basis: Basis, marked: bool) -> None:
    (table.folder / "a.yaml").write_text(chops(), encoding="utf-8")
    meal = meal_in(table.folder, "meal: M\ndishes: [{dish: a.yaml}]\nat_most: {carbohydrate_g: 90, fat_g: 90}\n")
    text = meal_text(meal, basis=basis)
    assert ("at most 90 g carbohydrate (US basis); it has" in text) is marked
    assert "at most 90 g fat; it has" in text
