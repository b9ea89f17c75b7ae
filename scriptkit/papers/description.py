"""The description under the video: its sections as lines, and what is shortened where a platform takes no more."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.durations import format_clock
from scriptkit.measure.unit_system import METRIC
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.display_figures import LIKELY, likely_words, printed_plate, range_words, rounded_words
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.nutrition.servings import Suggestion, plates_of_pot
from scriptkit.nutrition.sweetening import deducted_name, sweetener_words
from scriptkit.papers.plate_picture import plate_picture
from scriptkit.problems import Problem, error, note, warning
from scriptkit.publish.made_for import made_for
from scriptkit.publish.method_words import method_words
from scriptkit.publish.platform_text import LONGEST_DESCRIPTION, length_of
from scriptkit.publish.publication import Part, Publication, caution_lines, caution_summary
from scriptkit.recipe.dish import Dish, Meal

IN_THE_VIDEO = "in the video"
"""Where a viewer finds what the description leaves out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DishLines:
    """``name`` is empty where there is one dish only."""

    name: str
    serves: str
    ingredients: tuple[str, ...]
    method: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Description:
    """Sections in their order; an empty one is left out. Each line is a paragraph of its own."""

    title: str
    promise: str
    lead: tuple[str, ...]
    """What viewers look for: net carbs, protein and energy of a plate or serving, as the card prints them."""
    serving: tuple[str, ...]
    macros: tuple[str, ...]
    dishes: tuple[DishLines, ...]
    on_plates: tuple[str, ...]
    """What goes on the plates beside the dishes, for all of them."""
    not_shown: tuple[str, ...]
    """What goes in and is not in the picture."""
    corrections: tuple[str, ...]
    """What the video says wrongly, as the file corrects it."""
    chapters: tuple[str, ...]
    allergens: tuple[str, ...]
    cautions: tuple[str, ...]
    links: tuple[str, ...]


def description_of(publication: Publication) -> Description:
    """In full."""
    source = publication.source
    return Description(
        title=source.name,
        promise=source.promise,
        lead=_lead(publication),
        serving=tuple(_serving(publication)),
        macros=tuple(_macros(publication)),
        dishes=tuple(_dish(part, several=len(publication.parts) > 1) for part in publication.parts),
        on_plates=tuple(line.words for line in publication.on_plates),
        not_shown=publication.not_shown,
        corrections=correction_lines(source),
        chapters=tuple(f"{format_clock(c.start_ms)} {c.name}" for c in publication.chapters.listed),
        allergens=tuple(publication.allergens.lines()),
        cautions=caution_summary(publication.cautions, several=len(publication.parts) > 1),
        links=tuple(f"{link.text}: {link.to}" if link.text else link.to for link in source.published.links),
    )


def correction_lines(source: Dish | Meal) -> tuple[str, ...]:
    """``At 2:05: it is 20 g of mustard, not 30 g.``, but for what is corrected over the picture alone; in the order of the video, those of no
    moment last."""
    told = (c for c in source.published.corrections if c.only != "overlay")
    in_time = sorted(told, key=lambda c: math.inf if c.at_ms is None else c.at_ms)
    return tuple(f"At {format_clock(c.at_ms)}: {c.text}" if c.at_ms is not None else c.text for c in in_time)


def _lead(publication: Publication) -> tuple[str, ...]:
    plate = plate_picture(publication.macros)
    beside = f" ({plate.beside})" if plate.beside else ""
    energy = range_words(publication.eaten, "energy_kcal")
    sure = f" ({energy})" if energy else ""
    return (
        f"{plate.of.capitalize()}: net carbs {plate.net}{beside}, protein {plate.protein}, {plate.energy}{sure}, fat {plate.fat}.",
    )


def _serving(publication: Publication) -> Iterator[str]:
    yield f"Makes {publication.serves_words}, {publication.serving_words}."
    if publication.filmed_for is not None:
        yield f"Amounts are for {publication.serves_words}; the video cooks {publication.filmed_for:g}. Times and vessels do not grow with them."
    if publication.times.total_ms is not None:
        yield f"It takes {publication.total_time.cooks_words} {publication.total_time.total_words}."
    if served := publication.source.published.served:
        yield f"Serve {served}." if _names_dishes(served) else f"Serve it {served}."
    if whom := made_for(publication.source):
        yield whom


def _names_dishes(served: str) -> bool:
    """Whether it says how each dish is served: *the thighs hot, the salad cold*."""
    return served.casefold().startswith(("the ", "each ", "both ", "all "))


