"""What stands on the recipe card: quantities side by side, numbered steps, the nutrition table, cautions."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from scriptkit.captions.composing.text_width import thousandths
from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.durations import format_duration
from scriptkit.measure.unit_system import weight_text
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.display_figures import LIKELY, likely_words, printed_plate, rounded_words
from scriptkit.nutrition.macros import MEDICAL
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.papers.plate_picture import PlatePicture, plate_picture
from scriptkit.publish.dual_units import IngredientLine
from scriptkit.publish.made_for import made_for
from scriptkit.publish.method_words import method_words
from scriptkit.publish.publication import DEFERRING, Part, Publication, caution_lines
from scriptkit.recipe.display_names import display_names

MOST_COLUMNS = 4
"""Of a meal's nutrition table; of more dishes only the plate is printed."""

_ROWS = (
    ("energy_kcal", "Energy", "kcal"),
    ("fat_g", "Fat", "g"),
    ("saturated_g", "of which saturated", "g"),
    ("carbohydrate_g", "Carbohydrate", "g"),
    ("sugars_g", "of which sugars", "g"),
    ("fibre_g", "less fibre", "g"),
    ("deducted_sweeteners_g", "less polyols and allulose", "g"),
    ("net_carbs_g", "Net carbs", "g"),
    ("protein_g", "Protein", "g"),
    ("alcohol_g", "Alcohol", "g"),
    ("sodium_mg", "Sodium", "mg"),
)
_NBSP = "\N{NO-BREAK SPACE}"
_FIGURE_AND_UNIT = re.compile(r"(\d) (mm|cm|min|h|s|g|kg|ml|l|°C|°F)\b")
_INNER = frozenset({"saturated_g", "sugars_g", "fibre_g", "deducted_sweeteners_g"})
_ONLY_WHERE_ANY = frozenset({"deducted_sweeteners_g", "alcohol_g"})


_METRIC_AND_US, _LEAD_AND_BESIDE = (2.9, 2.1, 3.6, 3.2), (4.0, 3.0, 2.7, 2.1)
"""Least widths of the columns of quantities, in sizes of the type: figure and unit of each of the two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """An ingredient's row; figure and unit apart, so that both columns line up."""

    lead: tuple[str, str]
    beside: tuple[str, str]
    name: str
    more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPart:
    """A dish on the card; ``serves`` is its servings, ``steps`` are in the order in which they are cooked."""

    name: str
    """Empty where there is one dish only."""
    serves: str
    quantities: tuple[Quantity, ...]
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NutritionRow:
    """A nutrient, and its figure in each column; ``inner``: a part of the row above it, set further in."""

    name: str
    inner: bool
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """Everything that stands on the card, in words and ready to print."""

    title: str
    promise: str
    facts: tuple[str, ...]
    plate: PlatePicture
    """What the card is read for, first: net carbs with their range, protein, energy, and the bar of the plate or serving."""
    parts: tuple[CardPart, ...]
    on_plates: tuple[str, ...]
    """What goes on the plates beside the dishes, a line each."""
    amount_heads: tuple[str, str]
    """Of the two columns of quantities: what leads, what stands beside it."""
    amount_widths: tuple[float, float, float, float]
    """Of the figure and the unit of each, in sizes of the type."""
    heads: tuple[str, ...]
    """Of the nutrition table's columns."""
    stacked: bool
    """There are so many that the name of a figure stands over its row."""
    nutrition: tuple[NutritionRow, ...]
    nutrition_notes: tuple[str, ...]
    allergens: tuple[str, ...]
    cautions: tuple[str, ...]
    deferring: tuple[str, ...]
    """What holds for the whole card, such as the deferring line."""


MOST_BESIDE_A_NAME = 4
"""Columns of figures: of two dishes, the plate and 100 g."""
LONGEST_HEAD = 24
"""Letters of a dish's name over one of more columns than that."""
_LETTER_EM = 0.6
"""A letter's width, in sizes of the type: no unit is broken."""
_FIGURE_FACE = 1.2
"""Bold tabular figures of the card's typeface beside those of the font whose widths are known."""


