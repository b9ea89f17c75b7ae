"""The planned cut: what is on screen from when to when."""

from __future__ import annotations

import itertools

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.problems import Severity
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.plan import (
    ACTION_MS,
    ADDITION_MS,
    CLOSING,
    LONGEST_ADDITION_MS,
    Segment,
    addition_windows,
    plan_of,
    plan_problems,
    ready_ms,
    screen_ms,
)

SOUP = """
    dish: Soup
    servings: 2
    ingredients: {leek: {amount: 200 g}, olive oil: 30 g, salt: to taste}
    steps:
      - {id: soften, stage: cook, do: Soften the leek in the oil., add: [olive oil, leek], hands: 1 min, screen: 20 s}
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, screen: 6 s}
      - {id: season, stage: cook, do: Season., add: salt, screen: 5 s}
      - {id: wash, stage: prep, do: Wash the leek., uses: leek, screen: 4 s}
    film: {opening: 8 s, closing: 12 s}
"""
FISH = """
    dish: Fish
    servings: 2
    ingredients: {olive oil: 20 g, hake: 300 g}
    steps:
      - {id: dry, stage: prep, do: Pat the hake dry., uses: hake, screen: 5 s}
      - {id: sear, stage: cook, do: Sear the hake., add: [olive oil, hake], hands: 4 min%s}
    film: {opening: 0 s, closing: 10 s}
"""


def rows(segments: tuple[Segment, ...]) -> list[tuple[str, float, float]]:
    return [(s.step.id if s.step else s.kind, s.start_ms / 1000, s.end_ms / 1000) for s in segments]


def test_prep_first_then_cook_each_in_the_files_order(table: Table) -> None:
    assert rows(plan_of(table.dish(SOUP)).segments) == [
        ("opening", 0, 8),
        ("slice", 8, 14),
        ("wash", 14, 18),
        ("soften", 18, 38),
        ("season", 38, 43),
        ("closing", 43, 55),
    ]


def test_a_meal_preps_every_dish_then_cooks_and_plates_one_after_another(table: Table) -> None:
    table.write("soup.yaml", SOUP)
    table.write("fish.yaml", FISH % ", screen: 30 s")
    meal = table.meal(
        "meal: Supper\ndishes: [{dish: soup.yaml}, {dish: fish.yaml}]\nfilm: {opening: 6 s, closing: 9 s}"
    )
    assert rows(plan_of(meal).segments) == [
        ("opening", 0, 6),
        ("slice", 6, 12),
        ("wash", 12, 16),
        ("dry", 16, 21),
        ("soften", 21, 41),
        ("season", 41, 46),
        ("closing", 46, 58),
        ("sear", 58, 88),
        ("closing", 88, 98),
        ("meal closing", 98, 107),
    ]


def test_a_dish_that_is_served_twice_is_filmed_once(table: Table) -> None:
    table.write("soup.yaml", SOUP)
    meal = table.meal("meal: Twice\ndishes: [{dish: soup.yaml}, {dish: soup.yaml, portion: 100 g}]")
    assert [s.step.id for s in plan_of(meal).segments if s.step] == ["slice", "wash", "soften", "season"]


def test_the_plan_has_no_gaps_and_counts_its_scenes(table: Table) -> None:
    segments = plan_of(table.dish(SOUP)).segments
    assert [s.scene for s in segments] == list(range(1, len(segments) + 1))
    assert all(a.end_ms == b.start_ms for a, b in itertools.pairwise(segments))
    assert plan_of(table.dish(SOUP)).length_ms == segments[-1].end_ms == 55_000


