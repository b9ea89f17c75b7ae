"""Amounts that are spoken of an ingredient, held against what goes in at the step and in all."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from scriptkit.cut.claims.amount_owners import OwnedAmount, amount_row, owned_amounts
from scriptkit.cut.claims.apposed_figures import of_its_own_food
from scriptkit.cut.claims.bound_figures import bound
from scriptkit.cut.claims.claim import AMOUNT, Claim, Near, claimed
from scriptkit.cut.claims.due_amounts import FAR_OFF, Due, due_amounts, how_far, off_by, only_touches, recipe_words
from scriptkit.cut.claims.food_words import FoodNames, named_by, per_piece, said_of_each
from scriptkit.cut.claims.name_mentions import NameMention, TalkWord, mentions_of_talk, words_of_talk
from scriptkit.cut.claims.part_claims import part_claims
from scriptkit.cut.claims.shared_figures import several
from scriptkit.cut.claims.vague_measures import OF_FINGERS, vague_in
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.amounts import Cups, Kind, canonical_unit
from scriptkit.measure.figures import Figure
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Addition, Dish, Ingredient
from scriptkit.recipe.each import share_of

_BESIDE = 160
"""Characters beside a figure in which its food may be named."""


class OfFigure(NamedTuple):
    """The claim that a figure makes; ``sure``: how likely it is of what it is said to be of."""

    figure: Figure
    claim: Claim
    sure: float


SURELY, MAYBE = 0.55, 0.35
"""How likely an owner must be before a difference is told, and before a moment is given to listen to (learned in folds)."""
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
    words = words_of_talk(talk.text)
    mentions = mentions_of_talk(talk.text, tuple(dishes))
    shared = _shared(talk, figures, numbers, words, mentions)
    numbers = [n for n in numbers if n not in shared]
    yield from part_claims(talk, figures, near, dishes, words, mentions)
    for number, named in shared.items():
        for mention in named:
            one_of = [(dishes[o.dish], dishes[o.dish].ingredients[o.ingredient]) for o in mention.owners]
            yield from _claim(talk, figures[number], one_of, near, _VERY_SURE, listed=True, several=True)
    all_owned = owned_amounts(amount_row(talk, figures, numbers, near, dishes, words, mentions))
    all_owned = [bound(o, figures[o.number], talk.text, words, mentions) for o in all_owned]
    all_owned = [of_its_own_food(o, figures[o.number], talk, near, dishes, words, mentions) for o in all_owned]
    found: list[OfFigure] = []
    for before, owned, after in zip([None, *all_owned], all_owned, [*all_owned[1:], None], strict=False):
        if owned.owners:
            figure = figures[owned.number]
            listed = any(_is_beside(owned, other, figures) for other in (before, after) if other)
            claims = _of_its_owner(talk, figure, owned, near, dishes, listed=listed)
            found += [OfFigure(figure, c, owned.owners[0][1]) for c in claims]
    yield from settled(found, near)
    for figure, word in vague:
        since, until = max(0, figure.start - _BESIDE), figure.end + _BESIDE
        meant = named_by(figure, talk.text, until, since, names)
        yield from _claim(talk, figure, meant, near, 1.0, word)


def _shared(
    talk: Talk,
    figures: Sequence[Figure],
    numbers: Sequence[int],
    words: Sequence[TalkWord],
    mentions: Sequence[NameMention],
) -> dict[int, list[NameMention]]:
    """The figures that are of each of several ingredients, and these."""
    found = ((n, several(figures[n], talk.text, words, mentions, figures)) for n in numbers)
    return {n: named for n, named in found if named}


_OF_ONE_LIST = 45
"""Characters between two figures of one list (common practice, no source)."""


def settled(found: Sequence[OfFigure], near: Near) -> Iterator[Claim]:
    """What differs judged once more by what is said rightly: where the step's own amount is said, a second figure beside it may be what
    goes in at another step: *a tablespoon of the stock here, and the other three quarters of a cup later*."""
    for one in found:
        claim = one.claim
        told = not claim.agrees and claim.step is not None and any(_says_its_own(claim, o.claim) for o in found)
        yield next(_as_another_part(one, near), _less_sure(one)) if told else claim


def _less_sure(one: OfFigure) -> Claim:
    """To be listened to, unless it is very sure whose it is: it may be of a pack, or of another cook's way."""
    return one.claim if one.sure >= _VERY_SURE else replace(one.claim, agrees=None)


_SOON_MS = 60_000


def _says_its_own(claim: Claim, other: Claim) -> bool:
    """Whether the other is what goes in at the same step, said rightly and soon before or after."""
    same = other.agrees is True and other.step is not None and other.step is claim.step
    return same and other.subject == claim.subject and abs(other.time_ms - claim.time_ms) <= _SOON_MS


