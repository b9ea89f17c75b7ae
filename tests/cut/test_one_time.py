"""A step has one time, where it begins: in the report, on its page, in the cut file, in its chapter and in its captions."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cut.cut_file import read_cut, write_cut
from scriptkit.measure.durations import format_clock
from scriptkit.papers.coverage_json import coverage_json
from scriptkit.papers.coverage_matrix import counts, placed_steps, step_tables
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source

LEEKS = """
    dish: Leeks
    servings: 2
    ingredients:
      leek: 400 g
      butter: {amount: 40 g, food: "butter, unsalted"}
    steps:
      - {id: sweat, stage: cook, do: Sweat the leek in the butter., add: {leek: all, butter: all}, vessel: pan, heat: low, hands: 2 min, wait: 8 min,
         screen: 40 s, say: Sweat the leek in the butter.}
      - {id: serve, stage: cook, do: Serve the leek., vessel: plates, hands: 1 min, screen: 6 s, say: Serve the leek.}
"""


@pytest.mark.parametrize("talk", ["harbour-supper-cut.srt", "harbour-supper-rough-cut.srt"])
def test_a_step_begins_at_one_time_wherever_it_is_told(talk: str) -> None:
    production = Production(read_source(str(EXAMPLES / "harbour-supper.yaml")), cut=str(EXAMPLES / talk))
    coverage, cut = production.coverage, production.cut
    assert cut is not None and coverage.cut is not None
    begins = {s.step.place: s.start_ms for s in production.timed_plan.segments if s.step is not None}
    written = read_cut(write_cut(cut), "cut.yaml", production.source)
    assert {p.step.place: p.time_ms for p in written.placements if p.time_ms is not None} == begins
    told = [one.time for one in placed_steps(coverage)]
    assert told == [format_clock(begins[p.step.place]) if p.step.place in begins else "" for p in cut.in_time]
    titles = {
        f"{p.dish.short}, step {p.step.number}: {p.step.id}": format_clock(begins[p.step.place])
        for p in cut.placements
        if p.step.place in begins
    }
    assert all(table.at == titles.get(table.title, "") for table in step_tables(coverage))
    in_json = {(s["dish"], s["id"]): s["start_s"] for s in coverage_json(coverage, (), ())["steps"]}
    assert in_json == {
        (p.dish.name, p.step.id): None if p.step.place not in begins else begins[p.step.place] / 1000
        for p in cut.placements
    }
    for row in coverage.rows:
        if not row.named_there and not row.not_there:
            assert row.at_ms == begins.get(row.step.place)


def test_what_was_left_out_has_no_time_and_is_not_counted_as_in_the_cut(tmp_path: Path) -> None:
    talk = (EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8")
    cut = tmp_path / "cut.srt"
    last = "\n\n99\n00:05:03,000 --> 00:05:06,000\nOh, I forgot the chives, the chives never went in.\n"
    cut.write_text(talk.rstrip() + last, encoding="utf-8")
    coverage = Production(read_source(str(EXAMPLES / "harbour-supper.yaml")), cut=str(cut)).coverage
    gone = [row for row in coverage.rows if row.not_there]
    assert [row.name for row in gone] == ["chives"]
    assert [row.at_ms for row in gone] == [None]
    assert f"{len(coverage.rows) - 1} in the cut" in counts(coverage)


def test_silences_of_the_plan_are_not_told_of_a_cut(table: Table) -> None:
    dish = table.write("leeks.yaml", LEEKS)
    talk = table.write(
        "cut.srt",
        "1\n00:00:01,000 --> 00:00:05,000\nSweat the leek in butter, all of the leek.\n\n2\n00:00:30,000 --> 00:00:34,000\nServe the leek on a plate.\n",
    )
    planned, of_cut = (Production(read_source(dish), cut=cut).recipe_problems for cut in ("", talk))
    assert [p.message for p in planned if p.code == "silence"]
    assert not [p for p in of_cut if p.code == "silence"]
