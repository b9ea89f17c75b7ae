"""Words of a talk written otherwise: several as one, each such place told."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
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


def changed(words: Sequence[CaptionWord], heard: Sequence[TimedWord]) -> list[WordChange]:
    """Each stretch that is captioned in other words than were heard, however many witnesses had a part in it; case and marks apart."""
    found: list[WordChange] = []
    group: list[CaptionWord] = []
    for n, word in enumerate(words):
        group.append(word)
        if n + 1 < len(words) and words[n + 1].heard[0] < max(w.heard[1] for w in group):
            continue
        of = heard[min(w.heard[0] for w in group) : max(w.heard[1] for w in group)]
        was, now = " ".join(w.text for w in of), " ".join(w.text for w in group)
        if of and _LETTERS.findall(was.casefold()) != _LETTERS.findall(now.casefold()):
            why = "; ".join(dict.fromkeys(w.why for w in group if w.why))
            found.append(WordChange(of[0].start_ms, was, now, why, of[0].line))
        group = []
    return found