def _as_another_part(one: OfFigure, near: Near) -> Iterator[Claim]:
    """The claim, where the figure is exactly what goes in at another step."""
    for p in near.by_distance(one.claim.time_ms):
        for a in p.step.additions:
            same = p.dish is one.claim.dish and a.ingredient.name == one.claim.subject
            if same and p.step is not one.claim.step and off_by(one.figure, a, vague=False) == 0:
                due = Due(a, p.dish, p.step)
                yield replace(one.claim, agrees=True, off="", recipe=recipe_words(due, ""), step=p.step)


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
    several: bool = False,
) -> Iterator[Claim]:
    if not meant:
        return
    moment = talk.ms_at(figure.start)
    due = due_amounts(meant, near, moment)
    if each := said_of_each(figure, talk.text) and not several:
        due = [
            Due(one, d.dish, d.step, of_each=True)
            for d in due
            if (one := share_of(d.addition, d.dish.servings)) is not None
        ]
    elif written := [d for d in due if d.addition.each is not None]:
        due += [
            Due(one, d.dish, d.step, of_each=True)
            for d in written
            if (one := share_of(d.addition, d.dish.servings)) is not None
        ]
    compared = [(d, off) for d in due if (off := off_by(figure, d.addition, vague=bool(vague))) is not None]
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
    if off and sure < MAYBE_FAR and not 1 / FAR_OFF <= off + 1 <= FAR_OFF:
        return
    not_written = bool(each) and all(
        d.addition.each is None for d in due_amounts(meant, near, moment)
    )  # how many there are
    other = _of_another_state(talk, figure, best.addition.ingredient) or _of_some_pieces(figure, best.addition)
    at_a_part = _near_a_part(due, near, moment)
    elsewhere = not at_a_part and _fits_elsewhere(figure, meant, near)
    before, after = talk.sentence(figure.start, figure.end, words=_WORDS_AFTER_IF)
    other = (
        other
        or _IF.search(before) is not None
        or (not figure.unit and _FOR_A_PART.search(f"{before} | {after}") is not None)
    )
    if (off and (not_written or other or sure < SURELY or _too_far(off, sure) or vague in OF_FINGERS or elsewhere)) or (
        not off and only_touches(figure, best.addition)
    ):
        agrees = None
    elif not off and best.step is None and at_a_part and not _IN_ALL.search(_around(talk, figure)):
        agrees = None  # all of it, where a part goes in
    yield claimed(
        AMOUNT, talk, figure, best.addition.ingredient.name, agrees,
        recipe=recipe_words(best, vague), off=how_far(off), dish=best.dish, step=best.step,
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
_SAME_STATE = {"dry": "dried", "uncooked": "raw", "boiled": "cooked", "tinned": "canned"}
_WORDS_OF_A_STATE = 4


def _of_another_state(talk: Talk, figure: Figure, ingredient: Ingredient) -> bool:
    """*A cup of dried chickpeas*, where the recipe has them cooked."""
    said = _STATES & set(words_of(talk.sentence(figure.start, figure.end, words=_WORDS_OF_A_STATE)[1]))
    own = _STATES & {*words_of(ingredient.name), *words_of(ingredient.food.name), *words_of(ingredient.prep)}
    alike = {_SAME_STATE.get(w, w) for w in said} & {_SAME_STATE.get(w, w) for w in own}
    return bool(said and own) and not alike


def _of_some_pieces(figure: Figure, addition: Addition) -> bool:
    """*Eight pieces* of what is weighed: a piece is as large as it is cut."""
    amount = addition.amount
    return figure.unit == "piece" and amount is not None and amount.kind is not Kind.COUNT


_IF = LazyPattern(r"\b(?:if|instead|otherwise|unless|usually|normally)\b", re.IGNORECASE)
"""Before an amount: it may be of another way to do it."""
_FOR_A_PART = LazyPattern(r"\b(?:for|per) \| of an?\b", re.IGNORECASE)
"""*A teaspoon for a quarter of a cabbage*: how much is counted on, and not how much there is."""
_WORDS_AFTER_IF = 8
_IN_ALL = LazyPattern(r"\b(?:in all|in total|total|altogether|all together|overall|whole)\b", re.IGNORECASE)
_AT_A_STEP_MS = 30_000


def _too_far(off: float, sure: float) -> bool:
    return sure < _VERY_SURE and not 1 / FAR_OFF <= off + 1 <= FAR_OFF


def _fits_elsewhere(figure: Figure, meant: Sequence[tuple[Dish, Ingredient]], near: Near) -> bool:
    """Whether it is what goes in at another step, further from the moment."""
    keys = {(dish.file, i.key) for dish, i in meant}
    others = [a for p in near.all for a in p.step.additions if (p.dish.file, a.ingredient.key) in keys]
    return len(others) > 1 and any(off_by(figure, a, vague=False) == 0 for a in others)


def _near_a_part(due: Sequence[Due], near: Near, moment: int) -> bool:
    """Whether the moment stands at a step at which only some of it goes in."""
    first = due[0].step
    if first is None:
        return False
    share = due[0].addition.share
    at = next((p.time_ms for p in near.all if p.step is first), None)
    return share is not None and share < 1 and at is not None and abs(at - moment) <= _AT_A_STEP_MS


def _around(talk: Talk, figure: Figure) -> str:
    return " ".join(talk.sentence(figure.start, figure.end, words=8))