def card_of(publication: Publication) -> Card:
    """With every caution in full."""
    heads, rows = _columns(publication)
    deferring = [c for c in publication.cautions if c.rule.id in DEFERRING]
    parts = tuple(_part(part, several=len(publication.parts) > 1) for part in publication.parts)
    chosen = publication.source.units or any(part.dish.units for part in publication.parts)
    return Card(
        title=publication.source.name,
        promise=publication.source.promise,
        facts=tuple(_facts(publication)),
        plate=plate_picture(publication.macros),
        parts=parts,
        on_plates=tuple(_unbroken(line.words) for line in publication.on_plates),
        amount_heads=("Amount", "Or") if chosen else ("Metric", "US"),
        amount_widths=_amount_widths(parts, _LEAD_AND_BESIDE if chosen else _METRIC_AND_US),
        heads=heads,
        stacked=len(heads) > MOST_BESIDE_A_NAME,
        nutrition=tuple(
            NutritionRow(
                name=in_kitchen_words(name if unit == "g" else f"{name}, {unit}", publication.source.units),
                inner=n in _INNER,
                cells=tuple(r.text(n) for r in rows),
            )
            for n, name, unit in _ROWS
            if n not in _ONLY_WHERE_ANY or any(r.at_least[n] for r in rows)
        ),
        nutrition_notes=tuple(_notes(publication, rows)),
        allergens=tuple(publication.allergens.lines()),
        cautions=_cautions(publication, ()),
        deferring=tuple(line for line in (made_for(publication.source), *caution_lines(deferring), MEDICAL) if line),
    )


def with_short_cautions(card: Card, publication: Publication, short: Collection[str]) -> Card:
    """The same card with the rules in ``short`` in the wording of the overlay."""
    return dataclasses.replace(card, cautions=_cautions(publication, short))


def _cautions(publication: Publication, short: Collection[str]) -> tuple[str, ...]:
    lines = caution_lines(
        [c for c in publication.cautions if c.rule.id not in DEFERRING], short, several=len(publication.parts) > 1
    )
    return tuple(map(_unbroken, lines))


def _facts(publication: Publication) -> list[str]:
    times, served = publication.times, publication.source.published.served
    facts = [f"Makes {publication.serves_words}", publication.serving_words]
    if times.total_ms is not None:
        prep = f" ({format_duration(times.prep_ms)} prep)" if times.prep_ms else ""
        facts.append(f"{publication.total_time.words}{prep}")
    if served:
        facts.append(f"serve {served}")
    if publication.filmed_for is not None:
        facts.append(
            f"amounts scaled from {publication.filmed_for:g}; times and vessels are not: go by colour and temperature"
        )
    return facts


def _part(part: Part, *, several: bool) -> CardPart:
    return CardPart(
        name=part.dish.name if several else "",
        serves=f"{part.dish.servings:g}",
        quantities=tuple(map(_quantity, part.lines)),
        steps=tuple(_unbroken(method_words(step)) for step in part.steps),
    )


