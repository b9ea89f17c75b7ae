"""What a kitchen allows, as a network of time lags and holds: the question that the sequencer answers."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from scriptkit.english.heat import OVEN
from scriptkit.recipe.dish import Dish, Kitchen, Step
from scriptkit.shoot.day.scheduling_model import Hold, Network

TICK_MS = 30_000
"""The schedule counts in half minutes; what lasts longer by a part of one gets the whole."""
HOT_SLACK_MS = 2 * 60_000
"""How much longer than its time food may stay on the heat before the next step (common practice, editable: `wait_at_most`)."""
SLACK_MS = {"braise": 10 * 60_000, "simmer": 10 * 60_000, "rest": 5 * 60_000}
"""The same after what forgives more: a pot that simmers, and a rest, which is the planned slack (common practice)."""
OFF_SLACK_MS = 5 * 60_000
"""How long hot food off the heat may wait for the next step before it is cold (common practice)."""
UNSTATED_MS = 60_000
"""Hands time of a step that states none (common practice, no source)."""


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
    extra: int = 0
    """The next free activity after the steps; in the end, the serving."""

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


def ticks(ms: int) -> int:
    """Half minutes, rounded up."""
    return math.ceil(ms / TICK_MS)


def hands_ms(step: Step, kitchen: Kitchen) -> int:
    """Hands time with what filming adds to it."""
    stated = step.hands_ms if step.hands_ms is not None else (0 if step.wait_ms else UNSTATED_MS)
    return stated + kitchen.filming_ms * len(step.additions)


def draft_of(dishes: Sequence[Dish], kitchen: Kitchen) -> ModelBuilder:
    """Activity n is the n-th step of the dishes one after another, from 1; then pre-heatings; last the serving."""
    draft = ModelBuilder()
    for dish in dishes:
        for step in dish.steps:
            draft.steps.append((dish, step))
            draft.number[(dish.file, step.number)] = len(draft.steps)
    draft.extra = len(draft.steps) + 1
    _ovens(draft, dishes, kitchen)
    for dish in dishes:
        _order(draft, dish, kitchen)
        _vessels(draft, dish, kitchen, draft.extra)
    for (_, step), at in zip(draft.steps, range(1, len(draft.steps) + 1), strict=True):
        hands = ticks(hands_ms(step, kitchen))
        if hands:
            draft.holds.append(Hold(resource="hands", first=at, last=at, length=hands))
    draft.capacity |= {"hands": kitchen.cooks * kitchen.attended, "burner": kitchen.burners}
    draft.capacity |= {f"vessel {name.casefold()}": count for name, count in kitchen.vessels}
    for dish in dishes:
        _landing(draft, dish, kitchen, draft.extra)
    return draft


def _order(draft: ModelBuilder, dish: Dish, kitchen: Kitchen) -> None:
    """What waits for what: a step for those it names in `after`; else prep for nothing, a cook step for the cook step
    before it; and a cook step for the prep of what goes in at it."""
    cook = [s for s in dish.steps if s.stage != "prep"]
    by_id = {s.id: s for s in dish.steps}
    at = {s.number: draft.number[(dish.file, s.number)] for s in dish.steps}
    length = {s.number: length_of(s, kitchen) for s in dish.steps}

    def follow(earlier: Step, later: Step) -> None:
        draft.at_least(at[earlier.number], at[later.number], length[earlier.number])

    hot = hot_steps(dish)
    waits = [(by_id[name], step) for step in dish.steps for name in step.after if name in by_id]
    waits += [(before, step) for before, step in itertools.pairwise(cook) if not step.after]
    for before, step in waits:
        follow(before, step)
        slack = slack_ms(before, hot=before.number in hot)
        if (
            slack is not None
            and before.wait_at_most_ms is None
            and step.reading.plates_up
            and not before.reading.plates_up
        ):
            slack = max(slack, dish.keeps_ms or 0)
        if slack is not None:  # what is hot does not wait for long, nor does what rests
            draft.at_most(at[before.number], at[step.number], length[before.number] + ticks(slack))
    for prep in (s for s in dish.steps if s.stage == "prep"):
        used = {i.key for i in prep.uses} | {a.ingredient.key for a in prep.additions}
        users = [s for s in cook if used & {a.ingredient.key for a in s.additions} | used & {i.key for i in s.uses}]
        for later in users[:1] or cook[:1]:
            follow(prep, later)
            if prep.wait_at_most_ms is not None:
                slack = slack_ms(prep, hot=False) or 0
                draft.at_most(at[prep.number], at[later.number], length[prep.number] + ticks(slack))
        for other in (s for s in dish.steps if s.stage == "prep" and s.number > prep.number):
            if used & ({i.key for i in other.uses} | {a.ingredient.key for a in other.additions}):
                follow(prep, other)


def hot_steps(dish: Dish) -> frozenset[int]:
    """Numbers of the cook steps from the first on the heat to the one that chills the dish, after which it can wait."""
    hot: set[int] = set()
    is_hot = False
    for step in dish.steps:
        if step.stage == "prep":
            continue
        is_hot = (is_hot or step.reading.heats_food) and step.reading.method != "chill"
        if is_hot:
            hot.add(step.number)
    return frozenset(hot)


def slack_ms(step: Step, *, hot: bool) -> int | None:
    """How long after its end the next step may begin at the latest; None is any time."""
    if step.wait_at_most_ms is not None:
        return max(step.wait_at_most_ms - (step.wait_ms or 0), 0)
    if step.reading.method == "rest":
        return SLACK_MS["rest"]
    if not hot:
        return None
    return SLACK_MS.get(step.reading.method, HOT_SLACK_MS if step.reading.heats_food else OFF_SLACK_MS)


def lands_ms(dish: Dish, step: Step, kitchen: Kitchen) -> int:
    """How long before the serving the dish's last step may end. `keeps:` is of the dish in its pot: plated it stands no
    longer than the kitchen's landing."""
    if dish.keeps_ms is None:
        return kitchen.landing_ms
    return min(dish.keeps_ms, kitchen.landing_ms) if step.reading.plates_up else dish.keeps_ms


