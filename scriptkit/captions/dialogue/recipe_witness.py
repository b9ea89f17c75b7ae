"""What the recipe corrects where a talk leaves the script: what `proof` calls misheard there, and is sure of."""

from __future__ import annotations

import bisect
import itertools
from collections.abc import Sequence

from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.timed_words import keys_of, marks_of
from scriptkit.captions.dialogue.word_changes import WrittenInstead, written_instead
from scriptkit.captions.proofing.due_terms import DueTerms
from scriptkit.captions.proofing.misheard import TOGETHER, misheard_places
from scriptkit.timed_text.reading import CaptionFile, ReadCue


def corrected(words: Sequence[CaptionWord], due: DueTerms) -> list[CaptionWord]:
    """The words with each of the recogniser's replaced that was likely another one."""
    lines = [[n for n, _ in group] for _, group in itertools.groupby(enumerate(words), key=lambda one: one[1].line)]
    cues, starts = [], []
    for line in lines:
        here = [words[n] for n in line]
        cues.append(ReadCue(here[0].start_ms, here[-1].end_ms, " ".join(w.text for w in here), here[0].line))
        starts.append([0, *itertools.accumulate(len(w.text) + 1 for w in here)])
    instead: list[WrittenInstead] = []
    for place in misheard_places(CaptionFile(file="", kind="srt", cues=tuple(cues), repairs=()), due.terms, due):
        first = lines[place.cue][bisect.bisect_right(starts[place.cue], place.start) - 1]
        last = lines[place.last_cue][bisect.bisect_left(starts[place.last_cue], place.end) - 1] + 1
        meant = place.meant.split()
        while meant and _stands(words[first:last], meant[0], 0):
            first, meant = first + 1, meant[1:]
        while meant and _stands(words[first:last], meant[-1], -1):
            last, meant = last - 1, meant[:-1]
        heard = words[first:last]
        if place.exact and meant and heard and not any(w.scripted for w in heard):
            why = f"the recipe has it: {place.why}" if place.why else TOGETHER
            instead.append(WrittenInstead(first, last, _as_before(heard, " ".join(meant)), why))
    return written_instead(words, instead)[0]


def _stands(words: Sequence[CaptionWord], meant: str, at: int) -> bool:
    """Whether the first or last of the words is this one already: the *smoked* of *smoked pap rica*."""
    return bool(words) and keys_of(words[at].text) == keys_of(meant)


def _as_before(words: Sequence[CaptionWord], text: str) -> str:
    """With the capital and the marks of the words that stood there."""
    text = text[:1].upper() + text[1:] if words[0].text[:1].isupper() else text
    return text + marks_of(words[-1].text)
