"""Chapters: first at 0:00, three at least, ten seconds each (common practice of platforms, no source), from plan and cut."""

from __future__ import annotations

import dataclasses

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.placement import Cut, Placement
from scriptkit.papers.files import publish_files
from scriptkit.problems import Place
from scriptkit.publish.chapters import Chapters, chapters_of_cut, chapters_of_plan
from scriptkit.publish.platform_text import FEWEST_CHAPTERS, SHORTEST_CHAPTER_MS
from scriptkit.publish.publication import publication_of
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
from scriptkit.timed_text.webvtt import write_chapters

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def of_example(name: str) -> Chapters:
    return chapters_of_plan(plan_of(read_source(str(EXAMPLES / name)).usable()))


def names(chapters: Chapters) -> list[str]:
    return [c.name for c in chapters.chapters]


def as_platforms_want(chapters: Chapters) -> None:
    starts = [c.start_ms for c in chapters.chapters]
    assert starts[0] == 0
    ends = [*starts[1:], chapters.end_ms]
    assert all(end - start >= SHORTEST_CHAPTER_MS for start, end in zip(starts, ends, strict=True))
    assert len(set(names(chapters))) == len(starts)
    assert all(c.name.strip() for c in chapters.chapters)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_example_has_chapters_as_platforms_want_them(path: object) -> None:
    chapters = chapters_of_plan(plan_of(read_source(str(path)).usable()))
    as_platforms_want(chapters)
    assert len(chapters.listed) >= FEWEST_CHAPTERS
    assert not chapters.problems
    assert chapters.planned


def test_short_prep_steps_share_a_chapter_that_says_what_is_got_ready() -> None:
    assert names(of_example("harbour-supper.yaml"))[:4] == [
        "The finished plate",
        "Prep: celeriac, fennel and chives",
        "Prep: hake and parsley",
        "Soften the fennel",
    ]


def test_a_dish_ends_with_itself_and_a_meal_with_the_plate() -> None:
    assert names(of_example("fennel-bisque.yaml"))[-1] == "Bisque, finished"
    assert names(of_example("harbour-supper.yaml"))[-1] == "The whole plate"


def steps(*screens: str, more: str = "") -> str:
    rows = "\n".join(
        f"  - {{id: s{n}, stage: cook, do: Stir the pot {n} times., screen: {s}{more}}}"
        for n, s in enumerate(screens, 1)
    )
    return f"""\
dish: Broth
servings: 2
ingredients: {{water: 500 g}}
film: {{opening: 10 s, closing: 12 s}}
steps:
{rows}
"""


