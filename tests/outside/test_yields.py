"""Published cooking yields: yields.csv is well formed, and each row is the one that its source prints.

Source: USDA National Nutrient Database for Standard Reference, Release 28 (2016), weight file: the household weights
of cooked rows that say what raw weight they came from, and pairs of rows that weigh one piece raw and cooked.

`basis` says how `raw_g` and `cooked_g`, the source's own figures, become a share of edible weight:

- `edible`: neither weight holds refuse.
- `with refuse: raw 22%`: the raw weight holds 22 % bone and trim (the raw row's refuse), the cooked weight none.
- `with refuse: raw 25%, cooked 30%`: both do; the second share is the cooked row's refuse.
- `… raw by cooked row 7% …`: the raw row states no refuse, so that the cooked row's stands in for it.
"""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from pathlib import Path
from typing import get_args

import pytest

from scriptkit.pantry import table
from scriptkit.recipe.step_forms import Method

ROOT = Path(__file__).resolve().parents[2]
YIELDS = ROOT / "tests" / "outside" / "yields.csv"
SHARED = ROOT.parent / "shared" / "data"
SR28_FOODS = SHARED / "usda-sr28" / "foods.csv"
SR28_WEIGHTS = SHARED / "usda-sr28" / "household_weights.csv"

COLUMNS = ["food", "method", "yield", "basis", "row", "printed", "raw_g", "cooked_g"]
ALLOWED = {"grill", "roast", "braise", "fry", "sear", "boil", "simmer", "poach", "steam", "bake"}
BASIS = re.compile(r"edible|with refuse: raw (?P<by>by cooked row )?(?P<raw>\d+)%(?:, cooked (?P<cooked>\d+)%)?")
# How SR28 words a method at the end of a row's name.
WORDED = {
    "grill": r"broiled|grilled", "roast": r"roasted", "braise": r"braised", "fry": r"pan-fried|pan-broiled|pan-browned",
    "simmer": r"simmered|stewed", "bake": r"dry heat|baked", "poach": r"moist heat", "steam": r"moist heat",
}  # fmt: skip
POUND_G = 453.6  # as SR28 prints 1 lb of these rows

# Printed in SR28 (USDA, 2016): kitchen name, method, NDB numbers, raw g, cooked g, share of edible weight.
PRINTED_SR28: list[tuple[str, str, str, float, float, float]] = [
    ("beef, flank steak", "grill", "13948", 475, 383, 0.806),  # steak (yield from 475 g raw meat)
    ("beef, rib joint", "roast", "13826", 453.6, 289, 0.758),  # 16 % bone raw: 289 ÷ (453.6 × 0.84)
    ("pork loin, bone-in", "grill", "10022", 151, 87, 0.739),  # 22 % bone raw: 87 ÷ (151 × 0.78)
    ("pork loin chop", "grill", "10036+10038", 199, 157, 0.789),  # chop without refuse, raw and cooked
    ("beef, t-bone steak", "grill", "23005+23006", 460, 363, 0.737),  # 25 % refuse raw, 30 % cooked
    ("lamb, diced", "braise", "17060", 453.6, 272, 0.600),  # unit, cooked (yield from 1 lb raw meat)
    ("duck, whole", "roast", "05139+05140", 634, 382, 0.603),  # half a duck, meat and skin
    ("cod", "bake", "15015+15016", 231, 180, 0.779),  # fillet, raw and cooked by dry heat
]


def _beside(path: Path) -> pytest.MarkDecorator:
    return pytest.mark.skipif(
        not path.is_file(), reason=f"the published table {'/'.join(path.parts[-4:])} is not beside the checkout"
    )


def _rows() -> list[dict[str, str]]:
    with YIELDS.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _label(row: dict[str, str]) -> str:
    return f"{row['food']}, {row['method']}"


def _share(row: dict[str, str]) -> float:
    """The cooked edible share of the raw edible weight, 0–1, from the row's own weights and basis."""
    found = BASIS.fullmatch(row["basis"])
    assert found, f"{_label(row)}: basis {row['basis']!r}"
    raw, cooked = (int(found[part] or 0) / 100 for part in ("raw", "cooked"))
    return float(row["cooked_g"]) * (1 - cooked) / (float(row["raw_g"]) * (1 - raw))


def test_the_table_has_its_columns_and_every_cell_is_filled() -> None:
    with YIELDS.open(encoding="utf-8", newline="") as file:
        assert next(csv.reader(file)) == COLUMNS
    rows = _rows()
    assert len(rows) >= 60
    assert [_label(row) for row in rows if set(row) != set(COLUMNS) or not all(row[c].strip() for c in COLUMNS)] == []
    assert [_label(row) for row in rows if not re.fullmatch(r"\d{5}(\+\d{5})?", row["row"])] == []


def test_rows_stand_in_order_and_none_twice() -> None:
    keys = [(row["food"], row["method"]) for row in _rows()]
    assert keys == sorted(set(keys))


def test_every_food_is_an_sr28_food_of_the_pantry() -> None:
    foods = table.food_rows()
    assert [row["food"] for row in _rows() if row["food"] not in foods or foods[row["food"]]["table"] != "sr28"] == []


def test_methods_are_methods_of_a_step() -> None:
    assert set(get_args(Method)) >= ALLOWED >= {row["method"] for row in _rows()}


