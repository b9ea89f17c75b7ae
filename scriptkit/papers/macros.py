"""Macros of a dish or a meal as a text table that a cook reads and adds up, and as JSON.

Alcohol: the tables leave it blank for many foods that are neither drink nor cooked with one. A blank is not a zero, so the
whole that holds one is printed with ≥; but a carrot's blank is no news to a cook. So the column stands only where some
alcohol is known, a row's blank is a dash in it, and one line under the table says what the dash means.

JSON is ten times finer than printed, so that a machine can compute on. A figure of which a part is unknown is null, and
``at_least`` beside it has what is known; ``unknown_figures`` says whose part is lacking.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.amounts import Kind, format_grams
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import (
    LIKELY,
    eaten_of,
    likely_words,
    printed_plate,
    printed_serving,
    range_words,
    reasons,
    rounded_words,
    spread_words,
)
from scriptkit.nutrition.intervals import BOUNDED
from scriptkit.nutrition.label_rounding import label_energy, label_fat, label_grams
from scriptkit.nutrition.limits import bound_words, limit_words, printed_figure
from scriptkit.nutrition.macros import MEDICAL, PRINTED, Macros
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.nutrition.rounding import Printed, print_one, print_table
from scriptkit.nutrition.sweetening import sweetener_words
from scriptkit.papers.tables import Column, aligned, text_of
from scriptkit.recipe.dish import Ingredient
from scriptkit.recipe.display_names import weighed_without
from scriptkit.recipe.mass_balance import AS_WEIGHED

_HEADS = {
    "energy_kcal": "kcal", "fat_g": "fat", "protein_g": "protein", "carbohydrate_g": "carbs", "fibre_g": "fibre",
    "deducted_sweeteners_g": "deducted", "net_carbs_g": "net carbs", "alcohol_g": "alcohol",
}  # fmt: skip
_ONLY_WHERE_ANY = ("deducted_sweeteners_g", "alcohol_g")
_BY_BASIS = ("carbohydrate_g", "energy_kcal")
"""Figures that differ with the basis; limits are kept on the US one."""
Row = tuple[str, Printed]


def dish_text(
    macros: DishMacros,
    *,
    basis: Basis = Basis.US,
    portion_g: float | None = None,
    label: bool = False,
    spread: bool = True,
    beside: MealMacros | None = None,
) -> str:
    """The dish by ingredient, batch, serving and 100 g (and a portion), with the ``spread`` of its net carbs across tables,
    its ratios, what is not known, and the row of a table or the label that each ingredient's figures come from; its serving
    as it stands on the plate of the meal that it is ``beside``."""
    dish = macros.dish
    table = print_table([m for _, m in macros.rows], macros.batch, basis=basis)
    parts: list[Row] = [(words, row) for (words, _), row in zip(macros.rows, table.rows, strict=True)]
    wholes: list[Row] = [
        ("batch, weight estimated" if dish.cooked_estimated else "batch", table.whole),
        (f"serving (1 of {dish.servings:g})", printed_serving(macros, beside, basis)),
        ("100 g", print_one(macros.per_100_g, basis=basis)),
    ]
    if portion_g is not None:
        wholes.append((f"portion {format_grams(portion_g)}", print_one(macros.portion(portion_g), basis=basis)))
    lines = [
        dish.name,
        "",
        *_table(parts, wholes, [m for _, m in macros.rows], dish.units),
        "",
        *_key([row for _, row in (*parts, *wholes)], basis, dish.units),
    ]
    if not dish.cooked_estimated and abs(sum(m.weight_g for _, m in macros.ingredients) - dish.cooked_g) >= 1:
        lines.append(_weights(macros))
    lines += [
        f"Of {i.name} the weight without {i.with_it} is counted: {format_grams(i.grams)} of {format_grams(i.scale_g)}."
        for i in dish.ingredients
        if i.with_it and i.grams and i.scale_g
    ]
    if dish.cooked_uneaten_g:
        whole = format_grams(dish.cooked_g + dish.cooked_uneaten_g)
        on = " and ".join(dict.fromkeys(i.with_it for i in dish.ingredients if i.with_it))
        lines.append(
            f"The batch weighed {whole} with its {on}; {format_grams(dish.cooked_g)} without them is what is counted."
        )
    if on := weighed_without(dish):
        lines.append(f"A serving is weighed without its {on}.")
    if spread and (across := spread_words(macros.serving, printed_serving(macros, beside, basis))):
        apart = ", ".join(i.name for i, m in macros.ingredients if m.net_spread_g)
        lines += ["", f"Net carbs of a serving: {across}", f"  Tables differ about {apart}."]
    if spread:
        lines += _likely("a serving", eaten_of(macros, beside))
    if sweet := sweetener_words(macros.serving):
        lines += ["", f"Deducted, in a serving: {sweet}."]
    lines += ["", *_ratios("a serving", macros.serving)]
    if label:
        lines += ["", *_label("The serving", macros.serving, dish.units)]
    if notes := _notes([macros]):
        lines += ["", *notes]
    return "\n".join([*lines, "", *_sources(macros, spread)])


def _weights(macros: DishMacros) -> str:
    """Where the weight went; only what is left after that is water."""
    dish = macros.dish
    weighed = [(i, i.grams) for i in dish.ingredients if i.grams is not None]
    words = [f"{format_grams(sum(g for _, g in weighed))} went in"]
    if strained := sum(g * i.strained_share for i, g in weighed):
        words.append(f"{format_grams(strained)} is discarded")
    if behind := sum(g * i.behind_share for i, g in weighed):
        words.append(f"{format_grams(behind)} is left behind")
    if left := sum(g * i.left_share for i, g in weighed) + sum(i.grams or 0.0 for i in dish.taken_out):
        words.append(f"{format_grams(left)} is left in the pan")
    return f"{', '.join(words)}, the batch weighs {format_grams(dish.cooked_g)}; the difference counts as water."


def meal_text(macros: MealMacros, *, basis: Basis = Basis.US, label: bool = False, spread: bool = True) -> str:
    """The plate by dish, the plate, and the party."""
    meal = macros.meal
    table = printed_plate(macros, basis)
    parts: list[Row] = [(words, row) for (words, _), row in zip(macros.rows, table.rows, strict=True)]
    wholes: list[Row] = [("the plate", table.whole)]
    if meal.plates > 1:
        wholes.append((f"{meal.plates} plates", print_one(macros.party, basis=basis)))
    lines = [
        meal.name,
        "",
        *_table(parts, wholes, [m for _, m in macros.rows], meal.units),
        "",
        *_key([row for _, row in (*parts, *wholes)], basis, meal.units),
        *([rounded] if (rounded := rounded_words(macros, basis=basis)) else []),
    ]
    if spread and (across := spread_words(macros.plate, table.whole)):
        lines += ["", f"Net carbs of the plate: {across}"]
    if spread:
        lines += _likely("the plate", macros.plate)
    if sweet := sweetener_words(macros.plate):
        lines += ["", f"Deducted, on the plate: {sweet}."]
    lines += ["", *_ratios("the plate", macros.plate)]
    if label:
        lines += ["", *_label("The plate", macros.plate, meal.units)]
    if meal.limits:
        lines += ["", "Promised of a plate"]
    for limit in meal.limits:
        promise = f"{bound_words(limit.bound)} {limit_words(limit.macro, limit.figure)}"
        promise += " (US basis)" if basis is not Basis.US and limit.macro in _BY_BASIS else ""
        likely = range_words(macros.plate, limit.macro) if spread and limit.macro in BOUNDED else ""
        beside = f" (likely {likely})" if likely else ""
        lines.append(f"  {promise}; it has {printed_figure(macros.plate, limit.macro)}{beside}")
    if notes := [*_notes([d for _, d, _ in macros.portions]), *_notes_of_extras(macros)]:
        lines += ["", *notes]
    return "\n".join(lines)


def _likely(of: str, macros: Macros) -> list[str]:
    """How sure the figures are, and what of it a cook could settle."""
    likely = likely_words(macros)
    if not likely:
        return []
    why = "; ".join(reasons(macros))
    return [
        "",
        f"Likely range of {of} ({LIKELY}): {likely}",
        *([f"  What would settle most of the net carbs: {why}."] if why else []),
    ]


def _table(parts: Sequence[Row], wholes: Sequence[Row], exact: Sequence[Macros], units: str) -> list[str]:
    """``exact`` are the macros of ``parts`` before rounding: a row of nothing at all weighs 0, not less than 1."""
    nothing = {words for (words, _), macros in zip(parts, exact, strict=True) if not macros.weight_g}
    if not any(m.weight_g for m in exact):
        nothing |= {words for words, row in wholes if not row.weight_g}
    rows = [MacroLine(name=name, figures=row, nothing=name in nothing) for name, row in (*parts, *wholes)]
    lines = text_of(rows, columns_of(rows, units))
    rule = "-" * max(map(len, lines))
    return [lines[0], rule, *lines[1 : 1 + len(parts)], rule, *lines[1 + len(parts) :]]


@dataclass(frozen=True, slots=True, kw_only=True)
class MacroLine:
    """A line of the table; ``nothing``: it weighs nothing at all, not less than 1 g."""

    name: str
    figures: Printed
    nothing: bool


def columns_of(rows: Sequence[MacroLine], units: str) -> tuple[Column[MacroLine], ...]:
    """Name, weight and nutrients; those that only some food has stand there only where any has it."""
    shown = [n for n in PRINTED if n not in _ONLY_WHERE_ANY or any(r.figures.at_least[n] for r in rows)]
    return (
        Column(name=" ", value=lambda r: r.name),
        Column(name="weight", value=_weight_cell, right=True),
        *(
            Column(name=in_kitchen_words(_HEADS[n], units), value=functools.partial(_cell, nutrient=n), right=True)
            for n in shown
        ),
    )


def _weight_cell(line: MacroLine) -> str:
    if line.nothing:
        return "0"
    return f"{line.figures.weight_g:.0f}".replace("-", "−") if line.figures.weight_g else "<1"


def _cell(line: MacroLine, nutrient: str) -> str:
    text = line.figures.text(nutrient)
    return "–" if nutrient == "alcohol_g" and text == "unknown" else text.replace("-", "−")


def _key(rows: Sequence[Printed], basis: Basis, units: str) -> list[str]:
    """What the table's figures and signs mean."""
    lines = [f"Weights and macros in grams, energy in kcal. {in_kitchen_words(basis.meaning, units)}."]
    if any(row.at_least["alcohol_g"] for row in rows) and any(row.figures["alcohol_g"] is None for row in rows):
        lines.append("Alcohol –: the table has no figure, as for many foods that are not drinks; ≥ is what is known.")
    return lines


