"""Which words a talk is captioned in: the script's where it is followed, the recogniser's where it is not."""

from __future__ import annotations

import bisect
import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.captions.dialogue.said_otherwise import HeardWords, is_another_food, said_otherwise
from scriptkit.captions.dialogue.timed_words import TimedWord, keys_of, marks_of, pieces_of, shared_out
from scriptkit.captions.dialogue.word_alignment import (
    ALIKE,
    APART,
    SAME,
    AlignedWords,
    aligned,
    order_of,
    runs,
    weak_forms,
)
from scriptkit.english.sound_distance import sound_distance
from scriptkit.english.stems import NUMBERS, STOP
from scriptkit.shoot.script.narration import sentences
from scriptkit.shoot.script.script import Passage

_ASIDE = re.compile(r"\[[^\[\]]*\]")
SOUNDS_ALIKE = "the script has it here, and it sounds alike"
SPELT_OUT = "the script has it here, and it is said that way"
_NEAR_ALONE = 0.2
"""Of sound, where the script is followed on one side only."""
_TEN = re.compile(r"(?:teen|ty)$")
_LEAST_AGAIN, _SHARE_AGAIN = 4, 0.6
"""Words of a stretch that is read a second time, and the share of them that must be the script's."""
_LEAST_SAME, _LEAST_TELLING, _FARTHEST_APART = 3, 2, 2
"""Words of a stretch that are the script's letter by letter, and those that tell something among them, for it to follow the script;
and how many words it may leave out or add in between."""
_SHORT = 6
"""Pairs of neighbouring words in a sentence, of which not one need be heard."""
_MOST_MISHEARD = 3
"""Words in a row that are the script's by their sound alone."""


@dataclass(frozen=True, slots=True)
class WordChange:
    """What the recogniser wrote, what is captioned instead, when, and why; ``line``: of the transcript, from 1."""

    time_ms: int
    was: str
    now: str
    why: str
    line: int


@dataclass(frozen=True, slots=True)
class CaptionWord:
    """A word of a caption with its time. ``passage``: the number of the script's passage that it is of or said in, None before the
    first; ``scripted``: whether it is the script's."""

    text: str
    start_ms: int
    end_ms: int
    line: int
    passage: int | None
    scripted: bool
    opens: bool = False
    """Whether its capital is that of a sentence, the script's, or of a line of the recogniser's."""
    heard_marks: str = ""
    """What the recogniser set after it."""
    number: int = -1
    """Of the script's words in the order in which they are heard; -1 of those that are not the script's."""
    sentence: int = -1
    """Of the script's sentences, from 0; -1 likewise."""
    heard: tuple[int, int] = (0, 0)
    """From which to before which of the heard words it is written for; none of a voice that is aligned without a transcript."""
    why: str = ""
    """Why it is another than was heard."""


@dataclass(frozen=True, slots=True)
class _Written:
    text: str
    passage: int
    sentence: int
    begins: bool
    ends: bool


@dataclass(frozen=True, slots=True)
class _Keys:
    """Words in the form in which they are compared, each with the number of the word it is of."""

    keys: list[str]
    owner: list[int]


def following(passages: Sequence[Passage], heard: Sequence[TimedWord]) -> list[CaptionWord]:
    """Each heard word once, in the order of time, in the script's words where it follows them."""
    told = _keys([w.text for w in heard])
    parts = list(_written([p.text for p in passages]))
    in_order = order_of([_keys([w.text for w in part]).keys for part in parts], told.keys)
    pairs = frozenset(itertools.pairwise(told.keys))
    words = [w for n in in_order for w in parts[n]]
    words = [w for sentence in _by_sentence(words) if _may_be_heard(sentence, pairs) for w in sentence]
    script = _keys([w.text for w in words])
    blocks = aligned(script.keys, told.keys)
    blocks = list(_with_second_readings(blocks, words, script, told))
    chosen = _Choice(words, script, heard, told)
    return chosen.made(blocks)