@pytest.mark.parametrize(
    ("step", "seconds"),
    [
        ("{stage: prep, do: Chop it.}", 4),
        ("{stage: cook, do: Add., add: salt}", 3),
        ("{stage: cook, do: Add and stir., add: [salt, hake], hands: 1 min}", 10),
        ("{stage: cook, do: Sear the hake., add: [hake, salt], hands: 1 min}", 22),
        ("{stage: cook, do: Leave it., wait: 1 min}", 4),
        ("{stage: cook, do: Leave it., wait: 20 min}", 7),
        ("{stage: cook, do: Roast it., wait: 20 min, core: 63 °C}", 10),
        ("{stage: cook, do: Sear the hake., add: [hake, salt], hands: 1 min, screen: 7.5 s}", 7.5),
    ],
)
def test_screen_time_that_is_not_stated_is_assumed_and_noted(table: Table, step: str, seconds: float) -> None:
    dish = table.dish(f"dish: D\nservings: 1\ningredients: {{salt: to taste, hake: 200 g}}\nsteps: [{step}]")
    assert screen_ms(dish.steps[0]) == seconds * 1000
    notes = plan_problems(dish)
    assert [(p.code, p.severity) for p in notes] == ([] if "screen:" in step else [("no-screen-time", Severity.NOTE)])


def test_all_steps_whose_picture_is_assumed_are_one_note(table: Table) -> None:
    steps = "\n".join(f"          - {{id: s{n}, stage: cook, do: Stir it.}}" for n in range(15))
    dish = table.dish(f"dish: D\nservings: 1\ningredients: {{salt: to taste}}\nsteps:\n{steps}\n")
    (told,) = plan_problems(dish)
    assert told.message.startswith(
        "15 steps have no `screen:`, the seconds that they are on screen; planned: step 1 (s0) 4 s, step 2"
    )
    assert told.message.endswith("step 12 (s11) 4 s and 3 more")
    assert told.hint.startswith("write `screen: 4 s` at step 1")


SHORT = """
    dish: Leeks {n}
    servings: 2
    {film}
    ingredients: {{leek: 300 g, butter: {{amount: 30 g, food: "butter, unsalted"}}}}
    steps:
      - {{id: slice, stage: prep, do: Slice the leek., uses: leek}}
      - {{id: soften, stage: cook, do: Soften it., add: [butter, leek], vessel: wide pan, wait: 8 min}}
"""


def test_the_ending_of_a_short_recipe_is_in_proportion(table: Table) -> None:
    alone = plan_of(table.dish(SHORT.format(n=0, film="")))
    assert sum(s.length_ms for s in alone.segments if s.kind == CLOSING) <= 0.4 * alone.length_ms
    for n in range(3):
        table.write(f"{n}.yaml", SHORT.format(n=n, film=""))
    meal = plan_of(table.meal("meal: M\ndishes: [{dish: 0.yaml}, {dish: 1.yaml}, {dish: 2.yaml}]\n"))
    assert sum(s.length_ms for s in meal.segments if "closing" in s.kind) < 0.48 * meal.length_ms


@pytest.mark.parametrize(
    ("film", "goodbye", "seconds"),
    [
        ("film: {closing: 30 s}", "", 30), ("film: {closing: 5 s}", "", 5), ("", "", 16), ("", "goodbye: See you.", 16),
        ("", f"goodbye: {'Cook it once more, and tell me. ' * 8}", 22.4), ("film: {reading_rate: 90}", "", 18.667), ("film: {reading_rate: 60}", "", 26),
    ],
)  # fmt: skip
def test_a_stated_ending_is_kept_and_what_is_said_finds_room(
    table: Table, film: str, goodbye: str, seconds: float
) -> None:
    plan = plan_of(table.dish(SHORT.format(n=0, film=f"{film}\n    {goodbye}".strip() or "promise: ''")))
    assert [s.length_ms for s in plan.segments if s.kind == CLOSING] == [seconds * 1000]


def test_a_picture_too_short_for_its_additions_is_an_error_with_the_seconds_it_needs(table: Table) -> None:
    dish = table.dish("""\
        dish: D
        servings: 1
        ingredients: {salt: to taste, hake: 200 g, olive oil: 10 g}
        steps:
          - {id: enough, stage: cook, do: Add., add: [salt, hake], screen: 4 s}
          - {id: short, stage: cook, do: Add., add: {olive oil: all, salt: to taste}, screen: 3.9 s}
    """)
    (problem,) = plan_problems(dish)
    assert (problem.code, problem.severity, problem.place.line) == ("screen-too-short", Severity.ERROR, 6)
    assert "shows 2 additions in 3.9 s" in problem.message
    assert "give the step 4 s" in problem.hint


