"""Whether several words of talk together sound like one cooking term."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scriptkit.captions.proofing.due_terms import forms_of, place_words, small_talk
from scriptkit.captions.proofing.right_as_heard import is_everyday
from scriptkit.english.phonetics import joined, sound, voiceless
from scriptkit.english.small_words import small_words
from scriptkit.measure.words import ONES

Ratio = Callable[[str, str], float]

LEAST_ALIKE = 72.0
"""Of 100, how alike two respelt texts must be (rapidfuzz's ratio); our own figure, from planted mishearings and their twins."""
_ALIKE_AT_EDGE = 80.0
"""The same for words that begin or end with one that says nothing by itself, or that anybody says."""
LEAST_BONES = 4
"""Consonants that a term of the glossary must have to be told by its sound."""
_LITTLE = small_words("little")
_UNITS = place_words("units")
_TWO = 2


@dataclass(frozen=True, slots=True)
class Known:
    """What may have been meant: terms by their sound. ``own``: the recipe's own words among them."""

    by_bones: dict[str, tuple[str, ...]]
    by_part: dict[str, tuple[tuple[str, ...], ...]]
    """Terms of several words, by each of their words."""
    words: frozenset[str]
    own: frozenset[str]
    beginnings: frozenset[str]
    """Of the sounds in ``by_bones``."""


def sounds_like(window: tuple[str, ...], term: str, terms: Known, ratio: Ratio) -> bool:
    """Several words that together sound like the term, and are neither it nor good words of the kitchen themselves."""
    if 1 < len(term.replace("-", " ").split()) <= len(window):
        return False  # its words one by one are looked at elsewhere
    good = sum(w in terms.words for w in window)
    little = sum(w in _LITTLE for w in window)
    if good + little >= len(window) and (good or term not in terms.own):  # *of*, *in* and *with* may be both
        return False
    if "".join(window) == _run_together(term) or any(w in forms_of(term) or term in forms_of(w) for w in window):
        return False  # *drain it* is not *drained*
    edge = window[0] in _LITTLE or window[-1] in _LITTLE
    if term not in terms.own and _is_plain_talk(window, terms):
        return False  # of all that cooks ever say hardly what was meant by *once I'd*
    if edge and (term not in terms.own or len(joined(window)) < LEAST_BONES):
        return False
    least = _ALIKE_AT_EDGE if edge or _all_plain(window, terms) else LEAST_ALIKE
    return alike("".join(window), _run_together(term), ratio) >= least


def _all_plain(window: tuple[str, ...], terms: Known) -> bool:
    """Two words that anybody says; three that together sound like one hardly do so by chance."""
    small = small_talk()
    return len(window) == _TWO and all(
        is_everyday(w) or w in terms.words or w in _UNITS or w in small or w in ONES for w in window
    )


def _is_plain_talk(window: tuple[str, ...], terms: Known) -> bool:
    """Whether a word that says nothing begins or ends the words, or both of two are what anybody says."""
    small = small_talk()
    return window[0] in small or window[-1] in small or _all_plain(window, terms)


def _run_together(term: str) -> str:
    return term.replace(" ", "").replace("-", "")


def alike(one: str, other: str, ratio: Ratio) -> float:
    """How alike two texts sound, of 100."""
    return ratio(voiceless(sound(one)), voiceless(sound(other)))
