"""When food comes out of the oven is told on every paper of the day, with the caution of its handle, and the timers are named by it."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Table

from scriptkit.measure.timecode import RATES
from scriptkit.papers.ovens import oven_lines
from scriptkit.papers.schedule import length_words, schedule_json, schedule_text
from scriptkit.papers.shoot_list import shoot_list_of
from scriptkit.papers.stage import stage_data
from scriptkit.papers.timeline import timeline_of
from scriptkit.production import Production
from scriptkit.publish.wait_names import wait_name
from scriptkit.shoot.day.oven_outs import oven_outs_of
from scriptkit.shoot.day.schedule import schedule_of
from scriptkit.shoot.mise_en_place import preheats_of

PAN = """
dish: Chicken legs
short: legs
servings: 2
kitchen: {cooks: 1, burners: 2, ovens: 1, preheat: 15 min}
ingredients: {chicken: {amount: 600 g, food: chicken leg}, oil: {amount: 1 tbsp, food: olive oil}, leek: 200 g}
steps:
  - {id: chop, stage: prep, do: Chop the leek., uses: leek, hands: 18 min}
  - {id: sear, stage: cook, do: Sear the chicken in the oil., add: {oil: all, chicken: all}, vessel: cast-iron skillet, heat: high, hands: 2 min, wait: 5 min, screen: 20 s}
  - {id: bake, stage: cook, do: Turn the chicken and bake it., add: {leek: all}, vessel: cast-iron skillet, heat: oven 220 °C, core: 74 °C, hands: 3 min, wait: 25 min, screen: 20 s}
  - {id: rest, stage: cook, do: %s, vessel: platter, hands: 1 min, wait: 5 min, screen: 8 s}
"""
HANDLE = "Oven-hot handle: leave a cloth on it"


def day_of(table: Table, rest: str = "Rest the chicken on a plate.") -> Production:
    return Production(table.read(PAN % rest))


def stage_of(day: Production) -> dict[str, Any]:
    outs = oven_outs_of(day.schedule, day.preheats)
    return dict(stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats, outs))


def test_every_paper_says_when_it_comes_out(table: Table) -> None:
    day = day_of(table)
    assert day.schedule is not None
    end = day.schedule.end_min[day.source.file, 3]
    line = timeline_of(day.schedule, None, day.cautions, (), day.preheats)
    (row,) = [m for m in line.moments if m.do == "Take the legs out of the oven."]
    assert float(row.minute) == end and "Hot handle" in row.marks
    rest = next(m for m in line.moments if m.do.startswith("Rest"))
    assert rest.row == row.row + 1 and "Hot handle" not in rest.marks
    words = f"At {row.at}, take the legs out of the oven"
    assert words in schedule_text(day.schedule, preheats=day.preheats)
    outs = oven_outs_of(day.schedule, day.preheats)
    assert words in shoot_list_of(day.plan, day.shots, day.cautions, day.order, day.preheats, outs).ovens


def test_the_stage_page_says_it_with_the_picture_that_shows_it_done_and_the_handle_once(table: Table) -> None:
    data = stage_of(day_of(table))
    order = [data["shots"][first + n] for first, many in data["day"] for n in range(many)]
    (out,) = [one for one in data["ovens"] if one[2].startswith("Take")]
    assert out[2] == f"Take the legs out of the oven. {HANDLE}"
    assert order[out[0]][4] == "Show that it is done: 74 °C (165 °F) inside"
    assert HANDLE not in str(data["steps"])


def test_the_handle_is_told_at_the_step_that_goes_on_with_it(table: Table) -> None:
    (handle,) = [c for c in day_of(table).cautions if c.rule.id == "oven-hot-handle"]
    assert handle.step is not None and handle.step.id == "rest"
    last = Production(table.read((PAN % "x").rpartition("  - {id: rest")[0]))
    (handle,) = [c for c in last.cautions if c.rule.id == "oven-hot-handle"]
    assert handle.step is not None and handle.step.id == "bake"  # nothing goes on with it


@pytest.mark.parametrize("rest", ["Take the chicken out of the oven and rest it.", "Lift the chicken out and rest it."])
def test_a_step_that_says_it_is_enough(table: Table, rest: str) -> None:
    day = day_of(table, rest)
    task = next(t for t in day.schedule.tasks if t.step.id == "rest") if day.schedule else None
    told = oven_outs_of(day.schedule, day.preheats)
    assert task is not None and day.schedule is not None
    assert bool(told) == (task.start_min > day.schedule.end_min[day.source.file, 3])


def test_each_timer_is_named_by_what_the_food_does_then(table: Table) -> None:
    day = day_of(table)
    names = {step.id: wait_name(step, dish) for dish in day.plan.dishes for step in dish.steps}
    assert (names["sear"], names["bake"], names["rest"]) == ("Sear the chicken", "Bake the chicken", "Rest the chicken")
    told = {one[0]: one[7:] for one in stage_of(day)["steps"]}
    assert told == {
        "chop": [],
        "sear": ["Sear the chicken"],
        "bake": ["Bake the chicken"],
        "rest": ["Rest the chicken"],
    }


@pytest.mark.parametrize(
    ("do", "heat", "name"),
    [
        ("Soften the leek in the oil, add the chicken and wilt it.", "low", "Wilt the chicken"),
        ("Salt the chicken and sear it in the oil.", "high", "Sear the chicken"),
        ("Brush the chicken with the oil.", "oven 200 °C", "Bake the legs"),
        ("Stir in the leek.", "low", "Cook the legs"),
    ],
)
def test_a_wait_is_no_stirring(table: Table, do: str, heat: str, name: str) -> None:
    text = (
        (PAN % "Rest.")
        .replace("do: Turn the chicken and bake it.", f"do: '{do}'")
        .replace("heat: oven 220 °C", f"heat: {heat}")
    )
    day = Production(table.read(text))
    assert wait_name(day.plan.dishes[0].steps[2], day.plan.dishes[0]) == name


def test_the_oven_is_hot_when_the_dish_goes_in_and_not_when_its_hands_begin(table: Table) -> None:
    """One cook: 6 minutes of hands fall into the 15 in which the oven heats, so that they cost nothing."""
    dish = table.dish(BAKE % "Toss the leek in the oil and bake it until brown.")
    schedule = schedule_of(dish)
    assert (schedule.length_min, schedule.proven) == (15 + 40, True)
    (preheat,) = preheats_of(dish, schedule)
    (task,) = schedule.tasks
    assert preheat.on_min == 0 and preheat.needed_min == task.goes_in_min == task.hands_end_min == 15
    assert oven_lines([preheat]) == ("Oven 200 °C: on at 0:00, 15 min before the dish goes in, at step 1 of Leeks",)
    assert "(the shortest possible)" in length_words(schedule)


@pytest.mark.parametrize(
    "do",
    [
        "Heat the oil in a tin in the oven, add the leek and bake it until brown.",
        "Bake the leek until soft, then toss it in the oil.",
        "Tip the leek onto the hot tray and bake it until brown.",
    ],
)
def test_an_oven_that_the_work_needs_is_hot_before_it(table: Table, do: str) -> None:
    dish = table.dish(BAKE % do)
    schedule = schedule_of(dish)
    assert schedule.length_min == 15 + 6 + 40
    assert oven_lines(preheats_of(dish, schedule)) == ("Oven 200 °C: on at 0:00, 15 min before step 1 of Leeks",)


BAKE = """
    dish: Leeks
    servings: 2
    ingredients: {leek: 300 g, oil: {amount: 1 tbsp, food: olive oil}}
    steps: [{stage: cook, do: "%s", add: [leek, oil], vessel: tray, heat: oven 200 °C, hands: 6 min, wait: 40 min}]
    kitchen: {filming: 0 min, preheat: 15 min}
