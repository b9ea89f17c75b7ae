"""Every check of a written dish or meal, in one list. Adding a check is adding a function and a line."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from scriptkit.cut.claims.promised import promise_problems
from scriptkit.english.heat import heat_meant
from scriptkit.english.heat_scale import heat_without_scale
from scriptkit.nutrition.as_published import as_published_problems
from scriptkit.nutrition.dish_meal_macros import MAIN, taken_out_problems
from scriptkit.nutrition.lacking import lacking
from scriptkit.nutrition.limits import limit_problems
from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.servings import conflict_problems
from scriptkit.nutrition.servings import only_meal as only_meal_of
from scriptkit.preproduction import Preproduction
from scriptkit.problems import CannotDo, Problem, Severity, in_order, note, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.drained_tins import counted_with_liquid
from scriptkit.recipe.ledger import ledger_problems, not_connected
from scriptkit.recipe.meal_juices import juices_without_from
from scriptkit.recipe.meal_takeovers import alone_problems
from scriptkit.recipe.part_batches import part_batch_problems
from scriptkit.recipe.whole_counted import whole_for_a_part
from scriptkit.safety.free_from import free_from_problems
from scriptkit.safety.health_claims import claim_problems
from scriptkit.safety.rule_matching import answers_of, deadly_of, doneness_problems, not_for_them_of
from scriptkit.shoot.buying import buying_problems
from scriptkit.shoot.day.lateness import late_problems
from scriptkit.shoot.day.standing_ready import standing_problems, waiting_problems
from scriptkit.shoot.plan import plan_problems
from scriptkit.shoot.script import script_checks
from scriptkit.shoot.shots.shot_problems import shot_problems

Check = Callable[[Preproduction], list[Problem]]


def ledger(work: Preproduction) -> list[Problem]:
    """Of every dish: what is listed and not used, used and not listed, and parts that do not make the whole."""
    return [p for dish in work.dishes for p in ledger_problems(dish)]


def connections(work: Preproduction) -> list[Problem]:
    """Of every dish: steps that nothing connects, where that is certain; of one by itself, what it takes over from others."""
    between = juices_without_from(work.day_dishes) if isinstance(work.source, Meal) else alone_problems(work.source)
    return [*(p for dish in work.day_dishes for p in not_connected(dish)), *between]


def plan(work: Preproduction) -> list[Problem]:
    """Steps whose picture is too short for what goes in at them, and steps whose picture is assumed."""
    return plan_problems(work.source)


def shots(work: Preproduction) -> list[Problem]:
    """What the written shots of the steps leave out or get wrong."""
    return shot_problems(work.source)


def buying(work: Preproduction) -> list[Problem]:
    """Packs that cannot be compared with the recipe's amount."""
    return buying_problems(work.purchases)


def script(work: Preproduction) -> list[Problem]:
    """What of the script cannot be said or is not heard, and what the day does not allow."""
    return script_checks.script_problems(work.source, work.script, work.schedule) if work.steps_readable else []


def silences(work: Preproduction) -> list[Problem]:
    """Where the planned picture has nothing said for too long."""
    return [*script_checks.silences(work.source, work.script)] if work.steps_readable else []


def heat(work: Preproduction) -> list[Problem]:
    """Steps that say *simmer* or *fry* where `heat:` says that there is none, and a `heat:` that is misspelt or has no scale."""
    found = []
    for step in (s for dish in work.dishes for s in dish.steps):
        if meant := heat_meant(step.reading.written_heat):
            message = (
                f"step {step.number} ({step.id}): `heat: {step.reading.written_heat}` is not a heat scriptkit knows"
            )
            found.append(warning(step.place, "unknown-heat", message, f"did you mean `heat: {meant}`?"))
        elif bare := heat_without_scale(step.reading.written_heat):
            message = f"step {step.number} ({step.id}): `heat: {step.reading.written_heat}` has no scale; it is read as {bare}"
            dial = ", or `heat: medium` on a hob" if bare.startswith("gas mark") else ""
            found.append(
                warning(step.place, "heat-without-scale", message, f"write `heat: {bare}` if that is meant{dial}")
            )
        if verb := step.reading.denied_heat:
            message = f"step {step.number} ({step.id}) says “{verb}”, and `heat: {step.reading.written_heat}`"
            hint = "write how high, such as `heat: low`, or what is done off the heat in other words"
            found.append(warning(step.place, "heat-contradicted", message, hint))
        if degrees := step.reading.other_degrees:
            message = f"step {step.number} ({step.id}) says {degrees}, and `heat: {step.reading.written_heat}`"
            hint = "write the same in both, or both in the words where it is turned up or down"
            found.append(warning(step.place, "heat-contradicted", message, hint))
    return found


def doneness(work: Preproduction) -> list[Problem]:
    """Of every dish: core temperatures below the published minimum, and minutes a side without a temperature."""
    return [p for _, cautions in work.cautions_by_dish for p in doneness_problems(cautions)]


def answers(work: Preproduction) -> list[Problem]:
    """Of every dish: what is to be told of the file's answers to its cautions."""
    return [p for dish, cautions in work.cautions_by_dish for p in answers_of(dish, cautions)]


