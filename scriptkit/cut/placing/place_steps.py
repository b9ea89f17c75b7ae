"""Place every step of the recipe in the cut by what is said in it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scriptkit.cut.placement import HAND, Cut, Placement
from scriptkit.cut.placing.evidence import FEATURES, LENGTHS, Query, Row, lengths_of, query, rows_for
from scriptkit.cut.placing.forward_backward import Chain, shares
from scriptkit.cut.placing.placement_warnings import doubted, one_line, other_video
from scriptkit.cut.placing.speech import MOOD_NAMES, Speech, speech_of
from scriptkit.cut.placing.video_match import OTHER_VIDEO, this_video
from scriptkit.cut.placing.weights import weights
from scriptkit.cut.step_names import Pair, steps_of
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.english.stems import stems_in
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.plan import STEP, dishes_of, plan_of

LEAST_SURE = 0.25
"""A step that is three times as likely somewhere else is not placed."""
FIRST_STEP, STEPS_SHARE = 0.10, 0.82
"""Where steps stand in a cut of which no time is planned, as shares of it: learned from the benchmark's videos."""
NEAR_MS = 20_000
"""A step that is set by hand so near to where it is heard out of order is meant to stand there."""
PLANNED = 4.0
"""How much more a planned time tells than that (common sense, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What placing found out on the way."""

    pairs: Sequence[Pair]
    queries: Sequence[Query]
    speech: Speech
    rows: Sequence[Sequence[Row]]
    shares: Sequence[Sequence[float]]


def place(source: Dish | Meal, transcript: Transcript, by_hand: Cut | None = None) -> Cut:
    """Every step in cook order, each at the moment where it most likely is on screen. What ``by_hand`` holds as set by hand
    stays, and the steps around it follow it. A transcript of another video is not aligned."""
    pairs = steps_of(source)
    kept = {
        (p.dish.name, p.step.id): p
        for p in (by_hand.placements if by_hand else ())
        if p.known_from == HAND and p.time_ms is not None
    }
    anchors = {n: p.time_ms or 0 for n, (d, s) in enumerate(pairs) if (p := kept.get((d.name, s.id)))}
    work = work_on(source, transcript, _in_their_place(source, transcript, anchors))
    confidence = this_video(work.queries, work.speech)
    aligned = bool(anchors) or confidence >= OTHER_VIDEO
    placements = _placements(work, anchors, aligned)
    if aligned:
        placements, problems = doubted(placements, work.queries, work.speech, transcript.file)
    elif len(transcript.lines) == 1:
        problems = [one_line(transcript.file)]
    else:
        problems = [other_video(work.queries, work.speech, transcript.file)]
    return Cut(
        title=source.name,
        length_ms=transcript.lines[-1].end_ms if transcript.lines else 0,
        placements=tuple(placements),
        confidence=round(confidence, 3),
        problems=tuple(problems),
    )


def _placements(work: Work, by_hand_ms: Mapping[int, int], aligned: bool) -> list[Placement]:
    placements = []
    for n, (dish, step) in enumerate(work.pairs):
        if n in by_hand_ms:
            placements.append(Placement(dish=dish, step=step, time_ms=by_hand_ms[n], confidence=1.0, known_from=HAND))
            continue
        at, sure = best_of(work, n) if aligned else (0, 0.0)
        time_ms = round((at + 0.5) * work.speech.bin_ms) if sure >= LEAST_SURE else None
        placements.append(Placement(dish=dish, step=step, time_ms=time_ms, confidence=round(sure, 3)))
    return placements


def _in_their_place(source: Dish | Meal, transcript: Transcript, by_hand_ms: Mapping[int, int]) -> Mapping[int, int]:
    """Those set by hand that the steps around them can follow: not where a step is itself said out of order, as a person
    was told and has now confirmed."""
    if not by_hand_ms:
        return by_hand_ms
    free = work_on(source, transcript, {})
    heard, _ = doubted(_placements(free, {}, True), free.queries, free.speech, transcript.file)
    elsewhere = {n: p.elsewhere_ms for n, p in enumerate(heard) if p.elsewhere_ms is not None}
    return {n: ms for n, ms in by_hand_ms.items() if n not in elsewhere or abs(ms - elsewhere[n]) > NEAR_MS}


def work_on(source: Dish | Meal, transcript: Transcript, anchors_ms: Mapping[int, int]) -> Work:
    """``anchors_ms``: number of a step, from 0 in the order of steps_of, → when it is known to be."""
    pairs = steps_of(source)
    queries = [
        query(
            step.reading, [a.ingredient.name for a in step.additions] + [i.name for i in step.uses], step.say, planned
        )
        for (_, step), planned in zip(pairs, planned_shares(source, pairs), strict=True)
    ]
    names = frozenset(s for dish in dishes_of(source) for i in dish.ingredients for s in stems_in(i.name))
    speech = speech_of(transcript, names, 2 * len(pairs) + 2)
    rows = rows_for(queries, speech, names)
    stated = any(step.screen_ms is not None for _, step in pairs)
    chain = chain_of(queries, speech, rows, planned_weight=PLANNED if stated else 1.0)
    anchors = _in_order({n: min(speech.bins - 1, int(ms / speech.bin_ms)) for n, ms in anchors_ms.items()})
    return Work(pairs=pairs, queries=queries, speech=speech, rows=rows, shares=shares(chain, anchors))


