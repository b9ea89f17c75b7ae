"""What the overlay wants to say: additions with their amounts, cautions, time that passes, and the macro cards."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.captions.compose import Group, Wish, compose
from scriptkit.captions.cue import Cue
from scriptkit.captions.text import readable_ms
from scriptkit.measure.durations import format_duration
from scriptkit.measure.temperatures import celsius_to_fahrenheit
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.plates import DishMacros, MealMacros
from scriptkit.nutrition.rounding import print_one
from scriptkit.problems import Place, Problem
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.safety.apply import Caution
from scriptkit.shoot.mise import grams_text, household_text
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, Plan, Segment, addition_windows

LONG_WAIT_MS = 2 * 60_000
"""A wait that the cut jumps over and says so."""
SAFETY_LEAD_MS = 12_000


def overlay(
    plan: Plan, cautions: Sequence[Caution], dishes: Sequence[DishMacros], meal: MealMacros | None
) -> tuple[list[Cue], list[Problem]]:
    """The overlay of the plan, and what of it could not be shown."""
    groups = []
    for segment in plan.segments:
        if segment.step is not None and segment.dish is not None:
            here = [c for c in cautions if c.step is segment.step]
            groups.append(_step_group(segment, segment.dish, segment.step, here))
        elif segment.kind == CLOSING:
            macros = next(m for m in dishes if m.dish is segment.dish)
            groups.append(
                _card_group(segment, f"the closing of {macros.dish.name}", macros.dish.place, dish_card(macros))
            )
        elif segment.kind == MEAL_CLOSING and meal is not None:
            groups.append(_card_group(segment, "the meal's closing", meal.meal.place, meal_card(meal)))
    return compose(groups, plan.length_ms)


def _step_group(segment: Segment, dish: Dish, step: Step, cautions: Sequence[Caution]) -> Group:
    wishes = [
        Wish(at_ms=segment.start_ms, text=line, track="safety") for caution in cautions for line in caution.overlay
    ]
    wishes += [
        Wish(at_ms=start, text=addition_line(a), short=short_addition_line(a), track="addition", share=True)
        for a, start, _ in addition_windows(segment)
    ]
    late = max(segment.start_ms, segment.end_ms - 3_000)
    if step.core_c is not None:
        text = f"Inside: {step.core_c:.0f} °C ({celsius_to_fahrenheit(step.core_c):.0f} °F)"
        wishes.append(Wish(at_ms=late, text=text, track="time"))
    if step.wait_ms is not None and step.wait_ms >= LONG_WAIT_MS:
        text = f"{format_duration(step.wait_ms)} later"
        wishes.append(Wish(at_ms=max(segment.start_ms, segment.end_ms - readable_ms(text)), text=text, track="time"))
    return Group(
        at_ms=segment.start_ms,
        name=f"step {step.number} ({step.id}) of {dish.name}",
        place=step.place,
        wishes=tuple(wishes),
        lead_ms=SAFETY_LEAD_MS,
    )


def _card_group(segment: Segment, name: str, place: Place, cards: Sequence[tuple[str, str]]) -> Group:
    wishes = tuple(Wish(at_ms=segment.start_ms, text="\n".join(card), track="macros") for card in cards)
    return Group(at_ms=segment.start_ms, name=name, place=place, wishes=wishes)


def addition_line(addition: Addition) -> str:
    """``Butter 28 g (2 tbsp)``: the same grams and measure as on the bowl's label."""
    household = household_text(addition)
    return short_addition_line(addition) + (f" ({household})" if household else "")


def short_addition_line(addition: Addition) -> str:
    name = addition.ingredient.name
    name = name[:1].upper() + name[1:]
    return f"{name}, to taste" if addition.grams is None else f"{name} {grams_text(addition)}"


def dish_card(macros: DishMacros) -> list[tuple[str, str]]:
    """The dish's macros by serving, two lines a cue; the printed figures agree with one another."""
    weight = (
        f"about {macros.dish.serving_g:.0f} g" if macros.dish.cooked_estimated else f"{macros.dish.serving_g:.0f} g"
    )
    return _card(f"A serving, {weight}", macros.serving)


def meal_card(macros: MealMacros) -> list[tuple[str, str]]:
    """The whole plate's macros, two lines a cue."""
    estimated = any(p.dish.cooked_estimated for p, _, _ in macros.portions)
    weight = f"{'about ' if estimated else ''}{macros.plate.weight_g:.0f} g"
    return _card(f"The whole plate, {weight}", macros.plate)


def _card(head: str, macros: Macros) -> list[tuple[str, str]]:
    figures = print_one(macros)
    less = f" − polyols {figures.text('polyols_g')} g" if figures.at_least["polyols_g"] else ""
    return [
        (
            f"{head}: {figures.text('energy_kcal')} kcal",
            f"fat {figures.text('fat_g')} g, protein {figures.text('protein_g')} g",
        ),
        (
            f"Carbs {figures.text('carbohydrate_g')} g − fibre {figures.text('fibre_g')} g{less}",
            f"= net carbs {figures.text('net_carbs_g')} g",
        ),
    ]
