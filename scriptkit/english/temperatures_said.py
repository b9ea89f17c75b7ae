"""Temperatures that a step states, each with what it is of: the oven, the inside of the food, a surface, or a liquid."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.english.heat import OVEN_FROM_C, Heat
from scriptkit.measure.figures import CELSIUS, FAHRENHEIT, Figure, figures_in
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
_UNITLESS = (
    r"(?! ?(?:°|/|%|g\b|kg|ml|cl|l\b|min|m\b|s\b|sec|h\b|hours?|hrs?|days?|c?m\b|mm\b|pieces|portions|a side|each))"
)
_CORE_FIGURE = r"(?:[4-9]\d|1[1-6]\d)"
_BARE_DEGREES = LazyPattern(
    r"\b(?:at|to|is|reads?|says?|hits?|reach(?:es)?) (?:about )?(?P<a>[4-9]\d) degrees\b(?! f)"
    rf"|\b(?:out|off|pull(?:ed|s)?|done|ready)(?: it| them| the (?:heat|grill|pan|fire|coals|barbecue))? at (?:about )?(?P<b>{_CORE_FIGURE})\b{_UNITLESS}"
    rf"|\bcore(?: temp(?:erature)?)?(?: at| of| to| is|:)? (?:about )?(?P<g>{_CORE_FIGURE})\b{_UNITLESS}"
    rf"|\b(?P<c>{_CORE_FIGURE})(?: degrees)? (?:inside|(?:in|at|by) (?:the|its) (?:very )?(?:middle|cent(?:re|er)|core|bone|heart|thick(?:est)?))\b"
    rf"|\b(?:(?:are|is|be) after|want|aim(?:ing)? for|looking for|go(?:ing)? for|shoot(?:ing)? for|stop at|target(?: of)?) (?:about )?(?P<e>{_CORE_FIGURE})\b{_UNITLESS}"
    r"|\b(?:when|until|till?|once)\b(?![^.;,]{0,30}\b(?:oven|oil|fat|syrup|sugar|caramel|milk|custard|water|stone|pan|grill|jam|bath|fryer)\b)[^.;,]{0,30}?"
    rf"\b(?:reads?|says?|hits?|reach(?:es)?|shows?) (?:about )?(?P<f>{_CORE_FIGURE})\b{_UNITLESS}"
    rf"|\b(?:middle|cent(?:re|er)|core|inside|thickest(?: part| bit)?|probe|thermometer|bone)\b[^.;,]{{0,30}}?\b(?:reads?|says?|hits?|reach(?:es)?|shows?|is(?: at)?|gets? to|comes? to)"
    rf" (?:about )?(?P<d>{_CORE_FIGURE})\b{_UNITLESS}",
    _I,
)
"""Of food that is taken off at so many, they are Celsius: no meat is taken off at 58 °F. From 110 on they are Fahrenheit."""
_FAHRENHEIT_FROM = 110.0
HOT_FROM_C = 100.0
"""Of an oven, fat or water in which food is cooked."""
_BEFORE_BARE = LazyPattern(
    r"(?P<strong>\b(?:oven|fryer|at|bath|hits?|reads?|says?)(?: it| about| around| up| at| to| on| is| set)*\s*$)"
    r"|(?:\b(?:to|of|reach(?:es)?|over|above|under|below|past)(?: it| about| around| up| at| to| on| is| set)*|[:@])\s*$",
    _I,
)
_AFTER_BARE = LazyPattern(r"^\s*(?:[.,;:)!?]|$|(?:and|then|in|inside|for|until|till?|before|after|with|fan)\b)", _I)
_NO_COUNT = LazyPattern(rf"^{_UNITLESS}(?! ?(?:to|-|–) ?\d)", _I)
_OWN_CLAUSE = LazyPattern(r"(?:^|[.,;:(])\s*$")
_CLAUSE_ENDS = LazyPattern(r"^\s*(?:[.,;:)](?!\d)|$)")
_FOR_A_TIME = LazyPattern(
    r"^ ?(?:for|,) ?(?:about )?(?:\d+|an?|half an|one|two|three|four|five|six|eight|ten|twelve|fifteen|twenty|thirty|forty|fifty|sixty|ninety)\b[^.;,]{0,12}\b(?:min|minutes?|h|hours?)\b",
    _I,
)
_DEGREE = "degree"


@functools.lru_cache(maxsize=4096)
def degrees_in(sentence: str) -> tuple[float, ...]:
    """Every temperature that the sentence states, in °C, in order: also those of a terse hand that writes no sign (*Fryer 180.*). A bare
    figure above 260 is °F.

    >>> degrees_in("Oven 200. Out at 50, rest 5."), degrees_in("Smoke it at 22 degrees."), degrees_in("Add 200 g, cut in 20.")
    ((200.0, 50.0), (22.0,), ())
    >>> degrees_in("Tin in, 160 for 45 minutes.")
    (160.0,)
    """
    if not any(c.isdigit() for c in sentence):
        return ()
    found: list[float] = []
    for figure in figures_in(sentence):
        high = float(figure.high)
        bare = figure.unit == _DEGREE or (not figure.unit and 20 <= high <= 550 and _is_of_heat(sentence, figure))
        if figure.unit == CELSIUS or (bare and high <= 260):
            found.append(high)
        elif figure.unit == FAHRENHEIT or bare:
            found.append(fahrenheit_to_celsius(high))
    return tuple(found)


def _is_of_heat(sentence: str, figure: Figure) -> bool:
    """Whether a figure without a unit stands where a temperature does: after an oven or *at*, or alone before a time (*160 for 45 min*)."""
    before, after = sentence[max(0, figure.start - 40) : figure.start], sentence[figure.end : figure.end + 60]
    alone = _OWN_CLAUSE.search(before) is not None
    if alone and (_FOR_A_TIME.search(after) or (120 <= figure.high <= 260 and _CLAUSE_ENDS.search(after))):
        return True
    heat = _BEFORE_BARE.search(before)
    return heat is not None and (_NO_COUNT if heat["strong"] else _AFTER_BARE).search(after) is not None


def core_said_c(said: str, temperatures: Sequence[Temperature]) -> float | None:
    """The temperature inside the food, in °C, that the words say it is done at (*take it out at 60 °C inside*); None where they say
    none. ``temperatures``: those of the step; written ones are no words.

    >>> core_said_c("Take it off at 58 degrees.", ()), core_said_c("Out at 50, rest 5.", ()), core_said_c("Out at 50 min.", ())
    (58.0, 50.0, None)
    """
    until = _UNTIL_IT_IS.search(said) is not None
    inside = (
        one.high_c
        for one in temperatures
        if not one.written and one.low_c >= 40 and one.high_c < 100 and (one.of == CORE or (one.of == UNTOLD and until))
    )
    stated = next(inside, None)
    bare = _BARE_DEGREES.search(said) if stated is None else None
    if bare is None:
        return stated
    figure = float(next(group for group in bare.groups() if group))
    return fahrenheit_to_celsius(figure) if figure >= _FAHRENHEIT_FROM else figure


_LIES_IN = LazyPattern(
    rf"\b(?:poach|cook|hold|keep|bak|roast|brais|confit)\w*\b[^.;]{{0,40}}\bat (?:about )?(?:(?P<c>[4-9]\d)(?: ?(?:°|degrees)? ?C)?|(?P<f>1[1-6]\d) ?(?:°|degrees)? ?F)\b{_UNITLESS}(?! (?:inside|in the|f\b))",
    _I,
)


def lies_in_c(sentence: str) -> float | None:
    """How hot that is in which food is cooked, in °C, where it is less than boiling: hotter than that the food cannot get; None where
    nothing is said of it.

    >>> lies_in_c("Poach the breasts at 60 for twenty minutes."), lies_in_c("Roast it at 160 for an hour.")
    (60.0, None)
    """
    found = _LIES_IN.search(sentence)
    if found is None:
        return None
    return float(found["c"]) if found["c"] else fahrenheit_to_celsius(float(found["f"]))


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
