"""An ingredient line into an amount, a food and how it is cut; the food is looked up, with how sure that is."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.data_files import rows_of
from scriptkit.drafting.old_measures import TO_TASTE, begins_with_amount, measured, written
from scriptkit.measure.amounts import Amount, Kind, NotAnAmount, parse_amount
from scriptkit.pantry.food import Food, HouseholdWeight
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.names import words_of
from scriptkit.pantry.weighing import SIZES, CannotWeigh, weigh

SURE, USUAL = 0.95, 0.75
"""From 0 to 1: a food that goes by the line's very words; what a bare word such as *flour* usually means."""

_PREP = (
    "chopped|diced|sliced|minced|grated|shredded|crushed|peeled|beaten|sifted|melted|softened|cubed|halved|quartered|ground|"
    "mashed|crumbled|toasted|drained|rinsed|washed|trimmed|pitted|stoned|cored|seeded|deseeded|cooked|boiled|slivered|torn|"
    "pressed|zested|juiced|stewed|scalded|parboiled|blanched|flaked"
)  # fmt: skip
_BEFORE = re.compile(
    rf"^((?:(?:finely|roughly|coarsely|thinly|thickly|freshly|lightly|well|hard|very)[\s-]+)*(?:{_PREP})(?:\s*(?:,|and|&)\s*(?:(?:finely|roughly|coarsely|thinly)\s+)?(?:{_PREP}))*)\s*,?\s+(?=\w)",
    re.IGNORECASE,
)
_TO_TASTE = re.compile(
    r"[,(]?\s*\b(?:to (?:your )?taste|as (?:needed|required|desired)|(?:for|to) (?:serv\w+|garnish\w*|fry\w*|greas\w+|dust\w+|sprinkl\w+)|q\.?s\.?)\b[^)]*\)?",
    re.IGNORECASE,
)
_NOT_THE_FOOD = re.compile(
    r"\b(?:optional|divided|plus (?:more|extra)\b.*|such as\b.*|preferably\b.*|of your choice|at room temperature|if (?:liked|desired|needed)|the size of\b.*)",
    re.IGNORECASE,
)
_ADJECTIVES = frozenset({
    "best", "big", "boiling", "bone-in", "boneless", "cold", "cool", "favorite", "favourite", "fine", "finest", "firm",
    "free", "free-range", "fresh", "freshly", "good", "heavy", "hot", "iced", "large", "lean", "little", "lukewarm",
    "medium", "new", "nice", "old", "organic", "plain", "plump", "pure", "quality", "range", "real", "ripe", "skin-on",
    "skinless", "small", "strong", "sweet", "tasty", "tender", "tepid", "thick", "thin", "warm",
})  # fmt: skip
_TWO = re.compile(
    r"(?P<one>[^\W\d]+)\s+(?:and|&)\s+(?P<other>[^\W\d_]+(?:\s[^\W\d_]+){0,3}?)(?P<more>(?:,|\s*\(|\s+to\s|\s+as\s).*)?",
    re.IGNORECASE,
)
_HEADING = re.compile(r"for (?:the|a) [^\d,]{1,60}|[^\d]{1,60}:|\W*", re.IGNORECASE)
_OR = re.compile(r"\s+or\s+|\s*/\s*(?=[a-z])", re.IGNORECASE)
_JUICE = re.compile(
    r"^(?:the\s+)?(?:(?P<both>(?:juice and (?:zest|rind)|(?:zest|rind) and juice))|(?P<one>juice|zest|grated rind|rind))\s+(?:of|from)\s+",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class DraftIngredient:
    """An ingredient as the draft writes it. ``food`` is empty where the name alone finds it, and ``known`` False where the
    pantry has none; ``checks`` are what the cook must confirm."""

    line: str
    name: str
    amount: str
    food: str
    prep: str
    measured_as: str
    confidence: float
    checks: tuple[str, ...]
    known: bool


def drafts_of(line: str, pantry: Pantry) -> list[DraftIngredient]:
    """The ingredients that the line names: *salt and pepper* are two, and *For the dressing:* is none."""
    text = " ".join(line.split())
    if _HEADING.fullmatch(text):
        return []
    if found := _TWO.fullmatch(text):
        halves = [_BEFORE.sub("", found.group(name)) for name in ("one", "other")]
        only_seasoning = _TO_TASTE.sub("", found.group("more") or "").strip(" ,()") == ""
        if only_seasoning and all(match(half, pantry)[1] >= USUAL for half in halves):
            return [draft_of(f"{half}, to taste", pantry) for half in halves]
    return [draft_of(text, pantry)]


def draft_of(line: str, pantry: Pantry) -> DraftIngredient:
    """The one ingredient that the line names."""
    checks: list[str] = []
    text = " ".join(line.split()).rstrip(".;")
    to_taste = bool(_TO_TASTE.search(text))
    text = _TO_TASTE.sub("", text).strip(" ,")
    juice = _JUICE.match(text)
    if juice:
        text = text[juice.end() :]
        what = "its juice and zest" if juice.group("both") else f"its {juice.group('one').casefold()}"
        checks.append(f"only {what} goes in: weigh that")
    told = measured(_amount_first(text))
    checks += told.guesses
    rest, canned = _out_of_the_tin(told.rest)
    name, prep = _name_and_prep(rest, checks, pantry)
    if canned and match(f"{name}, canned", pantry)[1] >= SURE:
        name = f"{name}, canned"
        checks.append("the tin's weight counted as its contents")
    if line.startswith(name[:1]) and name[1:2].islower():
        name = name[:1].lower() + name[1:]  # the capital was the line's
    name = name or " ".join(re.findall(r"[^\W\d_]+", line))[:60] or "ingredient"
    food, confidence = match(name, pantry)
    amount = told.amount
    try:
        if amount != TO_TASTE:
            parse_amount(amount)
    except NotAnAmount as wrong:
        checks.append(f"the amount cannot be read ({wrong})")
        amount = TO_TASTE
    if amount == TO_TASTE and not to_taste:
        checks.append("the line gives no amount")
    measured_as = ""
    if food is not None:
        amount, measured_as = _weighable(food, amount, prep, checks)
        if confidence < SURE:
            checks.append(f"food matched with a confidence of {confidence:.0%}")
    else:
        checks.append("the pantry has no such food: fill in its label under `foods:`, or name another with `food:`")
    return DraftIngredient(
        line=line,
        name=name,
        amount=amount,
        food="" if food is None or _finds(name, food, pantry) else food.name,
        prep=prep,
        measured_as=measured_as,
        confidence=confidence,
        checks=tuple(dict.fromkeys(checks)),
        known=food is not None,
    )


def _amount_first(line: str) -> str:
    """Old lists often put it last: *Flour, 1 lb.*"""
    head, comma, tail = line.rpartition(",")
    if comma and head and not begins_with_amount(head) and begins_with_amount(tail.strip()) and len(tail) < 25:
        return f"{tail.strip(' .')} {head}"
    return line


def _out_of_the_tin(rest: str) -> tuple[str, bool]:
    """``chopped tomatoes`` of ``tins chopped tomatoes``, and whether a tin was named."""
    found = re.match(
        r"(?:(?:can|tin|jar)(?:s)?|(?:packet|package|bag|box|bottle|carton)s?)\s+(?:of\s+)?", rest, re.IGNORECASE
    )
    if not found:
        return rest, False
    return rest[found.end() :], found.group().casefold().startswith(("can", "tin"))


def _finds(name: str, food: Food, pantry: Pantry) -> bool:
    known = pantry.known(name)
    return known is not None and known.name == food.name


def _name_and_prep(text: str, checks: list[str], pantry: Pantry) -> tuple[str, str]:
    """The food's words, and how it is got ready: what stands before it (*chopped parsley*), after a comma or in brackets."""
    preps: list[str] = []
    for inside in re.findall(r"\(([^()]*)\)", text):
        if inside.strip() and not re.fullmatch(r"[\d\W]*", inside):
            preps.append(inside.strip())
    text = re.sub(r"\([^()]*\)?", " ", text).replace(")", " ")
    if found := _NOT_THE_FOOD.search(text):
        checks.append(f"“{found.group().strip()}” left out")
        text = text[: found.start()] + text[found.end() :]
    head, _, tail = text.partition(",")
    while tail.strip() and head.split() and all(w.casefold().strip("-") in _ADJECTIVES for w in head.split()):
        head, _, tail = tail.partition(",")  # boneless, skinless chicken breasts
    if tail.strip():
        preps.insert(0, tail.strip(" ,"))
    head = head.strip(" -–—.,;:*")
    while (found := _BEFORE.match(head)) and match(head, pantry)[1] < USUAL:  # ground ginger is a food of its own
        preps.insert(0, found.group(1).strip())
        head = head[found.end() :]
    if len(parts := _OR.split(head, maxsplit=1)) > 1 and parts[0].strip():
        checks.append(f"the recipe also allows {parts[1].strip()}")
        head = parts[0].strip()
    if found := re.match(rf"(.+?)\s+((?:(?:finely|roughly|coarsely|thinly)\s+)?(?:{_PREP}))$", head, re.IGNORECASE):
        head = found.group(1)
        preps.insert(0, found.group(2))
    return head[:100].strip(), ", ".join(dict.fromkeys(preps))[:200]


def match(name: str, pantry: Pantry) -> tuple[Food | None, float]:
    """The likeliest food and how sure that is, 0 to 1; None where nothing comes near."""
    for spelling, confidence in _spellings(name):
        if (food := pantry.known(spelling)) is not None:
            return food, confidence
    usual = _usual().get(" ".join(words_of(" ".join(w for w in name.split() if w.casefold() not in _ADJECTIVES))))
    if usual is not None:
        return pantry.find(usual), USUAL
    wanted = [w for w in words_of(name) if w not in _ADJECTIVES] or words_of(name)
    for words, sure in ((wanted, 0.85), (wanted[-2:], 0.6), (wanted[-1:], 0.45), (wanted[:1], 0.35)):
        found = pantry.search(" ".join(words), most=1) if words and len(words[0]) > 2 else []
        if found:
            have = set(words_of(found[0]))
            return pantry.find(found[0]), round(
                sure * (0.6 + 0.4 * len(have & set(wanted)) / len(have | set(wanted))), 2
            )
    meant = pantry.suggest(name, most=1)
    return (pantry.find(meant[0]), 0.3) if meant else (None, 0.0)


@functools.cache
def _usual() -> dict[str, str]:
    """Folded word → the food that it usually means (usual_foods.csv; common practice, no source)."""
    rows = rows_of("scriptkit.drafting", "usual_foods.csv", ("word", "food"))
    return {" ".join(words_of(word)): food for word, food in rows}


def _spellings(name: str) -> list[tuple[str, float]]:
    """The name, and without words that only praise it."""
    words = name.split()
    plain = [w for w in words if w.casefold().strip(",.-") not in _ADJECTIVES]
    out = [(name, 1.0)]
    if plain and plain != words:
        out.append((" ".join(plain), 0.9))
    return out


def _weighable(food: Food, amount: str, prep: str, checks: list[str]) -> tuple[str, str]:
    """The amount and, where cups could have been filled in several ways, one of them, marked."""
    if amount == TO_TASTE:
        return amount, ""
    read = parse_amount(amount)
    try:
        weigh(food, read, prep)
    except CannotWeigh as wrong:
        instead = _of_several(food, read, wrong.candidates, checks) or _of_another_kind(food, read, checks)
        if instead is None:
            checks.append(f"nothing says what {amount} weighs: weigh it")
        return instead or (amount, "")
    return amount, ""


def _of_several(
    food: Food, read: Amount, candidates: Sequence[HouseholdWeight], checks: list[str]
) -> tuple[str, str] | None:
    """One of several weights that could be meant, with the state that names it; None where there are none."""
    if not candidates:
        return None
    chosen = min(candidates, key=lambda w: _PIECES.index(w.unit) if w.unit in _PIECES else len(_PIECES))
    try:
        weigh(food, read, chosen.state)
    except CannotWeigh:
        return (_taken_as(read, chosen, checks), "") if read.kind is Kind.COUNT else None
    checks.append(f"{read} could be measured in several states; taken as {chosen.state}")
    return written(read), chosen.state


def _of_another_kind(food: Food, read: Amount, checks: list[str]) -> tuple[str, str] | None:
    """Pieces, where the pantry weighs another size or part; a stick of what grows in stalks."""
    if read.unit == "stick":
        weight = next((w for w in food.weights if w.unit == "stalk"), None)
    else:
        weight = _a_piece(food, read.unit) if read.unit in ("piece", "small", "medium", "large") else None
    return None if weight is None else (_taken_as(read, weight, checks), "")


def _taken_as(read: Amount, weight: HouseholdWeight, checks: list[str]) -> str:
    """So many of the size or part that the pantry weighs; in grams where the dish file has no word for it."""
    grams = float(read.value) * weight.grams_each
    checks.append(f"{read} taken as {grams:.0f} g ({weight.printed})")
    return f"{read.value} {weight.unit}" if weight.unit in SIZES and read.value.denominator == 1 else f"{grams:.0f} g"


_PIECES = (
    "medium",
    "piece",
    "large",
    "small",
    "fillet",
    "breast",
    "bulb",
    "head",
    "stalk",
    "root",
    "ear",
    "clove",
    "extra_large",
)


def _a_piece(food: Food, unit: str) -> HouseholdWeight | None:
    """What the pantry weighs of it, where that is another size or part."""
    return next((w for name in (unit, *_PIECES) for w in food.weights if w.unit == name), None)
