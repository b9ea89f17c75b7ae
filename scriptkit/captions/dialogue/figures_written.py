"""Spoken figures as captions write them: digits over ten and before a unit, words for the rest and where a sentence begins."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange
from scriptkit.captions.dialogue.timed_words import ends_sentence, keys_of
from scriptkit.captions.dialogue.word_changes import WrittenInstead, written_instead
from scriptkit.measure.numbers import format_number
from scriptkit.measure.spoken import Token, breaks_at, measures_at, number_at, tokens_in, word_at
from scriptkit.measure.words import ONES

_WRITTEN_OUT = 10
"""Figures up to this are words (Netflix Timed Text Style Guide, English: numbers 1 to 10 are written out)."""

_POINT, _NOUGHT = "point", ("nought", "zero", "oh")

_LENGTHS = frozenset(
    [
        "mm",
        "cm",
        "millimetre",
        "millimetres",
        "millimeter",
        "millimeters",
        "centimetre",
        "centimetres",
        "centimeter",
        "centimeters",
        "inch",
        "inches",
    ]
)


def figures_written(words: Sequence[CaptionWord]) -> tuple[list[CaptionWord], list[WordChange]]:
    """The words with figures in place of number words, each such place told; nothing that reads aloud otherwise than it was said."""
    text = " ".join(w.text for w in words)
    starts = _starts(words)
    tokens = tokens_in(text)
    found: list[WrittenInstead] = []
    at = 0
    while at < len(tokens):
        number = number_at(tokens, at)
        if number is None:
            at += 1
            continue
        value, after = number
        first, last = _word_of(starts, tokens[at].start), _word_of(starts, tokens[after - 1].start) + 1
        if (not found or first >= found[-1].last) and (
            figure := _figure(value, tokens, (at, after), words, first, last)
        ):
            found.append(WrittenInstead(first, last, figure, "figures are written as numerals"))
        at = after
    return written_instead(words, found)


def _figure(
    value: Fraction, tokens: Sequence[Token], span: tuple[int, int], words: Sequence[CaptionWord], first: int, last: int
) -> str:
    """What is written in place of the words; empty where they stay."""
    at, after = span
    if (at and not breaks_at(tokens, at) and number_at(tokens, at - 1)) or _follows(tokens, after):
        return ""  # *one ninety-three*: two figures in a row are one that is said in another way
    here = words[first:last]
    spoken = [k for w in here for k in keys_of(w.text)]
    begins = first == 0 or ends_sentence(words[first - 1].text)
    measured = _measured(tokens, after)
    if measured and spoken[0] == "a" and spoken[1:2] in (["hundred"], ["thousand"]):
        spoken[0] = "one"  # *a hundred grams* is read from 100 g too
    if begins or any(c.isdigit() for w in here for c in w.text) or spoken[0] in ("a", "an", "half"):
        return ""
    if value < 1 and _POINT not in spoken:
        return ""
    if value <= _WRITTEN_OUT and value.denominator == 1 and not measured:
        return ""
    text = here[-1].text
    tail = text[len(text.rstrip('.,;:!?…"”’)')) :]
    lead = here[0].text[: len(here[0].text) - len(here[0].text.lstrip('"“‘('))]
    decimals = len(spoken) - spoken.index(_POINT) - 1 if _POINT in spoken else 0
    figure = f"{float(value):.{decimals}f}" if decimals else format_number(value)
    if any(w.text[-1:] in ".,;:!?…" for w in here[:-1]):
        return ""
    return f"{lead}{figure}{tail}" if _read_out(figure, spoken) == spoken else ""


def _read_out(figure: str, spoken: Sequence[str]) -> list[str]:
    """How the figure is read out; its decimals one by one where they are said so: *twenty-one point five*, not *and a half*."""
    whole, dot, decimals = figure.partition(".")
    if _POINT not in spoken or not (dot and decimals.isdigit()):
        return [*keys_of(figure)]
    before = [spoken[0]] if whole == "0" and spoken[0] in _NOUGHT else [*keys_of(whole)]
    after = spoken[spoken.index(_POINT) + 1 :]
    zeros = [said if said in _NOUGHT else ONES[0] for said in after]
    return [*before, _POINT, *(zeros[n] if d == "0" else ONES[int(d)] for n, d in enumerate(decimals))]


def _follows(tokens: Sequence[Token], at: int) -> bool:
    return not breaks_at(tokens, at) and number_at(tokens, at) is not None


def _measured(tokens: Sequence[Token], at: int) -> bool:
    """Whether a unit follows, also after the end of a range: *six to seven minutes*."""
    if _unit_at(tokens, at):
        return True
    if word_at(tokens, at) in ("to", "or") and at + 1 < len(tokens) and (told := number_at(tokens, at + 1)):
        return _unit_at(tokens, told[1])
    return False


def _unit_at(tokens: Sequence[Token], at: int) -> bool:
    """Whether a unit stands there, of weight, volume, time or heat, or of length."""
    return measures_at(tokens, at) or (not breaks_at(tokens, at) and word_at(tokens, at) in _LENGTHS)


def _starts(words: Sequence[CaptionWord]) -> list[int]:
    starts, at = [], 0
    for word in words:
        starts.append(at)
        at += len(word.text) + 1
    return starts


def _word_of(starts: Sequence[int], place: int) -> int:
    import bisect

    return bisect.bisect_right(starts, place) - 1
