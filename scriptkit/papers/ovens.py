"""When each oven is switched on, in words: the same on Today, the bowls, the schedule and the shot list."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from scriptkit.measure.durations import format_duration
from scriptkit.measure.unit_system import in_scale
from scriptkit.recipe.step_graph import graph_of
from scriptkit.safety.coming_out import is_told_there
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.oven_outs import OvenOut
from scriptkit.shoot.mise_en_place import KEPT, PreHeat

AFTER_THE_FIRST = "Times are hours and minutes after the first step."


def setting_words(preheat: PreHeat) -> str:
    """``oven 425 °F (220 °C)``."""
    return in_scale(preheat.setting, preheat.step.units)


def switch_on(preheat: PreHeat, when: str = "") -> str:
    """``Switch the oven on: 425 °F (220 °C).``; of one that is in use ``Turn the oven up: 425 °F (220 °C).``; ``when`` in words."""
    setting = setting_words(preheat)
    what, _, how = setting.partition(" ")
    named = what == "oven" and bool(how)
    told = {"": "Switch the oven on", KEPT: "Leave the oven on", "set": "Set the oven"}
    do = told.get(preheat.turn, f"Turn the oven {preheat.turn}") if preheat.turn or named else "Switch on"
    return f"{do}{f', {when}' if when else ''}: {how if named else setting}."


def oven_lines(preheats: Sequence[PreHeat], of_day: Callable[[float], str] | None = None) -> tuple[str, ...]:
    """``Oven 425 °F (220 °C): on at 0:24, 15 min before step 3 of the drumsticks``, a line each. ``of_day``: the time of day of a
    minute, where the serving's is known."""
    return tuple(f"{capital(setting_words(one))}: {_when(one, of_day)}" for one in preheats)


def take_out(out: OvenOut) -> str:
    """``Take the thighs out of the oven.``; where another dish needs it, ``Take the thighs out, and leave the oven on for the gratin.``"""
    name = _the(out.dish.short)
    if out.kept_for is None:
        return f"Take {name} out of the oven."
    return f"Take {name} out, and leave the oven on for {_the(out.kept_for.dish.short)}."


def cautions_at(out: OvenOut, cautions: Sequence[Caution]) -> tuple[Caution, ...]:
    """Those of what comes out then, which a page tells there and not at the step that goes on with it."""
    numbers = {e.later for e in graph_of(out.dish).out_of[out.step.number] if e.takes} | {out.step.number}
    here = (c for c in cautions if is_told_there(c) and c.dish.file == out.dish.file)
    return tuple(c for c in here if c.step is not None and c.step.number in numbers)


def out_lines(outs: Sequence[OvenOut], of_day: Callable[[float], str] | None = None) -> tuple[str, ...]:
    """``At 0:48, take the thighs out of the oven``, a line each; ``of_day`` as above."""
    return tuple(f"At {(of_day or hours_after)(one.at_min)}, {_small(take_out(one)).removesuffix('.')}" for one in outs)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _the(name: str) -> str:
    return name if name.casefold().startswith(("the ", "a ", "an ")) else f"the {name}"


def capital(text: str) -> str:
    """With its first letter as at the head of a sentence."""
    return text[:1].upper() + text[1:]


def hours_after(minute: float) -> str:
    """``1:05`` after the first step; before it ``−0:15``."""
    seconds = round(abs(minute) * 60)
    text = f"{seconds // 3600}:{seconds // 60 % 60:02d}" + (f":{seconds % 60:02d}" if seconds % 60 else "")
    return f"−{text}" if minute < 0 and seconds else text


def moment(one: PreHeat, of_day: Callable[[float], str] | None = None) -> str:
    """``at 0:24, 15 min before step 3 of the drumsticks``; ``of_day`` as above."""
    step = f"step {one.step.number} of {one.dish.short}"
    goes_in = f"the dish goes in, at {step}"
    if one.lead_ms == 0:
        then = f"when {goes_in}" if one.when_in else f"when {step} begins"
        return then if one.on_min is None else f"at {(of_day or hours_after)(one.on_min)}, {then}"
    lead = format_duration(one.lead_ms)
    before = f"{lead} before {goes_in if one.when_in else step}"
    if one.on_min is None:
        return before
    if one.on_min < 0 and of_day is None:
        early = format_duration(round(-one.on_min * 60_000))
        return f"{early} before the first step" + ("" if one.needed_min == 0 else f", for {step}")
    return f"at {(of_day or hours_after)(one.on_min)}, {before}"


def _when(one: PreHeat, of_day: Callable[[float], str] | None) -> str:
    if one.turn == KEPT:
        return f"on already, for step {one.step.number} of {one.dish.short}"
    on = f"turned {one.turn}" if one.turn in ("up", "down") else one.turn or "on"
    return f"{on} {moment(one, of_day)}"
