"""Amounts that are spoken of an ingredient, held against what goes in at the step and in all."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.cut.claims.amount_owners import OwnedAmount, amount_row, owned_amounts
from scriptkit.cut.claims.claim import AMOUNT, SURE, Claim, Near, claimed
from scriptkit.cut.claims.food_words import FoodNames, named_by, per_piece, said_of_each
from scriptkit.cut.claims.vague_measures import OF_FINGERS, taken_as, vague_in
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.amounts import Amount, Cups, Kind, canonical_unit, format_grams
from scriptkit.measure.figures import Figure, figures_in
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.spoken import SpokenFigure
from scriptkit.measure.words import difference_words
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.recipe.each import share_of
from scriptkit.shoot.mise_en_place import grams_text
from scriptkit.shoot.script.spoken_amounts import ABOUT, EXACT, to_common_unit

ACROSS = 0.08
"""How far spoons, cups and ounces that are spoken may be from grams and millilitres: 250 ml is a cup to most cooks, and 15 g of
butter a spoon (common practice, no source)."""
_METRIC = frozenset({"milligram", "gram", "kilogram", "millilitre", "centilitre", "decilitre", "litre"})
_BESIDE = 160
"""Characters beside a figure in which its food may be named."""
_ALSO_NEAR_MS = 20_000
"""A step that stands no further from the moment than the nearest and this much may be meant too
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Due:
    """An amount that the recipe knows: of an addition (``step``), or of the whole; ``of_each``: what one serving takes of it."""

    addition: Addition
    dish: Dish
    step: Step | None
    of_each: bool = False


SURELY, MAYBE = 0.55, 0.35
"""How likely an owner must be before a difference is told, and before a moment is given to listen to (learned in folds)."""
_FAR_OFF = 5.0
"""So many times more or less is sooner of another thing, unless it is very sure whose it is (common practice, no source)."""
MAYBE_FAR, _VERY_SURE = 0.6, 0.9
_UNNAMED = 0.7
"""How much less an owner counts that nobody names."""


def amount_claims(
    talk: Talk,
    figures: Sequence[Figure],
    taken: set[int],
    near: Near,
    dishes: Sequence[Dish],
    names: FoodNames,
    cups: Cups,
) -> Iterator[Claim]:
    """The claims of the figures that are not ``taken`` by another kind. First it is told whose each is, all together; only then
    is it compared."""
    vague = list(vague_in(talk.text))
    numbers = [
        n
        for n, figure in enumerate(figures)
        if n not in taken
        and not figure.of_a_thing
        and not (figure.unit and canonical_unit(figure.unit, cups) is None)
        and not any(v.start < figure.end and figure.start < v.end for v, _ in vague)
        and (not per_piece(figure, talk.text) or said_of_each(figure, talk.text))
        and not (n + 1 < len(figures) and _taken_back(figure, figures[n + 1], talk.text))
    ]
    all_owned = owned_amounts(amount_row(talk, figures, numbers, near, dishes))
    for before, owned, after in zip([None, *all_owned], all_owned, [*all_owned[1:], None], strict=False):
        if owned.owners:
            listed = any(_is_beside(owned, other, figures) for other in (before, after) if other)
            yield from _of_its_owner(talk, figures[owned.number], owned, near, dishes, listed=listed)
    for figure, word in vague:
        since, until = max(0, figure.start - _BESIDE), figure.end + _BESIDE
        meant = named_by(figure, talk.text, until, since, names)
        yield from _claim(talk, figure, meant, near, 1.0, word)


_OF_ONE_LIST = 45
"""Characters between two figures of one list (common practice, no source)."""


def _is_beside(owned: OwnedAmount, other: OwnedAmount, figures: Sequence[Figure]) -> bool:
    """Whether the other figure is the next of the same list, of another ingredient: *one leek, two carrots*."""
    one, two = sorted((figures[owned.number], figures[other.number]), key=lambda f: f.start)
    sure = bool(other.owners) and other.named and other.owners[0][1] >= SURELY
    return sure and other.owners[0][0] != owned.owners[0][0] and two.start - one.end <= _OF_ONE_LIST


_OR_RATHER = LazyPattern(
    r"\s*,?\s*(?:of\s+)?,?\s*(?:or|no|sorry|I mean|actually|or rather|well)(?:\s+rather)?[,\s]*", re.IGNORECASE
)


def _taken_back(figure: Figure, after: Figure, text: str) -> bool:
    """*One cup of, or half a cup of salt*: the first is a slip of the tongue, and the second is meant."""
    return bool(figure.unit and after.unit) and _OR_RATHER.fullmatch(text[figure.end : after.start]) is not None


