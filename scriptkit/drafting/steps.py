"""The steps' texts into draft steps: which cook, what goes in, how long, how hot, in what. Tips, storage and headings are no steps."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.drafting.step_additions import additions
from scriptkit.drafting.step_mentions import Named, mentions
from scriptkit.english.heat import goes_into_the_oven, heat_in_words, oven_set_in
from scriptkit.english.methods import HOT
from scriptkit.english.step_reading import StepReading
from scriptkit.english.temperatures_said import CORE
from scriptkit.measure.durations import NotADuration, format_duration, parse_duration
from scriptkit.measure.numbers import NUMBER

_A_TRAY, _LONGEST = 100, 4000
"""As many ingredients, and as long a text, as a step of a dish file takes."""
TRAY = "where-does-it-go-in"
"""The id of the step that holds what no step names."""
_TIME = re.compile(
    rf"(?P<before>(?:\b[\w-]+\s+){{0,3}}?)(?<![\w.])(?P<value>{NUMBER})(?:\s*(?:-|–|—|to|or)\s*{NUMBER})?[\s-]*(?P<unit>minutes?|mins?|hours?|hrs?|h|seconds?|secs?)\b(?P<after>[^.,;]{{0,18}})",
    re.IGNORECASE,
)
_NOT_ITS_TIME = re.compile(
    r"\b(?:every|last|first|final|within|after|or|up to|every other|in|by|than)\s*$", re.IGNORECASE
)
_A_SIDE = re.compile(r"^\s*(?:per|on each|each|a|on every)\s+side", re.IGNORECASE)
_MORE = re.compile(
    r"\b(?:another|additional|more|then|further|for|about|around|least|approximately|until)\s*$", re.IGNORECASE
)
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
_NUMBERED = re.compile(r"^\s*(?:step\s*)?\d{1,2}\s*[.):]\s+", re.IGNORECASE)


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
    told = [_NUMBERED.sub("", text).strip() for text in texts]
    return [t for t in told if t and not _NO_STEP.match(t) and not _is_heading(t)]


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


def draft_steps(texts: Sequence[str], named: Sequence[Named]) -> tuple[list[DraftStep], tuple[str, ...]]:
    """The steps, and the ingredients that none of them names: those wait in a tray, which is the first step. A prep step that comes after
    an ingredient went in does not get it ready again."""
    stages = [_stage(text) for text in texts]
    if texts and "cook" not in stages:
        stages[-1] = "cook"
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
        if stage == "cook" and not step.heat and oven and goes_into_the_oven(text):
            step = replace(step, heat=oven)
        oven = step.heat if step.heat.startswith("oven ") else oven_set_in(text) or oven
        steps.append(step)
    handled = {name for step in steps for name in step.uses}
    waiting = tuple(name for name in unnamed if name not in handled)
    trays = [waiting[n : n + _A_TRAY] for n in range(0, len(waiting), _A_TRAY)] if steps else []
    for number, tray in reversed(list(enumerate(trays, 1))):
        do = f"No step says where these go in: {', '.join(tray)}."[:_LONGEST]
        steps.insert(0, DraftStep(TRAY if number == 1 else f"{TRAY}-{number}", "prep", do, tray, ()))
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
    oven = "oven" in told and reading.method in ("bake", "roast", "")
    return DraftStep(
        id=f"step-{number}",
        stage=stage,
        do=text,
        uses=uses,
        add=add,
        vessel=reading.vessel.name.casefold(),
        heat=f"oven {told['oven']}" if oven else heat_in_words(text),
        core=told.get(CORE, ""),
        wait=wait_of(text),
    )


def wait_of(text: str) -> str:
    """All times of the step together: of a range the lower, of alternatives the first, twice what is said of a side. Empty of none.

    >>> wait_of("Fry for 4 to 5 minutes per side, then cook another 10 minutes, stirring every 2 minutes.")
    '18 min'
    """
    total = 0
    for found in _TIME.finditer(text):
        if _NOT_ITS_TIME.search(found.group("before").rstrip()) and not _MORE.search(found.group("before").rstrip()):
            continue
        try:
            ms = parse_duration(f"{found.group('value')} {found.group('unit').casefold()}")
        except NotADuration:
            continue
        total += ms * (2 if _A_SIDE.match(found.group("after")) else 1)
    return format_duration(total) if 0 < total <= 7 * 86_400_000 else ""
