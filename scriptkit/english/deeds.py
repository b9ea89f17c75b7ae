"""What a step's words do, verb by verb, to which food: for whoever names the step, and how much each verb tells of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from scriptkit.english.kitchen_words import verbs
from scriptkit.english.made_nouns import MADE
from scriptkit.english.methods import HOT, method_of
from scriptkit.english.stems import stem

_SENTENCE_END = re.compile(r"[.;:!?(\[]")
_JOINED = re.compile(
    r"(?:,\s+|\s+)(?=(?:and|or|then|while|before|after|until|till|so that|as|when)\s)|,\s+", re.IGNORECASE
)
_AND = re.compile(r"^(?:and|or)\s+", re.IGNORECASE)
_THEN = re.compile(r"^then\s+", re.IGNORECASE)
_AT_A_TIME = re.compile(
    r",?\s+(?:an?|one|two|three)\s+(?:\w+\s+)?(?:at a time|by one|after (?:the )?other)\b.*", re.IGNORECASE
)
_STOP = re.compile(
    r"\s(?:in|into|on|onto|to|with|without|for|by|from|through|across|over|under|at|inside|around|between|among|alongside|beside|"
    r"one by one|gently|slowly|thinly|finely|quickly|roughly|tightly|lightly|well|hard|until|till|while|very|straight|skin side|"
    r"cut side|lengthways|crossways)\b.*",
    re.IGNORECASE,
)
_ONTO = re.compile(r"\b(?:into|onto|over|with)\s+(?P<what>(?:the|a|an|some|its|their)\s+.+|\S+.*)$", re.IGNORECASE)
_FIRST_OF_ALL = re.compile(
    r"^(?:(?:off|in|with|on|over|after|when|once|while|as|for|at|to|using|so that)\s[^,.;:]*,\s*|(?:meanwhile|now|then|finally|next|first)\b,?\s*)"
    r"(?=\w)",
    re.IGNORECASE,
)
"""*Off the heat, stir in …*, *using tongs, lift …*, *meanwhile*: what is done comes after it."""
_ADVERBS = frozenset({"down", "in", "off", "out", "up", "together", "away", "back"})
_BEFORE_A_FOOD = frozenset({"in", "into", "on", "onto", "over", "through", "to"})
"""Words that belong to the verb: *take off* anything; *stir in* a food, and not *in a pan*."""
GEAR = frozenset({
    "board", "bowl", "dish", "fridge", "glass", "griddle", "grill", "heat", "jug", "lid", "oven", "pan", "plate", "pot", "rack", "saucepan",
    "sieve", "skillet", "steamer", "tin", "tray", "wok",
})  # fmt: skip
_NO_VERBS = frozenset({
    "after", "as", "back", "before", "for", "from", "in", "into", "off", "on", "once", "onto", "out", "over", "so", "straight", "till",
    "to", "until", "up", "when", "while", "with", "a", "an", "each", "both", "half", "one", "two", "three", "four", "five", "six",
})  # fmt: skip
_SUBORDINATE = re.compile(r"^(?:while|before|after|until|till|so that|as|when)\b", re.IGNORECASE)
_HANDED = frozenset({
    "add", "drop", "melt", "pour", "put", "return", "scatter", "sprinkle", "stir", "throw", "tip",
})  # fmt: skip
"""Of what goes in so, *it* is the dish afterwards: *add the leek and simmer it*."""
SAYS_LITTLE = frozenset({
    "add", "allow", "bring", "check", "cover", "drop", "get", "keep", "lay", "leave", "let", "make", "move", "open", "place", "put", "remove",
    "return", "set", "sit", "switch", "take", "throw", "tip", "turn", "use",
})  # fmt: skip
SEARCHED_LESS = SAYS_LITTLE | {
    "divide", "heat", "ladle", "lift", "line", "melt", "oil", "plate", "pour", "rinse", "scatter", "season", "serve", "spoon", "spread",
    "sprinkle", "stir", "taste", "tear", "top", "transfer", "warm", "wash", "wipe",
}  # fmt: skip
"""Nobody looks for these in a film; of several verbs or steps another names the chapter."""
_SERVED = frozenset({
    "arrange", "bring", "divide", "lay", "lift", "pile", "place", "portion", "pour", "put", "scoop", "serve", "set", "share", "sit", "slide",
    "spoon", "tip", "top", "transfer",
})  # fmt: skip
_ON_PLATES = re.compile(
    r"\b(?:plates?|bowls|glasses|(?:serving|soup|warm) (?:bowl|dish|plate|platter)s?|platter|alongside|beside)\b",
    re.IGNORECASE,
)
_SIDE_UP = re.compile(r"^\w+[ -]sides?[ -](?:up|down)\b", re.IGNORECASE)
_DRY = frozenset(
    {"bloom", "brown", "caramelise", "char", "crisp", "fry", "grill", "sear", "soften", "sweat", "toast", "wilt"}
)
"""What is done to what went in, and not to all that is there: *add the spice and toast it*."""
_MORE_VERBS = frozenset({
    "blitz", "braise", "bubble", "confit", "crimp", "cure", "deglaze", "devein", "fillet", "fluff", "glaze", "hull", "infuse", "pickle", "pick",
    "prick", "proof", "prove", "purée", "quarter", "rise", "salt", "shell", "shuck", "spatchcock", "steep", "stew", "stone", "temper", "whip",
})  # fmt: skip
"""Verbs of the kitchen that placing has no word for."""
_LATER = frozenset({"rest", "cool", "stand"})
_LEFT_TO = {
    "bubble": "simmer", "chill": "chill", "cook": "cook", "cool": "cool", "drain": "drain", "infuse": "infuse", "marinate": "marinate",
    "prove": "prove", "rest": "rest", "rise": "prove", "set": "set", "simmer": "simmer", "sit": "rest", "soak": "soak", "stand": "rest",
    "steep": "steep",
}  # fmt: skip
"""*Let it bubble* is a simmer; what food is left to do is what is done."""
_LEAVES = re.compile(
    r"^(?:let|leave|allow)\s+(?:(?P<what>(?!to\b).+?)\s+)?(?:to\s+)?(?P<verb>" + "|".join(_LEFT_TO) + r")\b",
    re.IGNORECASE,
)
_OFF = re.compile(r"^\S.*? off (?P<stays>(?:the|each|every|both|its|their) \S.*)$", re.IGNORECASE)
_TO_THE_BOIL = re.compile(
    r"^bring\s+(?P<what>.*?)\s*(?:\w+ly\s+|up\s+|back\s+)*to (?:a|the) (?P<verb>boil|simmer)\b", re.IGNORECASE
)
_PRONOUNS = frozenset({"it", "them", "everything", "all", "this", "these", "that", "each", "one"})
DETERMINERS = frozenset({"the", "a", "an", "some", "all", "both", "half", "more", "remaining"})
_HOW = frozenset({
    "carefully", "coarsely", "finely", "first", "gently", "lightly", "now", "quickly", "roughly", "slowly", "then",
    "thinly", "thoroughly", "well",
})  # fmt: skip
_OF = re.compile(r"^(?:the\s+)?(?:rest|half|most|remainder|all)\s+(?:of\s+)?(?=the\b)", re.IGNORECASE)
GOES_BY_ITSELF = frozenset({
    "bake", "boil", "braise", "brine", "brown", "bubble", "caramelise", "char", "chill", "confit", "cook", "cool", "crisp", "cure", "drain", "freeze",
    "fry", "grill", "infuse", "marinate", "melt", "pickle", "poach", "proof", "prove", "reduce", "rest", "rise", "roast", "sear", "set", "simmer",
    "soak", "soften", "stand", "steam", "steep", "stew", "sweat", "toast", "wilt",
})  # fmt: skip
"""What food is left to do in a pan, in the oven or on the side (words of the trade)."""

DISH = ""
"""The thing of a deed that is done to the dish as a whole."""
SAYS_MOST, SAYS_MUCH, SAYS_LESS, SAYS_NOTHING = 4, 3, 2, 1


@dataclass(frozen=True, slots=True)
class Deed:
    """``verb`` (with what belongs to it: *stir in*) and the ``thing`` that it is done to, DISH for the dish; ``onto``: the food that it
    goes onto or into, with its preposition. ``says``: how much that tells a viewer."""

    verb: str
    thing: str
    onto: str = ""
    says: int = SAYS_NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class DishNames:
    """What a step's words are read against. ``words_of``: the words of a text, folded and singular; ``foods``, ``dish``: those by which its
    ingredients and the dish are called; ``full_name``: of a food that a text names in part (*the soy*), empty where that is none or whole;
    ``participles``: words of foods' own names (*smoked*), which tell of no work; ``it``: what *it* is where no verb before tells, DISH or a
    food; ``served``: *plate* or *serve* where the step puts what is ready on plates, else empty."""

    words_of: Callable[[str], Collection[str]]
    foods: frozenset[str]
    dish: frozenset[str]
    full_name: Callable[[str], str]
    participles: frozenset[str]
    it: Callable[[], str]
    served: str


def deeds_in(said: str, names: DishNames) -> list[Deed]:
    """What the words of a step do, in their order."""
    found: list[Deed] = []
    for sentence in _SENTENCE_END.split(said):
        clauses = _clauses(_FIRST_OF_ALL.sub("", sentence.strip()), names)
        for number, clause in enumerate(clauses):
            if _SUBORDINATE.match(clause) or _SIDE_UP.match(clause):
                continue
            if (number or found) and not (_is_verb(clause.split()[0]) or _LEAVES.match(clause)):
                continue  # *until soft and golden*: a word that is no verb of a kitchen begins a sentence at most
            one = _deed(clause, clauses[number + 1 :], found, names)
            found += [one] if one is not None else []
    return found


def served_as(where: str) -> str:
    """``plate`` or ``serve``, where the words name what food is served in or on; else empty.

    >>> served_as("Lay the fillets on warm plates."), served_as("Ladle into bowls."), served_as("Lay it in the tin.")
    ('plate', 'serve', '')
    """
    if not _ON_PLATES.search(where):
        return ""
    return "plate" if "plate" in where.casefold() else "serve"


def _is_verb(word: str) -> bool:
    low = word.casefold()
    known = stem(low) in verbs() or low in _MORE_VERBS or low in SEARCHED_LESS or low in _SERVED or low in _DRY
    return known and not low.endswith("ing")


def _clauses(sentence: str, names: DishNames) -> list[str]:
    """Parts of a sentence, each with its own verb; a list of foods stays in one piece."""
    parts: list[str] = []
    for part in _JOINED.split(_AT_A_TIME.sub("", sentence)):
        said = _AND.sub("", part).strip()
        if not said:
            continue
        goes_on = (
            parts and _is_thing(said, names) and not part.casefold().startswith(("then", "while", "until", "till"))
        )
        if goes_on:
            parts[-1] += (" and " if _AND.match(part) else ", ") + said
        else:
            parts.append(_THEN.sub("", said))
    return parts


def _is_thing(text: str, names: DishNames) -> bool:
    """Whether the text goes on a list (*the stock*, *wine*) and is no clause of its own (*salt the skin*)."""
    words = text.casefold().split()
    if words[0] in DETERMINERS:
        return True
    following = words[1] if len(words) > 1 else ""
    return bool(names.foods.intersection(names.words_of(words[0]))) and following not in DETERMINERS | _PRONOUNS


def _deed(clause: str, later: Sequence[str], before: Sequence[Deed], names: DishNames) -> Deed | None:
    """The clause's verb with what it is done to, a pronoun as what it stands for; None where it has no verb."""
    if left := _LEAVES.match(clause):
        return _left(left, clause, before, names)
    if boiled := _TO_THE_BOIL.match(clause):
        return _boiled(boiled, before, names)
    words = clause.split()
    while len(words) > 1 and words[0].casefold() in _HOW:
        words = words[1:]
    verb, rest = words[0].lower(), words[1:]
    if verb in _NO_VERBS:
        return None
    if verb in _SERVED and names.served:
        return Deed("serve" if verb == "serve" else names.served, DISH, says=SAYS_LESS)
    particle = ""
    if rest and (rest[0].casefold() in _ADVERBS if len(rest) == 1 else _belongs(rest, names)):
        particle, rest = f" {rest[0]}", rest[1:]
    return _done(verb, particle, " ".join(rest), later, before, names)


