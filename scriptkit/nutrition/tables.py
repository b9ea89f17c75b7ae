"""Macros of a dish or a meal as a text table and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.label_rounding import label_energy, label_fat, label_grams
from scriptkit.nutrition.macros import PRINTED, Macros
from scriptkit.nutrition.plates import DishMacros, MealMacros
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.nutrition.rounding import Printed, print_one, print_table

_HEADS = {
    "energy_kcal": "kcal", "fat_g": "fat", "protein_g": "protein", "carbohydrate_g": "carbs", "fibre_g": "fibre",
    "polyols_g": "polyols", "net_carbs_g": "net carbs", "alcohol_g": "alcohol",
}  # fmt: skip
_ONLY_WHERE_ANY = ("polyols_g", "alcohol_g")
MEDICAL = "Arithmetic, not medical advice: a medical diet is supervised by a doctor or a dietitian."

Row = tuple[str, Printed]


def dish_text(
    macros: DishMacros, *, basis: Basis = Basis.US, portion_g: float | None = None, label: bool = False
) -> str:
    """The dish by ingredient, batch, serving and 100 g (and a portion), with its ratios and what is not known."""
    dish = macros.dish
    table = print_table([m for _, m in macros.ingredients], macros.batch, basis=basis)
    parts: list[Row] = [(i.name, row) for (i, _), row in zip(macros.ingredients, table.rows, strict=True)]
    wholes: list[Row] = [
        ("batch", table.whole),
        (f"serving (1 of {dish.servings:g})", print_one(macros.serving, basis=basis)),
        ("100 g", print_one(macros.per_100_g, basis=basis)),
    ]
    if portion_g is not None:
        wholes.append((f"portion {format_grams(portion_g)}", print_one(macros.portion(portion_g), basis=basis)))
    lines = [dish.name, "", *_table(parts, wholes), "", f"Grams; {basis.meaning}.", "", "Macro ratios of a serving"]
    lines += [f"  {line}" for line in ratios_of(macros.serving).lines()]
    lines += [f"  {MEDICAL}"]
    if label:
        lines += ["", *_label(macros.serving)]
    if notes := _notes([macros]):
        lines += ["", *notes]
    return "\n".join(lines)


def meal_text(macros: MealMacros, *, basis: Basis = Basis.US) -> str:
    """The plate by dish, the plate, and the party."""
    meal = macros.meal
    table = print_table([m for _, _, m in macros.portions], macros.plate, basis=basis)
    parts: list[Row] = [
        (f"{p.dish.name}, {p.words}", row) for (p, _, _), row in zip(macros.portions, table.rows, strict=True)
    ]
    wholes: list[Row] = [("the plate", table.whole)]
    if meal.plates > 1:
        wholes.append((f"{meal.plates} plates", print_one(macros.party, basis=basis)))
    lines = [meal.name, "", *_table(parts, wholes), "", f"Grams; {basis.meaning}.", "", "Macro ratios of the plate"]
    lines += [f"  {line}" for line in ratios_of(macros.plate).lines()]
    lines += [f"  {MEDICAL}"]
    for limit in meal.limits:
        figure = print_one(macros.plate, basis=basis).text(limit.macro, unit=True)
        name = limit.macro.rsplit("_", 1)[0].replace("_", " ")
        lines += ["", f"Limit: {limit.bound.replace('_', ' ')} {limit.figure:g} {name} a plate; it has {figure}."]
    if notes := _notes([d for _, d, _ in macros.portions]):
        lines += ["", *notes]
    return "\n".join(lines)


def _table(parts: Sequence[Row], wholes: Sequence[Row]) -> list[str]:
    rows = [*parts, *wholes]
    shown = [n for n in PRINTED if n not in _ONLY_WHERE_ANY or any(r.at_least[n] for _, r in rows)]
    cells = [["", "weight", *(_HEADS[n] for n in shown)]]
    cells += [[name, f"{row.weight_g:.0f}", *(row.text(n) for n in shown)] for name, row in rows]
    widths = [max(len(line[i]) for line in cells) for i in range(len(cells[0]))]
    lines = [
        "  ".join([line[0].ljust(widths[0]), *(c.rjust(w) for c, w in zip(line[1:], widths[1:], strict=True))]).rstrip()
        for line in cells
    ]
    rule = "-" * max(map(len, lines))
    return [lines[0], rule, *lines[1 : 1 + len(parts)], rule, *lines[1 + len(parts) :]]


def _label(serving: Macros) -> list[str]:
    """The serving as a US label would print it (21 CFR 101.9(c))."""

    def words(nutrient: str) -> str:
        figure = serving.figure(nutrient)
        if figure is None:
            return "unknown"
        rounder = {"energy_kcal": label_energy, "fat_g": label_fat}.get(nutrient, label_grams)
        return rounder(figure)

    return [
        "As a US label would round it (21 CFR 101.9(c))",
        f"  {words('energy_kcal')} calories, fat {words('fat_g')} g, total carbohydrate {words('carbohydrate_g')} g, "
        f"dietary fibre {words('fibre_g')} g, protein {words('protein_g')} g",
    ]


def _notes(dishes: Sequence[DishMacros]) -> list[str]:
    lines = []
    for macros in dict.fromkeys(dishes):
        head = f"{macros.dish.name}: "
        if macros.to_taste:
            lines.append(f"{head}counted in nothing (to taste): {', '.join(macros.to_taste)}")
        for nutrient, names in macros.unknown_figures.items():
            if nutrient not in _ONLY_WHERE_ANY:
                lines.append(f"{head}{_HEADS[nutrient]} not known of {', '.join(names)}; figures with ≥ lack it")
        lines += [f"{head}estimated: {what}" for what in macros.estimated]
    return lines


def dish_json(macros: DishMacros, *, basis: Basis = Basis.US, portion_g: float | None = None) -> dict[str, Any]:
    """The dish for a machine: ten times finer than printed, None where a part is unknown (``at_least`` has what is known)."""
    dish = macros.dish
    table = print_table([m for _, m in macros.ingredients], macros.batch, basis=basis, finer=10)
    out: dict[str, Any] = {
        "dish": dish.name,
        "basis": basis.value,
        "servings": dish.servings,
        "serving": _json(print_one(macros.serving, basis=basis, finer=10)),
        "per_100_g": _json(print_one(macros.per_100_g, basis=basis, finer=10)),
        "batch": _json(table.whole),
    }
    if portion_g is not None:
        out["portion"] = _json(print_one(macros.portion(portion_g), basis=basis, finer=10))
    out["ratios"] = _ratios_json(macros.serving)
    out["ingredients"] = [
        {
            "name": i.name,
            "food": i.food.name,
            "source": i.food.source,
            "amount": str(i.amount),
            "weighed_as": i.weighed_as,
            **_json(row),
        }
        for (i, _), row in zip(macros.ingredients, table.rows, strict=True)
    ]
    out["unknown"] = list(macros.unknown)
    out["unknown_figures"] = {n: list(names) for n, names in macros.unknown_figures.items()}
    out["estimated"] = list(macros.estimated)
    return out


def meal_json(macros: MealMacros, *, basis: Basis = Basis.US) -> dict[str, Any]:
    table = print_table([m for _, _, m in macros.portions], macros.plate, basis=basis, finer=10)
    return {
        "meal": macros.meal.name,
        "basis": basis.value,
        "plates": macros.meal.plates,
        "portions": [
            {"dish": p.dish.name, "portion": p.words, **_json(row)}
            for (p, _, _), row in zip(macros.portions, table.rows, strict=True)
        ],
        "plate": _json(table.whole),
        "party": _json(print_one(macros.party, basis=basis, finer=10)),
        "ratios": _ratios_json(macros.plate),
        "dishes": [dish_json(d, basis=basis) for d in dict.fromkeys(d for _, d, _ in macros.portions)],
        "unknown": list(dict.fromkeys(name for _, d, _ in macros.portions for name in d.unknown)),
        "estimated": list(
            dict.fromkeys(f"{d.dish.name}: {what}" for _, d, _ in macros.portions for what in d.estimated)
        ),
    }


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
