"""“Macro ratio” has three meanings; each is computed and printed with its meaning."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import apportion

_KCAL = {"fat_g": 9.0, "protein_g": 4.0, "net_carbs_g": 4.0}
"""kcal per gram: 21 CFR 101.9(c)(1); Regulation (EU) 1169/2011, Annex XIV."""


@dataclass(frozen=True, slots=True)
class Ratios:
    """None where a figure is unknown, or where there is nothing to divide by.

    ``fat_to_protein_and_net_carbs``: grams of fat to one gram of protein + net carbs (the dietetic ketogenic ratio's
    form). ``fat_to_net_carbs``: grams of fat to one gram of net carbs. ``energy_shares``: percent of energy from fat,
    protein and net carbs at 9, 4 and 4 kcal/g; whole percents that make 100.
    """

    fat_to_protein_and_net_carbs: float | None
    fat_to_net_carbs: float | None
    energy_shares: tuple[int, int, int] | None

    def lines(self) -> list[str]:
        """A line each, with its meaning."""
        first = _to_one(self.fat_to_protein_and_net_carbs)
        second = _to_one(self.fat_to_net_carbs)
        third = "/".join(map(str, self.energy_shares)) if self.energy_shares else "unknown"
        width = max(map(len, (first, second, third)))
        return [
            f"{first:>{width}}  grams of fat : grams of protein + net carbs",
            f"{second:>{width}}  grams of fat : grams of net carbs",
            f"{third:>{width}}  percent of energy from fat / protein / net carbs (9, 4, 4 kcal per g)",
        ]


def _to_one(ratio: float | None) -> str:
    if ratio is None:
        return "unknown"
    return f"{ratio:.1f} : 1" if ratio > 0.95 else f"{ratio:.2f} : 1"


def ratios_of(macros: Macros) -> Ratios:
    """The three ratios. Of no net carbs at all, fat stands to them in no ratio; that is None, as where a figure is unknown."""
    fat, protein, net = (macros.figure(n) for n in ("fat_g", "protein_g", "net_carbs_g"))
    if fat is None or net is None:
        return Ratios(None, None, None)
    to_net = fat / net if net > 0 else None
    if protein is None:
        return Ratios(None, to_net, None)
    to_both = fat / (protein + net) if protein + net > 0 else None
    energy = [fat * _KCAL["fat_g"], protein * _KCAL["protein_g"], net * _KCAL["net_carbs_g"]]
    return Ratios(to_both, to_net, _shares(energy))


def _shares(energy: list[float]) -> tuple[int, int, int] | None:
    whole = sum(energy)
    if whole <= 0:
        return None
    fat, protein, net = apportion([e / whole * 100 for e in energy], 100)
    return fat, protein, net
