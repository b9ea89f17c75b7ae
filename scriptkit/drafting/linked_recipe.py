"""schema.org Recipe data into a found recipe: from a JSON-LD file, or from a saved page that holds such data."""

from __future__ import annotations

import itertools
import json
import re
from collections import deque
from collections.abc import Iterable, Iterator
from typing import Any

from scriptkit.drafting.page import items_of, plain, scripts_of
from scriptkit.drafting.raw_recipe import NoRecipe, RawRecipe
from scriptkit.json_depth import deepest

MOST_NESTED = 200
"""Brackets inside one another; a page's recipe has a dozen."""
MOST_NODES = 200_000
MOST_LINES = 1_000
"""Of ingredients, and of steps: more than a dish file takes."""
LARGEST_NUMBER = 10**15
"""No figure of a recipe is larger; one of 400 digits is no float either."""
_COMMENT = re.compile(
    r"^\s*(?:<!--|//\s*<!\[CDATA\[|/\*\s*<!\[CDATA\[\s*\*/)|(?:-->|//\s*\]\]>|/\*\s*\]\]>\s*\*/)\s*;?\s*$"
)
_DURATION = re.compile(
    r"P(?:(?P<days>\d+(?:\.\d+)?)D)?(?:T(?:(?P<hours>\d+(?:\.\d+)?)H)?(?:(?P<minutes>\d+(?:\.\d+)?)M)?(?:(?P<seconds>\d+(?:\.\d+)?)S)?)?",
    re.IGNORECASE,
)


def recipe_in_json(text: str, which: str = "") -> RawRecipe:
    """The first Recipe of a JSON-LD text, or ``which`` of several, by number or name. Raises NoRecipe where it is no JSON, or holds
    none."""
    return _chosen(list(_recipes(_loaded(text))), which)


def recipe_in_page(text: str, which: str = "") -> RawRecipe:
    """The first Recipe of a saved page, or ``which`` of several: of its JSON-LD, else of its microdata or RDFa. Raises NoRecipe where it has
    none of them."""
    recipes: list[dict[str, Any]] = []
    broken = ""
    for script in scripts_of(text):
        try:
            recipes += _recipes(_loaded(script))
        except NoRecipe as wrong:
            broken = str(wrong)
    recipes = recipes or items_of(text)
    if not recipes and broken:
        raise NoRecipe(
            f"the page's recipe data cannot be read: {broken}", "copy the recipe's text into a .txt file and give that"
        )
    return _chosen(recipes, which)


def _loaded(text: str) -> Any:
    if deepest(text) > MOST_NESTED:
        raise NoRecipe("the JSON has too many brackets inside one another", "check where it was cut off")
    try:
        return json.loads(_COMMENT.sub("", _COMMENT.sub("", text)).lstrip("\ufeff"), strict=False)
    except ValueError as wrong:
        where = (
            f"line {wrong.lineno}, column {wrong.colno}: {wrong.msg}"
            if isinstance(wrong, json.JSONDecodeError)
            else str(wrong)
        )
        raise NoRecipe(f"this is not JSON ({where})", "check where it was cut off") from None


def _recipes(data: Any) -> Iterator[dict[str, Any]]:
    """Every Recipe node, outer ones first, wherever it stands."""
    waiting, seen = deque([data]), 0
    while waiting and seen < MOST_NODES:
        node = waiting.popleft()
        seen += 1
        if isinstance(node, dict):
            if _is(node, "Recipe"):
                yield node
            waiting += [v for v in node.values() if isinstance(v, dict | list)]
        elif isinstance(node, list):
            waiting.extendleft(v for v in reversed(node) if isinstance(v, dict | list))


def _is(node: Any, name: str) -> bool:
    kinds = node.get("@type") if isinstance(node, dict) else None
    return any(
        isinstance(k, str) and re.split(r"[/:#]", k)[-1].casefold() == name.casefold()
        for k in (kinds if isinstance(kinds, list) else [kinds])
    )


def _chosen(recipes: list[dict[str, Any]], which: str) -> RawRecipe:
    if not recipes:
        raise NoRecipe(
            "there is no recipe data in it (schema.org Recipe, as JSON-LD, microdata or RDFa)",
            "copy the recipe's text into a .txt file, its ingredients one a line, and give that",
        )
    full = [r for r in recipes if _values(r, "recipeIngredient", "ingredients")]
    node = (full or recipes)[0]
    others = tuple(
        dict.fromkeys(n for r in full if (n := _one(r, "name", "headline")) and n != _one(node, "name", "headline"))
    )
    if which:
        node = _named(full or recipes, which)
        others = ()
    ingredients = tuple(itertools.islice(_lines(_values(node, "recipeIngredient", "ingredients")), MOST_LINES))
    if not ingredients and any(str(v).casefold().endswith("false") for v in _values(node, "isAccessibleForFree")):
        raise NoRecipe(
            "the page keeps its ingredients for members",
            "open it in your browser as a member, copy the recipe's text into a .txt file, and give that",
        )
    if not ingredients:
        raise NoRecipe(
            "the recipe data lists no ingredients",
            "copy the recipe's text into a .txt file, its ingredients one a line, and give that",
        )
    nutrition = next(iter(_values(node, "nutrition")), None)
    return RawRecipe(
        name=_one(node, "name", "headline"),
        promise=_one(node, "description"),
        serves=_one(node, "recipeYield", "yield"),
        ingredients=ingredients,
        steps=tuple(itertools.islice(_steps(_values(node, "recipeInstructions", "instructions")), MOST_LINES)),
        prep_ms=duration_ms(_one(node, "prepTime")),
        cook_ms=duration_ms(_one(node, "cookTime", "performTime")),
        total_ms=duration_ms(_one(node, "totalTime")),
        author=_one(node, "author"),
        address=_one(node, "url", "@id", "mainEntityOfPage"),
        energy=_one(nutrition, "calories") if isinstance(nutrition, dict) else "",
        others=others,
        nutrition=_nutrition(nutrition),
    )  # fmt: skip


