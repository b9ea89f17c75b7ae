"""The narration: amounts filled in as they are spoken, how long a line takes to say, and the amounts it names itself."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from scriptkit.english.plurals import singular
from scriptkit.measure.amounts import Amount, Cups
from scriptkit.measure.durations import NotADuration, parse_duration
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.spoken import SpokenFigure, amounts_in
from scriptkit.measure.unit_system import said_amount
from scriptkit.measure.words import amount_and_name, spoken_words, stands_before_the_name
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step
from scriptkit.recipe.leading_units import spoken_measure

BEAT_MS = 1_000
"""A ``[pause]`` that does not say how long (common practice, no source)."""

_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
_ASIDE = re.compile(r"\[([^\[\]]*)\]")
_SENTENCE = re.compile(r"(?<=[.!?…])[\"”’)]*\s+")
_CLAUSE = re.compile(r"(?<=[,;:.!?…–—])[\"”’)]*\s+")
_NEXT_WORDS = re.compile(r"(?:\s+[^\W\d_][\w'’-]*){1,4}")


# --- how long it takes ------------------------------------------------------------------------------------------------


def line_ms(text: str, words_a_minute: float) -> int:
    """How long the line takes at the presenter's own rate, with the pauses written in it: ``[pause]``, ``[pause 2 s]``. The
    rate is of whole sentences, so that the breath after one is in it.

    >>> line_ms("Soft and glossy, no colour. [pause 2 s]", 150)
    4000
    """
    return round_half_up(len(spoken_words(text)) * 60_000 / words_a_minute) + pauses_ms(text)


def measured_rate(text: str, spoken_ms: int) -> float | None:
    """The words a minute at which the line takes so long as it was measured; None of no words. The pauses written in the line
    are pauses of the reading.

    >>> measured_rate("Soft and glossy, no colour.", 2000)
    150.0
    """
    words = len(spoken_words(text))
    return words * 60_000 / max(1, spoken_ms - pauses_ms(text)) if words else None


def pauses_ms(text: str) -> int:
    """All pauses written in the text; a bare ``[pause]`` or ``[beat]`` is ``BEAT_MS``, another aside nothing."""
    return sum(_pause(aside) for aside in _ASIDE.findall(text))


def _pause(aside: str) -> int:
    words = aside.strip().casefold()
    if not words.startswith(("pause", "beat")):
        return 0  # a direction: [smile]
    try:
        return parse_duration(words.removeprefix("pause").removeprefix("beat"))
    except NotADuration:
        return BEAT_MS


def words_for(ms: int, words_a_minute: float) -> int:
    """How many words are said in this time, at least 1."""
    return max(1, round_half_up(ms * words_a_minute / 60_000))


def sentences(text: str) -> list[str]:
    """Parted after a full stop, ``!``, ``?`` or ``…``, in order; of no text, none."""
    return [s for s in _SENTENCE.split(text.strip()) if s]


def clauses(sentence: str) -> list[str]:
    """Parts that a picture can change between."""
    return [s for s in _CLAUSE.split(sentence.strip()) if s]


# --- amounts filled in ------------------------------------------------------------------------------------------------


def narration_of(step: Step, dish: Dish) -> str:
    """The step's line with each ``{name}`` filled in: the amount that goes in at this step, in the unit that is on screen,
    and what it is of where the line does not go on with it. A name that is not known stays as it is."""
    going_in = {a.ingredient.key: a for a in step.additions}
    listed = {i.key: i for i in dish.ingredients}
    out, end = [], 0
    for found in _PLACEHOLDER.finditer(step.say):
        out.append(step.say[end : found.start()])
        end = found.end()
        name = found.group(1)
        if name not in listed:
            out.append(found.group())
            continue
        amount = spoken_amount(going_in[name]) if name in going_in else listed[name].amount
        text, taken = _in_place(amount, listed[name], step.say[end:])
        if (
            name in going_in
            and going_in[name].each is not None
            and not _EACH_SAID.search(_sentence_of(step.say, found))
        ):
            text += " each"
        out.append(_capital(text) if _begins(out) else text)
        end += taken
    return " ".join("".join([*out, step.say[end:]]).split())


_EACH_SAID = re.compile(r"\b(?:each|every|per|apiece|an? (?:head|person|serving|portion|bowl|plate))\b", re.IGNORECASE)
"""The line says itself that it is of each."""


def _sentence_of(text: str, found: re.Match[str]) -> str:
    """The sentence around a placeholder, without the braces."""
    start = max((m.end() for m in _SENTENCE.finditer(text, 0, found.start())), default=0)
    ahead = _SENTENCE.search(text, found.end())
    return _PLACEHOLDER.sub(" ", text[start : ahead.start() if ahead else len(text)])


def spoken_amount(addition: Addition) -> Amount | None:
    """As it stands on screen: the cook's own measure, else a weight; None to taste, or where nothing tells."""
    return spoken_measure(addition)