def _of_its_owner(
    talk: Talk, figure: Figure, owned: OwnedAmount, near: Near, dishes: Sequence[Dish], *, listed: bool
) -> Iterator[Claim]:
    best, _ = owned.owners[0]
    name = words_of(dishes[best.dish].ingredients[best.ingredient].name)
    alike = [(o, p) for o, p in owned.owners if words_of(dishes[o.dish].ingredients[o.ingredient].name) == name]
    sure = sum(p for _, p in alike)
    if sure <= owned.nobody or sure < (MAYBE if owned.named else SURELY):
        return
    if not owned.named:  # as a recogniser may have made other words of it
        sure *= _UNNAMED
    meant = [(dishes[o.dish], dishes[o.dish].ingredients[o.ingredient]) for o, p in alike if p * 5 >= sure]
    yield from _claim(talk, figure, meant, near, sure, listed=listed)


def _claim(
    talk: Talk,
    figure: Figure,
    meant: Sequence[tuple[Dish, Ingredient]],
    near: Near,
    sure: float,
    vague: str = "",
    *,
    listed: bool = False,
) -> Iterator[Claim]:
    if not meant:
        return
    moment = talk.ms_at(figure.start)
    due = _due(meant, near, moment)
    if each := said_of_each(figure, talk.text):
        due = [
            _Due(one, d.dish, d.step, of_each=True)
            for d in due
            if (one := share_of(d.addition, d.dish.servings)) is not None
        ]
    elif written := [d for d in due if d.addition.each is not None]:
        due += [
            _Due(one, d.dish, d.step, of_each=True)
            for d in written
            if (one := share_of(d.addition, d.dish.servings)) is not None
        ]
    compared = [(d, off) for d in due if (off := _off(figure, d.addition, vague=bool(vague))) is not None]
    if not compared:
        if figure.unit and sure >= SURELY:
            dish, ingredient = meant[0]
            yield claimed(AMOUNT, talk, figure, ingredient.name, None, dish=dish)
        return
    best, off = min(compared, key=lambda one: abs(one[1]))
    if off and due[0].step is not None and due[0].addition.ingredient.to_taste:
        return  # what goes in there goes in to taste
    if off and _counts_nothing(talk, figure, off, listed=listed):
        return
    if off:  # of several, the nearest in the cut is meant
        best, off = compared[0]
    agrees: bool | None = not off
    if off and sure < MAYBE_FAR and not 1 / _FAR_OFF <= off + 1 <= _FAR_OFF:
        return
    not_written = bool(each) and all(d.addition.each is None for d in _due(meant, near, moment))  # how many there are
    other = _of_another_state(talk, figure, best.addition.ingredient) or _of_some_pieces(figure, best.addition)
    at_a_part = _near_a_part(due, near, moment)
    elsewhere = not at_a_part and _fits_elsewhere(figure, meant, near)
    if off and (not_written or other or sure < SURELY or _too_far(off, sure) or vague in OF_FINGERS or elsewhere):
        agrees = None
    elif not off and best.step is None and at_a_part and not _IN_ALL.search(_around(talk, figure)):
        agrees = None  # all of it, where a part goes in
    yield claimed(
        AMOUNT, talk, figure, best.addition.ingredient.name, agrees,
        recipe=_recipe(best, vague), off=_how_far(off), dish=best.dish, step=best.step,
    )  # fmt: skip


_LOOSE_COUNT = LazyPattern(r"\b(?:few|couple|several|handful|dozens?)\b", re.IGNORECASE)
_CLEARLY_MORE, _CLEARLY_LESS = 0.4, -0.3
"""*About twelve* of six is another number; *about seven* is not (common practice, no source)."""


def _counts_nothing(talk: Talk, figure: Figure, off: float, *, listed: bool) -> bool:
    """Whether a number that is off tells nothing: *one lemon* of two, but for a list; *a few* of six, *about seven* of six."""
    if figure.idle or figure.unit:
        return figure.idle
    if figure.about and (
        _CLEARLY_LESS < off < _CLEARLY_MORE or _LOOSE_COUNT.search(talk.text[figure.start : figure.end])
    ):
        return True
    return figure.low == figure.high == 1 and not listed


_STATES = frozenset({"dried", "dry", "uncooked", "raw", "cooked", "boiled", "canned", "tinned", "frozen", "fresh"})
"""Words that make another weight of the same food."""
_WORDS_OF_A_STATE = 4


