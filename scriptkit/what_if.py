"""What if: a dish or meal with other ingredients, or for more eaters, without its files being touched; as changes that can be made to them.

Each change is an edit of the file's text, so what is tried and what is written are the same. Amounts grow with the servings; times, heat
and vessels stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from scriptkit.drafting.old_measures import plain_number, written
from scriptkit.measure.amounts import NotAnAmount, parse_amount
from scriptkit.measure.numbers import NUMBER, NotANumber, split_number
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.names import words_of
from scriptkit.problems import CannotDo, Place, Problem, any_of, error
from scriptkit.recipe.day_dishes import served_dishes
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.each import without_each
from scriptkit.recipe.file_edit import Add, Delete, Edit, Put, Rename, edited
from scriptkit.recipe.reader import Reading, read_source_text
from scriptkit.recipe.yamltree import Path, parse_tree

_GROWING = ("amount", "weighed", "left_in_pan", "strained_out")
"""Keys of an ingredient whose amounts grow with the servings; a share of it does not."""
_OF_THE_OLD = (
    "food",
    "dish",
    "measured_as",
    "bought",
    "unsure",
    "allergens",
    "pack",
    "between",
    "weighed",
    "made_ahead",
    "juices",
)
"""Keys of an ingredient that say nothing of another food in its place."""
_NAMED = ("uses", "unfilmed")


@dataclass(frozen=True, slots=True)
class Instead:
    """Another food in the place of ``old``; without an ``amount`` as much of it."""

    old: str
    food: str
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is tried. ``servings``: of a meal plates; None: as many as now."""

    instead: tuple[Instead, ...] = ()
    without: tuple[str, ...] = ()
    servings: float | None = None

    @property
    def is_none(self) -> bool:
        """Whether nothing changes."""
        return not (self.instead or self.without or self.servings)


def change_of(instead: Sequence[str], without: Sequence[str], servings: float | None) -> Change:
    """The change that these words ask for: ``cream=coconut milk``, ``cream=200 ml coconut milk``. Raises CannotDo where one cannot be read."""
    problems = []
    swaps = []
    for words in instead:
        old, equals, new = (part.strip() for part in words.partition("="))
        if not (old and equals and new):
            hint = "write it as `cream=coconut milk`, or `cream=200 ml coconut milk`"
            problems.append(error(Place("--instead"), "option", f"“{words}” does not name two foods", hint))
            continue
        amount, food = _split(new)
        swaps.append(Instead(old, food, amount))
    if servings is not None and not 0.1 <= servings <= 10_000:
        problems.append(
            error(
                Place("--servings"),
                "option",
                f"{servings:g} servings cannot be made",
                "write a figure from 0.1 to 10000",
            )
        )
    if problems:
        raise CannotDo(problems)
    return Change(instead=tuple(swaps), without=tuple(w.strip() for w in without if w.strip()), servings=servings)


def _split(new: str) -> tuple[str, str]:
    """An amount at the start, empty of none, and the food."""
    words = new.split()
    for n in range(min(len(words) - 1, 4), 0, -1):
        try:
            parse_amount(" ".join(words[:n]))
        except NotAnAmount:
            continue
        return " ".join(words[:n]), " ".join(words[n:])
    return "", new


def changed_reading(reading: Reading, change: Change) -> Reading:
    """The same files read with the change made. Raises CannotDo where it cannot be made: no such ingredient, a file with errors."""
    if change.is_none:
        return reading
    source = reading.usable()
    edits = edits_of(reading, change)
    texts = {file: edited("\n".join(reading.texts[file]), of_file, file) for file, of_file in edits.items()}
    main = source.file
    whole = texts.get(main, "\n".join(reading.texts[main]))
    return read_source_text(whole, main, also={name: "\n".join(lines) for name, lines in reading.texts.items()} | texts)


