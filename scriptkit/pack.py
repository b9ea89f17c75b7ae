"""The whole way in one place: read → compute → time → render → write."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit import __version__, pages, pages_mise, pages_on_set, pages_script
from scriptkit.captions.overlay import overlay
from scriptkit.checks import MOST_NODES, check
from scriptkit.documents import render, template_text
from scriptkit.measure.timecode import RATES
from scriptkit.nutrition.plates import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.problems import Problem, in_order
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading
from scriptkit.safety.apply import cautions_in
from scriptkit.shoot.buying import purchases_of, write_purchases
from scriptkit.shoot.coverage_order import order_of
from scriptkit.shoot.mise import preheats_of, trays_of
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.schedule import CannotSchedule, Schedule, schedule_of
from scriptkit.shoot.script import script_of
from scriptkit.shoot.shot_csv import write_shots
from scriptkit.shoot.shots import shots_of
from scriptkit.shoot.swap_outs import chill_clocks, swap_outs_of
from scriptkit.shoot.take_log import rate_of
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.webvtt import write_vtt


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
    cues = on_frames(cues, RATES[source.film.frame_rate])
    script = script_of(source)
    schedule = _schedule(source)
    order = order_of(shots, schedule)
    trays = trays_of(source, schedule)
    purchases, twins, clocks = purchases_of(source), swap_outs_of(source), chill_clocks(source, schedule)
    # 4. render
    page = pages.Page(source.name, f"scriptkit {__version__}", pages.printed_cautions(cautions))
    files = {
        "shoot-list.html": render(
            "shoot-list.html",
            own_templates,
            page=page,
            **pages.shoot_list(plan, shots, cautions),
            **pages_on_set.on_set(plan, shots, rate_of(source), template_text("on-set.js", own_templates)),
            camera=pages_mise.camera(order),
        ),
        "shoot-list.csv": write_shots(shots, order),
        "mise-en-place.html": render(
            "mise-en-place.html",
            own_templates,
            page=page,
            trays=pages.trays(trays),
            preheats=pages_mise.preheats(preheats_of(source, schedule)),
        ),
        "labels.html": render("labels.html", own_templates, page=page, **pages_mise.labels(trays)),
        "buying.html": render("buying.html", own_templates, page=page, **pages_mise.buying(purchases, twins, clocks)),
        "buying.csv": write_purchases(purchases),
        "script.html": render("script.html", own_templates, page=page, **pages_script.two_columns(script, cautions)),
        "script.txt": pages_script.reading_text(script, cautions),
        "overlays.srt": write_srt(cues),
        "overlays.vtt": write_vtt(cues, source.name),
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
            shoot=pages_mise.shoot_text(order, purchases, twins, clocks),
        ),
    }
    if schedule is not None:
        files["schedule.html"] = render("schedule.html", own_templates, page=page, **pages.cook_schedule(schedule))
    return Pack(source, files, tuple(problems))
