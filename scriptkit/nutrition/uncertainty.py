"""What is not sure of an ingredient: its table's figures, its weight, what cooking takes, what stays behind."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from scriptkit.measure.amounts import Kind
from scriptkit.nutrition.intervals import BLANK, BOUNDED, Uncertainty
from scriptkit.pantry.food import Composition, Food
from scriptkit.pantry.spreads import spread_of
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.dish import Ingredient
from scriptkit.recipe.mass_balance import AS_WEIGHED

SPOON_OFF, CUP_OFF, PIECE_OFF, PINCH_OFF = (0.15, 0.2), (0.08, 0.12), (0.2, 0.25), (0.5, 1.0)
"""How far the weight of a spoon, a cup or jug, a piece and a pinch may be off, downwards and upwards, as a share (90 %; common
practice, no source)."""
REFUSE_OFF = 0.2
"""The same of what is trimmed off."""
RAN_OUT = {"own": (0.10, 0.10), "nearest": (0.25, 0.30)}
"""How far fat that stays in cooked food may be off, as a share of it: by the food's own pair, and by the nearest (from leaving each
pair out in turn, 5 and 95 %: tests/outside/cooked_pairs.py)."""
PROTEIN_OFF = {"own": 0.02, "nearest": 0.05}
PERHAPS_KEPT = 0.5
"""Where no file says what becomes of the juices, so much of them may be eaten after all, or left behind after all (common sense)."""
ALCOHOL_OFF = 0.3
"""How far a published share of alcohol may be off in this pan, as a share of what is left (common practice, no source)."""
_KCAL = {"fat_g": 9.0, "protein_g": 4.0}


def doubts_of(
    ingredient: Ingredient, made: CookedIngredient | None, eaten: dict[str, float], alcohol_g: float = 0.0
) -> Iterator[Uncertainty]:
    """Every doubt of an ingredient that is a food. ``eaten``: what is known of each nutrient in it; ``alcohol_g``: grams of alcohol
    that a published factor leaves in it."""
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    if grams <= 0:
        return
    if ingredient.ran_out_of is not None:
        yield from _taken_juices(*ingredient.ran_out_of, eaten)
        return
    yield from _figures(ingredient.food, grams, eaten)
    low, high, why = weight_off(ingredient)
    if low or high:
        yield _in_proportion(
            f"weight {ingredient.place} {ingredient.key}", f"the weight of {ingredient.name}{why}", eaten, low, high
        )
    if ingredient.behind_range is not None:
        rest = 1 - ingredient.lost_share
        least, most = ingredient.behind_range
        ends = (ingredient.behind_share - most) / rest, (ingredient.behind_share - least) / rest
        yield _in_proportion(f"behind {ingredient.place}", f"how much {ingredient.name} is left behind", eaten, *ends)
    if made is not None:
        yield from _cooked(ingredient, made, grams)
    if alcohol_g:
        off = ALCOHOL_OFF * alcohol_g * 7
        yield Uncertainty(
            f"alcohol {ingredient.place}",
            f"how much alcohol of {ingredient.name} is left",
            {"energy_kcal": (-off, off)},
        )


def weight_off(ingredient: Ingredient) -> tuple[float, float, str]:
    """How far its weight may be off, downwards (below zero) and upwards, as shares, and why."""
    amount, grams = ingredient.amount, ingredient.grams
    if amount is None or not grams:
        return 0.0, 0.0, ""
    if ingredient.weighed_as == AS_WEIGHED:
        return _refuse_off(ingredient, f", without {ingredient.with_it}")
    if ingredient.borrowed and ingredient.weight_low_g is not None and ingredient.weight_high_g is not None:
        return ingredient.weight_low_g / grams - 1, ingredient.weight_high_g / grams - 1, ", which is borrowed"
    if amount.kind is Kind.MASS:
        return _refuse_off(ingredient, ", trimmed")
    if amount.unit == "pinch":
        off, why = PINCH_OFF, ", a pinch"
    elif ingredient.dish is not None:
        return 0.0, 0.0, ""
    elif amount.kind is Kind.VOLUME:
        spoon = "spoon" in amount.unit
        off, why = (SPOON_OFF, ", by the spoon") if spoon else (CUP_OFF, ", by volume")
    else:
        off, why = PIECE_OFF, ", by the piece"
    return -off[0], off[1], why


def _refuse_off(ingredient: Ingredient, why: str) -> tuple[float, float, str]:
    """The same of what was weighed with what is thrown away of it, as the table has that."""
    if not ingredient.grams or not ingredient.as_bought_g or not (ingredient.bought_whole or ingredient.with_it):
        return 0.0, 0.0, ""
    off = (ingredient.as_bought_g - ingredient.grams) / ingredient.grams * REFUSE_OFF
    return -off, off, why


def _in_proportion(key: str, words: str, eaten: dict[str, float], low: float, high: float) -> Uncertainty:
    return Uncertainty(key, words, {n: (eaten[n] * low, eaten[n] * high) for n in BOUNDED if eaten[n]})


def _figures(food: Food, grams: float, eaten: dict[str, float]) -> Iterator[Uncertainty]:
    """The table's figures, as another table would have them; where food was cooked, in proportion to what is left of them."""
    shifts = {}
    for nutrient in BOUNDED:
        bounds, figure = spread_of(food, nutrient), getattr(food.composition, nutrient)
        if bounds is not None:
            left = eaten[nutrient] / (figure * grams / 100) if figure else 1.0
            shifts[nutrient] = tuple((end - figure) * grams / 100 * left for end in bounds)
    if "net_carbs_g" in shifts and food.composition.carbohydrate_g is not None:
        shifts["carbohydrate_g"] = shifts["net_carbs_g"]
    if shifts:
        words = f"the label of {food.name}" if _labelled(food) else f"the figures of {food.name} ({food.source})"
        yield Uncertainty(f"food {food.name}", words, shifts)
    most = blank_bounds(food.composition, food.water_g)
    if food.composition.net_carbs_g is not None and "carbohydrate_g" in most:
        most["carbohydrate_g"] = most.get("fibre_g", 0.0)  # beyond its net carbs, which are known
    blanks = {n: (0.0, g * grams / 100) for n, g in most.items()}
    if blanks:
        yield Uncertainty(
            f"{BLANK} {food.name}",
            f"what {'its label' if _labelled(food) else food.source} does not print of {food.name}",
            blanks,
        )


