"""The order in which the cut shows the steps is found: dishes after one another, the other way round, one inside the other."""

from __future__ import annotations

from dataclasses import replace

import pytest
from arranged import SUPPER, WAYS, cut_as
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.coverage.spoken_additions import SpokenAddition
from scriptkit.cut.cut_file import read_cut, write_cut
from scriptkit.cut.placement import HAND, Cut, Placement
from scriptkit.cut.placing.mention_matcher import EXACT
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.placing.step_order import predecessors
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.cut.word_clock import from_their_words
from scriptkit.recipe.dish import Dish


def wrong(cut: Cut, seen: dict[str, tuple[int, int]]) -> list[tuple[str, int | None]]:
    return [
        (p.step.id, p.time_ms)
        for p in cut.placements
        if p.time_ms is None or not seen[p.step.id][0] * 1000 <= p.time_ms <= seen[p.step.id][1] * 1000
    ]


@pytest.mark.parametrize("way", [w for w in WAYS if w != "prep late"])
def test_every_step_is_found_in_whatever_order_the_dishes_are_shown(way: str) -> None:
    talk, seen = cut_as(WAYS[way])
    cut = place(SUPPER, talk)
    assert wrong(cut, seen) == []
    assert cut.problems == ()
    assert [p.step.id for p in cut.in_time] == sorted(seen, key=lambda s: seen[s])


def test_prep_after_the_heat_is_told_only_where_it_is_needed_before() -> None:
    """The hake must be dried before it is seared; the parsley may be chopped when the sauce wants it."""
    talk, seen = cut_as(WAYS["prep late"])
    cut = place(SUPPER, talk)
    assert {s for s, _ in wrong(cut, seen)} <= {"dry-hake"}
    assert {(p.code, "(dry-hake)" in p.message) for p in cut.problems} <= {("out-of-order", True), ("not-placed", True)}


LEEKS = """
    dish: Leeks in cream
    servings: 2
    ingredients: {leek: "to taste", butter: "to taste", cream: "to taste", mustard: "to taste", chives: "to taste"}
    steps:
      - {id: slice, stage: prep, do: Slice the leek into rings., uses: leek}
      - {id: chop, stage: prep, do: Chop the chives finely., uses: chives}
      - {id: soften, stage: cook, do: Soften the leek in the butter., add: {leek: to taste, butter: to taste}}
      - {id: bubble, stage: cook, do: Pour in the cream and let it bubble., add: {cream: to taste}}
      - {id: finish, stage: cook, do: Stir the mustard through off the heat., add: {mustard: to taste}}
      - {id: plate, stage: cook, do: Scatter the chives over the top., add: {chives: to taste}}
"""
SAID = {
    "hello": "Hello and welcome back to the harbour kitchen, today we cook one of my favourites.",
    "slice": "First we slice the leek, into rings, and we wash them in plenty of cold water.",
    "chop": "Chop the chives, as finely as you can, with a sharp knife.",
    "soften": "Now melt the butter and soften the leek, slowly, with the lid on it.",
    "bubble": "Pour in the cream. Let it bubble until it is thick.",
    "finish": "Off the heat, and stir the mustard through it.",
    "plate": "And scatter them over the top of it all.",
    "bye": "And that is it. Enjoy, and see you next week.",
}


def talk_of(*order: str) -> Transcript:
    rows = [f"[{n // 2}:{n % 2 * 30:02d}] {SAID[name]}" for n, name in enumerate(order)]
    return read_transcript("\n".join(rows).encode(), "talk.txt")


@pytest.fixture
def leeks(table: Table) -> Dish:
    return table.dish(LEEKS)


def near(order: tuple[str, ...], cut: Cut) -> dict[str, bool]:
    return {
        p.step.id: p.time_ms is not None and 0 <= p.time_ms / 1000 - 30 * order.index(p.step.id) < 30
        for p in cut.placements
    }


def test_one_dish_whose_prep_is_shown_between_the_cooking(leeks: Dish) -> None:
    order = ("hello", "slice", "soften", "bubble", "chop", "finish", "plate", "bye")
    cut = place(leeks, talk_of(*order))
    assert set(near(order, cut).values()) == {True}
    assert cut.problems == ()
    assert cut.order_words == "1, 3–4, 2, 5–6"


def test_an_order_that_the_recipe_forbids_is_told(leeks: Dish) -> None:
    cut = place(leeks, talk_of("hello", "slice", "soften", "bubble", "finish", "plate", "chop", "bye"))
    assert [(p.code, p.message) for p in cut.problems] == [
        ("out-of-order", "step 2 (chop) seems to be said out of order, at 3:02, after step 6 (plate)")
    ]


def test_what_must_come_before_what(leeks: Dish) -> None:
    pairs = steps_of(leeks)
    names = [step.id for _, step in pairs]
    before = {names[n]: {names[m] for m in of} for n, of in enumerate(predecessors(pairs))}
    assert before == {
        "slice": set(), "chop": set(), "soften": {"slice"}, "bubble": {"slice", "soften"},
        "finish": {"slice", "soften", "bubble"}, "plate": {"slice", "soften", "bubble", "finish", "chop"},
    }  # fmt: skip


