"""Buying and swap-outs: the purchase list on its page and as CSV, what to make ahead, and the chill clocks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.amounts import Amount, Kind, format_grams
from scriptkit.measure.durations import format_duration
from scriptkit.measure.numbers import round_half_up
from scriptkit.measure.unit_system import UNSTATED, US, in_scale, measurable_up, ounces_up, weight_text
from scriptkit.measure.words import plural, stands_before_the_name
from scriptkit.pantry.names import words_of
from scriptkit.papers.ovens import hours_after
from scriptkit.papers.tables import Column, Head, Span, TableCell, cells_of, csv_of, heads_of
from scriptkit.recipe.dish import Ingredient
from scriptkit.recipe.display_names import in_natural_order, several_pieces
from scriptkit.shoot.buying import Purchase, amount_text, bought_text
from scriptkit.shoot.day.swap_outs import (
    CHILL_SOURCE,
    HOT_ROOM_C,
    KEEPS_DAYS,
    OUT_AT_MOST_HOT_MIN,
    OUT_AT_MOST_MIN,
    ChillClock,
    SwapOut,
)
from scriptkit.shoot.shop_units import SOLD_AS_WRITTEN, in_shop_units, surely_at_home

CHILL_RULE = (
    f"Cooked food goes into the fridge within {OUT_AT_MOST_MIN // 60} h and keeps {KEEPS_DAYS[0]} to {KEEPS_DAYS[1]} days. "
    f"On the day it is out of the fridge for {OUT_AT_MOST_MIN // 60} h at most, counting every time it is out, and for "
    f"{OUT_AT_MOST_HOT_MIN // 60} h where the room is above {HOT_ROOM_C} °C (90 °F); what was out for longer goes in the bin."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseRow:
    """A food to buy. ``food``: as the table has it; ``called``: as a cook asks for it. ``shop``: as the shop sells it (*1 lemon*), empty where that is by weight or the file names a pack;
    ``at_home``: a kitchen has it. ``named``: what the cooks call it, where that says more; ``need`` is as bought, ``recipe`` ready
    to go in, or without its bones; ``seasoned``: some of it goes in to taste as well. What there is none of is empty."""

    purchase: Purchase
    food: str
    called: str
    named: str
    shop: str
    at_home: bool
    buy: str
    rounded: str
    need: str
    recipe: str
    seasoned: bool
    uses: tuple[str, ...]

    @property
    def words(self) -> str:
        """What to ask for, with what of its weight is something else: ``bone-in chicken thighs, 1 lb 8 oz without bones``."""
        return ", ".join(part for part in (self.called, self.recipe if _left_on(self.purchase) else "") if part)

    @property
    def cells(self) -> tuple[TableCell, ...]:
        """Its cells on the page."""
        return cells_of(self, COLUMNS)


def _food(row: PurchaseRow) -> tuple[Span, ...]:
    return (Span(row.called), *((Span(row.named, "small"),) if row.named else ()))


def _needed(row: PurchaseRow) -> tuple[Span, ...]:
    uses = Span("; ".join(row.uses), "line")
    if not row.need:
        return (uses,)
    ready = f", {row.recipe}" if row.recipe else ""
    return Span(f"{row.need} as bought{ready}{', and to taste' if row.seasoned else ''}", "line"), uses


def _counted(row: PurchaseRow, grams: float) -> str:
    return f"{grams:.1f}" if row.purchase.need is not None else ""


COLUMNS: tuple[Column[PurchaseRow], ...] = (
    Column(heading="Got it", cls="tick", width=8, tick=True, value=lambda r: f"{r.food} bought"),
    Column(name="food", heading="Food", cls="item", width=30, value=lambda r: r.food, spans=_food),
    Column(name="kind", value=lambda r: r.purchase.food.category),
    Column(name="for", value=lambda r: "; ".join(w.used_in for w in r.purchase.wants)),
    Column(name="cooks", value=lambda r: "; ".join(str(w.cooks) for w in r.purchase.wants)),
    Column(name="recipe_g", value=lambda r: _counted(r, r.purchase.recipe_g) or "to taste"),
    Column(name="as_bought_g", value=lambda r: _counted(r, r.purchase.bought_g)),
    Column(
        name="buy",
        heading="Buy",
        cls="amount",
        width=27,
        value=lambda r: "" if r.purchase.buy is None else r.buy,
        spans=lambda r: (
            Span(r.shop or r.buy, "strong"),
            Span(f"for {r.buy}" if r.shop and r.purchase.whole_g is None else r.rounded, "small rounded"),
        ),
    ),
    Column(name="packs", value=lambda r: "" if r.purchase.packs is None else str(r.purchase.packs)),
    Column(name="pack", value=lambda r: "" if r.purchase.pack is None else str(r.purchase.pack)),
    Column(name="rounded", value=lambda r: r.rounded),
    Column(heading="Needed", cls="small uses", width=35, spans=_needed),
    Column(name="bought"),
)
"""In the CSV file ``cooks`` is of each dish in ``for``, grams are to 0.1 with a point, and ``bought`` is for the cook."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseKind:
    """The foods of one kind, which stand together in a shop."""

    name: str
    rows: tuple[PurchaseRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinNeed:
    """What goes into a twin."""

    item: str
    grams: str
    cut: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Twin:
    """A dish to make ahead up to the end of a step, and why."""

    dish: str
    step: str
    step_id: str
    do: str
    why: str
    takes: str
    steps: str
    needs: tuple[TwinNeed, ...]
    vessels: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """When a twin or a hero is out of the fridge and must be back; times are empty where no schedule knows them."""

    what: str
    out: str
    back: str
    hot: str
    outstays: str

    @property
    def cells(self) -> tuple[TableCell, ...]:
        """Its cells on the page."""
        return cells_of(self, CLOCK_COLUMNS)


TO_FILL_IN = "____"

CLOCK_COLUMNS: tuple[Column[Clock], ...] = (
    Column(
        heading="What",
        cls="item",
        width=34,
        spans=lambda c: (Span(c.what), *((Span(c.outstays, "care"),) if c.outstays else ())),
    ),
    Column(heading="Out at", width=16, short="Out at", value=lambda c: c.out or TO_FILL_IN),
    Column(heading="Back by", width=16, short="Back by", value=lambda c: c.back or TO_FILL_IN),
    Column(heading="In a hot room", width=16, short="In a hot room by", value=lambda c: c.hot or TO_FILL_IN),
    Column(heading="Was out, min", width=18, short="Was out, min", value=lambda _: TO_FILL_IN),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """The values of buying.html; ``rows`` in order of first use, and by kind in ``kinds``."""

    heads: tuple[Head, ...]
    rows: tuple[PurchaseRow, ...]
    kinds: tuple[PurchaseKind, ...]
    foods: int
    twins: tuple[Twin, ...]
    clock_heads: tuple[Head, ...]
    clocks: tuple[Clock, ...]
    chill_rule: str
    chill_source: str


def buying_of(purchases: Sequence[Purchase], twins: Sequence[SwapOut], clocks: Sequence[ChillClock]) -> Buying:
    """The purchase list by kind of food, the twins to make ahead, and their chill clocks."""
    rows = purchase_rows(purchases)
    return Buying(
        heads=heads_of(COLUMNS),
        rows=rows,
        kinds=tuple(_kinds(rows)),
        foods=len(purchases),
        twins=tuple(map(_twin, twins)),
        clock_heads=heads_of(CLOCK_COLUMNS),
        clocks=tuple(map(_clock, clocks)),
        chill_rule=in_scale(CHILL_RULE, _units(purchases)),
        chill_source=CHILL_SOURCE,
    )


AT_HOME = "Check the cupboard first"


def _kinds(rows: Sequence[PurchaseRow]) -> Iterator[PurchaseKind]:
    """The shelves of the shop, and last what a kitchen has."""
    bought = [row for row in rows if not row.at_home]
    for kind in dict.fromkeys(row.purchase.food.category for row in bought):
        shelf = tuple(row for row in bought if row.purchase.food.category == kind)
        yield PurchaseKind(name=kind[:1].upper() + kind[1:], rows=shelf)
    if at_home := tuple(row for row in rows if row.at_home):
        yield PurchaseKind(name=AT_HOME, rows=at_home)


def purchase_rows(purchases: Iterable[Purchase]) -> tuple[PurchaseRow, ...]:
    """The lines of the list, all in one system: a shop's scale has one. It is metric unless every dish states US units."""
    listed = tuple(purchases)
    units = _units(listed)
    return tuple(_row(purchase, units) for purchase in listed)


def _row(purchase: Purchase, units: str) -> PurchaseRow:
    """A line of the list in words."""
    called = _called(purchase)
    known = {*words_of(purchase.food.name), *words_of(called)}
    need, named = purchase.need, [n for n in purchase.names if not set(words_of(n)) <= known]
    whole = purchase.buy if purchase.whole_g is not None else None
    weighed = need is not None and round(purchase.recipe_g) != round(purchase.bought_g)
    return PurchaseRow(
        purchase=purchase,
        food=purchase.food.name,
        called=called,
        named=", ".join(named),
        shop=""
        if purchase.pack is not None or (need is not None and need.unit in SOLD_AS_WRITTEN)
        else in_shop_units(purchase.food.name, purchase.bought_g)
        if whole is None
        else f"{whole} {plural(purchase.food.name) if whole.value > 1 else purchase.food.name}",
        at_home=purchase.pack is None and surely_at_home(purchase.food.name, purchase.bought_g),
        buy=_bought(purchase, units) or "to taste",
        rounded="" if _as_needed(purchase, units) else purchase.rounded,
        need=""
        if need is None
        else amount_text(_shop_amount(need)) + ("" if need.unit == "gram" else f", {format_grams(purchase.bought_g)}")
        if not units
        else weight_text(purchase.bought_g, units, both=True),
        recipe=f"{weight_text(purchase.recipe_g, units)} {_ready(purchase)}" if weighed else "",
        seasoned=purchase.seasoned and need is not None,
        uses=tuple(dict.fromkeys(f"{w.used_in} × {w.cooks}" for w in purchase.wants)),
    )


def _as_needed(purchase: Purchase, units: str) -> bool:
    """Whether nothing was rounded that a reader must be told of: six figs are six; ounces and cups are rounded by themselves."""
    if purchase.packs is not None or purchase.need is None:
        return False
    return purchase.need == purchase.buy or (units == US and purchase.need.kind is not Kind.COUNT)


def _called(purchase: Purchase) -> str:
    """What to ask for, in the plural of several: as all that cook it wrote it, where that says other than the pantry does; else as the
    pantry calls it."""
    buy, food = purchase.buy, purchase.food
    counted = buy is not None and buy.kind is Kind.COUNT and stands_before_the_name(buy) and buy.value > 1
    several = counted or several_pieces(food.name, buy)
    written = {_written(w.ingredient) for w in purchase.wants} if purchase.whole_g is None else set()
    own = next(iter(written)) if len(written) == 1 else ""
    if not set(words_of(own)) <= set(words_of(food.name)):
        return in_natural_order(own, several=several)
    called = in_natural_order(food.name, several=several)
    unit = f" {buy.unit}" if buy is not None and buy.kind is Kind.COUNT else ""
    return called.removesuffix(unit) if unit else called


def _written(ingredient: Ingredient) -> str:
    """The food as the cook wrote it; empty where the file gives only a name of the cook's own."""
    names = {name.casefold() for name in ingredient.food.synonyms}
    return ingredient.food_written or (ingredient.name if ingredient.name.casefold() in names else "")


def _ready(purchase: Purchase) -> str:
    """``ready``; of what goes in as it was bought ``without bones``."""
    return f"without {on_it}" if (on_it := _left_on(purchase)) else "ready"


def _left_on(purchase: Purchase) -> str:
    """What nobody eats and is on all of it when it goes in: ``bones``; empty where nothing is."""
    on_it = {w.ingredient.with_it for w in purchase.wants}
    return next(iter(on_it)) if len(on_it) == 1 else ""


def _shop_amount(need: Amount) -> Amount:
    """Of a volume whole millilitres, from 10 up: nobody buys 29.6 ml."""
    if need.kind is not Kind.VOLUME or need.exactly("millilitre") < 10:
        return need
    return Amount(Fraction(round_half_up(float(need.exactly("millilitre")))), "millilitre")


def _units(purchases: Iterable[Purchase]) -> str:
    """The units that all dishes of the list state alike."""
    stated = {w.ingredient.units for purchase in purchases for w in purchase.wants}
    return stated.pop() if len(stated) == 1 else UNSTATED


def _bought(purchase: Purchase, units: str) -> str:
    """As bought; in US units a weight in ounces, a volume in cups or quarts, never less than is needed."""
    buy = purchase.buy
    if units != US or buy is None or purchase.pack is not None or buy.kind is Kind.COUNT:
        return bought_text(purchase)
    if (spooned := _by_volume(purchase)) is not None:
        return str(measurable_up(spooned))
    if buy.kind is Kind.MASS:
        return ounces_up(purchase.bought_g)
    need = purchase.need if purchase.need is not None and purchase.need.kind is Kind.VOLUME else buy
    cups = measurable_up(Amount(need.exactly("cup"), "cup"))
    return (
        str(cups) if cups.unit != "cup" or cups.value < 4 else str(Amount(math.ceil(cups.value) / Fraction(4), "quart"))
    )


def _by_volume(purchase: Purchase) -> Amount | None:
    """In cups, what was written by the spoon and the cup wherever it goes in, and is bought as it goes in; None where any was not."""
    cups = Fraction(0)
    for want in purchase.wants:
        i = want.ingredient
        if i.grams is None:
            continue
        if (
            i.amount is None
            or i.amount.kind is not Kind.VOLUME
            or round(want.bought_g or 0.0) != round(want.recipe_g or 0.0)
        ):
            return None
        if i.state and not in_shop_units(i.food.name, i.grams):
            return None  # grated, it is no cup of what the shop sells
        cups += want.times * i.amount.exactly("cup")
    return Amount(cups, "cup") if cups else None


def write_purchases(purchases: Iterable[Purchase]) -> str:
    """CSV (RFC 4180) with a header, one food a row."""
    return csv_of(purchase_rows(purchases), COLUMNS)


def _twin(twin: SwapOut) -> Twin:
    wait = format_duration(twin.step.wait_ms or 0)
    return Twin(
        dish=twin.dish.name,
        step=str(twin.step.number),
        step_id=twin.step.id,
        do=twin.step.do,
        why=f"made ahead to skip a wait of {wait}" if twin.step.wait_ms else "the file asks for it",
        takes=format_duration(twin.takes_ms) if twin.takes_ms else "",
        steps=", ".join(str(s.number) for s in twin.steps),
        needs=tuple(
            TwinNeed(
                item=n.ingredient.display_name,
                grams="to taste"
                if n.grams is None
                else weight_text(n.grams, n.ingredient.units)
                + (f" with {n.ingredient.with_it}" if n.ingredient.with_it else ""),
                cut=n.ingredient.prep,
            )
            for n in twin.needs
        ),
        vessels=", ".join(twin.vessels),
    )


def _clock(clock: ChillClock) -> Clock:
    what = (
        f"made ahead up to step {clock.step.number}"
        if clock.step
        else "the finished one to show"
        if clock.count == 1
        else f"{clock.count} finished ones to show"
    )
    out_at, back, hot = clock.out_at_min, clock.back_by_min, clock.back_by_hot_min
    return Clock(
        what=f"{clock.dish.short}: {what}",
        out=_at(out_at),
        back=_at(back),
        hot=_at(hot),
        outstays="the shoot goes on for longer: back into the fridge, or into the bin" if clock.outstays else "",
    )


def _at(minute: float | None) -> str:
    return "" if minute is None else hours_after(minute)
