"""How what a line asks for differs from what is eaten of it: cans that are drained, and amounts that are a range."""

from __future__ import annotations

import re
from fractions import Fraction

from scriptkit.drafting.food_matching import folded
from scriptkit.drafting.line_amounts import LineAmount
from scriptkit.drafting.line_weights import LineWeight, weight_of
from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry.as_sold import PULSES_LEFT, in_shells, with_unknown_bones
from scriptkit.pantry.food import Food

_SHARES = {
    "vegetable": (0.6, 0.5, 0.7), "mushroom": (0.6, 0.5, 0.7), "fruit": (0.6, 0.5, 0.65),
    "fish": (0.7, 0.6, 0.8), "shellfish": (0.6, 0.5, 0.7),
}  # fmt: skip
"""The same of other cans, by category (common practice, no source)."""
_HELD = ("can", "tin", "jar")
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
        _, least, most = _SHARES.get(food.category, PULSES_LEFT)
        return tuple(f"{_of_cans(read).grams * share:.0f} g" for share in (least, most))
    if told.most is None or read is not told.amount:
        return ()
    upper = weight_of(food, told.most, prep, folded(name))
    return (weight.amount, upper.amount) if upper.measured_as == weight.measured_as else ()


def drained(food: str, category: str, amount: Amount, prep: str, container: str) -> tuple[str, Amount, str]:
    """A can that is drained is weighed without its liquid; of what is no pulse only one whose size is told."""
    liquid = food.endswith(", canned, with liquid")
    if ("drain" not in prep and "rins" not in prep) or _WEIGHED_DRAINED.search(prep):
        return food, amount, ""
    if category in _SHARES:
        if not container.startswith(_HELD) or amount.kind is not Kind.MASS:
            return food, amount, ""
        share = _SHARES[category][0]
        return food, _share_of(amount, share), f"drained: {share:.0%} of the {container}"
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
    return food, _share_of(whole, PULSES_LEFT[0]), f"drained: {PULSES_LEFT[0]:.0%} of the {container or 'can'}"


_WEIGHED_DRAINED = re.compile(r"\bdrained weight\b|\bnot drained\b|\bundrained\b", re.IGNORECASE)


def _share_of(amount: Amount, share: float) -> Amount:
    return Amount(Fraction(round(amount.grams * share)), "gram")


def _of_cans(amount: Amount) -> Amount:
    """Cans whose size nobody says as grams (common practice: 400 g; an American one of 15 oz has 425)."""
    return Amount(amount.value * 400, "gram") if amount.unit == "can" else amount
