"""What is known of the names of a talk beside their words: figures near them, their steps, and whether these have been."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import Protocol

from scriptkit.cut.claims.name_mentions import FOOD, PART, NameMention, TalkWord, mentions_in
from scriptkit.cut.coverage.amounts_beside import amounts_beside
from scriptkit.cut.other_days import begun_the_day_before
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.english.effect_features import Around
from scriptkit.english.food_verbs import food_of_verb, verbs_of_foods
from scriptkit.pantry import table
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Addition, Dish, Step

_MADE_OF = frozenset(
    "juice zest peel leaf clove floret stalk fillet breast thigh mince bulb yolk white seed pod stick sprig".split()  # noqa: SIM905
)
"""A food before these is its own name: *the lemon* for lemon juice, *the caraway* for its seeds."""
_EARLY_MS = 2_000
"""What is named so shortly before its step is named at it (common practice, no source)."""


class NamedTalk(Protocol):
    """A talk with its names, and the additions with the moments of the cut at which their steps stand."""

    talk: Talk
    dishes: tuple[Dish, ...]
    mentions: list[NameMention]
    spans: list[tuple[int, int]]
    additions: list[tuple[Dish, Step, Addition]]
    placed: list[int | None]
    of: dict[tuple[str, str], list[int]]


def around(scene: NamedTalk) -> Around:
    """Of each name what stands around it; of one that several dishes have no step."""
    starts = sorted(
        {
            (ms, dish.file, step.number)
            for (dish, step, _), ms in zip(scene.additions, scene.placed, strict=True)
            if ms is not None
        }
    )
    step_of, when = {}, {}
    for name, mention in enumerate(scene.mentions):
        dishes = {o.dish for o in mention.owners}
        own = [
            n
            for o in mention.owners
            for n in scene.of.get((scene.dishes[o.dish].file, scene.dishes[o.dish].ingredients[o.ingredient].key), ())
        ]
        if len(dishes) == 1 and own:
            step_of[name] = next(iter(dishes)), min(scene.additions[n][1].number for n in own)
        timed = [ms for n in own if (ms := scene.placed[n]) is not None]
        if timed:
            when[name] = _when(scene.talk.ms_at(scene.spans[name][0]), timed, [ms for ms, _, _ in starts])
    beside = amounts_beside(scene.talk.text, scene.mentions, scene.spans, scene.dishes)
    return Around(beside, step_of, when, begun_the_day_before(scene.dishes))


def _when(ms: int, own: Sequence[int], starts: Sequence[int]) -> str:
    """Whether the moment is at one of its own steps, else before the first or after."""
    if ms < min(own) - _EARLY_MS:
        return "before"
    running = starts[max(0, bisect_right(starts, ms) - 1)]
    return "own" if running in own or ms <= max(own) else "after"


def plain_names(
    words: Sequence[TalkWord], mentions: Sequence[NameMention], dishes: Sequence[Dish]
) -> Iterator[NameMention]:
    """The mentions without those by a word that is a food of its own (*green olives* are no olive oil), and one where two stand side
    by side for one ingredient (*fish stock*)."""
    kept: list[NameMention] = []
    for one in mentions:
        beside = kept and kept[-1].last + 1 == one.first and words[one.first].start - words[kept[-1].last].end <= 1
        if beside and kept[-1].owners == one.owners:
            kept[-1] = NameMention(kept[-1].first, one.last, one.owners, one.how)
        else:
            kept.append(one)
    for one in kept:
        alone = one.first == one.last and one.how in (PART, FOOD)
        if alone and _of_another(words[one.first], one, dishes):
            continue
        yield one


def _of_another(said: TalkWord, mention: NameMention, dishes: Sequence[Dish]) -> bool:
    word = said.text
    owner = mention.owners[0]
    ingredient = dishes[owner.dish].ingredients[owner.ingredient]
    name = words_of(ingredient.name if mention.how == PART else ingredient.food.name.split(",")[0])
    if not name or word == name[-1]:
        return False
    several = said.end - said.start > len(word)  # olives are no olive oil
    return mention.how == FOOD or ((several or word in table.index()) and name[-1] not in _MADE_OF)


def with_verbs(words: Sequence[TalkWord], mentions: Sequence[NameMention], dishes: Sequence[Dish]) -> list[NameMention]:
    """The mentions in order, with those by a verb that is made of a food: *I never salted the skin*."""
    texts = [w.text for w in words]
    named = {n for m in mentions for n in range(m.first, m.last + 1)}
    found = list(mentions)
    for at in verbs_of_foods(texts):
        if at not in named:
            food = TalkWord(food_of_verb(texts, at), words[at].start, words[at].end)
            found += [NameMention(at, at, m.owners, m.how) for m in mentions_in([food], dishes)]
    return sorted(found, key=lambda m: m.first)