def edits_of(reading: Reading, change: Change) -> dict[str, list[Edit]]:
    """File → the edits that make the change in it. Raises CannotDo where it cannot be made."""
    source = reading.usable()
    dishes = served_dishes(source)
    found: dict[str, list[Edit]] = {}
    trees = {d.file: parse_tree("\n".join(reading.texts[d.file]), d.file).data for d in dishes}
    used: set[str] = set()
    for file, data in trees.items():
        edits = [*_swaps(data, change, used), *_growth(data, source, change)]
        if edits:
            found[file] = edits
    wanted = {i.old for i in change.instead} | set(change.without)
    if missing := sorted(wanted - used):
        raise CannotDo([_not_one(list(trees.values()), name, source.place) for name in missing], reading.texts)
    if isinstance(source, Meal) and change.servings:
        if change.servings != int(change.servings):
            raise CannotDo([error(Place("--servings"), "option", "a meal has whole plates", "write a whole number")])
        main = source.file
        has = "plates" in (parse_tree("\n".join(reading.texts[main]), main).data or {})
        plates = int(change.servings)
        found[main] = [Put(("plates",), plates) if has else Add((), "plates", plates, after="meal")]
    return found


def _swaps(data: Mapping[str, Any], change: Change, used: set[str]) -> Iterator[Edit]:
    """Edits of one dish for every other food and every food left out; ``used`` gets what was found here."""
    for swap in change.instead:
        if (key := _key_of(data, swap.old)) is not None:
            used.add(swap.old)
            yield from _instead(data, key, swap)
    for words in change.without:
        if (key := _key_of(data, words)) is not None:
            used.add(words)
            yield Delete(("ingredients", key))
            yield from _in_steps(data, key, None, "")


def called(data: Mapping[str, Any], words: str) -> list[str]:
    """The ingredients of a dish file that a cook calls so: by the whole name or food, else by words of it (*lentils* are the *red lentils*), or
    by another name of the same food."""
    foods = {
        str(k): str(v.get("food", k)) if isinstance(v, dict) else str(k)
        for k, v in (data.get("ingredients") or {}).items()
    }
    told = words.casefold().replace("_", " ").strip()
    for whole in (
        [k for k in foods if k.casefold().replace("_", " ") == told],
        [k for k, f in foods.items() if f.casefold() == told],
    ):
        if whole:
            return whole[:1]
    pantry = Pantry()
    food, wanted = pantry.known(told), set(words_of(told))
    found = [k for k in foods if wanted and wanted <= set(words_of(k))]
    found = found or [k for k, f in foods.items() if wanted and wanted <= set(words_of(f))]
    return found or [k for k, f in foods.items() if food is not None and pantry.known(f) == food]


def _key_of(data: Mapping[str, Any], words: str) -> str | None:
    """The one ingredient of that name; None where there is none, or several."""
    found = called(data, words)
    return found[0] if len(found) == 1 else None


def _not_one(data: Sequence[Mapping[str, Any]], words: str, place: Place) -> Problem:
    several = list(dict.fromkeys(k for one in data for k in called(one, words)))
    names = several or list(dict.fromkeys(str(k) for one in data for k in one.get("ingredients", {})))
    message = (
        f"“{words}” could be {any_of([f'“{n}”' for n in several])}"
        if several
        else f"there is no ingredient “{words}” in it"
    )
    hint = f"write {any_of([f'“{n}”' for n in names])}"
    return error(place, "which-ingredient" if several else "no-such-ingredient", message, hint)


def _instead(data: Mapping[str, Any], key: str, swap: Instead) -> Iterator[Edit]:
    was = data["ingredients"][key]
    kept = {k: v for k, v in was.items() if k not in _OF_THE_OLD} if isinstance(was, dict) else {"amount": was}
    if swap.amount:
        kept["amount"] = swap.amount
    yield Put(("ingredients", key), kept if len(kept) > 1 or isinstance(was, dict) else kept["amount"])
    if swap.food != key:
        yield Rename(("ingredients", key), swap.food)
    yield from _in_steps(data, key, swap.food, swap.amount)


