"""Markers that an editor set in the cut: exact times of the steps, from CSV or an OpenTimelineIO file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.placement import MARKER, Cut, Placement
from scriptkit.cut.step_names import NotAStep, Pair, StepNames, steps_of
from scriptkit.cut.timeline import NotATimeline, timeline_markers
from scriptkit.cut.transcript.timestamps import moment_ms
from scriptkit.measure.timecode import RATES, FrameRate, NotATimecode, frames_of, frames_to_ms
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note, printable, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.log.csv_cells import Cell, decoded, rows_of
from scriptkit.shoot.log.log_cells import folded, unguarded

# What the columns of marker lists are called, in plain words of the trade; the first that a file has is taken.
_NAME = (
    "step",
    "marker name",
    "marker",
    "name",
    "title",
    "label",
    "comment",
    "comments",
    "note",
    "notes",
    "description",
    "text",
)
_TIME = (
    "time",
    "timecode",
    "time code",
    "tc",
    "in",
    "start",
    "start time",
    "tc in",
    "timecode in",
    "record in",
    "position",
    "location",
    "seconds",
)
_DISH = ("dish",)
_LABEL = re.compile(r"\d{1,3}:\d\d:\d\d[:;]\d{2,3}|\d{1,3}:\d\d:\d\d;\d\d")
HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class _Marker:
    names: tuple[str, ...]
    dish: str
    ms: int
    place: Place


def read_markers(raw: bytes, file: str, source: Dish | Meal) -> Cut:
    """The steps that the markers of a CSV file name. Raises CannotDo where it has no times, or names no step at all."""
    text = decoded(raw, file)
    lines = {file: tuple(text.splitlines())}
    problems: list[Problem] = []
    rows = rows_of(text, file, (*_NAME, *_TIME))
    if not rows:
        raise CannotDo(
            [error(Place(file), "empty-file", "the marker list is empty", "export it from the editor again")]
        )
    rate = RATES[source.film.frame_rate]
    header = {folded(cell.text): n for n, cell in reversed(list(enumerate(rows[0])))}
    time_column = next((header[name] for name in _TIME if name in header), None)
    names = [header[name] for name in _NAME if name in header]
    if time_column is None or not names:
        names, time_column = [], _column_of_times(rows, rate)
        if time_column is None:
            hint = "its first line names the columns, such as `step,time`; times as 1:05 or as time code"
            raise CannotDo([error(Place(file), "no-times", "no column of the marker list holds times", hint)], lines)
        body = rows
    else:
        body = rows[1:]
    markers, labelled = [], False
    dish_column = next((header[name] for name in _DISH if name in header), None) if names else None
    for row in body:
        cell = row[time_column] if time_column < len(row) else Cell("", row[0].place)
        try:
            ms = _ms(cell.text, rate)
        except NotATimecode as wrong:
            problems.append(error(cell.place, "bad-timecode", str(wrong), wrong.hint))
            continue
        labelled = labelled or _LABEL.fullmatch(cell.text.strip()) is not None
        told = tuple(unguarded(row[n].text) for n in (names or range(len(row))) if n < len(row) and n != time_column)
        dish = unguarded(row[dish_column].text) if dish_column is not None and dish_column < len(row) else ""
        markers.append(_Marker(tuple(t for t in told if t), dish, ms, row[0].place))
    return _cut(source, markers, problems, file, lines, labelled=labelled)


def read_timeline(text: str, file: str, source: Dish | Meal) -> Cut:
    """The steps that the markers of an OpenTimelineIO file name, wherever in it they are set. Raises CannotDo where the file
    cannot be read."""
    try:
        found = timeline_markers(text)
    except NotATimeline as wrong:
        message = f"the timeline cannot be read: {printable(str(wrong))}"
        raise CannotDo([error(Place(file), "bad-timeline", message, "export it from the editor again")]) from None
    markers = [_Marker(names, "", max(round(seconds * 1000), 0), Place(file)) for names, seconds in found]
    return _cut(source, markers, [], file, {}, labelled=False)


def _column_of_times(rows: Sequence[Sequence[Cell]], rate: FrameRate) -> int | None:
    """The column that holds times in most rows, where there is one."""
    width = max(len(row) for row in rows)

    def times(n: int) -> int:
        return sum(_is_time(row[n].text, rate) for row in rows if n < len(row))

    best = max(range(width), key=times)
    return best if times(best) * 2 > len(rows) else None


def _is_time(text: str, rate: FrameRate) -> bool:
    try:
        _ms(text, rate)
    except NotATimecode:
        return False
    return True


def _ms(text: str, rate: FrameRate) -> int:
    """Milliseconds of time code at the film's rate, of a clock, or of seconds. Raises NotATimecode."""
    text = text.strip()
    if _LABEL.fullmatch(text):
        return frames_to_ms(frames_of(text, rate), rate)
    ms = moment_ms(text)
    if ms is None:
        raise NotATimecode(f"“{text}” is not a time", "write 1:05, 65.2, or time code such as 00:01:05:05")
    return ms


def _cut(
    source: Dish | Meal, markers: Sequence[_Marker], problems: list[Problem], file: str,
    lines: dict[str, tuple[str, ...]], *, labelled: bool,
) -> Cut:  # fmt: skip
    pairs = steps_of(source)
    names = StepNames(pairs)
    starts_ms = 0
    if labelled and markers and (hours := min(m.ms for m in markers) // HOUR_MS):
        starts_ms = hours * HOUR_MS
        problems.append(
            note(markers[0].place, "starts-later", f"time code of the cut is taken to start at {hours:02d}:00:00:00",
                 "markers count from there")
        )  # fmt: skip
    times: dict[int, _Marker] = {}
    for marker in markers:
        found = _named(names, marker)
        if isinstance(found, NotAStep):
            near = "did you mean" in found.hint or "dish" in found.hint
            tell = warning if near else note
            problems.append(tell(marker.place, "unknown-step", str(found), found.hint))
            continue
        n = next(k for k, pair in enumerate(pairs) if pair[1] is found[1])
        if n in times:
            message = f"step “{found[1].id}” has a second marker; the first one counts"
            problems.append(warning(marker.place, "twice", message, "delete one of them"))
            continue
        times[n] = marker
    if not times:
        hint = f"name markers after steps: {', '.join(p[1].id for p in pairs[:4])} …"
        raise CannotDo(
            in_order([*problems, error(Place(file), "no-markers", "no marker names a step of the recipe", hint)]), lines
        )
    return Cut(
        title=source.name,
        length_ms=0,
        placements=tuple(
            Placement(dish=dish, step=step, time_ms=times[n].ms - starts_ms, confidence=1.0, known_from=MARKER)
            if n in times
            else Placement(dish=dish, step=step, time_ms=None, confidence=0.0, known_from=MARKER)
            for n, (dish, step) in enumerate(pairs)
        ),
        confidence=len(times) / len(pairs),
        problems=tuple(in_order(problems)),
    )


def _named(names: StepNames, marker: _Marker) -> Pair | NotAStep:
    """The step that any of the marker's texts names, alone or after its dish: ``bisque: blend``."""
    wrong = NotAStep("a marker has no name", "name it after a step")
    for name in marker.names:
        dish, colon, step = name.partition(":")
        for words, of in ((name, marker.dish), *([(step.strip(), dish.strip())] if colon else [])):
            try:
                return names.find(words, of)
            except NotAStep as told:
                wrong = told if "did you mean" not in wrong.hint else wrong
    return wrong
