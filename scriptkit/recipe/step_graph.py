"""The graph of a dish: which of its steps must come before which, why, and what each takes over from which.

`from:` and `after:` say it; where they do not, it follows from what every recipe means: a cook step goes on with the cook
step before it, and what is got ready goes into the step that handles it.
"""

from __future__ import annotations

import functools
import itertools
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.english.made_nouns import MADE
from scriptkit.english.stems import stems_in
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Step

FROM, AFTER, FOLLOWS, PREPARED, NAMED, CARRIED, FIRST = (
    "from",
    "after",
    "follows",
    "prepared",
    "named",
    "carried",
    "first",
)
"""Why a step comes before another: the file's `from:` or `after:`; a cook step follows the one before it; it gets ready what the
other handles; the other's words name what went in at it; the first cook step has nothing else to work on; nothing says where it goes,
so it is done before the cooking."""
WAITED_FOR = frozenset({FROM, AFTER, FOLLOWS})
"""Reasons for which a step goes on with what an earlier one cooked."""


@dataclass(frozen=True, slots=True)
class StepEdge:
    """Step ``before`` is done before step ``later`` begins; both are the dish's step numbers. ``takes``: the later one goes on
    with what the earlier one made. ``share`` of it, 0 to 1, where the file says so; None: not said."""

    before: int
    later: int
    reason: str
    takes: bool
    share: Fraction | None = None
    juices: bool = False


class StepGraph:
    """The edges of one dish's steps, and what follows from them. Step numbers count from 1, as in the file."""

    def __init__(self, steps: Sequence[Step]) -> None:
        self.steps = tuple(steps)
        self.edges = _edges(self.steps)

    @functools.cached_property
    def into(self) -> Mapping[int, tuple[StepEdge, ...]]:
        """The edges that end at each step."""
        found: dict[int, list[StepEdge]] = defaultdict(list)
        for edge in self.edges:
            found[edge.later].append(edge)
        return {s.number: tuple(found[s.number]) for s in self.steps}

    @functools.cached_property
    def out_of(self) -> Mapping[int, tuple[StepEdge, ...]]:
        """The edges that begin at each step."""
        found: dict[int, list[StepEdge]] = defaultdict(list)
        for edge in self.edges:
            found[edge.before].append(edge)
        return {s.number: tuple(found[s.number]) for s in self.steps}

    def taken_into(self, step: Step) -> frozenset[int]:
        """Numbers of all steps whose work is in what the step works on, through any number of others."""
        return _reached(step.number, lambda n: (e.before for e in self.into[n] if e.takes))

    def before(self, step: Step) -> frozenset[int]:
        """Numbers of all steps that must be done before this one."""
        return _reached(step.number, lambda n: (e.before for e in self.into[n]))

    def taken_on(self, step: Step) -> frozenset[int]:
        """Numbers of all steps that work on what this one made."""
        return _reached(step.number, lambda n: (e.later for e in self.out_of[n] if e.takes))

    @functools.cached_property
    def in_order(self) -> tuple[Step, ...]:
        """The steps in an order that every edge allows, prep first where it may be, else the file's. Steps that wait for one
        another keep the file's order."""
        left = {s.number: s for s in sorted(self.steps, key=lambda s: (s.stage != "prep", s.number))}
        done: list[Step] = []
        while left:
            free = (s for n, s in left.items() if not any(e.before in left and e.before != n for e in self.into[n]))
            step = next(free, None) or next(iter(left.values()))
            done.append(left.pop(step.number))
        return tuple(done)


def _reached(start: int, nexts: object) -> frozenset[int]:
    found: set[int] = set()
    open_ends = [start]
    while open_ends:
        for n in nexts(open_ends.pop()):  # type: ignore[operator]
            if n not in found:
                found.add(n)
                open_ends.append(n)
    return frozenset(found - {start})


@functools.lru_cache(maxsize=64)
def _graph(steps: _Identity) -> StepGraph:
    return StepGraph(steps.steps)


