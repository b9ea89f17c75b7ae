"""What a kitchen allows, as a network of time lags and holds: the question that the sequencer answers."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field

from scriptkit.english.heat import AIR_FRYER, MICROWAVE, OVEN, PRESSURE_COOKER, SLOW_COOKER
from scriptkit.english.standing import kept_warm_in
from scriptkit.recipe.dish import Dish, Kitchen, Step
from scriptkit.recipe.step_graph import WAITED_FOR, graph_of
from scriptkit.shoot.day.cooling import cooling_ms
from scriptkit.shoot.day.day_graph import PART, DayGraph, StepKey
from scriptkit.shoot.day.oven_stretches import goes_in_after, oven_runs, stays_in_the_oven
from scriptkit.shoot.day.scheduling_model import Hold, Network
from scriptkit.shoot.day.step_lengths import first_wait_ms, hands_ms, length_of, ticks, wait_ms

HOT_SLACK_MS = 2 * 60_000
"""How much longer than its time food may stay on the heat before the next step (common practice, editable: `wait_at_most`)."""
SLACK_MS = {"braise": 10 * 60_000, "simmer": 10 * 60_000, "rest": 5 * 60_000}
"""The same after what forgives more: a pot that simmers, and a rest, which is the planned slack (common practice)."""
OFF_SLACK_MS = 5 * 60_000
"""How long hot food off the heat may wait for the next step before it is cold (common practice)."""
ASIDE_MS = 15 * 60_000
"""How long food may stand that the step sets aside or keeps warm: it is meant to (common practice)."""
MACHINES = frozenset({AIR_FRYER, MICROWAVE, SLOW_COOKER, PRESSURE_COOKER})
COOLS_IN = frozenset({"jug", "machine"})
"""Kinds of vessel in which nothing is kept hot: a blender's jug has no heat under it."""


@dataclass(frozen=True, slots=True)
class More:
    """Half minutes by which a meal that cannot land may be late: at the serving, and between two steps. ``in_time``: the files of the
    dishes that are not late at the serving."""

    landing: int = 0
    waits: int = 0
    in_time: frozenset[str] = frozenset()


@dataclass(slots=True)
class ModelBuilder:
    """The network under construction."""

    lags: list[tuple[int, int, int]] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    capacity: dict[str, int] = field(default_factory=dict)
    steps: list[tuple[Dish, Step]] = field(default_factory=list)
    number: dict[tuple[str, int], int] = field(default_factory=dict)
    emptied: dict[int, Hold] = field(default_factory=dict)
    """The last activity that uses a vessel, and how long the vessel is taken then."""
    burner_of: dict[int, Hold] = field(default_factory=dict)
    """The activity on the heat, and how long its burner is taken."""
    graph: DayGraph = field(default_factory=lambda: DayGraph(()))
    extra: int = 0
    """The next free activity after the steps; in the end, the serving."""
    more: More = field(default_factory=More)
    stands: list[tuple[int, int, int, int]] = field(default_factory=list)
    """What stands ready: an activity, the one that goes on with it or the serving, its length, and how long it may stand at most."""

    @property
    def network(self) -> Network:
        """What the draft holds by now, as the sequencer takes it: times in half minutes."""
        return Network(
            count=self.extra + 1, lags=tuple(self.lags), holds=tuple(self.holds), capacity=dict(self.capacity)
        )

    def at_least(self, earlier: int, later: int, lag: int) -> None:
        """``later`` begins at the earliest ``lag`` half minutes after ``earlier`` begins."""
        self.lags.append((earlier, later, lag))

    def at_most(self, earlier: int, later: int, lag: int) -> None:
        """``later`` begins at the latest ``lag`` half minutes after ``earlier`` begins."""
        self.lags.append((later, earlier, -lag))

    def stands_at_most(self, earlier: int, later: int, length: int, slack: int) -> None:
        """What ``earlier`` makes in ``length`` half minutes stands for ``slack`` at most, and for as much longer as it is given."""
        self.stands.append((earlier, later, length, slack))
        landing = 0 if self.steps[earlier - 1][0].file in self.more.in_time else self.more.landing
        self.at_most(earlier, later, length + slack + (landing if later > len(self.steps) else self.more.waits))


