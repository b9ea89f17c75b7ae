"""What an ingredient is called wherever a person reads it: as a cook says it, and not by its short key in the file.

Two names: the whole one of lists and labels, by which a helper takes the right packet (*unsalted butter*), and the short one of
captions and shots (*butter*). A key that only says what animal or fruit it comes from is no name: *chicken* is *chicken thighs*.
"""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.measure.unit_system import US, measurable, weight_text
from scriptkit.measure.words import plural, stands_before_the_name
from scriptkit.pantry.names import typed_words, words_of
from scriptkit.recipe.dish import Dish, Ingredient

_MEATS = frozenset({
    "beef", "pork", "lamb", "veal", "mutton", "venison", "chicken", "turkey", "duck", "goose", "rabbit", "goat", "bison",
})  # fmt: skip
_BEFORE_A_MEAT = frozenset(
    {"whole", "dried", "wild", "roast", "smoked", "cured", "salted", "cooked", "ground", "minced", "diced"}
)
_BEHIND = re.compile(r"^(?:with|without|in|from|for|off|on the)\b|[\d%]", re.IGNORECASE)
"""What is said after the name: *in oil*, *with skin*, *70%*."""
_STATE_OF_A_TABLE = frozenset({"raw", "regular"})
"""What a table must say and a cook does not."""
_SHAPES = frozenset({"bulb", "head"})
"""What a vegetable is sold as, and is not called after: a bulb of fennel is fennel."""
_GENERAL = frozenset({"juice", "zest", "seed", "leaf", "powder", "paste"})
"""What says too little alone, even in a caption: of what the juice is stands with it."""
_CAPITALS = {"greek": "Greek", "dijon": "Dijon", "italian": "Italian", "french": "French", "savoy": "Savoy"}
_PIECE_G = {
    "thigh": 110, "breast": 170, "drumstick": 90, "wing": 50, "leg": 220, "chop": 200, "steak": 220, "fillet": 150,
    "cutlet": 120, "sausage": 70,
}  # fmt: skip
"""About what one of them weighs (common practice, no source): much more than that is several."""


def got_ready(ingredient: Ingredient) -> str:
    """How it is cut, and whether it can be left out: *chopped, optional*."""
    return ", ".join(part for part in (ingredient.prep, "optional" if ingredient.optional else "") if part)


def in_natural_order(food: str, *, known: str = "", several: bool = False) -> str:
    """A food of a table as it is said; what ``known`` says already, such as how it is cut, is left out.

    >>> [in_natural_order(food) for food in ("butter, unsalted", "chicken stock, homemade, unsalted", "duck leg, with skin")]
    ['unsalted butter', 'unsalted homemade chicken stock', 'duck leg with skin']
    >>> in_natural_order("beef, short ribs, boneless"), in_natural_order("chocolate, dark, 70%"), in_natural_order("lamb, ground")
    ('boneless beef short ribs', 'dark chocolate, 70%', 'ground lamb')
    >>> in_natural_order("capers, drained", known="drained and chopped"), in_natural_order("duck leg, with skin", several=True)
    ('capers', 'duck legs with skin')
    """
    head, kinds = _apart(food)
    stated = set(words_of(known))
    kinds = [k for k in kinds if not set(words_of(k)) <= stated]
    behind = [f", {k}" if re.search(r"[\d%]", k) else f" {k}" for k in kinds if _BEHIND.search(k)]
    before = [_CAPITALS.get(k, k) for k in reversed(kinds) if not _BEHIND.search(k)]
    return " ".join([*before, plural(head) if several else head]) + "".join(behind)


def _apart(food: str) -> tuple[str, list[str]]:
    """What it is, the cut of an animal too, and what kinds of it."""
    head, *said = [part.strip() for part in food.split(",")]
    kinds = [kind for kind in said if kind and kind.casefold() not in _STATE_OF_A_TABLE]
    if kinds and head.casefold() in _MEATS and kinds[0].casefold() not in _BEFORE_A_MEAT:
        head = f"{head} {kinds.pop(0)}"
    return head, kinds


