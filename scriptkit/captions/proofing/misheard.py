"""Kitchen words that speech recognition is likely to have misheard: held against the recipe's own words and a glossary.

Two ways. A table of known confusions, each in the words around it that give it away (*sprigs of time*). And by sound: a few words
that together sound like one term (*sell a rack*, celeriac), or like a term of which they have a part right (*bay leave*).
"""

from __future__ import annotations

import bisect
import functools
import itertools
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.proofing.confusions import Confusion, folded, rows_for
from scriptkit.captions.proofing.due_terms import DueTerms, due_terms, folded_words, forms_of, place_words
from scriptkit.captions.proofing.heard_in_parts import heard_in_parts
from scriptkit.captions.proofing.heard_in_place import LikelyMeant, likely_meant
from scriptkit.captions.proofing.left_as_heard import is_named_again, is_on_purpose, swallows
from scriptkit.captions.proofing.right_as_heard import has_a_figure, is_everyday, is_told, is_verb, is_where
from scriptkit.captions.proofing.sounds_like import LEAST_ALIKE, LEAST_BONES, Known, Ratio, alike, sounds_like
from scriptkit.data_files import text_of
from scriptkit.english.phonetics import joined, skeleton, sound
from scriptkit.english.small_words import small_words
from scriptkit.pantry.table import index
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.recipe.dish import Dish
from scriptkit.timed_text.markup import without_markup
from scriptkit.timed_text.reading import CaptionFile, ReadCue

_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_MOST_WORDS = 4
_ALIKE_ALONE = 80.0
"""Of 100, how alike a single word must be, which must begin alike too (rapidfuzz's ratio; our own figure)."""
_LEAST_OWN_BONES = 3
"""Consonants that one of the recipe's own words must have to be told by its sound."""
TOGETHER = "the recipe has it, and together the words sound like it"
_SILENCE_MS = 1_500
"""After which nobody goes on with a sentence (common practice, no source)."""
_DETERMINERS = place_words("determiners") - {"a", "an"}
_AUXILIARIES = small_words("auxiliaries")
_LITTLE, _ORDINARY, _MODALS = small_words("little"), small_words("ordinary"), {"will", "would", "could", "must"}


@dataclass(frozen=True, slots=True)
class MisheardWord:
    """A place in a cue's words: from which to before which, and the term that was likely meant."""

    first: int
    last: int
    meant: str


def words_of_dishes(dishes: Iterable[Dish]) -> frozenset[str]:
    """The recipe's own terms: names, ingredients and their foods, vessels and tools."""
    texts: list[str] = []
    for dish in dishes:
        texts += [dish.name, dish.short]
        for ingredient in dish.ingredients:
            texts += [ingredient.name, ingredient.food.name.partition(",")[0]]  # what follows is its state
        for step in dish.steps:
            texts += step.reading.gear
    terms: set[str] = set()
    for text in texts:
        words = [w.casefold() for w in _WORD.findall(text)]
        terms.update(w for w in words if w not in _LITTLE and len(w) > 2)
        if 1 < len(words) <= 3:
            terms.add(" ".join(words))
    return frozenset(terms)


TECHNIQUES = (
    "julienne", "maillard", "maillard reaction", "brunoise", "chiffonade", "mirepoix", "bain-marie", "deglaze", "emulsion", "ganache", "bechamel",
    "hollandaise", "beurre noisette", "sous vide", "en papillote", "cartouche", "vinaigrette", "velouté", "concassé", "bouquet garni",
    "crème anglaise", "mise en place", "remoulade", "gremolata", "mandoline", "ramekin",
)  # fmt: skip
"""Kitchen French and chemistry that recognisers part into words of their own."""


def due_in(dishes: Sequence[Dish]) -> DueTerms:
    """What may be meant in a recipe where something is due."""
    return due_terms(dishes, known(words_of_dishes(dishes)).words | _pantry_words(), TECHNIQUES)


@functools.cache
def _pantry_words() -> frozenset[str]:
    """What the pantry calls its foods by one word, and by several."""
    return frozenset(form for name in index() if name.isalpha() for form in (name, f"{name}s"))


@functools.cache
def glossary() -> frozenset[str]:
    """The terms of glossary.txt."""
    text = text_of("scriptkit.captions.proofing", "glossary.txt")
    lines = ",".join(line for line in text.splitlines() if not line.startswith("#"))
    return frozenset(term.strip() for term in lines.split(",") if term.strip())


