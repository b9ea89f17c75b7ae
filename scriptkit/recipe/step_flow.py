"""What flows from step to step: which share of each ingredient arrives where, what is left behind there, and what contradicts."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from scriptkit.english.stems import stems_in
from scriptkit.measure.amounts import Kind, format_grams
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate
from scriptkit.problems import Place, Problem, any_of, error, nearest, note
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.recipe.soaking import thrown_away_at
from scriptkit.recipe.step_graph import FROM, StepGraph, stands_after, written_edges
from scriptkit.recipe.takeovers import Leftover, Takeover
from scriptkit.recipe.value_parser import FieldParser

CLINGS = (0.1, 0.5)
"""What of a marinade that is thrown away clings to the food, where nobody weighed it: between a tenth and a half (common practice,
no source)."""
MOST_SHARE = 1.02
"""Parts may make a little more than the whole: a scale is no finer (common practice, no source)."""

Content = Mapping[str, float]
"""Of each ingredient, by key, the share of the dish's amount: 0 to 1."""


def left_behind(bench: FieldParser, steps: Sequence[Step], ingredients: Sequence[Ingredient]) -> list[Ingredient]:
    """The ingredients with what of each is left behind at a step, and every contradiction of `from:` and `left_behind:` told."""
    circle = _circle(steps)
    bench.problems += [p for p in _no_such_step(steps) if circle is None or p.code != "later-step"]
    if circle is not None:
        bench.problems.append(circle)
        bench.tree.unread.add(("steps", 0))  # what follows from an order that there is not need not be told
        return list(ingredients)
    graph = StepGraph(steps)
    flow = _Flow(bench, graph, {i.key: i for i in ingredients})
    losses = flow.losses()
    for step in steps:
        unweighed = [
            i for i in ingredients if (lost := losses.get(i.key)) and lost.step == step.number and lost.estimated
        ]
        if unweighed:
            bench.problems.append(_nobody_weighed(bench, step, unweighed))
    return [_with_loss(i, losses[i.key]) if i.key in losses else i for i in ingredients]


def relinked(steps: Sequence[Step], ingredients: Sequence[Ingredient]) -> list[Step]:
    """The steps with these ingredients in place of those of the same key."""
    by_key = {i.key: i for i in ingredients}
    return [
        dataclasses.replace(
            step,
            uses=tuple(by_key.get(i.key, i) for i in step.uses),
            additions=tuple(
                dataclasses.replace(a, ingredient=by_key.get(a.ingredient.key, a.ingredient)) for a in step.additions
            ),
        )
        for step in steps
    ]


def _no_such_step(steps: Sequence[Step]) -> Iterator[Problem]:
    ids = [s.id for s in steps]
    by_id = {s.id: s for s in steps}
    for step in steps:
        for one in step.takes:
            if one.dish:
                continue
            if one.step == step.id:
                yield error(one.place, "circle", f"“{one.step}” takes over from itself", "name the step before it")
            elif one.step not in ids:
                meant = nearest(one.step, ids, most=1)
                hint = f"did you mean “{meant[0]}”?" if meant else "name a step by its id; of another dish, `Dish/step`"
                yield error(one.place, "no-such-step", f"there is no step called “{one.step}”", hint)
            elif stands_after(by_id[one.step], step):
                other = by_id[one.step]
                hint = (
                    f"write step {other.number} before it"
                    if other.stage == step.stage
                    else f"make step {step.number} `stage: cook`"
                )
                message = f"step {step.number} ({step.id}) takes over from {one.step}, which comes later"
                yield error(one.place, "later-step", message, hint)


