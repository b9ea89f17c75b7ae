"""The figures of the safety rules against the published ones. Each row names its source; Q: as quoted in another text, R: read in a
stored copy of the source, M: from memory of it.
"""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.safety.rule_matching import Caution, cautions_of
from scriptkit.safety.rules import Rule, rules

# FoodSafety.gov, Cook to a Safe Minimum Internal Temperature, 2019 (USDA FSIS). Q for whole cuts, ground meat, poultry, leftovers,
# egg dishes and fish; M for the rest.
CHART = [
    ("beef, rump steak", "Roast it.", 145, 3), ("veal loin chop", "Roast it.", 145, 3), ("lamb leg, bone-in", "Roast it.", 145, 3),
    ("pork loin chop", "Roast it.", 145, 3), ("goat", "Roast it.", 145, 3), ("bison", "Roast it.", 145, 3),
    ("country ham", "Roast it.", 145, 3),  # ham, raw
    ("beef mince, 15% fat", "Roast it.", 160, None), ("lamb mince", "Roast it.", 160, None), ("pork mince", "Roast it.", 160, None),
    ("veal mince", "Roast it.", 160, None), ("sausage, breakfast, pork", "Roast it.", 160, None),
    ("rabbit", "Roast it.", 160, None), ("venison", "Roast it.", 160, None),
    ("chicken, whole", "Roast it.", 165, None), ("chicken breast", "Roast it.", 165, None), ("chicken mince", "Roast it.", 165, None),
    ("turkey mince", "Roast it.", 165, None), ("chicken giblets", "Roast it.", 165, None), ("duck, whole", "Roast it.", 165, None),
    ("sausage, turkey, fresh", "Roast it.", 165, None),
    ("ham, cooked", "Roast it.", 165, None),  # precooked ham, to reheat; 140 where it was packed in a USDA-inspected plant
    ("egg", "Bake the quiche.", 160, None),
    ("salmon", "Roast it.", 145, None), ("tuna, fresh", "Roast it.", 145, None), ("tilapia", "Roast it.", 145, None),
    ("cod", "Roast it.", 145, None), ("trout", "Roast it.", 145, None), ("hake", "Roast it.", 145, None),
    ("rice, white, cooked", "Reheat the leftovers.", 165, None),
    ("potato", "Bake the casserole.", 165, None),  # casseroles, meat and meatless
]  # fmt: skip


def of(table: Table, food: str, do: str) -> tuple[Caution, ...]:
    return cautions_of(
        table.dish(
            f'dish: D\nservings: 4\ningredients: {{it: {{amount: 400 g, food: "{food}"}}}}\nsteps: [{{stage: cook, do: {do}, add: it}}]'
        )
    )


@pytest.mark.parametrize(
    ("food", "do", "fahrenheit", "rest_min"), CHART, ids=[f"{food}, {do}" for food, do, *_ in CHART]
)
def test_minimum_internal_temperatures_and_rests(
    table: Table, food: str, do: str, fahrenheit: int, rest_min: int | None
) -> None:
    (caution,) = [c for c in of(table, food, do) if c.rule.minimum_c is not None]
    assert caution.rule.minimum_c is not None
    assert round(caution.rule.minimum_c * 9 / 5 + 32) == fahrenheit
    assert caution.rule.rest_min == rest_min
    assert f"({fahrenheit} °F)" in caution.printed
    assert "FoodSafety.gov" in caution.rule.source


@pytest.mark.parametrize(
    ("food", "sign"),
    [("prawns, raw", "opaque"), ("lobster, raw", "opaque"), ("crab, raw", "opaque"), ("scallops", "opaque"),
     ("clams", "shells open"), ("oysters", "shells open"), ("mussels", "shells open")],
)  # fmt: skip
def test_signs_of_cooked_shellfish(table: Table, food: str, sign: str) -> None:  # the same chart, M
    (caution,) = [c for c in of(table, food, "Simmer it.") if c.rule.id == "cook-shellfish"]
    assert sign in caution.printed


def test_stuffing_in_poultry(table: Table) -> None:  # the same chart, M: 165 °F
    (caution,) = [c for c in of(table, "chicken, whole", "Stuff it and roast it.") if c.rule.id == "stuffing"]
    assert "74 °C (165 °F)" in caution.printed


def rule(name: str) -> Rule:
    return next(r for r in rules() if r.id == name)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        # FDA Food Code 2022, 3-501.14(A), R: 57 → 21 °C (135 → 70 °F) in 2 h, to 5 °C (41 °F) within 6 h in all
        ("chilling", ["57 °C", "21 °C", "135 to 70 °F", "2 hours", "5 °C (41 °F)", "6 hours"]),
        # FDA Food Code 2022, 3-403.11, R: 74 °C (165 °F) for 15 s, within 2 h
        ("reheating", ["74 °C (165 °F)", "2 hours"]),
        # USDA, Q: out of the fridge 2 h at most, 1 h above 90 °F
        ("stand-ins", ["2 hours", "1 hour", "90 °F"]),
        # USDA, Q: danger zone 40–140 °F
        ("standing-out", ["2 hours", "1 hour", "90 °F", "40", "140 °F"]),
        ("leftovers", ["2 hours", "1 hour", "90 °F", "3 to 4 days", "74 °C (165 °F)"]),
        # NFPA and USFA advice, Q: slide a lid on, heat off, covered until cool, never water, children 1 m away
        ("searing", ["slide the lid on", "heat off", "covered until it is cool", "Never water", "children one metre away"]),
        ("deep-frying", ["slide the lid on", "heat off", "covered until it is cool", "Never water", "children one metre away"]),
        # FDA Import Alert 33-15, R: choking; Reg. (EU) 432/2012, M: plenty of water
        ("konjac", ["choke", "plenty"]),
        # FDA, Bad Bug Book 2012, M: soak 5 h, boil 30 min
        ("dry-kidney-beans", ["5 hours", "30 minutes", "phytohaemagglutinin"]),
        # USDA and extension services, M: 40 °F or less, 4 days
        ("garlic-in-oil", ["4 °C (40 °F)", "4 days"]),
        # CDC and WHO, M
        ("honey-infants", ["12 months"]),
        # FDA Food Code 2022, 3-402.11, and Reg. (EC) 853/2004, M: -20 °C for 7 days or for 24 h, -35 °C for 15 h
        ("raw-fish", ["-20 °C", "7 days", "24 hours", "-35 °C", "15 hours"]),
        # FDA Food Code 2022, 3-501.13, M
        ("thawing", ["5 °C (41 °F)", "30 minutes", "never on the counter"]),
        # EFSA 2015, M
        ("caffeine", ["200 mg"]),
    ],
)  # fmt: skip
def test_published_figures_stand_in_the_printed_text(name: str, words: list[str]) -> None:
    for word in words:
        assert word in rule(name).printed, word


def test_the_jug_is_filled_by_one_third_and_the_laxer_figure_is_named() -> None:
    # common practice; food magazines print one half (R in check values)
    assert "one half as the laxer figure" in rule("hot-blending-jug").source
