"""Mise en place: ovens to switch on, and a tray for each dish with its bowls in order of use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.amounts import format_grams
from scriptkit.papers.cautions import marks_of_bowl
from scriptkit.papers.ovens import AFTER_THE_FIRST, capital, hours_after, moment, setting_words
from scriptkit.papers.tables import Column, Head, Span, TableCell, cells_of, heads_of
from scriptkit.papers.timeline import SHAPES
from scriptkit.recipe.cuts import size_is_said
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.display_names import behind_words
from scriptkit.recipe.on_plates import OnPlate
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.mise_en_place import KEPT, Bowl, PreHeat, Ready, Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class OvenRow:
    """An oven to switch on: its setting, when and for which step, and what that does."""

    setting: str
    on: str
    do: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BowlRow:
    """A bowl of a tray: what is in it, how much, cut how, and where it goes in."""

    number: int
    step: int
    stage: str
    item: str
    grams: str
    household: str
    cut: str
    marks: tuple[str, ...] = ()

    @property
    def cells(self) -> tuple[TableCell, ...]:
        """Its cells on the page."""
        return cells_of(self, COLUMNS)


COLUMNS: tuple[Column[BowlRow], ...] = (
    Column(heading="Ready", cls="tick", width=8, tick=True, value=lambda r: f"Bowl {r.number} ready"),
    Column(heading="Bowl", cls="bowl", width=7, value=lambda r: str(r.number)),
    Column(heading="Item", cls="item", width=22, spans=lambda r: (Span(r.item), *(Span(m, "word") for m in r.marks))),
    Column(heading="Amount", cls="num grams", head_cls="num", width=15, spans=lambda r: (Span(r.grams, "strong"),)),
    Column(heading="Or", cls="measure", width=15, value=lambda r: r.household),
    Column(heading="Cut", cls="cut", width=18, value=lambda r: r.cut),
    Column(
        heading="Goes in at",
        cls="num small at",
        head_cls="num",
        width=15,
        value=lambda r: f"step\N{NO-BREAK SPACE}{r.step}{', prep' if r.stage == 'prep' else ''}",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GearItem:
    """A vessel or a tool, and the steps at which it is needed."""

    name: str
    steps: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayView:
    """A dish's bowls, vessels and tools."""

    dish: str
    shape: str
    dish_number: int
    servings: str
    bowls: tuple[BowlRow, ...]
    vessels: tuple[GearItem, ...]
    tools: tuple[GearItem, ...]
    taken: tuple[GearItem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MiseEnPlace:
    """The values of mise-en-place.html. ``times``: how its times are meant; empty where it has none."""

    heads: tuple[Head, ...]
    trays: tuple[TrayView, ...]
    preheats: tuple[OvenRow, ...]
    on_plates: tuple[PlateRow, ...]
    times: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateRow:
    """What goes on each plate beside the dishes: ``1 tsp each``, ``20 g in all``, ``at the table``."""

    item: str
    each: str
    whole: str
    how: str


def plate_rows(found: Sequence[OnPlate]) -> tuple[PlateRow, ...]:
    """A row for each, in the order of the file."""
    return tuple(
        PlateRow(
            item=one.each.display_name,
            each=one.each_words or "to taste",
            whole="" if one.whole.scale_g is None else f"{format_grams(one.whole.scale_g)} in all",
            how=one.how,
        )
        for one in found
    )


def mise_en_place_of(
    trays: Sequence[Tray],
    preheats: Sequence[PreHeat],
    cautions: Sequence[Caution] = (),
    on_plates: Sequence[OnPlate] = (),
) -> MiseEnPlace:
    """Trays in the order of the dishes, ovens in the order in which they are switched on; bowls are marked with the ``cautions`` about
    their food, and about the step at which they go in."""
    timed = any(r.at_min is not None for t in trays for r in (*t.vessels, *t.tools))
    return MiseEnPlace(
        heads=heads_of(COLUMNS),
        trays=tuple(_tray(tray, n, cautions) for n, tray in enumerate(trays)),
        preheats=oven_rows(preheats),
        on_plates=plate_rows(on_plates),
        times=AFTER_THE_FIRST if timed else "",
    )


def _tray(tray: Tray, dish_number: int, cautions: Sequence[Caution]) -> TrayView:
    return TrayView(
        dish=tray.dish.name,
        shape=SHAPES[dish_number % len(SHAPES)],
        dish_number=dish_number % len(SHAPES),
        servings=f"{tray.dish.servings:g}",
        bowls=tuple(
            BowlRow(
                number=bowl.number,
                step=bowl.step.number,
                stage=bowl.step.stage,
                item=bowl.addition.ingredient.display_name,
                grams=bowl.grams,
                household=bowl.household,
                cut=cut_text(bowl, tray.dish),
                marks=marks_of_bowl(cautions, tray.dish, bowl.step, bowl.addition.ingredient.key),
            )
            for bowl in tray.bowls
        ),
        vessels=tuple(map(_gear, tray.vessels)),
        tools=tuple(map(_gear, tray.tools)),
        taken=tuple(map(_gear, tray.taken)),
    )


def cut_text(bowl: Bowl, dish: Dish) -> str:
    """The cut with its size, which is not said twice, and what of it will be left behind."""
    behind = behind_words(bowl.addition.ingredient) if _may_stay_behind(bowl, dish) else ""
    return ", ".join(part for part in (bowl.cut, "" if size_is_said(bowl.cut) else bowl.mm, behind) if part)


def _may_stay_behind(bowl: Bowl, dish: Dish) -> bool:
    """Whether what is in the bowl is in by the time that some of the ingredient is left behind; of what goes in in several parts, not
    the part that goes in at that step or after it."""
    one = bowl.addition.ingredient
    order = [s.number for s in dish.in_shoot_order]
    earlier = frozenset(order[: order.index(one.behind_at)] if one.behind_at in order else order)
    parts = {s.number for s in dish.steps if any(a.ingredient.key == one.key for a in s.additions)}
    return bowl.step.number in earlier or not parts & earlier


def _gear(ready: Ready) -> GearItem:
    numbers = [str(step.number) for step in ready.steps]
    when = "" if ready.at_min is None else f", from {hours_after(ready.at_min)}"
    return GearItem(name=ready.name, steps=("step " if len(numbers) == 1 else "steps ") + ", ".join(numbers) + when)


def oven_rows(preheats: Sequence[PreHeat]) -> tuple[OvenRow, ...]:
    """A row for each oven to switch on."""
    return tuple(
        OvenRow(
            setting=capital(setting_words(p)),
            on=_on(p),
            do=p.step.do,
        )
        for p in preheats
    )


def _on(preheat: PreHeat) -> str:
    if preheat.turn == KEPT:
        return f"it is on already, for step {preheat.step.number} of {preheat.dish.short}"
    do = f"turn it {preheat.turn}" if preheat.turn in ("up", "down") else "set it" if preheat.turn else "switch it on"
    return f"{do} {moment(preheat)}"
