"""What no food can be: more matter than it weighs, energy that its parts cannot give, a part larger than its whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from scriptkit.pantry.food import Composition
from scriptkit.pantry.sweeteners import POLYOLS, kcal_bounds, sweeteners

MASS_SHARE, MASS_G = 1.03, 2.0
"""What parts may make of the whole, and grams on top: figures are rounded, and protein is counted from nitrogen."""
ENERGY_SHARE = 0.2
ENERGY_PER_100_G, ENERGY_OF_A_LABEL = 20.0, 15.0
"""kcal that energy may be off on top of the share: acids and rounding in 100 g, and a label's rounding of a small serving."""
PART_G = 1.0
"""Grams that a part may be over its whole: 21 CFR 101.9(c) rounds each to the gram."""
KCAL_OF_FAT = 9.5
"""A gram of no food has more energy than one of fat: 9 kcal (21 CFR 101.9(c)(1)(i)), and something for rounding."""
SALT_TO_SODIUM_MG = 400.0
"""Salt = sodium × 2.5: Regulation (EU) 1169/2011, Annex I."""
SODIUM_SHARE, SODIUM_MG = 0.2, 40.0
"""How far salt and sodium of one label may be apart: a share of the larger, or milligrams."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One figure that cannot be. ``figure`` is its key (``fat_g``; ``per`` where it is the whole); ``hint`` says what to check."""

    figure: str
    message: str
    hint: str


def faults(weight_g: float, basis: str, figures: Mapping[str, float | None]) -> list[Fault]:
    """What cannot be among the figures of ``weight_g`` grams of a food; empty where all of it can be.

    ``us``: carbohydrate includes fibre (21 CFR 101.9(c)(6)). ``eu``: it does not (Reg. (EU) 1169/2011, Annex I). A figure
    that is None or not there is unknown, and nothing is held against it.
    """
    return [
        *_mass(weight_g, basis, figures),
        *_parts(basis, figures),
        *_energy(weight_g, basis, figures),
        *_salt(figures),
    ]


def composition_faults(composition: Composition, water_g: float | None = None) -> list[Fault]:
    """The same of 100 g of a food of the pantry."""
    figures = {n: getattr(composition, n) for n in Composition.__dataclass_fields__}
    return faults(100.0, "us", {**figures, "water_g": water_g})


def _of(figures: Mapping[str, float | None], *names: str) -> float:
    return sum(figures.get(n) or 0.0 for n in names)


def _mass(weight_g: float, basis: str, figures: Mapping[str, float | None]) -> Iterator[Fault]:
    parts = ["fat_g", "protein_g", "carbohydrate_g", "alcohol_g", "water_g"]
    if basis == "eu":
        parts.append("fibre_g")
    held = _of(figures, *parts)
    if held > weight_g * MASS_SHARE + MASS_G:
        words = "fat, protein, carbohydrate" + (" and fibre" if basis == "eu" else "")
        yield Fault("per", f"{words} make {held:.4g} g of {weight_g:.4g} g", "check `per:`, then each figure")
        return
    salt_g = _of(figures, "sodium_mg") / SALT_TO_SODIUM_MG
    if held + salt_g > weight_g * MASS_SHARE + MASS_G and salt_g > MASS_G:
        yield Fault(
            "sodium_mg" if figures.get("sodium_mg") is not None else "salt_g",
            f"{held:.4g} g of fat, protein and carbohydrate with {salt_g:.3g} g of salt are more than {weight_g:.4g} g",
            "check whether sodium is in grams or milligrams",
        )


_WHOLES = (
    ("saturated_g", "fat_g", "saturated fat is part of the fat"),
    ("sugars_g", "carbohydrate_g", "sugars are part of the carbohydrate"),
    *((f"{kind}_g", "carbohydrate_g", "polyols are part of the carbohydrate") for kind in ("polyols", *POLYOLS)),
    ("allulose_g", "carbohydrate_g", "allulose is part of the carbohydrate"),
)


