"""Place every step of the recipe in the cut by what is said in it."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from operator import mul

from scriptkit.cut.placement import HAND, TAKE, Cut, Placement
from scriptkit.cut.placing.evidence import Query, Row, query, rows_for
from scriptkit.cut.placing.forward_backward import shares
from scriptkit.cut.placing.left_out import HowHeard, left_out, speaks_for, wait_heard
from scriptkit.cut.placing.log_fit import LogFit, chain_of, log_fit
from scriptkit.cut.placing.placement_warnings import Telling, doubted, hands_against_order, one_line, other_video
from scriptkit.cut.placing.planned_places import Planned, planned_in
from scriptkit.cut.placing.speech import Speech, speech_of
from scriptkit.cut.placing.step_order import Before, predecessors
from scriptkit.cut.placing.told_otherwise import end_told, only_rests, rest_told
from scriptkit.cut.placing.video_match import OTHER_VIDEO, this_video
from scriptkit.cut.placing.weights import weights
from scriptkit.cut.step_names import Pair, steps_of
from scriptkit.cut.step_starts import Sentence, sentences_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.stems import stems_in
from scriptkit.problems import Place, Problem
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal, Step

ABOUT_MS = 4_000
"""A step is placed where it is likeliest within so much on both sides: nearer to it than where one stretch is likeliest (tried on the
benchmark, in folds: 0.2 points more within 5 s, 0.4 within 10 s; in cuts of two dishes 0.4 to 1.4)."""
SOME_WORDS, NEARLY = 0.3, 0.4
"""Of the words that tell a step so much is said, and a stretch is so much as likely as the likeliest, of which none are (common sense,
no source)."""
LEAST_SURE = 0.25
"""A step that is three times as likely somewhere else is not placed."""
PLANNED = 4.0
"""How much more a planned time tells than that (common sense, no source)."""
BEGUN = 0.7
"""Of the share that a step has where it is surest: with it, half of the starts are within 3 s in the benchmark's videos."""
FITS_BETTER = 0.2
"""By how much, as a logarithm, a stretch must fit a step better than talk between steps to be its first."""
LINE_READ = 0.9
"""How sure a step is whose line of the script is read there (our own figure)."""
SURE = 0.65
"""A step that is surer stays where it is heard, whatever a time set by hand says of its neighbours."""


@dataclass(frozen=True, kw_only=True)
class Heard:
    """What is heard of each step, before anything is placed. ``before``: which steps each must come after."""

    pairs: Sequence[Pair]
    before: Before
    planned: Planned
    queries: Sequence[Query]
    speech: Speech
    rows: Sequence[Sequence[Row]]
    log: LogFit
    lines: Sequence[SpokenLine]
    transcript: Transcript

    @functools.cached_property
    def sentences(self) -> Sequence[Sentence]:
        """What is said, sentence by sentence."""
        return sentences_of(self.transcript)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What placing found out on the way."""

    pairs: Sequence[Pair]
    queries: Sequence[Query]
    speech: Speech
    rows: Sequence[Sequence[Row]]
    shares: Sequence[Sequence[float]]


LinesRead = Callable[[], Mapping[Place, tuple[int, int]]]
"""From when to when the line of each step is read, in ms, by the step's place; asked only where a step is not found otherwise."""


def place(
    source: Dish | Meal, transcript: Transcript, by_hand: Cut | None = None, lines_read: LinesRead | None = None
) -> Cut:
    """Every step, in the order of the plan, each at the moment where it most likely is on screen, in whatever order the cut shows
    them. What ``by_hand`` holds as set by hand stays; it tells where a step is that is hardly heard, and moves no other. A step that
    is not found by its own words stands where its line of the script is read. A transcript of another video is not aligned."""
    heard = heard_of(source, transcript)
    kept = {
        (p.dish.name, p.step.id): p
        for p in (by_hand.placements if by_hand else ())
        if p.known_from in (HAND, TAKE) and p.time_ms is not None
    }
    gone = {(p.dish.name, p.step.id) for p in (by_hand.placements if by_hand else ()) if p.is_left_out}
    set_ = {n: p for n, (d, s) in enumerate(heard.pairs) if (p := kept.get((d.name, s.id)))}
    hands = {n: p.time_ms or 0 for n, p in set_.items()}
    confidence = this_video(heard.queries, heard.speech)
    aligned = bool(hands) or confidence >= OTHER_VIDEO
    telling = Telling(heard.queries, heard.speech)
    placements = _placements(heard, telling, aligned)
    length_ms = transcript.lines[-1].end_ms if transcript.lines else 0
    if aligned:
        placements, told = _with_hands(heard, telling, placements, hands, length_ms)
        placements = [replace(set_[n], confidence=1.0) if n in set_ else p for n, p in enumerate(placements)]
        placements = [_not_in_it(p) if (p.dish.name, p.step.id) in gone else p for p in placements]
        placements, read = _by_their_lines(placements, lines_read)
        read |= {n for n, p in enumerate(placements) if p.time_ms is not None and p.start_ms is None and n not in set_}
        placements, problems = doubted(placements, heard.before, telling, transcript.file, read)
        problems = [*told, *problems]
    elif len(transcript.lines) == 1:
        problems = [one_line(transcript.file)]
    else:
        problems = [other_video(heard.queries, heard.speech, transcript.file)]
    return Cut(
        title=source.name,
        length_ms=length_ms,
        placements=tuple(placements),
        confidence=round(confidence, 3),
        problems=tuple(problems),
    )


