"""What cooking makes of each ingredient, and what the batch weighs where nobody weighed it; every figure of it an estimate."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.english.disposal import POURED_OFF, STRAINED, Disposal
from scriptkit.pantry.cooked_rows import WET, Cooked, cooked
from scriptkit.pantry.plant_yields import plant_yield
from scriptkit.recipe.cooking import KEPT, CookedIngredient
from scriptkit.recipe.dish import Dish, Ingredient, Step
from scriptkit.recipe.evaporation import evaporated, is_liquid
from scriptkit.recipe.mass_balance import dry_matter_g
from scriptkit.recipe.step_graph import StepGraph
from scriptkit.recipe.time_on_heat import steps_through

OWN_OFF, BY_PROTEIN_OFF, NEAREST_OFF = 0.04, 0.08, 0.12
"""How far a cooked weight may be off, as a share of it (90 %): a printed yield of the cut; one worked out from protein; another
food's. What leaving each pair out in turn finds (tests/outside/test_cooked_rows.py), and what two joints of a cut differ by."""
_FAT_OR_JUICES = re.compile(r"\b(?:fat|grease|oil|juices?|liquid|drippings|liquor|water)\b", re.IGNORECASE)
_WATER = re.compile(r"\b(?:water|liquid|brine)\b", re.IGNORECASE)
_STEWED = ("braise", "simmer")
_DRY = ("fat_g", "protein_g", "carbohydrate_g")


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedWeight:
    """Grams of the batch with their 90 % interval, and in words what they were estimated with."""

    grams: float
    low_g: float
    high_g: float
    by: tuple[str, ...]


def cooked_ingredients(
    ingredients: Sequence[Ingredient], steps: Sequence[Step], taken_out: Sequence[Ingredient] = ()
) -> tuple[CookedIngredient, ...]:
    """What cooking makes of each ingredient that it changes. Fat that is ``taken_out`` has been weighed: no other is then taken to
    be left behind, save where a file says so."""
    found = []
    for ingredient in ingredients:
        path = cooked_path(ingredient, steps)
        if ingredient.grams is None or ingredient.lost_share >= 1 or not path:
            continue
        made = next(((c, s) for s in _by_length(path) if (c := cooked(ingredient.food, s.reading.method))), None)
        if made is not None:
            found.append(_cooked(ingredient, ingredients, steps, path, *made, weighed=bool(taken_out)))
        elif (plant := _plant(ingredient, path)) is not None:
            found.append(plant)
    return tuple(found)


def cooked_path(ingredient: Ingredient, steps: Sequence[Step]) -> list[Step]:
    """The cook steps that it goes through: as `from:` says where the file has it, else by its vessel. What goes in at a step of
    preparation, as into a marinade, goes on from there."""
    cook = [s for s in steps if s.stage != "prep"]
    at = [n for n, s in enumerate(cook) if any(a.ingredient is ingredient for a in s.additions)]
    at = at or [n for n, s in enumerate(cook) if ingredient in s.uses]
    if not at:
        begun = next((s for s in steps if any(a.ingredient is ingredient for a in s.additions)), None)
        if begun is None:
            return []
        if any(s.takes for s in steps):
            return _taken_on(begun, steps)
        if later := StepGraph(steps).taken_on(begun):
            at = [n for n, s in enumerate(cook) if s.number in later]
            return steps_through(cook, at[0]) if at else []
        bowl = begun.reading.vessel.key  # without `from:`, only what is cooked in the vessel that it is in
        at = [n for n, s in enumerate(cook) if bowl and s.reading.vessel.key == bowl]
        return steps_through(cook, at[0]) if at else []
    return _taken_on(cook[at[0]], steps) if any(s.takes for s in steps) else steps_through(cook, at[0])


def _taken_on(first: Step, steps: Sequence[Step]) -> list[Step]:
    """The steps that the first one's work goes on in, its juices aside."""
    graph = StepGraph(steps)
    numbers = {first.number}
    for step in graph.in_order:
        if any(e.takes and not e.juices and e.before in numbers for e in graph.into[step.number]):
            numbers.add(step.number)
    return [s for s in steps if s.number in numbers and s.stage != "prep"]


