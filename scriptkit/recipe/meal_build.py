"""From a filled form to the meal: dishes with their portions, what is added at the table, and the limits of a plate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from scriptkit.measure.amounts import OwnMeasures, format_grams
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import Problem, Severity, error, note, warning
from scriptkit.recipe.build import ingredient
from scriptkit.recipe.cooked import the_piece, with_yield
from scriptkit.recipe.dish import Dish, Extra, Limit, Meal, Portion
from scriptkit.recipe.exchanged import exchanged, made_g
from scriptkit.recipe.forms import IngredientForm, MealForm, OnlyMealForm, PortionForm
from scriptkit.recipe.meal_takeovers import takeover_problems
from scriptkit.recipe.portions import SERVING, not_weighed, served
from scriptkit.recipe.publication_fields import published
from scriptkit.recipe.settings import film, kitchen
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path, Tree

POURED_TOO_MUCH = 1.05
"""More of what was left in the pan than so many times it is poured over: a scale is finer (common practice, no source)."""


def meal(
    form: MealForm,
    tree: Tree,
    dishes: Sequence[Dish | None],
    pantry: Pantry,
    parts: Mapping[Path, Dish | None] | None = None,
    measures: OwnMeasures | None = None,
    pantry_measures: OwnMeasures | None = None,
) -> tuple[Meal, list[Problem]]:
    """The meal of the dishes that could be read, and every problem on the way. ``parts`` are the dishes that are poured over
    or stand at the table, by the path of their ingredient; ``measures`` are the kitchen's own,
    some of them only the pantry's."""
    bench = FieldParser(tree, measures=measures, pantry_measures=pantry_measures)
    portions: list[Portion] = []
    dishes = _exchanged(bench, dishes)
    extras = list(_extras(bench, form.at_table, ("at_table",), pantry, "at the table", parts or {}))
    for number, (written, one) in enumerate(zip(form.dishes, _with_yields(bench, form, dishes), strict=True)):
        at: Path = ("dishes", number)
        poured = _extras(bench, written.poured_over, (*at, "poured_over"), pantry, "poured over", parts or {}, one)
        extras += poured
        if one is not None and (portion := _portion_of(bench, written, one, at)) is not None:
            portions.append(portion)
            _poured_back(bench, list(poured), one, form.plates)
    _within_batches(bench, portions, form.plates)
    sound = all(p.severity is not Severity.ERROR for p in bench.problems)
    if sound and ("plates",) not in tree.values and (made := _as_many_as_made(portions)) > 1:
        words = f"one plate is counted, as `plates:` is not written; the dishes make {made}"
        bench.problems.append(note(tree.place("meal"), "plates", words, f"write `plates: {made}` below it"))
    bench.problems += _crossed(form, tree, ())
    bench.problems += _crossed(form.only_meal, tree, ("only_meal",)) if form.only_meal else ()
    complete = len(portions) == len(form.dishes) and all(i.readable for p in portions for i in p.dish.ingredients)
    return Meal(
        name=form.meal,
        file=tree.file,
        promise=form.promise,
        goodbye=form.goodbye,
        plates=form.plates,
        portions=tuple(portions),
        extras=tuple(extras),
        # where a dish could not be read nothing is known about the plate, and why has been told
        limits=tuple(_limits(form, tree, ())) if complete else (),
        only_meal=tuple(_limits(form.only_meal, tree, ("only_meal",))) if form.only_meal and complete else None,
        kitchen=kitchen(bench, form.kitchen, len(form.dishes)),
        film=film(bench, form.film),
        place=tree.place("meal"),
        promise_place=tree.place("promise") if form.promise else None,
        goodbye_place=tree.place("goodbye") if ("goodbye",) in tree.values else None,
        published=published(bench, form),
    ), bench.problems


def _exchanged(bench: FieldParser, dishes: Sequence[Dish | None]) -> list[Dish | None]:
    """The dishes with what they take over from one another; where that is wrong, as they are."""
    once: dict[str, Dish] = {}
    open_ends = [dish for dish in dishes if dish is not None]
    while open_ends:
        dish = open_ends.pop(0)
        if dish.file not in once:
            once[dish.file] = dish
            open_ends += [i.dish for i in dish.ingredients if i.dish is not None]
    if not any(one.dish for dish in once.values() for step in dish.steps for one in step.takes):
        return list(dishes)
    problems = list(takeover_problems(list(once.values()), made_g))
    bench.problems += problems
    if problems:
        return list(dishes)
    changed = {dish.file: dish for dish in exchanged(list(once.values()))}
    return [None if dish is None else changed[dish.file] for dish in dishes]


