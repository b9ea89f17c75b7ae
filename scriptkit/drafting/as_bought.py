"""How what a line asks for differs from what is eaten of it: cans that are drained, meat on its bones, shells, and amounts that are a range."""

from __future__ import annotations

import re
from fractions import Fraction

from scriptkit.drafting.food_matching import folded
from scriptkit.drafting.line_amounts import LineAmount
from scriptkit.drafting.line_weights import LineWeight, weight_of
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry.food import Food

_DRAINED_SHARE = 0.6
"""Of a can of pulses, without its liquid (common practice, no source)."""
_DRAINED_BETWEEN = (0.55, 0.65)
"""The same, of makes that differ (common practice, no source)."""
_SHELLS = frozenset({"mussels", "clams", "oysters", "cockles", "lobster, raw"})
_WHOLE_FISH = re.compile(r"\bwhole\b|\bgutted\b(?!.*\bfill?ets?\b)|\bhead[- ]on\b", re.IGNORECASE)
SHELLS_REMARK = "only the meat is eaten: a quarter of mussels or clams, a third of a lobster, half of a whole fish; write what is eaten"
_NO_SHELLS = re.compile(r"\b(?:meats?|shelled|shucked|cooked|canned|tinned|smoked|drained)\b", re.IGNORECASE)
_LEAST_IN_SHELLS_G = 100


def in_shells(food: Food, amount: Amount | None, line: str) -> bool:
    """Whether the line weighs shellfish with their shells, or a whole fish, of which the table has the meat alone."""
    if amount is None or amount.kind is not Kind.MASS or amount.grams < _LEAST_IN_SHELLS_G or _NO_SHELLS.search(line):
        return False
    return food.name in _SHELLS or (food.category == "fish" and bool(_WHOLE_FISH.search(line)))


def between(
    told: LineAmount,
    read: Amount | None,
    used: Amount | None,
    food: Food | None,
    prep: str,
    name: str,
    weight: LineWeight,
) -> tuple[str, ...]:
    """The least and the most that a line allows: of a range its ends, of a drained can what makes differ by."""
    if read is None or food is None or weight.sure < 1:
        return ()
    if used is not read:  # drained
        return tuple(f"{_of_cans(read).grams * share:.0f} g" for share in _DRAINED_BETWEEN)
    if told.most is None or read is not told.amount:
        return ()
    upper = weight_of(food, told.most, prep, folded(name))
    return (weight.amount, upper.amount) if upper.measured_as == weight.measured_as else ()


def drained(food: str, amount: Amount, prep: str, container: str) -> tuple[str, Amount, str]:
    """A can of pulses that is drained is weighed without its liquid."""
    liquid = food.endswith(", canned, with liquid")
    if "drain" not in prep and "rins" not in prep:
        return food, amount, ""
    if liquid:
        food = food.replace(", canned, with liquid", ", cooked")
    pulse = liquid or food in ("chickpeas, canned", "kidney beans, canned", "pinto beans, canned")
    whole = _of_cans(amount)
    if not pulse or whole.kind is not Kind.MASS:
        return food, amount, ""
    grams = Fraction(round(whole.grams * _DRAINED_SHARE))
    return food, Amount(grams, "gram"), f"drained: {_DRAINED_SHARE:.0%} of the {container or 'can'}"


def _of_cans(amount: Amount) -> Amount:
    """Cans whose size nobody says as grams (common practice: 400 g; an American one of 15 oz has 425)."""
    return Amount(amount.value * 400, "gram") if amount.unit == "can" else amount


_BONES = re.compile(
    r"\bbone[- ]in\b|\bshells?[- ]on\b|\bunpeeled\b|\bin (?:the|their) shells?\b|\bon the bone\b|\bwith bones?\b|\bwhole\b",
    re.IGNORECASE,
)
_NO_BONES = re.compile(
    r"\b(?:bone(?:less|d)|fillets?|off the bone|meat only|diced|cubed|minced|ground|shredded|pulled|cooked|strips|chunks)\b",
    re.IGNORECASE,
)
_BONY = re.compile(r"\b(?:whole|wing|drumstick|chicken leg|ribs?|shank|bone|neck|quail|pheasant|poussin|goose)\b")
_SOLD_WITH_BONES = frozenset({"poultry", "pork", "lamb", "beef", "veal", "game", "shellfish"})
_BONES_SHARE = 0.1


def with_bones(food: Food, amount: Amount | None, line: str) -> bool:
    """Whether a weight is of meat with its bones: the line says so, or it is a cut that is sold in no other way."""
    if amount is None or amount.kind is not Kind.MASS or (food.refuse_share or 0) < _BONES_SHARE:
        return False
    said = bool(_BONES.search(line) or _BONY.search(food.name))
    return said and food.category in _SOLD_WITH_BONES and not _NO_BONES.search(line)
