"""The coverage report: one view of plan, log and cut, which is the page, and of which the terminal's text is made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.rescue import Rescue
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.durations import format_clock
from scriptkit.papers.description import macro_words
from scriptkit.problems import Place, Problem, printable
from scriptkit.recipe.dish import Meal
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.mise_en_place import grams_text

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.as_cooked import AsCooked
    from scriptkit.cut.coverage.corrections import CorrectionOffer

# --- the view -----------------------------------------------------------------------------------------------------------


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


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenGate:
    """A step that cannot be repeated, and what is still open before it."""

    where: str
    open: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongFigure:
    """A spoken figure that differs from the recipe: when, which words of what, and how far off."""

    time: str
    words: str
    of: str
    recipe: str
    off: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RescueEntry:
    """What rescues an addition; ``span`` is when its overlay stands, or why it cannot."""

    name: str
    where: str
    why: str
    insert: str
    line: str
    overlay: str
    span: str
    description: str
    accept: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCorrection:
    """What is said wrongly and not corrected yet: when, of what, the line to record, the overlay and the line for the description.
    ``elsewhere``: it stands among the wrong figures or in the rescue list already."""

    time: str
    of: str
    said: str
    line: str
    overlay: str
    text: str
    elsewhere: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedDish:
    """The macros of a serving as it was cooked, beside those of what is written; ``why``: what did not go in."""

    name: str
    why: str
    cooked: str
    written: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSeeTo:
    """A problem as the page prints it."""

    where: str
    severity: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageReport:
    """The values of coverage.html; what stands in one part of it is left out of the next. ``confidence`` and ``order`` are empty without a cut, ``other_video`` says why nothing is told of what is
    heard, ``agree`` counts the ``figures`` that are as in the recipe, ``listen`` holds those that may differ and are not surely whose they
    are, ``verdicts`` counts all."""

    counts: str
    steps: tuple[StepTable, ...]
    placed: tuple[PlacedStep, ...]
    with_log: bool
    with_cut: bool
    heard_known: bool
    confidence: str
    order: str
    other_video: str
    gates: tuple[OpenGate, ...]
    figures: int
    wrong: tuple[WrongFigure, ...]
    listen: tuple[WrongFigure, ...]
    agree: int
    verdicts: str
    rescues: tuple[RescueEntry, ...]
    corrections: tuple[OpenCorrection, ...]
    cooked: tuple[CookedDish, ...]
    problems: tuple[ToSeeTo, ...]


def coverage_report(coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem] = ()) -> CoverageReport:
    """Matrices of additions against the shots of their step, and what else was found."""
    cut = coverage.cut
    return CoverageReport(
        counts=counts(coverage),
        steps=_step_tables(coverage),
        placed=tuple(
            PlacedStep(
                time=_at(p.time_ms),
                confidence=f"{p.confidence:.2f}",
                where=f"{p.dish.short}, step {p.step.number} ({p.step.id})",
            )
            for p in (cut.in_time if cut else ())
        ),
        with_log=coverage.takes is not None,
        with_cut=cut is not None,
        heard_known=any(row.heard is not None for row in coverage.rows),
        confidence="" if cut is None else f"{cut.confidence:.2f}",
        order="" if cut is None else cut.order_words,
        other_video=_nothing_said(coverage) if coverage.other_video else "",
        gates=_gates(coverage),
        figures=len(coverage.claims),
        wrong=tuple(_wrong(c) for c in coverage.claims if c.agrees is False),
        listen=tuple(_wrong(c) for c in coverage.claims if c.verdict == LISTEN),
        agree=sum(c.agrees is True for c in coverage.claims),
        verdicts=_verdicts(coverage.claims),
        rescues=tuple(_rescue(rescue, coverage) for rescue in rescues),
        corrections=tuple(_correction(c, coverage) for c in coverage.corrections if not c.accepted),
        cooked=tuple(map(_cooked, coverage.cooked)),
        problems=tuple(
            ToSeeTo(
                where=f"{p.place.file}:{p.place.line}",
                severity=p.severity.value,
                message=printable(p.message),
                hint=printable(p.hint),
            )
            for p in problems
            if not _told_above(p, rescues)
        ),
    )


def _step_tables(coverage: Coverage) -> tuple[StepTable, ...]:
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
        at=_at(first.time_ms),
        slates=slates,
        rows=tuple(_addition(row, slates, coverage) for row in rows),
    )


def _addition(row: AdditionStatus, slates: Sequence[str], coverage: Coverage) -> AdditionRow:
    return AdditionRow(
        name=row.addition.ingredient.short_name,
        amount=grams_text(row.addition),
        where=_where(row, coverage),
        cells=tuple(_mark(row, slate) for slate in slates),
        slates=tuple(shot.slate for shot in row.shots),
        takes=_takes_words(row),
        shown=_at(row.shown_ms),
        heard=_at(row.spoken_ms),
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


def _verdicts(claims: Sequence[Claim]) -> str:
    """``41 figures: 30 verified, 4 differ, 7 to listen to``."""
    of = Counter(c.verdict for c in claims)
    figures = f"{len(claims)} figure{'s' if len(claims) != 1 else ''}"
    return f"{figures}: {of[VERIFIED]} verified, {of[DIFFERS]} differ{'s' if of[DIFFERS] == 1 else ''}, {of[LISTEN]} to listen to"


def _wrong(claim: Claim) -> WrongFigure:
    return WrongFigure(
        time=format_clock(claim.time_ms),
        words=claim.words,
        of=claim.subject,
        recipe=claim.recipe,
        off=claim.off,
        text=claim.line.text,
    )


def _correction(one: CorrectionOffer, coverage: Coverage) -> OpenCorrection:
    wrong = any(c.agrees is False and c.time_ms == one.time_ms for c in coverage.claims)
    missing = any(row.not_there and row.told_ms == one.time_ms for row in coverage.gaps)
    return OpenCorrection(
        time=format_clock(one.time_ms),
        of=one.of,
        said=one.said,
        line=one.line,
        overlay=one.overlay,
        text=one.text,
        elsewhere=wrong or missing,
    )


def _told_above(problem: Problem, rescues: Sequence[Rescue]) -> bool:
    """Whether the page has it already: in the rescue list, among the wrong figures or the corrections."""
    if problem.code in _OF_A_GAP:
        return any(rescue.row.addition.place == problem.place for rescue in rescues)
    return problem.code == "said-other-amount" or problem.code.startswith("spoken-")


_OF_A_GAP = frozenset({"no-shot", "no-circled-take", "not-heard", "not-named", "said-left-out"})


def _cooked(one: AsCooked) -> CookedDish:
    without = f"without {' and '.join(one.without)}" if one.without else ""
    not_counted = f"not counted: {', '.join(one.not_counted)}" if one.not_counted else ""
    return CookedDish(
        name=one.dish.short,
        why="; ".join(filter(None, (without, not_counted))),
        cooked=macro_words(one.cooked),
        written=macro_words(one.written),
    )


def _rescue(rescue: Rescue, coverage: Coverage) -> RescueEntry:
    return RescueEntry(
        name=rescue.row.addition.ingredient.short_name,
        where=_where(rescue.row, coverage),
        why=", ".join(rescue.why),
        insert=rescue.insert,
        line=rescue.line,
        overlay=rescue.overlay,
        span=_span(rescue),
        description=rescue.description,
        accept=rescue.accept,
    )


# --- figures and words --------------------------------------------------------------------------------------------------


def counts(coverage: Coverage) -> str:
    """``17 additions: 17 planned, 16 circled, 15 heard``."""
    rows = coverage.rows
    parts = [f"{sum(bool(r.shots) for r in rows)} with a shot"]
    if coverage.takes is not None:
        parts.append(f"{sum(r.circled is True for r in rows)} with a circled take")
    if coverage.cut is not None:
        parts.append(f"{sum(r.time_ms is not None for r in rows)} in the cut")
    if any(r.heard is not None for r in rows):
        parts.append(f"{sum(r.spoken_ms is not None for r in rows)} heard")
    return f"{len(rows)} addition{'' if len(rows) == 1 else 's'}: {', '.join(parts)}"


def _status(row: AdditionStatus) -> str:
    """``not heard, the overlay says it``, ``heard as “funnel”``."""
    as_what = f" as “{row.heard_as}”" if row.heard_as else ""
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


def _at(ms: int | None) -> str:
    return "" if ms is None else format_clock(ms)


def _span(rescue: Rescue) -> str:
    cue = rescue.cue
    if cue is None:
        return "no free place in the cut" if rescue.row.in_cut else ""
    return f"{_exact(cue.start_ms)} to {_exact(cue.end_ms)}{'' if rescue.row.in_cut else ' of the planned cut'}"


def _exact(ms: int) -> str:
    """A moment to the hundredth of a second."""
    return f"{format_clock(ms)}.{ms % 1000 // 10:02d}"


def _gates(coverage: Coverage) -> tuple[OpenGate, ...]:
    """What is open before each step that cannot be repeated, an addition once: before the first that it is too late for."""
    told: set[Place] = set()
    gates = []
    for gate in coverage.gates:
        fresh = [row for row in gate.open if row.addition.place not in told]
        told |= {row.addition.place for row in fresh}
        if fresh:
            where = f"{gate.dish.short}, step {gate.step.number} ({gate.step.id})"
            gates.append(OpenGate(where=where, open=", ".join(row.addition.ingredient.short_name for row in fresh)))
    return tuple(gates)


def _where(row: AdditionStatus, coverage: Coverage) -> str:
    dish = f"{row.dish.short}, " if isinstance(coverage.source, Meal) else ""
    return f"{dish}step {row.step.number} ({row.step.id})"


def _nothing_said(coverage: Coverage) -> str:
    one_line = coverage.transcript is not None and len(coverage.transcript.lines) == 1
    why = "holds only one line" if one_line else "seems to be of another video"
    return f"The transcript {why}, so it is not used to tell what is heard."
