"""What was heard laid on what was written, word by word: by letters, and in between by sound."""

from __future__ import annotations

import functools
import itertools
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.captions.proofing.left_as_heard import swallows
from scriptkit.english.sound_distance import sound_distance
from scriptkit.english.stems import STOP

SAME, ALIKE, APART = "same", "alike", "apart"
"""How two stretches of words stand to one another: letter by letter, by sound, not at all."""
FARTHEST, FARTHEST_SPLIT = 0.42, 0.3
"""Of sound, that may still be the same word misheard, and the same where one side has more words (our own figures)."""
_MORE_WORDS = 0.12
"""What each word more on one side costs."""
WEAK_FORMS = (
    "a the an uh",
    "and an in end on",
    "it at that it's",
    "is his as has",
    "of have off a",
    "to too two",
    "for four",
    "so soon",
)
"""Small words that are said so weakly that recognisers take one for another (weak forms of English, from memory)."""
_WEAK_FORM = 0.3
_SHAPES = ((1, 1), (1, 2), (2, 1), (1, 3), (3, 1), (2, 2), (1, 4), (2, 3), (3, 2))
"""How many written words may be heard as how many."""
_ALONE = 0.5
"""What a word costs that stands against nothing."""
_OF_OTHER_TALK = 0.15
"""The same of a heard word among many more than the script has there: most of them are none of its words."""
_FEW, _OTHER_TALK = 2, 4
"""So many small words in a row are a stray, beside so many heard words that are not the script's."""
_INSIDE = 0.002
"""What it costs a word to stand so many words from either end of its gap: of two that sound alike it is the one beside what is heard."""
_MOST_CELLS = 900
"""A gap of more words on both sides is another text."""


@dataclass(frozen=True, slots=True)
class AlignedWords:
    """From which to before which written word, and heard word; ``how``: SAME, ALIKE or APART."""

    first: int
    last: int
    heard_first: int
    heard_last: int
    how: str


def aligned(written: Sequence[str], heard: Sequence[str]) -> list[AlignedWords]:
    """All words of both in order, without a gap. Words are folded."""
    from rapidfuzz.distance import Indel

    found: list[AlignedWords] = []
    for step in Indel.opcodes(list(written), list(heard)):
        a, b, c, d = step.src_start, step.src_end, step.dest_start, step.dest_end
        if step.tag == "equal":
            found += [AlignedWords(a + n, a + n + 1, c + n, c + n + 1, SAME) for n in range(b - a)]
        else:
            found.append(AlignedWords(a, b, c, d, APART))
    return [part for one in _without_strays(_joined(found), written) for part in _by_sound(one, written, heard)]


def _without_strays(blocks: Sequence[AlignedWords], written: Sequence[str]) -> list[AlignedWords]:
    """The blocks; a small word or two between stretches that stand apart may be any *the* of a talk, and is laid once more with
    them, by sound."""
    out: list[AlignedWords] = []
    n = 0
    while n < len(blocks):
        end = n
        while end < len(blocks) and blocks[end].how == SAME:
            end += 1
        stray = 0 < end - n <= _FEW and all(written[b.first] in STOP for b in blocks[n:end])
        if stray and out and out[-1].how == APART and end < len(blocks):
            before, after = out[-1], blocks[end]
            rows, columns = after.last - before.first, after.heard_last - before.heard_first
            talk = max(b.heard_last - b.heard_first for b in (before, after)) >= _OTHER_TALK
            if talk and rows * columns <= _MOST_CELLS:
                out[-1] = AlignedWords(before.first, after.last, before.heard_first, after.heard_last, APART)
                n = end + 1
                continue
        out += blocks[n : max(end, n + 1)]
        n = max(end, n + 1)
    return out


def _joined(blocks: Sequence[AlignedWords]) -> list[AlignedWords]:
    """Neighbouring stretches that stand apart as one: what is missing on one side and what is more on the other."""
    out: list[AlignedWords] = []
    for one in blocks:
        if out and out[-1].how == one.how == APART:
            out[-1] = AlignedWords(out[-1].first, one.last, out[-1].heard_first, one.heard_last, APART)
        else:
            out.append(one)
    return out


