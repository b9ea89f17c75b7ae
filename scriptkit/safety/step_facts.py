"""What is known of a dish and of each of its steps, as far as a caution may ask: what is hot, what is still raw, what is in it."""

from __future__ import annotations

import dataclasses
import functools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.english.heat import BARBECUE, GRILL, HOB, PRESSURE_COOKER, is_cooled
from scriptkit.english.methods import HOT
from scriptkit.english.step_reading import StepReading
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Film, Ingredient, Kitchen, Step

_OPEN_HEAT = frozenset({HOB, GRILL, BARBECUE, PRESSURE_COOKER})
_IT = re.compile(
    r"\b(?:it|them|everything|all|together|return|back|tip|transfer|meat|fish|filling|mixture|stew|sauce)\b",
    re.IGNORECASE,
)
_SERVED_RAW = re.compile(
    r"\b(?:raw|tartare?|ceviche|crudo|carpaccio|sashimi|poke|gravad\w*|gravlax|cur(?:e|ed|ing)|half[- ]shell|shuck\w*|"
    r"marinat\w+ [^.;]{0,30}\b(?:lime|lemon|vinegar|citrus)|oysters? (?:on|with))\b",
    re.IGNORECASE,
)
"""Meat and fish are called raw only where words say so: a file may leave the cooking out."""
PERISHABLE = frozenset(
    ("beef", "veal", "lamb", "pork", "poultry", "game", "offal", "fish", "shellfish", "egg", "dairy", "cheese", "stock", "pulse", "soya and plant", "dish")
)  # fmt: skip
"""Categories that must be kept hot or cold (common practice: the usual examples of food codes)."""
_PERISHABLE_COOKED = frozenset(
    ("rice, brown", "rice, long-grain white", "rice, short-grain", "rice, risotto", "rice, parboiled")
)


@dataclass(frozen=True, kw_only=True)
class DishFacts:
    """A dish in its kitchen, and how it is filmed."""

    dish: Dish
    kitchen: Kitchen
    film: Film

    @functools.cached_property
    def ingredients(self) -> tuple[Ingredient, ...]:
        """Of the dish, and of the dishes that it is made of."""
        return tuple(_with_parts(self.dish))

    @functools.cached_property
    def foods(self) -> frozenset[str]:
        """The pantry's names of all that is in it."""
        return frozenset(i.food.name for i in self.ingredients)

    @functools.cached_property
    def categories(self) -> frozenset[str]:
        """The pantry's categories of all that is in it."""
        return frozenset(i.food.category for i in self.ingredients)

    @functools.cached_property
    def named(self) -> str:
        """Every ingredient as the cook and the pantry call it."""
        return " ; ".join(_named(i) for i in self.ingredients)

    @functools.cached_property
    def cooks(self) -> bool:
        """Whether any step heats."""
        return any(s.reading.heats_food for s in self.dish.steps)

    @functools.cached_property
    def on_the_hob(self) -> bool:
        """Whether a step heats anything on the hob, under the grill or over coals."""
        return any(s.reading.heats_food and s.reading.heat.source in _OPEN_HEAT for s in self.dish.steps)

    @functools.cached_property
    def perishable(self) -> bool:
        """Whether anything in it must be kept hot or cold; cooked rice must."""
        return bool(self.categories & PERISHABLE) or bool(self.foods & _PERISHABLE_COOKED)

    @functools.cached_property
    def stands_in(self) -> bool:
        """Whether twins or heroes are made for the camera."""
        over = self.film.swap_out_over_ms
        return self.film.heroes > 0 or any(
            s.swap_out or (s.swap_out is None and (s.wait_ms or 0) > over) for s in self.dish.steps
        )

    @functools.cached_property
    def served_cold(self) -> bool:
        """As `served:` says it: what is eaten cold is not reheated."""
        return (
            re.match(r"\W*(?:\w+ )?(?:cold|chilled|iced|cool)\b", self.dish.published.served, re.IGNORECASE) is not None
        )

    @functools.cached_property
    def has_alcohol(self) -> bool:
        """Whether a drink goes in with more than 0.5 g of alcohol in 100 g, before it simmers."""
        return any(
            i.food.category == "wine or spirit" and (i.food.composition.alcohol_g or 0) > 0.5 for i in self.ingredients
        )

    @functools.cached_property
    def has_polyols(self) -> bool:
        """Only a label declares them; the tables' own figures are left inside the carbohydrate."""
        return any((i.food.composition.polyols_g or 0) > 0 for i in self.ingredients)


