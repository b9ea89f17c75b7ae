"""Which caution applies at which step, read from what is done, with what, and how hot."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from scriptkit.measure.temperatures import format_temperature
from scriptkit.problems import Problem, note
from scriptkit.recipe.dish import Dish, Ingredient, Step
from scriptkit.recipe.methods import HOT
from scriptkit.safety.rules import Rule, rules

_IMMERSION = re.compile(r"\b(?:stick|hand|immersion)[- ]blender\b", re.IGNORECASE)
_JUG_FILL_WORDS = {1 / 3: "one third full", 1 / 2: "half full", 1 / 4: "one quarter full", 2 / 3: "two thirds full"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A rule at a step of a dish (no step: the whole dish), its texts filled in."""

    rule: Rule
    dish: Dish
    step: Step | None
    overlay: tuple[str, ...]
    spoken: str
    printed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """A step and what is known when it begins. ``hot``: what is in the vessel has been heated and not chilled since.
    ``food`` is the ingredient that the caution is about, where it is about one."""

    dish: Dish
    step: Step
    hot: bool
    volume_ml: float
    volume_estimated: bool
    food: Ingredient | None = None


TRIGGERS: dict[str, Callable[[Situation, str | bool], bool]] = {
    "method": lambda s, wanted: s.step.method == wanted,
    "hot": lambda s, wanted: s.hot is wanted,
    "immersion": lambda s, wanted: _is_immersion(s.step) is wanted,
    "class": lambda s, wanted: s.food is not None and s.food.food.safety == wanted,
}
"""What a rule's `when:` may ask for. `always` rules belong to the dish, not to a step."""


def cautions_of(dish: Dish) -> tuple[Caution, ...]:
    """Every caution of the dish, in the order of its steps; what holds for the whole dish comes last."""
    found = [caution for situation in _situations(dish) for caution in _at(situation)]
    found += [_fill(rule, dish) for rule in rules() if ("always", True) in rule.when]
    return tuple(found)


def cooked_below_minimum(dish: Dish) -> list[Problem]:
    """A stated core temperature below the published minimum: the cook's choice, and the minimum stands beside it."""
    problems = []
    for caution in cautions_of(dish):
        step, least = caution.step, caution.rule.minimum_c
        if step is not None and step.core_c is not None and least is not None and step.core_c < least - 0.5:
            problems.append(
                note(step.place, "below-minimum",
                     f"step {step.number} ({step.id}) is cooked to {format_temperature(step.core_c)}, below the published minimum of {format_temperature(least)}",
                     f"it stays as you chose; the papers print the minimum beside it ({caution.rule.source})")
            )  # fmt: skip
    return problems


def _situations(dish: Dish) -> Iterator[Situation]:
    """Each step as it begins, and once more for each raw food that is cooked through at it."""
    hot = False
    in_pot_g = 0.0
    cooked_at = _cooked_through_at(dish)
    for step in dish.in_shoot_order:
        in_pot_g += sum(a.grams or 0.0 for a in step.additions) if step.stage == "cook" else 0.0
        ml, estimated = (dish.cooked_ml, False) if dish.cooked_ml else (in_pot_g, True)
        yield Situation(dish=dish, step=step, hot=hot, volume_ml=ml or 0.0, volume_estimated=estimated)
        for food in cooked_at.get(step.number, ()):
            yield Situation(dish=dish, step=step, hot=hot, volume_ml=0.0, volume_estimated=True, food=food)
        if step.method in HOT and step.stage == "cook":
            hot = True
        elif step.method == "chill":
            hot = False


def _cooked_through_at(dish: Dish) -> dict[int, list[Ingredient]]:
    """Step number → raw foods whose inside must be hot enough by its end: the step that states a core temperature for
    them, else the last cook step of heat from where they go in, else where they go in. One food of a class is enough."""
    found: dict[int, list[Ingredient]] = {}
    told: set[str] = set()
    steps = [s for s in dish.in_shoot_order if s.stage == "cook"] or list(dish.in_shoot_order)
    for ingredient in dish.ingredients:
        if not ingredient.food.safety or ingredient.food.safety in told:
            continue
        handled = [s for s in steps if any(a.ingredient is ingredient for a in s.additions) or ingredient in s.uses]
        if not handled:
            continue
        after = [s for s in steps if s.number >= handled[0].number]
        stated = [s for s in after if s.core_c is not None]
        heated = [s for s in after if s.method in HOT]
        at = (stated or heated[-1:] or handled)[0]
        told.add(ingredient.food.safety)
        found.setdefault(at.number, []).append(ingredient)
    return found


def _at(situation: Situation) -> Iterator[Caution]:
    for rule in rules():
        about_food = any(name == "class" for name, _ in rule.when)
        if about_food is not (situation.food is not None) or ("always", True) in rule.when:
            continue
        if all(TRIGGERS[name](situation, wanted) for name, wanted in rule.when):
            yield _fill(rule, situation.dish, situation)


def _fill(rule: Rule, dish: Dish, situation: Situation | None = None) -> Caution:
    words = _words(situation) if situation else {}

    def filled(text: str) -> str:
        return re.sub(r"\{(\w+)\}", lambda found: words.get(found.group(1), found.group()), text).strip()

    return Caution(
        rule=rule,
        dish=dish,
        step=situation.step if situation else None,
        overlay=tuple(line for text in rule.overlay if (line := filled(text))),
        spoken=filled(rule.spoken),
        printed=filled(rule.printed),
    )


def batches(volume_ml: float, jug_ml: float, fill: float) -> int:
    """How many jugs hold the volume, each filled to the share ``fill`` at most; at least 1.

    >>> batches(1_950, 1_500, 1 / 3)
    4
    """
    return max(1, math.ceil(round(volume_ml / (jug_ml * fill), 6)))


def _words(situation: Situation) -> dict[str, str]:
    kitchen = situation.dish.kitchen
    count = batches(situation.volume_ml, kitchen.jug_ml, kitchen.jug_fill)
    fill = next(
        (w for share, w in _JUG_FILL_WORDS.items() if abs(share - kitchen.jug_fill) < 0.01),
        f"{kitchen.jug_fill:.0%} full",
    )
    about = "about " if situation.volume_estimated else ""
    litres = f"{situation.volume_ml / 1000:.2g} l"
    return {
        "fill": fill,
        "batches": "Blend it in one batch" if count == 1 else f"Blend it in {count} batches",
        "batch_volume": f"{about}{litres} in a {kitchen.jug_ml / 1000:.2g} l jug",
        "food": _capital(situation.food.name) if situation.food else "",
    }


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _is_immersion(step: Step) -> bool:
    return bool(_IMMERSION.search(" ; ".join((step.do, step.vessel, *step.tools))))
