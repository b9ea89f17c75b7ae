"""What the pages of the day before print: pre-heats, labels, the purchase list, swap-outs, and the order of filming."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

from scriptkit.measure.amounts import format_grams
from scriptkit.measure.durations import format_duration
from scriptkit.shoot.buying import Purchase, amount_text, bought_text
from scriptkit.shoot.coverage_order import CoverageOrder
from scriptkit.shoot.mise import Bowl, PreHeat, Tray
from scriptkit.shoot.swap_outs import (
    CHILL_SOURCE,
    HOT_ROOM_C,
    KEEPS_DAYS,
    OUT_AT_MOST_HOT_MIN,
    OUT_AT_MOST_MIN,
    ChillClock,
    SwapOut,
)

LABELS_A_SHEET = 8

CHILL_RULE = (
    f"Cooked food goes into the fridge within {OUT_AT_MOST_MIN // 60} h and keeps {KEEPS_DAYS[0]} to {KEEPS_DAYS[1]} days. "
    f"On the day it is out of the fridge for {OUT_AT_MOST_MIN // 60} h at most, counting every time it is out, and for "
    f"{OUT_AT_MOST_HOT_MIN // 60} h where the room is above {HOT_ROOM_C} °C (90 °F); what was out for longer is thrown away."
)


def preheats(found: Sequence[PreHeat]) -> list[dict[str, str]]:
    """A row for each oven to switch on: its setting, when, and the step that needs it."""
    return [
        {
            "setting": p.setting[:1].upper() + p.setting[1:],
            "on": _on(p),
            "step": str(p.step.number),
            "do": p.step.do,
            "dish": p.dish.name,
        }
        for p in found
    ]


def _on(preheat: PreHeat) -> str:
    if preheat.lead_ms == 0:
        return "switch it on when the step begins"
    lead = format_duration(preheat.lead_ms)
    if preheat.on_min is None:
        return f"switch it on {lead} before"
    if preheat.on_min < 0:
        return f"switch it on {_minutes(-preheat.on_min)} before the first step"
    return f"switch it on at minute {preheat.on_min:g}, {lead} before"


def _minutes(minutes: float) -> str:
    return format_duration(round(minutes * 60_000))


# --- labels ----------------------------------------------------------------------------------------------------------

# Letters of a text up to which it is set in a size, so that a label holds it: names in labels.html.
_ITEM_FITS = ((14, "large"), (32, "medium"), (64, "small"))
_CUT_FITS = ((48, "medium"), (130, "small"))
_CROWDED = 240
"""More letters than this on one label, and all of it is set close."""


def labels(trays: Sequence[Tray]) -> dict[str, Any]:
    """One label for each bowl, eight to a sheet, tray by tray in order of use."""
    found = [_label(tray, bowl) for tray in trays for bowl in tray.bowls]
    sheets = [found[n : n + LABELS_A_SHEET] for n in range(0, len(found), LABELS_A_SHEET)]
    return {"sheets": sheets, "labels": len(found)}


def _label(tray: Tray, bowl: Bowl) -> dict[str, Any]:
    item, cut = bowl.addition.ingredient.name, cut_text(bowl)
    return {
        "crowded": len(tray.dish.short) + len(item) + len(cut) + len(bowl.step.id) > _CROWDED,
        "dish": tray.dish.short,
        "dish_fits": _fits(tray.dish.short, _CUT_FITS),
        "bowl": str(bowl.number),
        "of": str(len(tray.bowls)),
        "step": str(bowl.step.number),
        "stage": bowl.step.stage,
        "step_id": bowl.step.id,
        "item": item,
        "item_fits": _fits(item, _ITEM_FITS),
        "grams": bowl.grams,
        "household": bowl.household,
        "cut": cut,
        "cut_fits": _fits(cut, _CUT_FITS),
    }


def _fits(text: str, sizes: Sequence[tuple[int, str]]) -> str:
    return next((name for most, name in sizes if len(text) <= most), "tiny")


def cut_text(bowl: Bowl) -> str:
    """The cut with its size, which is not said twice."""
    return ", ".join(part for part in (bowl.cut, "" if bowl.mm in bowl.cut else bowl.mm) if part)


# --- buying and swap-outs --------------------------------------------------------------------------------------------


def buying(purchases: Sequence[Purchase], twins: Sequence[SwapOut], clocks: Sequence[ChillClock]) -> dict[str, Any]:
    """The purchase list by kind of food, the twins to make ahead, and their chill clocks."""
    kinds = dict.fromkeys(p.food.category for p in purchases)
    return {
        "kinds": [
            {"name": kind[:1].upper() + kind[1:], "rows": [_purchase(p) for p in purchases if p.food.category == kind]}
            for kind in kinds
        ],
        "foods": len(purchases),
        "twins": [_twin(t) for t in twins],
        "clocks": [_clock(c) for c in clocks],
        "chill_rule": CHILL_RULE,
        "chill_source": CHILL_SOURCE,
    }


def _purchase(purchase: Purchase) -> dict[str, Any]:
    need = purchase.need
    named = ", ".join(n for n in purchase.names if n.casefold() != purchase.food.name.casefold())
    return {
        "food": purchase.food.name,
        "named": named,
        "buy": bought_text(purchase) or "to taste",
        "rounded": purchase.rounded,
        "need": ""
        if need is None
        else amount_text(need) + ("" if need.unit == "gram" else f", {format_grams(purchase.bought_g)}"),
        "recipe": ""
        if need is None or round(purchase.recipe_g) == round(purchase.bought_g)
        else format_grams(purchase.recipe_g),
        "seasoned": purchase.seasoned and need is not None,
        "uses": [f"{w.used_in} × {w.cooks}" for w in purchase.wants],
    }


def _twin(twin: SwapOut) -> dict[str, Any]:
    wait = format_duration(twin.step.wait_ms or 0)
    return {
        "dish": twin.dish.name,
        "step": str(twin.step.number),
        "step_id": twin.step.id,
        "do": twin.step.do,
        "why": f"its wait of {wait} is jumped" if twin.step.wait_ms else "the file asks for it",
        "takes": format_duration(twin.takes_ms) if twin.takes_ms else "",
        "steps": ", ".join(str(s.number) for s in twin.steps),
        "needs": [
            {
                "item": n.ingredient.name,
                "grams": "to taste" if n.grams is None else format_grams(n.grams),
                "cut": n.ingredient.prep,
            }
            for n in twin.needs
        ],
        "vessels": ", ".join(twin.vessels),
    }


def _clock(clock: ChillClock) -> dict[str, str]:
    what = (
        f"twin to step {clock.step.number} ({clock.step.id})"
        if clock.step
        else "hero"
        if clock.count == 1
        else f"{clock.count} heroes"
    )
    out_at, back, hot = clock.out_at_min, clock.back_by_min, clock.back_by_hot_min
    known = out_at is not None and back is not None and hot is not None
    return {
        "what": f"{clock.dish.short}: {what}",
        "out": f"minute {out_at:g}" if known else "",
        "back": f"minute {back:g}" if known else "",
        "hot": f"minute {hot:g}" if known else "",
        "outstays": "the shoot goes on for longer: back into the fridge, or away" if clock.outstays else "",
    }


# --- the order of filming --------------------------------------------------------------------------------------------


def camera(order: CoverageOrder) -> dict[str, Any]:
    """The moves of the camera in both orders, and the grouped order, one row a stay of the camera."""
    stays = [list(shots) for _, shots in itertools.groupby(order.grouped, key=lambda s: s.camera_setup)]
    return {
        "moves": order.moves_cooked,
        "grouped_moves": order.moves_grouped,
        "setups": len({s.camera_setup for s in order.cooked}),
        "words": (
            f"{order.moves_cooked} camera moves in cook order, {order.moves_grouped} with the repeatable shots grouped by setup"
        ),
        "stays": [
            {
                "setup": stay[0].camera_setup,
                "where": f"{stay[0].look.size} {stay[0].look.angle}, {stay[0].place}",
                "slates": [s.slate for s in stay],
            }
            for stay in stays
        ],
    }


def shoot_text(
    order: CoverageOrder, purchases: Sequence[Purchase], twins: Sequence[SwapOut], clocks: Sequence[ChillClock]
) -> str:
    """The report's part about the shoot: camera moves, what to make ahead, what to buy."""
    facts = camera(order)
    out = ["Order of filming", "----------------", f"{facts['words']}."]
    out += [f"  {stay['where']}: {' '.join(stay['slates'])}" for stay in facts["stays"]]
    out += ["", "Make ahead", "----------"]
    for twin in map(_twin, twins):
        takes = f", {twin['takes']} to make" if twin["takes"] else ""
        vessels = f" Vessels: {twin['vessels']}." if twin["vessels"] else ""
        needs = ", ".join(f"{n['item']} {n['grams']}" for n in twin["needs"])
        out.append(f"{twin['dish']}, to the end of step {twin['step']} ({twin['step_id']}): {twin['why']}{takes}.")
        out.append(f"  {needs}.{vessels}")
    if not twins:
        out.append("Nothing: no wait is longer than the film's limit.")
    for clock in map(_clock, clocks):
        when = (
            f" Out at {clock['out']}, back by {clock['back']} ({clock['hot']} in a hot room)." if clock["out"] else ""
        )
        out.append(f"  chill clock, {clock['what']}:{when or ' starts when it leaves the fridge.'}")
    if clocks:
        out += [f"  {CHILL_RULE}", f"  source: {CHILL_SOURCE}"]
    out += ["", "To buy", "------"]
    out += [f"{bought_text(p) or 'to taste'}  {p.food.name} ({'; '.join(_purchase(p)['uses'])})" for p in purchases]
    return "\n".join(out)
