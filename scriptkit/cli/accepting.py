"""``coverage --accept``: what the cook chose for each gap written into the recipe's files, their comments and order kept."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from scriptkit.measure.durations import format_clock, parse_moment
from scriptkit.problems import CannotDo, Place, Problem, any_of, error, printable

if TYPE_CHECKING:
    from scriptkit.cut.coverage.answers import GapAnswer
    from scriptkit.cut.coverage.corrections import CorrectionOffer
    from scriptkit.cut.coverage.recipe_changes import RecipeChange
    from scriptkit.cut.coverage.statuses import AdditionStatus
    from scriptkit.production import Production
    from scriptkit.recipe.file_edit import Edit

BOTH, OVERLAY, DESCRIPTION, RECIPE, RECORD, UNFILMED = "both", "overlay", "description", "recipe", "record", "unfilmed"
_OF_A_MOMENT = (BOTH, OVERLAY, DESCRIPTION, RECIPE, RECORD)
_PLACE = Place("--accept")


@dataclass(frozen=True, slots=True)
class _Chosen:
    """A gap and the way out of it: a correction of a moment, or an addition that was not filmed."""

    way: str
    offer: CorrectionOffer | None = None
    row: AdditionStatus | None = None


def accept_gaps(production: Production, wanted: str) -> None:
    """Write what was chosen: ``all`` corrections, ``NAME=WAY,…``, or a file of answers that a page saved. Raises CannotDo where a name
    is none, a way is not its, or a file cannot be changed; then nothing is written."""
    from scriptkit.editing import write_edit
    from scriptkit.recipe.file_edit import edited

    open_ = [c for c in production.coverage.corrections if not c.accepted]
    gaps = _gaps(production)
    if wanted.strip().casefold() == "all":
        chosen = [_Chosen(BOTH, offer=c) for c in open_]
    else:
        others = _not_missing(production, gaps)
        chosen = _chosen(_asked(wanted, production), [*open_, *_to_listen(production)], gaps, others)
    if not chosen:
        print("no correction is left to accept", file=sys.stderr)
        return
    edits, told = _edits(production, chosen)
    texts = production.reading.texts
    for file, of_file in edits.items():
        edited("\n".join(texts[file]), of_file, file)  # told before anything is written
    for file, of_file in edits.items():
        write_edit(file, of_file, as_read=texts[file])
    for line in told:
        print(printable(line), file=sys.stderr)


def without_not_so(wanted: str) -> tuple[list[GapAnswer], str]:
    """What is answered *not so*, and what is left to write: the recipe has no place for that, so it counts for this run."""
    from scriptkit.cut.coverage.answers import NOT_SO, GapAnswer

    parts = [part.strip() for part in wanted.split(",") if part.strip()]
    found = []
    left = []
    for part in parts:
        name, _, way = part.rpartition("=")
        if " ".join(way.casefold().replace("-", " ").split()) == NOT_SO and name.strip():
            found.append(GapAnswer(name.strip(), NOT_SO, _PLACE))
        else:
            left.append(part)
    for one in found:
        print(
            f"{printable(one.gap)}: not so, in this run; to keep it, save a file with the lines “gap,answer” and “{printable(one.gap)},{NOT_SO}”, and give it with --answers FILE",
            file=sys.stderr,
        )
    return found, ",".join(left)


def _gaps(production: Production) -> dict[str, AdditionStatus]:
    """Additions that can be accepted as not filmed, by their names."""
    from scriptkit.cut.coverage.gap_names import gap_names

    names = gap_names(production.coverage.rows)
    return {names[row.addition.place].casefold(): row for row in production.coverage.gaps if not row.not_there}


def _not_missing(production: Production, gaps: dict[str, AdditionStatus]) -> dict[str, str]:
    """Of additions that nothing can be accepted of, by their names, why not."""
    from scriptkit.cut.coverage.gap_names import gap_names

    found = {}
    names = gap_names(production.coverage.rows)
    for row in production.coverage.rows:
        name = names[row.addition.place]
        if name.casefold() in gaps:
            continue
        if row.not_there and row.effect is not None and row.effect.time_ms is not None:
            why = f"{name} is not in the dish by what is said at {format_clock(row.effect.time_ms)}: accept that time"
        elif row.heard is not None and row.heard.time_ms is not None:
            word = f", as “{printable(row.heard.word)}”" if row.heard.word.casefold() != name.casefold() else ""
            why = f"{name} is heard at {format_clock(row.heard.time_ms)}{word}, so there is nothing of it to accept"
        else:
            why = f"there is nothing of {name} to accept"
        found[name.casefold()] = why
    return found


def _to_listen(production: Production) -> list[CorrectionOffer]:
    """What corrects the figures that are only to be listened to, where it is known: written if they are named, and not by all."""
    from scriptkit.cut.claims.claim import LISTEN
    from scriptkit.cut.coverage.corrected import corrected_by
    from scriptkit.cut.coverage.corrections import correction_of

    at = corrected_by(production.source)
    unsure = [c for c in production.coverage.claims if c.verdict == LISTEN and c.off]
    return [correction_of(c) for c in unsure if not at.has(c.time_ms, c.subject, c.words)]


def _asked(wanted: str, production: Production) -> list[tuple[str, str]]:
    """Names and ways; of a file, what its rows chose."""
    if wanted.strip().casefold().endswith(".csv"):
        from scriptkit.cut.coverage.answers import read_answers
        from scriptkit.input_bytes import bytes_of

        path = wanted.strip()
        rows = read_answers(bytes_of(path), path, production.source)
        return [(row.gap, row.answer) for row in rows if row.is_way]
    parts = [part.strip() for part in wanted.split(",") if part.strip()]
    found = []
    for part in parts:
        name, equals, way = part.rpartition("=")
        found.append((name.strip(), way.strip().casefold()) if equals else (part, ""))
    return found


def _chosen(
    asked: Sequence[tuple[str, str]],
    open_: Sequence[CorrectionOffer],
    gaps: dict[str, AdditionStatus],
    others: dict[str, str],
) -> list[_Chosen]:
    found: list[_Chosen] = []
    problems: list[Problem] = []
    there = ", ".join(dict.fromkeys([*(format_clock(c.time_ms) for c in open_), *gaps])) or "nothing"
    rest = "run it without: nothing is left to accept" if there == "nothing" else f"there is: {there}; or all"
    for name, way in asked:
        row = gaps.get(name.casefold())
        if row is not None:
            if way not in ("", UNFILMED):
                problems.append(_no_way(name, way, (UNFILMED,)))
            elif all(one.row is not row for one in found):
                found.append(_Chosen(UNFILMED, row=row))
            continue
        at = parse_moment(name)
        if at is None:
            unknown = f"“{printable(name)}” is not a time in the cut, and no addition that is missing"
            problems.append(error(_PLACE, "option", others.get(name.casefold(), unknown), rest))
            continue
        own = _at(open_, at, exact="." in name)
        if not own:
            message = f"nothing is left to correct at {printable(name)}"
            problems.append(error(_PLACE, "option", message, f"there is: {there}"))
        ways = [w for w in _OF_A_MOMENT if w != RECIPE or any(c.change for c in own)]
        if own and way and way not in ways:
            problems.append(_no_way(name, way, ways))
            continue
        own = [c for c in own if way != RECIPE or c.change]  # another gap of the same second has no line to change
        found += [_Chosen(way or BOTH, offer=c) for c in own if all(one.offer is not c for one in found)]
    if problems:
        raise CannotDo(problems)
    return found


def _at(open_: Sequence[CorrectionOffer], ms: int, *, exact: bool) -> list[CorrectionOffer]:
    """The offers of the moment, to the second; to its tenth where the name has one."""
    unit = 100 if exact else 1000
    return [c for c in open_ if c.time_ms // unit == ms // unit]


def _no_way(name: str, way: str, ways: Sequence[str]) -> Problem:
    message = f"“{printable(way)}” is no way to answer {printable(name)}"
    why = "no one line of the recipe has this figure; " if way == RECIPE else ""
    return error(_PLACE, "option", message, f"{why}write {any_of([f'{name}={one}' for one in ways])}")


# --- what is written ------------------------------------------------------------------------------------------------------


def _edits(production: Production, chosen: Sequence[_Chosen]) -> tuple[dict[str, list[Edit]], list[str]]:
    """The changes by file, and a line for each thing that was chosen."""
    from scriptkit.recipe.file_edit import Add, Append

    source = production.source
    main = source.place.file
    edits: dict[str, list[Edit]] = {}
    told: list[str] = []
    entries: list[dict[str, str]] = []
    marked: set[tuple[str, int]] = set()
    for one in chosen:
        if one.row is not None:
            told.append(_unfilmed(production, one.row, edits, marked))
        elif one.offer is not None and one.way == RECORD:
            told.append(f"{format_clock(one.offer.time_ms)} record again: {one.offer.line}")
        elif one.offer is not None and one.way == RECIPE and one.offer.change is not None:
            change = one.offer.change
            edits.setdefault(change.file, []).append(_changed(_data(production, change.file), change))
            told.append(f"{change.file}: {change.words}")
        elif one.offer is not None:
            for entry in one.offer.entries("" if one.way == BOTH else one.way):
                entries.append(entry)
                only = f" ({entry['only']} only)" if "only" in entry else ""
                told.append(f"{main}: corrections: {entry['at']} {entry['text']}{only}")
    if entries and source.published.corrections:
        edits.setdefault(main, []).extend(Append(("corrections",), entry) for entry in entries)
    elif entries:
        edits.setdefault(main, []).append(Add((), "corrections", entries))
    return edits, told


def _unfilmed(
    production: Production, row: AdditionStatus, edits: dict[str, list[Edit]], marked: set[tuple[str, int]]
) -> str:
    from scriptkit.recipe.file_edit import Add, Append

    file, key = row.step.place.file, row.addition.ingredient.key
    at = _step_at(_data(production, file), row.step.id, row.step.number)
    there = "unfilmed" in _data(production, file)["steps"][at] or (file, at) in marked
    path = ("steps", at)
    edits.setdefault(file, []).append(Append((*path, "unfilmed"), key) if there else Add(path, "unfilmed", [key]))
    marked.add((file, at))
    return f"{file}: {row.step.id}: unfilmed: {key}"


def _changed(data: Any, change: RecipeChange) -> Edit:
    from scriptkit.recipe.file_edit import Add, Put

    if change.ingredient:
        whole = ("ingredients", change.ingredient)
        bare = not isinstance(data["ingredients"][change.ingredient], dict)
        if change.each:
            return Put(whole, f"{change.value} each") if bare else Put((*whole, "each"), change.value)
        return Put(whole if bare else (*whole, "amount"), change.value)
    at = _step_at(data, change.step, 0)
    path = ("steps", at)
    return (
        Put((*path, change.key), change.value)
        if change.key in data["steps"][at]
        else Add(path, change.key, change.value)
    )


def _data(production: Production, file: str) -> Any:
    from scriptkit.recipe.yamltree import parse_tree

    if file not in production.reading.texts or not Path(file).is_file():
        raise CannotDo(
            [error(Place(file), "cannot-write", "this file is not one of the recipe's", "change it by hand")]
        )
    return parse_tree("\n".join(production.reading.texts[file]), file).data


def _step_at(data: Any, step: str, number: int) -> int:
    """Where the step stands in the file's list: by its id, without one by its number."""
    steps = data.get("steps") or []
    named = [n for n, one in enumerate(steps) if isinstance(one, dict) and one.get("id") == step]
    return named[0] if named else max(0, number - 1)
