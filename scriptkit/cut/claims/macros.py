"""Macros, ratios and serving weights that are spoken, held against the computed ones and against one another."""

from __future__ import annotations

import functools
import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import takewhile
from typing import NamedTuple

from scriptkit.cut.claims.claim import MACROS, SERVING, SUM, SURE, Claim, Near, claimed
from scriptkit.cut.claims.dish_mentions import called, named_before
from scriptkit.cut.claims.food_words import FoodNames
from scriptkit.cut.claims.macro_words import SCOPES, MacroFigure, scopes_of
from scriptkit.cut.transcript.running_text import Talk, words_in
from scriptkit.measure.figures import PERCENT, TO_ONE, Figure
from scriptkit.measure.numbers import format_number
from scriptkit.measure.unit_system import G_PER_OUNCE
from scriptkit.measure.words import ONES, TENS
from scriptkit.nutrition.basis import Basis, to_basis
from scriptkit.nutrition.dish_meal_macros import AllMacros
from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.nutrition.ratios import ratios_of
from scriptkit.nutrition.rounding import Printed, digits_of, print_one, step_of
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Dish

ABOUT_MACRO = 0.05
"""How far a figure that is spoken as *about* may be off (common practice, no source)."""
_KCAL_TENS_FROM = 50
"""Energy is read out in tens from here, as labels round it (21 CFR 101.9(c)(1))."""
_SUM_WITHIN = 320
"""Characters in which total, fibre and net are one sum: some 20 s of speech."""
_AHEAD_MS = 1_000
"""Words run a little ahead of the picture (common practice, no source)."""
_GOES_ON = 200
"""Characters after *the plate* in which figures may still be of it, some 12 s of speech (common practice, no source)."""
_NAMED_AFTER = 6
"""Words after a figure in which its dish may be named; later ones belong to what comes next."""
_HAS = frozenset({"has", "have", "contains", "contain", "brings", "bring", "adds"})
_NAMED_RATIO = LazyPattern(r"\bfat\s+to\s+(protein|net|carb)", re.IGNORECASE)
_OF_A_RATIO = LazyPattern(r"\b(?:ratio|fat|keto\w*|macros?|protein)\b", re.IGNORECASE)
_A_SERVING = LazyPattern(
    r"\s*(?:,\s*)?(?:(?:per|a|an|each|for\s+(?:each|every|one))\s+(?:bowl|serving|portion|plate|person|head|fillet))\b",
    re.IGNORECASE,
)
_SERVING_IS = LazyPattern(
    r"\b(?:serving|portion|bowl|plate)\s+(?:of\s+(?:the\s+|this\s+|our\s+|your\s+)?(?P<dish>[^\W\d_]+(?:\s+[^\W\d_]+){0,2}?)\s+(?:is|weighs|comes\s+to)"
    r"|is|weighs|of|comes\s+to|at)\s+(?:about\s+|around\s+|roughly\s+)?$",
    re.IGNORECASE,
)
_SHARES = {"fat_g": 0, "protein_g": 1, "net_carbs_g": 2, "carbohydrate_g": 2}


@dataclass(frozen=True, kw_only=True)
class FoodFigures:
    """Some food that macros can be said of. ``scope``: serving, plate, 100 g or batch."""

    scope: str
    words: str
    macros: Macros
    dish: Dish | None

    @functools.cached_property
    def printed(self) -> Printed:
        """Rounded as every page prints it: what a cook reads out."""
        return print_one(self.macros)


def foods_of(macros: AllMacros) -> tuple[FoodFigures, ...]:
    """A serving, 100 g and the batch of each dish; of a meal also each portion, and last the plate."""
    foods = []
    for of in macros.dishes:
        dish = of.dish
        foods += [
            FoodFigures(scope="serving", words=f"a serving of {dish.short}", macros=of.serving, dish=dish),
            FoodFigures(scope="100 g", words=f"100 g of {dish.short}", macros=of.per_100_g, dish=dish),
            FoodFigures(scope="batch", words=f"the whole batch of {dish.short}", macros=of.batch, dish=dish),
        ]
    if (of_meal := macros.meal) is not None:
        for portion, _, portion_macros in of_meal.portions:
            foods.append(
                FoodFigures(
                    scope="serving",
                    words=f"{portion.words} of {portion.dish.short}",
                    macros=portion_macros,
                    dish=portion.dish,
                )
            )
        foods.append(FoodFigures(scope="plate", words="the whole plate", macros=of_meal.plate, dish=None))
    return tuple(foods)


