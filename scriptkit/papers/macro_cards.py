"""Macro cards as pictures: what stands on a dish card, a meal card and the portions' card, drawn as the overlay's cards are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.composing.text_fitting import as_one
from scriptkit.captions.composing.titles import card_title, dish_title, meal_title, portion_title
from scriptkit.drawing.canvas import SIZES, canvas_of
from scriptkit.drawing.layout import Fonts, Graphic, card_of_titles
from scriptkit.measure.unit_system import weight_text, whole_weight_text
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import eaten_at_table, printed_plate
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.nutrition.servings import Suggestion
from scriptkit.nutrition.sweetening import deducted_name
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.title import Title, TitleFigure

PICTURES = ("1080p", "4k", "9x16")
"""Sizes of `drawing.canvas` in which every card is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MacroCard:
    """A picture ``width`` by ``height`` pixels, clear but for its panel."""

    name: str
    title: str
    width: int
    height: int
    graphic: Graphic


def cards_of(
    dishes: Sequence[DishMacros],
    meal: MealMacros | None,
    suggestion: Suggestion | None,
    fonts: Fonts,
    only: Suggestion | None = None,
) -> list[MacroCard]:
    """Every card in every size: one for each dish, the plate's, that of the ``only`` meal of the day, and the portions'."""
    sheets = [(f"{n}-{_slug(d.dish.short)}", [_dish(d, meal)]) for n, d in enumerate(dishes, 1)]
    if meal is not None:
        sheets.append(("plate", [_meal(meal)]))
    if only is not None and only.found.grams is not None and only.plate is not None:
        sheets.append(("only-meal", [_only_meal(only, only.found.grams, only.plate)]))
    sheets.append(("portions", _portions(dishes, meal, suggestion)))
    cards = []
    for name, titles in sheets:
        for size in PICTURES:
            width, height = SIZES[size]
            graphic = card_of_titles(titles, canvas_of(width, height), fonts, at_foot=name == "portions")
            heading = as_one(titles[0].heading)
            cards.append(MacroCard(name=f"{name}-{size}", title=heading, width=width, height=height, graphic=graphic))
    return cards


def _slug(name: str) -> str:
    """A name that every file system holds."""
    words = "".join(c if c.isalnum() else " " for c in clean(name).casefold()).split()
    return "-".join(words)[:40] or "dish"


def _dish(macros: DishMacros, meal: MealMacros | None) -> Title:
    printed = print_one(eaten_at_table(macros, meal)[1])
    return replace(dish_title(macros, meal), notes=_notes(printed, macros.unconfirmed))


def _meal(macros: MealMacros) -> Title:
    return replace(meal_title(macros), notes=_notes(printed_plate(macros).whole, macros.unconfirmed))


def _only_meal(only: Suggestion, grams: Sequence[float], plate: Macros) -> Title:
    dishes = zip(only.choices, grams, only.meal.portions, strict=True)
    portions = clean(", ".join(f"{choice.words(g)} {p.dish.short}" for choice, g, (p, _, _) in dishes))
    printed = print_one(plate)
    title = card_title("The only meal of the day", portions, printed, plate)
    return replace(title, notes=_notes(printed, only.meal.unconfirmed))


def _notes(printed: Printed, unconfirmed: Sequence[str]) -> tuple[str, ...]:
    """What of the sweeteners is not counted, and why a figure is only a bound: what nobody has confirmed."""
    less = deducted_name(printed.at_least)
    notes = [f"without {less}, {printed.text('deducted_sweeteners_g')} g"] if less else []
    return (*notes, *([clean(f"Unconfirmed: {', '.join(unconfirmed)}")] if unconfirmed else []))


def _portions(dishes: Sequence[DishMacros], meal: MealMacros | None, suggestion: Suggestion | None) -> list[Title]:
    if meal is None:
        servings = (
            TitleFigure(
                f"{'about ' if d.dish.cooked_estimated else ''}{whole_weight_text(d.dish.serving_g, d.dish.units)}",
                clean(d.dish.short),
            )
            for d in dishes
        )
        return [Title(tuple(servings), heading="A serving")]
    usual = tuple(TitleFigure(weight_text(p.grams, p.dish.units), clean(p.dish.short)) for p, _, _ in meal.portions)
    found = portion_title(suggestion) if suggestion is not None else None
    return [Title(usual, heading="On the plate"), *([found] if found else [])]