def test_the_order_stands_in_the_cut_file_and_is_read_back() -> None:
    talk, _ = cut_as(WAYS["reversed"])
    cut = place(SUPPER, talk)
    text = write_cut(cut)
    rows = [line.split("step: ")[1].split(",")[0].strip('"') for line in text.splitlines() if "step: " in line]
    assert rows == [p.step.id for p in cut.in_time]
    assert rows[:2] == ["dry-hake", "chop-parsley"]
    again = read_cut(text, "cut.yaml", SUPPER)
    assert [(p.step.id, p.time_ms) for p in again.placements] == [
        (p.step.id, cut.begins_ms.get(p.step.place)) for p in cut.placements
    ]


FREE = {way: place(SUPPER, cut_as(parts)[0]) for way, parts in WAYS.items() if way != "prep late"}


@given(st.sampled_from(sorted(FREE)), st.dictionaries(st.integers(0, 13), st.integers(0, 258), min_size=1, max_size=3))
@settings(max_examples=40)
def test_a_time_by_hand_moves_its_own_step_and_no_other_that_was_right(way: str, hands: dict[int, int]) -> None:
    """Whatever the time, right or wrong."""
    talk, seen = cut_as(WAYS[way])
    free = FREE[way]
    by_hand = tuple(
        replace(p, time_ms=hands[n] * 1000, known_from=HAND, confidence=1.0) if n in hands else p
        for n, p in enumerate(free.placements)
    )
    cut = place(SUPPER, talk, replace(free, placements=by_hand))
    set_ids = {free.placements[n].step.id for n in hands}
    assert {s for s, _ in wrong(cut, seen)} <= set_ids
    assert [cut.placements[n].time_ms for n in hands] == [1000 * s for s in hands.values()]


def test_a_step_that_is_hardly_heard_is_found_around_one_that_is_set_by_hand(leeks: Dish) -> None:
    """Of the cream nothing is said: the time that a person sets for it stands, and nothing else moves."""
    order = ("hello", "slice", "chop", "soften", "finish", "plate", "bye")
    free = place(leeks, talk_of(*order))
    cream = next(p for p in free.placements if p.step.id == "bubble")
    hand = Placement(dish=cream.dish, step=cream.step, time_ms=118_000, confidence=1.0, known_from=HAND)
    cut = place(leeks, talk_of(*order), Cut(title="", length_ms=0, placements=(hand,), confidence=1.0))
    told = {p.step.id: p.time_ms for p in cut.placements}
    assert told.pop("bubble") == 118_000
    assert told == {p.step.id: p.time_ms for p in free.placements if p.step.id != "bubble"}


def test_a_time_by_hand_long_after_the_talk_is_told_and_disturbs_nothing(leeks: Dish) -> None:
    order = ("hello", "slice", "chop", "soften", "bubble", "finish", "plate", "bye")
    free = place(leeks, talk_of(*order))
    late = replace(free.placements[2], time_ms=3_600_000, known_from=HAND, confidence=1.0)
    cut = place(leeks, talk_of(*order), replace(free, placements=(late,)))
    assert [p.code for p in cut.problems] == ["after-the-end"]
    assert [p.time_ms for n, p in enumerate(cut.placements) if n != 2] == [
        p.time_ms for n, p in enumerate(free.placements) if n != 2
    ]


@pytest.mark.parametrize(("said", "begins"), [
    ({"soften": [42_000]}, {"soften": 40_000}),  # the butter is named before the words that tell the step
    ({"soften": [32_000]}, {"soften": 46_000}),  # too early to be this step's
    ({"bubble": [50_000]}, {"bubble": 58_000}),  # while the step before it is on screen
    ({"bubble": [53_000]}, {"bubble": 52_000}),
    ({"soften": [52_000]}, {"soften": 46_000}),
    ({"soften": [38_500, 44_000]}, {"soften": 36_500}),
])  # fmt: skip
def test_a_step_begins_no_later_than_what_goes_in_is_named(
    leeks: Dish, said: dict[str, list[int]], begins: dict[str, int]
) -> None:
    steps = {s.id: s for s in leeks.steps}
    placed = {"slice": (20_000, 25_000), "soften": (46_000, 52_000), "bubble": (58_000, 63_000)}
    placements = tuple(
        Placement(dish=leeks, step=steps[s], time_ms=ms, start_ms=start, confidence=0.9)
        for s, (start, ms) in placed.items()
    )
    spoken = [
        SpokenAddition(dish=leeks, step=steps[s], addition=steps[s].additions[0], time_ms=ms, line=None, how=EXACT)
        for s, times in said.items()
        for ms in times
    ]
    cut = from_their_words(Cut(title="", length_ms=100_000, placements=placements, confidence=1.0), spoken)
    found = {p.step.id: p.start_ms for p in cut.placements}
    assert found == {s: start for s, (start, _) in placed.items()} | begins
    assert [p.time_ms for p in cut.placements] == [ms for _, ms in placed.values()]
