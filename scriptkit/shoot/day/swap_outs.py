"""Swap-outs: which stage of which dish to make ahead, what each twin needs, and how long it may stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Film, Ingredient, Meal, Step
from scriptkit.recipe.film_settings import film_of
from scriptkit.recipe.step_graph import graph_of

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule

# Chilling perishable food, as USDA FSIS publishes it: out of the fridge 2 h at most, 1 h above 90 °F (32 °C); cooked food
# into the fridge within the same time; leftovers keep 3 to 4 days; the danger zone is 40–140 °F (4–60 °C).
OUT_AT_MOST_MIN = 120
OUT_AT_MOST_HOT_MIN = 60
HOT_ROOM_C = 32
KEEPS_DAYS = (3, 4)
CHILL_SOURCE = "USDA Food Safety and Inspection Service: danger zone 40–140 °F, leftovers and food safety"


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What of an ingredient a twin takes; ``grams`` is None to taste. ``additions`` are those that make it up."""

    ingredient: Ingredient
    grams: float | None
    additions: tuple[Addition, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapOut:
    """A twin of ``dish``, made ahead to the end of ``step``. Times are milliseconds."""

    dish: Dish
    step: Step
    asked: bool
    """Whether the file asks for it; else its wait is longer than the file's limit for all of them (`swap_out_over:`)."""
    steps: tuple[Step, ...]
    """Everything that is done to it, prep first, each in the file's order."""
    needs: tuple[Need, ...]
    vessels: tuple[str, ...]
    """In order of use; all but the plates and boards are there twice on the day."""

    @property
    def takes_ms(self) -> int:
        """How long it takes to make, one step after another."""
        return sum(s.length_ms for s in self.steps)

    def contains(self, ingredient: Ingredient) -> bool:
        """Whether it goes into the twin, as this very ingredient of the dish."""
        return any(n.ingredient is ingredient for n in self.needs)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChillClock:
    """How long a twin or a hero may stand. Minutes count from the first step of the schedule; None where there is none."""

    dish: Dish
    step: Step | None
    """The stage that it is made ahead to; None of a hero, which is the finished dish."""
    count: int
    out_at_min: float | None
    """When it takes the place of the live dish."""
    wrap_min: float | None
    """When the shoot has served."""

    @property
    def back_by_min(self) -> float | None:
        """When it must be back in the fridge: 2 h after it came out (``CHILL_SOURCE``)."""
        return None if self.out_at_min is None else self.out_at_min + OUT_AT_MOST_MIN

    @property
    def back_by_hot_min(self) -> float | None:
        """The same in a room above 32 °C: 1 h (``CHILL_SOURCE``)."""
        return None if self.out_at_min is None else self.out_at_min + OUT_AT_MOST_HOT_MIN

    @property
    def outstays(self) -> bool:
        """Whether the shoot goes on for longer than it may stand out."""
        return self.back_by_min is not None and self.wrap_min is not None and self.wrap_min > self.back_by_min


def swap_outs_of(source: Dish | Meal) -> tuple[SwapOut, ...]:
    """The twins of every dish, in the order of its steps."""
    return tuple(twin for dish in dishes_of_the_day(source) for twin in _twins(dish, film_of(source, dish)))


def _twins(dish: Dish, film: Film) -> Iterator[SwapOut]:
    for step in dish.in_shoot_order:
        over = film.swap_out_over_ms
        long = over is not None and (step.wait_ms or 0) > over
        if step.swap_out or (step.swap_out is None and long):
            steps = steps_up_to(dish, step)
            vessels: dict[str, str] = {}
            for vessel in (s.reading.written_vessel for s in steps if s.reading.written_vessel):
                vessels.setdefault(vessel.casefold(), vessel)
            yield SwapOut(
                dish=dish,
                step=step,
                asked=bool(step.swap_out),
                steps=steps,
                needs=_needs(dish, step, steps),
                vessels=tuple(vessels.values()),
            )


def steps_up_to(dish: Dish, last: Step) -> tuple[Step, ...]:
    """``last`` and everything whose work is in it: what it takes over, and the prep of what has gone in by then. What another
    branch of the recipe does is left out."""
    found = graph_of(dish).taken_into(last) | {last.number}
    return tuple(s for s in dish.in_shoot_order if s.number in found)


def _needs(dish: Dish, last: Step, steps: tuple[Step, ...]) -> tuple[Need, ...]:
    """In the recipe's order. What a step handles and no step has added yet is there whole."""
    whole = {i.key for s in steps if s.stage != "prep" or last.stage == "prep" for i in s.uses} | {
        i.key for i in last.uses
    }
    needs = []
    for ingredient in dish.ingredients:
        additions = tuple(a for s in steps for a in s.additions if a.ingredient.key == ingredient.key)
        if additions:
            grams = [a.scale_g for a in additions if a.scale_g is not None]
            needs.append(Need(ingredient=ingredient, grams=sum(grams) if grams else None, additions=additions))
        elif ingredient.key in whole:
            needs.append(Need(ingredient=ingredient, grams=ingredient.scale_g, additions=()))
    return tuple(needs)


def chill_clocks(source: Dish | Meal, schedule: Schedule | None = None) -> tuple[ChillClock, ...]:
    """The clock of every twin and hero: a twin is out from when its stage has been put on, a hero from the serving."""
    tasks = {(t.dish.file, t.step.number): t for t in schedule.tasks} if schedule else {}
    wrap = schedule.length_min if schedule else None
    clocks = []
    for twin in swap_outs_of(source):
        task = tasks.get((twin.dish.file, twin.step.number))
        out_at = task.hands_end_min if task else None
        clocks.append(ChillClock(dish=twin.dish, step=twin.step, count=1, out_at_min=out_at, wrap_min=wrap))
    for dish in dishes_of_the_day(source):
        if heroes := film_of(source, dish).heroes:
            clocks.append(ChillClock(dish=dish, step=None, count=heroes, out_at_min=wrap, wrap_min=wrap))
    return tuple(clocks)
