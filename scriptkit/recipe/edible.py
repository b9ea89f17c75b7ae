"""What of an ingredient is eaten, in grams, and what must be bought for it: of a fruit that is juiced its juice, of meat its weight
without bones."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Cups, Kind, format_grams
from scriptkit.measure.words import plural
from scriptkit.pantry.as_sold import goes_in_with, in_shells, much_taken_off, refuse_share, with_bones
from scriptkit.pantry.eaten_parts import EatenPart, part_of, parts_asked, wholes
from scriptkit.pantry.food import NUTRIENTS, Composition, Food
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.weighing import SIZES, Weighed, estimate_words, weigh_between, weigh_or_estimate
from scriptkit.problems import error, note, warning
from scriptkit.recipe.forms import IngredientForm
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path

_PART_OF = re.compile(
    r"^(?:the\s+)?(?:freshly[ -]squeezed\s+|fresh\s+|(?:finely\s+)?grated\s+)*(?P<part>juice and zest|zest and juice|juice|zest|rind|yolks?|whites?)"
    r"\s+(?:of|from)\s+(?P<rest>.+)$",
    re.IGNORECASE,
)
_NUMBER_WORDS = (
    (re.compile(r"^half(?:\s+of)?(?:\s+an?)?\b", re.IGNORECASE), "½"),
    (re.compile(r"^(?:an?|one)\b", re.IGNORECASE), "1"),
)
_GOT = {
    "juice": "juiced",
    "zest": "zested",
    "rind": "zested",
    "juice and zest": "zested and juiced",
    "zest and juice": "zested and juiced",
}
_OF_A_COUNT = ("piece", *SIZES)


@dataclass(frozen=True, slots=True)
class AskedParts:
    """The parts of a whole food that go in, one at least, and the whole that is bought for them."""

    whole: Food
    parts: tuple[EatenPart, ...]

    def share(self, amount: Amount, cups: Cups) -> Weighed:
        """So much of the whole in grams of its parts. Raises CannotWeigh where the whole has no weight for the amount."""
        one = weigh_or_estimate(self.whole, Amount(Fraction(1), "piece")).grams
        if amount.kind is Kind.MASS:
            of = amount.grams / (one / (1 - (self.whole.refuse_share or 0.0)))
        else:
            of = weigh_or_estimate(self.whole, amount, cups=cups).grams / one
        grams, low, high = (of * sum(getattr(p, n) for p in self.parts) for n in ("grams", "low_g", "high_g"))
        return Weighed(grams, "", low, high, "; ".join(p.source for p in self.parts))

    def food(self, pantry: Pantry) -> Food:
        """The part as a food of the pantry; of two, both as they come out of the whole."""
        foods = [pantry.find(p.food) for p in self.parts]
        if len(foods) == 1:
            return foods[0]
        grams = [p.grams for p in self.parts]

        def mixed(figures: Sequence[float | None]) -> float | None:
            known = [f * g for f, g in zip(figures, grams, strict=True) if f is not None]
            return sum(known) / sum(grams) if len(known) == len(figures) else None

        composition = Composition(**{n: mixed([getattr(f.composition, n) for f in foods]) for n in NUTRIENTS})
        name = f"{self.whole.name} {' and '.join(p.part for p in self.parts)}"
        return dataclasses.replace(
            foods[0], name=name, synonyms=(), weights=(), composition=composition, source="; ".join(f.source for f in foods),
            second_net_carbs_g=None, second_source="", below=(), water_g=mixed([f.water_g for f in foods]),
        )  # fmt: skip


def less_its_part(form: IngredientForm) -> IngredientForm:
    """*juice of 1 lemon* as one lemon that is juiced; any other the same."""
    if not (found := _PART_OF.match(form.amount)):
        return form
    rest = found["rest"]
    for words, number in _NUMBER_WORDS:
        rest = words.sub(number, rest, count=1)
    part = " ".join(found["part"].casefold().split())
    got = _GOT.get(part, f"{part.rstrip('s')}s only")
    return form.model_copy(update={"amount": rest, "prep": ", ".join(p for p in (got, form.prep) if p)})


def asked_parts(form: IngredientForm, key: str, food: Food, amount: Amount | None, pantry: Pantry) -> AskedParts | None:
    """Which parts of the food go in where its words ask for a part alone, or where a part is counted by the whole (*lemon juice: 1*);
    None where all of it goes in, or the food is the cook's own."""
    if pantry.known(food.name) is not food and food.name in wholes():
        return None
    if food.name in wholes():
        parts = parts_asked(food.name, f"{key.replace('_', ' ')}, {form.prep}")
        return AskedParts(food, parts) if parts else None
    part = part_of(food.name) if amount is not None and amount.unit in _OF_A_COUNT else None
    if part is None or any(w.unit in _OF_A_COUNT for w in food.weights):
        return None
    return AskedParts(pantry.find(part.whole), (part,))


