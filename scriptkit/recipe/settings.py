"""The kitchen and the film of a dish or a meal: settings with defaults."""

from __future__ import annotations

from scriptkit.problems import error
from scriptkit.recipe.bench import Bench
from scriptkit.recipe.dish import Film, Kitchen
from scriptkit.recipe.forms import FilmForm, KitchenForm

JUGS_ML = (100.0, 100_000.0)
"""Between the smallest and the largest blender jug that anyone fills (common sense, no source)."""


def kitchen(bench: Bench, form: KitchenForm) -> Kitchen:
    """The kitchen; a setting that cannot be read is told and has its default."""
    jug = bench.millilitres(form.jug, "kitchen", "jug")
    if jug is not None and not JUGS_ML[0] <= jug <= JUGS_ML[1]:
        place = bench.tree.place("kitchen", "jug")
        bench.problems.append(error(place, "absurd-amount", f"no jug holds {form.jug}", "check the unit"))
        jug = None
    usual = Kitchen()
    times = {name: bench.duration(getattr(form, name), "kitchen", name) for name in ("preheat", "landing", "filming")}
    return Kitchen(
        jug_ml=usual.jug_ml if jug is None else jug,
        jug_fill=form.jug_fill,
        cooks=form.cooks,
        attended=form.attended,
        burners=form.burners,
        ovens=form.ovens,
        vessels=tuple(form.vessels.items()),
        preheat_ms=usual.preheat_ms if times["preheat"] is None else times["preheat"],
        landing_ms=usual.landing_ms if times["landing"] is None else times["landing"],
        filming_ms=usual.filming_ms if times["filming"] is None else times["filming"],
    )


def film(bench: Bench, form: FilmForm) -> Film:
    opening = bench.duration(form.opening, "film", "opening")
    closing = bench.duration(form.closing, "film", "closing")
    return Film(opening_ms=opening or 0, closing_ms=closing or 0)
