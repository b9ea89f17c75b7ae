"""What leads on every page, caption and card, by the file's `units:`; what is said is what is shown."""

from __future__ import annotations

import html
import json
import re
from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.measure.amounts import Amount, Kind, format_grams, parse_amount
from scriptkit.measure.figures import figures_in
from scriptkit.measure.spoken import amounts_in
from scriptkit.measure.unit_system import (
    in_scale,
    measurable_up,
    ounces_text,
    ounces_up,
    said_amount,
    spoken_in_scale,
    weight_text,
)
from scriptkit.pack import make_pack
from scriptkit.papers.buying import purchase_rows
from scriptkit.production import Production
from scriptkit.recipe.dish import Addition, Dish, Meal
from scriptkit.recipe.leading_units import beside_text, leading_text, spoken_measure
from scriptkit.shoot.buying import purchases_of

ROAST = """\
dish: Chicken on leeks
short: chicken
servings: 4
serving: 275 g
cooked_weight: 1.1 kg
UNITS
ingredients:
  chicken: {amount: 1 lb 8 oz, food: "chicken thigh, skin-on"}
  leek: {amount: 340 g, prep: "sliced, 5 mm"}
  olive oil: 2 tbsp
  parmesan: {amount: 3/4 cup, measured_as: grated}
  stock: {amount: 240 ml, food: "chicken stock, homemade"}
  egg: 2 large
  salt: 1 tsp
  pepper: {amount: to taste, food: "pepper, black"}
steps:
  - id: roast
    stage: cook
    do: Roast the chicken on the leek.
    add: {chicken: all, leek: all, olive oil: all, salt: half, stock: all}
    vessel: roasting tin
    heat: oven 200 °C
    core: 74 °C
    hands: 5 min
    wait: 40 min
    screen: 60 s
    say: "{chicken}, {leek}, {olive oil}, {stock}."
  - id: finish
    stage: cook
    do: Finish it.
    add: {parmesan: all, egg: all, salt: rest, pepper: to taste}
    vessel: roasting tin
    hands: 2 min
    screen: 40 s
    say: "{parmesan}, {egg}."
"""
LEADS = {
    "us": ["1 lb 8 oz", "12 oz", "2 tbsp", "½ tsp", "1 cup", "¾ cup", "2 large", "½ tsp", "to taste"],
    "metric": ["680 g", "340 g", "2 tbsp", "½ tsp", "240 ml", "¾ cup", "100 g", "½ tsp", "to taste"],
    "": ["680 g", "340 g", "27 g", "3 g", "240 ml", "75 g", "100 g", "3 g", "to taste"],
}
SAID = {
    "us": ["one pound eight ounces", "twelve ounces", "two tablespoons", "half a teaspoon", "one cup", "three quarters of a cup"],
    "metric": ["six hundred and eighty grams", "three hundred and forty grams", "two tablespoons", "half a teaspoon", "two hundred and forty millilitres"],
}  # fmt: skip
PAGES = (
    "labels.html",
    "mise-en-place.html",
    "shoot-list.html",
    "stage.html",
    "files/overlays.srt",
    "files/overlays.vtt",
)
READ = (*PAGES, "index.html", "buying.html", "schedule.html", "check.html", "recipe-card.html", "description.txt", "pinned-comment.txt")  # fmt: skip


def dish_in(table: Table, units: str) -> Production:
    return Production(table.read(ROAST.replace("UNITS", f"units: {units}" if units else "# none")))


def additions_of(source: Dish | Meal) -> list[Addition]:
    assert isinstance(source, Dish)
    return [a for step in source.steps for a in step.additions]


def words_of_page(text: str) -> str:
    """What a reader sees of it, in one line."""
    bare = re.sub(r"<style.*?</style>|<script>.*?</script>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", bare)).split())


