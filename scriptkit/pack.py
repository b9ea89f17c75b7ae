"""The whole way in one place: read → compute → time → render → write."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit import __version__, pages
from scriptkit.captions.overlay import overlay
from scriptkit.captions.subrip import write_srt
from scriptkit.checks import MOST_NODES, check
from scriptkit.documents import render
from scriptkit.nutrition.plates import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.problems import Problem, in_order
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading
from scriptkit.safety.apply import cautions_in
from scriptkit.shoot.mise import trays_of
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.schedule import CannotSchedule, Schedule, schedule_of
from scriptkit.shoot.shot_csv import write_shots
from scriptkit.shoot.shots import shots_of


def _schedule(source: Dish | Meal) -> Schedule | None:
    """The cook schedule; None where there are no steps, or no order lands (which is among the problems)."""
    if not any(dish.steps for dish in dishes_of(source)):
        return None
    try:
        return schedule_of(source, most_nodes=MOST_NODES)
    except CannotSchedule:
        return None


@dataclass(frozen=True, slots=True)
class Pack:
    """Files by name, ready to write, and what a person must still see to."""

    source: Dish | Meal
    files: dict[str, str]
    problems: tuple[Problem, ...]


def make_pack(reading: Reading, *, own_templates: str = "") -> Pack:
    """Everything that follows from one dish or meal. Raises CannotDo where the file could not be understood."""
    # 1. read
    source = reading.usable()
    # 2. compute
    by_dish = [dish_macros(dish) for dish in dishes_of(source)]
    of_meal = meal_macros(source) if isinstance(source, Meal) else None
    cautions = cautions_in(source)
    problems = in_order([*reading.problems, *check(source)])
    # 3. time
    plan = plan_of(source)
    shots = shots_of(plan)
    suggestion = suggestion_for(of_meal) if of_meal is not None else None
    cues, _ = overlay(plan, cautions, by_dish, of_meal, suggestion)  # what found no room is among the problems of check
    schedule = _schedule(source)
    # 4. render
    page = pages.Page(source.name, f"scriptkit {__version__}", pages.printed_cautions(cautions))
    files = {
        "shoot-list.html": render(
            "shoot-list.html", own_templates, page=page, **pages.shoot_list(plan, shots, cautions)
        ),
        "shoot-list.csv": write_shots(shots),
        "mise-en-place.html": render(
            "mise-en-place.html", own_templates, page=page, trays=pages.trays(trays_of(source))
        ),
        "overlays.srt": write_srt(cues),
        "report.txt": pages.report(
            source,
            by_dish=by_dish,
            of_meal=of_meal,
            plan=plan,
            cues=cues,
            cautions=cautions,
            problems=problems,
            suggestion=suggestion,
            schedule=schedule,
        ),
    }
    if schedule is not None:
        files["schedule.html"] = render("schedule.html", own_templates, page=page, **pages.cook_schedule(schedule))
    return Pack(source, files, tuple(problems))
