"""What the dishes of a meal take over from one another (`from: {Dish/step: …}`): found, and held against what there is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from pathlib import PurePath

from scriptkit.pantry.names import fold
from scriptkit.problems import Problem, error, nearest, note
from scriptkit.recipe.discarded import taken_juices_problems
from scriptkit.recipe.dish import Dish, Step
from scriptkit.recipe.step_graph import graph_of
from scriptkit.recipe.takeovers import Takeover

_Key = tuple[str, int]


def dish_named(dishes: Sequence[Dish], name: str) -> Dish | None:
    """The dish of this name, short name or file; None where there is none."""
    wanted = fold(name)
    for one in dishes:
        path = PurePath(one.file)
        if wanted in (fold(one.name), fold(one.short), fold(path.stem), fold(path.name)):
            return one
    return None


def step_of(dishes: Sequence[Dish], one: Takeover) -> tuple[Dish, Step] | None:
    """The dish and the step that `Dish/step` means; None where there is none."""
    dish = dish_named(dishes, one.dish)
    step = None if dish is None else next((s for s in dish.steps if s.id == one.step), None)
    return None if dish is None or step is None else (dish, step)


def takeover_problems(dishes: Sequence[Dish], made_g: Callable[[Dish, int], float]) -> Iterator[Problem]:
    """Dishes and steps that there are not, more taken over than was made, and dishes that wait for one another. ``made_g``: how much a
    step of a dish makes, by its number."""
    taken: dict[_Key, list[tuple[Takeover, float]]] = defaultdict(list)
    juices: list[tuple[Takeover, Step, Sequence[Step]]] = []
    for dish in dishes:
        for step in dish.steps:
            for one in step.takes:
                found = (
                    step_of(dishes, one)
                    if one.dish
                    else next(((dish, s) for s in dish.steps if s.id == one.step), None)
                )
                if one.dish and found is None:
                    yield _missing(dishes, one)
                if found is not None and one.juices:
                    juices.append((one, found[1], found[0].steps))
                if found is not None and (share := _share(one, *found, made_g)) is not None:
                    taken[found[0].file, found[1].number].append((one, share))
    across_dishes = {one.place for one, *_ in juices if one.dish}  # within a dish it has been told
    yield from (p for p in taken_juices_problems(juices) if p.place in across_dishes)
    for parts in taken.values():
        whole = sum(share for _, share in parts)
        across = [one for one, _ in parts if one.dish]
        if whole > 1.02 and across:
            one = across[-1]
            message = f"more is taken over from {one.name} than it made: {whole:.0%} of it in all"
            hint = f"write what goes where: `{one.step}: half` in its own dish, and `{one.name}: rest` here"
            if len(parts) == 1:
                made = (one.grams or 0) / whole
                message = f"more is taken over from {one.name} than it made: {one.words} of about {made:.0f} g"
                hint = f"write `{one.name}: half` or another part of it, or make more"
            yield error(one.place, "parts", message, hint)
        elif across and whole > 0.98 and (own := _goes_on(dishes, across[-1])) is not None:
            (of, begun, later), one = own, across[-1]
            message = f"all of {one.name} is taken over, and step {later.number} ({later.id}) of {of.name} goes on with it too"
            hint = f"write `from: {{{begun.id}: half}}` at that step, and `{one.name}: rest` here"
            yield error(one.place, "parts", message, hint)
    yield from _circle(dishes)


def _goes_on(dishes: Sequence[Dish], one: Takeover) -> tuple[Dish, Step, Step] | None:
    """The dish, the step that another takes all of, and the step of its own that goes on with it and says of no share."""
    found = step_of(dishes, one)
    if found is None:
        return None
    dish, made = found
    by_number = {s.number: s for s in dish.steps}
    later = (by_number[e.later] for e in graph_of(dish).out_of[made.number] if e.takes and e.share is None)
    own = next((s for s in later if not any(t.step == made.id and not t.dish for t in s.takes)), None)
    return None if own is None else (dish, made, own)


def _share(one: Takeover, dish: Dish, step: Step, made_g: Callable[[Dish, int], float]) -> float | None:
    """Which part of the step's work is taken over, 0 to 1, or more where there is not so much; None where nothing tells."""
    if one.share is not None or one.grams is None:
        return None if one.share is None else float(one.share)
    made = max(made_g(dish, step.number), dish.cooked_high_g or 0)  # what swells weighs more than what went in
    return one.grams / made if made else None


def _missing(dishes: Sequence[Dish], one: Takeover) -> Problem:
    dish = dish_named(dishes, one.dish)
    if dish is None:
        names = [d.name for d in dishes]
        meant = nearest(one.dish, [*names, *(d.short for d in dishes)], most=1)
        hint = (
            f"did you mean “{meant[0]}/{one.step}”?"
            if meant
            else (
                f"add the file of {one.dish} below `dishes:` of the meal, or take `{one.name}` out of this `from:`; the dishes of the meal are {', '.join(names)}"
            )
        )
        return error(one.place, "no-such-dish", f"the meal has no dish called “{one.dish}”", hint)
    meant = nearest(one.step, [s.id for s in dish.steps], most=1)
    hint = f"did you mean “{one.dish}/{meant[0]}”?" if meant else f"its steps are {', '.join(s.id for s in dish.steps)}"
    return error(one.place, "no-such-step", f"{dish.name} has no step called “{one.step}”", hint)


def _circle(dishes: Sequence[Dish]) -> Iterator[Problem]:
    """The first takeover between dishes that waits for itself."""
    into: dict[_Key, set[_Key]] = defaultdict(set)
    across: list[tuple[_Key, _Key, Takeover]] = []
    for dish in dishes:
        for edge in graph_of(dish).edges:
            into[dish.file, edge.later].add((dish.file, edge.before))
        for step in dish.steps:
            for one in step.takes:
                if one.dish and (found := step_of(dishes, one)) is not None:
                    here, there = (dish.file, step.number), (found[0].file, found[1].number)
                    into[here].add(there)
                    across.append((there, here, one))
    for there, here, one in across:
        seen, open_ends = {there}, [there]
        while open_ends:
            for key in into[open_ends.pop()] - seen:
                seen.add(key)
                open_ends.append(key)
        if here in seen:
            message = f"what is taken over from {one.name} waits for this very step"
            yield error(
                one.place,
                "circle",
                message,
                f"take `{one.name}` out of this `from:`, or what {one.dish} takes over from here",
            )
            return


def alone_problems(dish: Dish) -> Iterator[Problem]:
    """Notes of what a dish by itself takes over from others, which only a meal knows."""
    for step in dish.steps:
        for one in step.takes:
            if one.dish:
                yield note(
                    one.place,
                    "of-another-dish",
                    f"step {step.number} ({step.id}) goes on with {one.name}, which is known only in a meal with {one.dish}",
                    "check the meal's file",
                )
