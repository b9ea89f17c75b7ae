"""The purchase list: every ingredient as many times as it is cooked, as it is bought, rounded up to what is sold."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from scriptkit.measure.amounts import Amount, Kind, format_grams
from scriptkit.pantry.food import Food
from scriptkit.pantry.weighing import CannotWeigh, grams_per_ml, weigh
from scriptkit.problems import Problem, warning
from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Dish, Ingredient, Meal
from scriptkit.recipe.film_settings import film_of
from scriptkit.recipe.step_graph import handled
from scriptkit.shoot.day.day_graph import DayGraph
from scriptkit.shoot.day.swap_outs import swap_outs_of
from scriptkit.shoot.shots.framing import pours
from scriptkit.shoot.whole_foods import sold_as, whole_of, whole_weight_g, wholes_wanted

if TYPE_CHECKING:
    from scriptkit.shoot.day.schedule import Schedule

# Where no pack is known, up to so much is rounded up to the next whole of so much, in grams or millilitres (common
# practice, no source).
STEPS = ((20, 5), (100, 10), (1_000, 50), (math.inf, 100))
_SOLD_READY = frozenset({"nut or seed"})
"""Sold without what the table calls refuse, their shells, unless the file says `bought: whole`."""
_FROM_THE_TAP = frozenset({"water"})
_HAIR = Fraction(1, 10**6)
"""A pack more is not bought for a rounding error of the arithmetic."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """An ingredient of one dish: ``share`` of what its recipe says, cooked ``cooks`` times."""

    ingredient: Ingredient
    used_in: str
    share: Fraction
    cooks: int

    @property
    def times(self) -> Fraction:
        """How many times the recipe's amount, for all the cooks; exact."""
        return self.share * self.cooks

    @property
    def recipe_g(self) -> float | None:
        """Grams ready to go in, for all the cooks; None to taste."""
        return None if self.ingredient.grams is None else float(self.times) * self.ingredient.grams

    @property
    def bought_g(self) -> float | None:
        """The same with what is thrown away added back, as far as the pantry knows it."""
        i = self.ingredient
        if i.grams is None:
            return None
        whole = i.amount is not None and i.amount.kind is Kind.MASS and i.as_bought_g == i.amount.grams
        if i.as_bought_g is None or (i.food.category in _SOLD_READY and not whole):
            return self.recipe_g
        return float(self.times) * max(i.as_bought_g, i.grams)


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """A line of the list. ``buy`` is what to bring home in all; with a ``pack``, ``packs`` of them. All None to taste."""

    food: Food
    wants: tuple[Want, ...]
    need: Amount | None
    buy: Amount | None
    pack: Amount | None
    packs: int | None
    rounded: str
    """How it was rounded, in words."""
    whole_g: float | None = None
    """Grams of the wholes where their parts are wanted, each whole once; None: what the wants weigh."""

    @property
    def names(self) -> tuple[str, ...]:
        """As the cooks call it, each name once, in order of use."""
        return tuple(dict.fromkeys(w.ingredient.display_name for w in self.wants))

    @property
    def recipe_g(self) -> float:
        """Grams ready to go in, for all that want it; what is to taste counts 0."""
        return sum(w.recipe_g or 0.0 for w in self.wants)

    @property
    def bought_g(self) -> float:
        """Grams as bought, what is trimmed off included; what is to taste counts 0."""
        return sum(w.bought_g or 0.0 for w in self.wants) if self.whole_g is None else self.whole_g

    @property
    def seasoned(self) -> bool:
        """Whether some of it goes in to taste, beyond what is counted."""
        return any(w.ingredient.grams is None for w in self.wants)


def purchases_of(source: Dish | Meal, schedule: Schedule | None = None) -> tuple[Purchase, ...]:
    """One line for each food, in order of first use on the day; parts that are dishes have become what they are made of."""
    return _by_food(wants_of(source, schedule))


def purchases_of_all(sources: Sequence[Dish | Meal]) -> tuple[Purchase, ...]:
    """One list over several dishes and meals: each food once, for all that want it."""
    return _by_food(want for source in sources for want in wants_of(source))


def _by_food(wants: Iterable[Want]) -> tuple[Purchase, ...]:
    found: dict[str, list[Want]] = {}
    for want in wants:
        if want.ingredient.food.name not in _FROM_THE_TAP:
            found.setdefault(sold_as(want.ingredient), []).append(want)
    return tuple(purchase for group in found.values() for purchase in _of_a_food(group))


