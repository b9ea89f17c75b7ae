"""What is weighed with its shells or bones, and eaten without: the same for a recipe's file and for a line that is imported."""

from __future__ import annotations

import re

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.pantry.food import Food

PULSES_LEFT = (0.6, 0.55, 0.65)
"""Of a can of pulses what is left without its liquid, and the least and the most of makes that differ (common practice, no source)."""
_SHELL_SHARES = {"mussels": 0.75, "clams": 0.8, "oysters": 0.85, "cockles": 0.8, "lobster, raw": 0.67}
"""What of them as bought is shell (common practice, no source); the table's rows are of the meat and give none."""
_WHOLE_FISH = re.compile(r"\bwhole\b|\bgutted\b(?!.*\bfill?ets?\b)|\bhead[- ]on\b", re.IGNORECASE)
_WHOLE_FISH_SHARE = 0.5
_NO_SHELLS = re.compile(r"\b(?:meats?|shelled|shucked|cooked|canned|tinned|smoked|drained)\b", re.IGNORECASE)
_LEAST_IN_SHELLS_G = 100
_BONES = re.compile(
    r"\bbone[- ]in\b|\bshells?[- ]on\b|\bunpeeled\b|\bin (?:the|their) shells?\b|\bon the bone\b|\bwith bones?\b|\bwhole\b|\bjointed\b|\bspatchcock",
    re.IGNORECASE,
)
_BONELESS = re.compile(r"\b(?:boneless|de-?boned|boned|off the bone|meat only|bones? (?:out|removed))\b", re.IGNORECASE)
_NO_BONES = re.compile(
    r"\b(?:fillets?|diced|cubed|minced|ground|shredded|pulled|cooked|strips|chunks)\b", re.IGNORECASE
)
_BONY = re.compile(
    r"\b(?:whole|wing|drumstick|chicken leg|thigh, skin-on|ribs?|chops?|rack|shank|oxtail|bone|bone-in|neck|quail|pheasant|poussin|goose|squab|guinea fowl|"
    r"boiling fowl|duck, wild|t-bone|porterhouse)\b"
)
"""In names of foods that are sold with their bones; what is without has a name of its own."""
_SOLD_WITH_BONES = frozenset({"poultry", "pork", "lamb", "beef", "veal", "game", "shellfish"})
_HAM = re.compile(r"\bham\b")
"""Of the cured meats what may have a bone."""
_BONES_SHARE = 0.1
_TAKEN_OFF = re.compile(r"\b(?:pitted|stoned|shelled|podded|boned|filleted|cored|shucked|peeled)\b", re.IGNORECASE)
_SOLD_READY = ("nut or seed",)
"""Bought without what their rows call refuse."""
_MUCH = 0.3


def refuse_share(food: Food, words: str = "") -> float | None:
    """What of the food as bought nobody eats, 0 to 1: of shellfish and whole fish an estimate, else as its table has it; None is unknown."""
    if food.name in _SHELL_SHARES:
        return _SHELL_SHARES[food.name]
    if food.category == "fish" and _WHOLE_FISH.search(words):
        return max(food.refuse_share or 0.0, _WHOLE_FISH_SHARE)
    return food.refuse_share


def in_shells(food: Food, amount: Amount | None, line: str) -> bool:
    """Whether the line weighs shellfish with their shells, or a whole fish, of which the table has the meat alone."""
    if amount is None or amount.kind is not Kind.MASS or amount.grams < _LEAST_IN_SHELLS_G or _NO_SHELLS.search(line):
        return False
    return food.name in _SHELL_SHARES or (food.category == "fish" and bool(_WHOLE_FISH.search(line)))


def with_bones(food: Food, amount: Amount | None, line: str) -> bool:
    """Whether a weight is of meat with its bones: the line says so, or it is a cut that is sold in no other way."""
    return (food.refuse_share or 0) >= _BONES_SHARE and _weighed_with_bones(food, amount, line)


