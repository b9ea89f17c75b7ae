"""What a shop sells of a food that recipes ask for by weight or volume: lemons for lemon juice, a jar, a bunch; and what a kitchen
surely has. How much one holds is common practice, without a source, on the small side: too much is bought rather than too little."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ShopUnit:
    """``grams`` of the food in one."""

    one: str
    many: str
    grams: float


_LEMON, _LIME, _ORANGE = ("lemon", "lemons"), ("lime", "limes"), ("orange", "oranges")
_JAR, _BUNCH, _TIN, _TUBE = ("jar", "jars"), ("bunch", "bunches"), ("tin", "tins"), ("tube", "tubes")
_UNITS = {
    "lemon juice": (*_LEMON, 40), "lemon zest": (*_LEMON, 6), "lime juice": (*_LIME, 25), "orange juice": (*_ORANGE, 70),
    "orange zest": (*_ORANGE, 10), "capers": (*_JAR, 90), "olives, black": (*_JAR, 150), "olives, green": (*_JAR, 150),
    "mustard, wholegrain": (*_JAR, 180), "mustard, dijon": (*_JAR, 180), "anchovies in oil": (*_TIN, 30),
    "sun-dried tomatoes, in oil": (*_JAR, 150), "tomato paste": (*_TUBE, 130), "tomatoes, canned": (*_TIN, 400),
    "coconut milk": (*_TIN, 400), "chives": (*_BUNCH, 20), "parsley": (*_BUNCH, 25), "coriander leaves": (*_BUNCH, 25),
    "dill, fresh": (*_BUNCH, 20), "mint, fresh": (*_BUNCH, 20), "basil, fresh": (*_BUNCH, 25), "tarragon, fresh": (*_BUNCH, 15),
    "thyme, fresh": (*_BUNCH, 15), "rosemary, fresh": (*_BUNCH, 15), "sage, fresh": (*_BUNCH, 15),
}  # fmt: skip
SOLD_AS_WRITTEN = frozenset({"bunch"})
"""What a recipe counts as the shop does: one bunch is one bunch, whatever it weighs."""
_AT_HOME = {
    "salt": 100, "salt, flaky or coarse": 50, "pepper, black": 20, "pepper, white": 20, "peppercorns, black": 20,
    "sugar, white": 100, "olive oil": 60, "wine vinegar": 50, "cider vinegar": 50,
}  # fmt: skip
"""Foods that a kitchen has, and up to how many grams of them."""


def in_shop_units(food: str, grams: float) -> str:
    """``1 lemon``, ``2 jars``: as many as hold so many grams; empty where the shop sells it by weight."""
    if food not in _UNITS or grams <= 0:
        return ""
    unit = ShopUnit(*_UNITS[food])
    count = math.ceil(grams / unit.grams - 1e-9)
    return f"{count} {unit.one if count == 1 else unit.many}"


def surely_at_home(food: str, grams: float) -> bool:
    """Whether a kitchen has so much of it, so that looking is enough."""
    return grams <= _AT_HOME.get(food, -1)
