"""Conditions of a rule that ask about the state of things: what the words tell, what is in the vessel, how much of it, how far it is
cooked, how long it has stood, who eats it."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable
from typing import Any

from scriptkit.english.heat import HOB, MICROWAVE, OVEN, SLOW_COOKER
from scriptkit.english.kitchen_facts import kitchen_facts, rinsed, tells
from scriptkit.english.temperatures_said import degrees_in, lies_in_c
from scriptkit.pantry.kinds_by_name import category_of, raw_class_of
from scriptkit.pantry.names import words_of
from scriptkit.patterns import LazyPattern
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.safety.doses import dose_g, polyols_g
from scriptkit.safety.kitchen_state import StepState, is_heated, named
from scriptkit.safety.step_facts import Situation

Holds = Callable[[Situation], bool]
SPIRIT_FROM_PERCENT = 18.0
"""Grams of alcohol in 100 g from which a vapour lights in a warm pan (common practice, no source)."""
SPOILS = frozenset(
    ("beef", "veal", "lamb", "pork", "poultry", "game", "offal", "fish", "shellfish", "egg", "dairy", "cheese", "stock", "pulse", "soya and plant", "dish", "cured meat", "mushroom", "sauce")
)  # fmt: skip
_SPOILS_COOKED = re.compile(
    r"\b(?:rice|pasta|noodle|potato|spaghetti|macaroni|couscous|bulgur|quinoa|barley|polenta|lentil|bean|chickpea)",
    re.IGNORECASE,
)
_SPOILS_OPENED = re.compile(r"\bmayonnaise\b|\bcustard\b", re.IGNORECASE)
_ACID = re.compile(r"\b(?:vinegar|lemon juice|lime juice|citric acid)\b", re.IGNORECASE)
_LOW_ACID = frozenset(
    (
        "vegetable",
        "mushroom",
        "pulse",
        "beef",
        "pork",
        "lamb",
        "veal",
        "poultry",
        "game",
        "offal",
        "fish",
        "shellfish",
        "stock",
        "cured meat",
        "seaweed",
        "herb",
        "dish",
    )
)
_SPIRIT = re.compile(
    r"\b(?:rum|brandy|whiske?y|vodka|gin|cognac|armagnac|calvados|liqueur|schnapps|tequila|kirsch|absinthe|grappa|ouzo|pastis)\b",
    re.IGNORECASE,
)
_NO_SPIRIT = re.compile(
    r"\b(?:essence|extract|flavou?r\w*|sauce|cake|truffles?|vinegar|chocolates?|raisin|jelly|butter)\b|alcohol[- ]free",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[.;:,]| then | and ")
_SALTS = frozenset(("salt", "sea salt"))
_PORK_OR_GAME = frozenset(("pork", "game"))


def _many(value: Any) -> frozenset[str]:
    return frozenset([value] if isinstance(value, str) else value)


def _facts(value: Any) -> tuple[str, ...]:
    names = (value,) if isinstance(value, str) else tuple(value)
    for name in names:
        kitchen_facts()[name]  # a fact that there is not is told when the rules are read
    return names


def _says(value: Any) -> Holds:
    facts = _facts(value)
    return lambda s: all(s.tells(fact) for fact in facts)


def _says_any(value: Any) -> Holds:
    facts = _facts(value)
    return lambda s: any(s.tells(fact) for fact in facts)


def _earlier_says(value: Any) -> Holds:
    facts = _facts(value)
    return lambda s: any(tells(sentence, fact) for sentence in s.earlier_said for fact in facts)


def _just_before_says(value: Any) -> Holds:
    facts = _facts(value)
    return lambda s: bool(s.earlier) and any(tells(s.earlier[-1].reading.sentence, fact) for fact in facts)


def _dish_says(value: Any) -> Holds:
    facts = _facts(value)
    return lambda s: any(tells(step.reading.sentence, fact) for step in s.facts.dish.steps for fact in facts)


def _holds(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: not wanted.isdisjoint(s.state.kinds)


def fits_in(value: Any) -> Callable[[str], bool]:
    """Whether the expression fits somewhere in a text: worked out once a text, for a dish is asked about many times."""
    pattern = LazyPattern(str(value), re.IGNORECASE)

    @functools.lru_cache(maxsize=256)
    def fits(text: str) -> bool:
        return pattern.search(text) is not None

    return fits


def _holds_named(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: any(map(fits, s.state.names))


def _raw_held(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(s.raw) and any(raw_class_of(i.food) in wanted and i in s.state.foods for i in s.raw)


def _raw_before(s: Situation) -> bool:
    """Whether what the words call a marinade has held raw food: at an earlier step something raw went in."""
    return any(
        raw_class_of(i.food) for step in s.earlier for i in (*step.uses, *(a.ingredient for a in step.additions))
    )


def _never_heated_named(value: Any) -> Holds:
    fits = fits_in(value)
    return lambda s: any(fits(named(i)) for i in s.never_heated)


# --- fat, sugar, spirits ----------------------------------------------------------------------------------------------


def _added(step: Step | None, asked: Callable[[Ingredient], bool]) -> float:
    return sum(a.grams or 0.0 for a in step.additions if asked(a.ingredient)) if step else 0.0


def _is_watery(ingredient: Ingredient) -> bool:
    return (
        category_of(ingredient.food) in ("stock", "drink", "dairy", "wine or spirit") or ingredient.food.name == "water"
    )


def _adds_water(s: Situation) -> bool:
    return s.tells("puts-water") or _added(s.step, _is_watery) >= 30


_NO_FRYING = frozenset(("plate", "bowl", "rack", "tray", "board"))


def _oil_bath(s: Situation) -> bool:
    if (
        s.step is None
        or s.step.reading.plates_up
        or "blend" in s.acts
        or (s.step.reading.vessel.kind in _NO_FRYING and not s.tells("into-the-fat"))
    ):
        return False  # what was fried has left the fat
    if any(tells(e.reading.sentence, "fat-gone") for e in s.state.earlier):
        return False
    return s.heat_source not in (OVEN, MICROWAVE) and s.state.is_oil_bath(_added(s.step, _is_watery))


def _oil_hot(s: Situation) -> bool:
    before = s.state.earlier
    heated = s.was_hot or s.heated or s.tells("gets-hot")
    heated = heated or any(e.reading.heats_food or tells(e.reading.sentence, "gets-hot") for e in before)
    stated = (c for e in (*before, *((s.step,) if s.step else ())) for c in degrees_in(e.reading.sentence))
    heated = heated or any(c >= _FRIES_FROM_C for c in stated)
    return heated and not s.tells("gone-cold") and not any(tells(e.reading.sentence, "gone-cold") for e in before)


_FRIES_FROM_C = 120.0
"""From here on water in it turns to steam at once (common practice, no source)."""


def _spirit_at_least(value: Any) -> Holds:
    least = float(value)
    return lambda s: _added(s.step, _is_spirit) >= least


def _is_spirit(ingredient: Ingredient) -> bool:
    """By its figures, else, of a label without one, by its name."""
    percent = ingredient.food.composition.alcohol_g
    if percent is None:
        return _SPIRIT.search(ingredient.food.name) is not None and not _NO_SPIRIT.search(ingredient.food.name)
    return percent >= SPIRIT_FROM_PERCENT


def _spirit_share(s: Situation) -> float:
    spirit = sum(s.state.grams.get(i.key, 0.0) for i in s.state.foods if _is_spirit(i))
    return spirit / s.state.total_g if s.state.total_g else 0.0


def _rinses_raw(s: Situation) -> bool:
    """Whether what is rinsed is the raw food that is handled: it is named, or nothing else is."""
    sentence = s.step.reading.sentence if s.step else ""
    raw = [i for i in s.raw if i in s.handled or i in s.state.foods]
    names = {word for i in raw for word in words_of(f"{i.name} {i.food.name}")}
    others = {word for i in s.facts.ingredients if i not in raw for word in words_of(f"{i.name} {i.food.name}")} - names
    for clause in _CLAUSE.split(sentence):
        here = set(words_of(clause))
        told = tells(clause, "rinses") or any(not what or names & set(words_of(what)) for what in rinsed(clause))
        if told and (here & names or not here & others):
            return True
    return False


# --- what it has been through -----------------------------------------------------------------------------------------


def _undercooked(s: Situation) -> bool:
    """Whether the foods of one class leave the heat below their published minimum, as `core:` or the words say, or pink."""
    if s.step is None or not s.cooked:
        return False
    core = s.said_core_c
    if core is not None:
        return core < MINIMUM_C.get(raw_class_of(s.cooked[0].food), 0.0) - 0.5
    lies_in = lies_in_c(s.step.reading.sentence)
    if lies_in is not None and lies_in < MINIMUM_C.get(raw_class_of(s.cooked[0].food), 0.0) - 0.5:
        return True
    told = [step for step in s.from_here if step is s.step or step.stage == "cook"]
    pink = any(tells(step.reading.sentence, "left-pink") for step in told) or _only_seared(s)
    return pink and not any(tells(step.reading.sentence, "cooked-through") for step in told)


_SEARED_MS = 60_000
"""So long a side browns the outside, and leaves what is thicker than a slice raw within (common practice, no source)."""


def _only_seared(s: Situation) -> bool:
    """Whether all its time in the heat is a minute a side at most, or two and no more, and it is no thin slice."""
    if s.step is None or s.state.was_heated or s.tells("thin-slices"):
        return False
    if not s.tells("each-side") and not s.tells("and-no-longer"):
        return False
    limit = _SEARED_MS if s.tells("each-side") else 2 * _SEARED_MS
    return 0 < max(s.step.reading.times_ms, default=0) <= limit


MINIMUM_C = {"poultry": 74.0, "ground-meat": 71.0, "whole-cut": 63.0, "fish": 63.0, "egg": 71.0}
"""FoodSafety.gov, Safe Minimum Internal Temperature Chart, 2019 (USDA FSIS); a test holds it to the rules."""


def _spoils(s: Situation) -> bool:
    """Whether what stands there must be kept hot or cold: raw food, cooked starch, and what is opened; not baked goods."""
    state = s.state
    if s.raw and any(i in state.foods for i in s.raw):
        return True
    if state.keeps_dry:
        return False
    cooked = state.was_heated or state.hot_after or (s.step is not None and is_heated(s.step.reading))
    return bool(spoiling(state.foods, cooked))


def spoiling(foods: Iterable[Ingredient], cooked: bool) -> list[Ingredient]:
    """Of foods those that spoil out of the fridge; cooked rice, pasta and potatoes do, dried and canned ones do not."""
    return [
        i
        for i in foods
        if (category_of(i.food) in SPOILS and (cooked or not _is_dry(i)))
        or (_SPOILS_COOKED.search(i.food.name) is not None and (cooked or "cooked" in i.food.name))
        or _SPOILS_OPENED.search(i.food.name) is not None
    ]


def _is_dry(ingredient: Ingredient) -> bool:
    """Dried, canned, cured and bottled food keeps until it is opened or cooked."""
    return (
        category_of(ingredient.food) in ("pulse", "sauce", "cured meat", "stock", "mushroom", "soya and plant")
        or "dried" in ingredient.food.name
    )


def _low_acid(s: Situation) -> bool:
    foods = [i for i in s.facts.ingredients if i.grams]
    total = sum(i.grams or 0.0 for i in foods)
    acid = sum(i.grams or 0.0 for i in foods if _ACID.search(i.food.name))
    sugar = sum(i.grams or 0.0 for i in foods if category_of(i.food) == "sweetener")
    low = any(category_of(i.food) in _LOW_ACID for i in foods)
    return low and total > 0 and acid < 0.15 * total and sugar < 0.35 * total


def salt_percent(state: StepState) -> float | None:
    """Salt by weight of the vegetables and fruit in it, in per cent; None where there are none."""
    food = state.of_category("vegetable", "fruit")
    salt = sum(state.grams.get(i.key, 0.0) for i in state.foods if i.food.name.partition(",")[0] in _SALTS)
    return 100 * salt / food if food else None


def _salt_percent_below(value: Any) -> Holds:
    limit = float(value)
    return lambda s: (found := salt_percent(s.state)) is not None and 0 < found < limit


# --- dose and eaters --------------------------------------------------------------------------------------------------


def _dose(value: Any) -> Holds:
    return lambda s: dose_g(s.facts.dish, value) >= float(value["at_least"])


def _eaters(value: Any) -> Holds:
    wanted = _many(value)
    return lambda s: bool(wanted & s.facts.eaters)


def _at_least(of: Callable[[Situation], float]) -> Callable[[Any], Holds]:
    return lambda value: lambda s: of(s) >= float(value)


def is_so(ask: Callable[[Situation], bool]) -> Callable[[Any], Holds]:
    """A condition whose value is true or false, worked out once a situation however many rules ask for it."""

    def made(value: Any) -> Holds:
        def holds(s: Situation) -> bool:
            known = s.known.get(ask)
            if known is None:
                known = s.known[ask] = ask(s)
            return known is value

        return holds

    return made


def _in_the_microwave(s: Situation) -> bool:
    return s.heat_source == MICROWAVE or s.tells("microwave")


def _a_pan(s: Situation) -> bool:
    return s.step is not None and s.step.reading.vessel.kind in ("pan", "pot")


STATE_OF_A_STEP: dict[str, Callable[[Any], Holds]] = {
    "says": _says,
    "says_any": _says_any,
    "earlier_says": _earlier_says,
    "dish_says": _dish_says,
    "just_before_says": _just_before_says,
    "holds": _holds,
    "holds_named": _holds_named,
    "raw_held": _raw_held,
    "raw_before": is_so(_raw_before),
    "never_heated_named": _never_heated_named,
    "adds_water": is_so(_adds_water),
    "oil_bath": is_so(_oil_bath),
    "oil_hot": is_so(_oil_hot),
    "oil_held_at_least_g": _at_least(lambda s: s.state.oil_g),
    "hot_syrup": is_so(lambda s: s.state.hot_syrup),
    "glass": lambda value: lambda s: s.state.glass == value,
    "rinses_raw": is_so(_rinses_raw),
    "mostly_sugar": is_so(lambda s: s.state.is_mostly_sugar),
    "sugar_at_least_g": _at_least(lambda s: s.state.sugar_g),
    "spirit_at_least_g": _spirit_at_least,
    "spirit_share_at_least": _at_least(_spirit_share),
    "spirit_boiled_off": is_so(lambda s: s.state.was_heated),
    "hob": is_so(lambda s: s.heated and s.heat_source == HOB),
    "microwave": is_so(_in_the_microwave),
    "oven": is_so(lambda s: s.heat_source == OVEN and s.heated),
    "slow_cooker": is_so(lambda s: s.heat_source == SLOW_COOKER or s.tells("slow-cooker")),
    "kitchen_heat": is_so(lambda s: s.heated and s.heat_source in (OVEN, HOB)),
    "earlier_in_oven": is_so(
        lambda s: any(tells(e.reading.sentence, "hot-oven") or e.reading.heat.source == OVEN for e in s.earlier)
    ),
    "pan_vessel": is_so(_a_pan),
    "undercooked": is_so(_undercooked),
    "pork_or_game": is_so(lambda s: any(category_of(i.food) in _PORK_OR_GAME for i in s.cooked)),
    "game_or_offal": is_so(
        lambda s: any(category_of(i.food) in ("game", "offal") and "mince" not in i.food.name for i in s.cooked)
    ),
    "spoils": is_so(_spoils),
    "out_at_least_h": _at_least(lambda s: s.state.out_h),
    "out_here_at_least_h": _at_least(lambda s: s.state.out_here_h),
    "total_at_least_g": _at_least(lambda s: s.state.total_g),
    "salt_percent_below": _salt_percent_below,
}
"""What the words tell (facts of kitchen_facts.yaml): all, any, at an earlier step, at any step of the dish; what is in the vessel;
what is raw in it; fat, sugar, spirits; where it is heated; how far it is cooked; how long it has stood out, in hours."""

STATE_OF_A_DISH: dict[str, Callable[[Any], Holds]] = {
    "dose": _dose,
    "polyols_at_least_g": _at_least(lambda s: polyols_g(s.facts.dish)),
    "eaters": _eaters,
    "has_raw": is_so(lambda s: s.facts.has_raw),
    "low_acid": is_so(_low_acid),
}
"""How much of a food there is, a serving or a kilogram; who eats it; whether raw meat or fish goes in; whether it keeps in no jar."""
