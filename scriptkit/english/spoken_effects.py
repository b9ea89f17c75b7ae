"""What is said to become of an ingredient: *I forgot the chives*, *the cream comes later*, *the camera was off*."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from scriptkit.english.clause_effects import clause_effects
from scriptkit.english.clause_swaps import DONE_WITHOUT
from scriptkit.english.clause_themes import with_had
from scriptkit.english.clause_unseen import NOTHING_GOES_IN
from scriptkit.english.effect_kinds import (
    GOES_IN,
    GOES_IN_NOW,
    HABIT,
    INSTEAD,
    LATER,
    LEFT_OUT,
    LESS,
    MORE,
    OTHERS,
    UNFILMED,
    SpokenEffect,
    tells_a_story,
)
from scriptkit.english.effect_phrases import (
    ABSENT,
    AND_ANOTHER,
    IF_OURS,
    NO_NAME,
    OUT_OF,
    SCENE,
    Phrase,
    marked,
    phrases,
)
from scriptkit.english.surest_effects import REACH, end_of_exchange, is_company, surest, tells_it
from scriptkit.english.talk_tokens import TalkToken
from scriptkit.pattern_needs import may_fit, places_of
from scriptkit.patterns import SoughtPattern, sought

_ABOUT = 160
"""Characters before and after the letters that a phrase needs, in which the whole of it stands."""
_AHEAD = 10
"""Words after a phrase in which its ingredient may be named."""
_BEFORE_A_NAME_NOT = NO_NAME - {"of"}
_IF = frozenset("if unless whether could can may might would should suppose imagine lest case".split())  # noqa: SIM905
_ASKS = frozenset(
    """
    if unless lest case before did have had when whenever time nearly almost not never would should thought believe
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
_FOOTAGE = SoughtPattern(
    r"\b(?:clip|shot|footage|take|recording|picture)(?: \w+)? (?:of|with|where|when)(?: the| my| our)?$"
)
_ORDERS = frozenset("add use put have give try take".split())  # noqa: SIM905
_DENIED = frozenset({"not", "never", "nearly", "almost"})
_WENT_IN = SoughtPattern(r"(?:, )?(?:but |and )?(?:it|they) (?:went|did go|is|are) in\b")
_ALL = SoughtPattern(r" (?:all|whole|much|many|enough|half|full|quite|less|fewer|more|extra|only) ")
_SOME = SoughtPattern(r" (?:some|bit|little|half|few|third|quarter|quarters|couple|spoonful) ")
_ASIDE = SoughtPattern(r"\b(?:aside|to one side|to the side)\b")
_OURS = SoughtPattern(
    r"\b(?:i|we|my|our)\b|\b(?:this|that|it|these|those|they) (?:is|are)\b|\b(?:has|have) (?:gone|been)\b"
)
_PREPARED = SoughtPattern(
    r"\b(?:i|we) (?:have |had |just )?(?:drained|peeled|chopped|washed|rinsed|sliced|boiled|weighed|measured|soaked|toasted|trimmed|cut|cleaned) (?:the |my |those |these )?(?:@\d+|it|them|that|those)(?: \w+)?$"
)
"""*I drained them off camera*: nothing went in."""
_IS_IN_AFTER_ALL = SoughtPattern(
    r"^(?:\S+ ){0,9}?(?:but |and |promise |honest )?(?:it|they|that) (?:is|are|has gone|have gone|went|did go) (?:all |really |definitely )?in(?: there| the \w+)?(?= [.,]|$| i\b| so\b)"
)
_WORKS = SoughtPattern(r"\b(?:works?|does|do|is|are)(?: (?:well|fine|nice|nicely|good|lovely|great|just|too))*$")
"""*Dill works instead of parsley.*"""
_WOULD = frozenset({"would", "might"})
_IS_NO_GAP = SoughtPattern(
    r"missing (?:their|its|a|an|any)\b|(?:forgotten|left)(?: \S+){0,8}? for (?:ages|(?:a|the last|the past|\w+) (?:years?|months?|weeks?|days?|while|long))\b"
)
"""*Missing their skins*, *forgotten in the freezer for a year*."""
_PART_WAY = SoughtPattern(r"\b(?:half|part) ?way\b")
_SO = SoughtPattern(
    r"\b(?:so|instead|have to do|has to do|will do|in its place|this is|that is|it is|because|used|using|chopped|went with)\b"
)
_IN_ITS_PLACE = SoughtPattern(
    r"\b(?:instead|in (?:its|their) place|(?:have|has) to do|will do|only had|only got|(?:i|we) (?:have )?used|went with|will have to)\b"
)
_DOES_ITSELF = SoughtPattern(r"(?:go|goes|going|come|comes|(?:is|are|will|can) (?!not\b|missing|forgotten|left))")
_SHOT_OF = SoughtPattern(r"\b(?:shot|clip|footage|picture|take) of (?:the |me )?(?:\w+ ){0,3}?@(\d+)\b")
_AS = frozenset("as when while just so before because".split())  # noqa: SIM905
_PUTS = frozenset({"add", "put", "stir", "pour", "with", "in", "whisk", "mix", "fold", "of"})
_PLURAL = ("they", "them", "those", "these", "any of them", "either of them", "both of them")


