"""The amount at the start of an ingredient line, in the many ways in which lines begin; every reading that is not plain is a
guess that is told."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.data_files import rows_of
from scriptkit.measure.amounts import Amount, Cups, Kind, NotAnAmount, canonical_unit, parse_amount
from scriptkit.measure.numbers import NUMBER, NotANumber, format_number, split_number

TO_TASTE = "to taste"
_WORD_NUMBERS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip
_WORD_PARTS = {"half": Fraction(1, 2), "quarter": Fraction(1, 4), "third": Fraction(1, 3), "eighth": Fraction(1, 8)}
_NUMBER_WORDS = re.compile(
    r"^(?:(?P<part>half|(?:(?:a|one|two|three) )?(?:quarters?|thirds?|eighths?|half))(?:\s+(?:of\s+)?an?)?"
    r"|(?P<whole>a|an|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)(?P<more>\s+and\s+(?:a|one)[\s-](?:half|quarter|third))?)\s+",
    re.IGNORECASE,
)
_RANGE = re.compile(rf"^({NUMBER})\s*(?:-|–|—|\bto\b|\bor\b)\s*({NUMBER})(?=[\s\D]|$)", re.IGNORECASE)
_TIMES = re.compile(rf"^(\d+)\s*[x×]\s*(?={NUMBER})", re.IGNORECASE)
_AND_PART = re.compile(rf"^(\d+)\s+(?:and|&|\+)\s+({NUMBER})\b")
_COMMA = re.compile(r"^(\d+),(\d{1,2})(?!\d)")
_LOOSE = re.compile(
    r"^(?:about|approx(?:imately|\.)?|around|roughly|nearly|scant|heap(?:ed|ing)|rounded|generous|good|big|level|small|large)\s+(?=\w)",
    re.IGNORECASE,
)
_OTHER_UNITS = re.compile(
    rf"^({NUMBER}\s*[A-Za-z]+\.?)\s*/\s*{NUMBER}\s*(?:fl\.?\s*oz|oz|lbs?|g|kg|ml|l|cups?|pints?)\b\.?", re.IGNORECASE
)
"""The same amount again in other units: *250g/9oz*."""
_A_LOT = re.compile(
    r"^((?:small|large|big|good|generous)?\s*(bunch|handful|pinch|knob|splash|drizzle|dash|sprig|slice|piece|stick|clove)\s+(?:of\s+)?)(?=\w)",
    re.IGNORECASE,
)
_PLUS = re.compile(rf"^(?:plus|and|\+)\s+(?={NUMBER})", re.IGNORECASE)
_BRACKET = re.compile(r"\(([^()]*)\)")


@dataclass(frozen=True, slots=True)
class Measured:
    """``amount`` is in the words of a dish file; ``rest`` what follows it; ``guesses`` what must be confirmed."""

    amount: str
    rest: str
    guesses: tuple[str, ...]


@functools.cache
def _old() -> dict[str, tuple[str, str]]:
    """Word → amount of one of it, and what is guessed about it."""
    rows = rows_of("scriptkit.drafting", "old_measures.csv", ("word", "amount", "guess", "source"))
    return {word: (amount, guess) for word, amount, guess, _ in rows}


def begins_with_amount(line: str) -> bool:
    """Whether the line begins with a figure, or with a number word and a unit."""
    if re.match(rf"^(?:about\s+)?{NUMBER}", line):
        return True
    found = _NUMBER_WORDS.match(line)
    after = line[found.end() :].split() if found else []
    return bool(after) and (_unit_of(after[0]) is not None or after[0].casefold() in _old() or len(line) < 40)


def measured(line: str, cups: Cups = Cups.US) -> Measured:
    """The line's amount and the rest. Where none is told, it is `to taste`, which is a guess unless the line says so."""
    guesses: list[str] = []
    text = _OTHER_UNITS.sub(r"\1 ", line.strip())
    while (found := _LOOSE.match(text)) and _unit_of(found.group().strip()) is None:
        guesses.append(f"“{found.group().strip()}” counted as level")
        text = text[found.end() :]
    if found := _A_LOT.match(text):
        guesses.append(f"“{found.group(1).strip()}” counted as one")
        text = f"1 {text[found.start(2) :]}"
    value, text = _value(text, guesses)
    if value is None:
        return Measured(TO_TASTE, text, tuple(guesses))
    unit, text = _unit(text, guesses)
    if bracket := _weight_in_bracket(line, cups):
        inner, words = bracket
        whole = inner.times(value) if _is_pack(unit) else inner
        guesses.append(f"the weight in brackets was taken, not {format_number(value)} {unit}".rstrip())
        return Measured(written(whole), " ".join(text.replace(words, " ").split()), tuple(guesses))
    amount, text = _in_all(value, unit, text, guesses, cups)
    return Measured(amount, text, tuple(guesses))


def _in_all(value: Fraction, unit: str, text: str, guesses: list[str], cups: Cups) -> tuple[str, str]:
    """The amount as a dish file takes it, with what an old measure holds and with *plus 2 tablespoons*."""
    if unit in _old():
        each, told = _old()[unit]
        amount = parse_amount(each, cups=cups).times(value)
        guesses.append(told or f"“{unit}” counted as {each}")
        size, _, rest = text.partition(" ")
        if unit == "dozen" and _is_size(_unit_of(size)):
            return f"{format_number(amount.value)} {size}", rest
        return written(amount), text
    if found := _PLUS.match(text):
        more, rest = _value(text[found.end() :], [])
        other, rest = _unit(rest, []) if more is not None else ("", rest)
        try:
            one, two = (parse_amount(f"{_plain(v)} {u}", cups=cups) for v, u in ((value, unit), (more or value, other)))
            return written(Amount(one.value + two.exactly(one.unit), one.unit)), rest
        except (NotAnAmount, ValueError):
            guesses.append(f"“{text.removesuffix(rest).strip()}” left out")
            text = rest
    return f"{_plain(value)} {unit}".strip(), text


