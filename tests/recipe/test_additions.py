"""What goes in: ``all``, ``half``, ``rest`` and plain amounts become shares and grams."""

from __future__ import annotations

from fractions import Fraction

import pytest
from conftest import Table
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scriptkit.recipe.additions import REST, SHARES
from scriptkit.recipe.dish import Addition


def additions(table: Table, ingredient: str, *parts: str) -> list[Addition]:
    """The additions of one ingredient, a step each."""
    steps = "".join(f"  - {{stage: cook, do: In., add: {{x: {part}}}}}\n" for part in parts)
    return list(table.dish(f"dish: D\nservings: 2\ningredients:\n  x: {ingredient}\nsteps:\n{steps}").additions)


@pytest.mark.parametrize(
    ("words", "share"),
    [
        ("all", 1), ("half", Fraction(1, 2)), ("a half", Fraction(1, 2)), ("a third", Fraction(1, 3)),
        ("third", Fraction(1, 3)), ("two thirds", Fraction(2, 3)), ("a quarter", Fraction(1, 4)), ("quarter", Fraction(1, 4)),
        ("three quarters", Fraction(3, 4)), ("All", 1), ("HALF", Fraction(1, 2)), ("rest", 1), ("the rest", 1),
        ("remaining", 1), ("150 g", Fraction(1, 2)), ("0.15 kg", Fraction(1, 2)), ("1/10 kg", Fraction(1, 3)),
    ],
)  # fmt: skip
def test_shares(table: Table, words: str, share: Fraction | int) -> None:
    (addition,) = additions(table, "{amount: 300 g, food: leek}", words)
    assert addition.share is not None
    assert addition.share == pytest.approx(share, abs=1e-4)
    assert addition.grams == pytest.approx(300 * float(share), abs=0.05)


def test_the_rest_is_what_is_left(table: Table) -> None:
    found = additions(table, "{amount: 4 tbsp, food: 'butter, unsalted'}", "1 tbsp", "a quarter", "3 tsp", "rest")
    assert [a.share for a in found] == [Fraction(1, 4)] * 4
    assert [str(a.amount) for a in found] == ["1 tbsp", "1 tbsp", "3 tsp", "1 tbsp"]
    assert [a.number for a in found] == [1, 2, 3, 4]


def test_a_second_rest_is_nothing(table: Table) -> None:
    assert [a.share for a in additions(table, "{amount: 300 g, food: leek}", "half", "rest", "rest")] == [
        Fraction(1, 2), Fraction(1, 2), 0,
    ]  # fmt: skip


def test_a_part_in_another_unit_goes_by_volume_or_by_weight(table: Table) -> None:
    by_volume = additions(table, "{amount: 1 cup, food: water}", "8 tbsp")
    assert by_volume[0].share == Fraction(1, 2)
    # USDA SR28 01145: 1 tbsp of unsalted butter weighs 14.2 g
    by_weight = additions(table, "{amount: 56.8 g, food: 'butter, unsalted'}", "2 tbsp")
    assert by_weight[0].share == pytest.approx(Fraction(1, 2), abs=1e-3)
    assert by_weight[0].grams == pytest.approx(28.4, abs=0.1)


def test_parts_of_what_was_bought_whole_are_of_what_is_left_of_it(table: Table) -> None:
    """Celeriac (USDA SR28 11141): 14% of it as bought is discarded."""
    half, rest = additions(table, "{amount: 700 g, bought: whole, food: celeriac}", "half", "rest")
    assert half.ingredient.as_bought_g == 700
    assert half.ingredient.grams == pytest.approx(700 * 0.86)
    assert half.grams == rest.grams == pytest.approx(700 * 0.86 / 2)
    (weighed,) = additions(table, "{amount: 700 g, bought: whole, food: celeriac}", "301 g")
    assert weighed.share == pytest.approx(Fraction(1, 2), abs=1e-4)  # 301 g on the board, of 602 g


def test_what_is_to_taste_has_no_share(table: Table) -> None:
    (addition,) = additions(table, "{amount: to taste, food: salt}", "to taste")
    assert (addition.share, addition.amount, addition.grams) == (None, None, None)


@pytest.mark.parametrize("written", ["[x, y]", "{x: all, y: all}", "x"])
def test_names_alone_mean_all_of_each(table: Table, written: str) -> None:
    text = "dish: D\nservings: 2\ningredients:\n  x: {amount: 1 g, food: leek}\n  y: {amount: 2 g, food: leek}\n"
    dish = table.dish(text + f"steps:\n  - {{stage: cook, do: In., add: {written}}}\n")
    assert [a.share for a in dish.additions] == [1] * len(dish.additions)
    assert [m.where for m in dish.steps[0].mentions] == ["add"] * len(dish.additions)
    column = dish.steps[0].additions[0].place.column
    assert dish.steps[0].additions[0].place.line == 7
    assert column == 33 + (written != "x")


@given(
    st.lists(st.sampled_from([*(w for w, s in SHARES.items() if s < 1), "7 g", "0.02 kg", "½ oz"]), max_size=5),
    st.sampled_from(REST),
)
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_shares_and_the_rest_make_one(table: Table, parts: list[str], rest: str) -> None:
    found = additions(table, "{amount: 300 g, food: leek}", *parts, rest)
    shares = [a.share for a in found if a.share is not None]
    assert len(shares) == len(parts) + 1
    before = sum(shares[:-1])
    assert sum(shares) == max(1, before)
    assert shares[-1] >= 0
    assert sum(a.grams or 0 for a in found) == pytest.approx(300 * float(max(1, before)))


def test_method_and_irreversible(table: Table) -> None:
    text = "dish: D\nservings: 2\ningredients: {leek: 1 g}\nsteps:\n"
    text += "  - {stage: cook, do: Blend it.}\n  - {stage: prep, do: Sear it.}\n  - {stage: cook, do: Sear it., irreversible: false}\n"
    text += "  - {stage: cook, do: Warm it., irreversible: yes}\n  - {stage: cook, do: Warm it., method: grill}\n"
    steps = table.dish(text).steps
    assert [(s.id, s.reading.method, s.irreversible) for s in steps] == [
        ("step-1", "blend", True), ("step-2", "sear", False), ("step-3", "sear", False), ("step-4", "", True),
        ("step-5", "grill", True),
    ]  # fmt: skip


def test_a_step_that_waits_for_itself_is_told_at_its_word(table: Table) -> None:
    reading = table.read("""
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g}
        steps:
          - {id: slice, stage: prep, do: Slice the leek., uses: leek}
          - {id: boil, stage: cook, do: Boil the leek., add: leek, after: [slice, boil]}
    """)
    (problem,) = [p for p in reading.problems if p.code == "circle"]
    assert (problem.place.line, problem.message) == (7, "“boil” waits for itself")


def test_what_was_not_filmed_is_not_asked_about_where_the_additions_cannot_be_read(table: Table) -> None:
    text = """
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g}
        steps:
          - {id: boil, stage: cook, do: Boil the leek., add: %s, unfilmed: [leak]}
    """
    codes = [p.code for p in table.read(text % "{leek: [all]}").problems]
    assert codes and "no-such-addition" not in codes
    assert [p.code for p in table.read(text % "leek").problems if p.severity == "error"] == ["no-such-addition"]
