"""The rescue list: what can still be recorded, and an overlay that stands free, can be read twice, and stays once accepted."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from conftest import EXAMPLES, Table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.overlay import overlay
from scriptkit.cut.coverage.coverage import Coverage, coverage_of
from scriptkit.cut.coverage.matrix import matrix_of
from scriptkit.cut.coverage.off_camera_text import also_line, also_text, also_written
from scriptkit.cut.coverage.rescue import ADMITTED, NO_SHOT, NOT_CIRCLED, NOT_HEARD, rescues_of
from scriptkit.cut.coverage.spoken_additions import SpokenAddition
from scriptkit.cut.placement import HAND, Cut, Placement
from scriptkit.cut.plan_in_cut import plan_in_cut
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.papers.gap_cards import COVER, FILM, card_groups
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Place, Problem
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.plan import MEAL_CLOSING, STEP, Plan, dishes_of, plan_of
from scriptkit.shoot.shots.shots import shots_of
from scriptkit.timed_text.cue import Cue

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
FINISH = next(s for d in dishes_of(SUPPER) for s in d.steps if s.id == "finish")
BY_NAME = {a.ingredient.key: a for a in FINISH.additions}


def test_what_is_told_of_an_addition_off_camera() -> None:
    mustard = BY_NAME["mustard"]
    assert also_text(FINISH, mustard) == "Also in the pot: 20 g wholegrain mustard"
    assert also_line(FINISH, mustard) == "Also in the pot: twenty grams of wholegrain mustard."
    assert also_written(FINISH, mustard) == "Not in the picture: 20 g wholegrain mustard, in the pot at step 7."
    assert also_text(FINISH, BY_NAME["salt"]) == "Also in the pot: salt, to taste"
    assert also_line(FINISH, BY_NAME["butter"]) == "Also in the pot: one tablespoon of unsalted butter."


@pytest.mark.parametrize(
    ("vessel", "words"),
    [("heavy frying pan", "in the pan"), ("warm plates", "on the plates"), ("blender jug", "in the jug"), ("tray", "on the tray"),
     ("soup bowls", "in the bowls"), ("", "in it")],
)  # fmt: skip
def test_food_lies_on_some_vessels_and_in_others(table: Table, vessel: str, words: str) -> None:
    dish = table.dish(f"""
        dish: Leeks
        servings: 2
        ingredients: {{leek: 300 g}}
        steps: [{{stage: cook, do: Put it in., add: leek, vessel: "{vessel}"}}]
    """)
    assert dish.steps[0].reading.vessel.where == words


def cut_of(source: Dish | Meal, times_ms: list[int | None], length_ms: int) -> Cut:
    segments = [s for s in plan_of(source).segments if s.kind == STEP]
    placements = tuple(
        Placement(dish=s.dish, step=s.step, time_ms=t, confidence=1.0)
        for s, t in zip(segments, times_ms, strict=True)
        if s.dish is not None and s.step is not None
    )
    return Cut(title=source.name, length_ms=length_ms, placements=placements, confidence=1.0)


def coverage(cut: Cut, missing: set[str]) -> Coverage:
    """Of the example with everything heard but some ingredients."""
    rows = matrix_of(
        SUPPER, shots_of(plan_of(SUPPER)), cut=cut,
        heard=[
            SpokenAddition(dish=p.dish, step=p.step, addition=a, time_ms=None if a.ingredient.key in missing else 1, line=None)
            for p in cut.placements for a in p.step.additions
        ],
    )  # fmt: skip
    return Coverage(
        source=SUPPER, shots=(), takes=None, transcript=None, cut=cut, rows=rows, gates=(), admissions=(), not_heard=(),
        claims=(), problems=(),
    )  # fmt: skip


def rescue_cues(of: Coverage) -> dict[Place, Cue]:
    found = Preproduction(of.source).rescues_of(of)
    return {rescue.row.addition.place: rescue.cue for rescue in found if rescue.cue is not None}


def overlay_of(plan: Plan, also: set[Place]) -> tuple[tuple[Cue, ...], tuple[Problem, ...]]:
    return Preproduction(SUPPER).overlay_on(plan, also)


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    gaps=st.lists(st.integers(6, 60), min_size=14, max_size=14),
    left_out=st.sets(st.integers(0, 13), max_size=5),
    missing=st.sets(st.sampled_from(["mustard", "capers", "stock", "chives", "hake"]), min_size=1),
)
def test_the_overlay_of_a_rescue_stands_free_and_can_be_read(
    gaps: list[int], left_out: set[int], missing: set[str]
) -> None:
    ends = list(itertools.accumulate(gaps))
    times = [None if n in left_out else at * 1000 for n, at in enumerate(ends)]
    cut = cut_of(SUPPER, times, ends[-1] * 1000 + 60_000)
    found = rescue_cues(coverage(cut, missing))
    all_cues, _ = overlay_of(plan_in_cut(plan_of(SUPPER), cut), {r.addition.place for r in coverage(cut, missing).gaps})
    for cue in found.values():
        assert cue in all_cues
        assert cue.end_ms - cue.start_ms >= Preproduction(SUPPER).room.stands_once_ms(" ".join(cue.lines))
        assert 0 <= cue.start_ms < cue.end_ms <= cut.length_ms
    assert all(one.end_ms <= other.start_ms for one, other in itertools.pairwise(all_cues))


def test_in_a_cut_with_room_every_gap_has_its_place_at_its_step() -> None:
    cut = cut_of(SUPPER, [20_000 * (n + 1) for n in range(14)], 340_000)
    of = coverage(cut, {"mustard", "capers", "stock"})
    found = rescue_cues(of)
    for row in of.gaps:
        assert row.time_ms is not None
        assert row.time_ms - 2_500 <= found[row.addition.place].start_ms < row.time_ms + 18_000


def test_why_it_is_a_gap(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}}
        steps:
          - {id: soften, stage: cook, do: Soften the leek., add: {butter: all}, vessel: wide pan, screen: 9 s}
          - {id: finish, stage: cook, do: Add the rest., add: {leek: all}, vessel: wide pan, screen: 0 s}
    """)
    shots = shots_of(plan_of(dish))
    planned = coverage_of(dish, shots)
    (rescue,) = rescues_of(planned.gaps)
    assert (rescue.row.name, rescue.why) == ("leek", (NO_SHOT,))
    assert rescue.insert == "Overhead, as it goes in: 300 g leek"  # nothing is shot yet
    takes = read_log(b"step,additions,verdict\nsoften,butter,NG\n", "t.csv", dish, shots).usable("t.csv")
    logged = coverage_of(dish, shots, takes=takes)
    butter, leek = rescues_of(logged.gaps, admitted=[dish.additions[1]])
    assert [" ".join(cue.lines) for cue in rescue_cues(logged).values()] == ["Also in the pan: 30 g unsalted butter"]
    assert (butter.why, leek.why) == ((NOT_CIRCLED,), (NO_SHOT, NOT_CIRCLED, ADMITTED))
    again = "Overhead, as it goes in: 30 g unsalted butter. If it is in already: an insert from above, in its bowl"
    assert (butter.insert, leek.insert) == (again, "Overhead, as it goes in: 300 g leek")
    assert leek.accept == "unfilmed: [leek]"


