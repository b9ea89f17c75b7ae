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
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.allergens import Allergens

SUFFIX = ".published.json"
FIGURES = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
_TABLES = ("foods.csv", "weights.csv", "borrowed_weights.csv", "cooked_rows.csv", "allergens.csv")
PLATE = "plate"
WEIGHT = "weight_g"
_SAME = 0.005
_LARGEST = 1_000_000
_DEEPEST = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRecord:
    """``figures``: of whom (*serving of Leeks*, *plate*) → nutrient → figure as it was printed, None where it was not known. ``portions_g``:
    dish → grams a person. ``allergens``: list → names; None where an older record has none. ``own_templates``: whether the texts were made
    from a cook's own. ``recipe`` and ``tables`` are hashes of the files and of the food tables, ``scriptkit`` the version. ``cut``, ``log``:
    of what film it was made, as seen from the recipe's folder; empty where it was made of the plan."""

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
    allergens: Mapping[str, tuple[str, ...]] | None = None
    own_templates: bool = False
    cut: str = ""
    log: str = ""

    def as_json(self) -> str:
        """The file's text."""
        fields = {
            "format": 1, "title": self.title, "servings": self.servings, "figures": self.figures, "portions_g": self.portions_g,
            "description": self.description, "pinned_comment": self.pinned_comment, "captions": list(self.captions),
            "recipe": self.recipe, "tables": self.tables, "scriptkit": self.scriptkit,
            "allergens": None if self.allergens is None else {of: list(names) for of, names in self.allergens.items()}, "own_templates": self.own_templates,
            "cut": self.cut, "log": self.log,
        }  # fmt: skip
        return json.dumps(fields, ensure_ascii=False, indent=1) + "\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class StaleFigure:
    """A published figure that no longer holds; None where it was or is not known. ``nutrient`` is ``weight_g`` of a portion."""

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
    allergens: Allergens,
    own_templates: bool = False,
    cut: str = "",
    log: str = "",
) -> PublishedRecord:
    """The record of what is published; ``texts`` are the lines of the recipe's files."""
    source = publication.source
    return PublishedRecord(
        title=source.name, servings=publication.serves, figures=figures_of(publication.macros),
        portions_g=portions_of(source), description=description, pinned_comment=pinned_comment, captions=tuple(captions), recipe=hash_of(texts),
        tables=tables_hash(), scriptkit=__version__, allergens=allergens_of(allergens), own_templates=own_templates,
        cut=cut, log=log,
    )  # fmt: skip


def figures_of(macros: AllMacros) -> dict[str, dict[str, float | None]]:
    """Figures of a serving of each dish, and of the plate of a meal, as they are printed."""
    found = {f"serving of {d.dish.name}": print_one(d.serving).figures for d in macros.dishes}
    if macros.meal is not None:
        found[PLATE] = print_one(macros.meal.plate).figures
    return {of: {n: row[n] for n in FIGURES} for of, row in found.items()}


def portions_of(source: Dish | Meal) -> dict[str, float]:
    """Dish → grams a person, to 0.1 g."""
    portions = (
        {p.dish.name: p.grams for p in source.portions} if isinstance(source, Meal) else {source.name: source.serving_g}
    )
    return {name: round(grams, 1) for name, grams in portions.items()}


def allergens_of(found: Allergens) -> dict[str, tuple[str, ...]]:
    """List → what the dish or meal contains by it."""
    return {f"{one.name} list": tuple(sorted({a.name for a in one.contains})) for one in (found.us, found.eu)}


def stale_figures(record: PublishedRecord, macros: AllMacros, portions_g: Mapping[str, float]) -> Iterator[StaleFigure]:
    """Every published figure that is another one now, in the order of the record: figures of a serving and of the plate, then what a
    person eats of each dish. A dish that is called otherwise now is still the dish."""
    now = figures_of(macros)
    called = _same_in_order(record.figures, now)
    for of, row in record.figures.items():
        here = now.get(called.get(of, ""), {})
        yield from (
            StaleFigure(of=of, nutrient=nutrient, was=was, now=here[nutrient])
            for nutrient, was in row.items()
            if nutrient in here and not _holds(was, here[nutrient])
        )
    eaten = _same_in_order(record.portions_g, portions_g)
    what = "portion" if PLATE in record.figures else "serving"
    for name, grams in record.portions_g.items():
        weighs = portions_g.get(eaten.get(name, ""))
        if weighs is not None and not _holds(round(grams), round(weighs)):
            yield StaleFigure(of=f"{what} of {name}", nutrient=WEIGHT, was=grams, now=weighs)


def _same_in_order(was: Mapping[str, object], now: Mapping[str, object]) -> dict[str, str]:
    """Each name of then with its name of now: the same one, else the one that is over in its place."""
    gone, come = ([n for n in one if n not in other] for one, other in ((was, now), (now, was)))
    return {n: n for n in was if n in now} | (dict(zip(gone, come, strict=True)) if len(gone) == len(come) else {})


def _holds(was: float | None, now: float | None) -> bool:
    """Whether the figure is still right, as nearly as anybody says it: within half of one percent."""
    if was is None or now is None:
        return was is now
    return was == now or abs(now - was) < _SAME * was


def stale_allergens(record: PublishedRecord, found: Allergens) -> Iterator[str]:
    """A line for each list of allergens that is another one now."""
    for of, now in allergens_of(found).items():
        was = None if record.allergens is None else record.allergens.get(of)
        if was is not None and was != now:
            yield f"allergens, {of}: was {', '.join(was) or 'none'}, is {', '.join(now) or 'none'}"


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
            tables=str(fields["tables"]), scriptkit=str(fields["scriptkit"]), own_templates=bool(fields.get("own_templates")),
            allergens={str(of): tuple(map(str, names)) for of, names in fields["allergens"].items()} if fields.get("allergens") else None,
            cut=str(fields.get("cut", "")), log=str(fields.get("log", "")),
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
