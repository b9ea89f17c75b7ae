"""A food read off its label, on the US or the European carbohydrate basis."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.pantry.food import Composition
from scriptkit.pantry.sweeteners import sweeteners


def from_label(
    *,
    per_g: float,
    basis: str,
    energy_kcal: float | None = None,
    fat_g: float | None = None,
    saturated_g: float | None = None,
    protein_g: float | None = None,
    carbohydrate_g: float | None = None,
    fibre_g: float | None = None,
    polyols_g: float | None = None,
    kinds: Mapping[str, float | None] | None = None,
    sugars_g: float | None = None,
    alcohol_g: float | None = None,
    sodium_mg: float | None = None,
) -> Composition:
    """Per 100 g, with total and net carbohydrate told apart. Figures are those of ``per_g`` grams.

    ``us``: the label's carbohydrate includes fibre and polyols (21 CFR 101.9(c)(6)), net = carbohydrate - fibre - deducted.
    ``eu``: it excludes fibre and includes polyols (Reg. (EU) 1169/2011, Annex I), net = carbohydrate - deducted; fibre is
    never taken off twice. Deducted are erythritol and allulose whole and other polyols by half (common practice, no source).
    ``kinds``: polyols by kind and allulose, such as ``erythritol`` → 8.0. What the label does not say is unknown, but polyols
    and allulose only count where they are declared.

    A label's figures are rounded, so that its parts may be more than its total (under 1 g of carbohydrate, 1 g of fibre);
    then there are no net carbs, and the total is what its parts make.

    Raises ValueError where the basis is neither.
    """
    sweet = sweeteners(polyols_g, kinds or {})
    off = sweet.deducted_g
    if basis == "us":
        total = carbohydrate_g
        net = None if total is None or fibre_g is None else total - fibre_g - off
    elif basis == "eu":
        total = None if carbohydrate_g is None or fibre_g is None else carbohydrate_g + fibre_g
        net = None if carbohydrate_g is None else carbohydrate_g - off
    else:
        raise ValueError(f"basis is us or eu, not {basis!r}")
    if net is not None and net < 0:
        net = 0.0
        total = None if fibre_g is None else fibre_g + off
    scale = 100 / per_g

    def per_100(figure: float | None) -> float | None:
        return None if figure is None else figure * scale

    return Composition(
        energy_kcal=per_100(energy_kcal),
        fat_g=per_100(fat_g),
        saturated_g=per_100(saturated_g),
        protein_g=per_100(protein_g),
        carbohydrate_g=per_100(total),
        fibre_g=per_100(fibre_g),
        polyols_g=per_100(sweet.polyols_g),
        erythritol_g=per_100(sweet.erythritol_g),
        allulose_g=per_100(sweet.allulose_g),
        deducted_sweeteners_g=per_100(off),
        sugars_g=per_100(sugars_g),
        net_carbs_g=per_100(net),
        alcohol_g=per_100(alcohol_g),
        sodium_mg=per_100(sodium_mg),
    )