# --- what is said -----------------------------------------------------------------------------------------------------


def effects_said(tokens: Sequence[TalkToken], plural: Collection[int] = ()) -> list[SpokenEffect]:
    """Everything that is said of a name, in order, one effect a name and breath. ``plural``: the names in the plural, to
    which *they* and *them* go back. What others do, what is a story, asked, denied or only thought of is left out."""
    stream = _Stream(tokens, frozenset(plural))
    found = [one for phrase in phrases() for one in stream.said(phrase)]
    found += [one for one in stream.scenes() if not any(stream.is_named_gap(other, one) for other in found)]
    found += [
        one for one in clause_effects(stream.words, stream.plural) if not any(tells_it(other, one) for other in found)
    ]
    found = [one for one in found if not (one.effect == LEFT_OUT and stream.is_in_after_all(one))]
    return list(surest(found, stream.words))


class _Stream:
    def __init__(self, tokens: Sequence[TalkToken], plural: frozenset[int]) -> None:
        self.words = with_had([t.text for t in tokens])
        self.plural = plural
        self.text = " ".join(self.words)
        self.marked = marked(self.words)
        self.at: list[int] = []
        place = 0
        for word in self.words:
            self.at.append(place)
            place += len(word) + 1
        self.number = {place: n for n, place in enumerate(self.at)}
        self.hits: dict[str, list[int]] = {}
        self.windows: dict[tuple[str, ...], list[tuple[int, int]]] = {}
        self.scenes_found: list[tuple[int, int]] = []

    def _windows(self, needs: tuple[str, ...]) -> list[tuple[int, int]]:
        """Stretches about the letters that a phrase needs, so that the rest of a long talk is not searched."""
        if needs not in self.windows:
            self.windows[needs] = list(self._about(sorted(place for need in needs for place in self._hits(need))))
        return self.windows[needs]

    def _about(self, hits: Sequence[int]) -> Iterator[tuple[int, int]]:
        """From word to word about each place; those that touch are one."""
        lo, hi = -1, -1
        for hit in hits:
            begins = hit - _ABOUT
            if hi < 0 or (begins > hi and self._edge(begins) > hi):
                if hi >= 0:
                    yield lo, hi
                lo = self._edge(begins)
            hi = self._edge(hit + _ABOUT)
        if hi >= 0:
            yield lo, hi

    def _hits(self, need: str) -> list[int]:
        if need not in self.hits:
            self.hits[need] = list(places_of(need, self.text))
        return self.hits[need]

    def _edge(self, place: int) -> int:
        if place <= 0:
            return 0
        space = self.text.find(" ", place)
        return len(self.text) if space < 0 else space + 1

    def said(self, phrase: Phrase) -> Iterator[SpokenEffect]:
        """Where the phrase stands and tells of something; what only names the camera is kept for :meth:`scenes`."""
        if not any(self._hits(need) for need in phrase.needs):
            return
        needs = phrase.all_needs
        if not may_fit(needs, self.marked):
            return
        for lo, hi in self._windows(phrase.needs):
            if not may_fit(needs, self.marked[lo:hi]):
                continue
            for match in phrase.pattern.finditer(self.marked, lo, hi):
                if (one := self._judged(phrase, match)) is not None:
                    yield one

    def _judged(self, phrase: Phrase, match: re.Match[str]) -> SpokenEffect | None:
        first = self.number.get(match.start())
        if first is None:
            return None
        last = self._without_the_next(first + self.text.count(" ", *match.span()), named_first=phrase.named_first)
        first = self._begin(first)
        words = " ".join(self.words[first : last + 1])
        if self._is_no_event(phrase.effect, first, last, named_first=phrase.named_first):
            return None
        if phrase.effect == SCENE:
            self.scenes_found.append((first, last))
            return None
        effect = self._effect(phrase.effect, first, last, words)
        ends = end_of_exchange(self.words, first, last) if effect == INSTEAD else None
        if ends is not None:
            last = ends
            words = " ".join(self.words[first : last + 1])
        names = tuple(int(n) for n in re.findall(r"@(\d+)", words))
        if phrase.named_first and len(names) > 1 and set(self._before(first, 4)) & _PUTS:
            names = names[-1:]  # stir in the cream, and the mustard got left out
        if not names:
            names = self._meant(first, last, words, now=effect == GOES_IN_NOW)
        elif effect not in (GOES_IN, GOES_IN_NOW) and ends is None:
            names = self._together(first, last, names)
        told = effect is not None and (names or effect == UNFILMED)
        aside = effect == LATER and _ASIDE.search(words) is not None
        return SpokenEffect(effect, first, last, names, aside) if effect is not None and told else None

    def _without_the_next(self, last: int, *, named_first: bool) -> int:
        """Where a phrase ends whose last name begins another clause: *I forgot the cucumber, and the tomatoes go in now*."""
        if (
            named_first
            or self.words[last][0] != "@"
            or not _DOES_ITSELF.match(" ".join(self.words[last + 1 : last + 3]))
        ):
            return last
        joint = next((n for n in range(last - 1, max(-1, last - 7), -1) if self.words[n] in ("and", "or", "nor")), None)
        alone = (
            joint is None
            or self.words[joint] != "and"
            or not any(w[0] == "@" for w in self.words[max(0, joint - 2) : joint])
        )
        return last if joint is None or alone else joint - (2 if self.words[joint - 1] == "," else 1)

    def _sentence(self, first: int, last: int, before: int, after: int) -> str:
        """Words around, of the same sentence."""
        ahead = self.words[last + 1 : last + after]
        ahead = ahead[: ahead.index(".")] if "." in ahead else ahead
        return " ".join([*self._before(first, before), *self.words[first : last + 1], *ahead])

    def _begin(self, first: int) -> int:
        """Where the name begins that stands first: *the rest of the butter*."""
        if not self.words[first].startswith("@"):
            return first
        at = first
        while (
            at > max(0, first - 6) and self.words[at - 1] not in _BEFORE_A_NAME_NOT and self.words[at - 1][0].isalnum()
        ):
            at -= 1
        return at

    def _effect(self, effect: str, first: int, last: int, words: str) -> str | None:
        """What the phrase says by what stands around it; None where that makes it nothing."""
        if effect == LEFT_OUT and self._is_no_gap(first, last, words):
            return None
        if effect == LEFT_OUT and "missed" in words and _WENT_IN.match(" ".join(self.words[last + 1 : last + 7])):
            return UNFILMED
        if effect == LATER and _SOME.search(f" {words} "):
            return None
        around = self._sentence(first, last, 8, 12)
        if effect == IF_OURS:
            generic = _WORKS.search(" ".join(self._before(first, 4)))
            others = set(self._before(first, 6)) & (OTHERS - {"he", "she", "they", "some", "most", "many"})
            return INSTEAD if _OURS.search(around) and not generic and not others else None
        if effect in (OUT_OF, ABSENT):
            placed = (_SO if effect == OUT_OF else _IN_ITS_PLACE).search(around) and not DONE_WITHOUT.search(around)
            return LESS if " enough " in f" {words} " or _PART_WAY.search(around) else INSTEAD if placed else LEFT_OUT
        return effect

    def _is_no_gap(self, first: int, last: int, words: str) -> bool:
        """*Not all of it went in*, *the shot of it is missing*, *missing their skins*."""
        ends = " ".join([words.rsplit(" ", 1)[-1], *self.words[last + 1 : last + 10]])
        footage = _FOOTAGE.search(" ".join(self._before(first, 5)))
        return bool(_ALL.search(f" {words} ") or footage or _IS_NO_GAP.match(ends))

    def scenes(self) -> Iterator[SpokenEffect]:
        """What is told of the camera alone; two phrases of it in one breath are one."""
        open_: tuple[int, int] | None = None
        for first, last in [*sorted(self.scenes_found), (10**9, 10**9)]:
            between = self.words[open_[1] : first] if open_ is not None and first <= open_[1] + 12 else ["."]
            if open_ is not None and "." not in between and (len(between) <= 4 or "so" in between):
                open_ = (open_[0], max(open_[1], last))
                continue
            if open_ is not None and not NOTHING_GOES_IN.search(" ".join(self.words[open_[0] : open_[1] + 10])):
                inside = tuple(int(w[1:]) for w in self.words[open_[0] : open_[1] + 1] if w.startswith("@"))
                yield SpokenEffect(UNFILMED, *open_, inside or self._beside(*open_))
            open_ = (first, last)

    def is_in_after_all(self, one: SpokenEffect) -> bool:
        """*It got lost in the edit, but it's in there.*"""
        return _IS_IN_AFTER_ALL.match(" ".join(self.words[one.last + 1 : one.last + 16])) is not None

    def is_named_gap(self, phrase: SpokenEffect, scene: SpokenEffect) -> bool:
        """Whether a phrase of the same breath says of what there is no picture: *the battery died, so there's no shot of the walnuts*."""
        between = self.words[min(phrase.last, scene.last) : max(phrase.first, scene.first)]
        of = phrase.effect == UNFILMED and phrase.names and not set(phrase.names) & set(scene.names)
        return bool(of) and len(between) <= 12 and "." not in between and "so" in between

    def _is_no_event(self, effect: str, first: int, last: int, *, named_first: bool) -> bool:
        """Whether it is a story, a question, denied, thought of only, or what others do."""
        before = self._before(first, 5)
        if before[-1:] and before[-1] in _DENIED:
            return effect not in (GOES_IN,)
        lo = max(0, first - 9)
        around = self.words[lo : last + 9]
        at = first - lo
        start = max((n for n in range(at) if around[n] == "."), default=-1) + 1
        end = next((n for n in range(last - lo + 1, len(around)) if around[n] == "."), len(around))
        if effect not in (GOES_IN, GOES_IN_NOW) and (
            tells_a_story(" ".join(around[start:end]))
            or HABIT.search(" ".join(around[max(start, at - 5) : min(end, last - lo + 5)]))
        ):
            return True
        if effect == SCENE and _PREPARED.search(" ".join(self._before(first, 8))):
            return True
        if effect in (GOES_IN, UNFILMED, SCENE):
            return effect != GOES_IN and bool(set(before[-3:]) & {"if", "unless", "would", "once"})
        if self.words[first] in ("i", "we"):
            would = _WOULD & set(self.words[first + 1 : first + 3]) and "have" not in self.words[first + 1 : first + 5]
            thought = {"you", "they", "people"} & set(before) and {
                "think",
                "thinking",
                "thought",
                "say",
                "wondering",
            } & set(before[-3:])
            return bool(would or thought or set(before[-3:]) & _ASKS)
        ordered = effect in (MORE, LESS) and bool(set(around[start : start + 1]) & _ORDERS)
        return effect != GOES_IN_NOW and (
            ordered
            or self._is_denied(effect, first)
            or bool(set(before[-4:]) & (_IF | {"believe"}))
            or (not named_first and bool(set(before[-4:]) & OTHERS))
        )

    def _is_denied(self, effect: str, first: int) -> bool:
        """*Don't be too free with it*, *you don't have to wait*."""
        before = self._before(first, 5)
        if not set(before[-4:]) & _DENIED:
            return False
        return (effect in (MORE, LESS) and "do" in before) or (
            effect == LATER and self.words[first] not in _DENIED | {"no"}
        )

    def _before(self, first: int, count: int) -> list[str]:
        """The words before, in the same sentence."""
        found = self.words[max(0, first - count) : first]
        stop = max((n for n, w in enumerate(found) if w == "."), default=-1)
        return found[stop + 1 :]

    def _meant(self, first: int, last: int, phrase: str, *, now: bool = False) -> tuple[int, ...]:
        """What *it* or *them* goes back to: the nearest name before, of its number where there is one. What goes in ``now`` is not
        what it should have gone in *with*."""
        many = any(f" {w} " in f" {phrase} " for w in _PLURAL)
        back = [
            n
            for n in range(first - 1, max(-1, first - (2 if now else 1) * REACH - 1), -1)
            if self.words[n].startswith("@")
        ]
        missed = [n for n in back if not is_company(self.words, n)] if now else []
        if back and is_company(self.words, back[0]) and missed:
            back = missed
        elif back and now:
            back = [n for n in back if n >= first - REACH]
        if back:
            of_number = [n for n in back if (int(self.words[n][1:]) in self.plural) is many]
            at = (of_number or back)[0]
            own = (int(self.words[at][1:]),)
            return self._together(at, at, own) if many else own
        ahead = next(
            (n for n in range(last + 1, min(len(self.words), last + _AHEAD)) if self.words[n].startswith("@")), None
        )
        return () if ahead is None else (int(self.words[ahead][1:]),)

    def _beside(self, first: int, last: int) -> tuple[int, ...]:
        """Which name the camera missed: the nearest, counted in words, where a sentence or another subject stands between more."""
        if (of := _SHOT_OF.search(" ".join(self._before(first, 9)))) is not None:
            return (int(of.group(1)),)
        best: tuple[float, int] | None = None
        linked = bool(_AS & set(self.words[last + 1 : last + 4]))
        for n in range(max(0, first - REACH - 4), min(len(self.words), last + REACH + 4)):
            if not self.words[n].startswith("@"):
                continue
            between = self.words[n + 1 : first] if n < first else self.words[last + 1 : n]
            cost = len(between) + 5.0 * between.count(".")
            if n > last and linked:
                cost -= 8.0
            if n < first and set(between[-4:]) & {"while", "when", "because", "which", "as", "since", "whilst"}:
                cost -= 8.0
            if best is None or cost < best[0]:
                best = (cost, n)
        if best is None or best[0] > REACH:
            return ()
        return self._together(best[1], best[1], (int(self.words[best[1]][1:]),))

    def _together(self, first: int, last: int, names: tuple[int, ...]) -> tuple[int, ...]:
        """With what stands beside it by *and*, *or*, *nor*: *the capers and the parsley*."""
        found = list(names)
        after = AND_ANOTHER.match(marked(self.words[last + 1 : last + 9]))
        if self.words[last].startswith("@") and after:
            found.append(int(after.group(1)))
        start = next((n for n in range(first, last + 1) if self.words[n].startswith("@")), None)
        if start is not None and all(w not in NO_NAME for w in self.words[first:start]):
            before = sought(
                r"@(\d+) (?:, )?(?:and|or|nor) (?:no |the |my |our |some )?$",
                " ".join(self.words[max(0, first - 6) : first]) + " ",
            )
            if before and not _PUTS & set(self.words[max(0, first - 10) : first]):
                found.append(int(before.group(1)))
        return tuple(dict.fromkeys(found))
