"""Portions that keep the limits of a plate, as a text beside the usual ones and as JSON."""

from __future__ import annotations

from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.dish_meal_macros import MAIN
from scriptkit.nutrition.display_figures import range_words
from scriptkit.nutrition.intervals import BOUNDED
from scriptkit.nutrition.limits import figure_of
from scriptkit.nutrition.macros import MEDICAL, words_of_macro
from scriptkit.nutrition.portioning import plate_of
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.rounding import print_one
from scriptkit.nutrition.servings import Suggestion, plates_of_pot, words_of
from scriptkit.papers.tables import JsonObject


def suggestion_text(suggestion: Suggestion) -> str:
    """The portions beside the usual ones, and what the plate then has of each limited figure."""
    lines = [f"{suggestion.meal.meal.name}: portions nearest to the usual ones", ""]
    if suggestion.found.grams is None or suggestion.plate is None:
        return "\n".join(
            [lines[0].replace("portions nearest to the usual ones", "no portions keep these limits together")]
        )
    width = max(len(c.name) for c in suggestion.choices)
    lines.append(f"{'':{width}}  {'usual':>8}  {'portion':>8}")
    for choice, grams in zip(suggestion.choices, suggestion.found.grams, strict=True):
        said = choice.said(grams)
        lines.append(
            f"{choice.name:{width}}  {format_grams(choice.usual_g):>8}  {format_grams(grams):>8}  {said}".rstrip()
        )
    lines.append("")
    usual = plate_of(suggestion.choices, [c.usual_g for c in suggestion.choices]) + suggestion.meal.extras
    for bound in suggestion.bounds:
        before, after = figure_of(usual, bound.name), figure_of(suggestion.plate, bound.name)
        likely = range_words(suggestion.plate, bound.name) if bound.name in BOUNDED else ""
        likely = f" (likely {likely})" if likely else ""
        lines.append(f"{words_of(bound)}: {_figure(before)} as usual → {_figure(after)} with these portions{likely}")
    row = print_one(suggestion.plate)
    lines.append(
        f"the plate: {row.text('energy_kcal')} kcal, fat {row.text('fat_g')} g, protein {row.text('protein_g')} g, carbs "
        f"{row.text('carbohydrate_g')} g − fibre {row.text('fibre_g')} g = net carbs {row.text('net_carbs_g')} g"
    )
    return "\n".join(lines)


def side_by_side_text(only: Suggestion) -> str:
    """An ordinary plate and the only meal of the day, from the same pot."""
    head = "From the same pot: an ordinary plate, and the only meal of the day (US basis: carbohydrate includes fibre)"
    if only.found.grams is None or only.plate is None:
        return f"{head}\n  no portions keep the limits of the only meal together"
    usual = only.meal.plate
    rows: list[tuple[str, str, str]] = [("", "ordinary", "only meal")]
    rows += [(c.name, c.words(c.usual_g), c.words(g)) for c, g in zip(only.choices, only.found.grams, strict=True)]
    one, other = print_one(usual), print_one(only.plate)
    rows += [(words_of_macro(n), one.text(n, unit=True), other.text(n, unit=True)) for n in MAIN]
    ratio = "fat_to_protein_and_net_carbs"
    rows.append((RATIOS[ratio].words, _figure(figure_of(usual, ratio)), _figure(figure_of(only.plate, ratio))))
    widths = [max(len(row[i]) for row in rows) for i in range(3)]
    lines = [f"  {a:{widths[0]}}  {b:>{widths[1]}}  {c:>{widths[2]}}" for a, b, c in rows]
    if (plates := plates_of_pot(only)) is not None:
        lines.append(f"  The pots give {plates} such plate{'' if plates == 1 else 's'}.")
    return "\n".join([head, *lines, f"  {MEDICAL}"])


def _figure(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.1f}"


def suggestion_json(suggestion: Suggestion) -> JsonObject:
    """``portions`` is empty where nothing keeps the limits; ``conflict`` then says which contradict one another."""
    grams = suggestion.found.grams
    plate: JsonObject | None = None
    if suggestion.plate is not None:
        row = print_one(suggestion.plate, finer=10)
        ranges = {f"{n}_range": [round(end, 2) for end in ends] for n, ends in suggestion.plate.ranges.items()}
        plate = {"weight_g": row.weight_g, **row.figures, **ranges}
    return {
        "portions": [
            {"dish": c.name, "weight_g": g, "usual_g": round(c.usual_g, 2), "measure": c.said(g) or None}
            for c, g in zip(suggestion.choices, grams or (), strict=grams is not None)
        ],
        "basis": "us",
        "plates_of_pot": plates_of_pot(suggestion),
        "plate": plate,
        "conflict": [
            {"limit": b.name, "bound": "at_most" if b.at_most else "at_least", "figure": b.figure,
             "would_do": w}
            for b, w in suggestion.found.conflict
        ],
    }  # fmt: skip
