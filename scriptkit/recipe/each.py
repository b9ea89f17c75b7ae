"""Amounts that are written for each serving: ``{each: 1 tsp}``, which the file may also have as *1 tsp each*."""

from __future__ import annotations

import dataclasses
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from scriptkit.measure.amounts import Amount

if TYPE_CHECKING:
    from scriptkit.recipe.dish import Addition

_EACH = re.compile(r"\s+each\s*$", re.IGNORECASE)


def each_as_text(value: Any) -> Any:
    """``{each: 1 tsp}`` as *1 tsp each*; anything else as it is.

    >>> each_as_text({"each": "1 tsp"}), each_as_text("half")
    ('1 tsp each', 'half')
    """
    if isinstance(value, dict) and set(value) == {"each"} and isinstance(value["each"], str | int | float):
        return f"{str(value['each']).strip()} each"
    return value


def without_each(text: str) -> tuple[str, bool]:
    """The amount of one serving, and whether the text says *each*.

    >>> without_each("1 tsp each"), without_each("2 tbsp")
    (('1 tsp', True), ('2 tbsp', False))
    """
    found = _EACH.search(text)
    return (text, False) if found is None else (text[: found.start()], True)


def share_of(addition: Addition, servings: float) -> Addition | None:
    """What of the addition is on one plate: as it is written, else by the number of servings; None where nothing is measured."""
    if addition.grams is None or servings <= 0:
        return None
    one = addition.each or (None if addition.amount is None else addition.amount.times(1 / Fraction(str(servings))))
    return dataclasses.replace(addition, amount=one, grams=addition.grams / servings, each=None)


def of_all(amount: Amount, servings: float) -> Amount:
    """What all servings take of an amount of each."""
    return amount.times(Fraction(str(servings)))
