"""Limits of a plate: the figure that is held against them, and what is said where one is broken."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.nutrition.limits import (
    LIMITED,
    RATIOS,
    figure_of,
    limit_problems,
    limit_words,
    printed_figure,
    printed_figures,
)
from scriptkit.nutrition.macros import Macros
from scriptkit.pantry.food import NUTRIENTS
from scriptkit.problems import Place
from scriptkit.recipe.dish import Limit
from scriptkit.recipe.forms import MealForm


def plate(weight: float = 400.0, unknown: frozenset[str] = frozenset(), **figures: float) -> Macros:
    return Macros(weight, tuple(figures.get(n, 0.0) for n in NUTRIENTS), unknown)


# 3 : 1 is the dietetic ratio of the worked example in check-values.md: fat to protein + carbohydrate, in grams
THREE_TO_ONE = plate(fat_g=60.0, protein_g=15.0, net_carbs_g=5.0, energy_kcal=620.0)


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        ("fat_to_protein_and_net_carbs", 3.0),  # 60 / (15 + 5)
        ("fat_to_net_carbs", 12.0),  # 60 / 5
        ("fat_energy_percent", 100 * 540 / 620),  # 9 x 60 of 9 x 60 + 4 x 20
        ("protein_energy_percent", 100 * 60 / 620),
        ("net_carbs_energy_percent", 100 * 20 / 620),
        ("weight_g", 400.0),
        ("energy_kcal", 620.0),
    ],
)
def test_what_is_held_against_a_limit(name: str, figure: float) -> None:
    assert figure_of(THREE_TO_ONE, name) == pytest.approx(figure)


@pytest.mark.parametrize(("ratio", "percent"), [(1, 69), (2, 82), (3, 87), (4, 90)])
def test_energy_from_fat_at_the_dietetic_ratios(ratio: int, percent: int) -> None:
    """By arithmetic at 9, 4 and 4 kcal a gram: 9r / (9r + 4)."""
    of = plate(fat_g=float(ratio), protein_g=0.6, net_carbs_g=0.4)
    assert round(figure_of(of, "fat_energy_percent") or 0) == percent


def test_a_ratio_to_nothing_has_no_figure() -> None:
    assert figure_of(plate(fat_g=10.0), "fat_to_net_carbs") is None
    assert figure_of(plate(), "fat_energy_percent") is None


@pytest.mark.parametrize("lacking", ["fat_g", "protein_g", "net_carbs_g"])
@pytest.mark.parametrize("name", RATIOS)
def test_a_ratio_has_no_figure_where_a_part_that_it_needs_is_unknown(name: str, lacking: str) -> None:
    """As the printed ratios: fat to net carbs does not ask about protein."""
    of = plate(unknown=frozenset({lacking}), fat_g=9.0, protein_g=9.0, net_carbs_g=9.0)
    assert (figure_of(of, name) is None) == (lacking in {**RATIOS[name].above, **RATIOS[name].below})


@given(*[st.floats(0, 900, allow_subnormal=False)] * 3, st.floats(0.01, 100))
def test_a_ratio_is_at_most_a_figure_exactly_where_it_has_no_excess(
    fat: float, protein: float, net: float, figure: float
) -> None:
    of = plate(fat_g=fat, protein_g=protein, net_carbs_g=net)
    for name, ratio in RATIOS.items():
        found, excess = ratio.of(of), ratio.excess(of, figure)
        assert excess is not None and found == figure_of(of, name)
        if found is not None and abs(found - figure) > 1e-6 * figure:
            assert (found <= figure) == (excess <= 0)


def test_a_mouthful_has_ratios_too() -> None:
    """Half a gram is something to divide by."""
    assert figure_of(plate(fat_g=3.0, net_carbs_g=0.5), "fat_to_net_carbs") == 6.0
    assert figure_of(plate(fat_g=0.05), "fat_energy_percent") == 100.0


def test_the_file_and_the_command_line_limit_the_same_things() -> None:
    named = MealForm.model_json_schema()["properties"]["at_most"]
    names = named.get("propertyNames", {}).get("enum") or list(named["properties"])
    assert sorted(names) == sorted(LIMITED)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("net_carbs_g", "12 g net carbs"),
        ("energy_kcal", "12 kcal energy"),
        ("sodium_mg", "12 mg sodium"),
        ("weight_g", "12 g weight"),
        ("saturated_g", "12 g saturated fat"),
        ("fat_to_net_carbs", "12 grams of fat to one gram of net carbs"),
        ("fat_energy_percent", "12 percent of energy from fat"),
    ],
)
def test_limits_in_words(name: str, words: str) -> None:
    assert limit_words(name, 12) == words


def limit(macro: str, bound: str, figure: float) -> Limit:
    return Limit(macro=macro, bound=bound, figure=figure, place=Place("meal.yaml", 7, 3))


@pytest.mark.parametrize(
    ("macro", "bound", "figure", "said"),
    [
        ("net_carbs_g", "at_most", 4, "the plate has 5.0 g net carbs, 1.0 g more than was promised (at most 4 g)"),
        ("net_carbs_g", "at_most", 5, ""),
        ("protein_g", "at_least", 15.1, "the plate has 15.0 g protein, 0.1 g less than was promised (at least 15.1 g)"),
        ("energy_kcal", "at_most", 619, "the plate has 620 kcal energy, 1 kcal more"),
        ("fat_to_protein_and_net_carbs", "at_least", 3.0, ""),
        ("fat_to_protein_and_net_carbs", "at_least", 3.5, "the plate has 3.0 grams of fat to one gram of protein + net carbs, 0.5 less"),
        ("weight_g", "at_most", 400, ""),
        ("weight_g", "at_most", 300, "the plate has 400 g weight, 100 g more than was promised (at most 300 g)"),
    ],
)  # fmt: skip
def test_a_broken_limit_says_by_how_much(macro: str, bound: str, figure: float, said: str) -> None:
    problems = limit_problems([limit(macro, bound, figure)], THREE_TO_ONE)
    assert [p.message[: len(said)] for p in problems] == ([said] if said else [])
    assert all(p.place.line == 7 and "scriptkit portion" in p.hint for p in problems)


def test_what_a_viewer_reads_is_held_against_the_limit() -> None:
    """5.04 g is printed as 5.0 g, and 5.06 g as 5.1 g."""
    assert not limit_problems([limit("net_carbs_g", "at_most", 5)], plate(net_carbs_g=5.04, carbohydrate_g=5.04))
    assert limit_problems([limit("net_carbs_g", "at_most", 5)], plate(net_carbs_g=5.06, carbohydrate_g=5.06))
    three = plate(fat_g=30.4, protein_g=5.0, net_carbs_g=5.0)  # 3.04 : 1
    assert not limit_problems([limit("fat_to_protein_and_net_carbs", "at_most", 3)], three)


def test_a_ratio_of_nothing_is_zero_and_is_held_against_the_limit() -> None:
    lean = plate(protein_g=20.0, net_carbs_g=5.0)
    assert not limit_problems([limit("fat_to_net_carbs", "at_most", 0.5)], lean)
    (problem,) = limit_problems([limit("fat_to_net_carbs", "at_least", 0.5)], lean)
    assert problem.message == (
        "the plate has 0.0 grams of fat to one gram of net carbs, 0.5 less than was promised (at least 0.5)"
    )


@pytest.mark.parametrize(
    ("bound", "hint"), [("at_most", "make a portion smaller"), ("at_least", "make a portion larger")]
)
def test_what_to_do_about_a_broken_limit(bound: str, hint: str) -> None:
    (problem,) = limit_problems([limit("protein_g", bound, 12 if bound == "at_most" else 18)], THREE_TO_ONE)
    assert problem.hint == f"{hint}; `scriptkit portion` finds portions that keep every limit"


def test_what_is_known_of_a_broken_limit_is_said_to_be_the_least() -> None:
    (problem,) = limit_problems(
        [limit("net_carbs_g", "at_most", 5)], plate(unknown=frozenset({"net_carbs_g"}), net_carbs_g=6.0)
    )
    assert problem.message == "the plate has ≥ 6.0 g net carbs, 1.0 g more than was promised (at most 5 g)"


@pytest.mark.parametrize(
    ("name", "words"),
    [("net_carbs_g", "5 g net carbs"), ("fat_to_net_carbs", "5 grams of fat to one gram of net carbs")],
)
def test_a_limit_of_which_nobody_knows_says_what_to_do(name: str, words: str) -> None:
    asked = limit(name, "at_most", 5)
    (problem,) = limit_problems([asked], plate(unknown=frozenset({"net_carbs_g"}), net_carbs_g=4.0, fat_g=1.0))
    assert (problem.place, problem.code) == (asked.place, "limit-unknown")
    assert problem.message == f"whether the plate keeps {words} is not known: an ingredient lacks the figure"
    assert problem.hint == ("`unknown_figures` in `scriptkit macros --json` names it; give it a label under `foods:`")
    lacking = {"net_carbs_g": ("prawns", "pickle")}
    (named,) = limit_problems([asked], plate(unknown=frozenset({"net_carbs_g"}), net_carbs_g=4.0, fat_g=1.0), lacking)
    assert named.message == f"whether the plate keeps {words} is not known: no table has the figure of prawns or pickle"
    assert named.hint == "give them a label each under `foods:`, with what the packet prints"


@pytest.mark.parametrize(
    ("known", "bound", "code"),
    [
        (6.0, "at_most", "limit"),  # what is known is too much already
        (4.0, "at_most", "limit-unknown"),
        (6.0, "at_least", ""),  # what is known is enough
        (4.0, "at_least", "limit-unknown"),
        (5.0, "at_most", "limit-unknown"),  # whatever else there is breaks it
        (5.0, "at_least", ""),  # whatever else there is, it is kept
    ],
)
def test_an_unknown_part(known: float, bound: str, code: str) -> None:
    of = plate(unknown=frozenset({"net_carbs_g"}), net_carbs_g=known)
    assert [p.code for p in limit_problems([limit("net_carbs_g", bound, 5)], of)] == ([code] if code else [])


def test_printed_figures_have_their_unit() -> None:
    assert printed_figure(THREE_TO_ONE, "net_carbs_g") == "5.0 g"
    assert printed_figure(THREE_TO_ONE, "energy_kcal") == "620 kcal"
    assert printed_figure(THREE_TO_ONE, "fat_to_net_carbs") == "12.0"
    assert printed_figure(plate(unknown=frozenset({"fat_g"})), "fat_g") == "an unknown figure"
    assert printed_figure(plate(unknown=frozenset({"fat_g"}), fat_g=8.14), "fat_g") == "≥ 8.1 g"


def test_figures_are_printed_for_people_and_ten_times_finer_for_machines() -> None:
    of = plate(weight=123.46, fat_g=12.36, energy_kcal=100.44)
    assert printed_figures(of, "fat_g") == (12.4, 12.36)
    assert printed_figures(of, "energy_kcal") == (100, 100.4)
    assert printed_figures(of, "weight_g") == (123, 123.5)


@given(st.floats(0.01, 300), st.floats(0.01, 300), st.floats(0.01, 300), st.sampled_from(sorted(LIMITED)))
def test_the_printed_figure_is_next_to_the_true_one(fat: float, protein: float, net: float, name: str) -> None:
    of = plate(fat_g=fat, protein_g=protein, net_carbs_g=net, carbohydrate_g=net, energy_kcal=9 * fat + 4 * protein)
    figure = figure_of(of, name)
    for shown in printed_figures(of, name):
        if figure is None:
            assert shown is None
        else:
            step = 1.0 if name.endswith(("kcal", "mg")) or name == "weight_g" else 0.1
            assert shown is not None
            assert abs(shown - figure) <= step + 1e-6


def test_a_meal_that_keeps_its_limits_is_not_spoken_of(table: Table) -> None:
    table.write(
        "d.yaml",
        "dish: D\nservings: 1\ncooked_weight: 200 g\ningredients: {butter: {amount: 30 g, food: 'butter, unsalted'}}\n",
    )
    meal = table.meal(
        "meal: M\ndishes: [{dish: d.yaml}]\nat_most: {net_carbs_g: 1, weight_g: 200}\nat_least: {fat_g: 20}\n"
    )
    assert [limit.macro for limit in meal.limits] == ["net_carbs_g", "weight_g", "fat_g"]


def test_limits_that_leave_nothing_between_them_are_an_error(table: Table) -> None:
    table.write(
        "dish.yaml",
        "dish: D\nservings: 1\ningredients: {leek: 100 g}\nsteps: [{stage: cook, do: Cook it., add: {leek: all}}]\n",
    )
    read = table.read(
        "meal: M\nplates: 1\ndishes: [{dish: dish.yaml}]\nat_most: {energy_kcal: 300}\nat_least: {energy_kcal: 900}\n",
        "meal.yaml",
    )
    assert [(p.place.line, p.code) for p in read.problems if p.severity == "error"] == [(5, "limits-cross")]
