"""Temperatures that a step states, each with what it is of: the oven, the inside of the food, a surface, or a liquid."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.english.heat import OVEN_FROM_C, Heat
from scriptkit.measure.figures import CELSIUS, FAHRENHEIT, figures_in
from scriptkit.measure.temperatures import fahrenheit_to_celsius
from scriptkit.patterns import LazyPattern

CORE, SURFACE, LIQUID, UNTOLD = "core", "surface", "liquid", ""
"""Beside the sources of heat.py (``oven``, ``air fryer`` …). ``UNTOLD``: nothing tells what is so hot."""
_I = re.IGNORECASE
_OF = (
    (CORE, LazyPattern(r"\b(?:internal|core|inside|thermometer|probe|centre|center|middle|thickest)\b", _I)),
    (
        LIQUID,
        LazyPattern(
            r"\b(?:oil|fat|lard|dripping|syrup|sugar|caramel|milk|custard|water|stock|cream|jam|chocolate)\b", _I
        ),
    ),
    (SURFACE, LazyPattern(r"\b(?:surface|stone|pan|plancha|griddle)\b", _I)),
)
_OVEN = LazyPattern(r"\b(?:oven|bak(?:e|es|ed|ing)|roast(?:s|ed|ing)?|preheat|fan|air[- ]?fryer)\b", _I)
_CLAUSE = LazyPattern(r"[.;:]|,(?! \d)|\b(?:then|and)\b", _I)


@dataclass(frozen=True, slots=True)
class Temperature:
    """From ``low_c`` to ``high_c``, alike where it is no range; ``of`` what; ``written``: from `heat:` or `core:`."""

    low_c: float
    high_c: float
    of: str
    words: str
    """In its own scale, of a range the lower end: ``400 °F``."""
    written: bool = False


@functools.lru_cache(maxsize=4096)
def temperatures_of(sentence: str, heat: Heat, core_c: float | None) -> tuple[Temperature, ...]:
    """Of `core:`, of `heat:` and of the sentence, in this order, each once."""
    found: list[Temperature] = []
    if core_c is not None:
        found.append(Temperature(core_c, core_c, CORE, f"{core_c:g} °C", True))
    if heat.written:
        of = heat.source if heat.celsius is None or heat.celsius >= OVEN_FROM_C else UNTOLD
        written = _in(heat.setting, of)
        if not written and heat.celsius is not None:
            written = [Temperature(heat.celsius, heat.celsius, of, f"{heat.celsius:.0f} °C")]
        found += [replace(t, written=True) for t in written]
    if any(c.isdigit() for c in sentence):
        found += _in(sentence, None)
    seen: dict[tuple[float, float], Temperature] = {}
    for one in found:
        seen.setdefault((round(one.low_c, 1), round(one.high_c, 1)), one)
    return tuple(seen.values())


_ALIKE_C = 6.0
"""Two scales in round figures differ by less: 400 °F and 200 °C."""


def other_degrees(sentence: str, heat: Heat) -> str:
    """The degrees that the words give the appliance, where `heat:` has written others and the words do not name those as well; else
    empty."""
    if not heat.written or heat.celsius is None:
        return ""
    said = [one for one in _in(sentence, None) if one.of == heat.source]
    if any(one.low_c - _ALIKE_C <= heat.celsius <= one.high_c + _ALIKE_C for one in said):
        return ""
    return next((one.words for one in said), "")


_UNTIL_IT_IS = LazyPattern(r"\b(?:pull|take|takes?|until|till|reach(?:es)?|reads?|says?|hits?|at|to)\b", _I)
_BARE_DEGREES = LazyPattern(r"\b(?:at|to|is|reads?|says?|hits?|reach(?:es)?) (?:about )?([4-9]\d) degrees\b(?! f)", _I)
"""Of food that is taken off at so many, they are Celsius: no meat is taken off at 58 °F."""


def core_said_c(said: str, temperatures: Sequence[Temperature]) -> float | None:
    """The temperature inside the food, in °C, that the words say it is done at (*take it out at 60 °C inside*); None where they say
    none. ``temperatures``: those of the step; written ones are no words.

    >>> core_said_c("Take it off at 58 degrees.", ())
    58.0
    """
    until = _UNTIL_IT_IS.search(said) is not None
    inside = (
        one.high_c
        for one in temperatures
        if not one.written and one.low_c >= 40 and one.high_c < 100 and (one.of == CORE or (one.of == UNTOLD and until))
    )
    bare = _BARE_DEGREES.search(said)
    return next(inside, float(bare[1]) if bare else None)


def _in(text: str, of: str | None) -> list[Temperature]:
    found = []
    for figure in figures_in(text):
        if figure.unit not in (CELSIUS, FAHRENHEIT):
            continue
        low, high = float(figure.low), float(figure.high)
        words = f"{low:g} °{figure.unit[0].upper()}"
        if figure.unit == FAHRENHEIT:
            low, high = fahrenheit_to_celsius(low), fahrenheit_to_celsius(high)
        found.append(Temperature(low, high, _what(text, figure.start, figure.end, high) if of is None else of, words))
    return found


def _what(text: str, start: int, end: int, celsius: float) -> str:
    """What the clause around the figure tells; an oven only from 100 °C."""
    before = _CLAUSE.split(text[max(0, start - 120) : start])[-1]
    after = _CLAUSE.split(text[end : end + 60])[0]
    clause = f"{before} {after}"
    if celsius >= OVEN_FROM_C and _OVEN.search(clause):
        return "oven"
    return next((of for of, pattern in _OF if pattern.search(clause)), UNTOLD)
