"""Additions against shots, circled takes and the cut: what is empty is told, and what the cook has accepted is not."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cut.coverage.coverage import coverage_of
from scriptkit.cut.coverage.matrix import gaps_of, gates_of, matrix_of, matrix_problems
from scriptkit.cut.coverage.rescue import rescues_of
from scriptkit.cut.coverage.spoken_additions import SpokenAddition
from scriptkit.cut.coverage.statuses import AdditionStatus, Status
from scriptkit.cut.placement import Cut, Placement
from scriptkit.papers.gap_cards import card_groups
from scriptkit.problems import Place
from scriptkit.recipe.dish import Addition, Dish
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of

LEEKS = """
    dish: Leeks on toast
    servings: 2
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, screen: 6 s}
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir it in., add: {mustard: all}, vessel: wide pan, screen: 14 s%s}
"""


@pytest.fixture
def leeks(table: Table) -> Dish:
    return table.dish(LEEKS % "")


def taken(dish: Dish, **verdicts: str) -> tuple[Take, ...]:
    """A take of each addition that is named, with its verdict."""
    steps = {a.ingredient.key: s.id for s in dish.steps for a in s.additions}
    rows = [f"{steps[name]},{name},{verdict}" for name, verdict in verdicts.items()]
    text = "\n".join(["step,additions,verdict", *rows]) + "\n"
    return read_log(text.encode(), "takes.csv", dish, shots_of(plan_of(dish))).usable("takes.csv")


def rows_of(dish: Dish, **verdicts: str) -> dict[str, AdditionStatus]:
    rows = matrix_of(dish, shots_of(plan_of(dish)), takes=taken(dish, **verdicts))
    return {row.name: row for row in rows}


def test_every_addition_of_the_example_has_a_shot_and_a_row_in_the_order_of_the_shoot() -> None:
    supper = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    shots = shots_of(plan_of(supper))
    rows = matrix_of(supper, shots)
    assert len(rows) == 17
    assert all(row.status is Status.PLANNED for row in rows)
    assert [row.addition.place for row in rows] == [a.place for shot in shots for a in shot.additions]
    assert matrix_problems(rows) == []


def test_an_addition_without_a_shot_is_an_error(table: Table) -> None:
    dish = table.dish(LEEKS.replace("vessel: wide pan, screen: 14 s%s", "vessel: wide pan, screen: 0 s"))
    rows = matrix_of(dish, shots_of(plan_of(dish)))
    (problem,) = matrix_problems(rows)
    assert (problem.code, problem.severity, problem.place.line) == ("no-shot", "error", 11)
    assert rows[-1].status is Status.NO_SHOT


def test_the_log_fills_the_matrix(leeks: Dish) -> None:
    rows = rows_of(leeks, butter="circled", leek="NG")
    assert {name: row.status for name, row in rows.items()} == {
        "butter": Status.CIRCLED,
        "leek": Status.FILMED,
        "mustard": Status.PLANNED,
    }
    problems = matrix_problems(list(rows.values()))
    assert [p.code for p in problems] == ["no-circled-take", "no-circled-take"]
    assert "1 take, none circled" in problems[0].message
    assert "no take" in problems[1].message


def test_a_held_take_is_offered(leeks: Dish) -> None:
    text = "step,additions,take,verdict\nfinish,mustard,3,hold\n"
    shots = shots_of(plan_of(leeks))
    takes = read_log(text.encode(), "takes.csv", leeks, shots).usable("takes.csv")
    told = matrix_problems(matrix_of(leeks, shots, takes=takes))
    assert "take 3 is on hold" in told[-1].hint


def test_before_each_step_what_is_open_stands(leeks: Dish) -> None:
    shots = shots_of(plan_of(leeks))
    rows = matrix_of(leeks, shots, takes=taken(leeks, butter="circled"))
    gates = {gate.step.id: [row.name for row in gate.open] for gate in gates_of(rows, shots)}
    assert gates == {"slice": [], "soften": [], "finish": ["leek"]}  # the step's own additions are not open before it


STUFFED = """
    dish: Stuffed peppers
    servings: 2
    ingredients:
      barley: {amount: 120 g, food: "pearl barley"}
      pepper: {amount: 300 g, food: "bell pepper, red"}
      yoghurt: {amount: 80 g, food: "yoghurt, plain"}
    steps:
      - {id: boil, stage: cook, do: Boil the barley., add: [barley], vessel: pot, hands: 2 min, wait: 25 min, screen: 9 s}
      - {id: dress, stage: cook, do: Stir half of it into the yoghurt., from: {boil: half}, add: [yoghurt], vessel: bowl, hands: 1 min, screen: 9 s}
      - {id: stuff, stage: cook, do: Stuff the peppers with the rest., from: {boil: rest}, add: [pepper], vessel: dish, hands: 4 min, screen: 9 s}
      - {id: plate, stage: cook, do: Plate both., from: [stuff, dress], vessel: plates, hands: 1 min, screen: 9 s}
