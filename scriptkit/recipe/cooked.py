"""What the batch weighs cooked where nobody weighed it: published yields where there are any, else as it went in."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.pantry.yields import Yield, yield_of
from scriptkit.recipe.dish import Ingredient, Step


def estimated_weight(ingredients: Sequence[Ingredient], steps: Sequence[Step]) -> tuple[float, tuple[Yield, ...]]:
    """Grams of the batch less what is left in the pan or strained out, and the yields used.

    Water contents of tables are no way to a cooked weight, so nothing is taken to boil away but what a yield says.
    """
    grams = 0.0
    used: list[Yield] = []
    for ingredient in ingredients:
        if ingredient.grams is None:
            continue
        found = published_yield(ingredient, steps)
        grams += ingredient.grams * (1 - ingredient.lost_share) * (found.share if found else 1.0)
        if found:
            used.append(found)
    return grams, tuple(used)


def published_yield(ingredient: Ingredient, steps: Sequence[Step]) -> Yield | None:
    """The yield for the longest of the steps that it goes through from where it goes in, that has one."""
    at = [n for n, s in enumerate(steps) if any(a.ingredient is ingredient for a in s.additions) and s.stage != "prep"]
    at = at or [n for n, s in enumerate(steps) if ingredient in s.uses and s.stage != "prep"]
    after = sorted(steps[at[0] :], key=lambda s: -s.length_ms) if at else []
    return next((y for s in after if (y := yield_of(ingredient.food.name, s.method))), None)