@pytest.mark.parametrize("units", LEADS)
def test_each_addition_leads_with_the_cooks_measure(table: Table, units: str) -> None:
    production = dish_in(table, units)
    found = additions_of(production.source)
    assert [leading_text(a) for a in found] == LEADS[units]
    pack = make_pack(production).files
    for name in PAGES:
        page = words_of_page(pack[name]) if name != "stage.html" else pack[name]
        for addition in found:
            lead, beside = leading_text(addition), beside_text(addition)
            assert lead in page, (name, lead)
            if beside and name != "stage.html" and units:
                assert re.search(rf"{re.escape(lead)} \(?{re.escape(beside)}", page), (name, lead, beside)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_what_is_said_is_what_is_shown(table: Table, units: str) -> None:
    production = dish_in(table, units)
    script = " ".join(make_pack(production).files["script.txt"].casefold().split())
    for addition, words in zip(additions_of(production.source), SAID[units], strict=False):
        spoken = spoken_measure(addition)
        assert spoken is not None
        assert said_amount(spoken) == words
        shown = leading_text(addition)
        by_weight = ounces_text(spoken.grams) if units == "us" and spoken.kind is Kind.MASS else str(spoken)
        assert shown == (format_grams(spoken.grams) if units == "metric" and spoken.kind is Kind.MASS else by_weight)
    for words in SAID[units][:3]:
        assert words in script


@pytest.mark.parametrize("units", ["us", "metric"])
def test_one_scale_leads_on_every_page(table: Table, units: str) -> None:
    """The other stands in brackets behind it, or after a comma inside of them; sources are quoted as they print it."""
    pack = make_pack(dish_in(table, units)).files
    lead, other = ("°F", "°C") if units == "us" else ("°C", "°F")
    told = 0
    for name in READ:
        text = words_of_page(pack[name])
        text = re.sub(r"danger zone[^.]*?(?=$|leftovers)", "", text)
        behind = rf"\d ?{lead}(?: fan)?(?: \([^()]*| ?, ?[\d–]+ ?){other}$"
        for found in re.finditer(rf"[\d–]+ ?{other}", text):
            before = text[: found.end()]
            assert re.search(behind, before), (name, before[-60:])
            told += 1
    assert told > 8


def test_the_description_and_the_card_lead_with_ounces_and_cups(table: Table) -> None:
    pack = make_pack(dish_in(table, "us")).files
    for line in (
        "1 lb 8 oz (680 g) ",
        "12 oz (340 g) leek",
        "¾ cup (75 g) ",
        "1 cup (243 g) ",
        "2 large (100 g) eggs",
        "2 tbsp (27 g) ",
    ):
        assert line in pack["description.txt"], line
    assert "9 ¾ oz (275 g) a serving" in pack["description.txt"]
    assert "1 lb 8 oz (680 g)" in pack["pinned-comment.txt"]
    assert "olive oil 2 tbsp (27 g)" in pack["pinned-comment.txt"] and "salt 1 tsp (6 g)" in pack["pinned-comment.txt"]
    card = words_of_page(pack["recipe-card.html"])
    assert "Amount Or Ingredient" in card
    assert "1 lb 8 oz 680 g skin-on chicken thighs" in card
    assert "serving 9 ¾ oz" in card
    assert "A serving is nine and three quarters ounces" in " ".join(pack["script.txt"].split())
    assert "A serving, 9 ¾ oz" in pack["files/overlays.srt"]


def test_the_shop_list_is_in_ounces_and_cups(table: Table) -> None:
    bought = words_of_page(make_pack(dish_in(table, "us")).files["buying.html"])
    assert re.search(r"skin-on chicken thighs .{0,40}\d+ lb", bought)
    assert re.findall(r"(?<![(\d.])\b\d+(?:\.\d+)? k?g\b(?! as bought)(?!\))", bought) == []


