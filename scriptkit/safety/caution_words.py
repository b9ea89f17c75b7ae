"""What is filled into the texts of a rule: the foods, the jug and its batches, how long it stands out, how much of a food there is."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from scriptkit.english.hours_said import HOUR_MS, LEAST_OF_WEEKS_H, hours_said
from scriptkit.english.kitchen_facts import tells
from scriptkit.english.temperatures_said import degrees_in, lies_in_c
from scriptkit.measure.amounts import format_grams
from scriptkit.measure.durations import format_duration
from scriptkit.safety.doses import alcohol_left_g, dose_g, polyols_g
from scriptkit.safety.jug_fill import blended_ml
from scriptkit.safety.kitchen_state import OIL_G_PER_ML, named
from scriptkit.safety.rules import Rule
from scriptkit.safety.state_conditions import salt_percent
from scriptkit.safety.step_facts import Situation

_JUG_FILL_WORDS = {1 / 3: "one third full", 1 / 2: "half full", 1 / 4: "one quarter full", 2 / 3: "two thirds full"}


def batches(volume_ml: float, jug_ml: float, fill: float) -> int:
    """How many jugs hold the volume, each filled to the share ``fill`` at most; at least 1.

    >>> batches(1_950, 1_500, 1 / 3)
    4
    """
    return max(1, math.ceil(round(volume_ml / (jug_ml * fill), 6)))


def word_for(name: str, rule: Rule, situation: Situation, else_: str) -> str:
    """What stands in place of the name in braces; ``else_`` where it is no name."""
    made = _WORDS.get(name)
    return else_ if made is None else made(rule, situation)


def _fill(situation: Situation) -> str:
    fill = situation.facts.kitchen.jug_fill
    return next((w for share, w in _JUG_FILL_WORDS.items() if abs(share - fill) < 0.01), f"{fill:.0%} full")


def _in_the_jug_ml(situation: Situation) -> float:
    """What is there when it is blended; of a step that blends nothing, and of the dish, what the situation holds."""
    if situation.step is not None and "blend" in situation.acts:
        return blended_ml(situation.facts.dish, situation.step, situation.state)
    return situation.volume_ml


def _count(situation: Situation) -> str:
    kitchen = situation.facts.kitchen
    count = batches(_in_the_jug_ml(situation), kitchen.jug_ml, kitchen.jug_fill)
    return "one batch" if count == 1 else f"{count} batches"


def _batch_volume(situation: Situation) -> str:
    ml = _in_the_jug_ml(situation)
    about = "about " if situation.volume_estimated or abs(ml - situation.volume_ml) >= 0.5 else ""
    return f"{about}{_litres(ml)} in a {_litres(situation.facts.kitchen.jug_ml)} jug"


def _oil_ml(situation: Situation) -> float:
    return situation.state.oil_g / OIL_G_PER_ML


def _oil_pan(situation: Situation) -> str:
    return _litres(math.ceil(_oil_ml(situation) * 3 / 500) * 500)


def _oil_here(situation: Situation) -> str:
    oil_ml = _oil_ml(situation)
    return (
        f"This recipe's {_litres(oil_ml)} of oil need a pan of {_oil_pan(situation)} or more." if oil_ml >= 300 else ""
    )


def _pot_here(situation: Situation) -> str:
    total_g = situation.state.total_g
    return f"Here about {total_g / 1000:.1f} kg." if total_g >= 1000 else ""


def _salt(situation: Situation) -> str:
    salt = salt_percent(situation.state)
    return f"{salt:.1f} %" if salt is not None else "unknown"


def _dose_here(rule: Rule, situation: Situation) -> str:
    dose = _dose(rule, situation)
    return f"Here {dose} a serving." if dose else ""


def _shellfish_done(situation: Situation) -> str:
    """What shows that it is done: of mussels, clams, cockles and oysters in the shell that they open, of the rest that it is opaque."""
    names = [named(i) for i in situation.cooked]
    shelled = situation.tells("out-of-the-shell") or any(tells(n, "out-of-the-shell") for n in names)
    shut = bool(names) and not shelled and all(tells(n, "opens-when-done") for n in names)
    return "until they open; bin shut ones" if shut else "cook until opaque"


def _fat_hot(situation: Situation) -> str:
    """How hot the fat is: butter alone browns long before oil smokes."""
    fats = [
        i.food.name
        for i in situation.state.foods
        if i.food.category == "fat or oil" or i.food.name.startswith("butter")
    ]
    alone = bool(fats) and all(name.startswith("butter") for name in fats)
    return "Butter foaming" if alone else "Oil short of smoking"


def _step_says(situation: Situation) -> str:
    """What this step gives the food: *Step 2 gives it 56 °C for 1 h.* Empty where it states neither degrees nor a time."""
    if situation.step is None:
        return ""
    sentence = situation.step.reading.sentence
    degrees = [f"{c:.0f} °C" for c in dict.fromkeys(round(c) for c in degrees_in(sentence))]
    hours = hours_said(sentence) or (situation.step.wait_ms or 0) / HOUR_MS
    time = f"{'for ' if degrees else ''}{_long(hours)}" if hours >= 1 / 60 else ""
    told = " ".join(part for part in (" and ".join(degrees), time) if part)
    return f"Step {situation.step.number} gives it {told}." if told else ""


def _taken_off(rule: Rule, situation: Situation) -> str:
    """What this recipe does, before what is published: *step 2 takes it off at 60 °C;* A written `core:` is told by its doneness."""
    if situation.step is None or situation.step.core_c is not None or rule.minimum_c is None:
        return ""
    core, here = situation.said_core_c, f"step {situation.step.number}"
    lies_in = lies_in_c(situation.step.reading.sentence)
    if core is None and lies_in is not None and lies_in < rule.minimum_c:
        return f"{here} cooks it at {lies_in:.0f} °C; "
    if core is None:
        return f"{here} leaves it pink; " if tells(situation.step.reading.sentence, "left-pink") else ""
    return f"{here} takes it off at {core:.0f} °C; "


def _out(situation: Situation) -> str:
    """*This step leaves it out for about 5 hours.*"""
    hours = situation.state.out_here_h
    return f"This step leaves it out for {_about(hours)}." if hours >= 1 else ""


def _long(hours: float) -> str:
    return _about(hours) if hours >= 3 else format_duration(round(hours * HOUR_MS))


def _about(hours: float) -> str:
    """*about 5 hours*, *about 2 days*; vague words are told by the least that they mean."""
    if hours == LEAST_OF_WEEKS_H:
        return "3 days or more"
    days = hours >= 24
    figure = hours / 24 if days else hours
    unit = "day" if days else "hour"
    return f"about {figure:.0f} {unit}{'' if round(figure) == 1 else 's'}"


def _dose(rule: Rule, situation: Situation) -> str:
    asked = [value for one in rule.when for name, value in one if name == "dose"]
    most = max((dose_g(situation.facts.dish, value) for value in asked), default=0.0)
    return format_grams(most) if most else ""


def _alcohol_left(situation: Situation) -> str:
    grams = alcohol_left_g(situation.facts.dish)
    if grams is None:
        return "how much of it stays is not known"
    return f"about {format_grams(grams)} a serving stays, cooked as here"


def _litres(ml: float) -> str:
    """``1.9 l``, ``1.75 l``, ``0.5 l``."""
    return f"{ml / 1000:.2f}".rstrip("0").rstrip(".") + " l"


def _and(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


_WORDS: dict[str, Callable[[Rule, Situation], str]] = {
    "fill": lambda _, s: _fill(s),
    "count": lambda _, s: _count(s),
    "batches": lambda _, s: f"Blend it in {_count(s)}",
    "batch_volume": lambda _, s: _batch_volume(s),
    "food": lambda _, s: _capital(_and(list(dict.fromkeys(i.short_name for i in s.cooked)))),
    "shellfish_done": lambda _, s: _shellfish_done(s),
    "fat_hot": lambda _, s: _fat_hot(s),
    "oil": lambda _, s: f"{_litres(_oil_ml(s))} of oil",
    "oil_pan": lambda _, s: _oil_pan(s),
    "taken_off": _taken_off,
    "out": lambda _, s: _out(s),
    "dose": _dose,
    "alcohol_left": lambda _, s: _alcohol_left(s),
    "polyols": lambda _, s: format_grams(polyols_g(s.facts.dish)),
    "salt_percent": lambda _, s: _salt(s),
    "step_says": lambda _, s: _step_says(s),
    "oil_here": lambda _, s: _oil_here(s),
    "pot_here": lambda _, s: _pot_here(s),
    "dose_here": _dose_here,
}
"""What stands in place of each name in braces."""
