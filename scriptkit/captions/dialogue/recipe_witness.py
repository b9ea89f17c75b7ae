"""What the recipe corrects where a talk leaves the script: a misheard ingredient, tool or act of the step that is being spoken of."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange
from scriptkit.captions.dialogue.timed_words import marks_of
from scriptkit.captions.dialogue.word_changes import WrittenInstead, written_instead
from scriptkit.captions.proofing.due_terms import DueTerms, folded_words, small_talk
from scriptkit.captions.proofing.heard_in_place import likely_meant
from scriptkit.english.plurals import singular
from scriptkit.english.sound_distance import heard_as, sound_distance
from scriptkit.english.stems import stem
from scriptkit.recipe.dish import Step
from scriptkit.shoot.script.script import Passage

_SILENCE_MS = 1_500
TOGETHER = "the recipe has it, and together the words sound like it"


def corrected(
    words: Sequence[CaptionWord], passages: Sequence[Passage], due: DueTerms
) -> tuple[list[CaptionWord], list[WordChange]]:
    """The words with each of the recogniser's replaced that was likely another one, which the step owes; and what was replaced."""
    keys, ends, owners = [], [], []
    for n, word in enumerate(words):
        parts, marks, _ = folded_words(word.text)
        silent = n + 1 < len(words) and words[n + 1].start_ms - word.end_ms >= _SILENCE_MS
        if marks:
            marks[-1] = silent or bool(marks_of(word.text).strip())
        keys += parts
        ends += marks
        owners += [n] * len(parts)
    owed: list[WrittenInstead] = []
    for one in likely_meant(keys, ends, due):
        first, last = owners[one.first], owners[one.last - 1] + 1
        here = words[first:last]
        after = owed[-1].last if owed else 0
        if (
            first < after
            or one.other
            or any(w.scripted for w in here)
            or not _owed(one.meant, keys[one.first : one.last], words[first].passage, passages)
        ):
            continue
        owed.append(WrittenInstead(first, last, _as_before(here, " ".join(one.meant)), f"the step has it: {one.why}"))
    mended, changes = written_instead(words, owed)
    whole, more = written_instead(mended, _in_parts(mended, due))
    return whole, [*changes, *more]


def _as_before(words: Sequence[CaptionWord], text: str) -> str:
    """With the capital and the marks of the words that stood there."""
    text = text[:1].upper() + text[1:] if words[0].text[:1].isupper() else text
    return text + marks_of(words[-1].text)


_MOST_PARTS, _SURELY, _LEAST_SOUNDS, _LETTERS = 3, 0.05, 5, 2
"""Of how many words a food's name may be heard, how near they must sound, how many sounds it has at least, and letters each of the words
(our own figures: in 160 real talks 20 of 21 are the food)."""


def _in_parts(words: Sequence[CaptionWord], due: DueTerms) -> Iterator[WrittenInstead]:
    """A food of the recipe that is heard as several words that together sound exactly like it is that food wherever it is said: nobody
    says *pole lock*."""
    names = [term for term in due.foods if len(term) == 1 and len(heard_as(term)) >= _LEAST_SOUNDS]
    for n in range(len(words)):
        count, name = _heard_in_parts(words[n : n + _MOST_PARTS], names)
        if count:
            yield WrittenInstead(n, n + count, _as_before(words[n : n + count], name), TOGETHER)


def _heard_in_parts(words: Sequence[CaptionWord], names: Sequence[tuple[str, ...]]) -> tuple[int, str]:
    """How many of the words, from the first on, are one of the names in parts, and which; 0 where they are none."""
    parts: tuple[str, ...] = ()
    for n, word in enumerate(words):
        if word.scripted or (n and marks_of(words[n - 1].text)):
            break
        parts += tuple(folded_words(word.text)[0])
        if len(parts) < 2 or {parts[0], parts[-1]} & small_talk() or min(map(len, parts)) < _LETTERS:
            continue
        sounds = heard_as(parts)
        for name in names:
            if singular(name[0]) in map(singular, parts):
                continue  # *cauliflower rice* is no cauliflowers
            if sounds[:1] == heard_as(name)[:1] and sound_distance(parts, name) <= _SURELY:
                return n + 1, name[0]
    return 0, ""


def _owed(meant: Sequence[str], heard: Sequence[str], passage: int | None, passages: Sequence[Passage]) -> bool:
    """Whether the step that is spoken of has the word: it goes in, is worked with, or is done there. A name of which all but one word
    is heard is sure where any step has it: *creme fresh*."""
    step = passages[passage].segment.step if passage is not None else None
    if step is not None and _has(step, meant):
        return True
    steps = {id(p.segment.step): p.segment.step for p in passages if p.segment.step is not None}
    return _all_but_one(meant, heard) and any(_has(one, meant) for one in steps.values())


def _all_but_one(meant: Sequence[str], heard: Sequence[str]) -> bool:
    """Whether the words are those of a name, accents apart, but for one, and together sound like it."""
    if not 1 < len(meant) == len(heard):
        return False
    plain = [_plain(word) for word in meant]
    other = sum(_plain(a) != b for a, b in zip(heard, plain, strict=True))
    return other == 1 and sound_distance(tuple(map(_plain, heard)), tuple(plain)) <= _SURELY


def _plain(word: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFD", word) if not unicodedata.combining(c))


def _has(step: Step, meant: Sequence[str]) -> bool:
    texts = [step.reading.sentence, step.say, *(a.ingredient.name for a in step.additions), *step.reading.gear]
    return {stem(w) for w in meant} <= {stem(w) for text in texts for w in folded_words(text)[0]}
