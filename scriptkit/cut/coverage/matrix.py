"""The matrix of a recipe's additions against shots, circled takes and the cut; and what of it is still empty."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from scriptkit.cut.coverage.corrected import corrected_by
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.cut.placement import Cut
from scriptkit.measure.durations import format_clock
from scriptkit.problems import Place, Problem, error, note, warning
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Meal, Step
from scriptkit.shoot.day.gates import Gates
from scriptkit.shoot.log.log_cells import HOLD
from scriptkit.shoot.log.take_log import Take, rate_of
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.cut.coverage.addition_effects import AdditionEffect
    from scriptkit.cut.coverage.spoken_additions import SpokenAddition

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """Before ``step`` is done, which works on them, the additions of ``open`` have no circled take. ``once``: it cannot be repeated;
    ``filmed``: something of it is filmed, so that it is too late for them."""

    dish: Dish
    step: Step
    open: tuple[AdditionStatus, ...]
    once: bool
    filmed: bool


def matrix_of(
    source: Dish | Meal,
    shots: Sequence[Shot],
    *,
    takes: Sequence[Take] | None = None,
    cut: Cut | None = None,
    heard: Sequence[SpokenAddition] | None = None,
    effects: Sequence[AdditionEffect] | None = None,
) -> tuple[AdditionStatus, ...]:
    """A row for each addition, in the order of the shoot: all prep first, then each dish cooked."""
    of_effects = {e.addition.place: e for e in effects or ()}
    corrections = corrected_by(source)
    of_shots = _by_place((a, shot) for shot in shots for a in shot.additions)
    of_takes = _by_place((a, take) for take in takes or () for a in take.additions)
    of_heard = {h.addition.place: h for h in heard or ()}
    filmed = filmed_shots(source, takes or ())
    too_late = Gates(shots).too_late(filmed) if filmed else frozenset()
    begun = {shot.step.place for shot in filmed if shot.step is not None}
    placed = {p.step.place: p.time_ms for p in cut.placements} if cut is not None else {}
    begins = cut.begins_ms if cut is not None else {}
    return tuple(
        AdditionStatus(
            dish=dish,
            step=step,
            addition=addition,
            shots=of_shots.get(addition.place, ()),
            takes=None if takes is None else of_takes.get(addition.place, ()),
            time_ms=placed.get(step.place),
            begins_ms=begins.get(step.place),
            heard=of_heard.get(addition.place),
            effect=of_effects.get(addition.place),
            corrected=corrections.has(_told_ms(of_effects.get(addition.place)), addition.ingredient.name),
            too_late=(dish.file, step.number) in too_late,
            begun=step.place in begun,
        )
        for dish, step, addition in _additions(source)
    )


def _additions(source: Dish | Meal) -> Iterator[tuple[Dish, Step, Addition]]:
    dishes = dishes_of_the_day(source)
    for prep in (True, False):
        for dish in dishes:
            for step in dish.in_shoot_order:
                if (step.stage == "prep") is prep:
                    yield from ((dish, step, addition) for addition in step.additions)


def _by_place(pairs: Iterable[tuple[Addition, T]]) -> Mapping[Place, tuple[T, ...]]:
    found: dict[Place, tuple[T, ...]] = {}
    for addition, thing in pairs:
        found[addition.place] = (*found.get(addition.place, ()), thing)
    return found


def _told_ms(effect: AdditionEffect | None) -> int | None:
    return None if effect is None else effect.time_ms


def filmed_shots(source: Dish | Meal, takes: Iterable[Take]) -> tuple[Shot, ...]:
    """The shots of which the log has a take in which anything was done."""
    rate = rate_of(source)
    return tuple({take.shot.number: take.shot for take in takes if take.films(rate)}.values())


def gates_of(
    rows: Sequence[AdditionStatus],
    shots: Sequence[Shot],
    filmed: Iterable[Shot] = (),
    day: Callable[[], Sequence[Shot]] | None = None,
) -> tuple[Gate, ...]:
    """Before each step that works on what another made: the additions that are due before it and still have no circled take, in the order
    of the day. ``day`` tells it, and is asked only where more than one step waits for an addition; left out, it is that of ``shots``."""
    gates = []
    open_rows = {row.addition.place: row for row in rows if row.circled is False}
    of_the_day = Gates(shots)
    waits = [of_the_day.too_late_from(row.addition) for row in open_rows.values()]
    begun = {shot.step.place for shot in filmed if shot.step is not None}
    gated: set[Place] = set()
    for shot in day() if day is not None and any(len(one) > 1 for one in waits) else shots:
        step = shot.step
        if step is not None and shot.dish is not None and step.place not in gated:
            gated.add(step.place)
            due = (open_rows.get(one.addition.place) for one in of_the_day.due_before(shot))
            open_ = tuple(row for row in due if row is not None)
            once = any(s.irreversible for s in shots if s.step is step)
            gates.append(Gate(dish=shot.dish, step=step, open=open_, once=once, filmed=step.place in begun))
    return tuple(gates)


def gaps_of(rows: Sequence[AdditionStatus], admitted: Iterable[Addition] = ()) -> tuple[AdditionStatus, ...]:
    """Additions that nobody can be sure the viewer learns of: without a shot, without a circled take, not heard, or
    admitted by the maker. What the cook has accepted is no gap any more."""
    places = {addition.place for addition in admitted}
    return tuple(
        row
        for row in rows
        if not row.accepted and not (row.corrected and row.not_there) and (_is_gap(row) or row.addition.place in places)
    )


def _is_gap(row: AdditionStatus) -> bool:
    if row.seen is not None and not row.not_there:
        return not row.seen
    return not row.shots or row.circled is False or (row.heard is not None and row.spoken_ms is None)


def matrix_problems(rows: Sequence[AdditionStatus]) -> list[Problem]:
    """One for each empty cell."""
    return [problem for row in rows for problem in (_told_once(row) if row.accepted else _told(row))]


def _told_once(row: AdditionStatus) -> Iterator[Problem]:
    if _is_gap(row):
        yield note(row.addition.place, "unfilmed", f"{row.name}, {row.where}: not filmed; the overlay says it instead")


def _told(row: AdditionStatus) -> Iterator[Problem]:
    place = row.addition.place
    if row.seen and not row.not_there:
        return
    accept = f"or write `unfilmed: [{row.addition.ingredient.key}]` at the step, and the overlay says it"
    if not row.shots:
        yield error(
            place,
            "no-shot",
            f"{row.name}, {row.where}: no shot shows it go in",
            "give the step `screen:`, or the ingredient to `of:` of one of its `shots:`",
        )
    if row.circled is False:
        held = [take for take in row.takes or () if take.verdict == HOLD]
        seen = (
            "circled, but its clip is not there"
            if row.clip_missing
            else (
                "no take"
                if not row.takes
                else f"{len(row.takes)} take{'' if len(row.takes) == 1 else 's'}, none circled"
            )
        )
        hint = (
            f"take {held[-1].number or '?'} is on hold: circle it if it will do" if held else "see the coverage report"
        )
        if row.clip_missing:
            hint = "look for the clip on the card, or see the coverage report"
        if row.still_to_shoot and not held and not row.clip_missing:
            hint = "film it as it goes in; if that is too late, see the coverage report"
        yield warning(place, "no-circled-take", f"{row.name}, {row.where}: {seen}", f"{hint}, {accept}")
    if row.effect is not None and row.not_there:
        yield from _told_missing(row)
    elif row.seen is False:
        yield warning(
            place,
            "not-seen",
            f"{row.name}, {row.where}: not seen to go in, as you answered",
            f"see the coverage report, {accept}",
        )
    elif row.not_named and row.heard is not None and row.heard.time_ms is not None:
        yield warning(
            place,
            "not-named",
            f"{row.name}, {row.where}: not named, only “{row.heard.word}” is said at {format_clock(row.heard.time_ms)}",
            f"say its name; see the coverage report, {accept}",
        )
    elif row.heard is not None and row.spoken_ms is None:
        at = f" (about {format_clock(row.begins_ms)})" if row.begins_ms is not None else ""
        yield warning(
            place,
            "not-heard",
            f"{row.name}, {row.where}{at}: not heard in the cut",
            f"look whether it is seen there; if not, see the coverage report, {accept}",
        )


_MISSING = {
    "left out": "left out",
    "later": "to go in later, and nothing says that it did",
    "instead": "replaced by something else",
}


def _told_missing(row: AdditionStatus) -> Iterator[Problem]:
    """That the addition is said not to be in the dish; a note where the file corrects it."""
    effect = row.effect
    time_ms = _told_ms(effect)
    if effect is None or time_ms is None:
        return
    at = format_clock(time_ms)
    message = f"{row.name}, {row.where}, is said at {at} to be {_MISSING[effect.effect]}: “{_short(effect.words)}”"
    if row.corrected:
        yield note(row.addition.place, "said-left-out", f"{message}; the file corrects it")
        return
    hint = (
        f"see the coverage report, or accept the correction: run coverage again with the same files and `--accept {at}`"
    )
    yield warning(row.addition.place, "said-left-out", message, hint)


def _short(text: str) -> str:
    return text if len(text) <= 80 else f"{text[:79].rstrip()}…"