class Table(NamedTuple):
    """The foods, and which of them are spoken of at a moment."""

    foods: tuple[FoodFigures, ...]
    near: Near
    names: FoodNames

    def meant(self, talk: Talk, figure: Figure) -> list[FoodFigures]:
        """Of the scope that the sentence names, and of the dish that it names, or else that was last worked at; where it
        does not say, all. A plate of one dish is its serving."""
        scopes = scopes_of(talk, figure) or self._still_of_the_plate(talk, figure)
        if "plate" in scopes and named_before(
            talk.sentence(figure.start, figure.end, words=25)[0], self._called, SCOPES["plate"]
        ):
            scopes -= {"plate"}  # of the dish: what is said of the plate comes next
        if "plate" in scopes and not any(f.scope == "plate" for f in self.foods):
            scopes |= {"serving"}
        found = [f for f in self.foods if f.scope in scopes] or list(self.foods)
        dishes, named = self._dishes(talk, figure)
        if not named and self._of_an_ingredient(talk, figure):
            return []
        of_dish = [f for f in found if (f.dish.file in dishes if f.dish else not named)]
        return (of_dish or found) if dishes else found

    @property
    def _called(self) -> dict[str, str]:
        """Word → file of the dish that is called by it."""
        return {word: dish.file for word, dish in called(f.dish for f in self.foods if f.dish is not None).items()}

    def dishes_called(self, words: str) -> set[str]:
        """The files of the dishes that are called by one of the words."""
        return {self._called[w] for w in words_of(words) if w in self._called}

    def _still_of_the_plate(self, talk: Talk, figure: Figure) -> set[str]:
        """*The whole plate has 482 calories. That is twelve net*: figures go on with what they began with, until a dish is named."""
        before = talk.text[max(0, figure.start - _GOES_ON) : figure.start]
        said = [(m.start(), name) for name, pattern in SCOPES.items() for m in pattern.finditer(before)]
        if not said or max(said)[1] != "plate":
            return set()
        return set() if self._called.keys() & set(words_of(before[max(said)[0] :])) else {"plate"}

    def _of_an_ingredient(self, talk: Talk, figure: Figure) -> bool:
        """*The cream has five grams of carbs*: of it alone, which is no claim about the dish."""
        before = words_in(talk.sentence(figure.start, figure.end)[0])
        verb = next((n for n in range(len(before) - 1, -1, -1) if before[n] in _HAS), None)
        return verb is not None and bool(self.names.first_in(before[max(0, verb - 3) : verb]))

    def _dishes(self, talk: Talk, figure: Figure) -> tuple[set[str], bool]:
        """Files of the dishes that are spoken of, and whether they are named."""
        before, after = talk.sentence(figure.start, figure.end, words=25)
        known = self._called
        nearest_first = [*reversed(words_of(before)), *words_of(after)[:_NAMED_AFTER]]
        if named := next((known[word] for word in nearest_first if word in known), None):
            return {named}, True
        moment = talk.ms_at(figure.start)
        last = next((p for p in reversed(self.near.placed) if (p.time_ms or 0) <= moment + _AHEAD_MS), None)
        return ({last.dish.file} if last is not None and last.confidence >= SURE else set()), False


def macro_claims(talk: Talk, found: Sequence[MacroFigure], foods: Table) -> Iterator[Claim]:
    """One for each figure that is found, in the order in which they are said."""
    for one in found:
        yield _share(talk, one, foods) if one.figure.unit == PERCENT else _macro(talk, one, foods)


def _macro(talk: Talk, one: MacroFigure, foods: Table) -> Claim:
    subject = words_of_macro(one.macro)
    known = [(f, v) for f in foods.meant(talk, one.figure) for v in _values(f, one.macro)]
    if not known:
        return claimed(MACROS, talk, one.figure, subject, None)
    food, value = min(known, key=lambda k: _distance(one.figure, k[1]))
    agrees = _distance(one.figure, value) <= _room(one, value)
    if not agrees:  # of several, a serving is the likeliest to be meant
        servings = [k for k in known if k[0].scope == "serving"] or known
        food, value = min(servings, key=lambda k: _distance(one.figure, k[1]))
    unsure = not agrees and _OF_SOME.search(talk.sentence(one.figure.start, one.figure.end, words=16)[0]) is not None
    unit = one.macro.rsplit("_", 1)[1]
    digits = digits_of(one.macro)
    printed = food.printed.figures[one.macro]
    shown = value if printed is None else printed
    within = not agrees and not one.figure.bound and one.figure.grain >= 1 and _in_range(one.figure, food, one.macro)
    return claimed(
        MACROS, talk, one.figure, subject, None if within or unsure else agrees,
        recipe=f"{food.words} has {shown:.{digits}f} {unit}" + (WITHIN_RANGE if within else ""),
        off=f"{_distance(one.figure, shown):.{digits}f} {unit} too {'much' if one.figure.low > shown else 'little'}",
        dish=food.dish,
    )  # fmt: skip