def _circle(steps: Sequence[Step]) -> Problem | None:
    """Steps that wait for one another by what the file says, where `from:` has a part in it."""
    by_number = {s.number: s for s in steps}
    into: dict[int, list[int]] = defaultdict(list)
    for edge in written_edges(steps):
        into[edge.later].append(edge.before)
    for step in (s for s in steps if s.takes):
        path, seen = [step.number], {step.number}
        stack = [iter(into[step.number])]
        while stack:
            n = next(stack[-1], None)
            if n is None:
                stack.pop()
                path.pop()
            elif n == step.number:
                names = " → ".join(by_number[m].id for m in [n, *reversed(path)])
                place, hint = _way_out([by_number[m] for m in path])
                return error(place, "circle", f"steps wait for one another: {names}", hint)
            elif n not in seen:
                seen.add(n)
                path.append(n)
                stack.append(iter(into[n]))
    return None


def _way_out(circle: Sequence[Step]) -> tuple[Place, str]:
    """What to delete so that the steps no longer wait for one another: what a step says of one that stands after it in the file."""
    ids = {s.id: s.number for s in circle}
    for step in circle:
        for one in step.takes:
            if not one.dish and ids.get(one.step, 0) > step.number:
                return (
                    one.place,
                    f"delete `{one.step}` in `from:` of step {step.number} ({step.id}): {one.step} stands after it",
                )
        for name in step.after:
            if ids.get(name, 0) > step.number:
                return (
                    step.place,
                    f"delete `{name}` in `after:` of step {step.number} ({step.id}): {name} stands after it",
                )
    return circle[0].place, "check `from:` and `after:`"


@dataclasses.dataclass(frozen=True, slots=True)
class _Loss:
    """What of an ingredient is left behind, 0 to 1, first at ``step``."""

    step: int
    low: float = 0.0
    middle: float = 0.0
    high: float = 0.0

    @property
    def estimated(self) -> bool:
        """Whether nobody weighed it."""
        return self.high - self.low >= 1e-9


