"""Where each step begins in the cut: with the sentence that opens it, of those between the moment of the step before and its own."""

from __future__ import annotations

import itertools
import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scriptkit.cut.placement import FRAMES_MS, TRANSCRIPT, Cut, Placement
from scriptkit.cut.transcript.running_text import WORDS_A_SENTENCE, Talk, talk_of
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.english.kitchen_words import actions, kinds_of
from scriptkit.english.opening_sentences import SPLITS, opening
from scriptkit.english.stems import STOP, stem, stems_in, words_in
from scriptkit.measure.figures import MS, figures_in
from scriptkit.recipe.dish import Dish, Step
from scriptkit.shoot.day.step_lengths import wait_ms

_ACT, _KIND, _DISH, _VESSEL, _FIGURE, _WAIT = 0.5, 0.5, 0.5, 0.5, 0.3, 2.0
"""How much what is done, what an ingredient is a kind of, the dish's name, the vessel, a figure and the step's wait tell, beside its other
words."""
_IDLE, _GAP_S, _MOST_GAP_S, _FAR_S = 0.4, 0.1, 6.0, 0.2
"""What it costs that a sentence of neither step is the later one's; what a silence before it speaks for it, a second; and what it
costs that it is far from where the step is likeliest to begin, a second (tried on the example's cuts, on cuts of our own, and on the
benchmark's, whose times are of the picture: it begins 2 s after the sentence, in the median)."""
EARLIEST_MS = 15_000
"""A step begins so much before the moment from which on it is likely, at most (common sense, no source)."""
_ABOUT_MS = 1_000
"""A moment inside the step is told in stretches of twice as much."""
LONGEST_MS = 7_000
"""What goes on for longer without a stop is more than a sentence (common sense, no source)."""
_STOPS = re.compile(r"[.!?…;:](?=\s|$)")
_TIME = re.compile(r"\b(?:min(?:ute)?s?|hours?)\b")
_FEW = 0.3
_CAPITAL = re.compile(r"(?!I\b)[A-Z][a-z]+\b")


@dataclass(frozen=True, slots=True)
class Sentence:
    """What is said from ``start_ms`` to ``end_ms``; ``gap_ms``: the silence before it."""

    start_ms: int
    end_ms: int
    text: str
    gap_ms: int


def sentences_of(transcript: Transcript) -> list[Sentence]:
    """What is said, sentence by sentence; of a talk without stops, caption by caption and where something else is begun."""
    talk = talk_of(transcript)
    stops = len(_STOPS.findall(talk.text))
    if stops * WORDS_A_SENTENCE >= len(talk.text.split()):
        cuts = [m.end() for m in _STOPS.finditer(talk.text)]
        cuts += [start for start, _ in _after_silence(talk.starts, transcript, 1_500)]
        cuts += _at_capitals(talk)
        finer = sorted({*talk.starts, *(m.start() for m in SPLITS.finditer(talk.text))})
        whole = sorted({0, *cuts, len(talk.text)})
        for first, last in itertools.pairwise(whole):
            if talk.ms_at(last - 1) - talk.ms_at(first) > LONGEST_MS:
                cuts += [at for at in finer if first < at < last]
    else:
        cuts = [start for start, _ in _after_silence(talk.starts, transcript, 0)]
        cuts += [m.start() for m in SPLITS.finditer(talk.text)]
    found: list[Sentence] = []
    until = 0
    for first, last in itertools.pairwise(sorted({0, *cuts, len(talk.text)})):
        text = talk.text[first:last]
        if not words_in(text):
            continue
        at = first + len(text) - len(text.lstrip())
        start = max(talk.ms_at(at), until)
        end = max(talk.ms_at(last - 1), start)
        found.append(Sentence(start, end, text.strip(), start - until))
        until = end
    return found


def _at_capitals(talk: Talk) -> list[int]:
    """Captions that begin with a capital though none before them ends with a stop, of a talk in which few of those do."""
    after = [start for start in talk.starts[1:] if talk.text[start - 2] not in ".!?…;:"]
    found = [start for start in after if _CAPITAL.match(talk.text, start)]
    return found if len(found) < len(after) * _FEW else []


def _after_silence(starts: Sequence[int], transcript: Transcript, least_ms: int) -> Iterator[tuple[int, int]]:
    for start, line, before in zip(starts[1:], transcript.lines[1:], transcript.lines, strict=False):
        if line.start_ms - before.end_ms >= least_ms:
            yield start, line.start_ms


