"""The schedule as bars and as a text table."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from random_kitchens import write_kitchen

from scriptkit.papers.schedule import length_words, schedule_text
from scriptkit.papers.schedule_chart import LABEL_WIDTH, WIDTH, chart_of, clock
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import CannotSchedule, Schedule, schedule_of


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


def test_bars_stay_in_the_picture_and_do_not_cover_one_another(table: Table) -> None:
    for schedule in schedules(table.folder):
        chart = chart_of(schedule)
        for lane in chart.lanes:
            bars = sorted(lane.bars, key=lambda b: b.x)
            assert all(b.x >= LABEL_WIDTH and b.x + b.width <= WIDTH for b in bars)
            assert all(a.x + a.width <= b.x + 0.5 for a, b in itertools.pairwise(bars))
            assert lane.y < chart.height
        hands = sum(len(lane.bars) for lane in chart.lanes if not any(b.passive for b in lane.bars))
        assert hands == sum(t.cook > 0 for t in schedule.tasks)
        assert len({m for m, _ in chart.marks}) == len(chart.marks)


def test_two_pots_of_one_name_stand_under_one_another(table: Table) -> None:
    for name in ("a", "b"):
        table.write(f"{name}.yaml", f"dish: {name}\nservings: 1\ncooked_weight: 100 g\ningredients: {{carrot: 100 g}}\nsteps:\n"
                    "  - {id: boil, stage: cook, do: Boil it., vessel: pot, heat: high, hands: 1 min, wait: 20 min}\n")  # fmt: skip
    meal = table.meal("meal: M\ndishes: [{dish: a.yaml}, {dish: b.yaml}]\nkitchen: {vessels: {pot: 2}}\n")
    lanes = chart_of(schedule_of(meal)).lanes
    assert [lane.name for lane in lanes] == ["cook 1", "pot", ""]


@pytest.mark.parametrize(
    ("serve", "start", "end"), [(None, "0 min", "72 min"), (18 * 60 + 30, "17:18", "18:30"), (10, "22:58", "00:10")]
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
    assert "the shortest possible is at least 60 min (gap 1.5 min)" in length_words(found)