def _labelled(food: Food) -> bool:
    return food.source.startswith("label")


def blank_bounds(composition: Composition, water_g: float | None) -> dict[str, float]:
    """The most that 100 g can have of each figure that is not known: fibre and net carbs no more than carbohydrate, and that no
    more than what fat, protein and water leave of it."""
    known = {n: getattr(composition, n) for n in BOUNDED}
    if all(figure is not None for figure in known.values()):
        return {}
    rest = max(100 - sum(known[n] or 0.0 for n in ("fat_g", "protein_g")) - (water_g or 0.0), 0.0)
    total = known["carbohydrate_g"]
    net, fibre = known["net_carbs_g"], known["fibre_g"]
    carbs = total if total is not None else rest
    most = {
        "carbohydrate_g": rest,
        "net_carbs_g": max(carbs - (fibre or 0.0), 0.0),
        "fibre_g": min(max(carbs - (net or 0.0), 0.0), _fibre_by_energy(composition)),
        "fat_g": max(rest - (total or 0.0), 0.0),
        "protein_g": max(rest - (total or 0.0), 0.0),
        "energy_kcal": 9.0 * (100 - (water_g or 0.0)),
    }
    return {n: most[n] for n, figure in known.items() if figure is None}


_ENERGY_OFF, _FIBRE_KCAL = 1.1, 2.0
"""A label's energy is within a tenth of its factors; fibre is counted with 2 kcal a gram at least (Regulation (EU) 1169/2011, Annex XIV)."""


def _fibre_by_energy(composition: Composition) -> float:
    """The most fibre that 100 g can have by their energy; 100 where that is not known."""
    if composition.energy_kcal is None or composition.fat_g is None or composition.protein_g is None:
        return 100.0
    rest = composition.energy_kcal * _ENERGY_OFF - 9 * composition.fat_g - 4 * composition.protein_g
    rest -= 4 * (composition.net_carbs_g or 0.0)
    return max(rest + 5.0, 0.0) / _FIBRE_KCAL


def _cooked(ingredient: Ingredient, made: CookedIngredient, grams: float) -> Iterator[Uncertainty]:
    """How much fat and protein cooking takes, and whether what runs out is eaten where nobody says so."""
    if made.cooked is None or made.cooked.share > 1:
        return
    raw, after = ingredient.food.composition, made.cooked.per_100_g_raw
    by = "own" if made.cooked.own else "nearest"
    ran_out = {
        n: max((getattr(raw, n) or 0.0) - (getattr(after, n) or 0.0), 0.0) * grams / 100
        for n in ("energy_kcal", "fat_g", "protein_g")
    }
    if not made.kept:
        fat, protein = ((getattr(after, n) or 0.0) * grams / 100 for n in ("fat_g", "protein_g"))
        least_fat, most_fat = -RAN_OUT[by][0] * fat, RAN_OUT[by][1] * fat
        most_fat = min(most_fat, ran_out["fat_g"]) if by == "nearest" else most_fat
        yield Uncertainty(
            f"cooked row {made.cooked.row.food} {made.cooked.row.way}",
            f"what runs out of {ingredient.name}",
            {
                "fat_g": (least_fat, most_fat),
                "protein_g": (-PROTEIN_OFF[by] * protein, PROTEIN_OFF[by] * protein),
                "energy_kcal": (
                    9 * least_fat - 4 * PROTEIN_OFF[by] * protein,
                    9 * most_fat + 4 * PROTEIN_OFF[by] * protein,
                ),
            },
        )
    if not made.stated and any(ran_out.values()):
        sign = -1 if made.kept else 1
        shifts = {n: (min(sign * PERHAPS_KEPT * g, 0.0), max(sign * PERHAPS_KEPT * g, 0.0)) for n, g in ran_out.items()}
        yield Uncertainty(f"juices {ingredient.place}", f"whether the juices of {ingredient.name} are eaten", shifts)


def _taken_juices(ingredient: Ingredient, made: CookedIngredient, eaten: dict[str, float]) -> Iterator[Uncertainty]:
    """The doubts of what ran out of the ingredient: those of its figures, and how much it is, the other way round: what stays in the food
    is not in its juices."""
    grams = (ingredient.grams or 0.0) * (1 - ingredient.lost_share)
    yield from (one for one in _figures(ingredient.food, grams, eaten) if not one.key.startswith(BLANK))
    for one in _cooked(ingredient, dataclasses.replace(made, kept=False, stated=True), grams):
        yield Uncertainty(one.key, one.words, {n: (-low, -high) for n, (low, high) in one.shifts.items()})
