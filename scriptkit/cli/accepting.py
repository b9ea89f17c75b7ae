"""``coverage --accept``: corrections of the cut written into the recipe file, its comments and order kept."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from scriptkit.measure.durations import format_clock, parse_moment
from scriptkit.problems import CannotDo, Place, error, printable

if TYPE_CHECKING:
    from scriptkit.cut.coverage.corrections import CorrectionOffer
    from scriptkit.production import Production


def accept_corrections(production: Production, times: str) -> None:
    """Write the corrections of these moments, or ``all``, under `corrections:` of the file that was named. Raises CannotDo where a
    moment has nothing to correct, or the file cannot be changed."""
    from scriptkit.editing import write_edit
    from scriptkit.recipe.file_edit import Add, Append, Edit

    source = production.source
    open_ = [c for c in production.coverage.corrections if not c.accepted]
    chosen = open_ if times.strip().casefold() == "all" else _chosen(open_, times)
    if not chosen:
        print("no correction is left to accept", file=sys.stderr)
        return
    edits: list[Edit] = []
    has_list = bool(source.published.corrections)
    for one in chosen:
        edits.append(Append(("corrections",), one.entry) if has_list else Add((), "corrections", [one.entry]))
        has_list = True
    write_edit(source.place.file, edits, as_read=production.reading.texts[source.place.file])
    for one in chosen:
        told = f"{source.place.file}: corrections: {format_clock(one.time_ms)} {one.text}"
        print(printable(told), file=sys.stderr)


def _chosen(open_: list[CorrectionOffer], times: str) -> list[CorrectionOffer]:
    """The offers of these moments, to the second."""
    found: list[CorrectionOffer] = []
    problems = []
    there = ", ".join(dict.fromkeys(format_clock(c.time_ms) for c in open_)) or "nothing"
    for text in filter(None, (part.strip() for part in times.split(","))):
        at = parse_moment(text)
        if at is None:
            problems.append(
                error(Place("--accept"), "option", f"“{text}” is not a time in the cut", "write 2:05, or all")
            )
            continue
        own = [c for c in open_ if c.time_ms // 1000 == at // 1000]
        if not own:
            message = f"nothing is left to correct at {text}"
            problems.append(error(Place("--accept"), "option", message, f"there is: {there}"))
        found += [c for c in own if c not in found]
    if problems:
        raise CannotDo(problems)
    return found
