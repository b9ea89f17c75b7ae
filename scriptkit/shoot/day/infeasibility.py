"""Why a meal cannot be scheduled, in words that a cook can act on: what contradicts what, and the least that would help."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from scriptkit.measure.durations import format_duration
from scriptkit.problems import Place, Problem, any_of, error
from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Dish, Kitchen, Meal, Step
from scriptkit.recipe.step_graph import graph_of
from scriptkit.recipe.yaml_writing import as_read, flow_text
from scriptkit.shoot.day.kitchen_constraints import draft_of
from scriptkit.shoot.day.scheduling_model import Impossible

_NODES = 200
"""For each thing that is tried; what cannot be told in them counts as no help."""
NEAR_SETTINGS_C = 28
"""Up to 50 °F apart, two bakes are done at one of the two settings (common practice, no source)."""
_LANDINGS_MIN = (5, 8, 10, 15, 20, 30, 45, 60)

Source = Dish | Meal


def why_not(source: Source, circle: Sequence[int] = (), *, proven: bool = True) -> list[Problem]:
    """Problems that say why no schedule was found. ``circle``: activities whose lags alone contradict one another.
    ``proven``: that there is none; else the search ended before it could tell."""
    kitchen = source.kitchen
    draft = draft_of(dishes_of_the_day(source), kitchen)
    if any(h.resource == "oven" for h in draft.holds) and kitchen.ovens < 1:
        return [
            error(
                source.place,
                "no-oven",
                "a step needs an oven and the kitchen has none",
                f"write {_written(kitchen, replace(kitchen, ovens=1))}",
            )
        ]
    if kitchen.burners < 1 and any(h.resource == "burner" for h in draft.holds):
        return [
            error(
                source.place,
                "no-burner",
                "a step needs a burner and the kitchen has none",
                f"write {_written(kitchen, replace(kitchen, burners=4))}",
            )
        ]
    for dish in dishes_of_the_day(source):
        if found := waiting_circle(dish):
            names = " → ".join(s.id for s in [*found, found[0]])
            return [
                error(
                    found[0].place,
                    "circle",
                    f"steps of {dish.name} wait for one another: {names}",
                    "check `from:` and `after:`",
                )
            ]
    in_circle = [draft.steps[i - 1] for i in circle if 1 <= i <= len(draft.steps)]
    if in_circle:
        names = ", ".join(dict.fromkeys(f"{s.id} of {d.name}" for d, s in in_circle))
        return [
            error(
                in_circle[0][1].place,
                "circle",
                f"these steps cannot follow one another in time: {names}",
                "one must wait for another for longer than `wait_at_most:` or `keeps:` allows",
            )
        ]
    return [_contradiction(source, proven or _possible(source) is False)]


def waiting_circle(dish: Dish) -> list[Step]:
    """Steps of the dish that wait for one another by `after:` and by the file's order; none where there is no such circle."""
    by_number = {s.number: s for s in dish.steps}
    before = {n: [by_number[e.before] for e in edges] for n, edges in graph_of(dish).into.items()}
    done: set[int] = set()

    def search(step: Step, path: list[Step]) -> list[Step]:
        if step in path:
            return path[path.index(step) :][::-1]
        if step.number in done:
            return []
        for other in before[step.number]:
            if found := search(other, [*path, step]):
                return found
        done.add(step.number)
        return []

    return next((found for s in dish.steps if (found := search(s, []))), [])


def _contradiction(source: Source, proven: bool) -> Problem:
    kitchen = source.kitchen
    who = (
        _together(source) if proven else f"no schedule of {source.name} was found, nor was it shown that there is none,"
    )
    has = ", ".join(
        f"{count} {name}{'' if count == 1 else 's'}"
        for count, name in ((kitchen.cooks, "cook"), (kitchen.burners, "burner"), (kitchen.ovens, "oven"))
    )
    helps = _reliefs(source)
    ways = [*_one_setting(source), *(_written(kitchen, one) for one in helps)]
    hint = (
        f"it can be done with {any_of(ways)}"
        if ways
        else "at the step that waits write a longer `wait_at_most:`, in the dish a longer `keeps:`, or cook one ahead"
    )
    hands = ": one attended task too many at a time" if replace(kitchen, cooks=kitchen.cooks + 1) in helps else ""
    return error(source.place, "no-schedule", f"{who} with {has}{hands}", hint)


