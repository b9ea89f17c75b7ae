"""Polyols and allulose: what a gram gives by each source, and what of them comes off the carbohydrate."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

US_KCAL = {
    "isomalt": 2.0, "lactitol": 2.0, "xylitol": 2.4, "maltitol": 2.1, "sorbitol": 2.6, "mannitol": 1.6, "erythritol": 0.0,
}  # fmt: skip
"""kcal per gram: 21 CFR 101.9(c)(1)(i)(F)."""
US_KCAL_ALLULOSE = 0.4
"""FDA, The Declaration of Allulose and Calories from Allulose on Nutrition and Supplement Facts Labels, guidance of October
2020: 0.4 kcal/g, and it stays in total carbohydrate."""
EU_KCAL_POLYOL, EU_KCAL_ERYTHRITOL = 2.4, 0.0
"""kcal per gram: Regulation (EU) 1169/2011, Annex XIV. It names no allulose: there that is carbohydrate, at 4."""
MOST_KCAL_POLYOL = 3.0
"""Of polyols that nobody named: hydrogenated starch hydrolysates, 21 CFR 101.9(c)(1)(i)(F)."""
HALF = 0.5
"""What of a polyol other than erythritol comes off net carbs (common practice, no source)."""

POLYOLS = tuple(US_KCAL)
"""The kinds that a label may name, each as ``erythritol_g`` and so on."""


@dataclass(frozen=True, slots=True)
class Sweeteners:
    """Grams of all polyols, of erythritol among them, and of allulose, in so much of a food as the label is for."""

    polyols_g: float = 0.0
    erythritol_g: float = 0.0
    allulose_g: float = 0.0

    @property
    def deducted_g(self) -> float:
        """What comes off net carbs: erythritol and allulose whole, other polyols by half."""
        return self.erythritol_g + self.allulose_g + HALF * (self.polyols_g - self.erythritol_g)


def sweeteners(polyols_g: float | None, kinds: Mapping[str, float | None]) -> Sweeteners:
    """What a label declares; polyols that it does not declare are none. ``kinds`` holds grams by name (``erythritol``,
    ``allulose``); where they make more than ``polyols_g``, they are all the polyols."""
    named = sum(kinds.get(kind) or 0.0 for kind in POLYOLS)
    return Sweeteners(max(polyols_g or 0.0, named), kinds.get("erythritol") or 0.0, kinds.get("allulose") or 0.0)


def kcal_bounds(polyols_g: float, kinds: Mapping[str, float | None]) -> tuple[float, float]:
    """The least and the most kcal of the polyols and allulose, whichever source a label counts by."""
    least = most = 0.0
    for kind, kcal in US_KCAL.items():
        grams, eu = kinds.get(kind) or 0.0, EU_KCAL_ERYTHRITOL if kind == "erythritol" else EU_KCAL_POLYOL
        least += grams * min(kcal, eu)
        most += grams * max(kcal, eu)
    unnamed = max(polyols_g - sum(kinds.get(kind) or 0.0 for kind in POLYOLS), 0.0)
    allulose = kinds.get("allulose") or 0.0
    return least + allulose * US_KCAL_ALLULOSE, most + unnamed * MOST_KCAL_POLYOL + allulose * 4.0
