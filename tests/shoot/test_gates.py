"""A day followed shot by shot: no alarm while everything is circled, and exactly the one addition that was left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from random_days import write_day
from random_kitchens import write_kitchen

from scriptkit.preproduction import Preproduction
from scriptkit.problems import Place
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.gates import DueAddition, Gates
from scriptkit.shoot.shots.shots import Shot

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def names(due: Iterable[DueAddition]) -> list[str]:
    return [f"{one.addition.ingredient.key}@{one.step[1]}" for one in due]


def alarms(gates: Gates, order: Sequence[Shot], left_out: Place | None = None) -> list[tuple[Shot, list[DueAddition]]]:
    """What is missing before each shot that is filmed, every shot being circled but the one that is left out."""
    circled: set[Place] = set()
    found = []
    for shot in order:
        if missing := gates.missing_before(shot, circled):
            found.append((shot, list(missing)))
        circled |= {a.place for a in shot.additions if a.place != left_out}
    assert [one.addition.place for one in gates.missing_at_the_end(circled)] == ([] if left_out is None else [left_out])
    return found


def allowed(gates: Gates, order: Sequence[Shot]) -> bool:
    """Whether the order keeps the graph: every step begins after what must come before it was filmed."""
    place = {shot.number: n for n, shot in enumerate(order)}
    return not any(
        place[s.number] > place[shot.number] for shot in order for one in gates.due_before(shot) for s in one.shots
    )


def follow(source: Dish | Meal) -> int:
    """Follow the day in each order; how many additions were left out in turn."""
    work = Preproduction(source)
    gates = Gates(work.shots)
    orders = [work.order.cooked, work.order.grouped]
    assert all(allowed(gates, order) for order in orders)
    if allowed(gates, work.shots):
        orders.append(work.shots)
    for order in orders:
        assert [(shot.slate, names(missing)) for shot, missing in alarms(gates, order)] == []
    for order in orders:
        for one in gates.additions:
            late = {s.number for s in order if one in gates.due_before(s)}
            found = alarms(gates, order, one.addition.place)
            assert [shot.number for shot, _ in found] == [s.number for s in order if s.number in late]
            assert all(names(missing) == names([one]) for _, missing in found)
            first = gates.too_late_from(one.addition)
            assert {s.number for s in first} <= late and bool(first) == bool(late)
    return len(gates.additions)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_an_example_is_followed_in_every_order(path: Path) -> None:
    source = read_source(str(path)).usable()
    work = Preproduction(source)
    assert allowed(Gates(work.shots), work.shots)
    assert follow(source) == sum(len(s.additions) for s in work.shots)


@pytest.mark.parametrize("seed", range(12))
def test_a_random_day_is_followed_in_every_order(tmp_path: Path, seed: int) -> None:
    assert follow(read_source(str(write_day(tmp_path, seed))).usable()) > 0


@pytest.mark.parametrize("seed", range(3))
def test_a_usual_kitchen_is_followed_in_every_order(tmp_path: Path, seed: int) -> None:
    assert follow(read_source(str(write_kitchen(tmp_path, seed, dishes=2, cooks=2))).usable()) > 0


MARINADE = """
    dish: Yoghurt chicken
    servings: 2
    ingredients:
      chicken: {amount: 400 g, food: "chicken thigh, skinless"}
      yoghurt: {amount: 200 g, food: "yoghurt, plain"}
      leek: 200 g
      olive oil: 1 tbsp
      salt: {amount: 4 g}
    steps:
      - {id: marinate, stage: prep, do: Turn it in the yoghurt., add: [yoghurt, chicken], vessel: bowl, hands: 3 min, wait: 2 h}
      - {id: wipe, stage: prep, do: Wipe it., from: marinate, left_behind: {yoghurt: 60 %}, vessel: tray, hands: 3 min}
      - {id: soften, stage: cook, do: Soften the leek., add: [leek], vessel: pot, heat: low, hands: 2 min, wait: 8 min}
      - {id: sear, stage: cook, do: Sear it., from: wipe, add: [olive oil], vessel: frying pan, heat: high, hands: 8 min}
      - {id: join, stage: cook, do: Plate both., from: [soften, sear], add: [salt], vessel: plates, hands: 2 min}
"""


def test_an_addition_is_too_late_where_its_work_is_gone_on_with(table: Table) -> None:
    work = Preproduction(table.dish(MARINADE))
    gates = Gates(work.shots)
    late = {
        one.addition.ingredient.key: [s.step.id for s in gates.too_late_from(one.addition) if s.step]
        for one in gates.additions
    }
    assert late == {
        "yoghurt": ["wipe", "sear", "join"],
        "chicken": ["wipe", "sear", "join"],
        "leek": ["join"],  # the sear is another pan's
        "olive oil": ["join"],
        "salt": [],  # until the day ends
    }


def test_the_day_waits_for_the_marinade(table: Table) -> None:
    schedule = Preproduction(table.dish(MARINADE)).schedule
    assert schedule is not None
    at = {t.step.id: t for t in schedule.tasks}
    assert at["wipe"].start_min >= at["marinate"].start_min + 120
    assert at["sear"].start_min >= at["wipe"].end_min
    assert schedule.tasks[0].step.id == "marinate"


def test_a_step_whose_words_name_what_was_marinated_waits_for_it_too(table: Table) -> None:
    dish = table.dish(
        MARINADE.replace("Sear it., from: wipe,", "Sear the chicken.,").replace("Wipe it., from: marinate, left_behind: {yoghurt: 60 %}", "Wipe the chicken.")
    )  # fmt: skip
    schedule = Preproduction(dish).schedule
    assert schedule is not None
    at = {t.step.id: t for t in schedule.tasks}
    assert at["wipe"].start_min >= at["marinate"].end_min
    assert at["sear"].start_min >= at["wipe"].end_min
