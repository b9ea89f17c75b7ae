"""What goes in at which step, by the steps' words: each ingredient at the first step of cooking that names it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.drafting.food_matching import folded, is_of

_EVERYTHING = re.compile(
    r"\b(?:all|other|remaining|rest of)\s+(?:of\s+)?(?:the\s+)?(?:other\s+|remaining\s+|listed\s+)?ingredients\b|\b(?:mix|combine|add|blend|put|place|whisk|stir)\s+(?:together\s+)?everything\b"
    r"|\b(?:combine|mix|add|place|blend|whisk)\s+(?:together\s+)?(?:the\s+)?ingredients\b",
    re.IGNORECASE,
)
_GROUPS = (
    (re.compile(r"\bdry ingredients\b", re.IGNORECASE), frozenset({"grain", "starch", "baking", "spice", "sweetener"}), "flour|sugar|powder|soda|salt|cocoa|oat|starch|spice|cinnamon|yeast"),
    (re.compile(r"\b(?:wet|liquid) ingredients\b", re.IGNORECASE), frozenset({"dairy", "egg", "fat or oil", "soya and plant", "drink"}), "egg|milk|oil|butter|water|vanilla|juice|yoghurt|honey|syrup|cream|sour|banana|pumpkin"),
    (re.compile(r"\b(?:spices|seasonings?|spice mix(?:ture)?|herbs and spices)\b", re.IGNORECASE), frozenset({"spice"}), "powder|seasoning|spice|salt"),
)  # fmt: skip
_KINDS = {
    "cheese": r"cheeses?", "pasta": r"pasta|noodles", "beef": r"beef|meat|steaks?", "poultry": r"chicken|turkey|meat|poultry", "pork": r"pork|meat|chops?",
    "fish": r"fish|fillets?", "shellfish": r"shrimp|prawns|seafood", "cured meat": r"sausages?|ham|bacon|meat", "stock": r"broth|stock", "wine or spirit": r"wine|alcohol|liqueur",
    "mushroom": r"mushrooms?", "nut or seed": r"nuts|seeds", "herb": r"herbs", "vegetable": r"vegetables|veggies", "fruit": r"fruits?|berries", "bread": r"bread|buns?|rolls?|tortillas?",
    "sweetener": r"sugars?|sweetener", "fat or oil": r"oil|fat", "egg": r"eggs?", "grain": r"flours?|rice|grains?", "lamb": r"lamb|meat",
}  # fmt: skip
"""What cooks call a food of a category when they do not name it."""
_COMMON = frozenset({
    "black", "brown", "canned", "cold", "dried", "extra", "fresh", "green", "ground", "hot", "large", "plain", "powder", "raw", "red", "salted", "small",
    "sweet", "unsalted", "virgin", "white", "whole", "yellow", "all", "purpose", "and", "half", "light", "dark", "low", "sodium", "free", "fat", "sauce",
    "paste", "juice", "seed", "leaf", "piece", "mix", "of", "or", "the", "with", "frozen", "heavy", "water",
})  # fmt: skip
_PREHEAT = re.compile(
    r"^\W*(?:pre-?heat|heat) (?:the |your |an? )?(?:oven|grill|broiler|air fryer|smoker)\b", re.IGNORECASE
)
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


@dataclass(frozen=True, slots=True)
class Named:
    """An ingredient as the steps are looked through for it; ``category`` is empty of an unknown food, ``amount`` as the line has it."""

    name: str
    category: str = ""
    amount: str = ""


def additions(
    texts: Sequence[str], cooks: Sequence[bool], named: Sequence[Named]
) -> tuple[list[list[tuple[str, str]]], list[str]]:
    """Of each step what goes in, with how much of it (`all`, `half`, `rest`); and the names of what no step of cooking names."""
    adds: list[list[tuple[str, str]]] = [[] for _ in texts]
    words = [set(folded(text)) for text in texts]
    telling = telling_words(named)
    usable = [n for n in range(len(texts)) if cooks[n]]
    left: list[Named] = []
    twins: dict[str, list[Named]] = {}
    for one in named:
        twins.setdefault(re.sub(r" \d+$", "", one.name).casefold(), []).append(one)
    for group in twins.values():
        at = [
            n for n in usable if words[n] & telling[group[0].name] and not _only_oven(texts[n], telling[group[0].name])
        ]
        for one, places in zip(group, _shared(group, at, texts), strict=True):
            if not places:
                left.append(one)
            for n, share in places:
                adds[n].append((one.name, share))
    unnamed = [one for one in left if not _by_group(one, texts, usable, adds)]
    return [_in_listed_order(step, named) for step in adds], [one.name for one in unnamed]


def _in_listed_order(step: list[tuple[str, str]], named: Sequence[Named]) -> list[tuple[str, str]]:
    order = {one.name: n for n, one in enumerate(named)}
    return sorted(step, key=lambda a: order[a[0]])


def _shared(group: Sequence[Named], at: Sequence[int], texts: Sequence[str]) -> list[list[tuple[int, str]]]:
    """Where each of several ingredients of one name goes in: by its amount in the step's words, else one after the other."""
    if not at:
        return [[] for _ in group]
    if len(group) == 1:
        return [_halved(group[0].name, at, texts)]
    said = [
        next((m for m in at if len(o.amount) > 2 and o.amount.casefold() in texts[m].casefold()), None) for o in group
    ]
    free = [m for m in at if m not in said] or list(at)
    found: list[list[tuple[int, str]]] = []
    for here in said:
        place = free[0] if here is None else here
        found.append([(place, "all")])
        if here is None and len(free) > 1:
            free.pop(0)
    return found