def _value(text: str, guesses: list[str]) -> tuple[Fraction | None, str]:
    """The number that the text begins with."""
    if found := _TIMES.match(text):
        each, rest = _value(text[found.end() :], guesses)
        return (None, text) if each is None else (each * int(found.group(1)), rest)
    if found := re.match(r"(?:a )?few (?:grains?|drops?|gratings?)(?: of)?\s+", text, re.IGNORECASE):
        return None, text[found.end() :]
    try:
        if found := _RANGE.match(text):
            least = split_number(found.group(1))[0]
            guesses.append(f"the recipe says {found.group().strip()}")
            return least, text[found.end() :].strip()
        if found := _AND_PART.match(text):
            return Fraction(int(found.group(1))) + split_number(found.group(2))[0], text[found.end() :].strip()
        return split_number(_COMMA.sub(r"\1.\2", text))
    except NotANumber:
        pass
    return _in_words(text)


def _in_words(text: str) -> tuple[Fraction | None, str]:
    """``one and a half``, ``half a``, ``three``; *a little* is no number."""
    found = _NUMBER_WORDS.match(text)
    if not found:
        return None, text
    rest = text[found.end() :].strip()
    if found.group("part"):
        words = found.group("part").casefold().split()
        times = {"two": 2, "three": 3}.get(words[0], 1)
        return _WORD_PARTS[words[-1].rstrip("s")] * times, rest
    whole = found.group("whole").casefold()
    value = Fraction(_WORD_NUMBERS[whole])
    if more := found.group("more"):
        value += _WORD_PARTS[re.split(r"[\s-]", more.casefold())[-1]]
    elif whole in ("a", "an") and re.match(r"(?:little|few|bit|some|good)\b", rest, re.IGNORECASE):
        return None, re.sub(r"^\w+\s+(?:bit\s+)?(?:of\s+)?", "", rest)
    return value, rest


def _unit(text: str, guesses: list[str]) -> tuple[str, str]:
    """The unit's word and the rest; empty where the line counts pieces."""
    while (found := _LOOSE.match(text)) and not _is_size(_unit_of(found.group().strip())):
        guesses.append(f"“{found.group().strip()}” counted as level")
        text = text[found.end() :]
    if text.casefold().startswith(("large ", "small ", "big ", "good ")):
        size, after = text.split(maxsplit=1)
        word = after.split()[0].strip(".,").casefold()
        if word in _old() or (_unit_of(word) and not _is_size(_unit_of(word))):
            guesses.append(f"“{size}” left out")
            text = after
    fluid = re.match(r"^(?:fl(?:uid)?\.?\s*(?:oz|ounces?)\b\.?|extra[\s-]large\b)\s*", text, re.IGNORECASE)
    if fluid:
        return ("extra large" if fluid.group().casefold().startswith("extra") else "fl oz"), _of(text[fluid.end() :])
    word, _, rest = text.partition(" ")
    word = word.strip(".,;")
    unit = _unit_word(word)
    if unit is None or (not rest.strip() and unit not in _old()):
        return "", text
    return ("" if unit in ("piece", "whole") else unit), _of(rest)


def _unit_word(word: str) -> str | None:
    """The unit as the rest of the house reads it, or a word of old_measures.csv; None where it is neither."""
    if word in ("T", "t"):
        return "tbsp" if word == "T" else "tsp"
    folded = word.casefold()
    spellings = (
        folded,
        folded.removesuffix("s"),
        re.sub(r"spoonsful$", "spoonful", folded),
        re.sub(r"fuls$", "ful", folded),
    )
    old = next((name for name in spellings if name in _old()), None)
    return old or (folded if _unit_of(word) else None)


def _of(rest: str) -> str:
    return (
        re.sub(r"^(?:of\s+)?(?:the\s+)?", "", rest.strip(), count=1, flags=re.IGNORECASE)
        if rest.strip().casefold().startswith("of ")
        else rest.strip()
    )


def _unit_of(word: str) -> str | None:
    return canonical_unit(word.strip(".,;"))


def _is_size(unit: str | None) -> bool:
    return unit in ("small", "medium", "large", "extra_large", "jumbo")


def _is_pack(unit: str) -> bool:
    return canonical_unit(unit) in ("can", "package") or unit == ""


def _weight_in_bracket(line: str, cups: Cups) -> tuple[Amount, str] | None:
    """A weight in brackets: ``1 (400 g) can``, ``2 cups (240 g)``; of several measures in it the first weight."""
    for found in _BRACKET.finditer(line):
        for piece in re.split(r"[/;,]|\bor\b", found.group(1)):
            try:
                amount = parse_amount(
                    re.sub(r"^(?:about|approx\.?)\s+|\s*(?:each|total)$", "", piece.strip().replace("-", " ")),
                    cups=cups,
                )
            except NotAnAmount:
                continue
            if amount.kind is Kind.MASS:
                return amount, found.group()
    return None


def written(amount: Amount) -> str:
    """As a dish file takes it."""
    one = str(amount)
    unit = one[len(format_number(amount.value)) :].strip()
    return f"{_plain(amount.value)} {unit}".strip()


def _plain(value: Fraction) -> str:
    """As a dish file takes it: ``1 1/2``, ``0.35``."""
    whole, part = divmod(value, 1)
    if part and part.denominator in (2, 3, 4, 8):
        return f"{whole} {part}" if whole else str(part)
    return format_number(Fraction(round(value * 1000), 1000), places=3)