"""


def open_before(dish: Dish, log: str, day: Sequence[str] = ()) -> dict[str, tuple[str, bool]]:
    """What each open addition's card names, and whether that cannot be repeated."""
    shots = shots_of(plan_of(dish))
    takes = read_log(log.encode(), "t.csv", dish, shots).usable("t.csv")
    of_day = sorted(shots, key=lambda s: day.index(s.step.id) if s.step is not None and day else s.number)
    found = coverage_of(dish, shots, takes=takes, day=lambda: of_day)
    groups = card_groups(found, rescues_of(found.gaps))
    return {card.title: (card.before, card.once) for group in groups for card in group.cards}


def test_what_is_still_open_names_the_first_step_of_the_day_that_works_on_it(table: Table) -> None:
    """Repeatable or not; of two that work on it, the one that the day has first; too late, the first that was filmed."""
    dish = table.dish(STUFFED)
    head = "step,additions,verdict\n"
    dress, stuff = (f"Stuffed peppers, step {n} ({name})" for n, name in ((2, "dress"), (3, "stuff")))
    plate = ("Stuffed peppers, step 4 (plate)", False)  # nothing goes in there
    began = f"{head}boil,barley,NG\n"
    assert open_before(dish, began) == {"barley": (dress, True), "pepper": plate, "yoghurt": plate}
    assert open_before(dish, began, ["boil", "stuff", "dress", "plate"])["barley"] == (stuff, True)
    assert open_before(dish, f"{began}stuff,pepper,circled\n")["barley"] == (stuff, True)


def test_a_take_that_was_stopped_at_once_makes_nothing_too_late(table: Table) -> None:
    """No good after a moment: nothing was stirred in it. After a while, or without times, it may have been."""
    dish = table.dish(STUFFED)
    shots = shots_of(plan_of(dish))
    found = {}
    for out in ("10:00:03:00", "10:00:09:24", "10:00:10:00", ""):
        log = f"step,additions,in,out,verdict\nstuff,pepper,{out and '10:00:00:00'},{out},NG\n"
        takes = read_log(log.encode(), "t.csv", dish, shots).usable("t.csv")
        rows = matrix_of(dish, shots, takes=takes)
        found[out] = [row.name for row in rows if row.too_late]
        assert [row.begun for row in rows if row.name == "pepper"] == [bool(found[out])]
    assert found == {"10:00:03:00": [], "10:00:09:24": [], "10:00:10:00": ["barley"], "": ["barley"]}


def placed(dish: Dish) -> Cut:
    placements = tuple(
        Placement(dish=dish, step=step, time_ms=n * 10_000, confidence=1.0)
        for n, step in enumerate(dish.in_shoot_order)
    )
    return Cut(title=dish.name, length_ms=60_000, placements=placements, confidence=1.0)


def heard_all_but(dish: Dish, missing: str) -> list[SpokenAddition]:
    return [
        SpokenAddition(
            dish=dish, step=step, addition=a, time_ms=None if a.ingredient.key == missing else 5_000, line=None
        )
        for step in dish.steps
        for a in step.additions
    ]  # fmt: skip