def planned_shares(source: Dish | Meal, pairs: Sequence[Pair]) -> list[float]:
    """The middle of each step in the planned cut, 0 to 1; evenly spread where no screen time is stated."""
    usual = [FIRST_STEP + STEPS_SHARE * (n + 0.5) / len(pairs) for n in range(len(pairs))]
    if not any(step.screen_ms is not None for _, step in pairs):
        return usual
    plan = plan_of(source)
    middle = {
        (s.dish.name, s.step.id): (s.start_ms + s.end_ms) / 2 / plan.length_ms
        for s in plan.segments
        if s.kind == STEP and s.dish and s.step
    }
    return [middle.get((dish.name, step.id), u) for (dish, step), u in zip(pairs, usual, strict=True)]


def chain_of(
    queries: Sequence[Query], speech: Speech, rows: Sequence[Sequence[Row]], *, planned_weight: float
) -> Chain:
    """The chain of the cut by the learned weights."""
    of = weights()
    bins, steps = speech.bins, len(queries)
    pace = speech.bin_ms / 2000
    counted = [of[name] for name in FEATURES]
    base, planned = of["any step"], of["planned place"] * planned_weight * 10
    shares = [(t + 0.5) / bins for t in range(bins)]
    usual = [q.planned for q in queries]
    fit = [[base - planned * (share - at) * (share - at) for at in usual] for share in shares]
    for i, of_step in enumerate(rows):
        for figure, row in zip(counted, of_step, strict=True):
            for t, value in row.items():
                fit[t][i] += figure * value
    talk = [[of[f"{when}: {name}"] for name in MOOD_NAMES] for when in ("opening", "between", "closing")]
    gaps = [[sum(w * m for w, m in zip(row, moods, strict=True)) for row in talk] for moods in speech.moods]
    tops = [max(max(fit[t], default=0.0), *gaps[t]) for t in range(bins)]
    longer = math.log(max(bins * 2 / max(steps, 1) / 40, 1e-6))
    stays = [
        of["step goes on"]
        + of["step goes on: fewer steps"] * longer
        + sum(of[f"step goes on: {name}"] * x for name, x in zip(LENGTHS, lengths_of(q), strict=True))
        for q in queries
    ]
    return Chain(
        step=[[math.exp((x - top) * pace) for x in row] for row, top in zip(fit, tops, strict=True)],
        opening=[math.exp((g[0] - top) * pace) for g, top in zip(gaps, tops, strict=True)],
        between=[math.exp((g[1] - top) * pace) for g, top in zip(gaps, tops, strict=True)],
        closing=[math.exp((g[2] - top) * pace) for g, top in zip(gaps, tops, strict=True)],
        stay=[_exp(x * pace) for x in stays],
        stay_opening=_exp(of["opening goes on"] * pace),
        stay_between=1.0,
        stay_closing=_exp(of["closing goes on"] * pace),
        enter=_exp(of["step begins"]),
        leave=_exp(of["step ends"]),
        direct=_exp(of["step to step"]),
        skip=_exp(of["step left out"]),
    )


def _exp(power: float) -> float:
    """Of a cut of days, as broken times make one, a stretch is so long that the powers would pass all bounds."""
    return math.exp(min(power, 50.0))


def _in_order(anchors: Mapping[int, int]) -> dict[int, int]:
    """Stretch → step, of as many anchors as stand in the recipe's order, each in a stretch of its own."""
    best: list[list[tuple[int, int]]] = []
    for n, at in sorted(anchors.items()):
        longest = max((way for way in best if way[-1][1] < at), key=len, default=[])
        best.append([*longest, (n, at)])
    return {at: n for n, at in max(best, key=len, default=[])}


def best_of(work: Work, n: int) -> tuple[int, float]:
    """The stretch that is most likely the step's, and how sure it is, 0 to 1."""
    share = work.shares[n]
    at = max(range(len(share)), key=share.__getitem__)
    features = sureness(work, n, at)
    of = weights()
    return at, _logistic(of["sure"] + sum(of[f"sure: {name}"] * x for name, x in features.items()))


def sureness(work: Work, n: int, at: int) -> dict[str, float]:
    """What tells how sure a placement is: its share, how widely the share is spread in seconds, the words of the step and how
    many of them are said at all, and how much is spoken in a minute of the cut."""
    share = work.shares[n]
    top, whole = share[at], sum(share) or 1e-12
    spread = math.sqrt(sum(p * (t - at) ** 2 for t, p in enumerate(share) if p) / whole) * work.speech.bin_ms / 1000
    terms = work.queries[n].terms
    said = sum(term in work.speech.said for term in terms) / (len(terms) or 1)
    return {
        "share": math.log((top + 1e-3) / (1 - top + 1e-3)),
        "spread": math.log(spread + 1),
        "words": math.log(len(terms) + 1),
        "words said": said,
        "talk": math.log(work.speech.words * 60_000 / (work.speech.bins * work.speech.bin_ms) + 1),
    }


def _logistic(x: float) -> float:
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, x))))
