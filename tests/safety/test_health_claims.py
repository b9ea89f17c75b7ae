"""Claims about nutrition and health, held against published conditions."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem, Severity
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.health_claims import claim_problems, claims

LABEL = "energy_kcal: {kcal}, fat_g: {fat}, saturated_g: {sat}, protein_g: {protein}, carbohydrate_g: {carbs}, fibre_g: {fibre}, sugars_g: {sugars}, sodium_mg: {sodium}"
USUAL = {"kcal": 200, "fat": 10, "sat": 4, "protein": 6, "carbs": 20, "fibre": 2, "sugars": 6, "sodium": 400}


def problems_of(source: Dish | Meal) -> list[Problem]:
    return claim_problems(source, Preproduction(source).macros.eaten_of(source))


def found(
    table: Table, said: str, *, serving: str = "300 g", name: str = "Supper", label: str = "", **figures: float
) -> list[Problem]:
    """Problems of a dish of one food with these figures in 100 g, of which a serving weighs ``serving``."""
    words = label or LABEL.format(**{**USUAL, **figures})
    return problems_of(table.dish(
        f'dish: "{name}"\nservings: 1\nserving: {serving}\ncooked_weight: {serving}\nfoods: {{it: {{basis: us, {words}}}}}\n'
        f'ingredients: {{it: {serving}}}\nsteps: [{{stage: cook, do: Warm it., add: it, say: "{said}"}}]\n'
    ))  # fmt: skip


def told(problems: list[Problem]) -> list[str]:
    """Which list is not met."""
    return [word for p in problems for word in ("EU", "US") if f"for it {word} wants" in p.message]


# Conditions from memory of the texts named in health_claims.yaml; each pair stands on either side of one.
@pytest.mark.parametrize(
    ("said", "figures", "serving", "not_met"),
    [
        ("High-protein.", {"protein": 10, "kcal": 200}, "300 g", []),  # 20 % of energy; 30 g a serving
        ("High-protein.", {"protein": 9.9, "kcal": 200}, "300 g", ["EU"]),
        ("High in protein.", {"protein": 10, "kcal": 200}, "99 g", ["US"]),  # 9.9 g a serving
        ("Source of protein.", {"protein": 6, "kcal": 200}, "300 g", []),  # 12 % of energy
        ("Good source of protein.", {"protein": 5.9, "kcal": 200}, "300 g", ["EU"]),
        ("Low-fat.", {"fat": 3, "kcal": 90}, "300 g", []),
        ("Low-fat.", {"fat": 3.1, "kcal": 93}, "300 g", ["EU", "US"]),
        ("Low in fat.", {"fat": 3, "kcal": 89}, "300 g", ["US"]),  # 30.3 % of the energy
        ("Fat-free.", {"fat": 0.1, "kcal": 20, "sat": 0, "protein": 1, "carbs": 4, "sugars": 1}, "300 g", []),
        ("Fat-free.", {"fat": 0.5, "kcal": 20, "sat": 0, "protein": 1, "carbs": 4, "sugars": 1}, "100 g", ["US"]),  # below 0.5 g a serving
        ("Fat-free.", {"fat": 0.6, "kcal": 20, "sat": 0, "protein": 1, "carbs": 4, "sugars": 1}, "50 g", ["EU"]),
        ("Sugar-free.", {"sugars": 0.1}, "300 g", []),
        ("Sugar-free.", {"sugars": 0.5}, "300 g", ["US"]),
        ("Sugar-free.", {"sugars": 0.6}, "300 g", ["EU", "US"]),
        ("Low-sugar.", {"sugars": 5}, "300 g", []),
        ("Low sugar.", {"sugars": 5.1}, "300 g", ["EU"]),
        ("Low-salt.", {"sodium": 120}, "300 g", []),
        ("Low-sodium.", {"sodium": 121}, "300 g", ["EU"]),
        ("Low in salt.", {"sodium": 141}, "300 g", ["EU", "US"]),
        ("High-fibre.", {"fibre": 6}, "300 g", []),
        ("High in fiber.", {"fibre": 5.9, "kcal": 200}, "300 g", ["EU"]),
        ("High in fibre.", {"fibre": 3, "kcal": 100, "fat": 2, "sat": 1, "carbs": 15}, "300 g", []),  # 3 g per 100 kcal will do
        ("Rich in fibre.", {"fibre": 6}, "90 g", ["US"]),
        ("A source of fibre.", {"fibre": 3}, "300 g", []),
        ("A source of fibre.", {"fibre": 2.9, "kcal": 200}, "300 g", ["EU"]),
        ("Low-calorie.", {"kcal": 40, "fat": 0, "sat": 0, "protein": 2, "carbs": 8}, "300 g", []),
        ("Low-calorie.", {"kcal": 41, "fat": 0, "sat": 0, "protein": 2, "carbs": 8}, "300 g", ["EU"]),
        ("Low-calorie.", {"kcal": 121, "fat": 4, "sat": 1, "carbs": 15}, "300 g", ["EU", "US"]),
        ("Low saturated fat.", {"sat": 1, "kcal": 200}, "300 g", []),
        ("Low saturated fat.", {"sat": 1.1, "kcal": 200}, "300 g", ["US"]),
        ("Low saturated fat.", {"sat": 1.6, "kcal": 200}, "300 g", ["EU", "US"]),
    ],
)  # fmt: skip
def test_a_claim_is_held_against_both_lists(
    table: Table, said: str, figures: dict[str, float], serving: str, not_met: list[str]
) -> None:
    problems = found(table, said, serving=serving, **figures)
    assert told(problems) == not_met
    assert all(p.severity is Severity.WARNING and p.code == "claim" and p.hint for p in problems if told([p]))


@pytest.mark.parametrize(
    ("fibre", "units", "not_met"),
    [(2, "us", []), (1.9, "us", ["US"]), (2, "metric", ["EU"]), (1.9, "", ["EU", "US"])],  # 5.6 g and 5.3 g a serving
)
def test_a_us_kitchen_is_held_against_the_us_list_alone(
    table: Table, fibre: float, units: str, not_met: list[str]
) -> None:
    """20 % of the daily value of 28 g in a serving (21 CFR 101.54(b), from memory); the EU asks 6 g in 100 g."""
    words = LABEL.format(**{**USUAL, "fibre": fibre})
    said = "High in fiber." if units == "us" else "High in fibre."
    dish = table.dish(
        f"dish: Supper\nservings: 1\nserving: 280 g\ncooked_weight: 280 g\n{f'units: {units}' if units else 'promise: Warm.'}\n"
        f"foods: {{it: {{basis: us, {words}}}}}\ningredients: {{it: 280 g}}\nsteps: [{{stage: cook, do: Warm it., add: it, say: {said}}}]\n"
    )
    assert told(problems_of(dish)) == not_met


def test_the_message_says_both_figures_and_the_source(table: Table) -> None:
    (problem,) = found(table, "High-protein.", protein=5, kcal=200)
    assert (
        problem.message
        == "“High-protein” is said; for it EU wants protein at least 20 % of the energy, and this has protein 10 % of the energy"
    )
    assert "1924/2006" in problem.hint


@pytest.mark.parametrize("said", ["Keto.", "It is ketogenic.", "A low-carb supper.", "Low in carbs.", "LCHF."])
def test_a_claim_without_a_published_condition_says_so_and_gives_the_figure(table: Table, said: str) -> None:
    (problem,) = found(table, said)
    assert (problem.severity, problem.code) == (Severity.NOTE, "claim-no-condition")
    assert "no condition is published" in problem.message
    assert "54.0 g net carbs" in problem.hint  # (20 − 2) × 3


@pytest.mark.parametrize("said", ["Keto.", "Low-carb."])
def test_without_the_figure_it_is_a_warning(table: Table, said: str) -> None:
    (problem,) = found(table, said, label="energy_kcal: 200, fat_g: 10, protein_g: 4")
    assert (problem.severity, problem.code) == (Severity.WARNING, "claim-unknown")
    assert "net carbs is not known" in problem.message


def test_a_figure_that_is_not_known_is_never_taken_for_zero(table: Table) -> None:
    problems = found(
        table, "Sugar-free.", label="energy_kcal: 120, fat_g: 10, protein_g: 4, carbohydrate_g: 3, fibre_g: 1"
    )
    assert {p.code for p in problems} == {"claim-unknown"}
    assert len(problems) == 2
    assert all("sugars is not known" in p.message for p in problems)


@pytest.mark.parametrize(
    ("said", "severity"),
    [
        ("It burns fat.", Severity.WARNING), ("Good for diabetics.", Severity.WARNING), ("Diabetic-friendly.", Severity.WARNING),
        ("It lowers your cholesterol.", Severity.WARNING), ("It boosts your immune system.", Severity.WARNING), ("A detox soup.", Severity.WARNING),
        ("You lose 5 kg.", Severity.WARNING), ("A healthy supper.", Severity.NOTE), ("Less fat than the usual one.", Severity.NOTE),
    ],
)  # fmt: skip
def test_what_no_figure_can_bear(table: Table, said: str, severity: Severity) -> None:
    assert [p.severity for p in found(table, said)] == [severity]


@pytest.mark.parametrize(
    "said",
    [
        "It is not low-carb.", "This isn't keto.", "Is it keto?", "The fat runs off.", "High heat, and protein later.", "Salt it low and slow.",
        "For a low-carb version use celeriac.", "Burn the fat off the pan.", "It treats you well.", "A light supper.", "Sugar goes in.",
    ],
)  # fmt: skip
def test_what_is_no_claim(table: Table, said: str) -> None:
    assert found(table, said) == []


def test_low_fat_yoghurt_is_said_of_the_yoghurt(table: Table) -> None:
    dish = 'dish: %s\nservings: 1\ningredients: {yoghurt: {amount: 100 g, food: "yoghurt, plain, low-fat"}, oil: {amount: 40 g, food: olive oil}}\nsteps: [{stage: cook, do: Stir., say: "%s"}]'
    assert problems_of(table.dish(dish % ("Dip", "In goes the low-fat yoghurt."))) == []
    assert told(problems_of(table.dish(dish % ("Low-fat yoghurt dip", "In it goes.")))) == ["EU", "US"]


@pytest.mark.parametrize(("foods", "told_of"), [("honey: 20 g", True), ("leek: 20 g", False)])
def test_no_added_sugar_is_about_what_goes_in(table: Table, foods: str, told_of: bool) -> None:
    dish = table.dish(f"dish: No added sugar supper\nservings: 1\ningredients: {{{foods}, carrot: 50 g}}\n")
    assert [p.code for p in problems_of(dish)] == (["claim"] if told_of else [])


def test_a_meal_is_held_against_its_plate(table: Table) -> None:
    table.write("one.yaml", "dish: One\nservings: 1\ningredients: {leek: 100 g}")
    meal = table.meal("meal: A high-protein supper\ndishes: [{dish: one.yaml}]")
    assert told(problems_of(meal)) == ["EU", "US"]


def test_every_claim_is_well_formed() -> None:
    ids = [c.id for c in claims()]
    assert len(set(ids)) == len(ids)
    for claim in claims():
        assert claim.conditions or claim.instead or claim.not_foods
        assert all(c.list in ("eu", "us") and c.source and c.figures for c in claim.conditions)
        assert {f.per for c in claim.conditions for f in c.figures} <= {"100 g", "100 kcal", "serving", "energy"}


def test_a_claim_for_its_share_of_energy_cannot_be_held_against_what_nobody_knows(table: Table) -> None:
    label = "per: 100 g, energy_kcal: 100, fat_g: 1"
    problems = found(table, "High-protein.", label=label)
    assert [p.code for p in problems] == ["claim-unknown"] * 2
    assert all("protein is not known" in p.message for p in problems)
