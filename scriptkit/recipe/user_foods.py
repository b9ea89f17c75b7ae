"""A cook's own foods: read off the labels under `foods:` of a dish or of the `pantry.yaml` beside it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from scriptkit.measure.amounts import Amount, Cups, OwnMeasures
from scriptkit.measure.numbers import format_number
from scriptkit.measure.unit_system import US
from scriptkit.measure.words import unit_words
from scriptkit.pantry.allergens import NONE, allergen_word, allergens
from scriptkit.pantry.food import Food, HouseholdWeight
from scriptkit.pantry.labels import from_label
from scriptkit.pantry.physics import faults
from scriptkit.pantry.sweeteners import POLYOLS
from scriptkit.pantry.weighing import SIZES
from scriptkit.problems import Problem, any_of, error, nearest
from scriptkit.recipe.forms import LabelForm
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path, Tree

_LABEL = "label in "


def own_foods(
    forms: Mapping[str, LabelForm], tree: Tree, cups: Cups = Cups.US, measures: OwnMeasures | None = None
) -> tuple[list[Food], list[Problem]]:
    """Foods read off labels under `foods:`; their household cups, spoons and measures are those of the file."""
    bench = FieldParser(tree, cups, measures)
    return [_own_food(bench, name, form) for name, form in forms.items()], bench.problems


def _own_food(bench: FieldParser, name: str, form: LabelForm) -> Food:
    at: Path = ("foods", name)
    per_g = bench.grams(form.per, *at, "per")
    composed_g = per_g or 100.0  # a weight that could not be read has been told
    sodium = form.sodium_mg if form.sodium_mg is not None or form.salt_g is None else form.salt_g / 2.5 * 1000
    figures = {f: getattr(form, f) for f in _LABEL_FIGURES}
    kinds = {kind: getattr(form, f"{kind}_g") for kind in _KINDS}
    composition = from_label(per_g=composed_g, basis=form.basis, sodium_mg=sodium, kinds=kinds, **figures)
    _impossible(bench, name, form, per_g)
    weights = [_household(bench, name, words, weight) for words, weight in form.household.items()]
    return Food(
        name=name,
        category=form.category,
        source=f"{_LABEL}{bench.tree.file}",
        composition=composition,
        synonyms=tuple(form.synonyms),
        refuse_share=None if form.refuse_percent is None else form.refuse_percent / 100,
        weights=tuple(w for w in weights if w is not None),
        allergens=allergen_words(bench, (*at, "allergens"), form.allergens or ()),
        may_contain=allergen_words(bench, (*at, "may_contain"), form.may_contain),
        allergens_stated=form.allergens is not None,
        safety=form.safety,
    )


def _impossible(bench: FieldParser, name: str, form: LabelForm, per_g: float | None) -> None:
    """An error for each figure of the label that cannot be, at its place."""
    if not per_g:
        return
    figures = {f: getattr(form, f) for f in (*_LABEL_FIGURES, *_KIND_FIGURES, "sodium_mg", "salt_g")}
    for fault in faults(per_g, form.basis, figures):
        at: Path = ("foods", name, fault.figure)
        written = at in bench.tree.values
        place = bench.tree.place(*at) if written else bench.tree.place("foods", name, key=True)
        bench.problems.append(error(place, "label", f"“{name}”: {fault.message}", fault.hint))


def allergen_words(bench: FieldParser, at: Path, written: Sequence[str]) -> tuple[str, ...]:
    """The tables' words for what the label names. ``none`` says that it names nothing."""
    found: list[str] = []
    for n, words in enumerate(written):
        word = allergen_word(words)
        if word is None and words.casefold() not in (NONE, ""):
            path: Path = (*at, n)
            meant = nearest(words, allergens(), most=1)
            hint = f"did you mean “{meant[0]}”? " if meant else ""
            bench.problems.append(
                error(bench.tree.place(*(path if path in bench.tree.values else at)), "allergen",
                      f"“{words}” is on no list of allergens", f"{hint}write {any_of(list(allergens()))}, or none")
            )  # fmt: skip
        elif word is not None:
            found.append(word)
    return tuple(dict.fromkeys(found))


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
_KINDS = (*POLYOLS, "allulose")
_KIND_FIGURES = tuple(f"{kind}_g" for kind in _KINDS)


def _household(bench: FieldParser, food: str, words: str, weight: str) -> HouseholdWeight | None:
    """``cup, chopped: 90 g`` or ``2 tbsp: 30 g``."""
    at: Path = ("foods", food, "household", words)
    measure, _, state = words.partition(",")
    text = measure if re.match(r"[\d½¼¾⅓⅔]", measure) else f"1 {measure}"
    amount = bench.amount(text, *at)
    grams = bench.grams(weight, *at)
    return HouseholdWeight(float(amount.value), amount.unit, state.strip(), grams, words) if amount and grams else None


def how_to_weigh(food: Food, amount: Amount, units: str, hint: str) -> str:
    """What to write where nothing says what so many of a food weigh, in the cook's units; ``hint``: what else would do."""
    one, several = (unit_words(amount.unit, several=many) for many in (False, True))
    weighed, such_as = ("ounces", "15 oz") if units == US else ("grams", "400 g")
    if food.source.startswith(_LABEL):
        says = f"what one {one or 'piece'} weighs with {food.name} under `foods:`"
        return f"write {weighed}, or {says}, such as `household: {{{one or 'piece'}: {such_as}}}`"
    hint = hint.replace("write grams", f"write {weighed}", 1)
    if not one or amount.unit in SIZES:
        return hint
    own = f"`measures: {{my {one}: {such_as}}}` and, here, `{format_number(amount.value)} my {one if amount.value == 1 else several}`"
    return f"{hint}; or say what yours holds, such as {own}"
