"""Words with their times put together as cues: parted where a sentence or clause ends, within the profile's limits."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Sequence

from scriptkit.captions.composing.compose import closed
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.line_breaking import clinging
from scriptkit.captions.composing.text_width import columns
from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.timed_words import ends_sentence
from scriptkit.english.small_words import small_words
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue

_SILENCE_MS = 1_500
"""Over a silence no cue goes on (common practice, no source)."""
_PAUSE_MS = 350
_LINGER_MS = 500
"""How long a cue stays after its last word, where nothing follows (common practice, no source)."""
_EARLY_MS = 250
"""How much earlier than its first word a cue may stand, where it is read in too short a time otherwise."""
_CUE, _CLAUSE, _PAUSED, _PHRASE, _ANYWHERE, _CLINGING = 1.0, 0.25, 0.2, 0.9, 1.6, 8.0
"""What a cue costs, and its end after a clause, at a pause, before a phrase, elsewhere, and where a word clings to the next."""
_HURRY, _SECOND_SENTENCE = 3.0, 0.35
"""What a second costs that a cue stands too short, and a sentence that begins inside of a cue and does not end there."""
_LONGEST_MS = 7_000
"""Of a cue, where the profile gives none."""
_MOST_WORDS = 26
_PHRASES = small_words("conjunctions") | small_words("prepositions")


def dialogue_cues(words: Sequence[CaptionWord], room: CueLimits, end_ms: int | None = None) -> list[tuple[Cue, int]]:
    """Each cue with the line of the transcript that it begins in; in order, none overlapping. ``end_ms``: of the cut, over which the
    last cue stands no longer than it takes to read."""
    words = [w for w in words if clean(w.text)]
    if not words:
        return []
    impossible: set[tuple[int, int]] = set()
    while True:
        spans = _parted(words, room, impossible)
        lines = {span: _lines(words, span, room) for span in spans}
        wrong = [
            span for span, found in lines.items() if span[1] - span[0] > 1 and (found is None or _parts_a_phrase(found))
        ]
        if not wrong:
            break
        impossible |= set(wrong)
    texts = [lines[span] or (clean(words[span[0]].text),) for span in spans]
    cues = _timed(words, spans, texts, room, end_ms)
    return [(cue, words[span[0]].line) for cue, span in zip(closed(cues, room), spans, strict=True)]


def _parts_a_phrase(lines: Sequence[str]) -> bool:
    """Whether a line ends with a word that belongs to the next one."""
    return any(clinging(a, b) for a, b in itertools.pairwise(lines))


def _lines(words: Sequence[CaptionWord], span: tuple[int, int], room: CueLimits) -> tuple[str, ...] | None:
    return room.fit(clean(" ".join(w.text for w in words[span[0] : span[1]])))


def _parted(words: Sequence[CaptionWord], room: CueLimits, impossible: set[tuple[int, int]]) -> list[tuple[int, int]]:
    """From which to before which word each cue goes: the cheapest way."""
    count = len(words)
    widths = [columns(w.text) + 1 for w in words]
    most = (room.width + 1) * room.lines
    longest = room.longest_ms or _LONGEST_MS
    ends = [_end_cost(words, n) for n in range(1, count)] + [0.0]
    stops = [ends_sentence(w.text) for w in words]
    stops_before = list(itertools.accumulate(stops, initial=0))
    needs_ms = functools.cache(functools.partial(_needs_ms, room=room))
    best: list[tuple[float, int]] = [(0.0, 0)] + [(math.inf, 0)] * count
    for first in range(count):
        cost, width, letters = best[first][0], 0, 0
        for last in range(first + 1, min(count, first + _MOST_WORDS) + 1):
            one = words[last - 1]
            width += widths[last - 1]
            letters += len(one.text) + 1
            alone = last == first + 1
            if not alone and (
                width > most
                or one.end_ms - words[first].start_ms > longest
                or one.start_ms - words[last - 2].end_ms > _SILENCE_MS
            ):
                break
            if (first, last) in impossible:
                continue
            until = words[last].start_ms if last < count else one.end_ms + _LINGER_MS * 4
            stands = min(until, one.end_ms + _LINGER_MS * 4) - words[first].start_ms
            hurry = max(0.0, needs_ms(letters, last - first) - stands) / 1000
            inner = stops_before[last - 1] - stops_before[first]
            torn = _SECOND_SENTENCE * inner * (1 if stops[last - 1] else 4)
            total = cost + _CUE + ends[last - 1] + _HURRY * hurry + torn
            if total < best[last][0]:
                best[last] = (total, first)
    spans, at = [], count
    while at:
        spans.append((best[at][1], at))
        at = best[at][1]
    return spans[::-1]


def _needs_ms(letters: int, words: int, room: CueLimits) -> float:
    """About how long a text of so many letters and words takes to read by the profile."""
    if room.profile is None:
        return 0.0
    limits = room.profile.limits
    needs = [float(room.profile.shortest_ms or 0)]
    if speed := limits.get("characters_a_second"):
        needs.append((letters - 1) / speed * 1000)
    if speed := limits.get("words_a_minute"):
        needs.append(words / speed * 60_000)
    needs.append(words * limits.get("ms_a_word", 0.0))
    return max(needs) + room.slack_ms


def _end_cost(words: Sequence[CaptionWord], n: int) -> float:
    """What it costs to end a cue before the word of this number."""
    before, after = words[n - 1], words[n]
    if ends_sentence(before.text):
        return 0.0
    if before.text.rstrip('"”’)').endswith((",", ";", ":", "–", "—")):
        return _CLAUSE
    paused = after.start_ms - before.end_ms >= _PAUSE_MS
    if clinging(before.text, after.text):
        return _CLINGING / 2 if paused else _CLINGING
    if paused:
        return _PAUSED
    return _PHRASE if after.text.casefold() in _PHRASES else _ANYWHERE


def _timed(
    words: Sequence[CaptionWord],
    spans: Sequence[tuple[int, int]],
    texts: Sequence[tuple[str, ...]],
    room: CueLimits,
    end_ms: int | None,
) -> list[Cue]:
    """Each cue from its first word on, for as long as it is read, but not into the next one."""
    least_gap = room.least_gap_ms if room.longest_ms else 0
    cues: list[Cue] = []
    for n, ((first, last), lines) in enumerate(zip(spans, texts, strict=True)):
        start = words[first].start_ms
        needs = room.least_ms(" ".join(lines))
        is_last = n + 1 == len(spans)
        lasts = words[last - 1].end_ms
        free_to = (
            words[spans[n + 1][0]].start_ms if not is_last else max(lasts, lasts + 60_000 if end_ms is None else end_ms)
        )
        end = min(max(words[last - 1].end_ms + _LINGER_MS, start + needs), free_to)
        if end - start < needs:
            earliest = cues[-1].end_ms if cues else 0
            start = max(start - min(_EARLY_MS, needs - (end - start)), earliest, 0) if earliest < start else start
        if cues and start < cues[-1].end_ms:
            start = cues[-1].end_ms
        if is_last:
            end = max(end, start + needs)
        if room.longest_ms is not None:
            end = min(end, start + room.longest_ms)
        cues.append(Cue(start_ms=start, end_ms=max(end, start + 1), lines=lines, track="dialogue"))
    return _ended(cues, least_gap)


def _ended(cues: Sequence[Cue], least_gap: int) -> list[Cue]:
    from dataclasses import replace

    return [
        replace(a, end_ms=b.start_ms) if 0 < b.start_ms - a.end_ms < least_gap else a
        for a, b in itertools.pairwise(cues)
    ] + list(cues[-1:])
