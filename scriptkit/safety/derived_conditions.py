"""Conditions of a rule that follow from several facts together: what is mentioned in words or goes in, how full a vessel is, what is
whole, wet or frozen when it goes in, what is left soft, what a later step of heat makes good."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from scriptkit.english.hours_said import hours_said
from scriptkit.english.kitchen_facts import (
    colours_of_gear,
    kitchen_facts,
    last_told,
    less_washing_up,
    names_fact,
    tells,
)
from scriptkit.english.temperatures_said import degrees_in
from scriptkit.english.vessels import litres_in
from scriptkit.pantry.kinds_by_name import category_of, raw_class_of
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.recipe.soaking import marinates
from scriptkit.safety.kitchen_state import OIL_G_PER_ML, StepState, named
from scriptkit.safety.state_conditions import MINIMUM_C, fits_in, is_so
from scriptkit.safety.step_facts import Situation

Holds = Callable[[Situation], bool]
_MOSTLY = 0.5
"""Share of the grams from which a food is what the vessel is about (common practice, no source)."""
_FRIDGE_C = 8.0
_RAW_MEAT = frozenset(("whole-cut", "ground-meat", "poultry", "fish", "shellfish"))


def _names(value: Any) -> tuple[str, ...]:
    names = (value,) if isinstance(value, str) else tuple(value)
    for name in names:
        kitchen_facts()[name]  # a fact that there is not is told when the rules are read
    return names


def _mentions(value: Any) -> Holds:
    facts = _names(value)

    def holds(s: Situation) -> bool:
        if s.step is None:
            return False
        return any(s.tells(f) or any(names_fact(named(i), f) for i in s.handled) for f in facts)

    return holds


# --- what is in the vessel --------------------------------------------------------------------------------------------


def _grams(state: StepState, foods: Iterable[Ingredient]) -> float:
    return sum(state.grams.get(i.key, 0.0) for i in foods)


def _whole_eggs(s: Situation) -> bool:
    """Whether eggs are most of what is there, and nothing has been said that breaks or beats them."""
    state = s.state
    eggs = [i for i in state.foods if raw_class_of(i.food) == "egg" and "white" not in i.food.name]
    if s.step is None or not eggs or _grams(state, eggs) < _MOSTLY * state.total_g:
        return False
    return not any(tells(step.reading.sentence, "beaten") for step in (*state.earlier, s.step))


_IN_BITS = ("ground-or-cut-small", "chopped-or-flaked")


def _left_whole_named(value: Any) -> Holds:
    fits = fits_in(value)

    def is_cut(s: Situation, food: Ingredient) -> bool:
        if any(tells(named(food), fact) for fact in _IN_BITS):
            return True
        cutting = (e for e in s.earlier if tells(e.reading.sentence, "ground-or-cut-small"))
        return any(food in (*e.uses, *(a.ingredient for a in e.additions)) or _names_any(e, [food]) for e in cutting)

    return lambda s: any(fits(named(i)) and not is_cut(s, i) for i in s.handled)


def _liquid_share(s: Situation) -> float:
    return s.state.watery_g / s.state.total_g if s.state.total_g else 0.0


def _oil_share(s: Situation) -> float:
    return s.state.oil_g / s.state.total_g if s.state.total_g else 0.0


def _acid_share(s: Situation) -> float:
    """Of vinegar and citrus juice, which keep it from growing the botulism toxin where there is enough."""
    acid = (i for i in s.state.foods if names_fact(named(i), "acid"))
    return _grams(s.state, acid) / s.state.total_g


def _fill(s: Situation, litres: float) -> float:
    """Share of the vessel that the words or the file give a size for; 0 where none does."""
    if s.step is None:
        return 0.0
    said = (
        litres_in(" ; ".join((*step.reading.gear, step.reading.sentence)))
        for step in (s.step, *reversed(s.state.earlier))
    )
    size = next((one for one in said if one), None)
    return litres / size if size else 0.0


def _wet_held(s: Situation) -> bool:
    """Whether what goes into the fat was in water at an earlier step, or comes out of it, and nothing dried it since."""
    if s.step is None or all(category_of(i.food) == "fat or oil" for i in s.state.foods):
        return False
    steps = {step.number: step for step in (*s.state.earlier, *s.earlier[-1:], s.step)}
    told = " ; ".join(steps[step.number].reading.sentence for step in (*s.earlier, s.step) if step.number in steps)
    return last_told(less_washing_up(told), ("wets", "dries")) == "wets"


def _frozen_held(s: Situation) -> bool:
    """Whether a food that goes in, or lies there unheated, is a frozen one by its name, and no step thaws it."""
    held = s.handled if s.state.was_heated else (*s.handled, *s.state.foods)
    frozen = any(names_fact(named(i), "frozen-food") for i in held)
    return frozen and not any(tells(step.reading.sentence, "thawed") for step in s.facts.dish.steps)


def _soft_by_the_clock(s: Situation) -> bool:
    """Whether whole eggs come out of the boil within 7 minutes, when the yolk is soft where nothing says that it is firm (common practice, no source)."""
    if s.step is None or not s.tells("boils") or s.tells("boiled-before") or s.tells("firm-yolk") or not _whole_eggs(s):
        return False
    minutes = [ms / 60_000 for ms in s.step.reading.times_ms]
    return bool(minutes) and max(minutes) <= 7


def _raw_gear_again(s: Situation) -> bool:
    """Whether a board or knife that raw meat or fish lay under goes on to food that is ready, and nothing washes it between."""
    if s.step is None or not s.tells("board-or-knife") or s.tells("washes-up"):
        return False
    raw = [i for i in s.facts.dish.ingredients if raw_class_of(i.food) in _RAW_MEAT]
    ready = {w for i in s.facts.dish.ingredients if i not in raw for w in words_of(f"{i.name} {i.food.name}")}
    used = next(
        (n for n, e in enumerate(s.earlier) if tells(e.reading.sentence, "board-or-knife") and _names_any(e, raw)), None
    )
    if used is None or any(tells(e.reading.sentence, "washes-up") for e in s.earlier[used + 1 :]):
        return False
    looks = [colours_of_gear(e.reading.sentence) for e in (s.earlier[used], s.step)]
    if all(looks) and not looks[0] & looks[1]:
        return False  # the red board, then the green one
    # ready food is named first: *slice the tomato on it, then fry the chicken*
    meat = {w for i in raw for w in words_of(f"{i.name} {i.food.name}")}
    first = next((w for w in words_of(s.step.reading.sentence) if w in ready | meat), "")
    return first in ready - meat


def _raw_plate_again(s: Situation) -> bool:
    """Whether it goes back on the plate that raw meat or fish lay on at an earlier step."""
    if s.step is None or not s.tells("that-plate") or s.tells("washes-up"):
        return False
    raw = [i for i in s.facts.dish.ingredients if raw_class_of(i.food) in _RAW_MEAT]
    return any(tells(e.reading.sentence, "crockery") and _names_any(e, raw) for e in s.earlier)


_WET = frozenset(
    (
        "sauce",
        "condiment",
        "dairy",
        "fruit",
        "drink",
        "wine or spirit",
        "soya and plant",
        "stock",
        "fat or oil",
        "sweetener",
    )
)


def _raw_liquid_again(s: Situation) -> bool:
    """Whether what raw meat or fish lay in, and nothing has boiled since, is served: its food is named again, from where it lay or as
    what is left, and none of it goes in again."""
    if s.step is None or not s.tells("left-of-it") or not s.tells("as-a-sauce"):
        return False
    said = set(words_of(s.step.reading.sentence))
    for n, e in enumerate(s.earlier):
        if any(tells(later.reading.sentence, "throws-away") for later in s.earlier[n + 1 :]):
            continue
        together = (*e.uses, *(a.ingredient for a in e.additions))
        if e.reading.heats_food or not any(raw_class_of(i.food) in _RAW_MEAT for i in together):
            continue
        wet = [i for i in together if category_of(i.food) in _WET and i not in s.handled]
        if any(said & set(words_of(f"{i.name} {i.food.name}")) for i in wet):
            return True
    return False


def _mixed_food(s: Situation) -> bool:
    """Whether there is more in it than fat."""
    return any(category_of(i.food) != "fat or oil" and s.state.grams.get(i.key, 0.0) > 0 for i in s.state.foods)


def _only_raw_named(s: Situation) -> bool:
    """Whether a board or knife goes on to raw food alone, which is got ready there: salad first, then the chicken."""
    if s.step is None or not s.tells("board-or-knife") or not s.tells("readies-raw"):
        return False
    raw = [i for i in s.facts.dish.ingredients if raw_class_of(i.food) in _RAW_MEAT]
    return _names_any(s.step, raw) and not _names_any(s.step, [i for i in s.facts.dish.ingredients if i not in raw])


def _names_any(step: Step, foods: Iterable[Ingredient]) -> bool:
    said = set(words_of(step.reading.sentence))
    return any(said & set(words_of(f"{i.name} {i.food.name}")) for i in foods)


# --- what it has been through, and what comes ---------------------------------------------------------------------------


def _off_the_heat(s: Situation) -> bool:
    """Whether it goes in when the heat is off, and no later step heats it."""
    if s.step is None or s.step.reading.heats_food:
        return False
    off = s.step.reading.comes_off_the_heat or s.tells("flame-out")
    return off and not any(step.reading.heats_food for step in s.from_here[1:])


def _made_good(value: Any) -> Holds:
    facts = _names(value)

    def about_it(s: Situation, step: Step) -> bool:
        foods = s.facts.states[step.number].foods
        return step is s.step or not s.handled or any(i in foods for i in s.handled)

    def holds(s: Situation) -> bool:
        return any(
            tells(step.reading.sentence, fact) for step in s.from_here if about_it(s, step) for fact in facts
        ) or any(
            degree >= 63 for step in s.from_here if about_it(s, step) for degree in degrees_in(step.reading.sentence)
        )

    return holds


def _bath_is_hot_enough(s: Situation) -> bool:
    """Whether the bath is at or above the published minimum of every raw food in it."""
    degrees = degrees_in(s.told)
    least = max((MINIMUM_C.get(raw_class_of(i.food), 0.0) for i in s.raw), default=0.0)
    return bool(degrees) and max(degrees) >= least > 0


def _degrees_at_least(value: Any) -> Holds:
    return lambda s: s.step is not None and any(d >= float(value) for d in degrees_in(s.told))


def _degrees_at_most(value: Any) -> Holds:
    return lambda s: s.step is not None and any(_FRIDGE_C < d <= float(value) for d in degrees_in(s.told))


def _stands_out(s: Situation) -> bool:
    """Whether the words let it stand somewhere that is no fridge: they name the place, or an hour and more without heat."""
    if s.step is None or s.heated or s.tells("slow-cooker"):
        return False
    return s.tells("counter") or s.tells("thaws-badly") or (hours_said(s.step.reading.sentence) or 0.0) >= 1


def _holds_category(value: Any) -> Holds:
    wanted = frozenset([value] if isinstance(value, str) else value)
    return lambda s: (
        _grams(s.state, (i for i in s.state.foods if category_of(i.food) in wanted)) >= _MOSTLY * s.state.total_g > 0
    )


DERIVED_OF_A_STEP: dict[str, Callable[[Any], Holds]] = {
    "mentions": _mentions,
    "whole_eggs": is_so(_whole_eggs),
    "left_whole_named": _left_whole_named,
    "on_the_bone": is_so(lambda s: any("bone" in i.with_it for i in s.handled)),
    "liquid_share_at_least": lambda value: lambda s: _liquid_share(s) >= float(value),
    "liquid_share_at_most": lambda value: lambda s: s.state.total_g > 0 and _liquid_share(s) <= float(value),
    "oil_share_at_least": lambda value: lambda s: _oil_share(s) >= float(value),
    "acid_share_at_most": lambda value: lambda s: s.state.total_g > 0 and _acid_share(s) <= float(value),
    "hours_at_least": lambda value: (
        lambda s: s.step is not None and (hours_said(s.step.reading.sentence) or 0.0) >= float(value)
    ),
    "oil_fill_above": lambda value: lambda s: _fill(s, s.state.oil_g / 1000 / OIL_G_PER_ML) > float(value),
    "fill_above": lambda value: lambda s: _fill(s, s.volume_ml / 1000) > float(value),
    "wet_held": is_so(_wet_held),
    "frozen_held": is_so(_frozen_held),
    "soft_by_the_clock": is_so(_soft_by_the_clock),
    "raw_gear_again": is_so(_raw_gear_again),
    "only_raw_named": is_so(_only_raw_named),
    "marinates_here": is_so(lambda s: s.step is not None and marinates(s.step)),
    "raw_liquid_again": is_so(_raw_liquid_again),
    "raw_plate_again": is_so(_raw_plate_again),
    "mixed_food": is_so(_mixed_food),
    "off_the_heat": is_so(_off_the_heat),
    "heated_later": is_so(lambda s: any(step.reading.heats_food for step in s.from_here[1:])),
    "made_good": _made_good,
    "bath_is_hot_enough": is_so(_bath_is_hot_enough),
    "degrees_at_least": _degrees_at_least,
    "degrees_at_most": _degrees_at_most,
    "stands_out": is_so(_stands_out),
    "mostly": _holds_category,
}
"""Facts that the words or the foods' names tell; whole eggs; share of liquid, of fat; how full a vessel of a stated size is; wet or frozen food;
food that goes in off the heat; what this or a later step makes good; a bath as hot as the published minimum; stated °C (at most: from 8 °C
on, as a fridge is none); standing out; categories that are most of it."""
