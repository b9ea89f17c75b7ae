"""The pack's report: what must be seen to, macros, the day of the shoot, allergens, cautions, and the overlay as planned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scriptkit.measure.durations import format_clock
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.servings import Suggestion
from scriptkit.papers.buying import Buying, buying_of
from scriptkit.papers.cautions import caution_text
from scriptkit.papers.macros import dish_text, meal_text
from scriptkit.papers.portions import suggestion_text
from scriptkit.papers.schedule import schedule_text
from scriptkit.papers.shoot_list import CameraMoves, camera_moves
from scriptkit.problems import Problem, format_problem, needs_a_person, printable
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.allergens import allergens_of
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.buying import Purchase
from scriptkit.shoot.day.schedule import Schedule
from scriptkit.shoot.day.shooting_order import CoverageOrder
from scriptkit.shoot.day.swap_outs import ChillClock, SwapOut
from scriptkit.shoot.mise_en_place import preheats_of
from scriptkit.shoot.plan import Plan
from scriptkit.timed_text.cue import Cue


@dataclass(frozen=True, slots=True, kw_only=True)
class ShootPart:
    """The report's part about the day: the order of filming, what to make ahead, what to buy."""

    camera: CameraMoves
    buying: Buying


def shoot_part_of(
    order: CoverageOrder, purchases: Sequence[Purchase], twins: Sequence[SwapOut], clocks: Sequence[ChillClock]
) -> ShootPart:
    """Of the same views as the pages."""
    return ShootPart(camera=camera_moves(order), buying=buying_of(purchases, twins, clocks))


def report(
    source: Dish | Meal,
    *,
    by_dish: Sequence[DishMacros],
    of_meal: MealMacros | None,
    plan: Plan,
    cues: Sequence[Cue],
    cautions: Sequence[Caution],
    problems: Sequence[Problem],
    suggestion: Suggestion | None = None,
    schedule: Schedule | None = None,
    shoot: ShootPart | None = None,
) -> str:
    """The whole text; every line of it is printable."""
    parts = [source.name, "=" * len(source.name), ""]
    parts.append("Needs attention" if needs_a_person(problems) else "No problems")
    parts += [format_problem(p) for p in problems]
    macros = [meal_text(of_meal)] if of_meal is not None else []
    macros += [suggestion_text(suggestion)] if suggestion is not None else []
    macros += [dish_text(one, beside=of_meal) for one in by_dish]
    parts += ["", *_headed("Macros"), *(line for text in macros for line in (text, ""))]
    if schedule is not None:
        parts += [*_headed("Cook schedule"), schedule_text(schedule, preheats=preheats_of(source, schedule)), ""]
    if shoot is not None:
        parts += [*_shoot_lines(shoot), ""]
    parts += [*_headed("Allergens"), *allergens_of(source).lines(), ""]
    parts += [*_headed("Cautions"), *caution_text(cautions)]
    parts += ["", f"Overlay, {format_clock(plan.length_ms)} as planned", "------------------------------"]
    parts += [f"{format_clock(c.start_ms)}–{format_clock(c.end_ms)}  {' / '.join(c.lines)}" for c in cues]
    return "\n".join(printable(line) for part in parts for line in part.split("\n")) + "\n"


def _headed(title: str) -> list[str]:
    return [title, "-" * len(title)]


def _shoot_lines(shoot: ShootPart) -> Iterable[str]:
    camera, buying = shoot.camera, shoot.buying
    yield from _headed("Order of filming")
    yield f"{camera.words}."
    yield from (f"  {stay.where}: {' '.join(stay.slates)}" for stay in camera.stays)
    yield from ("", *_headed("Make ahead"))
    for twin in buying.twins:
        takes = f", {twin.takes} to make" if twin.takes else ""
        vessels = f" Vessels: {twin.vessels}." if twin.vessels else ""
        yield f"{twin.dish}, to the end of step {twin.step} ({twin.step_id}): {twin.why}{takes}."
        yield f"  {', '.join(f'{n.item} {n.grams}' for n in twin.needs)}.{vessels}"
    if not buying.twins:
        yield "Nothing: no wait is longer than the film's limit."
    for clock in buying.clocks:
        when = f" Out at {clock.out}, back by {clock.back} ({clock.hot} in a hot room)." if clock.out else ""
        yield f"  chill clock, {clock.what}:{when or ' starts when it leaves the fridge.'}"
    if buying.clocks:
        yield from (f"  {buying.chill_rule}", f"  source: {buying.chill_source}")
    yield from ("", *_headed("To buy"))
    yield from (f"{row.buy}  {row.words} ({'; '.join(row.uses)})" for row in buying.rows)
