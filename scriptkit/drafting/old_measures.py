"""The amount at the start of an ingredient line, in the many ways in which lines begin; every reading that is not plain is a
guess that is told."""

from __future__ import annotations

import functools
import re
from fractions import Fraction

from scriptkit.data_files import rows_of
from scriptkit.measure.amounts import Amount, canonical_unit
from scriptkit.measure.numbers import NUMBER, NotANumber, format_number, split_number

TO_TASTE = "to taste"
_WORD_NUMBERS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip
_SHORT = {
    "c": "cup",
    "tb": "tbsp",
    "tbl": "tbsp",
    "tbls": "tbsp",
    "tblsp": "tbsp",
    "ts": "tsp",
    "gm": "g",
    "gms": "g",
    "ozs": "oz",
    "cloves/": "clove",
}
_SLIPS = (
    (re.compile(r"tea?s?p{0,2}o{1,3}n?s?"), "tsp"),
    (re.compile(r"tab(?:le|el|e|l)?s?p{0,2}o{1,3}n?s?"), "tbsp"),
)
"""Spoons as they are misspelt."""
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
LOOSE = re.compile(
    r"^(?:about|approx(?:imately|\.)?|around|roughly|nearly|scant|full|heap(?:ed|ing)|rounded|(?:(?:firmly|lightly|loosely|well)\s+)?packed|level(?:ed)?|generous|good|big|level|small|large|whole(?=\s+(?:heads?|bulbs?|cans?|tins?|jars?|packe?t?s?|bunch)\b))\s+(?=\w)",
    re.IGNORECASE,
)
_FEW = re.compile(
    r"(?:a )?few (?=(?:[^\W\d]+ )?(?:sprigs?|slices?|leaves|cloves|stalks|stems|rashers|pinches|handfuls)\b)",
    re.IGNORECASE,
)
A_LOT = re.compile(
    r"^((?:small|large|big|good|generous)?\s*(bunch|thumb|handful|pinch|knob|splash|drizzle|glug|squeeze|dash|sprinkle|sprinkling|sprig|slice|piece|stick|clove)\s+(?:of\s+)?)(?=\w)",
    re.IGNORECASE,
)


@functools.cache
def old_measures() -> dict[str, tuple[str, str]]:
    """Word → amount of one of it, and what is guessed about it."""
    rows = rows_of("scriptkit.drafting", "old_measures.csv", ("word", "amount", "guess", "source"))
    return {word: (amount, guess) for word, amount, guess, _ in rows}


def begins_with_amount(line: str) -> bool:
    """Whether the line begins with a figure, or with a number word and a unit."""
    if re.match(rf"^(?:about\s+)?{NUMBER}", line):
        return True
    if A_LOT.match(line) and re.match(
        r"\w+ (?:bunch|handful|thumb|sprig|pinch)\b|(?:bunch|handful|pinch) of\b", line, re.IGNORECASE
    ):
        return True
    found = _NUMBER_WORDS.match(line)
    after = line[found.end() :].split() if found else []
    return bool(after) and (
        unit_of_word(after[0]) is not None or after[0].casefold() in old_measures() or len(line) < 40
    )


def value_at_start(text: str, guesses: list[str]) -> tuple[Fraction | None, str]:
    """The number that the text begins with, of a range the lower, and what follows it; None where it begins with none.
    ``guesses`` gets what was read loosely."""
    if found := _TIMES.match(text):
        each, rest = value_at_start(text[found.end() :], guesses)
        return (None, text) if each is None else (each * int(found.group(1)), rest)
    if few := _a_few(text, guesses):
        return few
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


def _a_few(text: str, guesses: list[str]) -> tuple[Fraction | None, str] | None:
    """*A few sprigs* are three; a few grains or drops are no amount; None where the text begins with neither."""
    if found := _FEW.match(text):
        guesses.append("“a few” counted as 3")
        return Fraction(3), text[found.end() :]
    found = re.match(r"(?:a )?few (?:grains?|drops?|gratings?)(?: of)?\s+", text, re.IGNORECASE)
    return (None, text[found.end() :]) if found else None