class Opening:
    """What of a talk speaks for which step."""

    def __init__(self, transcript: Transcript, pairs: Sequence[tuple[Dish, Step]]) -> None:
        self.sentences = sentences_of(transcript)
        self.words = [{stem(w) for w in words_in(one.text) if w not in STOP} for one in self.sentences]
        acts = actions()
        self.acts = [{acts[w] for w in said if w in acts} for said in self.words]
        self.times = [_times(one.text) for one in self.sentences]
        self.waits = [wait_ms(step) or -1 for _, step in pairs]
        own = [_terms(step) for _, step in pairs]
        doing = [{acts[w] for w in terms if w in acts} for terms in own]
        of_dish = [set(stems_in(f"{dish.name} {dish.short}")) for dish, _ in pairs]
        dishes = len({id(dish) for dish, _ in pairs})
        whole = len(pairs) + 1
        counts, act_counts = Counter(t for terms in own for t in terms), Counter(a for of in doing for a in of)
        dish_counts = Counter(
            t for terms in {id(d): of for (d, _), of in zip(pairs, of_dish, strict=True)}.values() for t in terms
        )
        self.weights: list[dict[str, float]] = []
        self.act_weights: list[dict[str, float]] = []
        for n, (_, step) in enumerate(pairs):
            weights = {t: math.log(whole / counts[t]) * (_FIGURE if t[0].isdigit() else 1.0) for t in own[n]}
            for t in stems_in(step.reading.written_vessel):
                weights.setdefault(t, _VESSEL)
            for name in own[n]:
                for kind in kinds_of().get(name, ()):
                    weights.setdefault(stem(kind), _KIND)
            if dishes > 1:
                for t in of_dish[n]:
                    weights.setdefault(t, _DISH * math.log((dishes + 1) / dish_counts[t]))
            self.weights.append(weights)
            self.act_weights.append({a: _ACT * math.log(whole / act_counts[a]) for a in doing[n]})

    def fit(self, n: int, at: int) -> float:
        """How much the sentence speaks for step ``n``."""
        words, acts = self.weights[n], self.act_weights[n]
        told = sum(words[w] for w in self.words[at] if w in words)
        told += _WAIT * any(low <= self.waits[n] <= high for low, high in self.times[at])
        return told + sum(acts[a] for a in self.acts[at] if a in acts)

    def sentence_at(self, ms: int) -> int:
        """The last sentence that begins by then."""
        return max((n for n, one in enumerate(self.sentences) if one.start_ms <= ms), default=0)

    def opens(self, at: int) -> float:
        """How much the sentence's first words, and a silence before it, speak for something's beginning with it."""
        one = self.sentences[at]
        return opening(one.text) + _GAP_S * min(one.gap_ms / 1000, _MOST_GAP_S)


def _times(text: str) -> list[tuple[Fraction, Fraction]]:
    if not _TIME.search(text):
        return []
    return [(one.low, one.high) for one in figures_in(text) if one.unit == MS and not one.idle]


def _terms(step: Step) -> set[str]:
    names = [a.ingredient.name for a in step.additions] + [i.name for i in step.uses]
    terms = {stem(w) for w in step.reading.words if w not in STOP}
    return terms | {s for name in names for s in stems_in(name)}


def from_their_sentences(cut: Cut, transcript: Transcript) -> Cut:
    """The cut, in which each step that is placed by what is said begins with the sentence that opens it."""
    placed = [p for p in cut.in_time if p.time_ms is not None]
    talk = Opening(transcript, [(p.dish, p.step) for p in placed])
    if not talk.sentences:
        return cut
    begins: dict[int, int] = {}
    for n, p in enumerate(placed):
        if p.known_from == TRANSCRIPT:
            at = _opens_at(talk, n, p, placed[n - 1] if n else None)
            if at is not None:
                begins[id(p)] = at
    return replace(cut, placements=tuple(replace(p, start_ms=begins.get(id(p), p.start_ms)) for p in cut.placements))


def _opens_at(talk: Opening, n: int, p: Placement, before: Placement | None) -> int | None:
    """When the step's first sentence begins; None where it has none of its own."""
    assert p.time_ms is not None
    likely = p.begins_ms()
    first = 0 if before is None or before.time_ms is None else talk.sentence_at(before.time_ms) + 1
    last = talk.sentence_at(p.time_ms + _ABOUT_MS)
    if first > last:
        return None
    own = [talk.fit(n, at) for at in range(first, last + 1)]
    theirs = [talk.fit(n - 1, at) if n else 0.0 for at in range(first, last + 1)]
    totals: dict[int, float] = {}
    for at in range(first, last + 1):
        k = at - first
        one = talk.sentences[at]
        if likely - one.start_ms > EARLIEST_MS:
            continue
        mine = sum(own[k:]) - _IDLE * sum(not x for x in own[k:])
        totals[at] = sum(theirs[:k]) + mine + talk.opens(at) - _FAR_S * abs(one.start_ms - likely) / 1000
    if not totals:
        return None
    one = talk.sentences[max(totals, key=totals.__getitem__)]
    return max(one.start_ms - min(FRAMES_MS, one.gap_ms), 0)
