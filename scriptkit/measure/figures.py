"""Figures as people say them: ranges, times, temperatures, shares and ratios beside the kitchen's amounts."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from scriptkit.measure.amounts import Cups
from scriptkit.measure.figure import (
    CELSIUS,
    DEGREE,
    FAHRENHEIT,
    KCAL,
    MILLIMETRE,
    MS,
    PERCENT,
    TIMES,
    TO_ONE,
    Figure,
)
from scriptkit.measure.figure_joining import joined
from scriptkit.measure.spoken import (
    ABOUT,
    Token,
    breaks_at,
    heard_four,
    number_at,
    one_at,
    tenths_on,
    tokens_in,
    with_unit,
    word_at,
)
from scriptkit.measure.talk_measures import in_a_measure_of_talk
from scriptkit.measure.words import ONES, TENS
from scriptkit.patterns import LazyPattern

__all__ = [
    "CELSIUS",
    "DEGREE",
    "FAHRENHEIT",
    "KCAL",
    "MILLIMETRE",
    "MS",
    "PERCENT",
    "TO_ONE",
    "Figure",
    "figures_in",
]
_BROKEN_OFF = LazyPattern(r"\s*[.,]\s+(?=(?:minutes?|seconds?|hours?)\b(?!\s+(?:later|ago)))", re.IGNORECASE)
"""*Four. hours*: a recogniser's stop or comma inside a time."""
_TIME = LazyPattern(
    r"[\s-]*(?:(?:more|extra|further|full|whole|good|solid)\s+)?(?P<word>minutes?|mins?|seconds?|secs?|hours?|hrs?)\b|(?<=\d)\s?(?P<letter>[smh])\b(?!')",
    re.IGNORECASE,
)
_TEMPERATURE = LazyPattern(
    r"(?:\s*°|[\s,-]*degrees?\b|[\s-]*deg\b)[\s,.]*(?P<scale>(?:celsius|centigrade|fahrenheit|c|f)\b)?"
    r"|\s*(?P<alone>(?:celsius|centigrade|fahrenheit)\b|[CF]\b(?!'))",
    re.IGNORECASE,
)
_SIZES = frozenset({"small", "medium", "large", "extra_large", "jumbo", "piece"})
_LOOSELY = {
    "couple": (2, 2), "few": (3, 5), "several": (3, 8), "dozen": (12, 12),
}  # fmt: skip
"""Numbers of a kind, after *a* (common practice, no source)."""
_READ_AS_HUNDREDS = frozenset({"", "gram", "millilitre", KCAL, DEGREE, CELSIUS, FAHRENHEIT})
_DIGITS = frozenset({*ONES[:10], "zero"})
_BEGIN = frozenset(
    {*ONES, *TENS, "zero", "point", "half", "quarter", "third", "eighth", "hundred", "a", "an", "several", "couple"}
)
"""Words that a figure can begin with."""
_BARE = frozenset(
    "tablespoon teaspoon cup pound pint quart stick minute hour kilo litre liter pinch ounce".split()  # noqa: SIM905
)
"""Units that begin a figure of one: *tablespoon and a half of curry powder*, *minute or two*."""
_NO_BARE = frozenset(
    {"a", "an", "the", "per", "each", "every", "this", "that", "my", "your", "our", "same", "whole", "measuring", "of", "coffee", "tea",
     "last", "first", "second", "third", "fourth", "fifth", "next", "final", "any", "no", "another"}
)  # fmt: skip
"""Before such a unit: it is one that is known, or none."""
_MORE = LazyPattern(r"\s+or\s+(?:so|thereabouts)\b|-?ish\b", re.IGNORECASE)
_BOUNDS = {
    "most": LazyPattern(
        r"\b(?:(?:less|fewer|no more|not more) than|under|below|at most|up to|within)\s*$", re.IGNORECASE
    ),
    "least": LazyPattern(r"\b(?:(?:more|no less|not less) than|over|above|at least)\s*$", re.IGNORECASE),
}
_NEARLY = ABOUT | {"like", "just", "say", "circa", "up", "least", "most", "towards"}


def figures_in(text: str, cups: Cups = Cups.US) -> list[Figure]:
    """Every figure of the text.

    >>> [(str(f.low), str(f.high), f.unit) for f in figures_in("six or seven minutes at four hundred Fahrenheit")]
    [('360000', '420000', 'ms'), ('400', '400', 'fahrenheit')]
    >>> [(str(f.low), f.unit) for f in figures_in("two and a quarter cups, two point six to one, a couple of tablespoons")]
    [('9/4', 'cup'), ('13/5', 'to one'), ('2', 'tablespoon')]
    """
    tokens = tokens_in(text)
    found: list[Figure] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        begins = token.figure or token.text in _BEGIN
        told = _figure(text, tokens, at, cups) if begins else _without_a_number(text, tokens, at, cups)
        if told is None:
            at += 1
            continue
        figure, at = told
        if found and (one := joined(found[-1], figure, text)):
            found[-1] = one
        else:
            found.append(figure)
    return found