def _ratios(of: str, macros: Macros) -> list[str]:
    lines = [f"  {line}" for line in ratios_of(macros).lines()]
    return [f"Macro ratios of {of}, from its figures before rounding", *lines, f"  {MEDICAL}"]


def _label(of: str, macros: Macros, units: str) -> list[str]:
    """As a US label would print it; always on the US basis, whose rounding it is."""

    def words(nutrient: str) -> str:
        figure = macros.figure(nutrient)
        if figure is None:
            return "unknown"
        rounder = {"energy_kcal": label_energy, "fat_g": label_fat}.get(nutrient, label_grams)
        return rounder(figure) + ("" if nutrient == "energy_kcal" else " g")

    return [
        f"{of} as a US label would round it (21 CFR 101.9(c))",
        f"  calories {words('energy_kcal')}, fat {words('fat_g')}, total carbohydrate {words('carbohydrate_g')}, "
        f"dietary {in_kitchen_words('fibre', units)} {words('fibre_g')}, protein {words('protein_g')}",
    ]


def _notes(dishes: Sequence[DishMacros]) -> list[str]:
    """Notes on what is not counted, not known, or not weighed."""
    each = list(dict.fromkeys(dishes))
    several = len(each) > 1
    lines = []
    for macros in each:
        head = f"{macros.dish.name}: " if several else ""
        if macros.to_taste:
            lines.append(f"{head}not counted (to taste): {', '.join(macros.to_taste)}")
        if macros.unconfirmed:
            lines.append(f"{head}{unconfirmed_words(macros.unconfirmed)}; figures with ≥ lack them")
        for nutrient, lacking in macros.unknown_figures.items():
            names = [name for name in lacking if name not in macros.unconfirmed]
            if names and nutrient not in _ONLY_WHERE_ANY:
                lines.append(
                    f"{head}{in_kitchen_words(_HEADS[nutrient], macros.dish.units)} of {', '.join(names)} not known; figures with ≥ lack it"
                )
        lines += [f"{head}estimated: {what}" for what in macros.estimated]
    return lines