def at_its_most(text: str) -> str:
    """The text with the upper figure of the range that it begins with: *3 carrots* of *2-3 carrots*; empty where it begins with none.

    >>> at_its_most("2 to 3 tbsp capers"), at_its_most("2 leeks")
    ('3 tbsp capers', '')
    """
    while found := LOOSE.match(text):
        text = text[found.end() :]
    found = _RANGE.match(text)
    return f"{found.group(2)}{text[found.end() :]}" if found else ""


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
    elif whole in ("a", "an") and re.match(r"good\b", rest, re.IGNORECASE) and _unit_word(*rest.split()[1:2] or [""]):
        return value, rest  # a good handful
    elif whole in ("a", "an") and re.match(r"(?:little|few|bit|some|good)\b", rest, re.IGNORECASE):
        return None, re.sub(r"^\w+\s+(?:bit\s+)?(?:of\s+)?", "", rest)
    return value, rest


def unit_at_start(text: str, guesses: list[str]) -> tuple[str, str]:
    """The unit's word and the rest; empty where the line counts pieces."""
    while (found := LOOSE.match(text)) and not is_size(unit_of_word(found.group().strip())):
        guesses.append(f"“{found.group().strip()}” counted as level")
        text = text[found.end() :]
    if text.casefold().startswith(("large ", "small ", "big ", "good ")):
        size, after = text.split(maxsplit=1)
        word = after.split()[0].strip(".,").casefold()
        if word in old_measures() or (unit_of_word(word) and not is_size(unit_of_word(word))):
            guesses.append(f"“{size}” left out")
            text = after
    fluid = re.match(r"^(?:fl(?:uid)?\.?\s*(?:oz|ounces?)\b\.?|extra[\s-]large\b)\s*", text, re.IGNORECASE)
    if fluid:
        return ("extra large" if fluid.group().casefold().startswith("extra") else "fl oz"), without_of(
            text[fluid.end() :]
        )
    word, _, rest = text.partition(" ")
    word = word.strip(".,;")
    unit = _unit_word(word)
    if unit is None or (not rest.strip() and unit not in old_measures()):
        return "", text
    if unit == "whole":
        return "", text  # which says what it is: a whole chicken, whole wheat
    return ("" if unit == "piece" else unit), without_of(rest)


def _unit_word(word: str) -> str | None:
    """The unit as the rest of the house reads it, or a word of old_measures.csv; None where it is neither."""
    if word in ("T", "t"):
        return "tbsp" if word == "T" else "tsp"
    if (short := _SHORT.get(word.casefold())) is not None:
        return short
    folded = word.casefold()
    spellings = (
        folded,
        folded.removesuffix("s"),
        re.sub(r"spoonsful$", "spoonful", folded),
        re.sub(r"fuls$", "ful", folded),
    )
    old = next((name for name in spellings if name in old_measures()), None)
    if old or unit_of_word(word):
        return old or folded
    return next((unit for slip, unit in _SLIPS if slip.fullmatch(folded)), None)


def without_of(rest: str) -> str:
    """What follows *of*, *of the*; the text itself where it begins otherwise."""
    return (
        re.sub(r"^(?:of\s+)?(?:the\s+)?", "", rest.strip(), count=1, flags=re.IGNORECASE)
        if rest.strip().casefold().startswith("of ")
        else rest.strip()
    )


def unit_of_word(word: str) -> str | None:
    """The unit's one name in units.txt; None where the word is no unit."""
    return canonical_unit(word.strip(".,;"))


def is_size(unit: str | None) -> bool:
    """Whether the unit is a size of a piece."""
    return unit in ("small", "medium", "large", "extra_large", "jumbo")


def written(amount: Amount) -> str:
    """As a dish file takes it."""
    one = str(amount)
    unit = one[len(format_number(amount.value)) :].strip()
    return f"{plain_number(amount.value)} {unit}".strip()


def plain_number(value: Fraction) -> str:
    """As a dish file takes it: ``1 1/2``, ``0.35``."""
    whole, part = divmod(value, 1)
    if part and part.denominator in (2, 3, 4, 8):
        return f"{whole} {part}" if whole else str(part)
    return format_number(Fraction(round(value * 1000), 1000), places=3)
