"""From a meal and its limits to portions: what may change, and by how much."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.measure.amounts import Amount, format_grams
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.limits import LIMITED, limit_problems, limit_words
from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.nutrition.portion_choice import Bound, Choice, plate_of, weights_of
from scriptkit.nutrition.portion_programme import FEWEST_CHANGES, MOST_PROTEIN
from scriptkit.nutrition.portioning import Portions, nearest_portions, other_portions, portions
from scriptkit.problems import CannotDo, Place, Problem, error, nearest, warning
from scriptkit.recipe.dish import Limit

USUAL_STEP_G = 10.0
"""What a cook can serve to on a scale without fuss (common practice, no source)."""
LEAST_SHARE, MOST_SHARE = 0.5, 2.5
"""Of the usual portion: with less a dish is no dish any more, more is another meal (common practice, no source)."""
SMALLEST_SHARE = 0.1
"""Of the usual portion: what a cook is asked about where no larger one keeps the limits."""
MOST_SHARE_ONLY_MEAL = 6.0
"""Of the usual portion, where it is the only meal of the day (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """Portions of a meal's dishes that keep its limits, or why there are none."""

    meal: MealMacros
    choices: tuple[Choice, ...]
    bounds: tuple[Bound, ...]
    found: Portions
    sure: bool = True
    """Whether the limits are kept by the whole interval of each figure."""

    @property
    def tightest(self) -> Bound | None:
        """The first limit that the usual plate breaks."""
        usual = self.meal.plate
        return next((b for b in self.bounds if weights_of(b, usual)[0] > weights_of(b, usual)[1] + 1e-9), None)

    @property
    def plate(self) -> Macros | None:
        """The plate as suggested, garnish included; None where nothing keeps the limits."""
        return None if self.found.grams is None else plate_of(self.choices, self.found.grams) + self.meal.extras


def choice_of(
    macros: DishMacros,
    usual_g: float,
    *,
    step_g: float | None = None,
    least_g: float | None = None,
    most_g: float | None = None,
    said: Amount | None = None,
    usual: Macros | None = None,
) -> Choice:
    """The dish as something to portion; ``usual``: its usual portion, as it is served. Raises ZeroDivisionError where the batch weighs nothing."""
    step = step_g or USUAL_STEP_G
    return Choice(
        name=macros.dish.name,
        per_gram=macros.portion(1.0),
        usual=usual,
        usual_g=usual_g,
        step_g=step,
        step=said,
        least_g=least_g if least_g is not None else max(step, usual_g * LEAST_SHARE),
        most_g=most_g if most_g is not None else max(step, usual_g * MOST_SHARE),
        pot_g=macros.dish.cooked_g,
        serves=macros.dish.servings,
    )


def suggest(
    meal: MealMacros,
    limits: Sequence[Limit],
    *,
    most_share: float = MOST_SHARE,
    sure: bool = True,
    plates: int | None = None,
) -> Suggestion:
    """Portions nearest to the usual ones that keep the limits: ``sure``, with the whole interval of each figure, else with the best
    estimate. No portion is more than the pot holds for so many ``plates``: as the meal says. Raises CannotDo where a limited figure is unknown."""
    choices = tuple(
        choice_of(
            d,
            p.grams,
            step_g=p.step_g,
            said=p.step,
            usual=of_portion,
            least_g=p.least_g,
            most_g=min(
                p.grams * most_share if p.most_g is None else p.most_g,
                pot_holds_g(meal, n, meal.meal.plates if plates is None else plates),
            ),
        )
        for n, (p, d, of_portion) in enumerate(meal.portions)
    )
    bounds = tuple(bound_of(limit) for limit in limits)
    parts = [(d.dish.name, d.batch) for _, d, _ in meal.portions]
    refuse_unknown(limits, [*parts, *((e.ingredient.name, m) for e, m in meal.extra)])
    return Suggestion(
        meal=meal, choices=choices, bounds=bounds, found=portions(choices, bounds, meal.extras, sure=sure), sure=sure
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another whole plate that keeps the limits: what it is best in, its grams by choice, the plate, and how many the pots give."""

    wish: str
    grams: tuple[float, ...]
    plate: Macros
    plates_of_pot: int | None


def alternatives(suggestion: Suggestion) -> tuple[Alternative, ...]:
    """Plates to choose from beside the nearest: with the fewest dishes changed, and with the most protein for no more energy than the
    usual plate has. Those that are no other plate, or that cannot be had, are left out."""
    nearest_g = suggestion.found.grams
    if nearest_g is None:
        return ()
    found: list[Alternative] = []
    usual = plate_of(suggestion.choices, [c.usual_g for c in suggestion.choices]) + suggestion.meal.extras
    for wish in (FEWEST_CHANGES, MOST_PROTEIN):
        about = []
        if wish == MOST_PROTEIN:
            if usual.figure("protein_g") is None or (energy := usual.figure("energy_kcal")) is None:
                continue
            about = [Bound(name="energy_kcal", at_most=True, figure=energy)]
        grams = other_portions(
            wish, suggestion.choices, suggestion.bounds, suggestion.meal.extras, about=about, sure=suggestion.sure
        )
        if grams is None or grams == nearest_g or any(grams == one.grams for one in found):
            continue
        plate = plate_of(suggestion.choices, grams) + suggestion.meal.extras
        if wish == MOST_PROTEIN and not _worth_it(plate, suggestion):
            continue
        found.append(Alternative(wish=wish, grams=grams, plate=plate, plates_of_pot=_plates_of(suggestion, grams)))
    return tuple(found)


def _worth_it(plate: Macros, suggestion: Suggestion) -> bool:
    """Whether it has visibly more protein than the nearest plate, and its limits are kept as surely as they are asked for."""
    nearest_plate = suggestion.plate
    return nearest_plate is not None and plate.at_least("protein_g") >= nearest_plate.at_least("protein_g") + 1.0


def pot_holds_g(meal: MealMacros, number: int, plates: int) -> float:
    """Grams of the portion of this number that the pot has for each plate; where the dish is on the plate twice, in proportion. No less
    than the usual portion, which the meal's file answers for."""
    portion = meal.meal.portions[number]
    same = sum(p.grams for p in meal.meal.portions if p.dish.file == portion.dish.file)
    share = portion.grams / same if same else 1.0
    return max(portion.dish.cooked_g / plates * share, portion.grams)


def plates_of_pot(suggestion: Suggestion) -> int | None:
    """How many plates with the suggested portions the pots give; None where there are none."""
    return None if suggestion.found.grams is None else _plates_of(suggestion, suggestion.found.grams)


def _plates_of(suggestion: Suggestion, of_each: Sequence[float]) -> int | None:
    need: dict[str, float] = {}
    has: dict[str, float] = {}
    for grams, (portion, _, _) in zip(of_each, suggestion.meal.portions, strict=True):
        need[portion.dish.file] = need.get(portion.dish.file, 0.0) + grams
        has[portion.dish.file] = portion.dish.cooked_g
    return min((int(has[f] / g + 1e-6) for f, g in need.items() if g > 0), default=None)


def only_meal(meal: MealMacros) -> Suggestion | None:
    """The same pot as the only meal of the day; None where the meal does not ask for it. Raises CannotDo where a limited
    figure is unknown."""
    limits = meal.meal.only_meal
    return None if limits is None else suggest(meal, limits, most_share=MOST_SHARE_ONLY_MEAL, plates=1)


def only_meal_if_known(meal: MealMacros | None) -> Suggestion | None:
    """The same; None too where there is no meal, or a limited figure is unknown, which its check tells."""
    try:
        return None if meal is None else only_meal(meal)
    except CannotDo:
        return None


def suggestion_for(meal: MealMacros) -> Suggestion | None:
    """What would keep the meal's limits, where the usual plate breaks one of them; None where it keeps them all, or where
    a limited figure is unknown (which the check of limits tells)."""
    broken = [p for p in limit_problems(meal.meal.limits, meal.plate) if p.code == "limit"]
    if not broken:
        return None
    try:
        found = suggest(meal, meal.meal.limits)
        return found if found.found.grams is not None else suggest(meal, meal.meal.limits, sure=False)
    except CannotDo:
        return None


def bound_of(limit: Limit) -> Bound:
    """The same limit as the search for portions asks it."""
    return Bound(name=limit.macro, at_most=limit.bound == "at_most", figure=limit.figure)


def refuse_unknown(limits: Sequence[Limit], dishes: Sequence[tuple[str, Macros]]) -> None:
    """Raises CannotDo where a limit asks for a figure that a dish does not have."""
    problems = []
    for limit in limits:
        for name, macros in dishes:
            try:
                weights_of(bound_of(limit), macros)
            except ValueError as wrong:
                problems.append(
                    error(
                        limit.place,
                        "limit-unknown",
                        f"{limit.macro} of {name} cannot be told: {wrong}",
                        "see `unknown` in `scriptkit macros`",
                    )
                )
    if problems:
        raise CannotDo(problems)


def read_limits(at_most: Sequence[str], at_least: Sequence[str]) -> list[Limit]:
    """Limits from a command line: ``net_carbs_g=12``. Raises CannotDo with every mistake."""
    limits, problems = [], []
    for bound, written in [("at_most", w) for w in at_most] + [("at_least", w) for w in at_least]:
        place = Place(f"--{bound.replace('_', '-')}")
        name, equals, figure = (part.strip() for part in written.partition("="))
        if name not in LIMITED:
            meant = nearest(name, LIMITED, most=1)
            problems.append(
                error(
                    place,
                    "limit",
                    f"“{name}” is not a figure of a plate",
                    _in_words(written, place.file)
                    or (f"did you mean {meant[0]}?" if meant else f"one of {', '.join(LIMITED)}"),
                )
            )
        elif not equals or not _is_figure(figure):
            problems.append(error(place, "limit", f"“{written}” has no figure", f"write {name}=12"))
        else:
            limits.append(Limit(macro=name, bound=bound, figure=float(figure), place=place))
    if problems:
        raise CannotDo(problems)
    return limits


def _in_words(written: str, option: str) -> str:
    """What to write for *10 g net carbs*, which says a figure of a plate in words; empty where it does not."""
    figures = re.findall(r"\d+(?:\.\d+)?", written)
    said = f" {written.replace('=', ' ').casefold()} "
    names = [name for name in LIMITED if f" {words_of_macro(name)} " in said]
    return f"write {option} {max(names, key=len)}={figures[0]}" if len(figures) == 1 and names else ""


def _is_figure(text: str) -> bool:
    whole, _, part = text.partition(".")
    return bool(whole or part) and all(c in "0123456789" for c in whole + part) and len(text) < 12


def merged(limits: Sequence[Limit], own: Sequence[Limit]) -> list[Limit]:
    """The file's limits with those of the command line laid over them."""
    asked = {(limit.macro, limit.bound): limit for limit in [*limits, *own]}
    return list(asked.values())


def conflict_problems(suggestion: Suggestion, limits: Sequence[Limit]) -> list[Problem]:
    """One problem for each limit that contradicts the others, with the nearest figure that would do; where no limit is to
    blame, one for each dish that its own bounds leave no portion."""
    if suggestion.found.grams is None and not suggestion.found.conflict:
        served = zip(suggestion.choices, suggestion.meal.portions, strict=True)
        return [_no_portion(choice, portion.place) for choice, (portion, _, _) in served if not choice.servings]
    by_bound = {bound_of(limit): limit for limit in limits}
    less = _with_less(suggestion)
    names = " and ".join(words_of(bound) for bound, _ in suggestion.found.conflict)
    problems = []
    for bound, way in suggestion.found.ways:
        figures = " and ".join(words_of(b, figure) for b, figure in way)
        hint = f"with the others kept, {figures} would do together"
        problems.append(
            warning(by_bound[bound].place, "limits-contradict", f"no portions keep {words_of(bound)}", hint + less)
        )
    for bound, would_do in suggestion.found.conflict if not suggestion.found.ways else ():
        hint = "take it out" if would_do is None else f"with the others kept, {words_of(bound, would_do)} would do"
        problems.append(warning(by_bound[bound].place, "limits-contradict", f"no portions keep {names}", hint + less))
    return problems


def _with_less(suggestion: Suggestion) -> str:
    """What else would help: a smaller `least:` where only the usual least portion is in the way, or less certainty; empty where
    neither does."""
    served = [portion for portion, _, _ in suggestion.meal.portions]
    choices = [
        c if p.least_g is not None else replace(c, least_g=min(c.least_g, c.usual_g * SMALLEST_SHARE))
        for c, p in zip(suggestion.choices, served, strict=True)
    ]
    found = nearest_portions(choices, suggestion.bounds, suggestion.meal.extras, sure=suggestion.sure)
    if found is None and suggestion.sure:
        usual = nearest_portions(suggestion.choices, suggestion.bounds, suggestion.meal.extras)
        return "; or `--central`, which asks it of the best estimate alone" if usual is not None else ""
    small = zip(suggestion.choices, found or (), strict=found is not None)
    words = [f"`least: {format_grams(g)}` of {c.name}" for c, g in small if g < c.least_g - 1e-6]
    return f"; or write {' and '.join(words)}, which is less than half of what is usual" if words else ""


def _no_portion(choice: Choice, place: Place) -> Problem:
    least, most, step, usual = map(format_grams, (choice.least_g, choice.most_g, choice.step_g, choice.usual_g))
    if choice.most_g < choice.least_g:
        message = f"{choice.name} has {most} for each plate, and no portion of it is less than {least}"
        return warning(place, "no-portion", message, "cook more of it, or write fewer `plates:` or another `least:`")
    message = (
        f"{choice.name} has no portion from {least} to {most}: no whole number of {step} is, nor is the usual {usual}"
    )
    return warning(place, "no-portion", message, "write another `step:`, `least:` or `most:`")


def words_of(bound: Bound, figure: float | None = None) -> str:
    """``at most 12 g net carbs``."""
    return f"{'at most' if bound.at_most else 'at least'} {limit_words(bound.name, bound.figure if figure is None else figure)}"
