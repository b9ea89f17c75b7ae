"""Words of a talk written otherwise: several as one, each such place told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange


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
            replace(here[0], text=one.text, end_ms=here[-1].end_ms, heard_marks=here[-1].heard_marks),
        ]
        was, now = " ".join(w.text for w in here), one.text
        changes.append(WordChange(here[0].start_ms, was, now, one.why, here[0].line))
        done = one.last
    return [*out, *words[done:]], changes