def unconfirmed_words(names: Sequence[str]) -> str:
    """The names of what nobody has confirmed, for a note or a card."""
    return f"unconfirmed, so not counted: {', '.join(names)}"


def _notes_of_extras(macros: MealMacros) -> list[str]:
    """The same of what else lies on the plate."""
    lines = []
    if to_taste := [e.ingredient.name for e in macros.meal.extras if e.ingredient.to_taste]:
        lines.append(f"on the plate: not counted (to taste): {', '.join(to_taste)}")
    if doubted := [e.ingredient.name for e in macros.meal.extras if e.ingredient.doubt is not None]:
        lines.append(f"on the plate: {unconfirmed_words(doubted)}")
    for nutrient in PRINTED:
        names = [e.ingredient.name for e, m in macros.extra if nutrient in m.unknown and e.ingredient.doubt is None]
        if names and nutrient not in _ONLY_WHERE_ANY:
            lines.append(
                f"on the plate: {in_kitchen_words(_HEADS[nutrient], macros.meal.units)} of {', '.join(names)} not known; figures with ≥ lack it"
            )
    own = {f"{d.dish.name}: {what}" for _, d, _ in macros.portions for what in d.estimated}
    return [*lines, *(f"estimated: {what}" for what in macros.estimated if what not in own)]


