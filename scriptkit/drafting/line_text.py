"""An ingredient line cleaned: bullets, stars, prices and notes away, brackets apart, headings and things that are no food told."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scriptkit.drafting.food_matching import folded, is_of
from scriptkit.drafting.line_amounts import CONTAINER
from scriptkit.drafting.old_measures import begins_with_amount, old_measures, unit_of_word
from scriptkit.measure.numbers import NUMBER

_BULLET = re.compile(r"^(?:[-–—*•▢◦·○●□☐✓✔>]\s*)+(?=[^\d\s-]|\d)")
_PRICE = re.compile(r"\(?\s*[$£€]\s?\d+(?:\.\d+)?\s*\)?")
_MARKS = re.compile(r"[*†‡®™©]+|\bsee notes?\b[^,)]*|\bnote \d+\b", re.IGNORECASE)
_MEASURED = rf"{NUMBER}\s?(?:cups?|tablespoons?|tbsps?|teaspoons?|tsps?|sticks?|ounces?|oz|pounds?|lbs?|g|kg|ml)\b\.?"
_PLUS_AFTER_BRACKET = re.compile(
    rf"^(?P<first>{_MEASURED}\s*\([^()]*\))\s*(?:plus|\+|and|&)\s+(?P<more>{_MEASURED})(?:\s*\([^()]*\))?\s+(?:of\s+)?(?P<food>[^\W\d].*)$",
    re.IGNORECASE,
)
"""*1/2 cup (1 stick) plus 1 tbsp butter* is one sum of one food."""
_GLUED = re.compile(
    rf"^({NUMBER}\s*)(teaspoons??|tablespoons??|tbsps??|tsps??|cups??|ounces??|pounds??)(?=(?!fuls?\b|cakes?\b|s\b)[a-z]{{3,}})",
    re.IGNORECASE,
)
"""*1/2 teaspoonkosher salt*: a space was lost."""
_SIZE_BEHIND = re.compile(
    r"^(?P<count>\d+)\s+(?P<what>[^\W\d][^\d,()]*?)\s*[,(]\s*(?P<size>small|medium|large|extra[- ]large)\b(?!\s+[^\W\d])\s*,?\s*(?P<more>.*)$",
    re.IGNORECASE,
)
_EIGHTH = re.compile(r"^(?P<count>\d+)\s+(?P<what>lemon|lime|orange)\s+(?P<how>wedges?|slices?)\b", re.IGNORECASE)
"""A wedge or slice of a lemon is an eighth of it (USDA SR28, 09150: 7 g of 58 g)."""
_EIGHTH_OF = re.compile(
    r"^(?P<count>\d+)\s+(?:thin |thick |small )?(?P<how>wedges?|slices?)\s+(?:of )?(?:fresh )?(?P<what>lemon|lime|orange)\b(?! (?:cake|tart|pie|curd|bread|loaf))",
    re.IGNORECASE,
)
_ADDED_AS_OPTIONAL = re.compile(r"\b(?:plus|and|with)\b[^,;]*$", re.IGNORECASE)
_OPTIONAL = re.compile(r"\boptional\b|\bif (?:using|desired|liked|you (?:like|want|wish|prefer))\b", re.IGNORECASE)
_MIXED = re.compile(r"(?<![\d/])(\d+)\s?-\s?(\d/\d{1,2})(?!\d)")
_LABEL = re.compile(
    r"^(?:optional(?: (?:topping|garnish|ingredient)s?)?|garnish(?:es)?|toppings?|to (?:serve|garnish|finish)|for serving|ingredients?)\s*[:–—-]\s*(?=\S)",
    re.IGNORECASE,
)
_HEADING = re.compile(
    r"for (?:the|a|an) [^\d,]{1,60}|[^\d]{1,60}(?::|\s[-–—])|(?:info|notes?|equipment|ingredients|optional)\W*|\W*",
    re.IGNORECASE,
)
_SERVED = re.compile(
    r"^(?:(?:optional )?(?:garnish(?:es)?|toppings?)|to (?:serve|garnish|finish)|for serving)\s*[:–—-]\s*\S",
    re.IGNORECASE,
)
_ARTICLE = re.compile(r"(?:an?|some|plenty of|lots of)\s+(?P<next>[^\W\d]+)", re.IGNORECASE)
_PART_OF_A_DISH = re.compile(
    r"^(?:the )?(?:[^\W\d][\w'-]* ){0,3}(?:sauce|dough|filling|toppings?|dressing|marinade|glaze|icing|frosting|batter|crust|base|garnish|salad|crumble|streusel|rub|brine|"
    r"broth|salsa|slaw|layers?|sponge|custard|gravy|stuffing|coating|syrup|assembly|meatballs|patties|pickle|vinaigrette|noodles|rice|curry|soup|stew|pastry)$",
    re.IGNORECASE,
)
_SIZE_OF = re.compile(
    r"^(?:an? )?(?:piece |lump |knob |bit )?(?:of )?(?P<what>[^\W\d][^\d,]{1,30}?),? (?:about |as large as |of )?(?:the )?size of an? (?:small |large )?(?P<thing>egg|walnut|hazelnut|nutmeg|pea)\b",
    re.IGNORECASE,
)
_BEHIND = re.compile(r"\b(?:plus|for|to|in|with|on)\b|[,+]", re.IGNORECASE)
"""Begins what is not the thing itself: *butter, plus extra for the pan*."""
_NO_FOOD = re.compile(
    r"^(?:reduce|omit|use|add|see|click|you(?:'ll)? (?:will )?need|special equipment)\b", re.IGNORECASE
)
_TO_TASTE = re.compile(
    r"[,(]?\s*\b(?:to (?:your )?taste|as (?:needed|required|desired|necessary)|q\.?s\.?)\b[^,)]*\)?"
    r"|[,(]?\s*\b(?:for|to) (?:the )?(?:serv\w+|garnish\w*|fry\w*|deep[- ]fry\w*|pan[- ]fry\w*|greas\w+|dust\w+|sprinkl\w+|topp?\w*|drizzl\w+|decorat\w+|"
    r"brush\w*|coat\w*|roll\w*|sear\w*|cook\w*|dipp?\w*|finish\w*|toss\w*|spread\w*|rim\w*|flour\w*|dress\w*)\b[^)]*\)?"
    r"|[,(]?\s*\bas (?:a )?garnish\b\)?",
    re.IGNORECASE,
)
DROPPED = re.compile(
    r"^(?:optional|divided|plus\b|\+|for\b|to (?:taste|serve|top)|or\b|and/or\b|such as|like\b|preferably|about|approx|(?:roughly|around)\s+[\d½⅓⅔¼¾]|see\b|if\b|i\b|we\b|you\b|use\b|"
    r"more\b|extra\b|homemade|store[- ]?bought|from\b|any\b|note\b|recipe\b|adjust|can\b|may\b|not\b|don't|depending|e\.?g\.?|i\.?e\.?|this\b|these\b|it\b|"
    r"add\b|omit|reserve|substitute|sub\b|with\b|in\b|\d|[½⅓⅔¼¾⅛])",
    re.IGNORECASE,
)
"""Begins a note that says nothing of how the food is got ready."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineText:
    """``text`` without brackets that stand behind the food; ``notes`` are those, in order. ``to_taste``: it says so."""

    text: str
    notes: tuple[str, ...]
    to_taste: bool