def _in_place(amount: Amount | None, ingredient: Ingredient, rest: str) -> tuple[str, int]:
    """What the placeholder becomes, and how much of the text after it goes with it."""
    name = ingredient.name
    named = set(words_of(name))
    after = _NEXT_WORDS.match(rest)
    following = after.group().split() if after else []
    of_it = following[:1] == ["of"] and bool(named & set(words_of(" ".join(following[1:]))))
    whole_name = re.match(rf"\s+of\s+(?:the\s+)?{re.escape(name)}\b", rest, re.IGNORECASE)
    if amount is None:
        return f"{name} to taste", whole_name.end() if whole_name else 0
    if whole_name and stands_before_the_name(amount):  # three of egg
        return _counted(amount, ingredient), whole_name.end()
    words = said_amount(amount)
    if of_it or following[:1] == ["of"]:
        return words, 0
    if following:
        last = words.rsplit(" ", 1)
        if len(last) > 1 and singular(last[-1].casefold()) == singular(following[0].casefold()):
            return last[0], 0  # {egg} large eggs
        if named & set(words_of(" ".join(following[:2]))):
            return words, 0
    return (f"{words} of {name}" if amount.unit == "ounce" else _counted(amount, ingredient, following)), 0


def _counted(amount: Amount, ingredient: Ingredient, following: Sequence[str] = ()) -> str:
    """``four chicken legs``, and not four chickens; without the last word where that follows."""
    name = _called(ingredient) if stands_before_the_name(amount) else ingredient.name
    text = amount_and_name(amount, name)
    doubled = bool(following) and singular(following[0].casefold()) == name.rsplit(" ", 1)[-1]
    return text.rsplit(" ", 1)[0] if doubled else text


def _called(ingredient: Ingredient) -> str:
    """What is counted: the name as the papers have it, where that says more than the cook's own."""
    said = set(words_of(ingredient.name))
    return singular(ingredient.short_name) if said < set(words_of(ingredient.short_name)) else ingredient.name


def _begins(before: list[str]) -> bool:
    """Whether what follows begins a sentence."""
    return re.search(r"(?:^|[.!?…][\"”’)]*\s+)$", "".join(before).lstrip(" \"“‘'(")) is not None


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# --- amounts that the line names itself -------------------------------------------------------------------------------

_SENTENCE_END = re.compile(r"[.;:!?…](?:\s|$)")


def amounts_named(step: Step, cups: Cups) -> Iterator[tuple[str, SpokenFigure, Addition]]:
    """Every amount that the line gives in its own words of what goes in at the step: how it is said, what, and of which
    addition. What stands in braces is filled in, and so cannot be wrong."""
    text = _PLACEHOLDER.sub(lambda found: ";" * len(found.group()), step.say)
    heard = amounts_in(text, cups)
    for n, one in enumerate(heard):
        until = heard[n + 1].start if n + 1 < len(heard) else len(text)
        after = text[one.end : until]
        addition = _named_after(after, one, step) or _named_before(text, heard[n - 1].end if n else 0, one, after, step)
        if addition is not None:
            yield text[one.start : one.end], one, addition


def _named_after(after: str, heard: SpokenFigure, step: Step) -> Addition | None:
    """``two tablespoons of the butter``; of a bare number only what is counted: ``two fennel bulbs``."""
    clause = re.split(r"[.,;:!?…–—]", after, maxsplit=1)[0]
    words = clause.split()
    if not heard.unit:
        if words[:1] and words[0].casefold() in ("of", "in", "to", "at", "on"):
            return None
        words = words[:3]
    return _first_named(words[:6], step)


def _named_before(text: str, since: int, heard: SpokenFigure, after: str, step: Step) -> Addition | None:
    """``the butter, two tablespoons``: the name shortly before, and nothing else of which it could be the amount."""
    if not heard.unit or re.match(r"\s+(?:of|a|an|per|each)\b", after, re.IGNORECASE):
        return None
    before = _SENTENCE_END.split(text[since : heard.start].replace(":", " "))[-1]
    return _first_named(before.split()[-4:], step)


def _first_named(words: list[str], step: Step) -> Addition | None:
    telling = telling_words(step.additions)
    for word in words:
        here = set(words_of(word))
        for addition, names in zip(step.additions, telling, strict=True):
            if here & names:
                return addition
    return None


def telling_words(additions: Sequence[Addition]) -> list[set[str]]:
    """For each addition the words of its name that tell it from the others: of pumpkin seeds and sunflower seeds, the first."""
    names = [set(words_of(a.ingredient.name)) for a in additions]
    shared = {w for n, one in enumerate(names) for other in names[:n] if one != other for w in one & other}
    return [one - shared or one for one in names]


def cups_of(dish: Dish) -> Cups:
    """Which cups and spoons the dish's amounts are in."""
    used = {i.amount.unit for i in dish.ingredients if i.amount is not None}
    if "australian_tablespoon" in used:
        return Cups.AUSTRALIAN
    return Cups.METRIC if any(unit.startswith("metric_") for unit in used) else Cups.US
