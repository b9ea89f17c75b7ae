"""The macros of what was cooked, where it is said that not all of the recipe went in, beside those of what is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.amounts import format_grams
from scriptkit.recipe.dish import Dish

if TYPE_CHECKING:
    from scriptkit.nutrition.dish_meal_macros import AllMacros, DishMacros
    from scriptkit.nutrition.macros import Macros
    from scriptkit.nutrition.rounding import Printed


@dataclass(frozen=True, slots=True, kw_only=True)
class AsCooked:
    """A dish of the day: ``without`` are the additions that did not go in, ``not_counted`` what went in and nobody knows how much of it;
    ``said_amounts`` how much more or less did, as it is said and not weighed: ``35 g of mustard``.
    ``written`` and ``cooked`` are of the same share of the batch, a serving; what is left out leaves the serving lighter. ``printed``: ``written`` as every paper and caption
    rounds it. ``cooked`` is None where all that is known is that it was not as written."""

    dish: Dish
    without: tuple[str, ...]
    not_counted: tuple[str, ...]
    said_amounts: tuple[str, ...]
    written: Macros
    printed: Printed
    cooked: Macros | None


def as_cooked(rows: Sequence[AdditionStatus], macros: Callable[[], AllMacros]) -> tuple[AsCooked, ...]:
    """One for each dish of which it is said that something did not go in, or that more or less of it did; without any, ``macros`` is
    not asked."""
    if not any(r.not_there or r.effect is not None for r in rows):
        return ()
    from scriptkit.nutrition.display_figures import printed_serving

    found = []
    meal = macros().meal
    for of_dish in macros().dishes:
        own = [r for r in rows if r.dish.file == of_dish.dish.file]
        missing = [r for r in own if r.not_there]
        other = [r for r in own if r.effect is not None and r.effect.effect in ("more", "less")]
        if missing or other:
            found.append(_of(of_dish, missing, other, printed_serving(of_dish, meal)))
    return tuple(found)


def _of(
    of_dish: DishMacros, missing: Sequence[AdditionStatus], other: Sequence[AdditionStatus], printed: Printed
) -> AsCooked:
    from scriptkit.nutrition.macros import total

    rows = {i.key: m for i, m in of_dish.ingredients if m.weight_g >= 0}
    less = [
        rows[r.addition.ingredient.key].times(-float(r.addition.share))
        for r in missing
        if r.addition.share and r.addition.ingredient.key in rows
    ]
    told = [(r, r.effect.grams) for r in other if r.effect is not None and r.effect.grams is not None]
    for r, grams in told:
        key, whole = r.addition.ingredient.key, r.addition.grams
        if key in rows and whole and r.addition.share:
            less.append(rows[key].times(float(r.addition.share) * (grams / whole - 1)))
    unknown = [r for r in other if r.effect is not None and r.effect.grams is None]
    written = of_dish.serving
    share = written.weight_g / of_dish.batch.weight_g if of_dish.batch.weight_g else 0.0
    replaced = [
        f"{r.stand_in or 'what went in'} instead of {r.name}"
        for r in missing
        if r.effect and r.effect.effect == "instead"
    ]
    return AsCooked(
        dish=of_dish.dish,
        without=tuple(dict.fromkeys(r.name for r in missing)),
        not_counted=(*replaced, *(f"{r.effect.effect} {r.name}" for r in unknown if r.effect)),
        said_amounts=tuple(f"{format_grams(grams)} of {r.name}" for r, grams in told),
        written=written,
        printed=printed,
        cooked=total([written, *(m.times(share) for m in less)]) if less else None,
    )
