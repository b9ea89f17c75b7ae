"""A meal that cannot land: the least late schedule is printed, with what is late and by how much, and each `fix:` works when it is copied."""

from __future__ import annotations

import re

import pytest
from conftest import Table
from random_kitchens import write_kitchen

from scriptkit.checks import check
from scriptkit.pack import make_pack
from scriptkit.papers.schedule import schedule_json, schedule_text
from scriptkit.preproduction import Preproduction
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.lateness import late_problems, late_schedule, late_words
from scriptkit.shoot.day.schedule import CannotSchedule, schedule_of

CHOPS = """
    dish: Pork chops
    servings: 2
    ingredients: {chops: {amount: 400 g, food: "pork chop"}, sunflower oil: 1 tbsp}
    steps:
      - {id: fry, stage: cook, do: Fry the chops for 4 minutes a side., add: [sunflower oil, chops], vessel: frying pan, hands: 8 min}
      - {id: rest, stage: cook, do: Let them rest for 5 minutes., wait: 5 min}
      - {id: plate, stage: cook, do: Plate them., vessel: plates, hands: 1 min}
"""
MASH = """
    dish: Mash
    servings: 2
    ingredients: {potato: 500 g, butter: {amount: 30 g, food: "butter, unsalted"}}
    steps:
      - {id: boil, stage: cook, do: Boil the potatoes., add: potato, vessel: pot, hands: 1 min, wait: 18 min}
      - {id: mash, stage: cook, do: Drain and mash them with the butter., add: butter, vessel: pot, hands: 4 min}
      - {id: serve, stage: cook, do: Spoon it onto the plates., vessel: plates, hands: 1 min}
"""
PEAS = """
    dish: Peas
    servings: 2
    ingredients: {peas: {amount: 200 g, food: "peas, frozen"}}
    steps:
      - {id: boil, stage: cook, do: Boil the peas for 3 minutes., add: peas, vessel: small pan, wait: 3 min}
      - {id: drain, stage: cook, do: Drain them., vessel: small pan, hands: 1 min}
      - {id: serve, stage: cook, do: Serve them beside., vessel: plates}
"""
ROAST = """
    dish: {name}
    servings: 2
    ingredients: {{carrot: 400 g, olive oil: 1 tbsp}}
    steps:
      - {{id: roast, stage: cook, do: Roast them., add: [carrot, olive oil], vessel: {name} tin, heat: oven {degrees} °C, wait: {minutes} min}}
      - {{id: plate, stage: cook, do: Plate them., vessel: plates, hands: 1 min}}
"""


def meal_of(table: Table, *dishes: str, kitchen: str = "kitchen: {cooks: 1, burners: 2, ovens: 1}") -> str:
    for n, dish in enumerate(dishes):
        table.write(f"{n}.yaml", dish)
    listed = "".join(f"\n  - {{dish: {n}.yaml}}" for n in range(len(dishes)))
    return f"meal: Supper\nplates: 2\ndishes:{listed}\n{kitchen}\n"


@pytest.mark.parametrize("dishes", [(CHOPS, MASH), (MASH, PEAS), (CHOPS, MASH, PEAS)])
def test_a_plain_meal_lands_in_a_small_kitchen(table: Table, dishes: tuple[str, ...]) -> None:
    meal = table.meal(meal_of(table, *dishes))
    assert schedule_of(meal).late == ()


TWO_ROASTS = (
    ROAST.format(name="carrots", degrees=200, minutes=40),
    ROAST.format(name="swede", degrees=160, minutes=30),
)


def test_what_cannot_land_is_scheduled_as_little_late_as_can_be(table: Table) -> None:
    reading = table.read(meal_of(table, *TWO_ROASTS), "meal.yaml")
    day = Preproduction(reading.usable())
    with pytest.raises(CannotSchedule):
        schedule_of(day.source)
    schedule = day.schedule
    assert schedule is not None and len(schedule.tasks) == 4
    (late,) = schedule.late
    assert late.over_min == late.stands_min - 3 > 0
    assert re.fullmatch(
        r"\d+ min late: (carrots|swede) stands ready for \d+ min before it is served, and 3 min is the most",
        late_words(schedule),
    )
    assert late_words(schedule)[1:] in schedule_text(schedule)
    assert schedule_json(schedule, None)["late"]
    told = [p for p in check(day) if p.code in ("no-schedule", "lands-late", "cold-beauty")]
    assert [(p.code, p.severity) for p in told] == [("no-schedule", "warning")]  # one cause, one warning
    assert told[0].message.startswith(
        f"the best order is {late_words(schedule)}; the 2 dishes cannot be ready within 3 min"
    )
    page = make_pack(Production(reading)).files["schedule.html"]
    assert (
        "min late: " in page and page.count('class="moment ') == 9
    )  # four steps, two ovens to switch on and to empty, and the serving


def test_two_bakes_that_are_near_one_another_are_offered_one_temperature_that_works_when_it_is_copied(
    table: Table,
) -> None:
    def hint(*dishes: str) -> str:
        reading = table.read(meal_of(table, *dishes), "meal.yaml")
        (told,) = (p for p in check(Preproduction(reading.usable())) if p.code == "no-schedule")
        return told.hint

    near = (TWO_ROASTS[0], ROAST.format(name="swede", degrees=180, minutes=30))
    (found,) = re.findall(r"`(heat: oven \d+ °C)` at step 1 \(roast\) of (\w+) too", hint(*near))
    line, name = found
    changed = [re.sub(r"heat: oven \d+ °C", line, d) if f"dish: {name}" in d else d for d in near]
    assert changed != list(near)
    assert schedule_of(table.meal(meal_of(table, *changed))).late == ()
    assert "heat: oven" not in hint(*TWO_ROASTS)  # 160 °C is another bake than 200 °C


