"""Macros of a dish or a meal as JSON: ten times finer than printed, with the interval of each figure (90 %)."""

from __future__ import annotations

from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import (
    ranges_of,
)
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.nutrition.rounding import Printed, print_each, print_one, print_table
from scriptkit.nutrition.sweetening import net_all_polyols_g
from scriptkit.papers.tables import JsonObject
from scriptkit.recipe.dish import Ingredient


def dish_json(
    macros: DishMacros, *, basis: Basis = Basis.US, portion_g: float | None = None, spread: bool = True
) -> JsonObject:
    """The dish by ingredient, batch, serving and 100 g (and a portion), with the ``spread`` of net carbs across tables. What
    came out of the food stands among the ingredients with figures below zero, so that they add up to the batch."""
    dish = macros.dish
    table = print_table([m for _, m in macros.ingredients], macros.batch, basis=basis, finer=10)
    out: JsonObject = {
        "dish": dish.name,
        "basis": basis.value,
        "servings": dish.servings,
        "serving": _whole_json(macros.serving, basis, spread),
        "per_100_g": _whole_json(macros.per_100_g, basis, spread),
        "batch": _row_json(table.whole) | _spread_json(macros.batch, basis, spread),
    }
    if portion_g is not None:
        out["portion"] = _whole_json(macros.portion(portion_g), basis, spread)
    out["ratios"] = _ratios_json(macros.serving)
    out["ingredients"] = [
        {
            "name": i.name,
            "food": i.food.name,
            "source": i.food.source if i.doubt is None else None,
            "amount": str(i.amount),
            "weighed_as": i.weighed_as,
            **_estimate_json(i),
            "left_in_pan_g": None if i.grams is None else round(i.grams * i.left_share, 2),
            "strained_out_g": None if i.grams is None else round(i.grams * i.strained_share, 2),
            "left_behind_g": None if i.grams is None else round(i.grams * i.behind_share, 2),
            **_row_json(row),
            **_spread_json(m, basis, spread),
        }
        for (i, m), row in zip(macros.ingredients, table.rows, strict=True)
    ]
    out["unknown"] = list(macros.unknown)
    out["unconfirmed"] = list(macros.unconfirmed)
    out["unknown_figures"] = {n: list(names) for n, names in macros.unknown_figures.items()}
    out["estimated"] = list(macros.estimated)
    return out


def meal_json(macros: MealMacros, *, basis: Basis = Basis.US, spread: bool = True) -> JsonObject:
    """The plate by dish, the plate, the party, and every dish of it, with the ``spread`` of net carbs across tables."""
    table = print_each([m for _, m in macros.rows], macros.plate, basis=basis, finer=10)
    portions, extras = table.rows[: len(macros.portions)], table.rows[len(macros.portions) :]
    return {
        "meal": macros.meal.name,
        "basis": basis.value,
        "plates": macros.meal.plates,
        "portions": [
            {"dish": p.dish.name, "portion": p.words, **_row_json(row), **_spread_json(m, basis, spread)}
            for (p, _, m), row in zip(macros.portions, portions, strict=True)
        ],
        "extras": [
            {"name": e.ingredient.name, "how": e.how, **_row_json(row), **_spread_json(m, basis, spread)}
            for (e, m), row in zip(macros.extra, extras, strict=True)
        ],
        "plate": _row_json(table.whole) | _spread_json(macros.plate, basis, spread) | _all_polyols_json(macros.plate),
        "party": _whole_json(macros.party, basis, spread),
        "ratios": _ratios_json(macros.plate),
        "dishes": [dish_json(d, basis=basis, spread=spread) for d in dict.fromkeys(d for _, d, _ in macros.portions)],
        "unknown": list(macros.unknown),
        "unconfirmed": list(macros.unconfirmed),
        "estimated": list(macros.estimated),
    }


def _whole_json(macros: Macros, basis: Basis, spread: bool) -> JsonObject:
    return (
        _row_json(print_one(macros, basis=basis, finer=10))
        | _spread_json(macros, basis, spread)
        | _all_polyols_json(macros)
    )


def _all_polyols_json(macros: Macros) -> JsonObject:
    """Net carbs with every polyol taken off whole, where there are some that are not."""
    net = net_all_polyols_g(macros)
    halved = macros.at_least("polyols_g") > macros.at_least("erythritol_g")
    return {} if net is None or not halved else {"net_carbs_all_polyols_g": round(net, 2)}


def _estimate_json(ingredient: Ingredient) -> JsonObject:
    """Of a weight that no table prints, its bounds and what it is borrowed from."""
    if not ingredient.borrowed or ingredient.weight_low_g is None or ingredient.weight_high_g is None:
        return {}
    bounds = [round(ingredient.weight_low_g, 1), round(ingredient.weight_high_g, 1)]
    return {"weight_g_range": bounds, "borrowed_from": ingredient.borrowed}


def _spread_json(macros: Macros, basis: Basis, asked: bool) -> JsonObject:
    """Least and most net carbs across published tables, where they differ; and the interval of each figure that is not exact (90 %)."""
    if not asked:
        return {}
    spread = macros.net_spread_g
    out: JsonObject = {} if spread is None else {"net_carbs_spread_g": [round(g, 2) for g in spread]}
    for nutrient, (low, high) in ranges_of(macros, basis).items():
        digits = 1 if nutrient == "energy_kcal" else 2
        if round(low, digits) != round(high, digits):
            out[f"{nutrient}_range"] = [round(low, digits), round(high, digits)]
    return out


def _row_json(row: Printed) -> JsonObject:
    out: JsonObject = {"weight_g": row.weight_g, **row.figures}
    lacking = {n: row.at_least[n] for n, figure in row.figures.items() if figure is None}
    return out | ({"at_least": lacking} if lacking else {})


def _ratios_json(macros: Macros) -> JsonObject:
    ratios = ratios_of(macros)

    def rounded(value: float | None) -> float | None:
        return None if value is None else round(value, 3)

    shares = ratios.energy_shares
    return {
        "fat_g_to_protein_and_net_carbs_g": rounded(ratios.fat_to_protein_and_net_carbs),
        "fat_g_to_net_carbs_g": rounded(ratios.fat_to_net_carbs),
        "energy_percent": None if shares is None else dict(zip(("fat", "protein", "net_carbs"), shares, strict=True)),
    }
