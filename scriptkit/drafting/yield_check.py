"""Whether the energy that the source prints of a serving can be that of the lines: where it is far off, the yield is a guess too."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from scriptkit.drafting.ingredient_lines import DraftIngredient
from scriptkit.drafting.old_measures import TO_TASTE
from scriptkit.measure.amounts import NotAnAmount, parse_amount
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate

FACTOR = 1.6
"""By how much ours and the printed energy of a serving differ where no table, loss or rounding explains it: another yield, an amount
that is misread, or a page that is wrong (common sense, no source)."""
_KCAL_PER_G = {"fat_g": 9.0, "protein_g": 4.0, "carbohydrate_g": 4.0}
_AGREES = 0.25


def batch_kcal(drafts: Sequence[DraftIngredient], pantry: Pantry) -> float | None:
    """The energy of all lines, raw and as bought, roughly; None while any of them is unknown or a guess."""
    total = 0.0
    for one in drafts:
        if one.to_confirm:
            return None
        if one.amount == TO_TASTE:
            continue
        food = pantry.known(one.food or one.name)
        if food is None or food.composition.energy_kcal is None:
            return None
        try:
            grams = weigh_or_estimate(food, parse_amount(one.amount), one.measured_as or one.prep).grams
        except (CannotWeigh, NotAnAmount):
            return None
        grams *= 1 - (food.refuse_share or 0) if one.with_bones else 1
        total += grams * food.composition.energy_kcal / 100
    return total


def yield_in_doubt(batch: float | None, servings: float, printed: Mapping[str, float]) -> str:
    """Why the number of servings must be asked, in words for `read_from:`; empty where it need not be: the figures agree by and large, one
    is unknown, or the printed ones contradict themselves.

    >>> yield_in_doubt(5470, 12, {"energy_kcal": 210})
    'its source prints 210 kcal a serving, these lines make 456 kcal: that fits 26 servings'
    >>> yield_in_doubt(5470, 24, {"energy_kcal": 210}), yield_in_doubt(None, 12, {"energy_kcal": 210})
    ('', '')
    """
    figure = printed.get("energy_kcal", 0.0)
    if batch is None or figure < 1 or servings <= 0 or batch <= 0:
        return ""
    ours = batch / servings
    if ours / figure < FACTOR and figure / ours < FACTOR:
        return ""
    if set(_KCAL_PER_G) <= set(printed):
        made = sum(printed[name] * kcal for name, kcal in _KCAL_PER_G.items())
        if abs(made - figure) > _AGREES * figure:
            return ""
    fits = batch / figure
    fitting = f": that fits {fits:.0f} serving{'' if round(fits) == 1 else 's'}" if 0.5 <= fits < 1000 else ""
    return f"its source prints {figure:.0f} kcal a serving, these lines make {ours:.0f} kcal{fitting}"


_RANGE = re.compile(
    r"\W*(?:serves|servings?:?|makes)?\W*(\d{1,2})\s*(?:-|–|—|to)\s*(\d{1,2})\W*(?:servings?|people|portions?|persons?)?\W*",
    re.IGNORECASE,
)
_FITS = 0.15


def servings_of_range(serves: str, batch: float | None, printed: Mapping[str, float]) -> int | None:
    """Of *4 to 6 servings* the number that the source's own energy of a serving is of; None where it says no range or none of it fits.

    >>> servings_of_range("4-6 servings", 2000, {"energy_kcal": 400}), servings_of_range("4-6 servings", 2000, {"energy_kcal": 200})
    (5, None)
    """
    found = _RANGE.fullmatch(serves)
    figure = printed.get("energy_kcal", 0.0)
    if found is None or batch is None or figure < 1:
        return None
    best = min(range(int(found[1]), int(found[2]) + 1), key=lambda n: abs(batch / max(n, 1) - figure), default=0)
    return best if best and abs(batch / best - figure) <= _FITS * figure else None