@functools.lru_cache(maxsize=8)
def known(own: frozenset[str]) -> Known:
    """The recipe's own words and the glossary, by sound."""
    by_bones: dict[str, list[str]] = defaultdict(list)
    by_part: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for term in sorted(own | glossary()):
        words = tuple(term.replace("-", " ").split())
        bones = joined(words)
        if len(bones) >= (_LEAST_OWN_BONES if term in own else LEAST_BONES):
            by_bones[bones].append(term)
        if len(words) > 1:
            for word in words:
                by_part[word].append(words)
    plain = {w for term in own | glossary() for w in term.replace("-", " ").split()}
    return Known(
        {bones: tuple(terms) for bones, terms in by_bones.items()},
        {part: tuple(terms) for part, terms in by_part.items()},
        frozenset(form for word in plain for form in forms_of(word)),
        own,
        frozenset(bones[:end] for bones in by_bones for end in range(len(bones) + 1)),
    )


@dataclass(frozen=True, slots=True)
class MisheardPlace:
    """Words of a file that were likely misheard: from which to before which character of which cue's words (its lines joined by a
    space), the cue that they end in where that is a later one, what was likely meant, and why."""

    cue: int
    last_cue: int
    start: int
    end: int
    heard: str
    meant: str
    why: str
    exact: bool
    """Whether ``meant`` can be written in place of what was heard as it is."""
    other: str = ""
    """What else may be meant."""


def misheard(file: CaptionFile, own: frozenset[str], due: DueTerms | None = None) -> list[Problem]:
    """Each likely mishearing at its line; ``due``: also what must stand where a food, a tool or something done is due."""
    terms = known(own)
    return [_told(file, place, terms) for place in misheard_places(file, own, due)]


def misheard_places(file: CaptionFile, own: frozenset[str], due: DueTerms | None = None) -> list[MisheardPlace]:
    """The same as places, in the order of the cues."""
    terms = known(own)
    talk = _talk_of(file)
    found = list(_by_place(talk, due)) if due is not None else []
    taken: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for one in found:
        taken[one.cue].append((one.start, one.end))
        if one.last_cue != one.cue:
            taken[one.last_cue].append((0, one.end))
    rows = rows_for("\n".join(talk.texts))
    for number, text in enumerate(talk.texts):
        here = _in_cue(number, text, (terms, rows), taken.get(number, ()))
        found += [told for one in here if (told := _in_talk(one, talk, due)) is not None]
    return sorted(found, key=lambda one: (one.cue, one.start))


@dataclass(frozen=True, slots=True)
class _Talk:
    """The words of all cues, folded, whether a mark or a silence stands after each, and where each stands: in which cue, from where to
    where; ``texts``: of the cues."""

    texts: Sequence[str]
    words: Sequence[str]
    ends: Sequence[bool]
    spans: Sequence[tuple[int, int, int]]


def _talk_of(file: CaptionFile) -> _Talk:
    """Over the ends of cues: talk goes on where no mark stands and nobody is silent."""
    texts = [_words_of_cue(cue) for cue in file.cues]
    words: list[str] = []
    ends: list[bool] = []
    spans: list[tuple[int, int, int]] = []
    for number, (cue, text) in enumerate(zip(file.cues, texts, strict=True)):
        here, marks, places = folded_words(text)
        after = file.cues[number + 1].start_ms if number + 1 < len(texts) else cue.end_ms + _SILENCE_MS
        if marks:
            marks[-1] = after - cue.end_ms >= _SILENCE_MS or bool(text[places[-1][1] :].strip())
        words += here
        ends += marks
        spans += [(number, start, end) for start, end in places]
    return _Talk(texts, words, ends, spans)


def _in_talk(one: MisheardPlace, talk: _Talk, due: DueTerms | None) -> MisheardPlace | None:
    """The place as it stands in the talk; None where its words say what they mean."""
    first = bisect.bisect_left(talk.spans, (one.cue, one.start, 0))
    last = bisect.bisect_left(talk.spans, (one.cue, one.end, 0))
    meant = tuple(folded_words(one.meant)[0])
    if not one.exact:
        return one
    if swallows(tuple(talk.words[first:last]), meant):
        return None
    if due is not None and is_on_purpose(talk.words, first, last, meant, due):
        return None
    return replace(one, exact=False) if is_named_again(talk.words, talk.ends, first, last, meant) else one


