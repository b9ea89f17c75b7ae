"""As few chapters as a viewer reads through, each named as a viewer would search for it."""

from __future__ import annotations

import itertools

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.step_names import steps_of
from scriptkit.production import read
from scriptkit.publish.chapter_names import LONGEST, step_name, then_name
from scriptkit.publish.chapters import MOST_CHAPTERS, Chapter, chapters_of_cut, chapters_of_plan
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()


def cut_of(seconds: list[int], length_s: int) -> Cut:
    placements = tuple(
        Placement(dish=d, step=s, time_ms=t * 1000, confidence=0.9)
        for (d, s), t in zip(steps_of(SUPPER), seconds, strict=True)
    )
    return Cut(title="", length_ms=length_s * 1000, placements=placements, confidence=0.9)


@given(st.lists(st.integers(15, 535), min_size=14, max_size=14, unique=True))
@settings(max_examples=25)
def test_nine_minutes_of_two_dishes_have_five_to_nine_chapters_in_whatever_order(seconds: list[int]) -> None:
    found = chapters_of_cut(cut_of(seconds, 540), SUPPER.place).chapters
    assert len(found) <= MOST_CHAPTERS
    apart = [b - a for a, b in itertools.pairwise(sorted(seconds))]
    if sum(gap >= 10 for gap in apart) >= 5:
        assert len(found) >= 5
    assert [c.start_ms for c in found] == sorted(c.start_ms for c in found)
    assert sum(len(c.step_numbers) for c in found) == 14


def lands(chapter: Chapter, cut: Cut) -> bool:
    """Whether a viewer who chooses the chapter sees what its name says within five seconds; of prep together, any of it."""
    named = {step_name(s, d): (d.file, s.number) for d, s in steps_of(SUPPER)}
    begins = {
        (p.dish.file, p.step.number): t for p in cut.in_time if (t := cut.begins_ms.get(p.step.place)) is not None
    }
    if chapter.name == "Opening" or chapter.name.startswith("Prep: "):
        return True
    first = chapter.name.split(", then ")[0].split(" (")[0]
    at = [begins[number] for name, number in named.items() if name.startswith(first) and number in chapter.step_numbers]
    return any(t - chapter.start_ms <= 5_000 or chapter.start_ms == 0 for t in at)


@given(st.lists(st.integers(15, 535), min_size=14, max_size=14, unique=True))
@settings(max_examples=25)
def test_a_chapter_begins_with_what_it_is_named_by(seconds: list[int]) -> None:
    cut = cut_of(seconds, 540)
    found = chapters_of_cut(cut, SUPPER.place).chapters
    assert [c.name for c in found if not lands(c, cut)] == []
    assert all(len(c.name) <= LONGEST + len(" (2)") for c in found)


STEPS = """\
dish: Chops
servings: 2
ingredients: {{chops: {{amount: 300 g, food: hake}}}}
film: {{opening: 10 s, closing: 12 s}}
steps:
  - {{id: boil, stage: cook, do: Boil the water., screen: 30 s}}
  - {{id: sear, stage: cook, do: Sear the chops., uses: chops, screen: {sear}}}
  - {{id: rest, stage: cook, do: Rest the chops., uses: chops, screen: {rest}{more}}}
  - {{id: fry, stage: cook, do: Fry the bread., screen: 30 s}}
"""


@pytest.mark.parametrize(
    ("sear", "rest", "more", "names"),
    [
        ("7 s", "9 s", "", ["Boil the water", "Sear, then rest the chops", "Fry the bread"]),
        ("4 s", "9 s", "", ["Boil the water", "Rest the chops", "Fry the bread"]),  # 4 s after the click it rests
        ("9 s", "7 s", "", ["Boil the water", "Sear the chops", "Fry the bread"]),
        ("9 s", "9 s", ", chapter: My rest", ["Boil the water", "My rest"]),  # the cook's own name begins its chapter
        ("12 s", "15 s", "", ["Boil the water", "Sear the chops", "Rest the chops", "Fry the bread"]),
    ],
)
def test_two_short_steps_in_one_chapter_are_named_in_their_order(
    sear: str, rest: str, more: str, names: list[str], table: Table
) -> None:
    plan = plan_of(table.dish(STEPS.format(sear=sear, rest=rest, more=more)))
    found = chapters_of_plan(plan)
    assert [c.name for c in found.chapters][1 : len(names) + 1] == names
    begins = {s.step.number: s.start_ms for s in plan.segments if s.step is not None}
    if more:
        assert begins[3] in [c.start_ms for c in found.chapters]


