"""Allergens of a dish or a meal, derived from its foods: contained, perhaps contained, and not known, by list.

What is strained out, left in the pan or added to taste counts like any other: a trace is enough.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from scriptkit.pantry.allergens import ANY, LISTS, Allergen, allergens
from scriptkit.recipe.dish import Dish, Ingredient, Meal

LIST_NAMES = {"us": "US", "eu": "EU"}


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundAllergen:
    """One entry of a list: ``kinds`` where it holds several foods (which nut, which cereal), and the ingredients that bring
    it, as the cook calls them; of a dish in the dish, ``cod of stock``."""

    name: str
    kinds: tuple[str, ...]
    by: tuple[str, ...]

    def __str__(self) -> str:
        what = f"{self.name}: {', '.join(self.kinds)}" if self.kinds else self.name
        return f"{what} ({', '.join(self.by)})"


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenList:
    """One of the two lists. What it may contain is a matter of the make: check the label."""

    name: str
    source: str
    contains: tuple[FoundAllergen, ...]
    may_contain: tuple[FoundAllergen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Allergens:
    """Both lists, the US one and the EU one, and what stands on neither."""

    us: AllergenList
    eu: AllergenList
    check_label: tuple[str, ...]
    """Compound foods whose make decides, and no allergen is likelier than another."""
    unknown: tuple[str, ...]
    """Ingredients whose label nobody has copied: not known, which is not *none*."""
    unconfirmed: tuple[str, ...] = ()
    """Ingredients of which it is a guess which food they are: not known either."""
    beside: tuple[FoundAllergen, ...]
    """On no list, and still avoided by some: coconut, chestnuts."""

    def lines(self) -> list[str]:
        """For the description, the card and the report: a line each, nothing to be added."""
        return _lines(self)


def allergens_of(source: Dish | Meal) -> Allergens:
    """The allergens of a dish, or of everything on a meal's plate."""
    carried = list(foods_in(source))
    sure = [(name, i) for name, i in carried if not guessed_food(i)]
    contains, may = _by_word(sure, may=False), _by_word(sure, may=True)
    beside = [a for a in allergens().values() if not a.us and not a.eu]
    return Allergens(
        us=_on("us", contains, may),
        eu=_on("eu", contains, may),
        check_label=tuple(may.get(ANY, ())),
        unknown=tuple(dict.fromkeys(name for name, i in sure if not i.food.allergens_stated)),
        unconfirmed=tuple(dict.fromkeys(name for name, i in carried if guessed_food(i))),
        beside=tuple(
            FoundAllergen(name=a.word, kinds=(), by=tuple(contains[a.word])) for a in beside if a.word in contains
        ),
    )


def guessed_food(ingredient: Ingredient) -> bool:
    """Whether nobody has confirmed which food it is: what that contains is then not known."""
    return ingredient.doubt is not None and ingredient.doubt.food is not None


def foods_in(source: Dish | Meal) -> Iterator[tuple[str, Ingredient]]:
    """Every food in it, through the dishes that it is made of, each with its name in the dish asked about."""
    return ((name, leaf) for ingredient in _ingredients(source) for name, leaf in _leaves(ingredient))


def _ingredients(source: Dish | Meal) -> Iterator[Ingredient]:
    if isinstance(source, Dish):
        yield from source.ingredients
        return
    for dish in source.dishes:
        yield from dish.ingredients
    for extra in source.extras:
        yield extra.ingredient


def _leaves(ingredient: Ingredient) -> Iterator[tuple[str, Ingredient]]:
    """Foods of the ingredient, through the dishes that it is made of, each with its name in the dish asked about."""
    if ingredient.dish is None:
        yield ingredient.name, ingredient
        return
    for inside in ingredient.dish.ingredients:
        for name, leaf in _leaves(inside):
            yield f"{name} of {ingredient.name}", leaf


def _by_word(carried: Iterable[tuple[str, Ingredient]], *, may: bool) -> dict[str, dict[str, None]]:
    """Allergen word → the names that bring it, in order of the recipe."""
    found: dict[str, dict[str, None]] = {}
    for name, ingredient in carried:
        for word in ingredient.food.may_contain if may else ingredient.food.allergens:
            found.setdefault(word, {})[name] = None
    return found


def _on(name: str, contains: dict[str, dict[str, None]], may: dict[str, dict[str, None]]) -> AllergenList:
    """One list: a maybe of what it contains in any case is left out, unless it is of another kind."""
    sure = [a for a in allergens().values() if a.word in contains and not (name == "us" and a.us_maybe)]
    maybe = [a for a in allergens().values() if a.word in may or (a.word in contains and a not in sure)]
    certain = {a.word for a in sure}
    also = {a.word: {**contains.get(a.word, {}), **may.get(a.word, {})} for a in maybe if a.word not in certain}
    there = _grouped(name, sure, contains)
    return AllergenList(
        name=LIST_NAMES[name],
        source=LISTS[name],
        contains=there,
        may_contain=tuple(f for f in _grouped(name, maybe, also) if not _covered(f, there)),
    )


def _covered(maybe: FoundAllergen, there: tuple[FoundAllergen, ...]) -> bool:
    """Whether the list's entry is there already, and the maybe names no kind that is not."""
    return any(f.name == maybe.name and set(maybe.kinds) <= set(f.kinds) for f in there)


def _grouped(name: str, words: Iterable[Allergen], by: dict[str, dict[str, None]]) -> tuple[FoundAllergen, ...]:
    """Entries of the list, in its order."""
    entries: dict[str, list[Allergen]] = {}
    for allergen in words:
        entry = allergen.us if name == "us" else allergen.eu
        if entry and allergen.word in by:
            entries.setdefault(entry, []).append(allergen)
    return tuple(
        FoundAllergen(
            name=entry,
            kinds=tuple(a.word for a in here) if _is_group(name, entry) else (),
            by=tuple(dict.fromkeys(n for a in here for n in by[a.word])),
        )
        for entry, here in entries.items()
    )


@functools.cache
def _is_group(name: str, entry: str) -> bool:
    return sum((a.us if name == "us" else a.eu) == entry for a in allergens().values() if not a.us_maybe) > 1


def _lines(found: Allergens) -> list[str]:
    lines = []
    for one in (found.us, found.eu):
        told = "; ".join(map(str, one.contains)) or f"none of the {one.name} list in what is known"
        lines.append(f"Allergens, {one.name} list: {told}")
        if one.may_contain:
            lines.append(f"May contain, check the label ({one.name} list): {'; '.join(map(str, one.may_contain))}")
    if found.check_label:
        lines.append(f"Check the label, its make decides: {', '.join(found.check_label)}")
    if found.unknown:
        lines.append(f"Allergens not known, check the label: {', '.join(found.unknown)}")
    if found.unconfirmed:
        lines.append(f"Allergens not known until confirmed: {', '.join(found.unconfirmed)}")
    lines += [f"On neither list, and still avoided by some: {f}" for f in found.beside]
    return lines
