"""The embedded table against the published tables it was copied from, figure for figure."""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path

import pytest

from scriptkit.pantry import table

ROOT = Path(__file__).resolve().parents[2]
SHARED = ROOT.parent / "shared" / "data"
SR28_FOODS = SHARED / "usda-sr28" / "foods.csv"
SR28_WEIGHTS = SHARED / "usda-sr28" / "household_weights.csv"
CIQUAL_FOODS = SHARED / "ciqual-2020" / "foods.csv"


def _beside(path: Path) -> pytest.MarkDecorator:
    return pytest.mark.skipif(
        not path.is_file(), reason=f"the published table {'/'.join(path.parts[-4:])} is not beside the checkout"
    )


# Column of foods.csv → column of the published table.
SR28_COLUMNS = {
    "energy_kcal": "kcal", "fat_g": "fat_g", "saturated_g": "saturated_g", "protein_g": "protein_g",
    "carbohydrate_g": "carbohydrate_g", "fibre_g": "fibre_g", "sugars_g": "sugars_g", "alcohol_g": "alcohol_g",
    "sodium_mg": "sodium_mg",
}  # fmt: skip
CIQUAL_COLUMNS = {
    "energy_kcal": "kcal_eu", "fat_g": "fat_g", "saturated_g": "saturated_g", "protein_g": "protein_g",
    "carbohydrate_g": "available_carbohydrate_g", "fibre_g": "fibre_g", "polyols_g": "polyols_g",
    "sugars_g": "sugars_g", "alcohol_g": "alcohol_g",
}  # fmt: skip

# Foods whose spoons and cups SR28 prints beside the unblanched nut only.
WEIGHED_AS = {"almonds, ground": "12061", "hazelnuts, ground": "12120", "coconut milk": "12118"}

# Printed in SR28 (USDA, 2016): kitchen name, NDB number, kcal, fat, protein, carbohydrate by difference, fibre per 100 g.
PRINTED_SR28: list[tuple[str, str, float, float, float, float, float | None]] = [
    ("parmesan, grated", "01032", 420, 27.84, 28.42, 13.91, 0.0),
    ("butter, unsalted", "01145", 717, 81.11, 0.85, 0.06, 0.0),
    ("egg", "01123", 143, 9.51, 12.56, 0.72, 0.0),
    ("milk, whole", "01211", 61, 3.27, 3.15, 4.78, 0.0),
    ("cumin", "02014", 375, 22.27, 17.81, 44.24, 10.5),
    ("olive oil", "04053", 884, 100.00, 0.00, 0.00, 0.0),
    ("chicken breast, skinless", "05062", 120, 2.62, 22.50, 0.00, 0.0),
    ("chicken stock, homemade", "06172", 36, 1.20, 2.52, 3.53, 0.0),
    ("avocado", "09037", 160, 14.66, 2.00, 8.53, 6.7),
    ("carrot", "11124", 41, 0.24, 0.93, 9.58, 2.8),
    ("leek", "11246", 61, 0.30, 1.50, 14.15, 1.8),
    ("mushroom", "11260", 22, 0.34, 3.09, 3.26, 1.0),
    ("almonds", "12061", 579, 49.93, 21.15, 21.55, 12.5),
    ("white wine", "14106", 82, 0.00, 0.07, 2.60, 0.0),
    ("cod", "15015", 82, 0.67, 17.81, 0.00, 0.0),
    ("prawns, raw", "15270", 85, 0.51, 20.10, 0.00, None),  # no fibre figure is printed
    ("lentils, dried", "16069", 352, 1.06, 24.63, 63.35, 10.7),
    ("bread, white", "18069", 266, 3.33, 8.85, 49.42, 2.7),
    ("cornflour", "20027", 381, 0.05, 0.26, 91.27, 0.9),
    ("flour, plain", "20481", 364, 0.98, 10.33, 76.31, 2.7),
    ("beef mince, 20% fat", "23572", 254, 20.00, 17.17, 0.00, 0.0),
]


