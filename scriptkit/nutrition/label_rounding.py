"""Figures rounded as a US nutrition label rounds them: 21 CFR 101.9(c)."""

from __future__ import annotations

from scriptkit.measure.numbers import round_half_up


def label_energy(kcal: float) -> str:
    """Nearest 5 kcal up to 50, nearest 10 above; under 5 is 0. 21 CFR 101.9(c)(1)."""
    if kcal < 5:
        return "0"
    step = 5 if kcal <= 50 else 10
    return str(round_half_up(kcal / step) * step)


def label_fat(grams: float) -> str:
    """Nearest 0.5 g under 5 g, nearest gram above; under 0.5 g is 0. 21 CFR 101.9(c)(2)."""
    if grams < 0.5:
        return "0"
    if grams < 5:
        return f"{round_half_up(grams * 2) / 2:g}"
    return str(round_half_up(grams))


def label_grams(grams: float) -> str:
    """Carbohydrate, fibre, sugars, protein: nearest gram; under 1 g “less than 1”, under 0.5 g is 0. 21 CFR 101.9(c)(6), (7)."""
    if grams < 0.5:
        return "0"
    if grams < 1:
        return "less than 1"
    return str(round_half_up(grams))
