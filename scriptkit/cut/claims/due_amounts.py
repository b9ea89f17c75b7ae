"""What the recipe has of an ingredient, at its steps and in all, and how far a spoken amount is off from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.cut.claims.claim import SURE, Near
from scriptkit.cut.claims.vague_measures import taken_as
from scriptkit.measure.amounts import Amount, Kind, canonical_unit, format_grams
from scriptkit.measure.figures import Figure, figures_in
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.spoken import SpokenFigure
from scriptkit.measure.words import difference_words
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.shoot.mise_en_place import grams_text
from scriptkit.shoot.script.spoken_amounts import ABOUT, EXACT, to_common_unit

ACROSS = 0.08
"""How far spoons, cups and ounces that are spoken may be from grams and millilitres: 250 ml is a cup to most cooks, and 15 g of
butter a spoon (common practice, no source)."""
_METRIC = frozenset({"milligram", "gram", "kilogram", "millilitre", "centilitre", "decilitre", "litre"})
_ALSO_NEAR_MS = 20_000
"""A step that stands no further from the moment than the nearest and this much may be meant too
(common practice, no source)."""


FAR_OFF = 5.0
"""So many times more or less is sooner of another thing, unless it is very sure whose it is (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Due:
    """An amount that the recipe knows: of an addition (``step``), or of the whole; ``of_each``: what one serving takes of it."""

    addition: Addition
    dish: Dish
    step: Step | None
    of_each: bool = False


def due_amounts(meant: Sequence[tuple[Dish, Ingredient]], near: Near, moment: int) -> list[Due]:
    """What may be meant, the likeliest first: the additions of the steps about the moment, then the wholes."""
    keys = {(dish.file, i.key) for dish, i in meant}
    steps = [
        (p, a) for p in near.by_distance(moment) for a in p.step.additions if (p.dish.file, a.ingredient.key) in keys
    ]
    if steps and steps[0][0].time_ms is not None and steps[0][0].confidence >= SURE:
        reach = abs(steps[0][0].time_ms - moment) + _ALSO_NEAR_MS
        steps = [(p, a) for p, a in steps if p.time_ms is None or abs(p.time_ms - moment) <= reach]
    found = [Due(a, p.dish, p.step) for p, a in steps]
    for dish, ingredient in meant:
        found += [Due(whole, dish, None) for whole in _wholes(ingredient)]
    return found


def _wholes(ingredient: Ingredient) -> Iterator[Addition]:
    """All of the ingredient: edible, as it is bought, and each piece where `prep:` says what one weighs."""

    def whole(amount: Amount | None, grams: float | None) -> Addition:
        return Addition(
            number=0, ingredient=ingredient, words="all", share=Fraction(1), amount=amount, grams=grams, place=ingredient.place
        )  # fmt: skip

    eaten = ingredient.eaten_share  # below 1 an addition's weight is told with its bones
    yield whole(ingredient.amount, ingredient.grams)
    if ingredient.as_bought_g and ingredient.as_bought_g != ingredient.grams:
        yield whole(
            ingredient.amount, ingredient.grams * eaten if eaten < 1 and ingredient.grams else ingredient.as_bought_g
        )
    for figure in figures_in(ingredient.prep):
        unit = canonical_unit(figure.unit) if figure.unit else None
        if unit is not None and (amount := Amount(figure.low, unit)).kind is Kind.MASS:
            yield whole(amount, amount.grams * eaten)


def off_by(figure: Figure, addition: Addition, *, vague: bool) -> float | None:
    """By what share the amount is more or less than is due; 0 where it is as near as it is spoken, None where the two cannot
    be compared."""
    if figure.low <= 0:
        return None
    ends = [
        to_common_unit(SpokenFigure(value, figure.unit, figure.about, 0, 0), addition)
        for value in dict.fromkeys((figure.low, figure.high))  # mostly one and the same
    ]
    least, most = ends[0], ends[-1]
    if least is None or most is None or not least[1]:
        return None
    amount = addition.amount
    across = least[2] or (amount is not None and (figure.unit in _METRIC) != (amount.unit in _METRIC))
    room = 0.0 if vague else ABOUT * 2 if figure.about else ACROSS if across else EXACT
    weighed = addition.scale_g if figure.unit and Amount(figure.low, figure.unit).kind is Kind.MASS else None
    offs = [_outside(least[0] / due - 1, most[0] / due - 1, room) for due in (least[1], weighed) if due]
    return min(offs, key=abs)


def least_off(figure: Figure, dish: Dish, ingredient: Ingredient) -> float | None:
    """By what share the amount is more or less than the nearest of those that the dish has of the ingredient, at a step or in all;
    0 where it is one of them, None where they cannot be compared. A figure without a unit is held against the written numbers."""
    own = [a for step in dish.steps for a in step.additions if a.ingredient.key == ingredient.key]
    offs: list[float] = []
    for addition in (*own, *_wholes(ingredient)):
        if figure.unit and canonical_unit(figure.unit) is None:
            continue
        off = off_by(figure, addition, vague=False)
        if off is not None:
            offs.append(off)
        elif not figure.unit and addition.amount is not None:
            shares = [float(figure.low) / due - 1 for due in (float(addition.amount.value), addition.grams) if due]
            offs += [share for share in shares if 1 / FAR_OFF < share + 1 < FAR_OFF]
    return min(offs, key=abs, default=None)


_TWICE = 2
"""A range whose end is so many times its beginning says little of an amount at its beginning (common practice, no source)."""


def only_touches(figure: Figure, addition: Addition) -> bool:
    """*Two to four tablespoons* of two."""
    if not figure.is_range or figure.high < _TWICE * figure.low:
        return False
    off = off_by(replace(figure, low=figure.high), addition, vague=False)
    return off is not None and off + 1 >= _TWICE * (1 - ACROSS)


def _outside(low: float, high: float, room: float) -> float:
    """By how much the nearer end of a range of shares is off; 0 where nothing is, but for the room."""
    return 0.0 if low <= room and high >= -room else min(low, high, key=abs)


def how_far(off: float) -> str:
    """By how much it is off, in words; empty where nothing is."""
    percent = round_half_up(abs(off) * 100)
    return difference_words(percent if off > 0 else -percent) if percent else ""


OF_EACH = " for each serving"


def recipe_words(due: Due, vague: str) -> str:
    """What the recipe has, as a message tells it; ``vague``: the word of a measure that no two cooks fill alike."""
    addition = due.addition
    measure = addition.household
    grams = grams_text(addition) if addition.grams is None else format_grams(addition.scale_g or 0.0)
    card = grams + (f" ({measure})" if measure else "") + (OF_EACH if due.of_each else "")
    taken = f"; {taken_as(vague)}" if vague else ""
    if due.step is None:
        return f"{due.dish.short} has {card} of it in all{taken}"
    return f"{card} goes in at step {due.step.number} ({due.step.id}){taken}"
