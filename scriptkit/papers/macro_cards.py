"""Macro cards as pictures: what stands where on a dish card, a meal card and a portion line, in pixels of each picture size.

The figures are those of the overlay's cards. Nothing leaves the title safe area (90 % of width and height, SMPTE ST
2046-1:2009), and no text is wider than its card by the widths of the stated font.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.composing.text_fitting import as_one, fit
from scriptkit.captions.composing.text_width import FONT, thousandths
from scriptkit.measure.unit_system import weight_text, whole_weight_text
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import eaten_of, likely_words, printed_plate, printed_serving
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.nutrition.servings import Suggestion, words_of
from scriptkit.nutrition.sweetening import deducted_name
from scriptkit.timed_text.cleaning import clean

FONTS = f"'{FONT}', sans-serif"
PANEL, PANEL_OPACITY = "#000000", 0.8
"""Dark enough that every colour of text has 4.5:1 (WCAG 2.2, 1.4.3) whatever picture shows through."""
WHITE, QUIET, BRIGHT = "#ffffff", "#d9d9d9", "#ffd75e"
LINE = 1.3
"""Height of a line, in sizes of its type."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text on its baseline; ``anchor`` start or end tells which end of it ``x`` is. Pixels."""

    x: float
    y: float
    size: float
    colour: str
    anchor: str
    text: str

    @property
    def width(self) -> float:
        """Pixels, by the widths of the stated font."""
        return thousandths(self.text) * self.size / 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class MacroCard:
    """A picture ``width`` by ``height``, clear but for a panel with its texts."""

    name: str
    title: str
    width: int
    height: int
    x: float
    y: float
    panel_width: float
    panel_height: float
    radius: float
    texts: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPicture:
    """A size of picture. ``unit``: the size of plain text; ``panel``: the panel's width; ``foot``: where it ends; ``middle``:
    whether a card is centred between top and bottom."""

    name: str
    width: int
    height: int
    unit: float
    panel: float
    foot: float
    middle: bool


PICTURES = (
    CardPicture(name="1080p", width=1920, height=1080, unit=40, panel=840, foot=1026, middle=True),
    CardPicture(name="4k", width=3840, height=2160, unit=80, panel=1680, foot=2052, middle=True),
    CardPicture(name="9x16", width=1080, height=1920, unit=50, panel=972, foot=1500, middle=False),
)
"""On vertical video the foot of the picture is left to what players lay over it (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """A line of a card: a text, and a figure at the right where there is one. ``scale``: of the unit."""

    left: str
    right: str = ""
    scale: float = 1.0
    colour: str = WHITE


def cards_of(
    dishes: Sequence[DishMacros],
    meal: MealMacros | None,
    suggestion: Suggestion | None,
    only: Suggestion | None = None,
) -> list[MacroCard]:
    """Every card in every size: one for each dish, the plate's, that of the ``only`` meal of the day, and the portion line."""
    sheets: list[tuple[str, list[CardRow], bool]] = [
        (f"{n}-{_slug(d.dish.short)}", _dish_rows(d, meal), True) for n, d in enumerate(dishes, 1)
    ]
    if meal is not None:
        sheets.append(("plate", _meal_rows(meal), True))
    if only is not None and only.found.grams is not None and only.plate is not None:
        sheets.append(("only-meal", _only_meal_rows(only, only.found.grams, only.plate), True))
    sheets.append(("portions", _portion_rows(dishes, meal, suggestion), False))
    return [_card(name, rows, picture, tall=tall) for name, rows, tall in sheets for picture in PICTURES]


def _slug(name: str) -> str:
    """A name that every file system holds."""
    words = "".join(c if c.isalnum() else " " for c in clean(name).casefold()).split()
    return "-".join(words)[:40] or "dish"


def _dish_rows(macros: DishMacros, meal: MealMacros | None) -> list[CardRow]:
    printed = printed_serving(macros, meal)
    about = "about " if macros.dish.cooked_estimated else ""
    return [
        CardRow(left=macros.dish.name, scale=1.25),
        CardRow(left=f"A serving, {about}{whole_weight_text(printed.weight_g, macros.dish.units)}", colour=QUIET),
        *_figures(printed, eaten_of(macros, meal)),
        *_unconfirmed(macros.unconfirmed),
    ]


def _meal_rows(macros: MealMacros) -> list[CardRow]:
    about = "about " if any(p.dish.cooked_estimated for p, _, _ in macros.portions) else ""
    return [
        CardRow(left=macros.meal.name, scale=1.25),
        CardRow(
            left=f"The whole plate, {about}{whole_weight_text(macros.plate.weight_g, macros.meal.units)}", colour=QUIET
        ),
        *_figures(printed_plate(macros).whole, macros.plate),
        *_unconfirmed(macros.unconfirmed),
    ]


def _only_meal_rows(only: Suggestion, grams: Sequence[float], plate: Macros) -> list[CardRow]:
    dishes = zip(only.choices, grams, only.meal.portions, strict=True)
    return [
        CardRow(left="The only meal of the day", scale=1.25),
        CardRow(left=", ".join(f"{choice.words(g)} {p.dish.short}" for choice, g, (p, _, _) in dishes), colour=QUIET),
        *_figures(print_one(plate), plate),
        *_unconfirmed(only.meal.unconfirmed),
    ]