"""


GRATIN = """
dish: Leek gratin
short: gratin
servings: 2
ingredients: {leek: 300 g}
steps:
  - {id: chop, stage: prep, do: Chop the leek., uses: leek, hands: 5 min}
  - {id: gratin, stage: cook, do: Bake the leek., add: {leek: all}, vessel: gratin dish, heat: oven %s, hands: 2 min, wait: 20 min, screen: 8 s}
keeps: 20 min
"""
MEAL = """
meal: Supper
plates: 2
kitchen: {cooks: 1, burners: 2, ovens: 1, preheat: 15 min, landing: 20 min}
dishes: [{dish: legs.yaml}, {dish: gratin.yaml}]
"""


def test_a_machine_is_told_of_each_oven_what_the_pages_tell(table: Table) -> None:
    """On, off and left on: a line of the table for each entry, and an entry for each line."""
    (table.folder / "legs.yaml").write_text(
        (PAN % "Rest the chicken on a plate.").lstrip().replace("kitchen:", "keeps: 60 min\nkitchen:", 1),
        encoding="utf-8",
    )
    (table.folder / "gratin.yaml").write_text((GRATIN % "220 °C").lstrip(), encoding="utf-8")
    day = Production(table.read(MEAL))
    assert day.schedule is not None
    data = schedule_json(day.schedule, None, preheats=day.preheats)
    text = schedule_text(day.schedule, preheats=day.preheats)
    outs = data["out_of_the_oven"]
    assert isinstance(outs, list) and len(outs) == text.count(", take the ") == 2
    told = [one["oven_left_on_for"] for one in outs]
    assert sum(one is not None for one in told) == text.count("leave the oven on for") == 1
    ends = {(t.dish.name, t.step.id): t.end_min for t in day.schedule.tasks}
    assert all(one["at_min"] == ends[one["dish"], one["step"]] for one in outs)
    ovens = data["ovens"]
    assert isinstance(ovens, list) and [one["turn"] for one in ovens] == ["on", "kept"]
    in_at = {(t.dish.name, t.step.id): t.goes_in_min for t in day.schedule.tasks}
    assert all(one["hot_min"] == in_at[one["dish"], one["step"]] for one in ovens)


@pytest.mark.parametrize(
    ("heat", "out"),
    [("220 °C", ", and leave the oven on for the gratin."), ("180 °C", " of the oven.")],
)
def test_what_the_oven_does_then_is_told_there(table: Table, heat: str, out: str) -> None:
    (table.folder / "legs.yaml").write_text(
        (PAN % "Rest the chicken on a plate.").lstrip().replace("kitchen:", "keeps: 60 min\nkitchen:", 1),
        encoding="utf-8",
    )
    (table.folder / "gratin.yaml").write_text((GRATIN % heat).lstrip(), encoding="utf-8")
    day = Production(table.read(MEAL))
    assert day.schedule is not None
    line = timeline_of(day.schedule, None, day.cautions, (), day.preheats)
    rows = [(float(m.minute), m.do) for m in line.moments if "oven" in m.do]
    outs = {words: at for at, words in rows if words.startswith("Take")}
    assert set(outs) in (
        {f"Take the legs out{out}", "Take the gratin out of the oven."},
        {f"Take the gratin out{out.replace('gratin', 'legs')}", "Take the legs out of the oven."},
    )
    assert not any("Leave" in words for _, words in rows)
    turned = [n for n, (_, words) in enumerate(rows) if words.startswith("Turn")]
    assert len(turned) == (heat != "220 °C") and all(rows[n - 1][1].startswith("Take") for n in turned)
