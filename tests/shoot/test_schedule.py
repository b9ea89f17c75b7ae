"""The cook schedule, from written files to tasks: every rule kept at every minute, and no shorter schedule there is."""

from __future__ import annotations

import itertools
import re
import tempfile
from pathlib import Path

import pytest
from conftest import Table
from hypothesis import HealthCheck, assume, given, settings
from kitchen_rules import Case, Step, broken, cases
from random_kitchens import write_kitchen

from scriptkit.checks import check
from scriptkit.preproduction import Preproduction
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.kitchen_constraints import draft_of
from scriptkit.shoot.day.schedule import CannotSchedule, Schedule, schedule_of

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def read(case: Case) -> Meal:
    with tempfile.TemporaryDirectory() as folder:
        for name, text in case.files().items():
            Path(folder, name).write_text(text, encoding="utf-8")
        source = read_source(str(Path(folder, "meal.yaml"))).usable()
    assert isinstance(source, Meal)
    return source


def starts_of(case: Case, schedule: Schedule) -> dict[Step, float]:
    return {case.dishes[int(t.dish.name.removeprefix("Dish "))][t.step.number - 1]: t.start_min for t in schedule.tasks}


def numbers_overlap(schedule: Schedule, attended: int) -> list[str]:
    """Moments at which one cook attends to too much."""
    found = []
    for half in range(round(schedule.length_min * 2)):
        busy = [t.cook for t in schedule.tasks if t.start_min <= half / 2 < t.hands_end_min]
        found += [f"cook {c} at {half / 2:g}" for c in set(busy) if busy.count(c) > attended]
    return found


@settings(max_examples=200, deadline=None, suppress_health_check=SLOW)
@given(cases())
def test_every_schedule_keeps_every_rule(case: Case) -> None:
    meal = read(case)
    try:
        schedule = schedule_of(meal)
    except CannotSchedule as wrong:
        assert all(p.message and p.hint for p in wrong.problems)
        return
    starts = starts_of(case, schedule)
    assert list(broken(case, starts, schedule.length_min)) == []
    assert len(schedule.tasks) == len(case.steps)
    assert numbers_overlap(schedule, case.kitchen.attended) == []
    for task in schedule.tasks:
        assert task.cook <= case.kitchen.cooks
        assert task.burner <= case.kitchen.burners
    on_heat = [t for t in schedule.tasks if t.burner]
    for one, other in itertools.combinations(on_heat, 2):
        if one.burner == other.burner and one.dish is not other.dish:
            assert one.end_min <= other.start_min or other.end_min <= one.start_min


def enumerated(case: Case, most: int) -> int | None:
    """The shortest serving time, in whole minutes, of any starts there are."""
    steps = case.steps
    for serving in range(1, most + 1):
        places = [range(serving - case.length(s) + 1) for s in steps]
        for starts in itertools.product(*places):
            if next(broken(case, dict(zip(steps, starts, strict=True)), serving), None) is None:
                return serving
    return None


MOST = 9
"""Minutes within which every schedule is tried."""


@settings(max_examples=200, deadline=None, suppress_health_check=SLOW)
@given(cases(most_steps=2, longest=2))
def test_the_shortest_schedule_of_a_small_meal_agrees_with_enumeration(case: Case) -> None:
    meal = read(case)
    try:
        schedule = schedule_of(meal)
    except CannotSchedule:
        assert enumerated(case, MOST) is None
        return
    assert schedule.proven
    assume(schedule.length_min <= MOST)
    best = enumerated(case, MOST)
    assert best == schedule.length_min


HEATED = """
    dish: Stew
    servings: 2
    cooked_weight: 400 g
    keeps: 20 min
    ingredients: {{carrot: 300 g, onion: 200 g}}
    steps:
      - {{id: one, stage: cook, do: Go on., vessel: pot, heat: medium, method: fry, hands: 3 min}}
      - {{id: two, stage: cook, do: Go on., {step}, hands: 3 min, wait: 2 min}}
      - {{id: three, stage: cook, do: Go on., {then}, hands: 3 min}}
"""


@pytest.mark.parametrize(
    ("step", "then", "minutes"),
    [
        ("vessel: pot, heat: high, method: fry", "vessel: pot", 2),
        ("vessel: pot, heat: low, method: simmer", "vessel: pot", 10),
        ("vessel: pot, heat: low, method: braise", "vessel: pot", 10),
        ("vessel: pot, heat: 'off', method: rest", "vessel: pot", 5),
        ("vessel: jug, method: blend", "vessel: pot", 5),  # hot, and off the heat
        ("method: chill", "vessel: pot", None),  # cold it can wait
        ("vessel: pot, heat: high, method: fry, wait_at_most: 6 min", "vessel: pot", 4),  # 6 min in all, of which 2 are its own
        ("vessel: pot, heat: low, method: fry", "method: plate", 20),  # kept hot for as long as the dish keeps
    ],
)  # fmt: skip
def test_how_long_food_waits_for_its_next_step(table: Table, step: str, then: str, minutes: int | None) -> None:
    dish = table.dish(HEATED.format(step=step, then=then))
    most = [-lag for later, earlier, lag in draft_of([dish], dish.kitchen).lags if (later, earlier) == (3, 2)]
    assert most == ([] if minutes is None else [(5 + minutes) * 2])  # half minutes from its start


