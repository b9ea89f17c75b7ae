"""What the overlay says as titles: figures first, each with its name, for who draws it."""

from __future__ import annotations

from scriptkit.measure.unit_system import weight_text, whole_weight_text
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import eaten_at_table, net_carbs_words, printed_plate, range_words
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.nutrition.servings import Suggestion, words_of
from scriptkit.recipe.dish import Addition
from scriptkit.shoot.mise_en_place import grams_text, household_text
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.title import Share, Title, TitleFigure

KCAL_A_GRAM = {"fat_g": 9, "protein_g": 4, "net_carbs_g": 4}
"""Of the bar of energy, in its order (general factors: Regulation (EU) No 1169/2011, Annex XIV)."""
_NAMES = {"fat_g": "fat", "protein_g": "protein", "net_carbs_g": "net carbs"}


def is_pinch(addition: Addition) -> bool:
    """Whether its amount is a pinch, whose grams are a guess."""
    return addition.amount is not None and addition.amount.unit == "pinch"


def pinch_text(addition: Addition) -> str:
    """``1 pinch``, or ``1 pinch each``."""
    return f"{addition.each} each" if addition.each is not None else str(addition.amount)


def addition_title(addition: Addition) -> Title:
    """The amount that goes in, its name, and the household measure beside it."""
    name = clean(addition.ingredient.short_name)
    name = name[:1].upper() + name[1:]
    if is_pinch(addition):
        return Title((TitleFigure(pinch_text(addition), name),))
    if addition.grams is None:
        return Title((TitleFigure("to taste", name),))
    return Title((TitleFigure(grams_text(addition), name, household_text(addition) or ""),))


def dish_title(macros: DishMacros, meal: MealMacros | None = None) -> Title:
    """The card of a serving, or of the portion that is on the meal's plate."""
    word, eaten, estimated = eaten_at_table(macros, meal)
    printed = print_one(eaten)
    weight = weight_words(printed, macros.dish.units, estimated=estimated)
    return card_title(macros.dish.name, f"a {word}, {weight}", printed, eaten)


def meal_title(macros: MealMacros) -> Title:
    """The card of the whole plate."""
    estimated = any(p.dish.cooked_estimated for p, _, _ in macros.portions)
    printed = printed_plate(macros).whole
    weight = weight_words(printed, macros.meal.units, estimated=estimated)
    return card_title(macros.meal.name, f"the whole plate, {weight}", printed, macros.plate)


def portion_title(suggestion: Suggestion) -> Title | None:
    """The portions that keep the tightest limit."""
    if suggestion.found.grams is None or suggestion.tightest is None:
        return None
    grams = zip(suggestion.found.grams, suggestion.meal.portions, strict=True)
    figures = tuple(TitleFigure(weight_text(g, p.dish.units), clean(p.dish.short)) for g, (p, _, _) in grams)
    return Title(figures, heading=f"For {words_of(suggestion.tightest)}")


def weight_words(printed: Printed, units: str, *, estimated: bool) -> str:
    """The weight of what is eaten: ``320 g``, or ``about 320 g`` where it is an estimate."""
    return f"{'about ' if estimated else ''}{whole_weight_text(printed.weight_g, units)}"


def card_title(name: str, of: str, printed: Printed, eaten: Macros) -> Title:
    """The card of what is eaten: net carbs first, energy, fat and protein, each with the range in which it likely lies where that is worth
    saying; ``of``: what the figures are of."""
    figures = (
        TitleFigure(net_carbs_words(eaten, printed), "net carbs"),
        TitleFigure(range_words(eaten, "energy_kcal") or _with_unit(printed, "energy_kcal"), "energy"),
        TitleFigure(_with_unit(printed, "fat_g"), "fat"),
        TitleFigure(_with_unit(printed, "protein_g"), "protein"),
    )
    shares = tuple(Share(_NAMES[n], max(eaten.at_least(n), 0.0) * factor) for n, factor in KCAL_A_GRAM.items())
    return Title(figures, heading=clean(name), weight=of, shares=shares if sum(s.kcal for s in shares) else ())


def _with_unit(printed: Printed, nutrient: str) -> str:
    text = printed.text(nutrient)
    return text if text == "unknown" else f"{text} {nutrient.rsplit('_', 1)[1]}"
