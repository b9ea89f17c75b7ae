"""Numbers as cooks write them: ``2``, ``1.5``, ``1 1/2``, ``½``, ``1½``; exact, as fractions."""

from __future__ import annotations

import functools
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_FRACTION_BAR = "/⁄"  # the second is what ½ decomposes to
_FRACTION = rf"\d+\s?[{_FRACTION_BAR}]\s?\d+"
NUMBER = rf"(?:\d+\s+{_FRACTION}|{_FRACTION}|\d*\.\d+|\d+\s*[{_VULGAR}]|\d+|[{_VULGAR}])"
_RANGE = re.compile(rf"^({NUMBER})\s*(?:-|–|—|to\b|or\b)\s*({NUMBER})")
_LEADING = re.compile(rf"^({NUMBER})(?![\d.,{_FRACTION_BAR}])\s*")
_HYPHENATED = re.compile(rf"^(\d+)-({_FRACTION})(?!\d)")
_COMMA = re.compile(r"^(\d+),(\d+)")

LARGEST = 10**9
"""No kitchen figure is larger; it also bounds the work a hostile file can ask for."""

# Fractions a kitchen has measures for (common practice, no source), and how they are printed.
_SPOONABLE = {
    Fraction(1, 8): "⅛", Fraction(1, 4): "¼", Fraction(1, 3): "⅓", Fraction(3, 8): "⅜", Fraction(1, 2): "½",
    Fraction(5, 8): "⅝", Fraction(2, 3): "⅔", Fraction(3, 4): "¾", Fraction(7, 8): "⅞",
}  # fmt: skip


class NotANumber(ValueError):
    """Carries a hint for the cook in ``hint``."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


@functools.lru_cache(maxsize=1024)
def split_number(text: str) -> tuple[Fraction, str]:
    """The number at the start of ``text`` and what follows it.

    >>> split_number("1 1/2 tbsp")
    (Fraction(3, 2), 'tbsp')

    Raises NotANumber for a range, a decimal comma, a division by zero, a figure over ``LARGEST``, or no number at all.
    """
    text = text.strip()
    if found := _HYPHENATED.match(text):
        whole, part = found.groups()
        raise NotANumber(f"“{text}” reads as a range", f"write {whole} {part} with a space if that is what you mean")
    if found := _RANGE.match(text):
        low, high = found.groups()
        rest = text[found.end() :].strip()
        low, high = (f"{end} {rest}".strip() for end in (low, high))
        raise NotANumber(f"“{text}” is a range", f"write the one that you will use: `{low}` or `{high}`")
    if found := _COMMA.match(text):
        whole, part = found.groups()
        if len(part) == 3:  # a thousand here, a decimal there: a thousandfold apart
            raise NotANumber(f"“{text}” could be {whole}{part} or {whole}.{part}", "write it without the comma")
        raise NotANumber(f"“{text}” has a decimal comma", f"write `{whole}.{part}{text[found.end() :]}`, with a point")
    if re.match(rf"^[-–−]\s*[\d.{_VULGAR}]", text):
        raise NotANumber(f"“{text}” is negative", "write an amount above zero")
    found = _LEADING.match(text)
    if not found and text[:1].isdigit():
        raise NotANumber(f"the number in “{text}” cannot be read", "write it like 30, 1.5 or 1 1/2")
    if not found:
        near = in_figures(text)
        hint = f"write `{near}`" if near else "write a number first, such as 30 g or 1 1/2 tbsp"
        raise NotANumber(f"“{text}” does not start with a number", hint)
    return _value(found.group(1)), text[found.end() :].strip()


_ABOUT = re.compile(
    r"^(?:about|approx(?:imately|\.)?|around|roughly|circa|ca\.?|c\.|some|up to|at least|~|≈|±)\s*(?=\S)", re.IGNORECASE
)
_IN_WORDS = {
    "half": "½", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
    "ten": "10", "eleven": "11", "twelve": "12", "quarter": "¼", "third": "⅓",
}  # fmt: skip
_WORD = re.compile(
    rf"^(?:(?:an?|one)\s+(?=half|quarter|third|dozen))?({'|'.join(_IN_WORDS)})\b(?:\s+of)?(?:\s+an?\b)?", re.IGNORECASE
)
_DOZEN = re.compile(r"^(?:an?\s+)?(half\s+(?:an?\s+)?)?dozen\b", re.IGNORECASE)


def in_figures(text: str) -> str:
    """The text with its number in figures and first: of *about 150 g*, *half a leek*, *two medium*; empty where that is not enough.

    >>> in_figures("about 150 g"), in_figures("half a leek"), in_figures("a dozen eggs"), in_figures("some")
    ('150 g', '½ leek', '12 eggs', '')
    """
    plain = _ABOUT.sub("", text.strip())
    plain = _DOZEN.sub(lambda m: "6" if m[1] else "12", plain)
    plain = " ".join(_WORD.sub(lambda m: _IN_WORDS[m[1].casefold()], plain).split())
    return plain if plain != text.strip() and _LEADING.match(plain) else ""


def _value(number: str) -> Fraction:
    total = Fraction(0)
    plain = unicodedata.normalize("NFKC", re.sub(rf"([{_VULGAR}])", r" \1", number))
    for part in re.sub(r"\s*[/⁄]\s*", "/", plain).split():
        if len(part) > 30:
            raise NotANumber("a number has more than 30 digits", "write fewer digits")
        try:
            total += Fraction(part)
        except ZeroDivisionError:
            raise NotANumber(f"“{part}” divides by zero", "write a real fraction, such as 1/2") from None
    if total > LARGEST:
        raise NotANumber(f"“{number}” is larger than any kitchen figure", "check the number")
    return total


def format_number(value: Fraction | float, *, places: int = 2) -> str:
    """A figure as a kitchen reads it: whole, a measuring-spoon fraction, or at most ``places`` decimals, one or more.

    >>> format_number(Fraction(3, 2)), format_number(Fraction(7, 20)), format_number(3.0)
    ('1 ½', '0.35', '3')
    """
    exact = Fraction(value)
    whole, part = divmod(exact, 1)
    if part == 0:
        return str(whole)
    if part in _SPOONABLE:
        return f"{whole} {_SPOONABLE[part]}" if whole else _SPOONABLE[part]
    return f"{float(exact):.{places}f}".rstrip("0").rstrip(".")


def round_half_up(value: float) -> int:
    """To a whole number, halves away from zero, as people round by hand."""
    return int(Decimal(repr(value)).quantize(Decimal(1), rounding=ROUND_HALF_UP))