def _by_length(path: Sequence[Step]) -> list[Step]:
    return sorted(path, key=lambda s: -s.length_ms)


def _cooked(
    ingredient: Ingredient,
    beside: Sequence[Ingredient],
    steps: Sequence[Step],
    path: Sequence[Step],
    made: Cooked,
    step: Step,
    *,
    weighed: bool,
) -> CookedIngredient:
    method = step.reading.method
    if made.share > 1:  # dry pulses, grains and pasta swell: in water that is not listed, or in what is
        drained = any(_drains(s, ingredient) for s in path)
        listed = sum(
            i.grams or 0.0 for i in beside if is_liquid(i) and any(a.ingredient is i for s in path for a in s.additions)
        )
        swells = drained or listed < (ingredient.grams or 0.0) * (made.share - 1) / 2
        share = made.share if swells else 1.0
        return _made(ingredient, made, method, kept=True, stated=False, weight_share=share, off=0.08 if swells else 0.0)
    kept, stated = _juices(ingredient, path, step, steps, weighed=weighed)
    off, share = _yield_off(made), made.share
    if kept and method in WET:
        share, off = 1.0, 0.0  # its water is in the pot, and boils away there
    elif kept:
        share += _run_out(ingredient, made)
    return _made(ingredient, made, method, kept=kept, stated=stated, weight_share=share, off=off)


def juices_gone(one: CookedIngredient) -> CookedIngredient:
    """The same where what runs out goes elsewhere, as the file says."""
    if one.cooked is None:
        return one
    share, off = one.cooked.share, _yield_off(one.cooked)
    return dataclasses.replace(
        one, kept=False, stated=True, weight_share=share, weight_low=share * (1 - off), weight_high=share * (1 + off)
    )


def _yield_off(made: Cooked) -> float:
    """How far its cooked weight may be off, as a share of it."""
    return NEAREST_OFF if not made.own else BY_PROTEIN_OFF if made.row.by == "protein" else OWN_OFF


def _made(
    ingredient: Ingredient, made: Cooked, method: str, *, kept: bool, stated: bool, weight_share: float, off: float
) -> CookedIngredient:
    return CookedIngredient(
        key=ingredient.key,
        cooked=made,
        way=method,
        kept=kept,
        stated=stated,
        weight_share=weight_share,
        weight_low=weight_share * (1 - off),
        weight_high=weight_share * (1 + off),
    )


def _plant(ingredient: Ingredient, path: Sequence[Step]) -> CookedIngredient | None:
    """A vegetable or mushroom: it loses water and, as far as it is counted, nothing else."""
    step = max(path, key=lambda s: s.length_ms)
    method = step.reading.method
    found = plant_yield(ingredient.food, method)
    if found is None or (method in WET and not any(_drains(s, ingredient) for s in path)):
        return None
    return CookedIngredient(
        key=ingredient.key, cooked=None, way=method, kept=True, stated=False,
        weight_share=found.share, weight_low=found.low, weight_high=found.high,
    )  # fmt: skip


def _run_out(ingredient: Ingredient, made: Cooked) -> float:
    """Grams of fat, protein and carbohydrate that run out of a gram of it."""
    raw, after = ingredient.food.composition, made.per_100_g_raw
    return sum(max((getattr(raw, n) or 0.0) - (getattr(after, n) or 0.0), 0.0) for n in _DRY) / 100


def _juices(
    ingredient: Ingredient, path: Sequence[Step], step: Step, steps: Sequence[Step], *, weighed: bool
) -> tuple[bool, bool]:
    """Whether what runs out is eaten, and whether the file says so; else by the method and by what becomes of the pan."""
    written = ingredient.juices or next((s.juices for s in reversed(path) if s.juices), "")
    if written:
        return written == KEPT, True
    if weighed:
        return True, False
    since = {s.id for s in path[path.index(step) :]}  # the board that it rests on, too
    if any(one.step in since and one.juices and not one.dish for s in steps for one in s.takes):
        return True, True
    if any(_pours_off(s, ingredient) for s in path):
        return False, False
    return _usually_kept(ingredient, path, step), False


