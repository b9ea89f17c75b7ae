"""Read a transcript: SubRip, WebVTT, or lines with a time before them; what is spoken once is kept once."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.stems import STOP
from scriptkit.input_bytes import refuse_larger
from scriptkit.problems import CannotDo, Place, error, note, warning
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.markup import TIMED_WORD, unescaped
from scriptkit.timed_text.reading import ReadCue, parse_captions

LARGEST_TRANSCRIPT = 3_000_000
"""Bytes: more than a day of talk."""
_TIMES = re.compile(r"\d\s*-{1,3}>\s*\d")
_CLOCK = r"(?:(\d{1,3}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?"
_STAMPED = re.compile(rf"^\s*[\[(]?\s*{_CLOCK}\s*[\])]?(?:\s*[-–—]\s+|\s*[:|]\s+|\s+|$)(.*)$")
"""``[1:05] text``, ``1:05 text``, ``(0:01:05.2) text``, or the time on a line of its own."""

# What captions hold beside words: tags, override codes, sounds in brackets, notes, who speaks.
_MARKUP = re.compile(r"<[^<>]*>|\{\\[^{}]*\}")
_SOUND = re.compile(r"\[[^\[\]]{0,60}\]|\([^()]{0,60}\)|♪[^♪]*♪?|[♪♫♬]+|\*[^*]{1,40}\*")
_SPOKEN_ASIDE = re.compile(r"\d")
"""A bracket with a figure in it is no sound: “(200 grams)”."""
_SPEAKER = re.compile(r"^\s*(?:>>+\s*|[-–—]\s+)")

_NO_WORDS_ALONE = re.compile(r"[<{&\[(♪♫♬*]|^\s*[>\-–—]")
"""What a text must hold for any of these."""
_MAY_BE_SOUND = re.compile(r"[&\[(♪♫♬*]|^\s*[>\-–—]", re.MULTILINE)

_ROLLED_WORDS = 3
"""So many words at least must stand twice before they count as rolled over from the cue before."""
_ROLLED_GAP_MS = 1_500
_ROLLED_PAUSE_MS = 15_000
"""After a pause only the whole row above a new one counts as rolled over (common sense, no source)."""
_USUAL_WORD_MS = 400
"""150 words a minute (common practice, no source)."""
_LETTERS = re.compile(r"[^\W\d_]+(?:'[a-z]+)?")
_ENOUGH_WORDS = 25
_LEAST_ENGLISH = 0.2
"""German and French kitchen talk has under 0.1 by chance; the most garbled of the benchmark's English transcripts has 0.34."""
_LONGEST_LINE_MS = 120_000
_HOUR_MS = 3_600_000
"""Programmes start at a whole hour of time code, 01:00:00:00 or 10:00:00:00 (common practice of broadcasters)."""


def looks_like_transcript(text: str) -> bool:
    """Whether there are lines of times, or lines with a time before them."""
    return bool(_TIMES.search(text)) or any(_STAMPED.match(line) for line in text.splitlines())