THE_PLATE = "The plate:"


def _macros(publication: Publication) -> Iterator[str]:
    of_meal, units = publication.of_meal, publication.source.units
    if of_meal is None:
        dish = publication.parts[0].macros
        yield f"A serving: {macro_words(dish.serving, units)}"
        yield f"100 g: {macro_words(dish.per_100_g, units)}"
    else:
        table = printed_plate(of_meal)
        for (words, _), row in zip(of_meal.rows, table.rows, strict=True):
            yield f"{words}: {printed_words(row, units)}"
        yield f"{THE_PLATE} {printed_words(table.whole, units)}"
    if publication.only_meal is not None:
        yield from _only_meal(publication.only_meal)
    yield f"{in_kitchen_words(Basis.US.meaning, units)}."
    if of_meal is not None and (rounded := rounded_words(of_meal)):
        yield rounded
    if sweet := sweetener_words(publication.eaten):
        yield f"In it, {sweet}."
    if lacking := publication.lacking_words:
        yield lacking
    if likely := likely_words(publication.eaten):
        yield f"Likely range ({LIKELY}): {likely}."
    if to_taste := publication.to_taste:
        yield f"Not counted (to taste): {', '.join(to_taste)}."
    yield from publication.without_bones
    for name in (part.dish.name for part in publication.parts if part.dish.cooked_estimated):
        yield f"The cooked weight of {name} is estimated: figures for a serving and for 100 g are too."
    if cooked := publication.estimated_after_cooking:
        yield f"Of {cooked}, what is left after cooking is counted: an estimate from published rows."


def _only_meal(only: Suggestion) -> Iterator[str]:
    """Its portions, its figures, and how many such plates the pots give."""
    if only.found.grams is None or only.plate is None:
        return
    dishes = zip(only.choices, only.found.grams, only.meal.portions, strict=True)
    portions = ", ".join(f"{choice.words(g)} {p.dish.short}" for choice, g, (p, _, _) in dishes)
    plates = plates_of_pot(only)
    pots = "" if plates is None else f" The pots give {plates} such plate{'' if plates == 1 else 's'}."
    yield f"As the only meal of the day ({portions}): {macro_words(only.plate, only.meal.meal.units)}.{pots}"


def macro_words(macros: Macros, units: str = METRIC) -> str:
    """``412 kcal, fat 31.2 g, protein 9.1 g, carbs 18.0 g − fibre 4.2 g = net carbs 13.8 g``."""
    return printed_words(print_one(macros), units)


def printed_words(row: Printed, units: str = METRIC) -> str:
    """The same of figures that are rounded already, in the words of the kitchen that it is for."""
    name = deducted_name(row.at_least)
    polyols = f" − {name} {row.text('deducted_sweeteners_g')} g" if name else ""

    def grams(nutrient: str) -> str:
        text = row.text(nutrient)
        return text if text == "unknown" else f"{text} g"

    fibre = in_kitchen_words("fibre", units)
    first = f"{row.text('energy_kcal')} kcal, fat {grams('fat_g')}, protein {grams('protein_g')}, carbs {grams('carbohydrate_g')}"
    if any(row.figures[n] is None for n in ("carbohydrate_g", "fibre_g", "net_carbs_g")):  # a bound is no sum
        return f"{first}, {fibre} {grams('fibre_g')}, net carbs {grams('net_carbs_g')}"
    return f"{first} − {fibre} {grams('fibre_g')}{polyols} = net carbs {grams('net_carbs_g')}"


def _dish(part: Part, *, several: bool) -> DishLines:
    return DishLines(
        name=part.dish.name if several else "",
        serves=f"{part.dish.servings:g}",
        ingredients=tuple(line.words for line in part.lines),
        method=tuple(f"{n}. {method_words(step)}" for n, step in enumerate(part.steps, 1)),
    )


# --- what does not fit -------------------------------------------------------------------------------------------------

Shortening = tuple[str, Callable[[Description], Description]]


def _first_sentences(description: Description) -> Description:
    def short(line: str) -> str:
        number, dot, rest = line.partition(". ")
        first, stop, _ = rest.partition(". ")
        return f"{number}{dot}{first}{'.' if stop else ''}"

    return _each_dish(description, lambda d: dataclasses.replace(d, method=tuple(map(short, d.method))))


def _without_method(description: Description) -> Description:
    said = f"The method is {IN_THE_VIDEO}."
    return _each_dish(description, lambda d: dataclasses.replace(d, method=(said,) if d.method else ()))


