"""What a line's amount of a food weighs, as a dish file can say it; a guess where nothing tells, with how sure it is."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.data_files import rows_of
from scriptkit.drafting.line_amounts import by_notes
from scriptkit.drafting.old_measures import written
from scriptkit.measure.amounts import Amount, Kind, canonical_unit
from scriptkit.measure.numbers import format_number
from scriptkit.pantry.food import Food, HouseholdWeight
from scriptkit.pantry.names import words_of
from scriptkit.pantry.weighing import SIZES, CannotWeigh, Weighed, states_in, weigh, weigh_or_estimate

_PIECES = (
    "medium", "piece", "large", "small", "fillet", "breast", "thigh", "bulb", "head", "stalk", "root", "ear", "clove", "extra_large",
)  # fmt: skip
_SEEN_KCAL = 25.0
"""A guessed weight that can move a batch by less needs no confirmation (common sense, no source)."""
_ALIKE = 1.25
"""Weights of several states that lie so near together make one estimate (common sense, no source)."""
_UNSAID = frozenset({"ground", "pureed", "mashed", "minced"})
"""States that a line would name."""
_PACKED = frozenset({"can", "package"})
_METRIC_LIQUID = frozenset({"millilitre", "centilitre", "decilitre", "litre"})
GUESSED, ONE_OF_SEVERAL = 0.3, 0.6
"""How sure a weight is that no table tells, and one of several that could be meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineWeight:
    """``amount`` and ``measured_as`` as a dish file takes them; ``sure`` is 1 where nothing must be confirmed."""

    amount: str
    measured_as: str = ""
    remark: str = ""
    sure: float = 1.0


def weight_of(food: Food | None, amount: Amount, state: str, words: Sequence[str] = ()) -> LineWeight:
    """The amount where the food has a weight for it in this state; else a form among the line's ``words`` (*4 basil leaves*), one of several
    weights, another size, or a guess."""
    if amount.kind is Kind.MASS:
        return LineWeight(amount=written(amount))
    if food is None:
        return _guess(None, amount, words)
    counted = amount.kind is Kind.COUNT
    units = [u for w in words if (u := canonical_unit(w)) and u not in SIZES] if amount.unit == "piece" else []
    pieces = counted and amount.unit not in _PACKED  # nobody knows how many a packet holds
    for unit in (amount.unit, *units, *(["piece"] if pieces else [])):
        one = Amount(amount.value, unit)
        if one.kind is amount.kind and (told := _weighed(food, one, state)) is not None:
            return LineWeight(amount=written(one), remark=f"about {told.grams:.0f} g" if told.borrowed else "")
    try:
        weigh(food, amount, state)
    except CannotWeigh as wrong:
        several = _of_several(food, amount, wrong.candidates, words)
        return several or _of_another_kind(food, amount) or _guess(food, amount, words)
    return LineWeight(amount=written(amount))


_FAR_OFF = 1.8


def noted_weight(food: Food | None, told: Amount | None, notes: Sequence[str], state: str) -> tuple[Amount | None, str]:
    """The amount by what its notes say that it weighs, and the remark about it; by the volume alone where that cannot be its weight: *2 ½ cups
    coconut milk, preferably two boxes (8.5 oz)*."""
    if told is None:
        return None, ""
    noted, remark = by_notes(told, notes)
    if food is not None and told.kind is Kind.VOLUME and noted.kind is Kind.MASS:
        by_volume = _weighed(food, told, state)
        if by_volume is not None and by_volume.grams and not 1 / _FAR_OFF <= noted.grams / by_volume.grams <= _FAR_OFF:
            return told, ""
    return noted, remark


def _weighed(food: Food, amount: Amount, state: str) -> Weighed | None:
    try:
        return weigh_or_estimate(food, amount, state)
    except CannotWeigh:
        return None


