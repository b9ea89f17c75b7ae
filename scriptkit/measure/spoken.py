"""Amounts that a line speaks, in figures or in words, so that they can be held against the recipe."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from scriptkit.measure.amounts import Amount, Cups, Kind, canonical_unit
from scriptkit.measure.numbers import NUMBER, NotANumber, split_number
from scriptkit.measure.words import ONES, TENS

_TOKEN = re.compile(
    rf"(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)?)|(?P<thousands>\d+(?:_\d{{3}})+)|(?P<figure>{NUMBER})", re.IGNORECASE
)
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_SMALL = {word: n for n, word in enumerate(ONES)} | {"zero": 0}
_TENS = {word: 10 * n for n, word in enumerate(TENS) if n > 1}
_PARTS = {
    "half": (1, 2), "third": (1, 3), "thirds": (1, 3), "quarter": (1, 4), "quarters": (1, 4), "eighth": (1, 8),
    "eighths": (1, 8), "fifth": (1, 5), "fifths": (1, 5), "fourth": (1, 4), "fourths": (1, 4), "sixth": (1, 6), "sixteenth": (1, 16),
}  # fmt: skip
_HEARD_PARTS = {"three": 3, "four": 4, "forth": 4, "eight": 8, "ate": 8}
"""What recognisers make of *one third*, *one fourth* and *one eighth* before a spoon or a cup: *one four teaspoon*."""
_HEARD_FOUR = frozenset({"our", "for", "fore"})
"""What they make of *four* before a measure."""
_SPOONS = frozenset({"teaspoon", "tablespoon", "cup", "tsp", "tbsp"})
_SHORT_PARTS = frozenset({"quarter", "third", "eighth"})
"""*Quarter cup*, *third of a cup*: said without *a* or *one*."""
_COUNTS = re.compile(
    rf"\d|\b(?:half|hundred|thousand|{'|'.join([*_PARTS, *_SHORT_PARTS, *_SMALL, *_TENS])})\b", re.IGNORECASE
)
_CLOCK_UNITS = frozenset(
    "minute minutes min mins second seconds sec secs hour hours hr hrs degree degrees celsius centigrade fahrenheit calories".split()  # noqa: SIM905
)
ABOUT = frozenset({"about", "around", "roughly", "nearly", "almost", "approximately", "some", "over", "under", "maybe"})
_LOOSE = frozenset({"heaped", "heaping", "rounded", "rounding", "generous", "scant", "good", "big", "small", "large"})
"""Before a spoon or a cup: no exact amount."""
_PRAISE = frozenset({"nice", "fat", "plump", "lovely", "beautiful", "juicy", "little", "fresh"})
"""Before a measure: nothing of how much it is."""
_WORDS_OF_PRAISE = 2
_UNCOUNTED = frozenset({"few", "several", "couple", "of", "many"})
"""Before *hundred*: how many is not said."""
_SIZES = frozenset({"small", "medium", "large"})
_FULL = re.compile(r"fuls?$")
_EXACT = frozenset({"level", "full", "whole", "flat", "metric", "packed", "more", "further"})


@dataclass(frozen=True, slots=True)
class SpokenFigure:
    """An amount in a line, from ``start`` to ``end`` of its text. ``unit`` is a name from units.txt, or empty for a bare
    number; ``about``: not said as exact."""

    value: Fraction
    unit: str
    about: bool
    start: int
    end: int


class Token(NamedTuple):
    """A word or figure of a line."""

    text: str
    figure: bool
    start: int
    end: int
    gap: str
    """What stands between the token before and this one."""


def amounts_in(text: str, cups: Cups = Cups.US) -> list[SpokenFigure]:
    """Every number of the line with the kitchen unit after it. A range is no amount, and neither is *a two-litre pot*.

    >>> [(str(h.value), h.unit) for h in amounts_in("Two and a half tablespoons of butter, 320 g of stock, half a lemon")]
    [('5/2', 'tablespoon'), ('320', 'gram'), ('1/2', '')]
    """
    tokens = tokens_in(text)
    found: list[SpokenFigure] = []
    at = 0
    while at < len(tokens):
        told = number_at(tokens, at)
        if told is None:
            one = one_at(tokens, at, cups)
            if one is not None:
                found.append(one[0])
            at = at + 1 if one is None else one[1]
            continue
        value, after = told
        if past := _range(tokens, after):
            at = past
            continue
        heard, at = with_unit(tokens, at, value, after, cups)
        if heard is not None:
            found.append(heard)
    return _pounds_and_ounces(found, text)


def _pounds_and_ounces(found: list[SpokenFigure], text: str) -> list[SpokenFigure]:
    """*One pound eight ounces* is one amount, of ounces."""
    out: list[SpokenFigure] = []
    for one in found:
        before = out[-1] if out else None
        if (
            before is not None
            and (before.unit, one.unit) == ("pound", "ounce")
            and one.value < 16
            and text[before.end : one.start].strip(" ,").casefold() in ("", "and")
        ):
            out[-1] = replace(one, value=before.value * 16 + one.value, start=before.start)
        else:
            out.append(one)
    return out


def one_at(tokens: Sequence[Token], at: int, cups: Cups) -> tuple[SpokenFigure, int] | None:
    """``a tablespoon``, ``an ounce``, ``a level teaspoon``, and the token after it; None of *a pan*."""
    if tokens[at].text not in ("a", "an") or breaks_at(tokens, at + 1):
        return None
    heard, after = with_unit(tokens, at, Fraction(1), at + 1, cups)
    return None if heard is None or not heard.unit else (heard, after)


def tokens_in(text: str) -> list[Token]:
    """Words and figures in order, folded, with their places in the text; ``1,000`` is one figure."""
    plain = _THOUSANDS.sub("_", text)  # as long as before, so that places stay
    tokens, end = [], 0
    for found in _TOKEN.finditer(plain):
        kind, start, gap_from = found.lastgroup, found.start(), end
        end = found.end()
        word = plain[start:end].casefold()
        if kind == "thousands":
            word = word.replace("_", "")
        tokens.append(Token(word, kind != "word", start, end, plain[gap_from:start]))
    return tokens


def may_count(text: str) -> bool:
    """Whether a number can begin anywhere in it: cheap, and never False where :func:`number_at` finds one."""
    return not text.isascii() or _COUNTS.search(text) is not None


def breaks_at(tokens: Sequence[Token], at: int) -> bool:
    """Whether the token does not follow on the one before, but for a space or a hyphen."""
    return at >= len(tokens) or tokens[at].gap.strip(" \N{NO-BREAK SPACE}-") != ""


def word_at(tokens: Sequence[Token], at: int) -> str:
    """The word that follows on the one before; empty where there is none, or it is a figure."""
    return "" if breaks_at(tokens, at) or tokens[at].figure else tokens[at].text


def joined_at(tokens: Sequence[Token], at: int, ahead: int = 0) -> str:
    """The word after a comma or a stop that a recogniser put inside a figure: a unit must follow, ``ahead`` tokens on; else
    empty.

    >>> joined_at(tokens_in("seventy, five degrees"), 1, 1), joined_at(tokens_in("seventy, five eggs"), 1, 1)
    ('five', '')
    """
    breaks = (",",) if ahead else (",", ".")
    if at >= len(tokens) or tokens[at].gap.strip() not in breaks or tokens[at].figure:
        return ""
    return tokens[at].text if measures_at(tokens, at + ahead, broken=not ahead) else ""


def measures_at(tokens: Sequence[Token], at: int, *, broken: bool = False) -> bool:
    """Whether a unit of weight, volume, time or heat stands there; ``broken``: it need not follow on the word before."""
    if at >= len(tokens) or tokens[at].figure or (not broken and breaks_at(tokens, at)):
        return False
    word = tokens[at].text
    unit = None if word in _CLOCK_UNITS else canonical_unit(_FULL.sub("", word))
    return word in _CLOCK_UNITS or (
        len(word) > 2 and unit is not None and Amount(Fraction(1), unit).kind is not Kind.COUNT
    )


def heard_four(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """The second end of *two to for cups*, and the token after it."""
    return (Fraction(4), at + 1) if word_at(tokens, at) in _HEARD_FOUR and measures_at(tokens, at + 1) else None


def number_at(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """The number that begins at the token, and the token after it."""
    if tokens[at].figure:
        try:
            figure = split_number(tokens[at].text)[0]
        except NotANumber:
            return None
        more = _and_part(tokens, at + 1) if figure >= 1 else None
        return (figure + more[0], more[1]) if more else (figure, at + 1)
    part = _part(tokens, at) or _point(tokens, at)
    if part is not None:
        return part
    whole = _whole(tokens, at)
    if whole is None:
        return None
    value, after = whole
    if word_at(tokens, after) == "point" and word_at(tokens, after + 1) in _SMALL:
        digits = ""
        after += 1
        while word_at(tokens, after) in _SMALL:
            digits += str(_SMALL[word_at(tokens, after)])
            after += 1
        return value + Fraction(int(digits), 10 ** len(digits)), after
    more = _and_part(tokens, after)
    return (value + more[0], more[1]) if more else (Fraction(value), after)


def _part(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """``half``, ``a quarter``, ``two thirds``."""
    word = tokens[at].text
    if word == "half":
        return Fraction(1, 2), at + 1
    name = word_at(tokens, at + 1)
    if word in _SHORT_PARTS and not (at and tokens[at - 1].text in ("the", "a", "an")):
        of_one = name == "of" and word_at(tokens, at + 2) in ("a", "an")
        if of_one or (measures_at(tokens, at + 1) and not name.endswith("s")):
            return Fraction(*_PARTS[word]), at + 1
    if word == "one" and name in _HEARD_PARTS and word_at(tokens, at + 2) in _SPOONS:
        return Fraction(1, _HEARD_PARTS[name]), at + 2
    if name in _PARTS and (word in ("a", "an") or word in _SMALL):
        return Fraction(*_PARTS[name]) * (1 if word in ("a", "an") else _SMALL[word]), at + 2
    return None


def _point(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """``point five`` before a weight or a volume; not *at this point five minutes*."""
    after = at + 1
    while word_at(tokens, after) in _SMALL:
        after += 1
    digits = "".join(str(_SMALL[tokens[n].text]) for n in range(at + 1, after))
    known = at and tokens[at - 1].text in (
        "this",
        "that",
        "the",
        "a",
        "some",
        "which",
        "one",
        "boiling",
        "smoking",
        "melting",
    )
    if tokens[at].text != "point" or not digits or known or word_at(tokens, after) in _CLOCK_UNITS:
        return None
    end = number_at(tokens, after + 1) if word_at(tokens, after) in ("to", "or") else None
    measured = measures_at(tokens, after) or (
        end is not None and measures_at(tokens, end[1])
    )  # point five to one teaspoon
    return (Fraction(int(digits), 10 ** len(digits)), after) if measured else None


def tenths_on(tokens: Sequence[Token], at: int, after: int, low: Fraction) -> tuple[Fraction, int] | None:
    """The other end of *eleven point three to four grams*, *one point one to point three litres*, by its tenths alone, and the token after
    it. The figure stands from ``at`` to before ``after``, and the other end begins at the next token but one."""
    told = number_at(tokens, after + 1)
    if told is None or after - at < 3 or tokens[after - 2].text != "point" or not measures_at(tokens, told[1]):
        return None
    tenths = told[0] / 10 if told[0].denominator == 1 and 1 <= told[0] <= 9 else told[0]
    value = low // 1 + tenths
    return (value, told[1]) if tenths < 1 and told[0] < low < value else None


def _and_part(tokens: Sequence[Token], at: int, *, comma: bool = False) -> tuple[Fraction, int] | None:
    """``and a half``, ``and three quarters``; after a unit also ``a tablespoon, and a half``."""
    after_comma = comma and at < len(tokens) and tokens[at].gap.strip() == "," and tokens[at].text == "and"
    if (word_at(tokens, at) != "and" and not after_comma) or breaks_at(tokens, at + 1):
        return None
    if after_comma and (tokens[at + 1].text not in ("a", "one") or word_at(tokens, at + 2) != "half"):
        return None
    if after_comma and (measures_at(tokens, at + 3) or word_at(tokens, at + 3) in ("a", "an")):
        return None  # a cup, and a half teaspoon of …
    if tokens[at + 1].figure:  # 2 and 1/2, as speech recognition writes it
        told = number_at(tokens, at + 1)
        return told if told is not None and 0 < told[0] < 1 else None
    if tokens[at + 1].text in ("a", "one") and (name := joined_at(tokens, at + 2, 1)) in _PARTS:  # two and a, half cups
        return Fraction(*_PARTS[name]), at + 3
    return _part(tokens, at + 1)


def _whole(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    total, group, begun, size = 0, 0, False, 0
    if tokens[at].text == "a" and word_at(tokens, at + 1) in ("hundred", "thousand"):
        group, begun, size, at = 1, True, 1, at + 1
    elif tokens[at].text == "hundred" and not (at and tokens[at - 1].text in _UNCOUNTED):  # hundred and eighty
        group, begun, size, at = 100, True, 100, at + 1
    while True:
        word = tokens[at].text if not begun and at < len(tokens) else word_at(tokens, at)
        if begun and not word and size >= 10:
            after_thousand = (
                size >= 1000 and at < len(tokens) and tokens[at].gap.strip() == ","
            )  # one thousand, one hundred
            word = tokens[at].text if after_thousand else joined_at(tokens, at, 1)
            word = word if word in _SMALL or (word in _TENS and size >= 100) else ""
        if word == "and" and size >= 100 and (word_at(tokens, at + 1) in _SMALL or word_at(tokens, at + 1) in _TENS):
            if _part(tokens, at + 1) is not None:
                break
            at += 1
            continue
        if word in _TENS and (not begun or size >= 100):
            group, size = group + _TENS[word], 10
        elif word in _SMALL and (not begun or size >= 100 or (size == 10 and 0 < _SMALL[word] < 10)):
            group, size = group + _SMALL[word], 1
        elif word == "hundred" and begun and size <= 10:
            group, size = group * 100, 100
        elif word == "thousand" and begun:
            total, group, size = total + group * 1_000, 0, 1_000
        elif word == "million" and begun:
            total, group, size = (total + group) * 1_000_000, 0, 1_000
        else:
            break
        begun = True
        at += 1
    return (Fraction(total + group), at) if begun else None


def _range(tokens: Sequence[Token], at: int) -> int | None:
    """Where ``to three`` or ``–3`` follows: the token after the range."""
    if at >= len(tokens):
        return None
    if tokens[at].gap.strip() in ("-", "–", "—") and (told := number_at(tokens, at)):
        return told[1]
    if word_at(tokens, at) in ("to", "or") and not breaks_at(tokens, at + 1) and (told := number_at(tokens, at + 1)):
        return told[1]
    return None


def with_unit(
    tokens: Sequence[Token], first: int, value: Fraction, at: int, cups: Cups
) -> tuple[SpokenFigure | None, int]:
    """The ``value`` said from the token ``first`` to before ``at``, with the unit after it, and the token after that.
    None of *the two-litre pot*; without a unit, a bare number."""
    before = {tokens[n].text for n in range(max(0, first - 2), first)}
    about = bool(before & ABOUT)
    after = at
    if value < 1 and word_at(tokens, after) == "of" and word_at(tokens, after + 1) in ("a", "an"):
        after += 2
    elif value < 1 and (word_at(tokens, after) in ("a", "an") or joined_at(tokens, after, 1) in ("a", "an")):
        after += 1  # half a cup, one third, a cup
    if _unit(tokens, past := _past_praise(tokens, after), cups) is not None:  # eight nice large cloves
        about = about or any(tokens[n].text in _LOOSE for n in range(after, past))
        after = past
    elif word_at(tokens, after) in _EXACT:
        after += 1
    described = after < len(tokens) and tokens[after].gap == "-"  # the two-litre pot
    unit = None if described else _unit(tokens, after, cups)
    if unit is None:
        return (None if described else SpokenFigure(value, "", about, tokens[first].start, tokens[at - 1].end)), at
    name, after = unit
    if name in _SIZES:
        name, after = _of_what_size(tokens, name, after)
    if more := _and_part(tokens, after, comma=True):
        value, after = value + more[0], more[1]
    if word_at(tokens, after) == "or" and word_at(tokens, after + 1) == "so":
        about = True
    return SpokenFigure(value, name, about, tokens[first].start, tokens[after - 1].end), after


def _of_what_size(tokens: Sequence[Token], size: str, at: int) -> tuple[str, int]:
    """The size and the token after it: *medium sized*; none of *small or medium*."""
    if word_at(tokens, at) in ("or", "to") and word_at(tokens, at + 1) in _SIZES:
        size, at = "", at + 2
    return size, at + 1 if word_at(tokens, at) in ("size", "sized") else at


def _past_praise(tokens: Sequence[Token], at: int) -> int:
    """The token after what is said of a measure and is none of its own: *nice large* cloves, *heaping* spoons."""
    after = at
    while after < at + _WORDS_OF_PRAISE and word_at(tokens, after) in (_LOOSE | _EXACT | _PRAISE):
        after += 1
    return after


def _unit(tokens: Sequence[Token], at: int, cups: Cups) -> tuple[str, int] | None:
    word, following = word_at(tokens, at) or joined_at(tokens, at), word_at(tokens, at + 1)
    if not word:
        return None
    if (word in ("fluid", "fl") and following in ("ounce", "ounces", "oz")) or (word, following) == ("extra", "large"):
        return ("extra_large" if word == "extra" else "fluid_ounce"), at + 2
    after = at + 1
    if word in ("table", "tea") and following in ("spoon", "spoons"):  # as speech recognition writes it
        word, after = f"{word}spoon", at + 2
    name = canonical_unit(_FULL.sub("", word), cups)
    return None if name is None else (name, after)
