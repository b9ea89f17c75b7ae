"""Mise en place: a tray for each dish, a bowl for each addition in order of use, and what else must lie ready."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scriptkit.english.heat import Heat
from scriptkit.recipe.cuts import cut_size
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Meal, Step
from scriptkit.recipe.display_names import behind_words, got_ready
from scriptkit.recipe.leading_units import beside_text, leading_text
from scriptkit.recipe.meal_takeovers import step_of
from scriptkit.recipe.takeovers import Takeover
from scriptkit.shoot.day.day_graph import DayGraph
from scriptkit.shoot.day.oven_stretches import goes_in_after, oven_runs, stays_in_the_oven
from scriptkit.shoot.day.step_lengths import TICK_MS

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule

Starts = Mapping[tuple[str, int], float]
"""(dish's file, step number) → the minute at which the schedule begins it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowl:
    """One addition, ready to go in. ``number`` is its place on the tray, in order of use from 1."""

    number: int
    step: Step
    addition: Addition
    grams: str
    household: str
    cut: str
    mm: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """A vessel or tool, and the steps it is needed at, in order of first use. ``at_min``: the minute of the schedule at
    which it is first needed; None where there is none."""

    name: str
    steps: tuple[Step, ...]
    at_min: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PreHeat:
    """An oven to switch on for a stretch of steps, or, where the one oven is in use, to ``turn``: up, down, ``set`` where that
    is not told by degrees, ``kept`` where it is at this setting already. ``on_min`` is a minute of the schedule, negative before its beginning;
    None where there is no schedule: then ``lead_ms`` before it is needed, when ``step`` begins or, ``when_in``, when its dish goes in."""

    dish: Dish
    step: Step
    setting: str
    lead_ms: int
    on_min: float | None
    needed_min: float | None
    when_in: bool = False
    turn: str = ""


KEPT = "kept"
_STILL_ON_MIN = 30
"""An oven that is wanted again so soon is not switched off in between (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """A dish's bowls in order of use, numbered from 1, and what must lie ready beside them."""

    dish: Dish
    bowls: tuple[Bowl, ...]
    vessels: tuple[Ready, ...]
    tools: tuple[Ready, ...]
    taken: tuple[Ready, ...] = ()
    """What was made at other dishes' steps, and juices of its own: with the steps that they go in at."""


def trays_of(source: Dish | Meal, schedule: Schedule | None = None) -> tuple[Tray, ...]:
    """A tray for each dish, its bowls in the order of the day; with a schedule, what stands on it says from which minute it is
    needed."""
    starts = _starts(schedule)
    dishes = dishes_of_the_day(source)
    graph = DayGraph(dishes)
    order = graph.in_order(starts)
    trays = (_tray(dish, [graph.steps[key][1] for key in order if key[0] == dish.file], starts) for dish in dishes)
    return tuple(
        replace(
            t,
            taken=_ready(
                [
                    (_taken_words(one, t.dish, dishes), s)
                    for s in t.dish.steps
                    for one in s.takes
                    if one.dish or one.juices
                ],
                t.dish,
                starts,
            ),
        )
        for t in trays
    )


def _taken_words(one: Takeover, dish: Dish, dishes: Sequence[Dish]) -> str:
    """``juices of the pork loin, from step 4 of pork``, ``half of dough, from step 1 of rolls``."""
    made = step_of(dishes, one) if one.dish else next(((dish, s) for s in dish.steps if s.id == one.step), None)
    what = one.juices_name if one.juices else one.step if one.words == "all" else f"{one.words} of {one.step}"
    if made is None:
        return what
    return f"{what}, from step {made[1].number}" + (f" of {made[0].short}" if made[0] is not dish else "")


def _starts(schedule: Schedule | None) -> Starts:
    return schedule.start_min if schedule else {}


def _tray(dish: Dish, steps: Sequence[Step], starts: Starts) -> Tray:
    used = [(step, addition) for step in steps for addition in step.additions]
    bowls = tuple(
        Bowl(
            number=n,
            step=step,
            addition=addition,
            grams=grams_text(addition),
            household=household_text(addition),
            cut=got_ready(addition.ingredient),
            mm=cut_size(addition.ingredient.prep),
        )
        for n, (step, addition) in enumerate(used, 1)
    )
    return Tray(
        dish=dish,
        bowls=bowls,
        vessels=_ready(
            [(step.reading.written_vessel, step) for step in steps if step.reading.written_vessel], dish, starts
        ),
        tools=_ready([(tool, step) for step in steps for tool in step.reading.tools], dish, starts),
    )


def _ready(uses: list[tuple[str, Step]], dish: Dish, starts: Starts) -> tuple[Ready, ...]:
    steps: dict[str, list[Step]] = {}
    names: dict[str, str] = {}
    for name, step in uses:
        names.setdefault(name.casefold(), name)
        steps.setdefault(name.casefold(), []).append(step)
    return tuple(
        Ready(name=names[key], steps=tuple(found), at_min=_first(found, dish, starts)) for key, found in steps.items()
    )


def _first(steps: list[Step], dish: Dish, starts: Starts) -> float | None:
    return min((starts[dish.file, s.number] for s in steps if (dish.file, s.number) in starts), default=None)


def preheats_of(source: Dish | Meal, schedule: Schedule | None = None) -> tuple[PreHeat, ...]:
    """The ovens to switch on, those that are needed first first: one for each stretch at one setting of a dish."""
    starts, kitchen = _starts(schedule), source.kitchen
    found = []
    for dish in dishes_of_the_day(source):
        for step in (run[0] for run in oven_runs(dish)):
            begins = starts.get((dish.file, step.number))
            after = goes_in_after(dish, step, kitchen) * TICK_MS
            lead_ms = 0 if kitchen.ovens == 1 and stays_in_the_oven(dish, step) else kitchen.preheat_ms
            needed = None if begins is None else begins + after / 60_000
            found.append(
                PreHeat(
                    dish=dish,
                    step=step,
                    setting=step.reading.heat.shown,
                    lead_ms=lead_ms,
                    on_min=None if needed is None else needed - lead_ms / 60_000,
                    needed_min=needed,
                    when_in=after > 0,
                )
            )
    found.sort(key=lambda p: 0.0 if p.on_min is None else p.on_min)
    return tuple(found if schedule is None or source.kitchen.ovens != 1 else _in_one_oven(found, schedule))


def _in_one_oven(preheats: Sequence[PreHeat], schedule: Schedule) -> Iterator[PreHeat]:
    """The one oven is switched on once, and turned from one setting to the next for as long as it is in use."""
    before: PreHeat | None = None
    for one in preheats:
        in_use = (t.end_min for t in schedule.tasks if t.oven and t.goes_in_min < (one.needed_min or 0.0))
        if before is not None and one.on_min is not None and max(in_use, default=-60.0) >= one.on_min - _STILL_ON_MIN:
            yield replace(one, turn=_turn(before.step.reading.heat, one.step.reading.heat))
        else:
            yield one
        before = one


def _turn(from_: Heat, to: Heat) -> str:
    if from_.setting_key == to.setting_key:
        return KEPT
    if from_.celsius is None or to.celsius is None or from_.celsius == to.celsius:
        return "set"
    return "up" if to.celsius > from_.celsius else "down"


def grams_text(addition: Addition) -> str:
    """The figure that leads: ``30 g``, ``2 tbsp`` where the file's `units:` say so, or ``to taste``."""
    return leading_text(addition)


def household_text(addition: Addition) -> str:
    """What stands beside it: as the cook wrote it where that was no weight, else about how many cups or spoons; the weight where
    that does not lead; empty where nothing tells."""
    return beside_text(addition)


def left_behind_lines(dish: Dish, step: Step) -> tuple[str, ...]:
    """What of the food is left behind at the step, for the papers: ``yoghurt: 60 % left behind``."""
    return tuple(f"{i.display_name}: {behind_words(i)}" for i in dish.left_behind_at(step))
