"""What was said when a dish or meal was published, kept beside its file, and which of those figures no longer hold.

A figure changes when the recipe is corrected, when a better row of a food table is taken, or when a newer scriptkit counts differently.
"""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from scriptkit import __version__
from scriptkit.json_depth import deepest
from scriptkit.nutrition.dish_meal_macros import AllMacros
from scriptkit.nutrition.rounding import print_one
from scriptkit.publish.publication import Publication
from scriptkit.recipe.dish import Meal

SUFFIX = ".published.json"
FIGURES = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
_TABLES = ("foods.csv", "weights.csv", "borrowed_weights.csv", "cooked_rows.csv")
_LARGEST = 1_000_000
_DEEPEST = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRecord:
    """``figures``: of whom (*serving of Leeks*, *plate*) → nutrient → figure as it was printed, None where it was not known. ``portions_g``:
    dish → grams a person. ``recipe`` and ``tables`` are hashes of the files and of the food tables, ``scriptkit`` the version."""

    title: str
    servings: float
    figures: Mapping[str, Mapping[str, float | None]]
    portions_g: Mapping[str, float]
    description: str
    pinned_comment: str
    captions: tuple[str, ...]
    recipe: str
    tables: str
    scriptkit: str

    def as_json(self) -> str:
        """The file's text."""
        fields = {
            "format": 1, "title": self.title, "servings": self.servings, "figures": self.figures, "portions_g": self.portions_g,
            "description": self.description, "pinned_comment": self.pinned_comment, "captions": list(self.captions),
            "recipe": self.recipe, "tables": self.tables, "scriptkit": self.scriptkit,
        }  # fmt: skip
        return json.dumps(fields, ensure_ascii=False, indent=1) + "\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class StaleFigure:
    """A published figure that no longer holds; None where it was or is not known."""

    of: str
    nutrient: str
    was: float | None
    now: float | None


def record_path(recipe: str | Path) -> Path:
    """Where the record of a recipe's file lies."""
    return Path(recipe).with_suffix(SUFFIX)


def record_of(
    publication: Publication,
    texts: Mapping[str, Sequence[str]],
    *,
    description: str,
    pinned_comment: str,
    captions: Sequence[str],
) -> PublishedRecord:
    """The record of what is published; ``texts`` are the lines of the recipe's files."""
    source = publication.source
    portions = (
        {p.dish.name: p.grams for p in source.portions} if isinstance(source, Meal) else {source.name: source.serving_g}
    )
    return PublishedRecord(
        title=source.name, servings=publication.serves, figures=figures_of(publication.macros),
        portions_g={name: round(grams, 1) for name, grams in portions.items()}, description=description,
        pinned_comment=pinned_comment, captions=tuple(captions), recipe=hash_of(texts), tables=tables_hash(), scriptkit=__version__,
    )  # fmt: skip


def figures_of(macros: AllMacros) -> dict[str, dict[str, float | None]]:
    """Figures of a serving of each dish, and of the plate of a meal, as they are printed."""
    found = {f"serving of {d.dish.name}": print_one(d.serving).figures for d in macros.dishes}
    if macros.meal is not None:
        found["plate"] = print_one(macros.meal.plate).figures
    return {of: {n: row[n] for n in FIGURES} for of, row in found.items()}


def stale_figures(record: PublishedRecord, macros: AllMacros) -> Iterator[StaleFigure]:
    """Every published figure that is another one now, in the order of the record."""
    now = figures_of(macros)
    for of, row in record.figures.items():
        for nutrient, was in row.items():
            figure = now.get(of, {}).get(nutrient)
            if of in now and nutrient in now[of] and figure != was:
                yield StaleFigure(of=of, nutrient=nutrient, was=was, now=figure)


def why_stale(record: PublishedRecord, texts: Mapping[str, Sequence[str]]) -> str:
    """What changed since it was published, in words."""
    why = []
    if record.recipe != hash_of(texts):
        why.append("the recipe was changed")
    if record.tables != tables_hash():
        why.append("the food tables were changed")
    if record.scriptkit != __version__:
        why.append(f"published with scriptkit {record.scriptkit}, this is {__version__}")
    return "; ".join(why) or "a dish in it was changed"


def record_in(text: str) -> PublishedRecord | None:
    """The record that the text holds; None where it is none."""
    if len(text) > _LARGEST or deepest(text) > _DEEPEST:
        return None
    try:
        fields: Any = json.loads(text)
        figures = {
            str(of): {str(n): None if v is None else float(v) for n, v in row.items()}
            for of, row in fields["figures"].items()
        }
        return PublishedRecord(
            title=str(fields["title"]), servings=float(fields["servings"]), figures=figures,
            portions_g={str(k): float(v) for k, v in fields["portions_g"].items()}, description=str(fields["description"]),
            pinned_comment=str(fields["pinned_comment"]), captions=tuple(map(str, fields["captions"])), recipe=str(fields["recipe"]),
            tables=str(fields["tables"]), scriptkit=str(fields["scriptkit"]),
        )  # fmt: skip
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def hash_of(texts: Mapping[str, Sequence[str]]) -> str:
    """A hash of the files' lines, whatever they are called."""
    joined = "\0".join(sorted("\n".join(lines) for lines in texts.values()))
    return hashlib.sha256(joined.encode("utf-8", "surrogatepass")).hexdigest()[:16]


@functools.cache
def tables_hash() -> str:
    """A hash of the food tables: their version."""
    folder = resources.files("scriptkit.pantry")
    return hashlib.sha256(b"".join((folder / name).read_bytes() for name in _TABLES)).hexdigest()[:16]
