"""The coverage report as text, as JSON, and as the values of its page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from scriptkit.cut.coverage import Coverage
from scriptkit.cut.rescue import Rescue
from scriptkit.cut.statuses import Row, Status
from scriptkit.measure.durations import format_clock
from scriptkit.problems import Place, Problem, printable
from scriptkit.recipe.dish import Meal
from scriptkit.shoot.mise import grams_text
from scriptkit.shoot.plan import dishes_of
from scriptkit.shoot.take_log import Take

if TYPE_CHECKING:
    from scriptkit.cut.claim import Claim

# --- JSON -------------------------------------------------------------------------------------------------------------


def coverage_json(coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem]) -> dict[str, Any]:
    """The whole report for machines: times in seconds, shares from 0 to 1, None where it is not known."""
    return {
        "title": coverage.source.name,
        "problems": [p.as_json() for p in problems],
        "steps": _steps_json(coverage),
        "confidence": None if coverage.cut is None else round(coverage.cut.confidence, 3),
        "additions": [_addition_json(row) for row in coverage.rows],
        "not_heard": list(coverage.not_heard),
        "open_before": [
            {"dish": g.dish.name, "step": g.step.id, "open": [row.name for row in g.open]}
            for g in coverage.gates
            if g.open
        ],
        "admitted": [
            {
                "time_s": _s(a.time_ms),
                "words": a.words,
                "step": a.step.id if a.step else None,
                "ingredient": a.addition.ingredient.name if a.addition else None,
            }
            for a in coverage.admissions
        ],
        "claims": [_claim_json(claim) for claim in coverage.claims],
        "rescue": [_rescue_json(rescue) for rescue in rescues],
    }


def _steps_json(coverage: Coverage) -> list[dict[str, Any]]:
    if coverage.cut is not None:
        return [
            {
                "id": p.step.id,
                "dish": p.dish.name,
                "time_s": _s(p.time_ms),
                "confidence": round(p.confidence, 3),
                "known_from": p.known_from if p.time_ms is not None else None,
            }
            for p in coverage.cut.placements
        ]
    return [
        {"id": step.id, "dish": dish.name, "time_s": None, "confidence": 0.0, "known_from": None}
        for dish in dishes_of(coverage.source)
        for step in dish.in_shoot_order
    ]


def _s(ms: int | None) -> float | None:
    return None if ms is None else round(ms / 1000, 3)


def _addition_json(row: Row) -> dict[str, Any]:
    return {
        "dish": row.dish.name,
        "step": row.step.id,
        "ingredient": row.name,
        "amount_g": None if row.addition.grams is None else round(row.addition.grams, 1),
        "status": row.status.value,
        "shots": [shot.slate for shot in row.shots],
        "takes": None if row.takes is None else len(row.takes),
        "circled": row.circled,
        "time_s": _s(row.time_ms),
        "heard": None if row.heard is None else row.spoken_ms is not None,
        "heard_s": _s(row.spoken_ms),
        "heard_as": row.heard_as or None,
        "unfilmed": row.accepted,
    }


def _claim_json(claim: Claim) -> dict[str, Any]:
    return {
        "time_s": _s(claim.time_ms),
        "line": claim.line.line,
        "text": claim.line.text,
        "kind": claim.kind,
        "said": claim.words,
        "of": claim.subject,
        "dish": claim.dish.name if claim.dish else None,
        "step": claim.step.id if claim.step else None,
        "recipe": claim.recipe or None,
        "agrees": claim.agrees,
        "off": claim.off or None,
    }


def _rescue_json(rescue: Rescue) -> dict[str, Any]:
    cue = rescue.cue
    return {
        "dish": rescue.row.dish.name,
        "step": rescue.row.step.id,
        "ingredient": rescue.row.name,
        "why": list(rescue.why),
        "insert": rescue.insert,
        "line": rescue.line,
        "overlay": {
            "text": rescue.overlay,
            "start_s": _s(cue.start_ms) if cue else None,
            "end_s": _s(cue.end_ms) if cue else None,
            "timed_by": None if cue is None else "cut" if rescue.row.in_cut else "plan",
        },
        "description": rescue.description,
        "accept": rescue.accept,
    }


# --- figures and words that text and page share ------------------------------------------------------------------------


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


def _status(row: Row) -> str:
    """``not heard, the overlay says it``, ``heard as “funnel”``."""
    as_what = f" as “{row.heard_as}”" if row.heard_as else ""
    return f"{row.status.value}{as_what}{', the overlay says it' if row.accepted else ''}"


def _takes_words(row: Row) -> str:
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


def _gates(coverage: Coverage) -> list[dict[str, str]]:
    """What is open before each step that cannot be repeated, an addition once: before the first that it is too late for."""
    told: set[Place] = set()
    gates = []
    for gate in coverage.gates:
        fresh = [row for row in gate.open if row.addition.place not in told]
        told |= {row.addition.place for row in fresh}
        if fresh:
            where = f"{gate.dish.short}, step {gate.step.number} ({gate.step.id})"
            gates.append({"where": where, "open": ", ".join(row.name for row in fresh)})
    return gates


def _where(row: Row, coverage: Coverage) -> str:
    dish = f"{row.dish.short}, " if isinstance(coverage.source, Meal) else ""
    return f"{dish}step {row.step.number} ({row.step.id})"


# --- text -------------------------------------------------------------------------------------------------------------


def _nothing_said(coverage: Coverage) -> str:
    one_line = coverage.transcript is not None and len(coverage.transcript.lines) == 1
    why = "holds only one line" if one_line else "seems to be of another video"
    return f"The transcript {why}; nothing is said of what is heard."


def coverage_text(coverage: Coverage, rescues: Sequence[Rescue]) -> str:
    """For the terminal: the matrix, what is open, what is claimed wrongly, and the rescue list."""
    parts = [f"{coverage.source.name}: {counts(coverage)}", "", *_matrix_text(coverage)]
    if coverage.other_video:
        parts += ["", _nothing_said(coverage)]
    elif coverage.cut is not None:
        parts += ["", f"Steps in the cut, confidence {coverage.cut.confidence:.2f}", *_steps_text(coverage)]
    if gates := _gates(coverage):
        parts += ["", "Still open before what cannot be repeated"]
        parts += [f"  before {gate['where']}: {gate['open']}" for gate in gates]
    if coverage.claims:
        wrong = [c for c in coverage.claims if c.agrees is False]
        agree = sum(c.agrees is True for c in coverage.claims)
        parts += ["", f"Figures that are said: {agree} as in the recipe, {len(wrong)} otherwise"]
        parts += [f"  {format_clock(c.time_ms)}  “{c.words}” of {c.subject}: {c.recipe}; {c.off}" for c in wrong]
    if rescues:
        parts += ["", "Rescue list"]
        for rescue in rescues:
            parts += _rescue_text(rescue, coverage)
    return "\n".join(printable(line) for part in parts for line in part.split("\n"))


def _matrix_text(coverage: Coverage) -> list[str]:
    head = ["addition", "where", "shots"]
    head += ["takes"] if coverage.takes is not None else []
    head += ["cut"] if coverage.cut is not None else []
    rows = [[*head, "status"]]
    for row in coverage.rows:
        cells = [
            f"{row.name}, {grams_text(row.addition)}",
            _where(row, coverage),
            " ".join(s.slate for s in row.shots) or "none",
        ]
        cells += [_takes_words(row)] if coverage.takes is not None else []
        cells += [_at(row.shown_ms)] if coverage.cut is not None else []
        rows.append([*cells, _status(row)])
    return _columns(rows)


def _columns(rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def _steps_text(coverage: Coverage) -> list[str]:
    placements = coverage.cut.placements if coverage.cut else ()
    return _columns(
        [
            [f"  {_at(p.time_ms) or '—'}", f"{p.confidence:.2f}", f"{p.dish.short}, step {p.step.number} ({p.step.id})"]
            for p in placements
        ]
    )


def _rescue_text(rescue: Rescue, coverage: Coverage) -> list[str]:
    span = _span(rescue)
    lines = [
        f"  {rescue.row.name}, {_where(rescue.row, coverage)}: {', '.join(rescue.why)}",
        f"    record       {rescue.insert}",
        f"    say          {rescue.line}",
        f"    overlay      {rescue.overlay}" + (f"  {span}" if span else ""),
        f"    description  {rescue.description}",
    ]
    return [*lines, f"    accept       write `{rescue.accept}` at the step: the overlay then says it"]


# --- page -------------------------------------------------------------------------------------------------------------


def coverage_page(coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem]) -> dict[str, Any]:
    """Matrices of additions against the shots of their step, and what else was found."""
    return {
        "counts": counts(coverage),
        "steps": _step_tables(coverage),
        "with_log": coverage.takes is not None,
        "with_cut": coverage.cut is not None,
        "heard_known": any(row.heard is not None for row in coverage.rows),
        "confidence": "" if coverage.cut is None else f"{coverage.cut.confidence:.2f}",
        "other_video": _nothing_said(coverage) if coverage.other_video else "",
        "gates": _gates(coverage),
        "wrong": [_claim_page(c) for c in coverage.claims if c.agrees is False],
        "agree": sum(c.agrees is True for c in coverage.claims),
        "rescues": [
            {
                "name": rescue.row.name,
                "where": _where(rescue.row, coverage),
                "why": ", ".join(rescue.why),
                "insert": rescue.insert,
                "line": rescue.line,
                "overlay": rescue.overlay,
                "span": _span(rescue),
                "description": rescue.description,
                "accept": rescue.accept,
            }
            for rescue in rescues
        ],
        "problems": [
            {
                "where": f"{p.place.file}:{p.place.line}",
                "severity": p.severity.value,
                "message": printable(p.message),
                "hint": printable(p.hint),
            }
            for p in problems
        ],
    }


def _claim_page(claim: Claim) -> dict[str, str]:
    return {
        "time": format_clock(claim.time_ms),
        "words": claim.words,
        "of": claim.subject,
        "recipe": claim.recipe,
        "off": claim.off,
        "text": claim.line.text,
    }


_BAD = frozenset({Status.NO_SHOT, Status.NOT_HEARD})


def _step_tables(coverage: Coverage) -> list[dict[str, Any]]:
    """A step with additions: a column for each of its shots, a row for each addition."""
    tables: list[dict[str, Any]] = []
    for row in coverage.rows:
        shots = [s for s in coverage.shots if s.step is row.step]
        title = f"{row.dish.short}, step {row.step.number}: {row.step.id}"
        if not tables or tables[-1]["title"] != title:
            tables.append({"title": title, "at": _at(row.time_ms), "slates": [s.slate for s in shots], "rows": []})
        gap = row in coverage.gaps
        tables[-1]["rows"].append(
            {
                "name": row.name,
                "amount": grams_text(row.addition),
                "cells": [_cell(row, shot.slate) for shot in shots],
                "takes": "" if row.circled else _takes_words(row),
                "heard": _at(row.spoken_ms),
                "status": _status(row),
                "gap": gap,
            }
        )
    return tables


def _cell(row: Row, slate: str) -> dict[str, str]:
    """What of the addition the shot has: a circled take, takes, or only the plan."""
    takes = [take for take in row.takes or () if take.shot.slate == slate]
    circled = [take for take in takes if take.circled]
    if circled:
        return {"mark": "circled", "words": ", ".join(map(_number, circled))}
    if takes:
        return {"mark": "taken", "words": ", ".join(f"{_number(t)} {t.verdict}" for t in takes)}
    planned = any(shot.slate == slate for shot in row.shots)
    return {"mark": "planned" if planned else "", "words": "planned" if planned else ""}