def _figures(figures: Printed, eaten: Macros) -> list[CardRow]:
    """Rows that a viewer can add up, rounded as everywhere, and how sure they are; where a figure is a bound, nothing is summed."""
    sums = all(figures.figures[n] is not None for n in ("carbohydrate_g", "fibre_g", "net_carbs_g"))
    likely = likely_words(eaten)
    name = deducted_name(figures.at_least)
    polyols = [CardRow(left=f"− {name}", right=f"{figures.text('deducted_sweeteners_g')} g")] if name else []
    return [
        CardRow(left=f"{figures.text('energy_kcal')} kcal", scale=2.0),
        CardRow(left="Fat", right=f"{figures.text('fat_g')} g"),
        CardRow(left="Protein", right=f"{figures.text('protein_g')} g"),
        CardRow(left="Carbohydrate", right=f"{figures.text('carbohydrate_g')} g"),
        CardRow(left="− fibre" if sums else "Fibre", right=f"{figures.text('fibre_g')} g"),
        *polyols,
        CardRow(
            left="= net carbs" if sums else "Net carbs",
            right=f"{figures.text('net_carbs_g')} g",
            scale=1.25,
            colour=BRIGHT,
        ),
        *([CardRow(left=f"Likely {likely}", scale=0.7, colour=QUIET)] if likely else []),
    ]


def _unconfirmed(names: Sequence[str]) -> list[CardRow]:
    """Why a figure is only a bound: what nobody has confirmed."""
    return [CardRow(left=f"Unconfirmed: {', '.join(names)}", scale=0.7, colour=BRIGHT)] if names else []


def _portion_rows(
    dishes: Sequence[DishMacros], meal: MealMacros | None, suggestion: Suggestion | None
) -> list[CardRow]:
    if meal is None:
        return [
            CardRow(left="A serving", colour=QUIET),
            *(
                CardRow(left=f"{'about ' if d.dish.cooked_estimated else ''}{d.dish.serving_g:.0f} g {d.dish.short}")
                for d in dishes
            ),
        ]
    usual = ", ".join(f"{weight_text(p.grams, p.dish.units)} {p.dish.short}" for p, _, _ in meal.portions)
    rows = [CardRow(left="On the plate", colour=QUIET), CardRow(left=usual)]
    if suggestion is not None and suggestion.found.grams is not None and suggestion.tightest is not None:
        grams = zip(suggestion.choices, suggestion.found.grams, suggestion.meal.portions, strict=True)
        found = ", ".join(f"{choice.words(g)} {p.dish.short}" for choice, g, (p, _, _) in grams)
        rows += [CardRow(left=f"For {words_of(suggestion.tightest)}", colour=QUIET), CardRow(left=found, colour=BRIGHT)]
    return rows


def _card(name: str, rows: Sequence[CardRow], picture: CardPicture, *, tall: bool) -> MacroCard:
    """The rows one under another in a panel at the left, as high as they need; a portion line as wide as it needs, too."""
    margin_x = picture.width * 0.05
    pad = picture.unit
    panel = picture.panel if tall else picture.width * 0.9
    inner = panel - 2 * pad
    lines = [line for row in rows for line in _row(row, picture.unit, inner)]
    panel = panel if tall else max(line.width for line in lines) + 2 * pad
    texts: list[Text] = []
    y = 0.7 * pad  # a line's own height leaves room over its letters
    for line in lines:
        y = y + line.size * LINE if line.anchor == "start" else y
        x = margin_x + pad if line.anchor == "start" else margin_x + panel - pad
        texts.append(replace(line, x=round(x, 1), y=y))
    height = y + pad
    top = (picture.height - height) / 2 if tall and picture.middle else picture.foot - height
    return MacroCard(
        name=f"{name}-{picture.name}",
        title=as_one(rows[0].left),
        width=picture.width,
        height=picture.height,
        x=margin_x,
        y=round(top, 1),
        panel_width=round(panel, 1),
        panel_height=round(height, 1),
        radius=round(picture.unit / 3, 1),
        texts=tuple(replace(t, y=round(t.y + top, 1), size=math.floor(t.size * 100) / 100) for t in texts),
    )


def _row(row: CardRow, unit: float, inner: float) -> list[Text]:
    """The texts of a row, at x = y = 0: in as many lines as it needs, and smaller where a word is too wide; a figure stands on
    the last line."""
    size = unit * row.scale
    left, right = clean(row.left), clean(row.right)
    reserved = thousandths(f"  {right}") / 1000 if right else 0.0
    lines = None
    while lines is None:
        lines = fit(left, width=10_000, lines=4, ems=inner / size - reserved)
        if lines is None:
            size *= 0.95
    texts = [Text(x=0, y=0, size=size, colour=row.colour, anchor="start", text=line) for line in lines]
    figure = [Text(x=0, y=0, size=size, colour=row.colour, anchor="end", text=right)] if right else []
    return [*texts, *figure]
