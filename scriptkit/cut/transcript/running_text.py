"""A transcript as one running text, so that what is said over the end of a caption is read whole; each place of it knows
its line and its time."""

from __future__ import annotations

import bisect
import functools
import re
from dataclasses import dataclass

from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.measure.amounts import Cups
from scriptkit.measure.figures import Figure, figures_in

PAUSE_MS = 3_000
"""A silence after which another sentence begins (common practice, no source)."""
SENTENCE_PAUSE_MS = 250
"""Between captions, which else follow at once, a silence at which a clause ends (common practice, no source)."""
WORDS_A_SENTENCE = 40
"""A talk with a stop in fewer words than these has its stops written."""
_WORDS_ABOUT = 9
_SENTENCE_END = re.compile(r"[.!?;…](?=\s|$)")
_WORD = re.compile(r"[^\W_]+(?:['’.-][^\W_]+)*")


@dataclass(frozen=True, slots=True)
class Talk:
    """``starts`` holds where each of the ``lines`` begins in the ``text``."""

    text: str
    starts: tuple[int, ...]
    lines: tuple[SpokenLine, ...]

    def line_at(self, place: int) -> SpokenLine:
        """The line that the character at this place of the text belongs to."""
        return self.lines[self._number_at(place)]

    def ms_at(self, place: int) -> int:
        """The moment of the cut at which the place is said: the line's share of its time, by characters, for speech is about
        even."""
        number = self._number_at(place)
        line, into = self.lines[number], place - self.starts[number]
        return line.start_ms + round((line.end_ms - line.start_ms) * min(1.0, into / max(1, len(line.text))))

    def _number_at(self, place: int) -> int:
        return max(0, bisect.bisect_right(self.starts, place) - 1)

    def sentence(self, start: int, end: int, words: int = 12) -> tuple[str, str]:
        """What stands before and after a stretch in its sentence, at most so many words of each."""
        before = _SENTENCE_END.split(self.text[max(0, start - 200) : start])[-1]
        after = _SENTENCE_END.split(self.text[end : end + 200])[0]
        return " ".join(before.split()[-words:]), " ".join(after.split()[:words])

    def words_about(self, start: int, end: int) -> str:
        """A stretch with what stands about it in its sentence, a few words of each: what is said there, however long the captions are."""
        before, after = self.sentence(start, end, words=_WORDS_ABOUT)
        apart = "" if self.text[end : end + 1] in (",", ";", ":") else " "
        words = f"{before} {self.text[start:end]}{apart}{after}".strip()
        at = self.text.find(after, end) + len(after)
        return " ".join(words.split()) + (stop if (stop := self.text[at : at + 1]) in (".", "!", "?") else "")


def talk_of(transcript: Transcript) -> Talk:
    """Its lines joined by spaces; after a pause, by a full stop where none is written."""
    parts: list[str] = []
    starts: list[int] = []
    length = 0
    until: int | None = None
    for line in transcript.lines:
        silent = until is not None and line.start_ms - until > PAUSE_MS
        joint = "" if until is None else ". " if silent and parts[-1][-1:].isalnum() else " "
        length += len(joint)
        starts.append(length)
        length += len(line.text)
        parts += [joint, line.text]
        until = line.end_ms
    return Talk("".join(parts), tuple(starts), transcript.lines)


@functools.lru_cache(maxsize=2)
def figures_said(text: str, cups: Cups) -> tuple[Figure, ...]:
    """The figures of a whole talk, which several ask for."""
    return tuple(figures_in(text, cups))


def sentence_pauses(talk: Talk) -> list[int]:
    """Where in the text of a talk without stops a sentence ends by a silence; of one with stops, or of lines of a word or two, nowhere."""
    words = talk.text.count(" ") + 1
    stops = len(_SENTENCE_END.findall(talk.text))
    if not talk.lines or stops * WORDS_A_SENTENCE > words or words < 3 * len(talk.lines):
        return []
    return [
        start
        for start, line, before in zip(talk.starts[1:], talk.lines[1:], talk.lines, strict=False)
        if line.start_ms - before.end_ms >= SENTENCE_PAUSE_MS
    ]


def words_in(text: str) -> list[str]:
    """Lower case, with straight apostrophes; ``12.5`` is one word."""
    return [w.casefold().replace("’", "'") for w in _WORD.findall(text)]