def _by_sound(one: AlignedWords, written: Sequence[str], heard: Sequence[str]) -> list[AlignedWords]:
    rows, columns = one.last - one.first, one.heard_last - one.heard_first
    if one.how == SAME or not rows or not columns:
        return [one]
    if rows * columns > _MOST_CELLS:
        return [one]
    a, b = tuple(written[one.first : one.last]), tuple(heard[one.heard_first : one.heard_last])
    more = _OF_OTHER_TALK if columns - rows >= _OTHER_TALK else _ALONE
    best: dict[tuple[int, int], tuple[float, tuple[int, int, str]]] = {(0, 0): (0.0, (0, 0, ""))}
    for i, j in itertools.product(range(rows + 1), range(columns + 1)):
        if (i, j) == (0, 0):
            continue
        ways: list[tuple[float, tuple[int, int, str]]] = []
        if i:
            ways.append((best[i - 1, j][0] + _ALONE, (1, 0, APART)))
        if j:
            ways.append((best[i, j - 1][0] + more, (0, 1, APART)))
        for p, q in _SHAPES:
            if p <= i and q <= j and (p == q == 1 or (a[i - p] != b[j - q] and a[i - 1] != b[j - 1])):
                far = _distance_of(a[i - p : i], b[j - q : j])
                if far is not None:
                    cost = far * (p + q) / 2 + _MORE_WORDS * (max(p, q) - 1) + _INSIDE * min(i - p, rows - i)
                    ways.append((best[i - p, j - q][0] + cost, (p, q, ALIKE)))
        best[i, j] = min(ways)
    steps: list[AlignedWords] = []
    i, j = rows, columns
    while (i, j) != (0, 0):
        p, q, how = best[i, j][1]
        at, on = one.first + i, one.heard_first + j
        same = p == q == 1 and written[at - 1] == heard[on - 1]
        steps.append(AlignedWords(at - p, at, on - q, on, SAME if same else how))
        i, j = i - p, j - q
    return _joined(steps[::-1])


@functools.lru_cache(maxsize=65_536)
def _distance_of(script: tuple[str, ...], told: tuple[str, ...]) -> float | None:
    """By sound; None where the one is not the other misheard."""
    far = distance_of(script, told)
    near = far <= (FARTHEST if len(script) == len(told) == 1 else FARTHEST_SPLIT) and not takes_more(script, told)
    return far if near else None


_WEAK = tuple(frozenset(group.split()) for group in WEAK_FORMS)


def weak_forms(one: Sequence[str], other: Sequence[str]) -> bool:
    """Whether two words are weak forms of which a recogniser takes one for the other."""
    return len(one) == len(other) == 1 and any(one[0] in group and other[0] in group for group in _WEAK)


def distance_of(one: tuple[str, ...], other: tuple[str, ...]) -> float:
    """By sound, weak forms of small words being near; 0 to 1."""
    return _WEAK_FORM if weak_forms(one, other) else sound_distance(one, other)


def takes_more(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Whether words of either side are no part of how the other sounds: they stand beside it, said or not said on their own.

    >>> takes_more(("pistachios",), ("pistachio's", "over", "the", "top")), takes_more(("celeriac",), ("sell", "a", "rack"))
    (True, False)
    """
    if swallows(one, other) or swallows(other, one):
        return True
    if len(one) < 2 or len(other) < 2:
        return False
    far = sound_distance(one, other)
    return sound_distance(one[1:], other[1:]) < far or sound_distance(one[:-1], other[:-1]) < far


# --- talks in another order -------------------------------------------------------------------------------------------


def order_of(parts: Sequence[Sequence[str]], heard: Sequence[str]) -> list[int]:
    """The numbers of the parts in the order in which they are heard, by pairs of neighbouring words; one of which too little is heard
    stays after the part before it, and so does one that may as well be heard there as elsewhere."""
    where: dict[tuple[str, str], list[int]] = defaultdict(list)
    for n, pair in enumerate(itertools.pairwise(heard)):
        where[pair].append(n)
    before, due = 0.0, 0.0
    keys: list[tuple[float, int]] = []
    for n, part in enumerate(parts):
        votes = _votes(part, where)
        if votes:
            most = max(votes.values())
            place = min((start for start, count in votes.items() if count == most), key=lambda start: abs(start - due))
            ahead = max((count for start, count in votes.items() if start >= before), default=0)
            if place >= before or (most >= _SURELY_BACK and most > ahead * 1.5):
                before = due = float(place)
            elif ahead:
                before = due = float(min(start for start, count in votes.items() if start >= before and count == ahead))
        due += len(part)
        keys.append((before, n))
    return [n for _, n in sorted(keys)]


_SURELY_BACK = 3
"""Pairs that must be heard earlier for a part to be moved back."""


_ENOUGH = 4
"""Pairs that tell where a part begins, however long it is: a sentence of it may be left out."""


def _votes(part: Sequence[str], where: dict[tuple[str, str], list[int]]) -> dict[int, int]:
    """Where the part may begin, as numbers of heard words, each with how many pairs speak for it; empty where too few do."""
    pairs = [(n, p) for n, p in enumerate(itertools.pairwise(part)) if not (p[0] in STOP and p[1] in STOP)]
    starts = [at - n for n, pair in pairs for at in where.get(pair, ())]
    near = Counter({s: sum(abs(s - t) <= 3 + len(part) // 10 for t in starts) for s in set(starts)})
    least = 1 if len(pairs) <= 3 else min(_ENOUGH, max(2, len(pairs) // 4))
    return {start: votes for start, votes in near.items() if votes >= least}


def runs(blocks: Sequence[AlignedWords]) -> Iterator[AlignedWords]:
    """Stretches of what is heard alone."""
    yield from (one for one in blocks if one.how == APART and one.heard_last > one.heard_first)
