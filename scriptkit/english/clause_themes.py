"""Whom a clause is about: names in it, beside each other, and what its *it* and *them* go back to."""

from __future__ import annotations

import bisect
import re
from collections.abc import Collection, Iterator, Sequence

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import lexicon, set_
from scriptkit.english.clauses import Clause, Verb, clauses_of
from scriptkit.english.effect_kinds import HABIT, tells_a_story
from scriptkit.pattern_needs import may_fit
from scriptkit.patterns import SoughtPattern

Told = tuple[str, list[int]]
"""An effect, and the places of the names that it is told of."""
_BACK, _AHEAD = 34, 12
"""Words before and after a clause in which the name that it goes back to may stand."""
_ONE_BREATH = 12
"""Words within which a pronoun means what was just named, though it is of another number (common sense, no source)."""
_POINTERS = frozenset("it them they those these that this one any either both none everything".split())  # noqa: SIM905
MANY = frozenset("them they those these both either".split())  # noqa: SIM905
"""Pronouns of more than one."""
_OBJECTS = frozenset("it them any".split())  # noqa: SIM905
_BEFORE_A_NOUN = frozenset("those these that this one any either both".split())  # noqa: SIM905
"""Pronouns that also stand before a noun."""
ALMOST = SoughtPattern(
    r"\b(?:nearly|almost|about to|tempted|could have|would have|might have|thought (?:that )?(?:i|we) (?:had|have|would))\b"
)
"""It did not happen."""
_DOES_ITSELF = frozenset({"go", "goes", "come", "comes", "going", "coming"})
_PARTICLES = set_(
    "in on out off up over into onto back aside down too at all either though sorry then there here and but so straight right past by"
)
_NO_NOUNS = set_(
    "with for from to until till when while as if because before after later again yet until today next it i we you"
)
"""After those, what is no noun."""


_HAD_SO = set_(
    "no a an enough half twenty thirty forty fifty sixty seventy eighty ninety two three four five six eight ten"
)