def _not_in_it(placement: Placement) -> Placement:
    return replace(placement, time_ms=None, start_ms=None, confidence=1.0, known_from=HAND)


def _by_their_lines(
    placements: Sequence[Placement], lines_read: LinesRead | None
) -> tuple[list[Placement], frozenset[int]]:
    """The placements, and the numbers of those that are placed by the line that is read."""
    missing = [n for n, p in enumerate(placements) if p.time_ms is None and not p.is_left_out]
    spans = lines_read() if lines_read is not None and missing else {}
    found, read = list(placements), set()
    for n in missing:
        if (span := spans.get(placements[n].step.place)) is not None:
            start, end = span
            found[n] = replace(placements[n], time_ms=(start + end) // 2, start_ms=start, confidence=LINE_READ)
            read.add(n)
    return found, frozenset(read)


def heard_of(source: Dish | Meal, transcript: Transcript) -> Heard:
    """Of every step, in the order of the plan."""
    pairs = steps_of(source)
    planned = planned_in(source, pairs)
    queries = [
        query(step.reading, _names_at(step), step.say, at) for (_, step), at in zip(pairs, planned.middles, strict=True)
    ]
    names = frozenset(s for dish in dishes_of_the_day(source) for i in dish.ingredients for s in stems_in(i.name))
    speech = speech_of(transcript, names, 2 * len(pairs) + 2)
    rows = rows_for(queries, speech, names)
    log = log_fit(queries, speech, rows, planned_weight=PLANNED if planned.stated else 1.0)
    return Heard(
        pairs=pairs, before=predecessors(pairs), planned=planned, queries=queries, speech=speech, rows=rows, log=log,
        lines=transcript.lines, transcript=transcript,
    )  # fmt: skip


def _names_at(step: Step) -> list[str]:
    """What the step is about by name: what goes in or is used."""
    return [a.ingredient.name for a in step.additions] + [i.name for i in step.uses]


def _placements(heard: Heard, telling: Telling, aligned: bool) -> list[Placement]:
    """By what is heard alone. The steps of one dish are taken to follow one another as planned, and where one of them is clearly
    heard elsewhere, or there are several dishes, any order is."""
    if not aligned:
        return [Placement(dish=dish, step=step, time_ms=None, confidence=0.0) for dish, step in heard.pairs]
    any_order = len({(dish.file, dish.name) for dish, _ in heard.pairs}) > 1
    found = _placed(_work(heard, {}, any_order=any_order), heard, telling)
    if not any_order and telling.out_of_order([p.time_ms for p in found]):
        found = _placed(_work(heard, {}, any_order=True), heard, telling)
    return found


def _placed(work: Work, heard: Heard, telling: Telling) -> list[Placement]:
    best = _where_spoken_of(work, telling, [best_of(work, n) for n in range(len(work.pairs))])
    absent = left_out(
        [_how_heard(work, heard, telling, n, at) for n, (at, _) in enumerate(best)],
        additions_known=any(step.additions for _, step in work.pairs),
    )
    absent |= _unsaid_rests(work, best, heard)
    placements = []
    for n, (dish, step) in enumerate(work.pairs):
        at, sure = best[n]
        bin_ms, share = work.speech.bin_ms, work.shares[n]
        said_ms = _said_otherwise(step, n, best, absent, heard, bin_ms) if n in absent and sure >= LEAST_SURE else None
        if said_ms is not None:
            placements.append(Placement(dish=dish, step=step, time_ms=said_ms, confidence=round(sure, 3)))
            continue
        if sure < LEAST_SURE or n in absent:
            placements.append(Placement(dish=dish, step=step, time_ms=None, confidence=round(min(sure, LEAST_SURE), 3)))
            continue
        time_ms, start_ms = (at + 0.5) * bin_ms, start_of(share, heard.log, n, at) * bin_ms
        placements.append(
            Placement(dish=dish, step=step, time_ms=round(time_ms), start_ms=round(start_ms), confidence=round(sure, 3))
        )
    return placements


def _unsaid_rests(work: Work, best: Sequence[tuple[int, float]], heard: Heard) -> frozenset[int]:
    """Steps that are a rest alone, where talk that is otherwise of the recipe has no word of one about their place."""
    found = []
    for n, (_, step) in enumerate(work.pairs):
        if (
            only_rests(step)
            and step.wait_ms
            and not rest_told(heard.sentences, (best[n][0] + 0.5) * work.speech.bin_ms)
        ):
            found.append(n)
    return frozenset(found)


def _said_otherwise(
    step: Step, n: int, best: Sequence[tuple[int, float]], absent: frozenset[int], heard: Heard, bin_ms: float
) -> int | None:
    """Where a step of which no word is said is told of: by its wait, or, the last of a dish, as its end."""
    said_ms = _wait_said(step, n, best, heard, bin_ms)
    if said_ms is not None or any(n in of for of in heard.before):
        return said_ms
    moments = {m: (at + 0.5) * bin_ms for m, (at, _) in enumerate(best) if m != n and m not in absent}
    after = max((moments[m] for m in heard.before[n] if m in moments), default=0.0)
    return end_told(step, heard.sentences, after, math.inf, list(moments.values()))


def _wait_said(step: Step, n: int, best: Sequence[tuple[int, float]], heard: Heard, bin_ms: float) -> int | None:
    """Where the wait of a step at which nothing goes in is said, between what comes before it and what goes on with it."""
    if not step.wait_ms or step.additions or step.uses:
        return None
    moments = [(at + 0.5) * bin_ms for at, _ in best]
    after = max((moments[m] for m in heard.before[n]), default=0.0)
    until = min((moments[m] for m in range(len(best)) if n in heard.before[m]), default=math.inf)
    return wait_heard(step.wait_ms, heard.lines, moments[n], after, until)


def _where_spoken_of(work: Work, telling: Telling, best: Sequence[tuple[int, float]]) -> list[tuple[int, float]]:
    """The same, but where none of a step's words are said, the likeliest stretch at which some are and no other step stands, if that
    is nearly as likely."""
    bin_ms, reach = work.speech.bin_ms, round(ABOUT_MS / work.speech.bin_ms)
    found = []
    for n, (at, sure) in enumerate(best):
        if telling.share(n, round((at + 0.5) * bin_ms)) == 0:
            sums = about(work.shares[n], reach)
            some = [t for t, (of, _) in telling.at(n).items() if of >= SOME_WORDS and sums[t] >= NEARLY * sums[at]]
            free = [t for t in some if all(abs(t - other) > reach for m, (other, _) in enumerate(best) if m != n)]
            found.append((max(free, key=lambda t: (sums[t], work.shares[n][t], -t), default=at), sure))
        else:
            found.append((at, sure))
    return found


def _how_heard(work: Work, heard: Heard, telling: Telling, n: int, at: int) -> HowHeard:
    share, bin_ms = work.shares[n], work.speech.bin_ms
    words = telling.share(n, round((at + 0.5) * bin_ms))
    return HowHeard(
        log=speaks_for(heard.log, n, share, at),
        words=words,
        anywhere=words or max((of for of, _ in telling.at(n).values()), default=0.0),
        lasts_ms=sum(share) * bin_ms,
        planned_ms=work.pairs[n][1].screen_ms,
    )


def start_of(share: Sequence[float], log: LogFit, n: int, at: int) -> int:
    """The stretch in which step ``n`` most likely begins: the first before ``at`` from which on it is hardly less likely, and in which
    it fits better than mere talk."""
    first = at
    while first and share[first - 1] >= BEGUN * share[at]:
        first -= 1
    return next((t for t in range(first, at + 1) if log.step[t][n] > log.gaps[t][1] + FITS_BETTER), first)


def _work(heard: Heard, anchors: Mapping[int, int], *, any_order: bool) -> Work:
    """``anchors``: number of a step → the stretch that it is known to be in."""
    found = None
    if any_order:
        from scriptkit.cut.placing.any_order import shares_in_any_order  # numpy

        found = shares_in_any_order(heard.pairs, heard.before, heard.planned, heard.log, anchors)
    if found is None:
        chain = chain_of(heard.log, [q.planned for q in heard.queries])
        found = shares(chain, {at: n for n, at in anchors.items()} if not any_order else {})
    return Work(pairs=heard.pairs, queries=heard.queries, speech=heard.speech, rows=heard.rows, shares=found)


def _with_hands(
    heard: Heard, telling: Telling, placements: Sequence[Placement], hands: Mapping[int, int], length_ms: int
) -> tuple[list[Placement], Sequence[Problem]]:
    """The placements with those set by hand, which also tell where a step is that is hardly heard, or that is not sure of where it is
    and cannot be there. Those that contradict one another, or stand after the end, tell nothing of others."""
    if not hands:
        return list(placements), ()
    wrong, told = hands_against_order(heard.pairs, heard.before, hands, length_ms)
    anchors: dict[int, int] = {}
    for n, ms in sorted(hands.items(), key=lambda one: one[1]):
        at = min(heard.speech.bins - 1, int(ms / heard.speech.bin_ms))
        if n not in wrong and at not in anchors.values():
            anchors[n] = at
    several = len({(dish.file, dish.name) for dish, _ in heard.pairs}) > 1
    around = _placed(_work(heard, anchors, any_order=several or list(anchors) != sorted(anchors)), heard, telling)
    found = []
    for n, p in enumerate(placements):
        if n in hands:
            found.append(replace(p, time_ms=hands[n], start_ms=None, confidence=1.0, known_from=HAND))
        elif p.time_ms is None or (p.confidence < SURE and _cannot_be(heard.before, n, p.time_ms, hands, anchors)):
            found.append(around[n])
        else:
            found.append(p)
    return found, told


def _cannot_be(before: Before, n: int, time_ms: int, hands: Mapping[int, int], anchors: Mapping[int, int]) -> bool:
    """Whether a step that must come before it stands after it, or the other way round."""
    return any((m in before[n] and hands[m] > time_ms) or (n in before[m] and hands[m] < time_ms) for m in anchors)


def best_of(work: Work, n: int) -> tuple[int, float]:
    """The stretch about which the step is most likely on screen, and how sure it is, 0 to 1, that it is so within 5 s of its middle."""
    at = likeliest(work.shares[n], round(ABOUT_MS / work.speech.bin_ms))
    of = weights()
    return at, _logistic(of["sure"] + sum(of[f"sure: {name}"] * x for name, x in sureness(work, n, at).items()))


def likeliest(share: Sequence[float], reach: int) -> int:
    """The stretch that has the most with ``reach`` stretches on both its sides; of equals the one that has the most itself."""
    sums = about(share, reach)
    most = max(sums)
    return max((t for t, x in enumerate(sums) if x == most), key=share.__getitem__)


def about(share: Sequence[float], reach: int) -> list[float]:
    """For each stretch what it has with ``reach`` stretches on both its sides."""
    sums = [0.0, *itertools.accumulate(share)]
    last = len(share)
    ends, begins = sums[reach + 1 :] + [sums[-1]] * last, [0.0] * reach + sums
    return [end - begin for end, begin in zip(ends[:last], begins[:last], strict=True)]


def sureness(work: Work, n: int, at: int) -> dict[str, float]:
    """What tells how sure a placement is: its share, how widely the share is spread in seconds, the words of the step and how
    many of them are said at all, and how much is spoken in a minute of the cut."""
    share = work.shares[n]
    top, whole = share[at], sum(share) or 1e-12
    last = len(share)
    far = sum(map(mul, share, _squares(last)[last - at : 2 * last - at]))
    spread = math.sqrt(far / whole) * work.speech.bin_ms / 1000
    terms = work.queries[n].terms
    said = sum(term in work.speech.said for term in terms) / (len(terms) or 1)
    return {
        "share": math.log((top + 1e-3) / (1 - top + 1e-3)),
        "spread": math.log(spread + 1),
        "words": math.log(len(terms) + 1),
        "words said": said,
        "talk": math.log(work.speech.words * 60_000 / (work.speech.bins * work.speech.bin_ms) + 1),
    }


@functools.lru_cache(maxsize=2)
def _squares(last: int) -> list[int]:
    """Of the numbers from -``last`` to ``last``."""
    return [k * k for k in range(-last, last + 1)]


def _logistic(x: float) -> float:
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, x))))
