"""The kitchen and the film of a dish or a meal, settings with defaults; and the answers to cautions."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.problems import error
from scriptkit.recipe.dish import Answer, Film, Kitchen
from scriptkit.recipe.formcheck import UNREAD
from scriptkit.recipe.forms import DishForm, FilmForm, KitchenForm
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path

JUGS_ML = (100.0, 100_000.0)
"""Between the smallest and the largest blender jug that anyone fills (common sense, no source)."""


LANDING_MORE_MS = 2 * 60_000
"""For each dish after the second, where the file states no `landing:`: they are plated one after another (common practice, no source)."""


def kitchen(bench: FieldParser, form: KitchenForm, dishes: int = 1) -> Kitchen:
    """The kitchen of so many dishes; a setting that cannot be read is told and has its default."""
    jug = bench.millilitres(form.jug, "kitchen", "jug")
    if jug is not None and not JUGS_ML[0] <= jug <= JUGS_ML[1]:
        place = bench.tree.place("kitchen", "jug")
        bench.problems.append(error(place, "absurd-amount", f"no jug holds {form.jug}", "check the unit"))
        jug = None
    usual = Kitchen()
    more = 0 if "landing" in form.model_fields_set else LANDING_MORE_MS * max(dishes - 2, 0)
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
        landing_ms=(usual.landing_ms if times["landing"] is None else times["landing"]) + more,
        filming_ms=usual.filming_ms if times["filming"] is None else times["filming"],
    )


def film(bench: FieldParser, form: FilmForm) -> Film:
    """The film; a length that cannot be read is told and has its default."""
    usual = Film()

    def ms(name: str, otherwise: int) -> int:
        told = bench.duration(getattr(form, name), "film", name)
        return otherwise if told is None else told

    return Film(
        opening_ms=ms("opening", usual.opening_ms),
        closing_ms=ms("closing", usual.closing_ms),
        closing_stated="closing" in form.model_fields_set,
        reading_rate=form.reading_rate,
        longest_silence_ms=ms("longest_silence", usual.longest_silence_ms),
        swap_out_over_ms=bench.duration(form.swap_out_over, "film", "swap_out_over"),
        heroes=form.heroes,
        safety_takes=form.safety_takes,
        handles_ms=ms("handles", usual.handles_ms),
        takes=form.takes,
        battery_ms=bench.duration(form.battery, "film", "battery"),
        card_gb=form.card_gb,
        bitrate_mbit=form.bitrate_mbit,
        daylight_ms=bench.duration(form.daylight, "film", "daylight"),
        beauty_within_ms=ms("beauty_within", usual.beauty_within_ms),
        hood=form.hood,
        lights=form.lights,
        frame_rate=form.frame_rate,
    )


def answers(bench: FieldParser, form: DishForm) -> tuple[Answer, ...]:
    """The dish's own answers to cautions, then those of its steps."""
    at: list[tuple[Path, int | None, Mapping[str, str]]] = [((), None, form.answered)]
    at += [(("steps", n), n + 1, step.answered) for n, step in enumerate(form.steps)]
    return tuple(
        Answer(rule=rule, reason=reason, step=step, place=bench.tree.place(*path, "answered", rule, key=True))
        for path, step, answers in at
        for rule, reason in answers.items()
        if reason != UNREAD
    )