_NO_PIECES = r"servings?|portions?|bowls?|plates?|hundred|grams?|g|people|net|carb\w*|fat|protein\w*|fib\w*|k?cal\w*|percent|point|to|and|or|minutes?"
_OF_SOME = LazyPattern(
    rf"(?<!point )\b(?:{'|'.join(ONES[2:13])})\s+(?!(?:{_NO_PIECES}|of (?!the|these|those|them|my|our|your)\w+|{'|'.join(ONES)}|{'|'.join(t for t in TENS if t)})\b)[a-z][^.!?]{{0,60}}"
    r"\b(?:is|are|has|have|gives?|makes?)\b[^.!?]{0,30}$|\b(?:themselves|(?:by|on) (?:its|their) own|alone|by itself)\b",
    re.IGNORECASE,
)
"""Before a figure: it is of so many pieces, or of a part without the rest: *three of the dumplings are*, *the noodles themselves*."""
WITHIN_RANGE = "; what is said lies within the range, not as on the card"


def _in_range(figure: Figure, food: FoodFigures, macro: str) -> bool:
    """Whether a whole figure lies where the food's own likely lies, though it is not the printed one; tenths are read off a card."""
    low, high = food.macros.ranges.get(macro, (0.0, -1.0))
    return low <= float(figure.low) <= float(figure.high) <= high


def _values(food: FoodFigures, macro: str) -> list[float]:
    """The computed figure, and the printed one; of carbohydrate and energy on either basis."""
    values = [food.macros.figure(macro), food.printed.figures[macro]]
    if macro in ("carbohydrate_g", "energy_kcal"):
        values.append(to_basis(food.macros, Basis.EU).figure(macro))
    return [v for v in values if v is not None]


def _distance(figure: Figure, value: float) -> float:
    kept = (figure.bound == "most" and value <= figure.high) or (figure.bound == "least" and value >= figure.low)
    if kept or float(figure.low) <= value <= float(figure.high):
        return 0.0
    return min(abs(float(figure.low) - value), abs(float(figure.high) - value))


def _room(one: MacroFigure, value: float) -> float:
    grain = float(one.figure.grain)
    if one.macro == "energy_kcal" and value >= _KCAL_TENS_FROM and one.figure.low % 10 == 0:
        grain = 10.0
    room = grain / 2 + step_of(one.macro) / 2 * (grain < 1) + 1e-9
    return max(room, value * ABOUT_MACRO, grain) if one.figure.about else room


def _share(talk: Talk, one: MacroFigure, foods: Table) -> Claim:
    """Percent of energy."""
    subject = f"energy from {words_of_macro(one.macro)}"
    place = _SHARES.get(one.macro)
    shares = [
        (f, s[place])
        for f in foods.meant(talk, one.figure)
        if place is not None and (s := ratios_of(f.macros).energy_shares)
    ]
    if not shares:
        return claimed(MACROS, talk, one.figure, subject, None)
    food, share = min(shares, key=lambda k: _distance(one.figure, k[1]))
    off = _distance(one.figure, share)
    return claimed(
        MACROS, talk, one.figure, subject, off <= (5 if one.figure.about else 1),
        recipe=f"{food.words} has {share}%", off=f"{off:.0f} points too {'much' if one.figure.low > share else 'little'}",
        dish=food.dish,
    )  # fmt: skip


# --- ratios -----------------------------------------------------------------------------------------------------------


