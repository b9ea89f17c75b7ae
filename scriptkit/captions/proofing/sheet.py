"""A caption file under proof, and its cues as a viewer reads them."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing.rolling import rolls
from scriptkit.measure.timecode import FrameRate
from scriptkit.problems import Place
from scriptkit.timed_text.markup import TIMED_WORD, plain_lines, unescaped, word_times
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.placed_source import KEPT
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.webvtt import signed_clock

_LOOKED_AT = 50
"""Cues: a machine that times words times all of them."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file under proof, against a profile, at a frame rate where one is stated."""

    file: CaptionFile
    profile: Profile
    rate: FrameRate | None = None

    @property
    def cues(self) -> tuple[ReadCue, ...]:
        """Of the file, in its own order."""
        return self.file.cues

    def by_place(self) -> list[Sheet]:
        """The same, a sheet for each place on the picture where cues of ASS and TTML stand: only those of one place follow one another.
        Without what is animated or drawn by hand."""
        if self.file.source is None:
            return [self]
        places: dict[str, list[ReadCue]] = {}
        for cue in self.cues:
            if not cue.settings.startswith(KEPT):
                places.setdefault(cue.settings, []).append(cue)
        return [replace(self, file=replace(self.file, cues=tuple(cues))) for cues in places.values()]

    @property
    def rolls(self) -> bool:
        """Whether these are rolling captions."""
        if not any(self._may_scroll(before, cue) for before, cue in pairs(self.cues)):
            return False  # as in nearly all files; to read the lines of every cue takes longer
        timed = any(TIMED_WORD.search(c.text) for c in self.cues[:_LOOKED_AT])
        return rolls(((c.start_ms, c.end_ms, self.lines(c)) for c in self.cues), timed_words=timed)

    def _may_scroll(self, before: ReadCue, cue: ReadCue) -> bool:
        """Whether the cue may begin with a line of the one before, and bring another: no, where its first row is nowhere in that."""
        text = cue.text
        if "<" in text or "&" in text or "{" in text:
            return True
        first, _, more = text.partition("\n")
        return first.strip() in before.text and bool(more)

    def clock(self, ms: int) -> str:
        """A time as the file writes it."""
        return signed_clock(ms, self.file.kind)

    def place(self, cue: ReadCue) -> Place:
        """Where the cue stands in the file: the line on which it begins."""
        return Place(self.file.file, cue.line)

    def lines(self, cue: ReadCue) -> list[str]:
        """The lines of the cue that are seen, as they are read."""
        text = cue.text
        if "<" in text or "{" in text:
            text = plain(text)
        if "&" in text:
            text = _unescaped(text, self.file.kind)
        return [line for row in text.splitlines() if (line := row.strip())]

    def before_new_words(self, cue: ReadCue) -> int:
        """How many of these lines, at most, stand before the first in which a word has a time of its own after the cue's start: such
        words are spoken now, even where they are those of the line before."""
        if not TIMED_WORD.search(cue.text):
            return len(cue.text)
        rows = cue.text.split("\n")
        new = next((n for n, row in enumerate(rows) if any(at > cue.start_ms for at in word_times(row))), len(rows))
        return len(plain_lines("\n".join(rows[:new]), self.file.kind))

    def place_of_line(self, cue: ReadCue, n: int) -> Place:
        """Where the n-th of these lines, from 0, stands in the file: under the times, but in ASS and TTML beside them."""
        if self.file.source is not None:
            return self.place(cue)
        return Place(self.file.file, cue.line + _rows(cue.text, self.file.kind)[n])


def pairs(cues: Sequence[ReadCue]) -> Iterator[tuple[ReadCue, ReadCue]]:
    """Each cue with the one after it."""
    return itertools.pairwise(cues)


def as_read(text: str, kind: str) -> str:
    """Without markup; ``&amp;`` is one letter, but in SubRip."""
    return _unescaped(plain(text), kind)


def _unescaped(text: str, kind: str) -> str:
    return text if kind == "srt" else unescaped(text)


def _seen(text: str) -> list[str]:
    return [line for row in text.splitlines() if (line := row.strip())]


@functools.lru_cache(maxsize=1)
def _rows(text: str, kind: str) -> list[int]:
    """In which row of the cue, from 1, each line that is seen stands: some rows are blank, and some have a line end within
    them that only Unicode counts."""
    rows = enumerate(plain(text).split("\n"), 1)
    return [number for number, row in rows for _ in _seen(_unescaped(row, kind))]


def seconds_text(ms: int) -> str:
    """To the millisecond: *stands 7 s, at most 7 s* would tell nothing."""
    return f"{ms / 1000:.3f}".rstrip("0").rstrip(".") + " s"
