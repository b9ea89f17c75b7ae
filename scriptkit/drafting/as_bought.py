"""How what a line asks for differs from what is eaten of it: cans that are drained, and amounts that are a range."""

from __future__ import annotations

from fractions import Fraction

from scriptkit.drafting.food_matching import folded
from scriptkit.drafting.line_amounts import LineAmount
from scriptkit.drafting.line_weights import LineWeight, weight_of
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry.as_sold import in_shells, with_unknown_bones
from scriptkit.pantry.food import Food

_DRAINED_SHARE = 0.6
"""Of a can of pulses, without its liquid (common practice, no source)."""
_DRAINED_BETWEEN = (0.55, 0.65)
"""The same, of makes that differ (common practice, no source)."""
SHELLS_REMARK = "only the meat is eaten: a quarter of mussels or clams, a third of a lobster, half of a whole fish; write what is eaten"
BONES_REMARK = "its bones are weighed too, and no table says how much they are; write what is eaten of it"


def unknown_share(food: Food, amount: Amount | None, line: str) -> str:
    """Why nothing tells what of the weight is eaten; empty where something does."""
    if in_shells(food, amount, line):
        return SHELLS_REMARK
    return BONES_REMARK if with_unknown_bones(food, amount, line) else ""


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
    pulse = (
        liquid
        or food in ("chickpeas, canned", "kidney beans, canned", "pinto beans, canned")
        or (bool(container) and food == "lentils, cooked")
    )
    whole = _of_cans(amount)
    if not pulse or whole.kind is not Kind.MASS:
        return food, amount, ""
    grams = Fraction(round(whole.grams * _DRAINED_SHARE))
    return food, Amount(grams, "gram"), f"drained: {_DRAINED_SHARE:.0%} of the {container or 'can'}"


def _of_cans(amount: Amount) -> Amount:
    """Cans whose size nobody says as grams (common practice: 400 g; an American one of 15 oz has 425)."""
    return Amount(amount.value * 400, "gram") if amount.unit == "can" else amount
