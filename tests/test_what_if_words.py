"""What if: which words still say the food that went, and what is said of an allergen that may be there all the same."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.papers.what_if import what_if_of
from scriptkit.production import Production
from scriptkit.what_if import change_of, changed_reading

DISH = """\
dish: Creamed greens
promise: Greens in cream and butter.
servings: 2
ingredients:
  greens: {amount: 300 g, food: spring greens, prep: "torn, for the cream to cling to"}
  single cream: {amount: 100 ml, food: "cream, single"}
  butter: {amount: 2 tbsp, food: "butter, unsalted"}
  soured cream: 50 g
  almonds: {amount: 20 g, food: almond}
steps:
  - {id: wash, stage: prep, do: Wash the greens., uses: greens, tools: [a jug for the cream]}
  - {id: wilt, stage: cook, do: Heat the grill and fetch the cream. Wilt the greens in half the butter., add: {butter: half, greens: all}, screen: 9 s, say: "In goes {butter}."}
  - {id: finish, stage: cook, do: Stir it in with the rest of the butter., add: {single cream: 100 ml, butter: rest}, screen: 9 s, say: "{single cream} of Cream, and the cream is hot."}
  - {id: top, stage: cook, do: Top with the soured cream and the almonds., add: {soured cream: all, almonds: all}, screen: 9 s, chapter: Butter on top}
"""
LABELS = """
foods:
  quay spread: {per: 100 g, energy_kcal: 500, fat_g: 55, protein_g: 0, carbohydrate_g: 1, fibre_g: 0, basis: us, household: {tbsp: 14 g}, allergens: [soya], may_contain: [milk]}
  barrow nuts: {per: 100 g, energy_kcal: 600, fat_g: 55, protein_g: 20, carbohydrate_g: 11, fibre_g: 8, basis: us, allergens: [cashew]}
  grey spread: {per: 100 g, energy_kcal: 500, fat_g: 55, protein_g: 0, carbohydrate_g: 1, fibre_g: 0, basis: us, household: {tbsp: 14 g}}
"""


def also(table: Table, instead: list[str], without: list[str], text: str = DISH + LABELS) -> list[str]:
    reading = table.read(text)
    made = Production(changed_reading(reading, change_of(instead, without, None)))
    return list(what_if_of(Production(reading), made).also)


def words(lines: list[str]) -> list[str]:
    return [line.removeprefix("Creamed greens, ") for line in lines if "still" in line and "allergen" not in line]


def test_every_text_that_still_says_the_old_food_is_named(table: Table) -> None:
    assert words(also(table, ["single cream=coconut milk"], ["soured cream"])) == [
        "`promise:`: its words still say “cream”",
        "prep of greens: its words still say “cream”",
        "wash: its words still say “cream” (tools)",
        "wilt: its words still say “cream” (do)",
        "finish: its words still say “Cream” (say)",
        "top: its words still say “soured cream” (do)",
    ]


def test_another_food_of_a_like_name_is_not_taken_for_it(table: Table) -> None:
    assert words(also(table, [], ["almonds"])) == ["top: its words still say “almonds” (do)"]
    assert words(also(table, [], ["soured cream"])) == [
        "`promise:`: “cream” may still mean soured cream",
        "prep of greens: “cream” may still mean soured cream",
        "wash: “cream” may still mean soured cream (tools)",
        "wilt: “cream” may still mean soured cream (do)",
        "top: its words still say “soured cream” (do)",
    ]
    onions = DISH.replace(
        "almonds: {amount: 20 g, food: almond}", "red onions: {amount: 50 g, food: onion}\n  spring onions: 20 g"
    )
    onions = onions.replace("the almonds", "the onions").replace("almonds: all", "red onions: all").replace("Wash the greens.", "Wash the greens and the onions.").replace("uses: greens", "uses: [greens, spring onions]")  # fmt: skip
    assert words(also(table, [], ["red onions"], onions)) == ["top: its words still say “onions” (do)"]


def test_it_is_found_by_every_name_of_the_food(table: Table) -> None:
    text = (
        DISH.replace("butter:", "spread:").replace("{butter}", "{spread}").replace(", butter: rest", ", spread: rest")
    )
    found = words(also(table, ["spread=olive oil"], [], text.replace("{butter: half", "{spread: half")))
    assert "wilt: its words still say “butter” (do)" in found and "top: its words still say “Butter” (chapter)" in found


def test_a_swap_that_the_words_know_already_has_nothing_to_say(table: Table) -> None:
    text = DISH.replace("the cream", "it").replace("cream and butter", "butter").replace("of Cream, and it is hot", "")
    assert words(also(table, ["single cream=coconut milk"], [], text.replace("fetch it", "wait"))) == []


def test_the_words_of_a_meal_and_of_its_other_dish(table: Table) -> None:
    table.write("dish.yaml", DISH)
    table.write("other.yaml", DISH.replace("Creamed greens", "Plain greens").replace("butter", "olive oil").replace('"olive oil, unsalted"', "olive oil"))  # fmt: skip
    meal = "meal: Butter night\nplates: 2\npromise: Greens in butter.\ndishes:\n  - {dish: dish.yaml, portion: 1 serving}\n  - {dish: other.yaml, portion: 1 serving}\n"
    reading = table.read(meal, "meal.yaml")
    made = Production(changed_reading(reading, change_of(["butter=walnut oil"], [], None)))
    found = [line for line in what_if_of(Production(reading), made).also if "still say" in line]
    assert {
        "Butter night, `meal:`: its words still say “Butter”",
        "Butter night, `promise:`: its words still say “butter”",
    } <= set(found)
    assert not any(line.startswith("Plain greens") for line in found)


@pytest.mark.parametrize(
    ("instead", "without", "wanted"),
    [
        ([], ["almonds", "soured cream"], ["allergen no longer in it: tree nuts: almonds"]),
        ([], ["almonds"], ["allergen no longer found in what is known: tree nuts: almonds; not known of soured cream, check the label"]),
        (["almonds=barrow nuts"], ["soured cream"], ["allergen no longer in it: tree nuts: almonds", "allergen now in it: tree nuts: cashews"]),
        (["butter=quay spread"], ["single cream", "soured cream"], ["allergen that may still be in it, check the label: milk (quay spread)", "allergen now in it: soybeans"]),
        (["butter=grey spread"], ["single cream", "soured cream"], ["allergen no longer found in what is known: milk; not known of grey spread, check the label", "allergens not known of grey spread: check the label"]),
        (["butter=olive oil"], ["single cream", "soured cream"], ["allergen no longer in it: milk"]),
    ],
)  # fmt: skip
def test_an_allergen_is_only_gone_where_it_cannot_be_there(
    instead: list[str], without: list[str], wanted: list[str], table: Table
) -> None:
    found = [line for line in also(table, instead, without) if line.startswith("allergen") and "coconut" not in line]
    assert [line for line in found if line in wanted] == wanted, found
    if not any("no longer in it: milk" in line for line in wanted):
        assert not any("no longer in it: milk" in line for line in found), found


def test_a_guessed_food_hides_no_allergen(table: Table) -> None:
    text = DISH.replace("greens: {amount: 300 g,", "greens: {unsure: {food: 0.4}, amount: 300 g,")
    found = also(table, [], ["single cream", "soured cream", "butter"], text)
    assert "allergen no longer found in what is known: milk; not known of greens, check the label" in found
    assert not any("no longer in it" in line for line in found)
