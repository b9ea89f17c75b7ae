"""Which rules hold at which situations of a dish. A condition is asked of all situations at once, and a rule is done with as soon as none
is left; what follows from the words alone is worked out once for the same words."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from scriptkit.english.kitchen_facts import tells
from scriptkit.kept import kept
from scriptkit.safety.conditions import CONDITIONS, DEARER, OF_A_DISH
from scriptkit.safety.rules import Asked, Rule, rules
from scriptkit.safety.state_conditions import fits_in
from scriptkit.safety.step_facts import Situation

Bits = int
"""Of several situations some: the first is 1, the second 2, the third 4."""


class Together:
    """Situations that the same rules are asked of: steps, steps with one class of raw food, or the whole dish."""

    def __init__(self, situations: Sequence[Situation]) -> None:
        self.each = tuple((1 << n, s) for n, s in enumerate(situations))
        self.all: Bits = (1 << len(self.each)) - 1
        self.first = situations[0]
        self.known: dict[tuple[str, str], Bits] = {}

    @kept
    def said(self) -> tuple[str, ...]:
        """What is done at each."""
        return tuple(s.said for _, s in self.each)

    @kept
    def gear(self) -> tuple[str, ...]:
        """What is done at each, and what lies ready for it."""
        return tuple(s.gear for _, s in self.each)

    @kept
    def named(self) -> tuple[str, ...]:
        """What is handled at each."""
        return tuple(s.named for _, s in self.each)

    @kept
    def names(self) -> tuple[tuple[str, ...], ...]:
        """What is in the vessel at each."""
        return tuple(s.state.names for _, s in self.each)

    @kept
    def told(self) -> tuple[str, ...]:
        """The sentence of each with its gear; of the whole dish none."""
        return tuple(s.told for _, s in self.each if s.step is not None)


Column = Callable[[Together, Bits], Bits]
"""Of those situations that are left, those at which a condition holds."""
_KEPT = 64
"""So many dishes' words are kept in mind; a folder has no more that are asked about again."""


def _bits(held: Iterable[bool]) -> Bits:
    return sum(1 << n for n, holds in enumerate(held) if holds)


def _fitting(value: Any, texts_of: Callable[[Together], tuple[str, ...]]) -> Column:
    fits = fits_in(value)

    @functools.lru_cache(maxsize=_KEPT)
    def fitting(texts: tuple[str, ...]) -> Bits:
        return _bits(map(fits, texts))

    return lambda together, left: fitting(texts_of(together)) & left


def _holding_named(value: Any) -> Column:
    fits = fits_in(value)

    @functools.lru_cache(maxsize=_KEPT)
    def fitting(names: tuple[tuple[str, ...], ...]) -> Bits:
        return _bits(any(map(fits, here)) for here in names)

    return lambda together, left: fitting(together.names) & left


@functools.lru_cache(maxsize=4096)
def _telling(texts: tuple[str, ...], fact: str) -> Bits:
    return _bits(tells(text, fact) for text in texts)


def _saying(value: Any) -> Column:
    facts = (value,) if isinstance(value, str) else tuple(value)

    def saying(together: Together, left: Bits) -> Bits:
        for fact in facts:
            left &= _telling(together.told, fact)
            if not left:
                break
        return left

    return saying


def _saying_any(value: Any) -> Column:
    facts = (value,) if isinstance(value, str) else tuple(value)

    def saying(together: Together, left: Bits) -> Bits:
        found = 0
        for fact in facts:
            found |= _telling(together.told, fact) & left
            if found == left:
                break
        return found

    return saying


_BY_WORDS: dict[str, Callable[[Any], Column]] = {
    "words": lambda value: _fitting(value, lambda together: together.said),
    "gear": lambda value: _fitting(value, lambda together: together.gear),
    "named": lambda value: _fitting(value, lambda together: together.named),
    "holds_named": _holding_named,
    "says": _saying,
    "says_any": _saying_any,
}
"""Conditions that follow from the words or the foods' names alone."""


def _column(name: str, value: Any) -> Column:
    """Raises KeyError where there is no such condition."""
    holds = CONDITIONS[name](value)
    if name in _BY_WORDS:
        return _BY_WORDS[name](value)
    if name in OF_A_DISH:
        return lambda together, left: left if holds(together.first) else 0

    asked = (name, repr(value))

    def column(together: Together, left: Bits) -> Bits:
        found = together.known.get(asked)
        if found is None:
            found = 0
            for bit, situation in together.each:
                if holds(situation):
                    found |= bit
            together.known[asked] = found
        return found & left

    return column


_Compiled = tuple[Rule, tuple[tuple[Column, ...], ...], tuple[Column, ...]]
"""A rule; of these one must hold with all of its conditions; of these none."""


@functools.cache
def _compiled() -> dict[tuple[bool, bool], tuple[_Compiled, ...]]:
    """The rules by whether they are told of the whole dish, and whether they ask about a class of food."""
    found: dict[tuple[bool, bool], list[_Compiled]] = {}
    for rule in rules():
        by_food: dict[bool, list[Asked]] = {}
        for asked in rule.when:
            by_food.setdefault(any(name == "class" for name, _ in asked), []).append(asked)
        unless = tuple(_column(name, value) for name, value in rule.unless)
        for about_food, several in by_food.items():
            when = tuple(tuple(_column(n, v) for n, v in sorted(one, key=_dearness)) for one in several)
            found.setdefault((rule.told == "whole", about_food), []).append((rule, when, unless))
    return {key: tuple(one) for key, one in found.items()}


def _dearness(asked: tuple[str, Any]) -> int:
    """What is asked once of a dish goes first, then what follows from the state, then words."""
    return 2 if asked[0] in DEARER else asked[0] not in OF_A_DISH


def rules_holding(situations: Sequence[Situation]) -> list[list[Rule]]:
    """Of each situation the rules that hold there, in the order of the rules files."""
    found: list[list[Rule]] = [[] for _ in situations]
    groups: dict[tuple[bool, bool], list[int]] = {}
    for n, situation in enumerate(situations):
        groups.setdefault((situation.step is None, bool(situation.cooked)), []).append(n)
    for key, numbers in groups.items():
        together = Together([situations[n] for n in numbers])
        for rule, when, unless in _compiled().get(key, ()):
            held = _held(together, when, unless)
            for n in numbers if held else ():
                if held & 1:
                    found[n].append(rule)
                held >>= 1
    return found


def _held(together: Together, when: tuple[tuple[Column, ...], ...], unless: tuple[Column, ...]) -> Bits:
    found = 0
    for columns in when:
        left = together.all & ~found
        for column in columns:
            left = column(together, left)
            if not left:
                break
        found |= left
        if found == together.all:
            break
    for column in unless:
        if not found:
            break
        found &= ~column(together, found)
    return found
