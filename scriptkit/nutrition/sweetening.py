"""How polyols and allulose are shown: under which name they come off, and what net carbs are if all polyols do."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.nutrition.macros import Macros

_SEEN_G = 0.05
"""Less is printed as nothing."""


def deducted_name(figures: Mapping[str, float]) -> str:
    """What comes off net carbs, in a word or two for an equation: ``half the polyols``, ``erythritol``, ``allulose``. Of what
    has none, nothing."""
    if not figures["deducted_sweeteners_g"]:
        return ""
    erythritol, allulose = figures["erythritol_g"], figures["allulose_g"]
    others = figures["polyols_g"] - erythritol
    named = [
        word
        for word, grams in (("half the polyols", others), ("erythritol", erythritol), ("allulose", allulose))
        if grams >= _SEEN_G
    ]
    return named[0] if len(named) == 1 else "sweeteners"


def net_all_polyols_g(macros: Macros) -> float | None:
    """Net carbs with every polyol taken off whole; None where net carbs are unknown."""
    net = macros.figure("net_carbs_g")
    return None if net is None else max(net - (macros.at_least("polyols_g") - macros.at_least("erythritol_g")) / 2, 0.0)


def sweetener_words(macros: Macros) -> str:
    """A sentence on what the polyols and allulose do to net carbs; empty where there are none."""
    polyols, erythritol = macros.at_least("polyols_g"), macros.at_least("erythritol_g")
    allulose, whole = macros.at_least("allulose_g"), net_all_polyols_g(macros)
    held = [
        f"{name} {grams:.1f} g" for name, grams in (("polyols", polyols), ("allulose", allulose)) if grams >= _SEEN_G
    ]
    if not held:
        return ""
    others = polyols - erythritol >= _SEEN_G
    how = (
        "polyols other than erythritol come off net carbs by half"
        if others
        else f"{'they come' if polyols >= _SEEN_G and allulose >= _SEEN_G else 'it comes'} off net carbs whole"
    )
    if polyols >= _SEEN_G and not others:
        held[0] = f"erythritol {erythritol:.1f} g"
    beside = f"; all polyols deducted: net carbs {whole:.1f} g" if others and whole is not None else ""
    return f"{' and '.join(held)}: {how} (common practice, no source){beside}"
