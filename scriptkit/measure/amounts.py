"""Kitchen amounts: a number and a unit, read from a cook's words."""

from __future__ import annotations

import enum
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.numbers import NotANumber, format_number, round_half_up, split_number
from scriptkit.measure.unit_table import in_the_table, unit_of, unit_words
from scriptkit.problems import any_of, likeness, nearest


class Kind(enum.StrEnum):
    """What a unit measures. A count becomes grams only through a food's household weight."""

    MASS = "mass"
    VOLUME = "volume"
    COUNT = "count"


_KIND_OF_BASE = {"gram": Kind.MASS, "millilitre": Kind.VOLUME}


class Cups(enum.StrEnum):
    """Which cup and spoon a recipe means: US customary 236.6/14.8/4.9 ml, metric 250/15/5, Australian 250/20/5."""

    US = "us"
    METRIC = "metric"
    AUSTRALIAN = "australian"


# How a unit is printed after a number: (one, several).
_PRINTED = {
    "gram": ("g", "g"), "kilogram": ("kg", "kg"), "milligram": ("mg", "mg"), "ounce": ("oz", "oz"), "pound": ("lb", "lb"),
    "millilitre": ("ml", "ml"), "centilitre": ("cl", "cl"), "decilitre": ("dl", "dl"), "litre": ("l", "l"),
    "tablespoon": ("tbsp", "tbsp"), "teaspoon": ("tsp", "tsp"), "fluid_ounce": ("fl oz", "fl oz"),
    "cup": ("cup", "cups"), "quart": ("quart", "quarts"), "gallon": ("gallon", "gallons"), "pinch": ("pinch", "pinches"),
    "metric_cup": ("cup", "cups"), "metric_tablespoon": ("tbsp", "tbsp"), "australian_tablespoon": ("tbsp", "tbsp"),
    "metric_teaspoon": ("tsp", "tsp"),
    "piece": ("", ""), "small": ("small", "small"), "medium": ("medium", "medium"), "large": ("large", "large"),
    "extra_large": ("extra large", "extra large"), "jumbo": ("jumbo", "jumbo"), "bunch": ("bunch", "bunches"), "leaf": ("leaf", "leaves"),
    "cubic_inch": ("cubic inch", "cubic inches"),
}  # fmt: skip

_LOCAL = {
    Cups.US: {},
    Cups.METRIC: {"cup": "metric_cup", "tablespoon": "metric_tablespoon", "teaspoon": "metric_teaspoon"},
    Cups.AUSTRALIAN: {"cup": "metric_cup", "tablespoon": "australian_tablespoon", "teaspoon": "metric_teaspoon"},
}

_TWO_WORD_UNITS = {
    r"fl(?:uid)?\.?\s*(?:oz|ounces?)\b\.?": "fluid_ounce",
    r"extra[\s-]large\b": "extra_large",
    r"cubic inch(?:es)?\b": "cubic_inch",
    r"cu(?:bic)?\s+in\b": "cubic_inch",
}


class NotAnAmount(ValueError):
    """An amount that cannot be understood; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str, code: str = "amount") -> None:
        super().__init__(message)
        self.hint = hint
        self.code = code


class LeftOver(NotAnAmount):
    """Words after an ``amount`` that can be read: ``tail``, such as how it is cut or which of its kinds it is."""

    def __init__(self, message: str, hint: str, amount: str, tail: str) -> None:
        super().__init__(message, hint)
        self.amount, self.tail = amount, tail


class Ambiguous(NotAnAmount):
    """An amount of a unit that means several things: ``units`` are their names."""

    def __init__(self, message: str, hint: str, units: tuple[str, ...]) -> None:
        super().__init__(message, hint, "unit")
        self.units = units


@dataclass(frozen=True, slots=True)
class Amount:
    """``value`` of ``unit``, where unit is a name from units.txt or further_units.csv. Exact: values are fractions."""

    value: Fraction
    unit: str

    @property
    def kind(self) -> Kind:
        """Mass, volume, or else a count."""
        return _KIND_OF_BASE.get(unit_of(self.unit).base, Kind.COUNT)

    @property
    def grams(self) -> float:
        """Weight in grams. Raises ValueError where the unit is no unit of mass."""
        return float(self.exactly("gram"))

    @property
    def millilitres(self) -> float:
        """Volume in millilitres. Raises ValueError where the unit is no unit of volume."""
        return float(self.exactly("millilitre"))

    def exactly(self, unit: str) -> Fraction:
        """The value in another unit of the same kind. Raises ValueError where the kinds differ."""
        if self.unit == unit:
            return self.value
        mine, other = unit_of(self.unit), unit_of(unit)
        if mine.base != other.base:
            raise ValueError(f"{self.unit} is not a measure of the same kind as {unit}")
        return self.value * mine.factor / other.factor

    def times(self, factor: Fraction | int) -> Amount:
        """So many times as much, in the same unit; exact."""
        return Amount(self.value * factor, self.unit)

    def __str__(self) -> str:
        one, several = printed(self.unit)
        return f"{format_number(self.value)} {one if self.value <= 1 else several}".strip()


OwnMeasures = Mapping[str, Amount | None]
"""A kitchen's own measures: by folded word, what one of it holds; None where that could not be understood, which has been told."""

