"""What leads where a figure is shown in two systems: grams and degrees Celsius, or ounces and degrees Fahrenheit."""

from __future__ import annotations

import functools
import re
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind, format_grams
from scriptkit.measure.numbers import format_number, round_half_up
from scriptkit.measure.temperatures import celsius_to_fahrenheit, fahrenheit_to_celsius
from scriptkit.measure.words import amount_words, number_words

METRIC, US, UNSTATED = "metric", "us", ""
"""``units:`` of a file. Unstated: weights lead in grams, whatever was written."""

G_PER_OUNCE = 453.59237 / 16
"""Exact: a pound is 453.59237 g (NIST Handbook 44, Appendix C)."""

# A unit, the steps that its measure comes in, the least and the most of it that is measured so (common practice, no source).
_LADDERS = (
    (("teaspoon", Fraction(1, 8), Fraction(1, 8), Fraction(6)), ("tablespoon", Fraction(1, 2), Fraction(1), Fraction(15)), ("cup", Fraction(1, 4), Fraction(1, 4), Fraction(10_000))),
    (("metric_teaspoon", Fraction(1, 8), Fraction(1, 8), Fraction(6)), ("metric_tablespoon", Fraction(1, 2), Fraction(1), Fraction(15)), ("metric_cup", Fraction(1, 4), Fraction(1, 4), Fraction(10_000))),
    (("metric_teaspoon", Fraction(1, 8), Fraction(1, 8), Fraction(8)), ("australian_tablespoon", Fraction(1, 2), Fraction(1), Fraction(15)), ("metric_cup", Fraction(1, 4), Fraction(1, 4), Fraction(10_000))),
)  # fmt: skip
_COUNT_STEP = Fraction(1, 4)
_NEAR = Fraction(8, 100)
"""A level spoon is no finer than this share (common practice, no source)."""
_NEARLY_A_CUP = Fraction(7, 8)
"""The one eighth that is asked for: nobody counts out fourteen tablespoons (common practice, no source)."""


def measurable(amount: Amount) -> Amount:
    """As it is measured out: spoons and cups in the steps that they come in, the larger where it is near enough; counts to a
    quarter. A weight, and a volume in litres, stays exact.

    >>> str(measurable(Amount(Fraction(12), "tablespoon"))), str(measurable(Amount(Fraction(5, 2), "clove")))
    ('¾ cup', '2 ½ cloves')
    """
    if amount.kind is Kind.MASS:
        return amount
    if amount.kind is Kind.COUNT:
        return Amount(max(round(amount.value / _COUNT_STEP) * _COUNT_STEP, _COUNT_STEP), amount.unit)
    ladder = next((one for one in _LADDERS if amount.unit in [unit for unit, *_ in one]), None)
    if ladder is None:
        return amount
    found: list[tuple[Fraction, Amount]] = []
    for unit, step, least, most in ladder:
        exact = amount.exactly(unit)
        for steps in (step, Fraction(1, 3)) if unit.endswith("cup") else (step,):
            value = max(round(exact / steps) * steps, least)
            if value <= most:
                found.append((abs(value / exact - 1), Amount(value, unit)))
        if unit.endswith("cup"):
            found.append((abs(_NEARLY_A_CUP / exact - 1), Amount(_NEARLY_A_CUP, unit)))
    nearest = min(off for off, _ in found)
    near = [(off, one) for off, one in found if off <= max(nearest, _NEAR)]
    largest = near[-1][1].unit
    return min((off, n, one) for n, (off, one) in enumerate(near) if one.unit == largest)[2]


def ounces_text(grams: float) -> str:
    """``0.2 oz``, ``5 ¼ oz``, ``1 lb 5 oz``: to a quarter of an ounce, over a pound to half an ounce.

    >>> ounces_text(5), ounces_text(150), ounces_text(680), ounces_text(453.6)
    ('0.2 oz', '5 ¼ oz', '1 lb 8 oz', '1 lb')
    """
    rounded = _rounded_ounces(grams)
    if rounded < 1:
        return f"{float(rounded):.1f} oz" if rounded else "under 0.1 oz"
    pounds, rest = divmod(rounded, 16)
    parts = [f"{pounds} lb" if pounds else "", f"{format_number(rest)} oz" if rest else ""]
    return " ".join(part for part in parts if part)