@dataclass(frozen=True, kw_only=True)
class Situation:
    """A step and what is known of it; without a step, the dish as a whole. ``acts``: the methods its words name, in order.
    ``hot``: what is in the vessel has been heated and not chilled since; ``was_hot``: so it was when the step began.
    ``cooked``: the ingredients of one class that must be cooked through by the end of the step, where the caution is about
    any; ``eaten_raw``: nothing heats them."""

    facts: DishFacts
    step: Step | None = None
    acts: tuple[str, ...] = ()
    hot: bool = False
    was_hot: bool = False
    volume_ml: float = 0.0
    volume_estimated: bool = False
    raw: tuple[Ingredient, ...] = ()
    """Ingredients with a temperature class that have been handled by now and not yet been cooked."""
    never_heated: tuple[Ingredient, ...] = ()
    """Ingredients of this step that nothing heats from here."""
    cooked: tuple[Ingredient, ...] = ()
    eaten_raw: bool = False

    @functools.cached_property
    def said(self) -> str:
        """What is done, less what is not done."""
        return self.step.reading.said if self.step else ""

    @functools.cached_property
    def gear(self) -> str:
        """What is done, and what lies ready for it."""
        if self.step is None:
            return ""
        reading = self.step.reading
        return f"{reading.said_with_gear} ; {reading.written_heat}"

    @functools.cached_property
    def handled(self) -> tuple[Ingredient, ...]:
        """The step's ingredients, those that are got ready and those that go in; of the whole dish, none."""
        if self.step is None:
            return ()
        return _all_handled(self.step)

    @functools.cached_property
    def named(self) -> str:
        """Every ingredient handled here, as the cook and the pantry call it."""
        return " ; ".join(_named(i) for i in self.handled)

    @functools.cached_property
    def heated(self) -> bool:
        """Whether the heat is on at this step."""
        return self.step is not None and self.step.reading.heats_food

    @functools.cached_property
    def oil_g(self) -> float:
        """Grams of fat or oil that go into the vessel here."""
        additions = self.step.additions if self.step else ()
        return sum(a.grams or 0.0 for a in additions if a.ingredient.food.category == "fat or oil")


def _with_parts(dish: Dish) -> Iterator[Ingredient]:
    for ingredient in dish.ingredients:
        yield ingredient
        if ingredient.dish is not None:
            yield from _with_parts(ingredient.dish)


def _named(ingredient: Ingredient) -> str:
    return f"{ingredient.name} , {ingredient.food.name} , {ingredient.prep}"


def situations(facts: DishFacts) -> Iterator[Situation]:
    """Each step; once more for each class of raw food that is cooked through at it, or eaten raw; at last the whole dish."""
    dish = facts.dish
    steps = dish.in_shoot_order
    hot = False
    in_pot_g = 0.0
    cooked_at = _cooked_through_at(dish)
    for n, step in enumerate(steps):
        in_pot_g += sum(a.grams or 0.0 for a in step.additions) if step.stage == "cook" else 0.0
        ml, estimated = (dish.cooked_ml, False) if dish.cooked_ml else (in_pot_g, True)
        was_hot = hot
        blended_hot, hot = _heat_through(step.reading, hot)
        plain = Situation(
            facts=facts,
            step=step,
            acts=step.reading.methods,
            hot=blended_hot,
            was_hot=was_hot,
            volume_ml=ml,
            volume_estimated=estimated,
            raw=_raw_by(dish, steps, n),
            never_heated=_never_heated(steps, n),
        )
        yield plain
        for (_, eaten_raw), foods in cooked_at.get(step.number, {}).items():
            yield dataclasses.replace(plain, cooked=tuple(foods), eaten_raw=eaten_raw)
    yield Situation(facts=facts)


def _heat_through(reading: StepReading, hot: bool) -> tuple[bool, bool]:
    """Whether what is in the vessel is hot where the step's blending happens (else where it begins), and when it ends."""
    on_the_heat = reading.cooks and (
        (reading.heat.on and (reading.heat.written or bool(reading.heat.level))) or reading.comes_off_the_heat
    )
    at_blend: bool | None = None
    for words, act in reading.clauses:
        if act == "chill" or is_cooled(words):
            hot = False
        elif act in HOT:
            hot = True
        elif act == "blend" and at_blend is None:
            at_blend = hot or on_the_heat or reading.calls_hot
            hot = at_blend
    return (hot if at_blend is None else at_blend), hot or on_the_heat


