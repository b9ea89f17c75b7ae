"""Figures as a US label rounds them: 21 CFR 101.9(c), as quoted in check-values of the project."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.nutrition.label_rounding import label_energy, label_fat, label_grams


@pytest.mark.parametrize(
    ("kcal", "printed"),
    [(47, "45"), (52, "50"), (236, "240"), (4.9, "0"), (0, "0"), (5, "5"), (7.4, "5"), (7.5, "10"), (50, "50"), (54.9, "50"),
     (55, "60"), (1156, "1160")],
)  # fmt: skip
def test_energy(kcal: float, printed: str) -> None:
    """101.9(c)(1): nearest 5 up to 50 kcal, nearest 10 above, under 5 may be 0."""
    assert label_energy(kcal) == printed


@pytest.mark.parametrize(
    ("grams", "printed"), [(0.4, "0"), (0.5, "0.5"), (4.7, "4.5"), (4.8, "5"), (5.4, "5"), (5.5, "6"), (31.3, "31"), (0.7, "0.5"), (0.75, "1")]
)  # fmt: skip
def test_fat(grams: float, printed: str) -> None:
    """101.9(c)(2): nearest 0.5 g under 5 g, nearest 1 g above, under 0.5 g is 0."""
    assert label_fat(grams) == printed


@pytest.mark.parametrize(
    ("grams", "printed"),
    [
        (0, "0"),
        (0.49, "0"),
        (0.5, "less than 1"),
        (0.99, "less than 1"),
        (1.0, "1"),
        (1.49, "1"),
        (1.5, "2"),
        (16.9, "17"),
    ],
)
def test_carbohydrate_fibre_and_protein(grams: float, printed: str) -> None:
    """101.9(c)(6) and (7): nearest gram, under 1 g “less than 1 g”, under 0.5 g may be 0."""
    assert label_grams(grams) == printed


@given(st.floats(1, 5000))
def test_never_further_off_than_half_the_step(figure: float) -> None:
    assert abs(float(label_grams(figure)) - figure) <= 0.5
    assert abs(float(label_fat(figure)) - figure) <= (0.25 if figure < 5 else 0.5)
    assert abs(float(label_energy(figure)) - figure) <= (5 if figure > 50 or figure < 5 else 2.5)
