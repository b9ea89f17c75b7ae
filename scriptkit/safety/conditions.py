"""What a rule's `when:` and `unless:` may ask for: a small clear set of conditions, each compiled once.

A condition is a name and a value. Of `when:` all must hold; it may be a list, of which one entry must hold. Of `unless:` none
may hold. Conditions of a step ask about the step that is told; conditions of a dish about the dish as a whole.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from scriptkit.pantry.kinds_by_name import raw_class_of
from scriptkit.safety.derived_conditions import DERIVED_OF_A_STEP
from scriptkit.safety.state_conditions import STATE_OF_A_DISH, STATE_OF_A_STEP, fits_in, is_so
from scriptkit.safety.step_facts import Situation

Holds = Callable[[Situation], bool]


def _many(value: Any) -> frozenset[str]:
    return frozenset([value] if isinstance(value, str) else value)


def _method(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: not wanted.isdisjoint(s.acts)


def _words(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: fits(s.said)


def _gear(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: fits(s.gear)


def _named(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: fits(s.named)


def _handles(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: not wanted.isdisjoint(s.kinds)


def _raw(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(s.raw) and any(raw_class_of(i.food) in wanted for i in s.raw)


def _raw_here(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(s.raw) and any(raw_class_of(i.food) in wanted and i in s.handled for i in s.raw)


def _class(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(s.cooked) and any(raw_class_of(i.food) in wanted for i in s.cooked)


def _has(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(wanted & s.facts.foods or wanted & s.facts.categories)


def _has_named(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: fits(s.facts.named)


def _lights(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: s.facts.film.lights in wanted


OF_A_STEP: dict[str, Callable[[Any], Holds]] = {
    "method": _method,
    "words": _words,
    "gear": _gear,
    "named": _named,
    "handles": _handles,
    "hot": is_so(lambda s: s.hot),
    "was_hot": is_so(lambda s: s.was_hot),
    "immersion": is_so(lambda s: s.tells("immersion-blender")),
    "high_heat": is_so(lambda s: s.step is not None and s.step.reading.heat.level == "high"),
    "oil_at_least_g": lambda value: lambda s: s.oil_g >= float(value),
    "heated": is_so(lambda s: s.heated),
    "raw": _raw,
    "raw_here": _raw_here,
    "class": _class,
    "eaten_raw": is_so(lambda s: s.eaten_raw),
}
"""The step's methods; patterns on its words, on words and gear, on the names of what it handles; pantry foods or categories that
it handles; what is hot; grams of oil; whether the heat is on; temperature classes that are raw so far, or raw and handled here; the class that is cooked through here (a rule with `class` is told once for each class)."""

OF_A_DISH: dict[str, Callable[[Any], Holds]] = {
    "always": lambda _value: lambda _s: True,
    "has": _has,
    "has_named": _has_named,
    "cooks": is_so(lambda s: s.facts.cooks),
    "on_the_hob": is_so(lambda s: s.facts.on_the_hob),
    "perishable": is_so(lambda s: s.facts.perishable),
    "stands_in": is_so(lambda s: s.facts.stands_in),
    "served_cold": is_so(lambda s: s.facts.served_cold),
    "lights": _lights,
    "alcohol": is_so(lambda s: s.facts.has_alcohol),
}
"""Pantry foods or categories in the dish; a pattern on the names of its ingredients; whether it is cooked, on the hob, must be kept
hot or cold, has twins or heroes, is served cold; what it is lit with; whether it has drink with alcohol, or polyols that a label declares."""

OF_A_STEP |= STATE_OF_A_STEP | DERIVED_OF_A_STEP
OF_A_DISH |= STATE_OF_A_DISH
CONDITIONS = {**OF_A_STEP, **OF_A_DISH}


DEARER = frozenset(
    (
        "words",
        "gear",
        "named",
        "has_named",
        "high_heat",
        "immersion",
        "says",
        "says_any",
        "earlier_says",
        "just_before_says",
        "dish_says",
        "holds_named",
        "never_heated_named",
        "left_whole_named",
        "mentions",
        "made_good",
    )
)
"""Dearer to ask than the others, so they are asked last."""