def _of_a_food(wants: Sequence[Want]) -> list[Purchase]:
    """One line; of a fruit or an egg whose parts are wanted one for all of them, each whole once: the lemon that is zested is juiced too."""
    foods = dict.fromkeys(w.ingredient.food.name for w in wants)
    counted = any(w.ingredient.bought_as is not None for w in wants) or len(foods) > 1
    need = wholes_wanted((w.ingredient, w.times) for w in wants) if counted else None
    if need is not None and not any(w.ingredient.pack for w in wants):
        whole = whole_of(wants[0].ingredient)
        buy = Amount(Fraction(_up(need.value)), need.unit)
        grams = whole_weight_g(whole, need)
        return [
            Purchase(
                food=whole,
                wants=tuple(wants),
                need=need,
                buy=buy,
                pack=None,
                packs=None,
                rounded="up to the next whole one",
                whole_g=grams,
            )
        ]
    return [_purchase([w for w in wants if w.ingredient.food.name == name]) for name in foods]


def wants_of(source: Dish | Meal, schedule: Schedule | None = None) -> Iterator[Want]:
    """Every ingredient of every dish, with how often it is cooked: live, in each twin that contains it, heroes, safety takes. In the
    order in which the day first handles them."""
    twins = swap_outs_of(source)
    dishes = served_dishes(source)
    first = _first_use(dishes, schedule)
    batches = _whole_batches(source)
    listed = [(dish, ingredient) for dish in dishes for ingredient in dish.ingredients if not ingredient.taken_over]
    for dish, ingredient in sorted(listed, key=lambda one: first.get((one[0].file, one[1].key), math.inf)):
        always = 1 + film_of(source, dish).heroes + film_of(source, dish).safety_takes
        made_ahead = sum(t.dish is dish and t.contains(ingredient) for t in twins)
        yield from _flow(ingredient, dish.short, Fraction(1), always + made_ahead, batches)
    if isinstance(source, Meal):
        plates = source.plates * (1 + source.film.heroes + source.film.safety_takes)
        own = {i.food.name for dish in source.dishes for i in dish.taken_out}
        for extra in source.extras:
            if extra.ingredient.food.name not in own:  # drippings come out of the roast, not from the shop
                yield from _flow(extra.ingredient, "each plate", Fraction(1), plates, batches)


def _first_use(dishes: Sequence[Dish], schedule: Schedule | None) -> dict[tuple[str, str], int]:
    """The place in the day of the first step that handles each ingredient, by the dish's file and the ingredient's key."""
    graph = DayGraph(dishes)
    found: dict[tuple[str, str], int] = {}
    for n, key in enumerate(graph.in_order(schedule.start_min if schedule else None)):
        for name in handled(graph.steps[key][1]):
            found.setdefault((key[0], name), n)
    return found


def _flow(
    ingredient: Ingredient, used_in: str, share: Fraction, cooks: int, batches: Mapping[str, Fraction]
) -> Iterator[Want]:
    part = ingredient.dish
    if part is None or ingredient.grams is None or part.cooked_g <= 0:
        yield Want(ingredient=ingredient, used_in=used_in, share=share, cooks=cooks)
        return
    of_it = share * Fraction(ingredient.grams) / Fraction(part.cooked_g) * batches.get(part.file, Fraction(1))
    for one in part.ingredients:
        yield from _flow(one, f"{part.short}, in {used_in}", of_it, cooks, batches)


def _whole_batches(source: Dish | Meal) -> dict[str, Fraction]:
    """By how much more is bought for each dish that goes into another, by its file: what is made on the day is made as its file
    says, though less of it goes in."""
    served = {dish.file for dish in served_dishes(source)}
    need: dict[str, Fraction] = defaultdict(Fraction)
    found: dict[str, Fraction] = {}
    for dish in reversed(dishes_of_the_day(source)):  # what goes into a dish comes before it
        film = film_of(source, dish)
        made = Fraction(1 + film.heroes + film.safety_takes) if dish.file in served else need[dish.file]
        if dish.file not in served and 0 < need[dish.file] < 1:
            found[dish.file] = 1 / need[dish.file]
            made = Fraction(1)
        for one in dish.ingredients:
            if one.dish is not None and one.grams is not None and one.dish.cooked_g > 0 and not one.taken_over:
                need[one.dish.file] += made * Fraction(one.grams) / Fraction(one.dish.cooked_g)
    return found