TOLD = "told"
"""The code of an amount that cannot be understood because its measure could not be, which has been told."""

_POUNDS_AND = re.compile(r"(?:lbs?|pounds?)\b\.?,?\s*(?:and\s+|&\s*)?(?=[\d½⅓⅔¼¾⅛⅜⅝⅞])", re.IGNORECASE)
_SIZES = ("small", "medium", "large")
_MOST_WORDS = 6
"""Of the name of a measure."""


def printed(unit: str) -> tuple[str, str]:
    """How the unit stands after a number, for one and for several; empty of a piece."""
    if unit not in _PRINTED and not in_the_table(unit):
        from scriptkit.measure.further_units import further_units

        if (further := further_units().get(unit)) is not None:
            return further.printed, f"{further.printed}s"
    return _PRINTED.get(unit, (unit, unit + "s"))


def folded(name: str) -> str:
    """The name of a measure as it is looked up: without case, accents, hyphens and dots.

    >>> folded("Soup-Ladle."), folded("Louche  à café")
    ('soup ladle', 'louche a cafe')
    """
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return " ".join(re.sub(r"[\s_.,;-]+", " ", plain.casefold()).split())


def beginning(text: str, names: Mapping[str, object]) -> tuple[str, str] | None:
    """The longest of the folded names that the text begins with, and what follows it; None where it begins with none."""
    words = text.split()
    for n in range(min(len(words), _MOST_WORDS), 0, -1):
        if (name := folded(" ".join(words[:n]))) in names:
            return name, " ".join(words[n:])
    return None


def unit_names() -> list[str]:
    """Every unit a cook may write, in the words of units.txt, without mere plurals."""
    words = unit_words()
    return sorted(word for word in words if not word.endswith("s") or word[:-1] not in words)


def canonical_unit(word: str, cups: Cups = Cups.US) -> str | None:
    """The unit's one name in units.txt for a cook's word (``Tbsp.`` → ``tablespoon``), or None."""
    unit = unit_words().get(re.sub(r"[\s.]+", "_", word.strip().strip(".").casefold()))
    return None if unit is None else _LOCAL[cups].get(unit, unit)


def parse_amount(text: str, *, cups: Cups = Cups.US, own: OwnMeasures | None = None) -> Amount:
    """Read ``30 g``, ``1 1/2 tbsp``, ``2 medium``, ``3``; of a kitchen's ``own`` measures, what they hold.

    >>> parse_amount("1½ cups")
    Amount(value=Fraction(3, 2), unit='cup')

    >>> parse_amount("1 lb 8 oz")
    Amount(value=Fraction(24, 1), unit='ounce')

    >>> parse_amount("2 Ladles", own={"ladles": parse_amount("80 ml")})
    Amount(value=Fraction(160, 1), unit='millilitre')

    Raises NotAnAmount with a hint for a range, no number, an unknown unit, zero, or words after the unit; Ambiguous for a
    unit that means two things; NotAnAmount with the code ``TOLD`` for an own measure that could not be understood.
    """
    try:
        value, rest = split_number(text)
    except NotANumber as wrong:
        unit = re.sub(r"^(?:an?|one)\s+", "", text.strip(), flags=re.IGNORECASE)
        hint = f"write `1 {unit}`" if canonical_unit(unit) or folded(unit) in (own or {}) else wrong.hint
        raise NotAnAmount(str(wrong), hint) from None
    if value == 0:
        raise NotAnAmount(f"“{text.strip()}” is nothing", "leave the ingredient out, or write `to taste`")
    if own and (named := beginning(rest, own)):
        name, tail = named
        one = own[name]
        if one is None:
            raise NotAnAmount(f"what a {name} holds is not known", "", TOLD)
        _nothing_after(tail, name, text.strip())
        return one.times(value)
    if pounds := _POUNDS_AND.match(rest):
        ounces = parse_amount(rest[pounds.end() :])
        if ounces.unit == "ounce":
            return Amount(value * 16 + ounces.value, "ounce")
    return Amount(value, _unit(rest, text.strip(), cups) if rest else "piece")


def _unit(rest: str, text: str, cups: Cups) -> str:
    for pattern, name in _TWO_WORD_UNITS.items():
        if found := re.match(pattern, rest, re.IGNORECASE):
            return _nothing_after(rest[found.end() :], name, text)
    words = rest.split(maxsplit=1)
    word = words[0].rstrip(",;")
    name_or_none = canonical_unit(word, cups)
    if name_or_none is None:
        return _further_unit(rest, text, word)
    return _nothing_after(words[1] if len(words) > 1 else "", name_or_none, text)


