"""What a line asks for besides its first amount: *2 tbsp olive oil, plus 1 tbsp for frying*. It goes in, so it is counted."""

from __future__ import annotations

import contextlib
import re
from fractions import Fraction

from scriptkit.drafting.line_amounts import read_amount
from scriptkit.drafting.old_measures import unit_of_word
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.measure.numbers import NUMBER
from scriptkit.pantry.food import Food
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate

_MORE = r"(?:(?:another|an? (?:extra|further|additional)|about|extra|up to)\s+)?"
_PLUS = re.compile(
    rf"(?:^|[\s,(])(?:plus|\+)\s+{_MORE}(?P<said>(?:{NUMBER}|an?\s+(?!little\b|few\b|bit\b|touch\b|lot\b|generous\b)).*)$"
    rf"|(?:^|[\s,(])(?:and|&)\s+{_MORE}(?P<purpose>{NUMBER}\s?(?:tablespoons?|tbsps?|teaspoons?|tsps?|cups?|g|ml|oz|ounces?)\b\.?\s*(?:(?:more|extra|for|to)\b.*)?)$",
    re.IGNORECASE,
)
_PLAIN = (1, 2, 3, 4, 8)
"""Parts of a cup or spoon that a cook measures; other sums are said in the smaller unit."""
_OF_THE_SAME = re.compile(r"^(?:(?:more|extra|over|of it|for|to|if|at|as|in|when)\b.*|)$", re.IGNORECASE)


def without_plus(text: str) -> tuple[str, str]:
    """The text without the words that add an amount, and those words; empty where none do. *Plus extra for dusting* adds none.

    >>> without_plus("oil, plus 1 tbsp for frying"), without_plus("flour, plus extra for dusting")
    (('oil', '1 tbsp for frying'), ('flour, plus extra for dusting', ''))
    """
    found = _PLUS.search(text)
    if not found:
        return text, ""
    return text[: found.start()].rstrip(" ,;"), (found["said"] or found["purpose"]).strip(" ,.;()")


def with_plus(
    food: Food | None, amount: Amount | None, said: str, state: str, remarks: list[str]
) -> tuple[Amount | None, str]:
    """The amount with what the line has ``said`` that it adds, and why it is a doubt where the two cannot be added up; ``remarks`` gets what was added."""
    if not said:
        return amount, ""
    told = read_amount(said)
    if unit_of_word(told.rest) is not None:
        told = read_amount(f"{said} more")  # a unit at the end is read as a food
    unsure = f"the line adds {said}, which is not counted"
    if amount is None or told.amount is None or not _OF_THE_SAME.match(told.rest.partition(",")[0].strip()):
        return amount, unsure
    remark = f"with {told.amount} that the line adds"
    if told.amount.kind is amount.kind and (amount.kind is not Kind.COUNT or told.amount.unit == amount.unit):
        remarks.append(remark)
        both = Amount(amount.value + told.amount.exactly(amount.unit), amount.unit)
        plain = both.value.denominator in _PLAIN or (both.kind is Kind.MASS and 1000 % both.value.denominator == 0)
        return both if plain else Amount(both.exactly(told.amount.unit), told.amount.unit), ""
    if food is not None:
        with contextlib.suppress(CannotWeigh):
            grams = sum(weigh_or_estimate(food, one, state).grams for one in (amount, told.amount))
            remarks.append(remark)
            return Amount(Fraction(round(grams)), "gram"), ""
    return amount, unsure
