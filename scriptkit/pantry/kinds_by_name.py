"""What a food is, as far as its name tells: the category and the temperature class of a label that states neither. Only cautions ask
for it, as a guess that makes nothing safer: figures never do."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.data_files import made_of_rows
from scriptkit.pantry.food import Food


@dataclass(frozen=True, slots=True)
class FoodKind:
    """``category`` and ``raw_class`` in the words of foods.csv; empty where nothing tells."""

    category: str
    raw_class: str


OWN = "own"
"""The category of a label that states none."""
_LONGEST = 120
"""Characters of a name that are looked at."""
_BESIDE = re.compile(r",| with ")
"""What stands behind it is beside the food: *chicken thighs, in curry sauce*, *beef with seasoning*."""
_STATE = re.compile(r", ?(canned|tinned|smoked|cooked|roast|boiled|cured|dried|salted)\b")
"""What was done to it may stand behind its name as well as before: *tuna, canned*."""
_NOT_IT = re.compile(
    r"\b(?:vegan|vegetarian|veggie|plant[- ]based|meat[- ]free|alcohol[- ]free|flavou?r(?:ed|ing)?|extract|essence)\b"
)


@functools.cache
def _kinds() -> tuple[tuple[re.Pattern[str], FoodKind], ...]:
    return tuple(made_of_rows("scriptkit.pantry", "kinds_by_name.csv", ("words", "category", "raw_class"), _kind))


def _kind(words: str, category: str, raw_class: str) -> tuple[re.Pattern[str], FoodKind]:
    return re.compile(rf"(?:.*\b)?(?:{words})(?:,.*)?"), FoodKind(category, raw_class)


@functools.lru_cache(maxsize=4096)
def kind_named(name: str) -> FoodKind:
    """What the name tells, whose last words before a comma or *with* say what the food is; where those tell nothing, the last words of all.

    >>> kind_named("Farm chicken thighs").raw_class, kind_named("chicken stock").raw_class, kind_named("dry cider").category
    ('poultry', '', 'wine or spirit')
    >>> kind_named("tuna, canned").raw_class, kind_named("tuna").raw_class
    ('', 'fish')
    """
    folded = name.casefold().strip()[:_LONGEST]
    if _NOT_IT.search(folded):
        return FoodKind("", "")
    head = _BESIDE.split(folded, maxsplit=1)[0].strip()
    state = _STATE.search(folded)
    names = dict.fromkeys((*((f"{state[1]} {head}",) if state else ()), head, folded))
    return next((kind for name in names for pattern, kind in _kinds() if pattern.fullmatch(name)), FoodKind("", ""))


def category_of(food: Food) -> str:
    """Its category, else what its name tells."""
    stated = food.category
    return stated if stated not in _NOT_STATED else kind_named(food.name).category or stated


def raw_class_of(food: Food) -> str:
    """Its temperature class, else, of a food without a category, what its name tells."""
    return food.safety or ("" if food.category not in _NOT_STATED else kind_named(food.name).raw_class)


_NOT_STATED = frozenset(("", OWN))