def _words_of_cue(cue: ReadCue) -> str:
    return " ".join(without_markup(cue.text).splitlines())


def _told(file: CaptionFile, place: MisheardPlace, terms: Known) -> Problem:
    whose = "which this recipe has" if _is_own(place.meant, terms) else "a cooking term"
    cue = file.cues[place.cue]
    why = f": {place.why}" if place.why else ""
    below = 1 + _line_of(without_markup(cue.text).splitlines(), place.start) if file.source is None else 0
    either = f"“{place.meant}” or “{place.other}”" if place.other else f"“{place.meant}”"
    return warning(
        Place(file.file, cue.line + below),
        "misheard",
        f"“{place.heard}” may be a mishearing of {either}, {whose}",
        f"write {either} if that is what is said{why}",
    )


def _by_place(talk: _Talk, due: DueTerms) -> Iterator[MisheardPlace]:
    """By what is due."""
    texts, spans = talk.texts, talk.spans
    found = list(likely_meant(talk.words, talk.ends, due))
    taken = {n for one in found for n in range(one.first, one.last)}
    for first, last, name in heard_in_parts(talk.words, talk.ends, due):
        again = is_named_again(talk.words, talk.ends, first, last, (name,))
        if taken.isdisjoint(range(first, last)) and not is_on_purpose(talk.words, first, last, (name,), due):
            found.append(LikelyMeant(first, last, (name,), TOGETHER, again=again))
    for one in found:
        first_cue, start, _ = spans[one.first]
        last_cue, _, end = spans[one.last - 1]
        heard = " ".join(texts[n][a:b] for n, a, b in spans[one.first : one.last])
        exact, meant, other = not (one.other or one.again), " ".join(one.meant), " ".join(one.other)
        yield MisheardPlace(first_cue, last_cue, start, end, heard, meant, one.why, exact, other)


def _in_cue(
    number: int, text: str, by: tuple[Known, Sequence[Confusion]], taken: Sequence[tuple[int, int]]
) -> Iterator[MisheardPlace]:
    """By rows of the table, and by sound alone."""
    terms, rows = by
    spans = [(found.start(), found.end()) for found in _WORD.finditer(text)]
    told = {n for n, (a, b) in enumerate(spans) if any(a < end and b > start for start, end in taken)}
    heard = [(one, False) for one in _by_table(text, spans, terms, rows)]
    for first, last in _phrases(text, spans):
        words = [text[a:b] for a, b in spans[first:last]]
        heard += [(MisheardWord(first + h.first, first + h.last, h.meant), True) for h in _by_sound(words, terms)]
    for one, exact in heard:
        reach = set(range(one.first, one.last))
        if reach & told:
            continue
        told |= reach
        start, end = spans[one.first][0], spans[one.last - 1][1]
        yield MisheardPlace(number, number, start, end, text[start:end], one.meant, "", exact)


def mended(file: CaptionFile, places: Sequence[MisheardPlace]) -> tuple[CaptionFile, list[Problem]]:
    """The file with what was likely meant in place of what was heard at each of the places, which are in order, and a note for each; left
    as it is where the words stand in two cues, or with markup between them."""
    cues = list(file.cues)
    notes = []
    for place in reversed(places):  # what stands before a place is then still as it was read
        cue = cues[place.cue]
        words = r"\s+".join(map(re.escape, place.heard.split()))
        pattern = re.compile(rf"(?<!\w){words}(?!\w)")
        found = list(pattern.finditer(cue.text))
        if not place.exact or place.last_cue != place.cue or not found:
            continue
        before = len(pattern.findall(_words_of_cue(file.cues[place.cue])[: place.start]))
        at = found[min(before, len(found) - 1)]
        meant = place.meant[:1].upper() + place.meant[1:] if place.heard[:1].isupper() else place.meant
        cues[place.cue] = replace(cue, text=cue.text[: at.start()] + meant + cue.text[at.end() :])
        why = place.why or TOGETHER
        notes.append(note(Place(file.file, cue.line), "misheard-mended", f"“{place.heard}” → “{meant}”: {why}"))
    return replace(file, cues=tuple(cues)), notes[::-1]


