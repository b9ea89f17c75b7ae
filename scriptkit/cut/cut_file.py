"""The cut file: where each step stands, written so that a person can correct it, and read back."""

from __future__ import annotations

import os
import re
from pathlib import Path as FilePath
from typing import Any

from scriptkit.cut.placement import HAND, MARKER, TAKE, TRANSCRIPT, Cut, Placement
from scriptkit.cut.step_names import NotAStep, StepNames, steps_of
from scriptkit.cut.transcript.timestamps import clock_text, moment_ms
from scriptkit.problems import CannotDo, Problem, any_of, error, in_order, nearest, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.yamltree import Path, Tree, lines_of, parse_tree

NOT_PLACED = "not placed"
_HEAD = """\
# When each step is on screen, as minutes:seconds or hours:minutes:seconds; in the order of the cut. Correct a time to where the
# step begins and write `by: hand` behind it: it then stays when this file is made again, and no other step is moved. A step that is
# not in the film: `time: not placed, by: hand`.
"""
_HEAD_OF_TALK = """\
# What the talk says, such as what was left out, is read from `transcript:`, seen from the folder of this file: keep the two together.
"""
_KEYS = ("cut", "transcript", "length", "confidence", "steps")
_STEP_KEYS = ("dish", "step", "time", "confidence", "by")
_BY = (HAND, MARKER, TAKE, TRANSCRIPT)


def write_cut(cut: Cut, transcript: str = "") -> str:
    """YAML, a step a line, each where it begins. What :func:`read_cut` reads back begins there too, confidence to two places.
    ``transcript``: the file that the times are heard in, as it is found from the folder of the cut file; empty: none."""
    begins = cut.begins_ms
    several = len({p.dish.name for p in cut.placements}) > 1
    rows = [f"cut: {_quoted(cut.title)}"]
    if transcript:
        rows.append(f"transcript: {_quoted(transcript)}")
    if cut.length_ms:
        rows.append(f"length: {clock_text(cut.length_ms)}")
    rows += [f"confidence: {cut.confidence:.2f}", "steps:"]
    for p in cut.in_time:
        cells = [f"dish: {_quoted(p.dish.name)}"] if several else []
        cells += [
            f"step: {_plain(p.step.id)}",
            f"time: {clock_text(begins[p.step.place]) if p.step.place in begins else NOT_PLACED}",
        ]
        if p.known_from == TRANSCRIPT:
            cells.append(f"confidence: {p.confidence:.2f}")
        else:
            cells.append(f"by: {p.known_from}")
        rows.append(f"  - {{{', '.join(cells)}}}")
    if not cut.placements:
        rows[-1] = "steps: []"
    return _HEAD + (_HEAD_OF_TALK if transcript else "") + "\n".join(rows) + "\n"


def holds_what_is_written_in(new: str, old: str) -> bool:
    """Whether the new text of a cut file has every line of the old one, each remark too; how sure a time is, the program says."""

    def lines(text: str) -> set[str]:
        return {" ".join(re.sub(r",? *\bconfidence: *[0-9.]+", "", line).split()) for line in text.splitlines()}

    return lines(old) <= lines(new) | {""}


def transcript_named_in(text: str, file: str) -> str:
    """The transcript that a cut file was made of; a path beside that of the file. Empty where it names none."""
    data = parse_tree(text, file).data
    named = data.get("transcript") if isinstance(data, dict) else None
    return os.path.normpath(FilePath(file).parent / named) if isinstance(named, str) and named else ""


def _plain(name: str) -> str:
    """Without quotes where YAML needs none."""
    return name if re.fullmatch(r"[a-z]\w*(?:-\w+)+|[a-z]\w{3,}", name) else _quoted(name)


