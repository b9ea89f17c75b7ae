"""Which terms of a recipe sound like words of talk at all, and how far they are."""

from __future__ import annotations

import functools

from scriptkit.captions.proofing.due_places import ACT, FOOD, MEASURE, PART, TECHNIQUE, THING
from scriptkit.captions.proofing.due_terms import DueTerms, small_talk
from scriptkit.captions.proofing.right_as_heard import base
from scriptkit.english.sound_distance import heard_as, sound_distance

_REST_FARTHEST, _OTHER_FARTHEST, _SMALL_TALK_FARTHEST, _FARTHEST_OF_ALL = 0.2, 0.34, 0.11, 0.36
"""How far what is left of a name may be whose other word is right; how far that word by itself, before the name as a whole is compared;
the same where it says nothing; and how far anything (our own figures)."""
_LETTERS = 2
_DIFFER, _ROUNDED = 0.67, 1e-9


def rest_alike(window: tuple[str, ...], term: tuple[str, ...]) -> bool:
    """Whether the words are a name with its first or last word right, and the rest sounds like the rest: *ground all months*."""
    for cut in (1, -1):
        right, left = (slice(None, 1), slice(1, None)) if cut == 1 else (slice(-1, None), slice(None, -1))
        if [base(w) for w in window[right]] == [base(w) for w in term[right]] and window[left] and term[left]:
            other = [base(w) for w in window[left]] != [base(w) for w in term[left]]
            return other and sound_distance(window[left], term[left]) <= _REST_FARTHEST
    return False


@functools.lru_cache(maxsize=64)
def _candidates(terms: DueTerms, due: str) -> tuple[tuple[tuple[str, ...], ...], tuple[str, ...]]:
    """What may stand there, and how each of it sounds."""
    found = {
        FOOD: terms.foods,
        THING: terms.things,
        ACT: terms.acts,
        PART: terms.names,
        TECHNIQUE: terms.techniques,
        MEASURE: terms.measures,
    }[due]
    return found, tuple(map(heard_as, found))


@functools.lru_cache(maxsize=64)
def _names_with(terms: DueTerms, word: str) -> tuple[tuple[str, ...], ...]:
    """The names of several words of which this is one, be it one or several."""
    return tuple(name for name in terms.names if word in map(base, name))


@functools.lru_cache(maxsize=65_536)
def near_terms(window: tuple[str, ...], terms: DueTerms, due: str) -> tuple[tuple[tuple[str, ...], float], ...]:
    """The terms that sound like the words at all, each with its distance."""
    from rapidfuzz import process
    from rapidfuzz.distance import Levenshtein

    said = heard_as(window)
    if len(said) < _LETTERS:
        return ()
    candidates, sounds = _candidates(terms, due)
    if due == PART:
        shared = {name for word in window for name in _names_with(terms, base(word))}
        candidates = tuple(name for name in shared if _rest_is_near(window, name))
        sounds = tuple(map(heard_as, candidates))
    # Of two or three letters two may differ, of more six in ten.
    close = process.extract(said, sounds, scorer=Levenshtein.normalized_distance, score_cutoff=_DIFFER, limit=None)
    found = []
    for respelt, share, n in close:
        longest = max(len(said), len(respelt))
        if share * longest > max(2, 0.6 * longest) + _ROUNDED:
            continue
        far = sound_distance(window, candidates[n])
        if far <= _FARTHEST_OF_ALL:
            found.append((n, far))
    return tuple((candidates[n], far) for n, far in sorted(found))


def _rest_is_near(window: tuple[str, ...], name: tuple[str, ...]) -> bool:
    return _shares_a_word(window, name) if len(window) == len(name) else rest_alike(window, name)


def _shares_a_word(window: tuple[str, ...], term: tuple[str, ...]) -> bool:
    """Of a name of several words all but one are heard, each in its place; and that one is another word."""
    if len(window) != len(term) or len(term) < 2:
        return False
    other = [(a, b) for a, b in zip(window, term, strict=True) if base(a) != base(b)]
    if len(other) != 1:
        return False
    said, meant = other[0]
    if said in small_talk():
        return sound_distance((said,), (meant,)) <= _SMALL_TALK_FARTHEST  # *by leaves*
    return sound_distance((said,), (meant,)) <= _OTHER_FARTHEST