def is_optional(line: str) -> bool:
    """Whether the line leaves it to the cook.

    >>> [is_optional(line) for line in ("20 g walnuts (optional)", "mint leaves, if using", "parmesan, plus an optional rind")]
    [True, True, False]
    """
    found = _OPTIONAL.search(line)
    return found is not None and not _ADDED_AS_OPTIONAL.search(line[: found.start()].replace("(", ","))


def is_no_ingredient(line: str) -> bool:
    """Whether the line is a heading, a mere unit, or a thing that is no food."""
    text = _cleaned(line)
    words = folded(text)
    if _HEADING.fullmatch(text) or _NO_FOOD.match(text) or not any(c.isalpha() for c in text):
        return True
    mere_unit = len(words) == 1 and words[0] in ("oz", "cup", "tbsp", "tsp", "g", "lb")
    thing = folded(_BEHIND.split(re.sub(r"\([^()]*\)", " ", text), maxsplit=1)[0]) or words
    return mere_unit or bool(thing and is_of(thing[-1], "junk"))


def headings_among(lines: Sequence[str], is_food: Callable[[str], bool]) -> set[int]:
    """Which lines head others by how they stand among them: *SAUCE* where most lines are not in capitals, *Pizza dough* before an amount."""
    told = [_BULLET.sub("", line).strip(" :*_#") for line in lines]
    capitals = {n for n, line in enumerate(told) if is_in_capitals(line) and not _TO_TASTE.search(line)}
    if 2 * len(capitals) > len([line for line in told if line]):
        capitals = set()
    found = {n for n in capitals if n + 1 < len(told) and n + 1 not in capitals}
    for n, line in enumerate(told[:-1]):
        part = _PART_OF_A_DISH.match(line) and line[:1].isupper() and begins_with_amount(told[n + 1])
        if part and not is_food(line):
            found.add(n)
    return found


def is_in_capitals(line: str) -> bool:
    """Whether a short line is all in capitals, as headings are."""
    letters = [c for c in line if c.isalpha()]
    return len(letters) > 2 and len(line.split()) <= 6 and line == line.upper() and not any(c.isdigit() for c in line)


def _is_measure(word: str) -> bool:
    return unit_of_word(word) is not None or word.casefold() in old_measures() or is_of(word.casefold(), "form")