def ratio_claims(talk: Talk, figures: Sequence[Figure], foods: Table) -> Iterator[Claim]:
    """*Two point six to one*, where fat, protein or a ratio is spoken of, held against the meaning that is said, or both."""
    for figure in figures:
        before, after = talk.sentence(figure.start, figure.end)
        if figure.unit != TO_ONE or not (_OF_A_RATIO.search(before) or _OF_A_RATIO.search(after)):
            continue
        known = [(f, r, w) for f in foods.meant(talk, figure) for r, w in ratios_of(f.macros).to_one if r is not None]
        if named := _NAMED_RATIO.search(before) or _NAMED_RATIO.search(after):
            to_protein = named[1].casefold() == "protein"
            known = [k for k in known if ("protein" in k[2]) == to_protein]
        if not known:
            yield claimed(MACROS, talk, figure, "the macro ratio", None)
            continue
        food, ratio, meaning = min(known, key=lambda k: _distance(figure, k[1]))
        off = _distance(figure, ratio)
        room = float(figure.grain) / 2 + 1e-9
        yield claimed(
            MACROS, talk, figure, "the macro ratio", off <= (max(room, 0.25) if figure.about else room),
            recipe=f"{food.words} has {ratio:.1f} : 1, {meaning}",
            off=f"{off:.1f} too {'much' if float(figure.low) > ratio else 'little'}", dish=food.dish,
        )  # fmt: skip


# --- total − fibre = net ----------------------------------------------------------------------------------------------


def sum_claims(talk: Talk, found: Sequence[MacroFigure]) -> Iterator[Claim]:
    """Total, fibre and net carbs that are said together must make a sum in the figures that are said."""
    starts = [m.figure.start for m in found]
    for net in found:
        if net.macro != "net_carbs_g" or net.figure.is_range:
            continue
        first = bisect_left(starts, net.figure.start - _SUM_WITHIN)
        last = bisect_right(starts, net.figure.start + _SUM_WITHIN)
        near = [m for m in found[first:last] if not m.figure.is_range]
        total, fibre = (_nearest([m for m in near if m.macro == macro], net) for macro in ("carbohydrate_g", "fibre_g"))
        if total is None or fibre is None:
            continue
        farther = max((total, fibre), key=lambda m: abs(m.figure.start - net.figure.start)).figure.start
        low, high = sorted((farther, net.figure.start))
        on = found[bisect_right(starts, high) : last]
        before_more = takewhile(lambda m: m.macro != "carbohydrate_g", on if high == farther else ())
        between = found[bisect_right(starts, low) : bisect_left(starts, high)]
        if any(m.macro == "net_carbs_g" for m in (*between, *before_more)):
            continue  # the sum is that one's
        due = total.figure.low - fibre.figure.low
        off = abs(net.figure.low - due)
        grain = max(m.figure.grain for m in (total, fibre, net))
        about = any(m.figure.about for m in (total, fibre, net))
        yield claimed(
            SUM, talk, net.figure, "net carbs", off * 2 <= grain or (about and off <= grain),
            recipe=f"total {_g(total.figure.low)} − fibre {_g(fibre.figure.low)} as they are said make {_g(due)}",
            off=f"{_g(off)} too {'much' if net.figure.low > due else 'little'}",
        )  # fmt: skip


def _nearest(found: Sequence[MacroFigure], net: MacroFigure) -> MacroFigure | None:
    return min(found, key=lambda m: abs(m.figure.start - net.figure.start), default=None)


def _g(value: Fraction) -> str:
    return f"{format_number(float(value), places=1)} g"


# --- what a serving weighs --------------------------------------------------------------------------------------------


_SERVED_IN = {"gram": 1.0, "ounce": G_PER_OUNCE}
"""What a serving is said to weigh in, and grams of one; ounces are said to a quarter."""


def serving_claims(talk: Talk, figures: Sequence[Figure], foods: Table, taken: set[int]) -> Iterator[tuple[int, Claim]]:
    """*Three hundred and twenty grams a bowl*; and the number of the figure."""
    for n, figure in enumerate(figures):
        after, before = (
            _A_SERVING.match(talk.text, figure.end),
            _SERVING_IS.search(talk.text[max(0, figure.start - 60) : figure.start]),
        )
        if n in taken or figure.unit not in _SERVED_IN or not (after or before):
            continue
        one_g = _SERVED_IN[figure.unit]
        weights = [(f, f.macros.weight_g) for f in foods.foods if f.scope in ("serving", "plate")]
        if before and before["dish"]:
            named = foods.dishes_called(before["dish"])
            weights = [(f, g) for f, g in weights if f.dish is not None and f.dish.file in named]
            if not weights:
                continue  # of another thing
        food, weight = min(weights, key=lambda k: _distance(figure, k[1] / one_g))
        off = _distance(figure, weight / one_g) * one_g
        yield n, claimed(
            SERVING, talk, figure, "a serving", off <= max(1.0, one_g / 8, weight * (0.05 if figure.about else 0.01)),
            recipe=f"{food.words} weighs {weight:.0f} g", off=f"{off:.0f} g too {'much' if float(figure.low) * one_g > weight else 'little'}",
            dish=food.dish,
        )  # fmt: skip
