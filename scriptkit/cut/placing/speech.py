"""What is spoken, laid on a line of equal stretches of time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

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

    def told_by(word: str) -> _Word:
        one = stem(word)
        return _Word(
            mood=mood_of.get(word),
            done=done[acts[one]] if one in acts else None,
            doing=one in doing,
            said=said[one] if word not in STOP else None,
        )

    known: dict[str, _Word] = {}
    marked: set[tuple[int, int]] = set()
    for number, line in enumerate(transcript.lines):
        heard = words_in(line.text)
        not_here = of_another.get(number, ())
        start, each = line.start_ms, (line.end_ms - line.start_ms) / (len(heard) or 1)
        words += len(heard)
        for n, word in enumerate(heard):
            b = min(bins - 1, int((start + (n + 0.5) * each) / bin_ms))
            talk[b] += 1
            of = known.get(word) or known.setdefault(word, told_by(word))
            if of.mood is not None:
                marked.add((b, of.mood))
            if n in not_here:
                continue
            if of.done is not None:
                _note(of.done, b)
            if of.doing:
                marked.add((b, len(MOODS)))
            if of.said is not None:
                _note(of.said, b)
    for b, column in marked:
        _mark(rows, b, column)
    for name in names:
        for b in around(said.get(name, ()), -3, 3, bins):
            rows[b][len(MOODS) + 1] += 1 / 3
    for b, count in enumerate(talk):
        rows[b][len(MOODS) + 2] = float(count == 0)
    return Speech(bin_ms=bin_ms, bins=bins, words=words, said=_heard(said), done=_heard(done), moods=rows)


class _Word(NamedTuple):
    """What a word tells: its mood's column, and the lists of stretches of what is done and said, None where it tells none."""

    mood: int | None
    done: list[int] | None
    doing: bool
    said: list[int] | None


def _heard(places: Mapping[str, list[int]]) -> dict[str, list[int]]:
    """Without what is said only of something made before the film."""
    return {one: at for one, at in places.items() if at}


def _note(places: list[int], b: int) -> None:
    if not places or places[-1] != b:
        places.append(b)


def _mark(rows: list[list[float]], b: int, column: int) -> None:
    for near in range(max(0, b - 1), min(len(rows), b + 2)):
        rows[near][column] = 1.0


def around(places: Sequence[int], first: int, last: int, bins: int) -> list[int]:
    """The stretches from ``first`` to ``last`` around each place, each once. Places must be in order."""
    found: list[int] = []
    begin = end = 0
    after = last + 1
    for p in places:
        if p + first > end:
            found.extend(range(begin, min(end, bins)))
            begin = p + first
        end = p + after
    found.extend(range(begin, min(end, bins)))
    return found
