"""What a step of the recipe itself has after a verb, and the word that sounds like it in talk after the same verb: *sweat the licks*."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.captions.proofing.due_terms import LEADS, DueTerms, place_words, small_talk, verb_stems
from scriptkit.captions.proofing.right_as_heard import is_no_owed, is_verb
from scriptkit.english.sound_distance import heard_as, sound_distance
from scriptkit.english.stems import stem

_FARTHEST, _FARTHEST_LONG, _LONG = 0.11, 0.2, 5
"""How far a word may sound from what the step has, and the same where that has more sounds than ``_LONG`` (our own figures)."""
_VERB_WITHIN, _NEAR = 5, 25
"""Among how many words before, and how near what is owed is not named anyhow."""
_DETERMINERS = place_words("determiners")


def owed_after_verb(words: Sequence[str], at: int, terms: DueTerms) -> tuple[float, tuple[str, ...]] | None:
    """What was likely meant by the word, and how far it is by its sound; None where no step has such a word after the verb said before,
    or the recipe has the word itself. However common it is otherwise."""
    word = words[at]
    if stem(word) in terms.stems or word in terms.own or is_verb(word) or is_no_owed(word):
        return None
    owed = terms.after_verbs.get(_verb_before(words, at), ())
    far, meant = min(((sound_distance((word,), one), one) for one in sorted(owed)), default=(1.0, ("",)))
    if far > (_FARTHEST_LONG if len(heard_as(meant)) > _LONG else _FARTHEST):
        return None
    named = {stem(w) for w in words[max(0, at - _NEAR) : at + _NEAR]}
    return None if stem(meant[0]) in named else (far, meant)


def _verb_before(words: Sequence[str], at: int) -> str:
    """The stem of the nearest verb among the few words before, or *through* and *against*; empty where another noun comes between."""
    for word in reversed(words[max(0, at - _VERB_WITHIN + 1) : at]):
        if word in LEADS or stem(word) in verb_stems():
            return word if word in LEADS else stem(word)
        if word not in small_talk() and word not in _DETERMINERS:
            return ""
    return ""