def draft_of(dishes: Sequence[Dish], kitchen: Kitchen, more: More | None = None) -> ModelBuilder:
    """Activity n is the n-th step of the dishes one after another, from 1; then pre-heatings; last the serving. ``more``: how much
    longer than it should food may stand."""
    draft = ModelBuilder(more=more or More())
    for dish in dishes:
        for step in dish.steps:
            draft.steps.append((dish, step))
            draft.number[(dish.file, step.number)] = len(draft.steps)
    draft.extra = len(draft.steps) + 1
    draft.graph = DayGraph(dishes)
    _ovens(draft, dishes, kitchen)
    _order(draft, kitchen)
    for dish in dishes:
        _vessels(draft, dish, kitchen, draft.extra)
    _machines(draft, kitchen)
    for (_, step), at in zip(draft.steps, range(1, len(draft.steps) + 1), strict=True):
        hands = ticks(hands_ms(step, kitchen))
        if hands:
            draft.holds.append(Hold(resource="hands", first=at, last=at, length=hands))
    draft.capacity |= {"hands": kitchen.cooks * kitchen.attended, "burner": kitchen.burners}
    draft.capacity |= {f"vessel {name.casefold()}": count for name, count in kitchen.vessels}
    _landing(draft, kitchen, draft.extra)
    return draft


def _order(draft: ModelBuilder, kitchen: Kitchen) -> None:
    """What waits for what, as the graph of the day says; and what is hot, or rests, or says how long it keeps, does not wait for
    long."""
    graph = draft.graph
    hot = {dish.file: hot_steps(dish) for dish in graph.dishes}
    stated: set[StepKey] = set()
    for edge in graph.edges:
        (dish, before), (of, step) = graph.steps[edge.before], graph.steps[edge.later]
        first, later = draft.number[edge.before], draft.number[edge.later]
        length = length_of(before, kitchen)
        if edge.takes:
            length += ticks(first_wait_ms(step) + (cooling_ms(dish, before, step) if dish is of else 0))
        draft.at_least(first, later, length)
        if edge.reason in WAITED_FOR and edge.takes and dish is of:
            slack = _slack_before(dish, before, step, hot=before.number in hot[dish.file], kitchen=kitchen)
        elif edge.reason == PART:
            slack = dish.keeps_ms
        elif edge.before not in stated and step.stage != "prep" and (_stated(before) or dish is not of):
            slack = slack_ms(before, hot=False) if _stated(before) else None
        else:
            slack = None
        stated.add(edge.before)
        if slack is not None:
            draft.stands_at_most(first, later, length, ticks(slack))


def _stated(step: Step) -> bool:
    """Whether the file says how long what is made may stand."""
    return step.wait_at_most_ms is not None or step.keeps_ms is not None


def _slack_before(dish: Dish, before: Step, step: Step, *, hot: bool, kitchen: Kitchen) -> int | None:
    """How long after ``before`` the ``step`` that goes on with it begins at the latest; None is any time."""
    slack = slack_ms(before, hot=hot)
    if slack is None or _stated(before):
        return slack
    if step.reading.plates_up and not before.reading.plates_up and before.reading.vessel.kind not in COOLS_IN:
        slack = max(slack, dish.keeps_ms or 0)  # `keeps:` is of the dish in its pot
    if step.reading.in_the_oven and not before.reading.in_the_oven and _oven_before(dish, step):
        slack = max(slack, kitchen.preheat_ms)  # the oven is still at the dish's last setting, and is turned up
    return slack


def _oven_before(dish: Dish, step: Step) -> bool:
    """Whether the dish was in the oven at another setting before."""
    key = step.reading.heat.setting_key
    return any(
        s.reading.in_the_oven and s.reading.heat.setting_key != key for s in dish.steps if s.number < step.number
    )


