"""Of which ingredient each spoken amount is: by its name beside it, the unit, the place in the cut and what was said before."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scriptkit.cut.claims.claim import Near
from scriptkit.cut.claims.food_words import LINKING
from scriptkit.cut.claims.name_mentions import (
    WHOLE,
    NameMention,
    Owner,
    TalkWord,
    alike,
    food_words,
)
from scriptkit.cut.claims.owner_chain import shares
from scriptkit.cut.claims.owner_weights import weight_of
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.measure.amounts import Amount, Kind, canonical_unit
from scriptkit.measure.figures import Figure
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Ingredient

_AFTER, _BEFORE = 14, 9
"""Words after and before a figure in which its ingredient may be named."""
_LONGEST_NAME = 12
"""Words that a name has at most."""
_TOGETHER = 40
"""Words within which two figures are of one list."""
_UNNAMED = 5
"""How many ingredients that nobody names are tried for a figure."""
_SIZES = frozenset({"small", "medium", "large", "extra_large", "jumbo", "piece"})
_PACKS = frozenset("can jar bottle package pack bag box carton tin packet container tub stick block".split())  # noqa: SIM905
_OTHER_THINGS = frozenset(
    """
    inch inche piece pieces time portion people person batch layer part way thing side half day year week percent more serving
    hundred thousand burger round roll slice person meatball ball degree guest friend video step recipe number kid color colour
    point star minute second hour bit at last another place on in
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_ALTERNATIVES = frozenset("if instead or like usually could last per each would normally otherwise prefer".split())  # noqa: SIM905
_ELSEWHERE = frozenset(
    """
    into in onto on to with and for over from at then until till plus that which so than but or as if when while goes go going
    after before because since minus make makes gives each times add have got put need take use now next
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_IT = (["it"], ["that"], ["this"], ["them"], ["those"], ["these"])
_WHICH, _IS = frozenset({"which", "that", "that's"}), frozenset({"is", "are", "was", "that's"})
_SAME_AGAIN = frozenset("or that's which is so about that it equals".split())  # noqa: SIM905


class AmountChoice(NamedTuple):
    """What a figure may be of; ``owner`` is None for nothing of the recipe, ``mention`` where nobody names it."""

    owner: Owner | None
    mention: NameMention | None
    features: dict[str, float]


class OwnedAmount(NamedTuple):
    """``owners``: who may own the figure, the likeliest first, each with how likely it is, 0 to 1; ``nobody``: how likely it is
    of nothing that the recipe has; ``named``: whether the likeliest is named beside it."""

    number: int
    owners: tuple[tuple[Owner, float], ...]
    nobody: float
    named: bool


class Row(NamedTuple):
    """The figures of a talk that may be amounts, with the choices of each."""

    numbers: tuple[int, ...]
    choices: tuple[tuple[AmountChoice, ...], ...]
    joins: tuple[tuple[tuple[tuple[str, ...], ...], ...], ...]
    """``joins[n][b][c]``: what tells of choosing ``c`` for the figure after the one for which ``b`` is chosen."""


def owned_amounts(row: Row) -> list[OwnedAmount]:
    """Who owns each figure of the row, judged together."""
    nodes = [[weight_of(c.features) for c in of_one] for of_one in row.choices]
    steps = [[[weight_of(names) for names in to] for to in of_one] for of_one in row.joins]
    found = []
    for number, choices, share in zip(row.numbers, row.choices, shares(nodes, steps), strict=True):
        by: dict[Owner, float] = {}
        named: dict[Owner, float] = {}
        for choice, p in zip(choices, share, strict=True):
            if choice.owner is not None:
                by[choice.owner] = by.get(choice.owner, 0.0) + p
                named[choice.owner] = named.get(choice.owner, 0.0) + p * (choice.mention is not None)
        ranked = tuple(sorted(by.items(), key=lambda one: -one[1]))
        sure = bool(ranked) and named[ranked[0][0]] * 2 >= ranked[0][1]
        found.append(OwnedAmount(number, ranked, share[0], sure))
    return found


def amount_row(
    talk: Talk,
    figures: Sequence[Figure],
    numbers: Sequence[int],
    near: Near,
    dishes: Sequence[Dish],
    words: Sequence[TalkWord],
    mentions: Sequence[NameMention],
) -> Row:
    """The choices of the figures of these numbers, by the talk's words and the names in them."""
    if not numbers:
        return Row((), (), ())
    place = _WordAt(words)
    spots = _spots(near, dishes)
    spans = {n: (place.at(figures[n].start), place.at(figures[n].end - 1)) for n in range(len(figures))}
    scene = _Scene(
        talk, words, mentions, [m.first for m in mentions], dishes, spots, [spans[m] for m in range(len(figures))]
    )
    choices = [tuple(scene.choices(n, figures[n])) for n in numbers]
    joins = []
    for (m, n), (before, after) in zip(itertools.pairwise(numbers), itertools.pairwise(choices), strict=True):
        gap = [w.text for w in words[spans[m][1] + 1 : spans[n][0]]]
        joins.append(tuple(tuple(_join(a, b, gap) for b in after) for a in before))
    return Row(tuple(numbers), tuple(choices), tuple(joins))


class _WordAt:
    def __init__(self, words: Sequence[TalkWord]) -> None:
        self.starts = [w.start for w in words]

    def at(self, place: int) -> int:
        """The number of the word that the character belongs to."""
        return max(0, bisect.bisect_right(self.starts, place) - 1)


def _spots(near: Near, dishes: Sequence[Dish]) -> dict[Owner, list[tuple[int, float]]]:
    """Owner → when the steps at which it goes in stand in the cut, and how sure that is."""
    number = {dish.file: n for n, dish in enumerate(dishes)}
    found: dict[Owner, list[tuple[int, float]]] = {}
    for p in near.all:
        if p.time_ms is None or p.dish.file not in number:
            continue
        keys = {i.key: n for n, i in enumerate(dishes[number[p.dish.file]].ingredients)}
        for key in {a.ingredient.key for a in p.step.additions} | {i.key for i in p.step.uses}:
            if key in keys:
                found.setdefault(Owner(number[p.dish.file], keys[key]), []).append((p.time_ms, p.confidence))
    return found


class _Scene(NamedTuple):
    talk: Talk
    words: Sequence[TalkWord]
    mentions: Sequence[NameMention]
    firsts: Sequence[int]
    """Where each mention begins, to find those about a figure among any number of them."""
    dishes: Sequence[Dish]
    spots: dict[Owner, list[tuple[int, float]]]
    spans: Sequence[tuple[int, int]]

    def choices(self, number: int, figure: Figure) -> list[AmountChoice]:
        """Nothing first, then every ingredient that is named about the figure, then those that may be meant unnamed."""
        first, last = self.spans[number]
        found = [AmountChoice(None, None, self._nothing(figure, first, last))]
        named: set[Owner] = set()
        for mention in self._about(first, last):
            for owner in mention.owners:
                named.add(owner)
                found.append(AmountChoice(owner, mention, self._named(number, figure, mention, owner)))
        plainly = any(m.how == WHOLE and last < m.first <= last + 2 for m in self._about(first, last))
        if figure.unit and figure.unit not in _SIZES and not plainly:
            found += self._unnamed(figure, last, named)
        return found

    def _about(self, first: int, last: int) -> list[NameMention]:
        near = self._beginning(first - _BEFORE - _LONGEST_NAME, last + _AFTER + 1)
        return [m for m in near if first - _BEFORE <= m.last < first or last < m.first]

    def _beginning(self, lo: int, hi: int) -> Sequence[NameMention]:
        """The mentions that begin in these words."""
        return self.mentions[bisect.bisect_left(self.firsts, lo) : bisect.bisect_left(self.firsts, hi)]

    def _figures_about(self, number: int) -> Iterator[int]:
        """The figures before and after, as far as a name is looked for."""
        reach = _AFTER + _BEFORE
        yield from range(max(0, number - reach), number)
        yield from range(number + 1, min(len(self.spans), number + reach + 1))

    def _after(self, last: int, count: int) -> list[str]:
        return [w.text for w in self.words[last + 1 : last + 1 + count]]

    def _nothing(self, figure: Figure, first: int, last: int) -> dict[str, float]:
        named = next((m.first for m in self._beginning(last + 1, last + 4)), last + 4)
        after = self._after(last, named - last - 1)
        before = [w.text for w in self.words[max(0, first - 6) : first]]
        return {
            "nothing": 1.0,
            "nothing: no unit": float(not figure.unit),
            "nothing: a size": float(figure.unit in _SIZES),
            "nothing: idle": float(figure.idle),
            "nothing: a thing": float(figure.of_a_thing),
            "nothing: of another thing": float(bool(set(after[:2]) & _OTHER_THINGS)),
            "nothing: alternative": float(bool(set(before[-4:]) & _ALTERNATIVES)),
            "nothing: each": float(after[:1] in (["each"], ["apiece"], ["per"])),
            "nothing: one": float(not figure.unit and figure.low == figure.high == 1),
            "nothing: of": float(after[:1] == ["of"]),
            "nothing: another": float(before[-1:] == ["another"]),
        }

    def _named(self, number: int, figure: Figure, mention: NameMention, owner: Owner) -> dict[str, float]:
        first, last = self.spans[number]
        ahead = mention.first > last
        lo, hi = (last + 1, mention.first) if ahead else (mention.last + 1, first)
        gap = self.words[lo:hi]
        between = [w.text for w in gap if w.text not in _PACKS]
        start, end = (
            (figure.end, self.words[mention.first].start) if ahead else (self.words[mention.last].end, figure.start)
        )
        marks = self.talk.text[start:end]
        followed_by_of = self._after(last, 1) == ["of"]
        side = "after" if ahead else "before"
        inside = self._beginning(lo, hi)
        others = sum(1 for m in inside if m.last < hi)
        figures = sum(1 for n in self._figures_about(number) if lo <= self.spans[n][0] and self.spans[n][1] < hi)
        told = [w for w in between if w not in ("of", "the", "a", "an")]
        leads = not ahead and bool(told) and all(w in LINKING for w in told)
        of_it = followed_by_of and self._after(last, 2)[1:] in _IT
        known = food_words()
        own = set(words_of(self.dishes[owner.dish].ingredients[owner.ingredient].name))
        strange = sum(
            1
            for w in told
            if w in known
            and w not in own
            and not any(m.first <= n <= m.last for m in inside for n in range(lo, hi) if self.words[n].text == w)
        )
        return {
            "named": 1.0,
            f"named {side}": 1.0,
            f"named {side}: distance": math.log1p(len(told)),
            f"named {side}: next to it": float(not told),
            "named after of": float(ahead and followed_by_of),
            "named before of": float(not ahead and followed_by_of and not of_it),
            "named before: of it": float(not ahead and of_it),
            f"named {side}: sentence ends": float(any(c in marks for c in ".!?;")),
            f"named {side}: comma": float("," in marks),
            f"named {side}: elsewhere": 0.0 if leads else min(2.0, sum(w in _ELSEWHERE for w in told)),
            f"named {side}: other names between": min(2.0, float(others)),
            f"named {side}: another food between": min(2.0, float(strange)),
            f"named {side}: figures between": min(2.0, float(figures)),
            "named before: leads over": float(leads),
            "named before: which is": float(leads and bool(_WHICH & set(told)) and bool(_IS & set(told))),
            f"by {mention.how}": 1.0,
            **_of_count(figure, self.dishes[owner.dish].ingredients[owner.ingredient], told if ahead else None),
            **self._of_unit(figure, owner, "named"),
            **self._of_place(figure, owner, "named"),
        }  # fmt: skip

    def _of_unit(self, figure: Figure, owner: Owner, what: str) -> dict[str, float]:
        ingredient = self.dishes[owner.dish].ingredients[owner.ingredient]
        fit = _unit_fit(figure, ingredient)
        if (
            fit == "of another kind"
            and (unit := canonical_unit(figure.unit)) is not None
            and Amount(figure.low, unit).kind is Kind.COUNT
        ):
            return {f"{what}: pieces of what is measured": 1.0}
        return {f"{what}: {'comparable' if fit not in _NO_MEASURE else fit}": 1.0}

    def _of_place(self, figure: Figure, owner: Owner, what: str) -> dict[str, float]:
        moment = self.talk.ms_at(figure.start)
        spots = self.spots.get(owner, [])
        if not spots:
            return {f"{what}: not placed": 1.0}
        off = min(abs(ms - moment) / 1000 for ms, _ in spots)
        return {f"{what}: at its step": float(off < 15), f"{what}: far from its step": math.log1p(off / 30)}

    def _unnamed(self, figure: Figure, last: int, named: set[Owner]) -> list[AmountChoice]:
        """Ingredients of a fitting unit that a recogniser may have made other words of, the most alike first."""
        after = self._after(last, 7)
        of = after[:1] == ["of"]
        split = (
            of and len(after) > 2 and after[1] in ("to", "in", "on", "at", "for", "and", "or", "so")
        )  # grams of to heenie
        near = self._beginning(last - _LONGEST_NAME, last + 7)
        named_words = {n for m in near for n in range(m.first, m.last + 1) if last < n <= last + 6}
        said = [
            w
            for n, w in enumerate(
                itertools.takewhile(lambda w: w not in _ELSEWHERE, after[2 * split :]), last + 1 + 2 * split
            )
            if n not in named_words and w not in ("of", "the", "a") and len(w) > 2
        ][:3]
        said = [after[1] + said[0], *said[1:]] if split and said else said
        ranked: list[tuple[float, Owner, str]] = []
        for d, dish in enumerate(self.dishes):
            for n, ingredient in enumerate(dish.ingredients):
                owner = Owner(d, n)
                fit = _unit_fit(figure, ingredient)
                if owner in named or fit not in ("as written", "of its kind"):
                    continue
                sound = alike(said, ingredient.name)
                ranked.append((sound + 0.3 * (fit == "as written"), owner, fit))
        found = []
        for _, owner, fit in sorted(ranked, key=lambda one: (-one[0], one[1]))[:_UNNAMED]:
            sound = alike(said, self.dishes[owner.dish].ingredients[owner.ingredient].name)
            features = {
                "unnamed": 1.0,
                f"unnamed: unit {fit}": 1.0,
                "unnamed: alike": sound,
                "unnamed: much alike": float(sound >= 0.75),
                "unnamed: of": float(of),
                **self._of_place(figure, owner, "unnamed"),
            }
            found.append(AmountChoice(owner, None, features))
        return found


def _of_count(figure: Figure, ingredient: Ingredient, between: Sequence[str] | None) -> dict[str, float]:
    """*One chopped tomato*, *two eggs*: a bare number before the name of what is counted, with nothing or only how it is prepared between."""
    counted = ingredient.amount is not None and ingredient.amount.kind is Kind.COUNT
    if between is None or not counted or (figure.unit and figure.unit not in _SIZES):
        return {}
    plain = not set(between) & (_ELSEWHERE | _OTHER_THINGS)
    return {
        "a count: next to it": float(not between),
        "a count: near it": float(0 < len(between) <= _A_FEW_WORDS and plain),
        "a count: one": float(
            not figure.unit and figure.low == figure.high == 1 and len(between) <= _A_FEW_WORDS and plain
        ),
    }


_A_FEW_WORDS = 3
_NO_MEASURE = frozenset({"to taste", "a number of what is weighed", "of no amount"})


def _unit_fit(figure: Figure, ingredient: Ingredient) -> str:
    """How the unit that is said goes with the one that is written."""
    amount = ingredient.amount
    if amount is None:
        return "to taste"
    if not figure.unit:
        return "a bare count" if amount.kind is Kind.COUNT else "a number of what is weighed"
    unit = canonical_unit(figure.unit)
    if unit is None:
        return "of no amount"
    if unit == amount.unit or (unit in _SIZES and amount.unit in _SIZES):
        return "as written"
    said = Amount(figure.low, unit).kind
    return "of its kind" if said is amount.kind and said is not Kind.COUNT else "of another kind"


def _join(one: AmountChoice, other: AmountChoice, gap: Sequence[str]) -> tuple[str, ...]:
    """What tells of choosing both, one after the other; nothing where they stand far apart."""
    if len(gap) > _TOGETHER:
        return ()
    if one.owner is None or other.owner is None:
        return ("join: nothing twice",) if one.owner is other.owner else ("join: nothing beside something",)
    found = []
    if one.owner == other.owner:
        again = len(gap) <= 6 and bool(set(gap) & _SAME_AGAIN)
        found.append("join: said again in another way" if again else "join: the same again")
    elif one.owner.dish == other.owner.dish:
        order = other.owner.ingredient - one.owner.ingredient
        found.append(
            "join: next of the list"
            if order == 1
            else "join: later in the list"
            if order > 1
            else "join: earlier in the list"
        )
    a, b = one.mention, other.mention
    if a is not None and b is not None:
        if a is b:
            found.append("join: one name for two")
        elif b.first < a.first:
            found.append("join: names crossed")
    return tuple(found)