def _figure(text: str, tokens: Sequence[Token], at: int, cups: Cups) -> tuple[Figure, int] | None:
    """The figure that begins at the token, with what is said of it before and after, and the token after it."""
    told = _bare_figure(text, tokens, at, cups)
    if told is None:
        return None
    figure, after = told
    before = text[max(0, figure.start - 16) : figure.start]
    limit = next((name for name, words in _BOUNDS.items() if words.search(before)), "")
    if limit and not figure.is_range:  # at least eight to ten minutes has both its ends
        figure = replace(figure, bound=limit)
    if more := _MORE.match(text, figure.end):
        figure = replace(figure, about=True, end=more.end())
    return figure, max(after, _token_from(tokens, after, figure.end))


def _bare_figure(text: str, tokens: Sequence[Token], at: int, cups: Cups) -> tuple[Figure, int] | None:
    nearly = bool({t.text for t in tokens[max(0, at - 2) : at] if not t.figure} & _NEARLY)
    told = _low_and_high(tokens, at)
    if told is None:
        return _article(text, tokens, at, nearly, cups)
    low, high, after, loose = told
    in_hundreds = 20 if tokens[after - 1].text == "hundred" and not tokens[at].figure else 10
    if low < in_hundreds and high % 100 == 0 and low * 100 < high:  # seven or eight hundred, ten to twelve hundred
        low *= 100
    end, about = tokens[after - 1].end, loose or nearly
    if high == 1 and (low > 1 or (after > at + 1 and _of_a_ratio(text, tokens[at].start, end))):
        grain = min(_grain(tokens, at, after), _finest(low))
        figure = _plain(low, low, TO_ONE, about, tokens[at].start, end, grain)
    else:
        figure, after = _with_its_unit(text, tokens, (at, after), (low, high), about, cups)
    if figure.unit not in _READ_AS_HUNDREDS and (first := _before_its_hundreds(tokens, at)):
        value, after = first  # *one fourteen ounce can*: the unit's figure begins with the next word
        return _plain(value, value, "", about, tokens[at].start, tokens[after - 1].end), after
    return figure, after


_RATIO_BEFORE = LazyPattern(r"\bratio\b[^.!?\d]{0,30}$", re.IGNORECASE)
_RATIO_AFTER = LazyPattern(r"\s*(?:,\s*)?(?:grams? of )?fat (?:to|and|over) (?:protein|net|carb)", re.IGNORECASE)


def _of_a_ratio(text: str, start: int, end: int) -> bool:
    """Whether *0.6 to 1* is a ratio, for *0.6 to 1 litre* is a range: what stands around it says so."""
    return (
        ":" in text[start:end]
        or _RATIO_BEFORE.search(text[max(0, start - 50) : start]) is not None
        or _RATIO_AFTER.match(text, end) is not None
    )


def _with_its_unit(
    text: str,
    tokens: Sequence[Token],
    span: tuple[int, int],
    values: tuple[Fraction, Fraction],
    about: bool,
    cups: Cups,
) -> tuple[Figure, int]:
    at, after = span
    low, high = values
    start, end = tokens[at].start, tokens[after - 1].end
    grain = min(_grain(tokens, at, after), _finest(low), _finest(high))
    broken = _BROKEN_OFF.match(text, end)
    if found := _TIME.match(text, broken.end() if broken else _over_a(text, end)):
        ms = _ms_of(found)
        high, until = _and_more(text, tokens, after, high, found.end())
        low, grain = low if high == values[1] else high, min(grain, _finest(high))
        return _plain(low * ms, high * ms, MS, about, start, until, grain * ms), after
    if found := _TEMPERATURE.match(text, end):
        scale = (found.group("scale") or found.group("alone") or "").casefold()[:1]
        unit = {"c": CELSIUS, "f": FAHRENHEIT}.get(scale, DEGREE)
        return _plain(low, high, unit, about, start, end + len(found.group().rstrip()), grain), after
    if (other := in_a_measure_of_talk(text, (low, high), about, (start, end), grain)) is not None:
        return other, after
    heard, after = with_unit(tokens, at, high, after, cups)
    if heard is None:  # the two-litre pot
        return replace(_plain(low, high, "", about, start, end, grain), of_a_thing=True), after
    low, grain = low if heard.value == high else heard.value, min(grain, _finest(heard.value))
    return _plain(low, heard.value, heard.unit, about or heard.about, start, heard.end, grain), after