def _together(source: Source) -> str:
    """Which of the dishes cannot be cooked together."""
    minutes = f"{source.kitchen.landing_ms / 60_000:g}"
    dishes = dishes_of_the_day(source)
    if not isinstance(source, Meal) or len(dishes) == 1:
        return f"no order keeps every time of {dishes[0].name}"
    for count in range(1, min(3, len(dishes))):
        for some in itertools.combinations(dishes, count):
            if _possible(replace(source, portions=tuple(p for p in source.portions if p.dish in some))) is False:
                names = " and ".join(d.name for d in some)
                if count == 1:
                    return f"no order keeps every time of {names}, even without the other dishes,"
                return f"{names} {_not_together(some, minutes)}"
    return f"the {len(dishes)} dishes {_not_together(dishes, minutes)}"


def _not_together(dishes: Sequence[Dish], landing_min: str) -> str:
    """How near to one another they cannot be ready: as the kitchen lands, or where one says how long it keeps, as it does."""
    if any(d.keeps_ms is not None for d in dishes):
        return "cannot be ready together, each for no longer than it keeps,"
    return f"cannot be ready within {landing_min} min of one another"


def _written(had: Kitchen, kitchen: Kitchen) -> str:
    """The key as it stands in the file of the dish or meal, with what was said there before."""
    return f"`{kitchen_text(had, kitchen)}`"


def kitchen_text(had: Kitchen, kitchen: Kitchen) -> str:
    """``kitchen: {burners: 2, landing: 4 min}``: all that is not as usual, or not as it was.

    >>> kitchen_text(Kitchen(), replace(Kitchen(burners=2), landing_ms=240_000))
    'kitchen: {burners: 2, landing: 4 min}'
    """
    usual = Kitchen()
    texts: dict[str, Callable[[Kitchen], object]] = {
        "cooks": lambda k: k.cooks, "attended": lambda k: k.attended, "burners": lambda k: k.burners, "ovens": lambda k: k.ovens,
        "vessels": lambda k: dict(k.vessels), "jug": lambda k: f"{k.jug_ml / 1000:g} l", "jug_fill": lambda k: round(k.jug_fill, 3),
        "preheat": lambda k: format_duration(k.preheat_ms), "landing": lambda k: format_duration(k.landing_ms),
        "filming": lambda k: format_duration(k.filming_ms),
    }  # fmt: skip
    changed = {name: text(kitchen) for name, text in texts.items() if text(kitchen) not in (text(usual), text(had))}
    kept = {n: text(kitchen) for n, text in texts.items() if text(usual) != text(kitchen) == text(had)}
    back = {n: text(kitchen) for n, text in texts.items() if text(usual) == text(kitchen) != text(had)}
    both = kept | changed | back
    return f"kitchen: {flow_text(as_read({n: both[n] for n in texts if n in both}))}"


def _one_setting(source: Source) -> Iterator[str]:
    """The line that bakes two dishes of the meal at one temperature, with fewest steps to change and then the lower one; nothing where
    the two are far apart, or where it does not help."""
    if not isinstance(source, Meal):
        return
    baked = [(d, s) for d in served_dishes(source) for s in d.steps if s.reading.in_the_oven]
    heats = [h for h in (s.reading.heat for _, s in baked) if h.written and h.celsius is not None]
    by_key = {h.setting_key: h for h in heats}
    others = {key: [(d, s) for d, s in baked if s.reading.heat.setting_key != key] for key in by_key}
    for key in sorted(by_key, key=lambda k: (len(others[k]), by_key[k].celsius or 0.0)):
        one = by_key[key]
        apart = [abs((s.reading.heat.celsius or 0.0) - (one.celsius or 0.0)) for _, s in others[key]]
        if not apart or max(apart) > NEAR_SETTINGS_C:
            continue
        if _possible(_baked_at(source, one.setting, [s.place for _, s in others[key]])):
            where = " and ".join(f"step {s.number} ({s.id}) of {d.name}" for d, s in others[key])
            yield f"`heat: {flow_text(one.setting)}` at {where} too (go by its colour)"
            return


