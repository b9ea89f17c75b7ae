"""Which figure of an ingredient leads on pages, in captions and in the voice, and which stands beside it, by the file's `units:`."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from scriptkit.measure.amounts import Amount, Kind, format_grams
from scriptkit.measure.numbers import format_number
from scriptkit.measure.unit_system import METRIC, UNSTATED, US, measurable, ounces_amount, ounces_text
from scriptkit.measure.words import gram_amount
from scriptkit.recipe.dish import Addition, Dish, Ingredient
from scriptkit.recipe.step_flow import relinked

TO_TASTE = "to taste"
_METRIC_VOLUMES = frozenset({"millilitre", "centilitre", "decilitre", "litre"})


def leading(ingredient: Ingredient, amount: Amount | None, grams: float | None, about: str = "") -> tuple[str, str]:
    """The figure that leads and the one beside it: ``("¾ cup", "126 g")``. What was written by volume leads by volume, in US units a
    count too; where no units are stated, millilitres and litres do, and the weight leads before spoons and cups. ``about``: the household measure that was worked out, for beside a weight.
    A weight is as the scale shows it, with the bones or shells that are on it."""
    if grams is None:
        return TO_TASTE, ""
    grams /= ingredient.eaten_share
    weight = format_grams(grams)
    if ingredient.units == UNSTATED:
        poured = amount is not None and amount.unit in _METRIC_VOLUMES
        return (str(amount), weight) if poured else (weight, about)
    written = None if amount is None or amount.kind is Kind.MASS else amount
    if ingredient.units == METRIC:
        return (str(written), weight) if written is not None and written.kind is Kind.VOLUME else (weight, about)
    if written is None:
        return ounces_text(grams), weight
    return _count(us_measure(written)), weight


def us_measure(amount: Amount) -> Amount:
    """Litres as cups and spoons; any other measure as it is."""
    return measurable(Amount(amount.exactly("cup"), "cup")) if amount.unit in _METRIC_VOLUMES else amount


def _count(amount: Amount) -> str:
    return format_number(amount.value) if amount.unit == "piece" else str(amount)


def leading_text(addition: Addition) -> str:
    """What leads of an addition: ``28 g``, ``2 tbsp``, ``1 lb 8 oz``, ``to taste``."""
    lead = leading(addition.ingredient, addition.amount, addition.grams)[0]
    return f"{addition.each} each" if addition.each is not None and _leads(addition) else lead


def with_each(addition: Addition) -> str:
    """What leads where it stands alone, with what each serving takes: ``19 g, 1 tsp each``."""
    lead = leading_text(addition)
    return lead if addition.each is None or lead.endswith(" each") else f"{lead}, {addition.each} each"


def _leads(addition: Addition) -> bool:
    """Whether what each serving takes leads, where the weight of all stands beside it."""
    kind = None if addition.each is None else addition.each.kind
    return addition.ingredient.units == US or (addition.ingredient.units == METRIC and kind is Kind.VOLUME)


def beside_text(addition: Addition) -> str:
    """What stands beside it; empty where nothing does."""
    lead, beside = leading(addition.ingredient, addition.amount, addition.grams, addition.household)
    if addition.scale_g and addition.each and _leads(addition):
        return marked(addition.ingredient, "", f"{format_grams(addition.scale_g)} in all")
    return marked(addition.ingredient, lead, beside)


def lead_alone(addition: Addition) -> str:
    """What leads where nothing stands beside it: ``8``, ``1.98 kg with bones``."""
    lead = leading_text(addition)
    on_it = addition.ingredient.with_it
    return f"{lead} with {on_it}" if on_it and _is_weight(lead) else lead


def marked(ingredient: Ingredient, lead: str, beside: str) -> str:
    """What stands beside the figure that leads, with what else the weight of the two has in it: ``8, with bones``,
    ``1.98 kg with bones``; the same where nothing is on it that nobody eats."""
    if not ingredient.with_it:
        return beside
    words = f"with {ingredient.with_it}"
    return f"{beside} {words}" if not _is_weight(lead) else f"{beside}, {words}" if beside else words


def _is_weight(text: str) -> bool:
    return text.endswith((" g", " kg", " oz", " lb"))


def spoken_measure(addition: Addition) -> Amount | None:
    """The figure that leads, as it is said; None to taste, or where nothing tells. Where no units are stated, the cook's own measure."""
    if addition.grams is None or addition.each is not None:
        return addition.each
    units = addition.ingredient.units
    if addition.amount is not None and addition.amount.kind is not Kind.MASS:
        counted = addition.amount.kind is Kind.COUNT and units == METRIC
        if not counted:
            return us_measure(addition.amount) if units == US else addition.amount
    return ounces_amount(addition.scale_g or 0.0) if units == US else gram_amount(addition.scale_g or 0.0)


# --- the units of a file, wherever its ingredients and steps are ------------------------------------------------------------


class UnitsSetter:
    """Dishes and meals with the units that lead. A dish stays one dish, however often it is named."""

    def __init__(self) -> None:
        self._set: dict[tuple[int, str], tuple[Dish, Dish]] = {}

    def dish(self, dish: Dish, units: str) -> Dish:
        """The dish, and what it is made of, in these units."""
        if units == dish.units:
            return dish
        key = (id(dish), units)
        if key not in self._set:
            ingredients = self._ingredients(dish.ingredients, units)
            steps = tuple(dataclasses.replace(s, units=units) for s in relinked(dish.steps, ingredients))
            changed = dataclasses.replace(
                dish,
                units=units,
                ingredients=ingredients,
                taken_out=self._ingredients(dish.taken_out, units),
                steps=steps,
            )
            self._set[key] = (dish, changed)  # the first is kept, so that its id stays its own
        return self._set[key][1]

    def _ingredients(self, ingredients: Sequence[Ingredient], units: str) -> tuple[Ingredient, ...]:
        return tuple(
            dataclasses.replace(i, units=units, dish=None if i.dish is None else self.dish(i.dish, units))
            for i in ingredients
        )

    def extra(self, ingredient: Ingredient, units: str) -> Ingredient:
        """What else lies on the plate."""
        return self._ingredients([ingredient], units)[0]


def units_of_meal(stated: str | None, dishes: Sequence[Dish | None]) -> str:
    """The meal's own, else those that all its dishes state alike. Unstated where they differ: each dish then keeps its own."""
    of_dishes = {dish.units for dish in dishes if dish is not None}
    return stated or (of_dishes.pop() if len(of_dishes) == 1 else UNSTATED)
