"""Portions that keep the limits of a plate, as a text beside the usual ones and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.dish_meal_macros import MAIN
from scriptkit.nutrition.display_figures import range_words
from scriptkit.nutrition.intervals import BOUNDED
from scriptkit.nutrition.limits import figure_of
from scriptkit.nutrition.macros import MEDICAL, Macros, words_of_macro
from scriptkit.nutrition.portion_choice import plate_of
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.rounding import print_one
from scriptkit.nutrition.servings import Alternative, Suggestion, plates_of_pot, words_of
from scriptkit.papers.tables import JsonObject


def suggestion_text(suggestion: Suggestion, others: Sequence[Alternative] = ()) -> str:
    """The portions beside the usual ones, and what the plate then has of each limited figure; below, ``others`` to choose from."""
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
    row, fibre = print_one(suggestion.plate), in_kitchen_words("fibre", suggestion.meal.meal.units)
    lines.append(
        f"the plate: {row.text('energy_kcal')} kcal, fat {row.text('fat_g')} g, protein {row.text('protein_g')} g, carbs "
        f"{row.text('carbohydrate_g')} g − {fibre} {row.text('fibre_g')} g = net carbs {row.text('net_carbs_g')} g"
    )
    return "\n".join([*lines, *_other_plates(suggestion, others)])


def _other_plates(suggestion: Suggestion, others: Sequence[Alternative]) -> Iterator[str]:
    """Whole plates that keep the limits too, beside the nearest: a column each."""
    if not others or suggestion.found.grams is None or suggestion.plate is None:
        return
    plates = [(suggestion.found.grams, suggestion.plate, plates_of_pot(suggestion))]
    plates += [(one.grams, one.plate, one.plates_of_pot) for one in others]
    rows = [["", "nearest", *(one.wish for one in others)]]
    for n, choice in enumerate(suggestion.choices):
        rows.append([choice.name, *(format_grams(grams[n]) for grams, _, _ in plates)])
    for nutrient in ("net_carbs_g", "protein_g", "energy_kcal"):
        rows.append([words_of_macro(nutrient), *(print_one(p).text(nutrient, unit=True) for _, p, _ in plates)])
    rows.append(["plates from the pots", *(str(n or "") for _, _, n in plates)])
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    yield "\nOther plates that keep the limits"
    for row in rows:
        yield "  ".join([f"  {row[0]:{widths[0]}}", *(f"{c:>{w}}" for c, w in zip(row[1:], widths[1:], strict=True))])


def side_by_side_text(only: Suggestion) -> str:
    """An ordinary plate and the only meal of the day, from the same pot."""
    basis = in_kitchen_words("US basis: carbohydrate includes fibre", only.meal.meal.units)
    head = f"From the same pot: an ordinary plate, and the only meal of the day ({basis})"
    if only.found.grams is None or only.plate is None:
        return f"{head}\n  no portions keep the limits of the only meal together"
    usual = only.meal.plate
    rows: list[tuple[str, str, str]] = [("", "ordinary", "only meal")]
    rows += [(c.name, c.words(c.usual_g), c.words(g)) for c, g in zip(only.choices, only.found.grams, strict=True)]
    one, other = print_one(usual), print_one(only.plate)
    rows += [
        (in_kitchen_words(words_of_macro(n), only.meal.meal.units), one.text(n, unit=True), other.text(n, unit=True))
        for n in MAIN
    ]
    ratio = "fat_to_protein_and_net_carbs"
    rows.append((RATIOS[ratio].words, _figure(figure_of(usual, ratio)), _figure(figure_of(only.plate, ratio))))
    widths = [max(len(row[i]) for row in rows) for i in range(3)]
    lines = [f"  {a:{widths[0]}}  {b:>{widths[1]}}  {c:>{widths[2]}}" for a, b, c in rows]
    if (plates := plates_of_pot(only)) is not None:
        lines.append(f"  The pots give {plates} such plate{'' if plates == 1 else 's'}.")
    return "\n".join([head, *lines, f"  {MEDICAL}"])


def _figure(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.1f}"


def suggestion_json(suggestion: Suggestion, others: Sequence[Alternative] = ()) -> JsonObject:
    """``portions`` is empty where nothing keeps the limits; ``conflict`` then says which contradict one another. ``alternatives``
    are other whole plates that keep them, each with what it is best in."""
    return {
        "portions": _portions_json(suggestion, suggestion.found.grams),
        "basis": "us",
        "plates_of_pot": plates_of_pot(suggestion),
        "plate": None if suggestion.plate is None else _plate_json(suggestion.plate),
        "alternatives": [
            {
                "best_in": one.wish,
                "portions": _portions_json(suggestion, one.grams),
                "plates_of_pot": one.plates_of_pot,
                "plate": _plate_json(one.plate),
            }
            for one in others
        ],
        "conflict": [
            {"limit": b.name, "bound": "at_most" if b.at_most else "at_least", "figure": b.figure,
             "would_do": w}
            for b, w in suggestion.found.conflict
        ],
    }  # fmt: skip


def _portions_json(suggestion: Suggestion, grams: Sequence[float] | None) -> list[JsonObject]:
    return [
        {"dish": c.name, "weight_g": g, "usual_g": round(c.usual_g, 2), "measure": c.said(g) or None}
        for c, g in zip(suggestion.choices, grams or (), strict=grams is not None)
    ]


def _plate_json(plate: Macros) -> JsonObject:
    row = print_one(plate, finer=10)
    ranges = {f"{n}_range": [round(end, 2) for end in ends] for n, ends in plate.ranges.items()}
    return {"weight_g": row.weight_g, **row.figures, **ranges}