def _plain(
    low: Fraction, high: Fraction, unit: str, about: bool, start: int, end: int, grain: Fraction = Fraction(1)
) -> Figure:
    return Figure(low=low, high=high, unit=unit, grain=grain, about=about, start=start, end=end)


def _token_from(tokens: Sequence[Token], at: int, place: int) -> int:
    while at < len(tokens) and tokens[at].start < place:
        at += 1
    return at


def _ms_of(time: re.Match[str]) -> int:
    return TIMES[(time["word"] or time["letter"])[0].casefold()]


def _article(text: str, tokens: Sequence[Token], at: int, about: bool, cups: Cups) -> tuple[Figure, int] | None:
    """``a tablespoon``, ``an hour and a half``, ``a minute``."""
    if tokens[at].text not in ("a", "an"):
        return None
    if found := _TIME.match(text, tokens[at].end):
        ms = _ms_of(found)
        value, until = _and_more(text, tokens, at, Fraction(1), found.end())
        if value == 1 and (more := _OR_TWO.match(text, until)):  # a minute or two
            until = more.end()
            figure = _plain(
                Fraction(ms), ms * Fraction(_COUNT[more[1].casefold()]), MS, True, tokens[at].start, until, Fraction(ms)
            )
            return figure, _token_from(tokens, at, until)
        figure = _plain(value * ms, value * ms, MS, about, tokens[at].start, until, _finest(value) * ms)
        return replace(figure, idle=value == 1 and ms < TIMES["h"]), _token_from(tokens, at, until)
    told = one_at(tokens, at, cups)
    if told is None:
        return None
    heard, after = told
    grain = _finest(heard.value)
    figure = _plain(heard.value, heard.value, heard.unit, about or heard.about, heard.start, heard.end, grain)
    return replace(figure, idle=heard.unit in _SIZES), after


_A_TIME = LazyPattern(
    r"[\s-]+(?:of[\s-]+)?an?(?:[.,](?=\s+(?:hour|minute)\b)|(?=[\s-]+(?:hour|minute)\b))", re.IGNORECASE
)
_OR_TWO = LazyPattern(r"\s+or\s+(two|three)\b(?!\s+(?:minutes?|hours?|times|more)\b)", re.IGNORECASE)


def _over_a(text: str, end: int) -> int:
    """``half an hour``, ``a quarter of an hour``."""
    found = _A_TIME.match(text, end)
    return found.end() if found else end


def _without_a_number(text: str, tokens: Sequence[Token], at: int, cups: Cups) -> tuple[Figure, int] | None:
    """``tablespoon and a half of``, ``teaspoon of``, ``minute or two``: one of it, though nobody says so."""
    word, before = tokens[at].text, tokens[at - 1] if at else None
    more = before is not None and before.text == "another" and word in ("minute", "hour")
    if word not in _BARE or (before is not None and not more and (before.figure or before.text in _NO_BARE)):
        return None
    if word in ("minute", "hour"):
        ms = TIMES[word[0]]
        if found := _OR_TWO.match(text, tokens[at].end):
            until = found.end()
            figure = _plain(
                Fraction(ms),
                ms * Fraction(_COUNT[found[1].casefold()]),
                MS,
                True,
                tokens[at].start,
                until,
                Fraction(ms),
            )
            return figure, _token_from(tokens, at, until)
        value, until = _and_more(text, tokens, at, Fraction(1), tokens[at].end)
        figure = _plain(value * ms, value * ms, MS, False, tokens[at].start, until, _finest(value) * ms)
        if value > 1:  # hour and a half
            return figure, _token_from(tokens, at, until)
        return (
            (replace(figure, idle=word == "minute"), at + 1)
            if before is not None and before.text == "another"
            else None
        )
    heard, after = with_unit(tokens, at, Fraction(1), at, cups)
    if heard is None or not heard.unit or (heard.value == 1 and word_at(tokens, after) != "of"):
        return None
    figure = _plain(heard.value, heard.value, heard.unit, heard.about, heard.start, heard.end, _finest(heard.value))
    return replace(figure, idle=heard.value == 1), after


_COUNT = {"two": 2, "three": 3}


def _and_more(text: str, tokens: Sequence[Token], at: int, value: Fraction, end: int) -> tuple[Fraction, int]:
    """``an hour **and a half**``."""
    at = _token_from(tokens, at, end)
    if word_at(tokens, at) == "and" and not breaks_at(tokens, at + 1):
        told = number_at(tokens, at + 1)
        if told is not None and told[0] < 1 and not _TIME.match(text, _over_a(text, tokens[told[1] - 1].end)):
            return value + told[0], tokens[told[1] - 1].end
    return value, end


# --- numbers ----------------------------------------------------------------------------------------------------------


