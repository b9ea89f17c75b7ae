"""What every step was understood to say, for a cook who wonders why a caution or a yield came; with the key that overrides it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from scriptkit.english.disposal import Disposal
from scriptkit.english.heat import NONE
from scriptkit.english.step_reading import Act, StepReading
from scriptkit.measure.durations import format_duration
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal, Step

_WIDE = 12


def readings_text(source: Dish | Meal) -> str:
    """Every step in the order of the file: its sentence, and below it a line for each thing that was understood, in brackets
    whether a key says it or the words do."""
    lines: list[str] = []
    for dish in _each_once(source):
        lines.append(dish.name)
        for step in dish.steps:
            lines += [f"  {step.number} {step.id} ({step.stage}): {step.do}", *_lines(step)]
    return "\n".join(lines)


def readings_json(source: Dish | Meal) -> list[dict[str, Any]]:
    """The same as data: one object a step. Temperatures are °C; ``written`` is true where a key of the file says it."""
    return [_as_json(dish, step) for dish in _each_once(source) for step in dish.steps]


def _each_once(source: Dish | Meal) -> list[Dish]:
    return list({dish.file: dish for dish in dishes_of_the_day(source)}.values())


def _lines(step: Step) -> Iterator[str]:
    reading = step.reading
    yield _line("method", reading.method or "none", "method", bool(reading.written_method))
    for act in reading.acts:
        if act.verb:
            yield _line("does", _act_words(act))
    yield _line("heat", _heat_words(reading), "heat", reading.heat.written)
    vessel = reading.vessel
    kind = f", a kind of {vessel.kind}" if vessel.kind and vessel.kind not in vessel.name.casefold() else ""
    yield _line("vessel", f"{vessel.name or 'none'}{kind}", "vessel", vessel.written)
    if times := _time_words(reading):
        yield _line("time", f"{times}   [from the words; `wait:` and `hands:` override]")
    for one in reading.temperatures:
        degrees = f"{one.low_c:.0f} °C" if one.low_c == one.high_c else f"{one.low_c:.0f}–{one.high_c:.0f} °C"
        key = "core" if one.of in ("core", "") else "heat"
        origin = f"   [{key}:]" if one.written else "   [from the words]"
        yield _line("temperature", f"{degrees}, {one.of or 'of what is not said'}{origin}")
    if reading.until:
        yield _line("until", f"{reading.until.cue} ({'felt' if reading.until.felt else 'seen'})")
    for denied in reading.not_done:
        yield _line("not done", denied)
    for part in reading.disposed:
        yield _line(part.how, part.what or part.words)


def _line(name: str, words: str, key: str = "", written: bool = False) -> str:
    origin = "" if not key else f"   [{key}:]" if written else f"   [from the words; `{key}:` overrides]"
    return f"      {name:<{_WIDE}}{words}{origin}"


def _act_words(act: Act) -> str:
    where = f" · {act.vessel.name}" if act.vessel.name else ""
    return f"{act.verb} {act.what}".strip() + where


def _heat_words(reading: StepReading) -> str:
    heat = reading.heat
    setting = heat.setting if heat.setting.casefold() != heat.source else ""
    setting = re.sub(rf"^{re.escape(heat.source)}\W+(?=\d)", "", setting, flags=re.IGNORECASE)
    if not heat.on:
        return "off" if heat.source == NONE else ", ".join(w for w in (f"{heat.source} gets hot", setting) if w)
    return ", ".join(w for w in ("on", heat.source, setting, "takes a burner" if reading.takes_a_burner else "") if w)


def _time_words(reading: StepReading) -> str:
    own = reading.stands_ms[0] if reading.stands_ms else reading.own_time_ms
    parts = [(own, "by itself"), (reading.tended_ms, "with your hands")]
    return ", ".join(f"{format_duration(ms)} {how}" for ms, how in parts if ms)


def _as_json(dish: Dish, step: Step) -> dict[str, Any]:
    reading = step.reading
    heat, vessel, until = reading.heat, reading.vessel, reading.until
    return {
        "dish": dish.name,
        "step": step.id,
        "number": step.number,
        "method": {"name": reading.method or None, "written": bool(reading.written_method)},
        "acts": [
            {"method": a.method or None, "verb": a.verb, "what": a.what, "vessel": a.vessel.name or None}
            for a in reading.acts
        ],
        "heat": {
            "on": heat.on,
            "source": heat.source,
            "setting": heat.setting or None,
            "celsius": heat.celsius,
            "level": heat.level or None,
            "takes_a_burner": reading.takes_a_burner,
            "written": heat.written,
        },
        "vessel": {"name": vessel.name or None, "kind": vessel.kind or None, "written": vessel.written},
        "temperatures": [
            {"low_c": t.low_c, "high_c": t.high_c, "of": t.of or None, "written": t.written}
            for t in reading.temperatures
        ],
        "own_time_s": (reading.stands_ms[0] if reading.stands_ms else reading.own_time_ms) / 1000,
        "tended_s": reading.tended_ms / 1000,
        "until": {"cue": until.cue, "felt": until.felt} if until else None,
        "not_done": list(reading.not_done),
        "poured_off": _things(reading.poured_off),
        "strained": _things(reading.strained),
        "discarded": _things(reading.discarded),
        "set_aside": _things(reading.set_aside),
    }


def _things(parts: Sequence[Disposal]) -> list[str]:
    return [part.what or part.words for part in parts]
