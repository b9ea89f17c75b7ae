"""The matrix of the coverage report: each step's additions against its shots, and where the steps stand in the cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.durations import format_clock
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.leading_units import with_each
from scriptkit.shoot.log.take_log import Take


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotMark:
    """What a shot has of an addition: ``mark`` circled, taken, planned, or empty; ``words`` name the takes."""

    mark: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditionRow:
    """An addition of a step: a mark for each of the step's shots, the slates that plan it, its takes in words, when it is
    shown and heard (empty where that is not known), and what came of it all."""

    name: str
    amount: str
    where: str
    cells: tuple[ShotMark, ...]
    slates: tuple[str, ...]
    takes: str
    shown: str
    heard: str
    status: str
    gap: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTable:
    """A step with additions; ``at``: where it stands in the cut, empty where that is not known."""

    title: str
    at: str
    slates: tuple[str, ...]
    rows: tuple[AdditionRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedStep:
    """Where a step stands in the cut, empty where it was not found, and how sure that is."""

    time: str
    confidence: str
    where: str


def step_tables(coverage: Coverage) -> tuple[StepTable, ...]:
    """A table for each step with additions, in their order."""
    tables: list[tuple[AdditionStatus, list[AdditionStatus]]] = []
    for row in coverage.rows:
        if tables and tables[-1][0].step is row.step and tables[-1][0].dish is row.dish:
            tables[-1][1].append(row)
        else:
            tables.append((row, [row]))
    return tuple(_step_table(first, rows, coverage) for first, rows in tables)


def _step_table(first: AdditionStatus, rows: Sequence[AdditionStatus], coverage: Coverage) -> StepTable:
    slates = tuple(s.slate for s in coverage.shots if s.step is first.step)
    return StepTable(
        title=f"{first.dish.short}, step {first.step.number}: {first.step.id}",
        at=at_text(first.begins_ms),
        slates=slates,
        rows=tuple(_addition(row, slates, coverage) for row in rows),
    )


def _addition(row: AdditionStatus, slates: Sequence[str], coverage: Coverage) -> AdditionRow:
    return AdditionRow(
        name=row.addition.ingredient.short_name,
        amount=with_each(row.addition),
        where=where_of(row, coverage),
        cells=tuple(_mark(row, slate) for slate in slates),
        slates=tuple(shot.slate for shot in row.shots),
        takes=_takes_words(row),
        shown=at_text(row.at_ms),
        heard=at_text(row.spoken_ms),
        status=_status(row),
        gap=row in coverage.gaps,
    )


def _mark(row: AdditionStatus, slate: str) -> ShotMark:
    """What of the addition the shot has: a circled take, takes, or only the plan."""
    takes = [take for take in row.takes or () if take.shot.slate == slate]
    circled = [take for take in takes if take.circled]
    if circled:
        return ShotMark(mark="circled", words=", ".join(map(_number, circled)))
    if takes:
        return ShotMark(mark="taken", words=", ".join(f"{_number(t)} {t.verdict}" for t in takes))
    planned = any(shot.slate == slate for shot in row.shots)
    return ShotMark(mark="planned" if planned else "", words="planned" if planned else "")


def counts(coverage: Coverage) -> str:
    """``17 additions: 17 planned, 16 circled, 15 heard``."""
    rows = coverage.rows
    parts = [f"{sum(bool(r.shots) for r in rows)} with a shot"]
    if coverage.takes is not None:
        parts.append(f"{sum(r.circled is True for r in rows)} with a circled take")
    if coverage.cut is not None:
        parts.append(f"{sum(r.in_cut and not r.not_there for r in rows)} in the cut")
    if any(r.heard is not None for r in rows):
        parts.append(f"{sum(r.spoken_ms is not None for r in rows)} heard")
    return f"{len(rows)} addition{'' if len(rows) == 1 else 's'}: {', '.join(parts)}"


def _status(row: AdditionStatus) -> str:
    """``not heard, the overlay says it``, ``heard as “funnel”: please listen``."""
    as_what = f" as “{row.heard_as}”: please listen" if row.heard_as else ""
    return f"{row.status.value}{as_what}{', mentioned in the overlay' if row.accepted else ''}"


def _takes_words(row: AdditionStatus) -> str:
    """The numbers of its circled takes; else what there is."""
    if row.takes is None:
        return ""
    circled = [take for take in row.takes if take.circled]
    if circled:
        return ", ".join(_number(take) for take in circled)
    return ", ".join(f"{_number(t)} {t.verdict}" for t in row.takes) or "none"


def _number(take: Take) -> str:
    return f"T{take.number}" if take.number is not None else "T?"


def at_text(ms: int | None) -> str:
    """A moment of the cut; empty where it is not known."""
    return "" if ms is None else format_clock(ms)


def where_of(row: AdditionStatus, coverage: Coverage) -> str:
    """``bisque, step 7 (finish)``; of a single dish without its name."""
    dish = f"{row.dish.short}, " if isinstance(coverage.source, Meal) else ""
    return f"{dish}step {row.step.number} ({row.step.id})"


def placed_steps(coverage: Coverage) -> tuple[PlacedStep, ...]:
    """The steps in the order of the cut, each where it begins; none without one."""
    begins = coverage.cut.begins_ms if coverage.cut else {}
    return tuple(
        PlacedStep(
            time=at_text(begins.get(p.step.place)),
            confidence=f"{p.confidence:.2f}",
            where=f"{p.dish.short}, step {p.step.number} ({p.step.id})",
        )
        for p in (coverage.cut.in_time if coverage.cut else ())
    )
