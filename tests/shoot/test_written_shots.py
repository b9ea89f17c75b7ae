"""Shots as the recipe writes them, in the place of the usual ones."""

from __future__ import annotations

import csv
import io
import itertools

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st
from seared_hake import SEAR

from scriptkit.papers.shoot_list import write_shots
from scriptkit.problems import Severity
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.plan import addition_windows, plan_of
from scriptkit.shoot.shots.framing import LOOK_OF_KIND
from scriptkit.shoot.shots.shot_problems import shot_problems
from scriptkit.shoot.shots.shots import SIZES, shots_of


def test_a_size_that_there_is_not_is_told_with_those_that_there_are(table: Table) -> None:
    step = "vessel: frying pan, hands: 4 min, screen: 30 s"
    told = table.read(SEAR.replace(step, f"{step}, shots: [{{size: WIDE}}]")).problems
    assert [(p.code, p.message, p.hint) for p in told if p.severity is Severity.ERROR] == [
        ("wrong-value", "“WIDE” is not a value for `size`", "write WS, MS, MCU, CU, ECU or OH")
    ]


WRITTEN = """
    dish: Hake
    servings: 2
    ingredients: {hake: 300 g, olive oil: 2 tbsp, salt: to taste}
    steps:
      - id: sear
        stage: cook
        do: Sear the hake.
        add: [olive oil, hake, salt]
        vessel: frying pan
        hands: 4 min
        screen: 30 s
        shots: %s
    film: {opening: 0 s, closing: 0 s}
"""


def written(table: Table, shots: str) -> Dish:
    return table.dish(WRITTEN % shots)


def test_written_shots_take_the_place_of_the_usual_ones(table: Table) -> None:
    dish = written(
        table,
        "[{of: [Olive_oil, salt], size: WS, screen: 8 s}, {of: hake, kind: cutaway, move: tilt, sound: mos}, "
        "{kind: piece to camera, picture: Why it spits, screen: 6 s}]",
    )
    assert shot_problems(dish) == []
    rows = [
        (
            s.slate,
            s.look.kind,
            s.look.size,
            s.look.angle,
            s.look.move,
            s.sound,
            s.what,
            s.planned_ms,
            s.irreversible,
            s.repeatable,
        )
        for s in shots_of(plan_of(dish))
    ]
    assert rows == [
        ("1A", "hands and pans, pour", "WS", "three-quarter", "static", "VO", "Add the olive oil and salt to the frying pan", 8000, True, False),
        ("1B", "cutaway", "CU", "eye level", "tilt", "MOS", "Add the hake to the frying pan", 16000, True, False),
        ("1C", "piece to camera", "MS", "eye level", "static", "VO", "Why it spits", 6000, False, True),
    ]  # fmt: skip


def test_a_written_shot_of_several_additions_has_them_in_one_row(table: Table) -> None:
    shots = shots_of(plan_of(written(table, "[{of: [olive oil, hake, salt]}]")))
    (row,) = csv.DictReader(io.StringIO(write_shots(shots), newline=""))
    assert (row["ingredient"], row["grams"]) == ("olive oil; hake; salt", "27.0; 300.0; to taste")


def test_captions_stand_over_the_shot_that_shows_the_addition(table: Table) -> None:
    plan = plan_of(written(table, "[{of: hake, screen: 10 s}, {of: [olive oil, salt], screen: 20 s}]"))
    windows = [(a.ingredient.name, start, end) for a, start, end in addition_windows(plan.segments[0])]
    assert windows == [("hake", 0, 10_000), ("olive oil", 10_000, 20_000), ("salt", 20_000, 30_000)]


@pytest.mark.parametrize("size", list(SIZES))
def test_any_size_can_be_asked_for(table: Table, size: str) -> None:
    shots = shots_of(plan_of(written(table, f"[{{of: [olive oil, hake, salt], size: {size}}}]")))
    assert shots[0].look.size == size
    assert (shots[0].look.angle == "overhead") is (size == "OH")