@given(st.floats(1, 3000))
def test_what_is_bought_is_never_rounded_down(amount: float) -> None:
    pounds = re.fullmatch(r"(?:(\d+) lb)? ?(?:(.+) oz)?", ounces_up(amount))
    assert pounds is not None
    bought = sum(float(parse_amount(f"{n} {unit}").grams) for n, unit in zip(pounds.groups(), ("lb", "oz"), strict=True) if n)  # fmt: skip
    assert amount - 0.06 <= bought <= amount + 30 + amount * 0.01
    cups = measurable_up(Amount(Fraction(amount).limit_denominator(1000) / 250, "cup"))
    assert cups.millilitres >= amount / 250 * 236.588 * (1 - 1e-3)


def test_a_shop_list_in_us_units_is_enough(table: Table) -> None:
    for purchase in purchases_of(dish_in(table, "us").source):
        (row,) = purchase_rows([purchase])
        if row.buy.endswith(("oz", "lb")):
            parts = re.findall(r"([\d ½¼¾.]+) (lb|oz)", row.buy)
            assert (
                sum(float(parse_amount(f"{n.strip()} {unit}").grams) for n, unit in parts) >= purchase.bought_g - 0.06
            )
        elif purchase.buy is not None and purchase.buy.kind is Kind.VOLUME and purchase.need is not None:
            assert parse_amount(row.buy).millilitres >= purchase.need.millilitres * (1 - 1e-6)


SPOONED = """\
dish: Cumin figs
units: UNITS
servings: 4
ingredients:
  cumin: 2 1/2 tsp
  bulgur: 3/4 cup
  fig: 6 medium
  pita: 4 small
  parsley: 1 bunch
  parmesan: {amount: 1/4 cup, measured_as: grated}
  salt: 1 1/4 tsp
steps:
  - {id: stir, stage: prep, do: Stir it., add: {cumin: all, bulgur: all, fig: all, pita: all, parsley: all, parmesan: all, salt: all}, vessel: bowl}
"""


def test_what_is_written_by_the_spoon_is_bought_by_the_spoon(table: Table) -> None:
    """What is grated, and what metric kitchens weigh, is bought by weight; a bunch is a bunch, and six figs are figs."""

    def listed(units: str) -> list[str]:
        rows = purchase_rows(purchases_of(table.read(SPOONED.replace("UNITS", units)).usable()))
        return [f"{row.shop or row.buy} {row.called}" for row in rows]

    assert listed("us") == [
        "2 ½ tsp cumin", "¾ cup bulgur", "6 medium figs", "4 small pitas", "1 bunch parsley", "0.9 oz grated parmesan", "1 ¼ tsp salt",
    ]  # fmt: skip
    assert listed("metric") == [
        "10 g cumin", "150 g bulgur", "6 medium figs", "4 small pitas", "1 bunch parsley", "30 g grated parmesan", "10 g salt",
    ]  # fmt: skip


def test_the_file_goes_before_the_kitchen_and_the_meal_before_its_dishes(table: Table) -> None:
    table.write("pantry.yaml", "units: us\n")
    assert dish_in(table, "").source.units == "us"
    assert dish_in(table, "metric").source.units == "metric"
    table.write("roast.yaml", ROAST.replace("UNITS", "units: metric"))
    meal = table.read(
        "meal: Supper\nunits: us\nplates: 4\ndishes: [{dish: roast.yaml, portion: 1 serving}]\n", "meal.yaml"
    ).usable()
    assert isinstance(meal, Meal)
    assert (meal.units, meal.dishes[0].units) == ("us", "us")
    assert {i.units for i in meal.dishes[0].ingredients} == {"us"}


def test_a_meal_that_states_none_leaves_each_dish_its_own_and_is_bought_in_metric(table: Table) -> None:
    table.write("roast.yaml", ROAST.replace("UNITS", "units: us"))
    table.write("other.yaml", ROAST.replace("UNITS", "").replace("dish: ", "dish: Second "))
    text = "meal: Supper\nplates: 4\ndishes: [{dish: roast.yaml, portion: 1 serving}, {dish: other.yaml, portion: 1 serving}]\n"
    meal = table.read(text, "meal.yaml").usable()
    assert isinstance(meal, Meal) and (meal.units, [d.units for d in meal.dishes]) == ("", ["us", ""])
    rows = purchase_rows(purchases_of(meal))
    assert rows and not any(re.search(r"\b(?:lb|oz|cups?)\b", row.buy) for row in rows)
    table.write("other.yaml", ROAST.replace("UNITS", "units: us").replace("dish: ", "dish: Second "))
    both_us = table.read(text, "meal.yaml").usable()
    assert (
        isinstance(both_us, Meal)
        and both_us.units == "us"
        and any("lb" in row.buy for row in purchase_rows(purchases_of(both_us)))
    )


