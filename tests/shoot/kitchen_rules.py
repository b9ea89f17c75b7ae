"""Small random meals, and the rules of a kitchen in words: what a schedule breaks, told minute by minute.

Written from what the files promise a cook, not from the network that the schedule is found with.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from hypothesis import strategies as st

FORGIVING = {"simmer": 10, "rest": 5}
ON_HEAT, OFF_HEAT = 2, 5
"""Minutes that hot food may wait for its next step beyond its own time: in a simmering pot, resting, else on the heat, else
off it (common practice, as in DEVELOPERS.md)."""
FOODS = ("carrot", "onion")


@dataclass(frozen=True, kw_only=True)
class Step:
    """Minutes. ``food``: the ingredient that is prepared or goes in; -1 is none."""

    dish: int
    number: int
    stage: str = "cook"
    method: str = "mix"
    vessel: str = ""
    heat: str = ""
    hands: int = 1
    wait: int = 0
    wait_at_most: int | None = None
    after: tuple[int, ...] = ()
    food: int = -1

    @property
    def id(self) -> str:
        return f"s{self.number}"

    @property
    def hot_method(self) -> bool:
        return self.method in ("simmer", "fry", "roast")

    @property
    def on_burner(self) -> bool:
        unsaid = not self.heat and self.method in ("simmer", "fry")  # what simmers is on the hob, said or not
        return bool(self.vessel) and (self.heat == "medium" or unsaid)

    @property
    def oven(self) -> str:
        return self.heat.removeprefix("oven ") if self.heat.startswith("oven") and self.stage == "cook" else ""


@dataclass(frozen=True, kw_only=True)
class Kitchen:
    cooks: int = 1
    attended: int = 1
    burners: int = 2
    ovens: int = 1
    pots: int = 1
    preheat: int = 2
    landing: int = 2
    filming: int = 0


@dataclass(frozen=True, kw_only=True)
class Case:
    dishes: tuple[tuple[Step, ...], ...]
    keeps: tuple[int | None, ...]
    kitchen: Kitchen = field(default_factory=Kitchen)

    @property
    def steps(self) -> list[Step]:
        return [s for dish in self.dishes for s in dish]

    def files(self) -> dict[str, str]:
        """The case as a cook writes it."""
        k = self.kitchen
        listed = "\n".join(f"  - {{dish: d{n}.yaml, portion: 100 g}}" for n in range(len(self.dishes)))
        kitchen = (
            f"{{cooks: {k.cooks}, attended: {k.attended}, burners: {k.burners}, ovens: {k.ovens}, vessels: {{pot: {k.pots}}}, "
            f"preheat: {k.preheat} min, landing: {k.landing} min, filming: {k.filming} min}}"
        )
        files = {"meal.yaml": f"meal: Supper\nplates: 1\ndishes:\n{listed}\nkitchen: {kitchen}\n"}
        for n, (steps, keeps) in enumerate(zip(self.dishes, self.keeps, strict=True)):
            lines = [f"dish: Dish {n}", "servings: 1", "cooked_weight: 200 g"]
            lines += [] if keeps is None else [f"keeps: {keeps} min"]
            lines += ["ingredients:", *(f"  {food}: 100 g" for food in FOODS), "steps:"]
            for s in steps:
                lines += [f"  - id: {s.id}", f"    stage: {s.stage}", "    do: Do it.", f"    method: {s.method}"]
                lines += [f"    hands: {s.hands} min"]
                lines += [f"    wait: {s.wait} min"] if s.wait else []
                lines += [] if s.wait_at_most is None else [f"    wait_at_most: {s.wait_at_most} min"]
                lines += [f"    vessel: {s.vessel}"] if s.vessel else []
                lines += [f"    heat: {s.heat}"] if s.heat else []
                lines += [f"    after: [{', '.join(f's{a}' for a in s.after)}]"] if s.after else []
                if s.food >= 0:
                    words = f"uses: {FOODS[s.food]}" if s.stage == "prep" else f"add: {{{FOODS[s.food]}: all}}"
                    lines.append(f"    {words}")
            files[f"d{n}.yaml"] = "\n".join(lines) + "\n"
        return files

    # what the written steps mean for one another

    def hands(self, s: Step) -> int:
        return s.hands + self.kitchen.filming * (s.food >= 0 and s.stage == "cook")

    def length(self, s: Step) -> int:
        return self.hands(s) + s.wait

    def cooking(self, dish: int) -> list[Step]:
        return [s for s in self.dishes[dish] if s.stage == "cook"]

    def waits_for(self, s: Step) -> list[Step]:
        """The steps that must be over before this one begins."""
        mine = self.dishes[s.dish]
        if s.after:
            found = [mine[a] for a in s.after]
        else:
            cooking = self.cooking(s.dish)
            at = cooking.index(s) if s in cooking else 0
            found = cooking[at - 1 : at]
        return found

    def prepared_for(self, prep: Step) -> Step | None:
        """The first cook step that takes what was prepared; else the first there is."""
        cooking = self.cooking(prep.dish)
        return next((s for s in cooking if s.food >= 0 and s.food == prep.food), cooking[0] if cooking else None)

    def hot(self, s: Step) -> bool:
        """Whether the dish has been on the heat by the end of this step."""
        cooking = self.cooking(s.dish)
        return s in cooking and any(e.hot_method or e.on_burner or e.oven for e in cooking[: cooking.index(s) + 1])

    def plated(self, s: Step) -> bool:
        return s.stage == "cook" and s.method == "plate"

    def next_in_vessel(self, s: Step) -> Step | None:
        """The next step of the dish that names a vessel, where it is the same one."""
        later = [f for f in self.cooking(s.dish) if f.vessel and f.number > s.number]
        return later[0] if later and s.vessel and later[0].vessel == s.vessel else None

    def goes_into(self, s: Step) -> Step | None:
        """The next step that takes the food into another vessel, or onto the plates."""
        if (stays := self.next_in_vessel(s)) is not None:
            return stays
        return min(self._takers(s, {s}), key=lambda f: f.number, default=None)

    def _takers(self, s: Step, seen: set[Step]) -> Iterator[Step]:
        for following in self.cooking(s.dish):
            if following not in seen and s in self.waits_for(following):
                seen.add(following)
                if following.vessel or self.plated(following):
                    yield following
                else:
                    yield from self._takers(following, seen)


Starts = Mapping[Step, float]


def broken(case: Case, starts: Starts, serving: float) -> Iterator[str]:
    """Each rule that these starts break, in words."""
    k = case.kitchen
    for s in case.steps:
        if starts[s] < 0 or starts[s] + case.length(s) > serving:
            yield f"{s} is not between the beginning and the serving"
        if s.oven and _lights(case, s) and starts[s] + _before_it_goes_in(case, s) < k.preheat:
            yield f"the oven is not hot at {s}"
        stays = case.next_in_vessel(s) if s.stage == "cook" else None
        if stays is not None and starts[stays] < starts[s] + case.length(s):
            yield f"{stays} begins in the vessel in which {s} still is"
        for before in case.waits_for(s):
            yield from _follows(case, starts, before, s)
        if s.stage == "prep":
            user = case.prepared_for(s)
            if user is not None and starts[user] < starts[s] + case.length(s):
                yield f"{user} begins before {s} is done"
            most = None if s.wait_at_most is None else case.hands(s) + max(s.wait, s.wait_at_most)
            if user is not None and most is not None and starts[user] > starts[s] + most:
                yield f"{s} stands for longer than it may"
        elif not any(s in case.waits_for(f) for f in case.steps if f.dish == s.dish):
            keeps = case.keeps[s.dish]
            stands = k.landing if keeps is None else min(keeps, k.landing) if case.plated(s) else keeps
            if starts[s] + case.length(s) + stands < serving:
                yield f"{s} is over too long before the serving"
    yield from _crowded(case, starts, serving)


def _follows(case: Case, starts: Starts, before: Step, s: Step) -> Iterator[str]:
    end = starts[before] + case.length(before)
    if starts[s] < end:
        yield f"{s} begins before {before} is over"
    if before.wait_at_most is not None:
        most = max(before.wait_at_most - before.wait, 0)
    elif before.method == "rest":
        most = FORGIVING["rest"]
    elif case.hot(before):
        on_heat = before.hot_method or before.on_burner or before.oven
        most = FORGIVING.get(before.method, ON_HEAT if on_heat else OFF_HEAT)
    else:
        return
    if before.wait_at_most is None and case.plated(s) and not case.plated(before):
        most = max(most, case.keeps[s.dish] or 0)
    if starts[s] > end + most:
        yield f"{before} stands for longer than {most} min"


def _crowded(case: Case, starts: Starts, serving: float) -> Iterator[str]:
    """What is wanted at a moment, against what there is."""
    k = case.kitchen
    there = {"hands": k.cooks * k.attended, "burner": k.burners, "vessel pot": k.pots}
    for half in range(round(serving * 2)):
        now = half / 2
        wanted: Counter[str] = Counter()
        settings = set()
        for s in case.steps:
            begin, end = starts[s], starts[s] + case.length(s)
            wanted["hands"] += begin <= now < begin + case.hands(s)
            if s.oven and begin + (_before_it_goes_in(case, s) - k.preheat if _lights(case, s) else 0) <= now < end:
                settings.add(s.oven)
            if s.oven and end <= now and any(now < starts[f] for f in _goes_on_in_oven(case, s)):
                settings.add(s.oven)
            if s.stage == "prep":
                if s.on_burner and begin <= now < end:
                    wanted["burner"] += 1
                    wanted[f"vessel {s.vessel}"] += 1
            elif s.vessel:
                follower = case.goes_into(s)
                until = starts[follower] if follower else end if case.plated(s) else serving
                if begin <= now < until:
                    wanted[f"vessel {s.vessel}"] += 1
                same = follower is not None and follower.vessel == s.vessel
                stays = until if s.on_burner and (not same or (follower is not None and follower.on_burner)) else end
                wanted["burner"] += s.on_burner and begin <= now < stays
        for what, count in wanted.items():
            if count > there.get(what, 1):
                yield f"at {now:g} min {count} of {what} are wanted"
        if len(settings) > k.ovens:
            yield f"at {now:g} min the oven is wanted at {sorted(settings)}"


def _goes_on_in_oven(case: Case, s: Step) -> list[Step]:
    """The next step, where the dish stays in the oven for it: between the two the oven stays as it is."""
    return [f for f in case.cooking(s.dish) if f.oven == s.oven and not f.after and s in case.waits_for(f)]


def _before_it_goes_in(case: Case, s: Step) -> int:
    """Minutes of a step that lights its oven in which the dish is got ready; what is tended in the oven for all its time, or was in
    one before, is in it from the beginning."""
    cooking = case.cooking(s.dish)
    before = cooking[cooking.index(s) - 1] if cooking.index(s) else None
    in_one = before is not None and before.oven and not s.after and before in case.waits_for(s)
    return 0 if in_one or not s.wait else case.hands(s)


def _lights(case: Case, s: Step) -> bool:
    """Whether the oven is heated for this step: not where the step before it, in file order, was in it already."""
    cooking = case.cooking(s.dish)
    before = cooking[cooking.index(s) - 1] if s in cooking and cooking.index(s) else None
    return before is None or before.oven != s.oven or bool(s.after)


@st.composite
def cases(draw: st.DrawFn, *, most_steps: int = 4, longest: int = 4) -> Case:
    """Two dishes, each with a few steps, in a small kitchen."""
    dishes = []
    for dish in range(2):
        steps: list[Step] = []
        for number in range(draw(st.integers(2 if most_steps > 2 else 1, most_steps))):
            prep = number == 0 and draw(st.booleans())
            heat = draw(st.sampled_from(["", "", "medium", "medium", "oven 200 °C", "oven 180 °C"]))
            vessel = draw(st.sampled_from(["", "pot", "pot", "pan", "tin"])) if not prep else ""
            method = draw(st.sampled_from(["mix", "mix", "simmer", "fry", "rest", "plate"])) if not prep else "cut"
            wait = draw(st.sampled_from([0, 0, 1, longest])) if not prep else 0
            at_most = draw(st.sampled_from([None, None, None, wait, wait + 2]))
            cooked = [s.number for s in steps if s.stage == "cook"]
            after = (draw(st.sampled_from(cooked)),) if cooked and not prep and draw(st.integers(0, 4)) == 0 else ()
            step = Step(
                dish=dish, number=number, stage="prep" if prep else "cook", method=method, vessel=vessel,
                heat="" if prep else heat, hands=draw(st.integers(1, 2)), wait=wait, wait_at_most=at_most, after=after,
            )  # fmt: skip
            steps.append(replace(step, food=0) if prep else step)
        cooked = [s.number for s in steps if s.stage == "cook"]
        if cooked:
            taker = draw(st.sampled_from(cooked))
            steps[taker] = replace(steps[taker], food=0)
        dishes.append(tuple(steps))
    kitchen = Kitchen(
        cooks=draw(st.integers(1, 2)), attended=draw(st.sampled_from([1, 1, 2])), burners=draw(st.integers(1, 2)),
        ovens=draw(st.sampled_from([1, 1, 2])), pots=draw(st.integers(1, 2)), preheat=draw(st.integers(0, 2)),
        landing=draw(st.integers(1, 4)), filming=draw(st.integers(0, 1)),
    )  # fmt: skip
    keeps = tuple(draw(st.sampled_from([None, None, 1, 5])) for _ in range(2))
    return Case(dishes=tuple(dishes), keeps=keeps, kitchen=kitchen)