def _purchase(wants: Sequence[Want]) -> Purchase:
    food = wants[0].ingredient.food
    counted = [w for w in wants if w.ingredient.grams is not None]
    pack = next((w.ingredient.pack for w in wants if w.ingredient.pack is not None), None)
    if not counted:
        packs = None if pack is None else 1
        return Purchase(
            food=food, wants=tuple(wants), need=None, buy=pack, pack=pack, packs=packs, rounded="to taste: have enough"
        )
    if pack is not None and (need := _in_packs(counted, pack)) is not None:
        packs = _up(need)
        return Purchase(
            food=food, wants=tuple(wants), need=pack.times(need), buy=pack.times(packs), pack=pack, packs=packs,
            rounded=f"{packs} {'pack' if packs == 1 else 'packs'} of {pack}",
        )  # fmt: skip
    need_amount = _need(counted)
    if need_amount.kind is Kind.COUNT:
        return Purchase(
            food=food, wants=tuple(wants), need=need_amount, buy=Amount(Fraction(_up(need_amount.value)), need_amount.unit),
            pack=None, packs=None, rounded="up to the next whole one",
        )  # fmt: skip
    step = next(step for most, step in STEPS if need_amount.value <= most)
    buy = Amount(Fraction(_up(need_amount.value / step) * step), need_amount.unit)
    rounded = f"up to the next {step} {'ml' if buy.kind is Kind.VOLUME else 'g'}"
    return Purchase(food=food, wants=tuple(wants), need=need_amount, buy=buy, pack=None, packs=None, rounded=rounded)


def _up(value: Fraction) -> int:
    """Up to a whole, at least 1."""
    return max(math.ceil(value - _HAIR), 1)


def _need(wants: Sequence[Want]) -> Amount:
    """Pieces where all are counted in the same; millilitres where all are of something that pours; else grams as bought."""
    amounts = [w.ingredient.amount for w in wants]
    first = amounts[0]
    if first is not None and first.kind is Kind.COUNT and all(a is not None and a.unit == first.unit for a in amounts):
        return Amount(
            sum((w.times * a.value for w, a in zip(wants, amounts, strict=True) if a), Fraction(0)), first.unit
        )
    if pours(wants[0].ingredient.food) and all(a is not None and a.kind is Kind.VOLUME for a in amounts):
        ml = sum((w.times * a.exactly("millilitre") for w, a in zip(wants, amounts, strict=True) if a), Fraction(0))
        return Amount(ml, "millilitre")
    return Amount(sum((Fraction(w.bought_g or 0.0) for w in wants), Fraction(0)), "gram")


# --- packs -----------------------------------------------------------------------------------------------------------


def _in_packs(wants: Iterable[Want], pack: Amount) -> Fraction | None:
    """How many packs they are, unrounded; None where a pack cannot be compared with what the recipe says."""
    total = Fraction(0)
    for want in wants:
        one = _one_in_packs(want, pack)
        if one is None:
            return None
        total += one
    return total


def _one_in_packs(want: Want, pack: Amount) -> Fraction | None:
    ingredient, amount, grams = want.ingredient, want.ingredient.amount, want.bought_g or 0.0
    if amount is not None and amount.unit == pack.unit and pack.kind is Kind.COUNT:
        return want.times * amount.value / pack.value
    if pack.kind is Kind.MASS:
        return Fraction(grams) / pack.exactly("gram")
    if pack.kind is Kind.VOLUME:
        if amount is not None and amount.kind is Kind.VOLUME:
            return want.times * amount.exactly("millilitre") / pack.exactly("millilitre")
        density = grams_per_ml(ingredient.food, ingredient.state)
        return None if not density else Fraction(grams) / Fraction(density) / pack.exactly("millilitre")
    try:
        one = weigh(ingredient.food, pack, ingredient.state).grams  # a household weight is of what can be eaten
    except CannotWeigh:
        return None
    return Fraction(want.recipe_g or 0.0) / Fraction(one) if one else None


def buying_problems(purchases: Iterable[Purchase]) -> list[Problem]:
    """Packs that cannot be compared with the recipe's amount: the list then rounds as if there were none."""
    problems = []
    for purchase in purchases:
        counted = [w for w in purchase.wants if w.ingredient.grams is not None]
        said = next((w.ingredient for w in purchase.wants if w.ingredient.pack is not None), None)
        if counted and said is not None and purchase.pack is None:
            message = f"{said.name} is sold by {said.pack}, and nothing says what that weighs"
            problems.append(warning(said.place, "pack", message, "write the pack in grams or millilitres"))
    return problems


# --- in words ---------------------------------------------------------------------------------------------------------


def bought_text(purchase: Purchase) -> str:
    """What to ask for: ``2 packs of 250 g``, ``4 bulbs``, ``1.4 kg``; empty for what goes in to taste."""
    if purchase.packs is not None and purchase.pack is not None:
        times = "" if purchase.packs == 1 and purchase.pack.kind is Kind.COUNT else f"{purchase.packs} × "
        return f"{times}{purchase.pack}"
    if purchase.buy is None:
        return ""
    return amount_text(purchase.buy)


def amount_text(amount: Amount) -> str:
    """Grams as a scale shows them, millilitres from a litre on as litres, counts as they are."""
    if amount.kind is Kind.MASS:
        return format_grams(amount.grams)
    if amount.kind is Kind.VOLUME:
        ml = round(amount.millilitres, 1)
        return f"{ml / 1000:.2f}".rstrip("0").rstrip(".") + " l" if ml >= 1000 else f"{ml:g} ml"
    return str(amount)
