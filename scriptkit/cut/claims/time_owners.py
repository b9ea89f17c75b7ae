"""Of which step each spoken time is: by what is done in its sentence, where the steps stand, and what was said before."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from scriptkit.cut.claims.claim import Near
from scriptkit.cut.claims.name_mentions import TOOLS, food_words
from scriptkit.cut.claims.owner_chain import shares
from scriptkit.cut.claims.owner_weights import weight_of
from scriptkit.cut.placement import Placement
from scriptkit.cut.transcript.running_text import Talk, words_in
from scriptkit.english.time_words import PART_OF_A_TIME
from scriptkit.measure.amounts import canonical_unit
from scriptkit.measure.figures import Figure
from scriptkit.pantry.names import words_of
from scriptkit.problems import Place
from scriptkit.recipe.dish import Step

_NEAREST = 5
"""Steps that are tried for a time."""
_FURTHER = 2
"""And the next ones in which something waits: a time that has gone by is of one of them."""
_TOGETHER_MS = 90_000
"""Two times that are said so near to one another are judged together."""
_ALTERNATIVES = frozenset("if instead or like usually could can otherwise".split())  # noqa: SIM905
_STRANGE = "no time: another food"
_OF_NOW = frozenset("in ago later back after before takes take only total about serve".split())  # noqa: SIM905

_OVER = frozenset({"after", "been"})
"""Before a time: it has gone by."""
_A_TURN_MS = 180_000
"""Hands times that nobody waits for (common practice, no source)."""
_WORDS_OF_A_DEED = 5
"""*Been resting there for about* ten minutes."""
HEATS = frozenset({"low", "medium", "high"})
_OUT_OF_MEASURE = 6
"""So many times more or less than the step takes is of another order (common practice, no source)."""


class TimeChoice(NamedTuple):
    """A step that a time may be of; None: of nothing of the recipe."""

    at: Placement | None
    features: dict[str, float]


class OwnedTime(NamedTuple):
    """The steps that may own the figure, the likeliest first, each with how likely it is, 0 to 1; ``strange``: beside it a food is
    spoken of that the recipe does not have."""

    number: int
    steps: tuple[tuple[Placement, float], ...]
    nobody: float
    strange: bool


Doing = Callable[[Step], set[str]]
"""How the words begin that tell what a step does."""


class TimeRow(NamedTuple):
    """The times of a talk, with the choices of each."""

    numbers: tuple[int, ...]
    choices: tuple[tuple[TimeChoice, ...], ...]
    joins: tuple[tuple[tuple[tuple[str, ...], ...], ...], ...]


def owned_times(row: TimeRow) -> list[OwnedTime]:
    """Who owns each time of the row, judged together."""
    nodes = [[weight_of(c.features) for c in of_one] for of_one in row.choices]
    steps = [[[weight_of(names) for names in to] for to in of_one] for of_one in row.joins]
    found = []
    for number, choices, share in zip(row.numbers, row.choices, shares(nodes, steps), strict=True):
        ranked = sorted(
            ((c.at, p) for c, p in zip(choices, share, strict=True) if c.at is not None), key=lambda one: -one[1]
        )
        found.append(OwnedTime(number, tuple(ranked), share[0], bool(choices[0].features[_STRANGE])))
    return found


def time_row(
    talk: Talk,
    figures: Sequence[Figure],
    numbers: Sequence[int],
    near: Near,
    doing: Doing,
    beginnings: Callable[[Sequence[str]], set[str]],
) -> TimeRow:
    """The choices of the times of these numbers: nothing first, then the nearest steps that take any time."""
    if not numbers:
        return TimeRow((), (), ())
    of_steps = {p.step.place: doing(p.step) for p in near.all}
    order = {p.step.place: n for n, p in enumerate(near.all)}
    foods = food_words()
    own = _own_words(near)
    choices = []
    for n in numbers:
        figure = figures[n]
        moment = talk.ms_at(figure.start)
        before, after = talk.sentence(figure.start, figure.end, words=10)
        ahead, behind = words_in(before), words_in(after)
        said = beginnings([*ahead, *behind])
        around = near.around(moment)
        strange = any(_of_another_food(words, foods, own) for words in (ahead, behind))
        found = [TimeChoice(None, _nothing(figure, ahead, behind, strange=strange))]
        timed = [p for p in near.by_distance(moment) if _takes_time(p.step)]
        further = [p for p in timed[_NEAREST:] if p.step.wait_ms][:_FURTHER]
        for rank, p in enumerate([*timed[:_NEAREST], *further]):
            features = _of_step(figure, p, moment, rank, said & of_steps[p.step.place], around)
            found.append(TimeChoice(p, features | _of_words(p, ahead, behind, moment)))
        choices.append(tuple(found))
    joins = []
    for m in range(len(numbers) - 1):
        gap = talk.ms_at(figures[numbers[m + 1]].start) - talk.ms_at(figures[numbers[m]].start)
        joins.append(tuple(tuple(_join(a, b, order, gap) for b in choices[m + 1]) for a in choices[m]))
    return TimeRow(tuple(numbers), tuple(choices), tuple(joins))


def _of_another_food(words: Sequence[str], foods: frozenset[str], own: set[str]) -> bool:
    """Whether a food is named that is none of the dishes'; *a tea towel* and *a rice cooker* are none."""
    folded = [_folded(w) for w in words]
    beside = [*folded[1:], ""][: len(folded)]
    strange = [w for w, after in zip(folded, beside, strict=True) if w in foods and w not in own and after not in TOOLS]
    return any(canonical_unit(w) is None for w in strange)  # two cloves of garlic