def _quoted(text: str) -> str:
    """A text that YAML, here and elsewhere, reads as the text that it is."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def looks_like_cut(text: str) -> bool:
    """Whether the text means to be a cut file."""
    starts = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    return any(line.startswith(("cut:", "steps:")) for line in starts[:4])


def read_cut(text: str, file: str, source: Dish | Meal) -> Cut:
    """The placements of a cut file; a step that it leaves out is not placed. Raises CannotDo with everything that is wrong
    with the file."""
    tree = parse_tree(text, file)
    reader = _Reader(tree, source)
    cut = reader.cut() if isinstance(tree.data, dict) else None
    if cut is None and not tree.problems:
        reader.problems.append(
            error(tree.place(), "not-a-cut", "this is not a cut file", "it starts with `cut:` and `steps:`")
        )
    problems = in_order([*tree.problems, *reader.problems])
    if cut is None or any(p.severity == "error" for p in problems):
        raise CannotDo(problems, {file: lines_of(text)})
    return Cut(
        title=cut.title, length_ms=cut.length_ms, placements=cut.placements, confidence=cut.confidence,
        problems=tuple(problems), written_at=cut.written_at,
    )  # fmt: skip


class _Reader:
    """One reading of a cut file, and the problems found in it."""

    def __init__(self, tree: Tree, source: Dish | Meal) -> None:
        self.tree = tree
        self.source = source
        self.pairs = steps_of(source)
        self.names = StepNames(self.pairs)
        self.problems: list[Problem] = []
        self.rows: dict[int, Path] = {}
        """Where each step stands in the file, by its number in the order of the plan."""

    def tell(self, path: Path, code: str, message: str, hint: str, *, key: bool = False) -> None:
        self.problems.append(error(self.tree.place(*path, key=key), code, message, hint))

    def cut(self) -> Cut:
        data = self.tree.data
        self._known_keys(data, (), _KEYS)
        title = data.get("cut") or self.source.name
        if title != self.source.name:
            self.problems.append(
                warning(
                    self.tree.place("cut"), "other-recipe", f"the cut is of “{title}”, the recipe is “{self.source.name}”",
                    "check which file it is",
                )
            )  # fmt: skip
        rows = data.get("steps")
        if not isinstance(rows, list):
            self.tell(
                ("steps",), "not-a-cut", "there is no list of steps", "write `steps:` and `- {step: ID, time: 1:05}`"
            )
            rows = []
        transcript = data.get("transcript")
        if transcript is not None and not isinstance(transcript, str):
            self.tell(
                ("transcript",), "no-transcript", "this is not the name of a file", "write `transcript: talk.srt`"
            )
        found: dict[int, Placement] = {}
        for n, row in enumerate(rows):
            self._row(("steps", n), row, found)
        placements = tuple(
            found.get(n) or Placement(dish=dish, step=step, time_ms=None, confidence=0.0)
            for n, (dish, step) in enumerate(self.pairs)
        )
        length = self._moment(("length",), data.get("length")) or 0
        for n, at in self.rows.items():
            ms = found[n].time_ms
            if length and ms is not None and ms > length:
                message = (
                    f"step “{found[n].step.id}” stands at {clock_text(ms)}, and the cut ends at {clock_text(length)}"
                )
                self.tell((*at, "time"), "after-the-end", message, "correct its time, or `length:` above the steps")
        return Cut(
            title=self.source.name,
            length_ms=length,
            placements=placements,
            confidence=self._confidence(("confidence",), data.get("confidence"), 1.0),
            written_at={
                found[n].step.place: self.tree.place(*at, *(("time",) if "time" in rows[int(at[-1])] else ()))
                for n, at in self.rows.items()
            },
        )

    def _row(self, at: Path, row: Any, found: dict[int, Placement]) -> None:
        if not isinstance(row, dict):
            self.tell(at, "not-a-step", "this is not a step", "write `- {step: ID, time: 1:05, by: hand}`")
            return
        self._known_keys(row, at, _STEP_KEYS)
        name = row.get("step")
        if not isinstance(name, str):
            self.tell(at, "no-step", "the line names no step", "write `step: ID`")
            return
        try:
            dish, step = self.names.find(name, str(row.get("dish") or ""))
        except NotAStep as wrong:
            where = "dish" if "dish" in row and "no dish" in str(wrong) else "step"
            self.tell((*at, where), "unknown-step", str(wrong), wrong.hint)
            return
        n = next(k for k, pair in enumerate(self.pairs) if pair[1] is step)
        if n in found:
            self.tell((*at, "step"), "twice", f"step “{name}” stands here a second time", "keep one of them")
            return
        by = self._by((*at, "by"), row.get("by"))
        time_ms = self._moment((*at, "time"), row.get("time"))
        if by == HAND and "time" not in row:
            by = TRANSCRIPT  # nothing is said of where it is
        sure = 0.0 if time_ms is None else 1.0
        confidence = self._confidence((*at, "confidence"), row.get("confidence"), sure)
        self.rows[n] = at
        found[n] = Placement(
            dish=dish, step=step, time_ms=time_ms, confidence=1.0 if by == HAND else confidence, known_from=by,
            start_ms=time_ms if by == TRANSCRIPT else None,
        )  # fmt: skip

    def _moment(self, at: Path, value: Any) -> int | None:
        if value is None or (isinstance(value, str) and value.strip() in (NOT_PLACED, "-", "")):
            return None
        ms = moment_ms(value) if isinstance(value, str) else None
        if ms is None:
            self.tell(at, "time", f"“{value}” is not a time", "write minutes:seconds, such as 1:05, or `not placed`")
        return ms

    def _confidence(self, at: Path, value: Any, usual: float) -> float:
        if value is None:
            return usual
        try:
            figure = float(value)
        except (TypeError, ValueError):
            figure = -1.0
        if not 0 <= figure <= 1:
            self.tell(
                at,
                "confidence",
                f"“{value}” is not a confidence",
                "it runs from 0 to 1; leave it out for a time set by hand",
            )
            return usual
        return figure

    def _by(self, at: Path, value: Any) -> str:
        if value is None:
            return TRANSCRIPT
        if value not in _BY:
            self.tell(at, "by", f"“{value}” cannot stand here", f"write {any_of(_BY)}")
            return TRANSCRIPT
        return str(value)

    def _known_keys(self, data: dict[str, Any], at: Path, known: tuple[str, ...]) -> None:
        for key in data:
            if key not in known:
                meant = nearest(key, known, most=1)
                hint = f"did you mean `{meant[0]}`?" if meant else f"one of {', '.join(known)}"
                self.tell((*at, key), "unknown-key", f"“{key}” is not a key here", hint, key=True)
