"""From a kitchen amount to grams, through the food's household weights; never by a guess."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Cups, Kind, format_grams
from scriptkit.pantry.borrowing import BorrowedWeight, borrowed_of, of_region
from scriptkit.pantry.food import Food, HouseholdWeight
from scriptkit.pantry.names import words_of

SIZES = ("small", "medium", "large", "extra_large")
_CLOSE = 1.03
"""Household weights this near to one another are one answer: a level spoon is no finer (common practice, no source)."""

# One word for each way of cutting or packing, so that a cook's `prep:` finds the measure it was weighed in.
_STATES = {
    "diced": ("dice", "diced", "cube", "cubed"),
    "chopped": ("chop", "chopped", "piece", "chunk", "coarsely", "roughly"),
    "sliced": ("slice", "sliced", "ring", "round"),
    "shredded": ("shred", "shredded", "grated", "grate"),
    "minced": ("mince", "minced"),
    "mashed": ("mash", "mashed"),
    "pureed": ("puree", "pureed"),
    "crumbled": ("crumble", "crumbled"),
    "crushed": ("crush", "crushed"),
    "ground": ("ground", "grind", "milled"),
    "halved": ("half", "halved"),
    "whole": ("whole", "intact"),
    "slivered": ("sliver", "slivered"),
    "julienned": ("julienne", "julienned", "strip", "matchstick"),
    "packed": ("packed",),
    "unpacked": ("unpacked",),
    "sifted": ("sift", "sifted"),
    "melted": ("melt", "melted"),
    "whipped": ("whip", "whipped"),
    "pitted": ("pitted", "stoned"),
}
_STATE_OF = {word: state for state, words in _STATES.items() for word in words}


_FORM = 0.15
"""How much further than the forms that are weighed another form may be (common sense, no source)."""


class CannotWeigh(ValueError):
    """Grams cannot be told. ``candidates`` are the household weights that could be meant; ``hint`` says what to write."""

    def __init__(
        self, message: str, hint: str, candidates: Sequence[HouseholdWeight] = (), other: bool = False
    ) -> None:
        super().__init__(message)
        self.hint = hint
        self.candidates = tuple(candidates)
        self.other_form = other
        """Whether the candidates are of another form than the cook's."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """Grams and how they were told (``printed`` is the household measure used, empty where the amount was a weight). An
    estimate says what it is ``borrowed`` from, and lies between ``low_g`` and ``high_g``."""

    grams: float
    printed: str = ""
    low_g: float | None = None
    high_g: float | None = None
    borrowed: str = ""


def weigh(food: Food, amount: Amount, state: str = "") -> Weighed:
    """Grams of ``amount`` of the food, measured in this state (the cook's words: ``sliced, 5 mm``).

    Raises CannotWeigh where the food has no such household weight, or several that differ.
    """
    if amount.kind is Kind.MASS:
        return Weighed(amount.grams)
    chosen = _choose(food, amount, state)
    if amount.kind is Kind.VOLUME:
        one_ml = chosen.grams_each / Amount(Fraction(1), chosen.unit).millilitres
        return Weighed(amount.millilitres * one_ml, chosen.printed)
    return Weighed(float(amount.value) * chosen.grams_each, chosen.printed)


def weigh_or_estimate(food: Food, amount: Amount, state: str = "", cups: Cups = Cups.US) -> Weighed:
    """As `weigh`; where the table does not tell, an estimate: what the region grades so, its kind cut the same way, the same food in another form, its
    medium size, or its kind. Raises CannotWeigh where there is none of these, or the cook's words could mean several."""
    if amount.kind is Kind.MASS:
        return weigh(food, amount, state)
    if (graded := _borrowed(of_region(food, cups), amount, state)) is not None:
        return graded
    try:
        return weigh(food, amount, state)
    except CannotWeigh as wrong:
        own, of_kind = borrowed_of(food, cups)
        found = (
            _borrowed(own, amount, state)
            or _borrowed(_in_this_form(of_kind, state), amount, state)
            or _in_another_form(amount, wrong)
            or _medium(food, amount)
            or (None if volume_weights(food) and amount.kind is Kind.VOLUME else _borrowed(of_kind, amount, state))
        )
        if found is None:
            raise
        return found


def weigh_between(food: Food, amount: Amount, ends: Sequence[Amount], state: str = "", cups: Cups = Cups.US) -> Weighed:
    """As `weigh_or_estimate`, for an amount that is one of a range: it then lies between what its two ``ends`` weigh. Raises CannotWeigh
    where the amount lies outside of them."""
    weighed = weigh_or_estimate(food, amount, state, cups)
    if len(ends) != 2:
        return weighed
    least, most = (weigh_or_estimate(food, end, state, cups) for end in ends)
    if not least.grams <= weighed.grams <= most.grams:
        raise CannotWeigh(
            f"{amount} is not between {ends[0]} and {ends[1]}", "write the least and the most, the amount between them"
        )
    low_g, high_g = least.low_g or least.grams, most.high_g or most.grams
    return dataclasses.replace(weighed, low_g=low_g, high_g=high_g, borrowed=f"the file gives {ends[0]} to {ends[1]}")


def estimate_words(grams: float, low_g: float, high_g: float, borrowed: str) -> str:
    """``31 g (28 to 34 g), a cup of yoghurt (SR28 01116)``."""
    return f"{format_grams(grams)} ({format_grams(low_g)} to {format_grams(high_g)}), {borrowed}"


def _borrowed(rows: Sequence[BorrowedWeight], amount: Amount, state: str) -> Weighed | None:
    """By the row in this state, else by any; of several units by the nearest."""
    by_volume = amount.kind is Kind.VOLUME
    fitting = {
        id(b.weight): b
        for b in rows
        if (Amount(Fraction(1), b.weight.unit).kind is Kind.VOLUME if by_volume else b.weight.unit == amount.unit)
    }
    weights = [b.weight for b in fitting.values()]
    if not weights:
        return None
    best = fitting[id(_nearest_unit(_in_state(weights, state) or weights, amount)[0])]
    return _as_estimate(amount, best.weight, best.low_g, best.high_g, best.source)


def _in_this_form(rows: Sequence[BorrowedWeight], state: str) -> list[BorrowedWeight]:
    """Those that are of food cut as the cook's words say: chopped herbs are nearer to chopped dill than its sprigs."""
    wanted = states_in(state)
    return [b for b in rows if wanted & states_in(b.weight.state)]


def _as_estimate(amount: Amount, weight: HouseholdWeight, low_g: float, high_g: float, source: str) -> Weighed:
    """``low_g`` and ``high_g`` are of the household weight."""
    times = float(amount.value) / weight.amount
    if amount.kind is Kind.VOLUME:
        times = amount.millilitres / Amount(Fraction(1), weight.unit).millilitres / weight.amount
    return Weighed(weight.grams * times, "", low_g * times, high_g * times, source)


def _in_another_form(amount: Amount, wrong: CannotWeigh) -> Weighed | None:
    """A cup of it diced, where only chopped and sliced are weighed: the one in the middle, bounded by all."""
    if not wrong.other_form or amount.kind is not Kind.VOLUME:
        return None
    by_density = sorted(wrong.candidates, key=lambda w: w.grams_each / Amount(Fraction(1), w.unit).millilitres)
    middle = by_density[len(by_density) // 2]
    each = [w.grams_each / Amount(Fraction(1), w.unit).millilitres for w in by_density]
    here = middle.grams_each / Amount(Fraction(1), middle.unit).millilitres
    low, high = (middle.grams * share for share in (each[0] / here * (1 - _FORM), each[-1] / here * (1 + _FORM)))
    return _as_estimate(amount, middle, low, high, f"as {middle.printed}")


def _medium(food: Food, amount: Amount) -> Weighed | None:
    """A bare count where several sizes are weighed: the medium one, bounded by the small and the large."""
    sizes = {w.unit: w for w in _pieces(food) if not w.state} if amount.unit == "piece" else {}
    if "medium" not in sizes:
        return None
    medium = sizes["medium"]
    low, high = (
        sizes[u].grams_each if u in sizes else medium.grams_each * s for u, s in (("small", 0.7), ("large", 1.4))
    )
    return _as_estimate(amount, medium, low * medium.amount, high * medium.amount, "a medium one")


def volume_weights(food: Food) -> list[HouseholdWeight]:
    """The food's household weights by cups, spoons and millilitres, not by the piece."""
    return [w for w in food.weights if Amount(Fraction(1), w.unit).kind is Kind.VOLUME]


def grams_per_ml(food: Food, state: str = "") -> float | None:
    """Density as spooned or poured, or None where the household weights do not tell it."""
    try:
        return weigh(food, Amount(Fraction(100), "millilitre"), state).grams / 100
    except CannotWeigh:
        return None


def _choose(food: Food, amount: Amount, state: str) -> HouseholdWeight:
    if amount.kind is Kind.VOLUME:
        candidates = volume_weights(food)
    elif amount.unit == "piece":
        candidates = _pieces(food)
    else:
        candidates = [w for w in food.weights if w.unit == amount.unit]
    between = " × " if amount.unit == "piece" else " " if amount.unit in SIZES else " of "
    measured = f"{amount}{between}{food.name}"
    if not candidates:
        raise CannotWeigh(f"nothing says what {measured} weighs", _what_else(food))
    fitting = _in_state(candidates, state)
    if not fitting:
        named = f", {state}" if state else ""
        raise CannotWeigh(
            f"the pantry has no weight for {measured}{named}", _choice(food, candidates), candidates, True
        )
    best = _nearest_unit(fitting, amount)
    grams = sorted(w.grams_each for w in best)
    if grams[-1] > grams[0] * _CLOSE:
        raise CannotWeigh(f"{measured} could mean several weights", _choice(food, best), best)
    return best[0]


def _pieces(food: Food) -> list[HouseholdWeight]:
    """What a bare count can mean: a piece, else the one size that the food has."""
    return [w for w in food.weights if w.unit == "piece" or w.unit in SIZES]


def states_in(words: str) -> set[str]:
    """The ways of cutting or packing that these words name.

    >>> sorted(states_in("dice, 15 mm")), sorted(states_in("chopped or diced"))
    (['diced'], ['chopped', 'diced'])
    """
    return {_STATE_OF[w] for w in words_of(words) if w in _STATE_OF}


_SIZE_WORDS = {*SIZES, "extra", "thin", "thick"}


def _in_state(candidates: Sequence[HouseholdWeight], state: str) -> list[HouseholdWeight]:
    """Those that the cook's words name: word for word, else by a way of cutting, else by whatever other word (`cherry`).

    `large dice` names no large stalk: sizes count only word for word. Words that name none of them leave those that are
    measured in no special state, but not a cup of it sliced where it is to be diced.
    """
    words = set(words_of(state))
    if words and (same := [w for w in candidates if set(words_of(w.state)) == words]):
        return same
    wanted = states_in(state)
    matching = [w for w in candidates if wanted & states_in(w.state)]
    if matching:
        exact = [w for w in matching if states_in(w.state) == wanted]
        return exact or matching
    named = [w for w in candidates if w.state and set(words_of(w.state)) <= words - _SIZE_WORDS]
    if named:
        return named
    stateless = [w for w in candidates if not w.state]
    return stateless or ([] if wanted else list(candidates))


def _nearest_unit(candidates: Sequence[HouseholdWeight], amount: Amount) -> list[HouseholdWeight]:
    """Those of the amount's own unit; else, for a volume, those of one unit: the nearest in size to all of it, and of two as
    near (12 teaspoons: a tablespoon, a cup) the nearer to the unit it is written in."""
    same = [w for w in candidates if w.unit == amount.unit]
    if same or amount.kind is not Kind.VOLUME:
        return same or list(candidates)
    wanted, written = amount.exactly("millilitre"), Amount(Fraction(1), amount.unit).exactly("millilitre")

    def distance(weight: HouseholdWeight) -> tuple[Fraction, Fraction, Fraction]:
        size = Amount(Fraction(1), weight.unit).exactly("millilitre")
        return max(size, wanted) / min(size, wanted), max(size, written) / min(size, written), size

    closest = min(distance(w) for w in candidates)
    return [w for w in candidates if distance(w) == closest]


def _choice(food: Food, candidates: Sequence[HouseholdWeight]) -> str:
    listed = "; ".join(dict.fromkeys(str(w) for w in candidates))
    if len({(w.unit, w.state) for w in candidates}) < len(candidates):  # the same words for two weights
        listed = "; ".join(f"{w.grams_each:g} g ({w.printed})" for w in candidates)
        return f"write grams of {food.name}: {listed}"
    if len({w.unit for w in candidates}) > 1:
        return f"say which, or write grams: {listed}"
    return f"say which under `measured_as:`, or write grams: {listed}"


def _what_else(food: Food) -> str:
    if not food.weights:
        return f"weigh it and write grams, or give {food.name} a `household:` weight"
    shown = "; ".join(dict.fromkeys(str(w) for w in food.weights[:8]))
    return f"write grams, or a measure it has: {shown}"
