"""Which words of a changed dish or meal still say a food that is no longer in it: every step, promise, title and prep, quoted."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from scriptkit.drafting.food_matching import folded, head_of
from scriptkit.drafting.step_mentions import Named, mentions
from scriptkit.recipe.yamltree import parse_tree

if TYPE_CHECKING:
    from scriptkit.production import Production
    from scriptkit.recipe.dish import Dish, Ingredient

_NO_WORDS = frozenset({
    "add", "after", "amount", "as_published", "between", "bought", "dishes", "food", "foods", "from", "heat", "id", "ingredients", "kitchen", "left_behind", "left_in_pan",
    "limits", "measured_as", "measures", "of", "pack", "source", "stage", "strained_out", "unfilmed", "units", "unsure", "uses", "weighed",
})  # fmt: skip
"""Keys whose values are names, figures and choices: what they name was renamed with the food."""
_PROSE_OF_INGREDIENT = "prep"
_CLAUSE = re.compile(r"[.,;:!?()\n]+")
_REFERENCE = re.compile(r"\{[^{}]*\}")
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True, slots=True)
class _Text:
    """``where``: the step's id, else the key (`promise:`, *prep of greens*); ``key``: of a step, `do`, `say`."""

    where: str
    key: str
    text: str


def still_said(before: Production, after: Production) -> Iterator[str]:
    """A line for every step and other text: ``Creamed greens, finish: its words still say “cream” (do, say)``."""
    gone_of_all: list[Ingredient] = []
    left_of_all: list[Ingredient] = []
    for was, now in zip(before.dishes, after.dishes, strict=True):
        gone = _gone(was, now)
        gone_of_all += gone
        left_of_all += now.ingredients
        if gone:
            yield from _in_file(now.name, now.file, after, gone, now.ingredients, _handled(was))
    main = after.source.file
    if gone_of_all and main not in {dish.file for dish in after.dishes}:
        here = {i.name.casefold() for i in left_of_all}
        gone_of_all = [i for i in gone_of_all if i.name.casefold() not in here]
        yield from _in_file(after.source.name, main, after, gone_of_all, left_of_all, {})


def _handled(was: Dish) -> dict[str, set[str]]:
    """Step → keys of what it had."""
    return {step.id: {i.key for i in (*step.uses, *(a.ingredient for a in step.additions))} for step in was.steps}


def _gone(was: Dish, now: Dish) -> list[Ingredient]:
    left = {i.key for i in now.ingredients}
    return [i for i in was.ingredients if i.key not in left]


def _in_file(
    title: str,
    file: str,
    after: Production,
    gone: Sequence[Ingredient],
    left: Sequence[Ingredient],
    handled: Mapping[str, set[str]],
) -> Iterator[str]:
    data = parse_tree("\n".join(after.files[file]), file).data
    found: dict[tuple[str, bool, str], tuple[dict[str, str], dict[str, None]]] = {}
    for one in _texts(data):
        here = handled.get(one.where, set()) if one.key else set()
        for words, means in _said(one.text, gone, left, here):
            quoted, keys = found.setdefault((one.where, bool(one.key), means), ({}, {}))
            quoted.setdefault(words.casefold(), words)
            keys[one.key] = None
    for (where, in_step, means), (quoted, keys) in found.items():
        words = " and ".join(f"“{w}”" for w in quoted.values())
        says = f"{words} may still mean {means}" if means else f"its words still say {words}"
        yield f"{title}, {where}: {says}" + (f" ({', '.join(keys)})" if in_step else "")


def _texts(data: Mapping[str, Any]) -> Iterator[_Text]:
    """Every text that a person reads or hears, with where it stands."""
    for key, value in data.items():
        if key not in _NO_WORDS and key != "steps":
            yield from (_Text(f"`{key}:`", "", text) for text in _strings(value))
    for name, one in (data.get("ingredients") or {}).items():
        if isinstance(one, dict) and isinstance(prep := one.get(_PROSE_OF_INGREDIENT), str):
            yield _Text(f"prep of {name}", "", prep)
    for number, step in enumerate(data.get("steps") or (), 1):
        for key, value in step.items():
            if key not in _NO_WORDS:
                yield from (_Text(str(step.get("id") or f"step-{number}"), key, text) for text in _strings(value))


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for one in value:
            yield from _strings(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            if key not in _NO_WORDS:
                yield from _strings(one)


def _said(
    text: str, gone: Sequence[Ingredient], left: Sequence[Ingredient], here: Collection[str]
) -> Iterator[tuple[str, str]]:
    """The words of the text that mean a food that is gone, as they stand there; and what they may mean where they fit a food that is left
    as well. ``here``: keys of what the step has, or had: *the onions* are those."""
    clauses = [f"now {c.strip()}" for c in _CLAUSE.split(_REFERENCE.sub(" ", text)) if c.strip()]
    both = [*gone, *left]
    named = list(map(_named, both))
    heads = [head_of(folded(one.name)) for one in named]
    for mention in mentions(clauses, named):
        alike = {heads[of] for of in mention.meant}
        had = [of for of in mention.meant if both[of].key in here]
        had = had or [of for of, one in enumerate(both) if one.key in here and heads[of] in alike] or [*mention.meant]
        lost = [of for of in had if of < len(gone)]
        if lost:
            means = "" if len(lost) == len(had) else " or ".join(gone[of].name for of in lost)
            yield _as_written(clauses[mention.step], named[lost[0]]), means


def _named(one: Ingredient) -> Named:
    also = () if one.dish is not None else (one.food.name, *one.food.synonyms)
    return Named(one.name, "", "", tuple(dict.fromkeys(also)))


def _as_written(clause: str, of: Named) -> str:
    """The first run of its words in the clause."""
    own = {w for name in (of.name, *of.also) for w in folded(name)}
    run: list[str] = []
    for word in _WORD.findall(clause):
        if set(folded(word)) & own:
            run.append(word)
        elif run:
            break
    return " ".join(run) or of.name