def dish_with(table: Table, additions: int, screen_s: float, do: str = "Sear it.") -> Dish:
    names = [f"salt {n}" for n in range(additions)]
    listed = ", ".join(f"{n}: {{amount: 3 g, food: salt}}" for n in names)
    return table.dish(f"""
        dish: D
        servings: 1
        ingredients: {{{listed or "salt: 3 g"}}}
        steps: [{{id: s, stage: cook, do: {do}, add: [{", ".join(names)}], hands: 1 min, screen: {screen_s} s}}]
        film: {{opening: 0 s, closing: 0 s}}
    """)


@pytest.mark.parametrize("do", ["Sear it.", "Stir it.", "Deep-fry it."])
@pytest.mark.parametrize("additions", [0, 1, 2, 7])
@pytest.mark.parametrize("screen_s", [0.5, 4, 9, 14.7, 33, 240])
def test_additions_follow_one_another_inside_their_step(table: Table, do: str, additions: int, screen_s: float) -> None:
    (segment,) = plan_of(dish_with(table, additions, screen_s, do)).segments
    windows = addition_windows(segment)
    assert len(windows) == additions
    now = segment.start_ms + ready_ms(segment)
    for _, start, end in windows:
        assert start == now
        assert 0 < end - start <= LONGEST_ADDITION_MS  # an addition is 2 to 4 s in the cut (common practice, no source)
        now = end
    assert now < segment.end_ms  # what is done is seen too
    if screen_s * 1000 >= 2_000 * (additions + 1):
        assert all(end - start >= 2_000 for _, start, end in windows)


@pytest.mark.parametrize(
    ("do", "screen", "ready_s"),
    [("Sear it.", 30, 12), ("Deep-fry it.", 30, 12), ("Sear it.", 12, 5), ("Sear it.", 8, 0), ("Stir it.", 30, 0)],
)
def test_before_food_goes_into_very_hot_fat_there_is_a_picture_of_getting_ready(
    table: Table, do: str, screen: float, ready_s: float
) -> None:
    (segment,) = plan_of(dish_with(table, 1, screen, do)).segments
    assert ready_ms(segment) == ready_s * 1000


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000_000), st.integers(1, 600_000))
def test_a_segment_shifted_shifts_its_windows(
    tmp_path_factory: pytest.TempPathFactory, by_ms: int, length: int
) -> None:
    dish = dish_with(Table(tmp_path_factory.mktemp("d")), 3, 20)
    here = Segment(scene=1, kind="step", start_ms=0, end_ms=length, dish=dish, step=dish.steps[0])
    there = Segment(scene=1, kind="step", start_ms=by_ms, end_ms=length + by_ms, dish=dish, step=dish.steps[0])
    assert [(a, s + by_ms, e + by_ms) for a, s, e in addition_windows(here)] == addition_windows(there)


def test_written_shots_make_the_screen_time_that_is_not_stated(table: Table) -> None:
    """A shot that states none takes as long as its additions usually do, or as an action does."""
    text = """
        dish: Leeks
        servings: 2
        ingredients: {leek: 200 g, olive oil: 30 g}
        steps:
          - id: soften
            stage: cook
            do: Soften the leek.
            add: [olive oil, leek]
            shots: [{of: [olive oil, leek]}, {picture: The pan from above.%s}]
    """
    usual, stated = (table.dish(text % more).steps[0] for more in ("", ", screen: 9 s"))
    assert screen_ms(usual) == 2 * ADDITION_MS + ACTION_MS
    assert screen_ms(stated) == 2 * ADDITION_MS + 9_000


def test_many_steps_whose_picture_is_assumed_are_one_note(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {salt: to taste, hake: 200 g}
        steps:
          - {id: chop, stage: prep, do: Chop it.}
          - {id: told, stage: cook, do: Stir it., screen: 9 s}
          - {id: sear, stage: cook, do: Sear the hake., add: [hake, salt], hands: 1 min}
    """)
    (note,) = plan_problems(dish)
    assert (
        note.message
        == "2 steps have no `screen:`, the seconds that they are on screen; planned: step 1 (chop) 4 s, step 3 (sear) 22 s"
    )
    assert note.place == dish.steps[0].place
