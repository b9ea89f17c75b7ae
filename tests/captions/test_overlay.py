"""What the overlay says of a dish and a meal, and when."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table

from scriptkit.captions.composing.compose import LATE_MS, LATEST_MS
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.overlay import (
    addition_line,
    dish_card,
    meal_card,
    overlay,
    portion_card,
    short_addition_line,
)
from scriptkit.captions.composing.text_fitting import readable_ms
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.mise_en_place import trays_of
from scriptkit.shoot.plan import Plan, addition_windows, dishes_of, plan_of
from scriptkit.shoot.shots.shots import shots_of
from scriptkit.timed_text.cue import Cue

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def read(path: Path) -> Dish | Meal:
    return read_source(str(path)).usable()


def overlay_of(source: Dish | Meal) -> tuple[Plan, list[Cue], list[Problem]]:
    plan = plan_of(source)
    meal = meal_macros(source) if isinstance(source, Meal) else None
    cues, problems = overlay(plan, cautions_in(source), [dish_macros(d) for d in dishes_of(source)], meal)
    return plan, cues, problems


def texts(cues: list[Cue], track: str = "") -> list[str]:
    return [" ".join(c.lines) for c in cues if not track or c.track == track]


def test_there_are_examples() -> None:
    assert len(GOOD) >= 3


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_addition_is_shown_with_the_grams_of_its_bowl(path: Path) -> None:
    source = read(path)
    _, cues, problems = overlay_of(source)
    assert problems == []
    said = " ".join(texts(cues, "addition")).casefold()
    for tray in trays_of(source):
        for bowl in tray.bowls:
            name = bowl.addition.ingredient.short_name.casefold()
            words = f"{name}, to taste" if bowl.grams == "to taste" else f"{name} {bowl.grams}"
            assert words in said


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_an_addition_is_named_while_it_is_on_screen(path: Path) -> None:
    source = read(path)
    plan, cues, _ = overlay_of(source)
    additions = [c for c in cues if c.track == "addition"]
    for segment in plan.segments:
        for addition, start_ms, end_ms in addition_windows(segment):
            label = short_addition_line(addition).casefold()
            shown = [c for c in additions if label in " ".join(c.lines).casefold() and c.end_ms > segment.start_ms]
            assert shown[0].start_ms <= start_ms + LATE_MS
            assert shown[0].end_ms > start_ms
            assert shown[0].start_ms < end_ms + 2_000


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_cue_can_be_read_twice_and_none_overlap(path: Path) -> None:
    plan, cues, _ = overlay_of(read(path))
    assert all(c.end_ms - c.start_ms >= readable_ms(" ".join(c.lines)) for c in cues)
    assert all(one.end_ms < other.start_ms for one, other in itertools.pairwise(cues))
    assert cues[-1].end_ms <= plan.length_ms


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_cautions_are_read_before_what_they_warn_of_goes_in(path: Path) -> None:
    source = read(path)
    plan, cues, _ = overlay_of(source)
    for caution in cautions_in(source):
        if not caution.overlay or caution.step is None:
            continue
        segment = next(s for s in plan.segments if s.step is caution.step)
        shown = [c for c in cues if c.track == "safety" and " ".join(c.lines) in caution.overlay]
        assert texts(shown) == list(caution.overlay)
        if caution.rule.measured:  # a temperature is read when it is checked
            assert segment.start_ms < shown[-1].end_ms <= segment.end_ms + LATEST_MS
            continue
        assert shown[0].start_ms <= segment.start_ms + LATEST_MS
        later = [c for c in cues if c.track == "addition" and segment.start_ms <= c.start_ms < segment.end_ms]
        assert all(shown[-1].end_ms < c.start_ms for c in later)


def test_a_long_wait_is_jumped_over_and_says_so_at_the_end_of_its_step() -> None:
    plan, cues, _ = overlay_of(read(EXAMPLES / "fennel-bisque.yaml"))
    jumps = [c for c in cues if c.track == "time"]
    assert texts(jumps) == ["7 min later", "18 min later"]
    for cue, name in zip(jumps, ["soften-fennel", "simmer"], strict=True):
        segment = next(s for s in plan.segments if s.step and s.step.id == name)
        assert segment.start_ms < cue.start_ms
        assert cue.end_ms <= segment.end_ms


def test_hot_blending_says_how_many_batches_at_its_step() -> None:
    _, cues, _ = overlay_of(read(EXAMPLES / "fennel-bisque.yaml"))
    # 1.9 l in a 1.75 l jug, one third full: 1900 ÷ 583.3 = 3.26, so 4.
    assert texts(cues, "safety") == [
        "Hot: jug one third full, vent open",
        "Towel on the lid; 3 batches, start slow",
    ]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_cautions_stand_over_steps_never_over_an_opening_or_a_finished_dish(path: Path) -> None:
    plan, cues, _ = overlay_of(read(path))
    others = [s for s in plan.segments if s.step is None]
    for cue in (c for c in cues if c.track == "safety"):
        assert not [s for s in others if cue.start_ms < s.end_ms and cue.end_ms > s.start_ms]


def test_a_hazard_at_the_first_step_is_not_told_over_the_opening_but_may_be_over_a_step(table: Table) -> None:
    blend = "{id: blend, stage: cook, do: Blitz the hot soup., hands: 2 min, screen: 30 s}"
    chop = "{id: chop, stage: prep, do: Chop the leek., uses: leek, screen: 20 s}"
    starts = []
    for steps in (blend, f"{blend}, {chop}"):
        dish = table.dish(
            f"dish: D\nservings: 2\ningredients: {{leek: 90 g}}\nsteps: [{steps}]\nfilm: {{opening: 15 s, closing: 22 s}}"
        )
        starts.append(next(c for c in overlay_of(dish)[1] if c.track == "safety").start_ms)
    assert starts == [15_000, 35_000 - 12_000]


def test_searing_says_what_to_do_before_the_food_goes_in() -> None:
    _, cues, _ = overlay_of(read(EXAMPLES / "seared-hake.yaml"))
    order = texts(cues)
    assert order.index("Oil short of smoking; lay it away from you") < order.index("Hake 680 g")
    assert (
        "Inside: 63 °C (145 °F)" in order
    )  # the cook's own figure; the published one hurts nobody within seconds, and is printed
    assert "Hake: 63 °C (145 °F) inside" not in order


DONE = """
    dish: Hake
    servings: 2
    ingredients: {hake: {amount: 300 g}}
    steps: [{id: roast, stage: cook, do: Roast the hake., add: hake, core: %s, wait: 9 min, screen: 30 s}]