def _in_steps(data: Mapping[str, Any], key: str, new: str | None, amount: str) -> Iterator[Edit]:
    """Edits of the steps: the ingredient by its new name, or gone. With another ``amount`` what a step adds in figures becomes all of it."""
    for n, step in enumerate(data.get("steps") or []):
        for name in ("add", *_NAMED, "left_behind"):
            value = step.get(name)
            if value is None or not _names(value, key):
                continue
            changed = _renamed(value, key, new, amount if name == "add" else "")
            yield Put(("steps", n, name), changed) if changed else Delete(("steps", n, name))
            step[name] = changed or None  # the next change finds it so
        for name in ("say", "do"):
            text = step.get(name)
            if isinstance(text, str) and f"{{{key}}}" in text:
                step[name] = text.replace(f"{{{key}}}", f"{{{new}}}" if new else key)
                yield Put(("steps", n, name), step[name])


def _names(value: Any, key: str) -> bool:
    return value == key if isinstance(value, str) else key in value


def _renamed(value: Any, key: str, new: str | None, amount: str) -> Any:
    if isinstance(value, str):
        return new
    if isinstance(value, list):
        return [new if one == key else one for one in value if one != key or new]
    out = {}
    for name, share in value.items():
        if name != key:
            out[name] = share
        elif new:
            out[new] = "all" if amount and re.match(NUMBER, str(share)) else share
    return out


def _growth(data: Mapping[str, Any], source: Dish | Meal, change: Change) -> Iterator[Edit]:
    """Edits of one dish for the servings: every amount times as many."""
    if not change.servings:
        return
    now = source.plates if isinstance(source, Meal) else source.servings
    factor = Fraction(change.servings).limit_denominator(10**6) / Fraction(now).limit_denominator(10**6)
    if factor == 1:
        return
    gone = {key.casefold() for w in change.without if (key := _key_of(data, w))}
    renamed = {key: i for i in change.instead if (key := _key_of(data, i.old))}
    own = Fraction(str(data["servings"])) if isinstance(data["servings"], int | float | str) else Fraction(1)
    yield Put(("servings",), _number(own * factor))
    for path, text in _amounts(data):
        if any(isinstance(part, str) and part.casefold() in gone for part in path[1:]):
            continue
        place = _moved(path, renamed)
        if place is None:
            continue
        if (more := grown(str(text), factor)) != str(text):
            yield Put(place, more)


def _moved(path: Path, renamed: Mapping[str, Instead]) -> Path | None:
    """Where the amount stands once other foods have taken their places; None of one that came with an amount of its own."""
    for n, part in enumerate(path):
        if isinstance(part, str) and part in renamed and path[0] in ("ingredients", "steps"):
            swap = renamed[part]
            if swap.amount:
                return None
            return (*path[:n], swap.food, *path[n + 1 :])
    return path


def _amounts(data: Mapping[str, Any]) -> Iterator[tuple[Path, Any]]:
    for name in ("cooked_weight", "cooked_volume"):
        if name in data:
            yield (name,), data[name]
    for group in ("ingredients", "left_in_pan"):
        for key, value in (data.get(group) or {}).items():
            if not isinstance(value, dict):
                yield (group, key), value
                continue
            for name in _GROWING:
                if name in value:
                    yield (group, key, name), value[name]
            for end, text in enumerate(value.get("between") or ()):
                yield (group, key, "between", end), text
    for n, step in enumerate(data.get("steps") or []):
        for name in ("add", "left_behind", "from"):
            if isinstance(step.get(name), dict):
                for key, share in step[name].items():
                    yield ("steps", n, name, key), share


def grown(text: str, factor: Fraction) -> str:
    """An amount times a factor, as a file has it; what is no amount (a share, `all`, `to taste`) as it is.

    >>> grown("3 tbsp", Fraction(2)), grown("2 ladles", Fraction(3, 2)), grown("60 %", Fraction(2)), grown("half", Fraction(2))
    ('6 tbsp', '3 ladles', '60 %', 'half')
    """
    if "%" in text or without_each(text)[1]:
        return text
    try:
        return written(parse_amount(text).times(factor))
    except NotAnAmount:
        pass
    try:
        value, rest = split_number(text.strip())
    except NotANumber:
        return text
    return f"{plain_number(value * factor)} {rest.strip()}".strip()


def _number(value: Fraction) -> int | float:
    return int(value) if value.denominator == 1 else round(float(value), 3)