def _landing(draft: ModelBuilder, dish: Dish, kitchen: Kitchen, serving: int) -> None:
    """Every step is done by the serving; the last ones so shortly before it that the dish is still right."""
    waited_for = {name for s in dish.steps for name in s.after}
    cook = [s for s in dish.steps if s.stage != "prep"]
    followed = {b.number for b, s in itertools.pairwise(cook) if not s.after}
    for step in dish.steps:
        at = draft.number[(dish.file, step.number)]
        length = length_of(step, kitchen)
        draft.at_least(at, serving, length)
        if step.stage != "prep" and step.id not in waited_for and step.number not in followed:
            draft.at_most(at, serving, length + ticks(lands_ms(dish, step, kitchen)))


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
        emptier = None if run[-1].stage == "prep" else _goes_on(dish, run[-1])
        if emptier is not None:
            until, length = draft.number[(dish.file, emptier.number)], 0
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


def _goes_on(dish: Dish, last: Step) -> Step | None:
    """The step that takes the food out of the vessel in which ``last`` left it: of those that follow, the first in the file
    that names a vessel or plates the dish."""
    cook = [s for s in dish.steps if s.stage != "prep"]
    implied = {(before.number, s.number) for before, s in itertools.pairwise(cook) if not s.after}
    open_ends, seen, found = [last], {last.number}, list[Step]()
    while open_ends:
        before = open_ends.pop()
        for step in cook:
            if step.number in seen or not (before.id in step.after or (before.number, step.number) in implied):
                continue
            seen.add(step.number)
            (found if step.reading.vessel.key or step.reading.plates_up else open_ends).append(step)
    return min(found, key=lambda s: s.number, default=None)


def length_of(step: Step, kitchen: Kitchen) -> int:
    """Half minutes of a step: hands, filming, and the food's own time."""
    return ticks(hands_ms(step, kitchen)) + ticks(step.wait_ms or 0)


def _ovens(draft: ModelBuilder, dishes: Sequence[Dish], kitchen: Kitchen) -> None:
    """Stretches in the oven, each with its pre-heating. Where there are fewer ovens than settings, those at different ones
    exclude one another."""
    stretches: list[tuple[str, int, int, int]] = []
    preheat = ticks(kitchen.preheat_ms)
    for dish in dishes:
        for run in _oven_runs(dish):
            at = [draft.number[(dish.file, s.number)] for s in run]
            first = at[0]
            if preheat:
                first, draft.extra = draft.extra, draft.extra + 1
                draft.at_least(first, at[0], preheat)
                draft.at_most(first, at[0], preheat)
                for lit in (s for s in dish.steps if s.stage == "prep" and s.reading.heat.source == OVEN):
                    draft.at_least(draft.number[(dish.file, lit.number)], at[0], preheat)
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


def _oven_runs(dish: Dish) -> list[list[Step]]:
    """Cook steps in the oven, those that follow one another at one setting together."""
    runs: list[list[Step]] = []
    before: Step | None = None
    for step in (s for s in dish.steps if s.stage != "prep"):
        if step.reading.in_the_oven:
            if (
                before is not None
                and before.reading.in_the_oven
                and before.reading.heat.setting_key == step.reading.heat.setting_key
                and not step.after
            ):
                runs[-1].append(step)
            else:
                runs.append([step])
        before = step
    return runs