@dataclass(frozen=True, slots=True, eq=False)
class _Identity:
    """The steps of one dish object: equal where they are the very same, so that no step is compared."""

    steps: tuple[Step, ...]

    def __hash__(self) -> int:
        return hash(tuple(map(id, self.steps)))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Identity) and tuple(map(id, self.steps)) == tuple(map(id, other.steps))


def graph_of(dish: Dish) -> StepGraph:
    """The graph of the dish's steps."""
    return _graph(_Identity(dish.steps))


# --- the edges --------------------------------------------------------------------------------------------------------


def handled(step: Step) -> frozenset[str]:
    """Keys of what the step uses or adds."""
    return frozenset({i.key for i in step.uses} | {a.ingredient.key for a in step.additions})


def worked_on(prep: Step) -> frozenset[str]:
    """Keys of what a prep step gets ready: what it `uses`, else what goes in at it. Salt on the fish is about the fish."""
    return frozenset({i.key for i in prep.uses} or {a.ingredient.key for a in prep.additions})


def written_edges(steps: Sequence[Step]) -> list[StepEdge]:
    """What `from:` and `after:` say of the steps of this dish; names of steps that there are not are left out."""
    by_id = {s.id: s for s in steps}
    found = []
    for step in steps:
        for one in step.takes:
            earlier = None if one.dish else by_id.get(one.step)
            if earlier is not None and earlier is not step:
                share = Fraction(1) if one.share is None and not one.rest and one.grams is None else one.share
                found.append(StepEdge(earlier.number, step.number, FROM, True, share, one.juices))
        taken = bool(step.takes)
        for name in step.after:
            if (earlier := by_id.get(name)) is not None and earlier is not step:
                found.append(StepEdge(earlier.number, step.number, AFTER, not taken))
    return found


def stands_after(step: Step, other: Step) -> bool:
    """Whether the step stands after the other in the file, prep being before all cooking: nothing can be taken over from it there."""
    return (step.stage != "prep", step.number) > (other.stage != "prep", other.number)


def takes_over_too_early(steps: Sequence[Step]) -> bool:
    """Whether a `from:` names a step that stands after its own, so that the order of the steps is not yet what is meant."""
    by_id = {s.id: s for s in steps}
    named = ((by_id.get(one.step), step) for step in steps for one in step.takes if not one.dish)
    return any(other is not None and stands_after(other, step) for other, step in named)


def _edges(steps: tuple[Step, ...]) -> tuple[StepEdge, ...]:
    by_number = {s.number: s for s in steps}
    written = [
        e for e in written_edges(steps) if e.reason != FROM or not stands_after(by_number[e.before], by_number[e.later])
    ]
    earlier: dict[int, set[int]] = defaultdict(set)
    for edge in written:
        earlier[edge.later].add(edge.before)
    found = {(e.before, e.later): e for e in reversed(written)}
    followed = _followed(steps, written)
    for one in followed:
        found.setdefault((one.before, one.later), one)
        earlier[one.later].add(one.before)

    def comes_first(one: Step, other: Step) -> bool:
        """Whether what is written puts one before the other, so that the other way round is not meant."""
        return one.number in _reached(other.number, lambda n: earlier[n])

    for before, later, reason in _prepared(steps):
        if (before.number, later.number) not in found and not comes_first(later, before):
            found[before.number, later.number] = StepEdge(before.number, later.number, reason, reason != FIRST)
            earlier[later.number].add(before.number)
    return tuple(sorted(found.values(), key=lambda e: (e.later, e.before)))


def _followed(steps: Sequence[Step], written: Iterable[StepEdge]) -> list[StepEdge]:
    """A cook step with neither `from:` nor `after:` goes on with the cook step before it; in a file with `from:`, not where
    that one's work is taken over elsewhere as a whole, so that a second pot may begin."""
    written = list(written)
    wholly = {e.before for e in written if e.reason == FROM and e.share == 1}
    by_id = {s.id: s for s in steps}

    def takes(step: Step) -> bool:
        named = [None if one.dish else by_id.get(one.step) for one in step.takes]
        return any(other is None or not stands_after(other, step) for other in named)  # what a later one makes is told

    cook = [s for s in steps if s.stage != "prep"]
    return [
        StepEdge(before.number, step.number, FOLLOWS, True)
        for before, step in itertools.pairwise(cook)
        if not step.after and not takes(step) and before.number not in wholly
    ]


