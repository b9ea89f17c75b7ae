"""Where the lines of the script are read in a talk."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from scriptkit.captions.dialogue.follow_script import CaptionWord, following, plain_line
from scriptkit.captions.dialogue.timed_words import pieces_of, timed_words
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.problems import Place
from scriptkit.shoot.script.script import Passage

_LEAST_WORDS, _LEAST_SHARE = 5, 0.5
"""Of a step's line, that must be read in one go for it to be read there (our own figures)."""
_PAUSE_MS = 8_000
"""After a longer silence, or other talk, another reading of the line begins."""


def where_read(passages: Sequence[Passage], transcript: Transcript) -> Mapping[Place, tuple[int, int]]:
    """By the step's place, from when to when its line is read, in ms: the reading with the most of its words. Steps without a line, and
    those whose line is not followed, are not in it."""
    if not any(p.text and p.segment.step is not None for p in passages):
        return {}
    words: dict[int, list[CaptionWord]] = defaultdict(list)
    for word in following(passages, timed_words(transcript.lines)):
        if word.scripted and word.passage is not None:
            words[word.passage].append(word)
    found: dict[Place, tuple[int, int]] = {}
    for number, heard in words.items():
        step = passages[number].segment.step
        if step is None:
            continue
        best = max(_readings(heard), key=lambda reading: len({w.number for w in reading}))
        count = len({w.number for w in best})
        if count >= _LEAST_WORDS and count >= _LEAST_SHARE * len(pieces_of(plain_line(passages[number].text))):
            found[step.place] = best[0].start_ms, best[-1].end_ms
    return found


def _readings(words: Sequence[CaptionWord]) -> Iterator[list[CaptionWord]]:
    reading: list[CaptionWord] = []
    for word in sorted(words, key=lambda w: w.start_ms):
        if reading and word.start_ms - reading[-1].end_ms > _PAUSE_MS:
            yield reading
            reading = []
        reading.append(word)
    yield reading
