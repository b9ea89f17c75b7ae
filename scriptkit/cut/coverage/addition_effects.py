"""What is said to become of each addition, followed to its last word: a late confession undoes what was said before."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from scriptkit.cut.claims.name_mentions import NameMention, Owner, TalkWord, mentions_of_talk, words_of_talk
from scriptkit.cut.coverage.confessed import Confessed
from scriptkit.cut.coverage.names_in_cut import around, plain_names, with_verbs
from scriptkit.cut.coverage.spoken_additions import SpokenAddition
from scriptkit.cut.coverage.whose_addition import meant_by, named_of
from scriptkit.cut.other_days import other_days_in
from scriptkit.cut.placement import Cut
from scriptkit.cut.placing.mention_matcher import KIND
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.transcript.running_text import Talk, sentence_pauses, talk_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.effect_kinds import (
    GOES_IN,
    GOES_IN_NOW,
    INSTEAD,
    LATER,
    LEFT_OUT,
    LESS,
    MORE,
    UNFILMED,
    SpokenEffect,
)
from scriptkit.english.food_verbs import verbs_written_out
from scriptkit.english.learned_effects import learned_effects
from scriptkit.english.spoken_effects import effects_said
from scriptkit.english.stems import stem, words_in
from scriptkit.english.talk_tokens import TalkToken, talk_tokens
from scriptkit.problems import Place
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Meal, Step

SHOWN, NONE = "shown", "none"
NOT_THERE = frozenset({LEFT_OUT, LATER, INSTEAD})
"""After these the addition is not in the dish, as far as is heard."""
NEAR_MS = 20_000
"""A name that is said no further from its step is said of its going in (common practice, no source)."""
_LATER_MS = 6_000
"""What is said so long after *later* may be the later time."""
ONE_BREATH_MS = 10_000
"""Two tellings of one gap so near to each other are one (common practice, no source)."""
_OF_ONE_DISH = frozenset({LEFT_OUT, LATER, INSTEAD, MORE, LESS})
_AFTER_THE_FACT = frozenset({LEFT_OUT, INSTEAD, MORE, LESS, UNFILMED})
_REST = frozenset({"rest", "last", "remaining"})


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditionEffect:
    """``effect`` is one of ``goes in``, ``left out``, ``later``, ``instead`` (another thing in its place), ``less``, ``more``, ``shown``
    (named, and not as it goes in) and ``none`` (not named); said at ``time_ms`` of the cut in ``words``, None and empty for none.
    ``unfilmed``: it is said that this was not filmed. ``grams``: what is said to have gone in where that is more or less, said at
    ``amount_ms``; ``stand_in``: what is said to have gone in instead; None and empty where that is not said."""

    dish: Dish
    step: Step
    addition: Addition
    effect: str
    time_ms: int | None = None
    words: str = ""
    line: SpokenLine | None = None
    unfilmed: bool = False
    grams: float | None = None
    amount_ms: int | None = None
    stand_in: str = ""


class _Event(NamedTuple):
    """``ms`` is when the phrase is said, ``at_ms`` when its sentence begins; ``start`` and ``end`` are its places in the talk."""

    ms: int
    at_ms: int
    effect: str
    words: str
    line: SpokenLine
    aside: bool = False
    start: int = 0
    end: int = 0


class GapSaid(NamedTuple):
    """It is said that something was not filmed; ``additions`` is empty where nothing tells what."""

    ms: int
    line: SpokenLine
    words: str
    additions: tuple[tuple[Dish, Step, Addition], ...]


Going = tuple[Dish, Step, Addition]


class OfWhichDish(NamedTuple):
    """Something is said to become of an ingredient that several dishes have, and nothing tells of which: it stands at no step of
    theirs, and names no dish."""

    ms: int
    line: SpokenLine
    words: str
    effect: str
    additions: tuple[Going, ...]


Followed = tuple[tuple[AdditionEffect, ...], tuple[GapSaid, ...], tuple[OfWhichDish, ...]]


def effects_of(source: Dish | Meal, transcript: Transcript, cut: Cut | None = None) -> tuple[AdditionEffect, ...]:
    """One for each addition, in cook order. Of an ingredient that goes in at several steps, the step is meant that stands nearest;
    without a cut, the one whose words stand beside it."""
    return _followed(source, transcript, cut)[0]


def gaps_said(source: Dish | Meal, transcript: Transcript, cut: Cut | None = None) -> tuple[GapSaid, ...]:
    """Where it is said that something was not filmed, in the order of time."""
    return _followed(source, transcript, cut)[1]


def of_which_dish(source: Dish | Meal, transcript: Transcript, cut: Cut | None = None) -> tuple[OfWhichDish, ...]:
    """What is said to become of an ingredient of several dishes, and not of which, in the order of time."""
    return _followed(source, transcript, cut)[2]


def effects_heard(
    effects: Sequence[AdditionEffect], heard: Sequence[SpokenAddition], cut: Cut
) -> tuple[AdditionEffect, ...]:
    """The effects, where nothing is said by name with what the ear makes out: a misheard name near its step is its going in."""
    by_place = {h.addition.place: h for h in heard}
    at = {(p.dish.file, p.step.id): p.time_ms for p in cut.placements}
    found = []
    for one in effects:
        ear, now = by_place.get(one.addition.place), one
        if one.effect == NONE and ear is not None and ear.time_ms is not None and ear.how != KIND:
            step_ms = at.get((one.dish.file, one.step.id))
            near = step_ms is None or abs(ear.time_ms - step_ms) <= NEAR_MS
            words = ear.line.text if ear.line else ""
            now = replace(one, effect=GOES_IN if near else SHOWN, time_ms=ear.time_ms, words=words, line=ear.line)
        found.append(now)
    return tuple(found)


@functools.lru_cache(maxsize=2)
def _followed(source: Dish | Meal, transcript: Transcript, cut: Cut | None) -> Followed:
    return followed(Scene(source, transcript, cut))


def followed(scene: Scene) -> Followed:
    """What is left of all that is said in the scene, one for each addition; what is said not to have been filmed; and what is said of
    nobody knows which dish."""
    events: dict[int, list[_Event]] = {}
    asked: list[OfWhichDish] = []
    gaps = []
    told: set[tuple[int, int]] = set()
    for said in scene.said:
        going: list[int] = []
        event = scene.event(said)
        for name in said.names:
            if several := scene.of_several(name, said, event):
                asked.append(OfWhichDish(event.at_ms, event.line, event.words, said.effect, several))
                continue
            number = scene.meant(name, said, event)
            if number is not None and abs(scene.neutral(scene.mentions[name]).ms - event.ms) <= NEAR_MS:
                going.append(number)
                told.add((name, number))
        for number in dict.fromkeys(going):
            events.setdefault(number, []).append(event)
        if said.effect == UNFILMED:
            gaps.append(
                GapSaid(event.at_ms, event.line, event.words, tuple(scene.additions[n] for n in dict.fromkeys(going)))
            )
    for name, mention in enumerate(scene.mentions):
        if scene.of_old.at(scene.spans[name][0]):
            continue
        neutral = scene.neutral(mention)
        number = scene.meant(name, None, neutral)
        if number is not None and (name, number) not in told:
            near = scene.placed[number] is not None and abs(neutral.ms - (scene.placed[number] or 0)) <= NEAR_MS
            events.setdefault(number, []).append(
                neutral if near else _Event(neutral.ms, neutral.ms, SHOWN, neutral.words, neutral.line)
            )
    effects = tuple(
        scene.with_details(*_last_word(going, events.get(n, ()))) for n, going in enumerate(scene.additions)
    )
    return effects, tuple(_each_once(sorted(gaps, key=lambda g: (g.ms, not g.additions)))), tuple(asked)


def _each_once(gaps: Sequence[GapSaid]) -> Iterator[GapSaid]:
    """Without what is told again in the same breath, and without a gap that names nothing beside one that does."""
    told: list[tuple[int, Place | None]] = []
    for gap in gaps:
        fresh = tuple(
            one for one in gap.additions if all(at != one[2].place or gap.ms - ms > ONE_BREATH_MS for ms, at in told)
        )
        alone = not gap.additions and all(abs(other.ms - gap.ms) > ONE_BREATH_MS for other in gaps if other.additions)
        if fresh or (alone and all(at is not None or gap.ms - ms > ONE_BREATH_MS for ms, at in told)):
            told += [(gap.ms, one[2].place) for one in fresh] or [(gap.ms, None)]
            yield gap._replace(additions=fresh)


def _last_word(going: Going, events: Iterable[_Event]) -> tuple[AdditionEffect, _Event | None]:
    """What is left of all that is said of an addition, and where that is said."""
    state, since = NONE, None
    gone_in = False
    unfilmed: _Event | None = None
    for e in sorted(events, key=lambda e: e.ms):
        effect = e.effect
        if effect == UNFILMED:
            unfilmed = e
            if state in (NONE, SHOWN, LATER):
                state, since = GOES_IN, e
        elif effect in (LEFT_OUT, INSTEAD, MORE, LESS):
            state, since = effect, e
        elif effect == LATER:
            if not (e.aside and gone_in):
                state, since = LATER, e
        elif effect == GOES_IN_NOW:
            gone_in = True
            if state not in (MORE, LESS, INSTEAD):
                state, since = GOES_IN, e
        elif effect in (GOES_IN, _NAMED):
            gone_in = gone_in or effect == GOES_IN
            if state in (NONE, SHOWN) or (state == LATER and since is not None and e.ms - since.ms > _LATER_MS):
                state, since = GOES_IN, e
        elif state == NONE:
            state, since = SHOWN, e
    dish, step, addition = going
    left = AdditionEffect(
        dish=dish,
        step=step,
        addition=addition,
        effect=state,
        time_ms=since.at_ms if since else None,
        words=since.words if since else "",
        line=since.line if since else None,
        unfilmed=unfilmed is not None and state not in NOT_THERE,
    )
    return left, since


_NAMED = "named"
"""It is named at its step, and nothing is said of it."""


class Scene:
    """A talk with its names and what is said of them, and where the recipe's additions stand in it."""

    def __init__(self, source: Dish | Meal, transcript: Transcript, cut: Cut | None) -> None:
        self.dishes = dishes_of_the_day(source)
        self.of_old = other_days_in(source, transcript)
        self.talk: Talk = talk_of(transcript)
        words = words_of_talk(self.talk.text)
        self.words: Sequence[TalkWord] = words
        self.mentions = with_verbs(
            words, list(plain_names(words, mentions_of_talk(self.talk.text, self.dishes), self.dishes)), self.dishes
        )
        spans = [(words[m.first].start, words[m.last].end) for m in self.mentions]
        self.spans = spans
        plural = {
            n
            for n, (_, end) in enumerate(spans)
            if self.talk.text[end - 1 : end] == "s" and self.talk.text[end - 2] != "s"
        }
        self.tokens: list[TalkToken] = verbs_written_out(
            talk_tokens(self.talk.text, spans, sentence_pauses(self.talk)), self.talk.text
        )
        self.phrases: list[SpokenEffect] = effects_said(self.tokens, plural)
        """What phrases and clauses alone tell."""
        self.ingredient_of = [frozenset((o.dish, o.ingredient) for o in m.owners) for m in self.mentions]
        at = {(p.dish.file, p.step.id): p.time_ms for p in cut.placements} if cut is not None else {}
        self.additions: list[Going] = [(dish, step, a) for dish, step in steps_of(source) for a in step.additions]
        self.placed = [at.get((dish.file, step.id)) for dish, step, _ in self.additions]
        self.of: dict[tuple[str, str], list[int]] = {}
        for n, (dish, _, addition) in enumerate(self.additions):
            self.of.setdefault((dish.file, addition.ingredient.key), []).append(n)
        self.around = around(self)
        self.said = learned_effects(self.tokens, self.phrases, self.ingredient_of, self.around)

    def event(self, said: SpokenEffect) -> _Event:
        """What is said, with its time and words; its sentence begins where a stop stands before it, not too far away."""
        start, end = self.tokens[said.first].start, self.tokens[said.last].end
        lead = self.tokens[max(0, said.first - 12) : said.first]
        stops = [n for n, token in enumerate(lead) if token.text == "."]
        of_sentence = (
            [*lead[stops[-1] + 1 :], *self.tokens[said.first : said.first + 1]]
            if stops
            else lead
            if said.first < 12
            else []
        )
        begins = of_sentence[0].start if of_sentence else start
        return _Event(
            self.talk.ms_at(start), self.talk.ms_at(begins), said.effect, self.talk.words_about(start, end), self.talk.line_at(begins), said.aside,
            start, end,
        )  # fmt: skip

    def with_details(self, effect: AdditionEffect, event: _Event | None) -> AdditionEffect:
        """The effect with how much is said to have gone in, or what did in its place."""
        if event is None or effect.effect not in (MORE, LESS, INSTEAD):
            return effect
        details = Confessed(self.talk, self.mentions, self.spans, self.dishes)
        at = event.start, event.end
        if effect.effect == INSTEAD:
            return replace(effect, stand_in=details.stand_in(at))
        amount = details.amount(at, effect.dish, effect.addition, more=effect.effect == MORE)
        return effect if amount is None else replace(effect, grams=amount[0], amount_ms=amount[1])

    def neutral(self, mention: NameMention) -> _Event:
        """That a name is said, and nothing of it."""
        start, end = self.words[mention.first].start, self.words[mention.last].end
        ms = self.talk.ms_at(start)
        return _Event(ms, ms, _NAMED, self.talk.words_about(start, end), self.talk.line_at(start))

    def of_several(self, name: int, said: SpokenEffect, event: _Event) -> tuple[Going, ...]:
        """The additions of several dishes of which something is said where none of their steps stands near, and no dish is named."""
        owners = self.mentions[name].owners
        if said.effect not in _OF_ONE_DISH or len({o.dish for o in owners}) < 2:
            return ()
        among = [n for n, (dish, _, a) in enumerate(self.additions) if self._owns(owners, dish, a)]
        near = [n for n in among if (ms := self.placed[n]) is not None and -NEAR_MS <= ms - event.ms <= NEAR_MS]
        placed = all(self.placed[n] is not None for n in among)
        if near or not placed or named_of([self.additions[n] for n in among], event.words):
            return ()
        return tuple(self.additions[n] for n in among)

    def _owns(self, owners: Sequence[Owner], dish: Dish, addition: Addition) -> bool:
        return any(
            self.dishes[o.dish].file == dish.file
            and self.dishes[o.dish].ingredients[o.ingredient].key == addition.ingredient.key
            for o in owners
        )

    def meant(self, name: int, said: SpokenEffect | None, event: _Event) -> int | None:
        """The number of the addition that a name means, at this moment and in these words."""
        among = [
            n
            for o in self.mentions[name].owners
            for n in self.of.get((self.dishes[o.dish].file, self.dishes[o.dish].ingredients[o.ingredient].key), ())
        ]
        if len(among) < 2:
            return among[0] if among else None
        among = [among[k] for k in meant_by([self.additions[n] for n in among], event.words)]
        of_rest = said is not None and any(t.text in _REST for t in self.tokens[said.first : said.last + 1])
        if of_rest and (rest := [n for n in among if self.additions[n][2].words == "rest"]):
            among = rest
        timed = [n for n in among if self.placed[n] is not None]
        if timed:
            after = said is not None and said.effect in _AFTER_THE_FACT
            return min(timed, key=lambda n: _off(event.ms, self.placed[n] or 0, after=after))
        start = max(0, self.spans[name][0] - 200)
        around = {stem(w) for w in words_in(self.talk.text[start : self.spans[name][1] + 200])}
        return max(among, key=lambda n: len(around & {stem(w) for w in self.additions[n][1].reading.words}))


def _off(moment: int, step: int, *, after: bool) -> float:
    """How far a step stands from the moment; what is told after the fact is sooner of a step that has been."""
    ahead = step - moment
    return ahead * 3.0 if after and ahead > 8_000 else abs(ahead)