def _handled_at(step: Step, ingredient: Ingredient) -> bool:
    return any(a.ingredient is ingredient for a in step.additions) or any(i is ingredient for i in step.uses)


def _cooked_through_at(dish: Dish) -> dict[int, dict[tuple[str, bool], list[Ingredient]]]:
    """Step number → (class, eaten raw) → raw foods whose inside must be hot enough by its end: the step that states a core
    temperature for them, else the last cook step of heat from where they go in, else where they go in."""
    found: dict[int, dict[tuple[str, bool], list[Ingredient]]] = {}
    steps = [s for s in dish.in_shoot_order if s.stage == "cook"] or list(dish.in_shoot_order)
    for ingredient in dish.ingredients:
        if not ingredient.food.safety:
            continue
        handled = [s for s in steps if _handled_at(s, ingredient)]
        # a marinade is preparation, and what was in it is cooked all the same
        begun = handled or [s for s in dish.in_shoot_order if _handled_at(s, ingredient)]
        if not begun:
            continue
        on = steps[steps.index(handled[0]) :] if handled else [*begun, *steps]
        after = _concerned(on, ingredient, begun)
        stated = [s for s in after if s.core_c is not None]
        heated = [s for s in after if s.reading.heats_food]
        raw = not any(s.reading.may_heat for s in after) and _is_meant_raw(dish, ingredient)
        at = (stated or heated[-1:] or begun)[0]
        found.setdefault(at.number, {}).setdefault((ingredient.food.safety, raw), []).append(ingredient)
    return found


def _concerned(steps: Sequence[Step], ingredient: Ingredient, handled: Sequence[Step]) -> list[Step]:
    """The steps that may be about the ingredient: it is handled there, or they are done in a vessel that it is in, or may be
    in by now. What is done to the haddock says nothing of the chicken, and cheese under the grill nothing of the sausage."""
    found: list[Step] = []
    vessels = {s.reading.vessel.key for s in handled}
    for step in steps:
        if step in handled or step.reading.vessel.key in vessels - {""} or _may_hold(step, ingredient):
            found.append(step)
            vessels.add(step.reading.vessel.key)
    return found


def _may_hold(step: Step, ingredient: Ingredient) -> bool:
    """Whether a step in another vessel, or in none, may go on with the ingredient: no other raw food goes in, and where
    something does go into a vessel, a core temperature is stated, or its words name the ingredient, or all that there is."""
    others = _all_handled(step)
    if any(i.food.safety and i is not ingredient for i in others):
        return False
    if not others or not step.reading.vessel.key or step.core_c is not None:
        return True
    names = {*words_of(ingredient.name), *words_of(ingredient.food.name)}
    return bool(_IT.search(step.reading.said)) or bool(names & set(words_of(step.reading.said)))


def _all_handled(step: Step) -> tuple[Ingredient, ...]:
    return (*step.uses, *(a.ingredient for a in step.additions))


def _is_meant_raw(dish: Dish, ingredient: Ingredient) -> bool:
    """Whether a food that nothing heats is eaten raw: an egg is, unless it is pasteurised; meat and fish where words say so."""
    if ingredient.food.safety == "egg":
        return "pasteuri" not in _named(ingredient)
    return any(_SERVED_RAW.search(text) for text in (dish.name, *(s.reading.said for s in dish.steps)))


def _raw_by(dish: Dish, steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients with a temperature class that have been handled by the step ``n`` and were not heated before it."""
    raw = []
    for ingredient in dish.ingredients:
        if ingredient.food.safety:
            first = next((m for m, s in enumerate(steps[: n + 1]) if _handled_at(s, ingredient)), None)
            if first is not None and not any(s.reading.may_heat for s in steps[first:n] if s.stage == "cook"):
                raw.append(ingredient)
    return tuple(raw)


def _never_heated(steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients that go in at the step ``n``, where neither it nor any later one can mean heat."""
    additions = steps[n].additions
    if not additions or any(s.reading.may_heat for s in steps[n:]):
        return ()
    return tuple(a.ingredient for a in additions)