def hot_steps(dish: Dish) -> frozenset[int]:
    """Numbers of the cook steps from the first on the heat to the one that chills the dish, after which it can wait."""
    graph = graph_of(dish)
    by_graph = any(step.takes for step in dish.steps)
    hot: set[int] = set()
    is_hot = False
    for step in graph.in_order if by_graph else dish.steps:
        if step.stage == "prep":
            continue
        if by_graph:
            is_hot = any(e.takes and e.before in hot for e in graph.into[step.number])
        is_hot = (is_hot or step.reading.heats_food) and step.reading.method != "chill"
        if is_hot:
            hot.add(step.number)
    return frozenset(hot)


def slack_ms(step: Step, *, hot: bool) -> int | None:
    """How long after its end the next step may begin at the latest; None is any time."""
    if step.keeps_ms is not None:
        return step.keeps_ms
    if step.wait_at_most_ms is not None:
        own = (
            step.wait_ms or 0
        )  # a rest of 3 to 10 min; of a braise of 2 h that may stand for 20 min, its own time is not among it
        return step.wait_at_most_ms - own if step.wait_at_most_ms >= own else step.wait_at_most_ms
    said = step.reading.stands_ms
    longer = max(said[1] - wait_ms(step), 0) if said and step.reading.method in ("", "rest", "chill") else 0
    if step.reading.method == "rest":
        return max(SLACK_MS["rest"], longer)
    if not hot:
        return None
    usual = HOT_SLACK_MS if step.reading.heats_food else OFF_SLACK_MS
    return max(SLACK_MS.get(step.reading.method, usual), longer, ASIDE_MS if _set_aside(step) else 0)


def _set_aside(step: Step) -> bool:
    """Whether what the step makes is set aside or kept warm, and not a part of it: *a cup of the water*."""
    names = [a.ingredient.name for a in step.additions]
    aside = [d for d in step.reading.set_aside if not d.of_a_part]
    whole = any(not d.what or any(map(d.concerns, names)) for d in aside)
    return whole or kept_warm_in(step.reading.sentence)


def lands_ms(dish: Dish, step: Step, kitchen: Kitchen) -> int:
    """How long before the serving the dish's last step may end. `keeps:` is of the dish in its pot: plated it stands no
    longer than the kitchen's landing."""
    if dish.keeps_ms is None:
        return kitchen.landing_ms
    return min(dish.keeps_ms, kitchen.landing_ms) if step.reading.plates_up else dish.keeps_ms


def _landing(draft: ModelBuilder, kitchen: Kitchen, serving: int) -> None:
    """Every step is done by the serving; the last ones so shortly before it that the dish is still right."""
    goes_on = {e.before for e in draft.graph.edges if e.takes and (e.reason in WAITED_FOR or e.reason == PART)}
    for key, (dish, step) in draft.graph.steps.items():
        at = draft.number[key]
        length = length_of(step, kitchen)
        draft.at_least(at, serving, length)
        if step.stage != "prep" and key not in goes_on:
            draft.stands_at_most(at, serving, length, ticks(lands_ms(dish, step, kitchen)))


def _vessels(draft: ModelBuilder, dish: Dish, kitchen: Kitchen, serving: int) -> None:
    """A vessel is taken from its first use until it is emptied: until the step that goes on with another one begins; or,
    where none does, until the serving. The burner under it is taken with it while it stands on the heat. Plates, and what
    stands in a bowl before the cooking, take nothing beyond their own step."""
    runs: list[list[Step]] = []
    for step in (s for s in dish.steps if s.reading.vessel.key and s.stage != "prep"):
        if runs and runs[-1][-1].reading.vessel.key == step.reading.vessel.key:
            before = runs[-1][-1]  # in one vessel, the file's order
            at_before = draft.number[(dish.file, before.number)]
            draft.at_least(at_before, draft.number[(dish.file, step.number)], length_of(before, kitchen))
            runs[-1].append(step)
        else:
            runs.append([step])
    runs += [[s] for s in dish.steps if s.stage == "prep" and s.reading.takes_a_burner]
    for run in runs:
        at = [draft.number[(dish.file, s.number)] for s in run]
        emptier = None if run[-1].stage == "prep" else _goes_on(draft.graph, (dish.file, run[-1].number))
        if emptier is not None:
            until, length = draft.number[emptier], 0
        elif run[-1].stage == "prep" or run[-1].reading.plates_up:
            until, length = at[-1], length_of(run[-1], kitchen)
        else:
            until, length = serving, 0
        taken = Hold(resource=f"vessel {run[0].reading.vessel.key}", first=at[0], last=until, length=length)
        draft.holds.append(taken)
        draft.emptied[at[-1]] = taken
        heated = [n for n, s in enumerate(run) if s.reading.takes_a_burner]
        if not heated:
            continue
        if heated[-1] == len(run) - 1:  # it stays on the heat until it is emptied
            burner = Hold(resource="burner", first=at[heated[0]], last=until, length=length)
        else:
            last = heated[-1]
            burner = Hold(resource="burner", first=at[heated[0]], last=at[last], length=length_of(run[last], kitchen))
        draft.holds.append(burner)
        draft.burner_of |= {at[n]: burner for n in heated}


