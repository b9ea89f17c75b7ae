"""How food is when it is done is filmed when the wait of its step is over, and every paper of the day says so."""

from __future__ import annotations

import csv
import io

import pytest
from conftest import Table

from scriptkit.measure.timecode import RATES
from scriptkit.papers.shoot_list import rows_of, write_shots
from scriptkit.papers.stage import stage_data
from scriptkit.production import Production

SUPPER = """
dish: Loaf and salad
servings: 2
kitchen: {cooks: 1, ovens: 1, preheat: 0 min}
ingredients: {dough: {amount: 500 g, food: barley flour}, leek: 200 g, oil: {amount: 2 tbsp, food: olive oil}}
steps:
  - {id: bake, stage: cook, do: Slash the dough and bake it until the crust is brown., add: {dough: all}, vessel: tin, heat: oven 220 °C, hands: 3 min, wait: 30 min, screen: 20 s}
  - {id: toss, stage: cook, from: [], do: Toss the leek in the oil., add: {leek: all, oil: all}, vessel: bowl, hands: 10 min, screen: 12 s}
  - {id: slice, stage: cook, from: [bake, toss], do: Slice the loaf beside the salad., vessel: plates, hands: 2 min, screen: 6 s}
"""
DONE = "Show that it is done: the crust is brown"


def day_of(table: Table, text: str = SUPPER) -> Production:
    return Production(table.read(text))


def test_it_stands_after_what_is_filmed_meanwhile_and_before_what_goes_on_with_it(table: Table) -> None:
    day = day_of(table)
    told = [(shot.step.id, shot.what == DONE) for shot in day.order.cooked if shot.step]
    assert list(dict.fromkeys(told)) == [("bake", False), ("toss", False), ("bake", True), ("slice", False)]
    done = next(shot for shot in day.order.cooked if shot.what == DONE)
    task = next(t for t in day.schedule.tasks if t.step.id == "bake") if day.schedule else None
    assert task is not None and day.order.start_min[done.number] == task.end_min == task.hands_end_min + 30


def test_the_list_the_file_and_the_stage_page_agree_on_its_place(table: Table) -> None:
    day = day_of(table)
    rows = rows_of(day.shots, day.cautions, day.order)
    (row,) = [r for r in rows if r.picture == DONE]
    bake = [r for r in rows if r.shot.step and r.shot.step.id == "bake"]
    assert [r.begins for r in bake] == [True, *[False] * (len(bake) - 2), True] and bake[-1] is row
    assert int(row.start.replace(":", "")) > max(
        int(r.start.replace(":", "")) for r in rows if r.shot.step and r.shot.step.id == "toss"
    )
    assert [r.cook_order for r in rows] == sorted(r.cook_order for r in rows)
    assert [one["slate"] for one in csv.DictReader(io.StringIO(write_shots(day.shots, day.order), newline=""))] == [
        r.slate for r in rows
    ]
    data = stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats)
    shown: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    assert [shot[0] for shot in shown] == [r.slate for r in rows]


def test_the_wait_begins_before_it(table: Table) -> None:
    day = day_of(table)
    data = stage_data(day.plan, day.order, day.script, day.cautions, RATES["25"], day.preheats)
    rows: list[list[object]] = [list(one) for one in data["shots"]]  # type: ignore[union-attr,arg-type]
    begins = [row[4] for row in rows if len(row) > 8 and int(str(row[8])) & 2]
    assert begins == ["Slash the dough and bake it until the crust is brown."]


@pytest.mark.parametrize(
    "step",
    [
        "do: Simmer it until thick., vessel: tin, heat: low, wait: 20 min, screen: 3 s",  # its one picture
        "do: Beat it until thick., vessel: tin, hands: 5 min, screen: 12 s",  # no wait
    ],
)
def test_what_has_no_wait_or_one_picture_alone_stays_with_its_step(table: Table, step: str) -> None:
    day = day_of(
        table,
        SUPPER.replace(
            "do: Toss the leek in the oil., add: {leek: all, oil: all}, vessel: bowl, hands: 10 min, screen: 12 s", step
        ),
    )
    assert {day.order.start_min[s.number] for s in day.shots if s.step and s.step.id == "toss"} == {
        next(t.start_min for t in day.schedule.tasks if t.step.id == "toss") if day.schedule else None
    }


def test_on_the_hob_the_one_picture_after_what_went_in_is_of_what_has_cooked(table: Table) -> None:
    step = "do: Fry the leek in the oil until it is brown., add: {leek: all, oil: all}, vessel: pan, heat: high, hands: 2 min, wait: 8 min, screen: 9 s"
    day = day_of(
        table,
        SUPPER.replace(
            "do: Toss the leek in the oil., add: {leek: all, oil: all}, vessel: bowl, hands: 10 min, screen: 12 s", step
        ),
    )
    fried = [s for s in day.order.cooked if s.step and s.step.id == "toss"]
    first, last = day.order.start_min[fried[0].number], day.order.start_min[fried[-1].number]
    assert not fried[-1].additions and last == first + 12  # two of them filming what goes in


def test_written_shots_of_a_finished_crust_wait_for_it(table: Table) -> None:
    written = "screen: 20 s, shots: [{of: dough}, {kind: close-up, picture: Into the oven}, {kind: texture test, picture: A knock on the crust}, {kind: close-up, picture: The crust is brown}]}"
    day = day_of(table, SUPPER.replace("screen: 20 s}", written))
    ends = [(s.what, day.order.start_min[s.number]) for s in day.order.cooked if s.step and s.step.id == "bake"]
    assert [what for what, at in ends if at == ends[-1][1]] == ["A knock on the crust", "The crust is brown"]
    assert ends[1][0] == "Into the oven" and ends[1][1] == ends[0][1]
