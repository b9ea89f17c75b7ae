"""What a person must be told of how steps were placed: left out, out of order, or placed by their order alone."""

from __future__ import annotations

import bisect
import math
from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from scriptkit.cut.placement import HAND, Placement
from scriptkit.cut.placing.evidence import Query
from scriptkit.cut.placing.speech import Speech, around
from scriptkit.cut.placing.step_order import Before
from scriptkit.cut.step_names import Pair
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.problems import Place, Problem, note, warning

_NEAR_MS = 8_000
"""How near to a moment a step's words must be said to count for it."""
_SPOKEN_OF, _HARDLY, _UNSURE = 0.75, 0.0, 0.1
"""Of the words that tell a step from the others, so much must be heard at another moment, and no more at its own, before it
counts as said out of order (tried on the benchmark, where steps are in order, and on the example's cut, where two are not)."""
_LEAST_WORDS = 2
_MOVED = 0.35
"""How sure a step is that stands where it is spoken of, out of the order of the others."""
_SURE_NEIGHBOUR = 0.65
"""Only of steps that are placed surer than that, or clearly heard where they stand, is it said that another is on their wrong side."""
_AFTER_THE_TALK_MS = 60_000
"""A film may go on so long after its last word (common sense, no source)."""


def other_video(queries: Sequence[Query], speech: Speech, file: str) -> Problem:
    """A warning, with how many of the words of all steps are heard."""
    terms = {t for q in queries for t in q.terms}
    said = sum(t in speech.said for t in terms)
    message = f"this is most likely the transcript of another video: {said} of the {len(terms)} words of the recipe's steps are heard in it"
    return warning(
        Place(file), "other-video", message, "check which file it is; steps set by hand in a cut file are placed anyway"
    )


def one_line(file: str) -> Problem:
    """A warning, where a transcript has no second line."""
    message = "only one line is spoken in the transcript: too little to place steps by, or to tell whose video it is"
    return warning(Place(file), "one-line", message, "export the whole transcript from the editor")


def hands_against_order(
    pairs: Sequence[Pair], before: Before, hands: Mapping[int, int], length_ms: int
) -> tuple[set[int], list[Problem]]:
    """The steps whose times set by hand contradict one another, or the cut's length, and a warning for each. ``hands``: number of a
    step → its time in milliseconds."""
    wrong: set[int] = set()
    told = []
    for n, ms in sorted(hands.items(), key=lambda one: one[1]):
        step = pairs[n][1]
        if ms > length_ms + _AFTER_THE_TALK_MS:
            wrong.add(n)
            message = f"step {step.number} ({step.id}) is set by hand at {_clock(ms)}, and the talk ends at {_clock(length_ms)}"
            told.append(warning(step.place, "after-the-end", message, "correct its time in the cut file"))
        for m in before[n]:
            if hands.get(m, -1) > ms:
                wrong |= {n, m}
                other = pairs[m][1]
                message = (
                    f"step {step.number} ({step.id}) is set by hand at {_clock(ms)}, before step {other.number} ({other.id}) at "
                    f"{_clock(hands[m])}, which it comes after"
                )
                hint = "correct one of the two times in the cut file; both are kept as they are"
                told.append(warning(step.place, "hand-order", message, hint))
    return wrong, told


def doubted(
    placements: Sequence[Placement], before: Before, telling: Telling, file: str, read: Collection[int] = ()
) -> tuple[list[Placement], list[Problem]]:
    """The placements, and what is to be told of each; nothing of those whose line is ``read``, by their numbers. A step that is clearly spoken of elsewhere, and not at all at its own time,
    stands there where it can be, and has no time where it cannot. ``before``: for each step those that it must come after."""
    after = [frozenset(m for m, of in enumerate(before) if n in of) for n in range(len(before))]
    sure = [
        p.time_ms
        if p.time_ms is not None and (p.confidence >= _SURE_NEIGHBOUR or telling.share(n, p.time_ms) >= _SPOKEN_OF)
        else None
        for n, p in enumerate(placements)
    ]
    found: list[Placement] = []
    problems: list[Problem] = []
    for n, p in enumerate(placements):
        if n in read or p.is_left_out:
            found.append(p)
            continue
        name = f"step {p.step.number} ({p.step.id})"
        hint = f"set its time by hand, `{{step: {p.step.id}, time: 1:05, by: hand}}`, in the cut.yaml of `scriptkit coverage -o`, and give that as --cut too; where it is not in the film, `time: not placed, by: hand`"
        if p.known_from == HAND:
            found.append(p)
            heard = [None if q.known_from == HAND else t for q, t in zip(placements, sure, strict=True)]
            ends_ms = (
                telling.speech.bins * telling.speech.bin_ms + _AFTER_THE_TALK_MS
            )  # what stands after it has been told
            if (p.time_ms or 0) <= ends_ms and (
                side := _wrong_side(p.time_ms or 0, before[n], after[n], heard)
            ) is not None:
                other_ms = _begins_ms(placements[side[1]], placements)
                problems.append(_hand_against(p, placements[side[1]], other_ms, side[0]))
            continue
        at = telling.elsewhere_ms(n, [q.time_ms for q in placements])
        side = None if at is None else _wrong_side(at, before[n], after[n], sure)
        if at is not None and side is not None:
            found.append(
                replace(p, time_ms=None, start_ms=None, elsewhere_ms=at, confidence=min(p.confidence, _UNSURE))
            )
            where, m = side
            other = f"step {placements[m].step.number} ({placements[m].step.id})"
            message = f"{name} seems to be said out of order, at {_clock(at)}, {where} {other}"
            problems.append(warning(p.step.place, "out-of-order", message, hint))
            continue
        if at is not None:
            found.append(replace(p, time_ms=at, start_ms=None, confidence=max(p.confidence, _MOVED)))
            continue
        found.append(p)
        if p.time_ms is None:
            problems.append(
                warning(
                    p.step.place, "not-placed", f"{name} is not placed: hardly anything in {file} speaks of it", hint
                )
            )
        elif telling.share(n, p.time_ms) == 0:
            message = f"{name} is placed at {_clock(_begins_ms(p, placements))} by its order alone: none of its words are heard there"
            problems.append(note(p.step.place, "not-spoken-of", message, hint))
    return found, problems


