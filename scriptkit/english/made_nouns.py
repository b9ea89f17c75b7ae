"""What recipes call a thing once hands have been on it, whatever its ingredients are called: *rub the legs*, *roast the legs*."""

from __future__ import annotations

from scriptkit.english.stems import stem

MADE = frozenset(
    map(
        stem,
        [
            "balls",
            "batter",
            "bird",
            "breasts",
            "brisket",
            "burgers",
            "cakes",
            "chops",
            "chunks",
            "crumble",
            "cutlets",
            "dough",
            "dumplings",
            "filling",
            "fillets",
            "fish",
            "fritters",
            "joint",
            "kebabs",
            "knuckles",
            "legs",
            "loaf",
            "loin",
            "marinade",
            "meat",
            "meatballs",
            "mince",
            "mixture",
            "parcels",
            "paste",
            "patties",
            "pieces",
            "rack",
            "ribs",
            "roll",
            "saddle",
            "salad",
            "sausages",
            "shanks",
            "shoulder",
            "skewers",
            "slices",
            "steaks",
            "strips",
            "stuffing",
            "tails",
            "thighs",
            "wings",
            "wedges",
        ],
    )
)
"""Stems (common practice, no source)."""