def _phrases(text: str, spans: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Stretches of words with nothing but a space between them: said in one breath."""
    first = 0
    for n in range(1, len(spans) + 1):
        if n == len(spans) or text[spans[n - 1][1] : spans[n][0]] != " ":
            yield first, n
            first = n


def _is_own(meant: str, terms: Known) -> bool:
    """Whether the recipe has one of its words, be it one mussel or several."""
    return any(not terms.own.isdisjoint(forms_of(word)) for word in meant.split())


def _line_of(lines: Sequence[str], position: int) -> int:
    """Which line, from 0, holds the character of the lines joined by a space."""
    ends = itertools.accumulate(len(line) + 1 for line in lines)
    return next(n for n, end in enumerate(ends) if position < end)


def _by_table(
    text: str, spans: Sequence[tuple[int, int]], terms: Known, rows: Sequence[Confusion]
) -> Iterator[MisheardWord]:
    plain = folded(text)
    if len(plain) != len(text):
        return
    for row in rows:
        if not row.may_fit(plain):
            continue
        if row.own and not _is_own(row.meant, terms):
            continue
        for found in row.heard.finditer(plain):
            inside = [n for n, (a, b) in enumerate(spans) if a < found.end() and b > found.start()]
            if inside:
                yield MisheardWord(inside[0], inside[-1] + 1, row.meant)


def _by_sound(words: Sequence[str], terms: Known) -> Iterator[MisheardWord]:
    from rapidfuzz import fuzz

    plain = [w.casefold().replace("’", "'") for w in words]
    bones = [skeleton(word) for word in plain]
    inner = [one.removeprefix("a") for one in bones]
    for first, bone in enumerate(bones):
        known, said = [], bone
        reach = min(_MOST_WORDS, len(plain) - first) if bone in terms.beginnings else 0
        for count in range(2, reach + 1):
            more = inner[first + count - 1]
            said += more[1:] if more[:1] == said[-1:] else more  # as `joined` does
            if said not in terms.beginnings:
                break
            if said in terms.by_bones:
                known.append((count, said))
        for count, respelt in reversed(known):
            window = tuple(plain[first : first + count])
            if count == 3 and (
                (window[1] in _LITTLE and is_told(window[0], window[2], terms.words))
                or (window[1] in _DETERMINERS and (is_verb(window[0]) or is_everyday(window[0])))
            ):
                continue  # *set a timer*, *put the radio on*
            if (
                has_a_figure([*window, *plain[first + count :][:1]], count)
                or is_where(window)
                or window[0] in _AUXILIARIES
            ):
                continue  # *twenty years*, *should hear*
            for term in terms.by_bones[respelt]:
                if sounds_like(window, term, terms, fuzz.ratio):
                    yield MisheardWord(first, first + count, term)
                    break
        for words_meant in terms.by_part.get(plain[first], ()):
            if (found := _half_right(plain, first, words_meant, terms, fuzz.ratio)) is not None:
                yield found
                break
        if bone in terms.by_bones:
            yield from _one_word(plain, first, terms, fuzz.ratio)


def _half_right(
    plain: Sequence[str], at: int, meant: tuple[str, ...], terms: Known, ratio: Ratio
) -> MisheardWord | None:
    """A term of several words of which this one is right and one beside it is off by a little: *bay leave*."""
    start = at - meant.index(plain[at])
    if start < 0 or start + len(meant) > len(plain):
        return None
    wrong = -1
    for n, should in enumerate(meant):
        if plain[start + n] != should:
            if wrong >= 0:
                return None
            wrong = n
    if wrong < 0:
        return None
    word, should = plain[start + wrong], meant[wrong]
    if word in terms.words or word in _LITTLE or len(should) < 4:
        return None
    if skeleton(word) != skeleton(should) or alike(word, should, ratio) < LEAST_ALIKE:
        return None
    return MisheardWord(start, start + len(meant), " ".join(meant))


def _one_word(plain: Sequence[str], at: int, terms: Known, ratio: Ratio) -> Iterator[MisheardWord]:
    """A word that is none of the kitchen's and sounds like one of the recipe's own."""
    word = plain[at]
    if (
        word in terms.words
        or word in _LITTLE
        or word in _ORDINARY
        or is_verb(word)
        or not _MODALS.isdisjoint(plain[max(0, at - 1) : at])
    ):
        return
    for term in terms.by_bones.get(skeleton(word), ()):
        if " " in term or term not in terms.own or word in forms_of(term) or len(skeleton(term)) < LEAST_BONES:
            continue
        if sound(word)[:1] == sound(term)[:1] and alike(word, term, ratio) >= _ALIKE_ALONE:
            yield MisheardWord(at, at + 1, term)
            return
