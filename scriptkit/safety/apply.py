"""Which caution applies at which step, read from what is done, with what, and how hot."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.measure.temperatures import format_temperature
from scriptkit.problems import Problem, note
from scriptkit.recipe.dish import Dish, Ingredient, Kitchen, Meal, Step
from scriptkit.recipe.methods import HOT, method_of
from scriptkit.safety.rules import Rule, rules

_IMMERSION = re.compile(r"\b(?:stick|hand|hand-held|immersion)[- ]blender\b", re.IGNORECASE)
_CLAUSE_END = re.compile(r"[.;:,]|\b(?:then|and|while)\b", re.IGNORECASE)
_CALLED_HOT = re.compile(
    r"\b(?:hot|boiling|steaming|scalding|warm|simmering)\b(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))",
    re.IGNORECASE,
)
_COOLED = re.compile(
    r"\bcool(?:ed)? (?:down )?(?:completely|to room temperature)|\b(?:until|stone|quite) cold\b|\bovernight\b",
    re.IGNORECASE,
)
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
    """A step and what is known of it. ``acts``: the methods its words name, in order. ``hot``: what is in the vessel has been
    heated and not chilled since. ``foods``: the ingredients of one class that the caution is about, where it is about any."""

    dish: Dish
    kitchen: Kitchen
    step: Step
    acts: tuple[str, ...]
    hot: bool
    volume_ml: float
    volume_estimated: bool
    foods: tuple[Ingredient, ...] = ()


TRIGGERS: dict[str, Callable[[Situation, str | bool], bool]] = {
    "method": lambda s, wanted: wanted in s.acts,
    "hot": lambda s, wanted: s.hot is wanted,
    "immersion": lambda s, wanted: _is_immersion(s.step) is wanted,
    "class": lambda s, wanted: any(i.food.safety == wanted for i in s.foods),
}
"""What a rule's `when:` may ask for. `always` rules belong to the dish, not to a step."""


def cautions_of(dish: Dish, kitchen: Kitchen | None = None) -> tuple[Caution, ...]:
    """Every caution of the dish, in the order of its steps; what holds for the whole dish comes last. ``kitchen`` is the one
    it is cooked in, where that is not the dish's own."""
    found = [caution for situation in _situations(dish, kitchen or dish.kitchen) for caution in _at(situation)]
    found += [_fill(rule, dish) for rule in rules() if ("always", True) in rule.when]
    return tuple(found)


def cautions_in(source: Dish | Meal) -> tuple[Caution, ...]:
    """Every caution of a dish, or of a meal's dishes in the meal's kitchen; a dish that it serves twice is told once."""
    if not isinstance(source, Meal):
        return cautions_of(source)
    # A meal that says nothing of its kitchen leaves it to the dishes.
    kitchen = None if source.kitchen == Kitchen() else source.kitchen
    dishes = [dish for n, dish in enumerate(source.dishes) if dish not in source.dishes[:n]]
    return tuple(c for dish in dishes for c in cautions_of(dish, kitchen))


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


def _situations(dish: Dish, kitchen: Kitchen) -> Iterator[Situation]:
    """Each step, and once more for each class of raw food that is cooked through at it."""
    hot = False
    in_pot_g = 0.0
    cooked_at = _cooked_through_at(dish)
    for step in dish.in_shoot_order:
        in_pot_g += sum(a.grams or 0.0 for a in step.additions) if step.stage == "cook" else 0.0
        ml, estimated = (dish.cooked_ml, False) if dish.cooked_ml else (in_pot_g, True)
        clauses = _clauses(step)
        blended_hot, hot = _heat_through(step, clauses, hot)
        acts = tuple(act for _, act in clauses if act)
        plain = Situation(
            dish=dish, kitchen=kitchen, step=step, acts=acts, hot=blended_hot, volume_ml=ml, volume_estimated=estimated
        )
        yield plain
        for foods in cooked_at.get(step.number, {}).values():
            yield dataclasses.replace(plain, foods=tuple(foods))