def _usually_kept(ingredient: Ingredient, path: Sequence[Step], step: Step) -> bool:
    """By the method: what lies in liquid or steam keeps its juices unless it is drained, a roast leaves them behind unless a sauce is
    made in its pan."""
    method = step.reading.method
    if method in WET:
        return method in _STEWED or not any(_drains(s, ingredient) for s in path)
    return method not in ("grill", "deep-fry") and _sauce_follows(path, path.index(step))


def _pours_off(step: Step, ingredient: Ingredient) -> bool:
    return any(
        not d.what or _FAT_OR_JUICES.search(d.what) or d.concerns(ingredient.name) for d in step.reading.poured_off
    ) or (step.reading.method not in WET and _drains(step, ingredient))


def _drains(step: Step, ingredient: Ingredient) -> bool:
    return any(
        d.how in (STRAINED, POURED_OFF)
        and (not d.what or d.concerns(ingredient.name) or (d.how == POURED_OFF and bool(_WATER.search(d.what))))
        for d in step.reading.disposed
    )


def _sauce_follows(path: Sequence[Step], at: int) -> bool:
    """Whether a liquid goes into the pan with it, or something is cooked on in that pan, which was not wiped."""
    vessel = path[at].reading.vessel.key
    here = [s for s in path[: at + 1] if s.reading.vessel.key == vessel]
    if any(is_liquid(a.ingredient) for s in here for a in s.additions):
        return True
    for later in path[at + 1 :]:
        if later.reading.vessel.key != vessel:
            continue
        if later.reading.in_a_wiped_pan:
            return False
        if later.reading.heat.on and any(a.grams for a in later.additions):
            return True
    return False


def estimated_weight(
    ingredients: Sequence[Ingredient],
    steps: Sequence[Step],
    made: Sequence[CookedIngredient],
    taken_out: Sequence[Ingredient] = (),
) -> CookedWeight:
    """The batch less what is left in the pan, strained out or taken out, each ingredient by its yield, and less what boils away;
    never less than its dry matter.

    Water contents of tables are no way to a cooked weight. Doubts of several ingredients are independent: their squares add up.
    """
    by_key = {one.key: one for one in made}
    eaten = {i.key: i.grams * (1 - i.lost_share) for i in ingredients if i.grams is not None}
    grams = {key: g * (by_key[key].weight_share if key in by_key else 1.0) for key, g in eaten.items()}
    drained = drained_water(ingredients, steps)
    boiled = evaporated(steps, {i.key: i.lost_share for i in ingredients} | dict.fromkeys(drained, 1.0))
    whole = sum(g for key, g in grams.items() if key not in drained)
    squares_low = sum((eaten[o.key] * (o.weight_share - o.weight_low)) ** 2 for o in made)
    squares_high = sum((eaten[o.key] * (o.weight_high - o.weight_share)) ** 2 for o in made)
    words = [str(o.cooked) for o in made if o.cooked is not None and o.weight_share != 1.0]
    words += [
        f"{_name(o.key)} {o.weight_share:.2f} of its raw weight ({o.way}; from memory)"
        for o in made
        if o.cooked is None
    ]
    words += [f"{_name(key)} poured away, as the words drain it (what stays: `left_behind:`)" for key in drained]
    words += [str(boiled)] if boiled.grams else []
    grams_left = whole - boiled.grams - sum(i.grams or 0.0 for i in taken_out)
    least = dry_matter_g(ingredients, taken_out, made)
    low = grams_left - (squares_low + (boiled.high_g - boiled.grams) ** 2) ** 0.5
    high = grams_left + (squares_high + (boiled.grams - boiled.low_g) ** 2) ** 0.5
    return CookedWeight(grams=max(grams_left, least), low_g=max(low, least), high_g=max(high, least), by=tuple(words))