def _done(
    verb: str,
    particle: str,
    said: str,
    later: Sequence[str],
    before: Sequence[Deed],
    names: DishNames,
) -> Deed:
    """The verb with what is ``said`` after it."""
    thing = _STOP.sub("", " " + said).strip().rstrip(",")
    if taken := _OFF.match(thing):  # wipe the marinade off the chicken
        thing = taken["stays"]
    onto = _onto(said[len(thing) :], names)
    words = thing.split()
    head = words[0].casefold() if words else "or"
    if head == "or" or head[0].isdigit():
        return _done_to_no_thing(verb + particle, onto, later, before, names)
    if head in _PRONOUNS and not (head in ("everything", "all", "one") and len(words) > 1):
        off = next((f" {w}" for w in words[1:2] if w.casefold() in _ADVERBS), "")
        return Deed(verb + off, _meant(verb, before, names), onto, _says(verb, named=False))
    told = set(names.words_of(thing))
    if told & GEAR and not told & names.foods:
        return Deed(verb + particle, thing, says=SAYS_NOTHING)
    named = bool(told & (names.foods | names.dish) or {stem(w) for w in told} & MADE)
    return Deed(verb + particle, _full(thing, names), onto, _says(verb, named=named))


def _done_to_no_thing(verb: str, onto: str, later: Sequence[str], before: Sequence[Deed], names: DishNames) -> Deed:
    """*Simmer for 20 minutes*, *peel, core and dice the apples*: a verb whose thing stands elsewhere."""
    first = verb.split(maxsplit=1)[0]
    if shared := _shared(later, names):
        return Deed(verb, shared, "", _says(first, named=True))
    return Deed(verb, _meant("", before, names), onto, _says(first, named=False))


