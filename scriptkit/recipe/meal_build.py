"""From a filled form to the meal: dishes with their portions, what is added at the table, and the limits of a plate."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from scriptkit.measure.amounts import Amount, Kind, format_grams
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import Problem, error, warning
from scriptkit.recipe.bench import Bench
from scriptkit.recipe.build import ingredient
from scriptkit.recipe.cooked import published_yield
from scriptkit.recipe.dish import Dish, Extra, Limit, Meal, Portion
from scriptkit.recipe.forms import IngredientForm, MealForm, OnlyMealForm, PortionForm
from scriptkit.recipe.settings import film, kitchen
from scriptkit.recipe.yamltree import Path, Tree

_SERVINGS = re.compile(r"\bservings?\s*$", re.IGNORECASE)


def meal(form: MealForm, tree: Tree, dishes: Sequence[Dish | None], pantry: Pantry) -> tuple[Meal, list[Problem]]:
    """The meal of the dishes that could be read, and every problem on the way."""
    bench = Bench(tree)
    portions: list[Portion] = []
    extras = list(_extras(bench, form.at_table, ("at_table",), pantry, "at the table"))
    for number, (written, one) in enumerate(zip(form.dishes, dishes, strict=True)):
        at: Path = ("dishes", number)
        extras += _extras(bench, written.poured_over, (*at, "poured_over"), pantry, "poured over")
        if one is not None and (portion := _portion_of(bench, written, one, at)) is not None:
            portions.append(portion)
            _within_batch(bench, portion)
    complete = len(portions) == len(form.dishes) and all(i.readable for p in portions for i in p.dish.ingredients)
    return Meal(
        name=form.meal,
        file=tree.file,
        promise=form.promise,
        plates=form.plates,
        portions=tuple(portions),
        extras=tuple(extras),
        # where a dish could not be read nothing is known about the plate, and why has been told
        limits=tuple(_limits(form, tree, ())) if complete else (),
        only_meal=tuple(_limits(form.only_meal, tree, ("only_meal",))) if form.only_meal and complete else None,
        kitchen=kitchen(bench, form.kitchen),
        film=film(bench, form.film),
        place=tree.place("meal"),
    ), bench.problems


def _limits(form: MealForm | OnlyMealForm, tree: Tree, at: Path) -> Iterator[Limit]:
    for bound, figures in (("at_most", form.at_most), ("at_least", form.at_least)):
        for macro, figure in figures.items():
            yield Limit(macro=macro, bound=bound, figure=figure, place=tree.place(*at, bound, macro))


def _extras(bench: Bench, forms: Mapping[str, IngredientForm], at: Path, pantry: Pantry, how: str) -> Iterator[Extra]:
    for key, form in forms.items():
        yield Extra(ingredient=ingredient(bench, (*at, key), form, pantry, servings=1.0), how=how)


def _portion_of(bench: Bench, form: PortionForm, of: Dish, at: Path) -> Portion | None:
    if form.raw is not None:
        grams, words = _piece(bench, form, of, at), f"{form.raw} raw"
    else:
        grams, words = portion_grams(bench, form.portion, of, (*at, "portion")), form.portion
    if grams is None:
        return None
    return Portion(
        dish=of,
        grams=grams,
        words=words,
        place=bench.tree.place(*at, "raw" if form.raw is not None else "portion"),
        step_g=bench.grams(form.step, *at, "step"),
        least_g=bench.grams(form.least, *at, "least"),
        most_g=bench.grams(form.most, *at, "most"),
    )


def _piece(bench: Bench, form: PortionForm, of: Dish, at: Path) -> float | None:
    """One raw piece as it is served: by its own yield, else as the measured batch, else by the published yield."""
    raw = bench.grams(form.raw, *at, "raw")
    if raw is None:
        return None
    weighed = [i for i in of.ingredients if i.grams]
    went_in = sum(i.grams or 0.0 for i in weighed)
    if form.cooked_share is not None:
        return raw * form.cooked_share
    if not of.cooked_estimated and went_in:
        return raw * of.cooked_g / went_in
    heaviest = max(weighed, key=lambda i: i.grams or 0.0, default=None)
    found = published_yield(heaviest, of.steps) if heaviest else None
    if found is None:
        bench.problems.append(
            error(bench.tree.place(*at, "raw"), "portion", f"what {form.raw} of {of.name} weighs cooked is not known",
                  "weigh it and write `cooked_share: 0.75`, or the dish's `cooked_weight:`")
        )  # fmt: skip
        return None
    return raw * found.share


def _within_batch(bench: Bench, portion: Portion) -> None:
    if portion.grams > portion.dish.cooked_g * 1.1 and all(i.readable for i in portion.dish.ingredients):
        bench.problems.append(
            warning(portion.place, "portion",
                    f"one plate takes {format_grams(portion.grams)} of {portion.dish.name}, the batch is {format_grams(portion.dish.cooked_g)}",
                    "check the unit, or cook more of it")
        )  # fmt: skip


def portion_grams(bench: Bench, words: str, of: Dish, at: Path) -> float | None:
    """Grams of ``1/2 serving``, ``250 g`` or ``1 cup`` of the dish; None where they cannot be told, which is then a problem."""
    if _SERVINGS.search(words):
        amount = bench.amount(_SERVINGS.sub("", words) or "1", *at)
        return None if amount is None else float(amount.value) * of.serving_g
    amount = bench.amount(words, *at)
    if amount is None or amount.kind is Kind.MASS:
        return None if amount is None else amount.grams
    return _measured(bench, amount, words, of, at)


def _measured(bench: Bench, amount: Amount, words: str, of: Dish, at: Path) -> float | None:
    if amount.kind is Kind.VOLUME and of.cooked_ml:
        return amount.millilitres * of.cooked_g / of.cooked_ml
    hint = f"write grams or servings, or `cooked_volume:` in {of.file}"
    if amount.kind is not Kind.VOLUME:
        hint = "write grams or servings, such as 180 g or 1/2 serving"
    bench.problems.append(
        error(bench.tree.place(*at), "portion", f"what “{words}” of {of.name} weighs is not known", hint)
    )
    return None


def portion_of(words: str, of: Dish, named_in: str) -> tuple[float | None, list[Problem]]:
    """Grams of a portion named outside a file (``250 g``, ``1/2 serving``), with what was wrong with it."""
    bench = Bench(Tree(named_in))
    return portion_grams(bench, words, of, ()), bench.problems