def _of_several(
    food: Food, amount: Amount, candidates: Sequence[HouseholdWeight], words: Sequence[str]
) -> LineWeight | None:
    if not candidates:
        return None
    candidates = [w for w in candidates if not states_in(w.state) & _UNSAID] or candidates
    candidates = [w for w in candidates if w.state and set(words_of(w.state)) <= set(words)] or candidates
    chosen = min(candidates, key=lambda w: _PIECES.index(w.unit) if w.unit in _PIECES else len(_PIECES))
    each = sorted(w.grams_each for w in candidates if w.unit == chosen.unit) or [chosen.grams_each]
    if amount.kind is Kind.VOLUME:
        chosen = sorted((w for w in candidates if w.unit == chosen.unit), key=lambda w: w.grams_each)[len(each) // 2]
    try:
        grams = weigh(food, amount, chosen.state).grams
    except CannotWeigh:
        return _as_grams(food, amount, chosen) if amount.kind is Kind.COUNT else None
    spread = grams * (each[-1] - each[0]) / max(chosen.grams_each, 1e-9)
    alike = each[-1] <= each[0] * _ALIKE
    if packed := next((w for w in candidates if w.state == "packed" and food.name == "sugar, brown"), None):
        chosen, alike = packed, True  # brown sugar is measured packed (common practice of American books)
    sure = 1.0 if alike or _kcal(food, spread) < _SEEN_KCAL * 2 else ONE_OF_SEVERAL
    remark = f"{amount} could be measured in several states; taken as {chosen.state}"
    return LineWeight(amount=written(amount), measured_as=chosen.state, remark=remark, sure=sure)


def _of_another_kind(food: Food, amount: Amount) -> LineWeight | None:
    """Pieces, where the pantry weighs another size or part; a stick of what grows in stalks."""
    if amount.unit == "stick":
        weight = next((w for w in food.weights if w.unit == "stalk"), None)
    elif amount.unit in ("piece", *SIZES):
        weight = next((w for name in (amount.unit, *_PIECES) for w in food.weights if w.unit == name), None)
    else:
        weight = None
    return None if weight is None else _as_grams(food, amount, weight)


def _as_grams(food: Food, amount: Amount, weight: HouseholdWeight) -> LineWeight:
    grams = float(amount.value) * weight.grams_each
    remark = (
        f"{amount if amount.unit != 'piece' else format_number(amount.value)} taken as {grams:.0f} g ({weight.printed})"
    )
    if weight.unit in SIZES and amount.value.denominator == 1:
        return LineWeight(amount=f"{amount.value} {weight.unit.replace('_', ' ')}", remark=remark)
    sure = (
        1.0
        if weight.unit in (*SIZES, "piece", amount.unit, "stalk") or _kcal(food, grams) < _SEEN_KCAL
        else ONE_OF_SEVERAL
    )
    return LineWeight(amount=f"{max(grams, 0.1):.3g} g" if grams < 100 else f"{grams:.0f} g", remark=remark, sure=sure)


@functools.cache
def _guesses() -> dict[tuple[str, str], float]:
    """(unit, `category:…` or empty) → grams of one (guessed_weights.csv; common practice, no source)."""
    rows = rows_of("scriptkit.drafting", "guessed_weights.csv", ("unit", "of", "grams"))
    return {(unit, of): float(grams) for unit, of, grams in rows}


def _guess(food: Food | None, amount: Amount, words: Sequence[str]) -> LineWeight:
    """Grams that nobody weighed."""
    units = [amount.unit, *(u for w in words if (u := canonical_unit(w)))] if amount.unit == "piece" else [amount.unit]
    of = f"category:{food.category}" if food is not None else ""
    table = _guesses()
    if food is None and amount.unit in _METRIC_LIQUID:
        grams = amount.millilitres  # who weighs what is dry writes millilitres of what is wet
    elif amount.kind is Kind.VOLUME:
        grams = amount.millilitres / 236.588 * table.get(("cup", of), table["cup", ""])
    else:
        named = food.name if food is not None else ""
        each = next(
            (table[u, k] for u in reversed(units) for k in (named, of, "") if (u, k) in table), table["piece", ""]
        )
        grams = float(amount.value) * each
    shown = f"{grams:.0f} g" if grams >= 10 else f"{max(grams, 0.1):.1f} g"
    little = food is not None and _kcal(food, grams) < _SEEN_KCAL
    said = amount if amount.unit != "piece" else format_number(amount.value)
    return LineWeight(
        amount=shown, remark=f"nothing says what {said} weighs; taken as {shown}", sure=1.0 if little else GUESSED
    )


def moves_little(food: Food, amount: Amount, state: str) -> bool:
    """Whether all of the amount has so little energy that a wrong share of it changes nothing that is printed."""
    weighed = _weighed(food, amount, state)
    return weighed is not None and _kcal(food, weighed.grams) < _SEEN_KCAL


def _kcal(food: Food, grams: float) -> float:
    energy = food.composition.energy_kcal
    return float("inf") if energy is None else energy * grams / 100
