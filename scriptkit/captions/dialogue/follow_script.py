"""Which words a talk is captioned in: the script's where it is followed, the recogniser's where it is not."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.dialogue.timed_words import TimedWord, ends_sentence, keys_of, pieces_of
from scriptkit.captions.dialogue.word_alignment import ALIKE, APART, SAME, AlignedWords, aligned, order_of, runs
from scriptkit.english.sound_distance import sound_distance
from scriptkit.english.stems import NUMBERS
from scriptkit.shoot.script.narration import sentences
from scriptkit.shoot.script.script import Passage

_ASIDE = re.compile(r"\[[^\[\]]*\]")
_RESTORED = frozenset("a an the of to in it is and on at as".split())  # noqa: SIM905
"""Small words that recognisers lose between others."""
_NO_GAP_MS = 350
"""Within which a small word may have been lost."""
_NEAR_ALONE = 0.2
"""Of sound, where the script is followed on one side only."""
_SAME_NUMBER = 0.16
"""Of sound, between two figures: *fifteen* and *fifty*, no more."""
_LEAST_AGAIN, _SHARE_AGAIN = 4, 0.6
"""Words of a stretch that is read a second time, and the share of them that must be the script's."""
_OPPOSITE = re.compile(r"n't$|^(?:no|not|never|without)$")


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


@dataclass(frozen=True, slots=True)
class _Written:
    text: str
    passage: int
    number: int
    begins: bool


@dataclass(frozen=True, slots=True)
class _Keys:
    """Words in the form in which they are compared, each with the number of the word it is of."""

    keys: list[str]
    owner: list[int]


def following(passages: Sequence[Passage], heard: Sequence[TimedWord]) -> tuple[list[CaptionWord], list[WordChange]]:
    """Each heard word once, in the order of time, in the script's words where it follows them; and every word that is another
    than was heard."""
    told = _keys([w.text for w in heard])
    parts = [_written(p.text, n) for n, p in enumerate(passages)]
    in_order = order_of([[k for w in part for k in keys_of(w.text)] for part in parts], told.keys)
    words = [w for n in in_order for w in parts[n]]
    script = _keys([w.text for w in words])
    blocks = aligned(script.keys, told.keys)
    blocks = list(_with_second_readings(blocks, words, script, told))
    chosen = _Choice(words, script, heard, told)
    return chosen.made(blocks)


def _written(text: str, passage: int) -> list[_Written]:
    plain = _ASIDE.sub(" ", text)
    return [
        _Written(word, passage, n, n == 0)
        for sentence in sentences(plain)
        for n, word in enumerate(pieces_of(sentence))
    ]


def _keys(texts: Sequence[str]) -> _Keys:
    pairs = [(key, n) for n, text in enumerate(texts) for key in keys_of(text)]
    return _Keys([k for k, _ in pairs], [n for _, n in pairs])


