"""Talk as tokens that phrases are looked for in: words written out, names as numbers, sentence ends."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from typing import NamedTuple

from scriptkit.english.stems import plain
from scriptkit.patterns import LazyPattern

_TALKED = LazyPattern(r"['’]?[^\W_]+(?:['’-][^\W_]+)*|[.!?;:,…–—]")
_ENDS = frozenset(".!?;…")
_SHORT = {
    "can't": "can not", "cannot": "can not", "won't": "will not", "shan't": "shall not", "let's": "let us", "gonna": "going to",
    "gotta": "got to", "n't": "not", "'m": "am", "'re": "are", "'ve": "have", "'ll": "will", "'d": "would", "'s": "is", "ain't": "is not",
}  # fmt: skip
_ENDINGS = (("n't", "not"), ("'ve", "have"), ("'re", "are"), ("'ll", "will"), ("'m", "am"), ("'d", "would"))
_IS_SHORT = LazyPattern(
    r"['’]s (?=(?:in|on|not|still|already|just|all|only|missing|gone|here|there|going|staying|coming|been|never|out|off|back|also|really|actually|now|meant|supposed|for|sitting|waiting|left|sat|a|an|the|what|something|more|less|too)\b)",
    re.IGNORECASE,
)
"""*The cumin's still in its jar*, where it is no genitive."""
_IS = frozenset("it that there here what where who he she this everything".split())  # noqa: SIM905


class TalkToken(NamedTuple):
    """A word, a name (``@`` and its number), a comma, or ``.`` where a sentence ends; and its place in the text."""

    text: str
    start: int
    end: int


def talk_tokens(text: str, names: Sequence[tuple[int, int]], pauses: Sequence[int] = ()) -> list[TalkToken]:
    """The text as tokens; ``names``: from where to where in it each name stands, in order; ``pauses``: where a sentence ends though no
    stop is written.

    >>> [t.text for t in talk_tokens("I didn't add the chives, sorry.", [(17, 23)])]
    ['i', 'did', 'not', 'add', 'the', '@0', ',', 'sorry', '.']
    """
    found: list[TalkToken] = []
    at = 0
    quiet = iter((*pauses, len(text) + 1))
    pause = next(quiet)
    for word in _TALKED.finditer(text):
        while pause <= word.start():
            if found and found[-1].text != ".":
                found.append(TalkToken(".", pause, pause))
            pause = next(quiet)
        while at < len(names) and names[at][1] <= word.start():
            at += 1
        if at < len(names) and names[at][0] < word.end() and word.start() < names[at][1]:
            if not found or found[-1].text != f"@{at}":
                found.append(TalkToken(f"@{at}", *names[at]))
            if _IS_SHORT.match(text, names[at][1]) or _IS_SHORT.match(text, names[at][1] - 2):
                found.append(TalkToken("is", names[at][1], word.end()))
            continue
        raw = word.group()
        if raw in _ENDS:
            found.append(TalkToken(".", word.start(), word.end()))
        elif raw in ",:–—":
            found.append(TalkToken(",", word.start(), word.end()))
        else:
            before = found[-1].text if found and len(raw) == _OF_A_NAME else ""
            start, end = word.span()
            found += [TalkToken(part, start, end) for part in _parts(raw, before)]
    return found


_OF_A_NAME = len("'s")
"""Only this one is written out by the word before it."""


@functools.lru_cache(maxsize=8192)
def _parts(raw: str, before: str) -> tuple[str, ...]:
    return tuple(_written_out(plain(raw.replace("’", "'")).strip("-"), before).split())


def _written_out(word: str, before: str) -> str:
    if word in _SHORT:
        return _SHORT[word] if word != "'s" or before in _IS else ""
    for ending, full in _ENDINGS:
        if word.endswith(ending) and len(word) > len(ending):
            return f"{word.removesuffix(ending)} {full}"
    if word.endswith("'s"):
        base = word.removesuffix("'s")
        return f"{base} is" if base in _IS else base
    return word.strip("'")