def plain_line(text: str) -> str:
    """A line of the script without what stands in brackets: directions, pauses."""
    return _ASIDE.sub(" ", text)


def _written(texts: Sequence[str]) -> Iterator[list[_Written]]:
    """The words of each passage."""
    number = -1
    for passage, text in enumerate(texts):
        part: list[_Written] = []
        for words in map(pieces_of, sentences(plain_line(text))):
            number += 1
            part += [_Written(w, passage, number, n == 0, n == len(words) - 1) for n, w in enumerate(words)]
        yield part


def _by_sentence(words: Sequence[_Written]) -> Iterator[list[_Written]]:
    sentence: list[_Written] = []
    for word in words:
        sentence.append(word)
        if word.ends:
            yield sentence
            sentence = []


def _may_be_heard(sentence: Sequence[_Written], heard: frozenset[tuple[str, str]]) -> bool:
    """Whether two neighbouring words of it are heard somewhere; a short sentence may be misheard in all of them."""
    pairs = list(itertools.pairwise(_keys([w.text for w in sentence]).keys))
    return len(pairs) < _SHORT or any(pair in heard for pair in pairs)


def _keys(texts: Sequence[str]) -> _Keys:
    pairs = [(key, n) for n, text in enumerate(texts) for key in keys_of(text)]
    return _Keys([k for k, _ in pairs], [n for _, n in pairs])


def _with_second_readings(
    blocks: Sequence[AlignedWords], words: Sequence[_Written], script: _Keys, told: _Keys
) -> Iterator[AlignedWords]:
    """A stretch that the script has no more words for may be a sentence of it read once more."""
    again: dict[int, list[AlignedWords]] = {}
    starts = [
        n for n, owner in enumerate(script.owner) if words[owner].begins and (not n or script.owner[n - 1] != owner)
    ]
    ends = [*starts[1:], len(script.keys)][: len(starts)]  # none, where no sentence of it may be heard
    for run in runs(blocks):
        heard = told.keys[run.heard_first : run.heard_last]
        if len(heard) < _LEAST_AGAIN:
            continue
        best: tuple[float, list[AlignedWords]] = (0.0, [])
        for start, end in zip(starts, ends, strict=True):
            sentence = script.keys[start:end]
            if len(set(sentence) & set(heard)) < min(2, len(sentence)):
                continue
            found = aligned(sentence, heard)
            here = [b for b in found if b.how != APART]
            if not here:
                continue
            inside = here[-1].heard_last - here[0].heard_first
            share = sum(b.heard_last - b.heard_first for b in here) / max(inside, len(sentence) * 0.7)
            if inside >= _LEAST_AGAIN and share >= _SHARE_AGAIN and share * len(here) > best[0]:
                moved = [
                    AlignedWords(
                        b.first + start,
                        b.last + start,
                        b.heard_first + run.heard_first,
                        b.heard_last + run.heard_first,
                        b.how,
                    )
                    for b in found
                ]
                best = (share * len(here), moved)
        if best[1]:
            again[run.heard_first] = best[1]
    for block in blocks:
        if block.how == APART and block.heard_first in again and block.heard_last > block.heard_first:
            yield from again[block.heard_first]
        else:
            yield block