def drained_water(ingredients: Sequence[Ingredient], steps: Sequence[Step]) -> tuple[str, ...]:
    """Keys of the water that food was boiled, soaked or rinsed in and that the words then pour away, of which the file says nothing
    more."""
    draining = [s for s in steps if any(_lets_water_go(d) for d in s.reading.disposed)]
    if not draining:
        return ()
    solid = [i for i in ingredients if not is_liquid(i)]
    return tuple(
        water.key
        for water in ingredients
        if water.food.name == "water"
        and not water.lost_share
        and any(_drained_off(s, water, solid, steps) for s in draining)
    )


def _lets_water_go(disposal: Disposal) -> bool:
    """Whether water goes: *drain the beans*, *pour off the water*; not *drain off the fat*, nor *strain the stock*, which is kept."""
    if disposal.how == POURED_OFF:
        return not disposal.what or bool(_WATER.search(disposal.what))
    return disposal.how == STRAINED and not _FAT_OR_JUICES.search(disposal.what)


def _drained_off(step: Step, water: Ingredient, solid: Sequence[Ingredient], steps: Sequence[Step]) -> bool:
    """Whether the water is there when the step drains what stands in it."""
    if not _is_there(water, step, steps):
        return False
    here = [i for i in solid if _is_there(i, step, steps)]
    return any(
        (not d.what and d.words.casefold().startswith("drain"))
        or d.how == POURED_OFF
        or any(d.concerns(i.name) or d.concerns(i.food.name) for i in here)
        or (d.words.casefold().startswith("drain") and not any(d.concerns(i.name) for i in solid))
        for d in step.reading.disposed
        if _lets_water_go(d)
    )


def _is_there(ingredient: Ingredient, step: Step, steps: Sequence[Step]) -> bool:
    """Whether it goes in at the step, has come there in its vessel, or went with what the step names into a bowl of preparation."""
    if any(a.ingredient is ingredient for a in step.additions) or ingredient in step.uses:
        return True
    begun = [s for s in steps if any(a.ingredient is ingredient for a in s.additions) and s.number < step.number]
    if any(t.step == s.id and not t.dish for s in begun for t in step.takes):
        return True
    if any(s.stage == "prep" and any(a.ingredient in step.uses for a in s.additions) for s in begun):
        return True
    return bool(begun) and step in cooked_path(ingredient, steps)


def _name(key: str) -> str:
    return key.replace("_", " ")


_LIQUID = ("stock", "drink", "wine or spirit")


def the_piece(dish: Dish) -> Ingredient | None:
    """What a cook means by the piece of a dish: the heaviest meat, poultry or fish, else the heaviest that is no liquid."""
    eaten = [i for i in dish.ingredients if i.grams and i.lost_share < 1]
    meat = [i for i in eaten if i.food.safety]
    solid = [i for i in eaten if i.food.category not in _LIQUID]
    return max(meat or solid, key=lambda i: i.grams or 0.0, default=None)


def with_yield(dish: Dish, piece: Ingredient, share: float) -> Dish:
    """The dish, which nobody weighed, with another estimate of its cooked weight: so much of the piece is left, and the rest
    is as it was taken to be."""
    others = [i for i in dish.ingredients if i is not piece]
    rest = estimated_weight(others, dish.steps, [o for o in dish.cooking if o.key != piece.key])
    more = (piece.grams or 0.0) * (1 - piece.lost_share) * share - sum(i.grams or 0.0 for i in dish.taken_out)
    grams = max(rest.grams + more, 0.0)
    words = (f"{piece.name} {share:g} of its raw weight, as the meal says", *rest.by)
    serving = dish.serving_g if dish.serving_stated else grams / dish.servings
    return dataclasses.replace(
        dish,
        cooked_g=grams,
        cooked_low_g=max(rest.low_g + more, 0.0),
        cooked_high_g=max(rest.high_g + more, 0.0),
        cooked_by=words,
        serving_g=serving,
    )
