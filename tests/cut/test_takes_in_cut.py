"""An editor's timeline or decision list, with the log: when each circled take is on screen in the cut."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit import read
from scriptkit.cut.decision_list import decision_list_events, looks_like_decision_list
from scriptkit.cut.timeline import Event
from scriptkit.measure.timecode import RATES

Run = Callable[..., "CompletedProcess[str]"]

DISH = """\
dish: Buttered leeks
servings: 2
ingredients: {leeks: 400 g, capers: 20 g, butter: {food: "butter, unsalted", amount: 30 g}}
film: {frame_rate: 25}
steps:
  - {id: slice, stage: prep, do: Slice the leeks., hands: 3 min, uses: leeks}
  - {id: sweat, stage: cook, do: Sweat the leeks in the butter., vessel: pan, heat: low, add: {butter: all, leeks: all}, wait: 10 min}
  - {id: finish, stage: cook, do: Stir in the capers., vessel: pan, heat: low, add: {capers: all}, hands: 1 min}
"""
LOG = """\
title,dish,card,clip,scene,setup,take,step,additions,in,out,recorded,verdict,remark,weighed
Buttered leeks,,A001,C001,2,A,1,slice,,10:00:00:00,10:00:20:00,,circled,,
Buttered leeks,,A001,C002,3,A,1,sweat,butter; leeks,10:05:00:00,10:05:30:00,,circled,,
Buttered leeks,,A001,C003,4,A,1,finish,capers,10:20:00:00,10:20:15:00,,circled,,
"""
EDL = """\
TITLE: leeks
FCM: NON-DROP FRAME

001  A001     V     C        10:05:05:00 10:05:25:00 01:00:00:00 01:00:20:00
* FROM CLIP NAME: C002.MOV
002  A001     AA    C        10:05:05:00 10:05:25:00 01:00:00:00 01:00:20:00
* FROM CLIP NAME: C002.MOV
003  A001     V     C        10:00:05:00 10:00:15:00 01:00:20:00 01:00:30:00
* FROM CLIP NAME: C001.MOV
"""


@pytest.fixture
def dish(table: Table) -> str:
    table.write("log.csv", LOG)
    table.write("cut.edl", EDL)
    return table.write("dish.yaml", DISH)


def beside(dish: str, name: str) -> str:
    return str(Path(dish).parent / name)


def times_of(cut_file: str, dish: str) -> dict[str, int | None]:
    cut = read(dish, cut=cut_file, log=beside(dish, "log.csv")).cut
    assert cut is not None
    return {p.step.id: p.start_ms for p in cut.placements}


def test_a_decision_list_tells_where_each_take_stands(dish: str) -> None:
    assert times_of(beside(dish, "cut.edl"), dish) == {"slice": 20_000, "sweat": 0, "finish": None}


def test_a_take_that_was_left_out_of_the_cut_is_told(dish: str) -> None:
    production = read(dish, cut=beside(dish, "cut.edl"), log=beside(dish, "log.csv"))
    told = [p for p in production.problems if p.code == "not-in-cut"]
    assert [(p.place.line, p.message) for p in told] == [
        (4, "capers: filmed (card A001, clip C003), but not in the cut")
    ]


def test_captions_of_additions_stand_on_their_takes(dish: str, run: Run, tmp_path: Path) -> None:
    text = EDL.replace("01:00:00:00 01:00:20:00", "01:00:40:00 01:01:00:00")
    (tmp_path / "late.edl").write_text(text, encoding="utf-8")
    run("captions", dish, "--cut", "late.edl", "--log", "log.csv", "-o", "over.srt")
    rows = (tmp_path / "over.srt").read_text(encoding="utf-8").split("\n\n")
    at = next(row for row in rows if "utter" in row).splitlines()[1]
    assert "00:00:38,500" <= at[:12] <= "00:00:42,000", at  # no more than 1.5 s before, and 2 s after
    run("overlays", dish, "--as", "none", "--cut", "late.edl", "--log", "log.csv", "-o", "drawn")
    (row,) = [r for r in (tmp_path / "drawn" / "titles.csv").read_text(encoding="utf-8").splitlines() if "utter" in r]
    assert "00:00:38" <= re.findall(r"\d\d:\d\d:\d\d", row)[0] <= "00:00:42", row


def test_without_the_log_a_decision_list_is_told_to_need_it(dish: str, run: Run) -> None:
    done = run("captions", dish, "--cut", "cut.edl", "-o", "over.srt")
    assert done.returncode == 2
    assert "no clip in this edit decision list is a take in the log" in done.stderr
    assert "--log" in done.stderr


def test_the_paper_edit_is_read_back_as_the_cut_that_it_is(dish: str, run: Run, tmp_path: Path) -> None:
    pytest.importorskip("opentimelineio")
    run("paper-edit", dish, "--log", "log.csv", "-o", "edit")
    [otio] = (tmp_path / "edit").rglob("*.otio")
    assert json.loads(otio.read_text(encoding="utf-8"))["OTIO_SCHEMA"].startswith("Timeline")
    by_timeline = times_of(str(otio), dish)
    assert None not in by_timeline.values()
    assert [k for k, _ in sorted(by_timeline.items(), key=lambda one: one[1] or 0)] == ["slice", "sweat", "finish"]


def test_events_are_those_that_show_a_picture() -> None:
    assert looks_like_decision_list(EDL)
    assert decision_list_events(EDL, RATES["25"]) == [
        Event(names=("C002.MOV", "A001"), source_s=36_305.0, length_s=20.0, cut_s=0.0),
        Event(names=("C001.MOV", "A001"), source_s=36_005.0, length_s=10.0, cut_s=20.0),
    ]
    assert not looks_like_decision_list("step,time\nslice,1:05\n")
