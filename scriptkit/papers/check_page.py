"""Check: what needs attention, what is promised, and how sure the figures of the plate are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.claims.whole_promises import as_a_whole
from scriptkit.nutrition.display_figures import LIKELY, likely_words, reasons
from scriptkit.papers.plate_picture import PlatePicture, plate_picture
from scriptkit.papers.today import Told, told
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem, Severity, needs_a_person


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPromise:
    """A promise in its words, whether it is kept, and what would settle it where that is not sure."""

    text: str
    verdict: str
    settles: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPage:
    """The values of check.html; ``attention`` are errors and warnings, ``notes`` need no action."""

    well: bool
    attention: tuple[Told, ...]
    notes: tuple[Told, ...]
    promises: tuple[HeldPromise, ...]
    plate: PlatePicture | None
    likely: str
    settles: tuple[str, ...]
    files: tuple[tuple[str, str], ...]
    """What else belongs here: path and words."""


def check_page_of(day: Preproduction, problems: Sequence[Problem]) -> CheckPage:
    """``problems``: all of the pack."""
    eaten = day.macros.eaten_of(day.source) if day.macros.dishes else None
    likely = likely_words(eaten) if eaten is not None else ""
    return CheckPage(
        well=not needs_a_person(problems),
        attention=told(p for p in problems if p.severity is not Severity.NOTE),
        notes=told(p for p in problems if p.severity is Severity.NOTE),
        promises=tuple(
            HeldPromise(text=p.text, verdict=p.verdict, settles=p.settles) for p in as_a_whole(day.promised, problems)
        ),
        plate=plate_picture(day.macros) if eaten is not None else None,
        likely=f"{likely[:1].upper()}{likely[1:]} ({LIKELY})" if likely else "",
        settles=tuple(reasons(eaten)) if eaten is not None and likely else (),
        files=(
            (
                "report.txt",
                "The whole report: figures by ingredient with their sources, cautions, the overlay as planned",
            ),
        ),
    )
