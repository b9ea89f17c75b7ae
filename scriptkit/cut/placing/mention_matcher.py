"""Which words of a transcript name an ingredient, also where a recogniser misheard or split its name."""

from __future__ import annotations

import bisect
import functools
import itertools
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import NamedTuple

from scriptkit.cut.placing.common_words import common
from scriptkit.cut.transcript.running_text import PAUSE_MS
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.going_in import AFTER, BEFORE, said_of
from scriptkit.english.kitchen_words import kinds_of, meanings, weak
from scriptkit.english.phonetics import skeleton
from scriptkit.english.stems import STOP, numbered_words, plain, stem, words_in

EXACT, MEANT, MISHEARD, KIND = "named", "meant", "misheard", "its kind"
"""How an ingredient is heard, the surest first; by its kind alone it is not named: *a bit of green* may be any herb."""
_STOP = re.compile(r"[.!?;…]")
_LEAST_SOUND = 3
_LEAST_LETTERS = 4
_ALIKE, _ALIKE_PAIR, _SPELT, _SOMEWHAT = 0.55, 0.65, 0.8, 0.45
"""How much of their letters two words must share (difflib's ratio)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardMention:
    """A word that names the ingredient, and when it is said."""

    time_ms: int
    line: SpokenLine
    how: str
    word: str
    at: int
    """Which word of the talk it is."""


class _Said(NamedTuple):
    time_ms: int
    line: SpokenLine
    word: str
    at: int


@functools.lru_cache(maxsize=2)
def ear_of(transcript: Transcript) -> MentionMatcher:
    """Those of the last two transcripts are kept."""
    return MentionMatcher(transcript)


class MentionMatcher:
    """One transcript, ready to be asked for names."""

    def __init__(self, transcript: Transcript) -> None:
        self.lines = transcript.lines
        self.every: list[_Said] = []
        self.by_stem: dict[str, list[_Said]] = defaultdict(list)
        stems: dict[str, str] = {}
        for line in transcript.lines:
            words = words_in(line.text)
            each = (line.end_ms - line.start_ms) / (len(words) or 1)
            for n, word in enumerate(words):
                said = _Said(line.start_ms + round((n + 0.5) * each), line, word, len(self.every))
                self.every.append(said)
                if word not in stems:
                    stems[word] = stem(word)
                self.by_stem[stems[word]].append(said)

    @functools.cached_property
    def pairs(self) -> list[tuple[_Said, str]]:
        """Two words of a line that follow one another, at the moment of the second."""
        return [(b, a.word) for a, b in itertools.pairwise(self.every) if a.line is b.line]

    @functools.cached_property
    def joined(self) -> dict[str, list[_Said]]:
        """Two words that follow one another, written as one."""
        found: dict[str, list[_Said]] = defaultdict(list)
        for said, before in self.pairs:
            found[before + said.word].append(said)
        return found

    @functools.cached_property
    def by_sound(self) -> dict[str, list[_Said]]:
        """Words, and two that follow one another, by how they sound."""
        found: dict[str, list[_Said]] = defaultdict(list)
        for said in self.every:
            if said.word not in STOP:
                found[skeleton(said.word)].append(said)
        for said, before in self.pairs:
            found[skeleton(before + said.word)].append(said._replace(word=f"{before} {said.word}"))
        return found

    @functools.cached_property
    def _begins(self) -> list[int]:
        """With which words sentences begin, where the transcript has stops, and after a silence."""
        found = [0]
        at, until, stop = 0, 0, False
        for line in self.lines:
            folded = plain(line.text)
            end = 0
            for place, word in numbered_words(folded):
                if stop or _STOP.search(folded, end, place) or (end == 0 and line.start_ms - until > PAUSE_MS):
                    found.append(at)
                stop, end, at = False, place + len(word), at + 1
            stop = stop or _STOP.search(folded, end) is not None
            until = line.end_ms
        return found

    def said_of(self, mention: HeardMention) -> int:
        """Whether it goes in there, is only named, or is looked back at (going_in.py)."""
        n = bisect.bisect_right(self._begins, mention.at)
        first, last = self._begins[n - 1], self._begins[n] if n < len(self._begins) else len(self.every)
        words = [one.word for one in self.every[max(first, mention.at - BEFORE) : min(last, mention.at + 1 + AFTER)]]
        own = mention.at - max(first, mention.at - BEFORE)
        return said_of(words[:own], words[own + 1 :])

    def mentions(self, name: str, *, whole: bool = False) -> tuple[HeardMention, ...]:
        """Where the name is heard, in order of time; where it is named outright, no guesses are added. ``whole``: all of its
        telling words must be said, and nothing is guessed, as of an ingredient that no step names."""
        words = [w for w in words_in(name) if w not in STOP] or words_in(name)
        telling = telling_words(words)
        enough = not whole or all(self.by_stem.get(stem(w)) for w in telling)
        found = _as(EXACT, (said for w in telling if enough for said in self.by_stem.get(stem(w), ())))
        found += _as(EXACT, self._written_otherwise(words))
        if whole or found:
            return _in_time(found)
        if len(words) == 1:
            found = _as(MEANT, (s for m in sorted(meanings().get(stem(words[0]), ())) for s in self.by_stem.get(m, ())))
        if not found:
            found = _as(MISHEARD, self._sounding_like(words, telling))
        return _in_time(found)

    def guesses(self, name: str) -> tuple[HeardMention, ...]:
        """Where a recogniser may have made something else of the name, whether it is named outright elsewhere or not."""
        words = [w for w in words_in(name) if w not in STOP] or words_in(name)
        return _in_time(_as(MISHEARD, self._sounding_like(words, telling_words(words))))

    def near(self, name: str, time_ms: int, within_ms: int) -> tuple[HeardMention, ...]:
        """What may name the ingredient while the step that it goes in at is on screen, where nothing names it outright: a word
        of its name that alone does not tell it, what it is a kind of, or a rare word that sounds somewhat like it."""
        words = [w for w in words_in(name) if w not in STOP]
        telling = [w for w in telling_words(words) if len(w) >= _LEAST_LETTERS]
        kinds = {stem(k) for w in words for k in kinds_of().get(stem(w), ())}
        found: list[HeardMention] = []
        for said in self.every:
            if abs(said.time_ms - time_ms) > within_ms:
                continue
            if any(stem(w) == stem(said.word) for w in words):
                found += _as(EXACT, [said])
            elif stem(said.word) in kinds:
                found += _as(KIND, [said])
            elif any(_misspelt(w, said.word) for w in telling) or (
                stem(said.word) not in common()
                and said.word not in STOP
                and any(_somewhat(w, said.word) for w in telling)
            ):
                found += _as(MISHEARD, [said])
        return _in_time(found)

    def _written_otherwise(self, words: Sequence[str]) -> Iterable[_Said]:
        """``corn starch`` and ``cornstarch``; ``breadcrumbs`` and ``bread crumbs``."""
        for n, word in enumerate(words):
            yield from self.joined.get(word, ())
            yield from self.joined.get(word.removesuffix("s"), ())
            if n:
                yield from self.by_stem.get(stem(words[n - 1] + word), ())

    def _sounding_like(self, words: Sequence[str], telling: Sequence[str]) -> Iterable[_Said]:
        """What a recogniser may have made of the name: rare words, or two, that sound like it and are spelt not too far off."""
        wanted = [w for w in telling if len(w) >= _LEAST_LETTERS]
        wanted += [a + b for a, b in itertools.pairwise(words)]
        for word in wanted:
            if len(key := skeleton(word)) < _LEAST_SOUND:
                continue
            for said in self.by_sound.get(key, ()):
                heard = said.word.replace(" ", "")
                if said.word == heard and stem(heard) in common():
                    continue
                if said.word != heard and said.word.split()[0] in words[1:]:
                    continue  # “sauce is”, for a soy sauce
                if SequenceMatcher(None, word, heard).ratio() >= (_ALIKE if said.word == heard else _ALIKE_PAIR):
                    yield said


def _in_time(found: Iterable[HeardMention]) -> tuple[HeardMention, ...]:
    once = {(m.time_ms, m.word): m for m in found}
    return tuple(sorted(once.values(), key=lambda m: m.time_ms))


def telling_words(words: Sequence[str]) -> list[str]:
    """The words of a name that tell the ingredient; all of them where none does."""
    return [w for w in words if stem(w) not in weak()] or list(words)


def _misspelt(word: str, heard: str) -> bool:
    """Whether the recipe or the transcript has a letter or two wrong, whichever of them is the plural."""
    if abs(len(word) - len(heard)) > 2 or word[0] != heard[0]:
        return False
    ratios = (SequenceMatcher(None, *pair).ratio() for pair in ((word, heard), (stem(word), stem(heard))))
    return any(ratio >= _SPELT for ratio in ratios)


def _somewhat(word: str, heard: str) -> bool:
    """Whether a recogniser may have made the one of the other: by sound give or take one, and by letters."""
    a, b = skeleton(word), skeleton(heard)
    if (
        min(len(word), len(heard)) < _LEAST_LETTERS
        or min(len(a), len(b)) < 2
        or a[0] != b[0]
        or abs(len(a) - len(b)) > 1
    ):
        return False
    return SequenceMatcher(None, a, b).ratio() >= 0.75 and SequenceMatcher(None, word, heard).ratio() >= _SOMEWHAT


def _as(how: str, said: Iterable[_Said]) -> list[HeardMention]:
    return [HeardMention(time_ms=s.time_ms, line=s.line, how=how, word=s.word, at=s.at) for s in said]
