"""Placing the steps: where they are spoken of, around what is set by hand, and what is told where they are not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.coverage.coverage import coverage_of
from scriptkit.cut.placement import HAND, Cut, Placement
from scriptkit.cut.placing.place_steps import about, likeliest, place
from scriptkit.cut.placing.video_match import OTHER_VIDEO
from scriptkit.cut.transcript.timestamps import moment_ms
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
FAULTLESS = EXAMPLES / "harbour-supper-cut.srt"
ROUGH = EXAMPLES / "harbour-supper-rough-cut.srt"

# When each step is on screen in the example's cut, as written there: from its first word to the next step's.
ON_SCREEN = {
    "dice-celeriac": ("0:09", "0:24"), "slice-fennel": ("0:24", "0:33"), "chop-chives": ("0:33", "0:42"),
    "dry-hake": ("0:42", "0:54"), "chop-parsley": ("0:54", "1:04"), "soften-fennel": ("1:04", "1:22"),
    "simmer": ("1:22", "1:41"), "blend": ("1:41", "1:58"), "finish": ("1:58", "2:19"), "plate-bisque": ("2:19", "2:30"),
    "sear-hake": ("2:55", "3:21"), "turn-hake": ("3:21", "3:32"), "brown-butter": ("3:32", "3:49"), "plate-hake": ("3:49", "3:57"),
}  # fmt: skip


def of(path: object) -> Transcript:
    with open(str(path), "rb") as file:  # noqa: PTH123
        return read_transcript(file.read(), str(path))


def inside(placement: Placement) -> bool:
    start, end = (moment_ms(t) or 0 for t in ON_SCREEN[placement.step.id])
    return placement.time_ms is not None and start <= placement.time_ms <= end


def codes(cut: Cut) -> list[str]:
    return [p.code for p in cut.problems]


def test_every_step_of_the_faultless_cut_is_placed_and_nothing_is_told() -> None:
    cut = place(SUPPER, of(FAULTLESS))
    assert [p.step.id for p in cut.placements if not inside(p)] == []
    assert cut.problems == ()
    assert cut.confidence > 0.9
    assert min(p.confidence for p in cut.placements) > 0.7


def test_prep_that_the_rough_cut_shows_late_stands_there_and_is_no_fault() -> None:
    cut = place(SUPPER, of(ROUGH))
    late = next(p for p in cut.placements if p.step.id == "chop-parsley")
    assert late.time_ms == pytest.approx(moment_ms("3:30"), abs=4000)
    assert codes(cut) == []
    assert [p.step.id for p in cut.placements if p is not late and not inside(p)] == []
    assert cut.order_words == "bisque 1–3, hake 1, bisque 4–8, hake 3–4, 2, 5–6"


def test_a_swapped_step_that_is_set_by_hand_leaves_the_others_where_they_are() -> None:
    heard = place(SUPPER, of(ROUGH))
    placements = tuple(
        replace(p, time_ms=moment_ms("3:31"), known_from=HAND, confidence=1.0) if p.step.id == "chop-parsley" else p
        for p in heard.placements
    )
    cut = place(SUPPER, of(ROUGH), replace(heard, placements=placements))
    assert {p.step.id: p.time_ms for p in cut.placements} == {p.step.id: p.time_ms for p in placements}
    assert cut.problems == ()


def test_the_faultless_cut_is_in_the_order_of_the_plan() -> None:
    times = [p.time_ms for p in place(SUPPER, of(FAULTLESS)).placements if p.time_ms is not None]
    assert times == sorted(times)


DISH = """
    dish: Leeks in cream
    servings: 2
    ingredients: {leek: 300 g, butter: "to taste", cream: "to taste", mustard: "to taste"}
    steps:
      - {id: slice, stage: prep, do: Slice the leek into rings., uses: leek}
      - {id: soften, stage: cook, do: Soften the leek in the butter., add: {leek: all, butter: to taste}}
      - {id: cream, stage: cook, do: Pour in the cream and let it bubble., add: {cream: to taste}}
      - {id: finish, stage: cook, do: Stir the mustard through off the heat., add: {mustard: to taste}}
