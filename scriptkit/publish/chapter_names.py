"""Short names for chapters: what is done and to which food, from the step's own words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from scriptkit.english.deeds import SAYS_MOST, SAYS_NOTHING, SEARCHED_LESS, Deed
from scriptkit.publish.step_deeds import best_deed, is_served
from scriptkit.recipe.dish import Dish, Ingredient, Step

LONGEST = 40
"""Characters that a list of chapters shows on a phone (common practice, no source)."""
COOKS_MS = 5 * 60_000
"""What stands on the heat so long is cooking, whatever its words say (common sense, no source)."""
_PUT = frozenset({"drop", "lay", "place", "put", "return", "set", "sit", "throw", "tip"})
"""Ways of putting in that nobody searches for."""
_DETERMINER = re.compile(r"(?<=, )(?:the|a|an|some) |(?<= and )(?:the|a|an|some) ", re.IGNORECASE)


def step_name(step: Step, dish: Dish) -> str:
    """``Soften the fennel``, ``Plate the bisque``: the verb that a viewer would search for and what it is done to.

    The cook's own `chapter:` goes first; of words that name no food, the dish stands for it.
    """
    if step.chapter:
        return " ".join(step.chapter.split())
    best = best_deed(step, dish)
    if best is None or best.says <= SAYS_NOTHING:
        return _fitted(
            _capital(_by_what_it_is(step, dish) or (_words(best, dish) if best else step.do.strip(" .")))
        ) or (f"Step {step.number}")
    if (
        best.says < SAYS_MOST
        and step.reading.marinates
        and (meat := _soaked(step))
        and not step.reading.throws_a_marinade_away
    ):
        return _fitted(f"Marinate the {meat}")
    if best.verb in _PUT and step.additions:
        return _capital(_with_foods("add", [a.ingredient.short_name for a in step.additions]))
    return _fitted(_capital(_words(best, dish)))


def _soaked(step: Step) -> str:
    """What is marinated: meat, fish or eggs, else nothing."""
    return next((a.ingredient.short_name for a in step.additions if a.ingredient.food.safety), "")


def _words(deed: Deed, dish: Dish) -> str:
    """The deed as a name, with what it goes onto where that fits."""
    thing = deed.thing or f"the {_short(dish)}"
    whole = f"{deed.verb} {thing}"
    return f"{whole} {deed.onto}" if deed.onto and len(f"{whole} {deed.onto}") <= LONGEST else whole


def _by_what_it_is(step: Step, dish: Dish) -> str:
    """Of words that say little: that it is served, what goes in, or that it cooks."""
    if is_served(step):
        return f"serve the {_short(dish)}"
    if step.additions:
        return _with_foods("add", [a.ingredient.short_name for a in step.additions])
    return f"cook the {_short(dish)}" if step.reading.heat.on and step.wait_ms and step.wait_ms >= COOKS_MS else ""


def _with_foods(verb: str, names: Sequence[str]) -> str:
    """``add the cream and butter``: as many of the foods as fit."""
    texts = (f"{verb} the {_and(names[:count])}" for count in range(len(names), 1, -1))
    return next((text for text in texts if len(text) <= LONGEST), f"{verb} the {names[0]}")


def says_much(name: str) -> bool:
    """Whether a viewer would look for it: *sear the hake*, and not *stir in the cream*."""
    return name.partition(" ")[0].casefold() not in SEARCHED_LESS


def then_name(first: str, later: str) -> str:
    """``Sear, then rest the chops``: of two steps in one chapter, what begins first and ``later``, written as in a sentence. Where both
    do not fit, the first alone."""
    verb, the, thing = first.partition(" the ")
    then = f", then {later}"
    if the and later.endswith(f" the {thing}"):
        return verb + then if len(verb + then) <= LONGEST else first
    texts = [first, *_shorter(first)]
    return next((text + then for text in texts if len(text + then) <= LONGEST), first)


def _shorter(name: str) -> Iterator[str]:
    """A list of foods with ever fewer of them."""
    while re.search(r",| and ", name):
        name = _without_last(name)
        yield name


def joined_name(steps: Sequence[tuple[Step, Dish]]) -> str:
    """``Prep: celeriac, fennel and chives``: of prep steps together, what they get ready."""
    names = got_ready([step for step, _ in steps])
    if not names:
        return step_name(*steps[0])
    fewer = [f"Prep: {', '.join(names[:count])} and more" for count in range(len(names) - 1, 0, -1)]
    texts = [f"Prep: {_and(names)}", *fewer]
    return next((text for text in texts if len(text) <= LONGEST), _fitted(texts[-1]))


def finished_name(dish: Dish) -> str:
    """``Hake, finished``: of a name that is too long, the thing that it names."""
    name = f"{_capital(dish.short)}, finished"
    return name if len(name) <= LONGEST else _fitted(f"{_capital(_short(dish))}, finished")


def got_ready(steps: Sequence[Step]) -> list[str]:
    """The foods that the steps get ready, each once."""
    return list(dict.fromkeys(i.short_name for step in steps for i in _handled(step)))


def _handled(step: Step) -> list[Ingredient]:
    """What a step gets ready; where it names nothing of that, what goes in."""
    return list(step.uses) or [a.ingredient for a in step.additions]


def _short(dish: Dish) -> str:
    """The dish as a sentence calls it: its short name, else the thing that its name names (*seeded loaf*: loaf)."""
    if dish.short != dish.name:
        return dish.short
    words = re.split(r"\s(?:with|in|on|of|from|à|au)\s|,", dish.name)[0].split()
    return words[-1].lower() if words else dish.name


def _fitted(name: str) -> str:
    """At most ``LONGEST`` characters: of a list its beginning, else whole words."""
    name = " ".join(name.split())
    if len(name) > LONGEST:
        name = _DETERMINER.sub("", name)
    while len(name) > LONGEST and re.search(r",| and ", name):
        name = _without_last(name)
    if len(name) > LONGEST:
        name = name[: LONGEST - 1].rsplit(" ", 1)[0].rstrip(" ,.-–") + "…"
    return name


def _without_last(name: str) -> str:
    """A list without its end: ``Whisk the flour and the oats``."""
    first, *rest = re.split(r",\s*(?:and\s+)?|\s+and\s+", name)
    return _and([first, *rest[:-1]])


def _and(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