def test_what_is_not_heard_is_called_so_and_never_missing(leeks: Dish) -> None:
    rows = matrix_of(leeks, shots_of(plan_of(leeks)), cut=placed(leeks), heard=heard_all_but(leeks, "mustard"))
    assert [row.status for row in rows] == [Status.HEARD, Status.HEARD, Status.NOT_HEARD]
    (problem,) = matrix_problems(rows)
    assert problem.code == "not-heard"
    assert "not heard" in problem.message
    assert "missing" not in f"{problem.message} {problem.hint}"
    assert [row.name for row in gaps_of(rows)] == ["mustard"]


def test_a_step_in_the_cut_whose_words_are_not_known_is_in_the_cut(leeks: Dish) -> None:
    rows = matrix_of(leeks, shots_of(plan_of(leeks)), cut=placed(leeks))
    assert {row.status for row in rows} == {Status.IN_CUT}
    assert gaps_of(rows) == ()


def test_a_name_said_far_from_its_step_does_not_tell_where_to_look(leeks: Dish) -> None:
    """The leek is named when it is cut up, half a minute before it goes in."""
    cut = placed(leeks)
    for said_ms, look_ms in ((8_000, 8_000), (31_000, 10_000)):
        heard = [
            SpokenAddition(dish=leeks, step=s, addition=a, time_ms=said_ms, line=None)
            for s in leeks.steps
            for a in s.additions
        ]
        row = matrix_of(leeks, shots_of(plan_of(leeks)), cut=cut, heard=heard)[0]
        assert (row.time_ms, row.shown_ms) == (10_000, look_ms)


def test_what_is_accepted_is_a_note_and_no_gap(table: Table) -> None:
    dish = table.dish(LEEKS % ", unfilmed: [Mustard]")
    rows = matrix_of(dish, shots_of(plan_of(dish)), takes=taken(dish, butter="circled", leek="circled"))
    assert [(p.code, p.severity) for p in matrix_problems(rows)] == [("unfilmed", "note")]
    assert gaps_of(rows) == ()


def test_a_name_under_unfilmed_that_the_step_does_not_add_is_told(table: Table) -> None:
    reading = table.read(LEEKS % ", unfilmed: [mustrad]")
    (problem,) = [p for p in reading.problems if p.code == "no-such-addition"]
    assert problem.hint == "did you mean “mustard”?"
    assert problem.place.line == 11


def test_a_written_shot_may_leave_out_what_is_accepted(table: Table) -> None:
    """What nobody filmed needs no shot any more."""
    shots = ", shots: [{picture: Stirring}]"
    for accepted, codes in (("", ["no-shot", "unfilmed-addition"]), (", unfilmed: mustard", ["unfilmed"])):
        dish = table.dish(LEEKS % f"{shots}{accepted}")
        coverage = coverage_of(dish, shots_of(plan_of(dish)))
        assert sorted(p.code for p in coverage.problems) == codes


def test_an_admitted_gap_is_a_gap(leeks: Dish) -> None:
    rows = matrix_of(leeks, shots_of(plan_of(leeks)), cut=placed(leeks), heard=heard_all_but(leeks, ""))
    mustard = rows[-1].addition
    assert isinstance(mustard, Addition)
    assert [row.name for row in gaps_of(rows, [mustard])] == ["mustard"]
    assert isinstance(mustard.place, Place)


def test_what_the_cook_wrote_as_not_filmed_and_filmed_after_all_is_not_told(table: Table) -> None:
    dish = table.dish(LEEKS % ", unfilmed: [mustard]")
    rows = matrix_of(dish, shots_of(plan_of(dish)), takes=taken(dish, butter="circled", leek="circled"))
    assert [p.code for p in matrix_problems(rows)] == ["unfilmed"]
    rows = matrix_of(
        dish, shots_of(plan_of(dish)), takes=taken(dish, butter="circled", leek="circled", mustard="circled")
    )
    assert matrix_problems(rows) == []
