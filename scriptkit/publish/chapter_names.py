"""Short names for chapters: what is done and to which food, from the step's own words."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence

from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Ingredient, Step

LONGEST = 40
"""Characters that a list of chapters shows on a phone (common practice, no source)."""

_SENTENCE_END = re.compile(r"[.;:!?(\[]")
_JOINED = re.compile(
    r"(?:,\s+|\s+)(?=(?:and|then|while|before|after|until|till|so that|as|when)\s)|,\s+", re.IGNORECASE
)
_AND = re.compile(r"^and\s+", re.IGNORECASE)
_STOP = re.compile(
    r"\s(?:in|into|on|onto|to|with|without|for|by|from|through|across|over|under|at|inside|gently|slowly|thinly|finely|until|till|"
    r"skin side|cut side|lengthways|crossways)\b.*",
    re.IGNORECASE,
)
_AFTER_THE_VERB = frozenset({
    "down", "in", "into", "off", "on", "onto", "out", "over", "through", "to", "together", "up", "with",
})  # fmt: skip
"""Words that belong to the verb: *stir in*, *take off*."""
_FIRST_OF_ALL = re.compile(
    r"^(?:(?:off|in|with|on|over|after|when|once|while|as|for|at|to)\s[^,.;:]*,\s*|(?:meanwhile|now|then|finally|next|first)\b,?\s*)"
    r"(?=\w)",
    re.IGNORECASE,
)
"""*Off the heat, stir in …*, *meanwhile*: what is done comes after it."""
_GEAR = frozenset({
    "board", "bowl", "fridge", "glass", "griddle", "grill", "oven", "pan", "plate", "pot", "rack", "sieve", "skillet", "steamer", "tin",
    "tray", "wok",
})  # fmt: skip
_NO_VERBS = frozenset({
    "after", "as", "back", "before", "for", "from", "in", "into", "off", "on", "once", "onto", "out", "over", "so", "straight", "till",
    "to", "until", "up", "when", "while", "with", "a", "an", "each", "both", "half", "one", "two", "three", "four", "five", "six",
})  # fmt: skip
_SAYS_LITTLE = frozenset({"add", "bring", "keep", "leave", "let", "place", "put", "return", "take"})
_SEARCHED_LESS = _SAYS_LITTLE | {"ladle", "plate", "pour", "season", "serve", "spoon", "stir", "top", "turn"}
"""Nobody looks for these in a film; of several steps another names their chapter."""
_PRONOUNS = frozenset({"it", "them", "everything", "all", "this", "these", "that"})
_DETERMINERS = frozenset({"the", "a", "an", "some", "all", "both", "half", "more", "remaining"})
_HOW = frozenset({
    "carefully", "coarsely", "finely", "first", "gently", "lightly", "now", "quickly", "roughly", "slowly", "then",
    "thinly", "thoroughly", "well",
})  # fmt: skip


def step_name(step: Step, dish: Dish) -> str:
    """``Soften the fennel``, ``Plate the bisque``: the verb and what it is done to.

    The cook's own `chapter:` goes first; of a sentence that names no food, the dish stands for it.
    """
    if step.chapter:
        return " ".join(step.chapter.split())
    foods = _food_words(dish)
    sentence = _SENTENCE_END.split(_FIRST_OF_ALL.sub("", step.do.strip()), maxsplit=1)[0]
    whole = f"the {_short(dish)}"
    first = ""
    clauses = _clauses(sentence, foods)
    for clause, following in itertools.zip_longest(clauses, clauses[1:], fillvalue=""):
        name = _shared(clause, following, foods) or _of_clause(clause, foods, whole)
        first = first or name[0]
        if name[0] and name[1]:
            return _fitted(_capital(name[0]))
    return _fitted(_capital(first or _added(step) or sentence)) or f"Step {step.number}"


def _added(step: Step) -> str:
    """``Add the cream and butter``: of a sentence without a verb (*back in the pot with the cream*), what goes in."""
    names = [a.ingredient.name for a in step.additions]
    return f"add the {_and(names)}" if names else ""


def says_much(name: str) -> bool:
    """Whether a viewer would look for it: *sear the hake*, and not *stir in the cream*."""
    return name.partition(" ")[0].casefold() not in _SEARCHED_LESS


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
    names = list(dict.fromkeys(i.name for step, _ in steps for i in _handled(step)))
    if not names:
        return step_name(*steps[0])
    fewer = [f"Prep: {', '.join(names[:count])} and more" for count in range(len(names) - 1, 0, -1)]
    texts = [f"Prep: {_and(names)}", *fewer]
    return next((text for text in texts if len(text) <= LONGEST), _fitted(texts[-1]))


def finished_name(dish: Dish) -> str:
    """``Hake, finished``: of a name that is too long, the thing that it names."""
    name = f"{_capital(dish.short)}, finished"
    return name if len(name) <= LONGEST else _fitted(f"{_capital(_short(dish))}, finished")


def _handled(step: Step) -> list[Ingredient]:
    """What a step gets ready; where it names nothing of that, what goes in."""
    return list(step.uses) or [a.ingredient for a in step.additions]


def _food_words(dish: Dish) -> set[str]:
    return {w for i in dish.ingredients for w in (*words_of(i.name), *words_of(i.food.name.partition(",")[0]))}


def _clauses(sentence: str, foods: set[str]) -> list[str]:
    """Parts of a sentence, each with its own verb; a list of foods stays in one piece."""
    parts: list[str] = []
    for part in _JOINED.split(sentence):
        said = _AND.sub("", part).strip()
        if not said:
            continue
        goes_on = (
            parts and _is_thing(said, foods) and not part.casefold().startswith(("then", "while", "until", "till"))
        )
        if goes_on:
            parts[-1] += (" and " if _AND.match(part) else ", ") + said
        else:
            parts.append(re.sub(r"^then\s+", "", said, flags=re.IGNORECASE))
    return parts


def _is_thing(text: str, foods: set[str]) -> bool:
    """Whether the text goes on a list (*the stock*, *wine*) and is no clause of its own (*salt the skin*)."""
    words = text.casefold().split()
    if words[0] in _DETERMINERS:
        return True
    following = words[1] if len(words) > 1 else ""
    return bool(set(words_of(words[0])) & foods) and following not in _DETERMINERS | _PRONOUNS


def _shared(clause: str, following: str, foods: set[str]) -> tuple[str, bool] | None:
    """Of *hull and halve the strawberries* what both verbs share: ``Hull the strawberries``."""
    words = following.split()
    if len(clause.split()) > 1 or len(words) < 2 or not _is_thing(" ".join(words[1:]), foods):
        return None
    thing = _STOP.sub("", " " + " ".join(words[1:])).strip()
    return (f"{clause} {thing}", True) if set(words_of(thing)) & foods else None


def _is_gear(words: Sequence[str], foods: set[str]) -> bool:
    """Whether it is where something is done (*in the oven*, *on a rack*), and no food."""
    told = set(words_of(" ".join(words[:3])))
    return bool(told & _GEAR) and not told & foods


def _of_clause(clause: str, foods: set[str], whole: str) -> tuple[str, bool]:
    """The clause's verb with what it is done to, and whether that says anything; a pronoun becomes the dish."""
    words = clause.split()
    while len(words) > 1 and words[0].casefold() in _HOW:
        words = words[1:]
    verb = [words[0]]
    rest = words[1:]
    goes_with = len(rest) > 1 and rest[0].casefold() in _AFTER_THE_VERB
    if goes_with and not _is_gear(rest[1:], foods) and _is_thing(" ".join(rest[1:]), foods):
        verb.append(rest[0])
        rest = rest[1:]
    thing = _STOP.sub("", " " + " ".join(rest)).strip().rstrip(",")
    if verb[0].casefold() in _NO_VERBS:
        return "", False
    if not thing:
        return f"{verb[0]} {whole}", verb[0].casefold() not in _SAYS_LITTLE
    head, *more = thing.split()
    if head.casefold() in _PRONOUNS and head.casefold() not in ("all", "everything"):
        off = [w for w in more[:1] if w.casefold() in _AFTER_THE_VERB]
        return " ".join([*verb, *off, whole]), verb[0].casefold() not in _SAYS_LITTLE
    return " ".join([*verb, thing]), True


def _short(dish: Dish) -> str:
    """The dish as a sentence calls it: its short name, else the thing that its name names (*seeded loaf*: loaf)."""
    if dish.short != dish.name:
        return dish.short
    words = re.split(r"\s(?:with|in|on|of|from|à|au)\s|,", dish.name)[0].split()
    return words[-1].lower() if words else dish.name


def _fitted(name: str) -> str:
    """At most ``LONGEST`` characters: of a list its beginning, else whole words."""
    name = " ".join(name.split())
    while len(name) > LONGEST and re.search(r",| and ", name):
        name = _without_last(name)
    if len(name) > LONGEST:
        name = name[: LONGEST - 1].rsplit(" ", 1)[0].rstrip(" ,.-–") + "…"
    return name


def _without_last(name: str) -> str:
    """A list without its end: ``Whisk the flour and the oats``."""
    left = re.split(r",\s*(?=[^,]*$)|\s+and\s+(?!.*\sand\s)", name)[0]
    return left if " and " in left else " and ".join(left.rsplit(", ", 1))


def _and(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