def test_yields_are_plausible_shares_with_three_decimals() -> None:
    wrong = [
        f"{_label(row)}: {row['yield']}"
        for row in _rows()
        if not re.fullmatch(r"0\.\d{3}", row["yield"]) or not 0.45 <= float(row["yield"]) <= 0.98
    ]
    assert wrong == []


def test_yields_follow_from_the_row_itself() -> None:
    # 0.0005 for the third decimal, and a hair for floats
    wrong = [
        f"{_label(row)}: {row['yield']}, not {_share(row):.4f}"
        for row in _rows()
        if abs(float(row["yield"]) - _share(row)) > 0.000501
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("name", "method", "ndb", "raw", "cooked", "share"), PRINTED_SR28, ids=[f"{r[0]}-{r[1]}" for r in PRINTED_SR28]
)
def test_yields_printed_in_sr28(name: str, method: str, ndb: str, raw: float, cooked: float, share: float) -> None:
    (row,) = [row for row in _rows() if (row["food"], row["method"]) == (name, method)]
    assert row["row"] == ndb
    assert (float(row["raw_g"]), float(row["cooked_g"])) == (raw, cooked)
    assert float(row["yield"]) == share


def _published() -> tuple[dict[str, dict[str, str]], dict[str, list[tuple[str, str, float]]]]:
    """SR28's foods by NDB number, and their household weights as (amount, measure, g)."""
    with SR28_FOODS.open(encoding="utf-8", newline="") as file:
        foods = {row["ndb"]: row for row in csv.DictReader(file)}
    weights = defaultdict(list)
    with SR28_WEIGHTS.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            weights[row["ndb"]].append((row["amount"], row["measure"], float(row["grams"])))
    return foods, weights


def _raw_grams(measure: str) -> float:
    """The raw weight that a measure names, in g. A measure that names none fails the test."""
    pound = re.search(r"1(?:/(\d))? lb", measure)
    if pound:
        return POUND_G / int(pound[1] or 1)
    grams = re.search(r"(\d+(?:\.\d+)?) ?g\b", measure)
    assert grams, measure
    return float(grams[1])


def _refuse(food: dict[str, str]) -> float:
    return float(food["refuse_percent"] or 0) / 100


@_beside(SR28_WEIGHTS)
def test_every_yield_recomputes_from_the_published_rows() -> None:
    published, weights = _published()
    differing = []
    for row in _rows():
        raw_ndb = table.food_rows()[row["food"]]["row"]
        *pair, cooked_ndb = row["row"].split("+")
        raw_words, _, cooked_words = row["printed"].partition(" | ")
        cooked_words = cooked_words or raw_words
        if pair:
            assert pair == [raw_ndb], _label(row)
            weighed = [
                (raw_g, cooked_g)
                for raw_amount, raw_measure, raw_g in weights[raw_ndb]
                for amount, measure, cooked_g in weights[cooked_ndb]
                if (raw_measure, measure, raw_amount) == (raw_words, cooked_words, amount)
            ]
        else:
            weighed = [
                (_raw_grams(measure), grams)
                for amount, measure, grams in weights[cooked_ndb]
                if (amount, measure) == ("1", row["printed"])
            ]
        if weighed != [(float(row["raw_g"]), float(row["cooked_g"]))]:
            differing.append(f"{_label(row)}: {row['raw_g']} → {row['cooked_g']} g, published {weighed}")
            continue
        basis = BASIS.fullmatch(row["basis"])
        assert basis, _label(row)
        raw_g, cooked_g = weighed[0]
        if row["basis"] != "edible":
            # the cooked row's share stands in only where the raw row states none
            assert (basis["by"] is not None) == (_refuse(published[raw_ndb]) == 0), _label(row)
            raw_g *= 1 - (_refuse(published[raw_ndb]) or _refuse(published[cooked_ndb]))
            cooked_g *= 1 - (_refuse(published[cooked_ndb]) if basis["cooked"] else 0)
        if abs(float(row["yield"]) - cooked_g / raw_g) > 0.002:
            differing.append(f"{_label(row)}: {row['yield']}, published {cooked_g / raw_g:.4f}")
    assert differing == []


@_beside(SR28_FOODS)
def test_cooked_rows_are_cooked_by_that_method() -> None:
    published, _ = _published()
    assert [
        f"{_label(row)}: {published[row['row'][-5:]]['description']}"
        for row in _rows()
        if not re.search(WORDED[row["method"]], published[row["row"][-5:]]["description"])
    ] == []


@_beside(SR28_FOODS)
def test_cooking_neither_makes_protein_nor_loses_an_eighth_of_it() -> None:
    """An outside check on the shares: the protein of 100 g raw must be found again in what it weighs cooked.

    One eighth covers the samples' scatter and what goes into the liquid (common practice, no source).
    """
    published, _ = _published()
    strange = []
    for row in _rows():
        raw = published[table.food_rows()[row["food"]]["row"]]
        cooked = published[row["row"][-5:]]
        kept = float(row["yield"]) * float(cooked["protein_g"]) / float(raw["protein_g"])
        if abs(kept - 1) > 0.125:
            strange.append(f"{_label(row)}: {kept:.2f} of the protein")
    assert strange == []