def names_of(key: str, food: str | None, amount: Amount | None, prep: str) -> tuple[str, str]:
    """The whole name and the short one, in the plural of several. ``food``: as the file has it; the key stays where that does not
    only shorten it.

    >>> names_of("chicken", "chicken thighs, skinless", None, ""), names_of("frying oil", "olive oil", None, "")
    (('skinless chicken thighs', 'chicken thighs'), ('frying oil', 'frying oil'))
    >>> names_of("butter", "butter, unsalted", None, ""), names_of("fennel", "fennel bulb", None, "")
    (('unsalted butter', 'butter'), ('fennel', 'fennel'))
    """
    name = " ".join(key.replace("_", " ").split())
    counted = amount is not None and stands_before_the_name(amount) and amount.value > 1
    own = plural(name) if counted else name
    if not food or not food.strip():
        return own, own
    head, _ = _apart(food)
    whole = in_natural_order(food, known=prep)
    short, long = set(words_of(name)), set(words_of(whole))
    if not short < long or long - short <= _SHAPES:
        return own, own
    what = words_of(head)[-1:]
    several = counted or typed_words(name)[-1:] != words_of(name)[-1:] or several_pieces(head, amount)
    whole = in_natural_order(food, known=prep, several=several)
    if set(what) <= short and not set(what) & _GENERAL:
        return whole, own
    return whole, plural(head) if several else head


def several_pieces(food: str, amount: Amount | None) -> bool:
    """Whether so many grams of a food, such as ``pork loin chop``, are more than one of them."""
    what = words_of(food.split(",", maxsplit=1)[0])[-1:]
    one = _PIECE_G.get(what[0], 0) if what else 0
    return bool(one) and amount is not None and amount.kind is Kind.MASS and amount.grams > 1.5 * one


def told_apart(ingredients: Sequence[Ingredient]) -> list[Ingredient]:
    """The same ingredients, each called by its key where two of them would be called alike."""
    called = Counter(name.casefold() for i in ingredients for name in {i.display_name, i.short_name})
    return [
        dataclasses.replace(i, called=("", ""))
        if any(called[name.casefold()] > 1 for name in (i.display_name, i.short_name))
        else i
        for i in ingredients
    ]


def display_names(dishes: Iterable[Dish], names: Iterable[str]) -> tuple[str, ...]:
    """What people read for each of these names of the dishes' ingredients; what is none of them stays."""
    called = {i.name: i.display_name for dish in dishes for i in dish.ingredients}
    return tuple(called.get(name, name) for name in names)


def weighed_without(dish: Dish) -> str:
    """``bones`` or ``shells``: what of its food lies on the plate and is in no weight or figure of a serving; empty where nothing does."""
    on = [i.with_it for i in dish.ingredients if i.with_it and i.left_share + i.strained_share < 1]
    return " and ".join(dict.fromkeys(on))


def behind_words(ingredient: Ingredient) -> str:
    """``about 120 g of it is left behind``; of an estimate ``100–180 g of it is left behind (an estimate)``; empty where none is."""
    if not ingredient.behind_share:
        return ""
    where = f"goes into {ingredient.behind_into}" if ingredient.behind_into else "is left behind"
    if ingredient.behind_range is None:
        return f"about {_some(ingredient, ingredient.behind_share)} of it {where}"
    low, high = (_some(ingredient, share) for share in ingredient.behind_range)
    if low == high:
        return f"about {low} of it {where} (an estimate)"
    unit = next((u for u in (" g", " kg", " %", " oz", " tsp", " tbsp") if low.endswith(u) and high.endswith(u)), "")
    return f"{low.removesuffix(unit)}–{high} of it {where} (an estimate)"


def _some(ingredient: Ingredient, share: float) -> str:
    """A share as it is weighed, in US units by the spoon where it was written so; as a percentage of what is to taste."""
    if (
        ingredient.units == US
        and ingredient.amount is not None
        and ingredient.amount.unit in ("teaspoon", "tablespoon")
    ):
        return str(measurable(ingredient.amount.times(Fraction(share).limit_denominator(1000))))
    return (
        f"{share * 100:.0f} %" if ingredient.grams is None else weight_text(ingredient.grams * share, ingredient.units)
    )