def _says(verb: str, *, named: bool) -> int:
    """How much the verb says, with a food of its own (``named``) or with none."""
    if verb in SAYS_LITTLE:
        return SAYS_LESS if named else SAYS_NOTHING
    if verb in SEARCHED_LESS or verb in _LATER:
        return SAYS_LESS
    return SAYS_MOST if named or method_of(verb) in HOT else SAYS_MUCH


def _boiled(boiled: re.Match[str], before: Sequence[Deed], names: DishNames) -> Deed:
    """*Bring the milk to the boil*: boil it."""
    what, verb = boiled["what"], boiled["verb"].lower()
    if not what or what.split()[0].casefold() in _PRONOUNS:
        return Deed(verb, _meant("", before, names), says=SAYS_LESS)
    return Deed(verb, _full(what, names), says=SAYS_MUCH)


def _left(left: re.Match[str], clause: str, before: Sequence[Deed], names: DishNames) -> Deed:
    """*Leave it to set in the fridge*: chill it."""
    verb = _LEFT_TO[left["verb"].casefold()]
    if "fridge" in clause.casefold():
        verb = "chill"
    what = left["what"] or ""
    pronoun = not what or what.split()[0].casefold() in _PRONOUNS
    thing = _meant("", before, names) if pronoun else _full(what, names)
    return Deed(verb, thing, says=_says(verb, named=False))