def test_an_old_file_stays_as_it_was(table: Table) -> None:
    assert dish_in(table, "").source.units == ""


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("Inside: 63 °C (145 °F)", "Inside: 145 °F (63 °C)"),
        ("oven 180 °C", "oven 350 °F (180 °C)"),
        ("oven 200 °C fan", "oven 400 °F (200 °C) fan"),
        ("between 4 and 60 °C (40 and 140 °F)", "between 40 and 140 °F (4 and 60 °C)"),
        ("1 hour above 32 °C, 90 °F", "1 hour above 90 °F, 32 °C"),
        ("it rises 3–5 °C while it rests", "it rises 5–9 °F while it rests"),
        ("below 5 °C", "below 41 °F (5 °C)"),
    ],
)
def test_a_text_of_ours_in_the_other_scale(text: str, us: str) -> None:
    assert in_scale(text, "us") == us
    assert in_scale(text, "metric") == in_scale(text, "") == text


@pytest.mark.parametrize(
    ("text", "us", "metric"),
    [
        ("oven 425 °F", "oven 425 °F (220 °C)", "oven 220 °C (425 °F)"),
        ("oven 350 °F fan", "oven 350 °F (180 °C) fan", "oven 180 °C (350 °F) fan"),
        ("oil 350–375 °F", "oil 350–375 °F (177–191 °C)", "oil 177–191 °C (350–375 °F)"),
        ("oven 425 °F (218 °C)", "oven 425 °F (218 °C)", "oven 425 °F (218 °C)"),
    ],
)
def test_what_a_cook_wrote_in_fahrenheit_has_celsius_beside_it(text: str, us: str, metric: str) -> None:
    assert (in_scale(text, "us"), in_scale(text, "metric"), in_scale(text, "")) == (us, metric, text)


def test_spoken_degrees() -> None:
    line = "Meat that is dried is heated first: seventy-one degrees inside, seventy-four for poultry."
    assert spoken_in_scale(line, "us") == "Meat that is dried is heated first: one hundred and sixty degrees inside, one hundred and sixty-five for poultry."  # fmt: skip
    assert spoken_in_scale("Sixty-three degrees inside, that is one hundred and forty-five Fahrenheit, and three minutes of rest.", "us") == "One hundred and forty-five degrees inside, and three minutes of rest."  # fmt: skip
    assert spoken_in_scale(line, "metric") == line


def test_every_published_minimum_is_the_same_in_both_scales() -> None:
    """FoodSafety.gov, Safe Minimum Internal Temperature Chart, 2019: 145, 160 and 165 °F."""
    assert [in_scale(f"{c} °C", "us", beside=False) for c in (63, 71, 74)] == ["145 °F", "160 °F", "165 °F"]


def test_a_weight() -> None:
    assert [weight_text(320, units) for units in ("", "metric", "us")] == ["320 g", "320 g", "11 ¼ oz"]
    assert weight_text(320, "us", both=True) == "11 ¼ oz (320 g)"
    assert json.dumps(weight_text(0, "us")) == '"under 0.1 oz"'


def test_pounds_and_ounces_are_read_back_as_one_amount() -> None:
    (heard,) = amounts_in("In goes one pound eight ounces of chicken.")
    assert (heard.value, heard.unit) == (24, "ounce")
    (figure,) = figures_in("one pound eight ounces of chicken")
    assert (figure.low, figure.unit) == (24, "ounce")
    assert said_amount(parse_amount("1 lb 8 oz")) == "one pound eight ounces"
