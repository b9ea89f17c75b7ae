"""A name that is said again, of what is in already, moves neither the addition nor the order of the cut."""

from __future__ import annotations

from dataclasses import replace

import pytest
from arranged import LINES, SUPPER

from scriptkit.cut.coverage.spoken_additions import heard
from scriptkit.cut.placement import Cut
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.word_clock import from_their_words
from scriptkit.english.going_in import GOES_IN, LOOKED_AT, NAMED, WENT_IN, said_of

LONG_MS = 3_500
ALONE = Transcript(file="cut.srt", lines=tuple(LINES), problems=())


def with_twin(after_s: float, words: str) -> Transcript:
    """The example's talk with a sentence more after the line that is being said then; what follows comes later."""
    lines: list[SpokenLine] = []
    end = max(one.end_ms for one in LINES if one.start_ms < after_s * 1000)
    for one in LINES:
        later = LONG_MS if one.start_ms >= end else 0
        lines.append(replace(one, start_ms=one.start_ms + later, end_ms=one.end_ms + later))
    lines.append(SpokenLine(end + 100, end + LONG_MS - 100, words, 0))
    lines.sort(key=lambda one: one.start_ms)
    return Transcript(file="cut.srt", lines=tuple(replace(one, line=n) for n, one in enumerate(lines, 1)), problems=())


def placed(transcript: Transcript) -> tuple[Cut, dict[tuple[str, str], int | None]]:
    cut = place(SUPPER, transcript)
    found = heard(SUPPER, transcript, cut)
    return from_their_words(cut, found), {(h.step.id, h.addition.ingredient.key): h.time_ms for h in found}


@pytest.mark.parametrize(
    ("step", "key", "after_s", "words"),
    [
        ("soften-fennel", "butter", 70, "and now the butter from before looks nice"),
        ("soften-fennel", "butter", 79, "you can smell the butter already"),
        ("soften-fennel", "fennel", 79, "look at the fennel in there, it is going soft"),
        ("simmer", "celeriac", 92, "that celeriac is doing its work"),
        ("simmer", "stock", 95, "you can still see the stock under the foam"),
        ("finish", "cream", 134, "the cream that went in earlier makes it glossy"),
        ("finish", "mustard", 134, "and the mustard we added smells lovely"),
        ("sear-hake", "hake", 195, "see how the hake curls if you leave it"),
        ("brown-butter", "parsley", 228, "now the parsley from before looks nice"),
        # said of nothing in particular, a while after it went in
        ("soften-fennel", "butter", 74, "I always buy my butter on a Saturday"),
        ("soften-fennel", "butter", 79, "my neighbour had twice the butter"),
        ("soften-fennel", "fennel", 79, "just push the fennel about a bit"),
        ("simmer", "celeriac", 95, "don't let the celeriac catch on the bottom"),
        ("simmer", "celeriac", 95, "by the way, celeriac was a prize at the fair"),
        ("simmer", "stock", 98, "you want the stock to be lazy by now"),
        ("finish", "cream", 134, "that is the cream talking"),
    ],
)
def test_an_addition_is_heard_where_it_goes_in(step: str, key: str, after_s: float, words: str) -> None:
    before, alone = placed(ALONE)
    after, found = placed(with_twin(after_s, words))
    assert found[step, key] == alone[step, key]
    moved = {one: at for one, at in found.items() if at is not None and abs(at - (alone[one] or 0)) > LONG_MS}
    assert moved == {}
    assert after.order_words == before.order_words


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("in goes the @ two tablespoons", GOES_IN),
        ("then the @", GOES_IN),
        ("a hundred and twenty mils of single @", GOES_IN),
        ("the @ goes in", GOES_IN),
        ("and the @ is going in now", GOES_IN),
        ("stir it all round with the @", GOES_IN),
        ("the @", NAMED),
        ("and a spoonful there @", NAMED),
        ("look at the @ in there", LOOKED_AT),
        ("until the @ has melted", LOOKED_AT),
        ("the @ gives it body", LOOKED_AT),
        ("don't let the @ catch on the bottom", LOOKED_AT),
        ("I always buy my @ on a saturday", LOOKED_AT),
        ("you want the @ to be soft by now", LOOKED_AT),
        ("that is the @ talking", LOOKED_AT),
        ("just push the @ about a bit", LOOKED_AT),
        ("give the @ a nudge", LOOKED_AT),
        ("you want two tablespoons of @", GOES_IN),
        ("the @ and don't be shy", NAMED),
        ("now the @ from before looks nice", WENT_IN),
        ("the @ I put in", WENT_IN),
        ("the @ we added smells lovely", WENT_IN),
        ("there is still @ at the bottom", WENT_IN),
    ],
)
def test_what_is_said_around_a_name(words: str, told: int) -> None:
    before, _, after = words.lower().partition("@")
    assert said_of(before.split(), after.split()) == told
