"""What a person must be told of how steps were placed: left out, out of order, or placed by their order alone."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace

from scriptkit.cut.placement import HAND, Placement
from scriptkit.cut.placing.evidence import Query
from scriptkit.cut.placing.speech import Speech, around
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.problems import Place, Problem, note, warning

_NEAR_MS = 8_000
"""How near to a moment a step's words must be said to count for it."""
_SPOKEN_OF, _HARDLY, _UNSURE = 0.75, 0.0, 0.1
"""Of the words that tell a step from the others, so much must be heard at another moment, and no more at its own, before it
counts as said out of order (tried on the benchmark, where steps are in order, and on the example's cut, where two are not)."""
_LEAST_WORDS = 2


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


def doubted(
    placements: Sequence[Placement], queries: Sequence[Query], speech: Speech, file: str
) -> tuple[list[Placement], list[Problem]]:
    """The placements, without the time of a step that is clearly spoken of elsewhere, and what is to be told of each."""
    ear = _Told(queries, speech)
    times = [p.time_ms for p in placements]
    found: list[Placement] = []
    problems: list[Problem] = []
    for n, p in enumerate(placements):
        name = f"step {p.step.number} ({p.step.id})"
        hint = f"set its time by hand in the cut file: `{{step: {p.step.id}, time: 1:05, by: hand}}`"
        if p.known_from == HAND:
            found.append(p)
            continue
        if (at := _elsewhere(ear, n, times, placements)) is not None:
            found.append(replace(p, time_ms=None, elsewhere_ms=at, confidence=min(p.confidence, _UNSURE)))
            side, other = _beside(n, at, times, placements)
            message = f"{name} seems to be said out of order, at {clock_text(at // 1000 * 1000)}, {side} {other}"
            problems.append(warning(p.step.place, "out-of-order", message, hint))
            continue
        found.append(p)
        if p.time_ms is None:
            problems.append(
                warning(
                    p.step.place, "not-placed", f"{name} is not placed: hardly anything in {file} speaks of it", hint
                )
            )
        elif ear.share(n, p.time_ms) == 0:
            message = f"{name} is placed at {clock_text(p.time_ms // 1000 * 1000)} by its order alone: none of its words are heard there"
            problems.append(note(p.step.place, "not-spoken-of", message, hint))
    return found, problems


class _Told:
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
        return self.at(n).get(b, (0.0, 0))[0]

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


def _elsewhere(ear: _Told, n: int, times: Sequence[int | None], placements: Sequence[Placement]) -> int | None:
    """When the step is spoken of, where that is before a step that it comes after, or after one that it comes before."""
    p = placements[n]
    rows = ear.at(n)
    if (p.time_ms is not None and ear.share(n, p.time_ms) > _HARDLY) or not rows:
        return None
    best = max(rows, key=lambda b: (rows[b], -b))
    share, count = rows[best]
    if share < _SPOKEN_OF or count < _LEAST_WORDS:
        return None
    near = [b for b in rows if rows[b] == rows[best] and abs(b - best) <= 2 * ear.reach]
    at = round((sum(near) / len(near) + 0.5) * ear.speech.bin_ms)
    placed = [t for t in times if t is not None]
    if not placed or at < min(placed) - _NEAR_MS:
        return None  # the opening tells what is to come
    before = [t for t in times[:n] if t is not None]
    after = [t for t in times[n + 1 :] if t is not None]
    if any(t > at + _NEAR_MS for t in before) or any(t < at - _NEAR_MS for t in after):
        return at
    return None


def _beside(n: int, at: int, times: Sequence[int | None], placements: Sequence[Placement]) -> tuple[str, str]:
    """Which step it is on the wrong side of: the farthest one in the recipe's order."""
    for m, t in enumerate(times[:n]):
        if t is not None and t > at:
            return "before", f"step {placements[m].step.number} ({placements[m].step.id})"
    later = [m for m, t in enumerate(times) if m > n and t is not None and t < at]
    other = placements[later[-1]].step if later else placements[n].step
    return "after", f"step {other.number} ({other.id})"
