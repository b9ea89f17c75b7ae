"""What is spoken, laid on a line of equal stretches of time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.english.kitchen_words import MOODS, actions, moods, verbs
from scriptkit.english.made_earlier import made_earlier
from scriptkit.english.stems import STOP, stem, words_in

BIN_MS = 2_000
"""A stretch. Finer ones place no better on the benchmark, and cost more."""
MOST_BINS = 1_000
"""Longer cuts get longer stretches, so that the work stays near linear in what is said."""
CALM_MS = 1_000
"""What follows the last word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """``said`` and ``done`` map a stem, and a group of actions, to the stretches in which it falls, each once and in order; words that
    are said of something made before the film are in neither.
    ``moods[b]`` are figures of what a stretch's talk is like, by MOOD_NAMES."""

    bin_ms: float
    bins: int
    words: int
    said: dict[str, list[int]]
    done: dict[str, list[int]]
    moods: list[list[float]]


MOOD_NAMES = (*MOODS, "verbs", "ingredients", "silence")


def speech_of(transcript: Transcript, names: frozenset[str], least_bins: int) -> Speech:
    """``names``: stems of the recipe's ingredients, of which a stretch that lists many is no step."""
    end_ms = (transcript.lines[-1].end_ms if transcript.lines else 0) + CALM_MS
    bin_ms = max(float(BIN_MS), end_ms / MOST_BINS)
    bins = max(least_bins, -int(-end_ms // bin_ms))
    said: dict[str, list[int]] = defaultdict(list)
    done: dict[str, list[int]] = defaultdict(list)
    rows = [[0.0] * len(MOOD_NAMES) for _ in range(bins)]
    talk = [0] * bins
    words = 0
    mood_of = {word: MOODS.index(name) for word, name in moods().items()}
    acts, doing = actions(), verbs()
    of_another = made_earlier([line.text for line in transcript.lines])
    for number, line in enumerate(transcript.lines):
        heard = words_in(line.text)
        not_here = of_another.get(number, frozenset())
        each = (line.end_ms - line.start_ms) / (len(heard) or 1)
        for n, word in enumerate(heard):
            b = min(bins - 1, int((line.start_ms + (n + 0.5) * each) / bin_ms))
            talk[b] += 1
            words += 1
            if word in mood_of:
                _mark(rows, b, mood_of[word])
            if n in not_here:
                continue
            one = stem(word)
            if one in acts:
                _note(done[acts[one]], b)
            if one in doing:
                _mark(rows, b, len(MOODS))
            if word not in STOP:
                _note(said[one], b)
    for name in names:
        for b in around(said.get(name, ()), -3, 3, bins):
            rows[b][len(MOODS) + 1] += 1 / 3
    for b, count in enumerate(talk):
        rows[b][len(MOODS) + 2] = float(count == 0)
    return Speech(bin_ms=bin_ms, bins=bins, words=words, said=dict(said), done=dict(done), moods=rows)


def _note(places: list[int], b: int) -> None:
    if not places or places[-1] != b:
        places.append(b)


def _mark(rows: list[list[float]], b: int, column: int) -> None:
    for near in range(max(0, b - 1), min(len(rows), b + 2)):
        rows[near][column] = 1.0


def around(places: Sequence[int], first: int, last: int, bins: int) -> list[int]:
    """The stretches from ``first`` to ``last`` around each place, each once. Places must be in order."""
    found: list[int] = []
    free = 0
    for p in places:
        start, end = max(p + first, free), min(p + last + 1, bins)
        if end > start:
            found.extend(range(start, end))
            free = end
    return found