def _halved(name: str, at: Sequence[int], texts: Sequence[str]) -> list[tuple[int, str]]:
    """*Half the butter* and later *the remaining butter* are two additions; everything else is one."""
    telling = "|".join(re.escape(w) for w in name.split() if len(w) > 2) or re.escape(name)
    rest = re.compile(
        rf"\b(?:remaining|rest of)\b[^.;]{{0,40}}\b(?:{telling})|\b(?:{telling})\w*\b[^.;]{{0,20}}\b(?:remaining|the rest)\b",
        re.IGNORECASE,
    )
    half = re.compile(rf"\bhalf (?:of )?(?:the |of )*[^.;]{{0,20}}?(?:{telling})", re.IGNORECASE)
    later = next((n for n in at[1:] if rest.search(texts[n])), None)
    if later is not None:
        return [(at[0], "half"), (later, "rest")]
    if len(at) > 1 and half.search(texts[at[0]]):
        return [(at[0], "half"), (at[1], "rest")]
    return [(at[0], "all")]


def _by_group(one: Named, texts: Sequence[str], usable: Sequence[int], adds: list[list[tuple[str, str]]]) -> bool:
    """Whether a step names it with others: *the dry ingredients*, *the cheese*, *season*, *all the ingredients*."""
    own = set(folded(one.name))
    for n in usable:
        text = texts[n]
        if own & {"salt", "pepper", "seasoning"} and re.search(r"\bseason(?:ed|ing)?\b(?! bowl)", text, re.IGNORECASE):
            adds[n].append((one.name, "all"))
            return True
        for pattern, categories, more in _GROUPS:
            if pattern.search(text) and (one.category in categories or re.search(more, one.name, re.IGNORECASE)):
                adds[n].append((one.name, "all"))
                return True
    kind = _KINDS.get(one.category)
    for n in usable:
        if kind and re.search(rf"\b(?:{kind})\b", texts[n], re.IGNORECASE) and not _PREHEAT.match(texts[n]):
            adds[n].append((one.name, "all"))
            return True
    for n in usable:
        if _EVERYTHING.search(texts[n]):
            adds[n].append((one.name, "all"))
            return True
    return False


def _only_oven(text: str, telling: set[str]) -> bool:
    """Whether the words are only in a sentence that heats an oven or in a name of something else: *the oil in the air fryer*."""
    sentences = [s for s in _SENTENCE.split(text) if telling & set(folded(s))]
    return bool(sentences) and all(
        _PREHEAT.match(s) and not re.search(r"\b(?:brush|grease|butter|coat|oil)\b", s, re.IGNORECASE)
        for s in sentences
    )


def telling_words(named: Sequence[Named]) -> dict[str, set[str]]:
    """For each ingredient the words that name it in a sentence: those that no other ingredient has, else all of its own."""
    words = {}
    for one in named:
        own = [w for w in folded(one.name) if not w.isdigit() and len(w) > 1]
        telling = (
            [w for w in own if w not in _COMMON and not is_of(w, "cut", "plain")]
            or [w for w in own if not is_of(w, "cut")]
            or own
        )
        words[one.name] = telling
    count: dict[str, set[str]] = {}
    for name, own in words.items():
        for w in own:
            count.setdefault(w, set()).add(re.sub(r" \d+$", "", name).casefold())
    found = {}
    for name, own in words.items():
        alone = {w for w in own if len(count[w]) == 1}
        found[name] = alone or set(own[-1:])
    return found