@pytest.mark.parametrize("kitchen", ["", "kitchen: {burners: 2, vessels: {wide pan: 2}, jug: 2 l, preheat: 10 min}"])
def test_each_fix_of_a_meal_that_cannot_land_works_when_it_is_copied(table: Table, kitchen: str) -> None:
    text = meal_of(table, *TWO_ROASTS, kitchen=kitchen)
    meal = table.meal(text)
    with pytest.raises(CannotSchedule) as wrong:
        schedule_of(meal)
    late = late_schedule(meal)
    assert late is not None
    hints = [p.hint for p in (*wrong.value.problems, *late_problems(meal, late))]
    fixes = [fix for hint in hints for fix in re.findall(r"`(kitchen: \{[^`]*\})`", hint)]
    assert len(fixes) >= 3
    for fix in fixes:
        fixed = table.meal(text.replace(kitchen, fix) if kitchen else text + fix + "\n")
        assert schedule_of(fixed).late == ()
        assert dict(fixed.kitchen.vessels) == dict(meal.kitchen.vessels)
        assert (fixed.kitchen.jug_ml, fixed.kitchen.preheat_ms) == (meal.kitchen.jug_ml, meal.kitchen.preheat_ms)


def test_a_step_that_waits_too_long_is_told_with_the_key_that_allows_it(table: Table) -> None:
    """The fish may stand for 3 minutes, and a sauce of 10 comes between it and the plates."""
    text = """
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g}
        steps:
          - {id: sear, stage: cook, do: Sear it., add: leek, vessel: pan, heat: high, hands: 1 min, wait: 2 min, wait_at_most: 3 min}
          - {id: reduce, stage: cook, do: Boil the sauce down., vessel: pot, heat: high, hands: 1 min, wait: 9 min, after: sear}
          - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min, after: [sear, reduce]}
    """
    dish = table.dish(text)
    late = late_schedule(dish)
    assert late is not None
    (problem,) = late_problems(dish, late)
    assert (
        problem.message
        == "in the best order Leeks waits 10 min after step 1 (sear) for step 3 (plate), and 1 min is the most"
    )
    (fix,) = re.findall(r"`(wait_at_most: [^`]*)`", problem.hint)
    assert schedule_of(table.dish(text.replace("wait_at_most: 3 min", fix))).late == ()


@pytest.mark.parametrize("seed", [0, 2])
def test_any_kitchen_has_a_schedule_and_its_lateness_is_true(seed: int, table: Table) -> None:
    meal = read_source(str(write_kitchen(table.folder, seed))).usable()
    try:
        schedule = schedule_of(meal, most_nodes=100)
    except CannotSchedule:
        late = late_schedule(meal, most_nodes=100)
        assert late is not None
        schedule = late
    ends = {(t.dish.file, t.step.number): t for t in schedule.tasks}
    assert len(ends) == sum(len(p.dish.steps) for p in meal.portions)
    for one in schedule.late:
        after = schedule.length_min if one.then is None else ends[one.dish.file, one.then.number].start_min
        assert after - ends[one.dish.file, one.step.number].end_min == pytest.approx(one.stands_min)


def test_without_an_oven_nothing_is_made_up(table: Table) -> None:
    meal = table.meal(meal_of(table, *TWO_ROASTS, kitchen="kitchen: {ovens: 0}"))
    assert late_schedule(meal) is None
    with pytest.raises(CannotSchedule) as wrong:
        schedule_of(meal)
    assert wrong.value.problems[0].hint == "write `kitchen: {ovens: 1}`"


def test_what_keeps_for_too_short_a_time_is_mended_where_that_is_written(table: Table) -> None:
    """The kitchen's landing is an hour already: to make it shorter, as a hint once said, allows nothing."""
    bake = (
        "dish: {0}\nservings: 2\nkeeps: {1}\ningredients: {{leek: 300 g}}\n"
        "steps: [{{stage: cook, do: Bake the leek., add: leek, vessel: {0} dish, heat: oven {2} °C, hands: 5 min, wait: 25 min}}]\n"
    )
    meal = (
        "meal: M\nplates: 2\ndishes: [{dish: one.yaml}, {dish: two.yaml}]\nkitchen: {landing: 60 min, filming: 0 min}\n"
    )
    table.write("one.yaml", bake.format("One", "20 min", 200))
    table.write("two.yaml", bake.format("Two", "20 min", 160))
    (told,) = [p for p in Production(table.read(meal, "meal.yaml")).problems if p.code == "no-schedule"]
    found = re.search(r"`(keeps: [^`]*)` at (One|Two)", told.hint)
    assert found is not None and "landing: 40 min" not in told.hint and "within 60 min" not in told.message
    table.write(
        f"{found[2].lower()}.yaml",
        bake.format(found[2], found[1].removeprefix("keeps: "), 200 if found[2] == "One" else 160),
    )
    assert [p.code for p in Production(table.read(meal, "meal.yaml")).problems if p.code == "no-schedule"] == []
