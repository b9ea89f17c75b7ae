"""An ingredient as a viewer measures it: in metric and, beside it, in US measures; in the order in which it is used."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.measure.amounts import Amount, Cups, Kind, format_grams
from scriptkit.measure.numbers import format_number, round_half_up
from scriptkit.measure.unit_system import UNSTATED, US, measurable, ounces_text, weight_text
from scriptkit.pantry.household import household_amount
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.display_names import behind_words, got_ready
from scriptkit.recipe.leading_units import leading, us_measure
from scriptkit.shoot.shots.framing import pours

TO_TASTE = "to taste"
_METRIC_VOLUMES = frozenset({"millilitre", "centilitre", "decilitre", "litre"})
_US_VOLUMES = frozenset({"pinch", "teaspoon", "tablespoon", "cup", "fluid_ounce", "quart", "gallon"})
_POUNDS = frozenset({"ounce", "pound"})
_BY_WEIGHT = frozenset({"whole-cut", "ground-meat", "poultry", "fish", "ham-cooked"})
"""Classes of food that nobody measures in cups."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IngredientLine:
    """``metric`` and ``us`` are empty where it is to taste, and of juices, of which all go in. ``more`` says how it is cut or trimmed."""

    ingredient: Ingredient
    name: str
    metric: str
    us: str
    grams: str
    """What it weighs ready to go in, with the bones or shells that are on it; in US units with the ounces first, or the spoons and cups that
    it was written in."""
    more: str

    @property
    def words(self) -> str:
        """``602 g (3 ¾ cups) celeriac, dice, 15 mm``."""
        if self.ingredient.ran_out_of is not None:  # nobody weighs them, and their water is in no figure
            return f"the {self.name}"
        if not self.metric:
            return f"{self.name}, {TO_TASTE}" + (f", {self.more}" if self.more else "")
        lead, beside = self.lead
        same = f" ({beside})" if beside and beside != lead else ""
        return f"{lead}{same} {self.name}" + (f", {self.more}" if self.more else "")

    @property
    def named_with_weight(self) -> str:
        """``double cream 60 g``, ``salt to taste``; of juices the name alone."""
        return f"{self.name} {self.weighed or TO_TASTE}" if self.ingredient.ran_out_of is None else self.name

    @property
    def unmeasured(self) -> str:
        """What stands in place of an amount: ``to taste``; of juices that run out of another dish, ``all``."""
        return TO_TASTE if self.ingredient.ran_out_of is None else "all"

    @property
    def weighed(self) -> str:
        """Its weight alone, with what else is in it: ``1.98 kg with bones``."""
        on_it = self.ingredient.with_it
        return f"{self.grams} with {on_it}" if self.grams and on_it else self.grams

    @property
    def lead(self) -> tuple[str, str]:
        """The figure that leads, and the one beside it; both empty to taste."""
        i = self.ingredient
        if not self.metric or i.units == UNSTATED:
            return self.metric, self.us
        return leading(
            i, i.amount, i.grams, (i.amount is not None and i.amount.kind is Kind.COUNT and str(i.amount)) or self.us
        )


def lines_of(dish: Dish) -> tuple[IngredientLine, ...]:
    """Every ingredient once, in the order of its first use; what no step uses comes last."""
    used = [a.ingredient for step in dish.in_shoot_order for a in step.additions]
    in_order = {i.key: i for i in [*used, *dish.ingredients]}
    return tuple(line_of(i, _each_of(dish, i)) for i in in_order.values())


def _each_of(dish: Dish, ingredient: Ingredient) -> str:
    """``1 tsp each``; of what goes in in several places, ``of it 1 tsp each``."""
    added = [a for step in dish.steps for a in step.additions if a.ingredient.key == ingredient.key]
    each = [f"{a.each} each" for a in added if a.each is not None]
    return ("of it " if each and len(added) > 1 else "") + " and ".join(each)


def line_of(ingredient: Ingredient, each: str = "") -> IngredientLine:
    """Both measures of it, its grams, and how it is cut; measures and grams are empty of what goes in to taste."""
    return IngredientLine(
        ingredient=ingredient,
        name=ingredient.display_name,
        metric=metric_text(ingredient),
        us=us_text(ingredient),
        grams=_weight(ingredient),
        more="; ".join(
            part for part in (each, got_ready(ingredient), _trimmed(ingredient), behind_words(ingredient)) if part
        ),
    )


def _weight(ingredient: Ingredient) -> str:
    """``11 ¼ oz (320 g)``, ``2 ½ tsp (5.3 g)``: nobody weighs a spoon of cumin in ounces. Empty to taste."""
    if ingredient.scale_g is None or ingredient.ran_out_of is not None:
        return ""
    if ingredient.units == US and ingredient.amount is not None and ingredient.amount.kind is Kind.VOLUME:
        return f"{us_measure(ingredient.amount)} ({format_grams(ingredient.scale_g)})"
    return weight_text(ingredient.scale_g, ingredient.units, both=True)


def _trimmed(ingredient: Ingredient) -> str:
    """``from 700 g whole``; of what goes in as it was bought ``weighed with bones``."""
    if ingredient.with_it:
        return f"weighed with {ingredient.with_it}"
    bought = ingredient.as_bought_g
    if not ingredient.bought_whole or bought is None:
        return ""
    if ingredient.units == US:
        return f"from {weight_text(bought, US, both=True)} whole"
    pounds = f" ({ingredient.amount})" if ingredient.amount is not None and ingredient.amount.unit in _POUNDS else ""
    return f"from {weight_text(bought, ingredient.units)}{pounds} whole"


def metric_text(ingredient: Ingredient) -> str:
    """``1.2 l`` of what the cook measured in litres, else grams as the scale shows them; empty to taste."""
    amount = ingredient.amount
    if amount is None or ingredient.grams is None or ingredient.ran_out_of is not None:
        return ""
    if amount.unit in _METRIC_VOLUMES and pours(ingredient.food):
        return _litres(amount.millilitres)
    return format_grams(ingredient.scale_g or 0.0)


def _litres(ml: float) -> str:
    if ml < 9.95:
        return f"{round_half_up(ml * 10) / 10:g} ml"
    if ml < 999.5:
        return f"{round_half_up(ml)} ml"
    return f"{round_half_up(ml / 10) / 100:g} l"


def us_text(ingredient: Ingredient) -> str:
    """``3 tbsp`` as the cook wrote it; else cups and spoons where the food's weights tell them, else pounds and ounces;
    *about* where it was worked out. Empty to taste."""
    amount, grams = ingredient.amount, ingredient.scale_g
    if amount is None or grams is None or ingredient.ran_out_of is not None:
        return ""
    if amount.unit in _US_VOLUMES or amount.unit in _POUNDS:  # pounds of the whole are none of what is eaten
        return (
            ounces_text(grams)
            if amount.unit in _POUNDS and ingredient.bought_whole and not ingredient.with_it
            else str(amount)
        )
    if amount.kind is Kind.COUNT:
        return str(amount) if amount.unit != "piece" else format_number(amount.value)
    if amount.unit in _METRIC_VOLUMES and pours(ingredient.food):
        return f"about {measurable(Amount(amount.exactly('cup'), 'cup'))}"
    if ingredient.food.safety not in _BY_WEIGHT and not ingredient.with_it:  # a cup of them is of the meat alone
        household = household_amount(ingredient.food, grams, ingredient.state, Cups.US)
        if household is not None:
            return f"about {measurable(household)}"
    return ounces_text(grams)