def weighed_in(
    bench: FieldParser,
    at: Path,
    form: IngredientForm,
    food: Food,
    asked: AskedParts | None,
    amount: Amount,
    ends: Sequence[Amount],
) -> tuple[Weighed, float | None, float | None]:
    """How it was weighed, its edible grams and its grams as bought; None is not known, which is then told. Raises CannotWeigh."""
    if asked is not None and (amount.kind is Kind.COUNT or form.bought == "whole"):
        weighed = asked.share(amount, bench.cups)
        if len(ends) == 2:
            least, most = (asked.share(end, bench.cups) for end in ends)
            weighed = dataclasses.replace(weighed, low_g=least.low_g, high_g=most.high_g)
        _told_estimate(bench, at, form, weighed, amount, asked)
        return weighed, weighed.grams, _as_bought(asked.whole, amount, bench.cups)
    weighed = weigh_between(food, amount, ends, form.measured_as or form.prep, bench.cups)
    _told_estimate(bench, at, form, weighed, amount)
    return weighed, *_less_refuse(bench, at, form, food, amount, weighed.grams)


def left_on(form: IngredientForm, key: str, food: Food, amount: Amount | None) -> str:
    """What nobody eats of it and still is on it when it goes in: ``bones``, ``shells``; else empty."""
    stated = form.bought if "bought" in form.model_fields_set else None
    return goes_in_with(food, amount, f"{key.replace('_', ' ')} {form.prep}", stated, form.food or "")


def amount_path(bench: FieldParser, at: Path) -> Path:
    """Where the amount of the ingredient at this path is written."""
    return next((full for name in ("amount", "each") if (full := (*at, name)) in bench.tree.values), at)


def _as_bought(whole: Food, amount: Amount, cups: Cups) -> float:
    if amount.kind is Kind.MASS:
        return amount.grams
    return weigh_or_estimate(whole, amount, cups=cups).grams / (1 - (whole.refuse_share or 0.0))


def _told_estimate(
    bench: FieldParser,
    at: Path,
    form: IngredientForm,
    weighed: Weighed,
    amount: Amount,
    asked: AskedParts | None = None,
) -> None:
    """A note where no table prints the weight."""
    if form.between is not None or form.weighed is not None or weighed.low_g is None or weighed.high_g is None:
        return
    what = str(at[-1]).replace("_", " ")
    of = (
        f"{form.amount} of {what}"
        if asked is None
        else f"the {' and '.join(p.part for p in asked.parts)} of {_counted(amount, asked.whole.name)}"
    )
    words = estimate_words(weighed.grams, weighed.low_g, weighed.high_g, weighed.borrowed)
    bench.problems.append(
        note(bench.tree.place(*amount_path(bench, at)), "estimated-weight", f"{of} is taken as {words}", "weigh it and write grams where it matters")
    )  # fmt: skip


def _counted(amount: Amount, whole: str) -> str:
    """``2 lemons``, ``200 g of lemon``."""
    if amount.kind is Kind.MASS:
        return f"{amount} of {whole}"
    return f"{amount} {plural(whole) if amount.value > 1 else whole}"


def _less_refuse(
    bench: FieldParser, at: Path, form: IngredientForm, food: Food, amount: Amount, grams: float
) -> tuple[float | None, float | None]:
    """Edible grams and grams as bought. A household weight is edible already; a weight is what `bought:` says it is."""
    words = f"{str(at[-1]).replace('_', ' ')} {form.prep}"
    share = refuse_share(food, words)
    if form.bought == "ready" or amount.kind is not Kind.MASS:
        if "bought" not in form.model_fields_set and (*at, "bought") not in bench.tree.unread:
            _perhaps_whole(bench, at, form, food, amount, words)
        of = share if food.category == "shellfish" else food.refuse_share
        return grams, None if of is None or of >= 1 else grams / (1 - of)
    if share is None:
        bench.problems.append(
            error(bench.tree.place(*at, "bought"), "refuse", f"the pantry does not know how much of {food.name} is thrown away",
                  "weigh what is left after trimming, and write `bought: ready`")
        )  # fmt: skip
        return None, grams
    return grams * (1 - share), grams


def _perhaps_whole(bench: FieldParser, at: Path, form: IngredientForm, food: Food, amount: Amount, words: str) -> None:
    """Told where the weight may be of before the shells, bones or pods came off: counted is all of it."""
    share = refuse_share(food, words) or 0.0
    what, place = str(at[-1]).replace("_", " "), bench.tree.place(*amount_path(bench, at))
    eaten = format_grams(round(amount.grams * (1 - share), 1)) if amount.kind is Kind.MASS else ""
    if in_shells(food, amount, words) or with_bones(food, amount, words):
        left_out = "shells" if food.category == "shellfish" else "bones"
        bench.problems.append(
            warning(place, "bones-counted", f"all {form.amount} of {what} count as eaten, {left_out} too; about {eaten} of it is",
                    f"write `bought: whole` where {form.amount} is its weight with {left_out}, else `bought: ready`")
        )  # fmt: skip
    elif said := much_taken_off(food, amount, words):
        bench.problems.append(
            note(place, "weighed-ready", f"{form.amount} of {what} counts as weighed once {said}; as bought, about {eaten} of it would be eaten",
                 f"write `bought: whole` where {form.amount} is the weight before")
        )  # fmt: skip
