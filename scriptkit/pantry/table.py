"""The embedded table: foods.csv and weights.csv, read once and turned into foods on demand."""

from __future__ import annotations

import dataclasses
import functools
from collections import defaultdict

from scriptkit.data_files import made_of_rows, row_that_cannot_be, rows_of
from scriptkit.pantry.allergens import held_by
from scriptkit.pantry.food import Composition, Food, HouseholdWeight
from scriptkit.pantry.labels import from_label
from scriptkit.pantry.names import fold

_FIGURES = (
    "energy_kcal", "fat_g", "saturated_g", "protein_g", "carbohydrate_g", "fibre_g", "sugars_g", "alcohol_g", "sodium_mg",
)  # fmt: skip
TABLES = {
    "sr28": "USDA National Nutrient Database for Standard Reference, Release 28 (2016)",
    "ciqual2020": "ANSES-Ciqual French food composition table, 2020",
    "label": "a typical label: what makes of it commonly print, per 100 g on the EU basis (from memory)",
}
"""The tables that rows come from; `table` and `row` of foods.csv name the row. A typical label has no row: `spread_percent` says
how far a make's figures may be from it, as a share of each."""
_SHORT = {"sr28": "USDA SR28", "ciqual2020": "Ciqual 2020", "label": "typical label"}


_COLUMNS = (
    "name", "synonyms", "category", "table", "row", "refuse_percent", *_FIGURES, "polyols_g", "safety", "second_row", "second_net_carbs_g", "water_g", "erythritol_g", "allulose_g", "spread_percent",
)  # fmt: skip


@functools.cache
def _foods() -> dict[str, list[str]]:
    return {row[0]: row for row in rows_of("scriptkit.pantry", "foods.csv", _COLUMNS)}


@functools.cache
def food_rows() -> dict[str, dict[str, str]]:
    """Every row of foods.csv by its kitchen name, as text."""
    return {name: dict(zip(_COLUMNS, row, strict=True)) for name, row in _foods().items()}


@functools.cache
def _weights() -> dict[str, tuple[HouseholdWeight, ...]]:
    columns = ("food", "amount", "unit", "state", "grams", "printed")
    by_food = defaultdict(list)
    whole = _weighed_whole()
    for food, weight in made_of_rows("scriptkit.pantry", "weights.csv", columns, _weight):
        by_food[food].append(_less_bone(weight, *whole[food]) if food in whole else weight)
    return {food: tuple(weights) for food, weights in by_food.items()}


@functools.cache
def _weighed_whole() -> dict[str, tuple[float, str]]:
    """Foods whose pieces the source weighed with what nobody eats of them: what share is eaten, and what that is."""
    columns = ("food", "eaten_percent", "what_the_piece_was_weighed_with")
    return dict(
        made_of_rows("scriptkit.pantry", "pieces_with_bones.csv", columns, lambda f, p, w: (f, (float(p) / 100, w)))
    )


def _less_bone(weight: HouseholdWeight, share: float, with_it: str) -> HouseholdWeight:
    return dataclasses.replace(weight, grams=weight.grams * share, whole_g=weight.grams, with_it=with_it)


def _weight(food: str, amount: str, unit: str, state: str, grams: str, printed: str) -> tuple[str, HouseholdWeight]:
    return food, HouseholdWeight(float(amount), unit, state, float(grams), printed)


@functools.cache
def as_written() -> dict[str, str]:
    """Name or synonym exactly as in the table → kitchen name: the quick way for those who write it so."""
    synonyms = _COLUMNS.index("synonyms")
    found: dict[str, str] = {}
    for name, row in _foods().items():
        found[name] = name
        for synonym in row[synonyms].split(";"):
            found.setdefault(synonym.strip(), name)
    found.pop("", None)
    return found


BELOW = "<"
"""Before a figure: less than that, as the method of measuring cannot tell how little. Half of it is taken, and between nothing and all
of it is what it may be (EFSA, Management of left-censored data, 2010: the middle bound)."""
ANIMAL = frozenset({
    "dairy", "cheese", "beef", "veal", "lamb", "pork", "poultry", "game", "offal", "cured meat", "fish", "shellfish", "egg",
})  # fmt: skip
"""Categories without fibre, however little a table can tell of it."""


