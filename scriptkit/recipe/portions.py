"""What a portion of a dish weighs: servings, a weight, a measure of the batch, or pieces of what the dish is made of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.problems import Problem, error
from scriptkit.recipe.build import SERVINGS
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path, Tree

SERVING = "serving"
"""The unit of an amount of servings."""


@dataclass(frozen=True, slots=True)
class Served:
    """Grams as served, above zero, and the measure as a cook says it; None where it is weighed."""

    grams: float
    measure: Amount | None


def served(bench: FieldParser, words: str | None, of: Dish, at: Path) -> Served | None:
    """``1/2 serving``, ``250 g``, ``1 cup`` or ``1/2 chop`` of the dish, by the dish's own cups and by its
    measures where the file has none of that name; None where there are no
    words, or where its weight cannot be told, which is then a problem."""
    if words is None:
        return None
    local = FieldParser(bench.tree, of.cups, {**bench.measures, **of.measures, **bench.written_measures})
    found = _served(local, words, of, at)
    bench.problems += local.problems
    return found


def portion_grams(bench: FieldParser, words: str, of: Dish, at: Path) -> float | None:
    """Grams of the portion; None where they cannot be told, which is then a problem."""
    found = served(bench, words, of, at)
    return None if found is None else found.grams


def portion_of(words: str, of: Dish, named_in: str) -> tuple[float | None, list[Problem]]:
    """Grams of a portion named outside a file (``250 g``, ``1/2 serving``), with what was wrong with it."""
    bench = FieldParser(Tree(named_in), of.cups, of.measures)
    return portion_grams(bench, words, of, ()), bench.problems


def _served(bench: FieldParser, words: str, of: Dish, at: Path) -> Served | None:
    servings = SERVINGS.search(words)
    amount = bench.amount(SERVINGS.sub("", words) or "1" if servings else words, *at)
    if amount is None:
        return None
    hint = "write grams or servings, such as 180 g or 1/2 serving"
    if not of.cooked_g and all(i.readable for i in of.ingredients):
        hint = f"weigh the batch, and write the amounts of what is in it, in {of.file}"
    elif servings and amount.unit == "piece":
        return Served(float(amount.value) * of.serving_g, Amount(amount.value, SERVING))
    elif amount.kind is Kind.MASS:
        return Served(amount.grams, None)
    elif amount.kind is Kind.VOLUME:
        if of.cooked_ml:
            return Served(amount.millilitres * of.cooked_g / of.cooked_ml, amount)
        hint = f"write grams or servings, or `cooked_volume:` in {of.file}"
    elif (pieces := _pieces(of, amount.unit)) is not None:
        return Served(of.cooked_g * float(amount.value / pieces), amount)
    not_weighed(bench, at, words, of, hint)
    return None


def _pieces(of: Dish, unit: str) -> Fraction | None:
    """How many of the unit the batch is made of, where one ingredient alone is counted in it."""
    counted = [i.amount.value for i in of.ingredients if i.amount is not None and i.amount.unit == unit]
    return counted[0] if unit != "piece" and len(counted) == 1 else None


def not_weighed(bench: FieldParser, at: Path, words: str, of: Dish, hint: str) -> None:
    """Tell that what a portion weighs is not known."""
    message = f"what “{words}” of {of.name} weighs is not known"
    bench.problems.append(error(bench.tree.place(*at), "portion", message, hint))
