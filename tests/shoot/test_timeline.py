"""The day as a time line, and as a text table."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from random_kitchens import write_kitchen

from scriptkit.papers.mise_en_place import mise_en_place_of
from scriptkit.papers.ovens import AFTER_THE_FIRST, hours_after
from scriptkit.papers.schedule import length_words, schedule_text
from scriptkit.papers.script import reading_text
from scriptkit.papers.timeline import clock, timeline_of
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import CannotSchedule, Schedule, schedule_of
from scriptkit.shoot.mise_en_place import preheats_of


def schedules(folder: Path) -> list[Schedule]:
    found = [schedule_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable())]
    for seed in range(8):
        try:
            meal = read_source(str(write_kitchen(folder, seed, cooks=2))).usable()
            found.append(schedule_of(meal, most_nodes=200))
        except CannotSchedule:
            continue
    assert len(found) > 4
    return found


def test_every_task_is_a_moment_and_waits_end_where_they_end(table: Table) -> None:
    for schedule in schedules(table.folder):
        line = timeline_of(schedule)
        steps = [
            m for m in line.moments if not m.where.startswith("the end of step")
        ]  # else food comes out of the oven
        assert [float(m.minute) for m in steps] == [t.start_min for t in schedule.tasks]
        assert [m.row for m in line.moments] == list(range(1, len(line.moments) + 1))
        at_row = {m.row: task for m, task in zip(steps, schedule.tasks, strict=True)}
        waiting = [t for t in schedule.tasks if t.hands_end_min < t.end_min]
        assert len(line.waits) == len(waiting) == sum(m.wait.startswith("hands free") for m in line.moments)
        for wait, task in zip(line.waits, waiting, strict=True):
            assert at_row[wait.first] is task
            rows = [t for n, t in at_row.items() if wait.first < n < wait.after]
            assert all(t.start_min < task.end_min for t in rows)  # what stands beside it begins while it goes on
            if wait.after in at_row:
                assert at_row[wait.after].start_min >= task.end_min or wait.after == wait.first + 1
        for one in line.waits:  # in a lane no two go on at once
            for other in line.waits:
                assert one is other or one.lane != other.lane or one.after <= other.first or other.after <= one.first
        assert line.lanes == max((w.lane for w in line.waits), default=0)
        assert float(line.end_minute) == schedule.length_min


def test_two_waits_at_once_stand_side_by_side_and_dishes_have_their_shapes(table: Table) -> None:
    for name in ("a", "b"):
        table.write(f"{name}.yaml", f"dish: {name}\nservings: 1\ncooked_weight: 100 g\ningredients: {{carrot: 100 g}}\nsteps:\n"
                    "  - {id: boil, stage: cook, do: Boil it., vessel: pot, heat: high, hands: 1 min, wait: 20 min}\n")  # fmt: skip
    meal = table.meal("meal: M\ndishes: [{dish: a.yaml}, {dish: b.yaml}]\nkitchen: {vessels: {pot: 2}}\n")
    line = timeline_of(schedule_of(meal))
    assert (line.lanes, [w.lane for w in line.waits]) == (2, [1, 2])
    assert [m.shape for m in line.moments] == ["●", "■"]
    assert line.dishes == (("●", "a"), ("■", "b"))
    assert "hands free at 0:01, then 20 min by itself until 0:21" in line.moments[0].wait


@pytest.mark.parametrize(("minute", "shown"), [(0, "0:00"), (5, "0:05"), (64.5, "1:04:30"), (125, "2:05")])
def test_hours_after_the_first_step(minute: float, shown: str) -> None:
    schedule = Schedule(title="M", tasks=(), length_min=130, at_least_min=130)
    assert clock(minute, schedule, None) == shown
    assert clock(130, schedule, 18 * 60 + 30) == "18:30"


@pytest.mark.parametrize(
    ("serve", "start", "end"), [(None, "0:00", "1:12"), (18 * 60 + 30, "17:18", "18:30"), (10, "22:58", "00:10")]
)
def test_times_of_day(serve: int | None, start: str, end: str) -> None:
    schedule = schedule_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable())
    if schedule.length_min == 72:  # the example may be rewritten
        assert (clock(0, schedule, serve), clock(72, schedule, serve)) == (start, end)
    assert schedule_text(schedule, serve).splitlines()[1].startswith(clock(0, schedule, serve))


def test_the_length_says_how_sure_it_is() -> None:
    found = Schedule(title="M", tasks=(), length_min=61.5, at_least_min=61.5)
    assert length_words(found) == "Ready in 61.5 min (the shortest possible)."
    found = Schedule(title="M", tasks=(), length_min=61.5, at_least_min=60)
    assert "the shortest possible is at least 60 min (1.5 min less)" in length_words(found)


OVENS = """
dish: D
servings: 1
kitchen: {cooks: 1, ovens: 1, preheat: 15 min}
ingredients: {leek: 90 g, fig: 90 g}
steps:
  - {id: soak, stage: cook, do: Soak the leek., add: {leek: all}, vessel: tub, hands: 5 min, wait: 60 min}
  - {id: roast, stage: cook, do: Roast the leek., from: soak, vessel: tray, heat: oven 150 °C, hands: 5 min, wait: 30 min}
"""


def test_an_oven_is_switched_on_at_a_time_of_day_where_the_table_is_in_times_of_day(table: Table) -> None:
    dish = table.dish(OVENS)
    schedule = schedule_of(dish)
    preheats = preheats_of(dish, schedule)
    roast = next(t for t in schedule.tasks if t.step.id == "roast")
    for serve in (None, 13 * 60):
        text = schedule_text(schedule, serve, preheats=preheats)
        on, _, before = text.partition("on at ")[2].partition(", 15 min before the dish goes in, at step 2")
        assert on == clock(roast.goes_in_min - 15, schedule, serve) and before
        assert f"\n{clock(roast.start_min, schedule, serve)} " in text
        assert (AFTER_THE_FIRST in text) is (serve is None)
    first = schedule_of(table.dish(OVENS.replace("hands: 5 min, wait: 60 min", "hands: 5 min")))
    early = replace(preheats[0], on_min=-10.0)
    assert "on at 12:15, " in schedule_text(first, 12 * 60 + 25 + int(first.length_min), preheats=[early])


def test_one_notation_for_a_moment_of_the_day(table: Table) -> None:
    """The bowls, the schedule, the script and the shot list say it in the same figures."""
    production = Production(read_source(str(table.write("d.yaml", OVENS))))
    roast = next(t for t in production.schedule.tasks if t.step.id == "roast")  # type: ignore[union-attr]
    at = hours_after(roast.start_min)
    assert at in schedule_text(production.schedule)  # type: ignore[arg-type]
    script = reading_text(production.script, order=production.order)
    assert re.search(rf"roast .* at {at}$", script, re.M), script
    bowls = mise_en_place_of(production.trays, production.preheats)
    assert (
        bowls.preheats[0].on
        == f"switch it on at {hours_after(roast.hands_end_min - 15)}, 15 min before the dish goes in, at step 2 of {production.dishes[0].short}"
    )
    assert bowls.times == AFTER_THE_FIRST
    assert [v.steps for v in bowls.trays[0].vessels] == ["step 1, from 0:00", f"step 2, from {at}"]
