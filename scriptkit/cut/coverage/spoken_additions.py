"""Which additions are heard in the cut, and where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.cut.other_days import OtherDays, other_days_in
from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.placing.mention_matcher import (
    EXACT,
    KIND,
    MISHEARD,
    HeardMention,
    MentionMatcher,
    ear_of,
    telling_words,
)
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.going_in import GOES_IN, LOOKED_AT, NAMED
from scriptkit.english.stems import stem, words_in
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Ingredient, Meal, Step

NEAR_MS = 25_000
"""A guess counts so near to its step only (common practice, no source)."""
LOOK_MS = 15_000
"""What is looked at went in so long before at most, where nothing says that it did (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenAddition:
    """An addition, and where it is spoken of; ``time_ms`` and ``line`` are None where it is not heard. ``how`` is one of EXACT,
    MEANT, MISHEARD and KIND of mention_matcher.py, or empty; ``word`` is what was heard."""

    dish: Dish
    step: Step
    addition: Addition
    time_ms: int | None
    line: SpokenLine | None
    how: str = ""
    word: str = ""


def heard(source: Dish | Meal, transcript: Transcript, cut: Cut) -> tuple[SpokenAddition, ...]:
    """One for each addition, in cook order. Of several mentions the one nearest to the step counts; an ingredient that goes in
    at several steps, or in several dishes, must be heard once for each: a mention belongs to the step that it stands nearest to."""
    ear, of_old = ear_of(transcript), other_days_in(source, transcript)
    placed = {(p.dish.name, p.step.id): p for p in cut.placements}
    found = []
    for dish, step in steps_of(source):
        p = placed.get((dish.name, step.id)) or Placement(dish=dish, step=step, time_ms=None, confidence=0.0)
        for addition in p.step.additions:
            mention = _mention_of(ear, addition.ingredient, p, cut, of_old)
            found.append(
                SpokenAddition(
                    dish=p.dish,
                    step=p.step,
                    addition=addition,
                    time_ms=mention.time_ms if mention else None,
                    line=mention.line if mention else None,
                    how=mention.how if mention else "",
                    word=mention.word if mention else "",
                )
            )
    return tuple(found)


def not_heard(source: Dish | Meal, transcript: Transcript, cut: Cut | None = None) -> tuple[Ingredient, ...]:
    """Ingredients that nothing in the cut names, whether a step adds them or not."""
    ear = ear_of(transcript)
    found = []
    for dish in dishes_of_the_day(source):
        for ingredient in dish.ingredients:
            steps = [s for s in dish.steps if _speaks_of(s, ingredient)]
            if ear.mentions(ingredient.name, whole=not steps):
                continue
            ids = {s.id for s in steps}
            here = [p for p in (cut.placements if cut else ()) if p.dish.name == dish.name and p.step.id in ids]
            if not any(p.time_ms is not None and ear.near(ingredient.name, p.time_ms, NEAR_MS) for p in here):
                found.append(ingredient)
    return tuple(found)


def _speaks_of(step: Step, ingredient: Ingredient) -> bool:
    """Whether the ingredient goes in at the step, is used there, or stands in its sentence."""
    if any(a.ingredient.key == ingredient.key for a in step.additions) or any(
        i.key == ingredient.key for i in step.uses
    ):
        return True
    telling = {stem(w) for w in telling_words(words_in(ingredient.name))}
    return bool(telling & set(step.reading.stems))


def _mention_of(
    ear: MentionMatcher, ingredient: Ingredient, here: Placement, cut: Cut, of_old: OtherDays
) -> HeardMention | None:
    """The mention nearest to the step, of those that stand nearer to it than to another step that the ingredient goes in at; where that
    looks back at what is in already, the one before it at which it goes in. Of another day none counts."""
    mentions = [m for m in ear.mentions(ingredient.name) if not of_old.at_ms(m.time_ms)]
    at = here.time_ms
    if at is None:
        return mentions[0] if mentions else None
    others = [
        p.time_ms
        for p in cut.placements
        if p.time_ms is not None
        and (p.dish.name, p.step.id) != (here.dish.name, here.step.id)
        and any(a.ingredient.name == ingredient.name for a in p.step.additions)
    ]
    mine = [m for m in mentions if all(abs(m.time_ms - at) <= abs(m.time_ms - other) for other in others)]
    nearest = min(mine, key=lambda m: abs(m.time_ms - at), default=None)
    if nearest is not None and abs(nearest.time_ms - at) <= NEAR_MS:
        return _going_in(ear, ingredient, nearest, mine)
    near = [m for m in ear.near(ingredient.name, at, NEAR_MS) if not of_old.at_ms(m.time_ms)]
    guesses = _only_its_own(near, ingredient, here.step)
    if mentions and nearest is None:  # named in full at another step only
        guesses = [
            g for g in guesses if g.how == EXACT and all(abs(g.time_ms - at) <= abs(g.time_ms - o) for o in others)
        ]
    guess = min(guesses, key=lambda m: (m.how == KIND, abs(m.time_ms - at)), default=None)
    return nearest if guess is None or (guess.how == KIND and nearest is not None) else guess


def _only_its_own(guesses: Sequence[HeardMention], ingredient: Ingredient, step: Step) -> list[HeardMention]:
    """The guesses; a word that two names of the step have in common is of a kind, and names neither: *the oil* of two oils."""
    shared = {
        stem(w) for a in step.additions if a.ingredient.key != ingredient.key for w in words_in(a.ingredient.name)
    }
    return [replace(g, how=KIND) if g.how == EXACT and stem(g.word) in shared else g for g in guesses]


def _going_in(
    ear: MentionMatcher, ingredient: Ingredient, nearest: HeardMention, mine: Sequence[HeardMention]
) -> HeardMention:
    """The mention itself; where it does not tell of its going in, or looks back at what is in already, the one before it that does."""
    told = ear.said_of(nearest)
    if told == GOES_IN:
        return nearest
    reach = LOOK_MS if told == LOOKED_AT else NEAR_MS
    earlier = [m for m in (*mine, *ear.guesses(ingredient.name)) if 0 < nearest.time_ms - m.time_ms < NEAR_MS]
    if any(m.how != MISHEARD for m in earlier):
        earlier = [m for m in earlier if m.how != MISHEARD]
    kept = [m for m in earlier if ear.said_of(m) == GOES_IN or (told != NAMED and nearest.time_ms - m.time_ms < reach)]
    return min((nearest, *kept), key=lambda m: (ear.said_of(m), nearest.time_ms - m.time_ms))
