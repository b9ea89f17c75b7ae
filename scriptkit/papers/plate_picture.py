"""The plate, drawn: a bar for the plate and one for each dish, all to one scale of energy, from fat, protein and net carbs.

A part is as long as its energy (9, 4 and 4 kcal a gram); fibre, polyols and alcohol are in no part. The end of the bar fades over
the likely range of net carbs, and a promised limit is a tick where the bar would reach it.
"""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.measure.unit_system import weight_text
from scriptkit.nutrition.dish_meal_macros import AllMacros
from scriptkit.nutrition.display_figures import net_carbs_words, printed_plate, range_words
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.recipe.dish import Limit, Meal

PARTS = (("fat_g", "fat", 9.0), ("protein_g", "protein", 4.0), ("net_carbs_g", "net carbs", 4.0))
"""Nutrient, its word, and kilocalories a gram (Atwater's general factors), in the order in which they are drawn."""
_NET = "net_carbs_g"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarPart:
    """A part of a bar: where it begins and how long it is, in thousandths of the picture; ``figure``: its grams as printed."""

    name: str
    kind: str
    x: float
    width: float
    figure: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateBar:
    """A dish or the plate. ``fade`` is (where it begins, how long it is) of the likely range; ``tick``: where the limit's tick stands,
    and ``tick_percent`` the same in hundredths of the width, for its ``tick_words``. None where there is none. ``height`` is the
    bar's, in the picture's units."""

    name: str
    more: str
    energy: str
    parts: tuple[BarPart, ...]
    fade: tuple[float, float] | None
    tick: float | None
    tick_percent: str
    tick_words: str
    height: int
    words: str
    """The bar in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatePicture:
    """The bars, the plate or serving first. ``net``, ``energy`` and ``protein`` are its figures as words, ``of`` what they are of;
    ``beside``: the point estimate where ``net`` is a range."""

    of: str
    net: str
    beside: str
    energy: str
    protein: str
    fat: str
    bars: tuple[PlateBar, ...]


def _with_unit(text: str) -> str:
    return text if text == "unknown" else f"{text} g"


def plate_picture(macros: AllMacros) -> PlatePicture:
    """Of a meal, the plate and each portion on it; of a dish, its serving."""
    meal = macros.meal
    if meal is None:
        dish = macros.dishes[0]
        rows = [
            (
                f"A serving, {weight_text(dish.serving.weight_g, dish.dish.units)}",
                "",
                dish.serving,
                print_one(dish.serving),
            )
        ]
        of = "a serving"
    else:
        table = printed_plate(meal)
        plate = meal.plate
        names = [p.dish.short for p, _, _ in meal.portions] + [e.ingredient.display_name for e, _ in meal.extra]
        rows = [(f"The plate, {weight_text(plate.weight_g, meal.meal.units)}", "", plate, table.whole)]
        rows += [
            (name[:1].upper() + name[1:], weight_text(row.weight_g or one.weight_g, meal.meal.units), one, row)
            for name, (_, one), row in zip(names, meal.rows, table.rows, strict=True)
        ]
        of = "a plate"
    limit = _net_limit(meal.meal) if meal is not None else None
    scale = 1000 / max(_longest(one, limit if n == 0 else None) for n, (_, _, one, _) in enumerate(rows))
    whole, printed = rows[0][2], rows[0][3]
    net = net_carbs_words(whole, printed)
    exact = _with_unit(printed.text(_NET))
    return PlatePicture(
        of=of,
        net=net,
        beside="" if net == exact or printed.figures[_NET] is None else f"most likely {exact}",
        energy=f"{printed.text('energy_kcal')} kcal",
        protein=_with_unit(printed.text("protein_g")),
        fat=_with_unit(printed.text("fat_g")),
        bars=tuple(
            _bar(name, more, one, row, scale, limit if n == 0 else None, large=n == 0)
            for n, (name, more, one, row) in enumerate(rows)
        ),
    )


def _net_limit(meal: Meal) -> Limit | None:
    return next((limit for limit in meal.limits if limit.macro == _NET and limit.bound == "at_most"), None)


def _before_net(macros: Macros) -> float:
    return sum(macros.at_least(nutrient) * kcal for nutrient, _, kcal in PARTS if nutrient != _NET)


def _longest(macros: Macros, limit: Limit | None) -> float:
    """Kilocalories up to which the bar, its likely end and its tick reach; never nothing."""
    net = max(macros.at_least(_NET), macros.ranges[_NET][1], limit.figure if limit else 0.0)
    return max(_before_net(macros) + net * 4.0, 1.0) * 1.02


def _bar(
    name: str, more: str, macros: Macros, row: Printed, scale: float, limit: Limit | None, *, large: bool
) -> PlateBar:
    parts, x = [], 0.0
    for nutrient, words, kcal in PARTS:
        width = macros.at_least(nutrient) * kcal * scale
        parts.append(
            BarPart(
                name=words,
                kind=nutrient.rsplit("_", 1)[0].replace("_", "-"),
                x=round(x, 1),
                width=round(width, 1),
                figure=_with_unit(row.text(nutrient)),
            )
        )
        x += width
    begin = _before_net(macros) * scale
    low, high = macros.ranges[_NET]
    fade = None
    if range_words(macros, _NET):
        start = begin + low * 4.0 * scale
        fade = (round(start, 1), round((high - low) * 4.0 * scale, 1))
    tick = None if limit is None else round(begin + limit.figure * 4.0 * scale, 1)
    tick_words = "" if limit is None else f"limit {limit.figure:g} g net carbs"
    energy = f"{row.text('energy_kcal')} kcal"
    said = ", ".join(f"{part.name} {part.figure}" for part in parts)
    return PlateBar(
        name=name, more=more, energy=energy, parts=tuple(parts), fade=fade, tick=tick,
        tick_percent="" if tick is None else f"{tick / 10:.4g}", tick_words=tick_words, height=44 if large else 20,
        words=f"{name}: {energy}; {said}{f'; {tick_words}' if tick_words else ''}",
    )  # fmt: skip
