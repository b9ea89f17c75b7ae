"""Words of a talk written otherwise: several as one, each such place told."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange
from scriptkit.captions.dialogue.timed_words import TimedWord


@dataclass(frozen=True, slots=True)
class WrittenInstead:
    """From which to before which word, what is written instead, marks and all, and why."""

    first: int
    last: int
    text: str
    why: str


def written_instead(
    words: Sequence[CaptionWord], instead: Iterable[WrittenInstead]
) -> tuple[list[CaptionWord], list[WordChange]]:
    """The words with each of these stretches as one word over its whole time, and what was changed. ``instead`` in order; one that
    begins in the one before it is left."""
    out, changes, done = list[CaptionWord](), list[WordChange](), 0
    for one in instead:
        if one.first < done:
            continue
        here = words[one.first : one.last]
        out += [
            *words[done : one.first],
            replace(
                here[0],
                text=one.text,
                end_ms=here[-1].end_ms,
                heard_marks=here[-1].heard_marks,
                heard=(here[0].heard[0], here[-1].heard[1]),
                why=one.why,
            ),
        ]
        was, now = " ".join(w.text for w in here), one.text
        changes.append(WordChange(here[0].start_ms, was, now, one.why, here[0].line))
        done = one.last
    return [*out, *words[done:]], changes


_LETTERS = re.compile(r"\w+")
OF_SCRIPT = "only commas, stops or capitals: as the script writes them"
OF_SENTENCES = "only commas, stops or capitals: as its sentences begin and end"


def changed(words: Sequence[CaptionWord], heard: Sequence[TimedWord]) -> list[WordChange]:
    """Each stretch that is captioned in other words than were heard, however many witnesses had a part in it; case and marks apart."""
    found: list[WordChange] = []
    for group, of in _stretches(words, heard):
        was, now = _said(of), _said(group)
        if not _same_words(was, now):
            why = "; ".join(dict.fromkeys(w.why for w in group if w.why))
            found.append(WordChange(of[0].start_ms, was, now, why, of[0].line))
    return found


def marks_changed(words: Sequence[CaptionWord], heard: Sequence[TimedWord]) -> list[WordChange]:
    """Each stretch that is captioned in the words that were heard, with other commas, stops or capitals; those side by side as one."""
    found: list[WordChange] = []
    row: list[tuple[Sequence[CaptionWord], Sequence[TimedWord]]] = []
    for group, of in [*_stretches(words, heard), ((), ())]:
        was, now = _said(of), _said(group)
        if was != now and _same_words(was, now):
            row.append((group, of))
        elif row:
            first = row[0][1][0]
            script = any(w.scripted for written, _ in row for w in written)
            was, now = (" ".join(_said(one[n]) for one in row) for n in (1, 0))
            found.append(WordChange(first.start_ms, was, now, OF_SCRIPT if script else OF_SENTENCES, first.line))
            row = []
    return found


def _stretches(
    words: Sequence[CaptionWord], heard: Sequence[TimedWord]
) -> Iterator[tuple[Sequence[CaptionWord], Sequence[TimedWord]]]:
    """The captioned words and the heard ones that they are written for, parted wherever both can be."""
    group: list[CaptionWord] = []
    for n, word in enumerate(words):
        group.append(word)
        if n + 1 < len(words) and words[n + 1].heard[0] < max(w.heard[1] for w in group):
            continue
        of = heard[min(w.heard[0] for w in group) : max(w.heard[1] for w in group)]
        if of:
            yield group, of
        group = []


def _said(words: Sequence[CaptionWord] | Sequence[TimedWord]) -> str:
    return " ".join(w.text for w in words)


def _same_words(was: str, now: str) -> bool:
    return _LETTERS.findall(was.casefold()) == _LETTERS.findall(now.casefold())
