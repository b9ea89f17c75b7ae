"""A figure that the build of its words binds to a food, whatever its value: *a stick of butter, which is eight tablespoons, and the
parmesan*, *two tablespoons, or two splashes, of soy sauce*, *a cup of oil, I'm using peanut oil*."""

from __future__ import annotations

import bisect
import re
from collections.abc import Iterator, Sequence

from scriptkit.cut.claims.amount_owners import OwnedAmount
from scriptkit.cut.claims.name_mentions import NameMention, TalkWord
from scriptkit.cut.claims.vague_measures import vague_measures
from scriptkit.measure.figures import Figure
from scriptkit.patterns import LazyPattern

_WHICH_IS = LazyPattern(r"\s*,?\s*(?:which|that)(?: is|'s| are)(?: about| around| roughly)?\s*", re.IGNORECASE)
_NOT_ON = LazyPattern(
    r"\s*(?:of\b(?! (?:it|them|that|those)\b)|more\b|less\b|each\b|per\b|a (?:head|serving|bowl|plate)\b)",
    re.IGNORECASE,
)
_OF = LazyPattern(r"\s*of (?:(?:the|your|my|our)(?: own)? )?", re.IGNORECASE)
_IN_OTHER_WORDS = LazyPattern(
    r"\s*,?\s*(?:or|for|so|about|like|that's|that is)(?: about| roughly| like)? (?:a|an|one|two|three|four|a couple of|a few) (?P<measure>[a-z]+?)(?:e?s)?,? of (?:the |your |my |our )?",
    re.IGNORECASE,
)
_I_USE = LazyPattern(
    r"[\s,.]*(?:from |and |so |here )?(?:i'm |i am |we're |we are |i |we )?(?:using|use|used|it's|it is|that's|this is)(?: a| an| some| the)?\s*",
    re.IGNORECASE,
)
_SURE = 0.95
_BESIDE = 120
"""Characters beside a figure in which its food may be named."""


def bound(
    owned: OwnedAmount,
    figure: Figure,
    text: str,
    words: Sequence[TalkWord],
    mentions: Sequence[NameMention],
) -> OwnedAmount:
    """The figure as of the food that its words bind it to; as it is where they do not. ``mentions``: in the order of the talk."""
    if not figure.unit:
        return owned
    lo = bisect.bisect_left(mentions, figure.start - _BESIDE, key=lambda m: words[m.first].start)
    hi = bisect.bisect_left(mentions, figure.end + _BESIDE, key=lambda m: words[m.first].start)
    near = mentions[lo:hi]
    meant = next(_meant(figure, text, words, near), None)
    if meant is None:
        return _of_what_follows(owned, figure, text, words, near)
    own = (_named_again(meant, text, words, near) or meant).owners
    return owned._replace(owners=tuple((o, _SURE / len(own)) for o in own), nobody=0.0, named=True)


def _of_what_follows(
    owned: OwnedAmount, figure: Figure, text: str, words: Sequence[TalkWord], mentions: Sequence[NameMention]
) -> OwnedAmount:
    """*Two tablespoons of oil*: of no other food than the oil. Whether it is of the recipe at all stays as likely as it was."""
    following = [m for m in mentions if words[m.first].start >= figure.end]
    meant = next((m for m in following if _OF.fullmatch(text[figure.end : words[m.first].start])), None)
    if meant is None or not owned.owners:
        return owned
    shares = {o: p for o, p in owned.owners if o in meant.owners} or dict.fromkeys(meant.owners, 1.0)
    sure = (1.0 - owned.nobody) / (sum(shares.values()) or 1.0)
    ranked = sorted(((o, p * sure) for o, p in shares.items()), key=lambda one: -one[1])
    return owned._replace(owners=tuple(ranked), named=True)


def _meant(
    figure: Figure, text: str, words: Sequence[TalkWord], mentions: Sequence[NameMention]
) -> Iterator[NameMention]:
    for one in mentions:
        starts, ends = words[one.first].start, words[one.last].end
        if (
            ends <= figure.start
            and _WHICH_IS.fullmatch(text[ends : figure.start])
            and not _NOT_ON.match(text, figure.end)
        ):
            if not any(_begins_at(m, words, text, figure.end) for m in mentions):
                yield one
        elif (starts >= figure.end and _in_other_words(text[figure.end : starts])) or (
            starts >= figure.end
            and _OF.fullmatch(text[figure.end : starts])
            and _named_again(one, text, words, mentions)
        ):
            yield one


def _begins_at(mention: NameMention, words: Sequence[TalkWord], text: str, place: int) -> bool:
    """*That's two cups flour*: the name right after it."""
    return words[mention.first].start >= place and not text[place : words[mention.first].start].strip()


def _in_other_words(gap: str) -> bool:
    found = _IN_OTHER_WORDS.fullmatch(gap)
    return found is not None and any(found["measure"].casefold() in (m, f"{m}e") for m in vague_measures())


def _named_again(
    mention: NameMention, text: str, words: Sequence[TalkWord], mentions: Sequence[NameMention]
) -> NameMention | None:
    """The name in full that tells which is used: *oil, I'm using peanut oil*."""
    for other in mentions:
        fuller = other.last - other.first > mention.last - mention.first
        if other.first > mention.last and fuller and words[other.last].text == words[mention.last].text:
            told = _I_USE.fullmatch(text[words[mention.last].end : words[other.first].start])
            return other if told else None
    return None