def with_unknown_bones(food: Food, amount: Amount | None, line: str) -> bool:
    """The same, of a food of which no table says how much of it is bone."""
    return food.refuse_share is None and _weighed_with_bones(food, amount, line)


def _weighed_with_bones(food: Food, amount: Amount | None, line: str) -> bool:
    if amount is None or amount.kind is not Kind.MASS or "boneless" in food.name:
        return False
    may_have = food.category in _SOLD_WITH_BONES or (food.category == "cured meat" and _HAM.search(food.name))
    if not may_have or _BONELESS.search(line):
        return False
    return bool(_BONES.search(line)) or (bool(_BONY.search(food.name)) and not _NO_BONES.search(line))


_SHELLS_ON = re.compile(r"\bshells?[- ]on\b|\bunpeeled\b|\bin (?:the|their) shells?\b", re.IGNORECASE)


def goes_in_with(food: Food, amount: Amount | None, words: str, bought: str | None, called: str = "") -> str:
    """What nobody eats of it and still is on it when it goes in, so that the scale shows it too: ``bones``, ``shells``; else empty.
    ``words`` are its key and how it is cut, ``called`` the food as the file has it. ``bought`` is what the file says of it, None where it
    says nothing; a weight without a word is of what is eaten."""
    share = refuse_share(food, words) or 0.0
    taken_off = _BONELESS.search(words) or _NO_BONES.search(words) or _TAKEN_OFF.search(words)
    if bought == "ready" or amount is None or amount.kind is Kind.VOLUME or not 0 < share < 1 or taken_off:
        return ""
    counted, whole, said = amount.kind is Kind.COUNT, bought == "whole", f"{words} {called}"
    if food.category == "shellfish":
        on = whole or (counted and (food.name in _SHELL_SHARES or _SHELLS_ON.search(said)))
        return "shells" if on and not _NO_SHELLS.search(words) else ""
    if food.category == "fish":
        on = (whole or counted) and _WHOLE_FISH.search(said)
    else:
        on = _has_bones(food) and (whole or (counted and (_BONES.search(said) or _BONY.search(food.name))))
    return "bones" if on else ""


def _has_bones(food: Food) -> bool:
    """Whether what is thrown away of it is bone, as far as its class tells."""
    sold_with = food.category in _SOLD_WITH_BONES or (food.category == "cured meat" and _HAM.search(food.name))
    return bool(sold_with) and (food.refuse_share or 0) >= _BONES_SHARE and not food.name.endswith("fat")


_WHOLE_BIRD = re.compile(
    r"\bwhole\b|\bjointed\b|\bspatchcock|\broast(?:er|ing)\b|\bcut (?:in|into|up)\b.*\b(?:pieces|parts|portions|joints|serving|eight|8|10)\b|\bcut up\b",
    re.IGNORECASE,
)
_BIRD_G = 1_200
"""From here on a single chicken is a whole one (common practice, no source)."""


def whole_bird(amount: Amount | None, line: str, *, counted: bool) -> bool:
    """Whether *chicken* means the whole bird: *1 chicken, jointed*, *a 1.6 kg chicken*."""
    if amount is None or _NO_BONES.search(line) or _BONELESS.search(line):
        return False
    heavy = amount.kind is Kind.MASS and amount.grams >= _BIRD_G and re.search(r"\bchickens?\b(?! )", line) is not None
    return counted or heavy or bool(_WHOLE_BIRD.search(line))


def much_taken_off(food: Food, amount: Amount | None, words: str) -> str:
    """The word that tells that much is thrown away before it goes in, so that its weight may be of before or after: *shelled*; else empty."""
    said = _TAKEN_OFF.search(words)
    weighed = amount is not None and amount.kind is Kind.MASS and food.category not in _SOLD_READY
    return said[0].lower() if said and weighed and (refuse_share(food, words) or 0.0) >= _MUCH else ""
