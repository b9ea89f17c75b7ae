"""Foods that only the method names, with how much: *add the rice and 500 ml boiling water*. The list lacks them, the pot does not."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from scriptkit.drafting.food_matching import SURE, is_of
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.line_amounts import read_amount
from scriptkit.drafting.line_weights import moves_little
from scriptkit.drafting.step_mentions import Named, mentions
from scriptkit.english.written_method import sentences_of
from scriptkit.measure.numbers import NUMBER

_UNIT = r"(?:cups?|tablespoons?|tbsps?|tbs|teaspoons?|tsps?|ml|millilit(?:re|er)s?|cl|dl|l|lit(?:re|er)s?|pints?|quarts?|fl\.? ?oz|ounces?|oz|g|grams?|kg|lbs?|pounds?|pinch(?:es)?|sprigs?|cloves?)"
_AMOUNT = rf"(?:{NUMBER}(?:\s?(?:-|–|to)\s?{NUMBER})?\s?{_UNIT}\b\.?(?:\s*\([^()]{{1,25}}\)|\s?/\s?{NUMBER}\s?{_UNIT}\b)?|an? (?:cup|tablespoon|teaspoon|pint|pinch)\b|half a (?:cup|pint|litre)\b)"
_PUTS_IN = r"\b(?:add(?:ed|ing)?|stir(?:ring)?|pour(?:ing)?|whisk(?:ing)?|mix(?:ing)?|combin(?:e|ing)|blend(?:ing)?|beat(?:ing)?|dissolv(?:e|ing)|together with|plus|tip|put|sprinkle)\b"
_BEHIND_A_FOOD = r"(?!(?:and|or|to|into|in|with|until|on|over|then|for|at|from|if|while|as|so|per|plus)\b)"
_FOUND = re.compile(
    rf"(?:(?<=\s)|(?<=\())(?P<line>{_AMOUNT}\s+(?:of\s+)?[^\W\d_][^\W\d_'-]*(?:\s+{_BEHIND_A_FOOD}[^\W\d_'-]+){{0,3}})",
    re.IGNORECASE,
)
_PUT_IN_SHORTLY_BEFORE = re.compile(rf"{_PUTS_IN}[^.;:!?]*$", re.IGNORECASE)
_SHORTLY = 150
"""Letters between the word that puts something in and its amount."""
_NOT_EATEN = re.compile(
    r"\b(?:bath|trivet|steam\w*|roasting (?:pan|tin) below|bottom of (?:the|a|your) (?:pan|tray|oven)|base of the tray|halfway up|up the sides?|ice|thin(?:ned)?|if (?:needed|necessary|using|you)|as needed|"
    r"more|another|additional|extra|too (?:thick|dry)|drain|soak\w*|blanch\w*|parboil\w*|strain\w*|reserved?|remaining|optional\w*|instead|such as|or so of|sealer|rinse)\b",
    re.IGNORECASE,
)
_NO_FOOD = re.compile(
    r"\b(?:mixture|batter|dough|marinade|sauce|liquid|pasta water|cooking water|reserved|drippings|glaze|dressing|filling|slurry|time|each|it|them|this|that)\b",
    re.IGNORECASE,
)
_MOST, _MOST_READ = 20, 100
_ONLY_IN_THE_METHOD = "only the method names it"


def foods_in_method(
    texts: Sequence[str], cooks: Sequence[bool], named: Sequence[Named], reader: LineReader
) -> Iterator[tuple[int, DraftIngredient]]:
    """(index of the step, ingredient) of each food that a step of cooking adds by an amount and the list has not. Water is as sure as its
    amount, and a pinch moves little; of another food it is a doubt whether it is one of the list by another name."""
    told = 0
    for number, line in islice(_measured(texts, cooks), _MOST_READ):
        for one in reader.read(line):
            if told < _MOST and _is_new(one, line, named, reader):
                told += 1
                yield number, one if _is_water(one) or _is_little(one, reader) else _doubted(one)


def _measured(texts: Sequence[str], cooks: Sequence[bool]) -> Iterator[tuple[int, str]]:
    """(index of the step, the words of an amount and its food) of all that steps of cooking put in."""
    for number, text in enumerate(texts):
        for sentence in sentences_of(text) if cooks[number] else ():
            if not _NOT_EATEN.search(sentence):
                yield from ((number, line) for line in _lines(sentence))


def _lines(sentence: str) -> Iterator[str]:
    """Every amount with its food, behind a word that puts something in."""
    for found in _FOUND.finditer(sentence):
        before = sentence[max(0, found.start() - _SHORTLY) : found.start()]
        if _PUT_IN_SHORTLY_BEFORE.search(before) and not _NO_FOOD.search(found["line"]):
            yield found["line"]


def _is_water(one: DraftIngredient) -> bool:
    return (one.food or one.name).split()[-1:] == ["water"]


def _is_little(one: DraftIngredient, reader: LineReader) -> bool:
    food, amount = reader.pantry.known(one.food or one.name), read_amount(one.amount).amount
    return food is not None and amount is not None and moves_little(food, amount, one.prep)


def _is_new(one: DraftIngredient, line: str, named: Sequence[Named], reader: LineReader) -> bool:
    food = reader.pantry.known(one.food or one.name) if one.known and one.food_sure >= SURE else None
    if food is None or one.amount_sure < 1 or is_of(one.name, "cut", "plain"):
        return False
    has = any(_same(other, food.name, reader) for other in named)
    return not has and not mentions([f"add {line}"], named)


def _same(other: Named, food: str, reader: LineReader) -> bool:
    known = reader.pantry.known(other.name)
    return known is not None and known.name == food


def _doubted(one: DraftIngredient) -> DraftIngredient:
    return replace(one, amount_sure=0.7, why_unsure=_ONLY_IN_THE_METHOD)