"""
TALK = """\
[0:00] Hello and welcome back to the harbour kitchen, today we cook one of my favourites.
[0:10] First we slice the leek, into rings, and we wash them in plenty of cold water.
[0:40] Now melt the butter and soften the leek, slowly, with the lid on it.
[1:10] Pour in the cream. Let it bubble until it is thick.
[1:40] Off the heat, and stir the mustard through it.
[2:00] And that is it. Enjoy, and see you next week.
"""


@pytest.fixture
def leeks(table: Table) -> Dish:
    # butter and leek are not named as the pantry names them; what is to taste need not be
    return table.dish(DISH.replace("leek: 300 g", 'leek: "to taste"').replace("leek: all", "leek: to taste"))


def talk(text: str) -> Transcript:
    return read_transcript(text.encode("utf-8"), "talk.txt")


def times(cut: Cut) -> dict[str, int | None]:
    return {p.step.id: None if p.time_ms is None else p.time_ms // 1000 for p in cut.placements}


def test_a_dish_without_any_amount_or_time_is_placed(leeks: Dish) -> None:
    found = times(place(leeks, talk(TALK)))
    for step, (first, last) in {"slice": (10, 39), "soften": (40, 69), "cream": (70, 99), "finish": (100, 119)}.items():
        assert found[step] is not None and first <= (found[step] or 0) <= last, (step, found)


def test_what_is_set_by_hand_stays_and_moves_no_step_that_is_heard(leeks: Dish) -> None:
    free = place(leeks, talk(TALK))
    late = next(p for p in free.placements if p.step.id == "soften")
    hand = Placement(dish=late.dish, step=late.step, time_ms=95_000, confidence=1.0, known_from=HAND)
    kept = Cut(title="", length_ms=0, placements=(hand,), confidence=1.0)
    found = place(leeks, talk(TALK), kept)
    told = {p.step.id: p for p in found.placements}
    assert (told["soften"].time_ms, told["soften"].known_from, told["soften"].confidence) == (95_000, HAND, 1.0)
    assert [(p.step.id, p.time_ms) for p in found.placements if p.step.id != "soften"] == [
        (p.step.id, p.time_ms) for p in free.placements if p.step.id != "soften"
    ]


def test_hands_that_contradict_the_order_all_stay_and_are_told(leeks: Dish) -> None:
    free = place(leeks, talk(TALK))
    wanted = {"slice": 20_000, "soften": 5_000, "finish": 105_000}
    kept = Cut(
        title="", length_ms=0, confidence=1.0,
        placements=tuple(
            Placement(dish=p.dish, step=p.step, time_ms=wanted[p.step.id], confidence=1.0, known_from=HAND)
            for p in free.placements if p.step.id in wanted
        ),
    )  # fmt: skip
    found = place(leeks, talk(TALK), kept)
    assert {p.step.id: p.time_ms for p in found.placements if p.known_from == HAND} == wanted
    assert 70 <= (times(found)["cream"] or 0) <= 99
    assert [(p.code, p.message) for p in found.problems] == [
        ("hand-order", "step 2 (soften) is set by hand at 0:05, before step 1 (slice) at 0:20, which it comes after")
    ]


@pytest.mark.parametrize(("step", "at_ms", "told"), [
    ("soften", 0, "set by hand at 0:00, before step 1 (slice), which is heard at"),
    ("slice", 110_000, "set by hand at 1:50, after step 3 (cream), which is heard at"),
    ("soften", 50_000, None),
])  # fmt: skip
def test_a_time_by_hand_on_the_wrong_side_of_what_is_heard_is_told_and_kept(
    leeks: Dish, step: str, at_ms: int, told: str | None
) -> None:
    free = place(leeks, talk(TALK))
    one = next(p for p in free.placements if p.step.id == step)
    hand = replace(one, time_ms=at_ms, confidence=1.0, known_from=HAND)
    found = place(leeks, talk(TALK), replace(free, placements=(hand,)))
    problems = [p.message for p in found.problems if p.code == "hand-order"]
    assert len(problems) == (told is not None)
    assert told is None or told in problems[0]
    assert times(found)[step] == at_ms / 1000


def test_a_step_that_is_left_out_is_named(leeks: Dish) -> None:
    text = "\n".join(line for line in TALK.splitlines() if "cream" not in line)
    cut = place(leeks, talk(text))
    assert [(p.code, "(cream)" in p.message) for p in cut.problems if p.code in ("not-placed", "not-spoken-of")] == [
        (p.code, True) for p in cut.problems
    ]
    assert any("(cream)" in p.message for p in cut.problems)


MOTOR = "\n".join(
    f"[{n}:00] Today we fix the outboard motor of the dinghy, part {n}: the spark plug and the fuel line."
    for n in range(1, 9)
)


def test_a_transcript_of_another_video_is_said_so_and_not_aligned(leeks: Dish) -> None:
    for source in (leeks, SUPPER):
        cut = place(source, talk(MOTOR))
        assert cut.confidence < OTHER_VIDEO
        assert {p.time_ms for p in cut.placements} == {None}
        assert codes(cut) == ["other-video"]


def test_one_line_is_too_little_to_say_whose_video_it_is() -> None:
    cut = place(SUPPER, talk("[0:05] In goes the butter and the fennel.\n"))
    assert {p.time_ms for p in cut.placements} == {None}
    assert codes(cut) == ["one-line"]
    told = coverage_of(SUPPER, (), transcript=talk("[0:05] Butter."), cut=cut).problems
    assert {p.code for p in told} - {"no-shot"} == {"one-line"}


def test_the_cut_of_another_dish_is_said_so() -> None:
    loaf = place(read_source(str(EXAMPLES / "seeded-loaf.yaml")).usable(), of(FAULTLESS))
    assert loaf.confidence < OTHER_VIDEO
    assert codes(loaf) == ["other-video"]


def test_a_dish_that_shares_half_of_its_words_is_less_sure() -> None:
    chops = place(read_source(str(EXAMPLES / "pork-chops.yaml")).usable(), of(FAULTLESS))
    assert chops.confidence < 0.8 < place(SUPPER, of(FAULTLESS)).confidence


def test_one_line_and_no_steps_are_no_defect(table: Table, leeks: Dish) -> None:
    cut = place(leeks, talk("[0:05] in goes the butter, and soften the leek in it\n"))
    assert len(cut.placements) == 4
    bare = table.dish("dish: Nothing yet\nservings: 1\ningredients: {salt: to taste}\n")
    assert place(bare, talk(TALK)).placements == ()


LINES = st.lists(
    st.tuples(st.integers(0, 400_000), st.integers(1, 9_000), st.sampled_from(["the butter", "a leek, sliced", "hm", "now then", "1 2 3"])),
    min_size=1, max_size=8,
)  # fmt: skip


@given(LINES)
@settings(max_examples=25)
def test_whatever_is_said_times_are_inside_the_cut_and_confidences_are_shares(
    lines: list[tuple[int, int, str]],
) -> None:
    said = tuple(
        SpokenLine(start, start + length, words, n) for n, (start, length, words) in enumerate(sorted(lines), 1)
    )
    assert isinstance(SUPPER, Meal)
    cut = place(SUPPER, Transcript(file="x", lines=said, problems=()))
    assert 0 <= cut.confidence <= 1
    assert all(0 <= p.confidence <= 1 for p in cut.placements)
    known = [p.time_ms for p in cut.placements if p.time_ms is not None]
    assert all(0 <= t <= cut.length_ms + 3 * 2_000 * len(cut.placements) for t in known)


def test_a_longer_cut_moves_all_steps_alike(leeks: Dish) -> None:
    """The same words, each time doubled: the same order, and each step within its doubled lines."""
    slow = TALK
    for clock in ("0:10", "0:40", "1:10", "1:40", "2:00"):
        ms = 2 * (moment_ms(clock) or 0) // 1000
        slow = slow.replace(f"[{clock}]", f"[{ms // 60}:{ms % 60:02d}.000]")
    found = times(place(leeks, talk(slow)))
    for step, (first, last) in {
        "slice": (20, 79),
        "soften": (80, 139),
        "cream": (140, 199),
        "finish": (200, 239),
    }.items():
        assert found[step] is not None and first <= (found[step] or 0) <= last, (step, found)


def test_a_step_stands_where_it_is_likeliest_about_a_stretch_and_not_at_a_single_one() -> None:
    share = [0.1, 0.5, 0.1, 0.0, 0.3, 0.4, 0.4]
    assert likeliest(share, 0) == 1
    assert likeliest(share, 1) == 5
    assert about(share, 1) == pytest.approx([0.6, 0.7, 0.6, 0.4, 0.7, 1.1, 0.8])
