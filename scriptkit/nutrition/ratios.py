"""“Macro ratio” has several meanings; each has one definition, and is computed and printed with its meaning."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import apportion

KCAL = {"fat_g": 9.0, "protein_g": 4.0, "net_carbs_g": 4.0}
"""kcal per gram: 21 CFR 101.9(c)(1); Regulation (EU) 1169/2011, Annex XIV."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """``scale`` × a weighted sum of figures (``above``) ÷ another (``below``); ``words`` follow a limit's figure, ``heading``
    the printed ratio."""

    words: str
    heading: str
    above: Mapping[str, float]
    below: Mapping[str, float]
    scale: float = 1.0

    def of(self, macros: Macros) -> float | None:
        """The ratio; None where a figure that it needs is unknown, or where there is nothing to divide by."""
        above, below = _sum(self.above, macros), _sum(self.below, macros)
        return None if above is None or below is None or below <= 0 else self.scale * above / below

    def excess(self, macros: Macros, figure: float) -> float | None:
        """How far ``above`` lies over what ``figure`` allows: linear in the macros, at most 0 exactly where the ratio is at
        most the figure. None where a figure is unknown."""
        above, below = _sum(self.above, macros), _sum(self.below, macros)
        return None if above is None or below is None else above - figure / self.scale * below


def _sum(weights: Mapping[str, float], macros: Macros) -> float | None:
    figures = [(macros.figure(nutrient), weight) for nutrient, weight in weights.items()]
    return None if any(f is None for f, _ in figures) else sum((f or 0.0) * weight for f, weight in figures)


def _energy_share(nutrient: str, of: str) -> Ratio:
    return Ratio(f"percent of energy from {of}", "", {nutrient: KCAL[nutrient]}, KCAL, 100.0)


RATIOS = {
    "fat_to_protein_and_net_carbs": Ratio(
        "grams of fat to one gram of protein + net carbs", "grams of fat : grams of protein + net carbs",
        {"fat_g": 1.0}, {"protein_g": 1.0, "net_carbs_g": 1.0},
    ),
    "fat_to_net_carbs": Ratio(
        "grams of fat to one gram of net carbs", "grams of fat : grams of net carbs", {"fat_g": 1.0}, {"net_carbs_g": 1.0},
    ),
    "fat_energy_percent": _energy_share("fat_g", "fat"),
    "protein_energy_percent": _energy_share("protein_g", "protein"),
    "net_carbs_energy_percent": _energy_share("net_carbs_g", "net carbs"),
}  # fmt: skip
"""By the name that limits and JSON have for it. The first is the form of the dietetic ketogenic ratio."""
_TO_ONE = ("fat_to_protein_and_net_carbs", "fat_to_net_carbs")
_ENERGY_SHARES = ("fat_energy_percent", "protein_energy_percent", "net_carbs_energy_percent")


@dataclass(frozen=True, slots=True)
class Ratios:
    """Those of a serving or a plate, None as :meth:`Ratio.of`. ``energy_shares``: percent of energy from fat, protein and net
    carbs, whole percents that make 100; None where one is unknown or there is no energy."""

    fat_to_protein_and_net_carbs: float | None
    fat_to_net_carbs: float | None
    energy_shares: tuple[int, int, int] | None

    @property
    def to_one(self) -> list[tuple[float | None, str]]:
        """The two that are printed as *… : 1*, each with its meaning."""
        figures = (self.fat_to_protein_and_net_carbs, self.fat_to_net_carbs)
        return [(f, RATIOS[name].heading) for f, name in zip(figures, _TO_ONE, strict=True)]

    def lines(self) -> list[str]:
        """A line each, with its meaning."""
        rows = [(_to_one(figure), meaning) for figure, meaning in self.to_one]
        shares = "/".join(map(str, self.energy_shares)) if self.energy_shares else "unknown"
        rows.append((shares, "percent of energy from fat / protein / net carbs (9, 4, 4 kcal per g)"))
        width = max(len(figure) for figure, _ in rows)
        return [f"{figure:>{width}}  {meaning}" for figure, meaning in rows]


def _to_one(ratio: float | None) -> str:
    if ratio is None:
        return "unknown"
    return f"{ratio:.1f} : 1" if ratio > 0.95 else f"{ratio:.2f} : 1"


def ratios_of(macros: Macros) -> Ratios:
    """All of them. Of no net carbs at all, fat stands to them in no ratio; that is None, as where a figure is unknown."""
    first, second = (RATIOS[name].of(macros) for name in _TO_ONE)
    shares = [RATIOS[name].of(macros) for name in _ENERGY_SHARES]
    if any(share is None for share in shares):
        return Ratios(first, second, None)
    fat, protein, net = apportion([share or 0.0 for share in shares], 100)
    return Ratios(first, second, (fat, protein, net))