def _prepared(steps: Sequence[Step]) -> Iterable[tuple[Step, Step, str]]:
    """What prep is for: a cook step that handles what it got ready, a later prep step that does, or one whose words name what
    went in at it. Prep of which nothing tells is done before the cooking begins."""
    cook = [s for s in steps if s.stage != "prep"]
    goes_on: set[int] = set()
    """Numbers of prep steps that work on what an earlier one got ready."""
    for prep in (s for s in steps if s.stage == "prep"):
        about = worked_on(prep)
        users = [s for s in cook if about & handled(s)]
        yield from ((prep, s, PREPARED) for s in users)
        others = [s for s in steps if s.stage == "prep" and s.number > prep.number]
        yield from ((prep, s, PREPARED) for s in others if about & handled(s))
        named = [s for s in (*cook, *others) if s not in users and not s.takes and _names_what_went_in(prep, s)]
        yield from ((prep, s, NAMED) for s in named)
        goes_on |= {s.number for s in named if s.stage == "prep"}
        taken = any(one.step == prep.id and not one.dish for s in steps for one in s.takes)
        if not users and not named and not taken and cook:
            food = prep.additions or prep.number in goes_on
            yield prep, cook[0], CARRIED if food and _works_on_what_is_ready(cook[0]) else FIRST


def _names_what_went_in(prep: Step, later: Step) -> bool:
    """Whether the later step's words name what the prep step is about, and the step does not list it."""
    about = [a.ingredient for a in heaviest_addition(prep) if a.ingredient.key not in handled(later)]
    said = frozenset(later.reading.stems) if about else frozenset()
    if any(names and names <= said for names in (frozenset(stems_in(i.name)) for i in about)):
        return True
    own = {s for a in later.additions for s in stems_in(a.ingredient.name)}
    return bool(said & frozenset(prep.reading.stems) & MADE - own)


def _works_on_what_is_ready(cook: Step) -> bool:
    """Whether the step heats something and names nothing that it could be: what has been got ready."""
    return cook.reading.heat.on and not cook.additions and not cook.uses and not cook.takes


def heaviest_addition(prep: Step) -> tuple[Addition, ...]:
    """What a bowl of prep is about: the heaviest of what goes in, as one; none where something is only seasoned there."""
    weighed = [a for a in prep.additions if a.grams]
    return (max(weighed, key=lambda a: a.grams or 0.0),) if weighed and not prep.uses else ()


def named_without_from(dish: Dish) -> list[tuple[Step, Step]]:
    """Steps whose words name what went in at an earlier one, or what that one makes (*the legs*), though the file does not connect the
    two: earlier and later. What comes to the later one through a step in between (rubbed, roasted, then *rest the thighs*) is connected."""
    graph, by_number = graph_of(dish), {s.number: s for s in dish.steps}
    return [
        (before, later)
        for before, later in _connected_by(NAMED, dish)
        if not any(e.takes and before.number in graph.taken_into(by_number[e.before]) for e in graph.into[later.number])
    ]


def carried_without_from(dish: Dish) -> list[tuple[Step, Step]]:
    """What is got ready, and the first cook step, which names nothing that it works on: earlier and later."""
    return _connected_by(CARRIED, dish)


def _connected_by(reason: str, dish: Dish) -> list[tuple[Step, Step]]:
    by_number = {s.number: s for s in dish.steps}
    return [(by_number[e.before], by_number[e.later]) for e in graph_of(dish).edges if e.reason == reason]


def names_an_ingredient(step: Step, ingredient: Ingredient) -> bool:
    """Whether the step's words name the ingredient as the cook calls it."""
    return frozenset(stems_in(ingredient.name)) <= frozenset(step.reading.stems)