def read_transcript(raw: bytes, file: str) -> Transcript:
    """What is spoken, in the order of time. Raises CannotDo where the file is empty, far too large, has no times, holds no speech, or
    none that is English."""
    refuse_larger(raw, file, LARGEST_TRANSCRIPT)
    text, told = decode(raw, file)
    text = text.replace("\0", "")
    if not text.strip():
        raise CannotDo([error(Place(file), "empty-file", "the transcript is empty", "export it from the editor again")])
    if is_captions := bool(_TIMES.search(text)):
        captions = parse_captions(text, file, told)
        told, cues = list(captions.repairs), list(captions.cues)
    else:
        cues = _stamped(text)
    if not cues:
        hint = "give SubRip, WebVTT, or lines such as “[1:05] In goes the butter.”"
        raise CannotDo([*told, error(Place(file), "no-cues", "no line of the transcript has a time", hint)])
    if late := _out_of_order(cues):
        told.append(warning(Place(file, late), "order", "times go back here", "lines are taken in the order of time"))
        cues = sorted(cues, key=lambda c: (c.start_ms, c.line))
    lines, marks = _once(cues), _marks(cues)
    if not lines:
        message = "the transcript holds no speech, only sounds or empty lines"
        raise CannotDo([*told, error(Place(file), "no-speech", message, "is it the transcript of the right track?")])
    if (share := _english(lines)) is not None and share < _LEAST_ENGLISH:
        message = f"the transcript is not in English: {share:.0%} of its words are everyday English, where 30 to 60 % is usual"
        raise CannotDo(
            [
                *told,
                error(
                    Place(file), "not-english", message, "recipes are read in English only; translate the transcript"
                ),
            ]
        )
    if is_captions and (hours := lines[0].start_ms // _HOUR_MS):
        message = (
            f"the first words stand after {hours:02d}:00:00, which is taken for the time code of the first picture"
        )
        told.append(note(Place(file, lines[0].line), "start-time-code", message, "times here count from that picture"))
        lines = [_earlier(x, hours * _HOUR_MS) for x in lines]
        marks = [_earlier(x, hours * _HOUR_MS) for x in marks]
    return Transcript(file=file, lines=tuple(lines), problems=tuple(told), not_said=tuple(marks))


def _earlier(line: SpokenLine, by_ms: int) -> SpokenLine:
    moments = tuple((n, ms - by_ms) for n, ms in line.moments)
    return replace(line, start_ms=line.start_ms - by_ms, end_ms=line.end_ms - by_ms, moments=moments)


def _english(lines: Sequence[SpokenLine]) -> float | None:
    """The share of everyday English words; None where there is too little to tell."""
    words = [w for line in lines for w in _LETTERS.findall(line.text.casefold().replace("’", "'"))]
    return sum(w in STOP for w in words) / len(words) if len(words) >= _ENOUGH_WORDS else None


def _stamped(text: str) -> list[ReadCue]:
    """Lines with a time before them; lines without one go on with the one before."""
    rows: list[tuple[int, int, list[str]]] = []
    for number, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1):
        if found := _STAMPED.match(line):
            hours, minutes, seconds, fraction = (found.group(n) or "0" for n in range(1, 5))
            ms = ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(fraction.ljust(3, "0"))
            rows.append((ms, number, [found.group(5)]))
        elif rows:
            rows[-1][2].append(line)
    cues = []
    for n, (ms, number, words) in enumerate(rows):
        said = "\n".join(words)
        until = ms + max(1, len(said.split())) * _USUAL_WORD_MS + 1_000
        if n + 1 < len(rows) and rows[n + 1][0] > ms:
            until = min(until, rows[n + 1][0])
        cues.append(ReadCue(ms, until, said, number))
    return cues


def _out_of_order(cues: Sequence[ReadCue]) -> int:
    """The line of the first cue that begins before the one above it; 0 where none does."""
    return next((b.line for a, b in itertools.pairwise(cues) if b.start_ms < a.start_ms), 0)


def spoken(text: str) -> str:
    """The words alone.

    >>> spoken("<i>>> In goes</i> the butter [music] &amp; (40 grams) salt ♪")
    'In goes the butter & (40 grams) salt'
    """
    if _NO_WORDS_ALONE.search(text):
        text = _SPEAKER.sub("", unescaped(_MARKUP.sub("", text)))
        text = _SOUND.sub(lambda found: found.group() if _SPOKEN_ASIDE.search(found.group()) else " ", text)
    if not text.isprintable():
        text = "".join(c if c.isprintable() else " " for c in text)
    text = " ".join(text.split())
    return text if any(c.isalnum() for c in text) else ""


def not_said(text: str) -> list[tuple[str, int]]:
    """What :func:`spoken` leaves out of a line beside markup, each with the character of the rest at which it stands.

    >>> not_said(">> In goes [Music] the butter (40 grams) (laughs)")
    [('>>', 0), ('[Music]', 11), ('(laughs)', 41)]
    """
    text = unescaped(_MARKUP.sub("", text))
    speaker = _SPEAKER.match(text)
    who = [(speaker.group().strip(), 0)] if speaker else []
    return who + [(m.group(), m.start()) for m in _SOUND.finditer(text) if not _SPOKEN_ASIDE.search(m.group())]


