"""The paper edit: circled takes in script order, the holes between them, and the command that writes it.

The example's two take logs are renewed with ``PYTHONPATH=tests python tests/shoot/test_paper_edit.py``
where its shot list has changed.
"""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds, placed

from scriptkit.measure.timecode import RATES
from scriptkit.problems import Place
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.paper_edit import COLUMNS, EditEvent, edit_problems, paper_edit, write_paper_edit
from scriptkit.shoot.log.take_log import Take, write_log
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import Shot, shots_of

Run = Callable[..., CompletedProcess[str]]
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
SHOTS = shots_of(plan_of(SUPPER))
P25 = RATES["25"]


def take(
    shot: Shot, number: int = 1, verdict: str = "circled", start: int | None = 0, length: int = 100, remark: str = ""
) -> Take:
    return Take(
        shot=shot, number=number, additions=shot.additions, verdict=verdict, card="A001", clip=f"C{shot.number:03d}{number}",
        in_frame=start, out_frame=None if start is None else start + length, remark=remark, place=Place("takes.csv", shot.number + 1),
    )  # fmt: skip


def all_circled() -> list[Take]:
    return [take(s, start=1000 * s.number) for s in SHOTS]


def rows(cuts: tuple[EditEvent, ...]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(write_paper_edit(cuts, P25).removeprefix("\ufeff"))))


def test_circled_takes_stand_in_script_order_whatever_order_they_were_shot_in() -> None:
    cuts = paper_edit(SHOTS[::-1], all_circled()[::-1])
    assert [c.shot.slate for c in cuts] == [s.slate for s in sorted(SHOTS, key=lambda s: s.start_ms)]
    assert edit_problems(cuts, all_circled()) == []
    first = rows(cuts)[0]
    assert tuple(first) == COLUMNS
    assert (first["order"], first["in"], first["out"], first["recorded_s"]) == (
        "1",
        "00:00:40:00",
        "00:00:44:00",
        "4.0",
    )
    assert [float(r["expected_s"]) for r in rows(cuts)] == [
        pytest.approx(c.shot.planned_ms / 1000, abs=0.05) for c in cuts
    ]


def test_only_circled_takes_are_in_it_and_a_shot_without_one_is_a_hole() -> None:
    shot = next(s for s in SHOTS if s.additions)
    takes = [t for t in all_circled() if t.shot is not shot] + [take(shot, 1, "NG"), take(shot, 2, "hold")]
    cuts = paper_edit(SHOTS, takes)
    (hole,) = [c for c in cuts if c.take is None]
    assert (hole.shot, hole.remark) == (shot, "no circled take")
    (problem,) = edit_problems(cuts, takes)
    assert (problem.code, problem.severity, problem.place) == ("no-circled-take", "warning", shot.additions[0].place)
    assert problem.hint == "take 2 is on hold: circle it if it will do"


def test_an_addition_that_another_shots_take_covers_is_no_hole() -> None:
    one, other = [s for s in SHOTS if s.additions][:2]
    wide = Take(shot=one, number=1, additions=(*one.additions, *other.additions), verdict="circled", in_frame=0, out_frame=9, place=Place("f"))  # fmt: skip
    takes = [wide, *(t for t in all_circled() if t.shot not in (one, other))]
    cuts = paper_edit(SHOTS, takes)
    assert [c.remark for c in cuts if c.take is None] == [f"covered by {one.slate}"]
    assert edit_problems(cuts, takes) == []


def test_several_circled_takes_all_stand_in_it_and_are_told() -> None:
    takes = [*all_circled(), take(SHOTS[0], 2)]
    cuts = paper_edit(SHOTS, takes)
    assert [(c.shot.slate, c.take.number) for c in cuts[:2] if c.take] == [(SHOTS[0].slate, 1), (SHOTS[0].slate, 2)]
    assert [(p.code, p.severity) for p in edit_problems(cuts, takes)] == [("several-circled", "note")]


def test_a_circled_take_without_in_or_out_is_told() -> None:
    takes = [take(SHOTS[0], start=None), *all_circled()[1:]]
    cuts = paper_edit(SHOTS, takes)
    assert [p.code for p in edit_problems(cuts, takes)] == ["no-in-and-out"]
    assert (rows(cuts)[0]["in"], rows(cuts)[0]["recorded_s"]) == ("", "")