def test_in_the_middle_of_the_shoot_what_comes_later_can_still_be_filmed(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}, salt: to taste}
        steps:
          - {id: soften, stage: cook, do: Soften it., add: {butter: all, leek: all}, vessel: wide pan, screen: 9 s}
          - {id: finish, stage: cook, do: Season it., add: {salt: to taste}, vessel: wide pan, screen: 9 s}
    """)
    shots = shots_of(plan_of(dish))
    takes = read_log(b"step,additions,verdict\nsoften,leek,circled\n", "t.csv", dish, shots).usable("t.csv")
    found = coverage_of(dish, shots, takes=takes)
    inserts = {r.row.name: r.insert for r in rescues_of(found.gaps)}
    assert inserts == {
        "butter": "Overhead, as it goes in: 30 g unsalted butter. If it is in already: an insert from above, in its bowl",
        "salt": "Overhead, as it goes in: salt",
    }
    hints = {p.message.split(",")[0]: p.hint for p in found.problems}
    assert hints["salt"].startswith("film it as it goes in")
    assert hints["butter"].startswith("film it as it goes in")
    all_cues = rescue_cues(found).values()
    assert [cue.text for cue in all_cues] == [
        "Also in the pan: 30 g unsalted butter",
        "Also in the pan: salt, to taste",
    ]
    takes = read_log(b"step,additions,verdict\nsoften,leek; butter,circled\n", "t.csv", dish, shots).usable("t.csv")
    later = coverage_of(dish, shots, takes=takes)
    assert [row.name for row in later.gaps] == ["salt"] and rescue_cues(later) == {}  # there is time to film it


GOING_IN = "Overhead, as it goes in: 30 g unsalted butter"
IN_ALREADY = f"{GOING_IN}. If it is in already: an insert from above, in its bowl"
TOO_LATE = "Insert, CU from above: 30 g unsalted butter, in its bowl. Not going in: that cannot be shot again"


@pytest.mark.parametrize(
    ("rows", "insert"),
    [
        (["soften,butter,false start"], GOING_IN),  # nothing went in
        (["soften,butter,NG"], IN_ALREADY),
        (["soften,butter,false start", "finish,salt,false start"], GOING_IN),  # the cook was stopped in time
        (["soften,butter,false start", "finish,salt,NG"], TOO_LATE),
        (["soften,butter,hold", "finish,salt,circled"], TOO_LATE),
        (["slice,,circled"], GOING_IN),
    ],
)
def test_it_is_too_late_once_a_step_that_works_on_it_is_filmed(table: Table, rows: list[str], insert: str) -> None:
    """As on the stage page, which asks for it until then."""
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}, salt: to taste}
        steps:
          - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min, screen: 6 s}
          - {id: soften, stage: cook, do: Soften it., add: {butter: all, leek: all}, vessel: wide pan, screen: 9 s}
          - {id: finish, stage: cook, do: Season it., add: {salt: to taste}, vessel: wide pan, screen: 9 s}
    """)
    shots = shots_of(plan_of(dish))
    log = "\n".join(["step,additions,verdict", *rows, ""]).encode()
    found = coverage_of(dish, shots, takes=read_log(log, "t.csv", dish, shots).usable("t.csv"))
    inserts = {r.row.name: r.insert for r in rescues_of(found.gaps)}
    assert inserts["butter"] == insert
    (title,) = [g.title for g in card_groups(found, rescues_of(found.gaps)) for c in g.cards if c.title == "butter"]
    assert title == (COVER if insert == TOO_LATE else FILM)


