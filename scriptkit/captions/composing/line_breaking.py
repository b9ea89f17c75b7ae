"""Where a line may end: what belongs together, and where a break is best. For composing and for proof alike.

Never between article and noun, preposition and phrase, conjunction and clause, pronoun and verb, or the parts of a verb (BBC
Subtitle Guidelines 1.2.5, section 3.4); best after punctuation, before conjunctions and prepositions (Netflix Timed Text Style
Guide). The words are English.
"""

from __future__ import annotations

import functools
import re

from scriptkit.captions.composing.text_width import is_wide
from scriptkit.english.small_words import small_words

_DETERMINERS = small_words("determiners")
_PREPOSITIONS = small_words("prepositions")
_CONJUNCTIONS = small_words("conjunctions")
_POINTERS = small_words("pointers")
_SUBJECTS = small_words("subjects")
_EITHER = small_words("either")
_AUXILIARIES = small_words("auxiliaries")
_HAVE = small_words("have")
_CONTRACTIONS = small_words("contractions")
_ALWAYS = small_words("always")
_PARTICIPLE = re.compile(
    r"\w{2,}(?:ed|en|ing)|been|gone|done|made|cut|put|set|let|had|got|sat|kept|left|run|come|not|to"
)
_AMOUNT = re.compile(r"[(~≥≈−+=]*(?:\d+(?:[.,:/]\d+)?|[½¼¾⅓⅔⅛⅜⅝⅞])")
_UNIT = (
    "g|kg|mg|ml|cl|dl|l|oz|lb|fl|tbsp|tsp|cups?|kcal|kj|°c|°f|%|min|minutes?|seconds?|hours?|s|h|mm|cm|grams?|litres?|"
    "tablespoons?|teaspoons?|pounds?|ounces?|degrees?|sticks?|cloves?|medium|large|small|full|½|⅓|⅔|¼|¾|⅛|⅜|⅝|⅞"
)
_UNIT_START = re.compile(rf"(?:{_UNIT})(?![\w])", re.IGNORECASE)
_SIGNS = frozenset("=−+≥~≈–-")
_BEST_AFTER = (",", ".", ";", ":", "!", "?", "…", ",”", ".”", "?”", "!”", "。", "、", "，", "！", "？", "：", "；")
_NOT_FIRST = frozenset("、。，．・：；？！ー」』）〕】〉》”’々ぁぃぅぇぉっゃゅょァィゥェォッャュョ…")
_NOT_LAST = frozenset("「『（〔【〈《“‘")


def clinging(before: str, after: str) -> str:
    """The word at the end of ``before`` that belongs to what ``after`` begins with; empty where a line may end there.

    >>> clinging("In goes the", "butter"), clinging("Butter: 30", "g of it"), clinging("Turn it over", "and salt it")
    ('the', '30', '')
    """
    return _clinging(before[before.rfind(" ") + 1 :], after[: (after + " ").find(" ")])


@functools.lru_cache(maxsize=16_384)
def _clinging(last: str, following: str) -> str:
    if not following or not last:
        return ""
    if _parts_amount(last, following) or last in _SIGNS:
        return last
    last = last.lstrip("(“‘'\"[-–")
    return last if _belongs(last.casefold().replace("’", "'"), following.casefold().replace("’", "'")) else ""


def _parts_amount(last: str, following: str) -> bool:
    amount = last[-1:].isnumeric() and _AMOUNT.fullmatch(last) and _UNIT_START.match(following)
    return bool(amount) or (last.casefold() == "fl" and following[:2] == "oz")


def _belongs(last: str, following: str) -> bool:
    if last in _ALWAYS or last in _DETERMINERS or last in _SUBJECTS or last in _CONTRACTIONS or last in _AUXILIARIES:
        return True
    opens = following.strip(",.;:") in _OPENERS
    return (
        (last in _CONJUNCTIONS)
        or (last in _EITHER and following in _AUXILIARIES)
        or (last in _HAVE and bool(_PARTICIPLE.fullmatch(following)))
        or ((last in _PREPOSITIONS or last in _POINTERS) and not opens)
    )


_OPENERS = _PREPOSITIONS | _CONJUNCTIONS | _AUXILIARIES
"""Before one of these a preposition was the end of its phrase (*turn it over and …*)."""


def break_cost(before: str, after: str) -> int:
    """How good it is to end a line here: 0 after punctuation, more elsewhere; :data:`FORBIDDEN` where it never is.

    The steps are what a better break is worth in evenness, as half the square of the difference between two lines: 4 characters
    for a conjunction or preposition, 16 for none (our own figures)."""
    if clinging(before, after):
        return FORBIDDEN
    inside = before.count("(") > before.count(")")
    if inside:
        return 400
    if before.endswith(_BEST_AFTER):
        return 0
    first = after[: (after + " ").find(" ")].casefold()
    return 8 if first in _OPENERS or first == "away" or first[:1] in "(=−+–" else 128


FORBIDDEN = 1_000_000


def pieces(text: str) -> list[tuple[str, str]]:
    """The text in parts that stay whole, each with what joins it to the one before: a space, or nothing between wide
    characters, which may be broken anywhere but before a closing mark and after an opening one (after JIS X 4051).

    >>> pieces("Oil 魚の。")
    [('', 'Oil'), (' ', '魚'), ('', 'の。')]
    """
    found: list[tuple[str, str]] = []
    for word in text.split(" "):
        joint = " " if found else ""
        start = 0
        for n in range(1, len(word)):
            a, b = word[n - 1], word[n]
            if (is_wide(a) or is_wide(b)) and b not in _NOT_FIRST and a not in _NOT_LAST:
                found.append((joint, word[start:n]))
                joint, start = "", n
        found.append((joint, word[start:]))
    return found
