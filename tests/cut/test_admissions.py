"""Sentences in which a maker admits that something was not filmed, and sentences that only sound like it."""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.cut.coverage.admissions import admissions_in
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.input_bytes import bytes_of
from scriptkit.recipe.reader import read_source

BISQUE = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
CASES = [
    line.split("\t")
    for line in (Path(__file__).parent / "admitted.txt").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]


def test_there_are_cases_of_both_kinds() -> None:
    assert len(CASES) > 15
    assert sum(tied == "-" for _, tied in CASES) > 5


def spoken(*lines: str) -> Transcript:
    return Transcript(
        file="x",
        lines=tuple(SpokenLine(n * 5000, n * 5000 + 4500, words, n + 1) for n, words in enumerate(lines)),
        problems=(),
    )


@pytest.mark.parametrize(("words", "tied"), CASES, ids=[c[0][:40] for c in CASES])
def test_admissions(words: str, tied: str) -> None:
    found = admissions_in(BISQUE, spoken(words))
    assert (", ".join(a.addition.ingredient.name if a.addition else "?" for a in found) or "-") == tied


def test_the_rough_cut_admits_the_mustard_and_the_faultless_one_nothing() -> None:
    rough, faultless = (
        read_transcript(bytes_of(str(EXAMPLES / name)), name)
        for name in ("harbour-supper-rough-cut.srt", "harbour-supper-cut.srt")
    )
    (one,) = admissions_in(SUPPER, rough)
    assert one.addition is not None and one.step is not None
    assert (one.addition.ingredient.name, one.step.id, one.time_ms // 1000) == ("mustard", "finish", 126)
    assert admissions_in(SUPPER, faultless) == ()


def test_a_sentence_over_two_lines_and_a_name_in_the_next_sentence() -> None:
    (over,) = admissions_in(BISQUE, spoken("and here I forgot", "to film the cream going in."))
    assert over.addition is not None and over.addition.ingredient.name == "cream"
    assert (over.line.line, over.time_ms) == (1, 0)
    (after,) = admissions_in(BISQUE, spoken("I forgot to film this bit.", "The cream goes in now."))
    assert after.addition is not None and after.addition.ingredient.name == "cream"


def test_of_an_ingredient_of_two_steps_the_step_that_is_spoken_of() -> None:
    (first,) = admissions_in(
        BISQUE, spoken("Soften the fennel.", "I forgot to film the butter.", "Do not let it colour.")
    )
    (second,) = admissions_in(
        BISQUE, spoken("Return it to the pot.", "I forgot to film the butter.", "Stir the cream in.")
    )
    assert first.step is not None and second.step is not None
    assert (first.step.id, second.step.id) == ("soften-fennel", "finish")
