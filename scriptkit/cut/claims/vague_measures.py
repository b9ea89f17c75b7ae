"""A knob of, a splash of: measures that no two cooks fill alike, and the amounts that each may stand for."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from fractions import Fraction

from scriptkit.data_files import made_of_rows
from scriptkit.measure.amounts import Amount
from scriptkit.measure.figures import Figure
from scriptkit.measure.numbers import format_number
from scriptkit.measure.words import ONES
from scriptkit.patterns import LazyPattern

OF_FINGERS = frozenset({"pinch", "dash", "grind", "sprinkle", "sprinkling"})
"""Measures that are as much as the cook takes: never surely wrong."""


@functools.cache
def vague_measures() -> dict[str, tuple[Fraction, Fraction, str]]:
    """Word → least, most and unit of it. Raises BadDataFile."""
    columns = ("word", "least", "most", "unit", "source")
    return dict(made_of_rows("scriptkit.cut.claims", "vague_measures.csv", columns, _vague_measure))


def _vague_measure(word: str, least: str, most: str, unit: str, _: str) -> tuple[str, tuple[Fraction, Fraction, str]]:
    return word, (Fraction(least), Fraction(most), {"g": "gram", "ml": "millilitre"}[unit])


def taken_as(word: str) -> str:
    """``a knob is taken as 8 to 35 g``."""
    least, most, unit = vague_measures()[word]
    return f"a {word} is taken as {format_number(least)} to {Amount(most, unit)}"


def vague_in(text: str) -> Iterator[tuple[Figure, str]]:
    """``a good knob of butter``: the figures that it may stand for."""
    for found in _vague_pattern().finditer(text):
        least, most, unit = vague_measures()[found.group("word").casefold()]
        fewest = _count_of(found.group("count"))
        greatest = _count_of(found.group("most") or found.group("count"))
        yield (
            Figure(
                low=least * fewest, high=most * greatest, unit=unit, grain=Fraction(1), about=True,
                start=found.start(), end=found.end("measure"),
            ),
            found.group("word").casefold(),
        )  # fmt: skip


def _count_of(word: str) -> int:
    """*Four dashes*, *a couple of knobs*; any other word is one."""
    plain = word.casefold()
    return ONES.index(plain) if plain in ONES else 2 if "couple" in plain else 1


@functools.cache
def _vague_pattern() -> LazyPattern:
    words = "|".join(map(re.escape, vague_measures()))
    numbers = "|".join(ONES[1:11])
    return LazyPattern(
        rf"\b(?P<measure>(?P<count>a couple of|an?|{numbers}|another|little)(?:\s+(?:to|or)\s+(?P<most>{numbers}))?\s+(?:\w+\s+)?"
        rf"(?P<word>{words})(?:s|es)?)\s+of\b",
        re.IGNORECASE,
    )
