"""Which dishes go with a dish, as a text and as JSON."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.pairing import Pair
from scriptkit.nutrition.rounding import print_one
from scriptkit.papers.tables import JsonObject
from scriptkit.recipe.dish import Dish


def pairs_text(main: Dish, pairs: Sequence[Pair], fit: int, of: int) -> str:
    """A line each, nearest to the usual portions first: ``fit`` of ``of`` dishes go with it."""
    if not pairs:
        return f"{main.name}: none of {of} dishes fits these limits"
    lines = [
        f"{main.name}: {fit} of {of} dishes fit these limits, nearest to the usual portions first",
        "",
    ]
    width = max(len(p.partner.name) for p in pairs)
    for p in pairs:
        row = print_one(p.plate)
        lines.append(
            f"{p.partner.name:{width}}  {format_grams(p.partner_g):>7}  beside {format_grams(p.main_g):>7}:  "
            f"{row.text('energy_kcal')} kcal, fat {row.text('fat_g')} g, protein {row.text('protein_g')} g, net carbs {row.text('net_carbs_g')} g{_few(main, p)}"
        )
    return "\n".join(lines)


def _few(main: Dish, pair: Pair) -> str:
    """How many plates the two pots give, where that is fewer than the dish serves."""
    plates = int(pair.plates + 1e-6) if math.isfinite(pair.plates) else None
    return "" if plates is None or plates >= main.servings else f" ({plates} plate{'' if plates == 1 else 's'})"


def pair_json(pair: Pair) -> JsonObject:
    """Both portions in grams, and what the plate has."""
    row = print_one(pair.plate, finer=10)
    return {
        "dish": pair.partner.name,
        "weight_g": pair.partner_g,
        "usual_g": round(pair.partner.usual_g, 2),
        "beside_g": pair.main_g,
        "plates_of_pot": int(pair.plates + 1e-6) if math.isfinite(pair.plates) else None,
        "plate": {"weight_g": row.weight_g, **row.figures},
    }
