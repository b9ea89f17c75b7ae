"""The schedule as a picture: a lane for each person, vessel and oven, a bar for each task."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.shoot.day.schedule import Schedule, Task

WIDTH = 960
LANE_HEIGHT = 34
LABEL_WIDTH = 150
TOP = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar in pixels. ``dish`` counts the dishes from 0, for its colour; ``passive``: the food's time, not the cook's."""

    x: float
    width: float
    label: str
    title: str
    dish: int
    passive: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """``y`` is its top, in pixels of the picture."""

    name: str
    y: int
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Everything that the drawing needs, in pixels; ``marks`` are (x, words) on the line of time."""

    width: int
    height: int
    lanes: tuple[Lane, ...]
    marks: tuple[tuple[float, str], ...]
    dishes: tuple[str, ...]


def chart_of(schedule: Schedule, serve_at_min: int | None = None) -> Chart:
    """``serve_at_min``: minutes after midnight at which it is served, for clock times on the marks."""
    dishes = tuple(dict.fromkeys(t.dish.name for t in schedule.tasks))
    length = max(schedule.length_min, 1.0)
    scale = (WIDTH - LABEL_WIDTH - 10) / length

    def bar(task: Task, start: float, end: float, passive: bool) -> Bar:
        width = max((end - start) * scale, 2.0)
        title = f"{task.dish.name}: {task.step.do} ({clock(start, schedule, serve_at_min)}–{clock(end, schedule, serve_at_min)})"
        return Bar(
            x=round(LABEL_WIDTH + start * scale, 1),
            width=round(width, 1),
            label=_shortened(task.step.id, width),
            title=title,
            dish=dishes.index(task.dish.name),
            passive=passive,
        )

    names: dict[str, list[Bar]] = {}
    for number in sorted({t.cook for t in schedule.tasks if t.cook}):
        names[f"cook {number}"] = [
            bar(t, t.start_min, t.hands_end_min, False) for t in schedule.tasks if t.cook == number
        ]
    for vessel in dict.fromkeys(t.vessel for t in schedule.tasks if t.vessel):
        mine = [t for t in schedule.tasks if t.vessel == vessel]
        names[vessel] = [bar(t, t.start_min, t.vessel_free_min, True) for t in mine]
    oven = [t for t in schedule.tasks if t.oven]
    if oven:
        names["oven"] = [bar(t, t.start_min, t.end_min, True) for t in oven]
    rows = [(name if n == 0 else "", row) for name, bars in names.items() for n, row in enumerate(_rows(bars))]
    lanes = tuple(Lane(name=name, y=TOP + n * LANE_HEIGHT, bars=tuple(row)) for n, (name, row) in enumerate(rows))
    marks = tuple(
        (round(LABEL_WIDTH + m * scale, 1), clock(m, schedule, serve_at_min))
        for m in _mark_minutes(schedule.length_min)
    )
    return Chart(width=WIDTH, height=TOP + len(lanes) * LANE_HEIGHT + 10, lanes=lanes, marks=marks, dishes=dishes)


def _rows(bars: Sequence[Bar]) -> list[list[Bar]]:
    """Bars that overlap (two pots of one name, a shared oven) in rows one under the other."""
    rows: list[list[Bar]] = []
    for bar in sorted(bars, key=lambda b: b.x):
        row = next((r for r in rows if r[-1].x + r[-1].width <= bar.x + 0.5), None)
        if row is None:
            rows.append([bar])
        else:
            row.append(bar)
    return rows


def _mark_minutes(length: float) -> list[float]:
    step = next((s for s in (5, 10, 15, 30, 60) if length / s <= 12), 120)
    return [float(m) for m in range(0, int(length) + 1, step)]


def _shortened(words: str, width: float) -> str:
    room = int((width - 8) / 7)  # beside the bar's edges
    return words if len(words) <= room else (words[: room - 1] + "…" if room > 3 else "")


def clock(minute: float, schedule: Schedule, serve_at_min: int | None) -> str:
    """``+12 min`` from the start, or the time of day where the serving's is known; half minutes as ``:30``."""
    if serve_at_min is None:
        return f"{minute:g} min"
    seconds = round((serve_at_min - schedule.length_min + minute) * 60) % 86_400
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours:02d}:{minutes:02d}" + (f":{seconds:02d}" if seconds else "")