@functools.cache
def index() -> dict[str, str]:
    """Folded name or synonym → kitchen name, for the whole table."""
    found: dict[str, str] = {}
    for name, row in food_rows().items():
        for word in (name, *_split(row["synonyms"])):
            found[fold(word)] = name
    return found


@functools.cache
def food(name: str) -> Food:
    """The food with this exact kitchen name. Raises KeyError where the table has none, BadDataFile where its row has no figure."""
    row = dict(zip(_COLUMNS, _foods()[name], strict=True))
    try:
        return _food(name, row)
    except ValueError as wrong:
        raise row_that_cannot_be("scriptkit.pantry", "foods.csv", _COLUMNS, name, wrong) from wrong


def _food(name: str, row: dict[str, str]) -> Food:
    refuse = _figure(row["refuse_percent"])
    what = held_by(name)
    return Food(
        name=name,
        category=row["category"],
        source=f"{_SHORT[row['table']]} {row['row']}".strip(),
        composition=_composition(row),
        synonyms=_split(row["synonyms"]),
        refuse_share=None if refuse is None else refuse / 100,
        weights=_weights().get(name, ()),
        allergens=what.contains,
        may_contain=what.may_contain,
        safety=row["safety"],
        water_g=_figure(row["water_g"]),
        spread=(_figure(row["spread_percent"]) or 0.0) / 100,
        below=tuple((n, float(row[n][1:])) for n in _FIGURES if row[n].startswith(BELOW)),
        second_net_carbs_g=_figure(row["second_net_carbs_g"]),
        second_source=f"{_SHORT['ciqual2020']} {row['second_row']}" if row["second_row"] else "",
    )


def _composition(row: dict[str, str]) -> Composition:
    figures = {name: _figure(row[name]) for name in _FIGURES}
    if row["fibre_g"].startswith(BELOW) and row["category"] in ANIMAL:
        figures["fibre_g"] = 0.0
    total, fibre = figures["carbohydrate_g"], figures["fibre_g"]
    if row["table"] == "label":
        kinds = {kind: _figure(row[f"{kind}_g"]) for kind in ("erythritol", "allulose")}
        return from_label(per_g=100, basis="eu", polyols_g=_figure(row["polyols_g"]), kinds=kinds, **figures)
    if row["table"] == "ciqual2020":  # its carbohydrate is available: fibre outside, polyols inside
        # Its polyols are the food's own, which no label declares, and US carbohydrate by difference holds them too.
        figures["carbohydrate_g"] = None if total is None or fibre is None else total + fibre
        return Composition(**_with_energy(figures, total, _figure(row["polyols_g"]) or 0.0), net_carbs_g=total)
    if total == 0:  # by difference, fibre and sugars are parts of the total: of none, there are none
        figures |= {"fibre_g": 0.0, "sugars_g": 0.0}
        fibre = 0.0
    # Fibre can exceed the total in a row of almost no carbohydrate; a plate has no negative carbohydrate.
    net = None if total is None or fibre is None else max(total - fibre, 0.0)
    return Composition(**figures, net_carbs_g=net)


def _with_energy(figures: dict[str, float | None], net: float | None, polyols: float) -> dict[str, float | None]:
    """Energy by Reg. (EU) 1169/2011, Annex XIV, where Ciqual prints none."""
    fat, protein, fibre = figures["fat_g"], figures["protein_g"], figures["fibre_g"]
    if figures["energy_kcal"] is not None or fat is None or protein is None or fibre is None or net is None:
        return figures
    kcal = 9 * fat + 4 * protein + 4 * (net - polyols) + 2.4 * polyols + 2 * fibre + 7 * (figures["alcohol_g"] or 0.0)
    return figures | {"energy_kcal": kcal}


def _figure(text: str) -> float | None:
    """A cell of the table; what is printed as below a limit is taken as half of it."""
    if text.startswith(BELOW):
        return float(text[1:]) / 2
    return float(text) if text else None


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())