def _baked_at(meal: Meal, setting: str, places: Sequence[Place]) -> Meal:
    """The same meal with the steps at these places at one setting of the oven."""
    portions = []
    for portion in meal.portions:
        steps = tuple(_at_heat(s, setting) if s.place in places else s for s in portion.dish.steps)
        portions.append(replace(portion, dish=replace(portion.dish, steps=steps)))
    return replace(meal, portions=tuple(portions))


def _at_heat(step: Step, setting: str) -> Step:
    return replace(step, heat=setting, reading=replace(step.reading, written_heat=setting))


Relief = tuple[str, Callable[[Kitchen], Kitchen]]
"""What there is more of, and the kitchen that has it."""


def _reliefs(source: Source) -> list[Kitchen]:
    """Kitchens that would do, the least more of each kind; two things together where none alone does."""
    kitchen = source.kitchen

    def possible(*reliefs: Relief) -> bool:
        changed = kitchen
        for _, change in reliefs:
            changed = change(changed)
        return bool(_possible(replace(source, kitchen=changed)))

    found = [relief[1](kitchen) for relief in _more(source) if possible(relief)]
    narrow = int(kitchen.landing_ms // 60_000)
    wider = [m for m in _LANDINGS_MIN if m > narrow]
    wide = next((m for m in wider if possible(_landing(m))), None)
    if wide is not None:
        while wide - narrow > 1:  # `narrow` does not do, `wide` does
            middle = (narrow + wide) // 2
            narrow, wide = (narrow, middle) if possible(_landing(middle)) else (middle, wide)
        found.insert(0, _landing(wide)[1](kitchen))
    if found:
        return found
    several = [*_more(source), *(_landing(m) for m in wider[:3])]
    pairs = (p for p in itertools.combinations(several, 2) if p[0][0] != p[1][0])
    return next(([pair[1][1](pair[0][1](kitchen))] for pair in pairs if possible(*pair)), [])


def _landing(minutes: int) -> Relief:
    return "landing", lambda k: replace(k, landing_ms=minutes * 60_000)


def _more(source: Source) -> list[Relief]:
    """One more of each thing that there is."""
    found: list[Relief] = [
        ("cooks", lambda k: replace(k, cooks=k.cooks + 1)),
        ("burners", lambda k: replace(k, burners=k.burners + 1)),
        ("ovens", lambda k: replace(k, ovens=k.ovens + 1)),
    ]
    for name in _shared(source):
        counts = dict(source.kitchen.vessels)
        written = next((n for n in counts if n.casefold() == name.casefold()), name)
        counts[written] = counts.get(written, 1) + 1
        vessels = tuple(counts.items())
        found.append(("vessels", lambda k, v=vessels: replace(k, vessels=v)))  # type: ignore[misc]
    return found


def _shared(source: Source) -> list[str]:
    """Vessels that more than one dish, or one dish twice, puts on the heat or fills."""
    runs = [
        vessel
        for dish in dishes_of_the_day(source)
        for vessel, _ in itertools.groupby(
            s.reading.written_vessel
            for s in dish.steps
            if s.reading.written_vessel and (s.stage != "prep" or s.reading.takes_a_burner)
        )
    ]
    folded = [r.casefold() for r in runs]
    return list({r.casefold(): r for r in runs if folded.count(r.casefold()) > 1}.values())


def _possible(source: Source) -> bool | None:
    """Whether there is a schedule; None where the nodes do not suffice to tell."""
    from scriptkit.shoot.day.sequencing import shortest

    try:
        return (
            True
            if shortest(draft_of(dishes_of_the_day(source), source.kitchen).network, most_nodes=_NODES, first=True)
            else None
        )
    except Impossible:
        return False
