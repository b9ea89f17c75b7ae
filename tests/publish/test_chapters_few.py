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
from scriptkit.publish.chapter_names import step_name
from scriptkit.publish.chapters import MOST_CHAPTERS, chapters_of_cut
from scriptkit.recipe.reader import read_source

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


def test_the_chapters_of_the_example_as_it_is_cut() -> None:
    chapters = read(str(EXAMPLES / "harbour-supper.yaml"), cut=str(EXAMPLES / "harbour-supper-cut.srt")).chapters
    assert [c.name for c in chapters.chapters] == [
        "Opening", "Prep: celeriac, fennel and chives", "Prep: hake and parsley", "Soften the fennel", "Blend the soup",
        "Ladle the bisque", "Sear the hake", "Brown the butter", "Plate the fillets",
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
