"""An amount that names its food after it, as cooks write it: *2 eggs*, *2 tbsp Greek yoghurt*."""

from __future__ import annotations

from scriptkit.english.stems import stems_in
from scriptkit.measure.amounts import Cups, NotAnAmount, OwnMeasures, parse_amount
from scriptkit.pantry.lookup import Pantry, UnknownFood
from scriptkit.recipe.forms import IngredientForm


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


def _known(pantry: Pantry, name: str) -> bool:
    try:
        pantry.meant(name)
    except UnknownFood:
        return False
    return True
