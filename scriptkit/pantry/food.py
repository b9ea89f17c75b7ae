"""One food: what 100 g contain, and what its household measures weigh."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition:
    """Per 100 g of the edible part. None is *unknown*, never zero.

    ``carbohydrate_g`` is by difference and includes fibre, as USDA SR28 and a US label print it; ``net_carbs_g`` is held
    beside it because a European label can give it where the total is unknown. ``polyols_g``, of which ``erythritol_g``, and
    ``allulose_g`` are only what a label declares; ``deducted_sweeteners_g`` is what of them comes off net carbs (sweeteners.py), so that
    carbohydrate − fibre − deducted = net carbs.
    """

    energy_kcal: float | None = None
    fat_g: float | None = None
    saturated_g: float | None = None
    protein_g: float | None = None
    carbohydrate_g: float | None = None
    fibre_g: float | None = None
    polyols_g: float | None = 0.0
    erythritol_g: float | None = 0.0
    allulose_g: float | None = 0.0
    deducted_sweeteners_g: float | None = 0.0
    sugars_g: float | None = None
    net_carbs_g: float | None = None
    alcohol_g: float | None = None
    sodium_mg: float | None = None


NUTRIENTS = tuple(f.name for f in fields(Composition))
"""The figures of a food, in the order a card prints them; each name ends in its unit."""
SWEETENERS = ("polyols_g", "erythritol_g", "allulose_g", "deducted_sweeteners_g")
"""Those of them that most foods have none of, and that stand only where there are some."""


@dataclass(frozen=True, slots=True)
class HouseholdWeight:
    """``amount`` × ``unit`` of the food in this ``state`` (chopped, whole, packed; may be empty) weigh ``grams``, edible part."""

    amount: float
    unit: str
    state: str
    grams: float
    printed: str
    """The measure's words in the source."""
    whole_g: float | None = None
    """What the source prints where it weighed the piece ``with_it``: ``bone``; None: ``grams``."""
    with_it: str = ""

    @property
    def grams_each(self) -> float:
        """Of one unit, edible part."""
        return self.grams / self.amount

    @property
    def source_words(self) -> str:
        """As its source prints it: ``1 drumstick with skin: 133 g with its bone``."""
        if self.whole_g is None:
            return f"{self.amount:g} {self.printed}: {self.grams:g} g"
        return f"{self.amount:g} {self.printed}: {self.whole_g:g} g with its {self.with_it}"

    def __str__(self) -> str:
        words = f"1 {self.unit.replace('_', ' ')}" + (f", {self.state}" if self.state else "")
        return f"{words} = {self.grams_each:.3g} g" if self.grams_each < 100 else f"{words} = {self.grams_each:.0f} g"


@dataclass(frozen=True, slots=True, kw_only=True)
class Food:
    """A food of the pantry. ``source`` names the published row or the label its figures come from."""

    name: str
    category: str
    source: str
    composition: Composition
    synonyms: tuple[str, ...] = ()
    refuse_share: float | None = None
    """What is thrown away of the food as bought, 0 to 1; None is unknown."""
    weights: tuple[HouseholdWeight, ...] = ()
    allergens: tuple[str, ...] = ()
    """What it contains, in words of allergen_lists.csv."""
    may_contain: tuple[str, ...] = ()
    """A compound food: its make decides; *any* where no allergen is likelier than another."""
    allergens_stated: bool = True
    """False where nobody said: then it is not known, which is not *none*."""
    safety: str = ""
    """Temperature class of the raw food: whole-cut, ground-meat, poultry, fish, shellfish, egg, ham-cooked or nothing."""
    second_net_carbs_g: float | None = None
    """Net carbs per 100 g of the same food in a second published table, which ``second_source`` names."""
    second_source: str = ""
    water_g: float | None = None
    """Per 100 g of the edible part, as the table prints it."""
    below: tuple[tuple[str, float], ...] = ()
    """Figures that the table prints as less than so much, per 100 g."""
    spread: float = 0.0
    """How far a make's figures may be from these, as a share of each; 0 for a row of a published table."""

    def __hash__(self) -> int:
        """Foods are asked for often, and few share a name."""
        return hash(self.name)

    @property
    def check_label(self) -> bool:
        """Whether its label decides what else it contains."""
        return bool(self.may_contain) or not self.allergens_stated