def _sources(macros: DishMacros, spread: bool) -> list[str]:
    """Each ingredient with its amount, how it became grams, and where its figures are from."""
    listed = [*macros.dish.ingredients, *macros.dish.taken_out]
    rows = [(i.name, *_weighing(i), f"{i.food.name}, {_source(i, spread)}") for i in listed]
    return ["Where the figures are from", *(f"  {line}" for line in aligned(rows))]


def _source(ingredient: Ingredient, spread: bool) -> str:
    """The table's row; and the second table's, where it differs about net carbs."""
    food = ingredient.food
    if ingredient.doubt is not None:
        return "unconfirmed"
    one, other = food.composition.net_carbs_g, food.second_net_carbs_g
    if not spread or one is None or other is None or abs(one - other) < 0.05:
        return food.source
    return f"{food.source} (net carbs {one:.1f} g per 100 g; {food.second_source}: {other:.1f})"


def _weighing(ingredient: Ingredient) -> tuple[str, str]:
    """``3 tbsp`` and ``43 g (1 tbsp: 14.2 g)``; of food bought whole, what the trimming leaves."""
    amount, grams = ingredient.amount, ingredient.grams
    if amount is None or grams is None:
        return "to taste", ""
    if ingredient.weighed_as == AS_WEIGHED:
        return _amount_words(
            ingredient
        ), f"{format_grams(grams)}{_without(ingredient)} (weighed){_lost_words(ingredient, grams)}"
    if amount.kind is Kind.MASS:
        trimmed = "" if abs(amount.grams - grams) <= 0.05 else _without(ingredient) or " trimmed"
        return str(amount), f"{format_grams(grams)}{trimmed}{_lost_words(ingredient, grams)}"
    used = next((w for w in ingredient.food.weights if w.printed == ingredient.weighed_as), None)
    how = f" ({used.source_words})" if used else " (estimated)" if ingredient.borrowed else ""
    return _amount_words(
        ingredient
    ), f"{format_grams(grams)}{_without(ingredient)}{how}{_lost_words(ingredient, grams)}"


def _without(ingredient: Ingredient) -> str:
    """`` without bones, 1.98 kg with them``; empty where nothing is on it that nobody eats."""
    if not ingredient.with_it or ingredient.scale_g is None:
        return ""
    return f" without {ingredient.with_it}, {format_grams(ingredient.scale_g)} with them"


def _amount_words(ingredient: Ingredient) -> str:
    """A dish counted is counted in servings."""
    amount = ingredient.amount
    if ingredient.dish is None or amount is None or amount.unit != "piece":
        return str(amount)
    return f"{amount} serving{'' if amount.value <= 1 else 's'}"


def _lost_words(ingredient: Ingredient, grams: float) -> str:
    """``, 8 g of it left in the pan``."""
    i = ingredient
    lost = (
        ("left in the pan", i.left_share),
        ("thrown away", i.strained_share),
        (f"goes into {i.behind_into}" if i.behind_into else "left behind", i.behind_share),
    )
    return "".join(
        f", {'all' if share > 1 - 1e-9 else format_grams(grams * share)} of it {where}"
        for where, share in lost
        if share
    )
