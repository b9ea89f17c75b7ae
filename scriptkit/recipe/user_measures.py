"""A kitchen's own measures: a ladle, a scoop, a tray, as a file defines them under `measures:`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from scriptkit.measure.amounts import (
    TOLD,
    Ambiguous,
    Amount,
    Cups,
    Kind,
    NotAnAmount,
    OwnMeasures,
    beginning,
    folded,
    format_grams,
    parse_amount,
)
from scriptkit.measure.durations import NotADuration, parse_duration
from scriptkit.measure.numbers import LARGEST, NUMBER, NotANumber, format_number, split_number
from scriptkit.measure.words import plural
from scriptkit.problems import Problem, error
from scriptkit.recipe.additions import TO_TASTE
from scriptkit.recipe.formcheck import UNREAD
from scriptkit.recipe.takeovers import REST, SHARES
from scriptkit.recipe.yamltree import Tree

AS_MUCH = Fraction(1, 200)
"""A measure that is this near to the unit of its name says the same: a jug is read no finer (common practice, no source)."""

_NOT_A_NAME = frozenset({*SHARES, *REST, *TO_TASTE, "all", "serving", "servings", "percent"})
"""What an amount may say in place of a unit."""
_NAME = re.compile(r"[^\W\d_]+(?:[ .'’-]+[^\W\d_]+)*\.?")
_LENGTH = re.compile(rf"(?:{NUMBER})\s*(?:mm|cm|m|in|inch(?:es)?|[\"″]|°\s?[cf]?|degrees?)\b", re.IGNORECASE)


def own_measures(
    written: Mapping[str, str], tree: Tree, cups: Cups, around: OwnMeasures
) -> tuple[OwnMeasures, list[Problem]]:
    """The measures of the file laid over those ``around`` it (the pantry's), by every word that an amount may call them; and
    what was wrong with them. One that is wrong is None, so that nothing is computed from it."""
    reader = _Reader(written, tree, cups, around)
    for name in written:
        reader.resolve(name, ())
    for name in reader.circular:
        reader.tell(name, f"what a {name} holds is defined by itself", "write one of the circle in g or ml", value=True)
    return reader.found, reader.problems


def _forms(name: str) -> list[str]:
    """The words for one and for several of it, whichever the cook wrote."""
    found = [folded(name), folded(plural(name))]
    if found[0].endswith("s"):
        found.append(found[0][:-1])
    return list(dict.fromkeys(found))


class _Reader:
    """The definitions of one file, each resolved once."""

    def __init__(self, written: Mapping[str, str], tree: Tree, cups: Cups, around: OwnMeasures) -> None:
        self.written, self.tree, self.cups = written, tree, cups
        self.problems: list[Problem] = []
        self.circular: dict[str, None] = {}
        self.named: dict[str, str] = {}
        for name in written:
            first = self.named.setdefault(folded(name), name)
            if first != name:
                self.tell(name, f"“{name}” stands here already, as “{first}”", "keep one of them")
        for name in written:
            for form in _forms(name):
                self.named.setdefault(form, name)
        self.found: dict[str, Amount | None] = {w: one for w, one in around.items() if w not in self.named}
        self.done: set[str] = set()

    def tell(self, name: str, message: str, hint: str, *, value: bool = False) -> None:
        place = self.tree.place("measures", name, key=not value)
        self.problems.append(error(place, "measure", message, hint))

    def resolve(self, name: str, on_the_way: tuple[str, ...]) -> None:
        """Find what one of it holds, and first of what it is defined by."""
        if name in self.done:
            return
        if name in on_the_way:
            self.circular |= dict.fromkeys(on_the_way[on_the_way.index(name) :])
            return
        text = self.written[name]
        if (other := self._defined_by(text)) is not None:
            self.resolve(other, (*on_the_way, name))
        if name in self.done:
            return
        self.done.add(name)
        one = None if name in self.circular else self._value(name, text)
        if one is not None:
            one = self._under_its_name(name, one)
        if self.named.get(folded(name)) == name:
            self.found |= {form: one for form in _forms(name) if self.named[form] == name}

    def _defined_by(self, text: str) -> str | None:
        """The measure of the file that the definition counts."""
        try:
            found = beginning(split_number(text)[1], self.named)
        except NotANumber:
            return None
        return None if found is None else self.named[found[0]]

    def _value(self, name: str, text: str) -> Amount | None:
        if text == UNREAD:
            return None
        holds = f"write what one {name} holds, such as 80 ml or 30 g"
        try:
            one = parse_amount(text, cups=self.cups, own=self.found)
        except NotAnAmount as wrong:
            if wrong.code == TOLD:
                return None
            if _no_amount(text):
                self.tell(name, f"“{text}” is not a weight, a volume or a count", holds, value=True)
            else:
                hint = wrong.hint if wrong.code == "unit" or "range" in str(wrong) or "comma" in str(wrong) else holds
                self.tell(name, str(wrong), hint, value=True)
            return None
        size = one.value if one.kind is Kind.COUNT else one.exactly(_BASE[one.kind])
        if not Fraction(1, 1000) <= size <= LARGEST:
            self.tell(name, f"no {name} holds {text}", "check the figure and its unit", value=True)
            return None
        return one

    def _under_its_name(self, name: str, one: Amount) -> Amount | None:
        """The measure, where its name is free or already means as much; of a name that means several things, the one that is
        as much."""
        if folded(name) in _NOT_A_NAME or not _NAME.fullmatch(name.strip()):
            self.tell(
                name, f"a measure cannot be called “{name}”", "give it a name of letters, such as ladle or small scoop"
            )
            return None
        try:
            known = [parse_amount(f"1 {name}", cups=self.cups)]
        except Ambiguous as several:
            known = [Amount(Fraction(1), unit) for unit in several.units]
        except NotAnAmount:
            return one
        same = next((k for k in known if _as_much(k, one)), None)
        if same is not None:
            return same
        means = " or ".join(dict.fromkeys(_told(k) for k in known))
        hint = f"call it something else, such as `my {name}`"
        if one.kind is not Kind.COUNT and any(
            k.kind is Kind.COUNT for k in known
        ):  # which of a food is a matter of the food
            hint += (
                f", or write `household: {{{name}: {self.written[name]}}}` with the food that it is of, under `foods:`"
            )
        if any(_as_much(k, one) for cups in Cups for k in _read_by(name, cups)):
            hint += ", or say whose cups and spoons you mean with `cups: metric` or `cups: australian`"
        self.tell(name, f"a {name} is a unit already: {means}, not {self.written[name]}", hint)
        return None


_BASE = {Kind.MASS: "gram", Kind.VOLUME: "millilitre"}


def _no_amount(text: str) -> bool:
    """Whether the text is a length, a time, a temperature, or no figure at all."""
    try:
        parse_duration(text)
    except NotADuration:
        return bool(_LENGTH.match(text.strip())) or not any(c.isnumeric() for c in text)
    return True


def _as_much(one: Amount, other: Amount) -> bool:
    if one.kind is not other.kind:
        return False
    if one.kind is Kind.COUNT:
        return one == other
    return abs(one.exactly(_BASE[one.kind]) / other.exactly(_BASE[one.kind]) - 1) <= AS_MUCH


def _read_by(name: str, cups: Cups) -> list[Amount]:
    try:
        return [parse_amount(f"1 {name}", cups=cups)]
    except NotAnAmount:
        return []


def _told(one: Amount) -> str:
    if one.kind is Kind.MASS:
        return format_grams(one.grams)
    return f"{format_number(one.exactly('millilitre'))} ml" if one.kind is Kind.VOLUME else "a count"
