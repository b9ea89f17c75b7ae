"""What a step says, understood once: what is done to what, how hot, in which vessel, until when, and what is not done.

Keys that the cook wrote beat the words. Everything is worked out when it is first asked for, and kept by the sentence.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass

from scriptkit.english.disposal import DISCARDED, POURED_OFF, SET_ASIDE, STRAINED, Disposal, disposals_in
from scriptkit.english.doneness import Until, until_in
from scriptkit.english.heat import Heat, called_hot, can_mean_heat, comes_off, heat_of
from scriptkit.english.kitchen_facts import tells
from scriptkit.english.marinades import is_of_a_marinade, names_a_marinade
from scriptkit.english.methods import HOT, done_by, found_in, method_of
from scriptkit.english.negation import affirmed, is_kitchen_work, negations
from scriptkit.english.simmering import covered_in, reduced_to, width_cm_in, wiped_in
from scriptkit.english.standing import stands_first_in, stands_in
from scriptkit.english.stems import stems_in, words_in
from scriptkit.english.step_times import step_times, times_a_side_in, times_in
from scriptkit.english.temperatures_said import (
    HOT_FROM_C,
    Temperature,
    core_said_c,
    degrees_in,
    other_degrees,
    temperatures_of,
)
from scriptkit.english.vessels import Vessel, vessel_in, vessel_of
from scriptkit.kept import kept
from scriptkit.patterns import LazyPattern

_NEEDS_HEAT = HOT - {"poach"}
"""What nobody does without heat; what is poached or rests may be left off it."""

_CLAUSE_END = LazyPattern(r"[.;:,]|\b(?:then|and|while)\b", re.IGNORECASE)
_WORD = LazyPattern(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_OBJECT = LazyPattern(
    r"(?P<particle>\s*(?:in|up|off|out|down|over|through|together|aside|away)(?= ))?(?: ?(?:well|gently|briefly|quickly|lightly|slowly|thoroughly)(?= ))?\s*"
    r"(?P<what>(?!(?:in|into|on|onto|over|with|for|until|at|to|from|then|and|by|through|under|about|off|out|together|gently|well|if|as)\b)"
    r"[\w'’½¼¾%-]+(?: (?!(?:in|into|on|onto|over|with|for|until|till|at|to|from|then|and|by|through|under|about|off|out|aside|away|together|gently|"
    r"well|again|evenly|finely|thinly|roughly|if|as|before|after|lengthways|without|once|so)\b)[\w'’½¼¾%-]+){0,6})"
)


@dataclass(frozen=True, slots=True)
class Act:
    """One thing done: its ``method`` (empty where it is none of METHODS), the ``verb`` and to ``what`` in the clause's words, the
    ``vessel`` that the clause names, and the ``clause``."""

    method: str
    verb: str
    what: str
    vessel: Vessel
    clause: str


@dataclass(frozen=True, kw_only=True)
class StepReading:
    """A step's words and written keys, and what they mean together. ``written_…``: as in the file, empty where it says nothing."""

    sentence: str
    cooks: bool = True
    """Whether it is a step of cooking; in one of preparation a method that is yet to come is not done."""
    written_method: str = ""
    written_vessel: str = ""
    written_heat: str = ""
    tools: tuple[str, ...] = ()
    core_c: float | None = None

    @kept
    def method(self) -> str:
        """The main method, the strongest hazard that is named; empty where there is none."""
        return self.written_method or method_of(self.sentence, on_the_heat=self._said_on_the_heat)

    @property
    def acts(self) -> tuple[Act, ...]:
        """What is done, in order; what is not done is not among it."""
        return _acts(self.sentence, self._said_on_the_heat, self.written_method)

    @kept
    def clauses(self) -> tuple[tuple[str, str], ...]:
        """The sentence part by part, each with the method that it names: *simmer for 20 min, then blend* is both. Where a written
        method is not the one that the words tell, it alone counts."""
        return _clauses(self.sentence, self._said_on_the_heat, self.written_method)

    @kept
    def methods(self) -> tuple[str, ...]:
        """The methods of the clauses, in order."""
        return tuple(method for _, method in self.clauses if method)

    @kept
    def heat(self) -> Heat:
        """Whether the heat is on, from what and how high."""
        return heat_of(self.written_heat, done_by(self.sentence), self.method, self.methods, self.vessel)

    @kept
    def vessel(self) -> Vessel:
        """The written vessel, else the first that the words name."""
        return vessel_of(self.written_vessel, affirmed(self.sentence))

    @property
    def takes_a_burner(self) -> bool:
        """Whether its written vessel stands on the hob."""
        return bool(self.written_vessel) and self.heat.takes_a_burner

    @property
    def in_the_oven(self) -> bool:
        """Whether it is a step of cooking in the oven."""
        return self.cooks and self.heat.in_the_oven

    @property
    def plates_up(self) -> bool:
        """Whether a step of cooking puts the dish on plates."""
        return self.cooks and (self.method == "plate" or (bool(self.written_vessel) and self.vessel.serves))

    @kept
    def temperatures(self) -> tuple[Temperature, ...]:
        """Stated temperatures, those of written keys first."""
        return temperatures_of(self.sentence, self.heat, self.core_c)

    @kept
    def core_said_c(self) -> float | None:
        """The temperature inside the food, in °C, at which the words say that it is done; None where they say none, or that of a bath."""
        return None if tells(self.sentence, "low-bath") else core_said_c(self.said, self.temperatures)

    @property
    def until(self) -> Until | None:
        """What shows that it is done; None where nothing is said of it."""
        return until_in(self.sentence)

    @property
    def stands_ms(self) -> tuple[int, int] | None:
        """How long the sentence says that the food stands by itself, at least and at most; None where it does not."""
        return stands_in(self.sentence)

    @property
    def stands_first(self) -> bool:
        """Whether the food stands before the work of the step begins: *let it cool 10 minutes, then blend*."""
        return stands_first_in(self.sentence)

    @property
    def own_time_ms(self) -> int:
        """How long the sentence says that the food takes while the cook is free; 0 where it says nothing."""
        return step_times(self.sentence)[0]

    @property
    def tended_ms(self) -> int:
        """How long the sentence says that the cook is kept: *stir for 5 minutes*; 0 where it says nothing."""
        return step_times(self.sentence)[1]

    @property
    def not_done(self) -> tuple[str, ...]:
        """What the sentence says is not done, in its words."""
        return tuple(n.words for n in negations(self.sentence))

    @property
    def disposed(self) -> tuple[Disposal, ...]:
        """What is poured off, strained, discarded or set aside, in order."""
        return disposals_in(self.sentence)

    @property
    def poured_off(self) -> tuple[Disposal, ...]:
        """Fat or liquid that is taken off."""
        return tuple(d for d in self.disposed if d.how == POURED_OFF)

    @property
    def strained(self) -> tuple[Disposal, ...]:
        """What goes through a sieve or a colander."""
        return tuple(d for d in self.disposed if d.how == STRAINED)

    @property
    def discarded(self) -> tuple[Disposal, ...]:
        """What nobody eats."""
        return tuple(d for d in self.disposed if d.how == DISCARDED)

    @property
    def set_aside(self) -> tuple[Disposal, ...]:
        """What waits for a later step."""
        return tuple(d for d in self.disposed if d.how == SET_ASIDE)

    @property
    def covered(self) -> bool | None:
        """Whether a lid is on; None where nothing is said of it."""
        return covered_in(f"{self.said} ; {' ; '.join(self.gear)}")

    @property
    def vessel_width_cm(self) -> float | None:
        """As the vessel or the sentence states it."""
        return width_cm_in(f"{self.written_vessel} ; {self.sentence}")

    @property
    def reduced_to(self) -> float | None:
        """The share of the liquid that it is boiled down to, 0 to 1."""
        return reduced_to(self.said)

    @property
    def marinates(self) -> bool:
        """Whether food is marinated, brined or cured here."""
        return is_of_a_marinade(self.said)

    @property
    def drained_unheated(self) -> tuple[Disposal, ...]:
        """What is drained before the sentence comes to any heat."""
        said = self.sentence
        hot = min((said.find(part) for part, method in self.clauses if part and method in HOT), default=len(said))
        return tuple(d for d in self.disposed if d.drains and said.find(d.words) <= max(hot, 0))

    @property
    def names_a_marinade(self) -> bool:
        """Whether the words name the marinade, the brine or the cure."""
        return names_a_marinade(self.said)

    @property
    def throws_a_marinade_away(self) -> bool:
        """Whether the words discard it or pour it off."""
        return any(names_a_marinade(d.what) for d in (*self.discarded, *self.poured_off))

    @property
    def in_a_wiped_pan(self) -> bool:
        """Whether what was left in the pan is no longer in it."""
        return wiped_in(self.said)

    @kept
    def heats_food(self) -> bool:
        """Whether the heat is on while food is cooked, or a method means heat: not in a step of preparation whose heat warms
        the oven."""
        return (self.cooks and self.heat.on) or any(method in HOT for method in self.methods)

    @kept
    def may_heat(self) -> bool:
        """Whether it heats food, or could: its words or its vessel can mean heat, or it states a temperature inside. A written heat
        that is none beats them."""
        if self.heat.written and not self.heat.on:
            return self.core_c is not None
        return (
            self.heats_food
            or self.core_c is not None
            or self.has_time_in_the_heat
            or can_mean_heat(f"{self.said} ; {self.written_vessel} ; {self.written_heat}")
        )

    @kept
    def has_time_in_the_heat(self) -> bool:
        """Whether a terse hand gives it a time at 100 °C and more (*forty minutes at 200*), at a simmer, or until it is hot inside."""
        if not self.cooks or not self.times_ms:
            return False
        hot = any(c >= HOT_FROM_C for c in degrees_in(self.said))
        return (
            hot or self.core_said_c is not None or any(tells(self.sentence, f) for f in ("seethes", "softens-in-heat"))
        )

    @kept
    def comes_off_the_heat(self) -> bool:
        """Whether the words take it off the heat: it has been hot until now."""
        return comes_off(self.said)

    @property
    def denied_heat(self) -> str:
        """The verb of a method that nobody does without heat, where `heat:` says that there is none; empty where nothing contradicts."""
        if not self.written_heat or not self.cooks or self.heat.on or self.comes_off_the_heat:
            return ""
        if "residual" in self.written_heat.casefold():
            return ""
        return next((act.verb for act in self.acts if act.method in _NEEDS_HEAT), "")

    @property
    def other_degrees(self) -> str:
        """The degrees of the oven or another appliance in the words, where `heat:` has written others; empty where they agree."""
        return other_degrees(self.sentence, self.heat)

    @property
    def calls_hot(self) -> bool:
        """Whether something in the sentence is called hot."""
        return called_hot(self.said)

    @kept
    def said(self) -> str:
        """The sentence less what is not done."""
        return _said(self.sentence)

    @kept
    def gear(self) -> tuple[str, ...]:
        """The written vessel, if any, and the tools."""
        return (self.written_vessel, *self.tools) if self.written_vessel else self.tools

    @kept
    def said_with_gear(self) -> str:
        """What is done, and with what: for patterns."""
        return " ; ".join((self.said, self.written_vessel, *self.tools))

    @kept
    def times_ms(self) -> frozenset[int]:
        """Times in the sentence, of a range both ends."""
        return times_in(self.sentence)

    @property
    def times_a_side_ms(self) -> tuple[int, ...]:
        """Those of one side alone: *two minutes a side*."""
        return times_a_side_in(self.sentence)

    @property
    def words(self) -> tuple[str, ...]:
        """The sentence's words as they are compared (stems.words_in)."""
        return words_in(self.sentence)

    @property
    def stems(self) -> tuple[str, ...]:
        """The stems of the words that tell something, in order."""
        return _stems(self.sentence)

    @property
    def _said_on_the_heat(self) -> bool:
        return self.cooks and bool(self.written_heat) and self.heat_key_is_on

    @property
    def heat_key_is_on(self) -> bool:
        """Whether `heat:` is written and not off."""
        return bool(self.written_heat) and heat_of(self.written_heat, "", "", (), vessel_of(self.written_vessel, "")).on


