"""Which ingredient each run of words in a step means: of *heavy cream* the heavy cream and no sour cream, of *cream cheese* neither.

A mention is weak where it tells of no addition: in a clause of time (*when the oil is hot*), in brackets, before *mixture* or *filling*, in
*make the sauce*. A sentence that only heats an oven mentions nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.drafting.food_matching import folded, head_of, is_of
from scriptkit.measure.numbers import NUMBER

COMMON = frozenset({
    "black", "brown", "canned", "cold", "dried", "extra", "fresh", "green", "ground", "hot", "large", "plain", "powder", "raw", "red", "salted", "small",
    "sweet", "unsalted", "virgin", "white", "whole", "yellow", "all", "purpose", "and", "half", "light", "dark", "low", "sodium", "free", "fat", "sauce",
    "paste", "juice", "seed", "leaf", "piece", "mix", "of", "or", "the", "with", "frozen", "heavy", "water", "baking", "cooked", "instant", "pot", "oven",
    "ready", "pan", "room", "temperature", "lean", "crispy", "style", "quality", "good", "toasted", "roasted", "whipped", "whipping", "skillet", "liquid", "gel", "food",
    "roast", "fried", "grilled", "boiled", "baked", "steamed", "toast",
})  # fmt: skip
"""Words that name nothing alone."""
_ALIASES = {
    "mayo": "mayonnaise",
    "parm": "parmesan",
    "evoo": "oil",
    "prawn": "shrimp",
    "shrimp": "prawn",
    "broth": "stock",
    "stock": "broth",
    "noodle": "pasta",
    "bbq": "barbecue",
}
_WEAK = re.compile(
    r"\([^()]*\)|\b(?:extra|more|additional|optional)\s+(?!virgin)[\w -]{2,30}|\b(?:while|when|once|until|after|before|as soon as|if|because)\b[^,.;:]*"
    r"|\b(?:make|prepare|begin|start)\s+(?:the|your)\s+[\w -]{2,40}|^\W*for the [^,:.]{2,40}[,:]",
    re.IGNORECASE,
)
_VERB = re.compile(r"^\W*(?:butter|oil|salt|pepper|flour|sugar)\s+(?:or|and|the|a|an|your|both)\b", re.IGNORECASE)
_MADE = re.compile(
    r"\s+(?:mixture|batter|dough|filling|layers?|base|marinade|glaze|dressing|coating|crumb mixture|crumbs mixture|blend mixture|side|salsa|rub|slaw|sauce|frosting|buttercream|icing)\b",
    re.IGNORECASE,
)
PREHEAT = re.compile(
    r"^\W*(?:pre-?heat|heat) (?:the |your |an? )?(?:oven|grill|broiler|air fryer|smoker)\b", re.IGNORECASE
)
_GREASES = re.compile(r"\b(?:brush|grease|butter|coat|oil)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_REST = re.compile(r"\b(?:remaining|rest of|other half of)\s+(?:the\s+)?(?:[^\s,;.]+\s+){0,5}$", re.IGNORECASE)
_HALF = re.compile(
    r"(?:\bhalf|(?:½|\b1/2)(?=\s+(?:of|the)\b))\s+(?:of\s+)?(?:the\s+)?(?:[^\s,;.\d]+\s+)?$", re.IGNORECASE
)
_SPOONS = re.compile(
    rf"(?<![\w./-])({NUMBER}\s?(?:tablespoons?|tbsps?|teaspoons?|tsps?|cups?|g|grams?|kg|ml|l|litres?|oz|ounces?|lbs?|pounds?))\b\.?"
    r"\s+(?:of\s+)?(?:the\s+)?(?:[^\s,;.\d]+\s+)?$",
    re.IGNORECASE,
)
_HANDLED = re.compile(
    r"\b(?:cooked|caramelized|caramelised|browned|fried|drained|reserved|sautéed|sauteed|roasted|grilled)\s+$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Named:
    """An ingredient as the steps are looked through for it; ``category`` is empty of an unknown food, ``amount`` as the line has it, ``also``
    other names of its food."""

    name: str
    category: str = ""
    amount: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepMention:
    """``meant`` are indices of ingredients: more than one where the words fit several alike. ``share``: *half*, *rest*, an amount
    (*1 tablespoon of the oil*), else empty."""

    step: int
    meant: tuple[int, ...]
    weak: bool = False
    share: str = ""
    handled: bool = False
    """Whether it is called cooked: what stood aside, and no addition where it went in before."""


@dataclass(frozen=True, slots=True)
class _Name:
    of: int
    words: frozenset[str]
    telling: frozenset[str]
    """Those without which it would be something else."""
    head: str
    whole: bool = False
    """Whether all of the telling words must stand there: another name of the food."""


_SALTED = frozenset({"salted", "unsalted"})
_NO_NAME = frozenset({"and", "or", "of", "the", "with", "in", "a"})
_HALF_AND_HALF = re.compile(r"\bhalf[ -](?:and|&|n)[ -]half\b", re.IGNORECASE)

_BOTH_OF = re.compile(
    r"\b(?P<of>[^\W\d_]+(?:['’]s)?\s+)(?P<one>zest|rind|juice)\s*(?:,|and|&|\+|plus)\s*(?:(?:the|its)\s+)?(?P<other>zest|rind|juice)\b",
    re.IGNORECASE,
)
"""*Orange zest and juice* are two of one fruit: the second is called after it too."""


def mentions(texts: Sequence[str], named: Sequence[Named]) -> list[StepMention]:
    """All mentions, in the order of the steps."""
    texts = [_BOTH_OF.sub(r"\g<of>\g<one> and \g<of>\g<other>", _HALF_AND_HALF.sub("halfandhalf", t)) for t in texts]
    names = [n for of, one in enumerate(named) for n in _names_of(of, one)]
    known = frozenset(w for n in names for w in n.words)
    return [m for step, text in enumerate(texts) for m in _in_step(step, text, names, known)]


def _names_of(of: int, one: Named) -> Iterator[_Name]:
    for number, name in enumerate((one.name, *one.also)):
        told = folded(_HALF_AND_HALF.sub("halfandhalf", name))
        words = [w for w in told if not w.isdigit() and len(w) > 1 and w not in _NO_NAME]
        head = head_of(words)
        if not words or (number and len(words) > 3):
            continue
        telling = frozenset(w for w in words if not is_of(w, "cut", "plain") and w not in _SALTED) or frozenset(
            words[-1:]
        )
        yield _Name(of, frozenset(words), telling, head, bool(number))
        swapped = frozenset(_ALIASES.get(w, w) for w in words)
        if swapped != frozenset(words):
            yield _Name(of, swapped, frozenset(_ALIASES.get(w, w) for w in telling), _ALIASES.get(head, head))
    if one.name.casefold().startswith("mayonnaise"):
        yield _Name(of, frozenset({"mayo"}), frozenset({"mayo"}), "mayo")


def _in_step(step: int, text: str, names: Sequence[_Name], known: frozenset[str]) -> Iterator[StepMention]:
    for sentence in _SENTENCE.split(text):
        if PREHEAT.match(sentence) and not _GREASES.search(sentence):
            continue
        weak = [m.span() for m in _WEAK.finditer(sentence)]
        if verb := _VERB.match(sentence):
            weak.append((0, verb.end() - 1))
        for start, end, words in _runs(sentence, known):
            meant = _best(words, names)
            if not meant:
                continue
            ahead = sentence[max(0, start - 40) : start]
            share = "rest" if _REST.search(ahead) else "half" if _HALF.search(ahead) else ""
            if not share and (told := _SPOONS.search(ahead)):
                share = " ".join(told[1].split())
            aside = any(a <= start < b for a, b in weak) or bool(_MADE.match(sentence, end))
            yield StepMention(step, meant, aside, share, bool(_HANDLED.search(ahead)))


def _runs(sentence: str, known: frozenset[str]) -> Iterator[tuple[int, int, list[str]]]:
    """Words in a row that occur in names, with where they begin and end: nothing but spaces lies between them."""
    start, end, words = 0, 0, list[str]()
    for found in _WORD.finditer(sentence):
        told = [w for w in folded(found.group()) if w in known]
        if words and (not told or sentence[end : found.start()].strip(" -")):
            yield start, end, words
            words = []
        if told:
            start = start if words else found.start()
            end, words = found.end(), [*words, *told]
    if words:
        yield start, end, words


def _best(run: Sequence[str], names: Sequence[_Name]) -> tuple[int, ...]:
    """The ingredients that the run means: those that share most words with it, and lack fewest of their own."""
    words = set(run)
    best: tuple[int, int] | None = None
    meant: list[int] = []
    for name in names:
        shared = words & name.words
        names_it = name.head in shared or any(
            w in name.telling and w not in COMMON and not is_of(w, "modifier", "variety", "form") for w in shared
        )
        if not shared or not names_it or (name.whole and not name.telling <= words):
            continue
        lacking = min(len(name.telling - words), 1)
        if lacking and len(shared) == 1 and next(iter(shared)) in COMMON:
            continue
        key = (len(shared), -lacking)
        if best is None or key > best:
            best, meant = key, [name.of]
        elif key == best and name.of not in meant:
            meant.append(name.of)
    return tuple(meant)
