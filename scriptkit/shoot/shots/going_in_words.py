"""Where an addition goes, in words: into the pan, or onto the food that is salted, rubbed or brushed with it."""

from __future__ import annotations

from scriptkit.english.put_onto import put_onto
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.shoot.shots.framing import poured, pours, prep_words
from scriptkit.shoot.shots.leading_act import is_named

_SEASONS = frozenset({"salt", "pepper", "spice"})


def goes_in(additions: tuple[Addition, ...], step: Step, dish: Dish) -> str:
    """``Add the leek (sliced, 5 mm) to the wide pan``, ``Pour the stock into the pot``, ``Put the salt on the chicken``."""
    *first, last = [_made_ready(a) for a in additions]
    name = f"{', '.join(first)} and {last}" if first else last
    if onto := goes_onto(additions, step, dish):
        return f"Put the {name} on {onto}"
    verb, to = ("Pour", "into") if all(poured(a) for a in additions) else ("Add", "to")
    vessel = step.reading.written_vessel
    return f"{verb} the {name}" + (f" {to} the {vessel}" if vessel else "")


def goes_onto(additions: tuple[Addition, ...], step: Step, dish: Dish) -> str:
    """The food that all of them go on, in the words of the step: ``the chicken``; empty where they go into what it is cooked in."""
    found = {_onto(a.ingredient, step, dish) for a in additions}
    return found.pop() if len(found) == 1 else ""


def _made_ready(addition: Addition) -> str:
    prep = prep_words(addition)
    return f"{addition.ingredient.short_name} ({prep})" if prep else addition.ingredient.short_name


def _onto(ingredient: Ingredient, step: Step, dish: Dish) -> str:
    seasons = bool(_SEASONS & {ingredient.food.category, *words_of(ingredient.food.name)})
    things = put_onto(step.reading.said, lambda text: is_named(ingredient, text), seasons=seasons)
    return next((food for thing in things if (food := _food(thing, ingredient, dish))), "")


def _food(what: str, ingredient: Ingredient, dish: Dish) -> str:
    """The thing, if it is a piece of another ingredient; a liquid is stirred, and nothing lies on it."""
    named = [i for i in dish.ingredients if i is not ingredient and is_named(i, what)]
    if not named or any(pours(i.food) for i in named):
        return ""
    return what if what.casefold().startswith(("the ", "a ", "an ", "both ", "each ")) else f"the {what}"
