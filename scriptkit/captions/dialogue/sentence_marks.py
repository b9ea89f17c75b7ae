"""Capitals and full stops where the script's words and the recogniser's meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.timed_words import ends_sentence, marks_of

_BREATH_MS = 300
"""A pause after which a sentence may begin, where the recogniser writes no marks (common practice, no source)."""
_ALWAYS_CAPITAL = ("I", "I'm", "I’m", "I'll", "I’ll", "I've", "I’ve", "I'd", "I’d")


def with_marks(words: Sequence[CaptionWord]) -> list[CaptionWord]:
    """The words with marks and capitals that agree. Inside of the script its own stay, but where a sentence was heard to end
    before a pause; where it is left or taken up, the recogniser's count, and where that writes none, a pause."""
    punctuated = any(marks_of(w.text)[:1] in (*".!?…",) for w in words if not w.scripted) or any(
        w.heard_marks[:1] in (*".!?…",) for w in words
    )
    out: list[CaptionWord] = []
    for word in words:
        goes_on = bool(out) and _goes_on(out[-1], word)
        if out and not goes_on:
            out[-1] = _at_a_seam(out[-1], word, punctuated)
        elif out and word.scripted and _stopped(out[-1], word):
            out[-1] = _marked(out[-1], out[-1].heard_marks)
        text = word.text
        if not out or ends_sentence(out[-1].text):
            text = _capital(text)
        elif word.opens and not (goes_on and word.scripted):
            text = _lower(text)
        out.append(replace(word, text=text))
    if out and out[-1].scripted and not ends_sentence(out[-1].text):
        out[-1] = _marked(
            out[-1], out[-1].heard_marks or ("" if punctuated else ".")
        )  # nothing follows what the script has there
    return out


def _goes_on(before: CaptionWord, word: CaptionWord) -> bool:
    """Whether they stand so in the script, or were heard so."""
    return before.scripted == word.scripted and (not word.scripted or before.number + 1 == word.number)


def _at_a_seam(before: CaptionWord, word: CaptionWord, punctuated: bool) -> CaptionWord:
    """The word before a seam with the marks that fit what follows."""
    own = marks_of(before.text)
    pauses = word.start_ms - before.end_ms >= _BREATH_MS
    if before.heard_marks:
        marks = before.heard_marks
    elif before.scripted and ends_sentence(before.text) and (pauses or (word.opens and word.text[:1].isupper())):
        marks = own
    else:
        marks = "" if punctuated or not pauses else own or "."
    return _marked(before, marks)


def _stopped(before: CaptionWord, word: CaptionWord) -> bool:
    """Whether the recogniser ends a sentence where the script has it go on, and the cook pauses there."""
    return (
        ends_sentence(before.heard_marks)
        and not ends_sentence(before.text)
        and word.start_ms - before.end_ms >= _BREATH_MS
    )


def _marked(word: CaptionWord, marks: str) -> CaptionWord:
    return replace(word, text=word.text[: len(word.text) - len(marks_of(word.text))] + marks)


def _capital(text: str) -> str:
    at = next((n for n, c in enumerate(text) if c.isalnum()), 0)
    return text[:at] + text[at : at + 1].upper() + text[at + 1 :]


def _lower(text: str) -> str:
    bare = text[: len(text) - len(marks_of(text))]
    return text if bare in _ALWAYS_CAPITAL or text[1:2].isupper() else text[:1].lower() + text[1:]