def ounces_up(grams: float) -> str:
    """The same ounces, up and never down: what is bought is enough.

    >>> ounces_up(150), ounces_up(340.1), ounces_up(690)
    ('5 ½ oz', '12 oz', '1 lb 8 ½ oz')
    """
    text = ounces_text(grams)
    step = 1
    while float(_rounded_ounces(grams * (1 + (step - 1) / 200))) * G_PER_OUNCE < grams - _HAIR_G:
        step += 1
        text = ounces_text(grams * (1 + (step - 1) / 200))
    return text


def measurable_up(amount: Amount) -> Amount:
    """A volume as it is measured out, up and never down: what is bought is enough.

    >>> str(measurable_up(Amount(Fraction(21, 10), "cup")))
    '2 ¼ cups'
    """
    found, more = measurable(amount), Fraction(1)
    while float(found.millilitres) < float(amount.millilitres) * (1 - 1e-6):
        more += Fraction(1, 100)
        found = measurable(amount.times(more))
    return found


_HAIR_G = 0.05


def ounces_amount(grams: float) -> Amount:
    """The same ounces, as an amount to be said."""
    return Amount(max(_rounded_ounces(grams), Fraction(1, 10)), "ounce")


def _rounded_ounces(grams: float) -> Fraction:
    ounces = Fraction(grams / G_PER_OUNCE)
    step = Fraction(1, 10) if ounces < Fraction(95, 100) else Fraction(1, 4) if ounces < 16 else Fraction(1, 2)
    return round(ounces / step) * step


def ounce_words(grams: float) -> str:
    """The same in words: ``twelve ounces``, ``one pound eight ounces``.

    >>> ounce_words(340), ounce_words(680), ounce_words(453.6)
    ('twelve ounces', 'one pound eight ounces', 'one pound')
    """
    return said_amount(ounces_amount(grams))


def said_amount(amount: Amount) -> str:
    """An amount in words; of a pound and more in ounces, in pounds and ounces: ``one pound eight ounces``."""
    if amount.unit != "ounce" or amount.value < 16:
        return amount_words(amount)
    pounds, rest = divmod(amount.value, 16)
    said = [Amount(Fraction(pounds), "pound"), *([Amount(rest, "ounce")] if rest else [])]
    return " ".join(map(amount_words, said))


def weight_text(grams: float, units: str, *, both: bool = False) -> str:
    """A weight as the system has it; with ``both``, the grams beside ounces: ``11 ¼ oz (320 g)``."""
    if units != US:
        return format_grams(grams)
    return f"{ounces_text(grams)} ({format_grams(grams)})" if both else ounces_text(grams)


def whole_weight_text(grams: float, units: str) -> str:
    """A serving's or a plate's weight: whole grams, or ounces."""
    return ounces_text(grams) if units == US else f"{grams:.0f} g"


def weight_words(grams: float, units: str) -> str:
    """A whole weight in words: ``three hundred and twenty grams``, ``eleven and a quarter ounces``."""
    return ounce_words(grams) if units == US else f"{number_words(round(grams))} grams"


# --- temperatures -------------------------------------------------------------------------------------------------------

_FIGURE = r"(?<![\d.])(-?\d+(?:\.\d+)?)(?:(–| to | and )(\d+))?"
_RISES = re.compile(r"(rises (?:another )?)(\d+)(?:–(\d+))? °C")
_BOTH = re.compile(rf"{_FIGURE} °C(?: (fan))? \(([\d–]+(?: (?:to|and) \d+)?) °F\)")
_CELSIUS = re.compile(rf"(?<!°F \()(?<!°F \(\d)(?<!°F \(\d\d){_FIGURE} ?°C\b")
_FAHRENHEIT = re.compile(rf"(?<![(–\d]){_FIGURE} ?°F\b(?: (fan))?(?! ?\()")
"""As a cook wrote it, with nothing in brackets."""
_DIAL = re.compile(r"\b(?:oven|fryer|grill|roast|bake)", re.IGNORECASE)
"""What is set in quarters of a hundred degrees Fahrenheit, as recipes print it (common practice, no source)."""
_AFTER_ROOM = re.compile(r"(\d+) °C, (\d+) °F")