def _named(recipes: list[dict[str, Any]], which: str) -> dict[str, Any]:
    """The recipe of this number or name. Raises NoRecipe, with those that there are, for another."""
    names = [_one(r, "name", "headline") for r in recipes]
    at = int(which) - 1 if which.isdigit() and len(which) < 5 else -1
    found = [n for n, name in enumerate(names) if name.casefold() == which.strip().casefold()]
    found = found or [n for n, name in enumerate(names) if which.strip().casefold() in name.casefold()]
    if 0 <= at < len(recipes):
        return recipes[at]
    if not found:
        listed = "; ".join(f"{n} {name[:60]}" for n, name in enumerate(names[:20], 1))
        raise NoRecipe(f"there is no recipe “{which}” in it", f"write one of these: {listed}")
    return recipes[found[0]]


_PRINTED = (
    ("energy_kcal", "calories"), ("fat_g", "fatContent"), ("protein_g", "proteinContent"),
    ("carbohydrate_g", "carbohydrateContent"), ("fibre_g", "fiberContent"),
)  # fmt: skip


def _nutrition(node: Any) -> tuple[tuple[str, float], ...]:
    """What is printed of a serving: figures by our names; kilojoules as kilocalories."""
    if not isinstance(node, dict):
        return ()
    found = []
    for name, theirs in _PRINTED:
        told = re.search(r"\d+(?:[.,]\d+)?", text := _one(node, theirs).replace(",", ""))
        if told and 0 < float(told.group()) < 100_000:
            kilojoules = (
                name == "energy_kcal" and re.search(r"\bkj\b", text, re.IGNORECASE) and "cal" not in text.casefold()
            )
            found.append((name, float(told.group()) / (4.184 if kilojoules else 1)))
    return tuple(found)


def _values(node: dict[str, Any], *names: str) -> list[Any]:
    keys = {k.casefold().removeprefix("schema:"): k for k in reversed(list(node)) if isinstance(k, str)}
    for name in names:
        value = node.get(name, node.get(keys.get(name.casefold(), name)))
        if value not in (None, "", [], {}):
            return value if isinstance(value, list) else [value]
    return []


def _text(value: Any) -> str:
    """The text of a value: itself, a number, or the name or text of a node."""
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, bool) or value is None:
        return ""
    if isinstance(value, int | float):
        return f"{value:g}" if abs(value) < LARGEST_NUMBER else ""
    if isinstance(value, list):
        return next((t for v in value if (t := _text(v))), "") if not any(isinstance(v, list) for v in value) else ""
    named = [value.get(k) for k in ("text", "name", "@value", "@id", "url")]
    firsts = [v[0] if isinstance(v, list) and v else v for v in named]  # of microdata, each property is a list
    return plain(next((v for v in firsts if isinstance(v, str)), ""))


def _one(node: dict[str, Any], *names: str) -> str:
    values = [" ".join(_text(v).split()) for v in _values(node, *names)]
    told = [v for v in values if v]
    with_words = [v for v in told if not v.isdigit()]  # a yield is often both `4` and `4 servings`
    return next(iter(with_words or told), "")


def _lines(values: Iterable[Any]) -> Iterator[str]:
    for value in values:
        for line in _text(value).split("\n"):
            if shown := " ".join(line.split()):
                yield shown


def _steps(values: Iterable[Any]) -> Iterator[str]:
    """Each step's text, through sections and lists."""
    waiting, seen = deque(values), 0
    while waiting and seen < MOST_NODES:
        value = waiting.popleft()
        seen += 1
        inner = value.get("itemListElement", value.get("steps")) if isinstance(value, dict) else None
        if isinstance(value, list):
            waiting.extendleft(reversed(value))
        elif inner and not (_is(value, "HowToStep") and value.get("text")):
            waiting.extendleft(reversed(inner) if isinstance(inner, list) else [inner])
        elif isinstance(value, dict) and isinstance(value.get("item"), dict):
            waiting.appendleft(value["item"])
        else:
            yield from _lines([value])


def duration_ms(text: str) -> int | None:
    """Milliseconds of an ISO 8601 duration of days and less; None where it is none, or nothing.

    >>> duration_ms("PT1H30M"), duration_ms("PT0S"), duration_ms("half an hour")
    (5400000, None, None)
    """
    found = _DURATION.fullmatch(text.strip())
    if not found:
        return None
    of = {name: float(value or 0) for name, value in found.groupdict().items()}
    seconds = ((of["days"] * 24 + of["hours"]) * 60 + of["minutes"]) * 60 + of["seconds"]
    return round(seconds * 1000) if 0 < seconds <= 30 * 86_400 else None
