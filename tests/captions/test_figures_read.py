"""Figures of a recorded voice that are read otherwise than they are written, without a recogniser: what is listened for, and what is told."""

from __future__ import annotations

import pytest

from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.voice.figures_read import (
    NUMBER,
    UNIT,
    figure_in,
    grammar,
    is_another,
    other_figures,
    slots_of,
    words_to_know,
)
from scriptkit.captions.voice.voice_over import ReadLine, VoiceOver, line_problems
from scriptkit.production import read_text


def reading(text: str) -> list[CaptionWord]:
    return [
        CaptionWord(w, 400 * n, 400 * n + 380, 1, 0, True, number=n, sentence=0) for n, w in enumerate(text.split())
    ]


@pytest.mark.parametrize(
    ("text", "figures"),
    [
        ("Two tablespoons of oil.", [("two", NUMBER), ("tablespoons", UNIT)]),
        ("A hundred and twenty grams of rye.", [("a hundred and twenty", NUMBER), ("grams", UNIT)]),
        ("Sixty-three degrees inside.", [("sixty three", NUMBER)]),
        ("Until 63 °C inside.", [("sixty three", NUMBER)]),
        ("Six to seven minutes.", [("six", NUMBER), ("seven", NUMBER), ("minutes", UNIT)]),
        ("Two and the rest.", [("two", NUMBER)]),
        ("Grate it and stir.", []),
        ("Half a teaspoon.", [("half a", NUMBER), ("teaspoon", UNIT)]),
        ("A quarter of a cup.", [("a quarter of a", NUMBER), ("cup", UNIT)]),
        ("One and a half tablespoons.", [("one and a half", NUMBER), ("tablespoons", UNIT)]),
        ("Three quarters of a cup.", [("three quarters of a", NUMBER), ("cup", UNIT)]),
        ("Half the butter, and quarter the lemon.", [("half", NUMBER)]),
        ("The third of a dozen.", []),
    ],
)
def test_figures_and_their_units_are_found(text: str, figures: list[tuple[str, str]]) -> None:
    assert [(" ".join(s.written), s.kind) for s in slots_of([reading(text)])] == figures


def test_a_slot_has_its_words_on_both_sides_and_their_time() -> None:
    (two, spoons) = slots_of([reading("Now pour in two tablespoons of the olive oil.")])
    assert (two.before, two.after) == (("now", "pour", "in"), ("tablespoons", "of", "the"))
    assert (two.time_ms, two.start_ms, two.end_ms) == (1_200, 0, 2_900)
    assert (spoons.before, spoons.written) == (("pour", "in", "two"), ("tablespoons",))


def test_a_line_s_first_figure_is_listened_for_from_the_line_before_it() -> None:
    """Where another figure is read its sound begins before that of the script's is laid."""
    later = [
        CaptionWord(w.text, w.start_ms + 2_000, w.end_ms + 2_000, 1, 0, True, number=n, sentence=1)
        for n, w in enumerate(reading("Two spoons of oil."))
    ]
    (two,) = slots_of([reading("Pour it in."), later])
    assert two.start_ms == reading("Pour it in.")[-1].end_ms  # 1,180: nothing else is read from there
    (far,) = slots_of([later])
    assert 0 < far.start_ms < two.start_ms


def test_what_is_listened_for_has_every_figure_or_one() -> None:
    (two, spoons) = slots_of([reading("Add two teaspoons of salt.")])
    anything = grammar(two)
    assert "public <line> = add <number> teaspoons of salt;" in anything
    assert "five" in anything and "hundred" in anything
    assert "public <line> = add two <unit> of salt;" in grammar(spoons)
    assert "tablespoons" in grammar(spoons) and "minutes" not in grammar(spoons).split("<unit>")[1].split(";")[0]
    assert grammar(two, ("five",)).splitlines()[2:] == ["public <line> = add five teaspoons of salt;"]
    known = set(words_to_know([two, spoons]))
    assert {"add", "salt", "a", "and", "ninety", "hundred", "tablespoons", "cup"} <= known


def test_the_figure_is_what_stands_between_the_script_s_words() -> None:
    (two, _) = slots_of([reading("Add two teaspoons of salt.")])
    assert figure_in(two, "add twenty five teaspoons of salt") == ("twenty", "five")
    assert figure_in(two, "add teaspoons of salt") == ()
    assert figure_in(two, "") == ()


@pytest.mark.parametrize(
    ("written", "heard", "other"),
    [
        ("One hundred grams.", "a hundred", False),
        ("A hundred grams.", "one hundred", False),
        ("A hundred and five grams.", "one hundred five", False),
        ("Two hundred grams.", "a hundred", True),
        ("Two spoons.", "five", True),
        ("Two spoons.", "", False),
        ("Half a teaspoon.", "half", False),
        ("Half a teaspoon.", "a quarter", True),
        ("Half a teaspoon.", "one and a half", True),
        ("A quarter of a cup.", "one quarter", False),
        ("One and a half cups.", "one", True),
    ],
)
def test_another_figure_is_not_the_same_in_other_words(written: str, heard: str, other: bool) -> None:
    assert is_another(slots_of([reading(written)])[0], tuple(heard.split())) is other


def test_a_gram_is_no_other_unit_than_grams() -> None:
    unit = slots_of([reading("Two grams of salt.")])[1]
    assert not is_another(unit, ("gram",))
    assert is_another(unit, ("kilos",))


def told(better: float, shares: list[float]) -> list[str]:
    readings = [reading("Add two teaspoons of salt.")]
    slots = slots_of(readings)
    found = other_figures(readings, slots, [(("five",), better), (("tablespoons",), better)], shares)
    return [f"{f.written} {f.heard}" for f in found]


def test_only_what_is_sure_is_told_and_a_strange_voice_needs_more() -> None:
    known, strange = [0.9] * 9 + [0.4], [0.9] * 6 + [0.4] * 4
    assert told(60, known) == told(60, strange) == ["two five"]  # the unit beside it is told with it
    assert told(40, known) == ["two five"]
    assert told(40, strange) == []
    assert told(10, known) == []


DISH = """\
dish: Salted water
servings: 1
serving: 100 g
ingredients: {water: 100 g}
steps:
  - {id: salt, stage: cook, do: Stir the water., add: {water: all}, vessel: pan, hands: 1 min, screen: 20 s, say: Add two teaspoons of salt.}
"""


def test_a_figure_is_told_with_its_time_and_listed_and_the_caption_keeps_the_script_s() -> None:
    passages = read_text(DISH).script.passages
    line = tuple(reading("Add two teaspoons of salt."))
    found = other_figures([line], slots_of([line]), [(("five",), 90.0), ((), 0.0)], [1.0])
    number = next(n for n, p in enumerate(passages) if p.text.startswith("Add two"))
    lines = (ReadLine(passage=number, text="Add two teaspoons of salt.", readings=(line,), heard=1.0),)
    voice = VoiceOver(file="v.wav", length_ms=5_000, lines=lines, passages=(), beside=(), figures=tuple(found))
    (problem,) = line_problems(voice, passages)
    assert (problem.code, problem.severity, problem.place.line) == ("voice-other-figure", "warning", 6)
    assert "“five” seems to be read at 0:00 where the script has “two”" in problem.message
    (row,) = voice.read_otherwise
    assert (row.time_ms, row.was, row.now) == (400, "five", "two")
