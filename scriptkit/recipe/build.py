"""From a filled form to the weighed dish: amounts, durations and foods are understood here, or told as problems."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from scriptkit.measure.amounts import Amount, Cups, Kind, NotAnAmount, parse_amount
from scriptkit.measure.durations import NotADuration, parse_duration
from scriptkit.measure.temperatures import NotATemperature, parse_temperature
from scriptkit.pantry.food import Composition, Food, HouseholdWeight
from scriptkit.pantry.labels import from_label
from scriptkit.pantry.lookup import Pantry, UnknownFood
from scriptkit.pantry.weighing import CannotWeigh, weigh
from scriptkit.problems import Problem, any_of, error, warning
from scriptkit.recipe.additions import read_steps
from scriptkit.recipe.cuts import cut_mm
from scriptkit.recipe.dish import Dish, Film, Ingredient, Kitchen, Limit, Meal, Portion
from scriptkit.recipe.forms import DishForm, FilmForm, IngredientForm, KitchenForm, LabelForm, MealForm
from scriptkit.recipe.yamltree import Path, Tree

TO_TASTE = ("to taste", "taste")
MOST_PER_SERVING_G = 3000.0
"""More of one ingredient for one eater than anyone cooks; a slipped unit is likelier (common sense, no source)."""
MOST_SEASONING_PER_SERVING_G = 60.0
_SEASONINGS = ("spice", "herb, dried", "baking")

T = TypeVar("T")


class Bench:
    """Reads the small texts of one file and collects what was wrong with them."""

    def __init__(self, tree: Tree, cups: Cups = Cups.US) -> None:
        self.tree = tree
        self.cups = cups
        self.problems: list[Problem] = []

    def read(self, reader: Callable[[str], T], text: str | None, *path: str | int) -> T | None:
        """What ``reader`` makes of the text at the path; None where there is no text or it is wrong, which is then told."""
        if text is None:
            return None
        try:
            return reader(text)
        except NotAnAmount as wrong:
            self.problems.append(error(self.tree.place(*path), wrong.code, str(wrong), wrong.hint))
        except (NotADuration, NotATemperature) as wrong:
            code = "duration" if isinstance(wrong, NotADuration) else "temperature"
            self.problems.append(error(self.tree.place(*path), code, str(wrong), wrong.hint))
        return None

    def amount(self, text: str | None, *path: str | int) -> Amount | None:
        return self.read(lambda t: parse_amount(t, cups=self.cups), text, *path)

    def duration(self, text: str | None, *path: str | int) -> int | None:
        return self.read(parse_duration, text, *path)

    def temperature(self, text: str | None, *path: str | int) -> float | None:
        return self.read(parse_temperature, text, *path)

    def grams(self, text: str | None, *path: str | int) -> float | None:
        """A text that must be a weight."""
        amount = self.amount(text, *path)
        if amount is not None and amount.kind is not Kind.MASS:
            self.problems.append(
                error(self.tree.place(*path), "amount", f"“{text}” is not a weight", "weigh it: write g, kg, oz or lb")
            )
            return None
        return None if amount is None else amount.grams

    def millilitres(self, text: str | None, *path: str | int) -> float | None:
        """A text that must be a volume."""
        amount = self.amount(text, *path)
        if amount is not None and amount.kind is not Kind.VOLUME:
            self.problems.append(
                error(self.tree.place(*path), "amount", f"“{text}” is not a volume", "write ml, l or cups")
            )
            return None
        return None if amount is None else amount.millilitres


def own_foods(forms: Mapping[str, LabelForm], tree: Tree) -> tuple[list[Food], list[Problem]]:
    """Foods read off labels under `foods:`."""
    bench = Bench(tree)
    return [_own_food(bench, name, form) for name, form in forms.items()], bench.problems


def _own_food(bench: Bench, name: str, form: LabelForm) -> Food:
    at: Path = ("foods", name)
    per_g = bench.grams(form.per, *at, "per")
    sodium = form.sodium_mg if form.sodium_mg is not None or form.salt_g is None else form.salt_g / 2.5 * 1000
    figures = {f: getattr(form, f) for f in _LABEL_FIGURES}
    composition = from_label(per_g=per_g, basis=form.basis, sodium_mg=sodium, **figures) if per_g else Composition()
    parts = [form.fat_g, form.protein_g, form.carbohydrate_g, form.alcohol_g]
    if per_g and sum(p for p in parts if p is not None) > per_g * 1.05:
        bench.problems.append(
            error(
                bench.tree.place(*at, key=True),
                "label",
                f"the macros of “{name}” weigh more than the {form.per} they are for",
                "check `per:`",
            )
        )
    weights = [_household(bench, name, words, weight) for words, weight in form.household.items()]
    return Food(
        name=name,
        category=form.category,
        source=f"label in {bench.tree.file}",
        composition=composition,
        synonyms=tuple(form.synonyms),
        refuse_share=None if form.refuse_percent is None else form.refuse_percent / 100,
        weights=tuple(w for w in weights if w is not None),
        allergens=tuple(form.allergens),
        safety=form.safety,
    )


_LABEL_FIGURES = (
    "energy_kcal",
    "fat_g",
    "saturated_g",
    "protein_g",
    "carbohydrate_g",
    "fibre_g",
    "polyols_g",
    "sugars_g",
    "alcohol_g",
)


def _household(bench: Bench, food: str, words: str, weight: str) -> HouseholdWeight | None:
    """``cup, chopped: 90 g`` or ``2 tbsp: 30 g``."""
    at: Path = ("foods", food, "household", words)
    measure, _, state = words.partition(",")
    text = measure if re.match(r"[\d½¼¾⅓⅔]", measure) else f"1 {measure}"
    amount = bench.amount(text, *at)
    grams = bench.grams(weight, *at)
    return HouseholdWeight(float(amount.value), amount.unit, state.strip(), grams, words) if amount and grams else None


def kitchen(bench: Bench, form: KitchenForm) -> Kitchen:
    jug = bench.millilitres(form.jug, "kitchen", "jug")
    return Kitchen(jug_fill=form.jug_fill) if jug is None else Kitchen(jug_ml=jug, jug_fill=form.jug_fill)


def film(bench: Bench, form: FilmForm) -> Film:
    opening = bench.duration(form.opening, "film", "opening")
    closing = bench.duration(form.closing, "film", "closing")
    return Film(opening_ms=opening or 0, closing_ms=closing or 0)


def dish(form: DishForm, tree: Tree, pantry: Pantry) -> tuple[Dish, list[Problem]]:
    """The dish, as far as it can be understood, and every problem on the way."""
    bench = Bench(tree, Cups(form.cups))
    found = [_ingredient(bench, key, one, pantry, form.servings) for key, one in form.ingredients.items()]
    ingredients = {i.key: i for i in found}
    listed = tuple((tree.data or {}).get("ingredients") or form.ingredients)
    steps = read_steps(bench, form.steps, ingredients)
    cooked_g, estimated = bench.grams(form.cooked_weight, "cooked_weight"), False
    if cooked_g is None:
        cooked_g, estimated = sum(i.grams for i in found if i.grams is not None), True
    cooked_ml = bench.millilitres(form.cooked_volume, "cooked_volume")
    serving_g = _serving(bench, form, cooked_g, cooked_ml)
    return Dish(
        name=form.dish,
        file=tree.file,
        promise=form.promise,
        servings=form.servings,
        serving_g=serving_g or cooked_g / form.servings,
        serving_stated=serving_g is not None,
        cooked_g=cooked_g,
        cooked_estimated=estimated,
        cooked_ml=cooked_ml,
        ingredients=tuple(found),
        listed=listed,
        steps=tuple(steps),
        kitchen=kitchen(bench, form.kitchen),
        film=film(bench, form.film),
        place=tree.place("dish"),
    ), bench.problems


def _serving(bench: Bench, form: DishForm, cooked_g: float, cooked_ml: float | None) -> float | None:
    """Grams of the stated serving, or None where none is stated or it cannot be told."""
    amount = bench.amount(form.serving, "serving")
    if amount is None:
        return None
    if amount.kind is Kind.MASS:
        grams = amount.grams
    elif amount.kind is Kind.VOLUME and cooked_ml:
        grams = amount.millilitres * cooked_g / cooked_ml
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
    if cooked_g and abs(grams * form.servings / cooked_g - 1) > 0.1:
        bench.problems.append(
            warning(bench.tree.place("serving"), "serving",
                    f"{form.servings:g} servings of {grams:.0f} g make {grams * form.servings:.0f} g, the batch is {cooked_g:.0f} g",
                    f"{form.servings:g} equal servings weigh {cooked_g / form.servings:.0f} g each")
        )  # fmt: skip
    return grams


def _ingredient(bench: Bench, key: str, form: IngredientForm, pantry: Pantry, servings: float) -> Ingredient:
    at: Path = ("ingredients", key)
    food = _food(bench, key, form, pantry)
    to_taste = form.amount.casefold() in TO_TASTE
    amount = None if to_taste else bench.amount(form.amount, *_amount_path(bench, at))
    grams = as_bought = None
    weighed_as = ""
    if amount is not None and food.source:
        try:
            weighed = weigh(food, amount, form.measured_as or form.prep)
        except CannotWeigh as wrong:
            code = "which-weight" if wrong.candidates else "no-weight"
            bench.problems.append(error(bench.tree.place(*_amount_path(bench, at)), code, str(wrong), wrong.hint))
        else:
            grams, weighed_as = weighed.grams, weighed.printed
            grams, as_bought = _refuse(bench, at, form, food, amount, grams)
            _absurd(bench, at, form, food, grams, servings)
    return Ingredient(
        key=key,
        food=food,
        amount=amount,
        grams=grams,
        as_bought_g=as_bought,
        prep=form.prep,
        measured_as=form.measured_as,
        mm=cut_mm(form.prep),
        place=bench.tree.place(*at, key=True),
        weighed_as=weighed_as,
    )


def _amount_path(bench: Bench, at: Path) -> Path:
    full = (*at, "amount")
    return full if full in bench.tree.values else at


def _food(bench: Bench, key: str, form: IngredientForm, pantry: Pantry) -> Food:
    name = form.food or key
    at: Path = ("ingredients", key)
    try:
        return pantry.find(name)
    except UnknownFood as wrong:
        place = bench.tree.place(*at, "food") if form.food else bench.tree.place(*at, key=True)
        meant = any_of([f"“{c}”" for c in wrong.candidates])
        say = (
            f"`food:` {meant}" if meant else "a name that `scriptkit food WORDS` finds, or put its label under `foods:`"
        )
        bench.problems.append(
            error(
                place,
                "unknown-food",
                str(wrong),
                f"write {say}" if not form.food else f"did you mean {meant}?" if meant else f"write {say}",
            )
        )
        return Food(name=name, category="unknown", source="", composition=Composition())


def _refuse(
    bench: Bench, at: Path, form: IngredientForm, food: Food, amount: Amount, grams: float
) -> tuple[float | None, float | None]:
    """Edible grams and grams as bought. A household weight is edible already; a weight is what `bought:` says it is."""
    share = food.refuse_share
    if form.bought == "ready" or amount.kind is not Kind.MASS:
        return grams, None if share is None or share >= 1 else grams / (1 - share)
    if share is None:
        bench.problems.append(
            error(bench.tree.place(*at, "bought"), "refuse", f"the pantry does not know how much of {food.name} is thrown away",
                  "weigh what is left after trimming, and write `bought: ready`")
        )  # fmt: skip
        return None, grams
    return grams * (1 - share), grams


def _absurd(bench: Bench, at: Path, form: IngredientForm, food: Food, grams: float | None, servings: float) -> None:
    most = MOST_SEASONING_PER_SERVING_G if food.category in _SEASONINGS else MOST_PER_SERVING_G
    if grams is not None and grams / servings > most:
        bench.problems.append(
            error(bench.tree.place(*_amount_path(bench, at)), "absurd-amount",
                  f"{form.amount} of {food.name} is {grams / servings:,.0f} g a serving", "check the unit and the servings")
        )  # fmt: skip


def meal(form: MealForm, tree: Tree, dishes: Sequence[Dish | None]) -> tuple[Meal, list[Problem]]:
    """The meal of the dishes that could be read."""
    bench = Bench(tree)
    portions = []
    for number, (written, one) in enumerate(zip(form.dishes, dishes, strict=True)):
        at: Path = ("dishes", number, "portion")
        if one is not None and (grams := _portion(bench, written.portion, one, at)) is not None:
            portions.append(Portion(dish=one, grams=grams, words=written.portion, place=tree.place(*at)))
    limits = [
        Limit(macro=macro, bound=bound, figure=figure, place=tree.place(bound, macro))
        for bound, figures in (("at_most", form.at_most), ("at_least", form.at_least))
        for macro, figure in figures.items()
    ]
    return Meal(
        name=form.meal,
        file=tree.file,
        promise=form.promise,
        plates=form.plates,
        portions=tuple(portions),
        limits=tuple(limits),
        kitchen=kitchen(bench, form.kitchen),
        film=film(bench, form.film),
        place=tree.place("meal"),
    ), bench.problems


_SERVINGS = re.compile(r"\bservings?\s*$", re.IGNORECASE)


def _portion(bench: Bench, words: str, of: Dish, at: Path) -> float | None:
    if _SERVINGS.search(words):
        amount = bench.amount(_SERVINGS.sub("", words) or "1", *at)
        return None if amount is None else float(amount.value) * of.serving_g
    return bench.grams(words, *at)


def portion_of(words: str, of: Dish, named_in: str) -> tuple[float | None, list[Problem]]:
    """Grams of a portion named outside a file (``250 g``, ``1/2 serving``), with what was wrong with it."""
    bench = Bench(Tree(named_in))
    return _portion(bench, words, of, ()), bench.problems
