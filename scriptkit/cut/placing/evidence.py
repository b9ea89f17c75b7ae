"""How much what is spoken in each stretch of the cut speaks for each step."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scriptkit.cut.placing.speech import Speech, around
from scriptkit.english.kitchen_words import actions, verbs
from scriptkit.english.phonetics import skeleton
from scriptkit.english.stems import STOP, stem, stems_in, unlike
from scriptkit.english.step_reading import StepReading

FEATURES = (
    "ingredients", "verbs", "others", "just before", "just after", "action", "action on an ingredient", "two of its words",
    "three of its words", "sounds like",
)  # fmt: skip
"""What is counted for a step in a stretch; the weight of each stands in weights.csv."""
LENGTHS = ("words", "add", "cut", "bake", "boil", "fry", "mix", "serve", "wrap")
"""What a step's length depends on."""
_SHORTEST_SOUND = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Query:
    """What may be said of a step: ``terms`` are stems, each once, of its sentence and its ingredients; ``lines`` those of its
    planned narration; ``planned`` is its moment in the planned cut as a share of it, 0 to 1."""

    terms: tuple[str, ...]
    acts: tuple[str, ...]
    lines: tuple[str, ...]
    planned: float


def query(reading: StepReading, names: Iterable[str], say: str, planned: float) -> Query:
    """``names``: of what goes in or is used."""
    words = reading.words
    terms = unlike([*(stem(w) for w in words if w not in STOP), *(s for name in names for s in stems_in(name))])
    acts = unlike(actions()[s] for s in map(stem, words) if s in actions())
    known = set(terms)
    lines = unlike(s for s in stems_in(say) if s not in known)
    return Query(terms=tuple(terms), acts=tuple(acts), lines=tuple(lines), planned=planned)


Row = dict[int, float]
"""A figure for the stretches in which it is not 0."""


def rows_for(queries: Sequence[Query], speech: Speech, ingredients: frozenset[str]) -> list[list[Row]]:
    """For each step a row for each of FEATURES. A word weighs more the fewer steps and the fewer stretches have it."""
    bench = _Bench(queries, speech, ingredients)
    return [bench.rows(one) for one in queries]


class _Bench:
    """What the words of all steps weigh in this cut, and where they are said."""

    def __init__(self, queries: Sequence[Query], speech: Speech, ingredients: frozenset[str]) -> None:
        self.speech = speech
        self.ingredients = ingredients
        self.steps = len(queries)
        self.in_steps = Counter(term for one in queries for term in one.terms)
        self.near: dict[tuple[str, int, int], list[int]] = {}
        self.rare_here: dict[str, float] = {}
        self.rare_act: dict[str, float] = {}
        self.sounds: dict[str, list[str]] = defaultdict(list)
        for word in speech.said:
            if len(key := skeleton(word)) >= _SHORTEST_SOUND and word not in self.in_steps:
                self.sounds[key].append(word)

    def places(self, term: str, first: int, last: int) -> list[int]:
        key = (term, first, last)
        if key not in self.near:
            self.near[key] = around(self.speech.said.get(term, ()), first, last, self.speech.bins)
        return self.near[key]

    def apart(self, term: str) -> float:
        """How well the word tells this step from the others."""
        return math.log((self.steps + 1) / self.in_steps[term]) if term in self.in_steps else 0.0

    def here(self, term: str) -> float:
        """How seldom the word is said in this cut."""
        if term not in self.rare_here:
            share = len(self.places(term, -3, 3)) / self.speech.bins
            self.rare_here[term] = math.log(1 / (share + 0.02))
        return self.rare_here[term]

    def weight(self, term: str) -> float:
        return (0.3 + self.apart(term)) * self.here(term)

    def act_weight(self, act: str) -> float:
        if act not in self.rare_act:
            share = len(around(self.speech.done.get(act, ()), -3, 3, self.speech.bins)) / self.speech.bins
            self.rare_act[act] = math.log(1 / (share + 0.05))
        return self.rare_act[act]

    def rows(self, one: Query) -> list[Row]:
        speech = self.speech
        kinds: list[Row] = [defaultdict(float) for _ in range(3)]
        before: Row = defaultdict(float)
        after: Row = defaultdict(float)
        count: Row = defaultdict(float)
        best: Row = {}
        root = math.sqrt(len(one.terms) or 1)
        for term in one.terms:
            if term not in speech.said:
                continue
            value = self.weight(term) / root
            kind = kinds[0 if term in self.ingredients else 1 if term in verbs() else 2]
            _spread(kind, self.places(term, -1, 1), value)
            _spread(before, self.places(term, -3, -2), value)
            _spread(after, self.places(term, 2, 3), value)
            _spread(count, self.places(term, -2, 2), 1.0)
            if term in self.ingredients:
                here = max(0.0, self.here(term))
                for b in self.places(term, -2, 2):
                    if best.get(b, -1.0) < here:
                        best[b] = here
        for term in one.lines:
            if term in speech.said:
                _spread(kinds[2], self.places(term, -1, 1), self.here(term) / math.sqrt(len(one.lines)))
        done: Row = defaultdict(float)
        acted: set[int] = set()
        for act in one.acts:
            at = speech.done.get(act, [])
            _spread(done, around(at, -1, 1, speech.bins), self.act_weight(act) / math.sqrt(len(one.acts)))
            acted.update(around(at, -2, 2, speech.bins))
        return [
            *kinds,
            before,
            after,
            done,
            {b: value for b, value in best.items() if b in acted},
            {b: 1.0 for b, n in count.items() if n >= 2},
            {b: 1.0 for b, n in count.items() if n >= 3},
            self.misheard(one),
        ]

    def misheard(self, one: Query) -> Row:
        """Words that are never said, where one is that sounds like them."""
        row: Row = defaultdict(float)
        for term in one.terms:
            if term in self.speech.said or len(term) < 4:
                continue
            for word in self.sounds.get(skeleton(term), ()):
                _spread(row, self.places(word, -1, 1), self.apart(term))
        return row


def _spread(row: Row, places: Iterable[int], value: float) -> None:
    for b in places:
        row[b] += value


def lengths_of(one: Query) -> list[float]:
    """The figures of LENGTHS, in its order: the logarithm of how many words, then 1 or 0 for each kind: steps of more
    words take longer, and a serving another time than a cut."""
    return [math.log(len(one.terms) + 1) - 1.8, *(float(act in one.acts) for act in LENGTHS[1:])]