@functools.lru_cache(maxsize=4096)
def _stems(sentence: str) -> tuple[str, ...]:
    return tuple(stems_in(sentence))


@functools.lru_cache(maxsize=4096)
def _said(sentence: str) -> str:
    told = affirmed(sentence)
    return sentence if told == sentence else " ".join(told.split())


@functools.lru_cache(maxsize=4096)
def _spans(sentence: str, on_the_heat: bool) -> tuple[tuple[str, str], ...]:
    """Each clause, and the clause less what is not done and what is yet to come."""
    told = done_by(sentence, on_the_heat=on_the_heat)
    spans, start = [], 0
    for end in (*_CLAUSE_END.finditer(told), None):
        stop = end.start() if end else len(told)
        spans.append((sentence[start:stop], told[start:stop]))
        start = end.end() if end else stop
    return tuple(spans)


@functools.lru_cache(maxsize=4096)
def _clauses(sentence: str, on_the_heat: bool, written: str) -> tuple[tuple[str, str], ...]:
    whole = method_of(sentence, on_the_heat=on_the_heat)
    if written and written != whole:
        return ((sentence, written),)
    found = [(clause, method_of(told)) for clause, told in _spans(sentence, on_the_heat)]
    if whole and whole not in (method for _, method in found):
        found.append(("", whole))
    return tuple(found)


