"""From a filled form to the weighed dish: amounts, durations and foods are understood here, or told as problems."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Collection, Mapping, Sequence

from scriptkit.measure.amounts import Amount, Cups, Kind, NotAnAmount, OwnMeasures, parse_amount
from scriptkit.pantry.food import Food
from scriptkit.pantry.food_forms import Meant
from scriptkit.pantry.lookup import Pantry, UnknownFood
from scriptkit.pantry.names import fold
from scriptkit.pantry.weighing import CannotWeigh, Weighed
from scriptkit.problems import Problem, any_of, error, note, warning
from scriptkit.recipe.additions import TO_TASTE, read_steps
from scriptkit.recipe.batch_weight import batch_weight
from scriptkit.recipe.cooked import cooked_ingredients, estimated_weight
from scriptkit.recipe.cuts import cut_mm
from scriptkit.recipe.discarded import juices_problems, lost_shares
from scriptkit.recipe.dish import Dish, Ingredient
from scriptkit.recipe.display_names import names_of, told_apart
from scriptkit.recipe.dissolved import less_what_dissolves
from scriptkit.recipe.doubt import doubt_problem, read_doubt, read_servings_doubt
from scriptkit.recipe.each import of_all, without_each
from scriptkit.recipe.edible import amount_path, asked_parts, left_on, less_its_part, weighed_in
from scriptkit.recipe.formcheck import UNREAD
from scriptkit.recipe.forms import DishForm, IngredientForm
from scriptkit.recipe.mass_balance import AS_WEIGHED, cooked_weight_problems, on_the_scale
from scriptkit.recipe.named_amounts import less_its_food, taken_apart
from scriptkit.recipe.parts import food_of_dish, unread_food
from scriptkit.recipe.publication_fields import published
from scriptkit.recipe.settings import answers, film, kitchen
from scriptkit.recipe.step_flow import left_behind, relinked
from scriptkit.recipe.user_foods import allergen_words, how_to_weigh
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yaml_slips import quoted
from scriptkit.recipe.yamltree import Path, Tree

SERVINGS = re.compile(r"\bservings?\s*$", re.IGNORECASE)
MOST_PER_SERVING_G = 3000.0
"""More of one ingredient for one eater than anyone cooks; a slipped unit is likelier (common sense, no source)."""
MOST_SEASONING_PER_SERVING_G = 60.0
"""The same of spices, dried herbs and what raises or sets a dough (common sense, no source)."""
_SEASONINGS = ("spice", "herb, dried")
_AGENTS = frozenset({
    "baking powder", "bicarbonate of soda", "carob powder", "cocoa powder", "cocoa powder, dutch-process", "cream of tartar",
    "gelatine", "pectin powder", "yeast, dried", "yeast, fresh",
})  # fmt: skip
"""Of what is for baking, what nobody eats by the plateful, as one does chocolate and pastry."""


def dish(
    form: DishForm,
    tree: Tree,
    pantry: Pantry,
    parts: Mapping[str, Dish | None] | None = None,
    measures: OwnMeasures | None = None,
    units: str = "",
) -> tuple[Dish, list[Problem]]:
    """The dish, as far as it can be understood, and every problem on the way.

    ``parts`` are the dishes that ingredients are, by key; None where one could not be read, which has been told.
    ``measures`` are the kitchen's own.
    """
    bench = FieldParser(tree, Cups(form.cups), measures, units=units)
    beside = frozenset(fold(name) for key, one in form.ingredients.items() for name in (key, one.food or ""))
    found = [
        ingredient(bench, ("ingredients", key), one, pantry, form.servings, parts, beside=beside)
        for key, one in form.ingredients.items()
    ]
    taken_out = [
        _taken_out(bench, ("left_in_pan", key), one, pantry, form.servings) for key, one in form.left_in_pan.items()
    ]
    found = told_apart(found)
    ingredients = {i.key: i for i in found}
    listed = tuple((tree.data or {}).get("ingredients") or form.ingredients)
    steps = read_steps(bench, form.steps, ingredients, form.servings, form.ingredients)
    if any(step.takes or step.left_behind or step.reading.disposed for step in steps):
        lessened = left_behind(bench, steps, found)
        if lessened != found:
            found, steps = lessened, relinked(steps, lessened)
    found, steps = less_what_dissolves(bench, found, steps)
    cooking = cooked_ingredients(found, steps, taken_out)
    bench.problems += juices_problems(bench, found, steps, cooking)
    raw_g = sum(i.grams for i in found if i.grams is not None) if all(i.readable for i in found) else None
    weight = estimated_weight(found, steps, cooking, taken_out)
    batch = batch_weight(bench, form, found, None if raw_g is None else weight.grams)
    weighed_g = batch.eaten_g
    elsewhere = any(
        p.code == "not-taken-over" for p in bench.problems
    )  # another dish may take it: the batch is lighter
    if raw_g and weighed_g and not elsewhere:
        place = bench.tree.place("cooked_weight")
        bench.problems += cooked_weight_problems(place, str(form.cooked_weight), weighed_g, found, taken_out, cooking)
    estimated = weighed_g is None
    cooked_g = weight.grams if weighed_g is None else weighed_g
    cooked_ml = bench.millilitres(form.cooked_volume, "cooked_volume")
    serving_g = batch.serving_g(_serving(bench, form, cooked_g, cooked_ml), form.servings)
    if (form.cooked_weight is None and raw_g is not None) or weighed_g is not None:
        _servings_make_batch(bench, form, serving_g, cooked_g)
    return Dish(
        name=form.dish,
        short=form.short or form.dish,
        file=tree.file,
        promise=form.promise,
        goodbye=form.goodbye,
        servings=form.servings,
        doubt=read_servings_doubt(bench, form.unsure),
        as_published=_as_published(form),
        as_published_place=tree.place("as_published", key=True) if form.as_published else None,
        serving_g=serving_g or cooked_g / form.servings,
        serving_stated=serving_g is not None,
        cooked_g=cooked_g,
        cooked_estimated=estimated,
        cooked_uneaten_g=batch.uneaten_g,
        cooked_ml=cooked_ml,
        cooked_by=weight.by if estimated else (),
        cooking=cooking,
        cooked_low_g=weight.low_g if estimated else None,
        cooked_high_g=weight.high_g if estimated else None,
        keeps_ms=bench.duration(form.keeps, "keeps"),
        made_ahead=form.made_ahead,
        taken_out=tuple(taken_out),
        ingredients=tuple(found),
        listed=listed,
        steps=tuple(steps),
        kitchen=kitchen(bench, form.kitchen),
        film=film(bench, form.film),
        place=tree.place("dish"),
        cups=bench.cups,
        measures=bench.measures,
        published=published(bench, form),
        answered=answers(bench, form),
        promise_place=tree.place("promise") if form.promise else None,
        goodbye_place=tree.place("goodbye") if ("goodbye",) in tree.values else None,
        steps_readable=not any(_holds_additions(path) for path in tree.unread),
    ), bench.problems


def _as_published(form: DishForm) -> tuple[tuple[str, float], ...]:
    figures = {} if form.as_published is None else form.as_published.model_dump(exclude_none=True)
    return tuple((name, float(figure)) for name, figure in figures.items())


def _holds_additions(path: Path) -> bool:
    """Whether what stands at the path of a dish may name ingredients."""
    return path[:1] == ("steps",) and (len(path) <= 2 or path[2] == "uses" or path[2:] == ("add",))


def _serving(bench: FieldParser, form: DishForm, cooked_g: float, cooked_ml: float | None) -> float | None:
    """Grams of the stated serving, or None where none is stated or it cannot be told."""
    amount = bench.amount(form.serving, "serving")
    if amount is None:
        return None
    if amount.kind is Kind.MASS:
        grams = amount.grams
    elif amount.kind is Kind.VOLUME and cooked_ml:
        grams = amount.millilitres * cooked_g / cooked_ml
    elif amount.kind is Kind.VOLUME and form.cooked_volume is not None:
        return None  # the batch's volume could not be read, which has been told
    elif amount.kind is Kind.VOLUME:
        bench.problems.append(
            error(bench.tree.place("serving"), "serving", f"“{form.serving}” is a volume, and the batch's volume is not known",
                  "write `cooked_volume:`, or the serving in grams")
        )  # fmt: skip
        return None
    else:
        bench.problems.append(
            error(
                bench.tree.place("serving"),
                "serving",
                f"“{form.serving}” is not a weight or a volume",
                "write grams, such as 320 g",
            )
        )
        return None
    return grams


def _servings_make_batch(bench: FieldParser, form: DishForm, grams: float | None, cooked_g: float) -> None:
    if ("servings",) in bench.tree.unread or grams is None or not cooked_g:
        return
    if abs(grams * form.servings / cooked_g - 1) > 0.1:
        bench.problems.append(
            warning(bench.tree.place("serving"), "serving",
                    f"{form.servings:g} servings of {grams:.0f} g make {grams * form.servings:.0f} g, the batch is {cooked_g:.0f} g",
                    f"{form.servings:g} equal servings weigh {cooked_g / form.servings:.0f} g each")
        )  # fmt: skip


def ingredient(
    bench: FieldParser,
    at: Path,
    form: IngredientForm,
    pantry: Pantry,
    servings: float,
    parts: Mapping[str, Dish | None] | None = None,
    known: Ingredient | None = None,
    beside: Collection[str] = (),
) -> Ingredient:
    """The ingredient at this path, weighed; what could not be told of it is among the bench's problems. ``known`` is an
    ingredient that it is some of, which then need not be named again; ``beside`` are the folded names of what else goes in."""
    key = str(at[-1])
    if form.dish is None and known is None:
        form = less_its_food(less_its_part(form), key, pantry, bench.cups, bench.measures)
        form = _apart(bench, at, form, pantry)
    part = (parts or {}).get(key)
    to_taste = form.amount.casefold() in TO_TASTE
    if known is not None:
        food, part = known.food, known.dish
    elif form.dish is None:
        food = _as_labelled(bench, at, form, _food(bench, at, form, pantry, beside))
    else:
        food = unread_food(form.dish) if part is None else food_of_dish(part)
        _food_or_dish(bench, at, form)
    amount = None if to_taste or form.amount == UNREAD else _amount(bench, at, form, part, servings)
    asked = (
        None
        if form.dish is not None or known is not None or not food.source
        else asked_parts(form, key, food, amount, pantry)
    )
    if asked is not None:
        food = _as_labelled(bench, at, form, asked.food(pantry))
    grams = as_bought = None
    weighed = Weighed(0.0)
    if amount is not None and food.source:
        try:
            ends = bench.between(form.between, *at, "between")
            weighed, grams, as_bought = weighed_in(bench, at, form, food, asked, amount, ends)
        except CannotWeigh as wrong:
            code = "which-weight" if wrong.candidates else "no-weight"
            if form.weighed is None:  # else the scale says it
                hint = wrong.hint if wrong.candidates else how_to_weigh(food, amount, bench.units, wrong.hint)
                bench.problems.append(error(bench.tree.place(*amount_path(bench, at)), code, str(wrong), hint))
        else:
            _absurd(bench, at, form, food, grams, servings)
    with_it = left_on(form, key, food, amount) if grams and as_bought else ""
    if form.weighed is not None:
        eaten = grams / as_bought if with_it and grams and as_bought else 1.0
        on_scale = grams / eaten if grams else grams
        weighed = on_the_scale(bench, at, form.weighed, on_scale, to_taste=to_taste) or weighed
        if weighed.printed == AS_WEIGHED:
            grams, as_bought = weighed.grams * eaten, weighed.grams if with_it else None
    left, strained = lost_shares(bench, at, form, food, grams)
    doubt = read_doubt(bench, (*at, "unsure"), form.unsure)
    if doubt is not None:
        bench.problems.append(doubt_problem(key.replace("_", " "), doubt))
    return Ingredient(
        key=key,
        food=food,
        amount=amount,
        grams=grams,
        as_bought_g=as_bought,
        prep=form.prep,
        measured_as=form.measured_as,
        mm=cut_mm(form.prep),
        pack=bench.amount(form.pack, *at, "pack"),
        place=bench.tree.place(*at, key=True),
        dish=part,
        left_share=left,
        strained_share=strained,
        optional=form.optional,
        made_ahead=form.made_ahead,
        juices=form.juices or "",
        doubt=doubt,
        weighed_as=weighed.printed,
        weight_low_g=weighed.low_g,
        weight_high_g=weighed.high_g,
        borrowed=weighed.borrowed,
        with_it=with_it,
        called=names_of(key, None if form.dish else form.food, amount, form.prep),
        food_written=(not form.dish and form.food) or "",
        bought_as=asked.whole
        if asked is not None and (amount is None or amount.kind is Kind.COUNT or form.bought == "whole")
        else None,
        readable=(to_taste and form.dish is None) or (bool(food.source) and (to_taste or grams is not None)),
    )


def _amount(bench: FieldParser, at: Path, form: IngredientForm, part: Dish | None, servings: float) -> Amount | None:
    """The amount, all of it; of a dish, servings count as pieces."""
    text, each = without_each(form.amount)
    if form.dish is not None and (found := SERVINGS.search(text)):
        text = text[: found.start()].strip() or "1"
    if (amount := bench.amount(text, *amount_path(bench, at))) is not None and each:
        amount = of_all(amount, servings)
    if (
        form.dish is not None
        and amount is not None
        and amount.kind is Kind.VOLUME
        and part is not None
        and not part.cooked_ml
    ):
        bench.problems.append(
            error(bench.tree.place(*amount_path(bench, at)), "no-weight", f"nothing says what {form.amount} of {part.name} weighs",
                  f"write grams or servings, or `cooked_volume:` in {part.file}")
        )  # fmt: skip
        return None
    return amount


def _food_or_dish(bench: FieldParser, at: Path, form: IngredientForm) -> None:
    for name, written in (("food", form.food is not None), ("bought", form.bought == "whole")):
        if written:
            bench.problems.append(
                error(bench.tree.place(*at, name, key=True), "food-or-dish", f"`{name}:` has no effect beside `dish:`",
                      "leave one of them out: a dish's food and refuse stand in its own file")
            )  # fmt: skip


def _taken_out(bench: FieldParser, at: Path, form: IngredientForm, pantry: Pantry, servings: float) -> Ingredient:
    """What comes out of the food and is not eaten: it must be weighed, and can only be a food."""
    found = ingredient(bench, at, form, pantry, servings)
    if found.to_taste:
        bench.problems.append(
            error(bench.tree.place(*amount_path(bench, at)), "amount", f"how much {found.name} is left in the pan is not said",
                  "pour it off and weigh it: 12 g")
        )  # fmt: skip
    for name in ("dish", "left_in_pan", "strained_out"):
        if getattr(form, name) is not None:
            bench.problems.append(
                error(bench.tree.place(*at, name, key=True), "left-in-pan", f"`{name}:` has no effect on what is left in the pan",
                      "write the weight and the `food:` that it is nearest to, such as lard")
            )  # fmt: skip
    return found


def _apart(bench: FieldParser, at: Path, form: IngredientForm, pantry: Pantry) -> IngredientForm:
    """The ingredient without what is left over after its amount, which is told with the line to write."""
    apart = taken_apart(form, str(at[-1]), pantry, bench.cups, bench.measures)
    if apart is None:
        return form
    bench.problems.append(error(bench.tree.place(*amount_path(bench, at)), "amount", apart.message, apart.fix))
    return apart.form


def _food(bench: FieldParser, at: Path, form: IngredientForm, pantry: Pantry, beside: Collection[str]) -> Food:
    name = form.food or str(at[-1])
    try:
        meant = _meant(bench, form, pantry, name, beside)
        if meant.because:
            words = f"“{name}”, {meant.because}, is taken as {meant.food.name}"
            bench.problems.append(
                note(bench.tree.place(*at, key=True), "food-by-form", words, "write `food:` if it is another")
            )
        return meant.food
    except UnknownFood as wrong:
        unread = unread_food(name)
        if bench.tree.unread & {at, (*at, "food")}:
            return unread  # what it is may stand in what could not be read
        place = bench.tree.place(*at, "food") if form.food else bench.tree.place(*at, key=True)
        # nothing is counted of what is to taste; that its allergens are not known is told with the allergens
        tell = warning if form.amount.casefold() in TO_TASTE else error
        bench.problems.append(tell(place, "unknown-food", str(wrong), _named_so(bench, at, form, wrong.candidates)))
        return unread


def _named_so(bench: FieldParser, at: Path, form: IngredientForm, candidates: Sequence[str]) -> str:
    """What to write for a food that the pantry has under another name: whole, where the ingredient is one line with its amount alone."""
    if not candidates:
        return "write a name that `scriptkit food WORDS` finds, or put its label under `foods:`"
    first, *others = [f"food: {quoted(c) if ',' in c else c}" for c in candidates]
    if (*at, "amount") in bench.tree.values or (*at, "each") in bench.tree.values or form.amount == UNREAD:
        return f"write {any_of([f'`{one}`' for one in (first, *others)])}"
    beside = f", or {any_of([f'`{one}`' for one in others])} in it" if others else ""
    return f"write `{at[-1]}: {{amount: {form.amount}, {first}}}`{beside}"


def _meant(bench: FieldParser, form: IngredientForm, pantry: Pantry, name: str, beside: Collection[str]) -> Meant:
    """The food of this name in its form. A name under `food:` that the pantry has is meant as it stands."""
    if form.food and (food := pantry.known(form.food)) is not None:
        return Meant(food)
    try:
        amount = parse_amount(without_each(form.amount)[0], cups=bench.cups, own=bench.measures)
    except NotAnAmount:  # to taste, or told where it is read
        return pantry.meant(name, prep=form.prep, unit=form.amount.casefold(), beside=beside)
    volume = amount.kind is Kind.VOLUME
    return pantry.meant(name, prep=form.measured_as or form.prep, unit=amount.unit, by_volume=volume, beside=beside)


def _as_labelled(bench: FieldParser, at: Path, form: IngredientForm, food: Food) -> Food:
    """The food with what the label of the cook's make adds to it, and no longer *may contain*."""
    if form.allergens is None:
        return food
    words = allergen_words(bench, (*at, "allergens"), form.allergens)
    held = tuple(dict.fromkeys((*food.allergens, *words)))
    return dataclasses.replace(food, allergens=held, may_contain=(), allergens_stated=True)


def _absurd(
    bench: FieldParser, at: Path, form: IngredientForm, food: Food, grams: float | None, servings: float
) -> None:
    seasoning = food.category in _SEASONINGS or food.name in _AGENTS
    most = MOST_SEASONING_PER_SERVING_G if seasoning else MOST_PER_SERVING_G
    if ("servings",) not in bench.tree.unread and grams is not None and grams / servings > most:
        bench.problems.append(
            error(bench.tree.place(*amount_path(bench, at)), "absurd-amount",
                  f"{form.amount} of {food.name} is {grams / servings:,.0f} g a serving", "check the unit and the servings")
        )  # fmt: skip
