"""The whole way in one place: read → compute → time → render → write."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit import __version__, pages
from scriptkit.captions.overlay import overlay
from scriptkit.captions.subrip import write_srt
from scriptkit.checks import check
from scriptkit.documents import render
from scriptkit.nutrition.plates import dish_macros, meal_macros
from scriptkit.problems import Problem, in_order
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading
from scriptkit.safety.apply import cautions_in
from scriptkit.shoot.mise import trays_of
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.shot_csv import write_shots
from scriptkit.shoot.shots import shots_of


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
    cues, _ = overlay(plan, cautions, by_dish, of_meal)  # what found no room is among the problems of check
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
        "report.txt": pages.report(source, by_dish, of_meal, plan, cues, cautions, problems),
    }
    return Pack(source, files, tuple(problems))
