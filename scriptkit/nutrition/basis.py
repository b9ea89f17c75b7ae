"""Carbohydrate on the US and on the European basis, and energy by the European factors."""

from __future__ import annotations

import enum

from scriptkit.nutrition.macros import Macros
from scriptkit.pantry.sweeteners import EU_KCAL_ERYTHRITOL, EU_KCAL_POLYOL

EU_KCAL = {
    "carbohydrate_g": 4.0, "polyols_g": EU_KCAL_POLYOL, "erythritol_g": EU_KCAL_ERYTHRITOL, "protein_g": 4.0, "fat_g": 9.0,
    "alcohol_g": 7.0, "fibre_g": 2.0,
}  # fmt: skip
"""kcal per gram: Regulation (EU) 1169/2011, Annex XIV; carbohydrate without polyols, polyols without erythritol."""


class Basis(enum.StrEnum):
    """``us``: total carbohydrate by difference, fibre inside. ``eu``: available carbohydrate, fibre outside."""

    US = "us"
    EU = "eu"

    @property
    def meaning(self) -> str:
        """One line for the foot of a table: what carbohydrate holds on it, and how net carbs follow."""
        return _MEANING[self]


_MEANING = {
    Basis.US: "US basis: carbohydrate includes fibre; net carbs = carbohydrate − fibre (− declared erythritol and allulose whole, other polyols by half)",
    Basis.EU: "EU basis: carbohydrate excludes fibre and includes polyols; net carbs = carbohydrate (− declared erythritol and allulose whole, other polyols by half); energy by Annex XIV",
}


_EU_CARBOHYDRATE = ("net_carbs_g", "deducted_sweeteners_g")
_ENERGY = {n: kcal for n, kcal in EU_KCAL.items() if n not in ("carbohydrate_g", "polyols_g", "erythritol_g")} | {
    # All of the EU carbohydrate at 4, then the polyols in it at theirs.
    **dict.fromkeys(_EU_CARBOHYDRATE, EU_KCAL["carbohydrate_g"]),
    "polyols_g": EU_KCAL["polyols_g"] - EU_KCAL["carbohydrate_g"],
    "erythritol_g": EU_KCAL["erythritol_g"] - EU_KCAL["polyols_g"],
}
_NOT_ASKED_FOR = {"alcohol_g"}


def to_basis(macros: Macros, basis: Basis) -> Macros:
    """The same food with carbohydrate and energy as a label on this basis prints them.

    Both are sums of figures times a factor, so that rows on a basis add up to their whole on it; where a figure is unknown,
    so is the sum, and what is known of it is a lower bound.
    """
    if basis is Basis.US:
        return macros
    carbohydrate = sum(macros.at_least(n) for n in _EU_CARBOHYDRATE)
    energy = sum(macros.at_least(n) * kcal for n, kcal in _ENERGY.items())
    return macros.with_figure(
        "carbohydrate_g", carbohydrate, unknown=not macros.unknown.isdisjoint(_EU_CARBOHYDRATE)
    ).with_figure("energy_kcal", energy, unknown=not macros.unknown.isdisjoint(_ENERGY.keys() - _NOT_ASKED_FOR))


def eu_carbohydrate(macros: Macros) -> float | None:
    """Grams of available carbohydrate with polyols, as a European label prints it; None where one of them is unknown."""
    return to_basis(macros, Basis.EU).figure("carbohydrate_g")


def eu_energy_kcal(macros: Macros) -> float | None:
    """Energy from the macros by the factors of Annex XIV; None where one of them is unknown.

    Alcohol is the exception: tables leave it blank for foods that are neither drink nor cooked with one, and a stew's energy
    does not become unknown by its carrot. Where it is blank, it adds nothing here. Of a drink off a label, write `alcohol_g`.
    """
    return to_basis(macros, Basis.EU).figure("energy_kcal")