def test_a_short_step_is_merged_with_its_neighbour_and_the_longer_names_it(table: Table) -> None:
    dish = table.dish(steps("30 s", "4 s", "6 s", "20 s"))
    chapters = chapters_of_plan(plan_of(dish))
    as_platforms_want(chapters)
    assert [c.start_ms // 1000 for c in chapters.chapters] == [0, 10, 40, 50, 70]
    assert names(chapters)[2] == "Stir the pot 3 times"


def test_a_cut_too_short_for_three_chapters_has_none_in_the_description_and_says_so(table: Table) -> None:
    chapters = chapters_of_plan(plan_of(table.dish(steps("3 s"))))
    assert len(chapters.chapters) == 2
    assert chapters.listed == ()
    assert "3 chapters that platforms ask for" in chapters.problems[0].message
    assert chapters.problems[0].hint


def test_the_cooks_own_name_goes_before_the_one_from_the_words(table: Table) -> None:
    dish = table.dish(steps("30 s", "20 s", more=', chapter: "The secret"'))
    assert "The secret" in names(chapters_of_plan(plan_of(dish)))
    assert "The secret (2)" in names(chapters_of_plan(plan_of(dish)))


@settings(max_examples=60)
@given(st.lists(st.integers(1, 40_000), min_size=1, max_size=25), st.integers(0, 15_000))
def test_any_plan_gives_chapters_that_platforms_take(lengths: list[int], opening: int) -> None:
    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    assert isinstance(dish, Dish)
    some = tuple(
        dataclasses.replace(dish.steps[n % len(dish.steps)], screen_ms=ms, number=n + 1) for n, ms in enumerate(lengths)
    )
    film = dataclasses.replace(dish.film, opening_ms=opening)
    chapters = chapters_of_plan(plan_of(dataclasses.replace(dish, steps=some, film=film)))
    assert chapters.chapters[0].start_ms == 0
    if chapters.end_ms >= SHORTEST_CHAPTER_MS:
        as_platforms_want(chapters)
    assert len({n for c in chapters.chapters for n in c.step_numbers}) == len(lengths)
    write_chapters([(c.start_ms, c.name) for c in chapters.chapters], chapters.end_ms)


# --- from the edited video -------------------------------------------------------------------------------------------


def cut_of_bisque(times: dict[str, int | None], length_ms: int = 0, confidence: float = 1.0) -> Chapters:
    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    assert isinstance(dish, Dish)
    placements = tuple(
        Placement(dish=dish, step=step, time_ms=times.get(step.id), confidence=0.9) for step in dish.in_shoot_order
    )
    cut = Cut(title="Cut", length_ms=length_ms, placements=placements, confidence=confidence)
    return chapters_of_cut(cut, Place("bisque.yaml"))


WHOLE = {
    "dice-celeriac": 20_400, "slice-fennel": 34_000, "chop-chives": 50_000, "soften-fennel": 65_900, "simmer": 96_000,
    "blend": 140_000, "finish": 171_000, "plate-bisque": 201_000,
}  # fmt: skip


def test_chapters_of_a_cut_start_where_the_steps_were_placed() -> None:
    chapters = cut_of_bisque(dict(WHOLE), 260_000)
    as_platforms_want(chapters)
    assert not chapters.problems
    assert not chapters.planned
    assert [(c.start_ms // 1000, c.name) for c in chapters.chapters][:3] == [
        (0, "Opening"),
        (18, "Peel the celeriac"),  # heard at 20: the picture begins a little before, as the captions have it
        (32, "Halve the fennel"),
    ]
    assert chapters.chapters[-1].end_ms == 260_000


def test_a_step_that_was_not_placed_has_no_chapter_and_is_told() -> None:
    chapters = cut_of_bisque({**WHOLE, "blend": None}, 260_000)
    assert "Blend the soup" not in names(chapters)
    assert "step 6 (blend)" in chapters.problems[0].message


def test_a_cut_whose_first_step_begins_at_once_has_no_opening() -> None:
    chapters = cut_of_bisque({**WHOLE, "dice-celeriac": 300}, 260_000)
    assert chapters.chapters[0].name == "Peel the celeriac"
    assert chapters.chapters[0].start_ms == 0


def test_prep_that_begins_in_the_opening_is_named_by_what_is_got_ready() -> None:
    chapters = cut_of_bisque({**WHOLE, "dice-celeriac": 6_000, "slice-fennel": 9_000, "chop-chives": 16_000}, 260_000)
    assert (chapters.chapters[0].start_ms, chapters.chapters[0].name) == (0, "Prep: celeriac and fennel")


def test_a_cut_of_unknown_length_has_a_last_chapter_of_unknown_end() -> None:
    chapters = cut_of_bisque(dict(WHOLE))
    assert chapters.chapters[-1].end_ms is None
    as_platforms_want(chapters)


def test_a_cut_placed_with_little_confidence_is_a_warning() -> None:
    told = cut_of_bisque(dict(WHOLE), 260_000, confidence=0.2).problems
    assert [p.severity.value for p in told] == ["warning"]
    assert "0.20" in told[0].message


def test_a_cut_in_which_nothing_was_placed_has_no_chapters() -> None:
    chapters = cut_of_bisque({}, 260_000)
    assert chapters.chapters == ()
    assert len(chapters.problems) == 2
    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    files, told = publish_files(publication_of(dish, chapters))
    assert files["files/chapters.vtt"] == "WEBVTT\n"
    assert "CHAPTERS" not in files["description.txt"]
    assert '"video"' not in files["files/recipe.jsonld"]
    assert set(chapters.problems) <= set(told)


def test_a_dish_without_steps_or_film_is_published_all_the_same(table: Table) -> None:
    dish = table.dish("dish: D\nservings: 1\nfilm: {opening: 0 s, closing: 0 s}\ningredients: {salt: to taste}\n")
    files, _ = publish_files(publication_of(dish, chapters_of_plan(plan_of(dish))))
    assert files["files/chapters.vtt"] == "WEBVTT\n"
    assert all(files.values())


def test_a_cut_shorter_than_a_chapter_is_one_and_told(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        film: {opening: 0 s, closing: 0 s}
        ingredients: {leek: 200 g}
        steps:
          - {id: slice, stage: prep, do: Slice the leek., uses: leek, screen: 3 s}
          - {id: boil, stage: cook, do: Boil the leek., add: leek, vessel: pot, screen: 4 s}
    """)
    found = chapters_of_plan(plan_of(dish))
    assert [(c.start_ms, c.end_ms) for c in found.chapters] == [(0, 7_000)]
    assert ["1 of the 3 chapters" in p.message for p in found.problems] == [True]