def _marks(cues: Sequence[ReadCue]) -> list[SpokenLine]:
    """The marks of sounds and the like; one that rolling captions show again is there once."""
    found: list[SpokenLine] = []
    if not any(_MAY_BE_SOUND.search(cue.text) for cue in cues):
        return found
    before: list[str] = []
    shown_until = -_ROLLED_GAP_MS
    for cue in cues:
        rows = [row.strip() for row in cue.text.split("\n") if row.strip()]
        start, end = max(cue.start_ms, 0), max(cue.end_ms, cue.start_ms, 0)
        rolled = before if start - shown_until <= _ROLLED_GAP_MS else []
        said = [spoken(row) or row for row in rows]
        stood, all_of_it = 0, max(1, sum(map(len, rows)))
        for row, words in zip(rows, said, strict=True):
            for mark, at in [] if words in rolled else not_said(row):
                heard = start + (end - start) * min(stood + at, all_of_it) // all_of_it
                found.append(SpokenLine(heard, max(end, heard + 1), mark, cue.line))
            stood += len(row)
        before, shown_until = said, max(shown_until, end)
    return found


def _once(cues: Iterable[ReadCue]) -> list[SpokenLine]:
    """Lines in which what rolling captions show twice is said once, at its first time."""
    lines: list[SpokenLine] = []
    tail: list[str] = []
    before: list[str] = []
    shown_until = -_ROLLED_GAP_MS
    for cue in cues:
        rows = [row for part in cue.text.split("\n") if (row := spoken(part))]
        start, end = max(cue.start_ms, 0), max(cue.end_ms, cue.start_ms, 0)
        if not rows:
            continue
        shown = words = " ".join(rows).split()
        folded = [row.casefold() for row in rows]
        if start - shown_until <= _ROLLED_GAP_MS:
            words = " ".join(rows[_rolled(before, folded, 1) :]).split()
            least = min(_ROLLED_WORDS, len(" ".join(before).split()))
            words = words[_rolled(tail, [w.casefold() for w in words], least) :]
        elif start - shown_until <= _ROLLED_PAUSE_MS and len(rows) > 1 and _rolls_on(before, folded):
            words = " ".join(rows[1:]).split()
        shown_until = max(shown_until, end)
        tail, before = (tail + [w.casefold() for w in words])[-80:], folded
        if words:
            until = max(min(end, start + _LONGEST_LINE_MS), start + 1)
            moments = _moments(cue.text, shown, len(words), start, until)
            lines.append(SpokenLine(start, until, " ".join(words), cue.line, moments))
    return lines


def _moments(text: str, shown: Sequence[str], said: int, start_ms: int, end_ms: int) -> tuple[tuple[int, int], ...]:
    """When words of the last ``said`` that a cue shows are spoken, by the times inside it; none where they cannot be told apart, or go
    back."""
    parts = TIMED_WORD.split(text)
    if len(parts) == 1:
        return ()
    counts = [len(" ".join(spoken(row) for row in part.split("\n")).split()) for part in parts]
    if sum(counts) != len(shown):
        return ()
    firsts = itertools.accumulate(counts[:-1])
    found: dict[int, int] = {}
    for number, moment in zip(firsts, TIMED_WORD.findall(text), strict=True):
        found[number - (len(shown) - said)] = _ms_of(moment)
    kept = tuple((n, ms) for n, ms in found.items() if 0 <= n < said and start_ms <= ms <= end_ms)
    return kept if all(a[1] <= b[1] for a, b in itertools.pairwise(kept)) else ()


def _ms_of(moment: str) -> int:
    """Of ``<00:01:02.500>``; 0 of what is none."""
    found = re.fullmatch(r"<(?:(\d+):)?(\d+):(\d+(?:\.\d+)?)>", moment)
    hours, minutes, seconds = found.groups() if found else (0, 0, 0)
    return (int(hours or 0) * 60 + int(minutes)) * 60_000 + round(float(seconds) * 1000)


def _rolls_on(before: Sequence[str], now: Sequence[str]) -> bool:
    return bool(before) and before[-1] == now[0] and len(now[0].split()) >= _ROLLED_WORDS


def _rolled(before: Sequence[str], now: Sequence[str], least: int) -> int:
    """How many at the start of ``now`` stand already at the end of ``before``: ``least`` of them at least, or all there are."""
    if not now or now[0] not in before:
        return 0
    for count in range(min(len(before), len(now)), 0, -1):
        if before[-count] == now[0] and (count >= least or count == len(now)) and before[-count:] == now[:count]:
            return count
    return 0