@pytest.mark.parametrize(
    ("first", "later", "both"),
    [
        ("Sear the hake", "rest the hake", "Sear, then rest the hake"),
        ("Sear the hake", "brown the butter", "Sear the hake, then brown the butter"),
        ("Add the celeriac and the stock", "blend the soup", "Add the celeriac, then blend the soup"),
        ("Peel the celeriac and the long leek tops", "blend the soup", "Peel the celeriac, then blend the soup"),
        ("Spread the marinade", "roast the thighs of the hen", "Spread the marinade"),  # both do not fit
    ],
)
def test_what_begins_first_is_named_first(first: str, later: str, both: str) -> None:
    assert then_name(first, later) == both
    assert len(both) <= LONGEST


def test_the_chapters_of_the_example_as_it_is_cut() -> None:
    chapters = read(str(EXAMPLES / "harbour-supper.yaml"), cut=str(EXAMPLES / "harbour-supper-cut.srt")).chapters
    assert [c.name for c in chapters.chapters] == [
        "Opening", "Prep: celeriac, fennel and chives", "Prep: hake and parsley", "Soften the fennel", "Simmer the bisque",
        "Blend the soup", "Ladle the bisque", "Sear the hake", "Brown the butter",
    ]  # fmt: skip


def test_a_long_film_may_have_more() -> None:
    close = [30 + 25 * n for n in range(14)]
    assert len(chapters_of_cut(cut_of(close, 400), SUPPER.place).chapters) == MOST_CHAPTERS
    wide = [60 + 120 * n for n in range(14)]
    assert len(chapters_of_cut(cut_of(wide, 1_800), SUPPER.place).chapters) == 15


@pytest.mark.parametrize(
    ("do", "name"),
    [
        ("Back into the pot with the cream.", "Add the cream"),
        ("Blend the soup until smooth.", "Blend the soup"),
        ("Off the heat, stir in the cream.", "Stir in the cream"),
    ],
)
def test_a_chapter_is_named_by_what_is_done(do: str, name: str, table: Table) -> None:
    dish = table.dish(
        'dish: Soup\nservings: 2\ningredients: {cream: "to taste"}\nsteps:\n'
        f"  - {{id: one, stage: cook, do: '{do}', add: {{cream: to taste}}}}\n"
    )
    assert step_name(dish.steps[0], dish) == name


def test_a_long_opening_keeps_its_chapter() -> None:
    far = [36 + 35 * n for n in range(14)]
    found = chapters_of_cut(cut_of(far, 540), SUPPER.place).chapters
    assert (found[0].name, found[0].step_numbers) == ("Opening", ())
    assert len(found) == MOST_CHAPTERS


def test_steps_that_are_too_brief_for_a_chapter_are_told_with_the_key_that_names_one() -> None:
    seconds = [20, 60, 100, 140, 180, 220, 224, 260, 300, 340, 380, 420, 460, 500]
    cut = cut_of(seconds, 540)
    (brief,) = [p for p in cut.placements if p.time_ms == 220_000]
    (told,) = [p for p in chapters_of_cut(cut, SUPPER.place).problems if "at least" in p.message]
    assert told.severity == "note"
    assert told.message.endswith(f": {brief.dish.short}, step {brief.step.number} ({brief.step.id})")
    assert "`chapter:`" in told.hint
    apart = [20 + 35 * n for n in range(14)]
    assert not [p for p in chapters_of_cut(cut_of(apart, 540), SUPPER.place).problems if "at least" in p.message]


def test_a_step_that_shares_a_chapter_for_there_are_enough_is_named() -> None:
    made = chapters_of_cut(cut_of([30 + 32 * n for n in range(14)], 500), SUPPER.place)
    (told,) = [p for p in made.problems if "no more than 9 to read through" in p.message]
    assert told.severity == "note" and told.message.count("step") >= 14 - 8
    brief = chapters_of_cut(cut_of([30 + 25 * n for n in range(14)], 380), SUPPER.place)
    assert not [p for p in brief.problems if "to read through" in p.message]  # nobody looks for what is over so soon


def test_prep_that_puts_food_together_is_called_by_what_it_does(table: Table) -> None:
    dish = table.dish(
        "dish: Salad\nservings: 2\ningredients: {apples: 200 g, celery: 100 g, lemon juice: 10 g, salt: 1 g}\nsteps:\n"
        "  - {id: slice, stage: prep, do: Slice the apples and the celery., uses: [apples, celery], screen: 8 s}\n"
        "  - {id: dress, stage: prep, do: Toss the apples with the lemon juice and the salt., add: [lemon juice, salt], screen: 30 s}\n"
        "  - {id: plate, stage: cook, do: Pile it on the plates., screen: 20 s}\nfilm: {opening: 20 s, closing: 20 s}\n"
    )
    names = [c.name for c in chapters_of_plan(plan_of(dish)).chapters]
    assert not [name for name in names if name.startswith("Prep:")] and any("oss" in name for name in names)
