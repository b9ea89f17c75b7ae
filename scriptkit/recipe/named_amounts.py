"""An amount that names its food after it, as cooks write it: *2 eggs*, *2 tbsp Greek yoghurt*."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scriptkit.english.stems import stems_in
from scriptkit.measure.amounts import Cups, LeftOver, NotAnAmount, OwnMeasures, parse_amount
from scriptkit.pantry.lookup import Pantry, UnknownFood
from scriptkit.problems import any_of
from scriptkit.recipe.each import without_each
from scriptkit.recipe.forms import IngredientForm
from scriptkit.recipe.yaml_slips import quoted


def less_its_food(form: IngredientForm, key: str, pantry: Pantry, cups: Cups, measures: OwnMeasures) -> IngredientForm:
    """The ingredient with the food's name taken off its amount; where neither the key nor `food:` is a food that the pantry knows, what
    stood there is its food. The same where nothing is to be taken off."""
    try:
        parse_amount(form.amount, cups=cups, own=measures)
        return form
    except NotAnAmount:
        pass
    words = form.amount.split()
    for n in range(len(words) - 1, 0, -1):
        amount, name = " ".join(words[:n]), " ".join(words[n:])
        try:
            parse_amount(amount, cups=cups, own=measures)
        except NotAnAmount:
            continue
        own = set(stems_in(f"{key.replace('_', ' ')} {form.food or ''}"))
        if set(stems_in(name)) and set(stems_in(name)) <= own:
            return form.model_copy(update={"amount": amount})
        if form.food is None and not _known(pantry, key) and _known(pantry, name):
            return form.model_copy(update={"amount": amount, "food": name})
        return form
    return form


@dataclass(frozen=True, slots=True)
class Apart:
    """An ingredient whose amount had more in it: as it is meant, the message, and the line to write instead."""

    form: IngredientForm
    message: str
    fix: str


def taken_apart(form: IngredientForm, key: str, pantry: Pantry, cups: Cups, measures: OwnMeasures) -> Apart | None:
    """``8 thighs, bone in`` of *chicken* as an amount, a food and how it is got ready; None where nothing is left over after the amount."""
    try:
        parse_amount(without_each(form.amount)[0], cups=cups, own=measures)
        return None
    except LeftOver as wrong:
        amount, tail, message = wrong.amount, wrong.tail, str(wrong)
    except NotAnAmount:
        return None
    try:
        of = parse_amount(amount, cups=cups, own=measures)
    except NotAnAmount:
        return None
    name, unit = key.replace("_", " "), amount.split()[-1]
    found, others = _food_named(form, name, tail, unit, pantry)
    said = set(stems_in(found)) if found else set()
    prep = form.prep if set(stems_in(tail)) <= said else ", ".join(p for p in (form.prep, tail) if p)
    update = {"amount": amount, "prep": prep} | ({"food": found} if found else {})
    changed = form.model_copy(update=update)
    if set(form.model_fields_set) - {"amount", "food", "prep"}:
        fix = f"write `amount: {amount}`" + (f", with `prep: {_text(tail)}` beside it" if prep != form.prep else "")
        return Apart(changed, message, fix + (f" and `food: {_text(found)}`" if found else ""))
    values = [("amount", str(of) if amount == str(of) else amount), ("food", changed.food or ""), ("prep", prep)]
    line = ", ".join(f"{k}: {_text(value)}" for k, value in values if value)
    more = f", or {any_of([f'`food: {_text(other)}`' for other in others])} in it" if others else ""
    return Apart(changed, message, f"write `{key}: {{{line}}}`{more}")


def _food_named(form: IngredientForm, name: str, tail: str, unit: str, pantry: Pantry) -> tuple[str, list[str]]:
    """The food that the tail, or the piece that is counted, tells of the name; and what else it may be where nothing tells. Empty where
    the name is a food as it stands, or no food is near."""
    own = form.food or name
    for words in (f"{tail} {own}", f"{own} {tail}"):
        if (food := pantry.known(words)) is not None:
            return food.name, []
    if _known(pantry, own):
        return "", []
    for words in (f"{tail} {own} {unit}", f"{own} {unit}"):
        if (food := pantry.known(words)) is not None:
            return food.name, []
    near = [name for words in (f"{own} {unit}", own) for name in pantry.suggest(words)]
    first, *others = list(dict.fromkeys(near))[:4] or [""]
    return first, others


def _text(value: str) -> str:
    return quoted(value) if re.search(r"[,:#{}\[\]]", value) else value


def _known(pantry: Pantry, name: str) -> bool:
    try:
        pantry.meant(name)
    except UnknownFood:
        return False
    return True