def _limits(form: MealForm | OnlyMealForm, tree: Tree, at: Path) -> Iterator[Limit]:
    for bound, figures in (("at_most", form.at_most), ("at_least", form.at_least)):
        for macro, figure in figures.items():
            yield Limit(macro=macro, bound=bound, figure=figure, place=tree.place(*at, bound, macro))


def _crossed(form: MealForm | OnlyMealForm, tree: Tree, at: Path) -> Iterator[Problem]:
    """Limits of one figure that leave nothing between them."""
    for macro, least in form.at_least.items():
        most = form.at_most.get(macro)
        if most is not None and least > most:
            place = tree.place(*at, "at_least", macro)
            words = f"at least {least:g} and at most {most:g} of {macro} leave nothing between them"
            yield error(
                place, "limits-cross", words, "correct one of them: the figure of `at_least:` is the smaller one"
            )


def _extras(
    bench: FieldParser,
    forms: Mapping[str, IngredientForm],
    at: Path,
    pantry: Pantry,
    how: str,
    parts: Mapping[Path, Dish | None],
    of: Dish | None = None,
) -> list[Extra]:
    """What else lies on one plate; an ingredient of the dish, or what is left in its pan, goes by its name there."""
    own = {i.key: i for i in (*of.ingredients, *of.taken_out)} if of is not None else {}
    extras = []
    for key, form in forms.items():
        path: Path = (*at, key)
        known = own.get(key) if form.food is None and form.dish is None else None
        found = ingredient(bench, path, form, pantry, 1.0, {key: parts.get(path)}, known)
        for name in ("left_in_pan", "strained_out"):
            if getattr(form, name) is not None:
                bench.problems.append(
                    error(bench.tree.place(*path, name, key=True), "left-in-pan", f"`{name}:` has no effect on what is on the plate",
                          "write the amount that is eaten")
                )  # fmt: skip
        extras.append(Extra(ingredient=found, how=how))
    return extras


def _poured_back(bench: FieldParser, poured: Sequence[Extra], of: Dish, plates: int) -> None:
    """More poured over than the pan holds."""
    left = {i.key: i.grams for i in of.taken_out if i.grams}
    left |= {i.key: i.grams * i.left_share for i in of.ingredients if i.grams and i.left_share}
    for extra in poured:
        one = extra.ingredient
        if one.key in left and one.grams and one.grams * plates > left[one.key] * POURED_TOO_MUCH:
            each = f"{format_grams(one.grams)} a plate for {plates} plates" if plates > 1 else format_grams(one.grams)
            bench.problems.append(
                warning(one.place, "poured-over", f"{each}: more {one.name} than the {format_grams(left[one.key])} left in the pan of {of.name}",
                        f"{format_grams(left[one.key] / plates)} a plate is all of it")
            )  # fmt: skip


def _with_yields(bench: FieldParser, form: MealForm, dishes: Sequence[Dish | None]) -> list[Dish | None]:
    """Dishes that nobody weighed, with the yield that the meal gives for the piece that is the dish."""
    found = list(dishes)
    given: dict[str, float] = {}
    for number, (written, one) in enumerate(zip(form.dishes, dishes, strict=True)):
        if one is None or written.cooked_share is None or not one.cooked_estimated:
            continue
        if given.setdefault(one.file, written.cooked_share) != written.cooked_share:
            bench.problems.append(
                error(bench.tree.place("dishes", number, "cooked_share"), "cooked-share",
                      f"{one.name} has another cooked share above: {given[one.file]:g}", "one pan has one yield: write it once")
            )  # fmt: skip
    weighed: dict[str, Dish] = {}  # one for each file: a dish served twice stays one dish
    for number, one in enumerate(dishes):
        if one is not None and one.file in given and (piece := the_piece(one)) is not None:
            if one.file not in weighed:
                weighed[one.file] = with_yield(one, piece, given[one.file])
            found[number] = weighed[one.file]
    return found