def _low_and_high(tokens: Sequence[Token], at: int) -> tuple[Fraction, Fraction, int, bool] | None:
    """A number or a range, the token after it, and whether it is loosely said."""
    if loose := _loose(tokens, at):
        return loose
    told = _number(tokens, at)
    if told is None:
        return None
    low, after = told
    if word_at(tokens, after) == "dozen":
        return low * 12, low * 12, after + 1, False
    if after < len(tokens) and (other := _second(tokens, at, after, low)):
        return (low, *other, False)
    return low, low, after, False


def _second(tokens: Sequence[Token], at: int, after: int, low: Fraction) -> tuple[Fraction, int] | None:
    """The other end of a range: *to seven*, *or seven*, *and seven* after *between*; *six, seven*, *six seven*; and what a
    ratio is to: *to one*."""
    gap = tokens[after].gap.strip()
    word = word_at(tokens, after)
    between = at > 0 and tokens[at - 1].text == "between"
    if gap in ("-", "–", "—", ":") and (told := _number(tokens, after)):
        ratio_or_range = told[0] == 1 if gap == ":" else told[0] > low
        return told if ratio_or_range else None
    joins = ("to", "or", "and") if between else ("to", "or")
    if word in joins and not breaks_at(tokens, after + 1):
        told = heard_four(tokens, after + 1) or _number(tokens, after + 1)
        fits = told and (told[0] > low or (word == "to" and told[0] == 1))
        return told if fits else tenths_on(tokens, at, after, low)
    if (
        word == "and" and low >= 10 and low % 5 == 0 and not breaks_at(tokens, after + 1)
    ):  # forty and forty-five minutes
        told = _number(tokens, after + 1)
        return told if told and told[0] == low + 5 else None
    told = _number(tokens, after) if gap in ("", ",") and low.denominator == 1 else None
    if told and 200 <= low < told[0] <= low + 50 and not tokens[at].figure:  # three fifty three eighty
        return told
    if low >= 60:
        return None
    return told if told and (told[0] == low + 1 or (low % 5 == 0 < low and told[0] == low + 5)) else None


def _number(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """A number; *three fifty* and *four twenty-five* are hundreds, as ovens are read out."""
    told = number_at(tokens, at)
    if told is not None and tokens[at].figure and told[1] < len(tokens) and tokens[told[1]].gap == "-":
        part = number_at(tokens, told[1])  # 1-1/2
        if told[0].denominator == 1 and part is not None and part[0] < 1:
            return told[0] + part[0], part[1]
    if told is None or tokens[at].figure or not (1 <= told[0] <= 9) or told[1] != at + 1:
        return told
    if breaks_at(tokens, told[1]) or tokens[told[1]].figure:
        return told
    tens = number_at(tokens, told[1])
    if tens is not None and tens[1] == told[1] + 2 and word_at(tokens, tens[1]) in TENS:
        tens = Fraction(tens[0] // 10 * 10), told[1] + 1  # three fifty, three eighty
    if tens is not None and tens[0].denominator == 1 and 10 <= tens[0] <= 99:
        return told[0] * 100 + tens[0], tens[1]
    return told


def _before_its_hundreds(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """The *three* of *three fifty*, and the token after it; None where the number at the token was not read so."""
    plain = None if tokens[at].figure else number_at(tokens, at)
    return None if plain == _number(tokens, at) else plain


def _loose(tokens: Sequence[Token], at: int) -> tuple[Fraction, Fraction, int, bool] | None:
    """``a couple of``, ``a few``, ``half a dozen``."""
    words = [tokens[at].text, word_at(tokens, at + 1), word_at(tokens, at + 2)]
    if words == ["half", "a", "dozen"]:
        return Fraction(6), Fraction(6), at + 3, False
    alone = words[0] == "several" or (words[0] == "couple" and words[1] not in ("", "up", "this", "that"))
    kind = words[0] if alone else words[1] if words[0] == "a" else ""
    if kind not in _LOOSELY:
        return None
    after = at + (1 if alone else 2)
    if word_at(tokens, after) == "of":
        after += 1
    low, high = _LOOSELY[kind]
    return Fraction(low), Fraction(high), after, kind != "dozen"


def _grain(tokens: Sequence[Token], at: int, after: int) -> Fraction:
    """Of *eleven point three* a tenth."""
    said = 0
    for n in range(at, after):
        if tokens[n].text == "point":
            said = max(said, sum(1 for _ in itertools.takewhile(lambda t: t.text in _DIGITS, tokens[n + 1 : after])))
    written = max((len(t.text.partition(".")[2]) for t in tokens[at:after] if t.figure), default=0)
    return Fraction(1, 10 ** max(said, written))


def _finest(value: Fraction) -> Fraction:
    return Fraction(1, value.denominator)
