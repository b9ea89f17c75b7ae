"""Verbs that are made of a food, and name what goes in as its noun does: *I never salted the skin*, *we'll oil the pan later*."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.english.clause_lexicon import set_
from scriptkit.english.talk_tokens import TalkToken

_FOODS = ("salt", "pepper", "oil", "butter", "flour", "sugar")
_PUT, _PUTTING = "put", "putting"
_FORMS = (
    {food: (food, _PUT) for food in _FOODS}
    | {f"{food}ed": (food, _PUT) for food in _FOODS}
    | {f"{food}ing": (food, _PUTTING) for food in _FOODS}
    | {"season": ("salt", _PUT), "seasoned": ("salt", _PUT), "seasoning": ("salt", _PUTTING)}
)
"""Form → the food, and the form of *put* that it stands for."""
_OBJECT = set_("the that this it them those these my our your both each every everything all any")
_DENIED = frozenset({"not", "never", "been"})
_SURE = set_(
    "i we you never not did do does will would should could can must to us forgot didn don haven hadn hasn wasn isn aren couldn wouldn won"
)
"""One of these stands right before such a verb."""
_OF_A_FORM = _SURE | set_(
    "have had has just already am are is was were and then actually properly even still only been"
)
"""Or one of these, where its ending tells that it is none of the food itself."""


def food_of_verb(words: Sequence[str], at: int) -> str:
    """The food that the word puts somewhere, where it is such a verb there; else empty. ``words``: of a talk, in small letters.

    >>> food_of_verb("i never salted the skin".split(), 2), food_of_verb("a knob of salted butter".split(), 3)
    ('salt', '')
    """
    food = _FORMS.get(words[at], ("", ""))[0]
    if not food or at == 0 or at + 1 >= len(words):
        return ""
    if words[at].endswith("ed") and (words[at - 1] in _DENIED or words[at + 1] in ("it", "them")):
        return food
    ahead = _SURE if words[at] in _FOODS else _OF_A_FORM
    return food if words[at + 1] in _OBJECT and words[at - 1] in ahead else ""


def verbs_of_foods(words: Sequence[str]) -> list[int]:
    """Where in a talk such verbs stand."""
    return [at for at, word in enumerate(words) if word in _FORMS and food_of_verb(words, at)]


def verbs_written_out(tokens: Sequence[TalkToken], text: str) -> list[TalkToken]:
    """The tokens of a talk, where a name that is such a verb is what it puts: *I never put @0 on the skin*."""
    found: list[TalkToken] = []
    words = [text[t.start : t.end].casefold() if t.text[0] == "@" else t.text for t in tokens]
    for n, token in enumerate(tokens):
        if token.text[0] == "@" and words[n] in _FORMS and food_of_verb(words, n):
            if words[n].endswith("ed"):
                found[-_NEAR:] = [_had(one, text) for one in found[-_NEAR:]]
            given = words[n].endswith("ed") and words[n + 1] not in _OBJECT
            put = TalkToken("given" if given else _FORMS[words[n]][1], token.start, token.end)
            found += [put, token] if given else [put, token, TalkToken("on", token.start, token.end)]
        else:
            found.append(token)
    return found


_NEAR = 3


def _had(token: TalkToken, text: str) -> TalkToken:
    """*Had* for what *'d* was written out as: *I'd never salted it*."""
    had = (
        token.text == "would"
        and text[token.start : token.end].endswith("d")
        and "'" in text[token.start : token.end].replace("’", "'")
    )
    return TalkToken("had", token.start, token.end) if had else token
