"""A figure that is of several ingredients at once: *half a teaspoon each of salt and pepper*, *thyme and salt, a teaspoon each*."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence

from scriptkit.cut.claims.name_mentions import NameMention, TalkWord
from scriptkit.measure.figures import Figure
from scriptkit.patterns import LazyPattern

_EACH = LazyPattern(
    r"[\s,]*(?:of\s+)?each\b(?P<of>\s*,?\s*of\b)?(?!\s+(?:bowl|plate|one|portion|serving|person|side)\b)", re.IGNORECASE
)
_LEADS_OVER = LazyPattern(r"[\s,.:;–—-]*(?:about|around|just|only|another|like|maybe|and|is|are|it's|take|use)?\s*")
_WORDS_BETWEEN = 3
"""Words that may tell how the next of a list is prepared: *finely chopped red pepper*."""
_NO_LIST = frozenset(
    "in into to with for on onto then add put goes go take until from over at plus is are if so but teaspoon tablespoon cup".split()  # noqa: SIM905
)
_OF_ITS_OWN = 4
"""Words after a figure in which its own ingredient is named."""


def several(
    figure: Figure, text: str, words: Sequence[TalkWord], mentions: Sequence[NameMention], figures: Sequence[Figure]
) -> list[NameMention]:
    """The names of the list that the figure is of *each* of; none where it is no such list."""
    each = _EACH.match(text, figure.end)
    if each is None:
        return []
    if each["of"]:
        after = (m for m in mentions if words[m.first].start >= each.end())
        found = list(_a_row(after, text, words, each.end()))
    else:
        found = _a_row_before(figure, text, words, mentions, figures)
    return found if len(found) > 1 else []


def _a_row(mentions: Iterator[NameMention], text: str, words: Sequence[TalkWord], at: int) -> Iterator[NameMention]:
    for one in mentions:
        if not _follows(text[at : words[one.first].start]):
            return
        yield one
        at = words[one.last].end


def _a_row_before(
    figure: Figure, text: str, words: Sequence[TalkWord], mentions: Sequence[NameMention], figures: Sequence[Figure]
) -> list[NameMention]:
    """The names that follow one another up to the figure, without those that have a figure of their own before them."""
    before = [m for m in mentions if words[m.last].end <= figure.start]
    found: list[NameMention] = []
    for one, after in zip(reversed(before), itertools.chain([None], reversed(before)), strict=False):
        gap = text[words[one.last].end : figure.start if after is None else words[after.first].start]
        begins = words[one.first].start
        since = max((words[m.last].end for m in before if m.last < one.first), default=0)
        own = any(since <= f.end <= begins and len(text[f.end : begins].split()) < _OF_ITS_OWN for f in figures)
        if own or not (_LEADS_OVER.fullmatch(gap) if after is None else _follows(gap)):
            break
        found.insert(0, one)
    return found


def _follows(gap: str) -> bool:
    """Whether no more stands between two of a list than commas, *and*, and how the next is prepared."""
    told = [w for w in re.findall(r"[^\W_]+", gap.casefold()) if w not in ("and", "or", "of", "the", "some")]
    return len(told) <= _WORDS_BETWEEN and not _NO_LIST & set(told) and not any(w.isdigit() for w in told)