def test_prep_is_done_early_and_food_is_cooked_late(table: Table) -> None:
    """One dish is quick: it is fried when the other is nearly done, and its prep does not wait for that."""
    table.write(
        "slow.yaml",
        HEATED.format(
            step="vessel: pot, heat: low, method: simmer, wait_at_most: 40 min", then="method: plate"
        ).replace("wait: 2 min", "wait: 30 min"),
    )
    table.write("quick.yaml", """
        dish: Fish
        servings: 2
        cooked_weight: 300 g
        ingredients: {salmon: 300 g}
        steps:
          - {id: dry, stage: prep, do: Dry it., uses: salmon, hands: 2 min}
          - {id: fry, stage: cook, do: Fry it., add: salmon, vessel: pan, heat: high, hands: 4 min}
          - {id: dish-up, stage: cook, do: Plate it., method: plate, hands: 2 min}
    """)  # fmt: skip
    schedule = schedule_of(table.meal("meal: M\ndishes: [{dish: slow.yaml}, {dish: quick.yaml}]\n"))
    at = {t.step.id: t for t in schedule.tasks}
    assert schedule.proven
    assert at["dry"].end_min < at["fry"].start_min - 5
    assert at["dry"].end_min >= at["fry"].start_min - 15  # and it does not lie there for half an hour
    assert at["fry"].start_min > at["two"].hands_end_min + 20
    assert at["fry"].end_min + 2 >= at["dish-up"].start_min


def test_nothing_is_cut_in_the_morning_for_the_evening(table: Table) -> None:
    """A second cook is idle while the meat marinates overnight: the carrots of the soup are cut shortly before they are cooked."""
    table.write("meat.yaml", """
        dish: Meat
        servings: 2
        cooked_weight: 300 g
        ingredients: {salmon: 300 g, soy sauce: 2 tbsp}
        steps:
          - {id: marinate, stage: prep, do: Marinate it overnight in the fridge., add: [salmon, soy sauce], vessel: bowl, hands: 3 min, wait: 10 h}
          - {id: fry, stage: cook, do: Fry it., from: marinate, vessel: pan, heat: high, hands: 8 min}
    """)  # fmt: skip
    table.write("soup.yaml", """
        dish: Soup
        servings: 2
        cooked_weight: 300 g
        ingredients: {carrot: 300 g, leek: 100 g}
        steps:
          - {id: cut, stage: prep, do: Slice the carrot., uses: carrot, hands: 7 min}
          - {id: simmer, stage: cook, do: Simmer it., add: [carrot, leek], vessel: pot, heat: low, hands: 2 min, wait: 20 min}
    """)  # fmt: skip
    meal = table.meal("meal: M\ndishes: [{dish: soup.yaml}, {dish: meat.yaml}]\nkitchen: {cooks: 2, filming: 0 min}\n")
    schedule = schedule_of(meal)
    at = {t.step.id: t for t in schedule.tasks}
    assert schedule.proven and schedule.length_min == 3 + 600 + 8
    assert at["marinate"].start_min == 0
    assert 0 <= at["simmer"].start_min - at["cut"].end_min <= 15


def test_a_cook_stays_with_a_dish(table: Table) -> None:
    step = "- {{id: {0}, stage: cook, do: Stir it., hands: 3 min}}"
    for name in ("a", "b"):
        steps = "\n".join("  " + step.format(f"{name}{n}") for n in range(4))
        table.write(
            f"{name}.yaml",
            f"dish: {name}\nservings: 1\ncooked_weight: 100 g\ningredients: {{carrot: 100 g}}\nsteps:\n{steps}\n",
        )
    schedule = schedule_of(table.meal("meal: M\ndishes: [{dish: a.yaml}, {dish: b.yaml}]\nkitchen: {cooks: 2}\n"))
    assert schedule.length_min == 12
    assert all(len({t.cook for t in schedule.tasks if t.dish.name == name}) == 1 for name in ("a", "b"))


@pytest.mark.parametrize("seed", range(12))
def test_what_is_said_to_help_does(seed: int, table: Table) -> None:
    """Kitchens of three dishes that cannot be cooked as written: each thing that the hint names makes it possible."""
    path = write_kitchen(table.folder, seed)
    text = path.read_text(encoding="utf-8")
    meal = read_source(str(path)).usable()
    try:
        assert schedule_of(meal, most_nodes=300).tasks
        return
    except CannotSchedule as wrong:
        (problem,) = wrong.problems
    for kitchen in re.findall(r"`(kitchen: \{[^`]*\})`", problem.hint):
        path.write_text(text.split("kitchen:")[0] + kitchen + "\n", encoding="utf-8")
        assert schedule_of(read_source(str(path)).usable(), most_nodes=1_000).tasks