def _parts(basis: str, figures: Mapping[str, float | None]) -> Iterator[Fault]:
    for part, whole, why in _WHOLES:
        some, all_of_it = figures.get(part), figures.get(whole)
        if some is not None and all_of_it is not None and some > all_of_it + PART_G:
            yield Fault(
                part, f"{_word(part)} {some:g} g of {all_of_it:g} g {_word(whole)}", f"{why}: check both figures"
            )
    kinds = sum(_kinds(figures)[kind] or 0.0 for kind in POLYOLS)
    if (all_of_it := figures.get("polyols_g")) is not None and kinds > all_of_it + PART_G:
        yield Fault(
            "polyols_g",
            f"polyols by kind make {kinds:g} g of {all_of_it:g} g polyols",
            "check them, or leave `polyols_g:` out",
        )
    fibre, carbohydrate = figures.get("fibre_g"), figures.get("carbohydrate_g")
    if basis == "us" and fibre is not None and carbohydrate is not None and fibre > carbohydrate + PART_G:
        yield Fault(
            "fibre_g",
            f"fibre {fibre:g} g of {carbohydrate:g} g carbohydrate; on a US label fibre is part of the carbohydrate",
            "if the label is European, write `basis: eu`; otherwise check both figures",
        )


def _kinds(figures: Mapping[str, float | None]) -> dict[str, float | None]:
    return {kind: figures.get(f"{kind}_g") for kind in (*POLYOLS, "allulose")}


def _word(figure: str) -> str:
    name = figure.rsplit("_", 1)[0].replace("_", " ")
    return "saturated fat" if name == "saturated" else name


def energy_bounds(basis: str, figures: Mapping[str, float | None]) -> tuple[float, float] | None:
    """The least and the most kcal that the figures can give; None where fat, protein or carbohydrate is unknown.

    4 kcal a gram of protein and of available carbohydrate, 9 of fat, 7 of alcohol; of fibre nothing, as 21 CFR 101.9(c)(1)(i)
    lets a label count it, up to what carbohydrate counts; polyols and allulose by kind (sweeteners.py). What Reg. (EU)
    1169/2011, Annex XIV, gives lies between.
    """
    fat, protein, carbohydrate = (figures.get(n) for n in ("fat_g", "protein_g", "carbohydrate_g"))
    if fat is None or protein is None or carbohydrate is None:
        return None
    others = 9 * fat + 4 * protein + 7 * _of(figures, "alcohol_g")
    fibre = figures.get("fibre_g")
    outside = (fibre or 0.0) if basis == "eu" else 0.0
    inside = 0.0 if basis == "eu" else carbohydrate if fibre is None else fibre
    kinds = _kinds(figures)
    sweet = sweeteners(figures.get("polyols_g"), kinds)
    sweet_least, sweet_most = kcal_bounds(sweet.polyols_g, kinds)
    rest = max(carbohydrate - sweet.polyols_g - sweet.allulose_g, 0.0)
    return others + 4 * max(rest - inside, 0.0) + sweet_least, others + 4 * rest + 2 * outside + sweet_most


def _energy(weight_g: float, basis: str, figures: Mapping[str, float | None]) -> Iterator[Fault]:
    kcal = figures.get("energy_kcal")
    if kcal is None:
        return
    if kcal > weight_g * KCAL_OF_FAT:
        yield Fault(
            "energy_kcal",
            f"{kcal:g} kcal in {weight_g:.4g} g is more than pure fat has",
            "check `per:`, and whether the figure is in kilojoules (kcal = kJ ÷ 4.184)",
        )
        return
    bounds = energy_bounds(basis, figures)
    if bounds is None:
        return
    slack = max(ENERGY_PER_100_G * weight_g / 100, ENERGY_OF_A_LABEL)
    least, most = bounds[0] * (1 - ENERGY_SHARE) - slack, bounds[1] * (1 + ENERGY_SHARE) + slack
    if kcal < least:
        yield Fault(
            "energy_kcal",
            f"{kcal:g} kcal, where the fat, protein and carbohydrate give at least {bounds[0]:.0f}",
            "check the figures; of a sweetener, write its polyols or allulose too",
        )
    elif kcal > most:
        yield Fault(
            "energy_kcal",
            f"{kcal:g} kcal, where the fat, protein and carbohydrate give at most {bounds[1]:.0f}",
            "check whether it is in kilojoules (kcal = kJ ÷ 4.184); of a drink with alcohol, write `alcohol_g:`",
        )


def _salt(figures: Mapping[str, float | None]) -> Iterator[Fault]:
    salt, sodium = figures.get("salt_g"), figures.get("sodium_mg")
    if salt is None or sodium is None:
        return
    by_salt = salt * SALT_TO_SODIUM_MG
    if abs(by_salt - sodium) > max(SODIUM_SHARE * max(by_salt, sodium), SODIUM_MG):
        yield Fault(
            "sodium_mg",
            f"sodium {sodium:g} mg, where salt {salt:g} g has {by_salt:.0f} mg",
            "check both, or leave one out (sodium in mg = salt in g × 400)",
        )