def _goes_on(graph: DayGraph, last: StepKey) -> StepKey | None:
    """The step that takes the food out of the vessel in which ``last`` left it: of those that go on with it, the first that names
    a vessel or plates the dish."""
    open_ends, seen, found = [last], {last}, list[StepKey]()
    while open_ends:
        before = open_ends.pop()
        for edge in graph.edges:
            step = graph.steps[edge.later][1]
            if edge.before != before or not edge.takes or edge.later in seen or step.stage == "prep":
                continue
            seen.add(edge.later)
            (found if step.reading.vessel.key or step.reading.plates_up else open_ends).append(edge.later)
    place = {d.file: n for n, d in enumerate(graph.dishes)}
    own = [key for key in found if key[0] == last[0]] or found
    return min(own, key=lambda key: (place[key[0]], key[1]), default=None)


def _ovens(draft: ModelBuilder, dishes: Sequence[Dish], kitchen: Kitchen) -> None:
    """Stretches in the oven, each with its pre-heating. Where there are fewer ovens than settings, those at different ones
    exclude one another."""
    stretches: list[tuple[str, int, int, int]] = []
    preheat = ticks(kitchen.preheat_ms)
    for dish in dishes:
        for run in oven_runs(dish):
            at = [draft.number[(dish.file, s.number)] for s in run]
            first = at[0]
            if not stays_in_the_oven(dish, run[0]):
                before_it = preheat - goes_in_after(dish, run[0], kitchen)
                if before_it:
                    first, draft.extra = draft.extra, draft.extra + 1
                    draft.at_least(first, at[0], before_it)
                    draft.at_most(first, at[0], before_it)
                for lit in (s for s in dish.steps if s.stage == "prep" and s.reading.heat.source == OVEN):
                    draft.at_least(draft.number[(dish.file, lit.number)], at[0], before_it)
            stretches.append((run[0].reading.heat.setting_key, first, at[-1], length_of(run[-1], kitchen)))
    if not stretches or len({setting for setting, *_ in stretches}) <= kitchen.ovens:
        return
    if kitchen.ovens != 1:
        draft.capacity["oven"] = kitchen.ovens
        draft.holds += [Hold(resource="oven", first=f, last=at, length=n) for _, f, at, n in stretches]
        return
    pairs = (p for p in itertools.combinations(stretches, 2) if p[0][0] != p[1][0])
    for number, pair in enumerate(pairs):
        draft.holds += [Hold(resource=f"oven {number}", first=f, last=at, length=n) for _, f, at, n in pair]


def _machines(draft: ModelBuilder, kitchen: Kitchen) -> None:
    """An air fryer, a microwave, a slow or a pressure cooker that `vessels:` counts is had by what is cooked in it for its time. One
    that is not counted is no limit; one that is written as the vessel is held as the vessel."""
    counted = {name.casefold() for name, _ in kitchen.vessels}
    for at, (_, step) in enumerate(draft.steps, 1):
        source = step.reading.heat.source
        if step.reading.heat.on and source in MACHINES & counted and step.reading.vessel.kind != source:
            draft.holds.append(Hold(resource=f"vessel {source}", first=at, last=at, length=length_of(step, kitchen)))
