"""Reading a take log: every take of it, placed by step and additions, and everything that is wrong with it, cell by cell.

A log may be of an older version of the recipe. Rows of what the recipe does not have are named and left out, the others are read; where
no row belongs to the recipe, that is an error.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from scriptkit.measure.timecode import FrameRate
from scriptkit.problems import CannotDo, Place, Problem, any_of, error, in_order, nearest, note, warning
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Meal, Step
from scriptkit.shoot.log.csv_cells import Cell, decoded, rows_of
from scriptkit.shoot.log.log_cells import (
    WEIGHED,
    NotACell,
    folded,
    names_in,
    recorded_at,
    time_code,
    unguarded,
    verdict,
    weight_g,
    whole_number,
)
from scriptkit.shoot.log.take_log import (
    COLUMNS,
    LONGEST_OVER_MIDNIGHT_S,
    Take,
    TakeLog,
    Weighing,
    day_frames,
    overlaps,
    rate_of,
    split_slate,
)
from scriptkit.shoot.shots.shots import Shot

T = TypeVar("T")

MOST_NAMED = 12
"""Rows that one message names."""


def read_log(raw: bytes, file: str, source: Dish | Meal, shots: Sequence[Shot]) -> TakeLog:
    """Every take of the log with what is wrong with it. Raises CannotDo where it cannot be read at all."""
    text = decoded(raw, file)
    lines = tuple(text.splitlines())
    try:
        rows = rows_of(text, file, COLUMNS)
    except CannotDo as wrong:
        raise CannotDo(wrong.problems, {file: lines}) from None
    if not rows:
        raise CannotDo(
            [error(Place(file), "empty-log", "the log is empty", f"its first line names {', '.join(COLUMNS)}")]
        )
    reader = _Reader(source, shots, rate_of(source))
    columns = reader.header(rows[0])
    if any(p.severity == "error" for p in reader.problems):
        raise CannotDo(in_order(reader.problems), {file: lines})
    for row in rows[1:]:
        if row is rows[-1] and len(row) < len(rows[0]) and not text.endswith(("\n", "\r")):
            reader.tell(
                row[-1].place, "truncated",
                f"the last line has {len(row)} of {len(rows[0])} cells: the log is cut off",
                "save the log again from the page or the spreadsheet",
            )  # fmt: skip
            continue
        reader.row({name: row[n] for name, n in columns.items() if n < len(row)}, row[0].place)
    reader.whole_log()
    takes = tuple(reader.takes)
    problems = tuple(in_order([*reader.problems, *overlaps(takes, reader.rate)]))
    return TakeLog(takes=takes, problems=problems, lines=lines, weighings=tuple(reader.weighings.values()))


@dataclass(frozen=True, slots=True)
class _Unmatched:
    """One thing that rows name and the recipe does not have: where first, and the names of the rows."""

    place: Place
    code: str
    message: str
    hint: str
    rows: list[str]

    def problem(self, *, read: bool) -> Problem:
        """A warning that names the rows where others were ``read``, else an error."""
        names = list(dict.fromkeys(self.rows))
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        listed = f"{', '.join(names[:MOST_NAMED])}{more}"
        if read:
            return warning(self.place, self.code, f"{self.message}; left out: {listed}", self.hint)
        return error(self.place, self.code, f"{self.message} ({listed})", self.hint)


def _row_name(text: Callable[[str], str], place: Place) -> str:
    """``3A take 2``; of a row that names no slate its line."""
    slate = "".join(f"{text('scene')}{text('setup')}".split())
    if folded(text("verdict")) == WEIGHED:
        return f"the weight in line {place.line}"
    return f"{slate} take {text('take')}".removesuffix(" take ") if slate else f"line {place.line}"


class _Reader:
    """One reading: what the log may name, the takes so far, and the problems found."""

    def __init__(self, source: Dish | Meal, shots: Sequence[Shot], rate: FrameRate) -> None:
        self.shots = shots
        self.rate = rate
        self.dishes = dishes_of_the_day(source)
        self.titles = {folded(name): name for name in (source.name, *(d.name for d in self.dishes))}
        self.title = source.name
        self.by_slate = {shot.slate: shot for shot in shots}
        self.takes: list[Take] = []
        self.weighings: dict[tuple[str, int], Weighing] = {}
        """The last of each thing, by the dish's file and the addition's number; of a dish as cooked, 0."""
        self.problems: list[Problem] = []
        self.unmatched: dict[tuple[str, str], _Unmatched] = {}
        """What rows name and the recipe does not have, by code and message."""
        self.row_name = ""
        self.moved: list[Take] = []

    def tell(self, place: Place, code: str, message: str, hint: str = "") -> None:
        self.problems.append(error(place, code, message, hint))

    def not_here(self, place: Place, code: str, message: str, hint: str) -> None:
        """The row names what the recipe does not have (any longer)."""
        found = self.unmatched.setdefault((code, message), _Unmatched(place, code, message, hint, []))
        found.rows.append(self.row_name)

    def header(self, row: Sequence[Cell]) -> dict[str, int]:
        """Which column stands where."""
        columns: dict[str, int] = {}
        strange: list[Cell] = []
        for n, cell in enumerate(row):
            name = folded(cell.text)
            if name in columns:
                self.tell(
                    cell.place, "column-twice", f"the column “{name}” stands there twice", "leave one of them out"
                )
            elif name in COLUMNS:
                columns[name] = n
            elif name:
                strange.append(cell)
        missing = [name for name in COLUMNS if name not in columns]
        for cell in strange:
            if meant := nearest(cell.text.strip(), missing, most=1):
                self.problems.append(
                    note(cell.place, "unknown-column", f"the column “{cell.text.strip()}” is not read", f"did you mean {meant[0]}?")
                )  # fmt: skip
        if "verdict" in missing or ("step" in missing and "scene" in missing):
            lacking = "verdict" if "verdict" in missing else "step or scene"
            self.tell(
                row[0].place, "missing-column", f"the log has no column {lacking}",
                f"its first line names its columns: {', '.join(COLUMNS)}",
            )  # fmt: skip
        return columns

    def row(self, cells: dict[str, Cell], start: Place) -> None:
        """The take of one row, or what is wrong with it: everything in the row, not only the first."""
        before = len(self.problems)

        def text(name: str) -> str:
            return unguarded(cells[name].text) if name in cells else ""

        def at(name: str) -> Place:
            return cells[name].place if name in cells else start

        self.row_name = _row_name(text, start)
        known = sum(len(one.rows) for one in self.unmatched.values())
        title = folded(text("title"))
        if title and title not in self.titles:
            hint = "read the log with the recipe it was shot from, or correct its column title"
            self.not_here(
                at("title"), "other-recipe", f"the log has takes of “{text('title')}”, not of “{self.title}”", hint
            )
            return
        if folded(text("verdict")) == WEIGHED or (text("weighed") and not text("verdict")):
            self._weighing(text, at)
            return
        number = self._cell(text("take"), lambda t: whole_number(t, "take"), at("take"))
        in_frame = self._cell(text("in"), lambda t: time_code(t, self.rate), at("in"))
        out_frame = self._cell(text("out"), lambda t: time_code(t, self.rate), at("out"))
        judged = self._cell(text("verdict"), verdict, at("verdict"))
        slate = self._slate(text("scene"), text("setup"), at("scene"))
        dish_name = text("dish") or ("" if title == folded(self.title) else text("title"))
        found = self._steps(text("step"), dish_name, at("step"), at("dish"), slate)
        shot, step = self._shot(found, slate, at("scene"), bool(text("step")))
        additions = self._additions(cells, step, shot, at("additions"))
        nothing_left = not additions and sum(len(one.rows) for one in self.unmatched.values()) > known
        if len(self.problems) > before or shot is None or judged is None or nothing_left:
            return
        if additions and not {a.place for a in additions} & {a.place for a in shot.additions}:
            first = additions[0].place
            shot = next((s for s in self.shots if s.step is step and first in {a.place for a in s.additions}), shot)
        if in_frame is not None and out_frame is not None and out_frame < in_frame:
            out_frame += day_frames(self.rate)
            if out_frame - in_frame > LONGEST_OVER_MIDNIGHT_S * self.rate.nominal:
                self.tell(at("out"), "out-before-in", f"the take ends at {text('out')}, before its in at {text('in')}", "swap them, or check the hours")  # fmt: skip
                return
        take = Take(
            shot=shot, number=number, additions=additions, verdict=judged, card=text("card"), clip=text("clip"),
            in_frame=in_frame, out_frame=out_frame, recorded=recorded_at(text("recorded")), remark=text("remark"), place=start,
        )  # fmt: skip
        self.takes.append(take)
        if slate and slate != shot.slate:
            self.moved.append(replace(take, place=at("scene")))

    def _weighing(self, text: Callable[[str], str], at: Callable[[str], Place]) -> None:
        """What was weighed: the addition that the row names, else the dish as cooked."""
        before = len(self.problems)
        grams = self._cell(text("weighed"), weight_g, at("weighed"))
        found = self._steps(text("step"), text("dish"), at("step"), at("dish"), "")
        if len(self.problems) > before or grams is None or (text("step") and not found):
            return
        dish = found[0][0] if found else self._dish(text("dish"))
        if dish is None and text("dish"):
            return  # told already
        if dish is None:
            self.tell(
                at("dish"),
                "unknown-dish",
                "the row does not say which dish was weighed",
                "write its name in the column `dish`",
            )
            return
        additions = found[0][1].additions if found else ()
        places, strange = _named(text("additions"), additions)
        if strange or len(places) > 1 or bool(found) != bool(places):
            names = [a.ingredient.name for a in additions]
            what = f"“{text('additions')}” does not go in at {text('step')}"
            hint = _or_else(names, text("additions"))
            if not text("additions").strip():
                what = f"the row does not say what was weighed at {text('step')}"
                hint = f"write it in the column `additions`: {any_of(names)}; a row with only the dish is the batch as cooked"
            elif not found:
                what = f"the row does not say at which step {text('additions')} was weighed"
                hint = "write the step's id in the column `step`; a row with only the dish is the batch as cooked"
            (self.not_here if strange and found else self.tell)(at("additions"), "unknown-addition", what, hint)
            return
        addition = additions[places[0]] if places else None
        key = (dish.file, addition.number if addition else 0)
        self.weighings[key] = Weighing(dish=dish, addition=addition, grams=grams, place=at("weighed"))

    def _dish(self, name: str) -> Dish | None:
        """The dish of this name; without one, the only one there is."""
        named = [d for d in self.dishes if not name or folded(d.name) == folded(name)]
        return named[0] if len(named) == 1 else None

    def _cell(self, text: str, read: Callable[[str], T], place: Place) -> T | None:
        """What a cell says; None where that is told as a problem."""
        try:
            return read(text)
        except NotACell as wrong:
            self.tell(place, wrong.code, str(wrong), wrong.hint)
            return None

    def _slate(self, scene: str, setup: str, place: Place) -> str:
        scene, setup = "".join(scene.split()).upper(), setup.strip().upper()
        if not scene:
            return ""
        digits, letters = split_slate(scene)  # the whole slate may stand in the column of the scene
        number = self._cell(digits or scene.lower(), lambda t: whole_number(t, "scene"), place)
        return "" if number is None else f"{number}{setup or letters}"

    def _steps(
        self, words: str, dish_name: str, place: Place, dish_place: Place, slate: str
    ) -> list[tuple[Dish, Step]]:
        """The steps that a row may mean; empty where it names none, or where what it names is told as a problem."""
        dishes = [d for d in self.dishes if not dish_name or folded(d.name) == folded(dish_name)]
        if not dishes:
            self.not_here(
                dish_place,
                "unknown-dish",
                f"no dish “{dish_name}” is cooked here",
                _or_else([d.name for d in self.dishes], dish_name),
            )
            return []
        if not words:
            return []
        steps = [(d, s) for d in dishes for s in d.steps]
        found = [(d, s) for d, s in steps if folded(s.id) == folded(words)]
        found = found or [(d, s) for d, s in steps if _as_number(words) == s.number]
        if not found:
            self.not_here(
                place, "unknown-step", f"no step “{words}” is in this recipe", _or_else([s.id for _, s in steps], words)
            )
        if len(found) > 1:
            shot = self.by_slate.get(slate)
            of_slate = [(d, s) for d, s in found if shot is not None and shot.step is s]
            if not of_slate:
                self.tell(
                    place, "ambiguous-step", f"step “{words}” is in {any_of([d.name for d, _ in found])}",
                    "write the dish's name in a column `dish`",
                )  # fmt: skip
                return []
            found = of_slate
        return found

    def _shot(
        self, found: list[tuple[Dish, Step]], slate: str, place: Place, named: bool
    ) -> tuple[Shot | None, Step | None]:
        """The shot of the row: its slate's where that is of the step, else one of the step's."""
        of_slate = self.by_slate.get(slate) or self.by_slate.get(f"{slate}A" if slate.isdigit() else slate)
        if not found:
            if named:
                return None, None  # told already
            if of_slate is None:
                hint = "write the step's id in the column `step`, as the shot list has it"
                if slate:
                    self.not_here(place, "unknown-shot", f"no shot has the slate {slate}", hint)
                else:
                    self.tell(place, "unknown-shot", "the take has neither a step nor a scene", hint)
            return of_slate, of_slate.step if of_slate else None
        step = found[0][1]
        if of_slate is not None and of_slate.step is step:
            return of_slate, step
        of_step = [s for s in self.shots if s.step is step]
        if not of_step:
            self.not_here(
                place, "unknown-shot", f"step {step.number} ({step.id}) has no shot", "give it `screen:` in the recipe"
            )
            return None, step
        return next((s for s in of_step if not s.additions), of_step[0]), step

    def _additions(
        self, cells: dict[str, Cell], step: Step | None, shot: Shot | None, place: Place
    ) -> tuple[Addition, ...]:
        """The additions that the take covers: those it names; where the log has no such column, its shot's."""
        if "additions" not in cells:
            return shot.additions if shot else ()
        words = unguarded(cells["additions"].text)
        if not words or (step is None and shot is None):
            return ()
        known = step.additions if step else ()
        found, strange = _named(words, known)
        for name in strange:
            where = f"step {step.number} ({step.id})" if step else "a shot without a step"
            self.not_here(
                place,
                "unknown-addition",
                f"“{name}” is not added at {where}",
                _or_else([a.ingredient.name for a in known], name),
            )
        return tuple(known[n] for n in found)

    def whole_log(self) -> None:
        """What can only be told of all rows together."""
        read = bool(self.takes or self.weighings)
        self.problems += [one.problem(read=read) for one in self.unmatched.values()]
        if self.moved:
            take = self.moved[0]
            self.problems.append(
                note(
                    take.place, "slate-moved",
                    f"{len(self.moved)} of {len(self.takes)} takes have slates of another shot list; they are placed by step and additions, this one at {take.shot.slate}",
                    "nothing to do, unless the log is of another recipe",
                )
            )  # fmt: skip
        seen: set[tuple[str, int]] = set()
        for take in self.takes:
            if take.number is not None and (take.shot.slate, take.number) in seen:
                self.problems.append(
                    warning(
                        take.place, "take-twice", f"{take.shot.slate} take {take.number} is logged twice",
                        "give the second one another number, or delete it",
                    )
                )  # fmt: skip
            seen.add((take.shot.slate, take.number or 0))


def _named(words: str, additions: Sequence[Addition]) -> tuple[list[int], list[str]]:
    """Which of the additions a cell lists, by their names in the file or on the pages, and what in it is none of them."""
    foods = [a.ingredient for a in additions]
    names = [*(i.name for i in foods), *(i.short_name for i in foods), *(i.display_name for i in foods)]
    places, strange = names_in(words, names)
    return list(dict.fromkeys(place % len(additions) for place in places)), strange


def _as_number(words: str) -> int | None:
    try:
        return whole_number(words, "step")
    except NotACell:
        return None


def _or_else(known: Sequence[str], word: str) -> str:
    meant = nearest(word, known)
    if meant:
        return f"did you mean {any_of(meant)}?"
    return f"there is {any_of(list(known)[:8])}" if known else "there is none"
