"""What becomes of each ingredient that is named in talk, as phrases and clauses tell it and as it is learned from many speakers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping, Sequence

from scriptkit.english.clause_swaps import DONE_WITHOUT
from scriptkit.english.effect_features import Around, TalkFeatures
from scriptkit.english.effect_kinds import GOES_IN, GOES_IN_NOW, INSTEAD, LEFT_OUT, UNFILMED, SpokenEffect
from scriptkit.english.effect_weights import KINDS, NOTHING, chances, effect_weights
from scriptkit.english.plain_confessions import goes_in_meanwhile, is_no_confession, is_plain, went_in_before_you
from scriptkit.english.talk_tokens import TalkToken
from scriptkit.english.today import as_of_today, other_days, turned_up

SURE = 0.7
"""From here on something is said to become of it though no phrase tells so."""
DOUBTED = 0.12
"""Below it a phrase is not believed."""

VERY_SURE = 0.9
"""From here on what is learned counts for more than what a phrase tells."""
BYSTANDER = 0.97
"""From here on a name beside talk of the camera is only named."""

_NEIGHBOURS, _IN_A_LIST = 30, 3
"""So many tokens apart two names are of one telling; and so many apart they may be listed together (common practice, no source)."""
_WITHOUT = 12
"""So many tokens on it may be said that nothing stands in its place."""
_AND = frozenset({"and", "or", "nor", ","})

_BEGINS = frozenset({".", ",", "so", "and", "but", "because", "then", "i", "we", "you", "they", "he", "she"})
_NO = frozenset({"never", "not", "no", "nothing", "nobody", "hardly", "rarely", "seldom", "cannot"})


def learned_effects(
    tokens: Sequence[TalkToken],
    said: Sequence[SpokenEffect],
    ingredient_of: Sequence[Hashable],
    around: Around,
) -> list[SpokenEffect]:
    """What is said, without what is not likely, and with what phrases do not tell. ``ingredient_of``: of each name what it is a name of,
    equal for one thing; ``around``: what else is known of the names (effect_features.py). Raises BadDataFile."""
    texts = [t.text for t in tokens]
    if around.begun_before:
        texts = as_of_today(texts)
    talk = TalkFeatures(texts, said, around, effect_weights())
    same: dict[Hashable, set[str]] = defaultdict(set)
    for n, of in enumerate(ingredient_of):
        same[of].add(f"@{n}")
    likely = {}
    for at, text in enumerate(texts):
        if text.startswith("@"):
            name = int(text[1:])
            likely[name] = at, chances(talk.of(at, same[ingredient_of[name]]))
    found = []
    told = set()
    for one in said:
        if one.effect in (GOES_IN, GOES_IN_NOW) or not one.names:
            found.append(one)
            continue
        if (
            one.effect == UNFILMED
        ):  # what is said of the camera is hardly ever said of anything else, but not of every name beside it
            own = tuple(
                n
                for n in one.names
                if n not in likely
                or one.first <= likely[n][0] <= one.last
                or likely[n][1][NOTHING] < BYSTANDER
                or goes_in_meanwhile(texts, one.last, likely[n][0])
                if n not in likely or not went_in_before_you(texts, likely[n][0])
            )
            told |= set(own)
            found.append(SpokenEffect(one.effect, one.first, one.last, own, one.aside))
            continue
        plain = is_plain(texts, one)
        believed = {n for n in one.names if plain or n not in likely or likely[n][1][NOTHING] < 1 - DOUBTED}
        kept = tuple(
            n for n in one.names
            if n in believed or any(_in_one_breath(texts, likely[n][0], likely[m][0]) for m in believed if m in likely)
        )  # fmt: skip
        told |= set(kept)
        if kept:
            effect = one.effect if plain else _surer(one.effect, [likely[n][1] for n in kept if n in likely])
            if effect == INSTEAD != one.effect and DONE_WITHOUT.search(
                " ".join(texts[one.first : one.last + _WITHOUT])
            ):
                effect = one.effect
            found.append(SpokenEffect(effect, one.first, one.last, kept, one.aside))
    learned = {
        (name,): SpokenEffect(_likeliest(chance), at, at, (name,))
        for name, (at, chance) in likely.items()
        if name not in told and 1 - chance[NOTHING] > SURE and not _is_no_effect(texts, at, _likeliest(chance))
    }
    found = [
        one for one in found if one.names not in learned
    ]  # that it goes in, by words that mean something else here
    of_old = other_days(texts)
    every = [
        one
        for one in (*found, *learned.values())
        if not any(first <= one.last <= last for first, last in of_old)
        if one.effect in (GOES_IN, GOES_IN_NOW, UNFILMED)
        or not any(turned_up(texts, likely[n][0]) for n in one.names if n in likely)
    ]
    return sorted(_of_one_name(every, texts, likely, ingredient_of), key=lambda e: e.first)


def _is_no_effect(texts: Sequence[str], at: int, effect: str) -> bool:
    if effect == UNFILMED:
        return went_in_before_you(texts, at) or _never_without(texts, at)
    return _never_without(texts, at) or is_no_confession(texts, at)


def _never_without(texts: Sequence[str], at: int) -> bool:
    """*I never go without parsley*: two denials in one clause."""
    before = texts[max(0, at - 10) : at]
    last = max((n for n, word in enumerate(before) if word == "without"), default=None)
    if last is None or "." in before[last:]:
        return False
    clause = before[:last]
    begins = max((n for n, word in enumerate(clause) if word in _BEGINS), default=-1)
    return not _NO.isdisjoint(clause[begins + 1 :])


def _of_one_name(
    found: Sequence[SpokenEffect],
    texts: Sequence[str],
    likely: Mapping[int, tuple[int, Mapping[str, float]]],
    ingredient_of: Sequence[object],
) -> Iterator[SpokenEffect]:
    """Of two different names near each other of which the same is said, and which are not listed together, only the likelier: *the salt
    went into the flour before I filmed* is of the salt alone."""
    single = [e for e in found if len(e.names) == 1 and e.names[0] in likely and e.effect not in (GOES_IN, GOES_IN_NOW)]
    less = set()
    for n, one in enumerate(single):
        for other in single[n + 1 :]:
            name, beside = one.names[0], other.names[0]
            at, beside_at = likely[name][0], likely[beside][0]
            if (
                ingredient_of[name] != ingredient_of[beside]
                and one.effect == other.effect
                and abs(at - beside_at) <= _NEIGHBOURS
                and not _are_listed(texts, at, beside_at)
            ):
                weaker = one if likely[name][1][NOTHING] > likely[beside][1][NOTHING] else other
                less.add(id(weaker))
    return (e for e in found if id(e) not in less)


def _in_one_breath(texts: Sequence[str], one: int, other: int) -> bool:
    """Whether the two names stand in one list without a comma: *the capers and the lemon*, and not *the capers, and the salt as it says*."""
    return _are_listed(texts, one, other) and "," not in texts[min(one, other) : max(one, other)]


def _are_listed(texts: Sequence[str], one: int, other: int) -> bool:
    """Whether the two names stand in one list: *the capers and the lemon*."""
    first, last = sorted((one, other))
    between = texts[first + 1 : last]
    return len(between) <= _IN_A_LIST and not _AND.isdisjoint(between)


def _likeliest(chance: Mapping[str, float]) -> str:
    return max(KINDS[1:], key=lambda kind: chance[kind])


def _surer(effect: str, likely: Sequence[Mapping[str, float]]) -> str:
    """The effect that a phrase tells, or the one that is surely likelier."""
    if len(likely) != 1:
        return effect
    if effect == LEFT_OUT and likely[0][INSTEAD] > SURE:
        return INSTEAD  # it is not there, and something else is
    if likely[0][_likeliest(likely[0])] <= VERY_SURE:
        return effect
    return _likeliest(likely[0])