def _begins_ms(p: Placement, placements: Sequence[Placement]) -> int:
    """Where the step begins, as every paper prints its time."""
    at = p.time_ms or 0
    return p.begins_ms(max((q.time_ms for q in placements if q.time_ms is not None and q.time_ms < at), default=0))


def _hand_against(p: Placement, other: Placement, other_ms: int, where: str) -> Problem:
    """A time set by hand on the wrong side of a step that is clearly heard elsewhere; it is kept."""
    first = "comes after" if where == "before" else "comes before"
    message = (
        f"step {p.step.number} ({p.step.id}) is set by hand at {_clock(p.time_ms or 0)}, {where} step {other.step.number} "
        f"({other.step.id}), which is heard at {_clock(other_ms)} and which it {first}"
    )
    return warning(p.step.place, "hand-order", message, "check its time in the cut file; it is kept as it is")


def _clock(ms: int) -> str:
    """To the second."""
    return clock_text(ms // 1000 * 1000)


class Telling:
    """How much of what tells a step from the others is heard around a moment."""

    def __init__(self, queries: Sequence[Query], speech: Speech) -> None:
        self.speech = speech
        counts = Counter(t for q in queries for t in q.terms)
        self.weights = [{t: math.log((len(queries) + 1) / counts[t]) for t in q.terms} for q in queries]
        self.rows: dict[int, dict[int, tuple[float, int]]] = {}
        self.reach = max(1, round(_NEAR_MS / speech.bin_ms))

    def share(self, n: int, time_ms: int) -> float:
        """0 to 1."""
        b = int(time_ms / self.speech.bin_ms)
        if b >= self.speech.bins:
            return 0.0
        weights = self.weights[n]
        whole = sum(weights.values()) or 1.0
        return sum([weight / whole for term, weight in weights.items() if self._is_near(term, b)])

    def _is_near(self, term: str, b: int) -> bool:
        """Whether the word is said about the stretch."""
        places = self.speech.said.get(term, ())
        at = bisect.bisect_left(places, b - self.reach)
        return at < len(places) and places[at] <= b + self.reach

    def at(self, n: int) -> dict[int, tuple[float, int]]:
        """Stretch → share of the step's telling weight, and how many of its words, for stretches near any of them."""
        if n in self.rows:
            return self.rows[n]
        weights = self.weights[n]
        whole = sum(weights.values()) or 1.0
        shares: dict[int, float] = defaultdict(float)
        counts: dict[int, int] = defaultdict(int)
        for term, weight in weights.items():
            part = weight / whole
            for b in around(self.speech.said.get(term, ()), -self.reach, self.reach, self.speech.bins):
                shares[b] += part
                counts[b] += 1
        self.rows[n] = {b: (share, counts[b]) for b, share in shares.items()}
        return self.rows[n]

    def elsewhere_ms(self, n: int, times: Sequence[int | None]) -> int | None:
        """When the step is spoken of, where that is clearly not at its own time; None where it is, and in the opening, which tells
        what is to come."""
        time_ms, rows = times[n], self.at(n)
        if (time_ms is not None and self.share(n, time_ms) > _HARDLY) or not rows:
            return None
        best = max(rows, key=lambda b: (rows[b], -b))
        share, count = rows[best]
        if share < _SPOKEN_OF or count < _LEAST_WORDS:
            return None
        near = [b for b in rows if rows[b] == rows[best] and abs(b - best) <= 2 * self.reach]
        at = round((sum(near) / len(near) + 0.5) * self.speech.bin_ms)
        placed = [t for t in times if t is not None]
        return at if placed and at >= min(placed) - _NEAR_MS else None

    def out_of_order(self, times: Sequence[int | None]) -> bool:
        """Whether any step is clearly spoken of before one that the plan has earlier, or after one that it has later."""
        for n in range(len(times)):
            if (at := self.elsewhere_ms(n, times)) is not None:
                earlier, later = frozenset(range(n)), frozenset(range(n + 1, len(times)))
                if _wrong_side(at, earlier, later, times) is not None:
                    return True
        return False


def _wrong_side(
    at_ms: int, before: frozenset[int], after: frozenset[int], times: Sequence[int | None]
) -> tuple[str, int] | None:
    """Which step the moment is on the wrong side of, *before* or *after* it: the farthest one in the plan's order."""
    for m in sorted(before):
        if (t := times[m]) is not None and t > at_ms + _NEAR_MS:
            return "before", m
    for m in sorted(after, reverse=True):
        if (t := times[m]) is not None and t < at_ms - _NEAR_MS:
            return "after", m
    return None
