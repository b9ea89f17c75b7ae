"""What a step takes over from others (`from:`), and what of it nobody eats (`left_behind:`), as the file writes them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind
from scriptkit.measure.numbers import NotANumber, split_number
from scriptkit.problems import Place, error
from scriptkit.recipe.formcheck import UNREAD
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path

SHARES = {
    "all": Fraction(1), "half": Fraction(1, 2), "a half": Fraction(1, 2), "a third": Fraction(1, 3), "third": Fraction(1, 3),
    "two thirds": Fraction(2, 3), "a quarter": Fraction(1, 4), "quarter": Fraction(1, 4),
    "three quarters": Fraction(3, 4),
}  # fmt: skip
REST = ("rest", "the rest", "remaining")
JUICES = ("juices", "the juices")
SOME = ("some", "unknown", "?")
_PERCENT = re.compile(r"^(.*?)\s*(?:%|percent|per cent)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeover:
    """One entry of `from:`. ``dish`` is empty for a step of the same dish. Of ``share`` (0 to 1), ``grams``, ``rest`` and
    ``juices`` one holds; none where the words could not be read, which is among the problems."""

    step: str
    dish: str
    words: str
    share: Fraction | None
    grams: float | None
    rest: bool
    juices: bool
    place: Place
    juices_of: str = ""
    """What is known to run out, by name: ``the pork loin``; empty: not known."""

    @property
    def juices_name(self) -> str:
        """What its juices are called: ``juices of the pork loin``."""
        return f"juices of {self.juices_of}" if self.juices_of else "juices"

    @property
    def unread(self) -> bool:
        """Whether its words say nothing that could be understood."""
        return self.share is None and self.grams is None and not self.rest and not self.juices

    @property
    def name(self) -> str:
        """As the file names the step: `marinate`, or `Roast lamb/rest`."""
        return f"{self.dish}/{self.step}" if self.dish else self.step


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """One entry of `left_behind:`. ``share`` of what arrives, 0 to 1, or ``amount`` of it; neither where it was not weighed:
    then it is an estimate."""

    key: str
    words: str
    share: float | None
    amount: Amount | None
    place: Place

    @property
    def estimated(self) -> bool:
        """Whether the file says that some of it stays behind, and not how much."""
        return self.share is None and self.amount is None


def read_takeovers(bench: FieldParser, form: Mapping[str, str], at: Path) -> tuple[Takeover, ...]:
    """The entries of `from:`, in the file's order; words that are no part are told."""
    return tuple(
        _takeover(bench, name, words, _place(bench, at, name, n)) for n, (name, words) in enumerate(form.items())
    )


def _place(bench: FieldParser, at: Path, name: str, n: int) -> Place:
    if (*at, name) in bench.tree.keys or (*at, name) in bench.tree.values:
        return bench.tree.place(*at, name, key=True)
    return bench.tree.place(*at, n) if (*at, n) in bench.tree.values else bench.tree.place(*at)


def _takeover(bench: FieldParser, name: str, words: str, place: Place) -> Takeover:
    dish, slash, step = name.rpartition("/")
    told = words.casefold().strip()
    share = SHARES.get(told)
    rest, juices = told in REST, told in JUICES
    grams = None
    if share is None and not rest and not juices and words != UNREAD:
        share, grams = _part(bench, words, place)
    return Takeover(
        step=step.strip() if slash else name.strip(),
        dish=dish.strip(),
        words=words,
        share=share,
        grams=grams,
        rest=rest,
        juices=juices,
        place=place,
    )


def _part(bench: FieldParser, words: str, place: Place) -> tuple[Fraction | None, float | None]:
    """A percentage or a weight."""
    percent = percent_of(words)
    if percent is not None:
        if percent > 1:
            hint = "write `all`, or a part of it"
            bench.problems.append(error(place, "parts", f"{words} is more than there is of it", hint))
            return None, None
        return percent, None
    amount = bench.read(lambda text: _amount(bench, text), words)
    if amount is None or amount.kind is not Kind.MASS:
        message = f"“{words}” does not say how much of it goes on here"
        hint = "write `all`, `half`, `rest`, `juices` or a weight such as 120 g"
        bench.problems.append(error(place, "from", message, hint))
        return None, None
    return None, amount.grams


def _amount(bench: FieldParser, text: str) -> Amount | None:
    from scriptkit.measure.amounts import NotAnAmount, parse_amount

    try:
        return parse_amount(text, cups=bench.cups, own=bench.measures)
    except NotAnAmount:
        return None


def percent_of(words: str) -> Fraction | None:
    """A percentage as a share; None where the words are none.

    >>> percent_of("60 %"), percent_of("half")
    (Fraction(3, 5), None)
    """
    found = _PERCENT.match(words.strip())
    if found is None:
        return None
    try:
        value, rest = split_number(found.group(1))
    except NotANumber:
        return None
    return None if rest.strip() or value < 0 else Fraction(value) / 100


def read_left_behind(bench: FieldParser, form: Mapping[str, str], at: Path) -> tuple[Leftover, ...]:
    """The entries of `left_behind:`, in the file's order; words that are no share and no amount are told."""
    found = []
    for n, (key, words) in enumerate(form.items()):
        place = _place(bench, at, key, n)
        told = words.casefold().strip()
        share = SHARES.get(told, percent_of(words))
        amount = None
        if share is None and told not in SOME and words != UNREAD:
            amount = bench.amount(words, *at, key)
            if amount is None:
                continue
        if share is not None and share > 1:
            message = f"{words} of the {key.replace('_', ' ')} is more than arrives here"
            bench.problems.append(error(place, "left-behind", message, "write a share up to 100 %, or `some`"))
            continue
        found.append(
            Leftover(key=key, words=words, share=None if share is None else float(share), amount=amount, place=place)
        )
    return tuple(found)
