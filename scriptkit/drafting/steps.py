"""A step's text into a draft step: its stage, what goes in, how long, how hot, in what; each a guess."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.english.heat import heat_in_words
from scriptkit.english.methods import HOT
from scriptkit.english.step_reading import StepReading
from scriptkit.english.temperatures_said import CORE
from scriptkit.measure.durations import NotADuration, format_duration, parse_duration
from scriptkit.measure.numbers import NUMBER
from scriptkit.pantry.names import words_of

_TIME = re.compile(
    rf"(?:for|about|another|until .{{0,40}}?,?)?\s*\b({NUMBER})(?:\s*(?:-|–|—|to|or)\s*{NUMBER})?\s*(minutes?|mins?|hours?|hrs?|h|seconds?|secs?)\b",
    re.IGNORECASE,
)
_ALL_IN = re.compile(
    r"\b(?:all|other|remaining|rest of the)\s+(?:the\s+)?ingredients\b|\bmix everything\b", re.IGNORECASE
)
_PREP = re.compile(
    r"^(?:wash|rinse|soak|peel|pare|trim|clean|pick over|scrub|zest|squeeze|weigh|measure|shell|stone|core|crush|grate)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class DraftStep:
    """``guessed`` names the keys that were read from its words."""

    id: str
    stage: str
    do: str
    uses: tuple[str, ...]
    add: tuple[tuple[str, str], ...]
    """Names, each with how much of it goes in."""
    vessel: str
    heat: str
    core: str
    wait: str
    guessed: tuple[str, ...]


def draft_steps(texts: Sequence[str], names: Sequence[str]) -> tuple[list[DraftStep], tuple[str, ...]]:
    """The steps, and the ingredients that none of them names: those stand in the first step that cooks. An ingredient goes in
    at the first step that names it, prep steps aside; of *half the butter* the rest at the next."""
    stages = [_stage(text) for text in texts]
    if texts and "cook" not in stages:
        stages[-1] = "cook"
    telling = _telling(names)
    adds: list[list[tuple[str, str]]] = [[] for _ in texts]
    unnamed = []
    for name in names:
        at = [n for n, text in enumerate(texts) if stages[n] == "cook" and _goes_in(text, name, telling[name])]
        if not at:
            unnamed.append(name)
            at = [stages.index("cook")] if texts else []
        halved = len(at) > 1 and re.search(rf"\bhalf (?:of )?(?:the |of )?{_any_of(name)}", texts[at[0]], re.IGNORECASE)
        for n, share in zip(at, ("half", "rest") if halved else ("all",), strict=False):
            adds[n].append((name, share))
    steps = []
    for number, (text, stage, add) in enumerate(zip(texts, stages, adds, strict=True), 1):
        uses = tuple(n for n in names if _names(text, telling[n])) if stage == "prep" else ()
        steps.append(_step(number, text, stage, uses, tuple(add)))
    return steps, tuple(unnamed)


def _goes_in(text: str, name: str, telling: set[str]) -> bool:
    seasons = bool(set(words_of(name)) & {"salt", "pepper"}) and bool(
        re.search(r"\bseason(?:ing)?\b", text, re.IGNORECASE)
    )
    return bool(_ALL_IN.search(text)) or _names(text, telling) or seasons


def _any_of(name: str) -> str:
    return "(?:" + "|".join(re.escape(w) for w in name.split()) + ")"


def _stage(text: str) -> str:
    """`prep` of what is only washed, cut or weighed; all else is cooked."""
    methods = {act.method for act in StepReading(sentence=text).acts if act.method}
    if methods & HOT or "mix" in methods or "plate" in methods or "blend" in methods:
        return "cook"
    return "prep" if methods == {"cut"} or (_PREP.match(text) and not methods - {"cut"}) else "cook"


def _step(number: int, text: str, stage: str, uses: tuple[str, ...], add: tuple[tuple[str, str], ...]) -> DraftStep:
    reading = StepReading(sentence=text)
    told = {t.of: t.words for t in reversed(reading.temperatures)}
    hot = f"oven {told['oven']}" if "oven" in told and reading.method in ("bake", "roast", "") else heat_in_words(text)
    wait = _wait(text) if stage == "cook" else ""
    found = {
        "stage": stage,
        "uses": uses,
        "add": add,
        "vessel": reading.vessel.name.casefold() if stage == "cook" else "",
        "heat": hot if stage == "cook" else "",
        "core": told.get(CORE, "") if stage == "cook" else "",
        "wait": wait,
    }
    return DraftStep(
        id=f"step-{number}",
        stage=stage,
        do=text,
        uses=uses,
        add=add,
        vessel=str(found["vessel"]),
        heat=str(found["heat"]),
        core=str(found["core"]),
        wait=wait,
        guessed=tuple(name for name, value in found.items() if value),
    )


def _wait(text: str) -> str:
    """All times of the step together, of a range the lower."""
    total = 0
    for found in _TIME.finditer(text):
        try:
            total += parse_duration(f"{found.group(1)} {found.group(2).casefold()}")
        except NotADuration:
            continue
    return format_duration(total) if total else ""


_COMMON = frozenset({
    "black", "brown", "canned", "cold", "dried", "extra", "fresh", "green", "ground", "hot", "large", "plain",
    "powder", "raw", "red", "salted", "small", "sweet", "unsalted", "virgin", "white", "whole", "yellow",
})  # fmt: skip


def _telling(names: Sequence[str]) -> dict[str, set[str]]:
    """For each ingredient the words that name it in a sentence: those that no other ingredient has, else all."""
    words = {n: [w for w in words_of(n) if w not in _COMMON] or words_of(n) for n in names}
    count: dict[str, int] = {}
    for own in words.values():
        for w in set(own):
            count[w] = count.get(w, 0) + 1
    return {n: {w for w in own if count[w] == 1} or set(own) for n, own in words.items()}


def _names(text: str, telling: set[str]) -> bool:
    return bool(telling & set(words_of(text)))
