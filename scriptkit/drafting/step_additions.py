"""What goes in at which step, by the steps' words: each ingredient at the first step of cooking that names it."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence

from scriptkit.drafting.food_matching import folded, head_of
from scriptkit.drafting.old_measures import written
from scriptkit.drafting.step_mentions import PREHEAT, Named, StepMention, mentions
from scriptkit.english.written_method import all_of_a_kind, sentences_of
from scriptkit.measure.amounts import Amount, Kind, NotAnAmount, parse_amount

_EVERYTHING = re.compile(
    r"\b(?:all|other|remaining|rest of)\s+(?:of\s+)?(?:the\s+)?(?:other\s+|remaining\s+|listed\s+)?(?:[a-z-]+\s+){0,2}?ingredients\b"
    r"|\b(?:mix|combine|add|blend|put|place|whisk|stir)\s+(?:together\s+)?everything\b|\ball of (?:it|them) together\b"
    r"|\b(?:combine|mix|add|place|blend|whisk)\s+(?:together\s+)?(?:the\s+)?(?:[a-z-]+\s+){0,3}?ingredients\b",
    re.IGNORECASE,
)
_NOT_ALL = re.compile(r"\b(?:dry|wet|liquid) ingredients\b", re.IGNORECASE)
_SAVE = re.compile(r"\b(?:but|except)(?: for)?\s+(?:the\s+)?([^,.;]{2,40})", re.IGNORECASE)
_GROUPS = (
    (re.compile(r"\bdry ingredients\b", re.IGNORECASE), frozenset({"grain", "starch", "baking", "spice", "sweetener"}), "flour|sugar|powder|soda|salt|cocoa|oat|starch|spice|cinnamon|yeast"),
    (re.compile(r"\b(?:wet|liquid) ingredients\b", re.IGNORECASE), frozenset({"dairy", "egg", "fat or oil", "soya and plant", "drink"}), "egg|milk|oil|butter|water|vanilla|juice|yoghurt|honey|syrup|cream|sour|banana|pumpkin"),
    (re.compile(r"\bherbs\b", re.IGNORECASE), frozenset({"herb"}), r"\b(?:thyme|oregano|rosemary|basil|parsley|sage|marjoram|dill|mint|tarragon|bay)\b"),
    (re.compile(r"\b(?:spices|seasonings?|spice mix(?:ture)?|herbs and spices)\b", re.IGNORECASE), frozenset({"spice"}), "powder|seasoning|spice|salt"),
)  # fmt: skip
_KINDS = {
    "cheese": r"cheeses?", "pasta": r"pasta|noodles", "beef": r"beef|meat|steaks?", "poultry": r"chicken|turkey|meat|poultry", "pork": r"pork|meat|chops?",
    "fish": r"fish|fillets?", "shellfish": r"shrimp|prawns|seafood", "cured meat": r"sausages?|ham|bacon|meat", "stock": r"broth|stock", "wine or spirit": r"wine|alcohol|liqueur",
    "mushroom": r"mushrooms?", "nut or seed": r"nuts|seeds", "herb": r"herbs", "vegetable": r"vegetables|veggies", "fruit": r"fruits?|berries", "bread": r"bread|buns?|rolls?|tortillas?",
    "sweetener": r"sugars?|sweetener", "fat or oil": r"oil|fat", "egg": r"eggs?", "grain": r"flours?|rice|grains?", "lamb": r"lamb|meat",
}  # fmt: skip
"""What cooks call a food of a category when they do not name it."""
_SEASON = re.compile(r"\bseason(?:ed|ing)?\b(?! bowl)", re.IGNORECASE)
_MADE_OF = frozenset({"stock", "sauce", "condiment"})
"""Foods called after what they are made of: *beef stock* is not the beef."""
Added = list[tuple[str, str]]
_Placed = dict[int, list[tuple[int, str]]]
"""Index of an ingredient → at which steps it goes in, each with its share."""


def additions(texts: Sequence[str], cooks: Sequence[bool], named: Sequence[Named]) -> tuple[list[Added], list[str]]:
    """Of each step what goes in, with how much of it (`all`, `half`, `rest`); and the names of what no step of cooking names."""
    adds: list[Added] = [[] for _ in texts]
    usable = [n for n in range(len(texts)) if cooks[n]]
    told = [m for m in mentions(texts, named) if cooks[m.step]]
    placed: _Placed = {}
    _by_mention([m for m in told if not m.weak], named, texts, placed)
    _by_all(texts, usable, named, told, placed)
    _by_mention(told, named, texts, placed)
    _by_its_namesake(told, named, placed)
    for of, places in placed.items():
        for step, share in places:
            adds[step].append((named[of].name, share))
    claimed: dict[int, set[str]] = defaultdict(set)
    for mention in told:
        for of in mention.meant:
            words = folded(named[of].name)
            claimed[mention.step].update([head_of(words)] if named[of].category in _MADE_OF else words)
    left = [one for of, one in enumerate(named) if of not in placed]
    unnamed = [one for one in left if not _by_group(one, texts, usable, adds, claimed)]
    return [_in_listed_order(step, named) for step in adds], [one.name for one in unnamed]


def _by_its_namesake(told: Sequence[StepMention], named: Sequence[Named], placed: _Placed) -> None:
    """*The flour* of the dumplings, where the flour of the stew went in before and the list has two: the second goes in where the words come
    back."""
    for of, one in enumerate(named):
        head = head_of(folded(one.name))
        before = [
            other for other in range(of) if head and head_of(folded(named[other].name)) == head and other in placed
        ]
        if of in placed or not before:
            continue
        gone_in = max(step for step, _ in placed[before[-1]])
        again = [
            m for m in told if m.meant == (before[-1],) and m.step > gone_in and not (m.weak or m.handled or m.share)
        ]
        if again:
            placed[of] = [(again[0].step, "all")]


def _in_listed_order(step: Added, named: Sequence[Named]) -> Added:
    order = {one.name: n for n, one in enumerate(named)}
    return sorted(step, key=lambda a: order[a[0]])


def _by_mention(told: Sequence[StepMention], named: Sequence[Named], texts: Sequence[str], placed: _Placed) -> None:
    """``placed`` gets the ingredients that have no place yet. Words that fit several alike mean one after the other."""
    groups: dict[tuple[int, ...], list[StepMention]] = defaultdict(list)
    for mention in told:
        groups[mention.meant].append(mention)
    for group, found in sorted(groups.items(), key=lambda g: len(g[0])):
        open_ = [of for of in group if of not in placed]
        if open_ and len(group) == 1:
            placed[group[0]] = _in_spoons(found, named[group[0]].amount) or _places(found)
        elif open_:
            for of, step in _one_each(open_, found, named, texts):
                placed[of] = [(step, "all")]


def _places(found: Sequence[StepMention]) -> list[tuple[int, str]]:
    """Where one goes in: at its first mention that is none in passing. *Half the butter*, later *the remaining butter*, are two additions;
    what comes back cooked is none."""
    told = [m for m in found if not m.weak] or list(found)
    first = next((m for m in told if m.share != "rest"), told[0])
    later = [m for m in told if m.step > first.step and not m.handled]
    if rest := next((m for m in later if m.share == "rest"), None):
        return [(first.step, "half"), (rest.step, "rest")]
    if first.share == "half" and later:
        return [(first.step, "half"), (later[0].step, "rest")]
    return [(first.step, "all")]


def _in_spoons(found: Sequence[StepMention], amount: str) -> list[tuple[int, str]]:
    """*1 tablespoon of the oil*, later *the oil*: so much, then the rest; empty where the steps tell no such parts of the ``amount``."""
    whole = _amount(amount)
    told = sorted((m for m in found if not (m.weak or m.handled)), key=lambda m: m.step)
    if whole is None or not told:
        return []
    out: list[tuple[int, str]] = []
    left = whole.value
    for mention in told:
        part = _amount(mention.share)
        if out and mention.step == out[-1][0]:
            continue
        if part is not None and part.kind is whole.kind and (value := part.exactly(whole.unit)) < left:
            out.append((mention.step, written(part)))
            left -= value
        elif out:
            return [*out, (mention.step, "rest")]
        else:
            return []
    return []


def _amount(text: str) -> Amount | None:
    """None where the text is no amount that is weighed or measured out."""
    try:
        amount = parse_amount(text)
    except NotAnAmount:
        return None
    return None if amount.kind is Kind.COUNT else amount


def _one_each(
    open_: Sequence[int], found: Sequence[StepMention], named: Sequence[Named], texts: Sequence[str]
) -> list[tuple[int, int]]:
    """(ingredient, step) of several that the same words fit: by its amount in the step's words, else one after the other; the last step
    has what is over, unless a step before it takes all the rest."""
    steps = sorted({m.step for m in found if not m.weak} or {m.step for m in found})
    said = {of: next((n for n in steps if _says_amount(texts[n], named[of])), None) for of in open_}
    free = [n for n in steps if n not in said.values()] or list(steps)
    waiting = [of for of in open_ if said[of] is None]
    over = len(waiting) - len(free)
    takes_all = any(_takes_all(texts[n]) for n in range(free[0])) if over > 0 else False
    out = [(of, step) for of, step in said.items() if step is not None]
    for number, of in enumerate(waiting[over:] if takes_all else waiting):
        out.append((of, free[min(number, len(free) - 1)]))
    return out


def _says_amount(text: str, one: Named) -> bool:
    """Whether the text says its amount before its name: *1 cup butter*."""
    words = "|".join(re.escape(w) for w in one.name.split() if not w.isdigit())
    pattern = rf"(?<![\w/.]){re.escape(one.amount)}\s+(?:[\w-]+\s+){{0,2}}?(?:{words})"
    return len(one.amount) > 2 and re.search(pattern, text, re.IGNORECASE) is not None


def _takes_all(text: str) -> bool:
    """Whether the step adds ingredients that it does not name one by one."""
    return bool(_EVERYTHING.search(_NOT_ALL.sub("", text)))


def _by_all(
    texts: Sequence[str],
    usable: Sequence[int],
    named: Sequence[Named],
    told: Sequence[StepMention],
    placed: _Placed,
) -> None:
    """*All the ingredients for the marinade*, *the remaining ingredients*: of those that no step names the ones that the list has before
    what later steps bring; the last such step takes what is left. *All but the oil* leaves the oil."""
    taking = [n for n in usable if _takes_all(texts[n])]
    for number, n in enumerate(taking):
        if saved := _SAVE.search(texts[n]):
            kept = {
                of
                for m in told
                if m.step == n
                for of in m.meant
                if set(folded(named[of].name)) & set(folded(saved.group(1)))
            }
            for of in kept:
                elsewhere = [m for m in told if of in m.meant and m.step != n]
                if elsewhere and placed.get(of) and placed[of][0][0] == n:
                    placed[of] = [(elsewhere[0].step, "all")]
        open_ = [of for of in range(len(named)) if of not in placed]
        ahead = {of for of, places in placed.items() if places[0][0] > n}
        ahead |= {
            m.meant[0] for m in told if m.step in taking[number + 1 :] and len(m.meant) == 1 and m.meant[0] in open_
        }
        end = min((of for of in ahead if open_ and of > open_[0]), default=len(named))
        chosen = [of for of in open_ if of < end] or (open_ if number + 1 == len(taking) else [])
        for of in chosen:
            placed[of] = [(n, "all")]


def _by_group(
    one: Named, texts: Sequence[str], usable: Sequence[int], adds: list[Added], claimed: Mapping[int, set[str]]
) -> bool:
    """Whether a step names it with others: *the dry ingredients*, *the cheese*, *season*."""
    own = set(folded(one.name))
    for n in usable:
        if any(own & set(folded(kind)[:1]) for kind in all_of_a_kind(texts[n])):
            adds[n].append((one.name, "all"))
            return True
        if own & {"salt", "pepper", "seasoning"} and _SEASON.search(texts[n]):
            adds[n].append((one.name, "all"))
            return True
        for pattern, categories, more in _GROUPS:
            if pattern.search(texts[n]) and (one.category in categories or re.search(more, one.name, re.IGNORECASE)):
                adds[n].append((one.name, "all"))
                return True
    kind = _KINDS.get(one.category)
    for n in usable:
        told = " ".join(s for s in sentences_of(texts[n]) if not PREHEAT.match(s))
        said = re.search(rf"\b(?:{kind})\b", told, re.IGNORECASE) if kind else None
        if said and not set(folded(said.group())) & claimed.get(n, set()):
            adds[n].append((one.name, "all"))
            return True
    return False