class ClauseThemes:
    """The clauses of a talk, with whom each is about. ``plural``: the names in the plural."""

    def __init__(self, words: Sequence[str], plural: Collection[int]) -> None:
        self.words = words
        self.plural = plural
        self.clauses = clauses_of(words)
        self._firsts = [clause.first for clause in self.clauses]
        self._to_stop: dict[tuple[int, int], str] = {}
        self._whole = f" {' '.join(words)} "
        self._in_talk: dict[tuple[SoughtPattern, ...], tuple[SoughtPattern, ...]] = {}
        self.of_sentence: dict[int, list[int]] = {}
        for n, clause in enumerate(self.clauses):
            self.of_sentence.setdefault(clause.sentence, []).append(n)

    def sentence(self, n: int) -> str:
        """The words of its sentence, of three clauses before and after it at most."""
        numbers = self.of_sentence[self.clauses[n].sentence]  # they follow one another
        at = n - numbers[0]
        return " ".join(self.clauses[k].text for k in numbers[max(0, at - 3) : at + 4])

    def tells_a_story(self, n: int) -> bool:
        """Whether it is of another day, or of what is always so."""
        return tells_a_story(self.sentence(n)) or HABIT.search(self.clauses[n].text) is not None

    def in_talk(self, patterns: tuple[SoughtPattern, ...]) -> tuple[SoughtPattern, ...]:
        """Those of them whose letters stand anywhere in the talk: of most none does."""
        if (kept := self._in_talk.get(patterns)) is None:
            kept = self._in_talk[patterns] = tuple(one for one in patterns if may_fit(one.needs, self._whole))
        return kept

    def near(self, n: int, before: int = 0, after: int = 0) -> str:
        """The clause's words with those around it."""
        one = self.clauses[n]
        return " ".join(self.words[max(0, one.first - before) : one.last + 1 + after])

    def to_stop(self, n: int, after: int) -> str:
        """The clause's words with those after it, to the end of the sentence at most."""
        if (n, after) not in self._to_stop:
            one = self.clauses[n]
            ahead = list(self.words[one.last + 1 : one.last + 1 + after])
            words = [*one.words, *(ahead[: ahead.index(".")] if "." in ahead else ahead)]
            self._to_stop[n, after] = " ".join(words)
        return self._to_stop[n, after]

    def happened(self, clause: Clause) -> bool:
        """Whether the clause tells of what was done here, or is so."""
        return (
            clause.when in (c.PAST, c.PRESENT, c.BARE)
            and clause.subject not in (c.OTHER, c.YOU)
            and not clause.supposes
            and not (clause.asks and clause.subject != c.NO_ONE)
            and not ALMOST.search(clause.text)
        )  # fmt: skip

    def done(self, clause: Clause) -> bool:
        """Whether it tells of something that was done, or was left undone, by us."""
        if not self.happened(clause):
            return False
        if clause.when == c.PAST:
            return (
                clause.subject != c.NO_ONE
                or clause.passive
                or not clause.lead
                or clause.lead in ("and", "but", "so", "then")
            )
        return clause.when == c.PRESENT and clause.subject == c.US and clause.has("am", "are") and any(
            s.form == "ing" for v in clause.verbs for s in v.senses
        )  # fmt: skip

    def group(self, at: int, clause: Clause) -> list[int]:
        """The name, with what stands beside it by *and* or a comma."""
        found = [at]
        for other in clause.names():
            for a, b in ((found[-1], other), (other, found[0])):
                between = self.words[a + 1 : b]
                if (
                    a < b
                    and between
                    and len(between) <= 4
                    and set(between) & {"and", "or", "nor", ","}
                    and not set(between) & {"with", "in", "on"}
                    and all(
                        w in ("and", "or", "nor", ",", "the", "my", "no", "some", "any", "all", "of", "a", "rest")
                        for w in between
                    )
                ):
                    found = sorted({*found, other})
        return found

    def after(self, clause: Clause, at: int, reach: int = 9) -> list[int]:
        """The first names after a verb."""
        names = [k for k in clause.names(at + 1) if k - at <= reach]
        found = self.group(names[0], clause) if names else []
        if len(found) > 1 and self.words[found[-1] + 1 : found[-1] + 2] and self.words[found[-1] + 1] in _DOES_ITSELF:
            return found[:-1]  # I forgot the cucumber, and the tomatoes go in now
        return found

    def before(self, clause: Clause, at: int) -> list[int]:
        """The last names before a verb."""
        names = [
            k
            for k in clause.names(None, at)
            if k == clause.first or self.words[k - 1] not in ("with", "into", "onto", "to")
        ]
        return self.group(names[-1], clause) if names else []

    def object(self, n: int, verb: Verb) -> list[int]:
        """What is done to: after the verb, or in front of the clause (*the parsley I'll keep*), or what *it* goes back to."""
        clause = self.clauses[n]
        if clause.passive:
            return self.theme(n, verb)
        near = [*self.words[verb.at + 1 : min(verb.at + 3, clause.last + 1)], ""]
        if near[0] in _OBJECTS and near[1] in _PARTICLES:  # put any in
            return self.back(n, near[:1])
        if found := self.after(clause, verb.at) or self.before(clause, verb.at):
            return found
        tail = self.words[verb.at + 1 : min(verb.at + 6, clause.last + 1)]
        first = next((k for k, w in enumerate(tail) if w not in _PARTICLES), len(tail))
        if self._of_a_noun(tail[first : first + 3]):
            return []
        pointers = [w for w in tail[first : first + 1] if w in _POINTERS]
        if pointers or all(w in _PARTICLES or not w[0].isalpha() for w in tail):
            return self.back(n, pointers)
        return []

    def _of_a_noun(self, words: Sequence[str]) -> bool:
        """Whether they begin with a pointer that belongs to a noun without a name: *any gravy*, *one of the most …*."""
        if len(words) < 2 or words[0] not in _BEFORE_A_NOUN:
            return False
        if words[1] == "of":
            return len(words) > 2 and words[2] not in _POINTERS
        return words[1].isalpha() and words[1] not in _PARTICLES | c.AUXILIARIES | c.ADVERBS | c.NEGATIONS | _NO_NOUNS

    def theme(self, n: int, verb: Verb) -> list[int]:
        """What goes, stays or is put: before the verb, else after it."""
        clause = self.clauses[n]
        if found := self.before(clause, verb.at):
            return found
        if clause.subject in (c.POINTER, c.NO_ONE):
            return self.back(n, [self.words[clause.subject_at]] if clause.subject_at is not None else [])
        if clause.subject == c.NAME and clause.subject_at is not None and self.words[clause.subject_at][0] == "@":
            return self.group(clause.subject_at, self.home(clause.subject_at))
        return self.after(clause, verb.at)

    def home(self, at: int) -> Clause:
        """The clause that a word stands in."""
        return self.clauses[bisect.bisect_right(self._firsts, at) - 1]

    def back(self, n: int, pointers: Sequence[str]) -> list[int]:
        """What a pronoun goes back to, of its number where there is one; ahead where nothing was named before."""
        clause = self.clauses[n]
        many = bool(set(pointers) & MANY)
        back = [k for k in range(clause.first - 1, max(-1, clause.first - _BACK - 1), -1) if self.words[k][0] == "@"]
        back = [k for k in back if self.words[k : clause.first].count(".") <= 3]
        if back:
            of_number = [k for k in back if (int(self.words[k][1:]) in self.plural) is many] if pointers else back
            own = [k for k in back if self.home(k).sentence == clause.sentence and clause.first - k <= _ONE_BREATH]
            if of_number and own and own[0] - of_number[0] > _ONE_BREATH:
                of_number = own  # talk is loose: the peas only half fitted, so it is fewer
            if many and not of_number:
                return []
            at = (of_number or back)[0]
            return self.group(at, self.home(at)) if many else [at]
        ahead = [
            k for k in range(clause.last + 1, min(len(self.words), clause.last + _AHEAD)) if self.words[k][0] == "@"
        ]
        return ahead[:1]

    def ours(self, n: int, *whens: str) -> Clause | None:
        """The clause, where it tells of us or of a thing at such a time, and neither asks nor supposes."""
        clause = self.clauses[n]
        ours = clause.subject not in (c.OTHER, c.YOU) and not clause.supposes
        return clause if ours and not clause.asks and clause.when in whens else None

    def named(self, clause: Clause, text: str, end: int) -> list[int]:
        """The name at which a match in the clause's text ends, with those beside it."""
        return self.group(clause.first + text[:end].count(" "), clause)

    def verbs(self, clause: Clause, *kinds: str) -> Iterator[tuple[Verb, str]]:
        """Its verbs that are of one of the kinds, each with the first that it is of."""
        for verb in clause.verbs:
            for kind in kinds:
                if verb.sense(kind) is not None:
                    yield verb, kind
                    break

    def beside(self, n: int) -> list[int]:
        """Which name the camera missed: in the same sentence, nearest first; else in the one before, else in the next."""
        clause = self.clauses[n]
        own = [k for m in self.of_sentence[clause.sentence] if abs(m - n) <= 3 for k in self.clauses[m].names()]
        if own:
            joins = ("while", "when", "as", "because", "before", "since", "whilst", "so", "but", "although", "though")
            joined = n + 1 < len(self.clauses) and self.clauses[n + 1].lead in ("as", "when", "while", "just")
            lag = 0 if clause.lead in joins and not joined else 12 if joined else 3
            nearest = min(own, key=lambda k: clause.first - k + lag if k < clause.first else max(0, k - clause.last))
            return [nearest]
        earlier = [k for k in range(max(0, clause.first - 22), clause.first) if self.words[k][0] == "@"]
        if earlier:
            return [earlier[-1]]
        ahead = [k for k in range(clause.last + 1, min(len(self.words), clause.last + 16)) if self.words[k][0] == "@"]
        return ahead[:1]


def with_had(words: list[str]) -> list[str]:
    """The words with *had* for what *'d* was written out as, where a participle or no verb follows: *I'd left it out*, *I'd no tin*."""
    found = list(words)
    for n, word in enumerate(words):
        if word == "would":
            after = next((w for w in words[n + 1 : n + 4] if w not in c.ADVERBS and w not in ("never", "not")), "")
            if (
                after in _HAD_SO
                or any(s.form == "ed" and s.lemma != after for s in lexicon().get(after, ()))
                or re.fullmatch(r"\w{3,}ed", after)
            ):
                found[n] = "had"
    return found
