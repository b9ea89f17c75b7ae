"""The weighings of a take log as weights of the dishes, and the recipe read again with them."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Sequence

from scriptkit.problems import Problem, Severity, warning
from scriptkit.recipe.day_weights import DayWeights
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading, reread
from scriptkit.shoot.log.take_log import Weighing


def day_weights(weighings: Sequence[Weighing]) -> tuple[dict[str, DayWeights], list[Problem]]:
    """Weights by the dish's file; with a warning for seasoning of which only a part was weighed, so that none of it is counted."""
    found: dict[str, DayWeights] = {}
    problems: list[Problem] = []
    for dish in {w.dish.file: w.dish for w in weighings}.values():
        own = [w for w in weighings if w.dish.file == dish.file]
        cooked = [w.grams for w in own if w.addition is None]
        by_number = {w.addition.number: w for w in own if w.addition is not None}
        went_in: dict[str, float] = {}
        seasoned: dict[str, dict[int, float]] = {}
        for key in dict.fromkeys(w.addition.ingredient.key for w in own if w.addition is not None):
            additions = [(s.number, a) for s in dish.steps for a in s.additions if a.ingredient.key == key]
            ingredient = additions[0][1].ingredient
            if ingredient.to_taste:
                if missing := [n for n, a in additions if a.number not in by_number]:
                    at = next(w for w in own if w.addition is not None and w.addition.ingredient.key == key)
                    problems.append(
                        warning(
                            at.place,
                            "part-weighed",
                            f"{ingredient.name} was weighed, but not at step {', '.join(map(str, missing))}: none of it is counted",
                            "weigh each of its additions, or write its amount in the recipe",
                        )
                    )
                    continue
                by_step: dict[int, float] = defaultdict(float)
                for number, addition in additions:
                    by_step[number] += by_number[addition.number].grams
                seasoned[key] = by_step
            elif ingredient.grams is not None:
                changes = [
                    by_number[a.number].grams - (a.scale_g or 0.0) for _, a in additions if a.number in by_number
                ]
                went_in[key] = round((ingredient.scale_g or 0.0) + sum(changes), 3)
        found[dish.file] = DayWeights(cooked_g=cooked[-1] if cooked else None, went_in_g=went_in, seasoned_g=seasoned)
    return found, problems


def as_weighed(reading: Reading, weighings: Sequence[Weighing]) -> tuple[Dish | Meal, list[Problem], list[Problem]]:
    """The dish or meal with what was weighed on the day; what is wrong with the weights, at their places in the log; and what reading
    the recipe had found that they have not answered. Where they cannot be right, the recipe as it is written. Raises CannotDo where that cannot be understood."""
    weights, problems = day_weights(weighings)
    again = reread(reading, weights)
    told = set(reading.problems)
    new = [p for p in again.problems if p not in told]
    problems += [_at_the_scale(p, weighings) for p in new]
    if again.source is None or any(p.severity is Severity.ERROR for p in new):
        return reading.usable(), problems, reading.problems
    left = set(again.problems)
    return again.source, problems, [p for p in reading.problems if p in left]


def _at_the_scale(problem: Problem, weighings: Sequence[Weighing]) -> Problem:
    """The problem where the weight stands that it is of, if it is of one."""
    of_file = [w for w in weighings if w.dish.file == problem.place.file]
    of_line = [w for w in of_file if w.addition is not None and w.addition.ingredient.place.line == problem.place.line]
    of_batch = [w for w in of_file if w.addition is None and problem.code in ("cooked-weight", "serving")]
    at = [*of_line, *of_batch]
    return dataclasses.replace(problem, place=at[-1].place) if at else problem
