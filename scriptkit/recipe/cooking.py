"""What cooking makes of an ingredient, as the rest of the house sees it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from scriptkit.pantry.cooked_rows import Cooked

KEPT, POURED_OFF = "kept", "poured off"
"""What becomes of the juices: words of the file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedIngredient:
    """What cooking makes of the ingredient of this ``key``. ``way`` is the method and ``cooked`` its pair of raw and cooked rows, None where it only loses
    water; ``kept``: whether what runs out of it is eaten, ``stated``: by the file. ``weight_share`` is what of its grams is in the
    batch, with a 90 % interval."""

    key: str
    cooked: Cooked | None
    way: str
    kept: bool
    stated: bool
    weight_share: float
    weight_low: float
    weight_high: float
    juices_into: str = ""
    """The dish of the meal that takes over what runs out of it; empty: none does."""
