"""What a step's words put onto a food: what is salted, rubbed, brushed or sprinkled with something."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from scriptkit.patterns import LazyPattern

_ITSELF = frozenset({"salt", "pepper"})
"""Verbs that name what goes on."""
_ONTO = frozenset({"brush", "dust", "massage", "rub", "season", "smear", "sprinkle"})
_WITH = LazyPattern(r"\b(?:with|in)\b", re.IGNORECASE)
_OVER = LazyPattern(r"\b(?:all over|into|onto|over|on)\b", re.IGNORECASE)
_THING = LazyPattern(
    r"^\s*(?:both sides of |all of |each of )?(?P<what>(?:the |a |an |both |each )?[\w'’-]+(?: [\w'’-]+){0,3})",
    re.IGNORECASE,
)
_ENDS = LazyPattern(r"\b(?:and|with|in|on|over|then|until|for)\b|,", re.IGNORECASE)
_SENTENCE = LazyPattern(r"[.;:!?]")
_CLAUSE = LazyPattern(r",|\bthen\b", re.IGNORECASE)
_AND = LazyPattern(r"\band\b")
_VERB_OF = LazyPattern(r"(?:^|,|\band\b|\bthen\b)\s*(?P<verb>[a-z]+)\s+(?P<rest>[^.;:!?]*)", re.IGNORECASE)


def put_onto(said: str, names: Callable[[str], bool], *, seasons: bool) -> Iterator[str]:
    """The things that the words put something onto, in their order: ``the chicken``. ``names``: whether a text names what is put there;
    ``seasons``: whether *season* alone puts it there.

    >>> list(put_onto("Salt the chicken and sear it.", lambda text: "salt" in text, seasons=True))
    ['the chicken']
    """
    for sentence in _SENTENCE.split(said):
        for verb, rest in _verbs(sentence):
            if verb in _ITSELF and names(verb):
                yield _thing(rest)
            elif verb in _ONTO:
                yield _thing(_target(verb, rest, names, seasons=seasons))


def _verbs(sentence: str) -> Iterator[tuple[str, str]]:
    """Each word that may be a verb, with what follows it in the sentence."""
    at = 0
    while found := _VERB_OF.search(sentence, at):
        yield found["verb"].casefold(), found["rest"]
        at = found.start("rest")


def _target(verb: str, rest: str, names: Callable[[str], bool], *, seasons: bool) -> str:
    """*Rub the chicken with the spice*, *rub the spice over the chicken*, and of *season the chicken* its salt."""
    clause = _CLAUSE.split(rest)[0]
    what, with_, by = _split(clause, _WITH)
    if with_ and " and " not in what:  # after which another verb would stand
        return what if names(by) else ""
    what, over, where = _split(_AND.split(clause)[0], _OVER)
    if over and names(what):
        return where
    return what if verb == "season" and seasons else ""


def _split(text: str, at: LazyPattern) -> tuple[str, bool, str]:
    found = at.search(text)
    return (text[: found.start()], True, text[found.end() :]) if found else (text, False, "")


def _thing(text: str) -> str:
    """The thing with which the text begins; empty where it begins with none."""
    found = _THING.match(_ENDS.split(text)[0])
    return found["what"].strip() if found else ""