def _read(path: Path, key: str) -> dict[str, dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return {row[key]: row for row in csv.DictReader(file)}


def _number(text: str) -> float | None:
    if text.startswith(table.BELOW):
        return -float(text[1:])
    return float(text) if text.strip() else None


def _ciqual(text: str) -> float | None:
    """A figure as Ciqual prints it: “traces” counts as 0, “-” is not known; “< 0.5” stands as −0.5, below any figure."""
    if text.strip() == "traces":
        return 0.0
    if text.startswith("<"):
        return -float(text[1:])
    try:
        return float(text)
    except ValueError:
        return None


def _rows_of(name: str) -> list[dict[str, str]]:
    return [row for row in table.food_rows().values() if row["table"] == name]


@pytest.mark.parametrize(
    ("name", "ndb", "kcal", "fat", "protein", "carbohydrate", "fibre"), PRINTED_SR28, ids=[r[0] for r in PRINTED_SR28]
)
def test_rows_printed_in_sr28(
    name: str, ndb: str, kcal: float, fat: float, protein: float, carbohydrate: float, fibre: float | None
) -> None:
    row = table.food_rows()[name]
    assert (row["table"], row["row"]) == ("sr28", ndb)
    assert _number(row["energy_kcal"]) == kcal
    assert _number(row["fat_g"]) == fat
    assert _number(row["protein_g"]) == protein
    assert _number(row["carbohydrate_g"]) == carbohydrate
    assert _number(row["fibre_g"]) == fibre


@_beside(SR28_FOODS)
def test_every_sr28_row_is_the_published_one() -> None:
    published = _read(SR28_FOODS, "ndb")
    differing = [
        f"{row['name']} ({row['row']}) {ours}: {row[ours]!r}, published {published[row['row']][theirs]!r}"
        for row in _rows_of("sr28")
        for ours, theirs in SR28_COLUMNS.items()
        if _number(row[ours]) != _number(published[row["row"]][theirs])
    ]
    assert differing == []


# Bones that the food's own row does not tell, from other rows of SR28. A drumstick's 66 % adds its bone twice (33 % "bone and cartilage" and 33 %
# "bone and connective tissue"; 05736, of a turkey, has 33 %). A thigh's row has none: of a leg (05075) 27 % is bone, of a drumstick 33 %, and
# a drumstick weighs 133 g with it, a thigh 193 g (pieces_with_bones.csv); what is left of the leg's bone is 23 % of the thigh.
BONES = {"chicken drumstick": 33, "chicken thigh, skin-on": 23}


def test_the_bone_of_a_thigh_is_what_the_leg_has_beside_the_drumstick() -> None:
    drumstick, thigh, leg = 133.0, 193.0, 0.27
    bone = (drumstick + thigh) * leg - drumstick * 0.33
    assert round(100 * bone / thigh) == BONES["chicken thigh, skin-on"]


def test_a_piece_is_as_the_shop_sells_it() -> None:
    """A pack of wings (05100) is whole pieces as they were weighed; a turkey's breast weighs the same without bone and skin as with them, so
    that it was weighed with them."""
    wing, pack = 107.0, 1150.0
    assert table.food("chicken wing").weights[0].whole_g == wing and 10 < pack / wing < 11
    with_skin, without = (table.food(f"turkey breast, {n}").weights[0] for n in ("skin-on", "skinless"))
    assert with_skin.whole_g == without.whole_g == 1150 and with_skin.grams > without.grams
    thigh, skinless = table.food("chicken thigh, skin-on").weights[0], table.food("chicken thigh, skinless").weights[0]
    assert thigh.whole_g and skinless.whole_g and abs(skinless.whole_g / thigh.whole_g - 0.75) < 0.03
    assert abs(skinless.grams - (skinless.whole_g - thigh.whole_g * BONES["chicken thigh, skin-on"] / 100)) < 1


def test_what_is_eaten_of_a_piece_with_its_bone_is_as_its_row_has_the_refuse() -> None:
    rows = table.food_rows()
    for name, row in rows.items():
        food = table.food(name)
        if any(w.whole_g for w in food.weights) and food.refuse_share:
            assert all(
                w.whole_g and round(w.grams / w.whole_g, 2) == round(1 - food.refuse_share, 2) for w in food.weights
            ), (name, row)


@_beside(SR28_FOODS)
def test_refuse_is_the_published_share_or_unknown() -> None:
    published = _read(SR28_FOODS, "ndb")
    differing = [
        row["name"]
        for row in table.food_rows().values()
        if row["refuse_percent"]
        and row["table"] != "label"  # of what is sold as it is, nothing is thrown away
        and float(row["refuse_percent"]) != BONES.get(row["name"])
        and (row["table"] != "sr28" or float(row["refuse_percent"]) != _number(published[row["row"]]["refuse_percent"]))
    ]
    assert differing == []


@_beside(SR28_WEIGHTS)
def test_every_household_weight_is_the_published_one() -> None:
    published = defaultdict(set)
    with SR28_WEIGHTS.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            published[row["ndb"]].add((float(row["amount"]), row["measure"], float(row["grams"])))
    foods = table.food_rows()
    strange = []
    for name, food in foods.items():
        ndb = WEIGHED_AS.get(name, food["row"] if food["table"] == "sr28" else "")
        for weight in table.food(name).weights:
            if (weight.amount, weight.printed, weight.whole_g or weight.grams) not in published[ndb]:
                strange.append(f"{name}: {weight.amount:g} {weight.printed} = {weight.grams:g} g")
    assert strange == []


@_beside(CIQUAL_FOODS)
def test_every_ciqual_row_is_the_published_one() -> None:
    published = _read(CIQUAL_FOODS, "code")
    differing = [
        f"{row['name']} ({row['row']}) {ours}: {row[ours]!r}, published {published[row['row']][theirs]!r}"
        for row in _rows_of("ciqual2020")
        for ours, theirs in CIQUAL_COLUMNS.items()
        if _number(row[ours]) != _ciqual(published[row["row"]][theirs])
    ]
    assert differing == []


@_beside(CIQUAL_FOODS)
def test_second_net_carbs_are_ciqual_available_carbohydrate() -> None:
    published = _read(CIQUAL_FOODS, "code")
    differing = []
    for row in table.food_rows().values():
        if bool(row["second_row"]) != bool(row["second_net_carbs_g"]):
            differing.append(f"{row['name']}: a second row without a figure, or the reverse")
        elif row["second_row"]:
            second = published[row["second_row"]]
            available = _ciqual(second["available_carbohydrate_g"])
            # as it stands: the food's own polyols are in SR28's carbohydrate by difference too
            if available is None or abs(float(row["second_net_carbs_g"]) - available) > 1e-6:  # at most five decimals
                differing.append(f"{row['name']}: {row['second_net_carbs_g']}, published {available}")
    assert differing == []
