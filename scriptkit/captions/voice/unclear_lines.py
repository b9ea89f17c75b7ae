"""Lines of a recorded voice of which too little is made out to know them, found by the time that is left for them and their sound."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.timed_words import TimedWord, folded, pieces_of
from scriptkit.english.sound_distance import sound_distance
from scriptkit.shoot.script.spoken_cautions import OfferedPassage

_JOINT_MS, _WORD_MS, _SHARE, _MOST_UNCLEAR, _UNCLEAR = 150, 400, (0.45, 1.7), 3, 0.5
"""How far a word may reach over a neighbour's, how long a word takes, between which shares of that their time must be, how many lines in
a row, and how far they may be by their sound, by which any speech is hardly farther: that the time fits counts most, and there is a
warning for each such line."""
_ONSET_MS, _MOST_LEFT_OUT = 1_000, 6


def unclear_lines(
    takes: Sequence[Sequence[CaptionWord]],
    words: Sequence[TimedWord],
    texts: Sequence[tuple[OfferedPassage, str]],
) -> list[list[CaptionWord]]:
    """Lines of which too little is made out, where between the lines before and after them somebody speaks for about as long as they
    take, in words that sound about like them: each as one stretch. What of the neighbours is not made out is counted in, and what of them
    may be left out is: those lines are taken that sound most like what is spoken."""
    pieces = [pieces_of(text) for _, text in texts]
    begins = list(itertools.accumulate(map(len, pieces), initial=0))
    read = {take[0].sentence for take in takes}
    bounds = [None, *takes, None]
    found = []
    for one, other in itertools.pairwise(bounds):
        start, end = one[-1].end_ms if one else 0, other[0].start_ms if other else 1 << 62
        before, after = one[0].sentence if one else -1, other[0].sentence if other else len(texts)
        missing = [s for s in range(before + 1, after) if s not in read]
        spoken = [w for w in words if start - _JOINT_MS <= w.start_ms and w.end_ms <= end + _JOINT_MS]
        own = sum(texts[s][0].own for s in missing)
        if not missing or own > _MOST_UNCLEAR or len(missing) > _MOST_LEFT_OUT or not spoken:
            continue
        tail = pieces[before][one[-1].number - begins[before] + 1 :] if one else []
        head = pieces[after][: other[0].number - begins[after]] if other else []
        heard = tuple(w.text for w in spoken)
        best: tuple[float, list[int], list[list[str]]] | None = None
        for read_here in _some_of(missing):
            parts = [tail, *(pieces[s] for s in read_here), head]
            lines = [[k for word in part for k in folded(word)] for part in parts]
            length = sum(map(len, lines)) * _WORD_MS
            if not _SHARE[0] * length <= spoken[-1].end_ms - spoken[0].start_ms <= _SHARE[1] * length:
                continue
            far = sound_distance(tuple(k for line in lines for k in line), heard)
            if far <= _UNCLEAR and (best is None or far < best[0]):
                best = (far, [-1, *read_here, -1], lines)
        if best:
            found += _parted(best[1], best[2], spoken, texts)
    return found


def _some_of(missing: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All of them, then every choice of fewer, in their order."""
    for count in range(len(missing), 0, -1):
        yield from itertools.combinations(missing, count)


def from_their_onset(
    readings: Sequence[tuple[CaptionWord, ...]], words: Sequence[TimedWord], unclear: Collection[int]
) -> list[tuple[CaptionWord, ...]]:
    """The readings; one of an unclear line begins where speech sets in after the pause before it, for there its words were laid on sounds
    that are not theirs."""
    out: list[tuple[CaptionWord, ...]] = []
    for reading in readings:
        first, free_from = reading[0], out[-1][-1].end_ms + _JOINT_MS if out else 0
        onset = first.start_ms
        for word in reversed(words):
            if first.sentence not in unclear or word.start_ms < free_from:
                break
            if word.start_ms < onset <= word.end_ms + _JOINT_MS:
                onset = word.start_ms
        near = first.start_ms - onset <= _ONSET_MS
        out.append((replace(first, start_ms=onset), *reading[1:]) if near else reading)
    return out


def _parted(
    sentences_of: Sequence[int],
    lines: Sequence[Sequence[str]],
    spoken: Sequence[TimedWord],
    texts: Sequence[tuple[OfferedPassage, str]],
) -> list[list[CaptionWord]]:
    """The time of what is spoken shared out among the lines, parted at the longest pause near where each should end. Those of sentence
    -1 only take their share."""
    pauses = [b.start_ms - a.end_ms for a, b in itertools.pairwise(spoken)]
    total = sum(map(len, lines))
    first, done, out = 0, 0, []
    for n, (sentence, line) in enumerate(zip(sentences_of, lines, strict=True)):
        done += len(line)
        last = len(spoken)
        if not line:
            continue
        if any(lines[n + 1 :]) and len(spoken) > 1:
            due = max(first + 1, min(len(spoken) - 1, len(spoken) * done // total))
            reach = range(max(first + 1, due - 3), min(len(spoken) - 1, due + 3) + 1)
            last = max(reach, key=lambda at: pauses[at - 1], default=due)
        here = spoken[first:last] or spoken[-1:]
        first = last
        if sentence < 0:
            continue
        passage = texts[sentence][0].number
        out.append(
            [
                CaptionWord("", w.start_ms, w.end_ms, 1, passage, True, number=k, sentence=sentence)
                for k, w in ((0, here[0]), (1, here[-1]))
            ]
        )
    return out