def deadly(work: Preproduction) -> list[Problem]:
    """The deadly few among the cautions that the file does not answer, and what those whom a dish is for must not eat: `publish` stops
    at both, where `for:` says whom."""
    stopping = (*deadly_of(work.cautions), *not_for_them_of(work.cautions, work.source))
    return [replace(p, severity=Severity.WARNING) for p in stopping]


def claims(work: Preproduction) -> list[Problem]:
    """What the texts promise of it, against what is in it and against published conditions."""
    own: list[Dish | Meal] = [*work.dishes, *([work.source] if isinstance(work.source, Meal) else [])]
    return [p for one in own for p in (*free_from_problems(one), *claim_problems(one, work.macros.eaten_of(one)))]


def limits(work: Preproduction) -> list[Problem]:
    """What the usual plate has too much or too little of, by the meal's own limits; of a dish, nothing."""
    of_meal = work.macros.meal
    return [] if of_meal is None else limit_problems(of_meal.meal.limits, of_meal.plate, lacking(of_meal))


def promised(work: Preproduction) -> list[Problem]:
    """Figures that the file promises and that are in doubt or broken: of limits, of `promise:` and of the narration."""
    return promise_problems(work.promised)


def only_meal(work: Preproduction) -> list[Problem]:
    """Limits of the only meal of the day that no portions keep together."""
    of_meal = work.macros.meal
    if of_meal is None or of_meal.meal.only_meal is None:
        return []
    try:
        suggestion = only_meal_of(of_meal)
    except CannotDo as wrong:
        return [replace(p, severity=Severity.WARNING) for p in wrong.problems]
    return [] if suggestion is None else conflict_problems(suggestion, of_meal.meal.only_meal)


def taken_out(work: Preproduction) -> list[Problem]:
    """Of every dish: macros of which more is left in the pan than went in."""
    return [p for macros in work.macros.dishes for p in taken_out_problems(macros)]


def captions(work: Preproduction) -> list[Problem]:
    """What of the overlay would not be shown."""
    return list(work.planned_overlay[1])


def landing(work: Preproduction) -> list[Problem]:
    """A meal whose dishes cannot land together in its kitchen; of one dish, steps that wait for one another."""
    if not work.steps_readable or not work.no_schedule:
        return []
    if work.schedule is None:
        return [replace(p, severity=Severity.WARNING) for p in work.no_schedule]
    return late_problems(work.source, work.schedule, work.no_schedule)


def standing_ready(work: Preproduction) -> list[Problem]:
    """What is ready hours before the next step or, in a meal, before the serving, and spoils."""
    if not work.steps_readable or work.schedule is None:
        return []
    ready = standing_problems(work.schedule) if isinstance(work.source, Meal) else ()
    return [*waiting_problems(work.schedule), *ready]


def unknown_figures(work: Preproduction) -> list[Problem]:
    """One note for each ingredient whose composition lacks a main figure."""
    problems = []
    for of_dish in work.macros.dishes:
        for ingredient, macros in of_dish.ingredients:
            if ingredient.doubt is not None:
                continue  # told by its doubt
            lacking = [words_of_macro(n) for n in MAIN if n in macros.unknown]
            if lacking == [
                "carbohydrate",
                "fibre",
            ]:  # a European label without fibre: its carbohydrate stands, less the fibre
                lacking = ["fibre, and with it total carbohydrate (net carbs are known)"]
            if lacking:
                words, them = ", ".join(lacking), "it" if len(lacking) == 1 else "them"
                problems.append(
                    note(
                        ingredient.place,
                        "unknown-figure",
                        f"{ingredient.name}: {words} not known, so figures with {them} are lower bounds",
                        f"see {ingredient.food.source}, or give it a label under `foods:`",
                    )
                )
    return problems


def as_published(work: Preproduction) -> list[Problem]:
    """Of every dish: figures of a serving that are far off those that its source prints."""
    return [p for macros in work.macros.dishes for p in as_published_problems(macros)]


def counted_whole(work: Preproduction) -> list[Problem]:
    """Ingredients of which only a part goes in."""
    return [p for dish in work.dishes for p in (*whole_for_a_part(dish), *counted_with_liquid(dish))]


def part_batches(work: Preproduction) -> list[Problem]:
    """Dishes of which others take more than one batch has."""
    return list(part_batch_problems(work.source))


CHECKS: tuple[Check, ...] = (
    ledger,
    connections,
    plan,
    shots,
    buying,
    script,
    silences,
    captions,
    landing,
    standing_ready,
    heat,
    doneness,
    answers,
    deadly,
    claims,
    limits,
    promised,
    only_meal,
    taken_out,
    unknown_figures,
    counted_whole,
    as_published,
    part_batches,
)


def check(work: Preproduction, *, without: Collection[Check] = ()) -> list[Problem]:
    """What every check finds, in the order of the file; ``without`` those of the plan that a cut has replaced."""
    return in_order(problem for run in CHECKS if run not in without for problem in run(work))
