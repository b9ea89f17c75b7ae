"""Rules that need more than one step: what has been hot, what is told once, what is told of the whole dish, and not too much."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.pack import make_pack
from scriptkit.papers.cautions import printed_cautions
from scriptkit.production import read
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import MOST_LINES_A_STEP, Caution, cautions_in, cautions_of


def of(table: Table, ingredients: str, *steps: str, more: str = "") -> tuple[Caution, ...]:
    lines = "\n".join(f"  - {{id: s{n}, {step}}}" for n, step in enumerate(steps, 1))
    return cautions_of(table.dish(f"dish: D\nservings: 2\n{more}\ningredients: {{{ingredients}}}\nsteps:\n{lines}\n"))


def steps_of(cautions: tuple[Caution, ...], rule: str) -> list[str]:
    return [c.step.id if c.step else "" for c in cautions if c.rule.id == rule]


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        (["do: Simmer the stew.", "do: Chill it overnight."], ["s2"]),
        (["do: Simmer the stew.", "do: Cool it and refrigerate it."], ["s2"]),
        (["do: Simmer the stew.", "do: Leave it to cool completely."], ["s2"]),
        (["do: Toss the salad.", "do: Chill it overnight."], []),
        (["do: Simmer the stew.", "do: Chill the dough for 30 min."], []),
        (["do: Simmer the stew.", "do: Chill the bowls."], []),
        (["do: Bake the loaf.", "do: Cool the loaf completely before you slice it."], []),
        (["do: Bake it.", "do: Leave it to cool completely on a rack."], []),
        (["do: Simmer the stew.", "do: Ladle it into bowls."], []),
    ],
)
def test_cooked_food_that_is_chilled(table: Table, steps: list[str], told: list[str]) -> None:
    found = of(
        table, "leek: 400 g", *(f"stage: cook, {s}, add: {'leek' if n == 0 else '[]'}" for n, s in enumerate(steps))
    )
    assert steps_of(found, "chilling") == told


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        (["do: Simmer the soup.", "do: Blend it.", "do: Reheat it gently."], []),  # it was never cold
        (["do: Simmer the soup.", "do: Chill it overnight.", "do: Reheat it gently."], ["s3"]),
        (["do: Reheat the soup."], ["s1"]),
    ],
)
def test_what_is_reheated_was_cold_before(table: Table, steps: list[str], told: list[str]) -> None:
    found = of(
        table, "leek: 400 g", *(f"stage: cook, {s}, add: {'leek' if n == 0 else '[]'}" for n, s in enumerate(steps))
    )
    assert steps_of(found, "reheating") == told


@pytest.mark.parametrize(
    ("steps", "more", "rule"),
    [
        (["do: Simmer the stew."], "", "leftovers"),
        (["do: Simmer the custard.", "do: Chill it overnight."], "served: cold", "leftovers-cold"),
        (["do: Simmer the custard."], "served: well chilled", "leftovers-cold"),
        (["do: Reheat the stew."], "", None),  # once only, so nothing of it is kept
    ],
)
def test_what_is_left_over(table: Table, steps: list[str], more: str, rule: str | None) -> None:
    found = of(table, "milk: {amount: 400 g, food: 'milk, whole'}", *(f"stage: cook, {s}, add: {'milk' if n == 0 else '[]'}" for n, s in enumerate(steps)), more=more)  # fmt: skip
    assert [c.rule.id for c in found if c.rule.id.startswith("leftovers")] == ([rule] if rule else [])


def test_a_dish_with_raw_egg_is_eaten_the_same_day_and_nothing_says_otherwise(table: Table) -> None:
    found = of(
        table, "egg: 200 g, chocolate: {amount: 90 g, food: 'chocolate, dark, 70%'}",
        "stage: cook, do: Melt the chocolate., add: chocolate, heat: low", "stage: cook, do: Fold in the beaten egg and chill it., add: egg",
    )  # fmt: skip
    assert "eat the dish the same day" in next(c.printed for c in found if c.rule.id == "raw-egg")
    assert not [c for c in found if c.rule.id.startswith("leftovers")]


SAUSAGE = "sausage: {amount: 360 g, food: toulouse sausage}, romanesco: 400 g, comte: 40 g"


@pytest.mark.parametrize(
    ("second", "at"),
    [
        (
            "do: Scatter the comte over the romanesco and grill until golden., add: comte, vessel: gratin dish",
            "s1",
        ),  # other food
        ("do: Lay the sausages on top and bake., add: comte, vessel: gratin dish", "s2"),
        ("do: 'Tip everything into a dish, scatter the comte over and bake.', add: comte, vessel: gratin dish", "s2"),
        ("do: Add the comte and simmer., add: comte, vessel: pan", "s2"),
        ("do: Bake it., vessel: gratin dish", "s2"),
        ("do: Cover with the comte and bake., add: comte, vessel: gratin dish, core: 74 °C", "s2"),
        ("do: Scatter the comte over and bake., add: comte", "s2"),  # no vessel: it may be the same
    ],
)
def test_a_temperature_is_told_where_its_food_is_cooked_and_not_where_another_is(
    table: Table, second: str, at: str
) -> None:
    found = of(table, SAUSAGE, "stage: cook, do: Fry the sausages., add: [sausage, romanesco], vessel: pan, heat: medium", f"stage: cook, heat: high, {second}")  # fmt: skip
    assert steps_of(found, "cook-ground-meat") == [at]


LAMB = 'lamb: {amount: 900 g, food: "lamb shoulder, boneless"}'


@pytest.mark.parametrize(
    ("second", "told"),
    [("do: Leave it to stand., wait: 3 h", True), ("do: Leave it to stand., wait: 30 min", False), ("do: Keep it warm., heat: low, wait: 3 h", False),
     ("do: Put it in the fridge., wait: 12 h", False)],
)  # fmt: skip
def test_cooked_food_that_stands_out(table: Table, second: str, told: bool) -> None:
    found = of(table, LAMB, "stage: cook, do: Braise the lamb., add: lamb, wait: 2 h", f"stage: cook, {second}")
    assert bool(steps_of(found, "standing-out")) is told


STEW = "stage: cook, do: Simmer it until it is tender., add: [lamb], wait: 2 h"


@pytest.mark.parametrize(
    ("ingredients", "step", "more", "told"),
    [
        (LAMB, STEW, "film: {swap_out_over: 1 h}", True),  # a wait of 2 h is jumped with a twin
        (LAMB, STEW, "", False),  # nobody asked for one
        (LAMB, STEW.replace("2 h", "5 min"), "", False),
        (LAMB, STEW.replace("2 h", "5 min"), "film: {heroes: 1}", True),
        (LAMB, STEW.replace("2 h", "5 min, swap_out: true"), "", True),
        (LAMB, STEW.replace("2 h", "2 h, swap_out: false"), "film: {swap_out_over: 1 h}", False),
        (LAMB, STEW, "film: {swap_out_over: 3 h}", False),
        ("salt: 20 g, leek: 300 g", "stage: cook, do: Dry it., add: leek, wait: 2 h", "", False),  # nothing that spoils
    ],
)
def test_twins_and_heroes(table: Table, ingredients: str, step: str, more: str, told: bool) -> None:
    assert bool(steps_of(of(table, ingredients, step, more=more), "stand-ins")) is told


def test_a_meals_heroes_count_for_its_dishes(table: Table) -> None:
    table.write(
        "stew.yaml", f"dish: Stew\nservings: 2\ningredients: {{{LAMB}}}\nsteps: [{{{STEW.replace('2 h', '5 min')}}}]"
    )
    for heroes, told in ((0, False), (1, True)):
        meal = table.meal(f"meal: M\ndishes: [{{dish: stew.yaml}}]\nfilm: {{heroes: {heroes}}}")
        assert ("stand-ins" in [c.rule.id for c in cautions_in(meal)]) is told


@pytest.mark.parametrize(("lights", "told"), [("mains", True), ("battery", False), ("daylight", False), ("", False)])
def test_wet_hands_and_mains_lights(table: Table, lights: str, told: bool) -> None:
    found = of(table, "leek: 400 g", "stage: cook, do: Simmer it., add: leek", more=f"film: {{lights: '{lights}'}}")
    assert bool(steps_of(found, "mains-lights")) is told


def test_a_hazard_that_returns_is_shown_and_said_once_and_printed_each_time(table: Table) -> None:
    found = of(
        table,
        'lamb: {amount: 900 g, food: "lamb, diced"}, leek: 200 g',
        "stage: cook, do: Sear the lamb., add: lamb",
        "stage: cook, do: Sear the leek., add: leek",
    )
    sears = [c for c in found if c.rule.id == "searing"]
    assert [bool(c.overlay) for c in sears] == [True, False]
    assert [bool(c.spoken) for c in sears] == [True, False]
    assert all(c.printed for c in sears)
    assert len(steps_of(found, "cross-contamination")) == 1


@pytest.mark.parametrize(("name", "told"), [("coffee", True), ("decaf coffee", False)])
def test_coffee_without_caffeine_holds_none(table: Table, name: str, told: bool) -> None:
    found = of(table, f'{name}: {{amount: 100 g, food: "coffee, brewed"}}', f"stage: cook, do: Pour it., add: {name}")
    assert bool(steps_of(found, "caffeine")) is told


@pytest.mark.parametrize(
    "where",
    ["'wild garlic': {amount: 50 g, food: spinach}", "greens: {amount: 50 g, food: spinach, prep: 'foraged, washed'}"],
)
def test_foraged_food_is_told_by_what_the_cook_calls_it(table: Table, where: str) -> None:
    name = where.partition(":")[0].strip("'")
    found = of(table, where, f"stage: cook, do: Wilt it., add: {name}")
    assert steps_of(found, "wild-food") == ["s1"]


def test_a_wild_mushroom_that_was_foraged_is_not_told_of_as_bought(table: Table) -> None:
    foraged = "mushrooms: {amount: 50 g, food: 'mushroom, chanterelle', prep: foraged}"
    found = of(table, foraged, "stage: cook, do: Fry them., add: mushrooms")
    assert (steps_of(found, "wild-food"), steps_of(found, "bought-wild-mushrooms")) == (["s1"], [])


def test_what_says_less_is_not_told_after_what_says_more(table: Table) -> None:
    hake, fry = "stage: cook, do: Sear the hake., add: hake", "stage: cook, do: Turn it and fry it until it is done."
    assert steps_of(of(table, "hake: 300 g", hake, fry), "hot-fat") == []
    assert steps_of(of(table, "hake: 300 g", hake.replace("Sear", "Fry"), fry), "hot-fat") == ["s1"]


def test_no_step_is_flooded_and_published_figures_go_first(table: Table) -> None:
    found = of(
        table,
        'konjac powder: 5 g, egg: {amount: 100 g}, rum: 50 g, sugar: {amount: 90 g, food: "sugar, white"}',
        "stage: cook, do: 'Sear it, flambé it, melt the sugar to a caramel and slice it on the mandoline, under high pressure, over charcoal in the garage.', "
        "add: [konjac powder, egg, rum, sugar]",
        more="foods: {konjac powder: {basis: us}}",
    )
    here = [c for c in found if c.step]
    assert len([c for c in here if c.printed]) >= 8
    shown = [line for c in here for line in c.overlay]
    assert 0 < len(shown) <= MOST_LINES_A_STEP
    assert "Outdoors only: carbon monoxide kills" in shown


def test_honey_is_told_in_print_only_however_deep_it_is(table: Table) -> None:
    table.write("glaze.yaml", "dish: Glaze\nservings: 4\ncooked_weight: 100 g\ningredients: {honey: 100 g}")
    found = of(
        table,
        "glaze: {amount: 20 g, dish: glaze.yaml}, carrot: 400 g",
        "stage: cook, do: Roast the carrots in the glaze., add: [carrot, glaze]",
    )
    (honey,) = [c for c in found if c.rule.id == "honey-infants"]
    assert (honey.overlay, honey.spoken, honey.step) == ((), "", None)
    assert "12 months" in honey.printed


@pytest.mark.parametrize(
    ("step", "told"),
    [("do: Whisk the egg into the mayonnaise., add: egg", True), ("do: Whisk it., add: egg", True), ("do: Whisk it in the hot pan., add: egg", False)],
)  # fmt: skip
def test_pasteurised_egg_is_not_raw(table: Table, step: str, told: bool) -> None:
    assert bool(steps_of(of(table, "egg: {amount: 100 g, food: egg}", f"stage: cook, {step}"), "raw-egg")) is told
    assert (
        steps_of(
            of(table, 'egg: {amount: 100 g, food: "egg white, pasteurised"}', "stage: cook, do: Whisk it., add: egg"),
            "raw-egg",
        )
        == []
    )


def test_what_is_done_to_one_raw_food_says_nothing_of_another(table: Table) -> None:
    found = of(
        table,
        'hake: 300 g, chicken: {amount: 300 g, food: "chicken thigh, skinless"}',
        "stage: cook, do: Simmer the chicken., add: chicken, vessel: pot",
        "stage: cook, do: Grill the hake., add: hake, vessel: grill rack, core: 63 °C",
    )
    (chicken,) = [c for c in found if c.rule.id == "cook-poultry"]
    assert chicken.step is not None
    assert (chicken.step.id, chicken.doneness) == ("s1", None)


def test_the_papers_of_a_dish_name_every_step_of_one_caution() -> None:
    source = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    printed = printed_cautions(cautions_in(source))
    assert len({(p.text, p.source) for p in printed}) == len(printed)
    knives = next(p for p in printed if p.text.startswith("Knives"))
    assert knives.where == "bisque, step 1; hake, step 2"
    assert printed[-1].text.startswith("Follow your local food code")


@pytest.mark.parametrize("name", ["harbour-supper", "seeded-loaf"])
def test_every_printed_page_defers_to_local_codes(name: str) -> None:
    files = make_pack(read(str(EXAMPLES / f"{name}.yaml"))).files
    line = "Follow your local food code; ask a licensed professional where a rule is a legal or a medical one."
    pages = [n for n in files if n.endswith(".html") or n in ("report.txt", "description.txt")]
    assert len(pages) >= 7
    assert [n for n in pages if line not in files[n]] == []