class _Choice:
    """The words of both, and which of them is written."""

    def __init__(self, words: Sequence[_Written], script: _Keys, heard: Sequence[TimedWord], told: _Keys) -> None:
        self.words, self.script, self.heard, self.told = words, script, heard, told
        self.out: list[CaptionWord] = []
        self.passage: int | None = None

    def made(self, blocks: Sequence[AlignedWords]) -> list[CaptionWord]:
        """The words in the order of time."""
        for chain in self._chains(self._whole_words(blocks)):
            follows = self._follows(chain)
            for n, one in enumerate(chain):
                if follows and self._is_script(one, chain, n):
                    self._write_script(one)
                else:
                    self._write_heard(one)
        return self.out

    def _whole_words(self, blocks: Sequence[AlignedWords]) -> list[AlignedWords]:
        """The blocks joined so far that each holds whole words of both sides, in numbers of words."""
        out: list[AlignedWords] = []
        for b in blocks:
            first, last = self._span(self.script, b.first, b.last, len(self.words))
            heard_first, heard_last = self._span(self.told, b.heard_first, b.heard_last, len(self.heard))
            one = AlignedWords(first, last, heard_first, heard_last, b.how)
            while out and (
                (b.last > b.first and _is_begun(out, first))
                or (b.heard_last > b.heard_first and out[-1].heard_last > heard_first)
            ):
                prior = out.pop()
                spans = [s for s in ((prior.first, prior.last), (one.first, one.last)) if s[1] > s[0]]
                how = prior.how if prior.how == one.how else APART if APART in (prior.how, one.how) else ALIKE
                one = AlignedWords(
                    min((s[0] for s in spans), default=one.first),
                    max((s[1] for s in spans), default=one.last),
                    min(prior.heard_first, one.heard_first),
                    max(prior.heard_last, one.heard_last),
                    how,
                )
            out.append(one)
        return out

    @staticmethod
    def _span(keys: _Keys, first: int, last: int, count: int) -> tuple[int, int]:
        if last > first:
            return keys.owner[first], keys.owner[last - 1] + 1
        at = keys.owner[first] if first < len(keys.owner) else count
        return at, at

    # --- where the script is followed ---------------------------------------------------------------------------------

    @staticmethod
    def _chains(blocks: Sequence[AlignedWords]) -> list[list[AlignedWords]]:
        """Stretches in which the script's words come one after another, but for a few."""
        chains: list[list[AlignedWords]] = []
        at: int | None = None
        for one in blocks:
            stands = one.how != APART
            far = one.heard_last - one.heard_first > _FARTHEST_APART and not stands
            if not chains or far or (stands and at is not None and not at <= one.first <= at + _FARTHEST_APART):
                chains.append([])
                at = None
            chains[-1].append(one)
            if far:
                chains.append([])
                at = None
            elif stands:
                at = one.last
        return [chain for chain in chains if chain]

    def _follows(self, chain: Sequence[AlignedWords]) -> bool:
        same = [k for b in chain if b.how == SAME for w in self.words[b.first : b.last] for k in keys_of(w.text)]
        telling = [k for k in same if k not in STOP]
        if len(same) >= _LEAST_SAME and len(telling) >= _LEAST_TELLING:
            return True
        stands = [b for b in chain if b.how != APART]
        if not stands or not telling:
            return False
        return self.words[stands[0].first].begins and self.words[stands[-1].last - 1].ends  # a short sentence, whole

    def _is_script(self, one: AlignedWords, chain: Sequence[AlignedWords], n: int) -> bool:
        if one.last == one.first:
            return False
        near = [self._reaches(chain[:n][::-1], one.first, -1), self._reaches(chain[n + 1 :], one.last, 1)]
        if one.heard_last == one.heard_first:
            return False  # nobody says it
        if one.how != ALIKE:
            return one.how == SAME
        return self._is_misheard(one, near, goes_on=self._goes_on(chain, n))

    def _is_misheard(self, one: AlignedWords, near: Sequence[bool], *, goes_on: bool) -> bool:
        """Whether words that sound like the script's are the script's, ``near``: it is followed before them, and after."""
        written = tuple(k for w in self.words[one.first : one.last] for k in keys_of(w.text))
        heard = tuple(k for w in self.heard[one.heard_first : one.heard_last] for k in keys_of(w.text))
        begins = near[1] and self.words[one.first].begins
        if said_otherwise(written, heard) or is_another_food(written, self._told(one)):
            return False
        if all(w in NUMBERS for w in written) and all(h in NUMBERS for h in heard) and len(written) == len(heard):
            return (all(near) or begins) and all(map(_same_to_the_ear, written, heard))
        weak = weak_forms(written, heard)
        edge = (begins or (near[0] and self.words[one.last - 1].ends)) and (
            weak or sound_distance(written, heard) <= _NEAR_ALONE
        )
        return (all(near) or edge) and (goes_on or not weak)

    @staticmethod
    def _reaches(blocks: Sequence[AlignedWords], at: int, way: int) -> bool:
        """Whether the next word of the script is heard as it is written, or after a few that are heard alike."""
        for one in blocks[:_MOST_MISHEARD]:
            if one.how == APART or (one.first if way > 0 else one.last) != at:
                return False
            if one.how == SAME:
                return True
            at = one.last if way > 0 else one.first
        return False

    def _goes_on(self, chain: Sequence[AlignedWords], n: int) -> bool:
        """Whether the script is followed up to its next word that tells something: small words alone prove nothing."""
        for before, one in itertools.pairwise(chain[n:]):
            if one.how == APART or one.first != before.last:
                return False
            if any(k not in STOP for w in self.words[one.first : one.last] for k in keys_of(w.text)):
                return True
        return False

    def _told(self, one: AlignedWords) -> HeardWords:
        """All that is heard, and which of it stands there."""
        if one.heard_last == len(self.heard):
            last = len(self.told.keys)
        else:
            last = bisect.bisect_left(self.told.owner, one.heard_last)
        return HeardWords(self.told.keys, bisect.bisect_left(self.told.owner, one.heard_first), last)

    # --- what is written ----------------------------------------------------------------------------------------------

    def _write_script(self, one: AlignedWords) -> None:
        words, heard = self.words[one.first : one.last], self.heard[one.heard_first : one.heard_last]
        self.passage = words[0].passage
        if heard:
            start, end, line = heard[0].start_ms, heard[-1].end_ms, heard[0].line
        else:
            start = self.out[-1].end_ms
            end, line = max(start, self.heard[one.heard_first].start_ms), self.out[-1].line
        times = _times(words, start, end, heard)
        marks = marks_of(heard[-1].text) if heard else ""
        same = [k for w in heard for k in keys_of(w.text)] == [k for w in words for k in keys_of(w.text)]
        why = SPELT_OUT if same else SOUNDS_ALIKE
        for n, (word, (a, b)) in enumerate(zip(words, times, strict=True)):
            last = n == len(words) - 1
            self.out.append(
                CaptionWord(
                    word.text,
                    a,
                    b,
                    line,
                    word.passage,
                    True,
                    word.begins,
                    marks if last else "",
                    one.first + n,
                    word.sentence,
                    (one.heard_first, one.heard_last),
                    why,
                )
            )

    def _write_heard(self, one: AlignedWords) -> None:
        for at in range(one.heard_first, one.heard_last):
            w = self.heard[at]
            opens = at == 0 or self.heard[at - 1].line != w.line or marks_of(self.heard[at - 1].text)[:1] in (*".!?…",)
            self.out.append(
                CaptionWord(
                    w.text,
                    w.start_ms,
                    w.end_ms,
                    w.line,
                    self.passage,
                    False,
                    opens,
                    marks_of(w.text),
                    heard=(at, at + 1),
                )
            )


def _is_begun(blocks: Sequence[AlignedWords], word: int) -> bool:
    """Whether the last of the blocks that have any of the script holds a part of the word: *twenty, um, five*."""
    last = next((one for one in reversed(blocks) if one.last > one.first), None)
    return last is not None and last.last > word >= last.first


def _same_to_the_ear(written: str, heard: str) -> bool:
    """Of two number words: *fifteen* and *fifty*, and no others."""
    return written == heard or (_TEN.sub("", written) == _TEN.sub("", heard) != "")


def _times(words: Sequence[_Written], start: int, end: int, heard: Sequence[TimedWord]) -> list[tuple[int, int]]:
    """Of each word: the heard one's where there are as many, else a share by its letters."""
    if len(heard) == len(words):
        return [(h.start_ms, h.end_ms) for h in heard]
    return shared_out([len(w.text) for w in words], start, end)