def test_a_repeatable_shot_that_is_missing_is_only_a_note() -> None:
    shot = next(s for s in SHOTS if not s.irreversible and s.step is not None)
    takes = [t for t in all_circled() if t.shot is not shot]
    assert [p.severity for p in edit_problems(paper_edit(SHOTS, takes), takes)] == ["note"]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(SHOTS), st.integers(1, 5), st.sampled_from(["circled", "hold", "NG"])), max_size=20
    )
)
def test_every_shot_is_there_and_every_circled_take_once(logged: list[tuple[Shot, int, str]]) -> None:
    takes = [take(s, n, v) for s, n, v in logged]
    cuts = paper_edit(SHOTS, takes)
    assert {c.shot.slate for c in cuts} == {s.slate for s in SHOTS}
    assert [c.order for c in cuts] == list(range(1, len(cuts) + 1))
    assert [c.shot.start_ms for c in cuts] == sorted(c.shot.start_ms for c in cuts)
    assert sorted(id(c.take) for c in cuts if c.take) == sorted(id(t) for t in takes if t.circled)


def test_no_cell_is_a_formula() -> None:
    takes = [take(SHOTS[0], remark="=cmd|' /C calc'!A0"), *all_circled()[1:]]
    assert rows(paper_edit(SHOTS, takes))[0]["remark"] == "'=cmd|' /C calc'!A0"


# --- the command -----------------------------------------------------------------------------------------------------


def write(table: Table, takes: list[Take]) -> str:
    return table.write("takes.csv", write_log(takes, SUPPER.name, P25))


def test_the_command_writes_the_paper_edit(table: Table, tmp_path: Path, run: Run) -> None:
    log = write(table, all_circled())
    done = run("paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", log, "-o", "edit")
    assert done.returncode == 0, done.stderr
    assert "paper-edit.csv" in done.stdout
    assert re.fullmatch(
        r"next: cut the video by edit/paper-edit\.(edl|csv), then scriptkit captions \S+harbour-supper\.yaml --cut TRANSCRIPT\.srt -o overlays\.srt",
        done.stderr.splitlines()[-1],
    )
    assert (
        "next:"
        not in run("paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", log, "-o", "e", "--json").stderr
    )
    assert (tmp_path / "edit" / "paper-edit.csv").read_text(encoding="utf-8-sig").startswith("order,")


def test_a_missing_addition_is_exit_1_with_its_place_in_the_recipe(table: Table, run: Run) -> None:
    planted = next(s for s in SHOTS if [a.ingredient.key for a in s.additions] == ["celeriac"])
    log = write(table, [t for t in all_circled() if t.shot is not planted])
    done = run("paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", log, "-o", "edit")
    assert done.returncode == 1
    place = planted.additions[0].place
    assert f"{place.line}:{place.column}: warning: celeriac" in done.stderr
    assert f"fennel-bisque.yaml:{place.line}:{place.column} warning no-circled-take" in placed(done.stderr)


def test_json_of_the_command(table: Table, run: Run) -> None:
    import json

    done = run(
        "paper-edit",
        str(EXAMPLES / "harbour-supper.yaml"),
        "--log",
        write(table, all_circled()[1:]),
        "-o",
        "edit",
        "--json",
    )
    told = json.loads(done.stdout)
    assert (told["takes"], told["circled"], told["shots_without_circled_take"]) == (len(SHOTS) - 1, len(SHOTS) - 1, 1)
    assert "paper-edit.csv" in told["files"]


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (None, "no-such-file"), ("", "empty-log"), ("a,b\n1,2\n", "missing-column"),
        ("title,step,verdict\nChowder,soften,NG\n", "other-recipe"), ('step,verdict\n"so', "truncated"),
    ],
)  # fmt: skip
def test_a_bad_log_is_exit_2_and_nothing_is_written(
    table: Table, tmp_path: Path, run: Run, content: str | None, code: str
) -> None:
    if content is not None:
        table.write("takes.csv", content)
    done = run("paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", "takes.csv", "-o", "edit")
    assert done.returncode == 2
    assert f"error {code}" in kinds(done.stderr)
    assert done.stderr.startswith("takes.csv:")
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "edit").exists()