BUSY = """
    dish: Leeks {n}
    servings: 2
    ingredients: {{leek: 300 g}}
    steps: [{{stage: cook, do: Fry the leek without pause., add: leek, vessel: pan {n}, heat: high, {times}, wait_at_most: 0 min}},
            {{stage: cook, do: Plate it., vessel: plates {n}, hands: 2 min}}]
"""


@pytest.mark.parametrize(
    ("times", "told"), [("hands: 8 min", True), ("hands: 1 min, wait: 7 min", None)], ids=["attended", "left alone"]
)
def test_one_attended_task_too_many_is_told(table: Table, times: str, told: bool | None) -> None:
    for n in (1, 2):
        table.write(f"leeks{n}.yaml", BUSY.format(n=n, times=times))
    reading = table.read(
        "meal: M\ndishes: [{dish: leeks1.yaml}, {dish: leeks2.yaml}]\nkitchen: {filming: 0 min}\n", "meal.yaml"
    )
    found = [p for p in check(Preproduction(reading.usable())) if p.code == "no-schedule"]
    assert [
        p.message.endswith("with 1 cook, 4 burners, 1 oven: one attended task too many at a time") for p in found
    ] == [True] * bool(told)
    assert ["`kitchen: {cooks: 2, filming: 0 s}`" in p.hint for p in found] == [True] * bool(told)


def test_a_search_that_ends_too_soon_does_not_say_that_there_is_no_schedule(
    table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("scriptkit.shoot.day.sequencing._Search.shortest", lambda *_: None)
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {oil: {amount: 10 g, food: olive oil}}
        steps: [{id: a, stage: cook, do: Heat it., add: {oil: all}, vessel: pan, heat: high, hands: 1 min}]
    """)
    with pytest.raises(CannotSchedule) as told:
        schedule_of(dish)
    assert told.value.problems[0].message.startswith("no schedule of D was found, nor was it shown that there is none")


def test_of_a_dish_alone_that_no_order_can_be_found_for_its_times_are_told(table: Table) -> None:
    """Two pans that must both be hot at the plating, and one burner."""
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g}
        steps:
          - {id: slice, stage: prep, do: Slice it., uses: leek, hands: 2 min}
          - {id: boil, stage: cook, do: Boil it., add: leek, vessel: pot, heat: high, hands: 1 min, wait: 9 min, wait_at_most: 12 min, after: slice}
          - {id: toast, stage: cook, do: Toast bread., vessel: pan, heat: high, hands: 1 min, wait: 9 min, wait_at_most: 12 min, after: slice}
          - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min, after: [boil, toast]}
        kitchen: {burners: 1}
    """)
    with pytest.raises(CannotSchedule) as wrong:
        schedule_of(dish)
    (problem,) = wrong.value.problems
    assert problem.message.startswith("no order keeps every time of Leeks with 1 cook, 1 burner")
    assert "`kitchen: {burners: 2}`" in problem.hint


def test_of_three_dishes_the_two_that_do_not_go_together_are_named(table: Table) -> None:
    for n in (1, 2):
        table.write(f"leeks{n}.yaml", BUSY.format(n=n, times="hands: 8 min"))
    table.write(
        "salad.yaml",
        "dish: Salad\nservings: 2\ningredients: {leek: 300 g}\nsteps: [{stage: cook, do: Dress it., add: leek, hands: 1 min}]\n",
    )
    meal = table.meal(
        "meal: M\ndishes: [{dish: leeks1.yaml}, {dish: salad.yaml}, {dish: leeks2.yaml}]\nkitchen: {filming: 0 min}\n"
    )
    with pytest.raises(CannotSchedule, match="Leeks 1 and Leeks 2 cannot be ready within 5 min of one another"):
        schedule_of(meal)


def test_steps_that_wait_for_longer_than_they_keep_are_named(table: Table) -> None:
    """The fish may stand for 3 minutes, and a sauce of 10 comes between it and the plates."""
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g}
        steps:
          - {id: sear, stage: cook, do: Sear it., add: leek, vessel: pan, heat: high, hands: 1 min, wait: 2 min, wait_at_most: 3 min}
          - {id: reduce, stage: cook, do: Boil the sauce down., vessel: pot, heat: high, hands: 1 min, wait: 9 min, after: sear}
          - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min, after: [sear, reduce]}
    """)
    with pytest.raises(CannotSchedule) as wrong:
        schedule_of(dish)
    (problem,) = wrong.value.problems
    assert problem.code == "circle"
    assert (
        problem.message
        == "these steps cannot follow one another in time: sear of Leeks, reduce of Leeks, plate of Leeks"
    )
    assert "longer than `wait_at_most:`" in problem.hint
