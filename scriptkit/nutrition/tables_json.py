"""Macros of a dish or a meal as JSON: ten times finer than printed, so that a machine can compute on.

A figure of which a part is unknown is null, and ``at_least`` beside it has what is known; ``unknown_figures`` says whose part
is lacking. That goes for alcohol too, which tables leave blank for many foods that are no drink: null is what they say.
"""

from __future__ import annotations

from typing import Any

from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.plates import DishMacros, MealMacros
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.nutrition.rounding import Printed, print_one, print_table


def dish_json(
    macros: DishMacros, *, basis: Basis = Basis.US, portion_g: float | None = None, spread: bool = True
) -> dict[str, Any]:
    """The dish by ingredient, batch, serving and 100 g (and a portion), with the ``spread`` of net carbs across tables. What
    came out of the food stands among the ingredients with figures below zero, so that they add up to the batch."""
    dish = macros.dish
    table = print_table([m for _, m in macros.ingredients], macros.batch, basis=basis, finer=10)
    out: dict[str, Any] = {
        "dish": dish.name,
        "basis": basis.value,
        "servings": dish.servings,
        "serving": _one(macros.serving, basis, spread),
        "per_100_g": _one(macros.per_100_g, basis, spread),
        "batch": _json(table.whole) | _spread(macros.batch, spread),
    }
    if portion_g is not None:
        out["portion"] = _one(macros.portion(portion_g), basis, spread)
    out["ratios"] = _ratios_json(macros.serving)
    out["ingredients"] = [
        {
            "name": i.name,
            "food": i.food.name,
            "source": i.food.source,
            "amount": str(i.amount),
            "weighed_as": i.weighed_as,
            "left_in_pan_g": None if i.grams is None else round(i.grams * i.left_share, 2),
            "strained_out_g": None if i.grams is None else round(i.grams * i.strained_share, 2),
            **_json(row),
            **_spread(m, spread),
        }
        for (i, m), row in zip(macros.ingredients, table.rows, strict=True)
    ]
    out["unknown"] = list(macros.unknown)
    out["unknown_figures"] = {n: list(names) for n, names in macros.unknown_figures.items()}
    out["estimated"] = list(macros.estimated)
    return out


def meal_json(macros: MealMacros, *, basis: Basis = Basis.US, spread: bool = True) -> dict[str, Any]:
    """The plate by dish, the plate, the party, and every dish of it, with the ``spread`` of net carbs across tables."""
    table = print_table([m for _, m in macros.rows], macros.plate, basis=basis, finer=10)
    portions, extras = table.rows[: len(macros.portions)], table.rows[len(macros.portions) :]
    return {
        "meal": macros.meal.name,
        "basis": basis.value,
        "plates": macros.meal.plates,
        "portions": [
            {"dish": p.dish.name, "portion": p.words, **_json(row), **_spread(m, spread)}
            for (p, _, m), row in zip(macros.portions, portions, strict=True)
        ],
        "extras": [
            {"name": e.ingredient.name, "how": e.how, **_json(row), **_spread(m, spread)}
            for (e, m), row in zip(macros.extra, extras, strict=True)
        ],
        "plate": _json(table.whole) | _spread(macros.plate, spread),
        "party": _one(macros.party, basis, spread),
        "ratios": _ratios_json(macros.plate),
        "dishes": [dish_json(d, basis=basis, spread=spread) for d in dict.fromkeys(d for _, d, _ in macros.portions)],
        "unknown": list(macros.unknown),
        "estimated": list(macros.estimated),
    }


def _one(macros: Macros, basis: Basis, spread: bool) -> dict[str, Any]:
    return _json(print_one(macros, basis=basis, finer=10)) | _spread(macros, spread)


def _spread(macros: Macros, asked: bool) -> dict[str, list[float]]:
    """Least and most net carbs across published tables, where they differ."""
    spread = macros.net_spread_g if asked else None
    return {} if spread is None else {"net_carbs_spread_g": [round(g, 2) for g in spread]}


def _json(row: Printed) -> dict[str, Any]:
    out: dict[str, Any] = {"weight_g": row.weight_g, **row.figures}
    lacking = {n: row.at_least[n] for n, figure in row.figures.items() if figure is None}
    return out | ({"at_least": lacking} if lacking else {})


def _ratios_json(macros: Macros) -> dict[str, Any]:
    ratios = ratios_of(macros)

    def rounded(value: float | None) -> float | None:
        return None if value is None else round(value, 3)

    shares = ratios.energy_shares
    return {
        "fat_g_to_protein_and_net_carbs_g": rounded(ratios.fat_to_protein_and_net_carbs),
        "fat_g_to_net_carbs_g": rounded(ratios.fat_to_net_carbs),
        "energy_percent": None if shares is None else dict(zip(("fat", "protein", "net_carbs"), shares, strict=True)),
    }