class _Flow:
    """Shares of the ingredients on their way through the steps."""

    def __init__(self, bench: FieldParser, graph: StepGraph, ingredients: Mapping[str, Ingredient]) -> None:
        self.bench = bench
        self.graph = graph
        self.ingredients = ingredients
        self.by_number = {s.number: s for s in graph.steps}

    def losses(self) -> dict[str, _Loss]:
        """What is left behind of each ingredient of which some is."""
        leaves: dict[int, dict[str, float]] = {}
        taken: dict[int, list[tuple[Takeover, float]]] = defaultdict(list)
        found: dict[str, _Loss] = {}
        for step in self.graph.in_order:
            here: dict[str, float] = defaultdict(float)
            for edge in self.graph.into[step.number]:
                if not edge.takes or edge.juices:
                    continue
                content = leaves.get(edge.before, {})
                share = self._share(edge.before, edge.share, content, step, taken) if edge.reason == FROM else 1.0
                for key, part in content.items():
                    here[key] = here[key] + part * share
            arrived = dict(here)
            for one in step.additions:
                if one.share is not None:
                    here[one.ingredient.key] += float(one.share)
            here = {key: min(part, 1.0) for key, part in here.items()}
            for key, (low, middle, high) in self._lost_at(step, here, arrived).items():
                before = found.get(key, _Loss(step.number))
                found[key] = _Loss(before.step, before.low + low, before.middle + middle, before.high + high)
                here[key] = max(here[key] - middle, 0.0)
            leaves[step.number] = here
        self.bench.problems += list(self._stays(taken))
        return found

    def _share(
        self,
        before: int,
        share: Fraction | None,
        content: Content,
        step: Step,
        taken: dict[int, list[tuple[Takeover, float]]],
    ) -> float:
        """Which part of the earlier step's work goes on here; more than there is of it is told."""
        id_of = self.by_number[before].id
        one = next(t for t in step.takes if t.step == id_of and not t.dish)
        if one.unread:  # which has been told
            return 1.0
        already = sum(part for _, part in taken[before])
        if one.rest:
            part = max(1.0 - already, 0.0)
        elif one.grams is not None:
            grams = sum(part * (self.ingredients[key].grams or 0.0) for key, part in content.items())
            part = one.grams / grams if grams else 1.0
        else:
            part = float(share if share is not None else 1)
        if (already + part > MOST_SHARE or (one.rest and already > 1 - 1e-9)) and not one.juices:
            others = any_of([f"“{t.place.line}”" for t, _ in taken[before]][:1])
            where = f" (line {taken[before][0][0].place.line})" if others and taken[before] else ""
            message = f"more is taken over from {id_of} than it made: {already:.0%} of it goes on elsewhere{where}, and {one.words} here"
            if not already:
                made = one.grams / part if one.grams is not None else 0.0
                message = f"more is taken over from {id_of} than it made: {one.words} of about {made:.0f} g"
            hint = (
                f"write what goes where: `{id_of}: half` at one step and `{id_of}: rest` at the other"
                if already
                else f"write `{id_of}: all`, or make more"
            )
            self.bench.problems.append(error(one.place, "parts", message, hint))
            part = max(min(part, 1.0 - already), 0.0)
        taken[before].append((one, part))
        return part

    def _stays(self, taken: Mapping[int, list[tuple[Takeover, float]]]) -> Iterator[Problem]:
        """Notes of what no step takes over: it stays in the dish."""
        for number, parts in taken.items():
            whole = sum(part for _, part in parts)
            if any(one.juices for one, _ in parts) or whole > 1 - 0.02:
                continue
            if any(not e.juices and e.reason != FROM and e.takes for e in self.graph.out_of[number]):
                continue
            yield note(
                parts[-1][0].place,
                "not-taken-over",
                f"no step takes over the other {1 - whole:.0%} of {self.by_number[number].id}: it stays in the dish",
                "write `rest` at the step that it goes on in, or `left_behind:` where it is not eaten",
            )

    # --- what is left behind ------------------------------------------------------------------------------------------

    def _lost_at(self, step: Step, here: Content, arrived: Content) -> dict[str, tuple[float, float, float]]:
        """``here``: with what goes in at the step; where it throws a marinade away, that goes in afterwards."""
        found = {}
        made = thrown_away_at(self.graph, step)
        soaked = {a.ingredient.key for s in made for a in s.additions}
        here = {**here, **{key: min(arrived.get(key, 0.0), 1.0) for key in soaked if key in here}}
        for one in step.left_behind:
            if (lost := self._lost(step, one, here)) is not None:
                found[one.key] = lost
        if not step.left_behind:
            found |= self._thrown_marinade(step, made, here)
        return found

    def _lost(self, step: Step, one: Leftover, here: Content) -> tuple[float, float, float] | None:
        ingredient = self.ingredients.get(one.key)
        name = one.key.replace("_", " ")
        if ingredient is None:
            meant = nearest(one.key, self.ingredients, most=1)
            hint = f"did you mean “{meant[0]}”?" if meant else "name an ingredient of the list"
            self._tell(one, f"there is no ingredient called “{name}” that could be left behind", hint)
            return None
        written = next(
            (n for n, v in (("left_in_pan", ingredient.left_share), ("strained_out", ingredient.strained_share)) if v),
            "",
        )
        if written:
            self._tell(
                one,
                f"what of the {name} is not eaten is written twice: here, and as `{written}:` of the ingredient",
                f"keep one of them: delete `{written}:`, or leave {name} out here",
            )
            return None
        arrives = here.get(one.key, 0.0)
        if arrives <= 0 and not ingredient.to_taste:
            at = [s for s in self.graph.steps if any(a.ingredient.key == one.key for a in s.additions)]
            where = f": it goes in at {any_of([s.id for s in at])}" if at else ""
            hint = (
                f"write `from: {at[0].id}` at step {step.number} ({step.id}), or name it at the step that it reaches"
                if at
                else "name what goes in here"
            )
            self._tell(one, f"no {name} arrives at step {step.number} ({step.id}){where}", hint)
            return None
        if one.estimated:
            return _estimate(arrives)
        share = one.share
        if share is None and one.amount is not None:
            share = self._weighed(one, ingredient, arrives)
            if share is None:
                return None
        lost = arrives * (share or 0.0)
        return lost, lost, lost

    def _weighed(self, one: Leftover, ingredient: Ingredient, arrives: float) -> float | None:
        """An amount as a share of what arrives."""
        amount = one.amount
        if amount is None or not ingredient.grams:
            return None
        try:
            grams = (
                amount.grams
                if amount.kind is Kind.MASS
                else weigh_or_estimate(ingredient.food, amount, ingredient.state, self.bench.cups).grams
            )
        except CannotWeigh as wrong:
            self.bench.problems.append(error(one.place, "no-weight", str(wrong), wrong.hint))
            return None
        there = arrives * ingredient.grams
        if grams > there * MOST_SHARE:
            self._tell(
                one,
                f"{one.words} of the {ingredient.name} is left behind, and {format_grams(there)} of it arrives here",
                "write what is left of it, or a share: `60 %`",
            )
            return None
        return min(grams / there, 1.0)

    def _tell(self, one: Leftover, message: str, hint: str) -> None:
        self.bench.problems.append(error(one.place, "left-behind", message, hint))

    def _thrown_marinade(
        self, step: Step, made: Sequence[Step], here: Content
    ) -> dict[str, tuple[float, float, float]]:
        """What went into a marinade that the words throw away without a figure: everything of it but what it is for."""
        went_in = {a.ingredient.key: a.ingredient for s in made for a in s.additions}
        told = {one.key for s in made for one in s.left_behind}  # where it went in, which is as good
        kept = _marinated(list(went_in.values()), frozenset(step.reading.stems))
        return {
            key: _estimate(here[key])
            for key, one in went_in.items()
            if here.get(key) and key not in kept and key not in told and not one.lost_share
        }


