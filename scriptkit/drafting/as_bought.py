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


def unknown_share(food: Food, amount: Amount | None, line: str) -> str:
    """Why nothing tells what of the weight is eaten; empty where something does."""
    if in_shells(food, amount, line):
        return SHELLS_REMARK
    unknown = food.refuse_share is None and _weighed_with_bones(food, amount, line)
    return BONES_REMARK if unknown else ""


_WHOLE_BIRD = re.compile(
    r"\bwhole\b|\bjointed\b|\bspatchcock|\broast(?:er|ing)\b|\bcut (?:in|into|up)\b.*\b(?:pieces|parts|portions|joints|serving|eight|8|10)\b|\bcut up\b",
    re.IGNORECASE,
)
_BIRD_G = 1_200
"""From here on a single chicken is a whole one (common practice, no source)."""


def whole_bird(amount: Amount | None, line: str, *, counted: bool) -> bool:
    """Whether *chicken* means the whole bird: *1 chicken, jointed*, *a 1.6 kg chicken*."""
    if amount is None or _NO_BONES.search(line) or _BONELESS.search(line):
        return False
    heavy = amount.kind is Kind.MASS and amount.grams >= _BIRD_G and re.search(r"\bchickens?\b(?! )", line) is not None
    return counted or heavy or bool(_WHOLE_BIRD.search(line))


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
    r"\bbone[- ]in\b|\bshells?[- ]on\b|\bunpeeled\b|\bin (?:the|their) shells?\b|\bon the bone\b|\bwith bones?\b|\bwhole\b|\bjointed\b|\bspatchcock",
    re.IGNORECASE,
)
_BONELESS = re.compile(r"\b(?:boneless|de-?boned|boned|off the bone|meat only|bones? (?:out|removed))\b", re.IGNORECASE)
_NO_BONES = re.compile(
    r"\b(?:fillets?|diced|cubed|minced|ground|shredded|pulled|cooked|strips|chunks)\b", re.IGNORECASE
)
_BONY = re.compile(
    r"\b(?:whole|wing|drumstick|chicken leg|thigh, skin-on|ribs?|chops?|rack|shank|oxtail|bone|bone-in|neck|quail|pheasant|poussin|goose|squab|guinea fowl|"
    r"boiling fowl|duck, wild|t-bone|porterhouse)\b"
)
"""In names of foods that are sold with their bones; what is without has a name of its own."""
_SOLD_WITH_BONES = frozenset({"poultry", "pork", "lamb", "beef", "veal", "game", "shellfish"})
_BONES_SHARE = 0.1
BONES_REMARK = "its bones are weighed too, and no table says how much they are; write what is eaten of it"


def with_bones(food: Food, amount: Amount | None, line: str) -> bool:
    """Whether a weight is of meat with its bones: the line says so, or it is a cut that is sold in no other way."""
    return (food.refuse_share or 0) >= _BONES_SHARE and _weighed_with_bones(food, amount, line)


def _weighed_with_bones(food: Food, amount: Amount | None, line: str) -> bool:
    if amount is None or amount.kind is not Kind.MASS or "boneless" in food.name:
        return False
    if food.category not in _SOLD_WITH_BONES or _BONELESS.search(line):
        return False
    return bool(_BONES.search(line)) or (bool(_BONY.search(food.name)) and not _NO_BONES.search(line))
