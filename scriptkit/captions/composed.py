"""The overlay of a dish or meal: everything that is said over its picture, composed once for whoever asks."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from scriptkit.captions.overlay import overlay
from scriptkit.captions.profiles import profiles
from scriptkit.captions.room import Room, room_for
from scriptkit.measure.timecode import RATES
from scriptkit.nutrition.plates import DishMacros, MealMacros, dish_macros, meal_macros
from scriptkit.nutrition.servings import Suggestion, suggestion_for
from scriptkit.problems import Place, Problem
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.remembered import remembered
from scriptkit.safety.apply import cautions_in
from scriptkit.shoot.plan import Plan, dishes_of, plan_of
from scriptkit.timed_text.cue import Cue

USUAL_PROFILE = "streaming"
"""What the pack is composed for, and what `captions` and `proof` take where nothing else is said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """The macros that the overlay and the cards print. ``suggestion``: portions that keep the meal's limits, where its usual
    plate does not."""

    dishes: tuple[DishMacros, ...]
    meal: MealMacros | None
    suggestion: Suggestion | None


@remembered
def figures_of(source: Dish | Meal) -> Figures:
    """The macros of every dish, and of the meal where it is one; computed once for each source."""
    meal = meal_macros(source) if isinstance(source, Meal) else None
    return Figures(
        dishes=tuple(dish_macros(d) for d in dishes_of(source)),
        meal=meal,
        suggestion=suggestion_for(meal) if meal is not None else None,
    )


def overlay_on(
    source: Dish | Meal, plan: Plan, room: Room, also: Collection[Place] = ()
) -> tuple[list[Cue], list[Problem]]:
    """The cues on a plan of the source, or on the plan laid on its cut; and what of them found no room. ``also``: places of
    additions that were not filmed."""
    figures = figures_of(source)
    return overlay(plan, cautions_in(source), figures.dishes, figures.meal, figures.suggestion, room, also)


def usual_room(source: Dish | Meal) -> Room:
    """The room of the usual profile at the film's frame rate."""
    return room_for(profiles()[USUAL_PROFILE], RATES[source.film.frame_rate])


@remembered
def usual_overlay(source: Dish | Meal) -> tuple[tuple[Cue, ...], tuple[Problem, ...]]:
    """The overlay of the plan, as the pack has it."""
    cues, problems = overlay_on(source, plan_of(source), usual_room(source))
    return tuple(cues), tuple(problems)