def _marinated(ingredients: Sequence[Ingredient], said: frozenset[str]) -> frozenset[str]:
    """Keys of what the marinade is for: meat, fish and eggs; else what the words of taking it out name; else the heaviest."""
    flesh = [i for i in ingredients if i.food.safety]
    named = [i for i in ingredients if (names := frozenset(stems_in(i.name))) and names <= said]
    heaviest = sorted(ingredients, key=lambda i: -(i.grams or 0.0))[:1]
    return frozenset(i.key for i in flesh or named or heaviest)


def _estimate(arrives: float) -> tuple[float, float, float]:
    low, high = 1 - CLINGS[1], 1 - CLINGS[0]
    return arrives * low, arrives * (low + high) / 2, arrives * high


def _with_loss(ingredient: Ingredient, lost: _Loss) -> Ingredient:
    most = 1.0 - ingredient.left_share - ingredient.strained_share
    low, middle, high = (min(part, most) for part in (lost.low, lost.middle, lost.high))
    between = (low, high) if lost.estimated else None
    return dataclasses.replace(ingredient, behind_share=middle, behind_range=between, behind_at=lost.step)


def _nobody_weighed(bench: FieldParser, step: Step, ingredients: Sequence[Ingredient]) -> Problem:
    """One note for all that is left behind at the step, with one line for all of it: two would be the same key twice."""
    line = ", ".join(f"{i.key}: 60 %" for i in ingredients)
    low, high = 1 - CLINGS[1], 1 - CLINGS[0]
    return note(
        bench.tree.place("steps", step.number - 1),
        "left-behind-estimated",
        f"{', '.join(i.name for i in ingredients)}: between {low:.0%} and {high:.0%} of what is in by then is taken as left behind "
        f"at step {step.number} ({step.id}), as nobody weighed it",
        f"weigh what is left, and write it at step {step.number} ({step.id}): `left_behind: {{{line}}}`",
    )
