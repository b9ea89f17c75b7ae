"""The coverage report for machines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.rescue import Rescue
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.nutrition.macros import Macros
from scriptkit.papers.tables import JsonObject
from scriptkit.problems import Problem
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.shoot.log.clip_problems import take_name

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.shoot.log.clip_matching import ClipMatch


def coverage_json(
    coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem], clips: ClipMatch | None = None
) -> JsonObject:
    """The whole report for machines: times in seconds, shares from 0 to 1, None where it is not known. ``clips``: where the camera's
    files were looked at."""
    return {
        "title": coverage.source.name,
        "problems": [p.as_json() for p in problems],
        "steps": _steps_json(coverage),
        "order": []
        if coverage.cut is None
        else [{"dish": p.dish.name, "id": p.step.id} for p in coverage.cut.in_time if p.time_ms is not None],
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
        "corrections": [
            {
                "time_s": _s(c.time_ms),
                "of": c.of,
                "said": c.said,
                "line": c.line,
                "overlay": c.overlay,
                "text": c.text,
                "accepted": c.accepted,
                "recipe": None
                if c.change is None
                else {"file": c.change.file, "line": c.change.place.line, "change": c.change.words},
            }
            for c in coverage.corrections
        ],
        "cooked": [
            {
                "dish": one.dish.name,
                "without": list(one.without),
                "not_counted": list(one.not_counted),
                "said_amounts": list(one.said_amounts),
                "serving": _figures(one.written),
                "serving_as_cooked": None if one.cooked is None else _figures(one.cooked),
            }
            for one in coverage.cooked
        ],
        "rescue": [_rescue_json(rescue) for rescue in rescues],
        "clips": None if clips is None else _clips_json(clips),
    }


def _clips_json(match: ClipMatch) -> JsonObject:
    return {
        "takes": [
            {
                "take": take_name(one.take),
                "line": one.take.place.line,
                "file": one.clip.file,
                "by": one.how,
                "sure": not one.or_else,
            }
            for one in match.found
        ],
        "takes_waiting_for_a_clock": [take_name(t) for t in match.waiting],
        "takes_without_clip": [
            {"take": take_name(t), "line": t.place.line, "circled": t.circled} for t in match.without_clip
        ],
        "clips_without_take": [clip.file for clip in match.without_take],
        "clocks": [
            {"camera": c.camera, "clock": c.clock, "apart_s": _s(c.apart_ms), "takes": c.agreeing, "applied": c.applied}
            for c in match.clocks
        ],
    }


def _steps_json(coverage: Coverage) -> list[JsonObject]:
    if coverage.cut is not None:
        begins = coverage.cut.begins_ms
        return [
            {
                "id": p.step.id,
                "dish": p.dish.name,
                "time_s": _s(p.time_ms),
                "start_s": _s(begins.get(p.step.place)),
                "confidence": round(p.confidence, 3),
                "known_from": p.known_from if p.time_ms is not None else None,
            }
            for p in coverage.cut.placements
        ]
    return [
        {"id": step.id, "dish": dish.name, "time_s": None, "start_s": None, "confidence": 0.0, "known_from": None}
        for dish in dishes_of_the_day(coverage.source)
        for step in dish.in_shoot_order
    ]


def _figures(macros: Macros) -> JsonObject:
    names = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
    return {n: None if (figure := macros.figure(n)) is None else round(figure, 2) for n in names}


def _s(ms: int | None) -> float | None:
    return None if ms is None else round(ms / 1000, 3)


def _addition_json(row: AdditionStatus) -> JsonObject:
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
        "mention": None if row.effect is None else row.effect.effect,
        "mention_s": None if row.effect is None else _s(row.effect.time_ms),
        "mention_words": row.effect.words or None if row.effect is not None else None,
        "unfilmed": row.accepted or (row.effect is not None and row.effect.unfilmed),
    }


def _claim_json(claim: Claim) -> JsonObject:
    return {
        "time_s": _s(claim.time_ms),
        "line": claim.line.line,
        "text": claim.said,
        "kind": claim.kind,
        "said": claim.words,
        "of": claim.subject,
        "dish": claim.dish.name if claim.dish else None,
        "step": claim.step.id if claim.step else None,
        "recipe": claim.recipe or None,
        "verdict": claim.verdict,
        "agrees": claim.agrees,
        "off": claim.off or None,
    }


def _rescue_json(rescue: Rescue) -> JsonObject:
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