def _with_second_readings(
    blocks: Sequence[AlignedWords], words: Sequence[_Written], script: _Keys, told: _Keys
) -> Iterator[AlignedWords]:
    """A stretch that the script has no more words for may be a sentence of it read once more."""
    again: dict[int, list[AlignedWords]] = {}
    starts = [n for n, owner in enumerate(script.owner) if words[owner].begins and (not n or script.owner[n - 1] != owner)]
    ends = [*starts[1:], len(script.keys)]
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
                    AlignedWords(b.first + start, b.last + start, b.heard_first + run.heard_first, b.heard_last + run.heard_first, b.how)
                    for b in found
                ]
                best = (share * len(here), moved)
        if best[1]:
            again[run.heard_first] = [b for b in best[1] if b.heard_last > b.heard_first]
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
        self.changes: list[WordChange] = []
        self.passage: int | None = None

    def made(self, blocks: Sequence[AlignedWords]) -> tuple[list[CaptionWord], list[WordChange]]:
        """The words in the order of time."""
        whole = self._whole_words([b for b in blocks if b.how != APART or b.heard_last > b.heard_first or b.last - b.first == 1])
        for n, one in enumerate(whole):
            before, after = (whole[n - 1] if n else None), (whole[n + 1] if n + 1 < len(whole) else None)
            if self._is_script(one, before, after):
                self._write_script(one)
            else:
                self._write_heard(one)
        return _with_capitals(self.out), self.changes

    def _whole_words(self, blocks: Sequence[AlignedWords]) -> list[AlignedWords]:
        """The blocks joined so far that each holds whole words of both sides, in numbers of words."""
        out: list[AlignedWords] = []
        for b in blocks:
            first, last = self._span(self.script, b.first, b.last, len(self.words))
            heard_first, heard_last = self._span(self.told, b.heard_first, b.heard_last, len(self.heard))
            one = AlignedWords(first, last, heard_first, heard_last, b.how)
            while out and (
                (b.last > b.first and out[-1].last > first >= out[-1].first and out[-1].last > out[-1].first)
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

    def _is_script(self, one: AlignedWords, before: AlignedWords | None, after: AlignedWords | None) -> bool:
        if one.last == one.first:
            return False
        follows = [b is not None and b.how == SAME and b.last > b.first for b in (before, after)]
        near = [
            follows[0] and before is not None and before.last == one.first,
            follows[1] and after is not None and after.first == one.last,
        ]
        if one.heard_last == one.heard_first:
            return all(near) and self._lost_small_word(one)
        if one.how == APART:
            return False
        if one.how == SAME:
            return True
        written = tuple(k for w in self.words[one.first : one.last] for k in keys_of(w.text))
        heard = tuple(k for w in self.heard[one.heard_first : one.heard_last] for k in keys_of(w.text))
        if any(map(_OPPOSITE.search, written)) != any(map(_OPPOSITE.search, heard)):
            return False
        if all(w in NUMBERS for w in written) and all(h in NUMBERS for h in heard) and len(written) == len(heard):
            return all(near) and sound_distance(written, heard) <= _SAME_NUMBER
        return all(near) or (any(near) and sound_distance(written, heard) <= _NEAR_ALONE)

    def _lost_small_word(self, one: AlignedWords) -> bool:
        if one.last - one.first != 1 or keys_of(self.words[one.first].text)[0] not in _RESTORED:
            return False
        at = one.heard_first
        return 0 < at < len(self.heard) and self.heard[at].start_ms - self.heard[at - 1].end_ms <= _NO_GAP_MS

    def _write_script(self, one: AlignedWords) -> None:
        words, heard = self.words[one.first : one.last], self.heard[one.heard_first : one.heard_last]
        self.passage = words[0].passage
        if heard:
            start, end, line = heard[0].start_ms, heard[-1].end_ms, heard[0].line
        else:
            start = self.out[-1].end_ms
            end, line = max(start, self.heard[one.heard_first].start_ms), self.out[-1].line
        marks = _times(words, start, end, heard)
        for word, (a, b) in zip(words, marks, strict=True):
            self.out.append(CaptionWord(word.text, a, b, line, word.passage, True))
        was, now = " ".join(w.text for w in heard), " ".join(w.text for w in words)
        if [k for w in heard for k in keys_of(w.text)] != [k for w in words for k in keys_of(w.text)]:
            why = "the script has it here, and it sounds alike" if was else "the script has it here, between words that are heard"
            self.changes.append(WordChange(start, was, now, why, line))

    def _write_heard(self, one: AlignedWords) -> None:
        self.out += [
            CaptionWord(w.text, w.start_ms, w.end_ms, w.line, self.passage, False)
            for w in self.heard[one.heard_first : one.heard_last]
        ]


def _times(words: Sequence[_Written], start: int, end: int, heard: Sequence[TimedWord]) -> list[tuple[int, int]]:
    """Of each word: the heard one's where there are as many, else a share by its letters."""
    if len(heard) == len(words):
        return [(h.start_ms, h.end_ms) for h in heard]
    ends = list(itertools.accumulate((len(w.text) for w in words), initial=0))
    marks = [start + (end - start) * n // max(1, ends[-1]) for n in ends]
    return list(itertools.pairwise(marks))


def _with_capitals(words: Sequence[CaptionWord]) -> list[CaptionWord]:
    """A sentence ends where the script begins another, and begins with a capital; inside of one what a recogniser began a line
    with has none."""
    out: list[CaptionWord] = []
    for n, word in enumerate(words):
        before = out[-1] if out else None
        text = word.text
        if before is not None and not ends_sentence(before.text) and text[:1].isupper():
            opens = word.scripted and not before.scripted
            if opens and before.text[-1:].isalnum() and _is_capital_of_sentence(text):
                out[-1] = replace(before, text=f"{before.text}.")
            elif not word.scripted and before.scripted and before.text[-1:].isalnum() is False:
                text = _lower(text)
            elif not word.scripted and _begins_line(words, n):
                text = _lower(text)
        elif (before is None or ends_sentence(before.text)) and text[:1].islower():
            text = text[:1].upper() + text[1:]
        out.append(replace(word, text=text))
    return out


def _is_capital_of_sentence(text: str) -> bool:
    return text not in ("I", "I'm", "I’m", "I'll", "I’ll", "I've", "I’ve", "I'd", "I’d")


def _lower(text: str) -> str:
    return text if not _is_capital_of_sentence(text) or text[1:2].isupper() else text[:1].lower() + text[1:]


def _begins_line(words: Sequence[CaptionWord], n: int) -> bool:
    return n > 0 and words[n].line != words[n - 1].line
