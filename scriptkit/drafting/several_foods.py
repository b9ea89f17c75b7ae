"""Several foods in one line: *1 tsp each cumin, coriander and paprika*, *2 eggs plus 1 yolk*, *butter and oil for frying*. None of them may vanish."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.drafting.food_matching import SURE, UNKNOWN, USUAL, FoodMatcher, folded, is_of
from scriptkit.drafting.line_amounts import LineAmount, read_amount
from scriptkit.drafting.line_text import LineText
from scriptkit.drafting.old_measures import TO_TASTE, old_measures, unit_of_word
from scriptkit.measure.numbers import NUMBER
from scriptkit.pantry.names import typed_words

OR = re.compile(r"\s+(?:and/)?or\s+|(?<=[a-z])\s*/\s*(?=[A-Za-z])", re.IGNORECASE)
_STANDS_ALONE = frozenset({"oil", "salt", "sugar", "cream", "water", "juice", "syrup"})
"""Words that may be a kind of something, and here are the thing itself: *neutral oil or melted butter*."""
_NOUNS_OF_ALL = frozenset({
    "juice", "zest", "rind", "stock", "broth", "powder", "granules", "flakes", "seeds", "vinegar", "jam", "extract", "mince", "sausage", "sausages", "purée", "puree", "paste",
})  # fmt: skip
"""Nouns that *or* has once for both: *turkey or chicken broth*."""
_MOST = 12
"""Foods of one line."""
_EGG_AND_PART = re.compile(
    r"^(?P<egg>.*\beggs?),?\s+(?:plus|and|\+|&)\s+(?P<count>\d+)\s+(?:(?:large|medium|extra|more)\s+)*(?:egg\s+)?(?P<part>yolks?|whites?)\b",
    re.IGNORECASE,
)
"""*1 egg, plus 1 yolk* is two ingredients."""
_AMOUNT = rf"(?:an?\s+)?(?:{NUMBER}\s?(?![\s%-]|x\b)|(?:good |small |large )?(?:knob|splash|pinch|handful|dash|drizzle|glug|squeeze|sprig|bunch|clove|blade|slice|rasher|stick|stalk|strip)s?\b)"
_NEXT_AMOUNT = re.compile(
    rf"\s*(?P<mark>[,;]\s*(?:and|plus|&|\+)?|\s(?:\+|plus|and|&))\s*(?={_AMOUNT}\s*[^\W\d_])", re.IGNORECASE
)
_SOME_JUICED = re.compile(
    r"^(?P<of>\d+)\s+(?P<what>[^\d,]+),\s*(?P<some>\d+)\s+(?P<how>[^\d,]+?)(?P<others>(?:\s*,\s*(?:and\s+)?|\s+(?:and|&)\s+)(?:\d+|the (?:others?|rest))\s+[^\d]+|)$",
    re.IGNORECASE,
)
_PRESSED = re.compile(r"\b(?:juiced|zested|juice|zest)\b", re.IGNORECASE)
_JOINS = re.compile(r"and|plus|&|\+", re.IGNORECASE)
_PLUS_SOME = re.compile(
    r"^(?P<one>.+?)(?:,?\s+(?:plus|and|&|\+)|,)\s+(?:(?:a (?:little|bit of)|extra|more|some)\s+)*(?P<other>[^\W\d_][^\d,+&]{1,40})$",
    re.IGNORECASE,
)
_PURPOSE = re.compile(
    r"^(?P<one>.{2,60}?\b(?:for|to)\s+(?:the\s+)?\w+(?:\s+the\s+\w+)?),?\s+(?:and|plus|&|\+)\s+(?P<other>[^\d,]{2,50}\b(?:for|to)\s+\w.*)$",
    re.IGNORECASE,
)
"""*Oil for frying and flour for dusting*."""
_EACH_FIRST = re.compile(r"^(?:of\s+)?each(?:\s+of)?\b\s*[:,-]?\s*(?:the\s+following\s*:?\s*)?", re.IGNORECASE)
_EACH_LAST = re.compile(r",?\s*(?:of\s+)?each$", re.IGNORECASE)
_BREAK = re.compile(r"\s*(?:,|;)\s*(?:(?:and|&|plus|\+)\s+)?|\s+(?:and|&|\+|plus)\s+", re.IGNORECASE)
_SALT_AND_PEPPER = re.compile(
    r"(?P<one>(?:[a-z]+ )?salt)\s*(?:,|and|&|\+|/)?\s*(?P<other>(?:(?:freshly )?(?:ground |cracked |black )*)pepper)",
    re.IGNORECASE,
)
_ONE_NAME = frozenset({"half and half"})
_FOR_ALL = frozenset({"ground", "dried", "fresh", "freshly", "chopped", "diced", "minced", "grated", "sliced", "shredded", "frozen", "finely", "roughly", "coarsely", "thinly"})  # fmt: skip
"""Words before the first of a list that are said of all of it."""
_CUT_TOGETHER = frozenset({"vegetable", "herb", "fruit", "mushroom"})
_OF_ALL = frozenset({"powder", "granules", "flakes", "seeds", "stock", "broth", "vinegar", "purée", "puree"})
"""Words behind the last that are: *garlic and onion powder*."""


@dataclass(frozen=True, slots=True)
class Foods:
    """``names`` of the foods that one amount is said of; empty where the line names one. ``shared``: they have the amount together."""

    names: tuple[str, ...] = ()
    shared: bool = False


def lines_of(said: LineText, line: str, matcher: FoodMatcher) -> list[str]:
    """A line for each food that has an amount or a purpose of its own: *knob of butter + splash of milk*; empty where the line is one."""
    if purposes := _PURPOSE.match(line):
        halves = [purposes["one"], purposes["other"]]
        if all(matcher.match(re.split(r"\s(?:for|to)\s", h)[0]).confidence >= USUAL for h in halves):
            return halves
    if eggs := _EGG_AND_PART.match(said.text):
        return [eggs["egg"], f"{eggs['count']} egg {eggs['part']}"]
    if both := _juiced_and_whole(said.text):
        return both
    if several := _with_amounts(said.text, matcher):
        return several
    if said.to_taste and (found := _PLUS_SOME.match(said.text)) and read_amount(found["one"]).amount is not None:
        first = matcher.match(_named_in(found["one"]))
        second = matcher.match(found["other"])
        if second.confidence >= SURE and first.food and second.food != first.food:
            return [found["one"], f"{found['other']}, {TO_TASTE}"]
    return []


def _juiced_and_whole(text: str) -> list[str]:
    """*2 lemons, 1 juiced and 1 sliced*, *3 limes, 1 juiced*: so many of each; empty where the line does not count them so."""
    found = _SOME_JUICED.match(text)
    if not found:
        return []
    of, some = int(found["of"]), int(found["some"])
    others = [int(n) for n in re.findall(r"\d+", found["others"])]
    if some + sum(others) > of or some == of or len(others) > 1:
        return []
    how = re.sub(r"^[\s,]*(?:(?:and|&)\s+)?(?:\d+|the (?:others?|rest))\s+", "", found["others"]).strip(" ,")
    left = f"{of - some} {found['what']}{f', {how}' if how else ''}"
    whole, how_some = f"{some} {found['what']}, ", found["how"].strip(" ,")
    return [whole + how_some, left] if _PRESSED.search(f"{how_some} {how}") else []


def _with_amounts(text: str, matcher: FoodMatcher) -> list[str]:
    """The parts of the line that each begin with an amount and name a food; empty of less than two."""
    parts = [text]
    outside = [f for f in _NEXT_AMOUNT.finditer(text) if text.count("(", 0, f.start()) == text.count(")", 0, f.start())]
    for found in reversed(outside[:_MOST]):
        head, tail = parts[0][: found.start()], parts[0][found.end() :]
        if _names_another(tail, matcher, joined=bool(_JOINS.search(found["mark"]))):
            parts[:1] = [head.rstrip(" ,"), tail]
    if len(parts) < 2 or any(len(p) <= 2 for p in parts):
        return []
    if not (first := _named_in(parts[0])):
        return []  # 1 cup plus 2 tablespoons of it
    if matcher.match(first).confidence < UNKNOWN:
        parts[0] = f"{parts[0]} {_named_in(parts[-1]).split()[-1]}"  # *1 red and 1 yellow pepper*
    if matcher.match(_named_in(parts[0])).confidence < UNKNOWN:
        return []
    return _cut_alike(parts, matcher)


def _cut_alike(parts: list[str], matcher: FoodMatcher) -> list[str]:
    """*2 onions and 1 leek, sliced*: how the last is cut is said of those of its kind before it, too."""
    head, comma, cut = parts[-1].partition(",")
    if not comma or not all(_is_cutting(piece) for piece in re.split(r",|\band\b", cut) if piece.strip()):
        return parts
    kinds = [matcher.pantry.known(matcher.match(_named_in(part)).food) for part in (*parts[:-1], head)]
    alike = {kind.category if kind else "" for kind in kinds} <= _CUT_TOGETHER
    return [part if "," in part or not alike else f"{part},{cut}" for part in parts]


def _named_in(part: str) -> str:
    """What the part names behind its amount; empty where that is only a unit."""
    name = read_amount(part).rest.partition(",")[0].strip()
    return "" if unit_of_word(name) is not None or name.casefold() in old_measures() else name


def _names_another(part: str, matcher: FoodMatcher, *, joined: bool) -> bool:
    """Whether the part is a food with its amount, and not what the food before weighs or how it is cut. Behind *and* an unknown one is, too."""
    name = _named_in(part)
    if not name or read_amount(part).amount is None:
        return False
    if matcher.match(name).confidence >= USUAL:
        return True
    words = folded(name)
    strange = [w for w in words if w.isalpha() and not is_of(w, "plain", "cut", "form", "variety", "state", "junk")]
    return joined and bool(strange) and not _NOT_ANOTHER.match(name)


_NOT_ANOTHER = re.compile(
    r"^(?:for|more|extra|to|of|in|or|each|inch|cm|mm|percent|additional|at|from|minutes?|hours?|the|lengthw|crossw|half|halves|part)\b",
    re.IGNORECASE,
)


def foods_of(told: LineAmount, matcher: FoodMatcher) -> Foods:
    """What the line names where that is several foods."""
    if both := _SALT_AND_PEPPER.fullmatch(told.rest.partition(",")[0].strip()):
        return Foods((both["one"], both["other"]))
    rest = told.rest.strip(" ,")
    listed = _EACH_LAST.sub("", _EACH_FIRST.sub("", rest)).strip(" ,")
    each = told.amount is not None and listed != rest
    if not each and told.amount is not None:
        return Foods() if told.container else _together(listed, matcher)
    if not each and (matcher.pantry.known(listed) is not None or listed.casefold() in _ONE_NAME):
        return Foods()
    names = _listed(listed, matcher)
    found = [matcher.match(name).confidence for name in names]
    return (
        Foods(tuple(names))
        if len(names) > 1 and (each or sum(c >= USUAL for c in found) >= len(found) / 2)
        else Foods()
    )


def _together(text: str, matcher: FoodMatcher) -> Foods:
    """*A handful of parsley and mint*: one amount of two foods that both have a name, and together none."""
    head, comma, tail = text.partition(",")
    pieces = [p.strip() for p in re.split(r"\s+(?:and|&)\s+", head)]
    if len(pieces) != 2 or not all(pieces) or matcher.pantry.known(head) is not None or head.casefold() in _ONE_NAME:
        return Foods()
    names = _listed(head, matcher)
    found = [matcher.match(name) for name in names]
    if len(names) != 2 or not all(f.confidence >= SURE for f in found) or found[0].food == found[1].food:
        return Foods()
    return Foods(tuple(f"{name}{comma}{tail}" for name in names), shared=True)


def _listed(text: str, matcher: FoodMatcher) -> list[str]:
    """The foods of a list, each with what is said of all: *ground cumin and coriander* is ground twice, *red and green pepper* are two
    peppers; how it is cut, at the end, is said of each. Empty where a part names nothing."""
    pieces = [p.strip(" .") for p in _BREAK.split(text) if p.strip(" .")][: _MOST + 1]
    cut = next((n for n, p in enumerate(pieces) if n and _is_cutting(p)), len(pieces))
    pieces, tail = pieces[:cut], ", ".join(pieces[cut:])
    if not 2 <= len(pieces) <= _MOST or any(c.isdigit() for p in pieces for c in p):
        return []
    first, last = pieces[0].split(), pieces[-1].split()
    said = [w for n, w in enumerate(first[:-1]) if all(f.casefold() in _FOR_ALL for f in first[: n + 1])]
    names = []
    for number, piece in enumerate(pieces):
        name = piece
        if number and said and not is_of((folded(piece) or [""])[0], "cut"):
            name = _better(f"{' '.join(said)} {piece}", piece, matcher)
        if number < len(pieces) - 1 and (matcher.match(name).confidence < USUAL or last[-1].casefold() in _OF_ALL):
            longer = [f"{name} {' '.join(last[-n:])}" for n in (1, 2) if len(last) > n]
            name = next((one for one in longer if matcher.match(one).confidence >= SURE), name)
        if not _names_something(name, matcher):
            return []
        names.append(f"{name}, {tail}" if tail else name)
    return names


def _better(longer: str, shorter: str, matcher: FoodMatcher) -> str:
    """The longer, where it is as surely a food but for the word that says how it is cut; *ground paprika* nobody says."""
    sure, slack = matcher.match(longer).confidence, 0.0 if longer.startswith(("ground", "dried")) else 0.05
    return longer if sure >= max(matcher.match(shorter).confidence - slack, UNKNOWN) else shorter


def _is_cutting(words: str) -> bool:
    told = folded(words)
    return bool(told) and all(is_of(w, "cut", "plain") for w in told) and any(is_of(w, "cut") for w in told)


def _names_something(words: str, matcher: FoodMatcher) -> bool:
    told = [w for w in folded(words) if w.isalpha()]
    strange = any(not is_of(w, "plain", "cut", "variety", "diet", "junk") for w in told)
    return strange or matcher.match(words).confidence >= USUAL


def readings_of(head: str) -> Iterator[str]:
    """What the words may mean: of *light or dark brown sugar* `light brown sugar` before `light`."""
    parts = [p.strip() for p in OR.split(head) if p.strip()]
    if len(parts) < 2:
        yield head
        return
    first, last = parts[0], parts[-1].split()
    if typed_words(first)[-1:] and typed_words(first)[-1] in _STANDS_ALONE:
        yield first
        return
    if all(is_of(w, "modifier", "state", "variety", "plain", "cut") for w in typed_words(first)):
        for n in (1, 2):
            if len(last) > n:
                yield f"{first} {' '.join(last[-n:])}"
    if len(first.split()) == 1 and (with_noun := _with_their_noun(first, parts[1:])):
        yield from with_noun
    yield first
    yield f"{first} {last[-1]}" if last and last[-1] != first else ""


def _with_their_noun(first: str, others: Sequence[str]) -> tuple[str, ...]:
    """*Lemon* of *lemon or lime juice* as `lemon juice`, then the other, for the lemon itself is not meant; none where the nouns behind are none
    of its kind."""
    for other in others:
        words = other.split()
        if (
            len(words) > 1
            and words[-1].casefold() in _NOUNS_OF_ALL
            and first.casefold() not in map(str.casefold, words)
        ):
            return f"{first} {words[-1]}", other
    return ()