def _without_prep(description: Description) -> Description:
    def bare(dish: DishLines) -> DishLines:
        return dataclasses.replace(dish, ingredients=tuple(line.split(", ")[0] for line in dish.ingredients))

    return _each_dish(description, bare)


def _without_ingredients(description: Description) -> Description:
    def ten(dish: DishLines) -> DishLines:
        more = len(dish.ingredients) - 10
        if more <= 0:
            return dish
        return dataclasses.replace(dish, ingredients=(*dish.ingredients[:10], f"{more} more {IN_THE_VIDEO}"))

    return _each_dish(description, ten)


def _short_promise(description: Description) -> Description:
    return dataclasses.replace(description, promise=_cut(description.promise, 300))


def _fewer_links(description: Description) -> Description:
    return dataclasses.replace(description, links=description.links[:3])


def _three_dishes(description: Description) -> Description:
    """And the figures of those alone, before those of the plate."""
    rows = next((n for n, line in enumerate(description.macros) if line.startswith(THE_PLATE)), 0)
    macros = (*description.macros[: min(rows, 3)], *description.macros[rows:])
    return dataclasses.replace(description, dishes=description.dishes[:3], macros=macros)


def _each_dish(description: Description, change: Callable[[DishLines], DishLines]) -> Description:
    return dataclasses.replace(description, dishes=tuple(map(change, description.dishes)))


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + "…"


def shortenings() -> list[Shortening]:
    """What is given up, the least first. Cautions and allergens stay."""
    return [
        ("the end of the promise", _short_promise),
        ("all but the first sentence of each step", _first_sentences),
        ("the method (it is in the video)", _without_method),
        ("how ingredients are cut", _without_prep),
        ("all but three links", _fewer_links),
        ("all but ten ingredients of a dish", _without_ingredients),
        ("the chapters", lambda d: dataclasses.replace(d, chapters=())),
        ("all but three dishes", _three_dishes),
        ("the ingredients (they are in the video)", lambda d: dataclasses.replace(d, dishes=())),
        ("all figures but the first line", lambda d: dataclasses.replace(d, macros=())),
    ]  # fmt: skip


def fitted(publication: Publication, render: Callable[[Description], str]) -> tuple[str, list[Problem]]:
    """The rendered description, shortened as far as it must be, and what was shortened. ``render`` makes text of it."""
    description = description_of(publication)
    text = render(description)
    whole = length_of(text)
    place = publication.source.place
    done: list[str] = []
    for words, shorten in shortenings():
        if length_of(text) <= LONGEST_DESCRIPTION:
            break
        shorter = shorten(description)
        if shorter != description:
            description, text = shorter, render(shorter)
            done.append(words)
    problems: list[Problem] = []
    if done:
        problems.append(
            note(place, "description", f"platforms take {LONGEST_DESCRIPTION} characters, and the description had {whole}; left out: {_and(done)}",
                 "write shorter steps to keep more of it")
        )  # fmt: skip
    if length_of(text) > LONGEST_DESCRIPTION:
        each = caution_lines(
            publication.cautions, {c.rule.id for c in publication.cautions}, several=len(publication.parts) > 1
        )
        text = _cut_to_safety(dataclasses.replace(description, cautions=each), render)
        severity = warning if length_of(text) <= LONGEST_DESCRIPTION else error
        problems.append(
            severity(place, "description", "what must stay in the description is too long for platforms: the figures of a plate, the allergens and the cautions are left, as far as they fit",
                     "publish the recipe card beside the video, and link to it")
        )  # fmt: skip
    return text, problems


def _cut_to_safety(description: Description, render: Callable[[Description], str]) -> str:
    """What must stay, and of that as many lines as fit, the deferring line first."""
    lines = [
        _cut(line, 400) for line in (*description.cautions[-1:], *description.allergens, *description.cautions[:-1])
    ]
    bare = dataclasses.replace(
        description, title=_cut(description.title, 120), promise="", serving=(), macros=(), dishes=(), on_plates=(), not_shown=(),
        corrections=(), chapters=(),
        links=(), allergens=(), cautions=(),
    )  # fmt: skip
    left = "More cautions on the recipe card."
    kept = len(lines)
    while kept and length_of(render(dataclasses.replace(bare, cautions=(*lines[:kept], left)))) > LONGEST_DESCRIPTION:
        kept -= 1
    more = (left,) if kept < len(lines) else ()
    return render(dataclasses.replace(bare, cautions=(*lines[:kept], *more)))


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
