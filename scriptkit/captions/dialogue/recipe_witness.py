"""What the recipe corrects where a talk leaves the script: a misheard ingredient, tool or act of the step that is being spoken of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange
from scriptkit.captions.dialogue.timed_words import marks_of
from scriptkit.captions.proofing.due_terms import DueTerms, folded_words
from scriptkit.captions.proofing.heard_in_place import likely_meant
from scriptkit.english.stems import stem
from scriptkit.shoot.script.script import Passage

_SILENCE_MS = 1_500


def corrected(
    words: Sequence[CaptionWord], passages: Sequence[Passage], due: DueTerms
) -> tuple[list[CaptionWord], list[WordChange]]:
    """The words with each of the recogniser's replaced that was likely another one, which the step owes; and what was replaced."""
    keys, ends, owners = [], [], []
    for n, word in enumerate(words):
        here, marks, _ = folded_words(word.text)
        silent = n + 1 < len(words) and words[n + 1].start_ms - word.end_ms >= _SILENCE_MS
        if marks:
            marks[-1] = silent or bool(marks_of(word.text).strip())
        keys += here
        ends += marks
        owners += [n] * len(here)
    out, changes, done = list[CaptionWord](), list[WordChange](), 0
    for one in likely_meant(keys, ends, due):
        first, last = owners[one.first], owners[one.last - 1] + 1
        here_words = words[first:last]
        if first < done or any(w.scripted for w in here_words) or not _owed(one.meant, words[first].passage, passages):
            continue
        was, text = " ".join(w.text for w in here_words), " ".join(one.meant)
        text = text[:1].upper() + text[1:] if was[:1].isupper() else text
        out += words[done:first]
        out.append(replace(here_words[0], text=text + marks_of(was), end_ms=here_words[-1].end_ms))
        changes.append(WordChange(here_words[0].start_ms, was, text, f"the step has it: {one.why}", here_words[0].line))
        done = last
    return [*out, *words[done:]], changes


def _owed(meant: Sequence[str], passage: int | None, passages: Sequence[Passage]) -> bool:
    """Whether the step that is spoken of has the word: it goes in, is worked with, or is done there."""
    step = passages[passage].segment.step if passage is not None else None
    if step is None:
        return False
    texts = [step.reading.sentence, step.say, *(a.ingredient.name for a in step.additions), *step.reading.gear]
    return {stem(w) for w in meant} <= {stem(w) for text in texts for w in folded_words(text)[0]}