@pytest.mark.parametrize(
    ("shots", "problems"),
    [
        ("[{of: [olive oil, hake, salt]}]", []),
        ("[{of: [olive oil, hake]}]", ["unfilmed-addition: salt"]),
        ("[{picture: The pan}]", ["unfilmed-addition: olive oil", "unfilmed-addition: hake", "unfilmed-addition: salt"]),
        ("[{of: [olive oil, hake, salt]}, {of: leek}]", ["no-such-addition: leek"]),
        ("[{of: [olive oil, hake, slat]}]", ["no-such-addition: slat", "unfilmed-addition: salt"]),
        ("[{of: [olive oil, hake, salt], screen: 31 s}]", ["shot-too-long: 31 s"]),
        ("[{of: [olive oil, hake, salt], screen: 29 s}, {picture: x}]", ["shots-too-long: 31 s"]),
        ("[{of: [olive oil, hake, salt], screen: 20 s}]", ["no-shot: 20 s"]),
        ("[{of: [olive oil, hake]}, {of: salt, screen: 0 s}]", ["unfilmed-addition: salt", "no-shot: 0 s"]),
    ],
)  # fmt: skip
def test_what_written_shots_leave_out_is_told(table: Table, shots: str, problems: list[str]) -> None:
    found = shot_problems(written(table, shots))
    assert [p.code for p in found] == [p.partition(": ")[0] for p in problems]
    for problem, told in zip(found, problems, strict=True):
        assert told.partition(": ")[2] in problem.message
        assert problem.hint


def test_a_misspelt_addition_is_suggested_and_an_unknown_size_cannot_be_read(table: Table) -> None:
    (problem, _) = shot_problems(written(table, "[{of: [olive oil, hake, slat]}]"))
    assert problem.hint == "did you mean “salt”?"
    reading = table.read(WRITTEN % "[{of: [olive oil, hake, salt], size: XCU}]")
    assert [p.severity for p in reading.problems] == [Severity.ERROR]


def test_an_empty_list_of_shots_is_told_when_it_is_read(table: Table) -> None:
    reading = table.read(WRITTEN % "[]")
    (problem,) = reading.problems
    assert (problem.code, problem.severity, problem.place.line) == ("no-shot", Severity.ERROR, 13)
    assert [p.code for p in table.read(WRITTEN % "[{size: XCU}]").problems] != ["no-shot"]


@st.composite
def written_shots(draw: st.DrawFn) -> str:
    shots = []
    for _ in range(draw(st.integers(1, 4))):
        parts = []
        if of := draw(st.lists(st.sampled_from(["olive oil", "hake", "salt", "leek"]), max_size=3, unique=True)):
            parts.append(f"of: [{', '.join(of)}]")
        for key, values in (
            ("size", ["OH", "WS", "ECU"]),
            ("kind", list(LOOK_OF_KIND)),
            ("screen", ["0 s", "1 s", "7 s", "30 s", "40 s"]),
            ("irreversible", ["true", "false"]),
        ):
            if value := draw(st.sampled_from(["", *values])):
                parts.append(f"{key}: {value}")
        shots.append("{" + ", ".join(parts or ["picture: The pan"]) + "}")
    return f"[{', '.join(shots)}]"


@settings(max_examples=100, deadline=None)
@given(written_shots())
def test_whatever_the_file_writes_every_addition_has_a_shot_or_a_problem(
    tmp_path_factory: pytest.TempPathFactory, shots: str
) -> None:
    dish = written(Table(tmp_path_factory.mktemp("written")), shots)
    plan = plan_of(dish)
    found = shots_of(plan)
    filmed = {a.ingredient.key for s in found for a in s.additions}
    told = {
        n
        for p in shot_problems(dish)
        if p.code == "unfilmed-addition"
        for n in dish.listed
        if f"shows {n} go" in p.message
    }
    assert filmed | told == {"olive oil", "hake", "salt"}
    assert not filmed & told
    assert all(s.irreversible for s in found if s.additions)
    assert all(a.end_ms == b.start_ms for a, b in itertools.pairwise(found))
    assert (found[0].start_ms, found[-1].end_ms) == (0, plan.length_ms)
    assert len({s.slate for s in found}) == len(found)
    windows = addition_windows(plan.segments[0])
    assert sorted(a.number for a, _, _ in windows) == [1, 2, 3]
    assert all(0 <= start <= end <= plan.length_ms for _, start, end in windows)
