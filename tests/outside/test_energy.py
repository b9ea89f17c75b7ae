"""Energy against the factors that two agencies print: Annex XIV for Ciqual's rows, 4, 4, 9 and 7 for USDA's.

USDA uses factors of the food (A. L. Merrill and B. K. Watt, Energy Value of Foods, Agriculture Handbook 74, 1973; the
figures below from memory), so that 4/4/9/7 misses by more than 15 % where a food is mostly vegetable protein, fibre or
acid: `energy_of_its_own.csv` lists each such row of the pantry with its reason.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from scriptkit.nutrition.basis import eu_energy_kcal
from scriptkit.nutrition.macros import macros_of
from scriptkit.pantry import table
from scriptkit.pantry.labels import from_label

HERE = Path(__file__).resolve().parent
CIQUAL_FOODS = HERE.parents[2] / "shared" / "data" / "ciqual-2020" / "foods.csv"

# Rows of Ciqual 2020: code, name, kcal by Regulation (EU) 1169/2011, fat, protein, available carbohydrate, fibre, polyols, alcohol.
CIQUAL = [
    ("20039", "leek, raw", 32.3, 0.25, 1.49, 4.9, 2.27, 0.056, 0.0),
    ("20114", "oyster mushroom, raw", 25.5, 0.36, 3.06, 1.5, 2.4, 0.45, 0.0),
    ("20315", "celeriac, boiled", 26.2, 0.3, 0.94, 4.32, 2.6, 1.8, 0.0),
    ("11066", "fennel seed", 326.0, 14.9, 15.7, 12.5, 39.8, 0.0, 0.0),
    ("13042", "prune", 229.0, 0.4, 1.63, 55.4, 5.1, 9.6, 0.0),
    ("26044", "hake, raw", 82.6, 1.35, 17.6, 0.0, 0.0, 0.0, 0.0),
    ("10014", "mussel, raw", 71.8, 1.82, 11.2, 2.69, 0.0, 0.0, 0.0),
    ("10036", "oyster, raw", 53.5, 0.9, 10.2, 1.16, 0.0, 0.0, 0.0),
    ("12726", "cheddar", 399.0, 33.8, 24.0, 0.0, 0.0, 0.0, 0.0),
    ("16400", "butter, unsalted", 753.0, 82.9, 0.7, 0.9, 0.0, 0.0, 0.0),
    ("17220", "walnut oil", 900.0, 100.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    ("7125", "rye bread", 260.0, 1.0, 8.27, 51.5, 4.5, 0.0, 0.0),
    ("20587", "green lentil, boiled", 127.0, 0.58, 10.1, 16.2, 8.45, 0.0, 0.0),
    ("31020", "milk chocolate with sweeteners", 487.0, 34.6, 5.75, 54.2, 2.0, 42.6, 0.0),
    ("31054", "chewing gum without sugar", 228.0, 0.45, 0.69, 78.1, 1.98, 59.7, 0.0),
    ("10082", "mussels in white wine broth", 92.0, 2.24, 10.3, 7.43, 0.53, 0.004, 0.0),
]  # fmt: skip

# kcal per g of protein, fat and carbohydrate by difference.
FACTORS = {"vegetable": (2.44, 8.37, 3.57), "mushroom": (2.62, 8.37, 3.48), "citrus": (3.36, 8.37, 2.70)}
REASONS = {
    "vegetable": "protein of vegetables counts 2.44, their carbohydrate 3.57 kcal/g",
    "mushroom": "protein of mushrooms counts 2.62, their carbohydrate 3.48 kcal/g",
    "citrus": "citric acid at 2.47 kcal/g stands in the carbohydrate, which counts 2.70",
    "sprouts": "protein of sprouted pulses counts less than 4 kcal/g, and is a third of what is dry in them",
    "spice": "much of the carbohydrate is fibre, resin and tannin, which USDA counts at less than 4 kcal/g",
    "bran": "mostly fibre, which USDA counts at little or nothing",
    "cocoa": "over half fibre; cocoa protein counts 1.83, its carbohydrate 1.33 kcal/g",
    "yeast": "a fifth to a quarter of it is fibre, and its protein counts 3.00 kcal/g",
    "carbonate": "carbohydrate by difference holds carbonate, which gives no energy",
    "acetic": "acetic acid gives energy and is no carbohydrate",
    "glycosides": "glycosides are carbohydrate by difference, and give no energy",
    "whole kcal": "one kilocalorie, printed whole",
}


def _eu_kcal(fat: float, protein: float, carbohydrate: float, fibre: float, polyols: float, alcohol: float) -> float:
    food = from_label(
        per_g=100, basis="eu", fat_g=fat, protein_g=protein, carbohydrate_g=carbohydrate, fibre_g=fibre, polyols_g=polyols,
        alcohol_g=alcohol,
    )  # fmt: skip
    kcal = eu_energy_kcal(macros_of(food, 100))
    assert kcal is not None
    return kcal


@pytest.mark.parametrize("row", CIQUAL, ids=[r[1] for r in CIQUAL])
def test_annex_xiv_energy_of_ciqual_rows(row: tuple[str, str, float, float, float, float, float, float, float]) -> None:
    _, _, kcal, *macros = row
    assert _eu_kcal(*macros) == pytest.approx(kcal, rel=0.03)


def _figure(text: str) -> float | None:
    """As Ciqual prints it; traces are nothing, and what is below a bound is not known."""
    try:
        return 0.0 if text.strip() == "traces" else float(text)
    except ValueError:
        return None


def _off_annex_xiv(path: Path) -> list[float]:
    """How far each row that prints all of it is from the energy of its own macros, as a share of what it prints."""
    columns = ("fat_g", "protein_g", "available_carbohydrate_g", "fibre_g", "polyols_g", "alcohol_g")
    found = []
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            kcal, (fat, protein, available, fibre, polyols, alcohol) = (
                _figure(row["kcal_eu"]),
                (_figure(row[c]) for c in columns),
            )
            if kcal and fat is not None and protein is not None and available is not None and fibre is not None:
                found.append(
                    abs(_eu_kcal(fat, protein, available, fibre, polyols or 0.0, alcohol or 0.0) - kcal) / kcal
                )
    return found


def test_annex_xiv_energy_of_a_sixteenth_of_the_table() -> None:
    """Every sixteenth row of Ciqual 2020 that prints all of it, kept beside this test."""
    off = _off_annex_xiv(HERE / "ciqual_energy.csv")
    assert len(off) >= 100
    assert sum(o <= 0.03 for o in off) / len(off) >= 0.94


@pytest.mark.skipif(
    not CIQUAL_FOODS.is_file(), reason="the published table ciqual-2020/foods.csv is not beside the checkout"
)
def test_annex_xiv_energy_of_the_whole_table() -> None:
    """96 % of the rows that print all of it lie within 3 %; the others print macros that are rounded or from another sample."""
    off = _off_annex_xiv(CIQUAL_FOODS)
    assert len(off) > 1900
    assert sum(o <= 0.03 for o in off) / len(off) >= 0.94


def _sr28() -> list[tuple[str, float, float, dict[str, float]]]:
    """Rows of the pantry that SR28 prints whole: name, kcal printed, kcal by 4/4/9/7, macros."""
    found = []
    for name, row in table.food_rows().items():
        macros = {c: row[f"{c}_g"] for c in ("fat", "protein", "carbohydrate")}
        if row["table"] == "sr28" and row["energy_kcal"] and all(macros.values()):
            g = {c: float(text) for c, text in macros.items()}
            counted = 9 * g["fat"] + 4 * g["protein"] + 4 * g["carbohydrate"] + 7 * float(row["alcohol_g"] or 0)
            found.append((name, float(row["energy_kcal"]), counted, g))
    return found


def _off(printed: float, counted: float) -> float:
    """How far 4/4/9/7 is from the printed figure, as a share of it."""
    return abs(counted - printed) / printed if printed else float(counted >= 1)


def _listed() -> dict[str, dict[str, str]]:
    with (HERE / "energy_of_its_own.csv").open(encoding="utf-8", newline="") as file:
        return {row["food"]: row for row in csv.DictReader(file)}


def test_usda_energy_of_every_pantry_row_or_its_reason(record_property: pytest.RecordProperty) -> None:
    rows = _sr28()
    shares = {bound: sum(_off(k, e) <= bound for _, k, e, _ in rows) / len(rows) for bound in (0.05, 0.15)}
    for bound, share in shares.items():
        record_property(f"within {bound:.0%} of 4/4/9/7", f"{share:.1%} of {len(rows)}")
        print(f"within {bound:.0%} of 4/4/9/7: {share:.1%} of {len(rows)} rows")
    # A kitchen's pantry holds more vegetables and spices than the whole table, of which 75 % and 91 % lie so near.
    assert shares[0.05] > 0.55 and shares[0.15] > 0.8
    beyond = {name for name, printed, counted, _ in rows if _off(printed, counted) > 0.15}
    assert beyond == set(_listed())


def test_every_reason_is_written_out_and_every_figure_is_that_of_the_row() -> None:
    counted = {name: (k, e) for name, k, e, _ in _sr28()}
    for name, row in _listed().items():
        assert row["reason"] in REASONS, name
        assert row["row"] == table.food_rows()[name]["row"], name
        printed, by_factors = counted[name]
        assert float(row["printed_kcal"]) == printed, name
        assert float(row["kcal_by_4_4_9_7"]) == pytest.approx(by_factors, abs=0.051), name
    assert {row["reason"] for row in _listed().values()} == set(REASONS)


@pytest.mark.parametrize("group", list(FACTORS))
def test_the_factors_of_the_group_do_give_the_printed_energy(group: str) -> None:
    """The reason is true: with its group's own factors a row comes within 10 %, or 1.5 kcal of a few."""
    protein, fat, carbohydrate = FACTORS[group]
    named = {name for name, row in _listed().items() if row["reason"] == group}
    assert named
    for name, printed, _, g in _sr28():
        if name in named:
            counted = protein * g["protein"] + fat * g["fat"] + carbohydrate * g["carbohydrate"]
            assert counted == pytest.approx(printed, rel=0.10, abs=1.5), name
