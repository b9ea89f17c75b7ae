"""An amount that somebody says held against what the recipe adds, in one measure."""

from __future__ import annotations

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.measure.spoken import SpokenFigure
from scriptkit.measure.words import gram_amount
from scriptkit.pantry.household import household_amount
from scriptkit.pantry.weighing import CannotWeigh, weigh
from scriptkit.recipe.dish import Addition

EXACT, ABOUT = 0.02, 0.05
"""How far a spoken amount may be from the recipe's: a spoon is no finer; with *about* before it; and where a cup is held
against grams (common practice, no source)."""


def to_common_unit(heard: SpokenFigure, addition: Addition) -> tuple[float, float, bool] | None:
    """What is said and what goes in, in one measure, and whether it took a household weight to compare them; None where
    they cannot be compared."""
    if addition.grams is None or addition.grams <= 0:
        return None
    said = Amount(heard.value, heard.unit or "piece")
    if said.kind is Kind.MASS:
        printed = gram_amount(addition.scale_g or 0.0)  # the card's figure, not one that nobody sees
        return (said.grams, printed.grams, False) if printed else None
    amount = addition.amount
    if amount is not None and said.kind is amount.kind is Kind.VOLUME:
        return said.millilitres, amount.millilitres, False
    if amount is not None and said.kind is amount.kind and heard.unit in ("", amount.unit):
        return float(said.value), float(amount.value), False
    return _by_weight(said, addition, addition.grams) if heard.unit else None


def _by_weight(said: Amount, addition: Addition, grams: float) -> tuple[float, float, bool] | None:
    food, state = addition.ingredient.food, addition.ingredient.state
    if said == household_amount(food, grams, state):
        return 1.0, 1.0, True  # as the card prints it
    try:
        return weigh(food, said, state).grams, grams, True
    except CannotWeigh:
        return None