def in_scale(text: str, units: str, *, beside: bool = True) -> str:
    """A text of ours with its temperatures in the scale that leads, the other in brackets where ``beside``.

    >>> in_scale("Inside: 63 °C (145 °F)", US), in_scale("oven 180 °C", US), in_scale("off at 58–60 °C", US, beside=False)
    ('Inside: 145 °F (63 °C)', 'oven 350 °F (180 °C)', 'off at 136–140 °F')
    >>> in_scale("it rises 3–5 °C while it rests", US), in_scale("oven 180 °C", METRIC)
    ('it rises 5–9 °F while it rests', 'oven 180 °C')
    >>> in_scale("oven 425 °F", US), in_scale("oven 425 °F", METRIC)
    ('oven 425 °F (220 °C)', 'oven 220 °C (425 °F)')
    """
    if "°F" in text and "°C" not in text and units:
        return _FAHRENHEIT.sub(lambda m: _as_written(m, units, beside, 10 if _DIAL.search(text) else 1), text)
    if units != US or "°C" not in text:
        return text
    text = _RISES.sub(_rise, text)
    text = _AFTER_ROOM.sub(r"\2 °F, \1 @C", text)
    text = _BOTH.sub(lambda m: f"{m[5]} °F{' fan' if m[4] else ''}" + (f" ({_span(m)} @C)" if beside else ""), text)
    text = _CELSIUS.sub(lambda m: _lone(m, beside, 25 if _DIAL.search(text) else 5), text)
    return text.replace("@C", "°C")


def _span(found: re.Match[str]) -> str:
    first = found[1] if found[3] else f"{round_half_up(float(found[1])):.0f}"
    return first + (f"{found[2]}{found[3]}" if found[3] else "")


def _lone(found: re.Match[str], beside: bool, step: int) -> str:
    ends = [float(found[1]), *([float(found[3])] if found[3] else [])]
    there = (found[2] or "").join(f"{_fahrenheit(end, step):.0f}" for end in ends)
    return f"{there} °F" + (f" ({_span(found)} @C)" if beside else "")


def _as_written(found: re.Match[str], units: str, beside: bool, step: int) -> str:
    """Degrees Fahrenheit of the cook's, with Celsius beside them or, in metric, before them; a dial is set in tens."""
    ends = [fahrenheit_to_celsius(float(end)) for end in (found[1], found[3]) if end]
    there = (found[2] or "").join(f"{round_half_up(end / step) * step:.0f}" for end in ends)
    here = f"{found[1]}{found[2] or ''}{found[3] or ''}"
    lead, other = (f"{here} °F", f"{there} °C") if units == US else (f"{there} °C", f"{here} °F")
    return lead + (f" ({other})" if beside else "") + (" fan" if found[4] else "")


def _fahrenheit(celsius: float, step: int) -> float:
    """What is hotter than water is set on a dial in such steps, a probe is read to a degree."""
    exact = celsius_to_fahrenheit(celsius)
    return round_half_up(exact / step) * float(step) if celsius > 110 or celsius < 0 else float(round_half_up(exact))


def _rise(found: re.Match[str]) -> str:
    ends = [round_half_up(float(end) * 9 / 5) for end in (found[2], found[3]) if end]
    return f"{found[1]}{'–'.join(f'{end:.0f}' for end in ends)} °F"


@functools.cache
def _said_degrees() -> re.Pattern[str]:
    words = sorted((number_words(n) for n in range(1, 100)), key=len, reverse=True)
    return re.compile(rf"\b({'|'.join(words)})(?= degrees| for poultry)", re.IGNORECASE)


@functools.cache
def _number_of() -> dict[str, int]:
    return {number_words(n): n for n in range(1, 100)}


_ALSO_FAHRENHEIT = re.compile(r",? (?:that is )?[a-z -]+ Fahrenheit\b(?=[,.:])")


def spoken_in_scale(text: str, units: str) -> str:
    """A spoken line of ours with its degrees in the scale that leads, and the other not said.

    >>> spoken_in_scale("Seventy-four degrees inside, one hundred and sixty-five Fahrenheit.", US)
    'One hundred and sixty-five degrees inside.'
    """
    if units != US or "degrees" not in text:
        return text

    def there(found: re.Match[str]) -> str:
        exact = celsius_to_fahrenheit(_number_of()[found[1].casefold()])
        said = number_words(
            round_half_up(exact / 5) * 5 if abs(exact / 5 - round(exact / 5)) < 0.2 else round_half_up(exact)
        )
        return said[:1].upper() + said[1:] if found[1][0].isupper() else said

    return _said_degrees().sub(there, _ALSO_FAHRENHEIT.sub("", text))