def _own_words(near: Near) -> set[str]:
    """The words of the dishes, their ingredients and their steps: *the chips* of potatoes are no food of another dish."""
    texts = {text for p in near.all for text in (p.dish.name, *p.step.reading.words)}
    texts |= {text for p in near.all for i in p.dish.ingredients for text in (i.name, i.food.name)}
    return {word for text in texts for word in words_of(text)}


def _takes_time(step: Step) -> bool:
    return bool(step.wait_ms or step.hands_ms or step.wait_at_most_ms or step.reading.times_ms)


def _folded(word: str) -> str:
    return " ".join(words_of(word))


def _nothing(figure: Figure, ahead: Sequence[str], behind: Sequence[str], *, strange: bool) -> dict[str, float]:
    """``strange``: a food is spoken of that the recipe does not have."""
    return {
        _STRANGE: float(strange),
        "no time": 1.0,
        "no time: idle": float(figure.idle),
        "no time: a part": float(bool(PART_OF_A_TIME & {*ahead[-2:], *behind[:2]})),
        "no time: alternative": float(bool(_ALTERNATIVES & set(ahead[-4:]))),
        "no time: of now": float(bool(_OF_NOW & {*ahead[-2:], *behind[:1]})),
        "no time: for": float(bool({"for", "least", "cook"} & set(ahead[-3:]))),
        "no time: until": float(bool({"until", "till"} & set(behind[:3]))),
        "no time: short": float(figure.high < 60_000),
        "no time: about": float(figure.about),
    }


def _of_step(
    figure: Figure, p: Placement, moment: int, rank: int, shared: set[str], around: Sequence[Placement]
) -> dict[str, float]:
    off = 10.0 if p.time_ms is None else abs(p.time_ms - moment) / 1000 / 30
    side = "other"
    if p in around:
        side = "before" if (p.time_ms or 0) <= moment else "after"
    step = p.step
    due = step.wait_ms or max(step.reading.times_ms, default=0) or step.hands_ms or 0
    return {
        "step": 1.0,
        f"step: {side}": 1.0,
        "step: nearest": float(rank == 0),
        "step: far": math.log1p(off),
        "step: sure": p.confidence,
        "step: words": min(3.0, float(len(shared))),
        "step: a word": float(bool(shared)),
        "step: waits": float(bool(step.wait_ms)),
        "step: same unit": float(bool(_told_in(float(figure.low)) & _told_in(float(due)))),
        "step: out of measure": float(not due / _OUT_OF_MEASURE <= figure.low <= figure.high <= due * _OUT_OF_MEASURE),
    }  # fmt: skip


def _of_words(p: Placement, ahead: Sequence[str], behind: Sequence[str], moment: int) -> dict[str, float]:
    """What the words about the time tell of the step: it was waited for (*now after five minutes*), its heat is spoken of (*on high*)."""
    gone_by = bool(_OVER & set(ahead[-3:])) or "been" in ahead[-_WORDS_OF_A_DEED:]
    over = gone_by and p.time_ms is not None and p.time_ms <= moment
    heats = HEATS & {*ahead[-6:], *behind[:4]}
    own = set(words_in(p.step.reading.written_heat))
    return {
        "step: over": float(over and bool(p.step.wait_ms)),
        "step: over: nothing waits": float(gone_by and not p.step.wait_ms and (p.step.hands_ms or 0) <= _A_TURN_MS),
        "step: its heat": float(bool(heats & own)),
        "step: another heat": float(bool(heats) and not heats & own),
    }


def _told_in(ms: float) -> set[int]:
    """In what it may be told, seconds, minutes or hours: *ninety minutes* or *an hour and a half*."""
    return {unit for unit, (least, most) in enumerate(_TOLD_IN) if least <= ms < most}


_TOLD_IN = ((0, 120_000), (60_000, 7_200_000), (3_600_000, math.inf))


def _join(one: TimeChoice, other: TimeChoice, order: Mapping[Place, int], gap_ms: int) -> tuple[str, ...]:
    if gap_ms > _TOGETHER_MS:
        return ()
    if one.at is None or other.at is None:
        return ("times: nothing twice",) if one.at is other.at else ("times: nothing beside something",)
    off = order[other.at.step.place] - order[one.at.step.place]
    return ("times: the same step" if off == 0 else "times: a later step" if off > 0 else "times: an earlier step",)
