"""Carbohydrate on the US and on the European basis, and energy by the European factors."""

from __future__ import annotations

import enum

from scriptkit.nutrition.macros import Macros

# kcal per gram: Regulation (EU) No 1169/2011, Annex XIV.
EU_KCAL = {"net_carbs_g": 4.0, "polyols_g": 2.4, "protein_g": 4.0, "fat_g": 9.0, "alcohol_g": 7.0, "fibre_g": 2.0}


class Basis(enum.StrEnum):
    """``us``: total carbohydrate by difference, fibre inside. ``eu``: available carbohydrate, fibre outside."""

    US = "us"
    EU = "eu"

    @property
    def meaning(self) -> str:
        return _MEANING[self]


_MEANING = {
    Basis.US: "US basis: carbohydrate includes fibre; net carbs = carbohydrate − fibre (− polyols where declared)",
    Basis.EU: "EU basis: carbohydrate excludes fibre and includes polyols; net carbs = carbohydrate − polyols; energy by Annex XIV",
}


def to_basis(macros: Macros, basis: Basis) -> Macros:
    """The same food with carbohydrate and energy as a label on this basis prints them."""
    if basis is Basis.US:
        return macros
    return macros.with_figure("carbohydrate_g", eu_carbohydrate(macros)).with_figure(
        "energy_kcal", eu_energy_kcal(macros)
    )


def eu_carbohydrate(macros: Macros) -> float | None:
    """Available carbohydrate with polyols, as a European label prints it."""
    net, polyols = macros.figure("net_carbs_g"), macros.figure("polyols_g")
    return None if net is None or polyols is None else net + polyols


def eu_energy_kcal(macros: Macros) -> float | None:
    """Energy from the macros by the factors of Annex XIV; None where one of them is unknown.

    Alcohol that no table measured is taken as none where the food is neither drink nor cooked with one: the published
    energy stands beside this figure for comparison.
    """
    parts = [(macros.figure(n) if n != "alcohol_g" else macros.at_least(n), kcal) for n, kcal in EU_KCAL.items()]
    if any(figure is None for figure, _ in parts):
        return None
    return sum((figure or 0.0) * kcal for figure, kcal in parts)
