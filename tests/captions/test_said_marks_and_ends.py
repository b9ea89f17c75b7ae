"""Dialogue captions: figures before any unit, a sentence that was heard to end, and the last cue, which ends with the cut."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES

from scriptkit.captions.dialogue.dialogue_cues import dialogue_cues
from scriptkit.captions.dialogue.figures_written import figures_written
from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.sentence_marks import with_marks
from scriptkit.production import read


def said(text: str, *, each_ms: int = 400) -> list[CaptionWord]:
    return [CaptionWord(w, each_ms * n, each_ms * n + each_ms - 20, 1, None, False) for n, w in enumerate(text.split())]


@pytest.mark.parametrize(
    ("talk", "captioned"),
    [
        ("in rings of five millimetres and rinse", "in rings of 5 millimetres and rinse"),
        ("cut it two to three centimetres wide", "cut it 2 to 3 centimetres wide"),
        ("with a hundred grams of feta", "with 100 grams of feta"),
        ("add a hundred and twenty grams", "add 120 grams"),
        ("I have made it a hundred times", "I have made it a hundred times"),
        ("and a gram of salt", "and a gram of salt"),
        ("take five, millimetres are small", "take five, millimetres are small"),
    ],
)
def test_a_figure_before_a_unit_is_in_digits(talk: str, captioned: str) -> None:
    words, _ = figures_written(said(talk))
    assert " ".join(w.text for w in words) == captioned


@pytest.mark.parametrize(
    ("pause_ms", "captioned"),
    [(600, "of the cream. Two tablespoons of mustard"), (100, "of the cream, two tablespoons of mustard")],
)
def test_a_sentence_that_ends_before_a_pause_stays_one(pause_ms: int, captioned: str) -> None:
    """The script has it go on; the recogniser hears an end in both."""
    words, now = [], 1_000
    for n, text in enumerate(["of", "the", "cream,", "two", "tablespoons", "of", "mustard"]):
        marks = "." if text == "cream," else ""
        words.append(CaptionWord(text, now, now + 300, 1, 0, True, n == 0, marks, n, 0))
        now += 300 + (pause_ms if marks else 0)
    assert " ".join(w.text for w in with_marks(words)) == captioned.replace("of", "Of", 1)


def test_the_last_cue_ends_with_the_cut_where_it_can_be_read() -> None:
    room = read(str(EXAMPLES / "harbour-supper.yaml")).room
    words = said("that is the whole plate", each_ms=500)
    ((lingers, _),) = dialogue_cues(words, room)
    ((ends, _),) = dialogue_cues(words, room, words[-1].end_ms)
    assert lingers.end_ms > ends.end_ms == words[-1].end_ms
    hurried = said("that is the whole plate", each_ms=60)
    ((still_read, _),) = dialogue_cues(hurried, room, hurried[-1].end_ms)
    assert still_read.end_ms - still_read.start_ms >= room.least_ms(" ".join(still_read.lines))
