"""Schedules of random days: nothing begins before what it goes on with, nothing stands too long, and nobody has three hands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from day_rules import broken
from random_days import write_day

from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import CannotSchedule, Schedule, schedule_of


def scheduled(folder: Path, seed: int, nodes: int = 200) -> tuple[Meal, Schedule | None]:
    """The random day of the seed and its schedule; None where there is none."""
    meal = read_source(str(write_day(folder, seed))).usable()
    assert isinstance(meal, Meal)
    try:
        return meal, schedule_of(meal, most_nodes=nodes)
    except CannotSchedule:
        return meal, None


@pytest.mark.parametrize("seed", range(20))
def test_no_lag_no_hold_and_no_capacity_is_broken(tmp_path: Path, seed: int) -> None:
    meal, schedule = scheduled(tmp_path, seed)
    assert schedule is None or list(broken(meal, schedule)) == []


def test_most_random_days_land(tmp_path: Path) -> None:
    found = []
    for seed in range(12):
        folder = tmp_path / str(seed)
        folder.mkdir()
        found.append(scheduled(folder, seed)[1] is not None)
    assert sum(found) >= 8


def test_the_rules_find_what_is_broken(tmp_path: Path) -> None:
    """A rule that never speaks is no rule: each is broken on purpose."""
    meal, schedule = next(
        (m, s)
        for seed in range(20)
        for folder in [tmp_path / str(seed)]
        if not folder.mkdir()
        for m, s in [scheduled(folder, seed)]
        if s is not None and len(s.tasks) > 8
    )
    last = schedule.tasks[-1]
    early = replace(
        last, start_min=0.0, end_min=last.end_min - last.start_min, hands_end_min=last.hands_end_min - last.start_min
    )
    told = list(broken(meal, replace(schedule, tasks=(*schedule.tasks[:-1], early))))
    assert any("begins before" in words for words in told)
    assert any("order in which they begin" in words for words in told)
    at_once = tuple(replace(t, start_min=0.0, hands_end_min=5.0, end_min=5.0) for t in schedule.tasks)
    told = list(broken(meal, replace(schedule, tasks=at_once)))
    assert any("pairs of hands" in words for words in told)
    late = replace(last, start_min=last.start_min + 999, end_min=last.end_min + 999)
    told = list(broken(meal, replace(schedule, tasks=(*schedule.tasks[:-1], late))))
    assert any("not between" in words for words in told)
    assert list(broken(meal, replace(schedule, tasks=schedule.tasks[:-1]))) == [
        "a step is not on the schedule, or twice"
    ]