def _amount_widths(
    parts: Sequence[CardPart], least: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    """Wide enough for every figure, and for the longest word of every unit."""
    rows = [q for part in parts for q in part.quantities if q.lead[0]]

    def figures(texts: Iterable[str]) -> float:
        return max((thousandths(text) / 1000 * _FIGURE_FACE + 0.3 for text in texts), default=0.0)

    def units(texts: Iterable[str]) -> float:
        return max((len(word) * _LETTER_EM + 0.4 for text in texts for word in text.split()), default=0.0)

    return (
        max(least[0], figures(q.lead[0] for q in rows)),
        max(least[1], units(q.lead[1] for q in rows)),
        max(least[2], figures(q.beside[0] for q in rows)),
        max(least[3], units(q.beside[1] for q in rows)),
    )


def _quantity(line: IngredientLine) -> Quantity:
    if not line.metric:
        return Quantity(lead=("", line.unmeasured), beside=("", ""), name=line.name, more=_unbroken(line.more))
    lead, beside = line.lead
    return Quantity(
        lead=_apart(lead.removeprefix("about ")),
        beside=_apart(beside.removeprefix("about ")),
        name=line.name,
        more=_unbroken(line.more),
    )


def _unbroken(text: str) -> str:
    """No line ends between a figure and its unit."""
    return _FIGURE_AND_UNIT.sub(f"\\1{_NBSP}\\2", text)


def _apart(quantity: str) -> tuple[str, str]:
    """``("3 ¾", "cups")``, ``("1 lb 8", "oz")``, ``("under 0.1", "oz")``."""
    found = re.fullmatch(r"(.*[\d½⅓⅔¼¾⅛⅜⅝⅞])\s*(.*)", quantity)
    return (found.group(1), found.group(2)) if found else ("", quantity)


def _columns(publication: Publication) -> tuple[tuple[str, ...], Sequence[Printed]]:
    """Heads and figures; a meal's portions and their plate are rounded together, so that they add up."""
    of_meal = publication.of_meal
    about = "about " if publication.estimated else ""
    if of_meal is None:
        macros = publication.parts[0].macros
        serving = macros.serving
        return (f"serving {about}{_head_weight(serving.weight_g, publication)}", f"100{_NBSP}g"), [
            print_one(serving),
            print_one(macros.per_100_g),
        ]
    plate_head, hundred = f"plate {about}{_head_weight(of_meal.plate.weight_g, publication)}", f"per 100{_NBSP}g"
    of_hundred = print_one(of_meal.plate.weighing(100.0)) if of_meal.plate.weight_g else print_one(of_meal.plate)
    if len(of_meal.rows) >= MOST_COLUMNS:
        return (plate_head, hundred), [print_one(of_meal.plate), of_hundred]
    table = printed_plate(of_meal)
    names = [p.dish.short for p, _, _ in of_meal.portions] + [e.ingredient.display_name for e, _ in of_meal.extra]
    names = [_head_name(name) for name in names] if len(names) + 2 > MOST_BESIDE_A_NAME else names
    weights = [row.weight_g or m.weight_g for row, (_, m) in zip(table.rows, of_meal.rows, strict=True)]
    heads = [f"{name} {_head_weight(grams, publication)}" for name, grams in zip(names, weights, strict=True)]
    return (*heads, plate_head, hundred), [*table.rows, table.whole, of_hundred]


def _head_name(name: str) -> str:
    """The first words of a long name, for a narrow column: ``Butter beans with…``."""
    return name if len(name) <= LONGEST_HEAD else f"{name[: LONGEST_HEAD - 1].rsplit(' ', 1)[0].rstrip(',')}…"


def _head_weight(grams: float, publication: Publication) -> str:
    """A weight of which no figure stands apart from its unit; pounds and ounces may stand on two lines."""
    text = weight_text(grams, publication.source.units)
    return text.replace(" ", _NBSP).replace(f"lb{_NBSP}", "lb ")


def _notes(publication: Publication, rows: Sequence[Printed]) -> list[str]:
    notes = [
        f"Grams, unless another unit stands there. {in_kitchen_words(Basis.US.meaning, publication.source.units)}."
    ]
    if (
        publication.of_meal is not None
        and len(rows) > 2
        and (rounded := rounded_words(publication.of_meal, [n for n, _, _ in _ROWS]))
    ):
        notes.append(rounded)
    if likely := likely_words(publication.eaten):
        notes.append(f"Likely range ({LIKELY}): {likely}.")
    if to_taste := publication.to_taste:
        notes.append(f"Not counted (to taste): {', '.join(to_taste)}.")
    if any(r.figures[n] is None for n, _, _ in _ROWS if n not in _ONLY_WHERE_ANY for r in rows):
        lacking = dict.fromkeys(
            name
            for p in publication.parts
            for name in display_names([p.dish], (n for n in p.macros.unknown if n not in p.macros.to_taste))
        )
        notes.append("≥ and unknown: a table lacks a part of it" + (f" ({', '.join(lacking)})." if lacking else "."))
    notes.extend(publication.without_bones)
    if cooked := publication.estimated_after_cooking:
        notes.append(f"Of {cooked}, what is left after cooking is counted: an estimate from published rows.")
    if publication.estimated:
        names = ", ".join(part.dish.name for part in publication.parts if part.dish.cooked_estimated)
        notes.append(
            f"Nobody weighed what was cooked ({names}): weights and figures of a serving and of 100 g are estimated."
        )
    return notes
