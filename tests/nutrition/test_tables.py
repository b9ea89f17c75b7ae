"""The macro table as a viewer reads it: the printed figures are read back out of the text and added up."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.macros import MEDICAL, PRINTED
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.macros_json import dish_json, meal_json
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

if TYPE_CHECKING:
    from conftest import Table

MUSSELS = """
    dish: Mussels in white wine
    servings: 2
    {cooked}
    foods:
      thickener: {{basis: us, per: 10 g, energy_kcal: 20, carbohydrate_g: 8, protein_g: 0, fat_g: 0}}
      sweetener: {{basis: us, per: 4 g, energy_kcal: 0, carbohydrate_g: 4, fibre_g: 0, protein_g: 0, fat_g: 0, polyols_g: 4}}
    ingredients:
      mussels: 800 g
      celeriac: {{amount: 150 g, bought: whole, prep: "dice, 5 mm"}}
      white wine: 200 ml
      garlic: 2 cloves
      {more}
    steps: [{{stage: cook, do: Steam them., add: [mussels, celeriac, white wine, garlic]}}]
"""

UNTIMED = "alcohol of white wine: all of it counted, as the steps do not say how long it simmers"

Rows = dict[str, dict[str, Fraction]]


def mussels(table: Table, cooked: str = "cooked_weight: 900 g", more: str = "") -> Dish:
    source = table.read(MUSSELS.format(cooked=cooked, more=more)).source
    assert isinstance(source, Dish)
    return source


def cells(text: str) -> list[list[str]]:
    """The first table of the text, a list of cells a line, rules left out."""
    block = text.split("\n\n")[1].splitlines()
    return [re.split(r"\s{2,}", ("_" if line.startswith(" ") else "") + line) for line in block if set(line) != {"-"}]


def figures(text: str) -> tuple[Rows, Rows]:
    """Rows above the second rule, and the wholes under it: head → figure."""
    block = text.split("\n\n")[1].splitlines()
    rules = [i for i, line in enumerate(block) if set(line) == {"-"}]
    head, *lines = cells(text)
    read = {name: dict(zip(head[1:], map(Fraction, rest), strict=True)) for name, *rest in lines}
    above = [re.split(r"\s{2,}", line)[0] for line in block[rules[0] + 1 : rules[1]]]
    return {n: read[n] for n in above}, {n: r for n, r in read.items() if n not in above}


def adds_up(parts: Rows, whole: dict[str, Fraction], basis: Basis = Basis.US) -> bool:
    for row in (*parts.values(), whole):
        made_of = row["net carbs"] + row.get("deducted", 0) + (row["fibre"] if basis is Basis.US else 0)
        if row["carbs"] != made_of:
            return False
    return not any(missed(parts, whole).values())


def missed(parts: Rows, whole: dict[str, Fraction]) -> dict[str, Fraction]:
    """By how much the printed parts miss the printed whole; weights are left out."""
    return {head: sum(r[head] for r in parts.values()) - whole[head] for head in whole if head != "weight"}


@pytest.mark.parametrize("basis", list(Basis))
def test_printed_figures_add_up(table: Table, basis: Basis) -> None:
    parts, wholes = figures(dish_text(dish_macros(mussels(table)), basis=basis, portion_g=250))
    assert list(parts) == ["mussels", "celeriac", "white wine", "garlic"]
    assert list(wholes) == ["batch", "serving (1 of 2)", "100 g", "portion 250 g"]
    assert adds_up(parts, wholes["batch"], basis)
    for row in wholes.values():
        assert row["carbs"] == row["net carbs"] + (row["fibre"] if basis is Basis.US else 0)
    assert wholes["batch"]["weight"] == 900
    assert parts["celeriac"]["weight"] == 129  # 14 % of a celeriac is discarded: SR28 11141


AMOUNTS = st.lists(st.integers(1, 3000), min_size=4, max_size=4)


@settings(max_examples=40, deadline=None)
@given(grams=AMOUNTS, basis=st.sampled_from(list(Basis)))
def test_whatever_the_amounts_the_text_adds_up(
    grams: list[int], basis: Basis, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("sums") / "dish.yaml"
    names = ("leek", "parsnip", "double cream", "olive oil")
    foods = {"leek": "leek", "parsnip": "parsnip", "double cream": "cream, whipping", "olive oil": "olive oil"}
    lines = [f"  {n}: {{amount: {g} g, food: '{foods[n]}'}}" for n, g in zip(names, grams, strict=True)]
    path.write_text("dish: Sums\nservings: 7\ningredients:\n" + "\n".join(lines) + "\n", encoding="utf-8")
    source = read_source(str(path)).source
    assert isinstance(source, Dish)
    parts, wholes = figures(dish_text(dish_macros(source), basis=basis))
    assert adds_up(parts, wholes["batch, weight estimated"], basis)


def test_columns_are_aligned(table: Table) -> None:
    block = dish_text(dish_macros(mussels(table))).split("\n\n")[1].splitlines()
    assert len({len(line) for line in block}) == 1


def test_what_is_unknown_is_printed_as_such_and_named(table: Table) -> None:
    text = dish_text(dish_macros(mussels(table, more="thickener: 6 g")))
    row = next(line for line in cells(text) if line[0] == "thickener")
    assert row == ["thickener", "6", "12", "0.0", "0.0", "4.8", "unknown", "unknown", "–"]
    batch = next(line for line in cells(text) if line[0] == "batch")
    assert batch[6].startswith("≥ ") and batch[7].startswith("≥ ") and not batch[5].startswith("≥")
    assert "fibre of thickener not known; figures with ≥ lack it" in text
    assert "net carbs of thickener not known; figures with ≥ lack it" in text


def test_alcohol_stands_only_where_there_is_some_and_a_blank_is_a_dash(table: Table) -> None:
    dry = MUSSELS.replace("white wine: 200 ml", "thickener: 5 g")
    source = table.read(dry.format(cooked="", more="")).source
    assert isinstance(source, Dish)
    text = dish_text(dish_macros(source))
    assert "alcohol" not in cells(text)[0]
    assert "Alcohol" not in text
    wet = dish_text(dish_macros(mussels(table, more="sweetener: 8 g")))
    assert cells(wet)[0][-1] == "alcohol"
    assert [line[-1] for line in cells(wet) if line[0] in ("sweetener", "white wine", "batch")] == [
        "20.5",
        "–",
        "≥ 20.5",
    ]
    assert "Alcohol –: the table has no figure" in wet
    assert "alcohol of sweetener" not in wet  # a blank is no news to a cook
    assert "Alcohol –" not in dish_text(dish_macros(mussels(table)))


def test_erythritol_alone_comes_off_whole(table: Table) -> None:
    text = dish_text(dish_macros(mussels(table, more="sugar_free: {amount: 8 g, food: erythritol}")))
    assert "erythritol 4.0 g: it comes off net carbs whole (common practice, no source)" in text


def test_polyols_stand_only_where_there_are_some(table: Table) -> None:
    assert "deducted" not in cells(dish_text(dish_macros(mussels(table))))[0]
    text = dish_text(dish_macros(mussels(table, more="sweetener: 8 g")))
    head, *rows = cells(text)
    row = dict(zip(head[1:], next(r for r in rows if r[0] == "sweetener")[1:], strict=True))
    assert (row["carbs"], row["deducted"], row["net carbs"]) == ("8.0", "4.0", "4.0")
    assert (
        "polyols 4.0 g: polyols other than erythritol come off net carbs by half (common practice, no source)" in text
    )
    net = next(r for r in rows if r[0].startswith("serving"))[head.index("net carbs")]
    whole = re.search(r"all polyols deducted: net carbs ([\d.]+) g", text)
    assert whole and float(whole.group(1)) == pytest.approx(float(net) - 2, abs=0.11)  # rounded apart


def test_every_ingredient_is_traced_to_its_amount_and_its_row(table: Table) -> None:
    text = dish_text(dish_macros(mussels(table, more="salt: to taste")))
    traced = [re.split(r"\s{2,}", line.strip()) for line in text.split("Where the figures are from\n")[1].splitlines()]
    assert traced == [
        ["mussels", "800 g", "800 g", "mussels, USDA SR28 15164 (net carbs 3.7 g per 100 g; Ciqual 2020 10014: 2.7)"],
        [
            "celeriac",
            "150 g",
            "129 g trimmed",
            "celeriac, USDA SR28 11141 (net carbs 7.4 g per 100 g; Ciqual 2020 20055: 4.0)",
        ],
        ["white wine", "200 ml", "199 g (1 fl oz: 29.4 g)", "white wine, USDA SR28 14106"],
        [
            "garlic",
            "2 cloves",
            "6 g (1 clove: 3 g)",
            "garlic, USDA SR28 11215 (net carbs 31.0 g per 100 g; Ciqual 2020 11000: 18.6)",
        ],
        ["salt", "to taste", "salt, USDA SR28 02047"],
    ]
    assert "not counted (to taste): salt" in text


def test_the_weight_is_accounted_for(table: Table) -> None:
    assert "1.13 kg went in, the batch weighs 900 g; the difference counts as water." in dish_text(
        dish_macros(mussels(table))
    )
    estimated = dish_text(dish_macros(mussels(table, cooked="")))
    assert "batch, weight estimated" in estimated
    assert "estimated: cooked weight: the sum of what went in" in estimated
    assert "went in, the batch" not in estimated


def test_ratios_and_the_line_that_it_is_no_medical_advice(table: Table) -> None:
    text = dish_text(dish_macros(mussels(table)))
    for meaning in (
        "grams of fat : grams of protein + net carbs",
        "grams of fat : grams of net carbs",
        "percent of energy",
    ):
        assert meaning in text
    assert MEDICAL in text


def test_as_a_label_where_asked(table: Table) -> None:
    assert "US label" not in dish_text(dish_macros(mussels(table)))
    text = dish_text(dish_macros(mussels(table, more="thickener: 6 g")), label=True)
    assert re.search(r"calories \d+0, fat \d+ g, total carbohydrate \d+ g, dietary fibre unknown, protein \d+ g", text)


FIGURES = {
    "weight_g", "energy_kcal", "fat_g", "saturated_g", "protein_g", "carbohydrate_g", "fibre_g", "polyols_g", "sugars_g",
    "net_carbs_g", "alcohol_g", "sodium_mg",
}  # fmt: skip


def test_json_has_the_promised_keys(table: Table) -> None:
    out = json.loads(json.dumps(dish_json(dish_macros(mussels(table, more="salt: to taste"))), allow_nan=False))
    assert {
        "dish",
        "basis",
        "servings",
        "serving",
        "per_100_g",
        "batch",
        "ratios",
        "ingredients",
        "unknown",
        "estimated",
    } <= set(out)
    for row in (out["serving"], out["per_100_g"], out["batch"], *out["ingredients"]):
        assert set(row) >= FIGURES
    assert out["unknown"] == ["salt"]
    assert out["estimated"] == [UNTIMED]
    assert [i["name"] for i in out["ingredients"]] == ["mussels", "celeriac", "white wine", "garlic"]
    assert out["ingredients"][3]["weighed_as"] == "clove"
    assert out["ingredients"][3]["source"] == "USDA SR28 11215"
    assert set(out["ratios"]) == {"fat_g_to_protein_and_net_carbs_g", "fat_g_to_net_carbs_g", "energy_percent"}


def test_json_adds_up_too_and_is_finer_than_print(table: Table) -> None:
    out = dish_json(dish_macros(mussels(table)))
    for row in (out["serving"], out["per_100_g"], out["batch"], *out["ingredients"]):
        assert row["carbohydrate_g"] == pytest.approx(row["fibre_g"] + row["polyols_g"] + row["net_carbs_g"], abs=1e-9)
    for n in set(PRINTED) - {"alcohol_g"}:
        assert sum(i[n] for i in out["ingredients"]) == pytest.approx(out["batch"][n], abs=1e-9)
    assert out["batch"]["fat_g"] == round(out["batch"]["fat_g"], 2) != round(out["batch"]["fat_g"], 1)


def test_unknown_in_json_is_null_with_what_is_known_beside_it(table: Table) -> None:
    out = dish_json(dish_macros(mussels(table, more="thickener: 6 g")))
    assert out["batch"]["fibre_g"] is None and out["batch"]["at_least"]["fibre_g"] > 0
    assert out["batch"]["alcohol_g"] is None and out["batch"]["at_least"]["alcohol_g"] == pytest.approx(20.5, abs=0.05)
    assert out["unknown"] == ["thickener"]
    assert out["unknown_figures"]["fibre_g"] == ["thickener"]
    assert "at_least" not in dish_json(dish_macros(mussels(table)))["ingredients"][2]


def meal(table: Table, limits: str = "") -> Any:
    table.write("mussels.yaml", MUSSELS.format(cooked="cooked_weight: 900 g", more="salt: to taste"))
    table.write("toast.yaml", "dish: Rye toast\nservings: 2\ningredients: {rye: {amount: 80 g, food: 'bread, rye'}}\n")
    return meal_macros(
        table.meal(f"""
        meal: Mussels and toast
        plates: 2
        dishes:
          - {{dish: mussels.yaml, portion: 1 serving}}
          - {{dish: toast.yaml, portion: 30 g}}
        {limits}
    """)
    )


@pytest.mark.parametrize("basis", list(Basis))
def test_a_plate_adds_up(table: Table, basis: Basis) -> None:
    plate = meal(table)
    text = meal_text(plate, basis=basis)
    parts, wholes = figures(text.replace("≥ ", "").replace("–", "0"))
    assert list(parts) == ["Mussels in white wine, 1 serving", "Rye toast, 30 g"]
    assert list(wholes) == ["the plate", "2 plates"]
    off = missed(parts, wholes["the plate"])
    assert ("rounded by itself" in text) == any(off.values())
    assert all(abs(miss) <= (1 if head == "kcal" else Fraction(1, 10)) for head, miss in off.items())
    for (name, row), (_, dish, _) in zip(parts.items(), plate.portions, strict=True):
        if name.endswith(", 1 serving"):  # as in the papers of its own dish
            assert (
                row
                == figures(dish_text(dish, basis=basis).replace("≥ ", ""))[1][f"serving (1 of {dish.dish.servings:g})"]
            )
    assert "Mussels in white wine: not counted (to taste): salt" in text
    assert "Rye toast: estimated: cooked weight" in text


def test_promises_of_a_plate_are_printed_with_what_it_has(table: Table) -> None:
    text = meal_text(meal(table, "at_most: {net_carbs_g: 90}"), label=True)
    plate = figures(text.replace("≥ ", ""))[1]["the plate"]
    assert f"at most 90 g net carbs; it has {float(plate['net carbs'])} g" in text
    assert "The plate as a US label would round it" in text


def test_meal_json(table: Table) -> None:
    out = meal_json(meal(table))
    assert out["meal"] == "Mussels and toast"
    assert [p["dish"] for p in out["portions"]] == ["Mussels in white wine", "Rye toast"]
    assert out["unknown"] == ["salt"]
    assert out["estimated"] == [
        f"Mussels in white wine: {UNTIMED}",
        "Rye toast: cooked weight: the sum of what went in, as if nothing boiled away",
    ]
    for n in ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g"):
        assert sum(p[n] for p in out["portions"]) == pytest.approx(
            out["plate"][n], abs=0.1 if n == "energy_kcal" else 0.01
        )
        assert out["party"][n] == pytest.approx(2 * out["plate"][n], abs=0.2 if n == "energy_kcal" else 0.04)
    assert [d["dish"] for d in out["dishes"]] == ["Mussels in white wine", "Rye toast"]


@pytest.mark.parametrize(("amount", "said"), [("2", "2 servings"), ("1", "1 serving"), ("1/2", "½ serving")])
def test_a_dish_that_goes_in_is_counted_in_its_servings(table: Table, amount: str, said: str) -> None:
    table.write(
        "stock.yaml",
        "dish: Stock\nservings: 4\ncooked_weight: 1 kg\ningredients: {leek: 300 g}\nsteps: [{stage: cook, do: Boil., add: leek}]\n",
    )
    source = table.read(
        f"dish: Soup\nservings: 2\ningredients: {{stock: {{amount: {amount}, dish: stock.yaml}}}}\nsteps: [{{stage: cook, do: Boil., add: stock}}]\n"
    ).source
    assert isinstance(source, Dish)
    traced = dish_text(dish_macros(source)).split("Where the figures are from\n")[1].splitlines()[0]
    assert re.split(r"\s{2,}", traced.strip())[1].replace("1/2", "½") == said