def _further_unit(rest: str, text: str, word: str) -> str:
    """A unit of the list that is pint's, with nothing after it."""
    from scriptkit.measure.further_units import further_units, further_words, meaning, units_named

    if named := units_named(rest):
        units, end = named
        if len(units) > 1:
            said = further_units()[units[0]].shared[0]
            meant = any_of([f"`{printed(unit)[0]}`" for unit in units])
            raise Ambiguous(
                f"“{text}”: a {said} is {' and '.join(map(meaning, units))}",
                f"write {meant}, or grams, millilitres or cups",
                units,
            )
        return _nothing_after(rest[end:], units[0], text)
    if product := _times(text):
        raise NotAnAmount(f"“{text}” has to be worked out", f"write `{product}`")
    near = nearest(word, unit_names())
    further = nearest(words := " ".join(rest.split()[:2]), further_words())
    if further and (not near or likeness(words, further[0]) > likeness(word, near[0])):
        meant_words = further
    else:
        units_meant = dict.fromkeys(canonical_unit(one) or one for one in near)
        meant_words = [_PRINTED.get(unit, ("",))[0] or unit for unit in units_meant]
    raise NotAnAmount(
        f"“{word or rest}” in “{text}” is not a unit this kitchen knows",
        f"{_meant(text, word, meant_words)}write grams, millilitres, cups, tbsp, tsp, oz, lb or a count",
        "unit",
    )


def _meant(text: str, word: str, units: list[str]) -> str:
    """``did you mean `150 g`? else ``; empty where nothing is near."""
    at = text.find(word)
    if not units or at < 0 or text[at:].strip(" .,") != word.strip(" .,"):
        return f"did you mean {any_of(units)}? else " if units else ""
    amounts = [f"{text[:at].strip()} {unit}" for unit in units]
    return f"did you mean {any_of([f'`{_as_printed(amount)}`' for amount in amounts])}? else "


def _as_printed(text: str) -> str:
    """``2 cloves`` of *2 clove*; the text itself where it is no amount."""
    try:
        return str(parse_amount(text))
    except NotAnAmount:
        return text


def _nothing_after(tail: str, unit: str, text: str) -> str:
    tail = tail.strip(" .,")
    if not tail:
        return unit
    if summed := _summed(text):
        raise NotAnAmount(f"“{text}” is two amounts", f"write `{summed}`")
    if tail.startswith("("):
        raise NotAnAmount(
            f"“{tail}” is left over after the amount in “{text}”", f"write `{text[: text.find('(')].strip(' ,')}`"
        )
    amount = text[: text.rfind(tail)].strip(" ,")
    hint = f"write `{amount}`, and put “{tail}” under `prep:` or `food:`"
    if unit in _SIZES and canonical_unit(tail):  # a small bunch
        hint = f"write `{' '.join(amount.split()[:-1])} {tail}`, without its size"
        raise NotAnAmount(f"“{tail}” is left over after the amount in “{text}”", hint)
    raise LeftOver(f"“{tail}” is left over after the amount in “{text}”", hint, amount, tail)


def _summed(text: str) -> str:
    """``4 tsp`` of *1 tbsp + 1 tsp*; empty where it is no sum of two of one kind."""
    parts = re.split(r"\s*(?:\+|\bplus\b|&|\band\b)\s*", text, flags=re.IGNORECASE)
    if len(parts) != 2:
        return ""
    try:
        one, other = (parse_amount(part) for part in parts)
        return str(Amount(one.exactly(other.unit) + other.value, other.unit))
    except ValueError:
        return ""


def _times(text: str) -> str:
    """``120 g`` of *2 x 60 g*, ``150 g`` of *50% of 300 g*; empty where it is neither."""
    found = re.fullmatch(r"(\d+)\s*(?:[x×*]\s*|(%)\s*of\s*)(\d.*)", text.strip(), re.IGNORECASE)
    if not found:
        return ""
    try:
        amount = parse_amount(found[3])
    except ValueError:
        return ""
    return str(amount.times(Fraction(int(found[1]), 100 if found[2] else 1)))


def format_grams(grams: float) -> str:
    """As a kitchen scale shows it: ``0.4 g``, ``4.5 g``, ``45 g``, ``1.25 kg``.

    Below 10 g to 0.1 g, below 1 kg to the gram, above to 10 g. What is there is never printed as nothing.
    """
    if 0 < grams < 0.05:
        return "under 0.1 g"
    if grams < 9.95:
        return f"{round_half_up(grams * 10) / 10:.1f} g".replace(".0 g", " g")
    if grams < 999.5:
        return f"{round_half_up(grams)} g"
    return f"{round_half_up(grams / 10) / 100:.2f}".rstrip("0").rstrip(".") + " kg"