def _portion_of(bench: FieldParser, form: PortionForm, of: Dish, at: Path) -> Portion | None:
    if (into := _all_goes_into(of)) is not None:
        servings = f"{of.servings:g} serving" + ("" if of.servings == 1 else "s")
        hint = (
            f"write `{_taken_step(of)}: half` or another part in {into}; or, if it is eaten only there, delete this dish here, write "
            f"`{of.short.lower()}: {{amount: {servings}, dish: {form.dish}}}` below `ingredients:` of {into}, and `add:` it in place of that `from:`"
        )
        message = f"nothing of {of.name} is left to serve: all of it goes into {into}"
        bench.problems.append(error(bench.tree.place(*at, "portion"), "portion", message, hint))
        return None
    if form.raw is not None:
        grams, words, by_share = _piece(bench, form, of, at), f"{form.raw} raw", True
    else:
        found = served(bench, form.portion, of, (*at, "portion"))
        grams, words = (None if found is None else found.grams), form.portion
        by_share = (
            found is not None
            and found.measure is not None
            and not (of.serving_stated and found.measure.unit == SERVING)
        )
    _one_portion(bench, form, at)
    step, least, most = (served(bench, getattr(form, n), of, (*at, n)) for n in ("step", "least", "most"))
    if grams is None:
        return None
    return Portion(
        dish=of,
        grams=grams,
        words=words,
        by_share=by_share,
        place=bench.tree.place(*at, "raw" if form.raw is not None else "portion"),
        step_g=step.grams if step else None,
        step=step.measure if step else None,
        least_g=least.grams if least else None,
        most_g=most.grams if most else None,
        made_ahead=form.made_ahead,
    )


def _all_goes_into(of: Dish) -> str | None:
    """The dish of the meal that takes over all that this one makes; None where something of it is left."""
    gone = [i for i in of.ingredients if i.grams]
    into = next((i.behind_into for i in gone if i.behind_into), None)
    return into if into is not None and all(i.lost_share >= 1 for i in gone) else None


def _taken_step(of: Dish) -> str:
    """``Harbour dough/knead``: what another dish takes over from."""
    number = next(i.behind_at for i in of.ingredients if i.behind_into)
    return f"{of.name}/{next(s.id for s in of.steps if s.number == number)}"


def _one_portion(bench: FieldParser, form: PortionForm, at: Path) -> None:
    """`portion:` and `raw:` are two ways of saying one thing, and `cooked_share:` belongs to the second."""
    if form.raw is not None and (*at, "portion") in bench.tree.values:
        place = bench.tree.place(*at, "portion", key=True)
        bench.problems.append(error(place, "portion", "`portion:` stands beside `raw:`", "keep the one that you weigh"))
    if form.raw is None and form.cooked_share is not None:
        place = bench.tree.place(*at, "cooked_share", key=True)
        bench.problems.append(
            error(place, "portion", "`cooked_share:` has no effect without `raw:`", "write the raw weight of the piece")
        )


def _piece(bench: FieldParser, form: PortionForm, of: Dish, at: Path) -> float | None:
    """Grams as served of one raw piece with its share of everything else in the pan."""
    raw = bench.grams(form.raw, *at, "raw")
    if raw is None:
        return None
    piece = the_piece(of)
    if piece is None:
        not_weighed(bench, (*at, "raw"), form.raw or "", of, "write the portion in grams or servings")
        return None
    if form.cooked_share is not None and not of.cooked_estimated:
        return raw * form.cooked_share
    whole = piece.as_bought_g if piece.bought_whole else piece.scale_g
    return of.cooked_g * raw / whole if whole else None


POT_ROUNDING = 1.02
"""Portions may be a little more than the batch: they are rounded, and a scale is no finer (common practice, no source)."""


def _as_many_as_made(portions: Sequence[Portion]) -> int:
    """How many whole plates the batches of all dishes give, of which one plate at least."""
    each: dict[str, float] = {}
    made: dict[str, float] = {}
    for one in portions:
        each[one.dish.file] = each.get(one.dish.file, 0.0) + one.grams
        made[one.dish.file] = one.dish.cooked_g * POT_ROUNDING
    return max(1, int(min((made[file] / grams for file, grams in each.items() if grams > 0), default=1.0)))


def _within_batches(bench: FieldParser, portions: Sequence[Portion], plates: int) -> None:
    """Plates that take more of a dish than there is."""
    for first in portions:
        same = [p for p in portions if p.dish is first.dish]
        if same[0] is not first or not all(i.readable for i in first.dish.ingredients):
            continue
        grams = sum(p.grams for p in same) * plates
        if grams > first.dish.cooked_g * POT_ROUNDING:
            takes = "one plate takes" if plates == 1 else f"{plates} plates take"
            bench.problems.append(
                warning(first.place, "portion",
                        f"{takes} {format_grams(grams)} of {first.dish.name}, the batch is {format_grams(first.dish.cooked_g)}",
                        f"it serves {int(first.dish.cooked_g / grams * plates + 1e-6)}: check the unit, write fewer `plates:` or cook more of it")
            )  # fmt: skip