def _belongs(rest: Sequence[str], names: DishNames) -> bool:
    """Whether the word after the verb belongs to it: *turn out the loaf*, *stir in the cream*; not *shape into a round*."""
    after = " ".join(rest[1:])
    if _is_gear(rest[1:], names) or not _is_thing(after, names):
        return False
    word = rest[0].casefold()
    named = not names.foods.isdisjoint(names.words_of(" ".join(rest[1:6])))
    return (word in _ADVERBS and (word != "in" or named)) or (word in _BEFORE_A_FOOD and named)


def _is_gear(words: Sequence[str], names: DishNames) -> bool:
    """Whether it is where something is done (*in the oven*, *on a rack*), and no food."""
    told = set(names.words_of(" ".join(words[:3])))
    return bool(told & GEAR) and not told & names.foods


def _onto(tail: str, names: DishNames) -> str:
    """``onto the fish``: where the words go on with what it goes onto or into, if that is no gear."""
    found = _ONTO.search(tail.split(",", maxsplit=1)[0])
    if found is None:
        return ""
    what = _STOP.sub("", " " + found["what"]).strip()
    words = set(names.words_of(what))
    how = found.group().split()[0].lower()
    if words & GEAR or not (words & names.foods or (how != "with" and what.casefold().startswith("the "))):
        return ""
    return f"{how} {_full(what, names)}"


def _shared(later: Sequence[str], names: DishNames) -> str:
    """Of *peel, core and dice the apples* what all verbs share: ``the apples``; empty where it is no food."""
    for clause in later:
        words = clause.split()
        if _SUBORDINATE.match(clause):
            return ""
        if len(words) == 1 and words[0].casefold() not in _NO_VERBS:
            continue
        if len(words) < 2 or not _is_thing(" ".join(words[1:]), names):
            return ""
        thing = _STOP.sub("", " " + " ".join(words[1:])).strip()
        return _full(thing, names) if names.foods.intersection(names.words_of(thing)) else ""
    return ""


def _meant(verb: str, before: Sequence[Deed], names: DishNames) -> str:
    """What *it* is: what the verb before was done to, or the dish once that has gone into it."""
    last = next((one for one in reversed(before) if GEAR.isdisjoint(names.words_of(one.thing))), None)
    if last is not None and last.thing and not last.onto:
        handed = last.verb.split()[0] in _HANDED
        if not handed or (verb in _DRY and not re.search(r",| and ", last.thing)):
            first, _, adverb = last.thing.rpartition(" ")
            return first if first and adverb in _ADVERBS else last.thing
    return names.it()


def _full(thing: str, names: DishNames) -> str:
    """The foods of a list, each by its full name: *the soy* is *the soy sauce*."""
    parts = re.split(r"(,\s+|\s+and\s+)", thing)
    return "".join(part if n % 2 else _full_name(part, names) for n, part in enumerate(parts))


def _full_name(words: str, names: DishNames) -> str:
    said = _OF.sub("", words)
    lead, of, food = said.rpartition(" of ")
    head = food.split()
    determiner = f"{head.pop(0)} " if head and head[0].casefold() in DETERMINERS else ""
    if len(head) > 1 and head[0].endswith("ed") and names.participles.isdisjoint(names.words_of(head[0])):
        head = head[1:]  # *the wiped chicken* is the chicken
        said = f"{lead}{of}{determiner}{' '.join(head)}"
    full = names.full_name(" ".join(head))
    return f"{lead}{of}{determiner}{full}" if full else said
