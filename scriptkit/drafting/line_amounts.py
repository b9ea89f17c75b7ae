"""How much a line asks for: number × container × size, sums, the same amount again in grams, and what stands beside it in brackets."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.drafting.old_measures import (
    A_LOT,
    LOOSE,
    at_its_most,
    begins_with_amount,
    is_size,
    old_measures,
    unit_at_start,
    unit_of_word,
    value_at_start,
    without_of,
)
from scriptkit.measure.amounts import Amount, Kind, NotAnAmount, canonical_unit, parse_amount
from scriptkit.measure.numbers import NUMBER, format_number

_UNIT = r"(?:fl(?:uid)?\.?\s?(?:oz|ounces?)|ounces?|oz|lbs?|pounds?|kgs?|kilo(?:gram)?s?|g|gr|grams?|grammes?|ml|millilit(?:er|re)s?|cl|dl|l|lit(?:er|re)s?|quarts?|qt|gallons?)"
_SIZE = re.compile(
    rf"^(?:about\s+|approx\.?\s+|~)?({NUMBER})(?:\s?(?:-|to)\s?{NUMBER})?[\s-]{{0,2}}({_UNIT})\b\.?[\s-]*",
    re.IGNORECASE,
)
_IN_BRACKET = re.compile(r"^\(([^()]*)\)[\s,-]*")
_EACH = re.compile(r"\b(?:each|apiece|a piece|per)\b", re.IGNORECASE)
_NOTED = re.compile(
    rf"^(?:or\s+)?(?:about|approx(?:imately|\.)?|roughly|around|total(?:ing)?|weighing|~|=)?\s*(?:about\s+)?({NUMBER})(?:\s?(?:-|–|to)\s?{NUMBER})?[\s-]?({_UNIT})\b\.?(.*)$",
    re.IGNORECASE,
)
CONTAINER = re.compile(
    r"^(cans?|tins?|jars?|packages?|pkgs?\.?|pkts?\.?|packets?|packs?|boxe?s?|bags?|cartons?|containers?|bottles?|blocks?|tubs?|pouch(?:es)?|sachets?|"
    r"sleeves?|envelopes?|tubes?|punnets?|bars?|logs?)\b\.?\s*(?:of\s+)?",
    re.IGNORECASE,
)
_LENGTH = re.compile(
    rf"^(?:\(?{NUMBER}[\s-]?(?:inch(?:es)?|in\.|cm|mm|[\"”″])\)?)[\s-]*(?:long|thick|wide|piece|knob|chunk)?s?\s*(?:of\s+)?",
    re.IGNORECASE,
)
_AGAIN = re.compile(
    rf"^\s*(?:/|\||or|-|–|,|=|~)\s*(?:about\s+|~)?({NUMBER})(?:\s?-\s?{NUMBER})?\s?({_UNIT}|cups?|tbsps?|tsps?|tablespoons?|teaspoons?)\b\.?\s*",
    re.IGNORECASE,
)
_PLUS = re.compile(rf"^(?:(?:plus|and|&)\s+|\+\s*)(?={NUMBER})", re.IGNORECASE)
_ABOUT = re.compile(
    r"^(?:or\s+)?(?:about|approx(?:imately|\.)?|roughly|around|weighing|total(?:ling|ing)?|~|=)\s*(?=\d)", re.IGNORECASE
)
_BETWEEN_NOTES = re.compile(r"(?<!\d)/|/(?!\d)|[;|]|,\s|\s(?=\d[\d.,]*\s?(?:kg|g|ml|l)\b)")
_HOUSEHOLD = re.compile(
    rf"{NUMBER}\s?(?:sticks?|cups?|c\.?|tablespoons?|tbsps?\.?|teaspoons?|tsps?\.?|(?:small|medium|large)?)",
    re.IGNORECASE,
)
"""A measure without a weight, before which a note may stand: *2 sticks/225 g*."""
_CUT_FIRST = re.compile(r"(?!(?:plus|extra|more|or|for|and|from|with)\b)[^\d]+", re.IGNORECASE)
"""How it is cut, before what it weighs: *chopped, about 8 ounces*."""
_OF_WINE = re.compile(r"\b(?:wine|champagne|prosecco|cava|marsala|sherry|port)\b(?!\s+vinegar)", re.IGNORECASE)
"""A bottle of it holds 750 ml (Directive 2007/45/EC; 27 CFR 4.72)."""
_LONG = re.compile(
    r"^-?(?P<unit>inch(?:es)?|in\.|\"|cm|mm)[\s-]+(?:(?P<what>piece|knob|chunk|stick|length)s?\s+)?(?:of\s+)?(?=(?:fresh |root |peeled |cinnamon|ginger|galangal|turmeric|horseradish)+)",
    re.IGNORECASE,
)
_INCH_G = 6
"""Of an inch of ginger root (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LineAmount:
    """``amount`` is None where the line gives none; ``rest`` is what follows it. ``remarks`` tell how it was read.
    ``container``: the word of what it comes in, empty of none."""

    amount: Amount | None
    rest: str
    remarks: tuple[str, ...] = ()
    container: str = ""
    most: Amount | None = None
    """Of a range, of which ``amount`` is the lower end, the upper; None where the line gives one amount."""


@dataclass(frozen=True, slots=True)
class NotedAmount:
    """An amount that stands in brackets or behind a comma; ``each``: of one piece."""

    amount: Amount
    each: bool


_TWO_UNITS = re.compile(
    rf"^(?P<low>{NUMBER})\s?(?P<unit>{_UNIT}|cups?|tbsps?|tsps?|tablespoons?|teaspoons?)\.?\s*(?:-|–|—|to|or)\s*(?P<high>{NUMBER})\s?(?P<other>{_UNIT}|cups?|tbsps?|tsps?|tablespoons?|teaspoons?)\b\.?\s*",
    re.IGNORECASE,
)
_ALIKE = 1.15
"""Amounts that lie nearer together are the same one twice: *8 oz - 225 g*."""


def _between_units(line: str) -> LineAmount | None:
    """*750 ml - 1 litre*: a range whose ends have units of their own; None where the line begins with none."""
    found = _TWO_UNITS.match(line.strip(" ,"))
    least = _amount(found["low"], found["unit"]) if found else None
    most = _amount(found["high"], found["other"]) if found else None
    if found is None or least is None or most is None or least.kind is not most.kind:
        return None
    if least.value <= 0 or most.exactly(least.unit) < least.value * Fraction(_ALIKE):
        return None
    said = found.group().strip(" ,")
    return LineAmount(least, without_of(line.strip(" ,")[found.end() :]), (f"the recipe says {said}",), most=most)


def read_amount(line: str) -> LineAmount:
    """The amount at the start of the line."""
    if (both := _between_units(line)) is not None:
        return both
    told = _read(line)
    upper = at_its_most(line.strip(" ,"))
    most = _read(upper).amount if upper else None
    if told.amount is None or most is None or most.unit != told.amount.unit or most.value <= told.amount.value:
        return told
    return replace(told, most=most)


_AT_THE_END = re.compile(
    rf"^(?P<name>[^\W\d_].*?)(?P<mark>\s*[x×:.–-]+\s*|\s+)(?P<amount>{NUMBER}(?:\s?(?:-|to)\s?{NUMBER})?)\s?(?P<unit>[^\W\d_]*)\.?$",
    re.IGNORECASE,
)
_NO_AMOUNT_AFTER = re.compile(r"\b(?:step|note|recipe|no|number|part|day|type|page|method|tipo)$", re.IGNORECASE)
_SHORT_LINE = 25
"""Up to so long a line may end in a bare number that counts: *Eggs 2*."""


def amount_first(line: str, notes: Sequence[str] = ()) -> str:
    """The line with the amount before the food: many lists have it last (*Flour, 1 lb.*, *Butter - 50 g*, *Eggs x 2*, *Leeks (2)*).

    >>> amount_first("Plain flour 200g"), amount_first("Eggs x 2"), amount_first("Leeks", ["2"]), amount_first("2 leeks")
    ('200 g Plain flour', '2 Eggs', '2 Leeks', '2 leeks')
    """
    if begins_with_amount(line):
        return line
    head, comma, tail = line.rpartition(",")
    if comma and head and begins_with_amount(tail.strip()) and len(tail) < 25:
        return f"{tail.strip(' .')} {head}"
    found = _AT_THE_END.match(line)
    if found and not _NO_AMOUNT_AFTER.search(found["name"]):
        unit = found["unit"]
        counts = bool(found["mark"].strip()) or len(line) <= _SHORT_LINE
        if (unit and (unit_of_word(unit) is not None or unit.casefold() in old_measures())) or (not unit and counts):
            return f"{found['amount']} {unit} {found['name']}".replace("  ", " ")
    if not found and notes and notes[0].isdigit():
        return f"{notes[0]} {line}"
    return line


def _read(line: str) -> LineAmount:
    remarks: list[str] = []
    text = line.strip(" ,")
    while (found := LOOSE.match(text)) and unit_of_word(found.group().strip()) is None:
        text = text[found.end() :]
    if found := A_LOT.match(text):
        text = f"1 {text[found.start(2) :]}"
    elif found := _IN_BRACKET.match(text):  # `(1) onion`
        text = f"{found.group(1)} {text[found.end() :]}"
    value, rest = value_at_start(text, remarks)
    if value is None or value <= 0:
        return LineAmount(None, rest if value is None else text, tuple(remarks))
    rest = re.sub(r"^an?\s+(?=\w{3})", "", rest.lstrip(" ,-–*"))
    length = _LENGTH.match(rest)
    if length:
        rest = rest[length.end() :]
    if found := _LONG.match(rest):
        return _of_length(value, found, rest[found.end() :], remarks)
    size, rest = _size(rest)
    if found := CONTAINER.match(rest):
        return _contained(value, size, found.group(1), rest[found.end() :], remarks)
    if size is not None:
        return LineAmount(size.times(value), without_of(rest), tuple(remarks))
    return _measured(value, rest, remarks)


def _of_length(value: Fraction, found: re.Match[str], rest: str, remarks: Sequence[str]) -> LineAmount:
    """A root is as heavy as it is long; of a stick of cinnamon any length is one."""
    if "cinnamon" in rest:
        return LineAmount(Amount(Fraction(1), "stick"), rest, tuple(remarks))
    inches = value / {"c": Fraction(254, 100), "m": Fraction(254, 10)}.get(found["unit"][0].casefold(), Fraction(1))
    grams = Amount(Fraction(max(round(inches * _INCH_G), 1)), "gram")
    said = f"{format_number(value)} {'inch' if found['unit'][0].casefold() not in 'cm' else found['unit']}"
    return LineAmount(grams, rest, (*remarks, f"{said} taken as {grams}"))


def _size(text: str) -> tuple[Amount | None, str]:
    """A weight or volume at the start, bare or in brackets: the size of one piece or container."""
    if found := _IN_BRACKET.match(text):
        inside = noted_amount(found.group(1))
        return (inside.amount, text[found.end() :]) if inside else (None, text)
    if found := _SIZE.match(text):
        amount = _amount(found.group(1), found.group(2))
        return amount, text[found.end() :] if amount is not None else text
    return None, text


def _contained(value: Fraction, size: Amount | None, word: str, rest: str, remarks: list[str]) -> LineAmount:
    """Cans, packets and the like: times what one holds, where that is told."""
    container = word.casefold().rstrip(".")
    if size is None:
        size, rest = _size(rest)
    rest = without_of(rest)
    if size is not None:
        return LineAmount(size.times(value), rest, tuple(remarks), container=container)
    if container.startswith("bottle") and _OF_WINE.search(rest):
        return LineAmount(
            Amount(value * 750, "millilitre"), rest, (*remarks, "a bottle of wine holds 750 ml"), container
        )
    unit = "can" if container.startswith(("can", "tin")) else "package"
    return LineAmount(Amount(value, canonical_unit(unit) or "piece"), rest, tuple(remarks), container=container)


def _measured(value: Fraction, text: str, remarks: list[str]) -> LineAmount:
    unit, rest = unit_at_start(text, remarks)
    if unit in old_measures():
        each, told = old_measures()[unit]
        remarks.append(told or f"“{unit}” counted as {each}")
        amount = parse_amount(each).times(value)
        if (found := _IN_BRACKET.match(rest)) and (noted := noted_amount(found.group(1))) is not None:
            return LineAmount(noted.amount, rest[found.end() :], (*remarks[:-1], f"the recipe also says “{unit}”"))
        first = rest.split(" ", 1)
        if unit == "dozen" and len(first) > 1 and is_size(unit_of_word(first[0])):
            return LineAmount(Amount(amount.value, unit_of_word(first[0]) or "piece"), first[1], tuple(remarks))
        return LineAmount(amount, rest, tuple(remarks))
    amount = Amount(value, (canonical_unit(unit) or "piece") if unit else "piece")
    while True:
        if found := _PLUS.match(rest):
            more, after = value_at_start(rest[found.end() :], [])
            other, after = unit_at_start(after, []) if more is not None else ("", after)
            added = _amount(str(more), other or "piece") if more else None
            if amount.unit == "stick" and added is not None and added.kind is Kind.VOLUME:
                amount = Amount(amount.value * 8, "tablespoon")  # of butter: 8 tablespoons (American packs)
            if added is None or added.kind is not amount.kind or amount.kind is Kind.COUNT:
                break
            amount, rest = Amount(amount.value + added.exactly(amount.unit), amount.unit), after
        elif (found := _AGAIN.match(rest)) and unit:
            amount, rest = _better(amount, _amount(found.group(1), found.group(2)), remarks), rest[found.end() :]
        elif (found := _IN_BRACKET.match(rest)) and (noted := noted_amount(found.group(1))) is not None and unit:
            again = noted.amount.times(amount.value) if noted.each and amount.kind is Kind.COUNT else noted.amount
            packed = amount.unit in ("can", "package", "slice", "sheet") and amount.kind is Kind.COUNT
            again = noted.amount.times(amount.value) if packed else again
            amount, rest = _better(amount, again, remarks), rest[found.end() :]
        else:
            break
    rest = without_of(rest.strip(" ,"))
    held = CONTAINER.match(rest) if amount.kind is not Kind.COUNT else None  # `2 x 400 g tins`
    rest, container = (rest[held.end() :], held.group(1).casefold()) if held else (rest, "")
    return LineAmount(amount, rest, tuple(remarks), container=container)


def _better(first: Amount, again: Amount | None, remarks: list[str]) -> Amount:
    """Of the same amount in two units a weight, which needs no table; the first where both are one."""
    if again is None or first.kind is Kind.MASS or again.kind is Kind.COUNT:
        return first
    if again.kind is Kind.MASS or first.kind is Kind.COUNT:
        remarks.append(f"the recipe also says {first}")
        return again
    return first


def noted_amount(note: str) -> NotedAmount | None:
    """The weight or volume that a note is about: ``about 8 oz``, ``6 ounces each``; None where it is about something else. Of two, the metric
    one: ``14 oz./400 g``."""
    pieces = [p.strip() for p in _BETWEEN_NOTES.split(_ABOUT.sub("", note.strip())) if p.strip()]
    seen = [(n, f) for n, piece in enumerate(pieces) if (f := _NOTED.match(piece))]
    if not seen or not all(_HOUSEHOLD.fullmatch(p) or _CUT_FIRST.fullmatch(p) for p in pieces[: seen[0][0]]):
        return None
    tail = seen[0][1].group(3).strip(" .,")
    if tail and not re.match(
        r"^(?:each|total|in total|apiece|a piece|can|tin|package|pkg|block|weight|size|or so|drained|raw|whole|unpeeled|trimmed|minimum)\b",
        tail,
        re.IGNORECASE,
    ):
        return None
    amounts = [a for _, f in seen if (a := _amount(f.group(1), f.group(2))) is not None]
    chosen = next((a for a in amounts if a.unit in ("gram", "kilogram")), amounts[0] if amounts else None)
    return None if chosen is None else NotedAmount(chosen, bool(_EACH.search(note)))


@functools.lru_cache(maxsize=512)
def _amount(number: str, unit: str) -> Amount | None:
    try:
        return parse_amount(f"{number} {unit.rstrip('. ')}")
    except NotAnAmount:
        return None


def by_notes(amount: Amount, notes: Sequence[str]) -> tuple[Amount, str]:
    """A count or volume with what the notes say that it weighs; and the remark about it, empty where they say nothing."""
    if amount.kind is Kind.MASS:
        return amount, ""
    for note in notes:
        noted = noted_amount(note)
        if noted is None or noted.amount.kind is not Kind.MASS:
            continue
        whole = noted.amount.times(amount.value) if noted.each and amount.kind is Kind.COUNT else noted.amount
        return (
            whole,
            f"the recipe also says {amount}" if amount.unit != "piece" else f"{format_number(amount.value)} pieces",
        )
    return amount, ""
