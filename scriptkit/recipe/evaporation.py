"""What boils away while a dish simmers: by minutes, lid and width of the vessel, with bounds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scriptkit.measure.amounts import format_grams
from scriptkit.recipe.dish import Ingredient, Step

BOILS = {"boil": (0.03, 0.05, 0.07), "simmer": (0.008, 0.018, 0.035)}
"""Grams a minute from a square centimetre, least, usual and most (common practice, no source: a litre in a 24 cm pot boils away in
some 45 minutes, and simmers down by half in an hour)."""
UNDER_A_LID = (0.02, 0.1, 0.3)
"""The share of it that gets away under a lid (common practice, no source)."""
WIDTHS_CM = (18.0, 24.0, 30.0)
"""Of a pot or pan of which nothing is stated: least, usual, most (common practice, no source)."""
UNTIMED_SHARE = (0.0, 0.0, 0.25)
"""Of the liquid, where nothing says for how long it simmers."""
MOST_SHARE = 0.8
"""Of the liquid; more and the pan is dry."""
REDUCED_OFF = 0.15
"""How far *reduced by half* may be off, as a share of the liquid."""
NOTHING_GONE: Mapping[str, float] = {}
_METHODS = ("boil", "simmer", "braise", "poach")


@dataclass(frozen=True, slots=True, kw_only=True)
class Evaporated:
    """Grams with their 90 % interval; ``minutes`` are those of the steps that it boils away at."""

    grams: float = 0.0
    low_g: float = 0.0
    high_g: float = 0.0
    minutes: float = 0.0

    def __str__(self) -> str:
        return f"about {format_grams(self.grams)} boils away ({format_grams(self.low_g)} to {format_grams(self.high_g)}; by {self.minutes:.0f} min of simmering, lid and width, common practice)"


def is_liquid(ingredient: Ingredient) -> bool:
    """Whether it is a liquid that can boil away: water, stock, milk, cream, wine, tomatoes in their juice, a dish measured by
    volume."""
    food = ingredient.food
    if ingredient.dish is not None:
        return bool(ingredient.dish.cooked_ml)
    if food.name == "water" or food.category in ("stock", "drink", "wine or spirit"):
        return True
    milky = (
        food.category == "dairy"
        and any(word in food.name for word in ("milk", "cream", "whey"))
        and "powder" not in food.name
    )
    return milky or any(word in food.name for word in ("tomatoes, canned", "passata", "coconut milk"))


def evaporated(steps: Sequence[Step], gone: Mapping[str, float] = NOTHING_GONE) -> Evaporated:
    """What boils away over all the steps out of what stays in the dish; nothing where no liquid does. ``gone``: of each liquid, by
    its key, the share that is poured away or left behind later, 0 to 1, and takes its part of the steam with it."""
    liquid = kept = 0.0
    away = Evaporated()
    for step in (s for s in steps if s.stage != "prep"):
        for one in (a for a in step.additions if is_liquid(a.ingredient)):
            liquid += one.grams or 0.0
            kept += (one.grams or 0.0) * (1 - gone.get(one.ingredient.key, 0.0))
        share = kept / liquid if liquid else 0.0
        here = _at(step, max(liquid - away.grams, 0.0))
        away = Evaporated(
            grams=away.grams + here.grams * share,
            low_g=away.low_g + here.low_g * share,
            high_g=min(away.high_g + here.high_g * share, kept * MOST_SHARE),
            minutes=away.minutes + here.minutes if share else away.minutes,
        )
    return away


def _at(step: Step, liquid_g: float) -> Evaporated:
    reading = step.reading
    if not liquid_g or not reading.heat.on:
        return Evaporated()
    minutes = step.length_ms / 60_000
    if (left := reading.reduced_to) is not None:
        low, usual, high = (liquid_g * (1 - left + off) for off in (-REDUCED_OFF, 0.0, REDUCED_OFF))
    elif reading.method not in _METHODS:
        return Evaporated()
    elif not minutes:
        low, usual, high = (liquid_g * share for share in UNTIMED_SHARE)
    else:
        lidded = reading.covered if reading.covered is not None else reading.method == "braise" or reading.in_the_oven
        low, usual, high = _by_the_minute(reading.method, minutes, reading.vessel_width_cm, lidded=lidded)
    most = liquid_g * MOST_SHARE
    return Evaporated(grams=min(usual, most), low_g=min(max(low, 0.0), most), high_g=min(high, most), minutes=minutes)


def _by_the_minute(method: str, minutes: float, width_cm: float | None, *, lidded: bool) -> tuple[float, float, float]:
    """Least, usual and most grams. Bounds of rate, width and lid are independent: the logarithms of their ratios add by squares."""
    rates = BOILS["boil" if method == "boil" else "simmer"]
    areas = [math.pi / 4 * w * w for w in (WIDTHS_CM if width_cm is None else (width_cm,) * 3)]
    lids = UNDER_A_LID if lidded else (1.0, 1.0, 1.0)
    factors = (rates, areas, lids)
    usual = minutes * math.prod(f[1] for f in factors)
    low, high = (math.sqrt(sum(math.log(f[end] / f[1]) ** 2 for f in factors)) for end in (0, 2))
    return usual * math.exp(-low), usual, usual * math.exp(high)