def test_what_is_circled_and_not_heard_is_to_be_cut_in() -> None:
    cut = cut_of(SUPPER, [20_000 * (n + 1) for n in range(14)], 340_000)
    shots = shots_of(plan_of(SUPPER))
    raw = (EXAMPLES / "harbour-supper-takes.csv").read_bytes()
    takes = read_log(raw, "takes.csv", SUPPER, shots).usable("takes.csv")
    silent = [
        SpokenAddition(dish=p.dish, step=p.step, addition=a, time_ms=None, line=None)
        for p in cut.placements
        for a in p.step.additions
    ]
    rows = [r for r in matrix_of(SUPPER, shots, takes=takes, cut=cut, heard=silent) if r.name == "mustard"]
    (rescue,) = rescues_of(rows)
    assert rescue.why == (NOT_HEARD,)
    assert rescue.insert == "Nothing: 10C take 1 is circled (card 1, clip 32); cut it in if it is not seen"
    assert rescue.description == "Not named in the video: 20 g wholegrain mustard, in the pot at step 7."


def test_once_accepted_the_overlay_of_the_pack_says_it(table: Table) -> None:
    text = (EXAMPLES / "fennel-bisque.yaml").read_text(encoding="utf-8")
    step = "    add: {cream: all, butter: rest, mustard: all, salt: to taste}\n"
    assert step in text
    plain, accepted = table.dish(text), table.dish(text.replace(step, step + "    unfilmed: mustard\n"))
    said = {}
    for name, dish in (("plain", plain), ("accepted", accepted)):
        cues, problems = overlay(plan_of(dish), cautions_in(dish), [dish_macros(dish)], None)
        assert problems == []
        said[name] = [" ".join(cue.lines) for cue in cues]
    assert "Also in the pot: 20 g wholegrain mustard" in said["accepted"]
    assert not any("Mustard 20 g" in line for line in said["accepted"])
    assert any("Mustard 20 g" in line for line in said["plain"])


# --- the plan laid on the cut -----------------------------------------------------------------------------------------


@settings(max_examples=40)
@given(
    gaps=st.lists(st.integers(1, 90), min_size=14, max_size=14),
    left_out=st.sets(st.integers(0, 13)),
    rest=st.integers(0, 90),
)
def test_a_plan_in_a_cut_keeps_its_order_and_its_bounds(gaps: list[int], left_out: set[int], rest: int) -> None:
    ends = list(itertools.accumulate(gaps))
    times = [None if n in left_out else at * 1000 for n, at in enumerate(ends)]
    length = (ends[-1] + rest) * 1000
    plan = plan_in_cut(plan_of(SUPPER), cut_of(SUPPER, times, length))
    segments = plan.segments
    assert all(s.start_ms < s.end_ms for s in segments)
    assert all(one.end_ms <= other.start_ms for one, other in itertools.pairwise(segments))
    placed = {s.step.id: s for s in segments if s.step is not None}
    assert len(placed) >= 13 - len(left_out)  # the last one has no room where the cut ends with its moment
    for segment, at in zip([s for s in plan_of(SUPPER).segments if s.kind == STEP], times, strict=True):
        if at is not None and segment.step is not None:
            assert placed[segment.step.id].start_ms <= at
    assert sum(s.kind == MEAL_CLOSING for s in segments) <= 1


def test_steps_that_begin_at_one_moment_share_the_time_until_the_next() -> None:
    times = [20_000 * n for n in range(1, 15)]
    times[5] = times[4]
    cut = cut_of(SUPPER, times, 300_000)
    hands = replace(cut, placements=tuple(replace(p, known_from=HAND) for p in cut.placements))
    segments = [s for s in plan_in_cut(plan_of(SUPPER), hands).segments if s.kind == STEP]
    assert sorted(s.start_ms // 1000 for s in segments)[3:8] == [80, 100, 120, 140, 160]


def test_a_cut_without_any_step_has_no_segments() -> None:
    assert plan_in_cut(plan_of(SUPPER), cut_of(SUPPER, [None] * 14, 60_000)).segments == ()
