"""What is claimed in the cut: amounts, times, temperatures and macros, each held against the recipe."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scriptkit.cut.claims.amounts import amount_claims
from scriptkit.cut.claims.claim import Claim, near_of
from scriptkit.cut.claims.food_words import names_of
from scriptkit.cut.claims.macro_words import macro_figures
from scriptkit.cut.claims.macros import Table, foods_of, macro_claims, ratio_claims, serving_claims, sum_claims
from scriptkit.cut.claims.temperatures import temperature_claims
from scriptkit.cut.claims.times import time_claims
from scriptkit.cut.other_days import other_days_in
from scriptkit.cut.placement import Cut
from scriptkit.cut.transcript.running_text import figures_said, talk_of
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.measure.figures import Figure
from scriptkit.nutrition.dish_meal_macros import AllMacros, all_macros
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.script.narration import cups_of

if TYPE_CHECKING:
    from scriptkit.safety.rule_matching import Caution


def claims_in(
    source: Dish | Meal,
    transcript: Transcript,
    cut: Cut,
    *,
    macros: Callable[[], AllMacros] | None = None,
    cautions: Callable[[], Sequence[Caution]] | None = None,
) -> tuple[Claim, ...]:
    """Every claim, in the order of time; what is told of another day claims nothing. A figure makes one claim, of the first kind that it
    can be of; that total and fibre make net is one more. ``macros`` and ``cautions`` give the source's, and are asked only where something is said that needs them."""
    dishes = dishes_of_the_day(source)
    cups = cups_of(dishes[0])
    talk = talk_of(transcript)
    of_old = other_days_in(source, transcript)
    figures = [_of_spoons(f, talk.text) for f in figures_said(talk.text, cups) if not of_old.at(f.start)]
    near, names = near_of(cut), names_of(dishes)
    of_macros = macro_figures(talk.text, figures)
    told = cautions or functools.partial(_cautions_in, source)
    claims = [*time_claims(talk, figures, near, source), *temperature_claims(talk, figures, near, told)]
    taken = {one.number for one in of_macros}
    if taken or any(f.unit in ("gram", "to one") for f in figures):
        of_served = macros() if macros else all_macros(source, served_dishes(source))
        parts = (of_served.of(dish) for dish in dishes if all(m.dish.file != dish.file for m in of_served.dishes))
        foods = Table(foods_of(replace(of_served, dishes=(*of_served.dishes, *parts))), near, names)
        claims += [
            *macro_claims(talk, of_macros, foods),
            *ratio_claims(talk, figures, foods),
            *sum_claims(talk, of_macros),
        ]
        servings = list(serving_claims(talk, figures, foods, taken))
        taken |= {n for n, _ in servings}
        claims += [claim for _, claim in servings]
    claims += amount_claims(talk, figures, taken, near, dishes, names, cups)
    return tuple(sorted(claims, key=lambda c: (c.time_ms, c.kind)))


_SPOONS = frozenset({"teaspoon", "tablespoon", "metric_teaspoon", "metric_tablespoon", "australian_tablespoon"})
MOST_SPOONS = 150
"""Of so many on nobody measures with a spoon (common practice, no source)."""
_HUNDREDS = LazyPattern(r"^.*\bhundred(?:,|\.)?\s+and\s+(?=\w)", re.IGNORECASE)


def _of_spoons(figure: Figure, text: str) -> Figure:
    """Of *about two hundred and two teaspoons of salt* the two teaspoons: nobody measures hundreds with a spoon, and a recogniser leaves
    out the stop between two figures."""
    if figure.unit not in _SPOONS or figure.low < MOST_SPOONS or figure.is_range:
        return figure
    hundreds = _HUNDREDS.match(text[figure.start : figure.end])
    if hundreds is None:
        return figure
    left = figure.low % 100
    return replace(figure, low=left, high=left, start=figure.start + hundreds.end())


def _cautions_in(source: Dish | Meal) -> Sequence[Caution]:
    from scriptkit.safety.rule_matching import cautions_in

    return cautions_in(source)