@functools.lru_cache(maxsize=4096)
def _acts(sentence: str, on_the_heat: bool, written: str) -> tuple[Act, ...]:
    if written and written != method_of(sentence, on_the_heat=on_the_heat):
        return (Act(written, "", "", vessel_in(affirmed(sentence)), sentence.strip()),)
    return tuple(_acts_in(sentence, on_the_heat))


def _acts_in(sentence: str, on_the_heat: bool) -> Iterator[Act]:
    for clause, told in _spans(sentence, on_the_heat):
        named = found_in(told)
        verb = _verb(told)
        if named is None and verb is None:
            continue
        start, end = (named[1], named[2]) if named else verb or (0, 0)
        if verb and verb[0] < start and not clause[verb[0] : start].strip():
            start = verb[0]
        what = _OBJECT.match(told, end)
        yield Act(
            method=named[0] if named else "",
            verb=clause[start : what.end("particle") if what and what["particle"] else end].strip(),
            what=_thing(clause[what.start("what") : what.end("what")]) if what else "",
            vessel=vessel_in(told),
            clause=clause.strip(),
        )


def _thing(words: str) -> str:
    """*Take off the heat* does nothing to the heat."""
    return "" if words.strip().casefold() in ("the heat", "heat", "the hob", "the boil") else words.strip()


def _verb(told: str) -> tuple[int, int] | None:
    """The first word of the clause's first two that is kitchen work."""
    words = [w for _, w in zip(range(3), _WORD.finditer(told), strict=False)]
    if words and words[0].group().casefold() in ("the", "a", "an", "some", "with", "for"):
        return None
    return next(((w.start(), w.end()) for w in words if is_kitchen_work(w.group())), None)
