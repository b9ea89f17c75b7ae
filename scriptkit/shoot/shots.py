"""The shot list: which pictures the plan needs, one at least for each addition."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.measure.amounts import Kind
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, OPENING, Plan, Segment, addition_windows, ready_ms

SIZES = {
    "WS": "wide shot", "MS": "medium shot", "MCU": "medium close-up", "CU": "close-up", "ECU": "extreme close-up",
}  # fmt: skip
"""Standard names of shot sizes."""
SOUNDS = {"sync": "SYNC", "voice-over": "VO", "mos": "MOS"}
"""SYNC: spoken to camera. VO: voice-over, recorded later. MOS: picture without sound."""

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O are skipped: on a slate they read as 1 and 0 (US practice)


@dataclass(frozen=True, slots=True)
class Look:
    """How a kind of shot is usually framed (common practice, no source)."""

    kind: str
    size: str
    angle: str
    move: str = "static"


_LOOKS = {
    "beauty": Look("beauty", "CU", "three-quarter", "slow push in"),
    "first bite": Look("first bite", "MCU", "eye level"),
    "plating": Look("plating", "MCU", "three-quarter"),
    "addition": Look("insert", "CU", "overhead"),
    "pour": Look("pour", "CU", "three-quarter"),
    "sear": Look("sizzle", "ECU", "three-quarter"),
    "blend": Look("blend", "CU", "eye level"),
    "steam": Look("steam", "CU", "eye level"),
    "knife": Look("hands", "CU", "overhead"),
    "hands": Look("hands and pans", "MCU", "three-quarter"),
}
_LOOK_OF_METHOD = {
    "sear": "sear", "fry": "sear", "deep-fry": "sear", "grill": "sear", "blend": "blend", "simmer": "steam",
    "boil": "steam", "steam": "steam", "poach": "steam", "braise": "steam", "plate": "plating", "cut": "knife",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One row of the shot list. Times are milliseconds of the planned cut."""

    number: int
    slate: str
    look: Look
    what: str
    sound: str
    start_ms: int
    end_ms: int
    dish: Dish | None
    step: Step | None
    additions: tuple[Addition, ...]
    irreversible: bool
    stage: str

    @property
    def planned_ms(self) -> int:
        return self.end_ms - self.start_ms


def setup_letter(number: int) -> str:
    """The letter of a scene's ``number``-th setup, from 1: A … H, J … N, P … Z, then AA.

    >>> [setup_letter(n) for n in (1, 8, 9, 13, 14, 24, 25)]
    ['A', 'H', 'J', 'N', 'P', 'Z', 'AA']
    """
    letters = ""
    while number > 0:
        number, rest = divmod(number - 1, len(_LETTERS))
        letters = _LETTERS[rest] + letters
    return letters


def shots_of(plan: Plan) -> tuple[Shot, ...]:
    """Shots in the plan's order: prep steps first, then cook steps."""
    shots: list[Shot] = []
    for segment in plan.segments:
        for n, (look, what, start, end, additions) in enumerate(_pictures(segment, plan), 1):
            step = segment.step
            shots.append(
                Shot(
                    number=len(shots) + 1,
                    slate=f"{segment.scene}{setup_letter(n)}",
                    look=look,
                    what=what,
                    sound=SOUNDS[step.sound] if step else SOUNDS["voice-over"],
                    start_ms=start,
                    end_ms=end,
                    dish=segment.dish,
                    step=step,
                    additions=tuple(additions),
                    irreversible=bool(additions) or bool(step and step.irreversible and what == step.do),
                    stage=step.stage if step else segment.kind,
                )
            )
    return tuple(shots)


Picture = tuple[Look, str, int, int, Sequence[Addition]]


def _pictures(segment: Segment, plan: Plan) -> Iterator[Picture]:
    start, end = segment.start_ms, segment.end_ms
    if segment.kind == OPENING:
        yield _LOOKS["beauty"], f"{plan.title}, finished: the promise", start, end, ()
    elif segment.kind in (CLOSING, MEAL_CLOSING):
        name = segment.dish.name if segment.dish else plan.title
        middle = start + segment.length_ms // 2
        yield _LOOKS["beauty"], f"{name}, plated: beauty, macro card over it", start, middle, ()
        yield _LOOKS["first bite"], f"{name}: first bite", middle, end, ()
    elif segment.step is not None:
        yield from _of_step(segment, segment.step)


def _of_step(segment: Segment, step: Step) -> Iterator[Picture]:
    now = segment.start_ms
    if ready := ready_ms(segment):
        where = f"the {step.vessel} heats" if step.vessel else "the pan heats"
        yield _LOOKS["hands"], f"Before it goes in: the food is dry, {where}, a lid lies ready", now, now + ready, ()
    for addition, start, end in addition_windows(segment):
        where = f" into the {step.vessel}" if step.vessel else ""
        look = _LOOKS["pour" if _poured(addition) else "addition"]
        name = addition.ingredient.name
        yield look, f"{name[:1].upper()}{name[1:]}{where}", start, end, (addition,)
        now = end
    if now < segment.end_ms:
        usual = "knife" if step.stage == "prep" else "hands"
        yield _LOOKS[_LOOK_OF_METHOD.get(step.method, usual)], step.do, now, segment.end_ms, ()


_POURED = frozenset({"stock", "drink", "wine or spirit", "sauce", "dairy"})


def _poured(addition: Addition) -> bool:
    """Liquids: written as a volume, of a food that pours."""
    amount, food = addition.ingredient.amount, addition.ingredient.food
    pours = food.category in _POURED or "oil" in words_of(food.name)
    return pours and amount is not None and amount.kind is Kind.VOLUME
