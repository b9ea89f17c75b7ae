"""What of the planned film the day does not allow: beauty shots gone cold, battery, card, daylight, the hood."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from scriptkit.measure.durations import format_duration
from scriptkit.measure.numbers import round_half_up
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.recipe.dish import Dish, Film, Meal
from scriptkit.recipe.film_settings import film_of
from scriptkit.shoot.day.kitchen_constraints import hot_steps
from scriptkit.shoot.day.schedule import Schedule
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING
from scriptkit.shoot.script.script import Passage, Script
from scriptkit.shoot.shots.framing import FIRST_BITE, overhead
from scriptkit.shoot.shots.shots import Shot

Source = Dish | Meal


def recorded_ms(shots: Sequence[Shot], film: Film) -> int:
    """How long the camera runs for the shots: each with its handles, what can be repeated as often as is usual."""
    return round_half_up(
        sum((s.planned_ms + 2 * film.handles_ms) * (1 if s.irreversible else film.takes) for s in shots)
    )


def _shots(passage: Passage) -> list[Shot]:
    return [row.shot for row in passage.rows]


_ALMOST = 1e-6


def cold_beauty(source: Source, script: Script, schedule: Schedule | None) -> Iterator[Problem]:
    """Minutes from plating to the beauty shot: what is still done in the kitchen, then the beauties of the cut in turn. What lands
    too early is told as that; and a dish that is cold is told once."""
    if schedule is None:
        return
    told = {one.dish.file for one in schedule.late if one.then is None}
    ready_min: dict[str, float] = {}
    for dish in script.plan.dishes:
        mine = [t for t in schedule.tasks if t.dish is dish and t.step.number in hot_steps(dish)]
        ends = [t.end_min for t in mine if t.step.reading.plates_up] or [t.end_min for t in mine][-1:]
        if ends and not film_of(source, dish).heroes:
            ready_min[dish.file] = max(ends)
    filmed_min = (
        schedule.length_min
    )  # the beauties are filmed first, one after the other, and the bites taken after them
    for passage in script.passages:
        segment = passage.segment
        if segment.kind not in (CLOSING, MEAL_CLOSING):
            continue
        on_it = [d for d in script.plan.dishes if segment.kind == MEAL_CLOSING or d is segment.dish]
        film = film_of(source, segment.dish) if segment.dish else source.film
        since = [(ready_min[d.file], d) for d in on_it if d.file in ready_min]
        if since and not film.heroes:
            earliest, dish = min(since, key=lambda s: s[0])
            waited = filmed_min - earliest
            limit = film.beauty_within_ms / 60_000
            whole = math.ceil(waited - _ALMOST)  # a kitchen counts in minutes
            if waited > limit and dish.file not in told:
                told.add(dish.file)
                yield warning(
                    dish.place if segment.dish else source.place,
                    "cold-beauty",
                    f"{_min(whole)} pass from plating ({dish.short}) to the beauty shot of "
                    f"{'the whole plate' if segment.kind == MEAL_CLOSING else 'it'}, {_min(whole - limit)} over the {_min(limit)}",
                    f"plate it last, film it first, make a twin for the beauty (`film: {{heroes: 1}}`), or allow it: `film: {{beauty_within: {whole} min}}`",
                )
        filmed_min += recorded_ms([s for s in _shots(passage) if s.look.kind != FIRST_BITE], film) / 60_000


def budgets(source: Source, script: Script, schedule: Schedule | None) -> Iterator[Problem]:
    """Battery, card and daylight, where the file states what there is."""
    film = source.film
    place = source.place
    run_ms = sum(
        recorded_ms(_shots(p), film_of(source, p.segment.dish) if p.segment.dish else film) for p in script.passages
    )
    counted = f"{format_duration(_whole_s(run_ms))} are recorded with handles and takes"
    if film.battery_ms is not None and run_ms > film.battery_ms:
        yield _short(
            place, "battery", f"{counted}, and the batteries last {format_duration(film.battery_ms)}",
            format_duration(_whole_s(run_ms - film.battery_ms)), "charge more, or take fewer takes (`film:` `takes:`)",
        )  # fmt: skip
    if film.card_gb is not None and film.bitrate_mbit is not None:
        need_gb = card_gb(run_ms, film.bitrate_mbit)
        if need_gb > film.card_gb:
            yield _short(
                place, "card", f"{counted}: {need_gb:.1f} GB at {film.bitrate_mbit:g} Mb/s, and the cards hold {film.card_gb:g} GB",
                f"{need_gb - film.card_gb:.1f} GB", "take another card, or take fewer takes (`film:` `takes:`)",
            )  # fmt: skip
    elif film.card_gb is not None:
        yield note(place, "card", "what fits on the cards cannot be told", "write `film: {bitrate_mbit: 100}`")
    if film.daylight_ms is not None:
        yield from _daylight(source, script, schedule, film.daylight_ms)


def card_gb(run_ms: int, bitrate_mbit: float) -> float:
    """Gigabytes (10⁹ bytes) of a recording: minutes × Mb/s × 60 ÷ 8 ÷ 1000."""
    return run_ms / 1000 * bitrate_mbit / 8 / 1000


def _daylight(source: Source, script: Script, schedule: Schedule | None, light_ms: int) -> Iterator[Problem]:
    after = [p for p in script.passages if p.segment.step is None]
    beauty_ms = sum(
        recorded_ms(_shots(p), film_of(source, p.segment.dish) if p.segment.dish else source.film) for p in after
    )
    need_ms = round_half_up(schedule.length_min * 60_000) + beauty_ms if schedule else 0
    if need_ms > light_ms:
        yield _short(
            source.place, "daylight",
            f"cooking and beauty shots take {format_duration(_whole_min(need_ms))}, and the light lasts {format_duration(light_ms)}",
            format_duration(_whole_min(need_ms - light_ms)), "begin earlier, light it with a lamp, or film the opening another day",
        )  # fmt: skip


def _short(place: Place, code: str, message: str, by: str, hint: str) -> Problem:
    return warning(place, code, f"{message}: {by} short", hint)


def hood_in_the_way(source: Source, script: Script) -> Iterator[Problem]:
    """Steps on a burner under a hood that an overhead shot is planned of."""
    for passage in script.passages:
        step, dish = passage.segment.step, passage.segment.dish
        if step is None or dish is None or not film_of(source, dish).hood or not step.reading.takes_a_burner:
            continue
        under = [shot.slate for shot in _shots(passage) if overhead(shot.look)]
        if under:
            yield warning(
                step.place,
                "under-the-hood",
                f"the hood is in the way of the overhead rig over the {step.reading.written_vessel} ({'shot' if len(under) == 1 else 'shots'} {', '.join(under)})",
                "write `angle: three-quarter` for it, or film it off the hob",
            )


def _min(minutes: float) -> str:
    return format_duration(round(minutes * 60) * 1000)


def _whole_s(ms: int) -> int:
    return -(-ms // 1000) * 1000


def _whole_min(ms: int) -> int:
    return -(-ms // 60_000) * 60_000