def test_without_opentimelineio_the_csv_is_written_and_it_says_so(
    table: Table, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "opentimelineio", None)
    log = write(table, all_circled())
    done = run("paper-edit", str(EXAMPLES / "harbour-supper.yaml"), "--log", log, "-o", "edit")
    assert done.returncode == 0
    assert [p.name for p in (tmp_path / "edit").glob("[!.]*")] == ["paper-edit.csv"]
    assert "(`pip install OpenTimelineIO otio-cmx3600-adapter`)" in done.stderr


# --- the example's log -----------------------------------------------------------------------------------------------

EXAMPLE_LOG = EXAMPLES / "harbour-supper-takes.csv"
ROUGH_LOG = EXAMPLES / "harbour-supper-rough-takes.csv"


def example_takes() -> list[Take]:
    """A morning at the teaching kitchen: every shot in the order of the list, some of them more than once."""
    takes: list[Take] = []
    frame, clip = (9 * 3600 + 40 * 60) * 25, 12
    for n, shot in enumerate(SHOTS):
        tries = [("circled", "")]
        if not shot.irreversible and n % 6 == 1:
            tries = [("NG", "soft focus"), ("circled", "")]
        elif not shot.irreversible and n % 6 == 4:
            tries = [("hold", "steam on the lens"), ("circled", "wiped, better")]
        for number, (verdict, remark) in enumerate(tries, 1):
            length = (shot.planned_ms // 1000 + 8) * 25 + n % 25
            takes.append(
                Take(
                    shot=shot, number=number, additions=shot.additions, verdict=verdict, card="1", clip=str(clip),
                    in_frame=frame, out_frame=frame + length, recorded=f"2026-10-05 {_clock((frame + length) // 25)}",
                    remark=remark, place=Place("f"),
                )
            )  # fmt: skip
            frame, clip = frame + length + (40 + n % 7 * 15) * 25, clip + 1
    return takes


def rough_takes() -> list[Take]:
    """The same morning, but nobody circled a take of the mustard."""
    lost = "a hand was in the way"
    return [replace(t, verdict="NG", remark=lost) if _of_mustard(t) else t for t in example_takes()]


def _of_mustard(take: Take) -> bool:
    return any(a.ingredient.key == "mustard" for a in take.additions)


def _clock(seconds: int) -> str:
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


EXAMPLE_LOGS = {EXAMPLE_LOG: example_takes, ROUGH_LOG: rough_takes}


@pytest.mark.parametrize("path", EXAMPLE_LOGS, ids=lambda p: p.stem)
def test_the_examples_log_is_of_the_examples_list(path: Path) -> None:
    text = path.read_bytes().decode("utf-8")
    assert text == write_log(EXAMPLE_LOGS[path](), SUPPER.name, P25), (
        "renew with: PYTHONPATH=tests python tests/shoot/test_paper_edit.py"
    )


def test_the_rough_log_gives_the_mustard_away_and_nothing_else(run: Run) -> None:
    supper = str(EXAMPLES / "harbour-supper.yaml")
    assert run("coverage", supper, "--log", str(EXAMPLE_LOG)).returncode == 0
    rough = run("coverage", supper, "--log", str(ROUGH_LOG), "--json")
    assert rough.returncode == 1
    told = json.loads(rough.stdout)
    open_ones = [(a["step"], a["ingredient"]) for a in told["additions"] if "circled" not in a["status"]]
    assert open_ones == [("finish", "mustard")]
    assert [p["severity"] for p in told["problems"]] == ["warning"] and "mustard" in told["problems"][0]["message"]
    edit = run("paper-edit", supper, "--log", str(ROUGH_LOG), "-o", "edit")
    assert edit.returncode == 1
    assert "mustard" in edit.stderr


if __name__ == "__main__":
    for log, takes in EXAMPLE_LOGS.items():
        log.write_bytes(write_log(takes(), SUPPER.name, P25).encode("utf-8"))
