"""What the scale said on the day, laid over a written dish: it counts in place of the amounts and of the estimate of what was cooked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from scriptkit.recipe.forms import DishForm


@dataclass(frozen=True, slots=True, kw_only=True)
class DayWeights:
    """Of one dish, in grams. ``cooked_g``: the batch as cooked; ``went_in_g``: ingredients by key, as they went in;
    ``seasoned_g``: of ingredients that are listed to taste, by key, what went in at each step, by its number from 1."""

    cooked_g: float | None = None
    went_in_g: Mapping[str, float] = field(default_factory=dict)
    seasoned_g: Mapping[str, Mapping[int, float]] = field(default_factory=dict)


def with_weights(form: DishForm, weights: DayWeights) -> DishForm:
    """The dish as if its cook had written the weights into it."""
    ingredients = dict(form.ingredients)
    for key, grams in weights.went_in_g.items():
        if key in ingredients:
            ingredients[key] = ingredients[key].model_copy(update={"weighed": _words(grams)})
    for key, by_step in weights.seasoned_g.items():
        if key in ingredients:
            whole = _words(sum(by_step.values()))
            ingredients[key] = ingredients[key].model_copy(update={"amount": whole, "weighed": whole})
    steps = [
        step.model_copy(
            update={"add": {**step.add, **{k: _words(g[n]) for k, g in weights.seasoned_g.items() if n in g}}}
        )
        for n, step in enumerate(form.steps, start=1)
    ]
    cooked = {} if weights.cooked_g is None else {"cooked_weight": _words(weights.cooked_g)}
    return form.model_copy(update={"ingredients": ingredients, "steps": steps, **cooked})


def _words(grams: float) -> str:
    return f"{grams:g} g"