def _of_another_state(talk: Talk, figure: Figure, ingredient: Ingredient) -> bool:
    """*A cup of dried chickpeas*, where the recipe has them cooked."""
    said = _STATES & set(words_of(talk.sentence(figure.start, figure.end, words=_WORDS_OF_A_STATE)[1]))
    own = _STATES & {*words_of(ingredient.name), *words_of(ingredient.food.name), *words_of(ingredient.prep)}
    return bool(said and own) and not said & own


def _of_some_pieces(figure: Figure, addition: Addition) -> bool:
    """*Eight pieces* of what is weighed: a piece is as large as it is cut."""
    amount = addition.amount
    return figure.unit == "piece" and amount is not None and amount.kind is not Kind.COUNT


_IN_ALL = LazyPattern(r"\b(?:in all|in total|total|altogether|all together|overall|whole)\b", re.IGNORECASE)
_AT_A_STEP_MS = 20_000


def _too_far(off: float, sure: float) -> bool:
    return sure < _VERY_SURE and not 1 / _FAR_OFF <= off + 1 <= _FAR_OFF


def _fits_elsewhere(figure: Figure, meant: Sequence[tuple[Dish, Ingredient]], near: Near) -> bool:
    """Whether it is what goes in at another step, further from the moment."""
    keys = {(dish.file, i.key) for dish, i in meant}
    others = [a for p in near.all for a in p.step.additions if (p.dish.file, a.ingredient.key) in keys]
    return len(others) > 1 and any(_off(figure, a, vague=False) == 0 for a in others)


def _near_a_part(due: Sequence[_Due], near: Near, moment: int) -> bool:
    """Whether the moment stands at a step at which only some of it goes in."""
    first = due[0].step
    if first is None:
        return False
    share = due[0].addition.share
    at = next((p.time_ms for p in near.all if p.step is first), None)
    return share is not None and share < 1 and at is not None and abs(at - moment) <= _AT_A_STEP_MS


def _around(talk: Talk, figure: Figure) -> str:
    return " ".join(talk.sentence(figure.start, figure.end, words=8))


def _due(meant: Sequence[tuple[Dish, Ingredient]], near: Near, moment: int) -> list[_Due]:
    """What may be meant, the likeliest first: the additions of the steps about the moment, then the wholes."""
    keys = {(dish.file, i.key) for dish, i in meant}
    steps = [
        (p, a) for p in near.by_distance(moment) for a in p.step.additions if (p.dish.file, a.ingredient.key) in keys
    ]
    if steps and steps[0][0].time_ms is not None and steps[0][0].confidence >= SURE:
        reach = abs(steps[0][0].time_ms - moment) + _ALSO_NEAR_MS
        steps = [(p, a) for p, a in steps if p.time_ms is None or abs(p.time_ms - moment) <= reach]
    found = [_Due(a, p.dish, p.step) for p, a in steps]
    for dish, ingredient in meant:
        found += [_Due(whole, dish, None) for whole in _wholes(ingredient)]
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


def _off(figure: Figure, addition: Addition, *, vague: bool) -> float | None:
    """By what share the amount is more or less than is due; 0 where it is as near as it is spoken, None where the two cannot
    be compared."""
    if figure.low <= 0:
        return None
    least, most = (
        to_common_unit(SpokenFigure(value, figure.unit, figure.about, 0, 0), addition)
        for value in (figure.low, figure.high)
    )
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
        off = _off(figure, addition, vague=False)
        if off is not None:
            offs.append(off)
        elif not figure.unit and addition.amount is not None:
            shares = [float(figure.low) / due - 1 for due in (float(addition.amount.value), addition.grams) if due]
            offs += [share for share in shares if 1 / _FAR_OFF < share + 1 < _FAR_OFF]
    return min(offs, key=abs, default=None)


def _outside(low: float, high: float, room: float) -> float:
    """By how much the nearer end of a range of shares is off; 0 where nothing is, but for the room."""
    return 0.0 if low <= room and high >= -room else min(low, high, key=abs)


def _how_far(off: float) -> str:
    percent = round_half_up(abs(off) * 100)
    return difference_words(percent if off > 0 else -percent) if percent else ""


def _recipe(due: _Due, vague: str) -> str:
    addition = due.addition
    measure = addition.household
    grams = grams_text(addition) if addition.grams is None else format_grams(addition.scale_g or 0.0)
    card = grams + (f" ({measure})" if measure else "") + (" for each serving" if due.of_each else "")
    taken = f"; {taken_as(vague)}" if vague else ""
    if due.step is None:
        return f"{due.dish.short} has {card} of it in all{taken}"
    return f"{card} goes in at step {due.step.number} ({due.step.id}){taken}"