def _cleaned(line: str) -> str:
    text = " ".join(line.replace("’", "'").replace("⁄", "/").replace("–", "-").replace("—", " - ").split())
    text = re.sub(r"\({2,}", "(", re.sub(r"\){2,}", ")", text))
    text = _MARKS.sub("", _PRICE.sub("", text))
    text = re.sub(r"(\d)\s?-\s?([½⅓⅔¼¾⅛⅜⅝⅞])", r"\1\2", text)
    text = re.sub(r"(?<=[A-Za-z])/(?=\d)", " / ", text)
    text = re.sub(r"\b(?:(?:cage|range)[- ]free|free[- ]range)\b", "", text, flags=re.IGNORECASE)
    text = re.sub(r"^(\d+),\s+(?=\d)", r"\1 ", text)
    text = re.sub(r"(?:^|(?<=[\s(,]))~\s*(?=\d)", "", text)
    text = re.sub(r"(?<=[A-Za-z])-\s+(?=[A-Za-z])", " - ", text)
    text = re.sub(
        r"\bfat (?=(?:red |green )?(?:chill?i|chill?ies|cloves?|garlic|leeks?|spring)\b)", "", text, flags=re.IGNORECASE
    )
    text = re.sub(r"\b(?:a )?thumb[- ]sized? (?:piece|knob|chunk) (?:of )?", "1 thumb ", text, flags=re.IGNORECASE)
    text = re.sub(
        r"\b(squeeze of (?:fresh )?(?:lemon|lime|orange))s?\b(?! juice)", r"\1 juice", text, flags=re.IGNORECASE
    )
    text = re.sub(
        r"\b(small|medium)(?:[- ]to[- ]|/|-)(?:medium|(?:extra[- ])?large)\b", r"\1", text, flags=re.IGNORECASE
    )
    text = re.sub(r"\b(?:brick|country|farmhouse)[- ]style\b", "", text, flags=re.IGNORECASE)
    text = re.sub(r"\b(small|medium|large)[- ]sized?\b", r"\1", text, flags=re.IGNORECASE)
    text = re.sub(r"(\w+),\s+[\w ]{1,30},\s+(?:and/)?or\s+(\w+\s+\w)", r"\1 or \2", text)
    text = _LABEL.sub("", _BULLET.sub("", text.strip()))
    text = _GLUED.sub(r"\1\2 ", text)
    text = _SIZE_BEHIND.sub(_size_in_front, text)
    text = _EIGHTH_OF.sub(r"\g<count> \g<what> \g<how>", text)
    text = _EIGHTH.sub(r"\g<count>/8 \g<what>, in \g<how>", text)
    text = _PLUS_AFTER_BRACKET.sub(r"\g<first> \g<food>, plus \g<more>", text)
    text = _SIZE_OF.sub(r"1 size-of-\g<thing> \g<what>", text)
    return re.sub(r"\(\s*[,.;]*\s*\)", "", _MIXED.sub(r"\1 \2", text)).strip(" .;,")


def _size_in_front(found: re.Match[str]) -> str:
    """*1 Onion (large, yellow, chopped)* is *1 large Onion (yellow, chopped)*."""
    what = found["what"].split()
    if _is_measure(what[0]) or CONTAINER.match(what[0]):
        return found.group()
    bracket = "(" if "(" in found.group()[: found.start("size") - found.start()] else ", "
    more = f" {bracket}{found['more']}" if found["more"].strip(" )") else ""
    return f"{found['count']} {found['size']} {found['what'].strip()}{more}"


def read_text(line: str) -> LineText:
    """The line without what is not the food: brackets become notes, save those right behind a number, which are sizes."""
    text = _cleaned(line)
    to_taste = bool(_TO_TASTE.search(text) or _SERVED.match(_BULLET.sub("", line.strip())))
    text = _TO_TASTE.sub("", text)
    if to_taste and (article := _ARTICLE.match(text)) and not _is_measure(article["next"]):
        text = text[article.start("next") :]  # a green salad, to serve: any of it
    text, notes = _without_brackets(text)
    return LineText(text=" ".join(text.split()).strip(" ,;-:"), notes=tuple(n for n in notes if n), to_taste=to_taste)


def _without_brackets(text: str) -> tuple[str, list[str]]:
    """Brackets may hold brackets; one that never ends holds the rest."""
    kept: list[str] = []
    notes: list[str] = []
    depth, note = 0, ""
    for letter in text[:1000]:
        if letter == "(":
            depth += 1
            note += "" if depth == 1 else ", "
        elif letter == ")" and depth:
            depth -= 1
            if depth == 0:
                before = "".join(kept).rstrip()
                if _is_size_place(before, note):
                    kept.append(f" ({note.strip(' ,')}) ")
                else:
                    notes.append(note.strip(" ,;"))
                    kept.append(" ")
                note = ""
            elif note:
                note += ", "
        elif depth:
            note += letter
        elif letter != ")":
            kept.append(letter)
    if depth and note.strip():
        notes.append(note.strip(" ,;"))
    return "".join(kept), notes


def _is_size_place(before: str, note: str) -> bool:
    """Whether a bracket belongs to the amount: behind a number or its unit, and about a measure."""
    if not re.search(r"\d", note) or len(before) > 24:
        return not before and note.strip().isdigit()
    found = re.fullmatch(r"[\d\s./½⅓⅔¼¾⅛⅜⅝⅞,x×-]*([A-Za-z]+\.?)?\s*", before)
    word = found[1] if found else None
    return bool(found) and (
        word is None
        or unit_of_word(word) is not None
        or word.casefold() in old_measures()
        or bool(CONTAINER.match(word))
    )