"""


@pytest.mark.parametrize(
    ("core", "said"),
    [
        (
            "52 °C",
            [
                "Hake 300 g",
                "9 min later",
                "Hake: published minimum 63 °C (145 °F)",
                "Cook's choice 52 °C: off at 47–49 °C",
            ],
        ),
        ("63 °C", ["Hake 300 g", "9 min later", "Inside: 63 °C (145 °F)"]),
        ("145 °F", ["Hake 300 g", "9 min later", "Inside: 63 °C (145 °F)"]),
        ("70 °C", ["Hake 300 g", "9 min later", "Off at 65–67 °C, rests to 70 °C"]),
    ],
)
def test_a_stated_doneness_stands_beside_the_published_minimum(table: Table, core: str, said: list[str]) -> None:
    plan, cues, problems = overlay_of(table.dish(DONE % core))
    assert texts(cues)[:-2] == said
    assert problems == []
    step = next(s for s in plan.segments if s.step)
    jump = next(c for c in cues if "later" in c.lines[0])
    result = next(s for s in shots_of(plan) if s.step is step.step and s.when_over)
    assert jump.start_ms <= result.start_ms
    assert cues[cues.index(jump) + 1].start_ms >= jump.end_ms


@pytest.mark.parametrize(("wait", "said"), [("1 min 59 s", []), ("2 min", ["2 min later"]), ("36 h", ["36 h later"])])
def test_which_waits_are_long(table: Table, wait: str, said: list[str]) -> None:
    dish = table.dish(f"""
        dish: Pickle
        servings: 2
        ingredients: {{salt: 10 g}}
        steps: [{{id: wait, stage: cook, do: Leave it., add: salt, wait: {wait}, screen: 20 s}}]
    """)
    assert texts(overlay_of(dish)[1], "time") == said


def figures(text: str) -> list[str]:
    return re.findall(r"\d+(?:\.\d+)?", text)


@pytest.mark.parametrize("name", ["fennel-bisque", "seared-hake"])
def test_the_dish_card_is_what_macros_prints(name: str, run: Callable[..., CompletedProcess[str]]) -> None:
    path = EXAMPLES / f"{name}.yaml"
    dish = read(path)
    assert isinstance(dish, Dish)
    printed = run("macros", str(path)).stdout
    row = next(line for line in printed.splitlines() if line.startswith("serving (1 of"))
    ends = re.findall(r"Likely range .*: net carbs ([\d.]+)–([\d.]+) g", printed)[0]
    likely = "–".join(ends) + " g"  # on screen as in the report
    weight, kcal, fat, protein, carbs, fibre, net = figures(row.partition(")")[2])
    card = dish_card(dish_macros(dish))
    assert card == [
        (f"A serving, {weight} g: {kcal} kcal", f"fat {fat} g, protein {protein} g"),
        (f"Carbs {carbs} g − fibre {fibre} g", f"= net carbs {net} g ({likely})"),
    ]
    on_screen = texts(overlay_of(dish)[1], "macros")
    assert on_screen == [" ".join(lines) for lines in card]


def test_the_meal_card_is_what_macros_prints(run: Callable[..., CompletedProcess[str]]) -> None:
    path = EXAMPLES / "harbour-supper.yaml"
    meal = read(path)
    assert isinstance(meal, Meal)
    printed = run("macros", str(path)).stdout
    row = next(line for line in printed.splitlines() if line.startswith("the plate "))
    ends = re.findall(r"Likely range .*: net carbs ([\d.]+)–([\d.]+) g", printed)[0]
    likely = "–".join(ends) + " g"  # on screen as in the report
    weight, kcal, fat, protein, carbs, fibre, net = figures(row)
    card = meal_card(meal_macros(meal))
    assert card == [
        (f"The whole plate, {weight} g: {kcal} kcal", f"fat {fat} g, protein {protein} g"),
        (f"Carbs {carbs} g − fibre {fibre} g", f"= net carbs {net} g ({likely})"),
    ]
    assert texts(overlay_of(meal)[1], "macros")[-2:] == [" ".join(lines) for lines in card]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_a_card_says_carbs_less_fibre_is_net(path: Path) -> None:
    for text in texts(overlay_of(read(path))[1], "macros"):
        if text.startswith("Carbs"):
            equation, _, likely = text.partition(" (")
            carbs, *less, net = (round(float(f) * 10) for f in figures(equation))
            assert carbs - sum(less) == net
            if likely:  # and what is likely holds it
                low, high = (float(f) for f in figures(likely))
                assert low <= net / 10 <= high


def test_an_estimated_weight_is_marked_on_the_card(table: Table) -> None:
    dish = table.dish("dish: Oil\nservings: 2\ningredients: {olive oil: 100 g}\n")
    assert dish_card(dish_macros(dish))[0][0].startswith("A serving, about 50 g")


def test_how_an_addition_is_written(table: Table) -> None:
    dish = table.dish("""
        dish: Roux
        servings: 2
        ingredients: {butter: {amount: 2 tbsp, food: "butter, unsalted"}, salt: to taste, pepper: {amount: 1 pinch, food: "pepper, black"}}
        steps: [{stage: cook, do: Melt it., add: {butter: half, salt: to taste, pepper: all}}]
    """)
    assert [addition_line(a) for a in dish.additions] == ["Butter 14 g (1 tbsp)", "Salt, to taste", "Pepper, 1 pinch"]
    assert [short_addition_line(a) for a in dish.additions] == ["Butter 14 g", "Salt, to taste", "Pepper, 1 pinch"]


def test_a_dish_served_twice_is_cooked_and_shown_once(table: Table) -> None:
    table.write(
        "one.yaml",
        "dish: One\nservings: 4\ningredients: {olive oil: 80 g}\nsteps: [{stage: cook, do: Warm it., add: olive oil}]",
    )
    meal = table.meal("meal: Two\ndishes: [{dish: one.yaml}, {dish: one.yaml, portion: 30 g}]")
    _, cues, problems = overlay_of(meal)
    assert texts(cues, "addition") == [addition_line(a) for a in meal.dishes[0].additions]
    assert problems == []


def test_a_step_without_room_says_so_at_its_line(table: Table) -> None:
    dish = table.dish("""\
        dish: Full
        servings: 2
        ingredients: {ghee: 50 g, capers: 30 g, lemon juice: 2 tbsp, parsley: {amount: 15 g, prep: chopped}, olive oil: 50 g}
        steps:
          - {id: all, stage: cook, do: Melt., add: [ghee, capers, lemon juice, parsley, olive oil], screen: 4 s}
        film: {closing: 3 s}
    """)
    _, _, problems = overlay_of(dish)
    assert {(p.code, p.place.line) for p in problems} == {("caption-no-room", 1), ("caption-no-room", 5)}
    assert any("more `closing:` under `film:`" in p.hint for p in problems)
    assert any("more `screen:`" in p.hint for p in problems)


def test_additions_that_follow_fast_share_a_cue(table: Table) -> None:
    dish = table.dish("""
        dish: Fast
        servings: 2
        ingredients: {capers: 30 g, lemon juice: 2 tbsp, ghee: 20 g}
        steps: [{id: all, stage: cook, do: Melt., add: [capers, lemon juice, ghee], screen: 7 s}]
    """)
    _, cues, problems = overlay_of(dish)
    additions = [c for c in cues if c.track == "addition"]
    assert len(additions) < 3
    assert additions[0].lines == ("Capers 30 g, lemon juice 30 g, ghee 20 g",)
    assert problems == []


def test_a_name_with_markup_is_shown_as_text(table: Table) -> None:
    dish = table.dish("""
        dish: Odd
        servings: 2
        ingredients: {"<b>--> {oil}": {amount: 20 g, food: olive oil}}
        steps: [{stage: cook, do: Pour., add: "<b>--> {oil}", screen: 10 s}]
    """)
    assert texts(overlay_of(dish)[1], "addition")[0].startswith("‹b›→ (oil) 20 g")


def test_a_meal_closes_with_its_plate_and_the_portions_that_keep_its_limit(table: Table) -> None:
    """A serving of the soup has 14.8 g of net carbs; the fish has none."""
    table.write("soup.yaml", """
        dish: Celeriac soup
        short: soup
        servings: 4
        serving: 300 g
        cooked_weight: 1.2 kg
        cooked_volume: 1.183 l
        ingredients: {celeriac: 800 g, butter: {amount: 60 g, food: "butter, unsalted"}}
        steps: [{id: cook, stage: cook, do: Cook it., add: butter, screen: 20 s}]
    """)  # fmt: skip
    table.write("fish.yaml", """
        dish: Salmon
        servings: 4
        serving: 165 g
        cooked_weight: 660 g
        ingredients: {salmon: 720 g, olive oil: 20 g}
    """)  # fmt: skip
    dishes = "dishes: [{dish: soup.yaml, step: 1/4 cup}, {dish: fish.yaml}]"
    meal = table.meal(f"meal: Supper\n{dishes}\nat_most: {{net_carbs_g: 11}}\n")
    plan = plan_of(meal)
    cues, problems = Preproduction(meal).overlay_on(plan)
    head = "For at most 11 g net carbs:"
    assert [c.lines for c in cues if c.start_ms >= plan.segments[-1].start_ms] == [
        ("The whole plate, 465 g: 610 kcal", "fat 41.9 g, protein 39.9 g"),
        ("Carbs 18.4 g − fibre 3.6 g", "= net carbs 14.8 g (7–16 g)"),
        (head, "180 g (¾ cup) soup, 165 g Salmon"),
    ]
    assert problems == ()
    (added,) = meal.portions[0].dish.steps[0].additions
    also, _ = Preproduction(meal).overlay_on(plan, {added.place})
    assert also[0].lines == ("Also in it: 60 g unsalted butter",)
    # narrower: without what there is no room for, then in a cue each
    suggestion = Preproduction(meal).suggestion
    assert portion_card(suggestion, CueLimits(width=31)) == [(head, "180 g soup, 165 g Salmon")]
    assert portion_card(suggestion, CueLimits(ems=15)) == [(head, "180 g soup, 165 g Salmon")]
    for narrow in (CueLimits(width=18), CueLimits(ems=11)):
        assert portion_card(suggestion, narrow) == [(head, "180 g (¾ cup) soup"), (head, "165 g Salmon")]
    for narrow in (CueLimits(width=17), CueLimits(ems=9)):
        assert portion_card(suggestion, narrow) == [(head, "180 g soup"), (head, "165 g Salmon")]


def test_an_estimate_among_the_dishes_marks_the_plate_and_short_cards_say_the_same() -> None:
    meal = read(EXAMPLES / "quay-dinner.yaml")
    assert isinstance(meal, Meal)
    macros = meal_macros(meal)
    assert meal_card(macros) == [
        ("The whole plate, about 478 g: 633 kcal", "fat 34.6 g, protein 59.3 g"),
        ("Carbs 18.4 g − fibre 3.4 g", "= net carbs 15.0 g (10–16 g)"),
    ]
    assert meal_card(macros, short=True) == [
        ("Plate about 478 g: 633 kcal", "fat 34.6 g, protein 59.3 g"),
        ("Carbs 18.4 g − fibre 3.4 g", "= net 15.0 g"),
    ]
    fish = dish_macros(macros.meal.portions[1].dish)
    assert dish_card(fish)[0][0] == "A serving, about 225 g: 355 kcal"
    assert (
        dish_card(fish, macros)[0][0] == "A serving, about 225 g: 355 kcal"
    )  # so that the plate's printed sum is right
    assert dish_card(fish, macros, short=True) == [
        ("Serving about 225 g: 355 kcal", "fat 15.4 g, protein 46.5 g"),
        ("Carbs 5.5 g − fibre 2.3 g", "= net 3.2 g"),
    ]
