"""The steps' texts into draft steps: which cook, what goes in, how long, how hot, in what. Tips, storage and headings are no steps."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.drafting.step_additions import additions
from scriptkit.drafting.step_mentions import Named, mentions
from scriptkit.english.heat import OVEN, goes_into_the_oven, heat_in_words, oven_degrees_in, oven_set_in
from scriptkit.english.methods import HOT
from scriptkit.english.negation import is_kitchen_work
from scriptkit.english.oven_changes import oven_turned_to, parted_by_the_oven
from scriptkit.english.step_reading import StepReading
from scriptkit.english.temperatures_said import CORE
from scriptkit.english.written_method import sentences_of, tells_no_step, wait_ms_in, without_number
from scriptkit.measure.durations import format_duration
from scriptkit.recipe.tray import TRAY, tray_words

_A_TRAY = 100
"""As many ingredients as a step of a dish file takes."""
_PREP = re.compile(
    r"^(?:wash|rinse|soak|peel|pare|trim|clean|pick over|scrub|zest|squeeze|weigh|measure|shell|stone|core|crush|grate|line|grease)\b",
    re.IGNORECASE,
)
_ADDS = re.compile(
    r"(?:^|[.;,]\s+|\b(?:and|then)\s+)(?:lightly |generously )?(?:drizzle|season|sprinkle|rub|brush|toss|coat)\b",
    re.IGNORECASE,
)
"""A step that puts something on what it cuts is no longer only prep."""
_NO_STEP = re.compile(
    r"^\W*(?:(?:recipe |chef'?s? |pro[- ])?(?:tips?|notes?)\b\s*:|notes?\s*$|tips?\s*$|storage\b|(?:to )?store\b|leftovers?\b|nutrition\b|variations?\b|substitutions?\b|make[- ]ahead\b|"
    r"(?:to )?freez(?:e|ing)\s*:|(?:freezes|keeps) (?:really |very )?well\b|equipment\s*:|enjoy\W*$|watch (?:the )?video|print\b|rate\b|did you make|video\b|for best results\b.{0,60}stor|keep (?:leftovers|in an airtight))",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class DraftStep:
    """``add``: names, each with how much of it goes in."""

    id: str
    stage: str
    do: str
    uses: tuple[str, ...]
    add: tuple[tuple[str, str], ...]
    vessel: str = ""
    heat: str = ""
    core: str = ""
    wait: str = ""


def steps_of(texts: Sequence[str]) -> list[str]:
    """The texts that tell something to do: without numbers, tips, storage and headings."""
    told = [without_number(text).strip() for text in texts]
    told = [" ".join(s for s in sentences_of(t) if not _is_talk(s)) for t in told if not _NO_STEP.match(t)]
    return [part for t in told if t and not _NO_STEP.match(t) and not _is_heading(t) for part in parted_by_the_oven(t)]


_NO_WORK = frozenset({"let", "bread"})
"""Verbs that are mostly none in talk: *let me know*, *we have it with bread*."""


def _is_talk(sentence: str) -> bool:
    words = (word for word in sentence.casefold().split() if word not in _NO_WORK)
    works = any(act.method for act in StepReading(sentence=sentence).acts) or any(map(is_kitchen_work, words))
    return tells_no_step(sentence, does_something=works)


def _is_heading(text: str) -> bool:
    """*For the sauce:*, *Make the dough*: a few words without an end, that name no food and give no time."""
    words = text.split()
    if text.endswith(":") and len(words) <= 8:
        return True
    return (
        bool(re.fullmatch(r"(?:for the|the|to make|make the)?\s*[A-Z][\w' ]{2,30}", text))
        and len(words) <= 4
        and not StepReading(sentence=text).acts
    )


def stages_of(texts: Sequence[str]) -> list[str]:
    """`prep` or `cook` of each step; one at least is cooked."""
    stages = [_stage(text) for text in texts]
    if texts and "cook" not in stages:
        stages[-1] = "cook"
    return stages


def with_foods_of_the_method(steps: Sequence[DraftStep], only_there: Sequence[tuple[int, str]]) -> list[DraftStep]:
    """The steps with what only they name, each (index of the text, name) going in at its step."""
    ids = {f"step-{number + 1}": [n for of, n in only_there if of == number] for number, _ in only_there}
    return [replace(s, add=(*s.add, *((n, "all") for n in ids.get(s.id, ())))) for s in steps]


def draft_steps(texts: Sequence[str], named: Sequence[Named]) -> tuple[list[DraftStep], tuple[str, ...]]:
    """The steps, and the ingredients that none of them names: those wait in a tray, which is the first step. A prep step that comes after
    an ingredient went in does not get it ready again."""
    stages = stages_of(texts)
    adds, unnamed = additions(texts, [stage == "cook" for stage in stages], named)
    handles: dict[int, set[int]] = {}
    for mention in mentions(texts, named):
        handles.setdefault(mention.step, set()).update(mention.meant)
    first = {name: n for n, step in reversed(list(enumerate(adds))) for name, _ in step}
    steps: list[DraftStep] = []
    oven = ""
    for number, (text, stage, add) in enumerate(zip(texts, stages, adds, strict=True)):
        here = handles.get(number, set()) if stage == "prep" else set()
        uses = [o.name for of, o in enumerate(named) if of in here and first.get(o.name, len(texts)) > number]
        step = _step(number + 1, text, stage, tuple(uses), tuple(add))
        if stage == "cook" and (turned := oven and oven_turned_to(text)):
            step = replace(step, heat=turned)
        elif stage == "cook" and not step.heat and oven and goes_into_the_oven(text):
            step = replace(step, heat=oven)
        oven = step.heat if step.heat.startswith("oven ") else oven_set_in(text) or oven
        steps.append(step)
    handled = {name for step in steps for name in step.uses}
    waiting = tuple(name for name in unnamed if name not in handled)
    trays = [waiting[n : n + _A_TRAY] for n in range(0, len(waiting), _A_TRAY)]
    for number, tray in reversed(list(enumerate(trays, 1))):
        steps.insert(0, DraftStep(TRAY if number == 1 else f"{TRAY}-{number}", "prep", tray_words(tray), tray, ()))
    return steps, tuple(unnamed)


def _stage(text: str) -> str:
    """`prep` of what is only washed, cut or weighed; all else is cooked."""
    methods = {act.method for act in StepReading(sentence=text).acts if act.method}
    if methods & HOT or "mix" in methods or "plate" in methods or "blend" in methods or _ADDS.search(text):
        return "cook"
    return "prep" if methods == {"cut"} or (_PREP.match(text) and not methods - {"cut"}) else "cook"


def _step(number: int, text: str, stage: str, uses: tuple[str, ...], add: tuple[tuple[str, str], ...]) -> DraftStep:
    if stage != "cook":
        return DraftStep(f"step-{number}", stage, text, uses, add)
    reading = StepReading(sentence=text)
    told = {t.of: t.words for t in reversed(reading.temperatures)}
    bakes = reading.method in ("bake", "roast") or (reading.method == "" and reading.heat.source == OVEN)
    oven = ""
    if bakes and reading.heat.source == OVEN:
        oven = oven_degrees_in(text)
    elif not reading.method or goes_into_the_oven(text):
        oven = oven_set_in(text)
    return DraftStep(
        id=f"step-{number}",
        stage=stage,
        do=text,
        uses=uses,
        add=add,
        vessel=reading.vessel.name.casefold(),
        heat=oven or heat_in_words(text),
        core=told.get(CORE, "") or _core_said(reading),
        wait=format_duration(ms) if (ms := wait_ms_in(text)) else "",
    )


def _core_said(reading: StepReading) -> str:
    """The degrees that the words want inside the food, where nothing calls them so: *until the chicken reaches 74 °C*."""
    core_c = reading.core_said_c
    if core_c is None:
        return ""
    return next((t.words for t in reading.temperatures if abs(t.low_c - core_c) < 0.5), "")
