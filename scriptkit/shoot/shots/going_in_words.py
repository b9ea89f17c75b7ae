"""Where an addition goes, in words: into the pan, or onto the food that is salted, rubbed or brushed with it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.shoot.shots.framing import poured, pours, prep_words
from scriptkit.shoot.shots.leading_act import is_named

_ITSELF = frozenset({"salt", "pepper"})
"""Verbs that name what goes on."""
_SEASONS = frozenset({"salt", "pepper", "spice"})
_ONTO = frozenset({"brush", "dust", "massage", "rub", "season", "smear", "sprinkle"})
_WITH = re.compile(r"\b(?:with|in)\b", re.IGNORECASE)
_OVER = re.compile(r"\b(?:all over|into|onto|over|on)\b", re.IGNORECASE)
_THING = re.compile(
    r"^\s*(?:both sides of |all of |each of )?(?P<what>(?:the |a |an |both |each )?[\w'’-]+(?: [\w'’-]+){0,3})",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"[.;:!?]")
_VERB_OF = re.compile(r"(?:^|,|\band\b|\bthen\b)\s*(?P<verb>[a-z]+)\s+(?P<rest>[^.;:!?]*)", re.IGNORECASE)


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
    for sentence in _SENTENCE.split(step.reading.said):
        for verb, rest in _verbs(sentence):
            if verb in _ITSELF and is_named(ingredient, verb):
                target = _food(rest, ingredient, dish)
            elif verb in _ONTO:
                target = _put_on(verb, rest, ingredient, dish)
            else:
                continue
            if target:
                return target
    return ""


def _verbs(sentence: str) -> Iterator[tuple[str, str]]:
    """Each word that may be a verb, with what follows it in the sentence."""
    at = 0
    while found := _VERB_OF.search(sentence, at):
        yield found["verb"].casefold(), found["rest"]
        at = found.start("rest")


def _put_on(verb: str, rest: str, ingredient: Ingredient, dish: Dish) -> str:
    """*Rub the chicken with the spice*, *rub the spice over the chicken*, and of *season the chicken* its salt."""
    clause = re.split(r",|\bthen\b", rest, maxsplit=1, flags=re.IGNORECASE)[0]
    what, with_, by = _split(clause, _WITH)
    if with_ and " and " not in what:  # after which another verb would stand
        return _food(what, ingredient, dish) if is_named(ingredient, by) else ""
    what, over, where = _split(re.split(r"\band\b", clause, maxsplit=1)[0], _OVER)
    if over and is_named(ingredient, what):
        return _food(where, ingredient, dish)
    seasons = verb == "season" and bool(_SEASONS & {ingredient.food.category, *words_of(ingredient.food.name)})
    return _food(what, ingredient, dish) if seasons else ""


def _split(text: str, at: re.Pattern[str]) -> tuple[str, bool, str]:
    found = at.search(text)
    return (text[: found.start()], True, text[found.end() :]) if found else (text, False, "")


def _food(text: str, ingredient: Ingredient, dish: Dish) -> str:
    """The food with which the text begins, if it is a piece of another ingredient; a liquid is stirred, and nothing lies on it."""
    found = _THING.match(re.split(r"\b(?:and|with|in|on|over|then|until|for)\b|,", text, maxsplit=1)[0])
    if found is None:
        return ""
    what = found["what"].strip()
    named = [i for i in dish.ingredients if i is not ingredient and is_named(i, what)]
    if not named or any(pours(i.food) for i in named):
        return ""
    return what if what.casefold().startswith(("the ", "a ", "an ", "both ", "each ")) else f"the {what}"