def _clauses(step: Step) -> list[tuple[str, str]]:
    """The step's words part by part, each with the method it names: *simmer for 20 min, then blend* is both. Where the cook
    wrote a `method:` that the words do not tell, it alone counts."""
    if step.method != method_of(step.do):
        return [(step.do, step.method)]
    found = [(clause, method_of(clause)) for clause in _CLAUSE_END.split(step.do)]
    if step.method not in (act for _, act in found):
        found.append(("", step.method))
    return found


def _heat_through(step: Step, clauses: Sequence[tuple[str, str]], hot: bool) -> tuple[bool, bool]:
    """Whether what is in the vessel is hot where the step's blending happens (else where it begins), and when it ends."""
    on_the_heat = _on_the_heat(step)
    at_blend: bool | None = None
    for words, act in clauses:
        if act == "chill" or _COOLED.search(words):
            hot = False
        elif act in HOT:
            hot = True
        elif act == "blend" and at_blend is None:
            at_blend = hot or on_the_heat or bool(_CALLED_HOT.search(step.do))
            hot = at_blend
    return (hot if at_blend is None else at_blend), hot or on_the_heat


def _on_the_heat(step: Step) -> bool:
    """Whether `heat:` says that the heat is on."""
    return step.stage == "cook" and not re.match(r"\s*(?:$|off\b|none\b|no\b|cold\b)", step.heat, re.IGNORECASE)


def _cooks(step: Step) -> bool:
    return _on_the_heat(step) or any(act in HOT for _, act in _clauses(step))


def _cooked_through_at(dish: Dish) -> dict[int, dict[str, list[Ingredient]]]:
    """Step number → class → raw foods whose inside must be hot enough by its end: the step that states a core temperature
    for them, else the last cook step of heat from where they go in, else where they go in."""
    found: dict[int, dict[str, list[Ingredient]]] = {}
    steps = [s for s in dish.in_shoot_order if s.stage == "cook"] or list(dish.in_shoot_order)
    for ingredient in dish.ingredients:
        if not ingredient.food.safety:
            continue
        handled = [s for s in steps if any(a.ingredient is ingredient for a in s.additions) or ingredient in s.uses]
        if not handled:
            continue
        after = [s for s in steps if s.number >= handled[0].number]
        stated = [s for s in after if s.core_c is not None]
        heated = [s for s in after if _cooks(s)]
        at = (stated or heated[-1:] or handled)[0]
        found.setdefault(at.number, {}).setdefault(ingredient.food.safety, []).append(ingredient)
    return found


def _at(situation: Situation) -> Iterator[Caution]:
    for rule in rules():
        about_food = any(name == "class" for name, _ in rule.when)
        if about_food is not bool(situation.foods) or ("always", True) in rule.when:
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
    kitchen = situation.kitchen
    count = batches(situation.volume_ml, kitchen.jug_ml, kitchen.jug_fill)
    fill = next(
        (w for share, w in _JUG_FILL_WORDS.items() if abs(share - kitchen.jug_fill) < 0.01),
        f"{kitchen.jug_fill:.0%} full",
    )
    about = "about " if situation.volume_estimated else ""
    return {
        "fill": fill,
        "batches": "Blend it in one batch" if count == 1 else f"Blend it in {count} batches",
        "batch_volume": f"{about}{_litres(situation.volume_ml)} in a {_litres(kitchen.jug_ml)} jug",
        "food": _capital(_and(list(dict.fromkeys(i.name for i in situation.foods)))),
    }


def _litres(ml: float) -> str:
    """``1.9 l``, ``1.75 l``, ``0.5 l``."""
    return f"{ml / 1000:.2f}".rstrip("0").rstrip(".") + " l"


def _and(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _is_immersion(step: Step) -> bool:
    return bool(_IMMERSION.search(" ; ".join((step.do, step.vessel, *step.tools))))
