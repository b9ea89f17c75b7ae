"""The cut file: written, corrected by hand, read back, and everything that can be wrong with it."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.cut.coverage.coverage import placing_problems
from scriptkit.cut.cut_file import looks_like_cut, read_cut, write_cut
from scriptkit.cut.cut_reader import cut_of
from scriptkit.cut.placement import HAND, MARKER, TRANSCRIPT, Cut, Placement
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.transcript.timestamps import clock_text, moment_ms
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.input_bytes import bytes_of
from scriptkit.problems import CannotDo
from scriptkit.publish.chapters import chapters_of_cut
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
BISQUE = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
assert isinstance(BISQUE, Dish)

TIMES = st.one_of(st.none(), st.integers(0, 4 * 3_600_000))
BY = st.sampled_from([HAND, MARKER, TRANSCRIPT])


@given(st.data(), st.integers(0, 5 * 3_600_000))
@settings(max_examples=30)
def test_what_is_written_is_read_back(data: st.DataObject, length: int) -> None:
    placements = []
    for dish, step in steps_of(SUPPER):
        ms, by = data.draw(TIMES), data.draw(BY)
        sure = 1.0 if by != TRANSCRIPT and ms is not None else data.draw(st.integers(0, 100)) / 100
        if by != TRANSCRIPT:
            sure = 0.0 if ms is None and by == MARKER else 1.0
        placements.append(Placement(dish=dish, step=step, time_ms=ms, confidence=sure, known_from=by))
    last = max((p.time_ms or 0 for p in placements), default=0)
    cut = Cut(title=SUPPER.name, length_ms=max(length, last), placements=tuple(placements), confidence=0.75)
    text = write_cut(cut)
    assert looks_like_cut(text)
    begins = cut.begins_ms
    due = [
        dataclasses.replace(p, time_ms=ms, start_ms=ms if p.known_from == TRANSCRIPT else None)
        for p in placements
        for ms in [begins.get(p.step.place)]
    ]
    assert read_cut(text, "cut.yaml", SUPPER) == dataclasses.replace(cut, placements=tuple(due))


def test_a_person_can_say_that_a_step_is_not_in_the_film() -> None:
    """Though its words are heard; and it stays so when the file is made again."""
    talk = read_transcript(bytes_of(str(EXAMPLES / "harbour-supper-cut.srt")), "x")
    first = place(BISQUE, talk)
    assert {p.step.id: p.time_ms is None for p in first.placements}["blend"] is False
    text = "cut: Fennel and celeriac bisque\nsteps:\n  - {step: blend, time: not placed, by: hand}\n  - {step: finish, by: hand}\n"
    cut = place(BISQUE, talk, read_cut(text, "cut.yaml", BISQUE))
    assert [p.step.id for p in cut.placements if p.time_ms is None] == ["blend"]
    assert {p.step.id: p.time_ms for p in cut.placements} == {p.step.id: p.time_ms for p in first.placements} | {
        "blend": None
    }
    assert "step: blend, time: not placed, by: hand" in write_cut(cut)
    assert not [p for p in cut.problems if "blend" in p.message]
    (told,) = [p for p in placing_problems(BISQUE, cut, talk) if "blend" in p.message]
    assert told.severity == "note" and "is not in the cut, as its cut file says" in told.message
    assert "blend" not in {
        i
        for c in chapters_of_cut(cut, BISQUE.place).chapters
        for _, n in c.step_numbers
        for i in [BISQUE.steps[n - 1].id]
    }


def test_a_person_can_read_it() -> None:
    cut = place(BISQUE, read_transcript(bytes_of(str(EXAMPLES / "harbour-supper-cut.srt")), "x"))
    lines = write_cut(cut).splitlines()
    assert all(line.startswith("#") for line in lines[:3])
    assert lines[3:5] == ['cut: "Fennel and celeriac bisque"', f"length: {clock_text(cut.length_ms)}"]
    assert lines[7].startswith("  - {step: dice-celeriac, time: 0:1")


def test_a_time_set_by_hand_stays_when_it_is_made_again() -> None:
    transcript = read_transcript(bytes_of(str(EXAMPLES / "harbour-supper-cut.srt")), "x")
    first = write_cut(place(SUPPER, transcript))
    line = next(row for row in first.splitlines() if "blend" in row)
    corrected = line.split(", time:")[0] + ", time: 1:55.5, by: hand}"
    again = place(SUPPER, transcript, read_cut(first.replace(line, corrected), "cut.yaml", SUPPER))
    blend = next(p for p in again.placements if p.step.id == "blend")
    assert (blend.time_ms, blend.known_from) == (115_500, HAND)
    assert "time: 1:55.500, by: hand" in write_cut(again)


def wrong(text: str) -> list[tuple[int, str, str]]:
    with pytest.raises(CannotDo) as refused:
        read_cut(text, "cut.yaml", SUPPER)
    assert all(p.hint for p in refused.value.problems)
    return [(p.place.line, p.code, p.hint) for p in refused.value.problems]


def test_everything_that_is_wrong_is_told_at_once_at_its_place() -> None:
    text = (
        "cut: Harbour supper\nlenth: 4:00\nlength: 4:00\nsteps:\n"
        "  - {step: blende, time: 1:00}\n"
        "  - {step: blend, time: later}\n"
        "  - {step: blend, time: 1:00}\n"
        "  - {step: simmer, time: 9:00}\n"
        "  - {step: finish, time: 1:00, by: guess}\n"
        "  - {step: finish, time: 1:00, confidence: 7}\n"
        "  - {step: chop-chives, time: 0:30, confidence: high}\n"
        "  - {step: dry-hake, time: 0:40, confidence: 1.2}\n"
        "  - {time: 1:00}\n"
        "  - soft\n"
    )
    found = wrong(text)
    assert [(line, code) for line, code, _ in found] == [
        (2, "unknown-key"), (5, "unknown-step"), (6, "time"), (7, "twice"), (8, "after-the-end"), (9, "by"), (10, "twice"),
        (11, "confidence"), (12, "confidence"), (13, "no-step"), (14, "not-a-step"),
    ]  # fmt: skip
    assert "blend" in next(hint for _, code, hint in found if code == "unknown-step")
    assert "`length`" in found[0][2]


@pytest.mark.parametrize("text", ["", "steps: {}", "cut: x\nsteps: [", "- a\n- b\n"])
def test_what_is_no_cut_file_is_refused(text: str) -> None:
    assert wrong(text)


def test_the_cut_of_another_recipe_is_a_warning() -> None:
    cut = read_cut("cut: Another supper\nsteps:\n  - {step: blend, time: 1:00}\n", "cut.yaml", SUPPER)
    assert [p.code for p in cut.problems] == ["other-recipe"]
    assert {p.step.id: p.time_ms for p in cut.placements}["blend"] == 60_000


def test_a_step_of_two_dishes_needs_its_dish() -> None:
    portions = SUPPER.portions  # type: ignore[union-attr]
    twin = dataclasses.replace(portions[0].dish, name="Second bisque", short="second")
    two = dataclasses.replace(SUPPER, portions=(portions[0], dataclasses.replace(portions[1], dish=twin)))
    with pytest.raises(CannotDo) as refused:
        read_cut("steps:\n  - {step: blend, time: 1:00}\n", "cut.yaml", two)
    assert "name the dish too" in refused.value.problems[0].hint
    cut = read_cut("steps:\n  - {dish: second, step: blend, time: 1:00}\n", "cut.yaml", two)
    assert [p.dish.name for p in cut.placements if p.time_ms] == ["Second bisque"]


@pytest.mark.parametrize(
    ("text", "ms"),
    [("1:05", 65_000), ("0:01:05.250", 65_250), ("65", 65_000), ("65,5 s", 65_500), ("1:61:00", None), ("1:75", None), ("soon", None), ("-1:00", None)],
)  # fmt: skip
def test_moments(text: str, ms: int | None) -> None:
    assert moment_ms(text) == ms


@given(st.integers(0, 10**8))
def test_a_moment_is_read_as_it_is_written(ms: int) -> None:
    assert moment_ms(clock_text(ms)) == ms


def test_a_recipe_in_place_of_its_cut_is_told_so() -> None:
    with pytest.raises(CannotDo) as told:
        cut_of(SUPPER, str(EXAMPLES / "fennel-bisque.yaml"))
    (problem,) = told.value.problems
    assert (problem.code, problem.message) == ("not-a-cut", "this is a dish, not a cut")


def test_two_times_by_hand_that_the_recipe_forbids_are_told_and_both_kept(tmp_path: Path) -> None:
    path = tmp_path / "cut.yaml"
    path.write_text(
        "cut: Fennel and celeriac bisque\nsteps:\n  - {step: simmer, time: 0:30, by: hand}\n  - {step: soften-fennel, time: 0:50, by: hand}\n",
        encoding="utf-8",
    )
    cut = cut_of(BISQUE, str(path))
    assert {p.step.id: p.time_ms for p in cut.placements if p.time_ms} == {"simmer": 30_000, "soften-fennel": 50_000}
    assert [(p.code, p.message) for p in cut.problems] == [
        (
            "hand-order",
            "step 5 (simmer) is set by hand at 0:30, before step 4 (soften-fennel) at 0:50, which it comes after",
        )
    ]
