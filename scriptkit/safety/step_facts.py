"""What is known of a dish and of each of its steps, as far as a caution may ask: what is hot, what is still raw, what is in it."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.english.eaters import INFANT, TODDLER, eaters_in, is_for_children
from scriptkit.english.heat import BARBECUE, GRILL, HOB, PRESSURE_COOKER
from scriptkit.english.kitchen_facts import less_handled_raw, tells
from scriptkit.kept import kept
from scriptkit.pantry.kinds_by_name import category_of, raw_class_of
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Film, Ingredient, Kitchen, Meal, Step
from scriptkit.safety.doses import is_drink
from scriptkit.safety.kitchen_state import NOTHING_YET, StepState, kinds_of, named, states_of
from scriptkit.safety.promises import texts_of

_OPEN_HEAT = frozenset({HOB, GRILL, BARBECUE, PRESSURE_COOKER})
_RAW_CLASSES = frozenset(("whole-cut", "ground-meat", "poultry", "fish", "shellfish"))
CURED_FROM = 0.05
"""Salt by weight of the fish from which it is a cure and no seasoning (common practice, no source)."""
CHILDREN = "children"
"""Where small ones eat it too, of whatever age."""
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
    also_for: frozenset[str] = frozenset()
    """Who eats the meal that the dish is a part of."""

    @kept
    def ingredients(self) -> tuple[Ingredient, ...]:
        """Of the dish, and of the dishes that it is made of."""
        return tuple(_with_parts(self.dish))

    @kept
    def foods(self) -> frozenset[str]:
        """The pantry's names of all that is in it."""
        return frozenset(i.food.name for i in self.ingredients)

    @kept
    def categories(self) -> frozenset[str]:
        """The pantry's categories of all that is in it."""
        return frozenset(category_of(i.food) for i in self.ingredients)

    @kept
    def named(self) -> str:
        """Every ingredient as the cook and the pantry call it."""
        return " ; ".join(named(i) for i in self.ingredients)

    @kept
    def cooks(self) -> bool:
        """Whether any step heats."""
        return any(s.reading.heats_food for s in self.dish.steps)

    @kept
    def on_the_hob(self) -> bool:
        """Whether a step heats anything on the hob, under the grill or over coals."""
        return any(s.reading.heats_food and s.reading.heat.source in _OPEN_HEAT for s in self.dish.steps)

    @kept
    def perishable(self) -> bool:
        """Whether anything in it must be kept hot or cold; cooked rice must."""
        return bool(self.categories & PERISHABLE) or bool(self.foods & _PERISHABLE_COOKED)

    @kept
    def stands_in(self) -> bool:
        """Whether twins or heroes are made for the camera."""
        over = self.film.swap_out_over_ms
        return self.film.heroes > 0 or any(
            s.swap_out or (s.swap_out is None and over is not None and (s.wait_ms or 0) > over) for s in self.dish.steps
        )

    @kept
    def served_cold(self) -> bool:
        """As `served:` says it: what is eaten cold is not reheated."""
        return (
            re.match(r"\W*(?:\w+ )?(?:cold|chilled|iced|cool)\b", self.dish.published.served, re.IGNORECASE) is not None
        )

    @kept
    def states(self) -> Mapping[int, StepState]:
        """What each step works on, by its number."""
        return states_of(self.dish)

    @kept
    def eaters(self) -> frozenset[str]:
        """Who eats it: as `for:` says, and as the texts do; CHILDREN beside them where small ones eat it too."""
        return _eaters_of(self.dish) | self.also_for

    @kept
    def has_raw(self) -> bool:
        """Whether raw meat, poultry, fish or shellfish goes into it."""
        return any(raw_class_of(i.food) in _RAW_CLASSES for i in self.dish.ingredients)

    @kept
    def has_alcohol(self) -> bool:
        """Whether a drink goes in with more than 0.5 g of alcohol in 100 g, before it simmers."""
        return any(
            is_drink(i) and (1.0 if i.food.composition.alcohol_g is None else i.food.composition.alcohol_g) > 0.5
            for i in self.ingredients
        )


@dataclass(frozen=True, kw_only=True)
class Situation:
    """A step and what is known of it; without a step, the dish as a whole. ``acts``: the methods its words name, in order.
    ``hot``: what is in the vessel has been heated and not chilled since; ``was_hot``: so it was when the step began.
    ``cooked``: the ingredients of one class that must be cooked through by the end of the step, where the caution is about
    any; ``eaten_raw``: nothing heats them."""

    facts: DishFacts
    step: Step | None = None
    state: StepState = NOTHING_YET
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
    earlier: tuple[Step, ...] = ()
    """The dish's steps before this one, in the order in which they are done."""
    from_here: tuple[Step, ...] = ()
    """This step and those after it."""

    @kept
    def known(self) -> dict[object, bool]:
        """What conditions have been asked, and whether they hold."""
        return {}

    @kept
    def earlier_said(self) -> tuple[str, ...]:
        """The sentences of the steps before."""
        return tuple([step.reading.sentence for step in self.earlier])

    @kept
    def said(self) -> str:
        """What is done, less what is not done."""
        return self.step.reading.said if self.step else ""

    @kept
    def gear(self) -> str:
        """What is done, and what lies ready for it."""
        if self.step is None:
            return ""
        reading = self.step.reading
        return f"{reading.said_with_gear} ; {reading.written_heat}"

    @kept
    def handled(self) -> tuple[Ingredient, ...]:
        """The step's ingredients, those that are got ready and those that go in; of the whole dish, none."""
        if self.step is None:
            return ()
        return _all_handled(self.step)

    @kept
    def kinds(self) -> frozenset[str]:
        """The pantry's names and categories of what is handled here."""
        return kinds_of(self.handled)

    @kept
    def named(self) -> str:
        """Every ingredient handled here, as the cook and the pantry call it."""
        return " ; ".join(named(i) for i in self.handled)

    def tells(self, fact: str) -> bool:
        """Whether the step's words or gear tell the fact (kitchen_facts.yaml)."""
        return self.step is not None and tells(self.told, fact)

    @kept
    def told(self) -> str:
        """The sentence, and what lies ready for it."""
        if self.step is None:
            return ""
        reading = self.step.reading
        return " ; ".join(w for w in (reading.sentence, *reading.gear, reading.written_heat) if w)

    @kept
    def said_core_c(self) -> float | None:
        """The temperature inside the food at which the step is done, in °C: as `core:` states it, else as its words do; None where
        neither does."""
        if self.step is None:
            return None
        return self.step.core_c if self.step.core_c is not None else self.step.reading.core_said_c

    @kept
    def heated(self) -> bool:
        """Whether the heat is on at this step."""
        return self.step is not None and self.step.reading.heats_food

    @property
    def heat_source(self) -> str:
        """What gives the heat, as heat.py names it; empty of the whole dish."""
        return self.step.reading.heat.source if self.step is not None else ""

    @kept
    def oil_g(self) -> float:
        """Grams of fat or oil that go into the vessel here."""
        additions = self.step.additions if self.step else ()
        return sum(a.grams or 0.0 for a in additions if category_of(a.ingredient.food) == "fat or oil")


def _eaters_of(source: Dish | Meal) -> frozenset[str]:
    texts = [said.text for said in texts_of(source)]
    found = {*source.published.eaters, *(e for text in texts for e in eaters_in(text))}
    if found & {INFANT, TODDLER} or any(is_for_children(text) for text in texts):
        found.add(CHILDREN)
    return frozenset(found)


def eaters_of_meal(meal: Meal) -> frozenset[str]:
    """Who eats the meal: as its `for:` says, and as its own texts do."""
    return _eaters_of(meal)


def _with_parts(dish: Dish) -> Iterator[Ingredient]:
    for ingredient in dish.ingredients:
        yield ingredient
        if ingredient.dish is not None:
            yield from _with_parts(ingredient.dish)


def situations(facts: DishFacts) -> Iterator[Situation]:
    """Each step; once more for each class of raw food that is cooked through at it, or eaten raw; at last the whole dish."""
    dish = facts.dish
    steps = dish.in_shoot_order
    in_pot_g = 0.0
    cooked_at = _cooked_through_at(dish, facts.states)
    for n, step in enumerate(steps):
        in_pot_g += sum(a.grams or 0.0 for a in step.additions) if step.stage == "cook" else 0.0
        ml, estimated = (dish.cooked_ml, False) if dish.cooked_ml else (in_pot_g, True)
        state = facts.states[step.number]
        plain = Situation(
            facts=facts,
            step=step,
            state=state,
            acts=step.reading.methods,
            hot=state.hot_at_blend,
            was_hot=state.hot_before,
            volume_ml=ml,
            volume_estimated=estimated,
            raw=_raw_by(facts, steps, n),
            never_heated=_never_heated(steps, n),
            earlier=steps[:n],
            from_here=steps[n:],
        )
        yield plain
        for (_, eaten_raw), foods in cooked_at.get(step.number, {}).items():
            yield dataclasses.replace(plain, cooked=tuple(foods), eaten_raw=eaten_raw)
    yield Situation(facts=facts)


def _handled_at(step: Step, ingredient: Ingredient) -> bool:
    return any(a.ingredient is ingredient for a in step.additions) or any(i is ingredient for i in step.uses)


def _cooked_through_at(
    dish: Dish, states: Mapping[int, StepState]
) -> dict[int, dict[tuple[str, bool], list[Ingredient]]]:
    """Step number → (class, eaten raw) → raw foods whose inside must be hot enough by its end: the step that states a core
    temperature for them, else the last cook step of heat from where they go in, else where they go in."""
    found: dict[int, dict[tuple[str, bool], list[Ingredient]]] = {}
    steps = [s for s in dish.in_shoot_order if s.stage == "cook"] or list(dish.in_shoot_order)
    for ingredient in dish.ingredients:
        if not raw_class_of(ingredient.food):
            continue
        handled = [s for s in steps if _handled_at(s, ingredient)]
        # a marinade is preparation, and what was in it is cooked all the same
        begun = handled or [s for s in dish.in_shoot_order if _handled_at(s, ingredient)]
        if not begun:
            continue
        on = steps[steps.index(handled[0]) :] if handled else [*begun, *steps]
        after = [s for s in _concerned(on, ingredient, begun) if s in begun or ingredient in states[s.number].foods]
        stated = [s for s in after if s.core_c is not None] or [s for s in after if s.reading.core_said_c is not None][
            -1:
        ]
        heated = [s for s in after if s.reading.heats_food or s.reading.has_time_in_the_heat or _ends_cooking(s)]
        raw = not any(s.reading.may_heat for s in after) and _is_meant_raw(dish, ingredient, after)
        at = (stated or [s for s in heated if _is_done_at(s, ingredient)] or heated[-1:] or begun)[0]
        found.setdefault(at.number, {}).setdefault((raw_class_of(ingredient.food), raw), []).append(ingredient)
    return found


def _is_done_at(step: Step, ingredient: Ingredient) -> bool:
    """Whether the words name the ingredient and say what it looks like when it is cooked, so that what comes after only finishes the dish."""
    names = {*words_of(ingredient.name), *words_of(ingredient.food.name)}
    return tells(step.reading.sentence, "looks-done") and bool(names & set(words_of(step.reading.said)))


def _ends_cooking(step: Step) -> bool:
    """Whether the words say how far it is cooked there."""
    if tells(step.reading.sentence, "each-side") and step.reading.times_ms:
        return True  # so long a side is said of what is on the heat
    return any(tells(step.reading.sentence, fact) for fact in ("soft-yolk", "left-pink", "cooked-through"))


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
    if any(raw_class_of(i.food) and i is not ingredient for i in others):
        return False
    if not others or not step.reading.vessel.key or step.core_c is not None:
        return True
    names = {*words_of(ingredient.name), *words_of(ingredient.food.name)}
    return tells(step.reading.sentence, "all-there-is") or bool(names & set(words_of(step.reading.said)))


def _all_handled(step: Step) -> tuple[Ingredient, ...]:
    return (*step.uses, *(a.ingredient for a in step.additions))


def _is_meant_raw(dish: Dish, ingredient: Ingredient, concerned: Sequence[Step]) -> bool:
    """Whether a food that nothing heats is eaten raw: an egg is, unless it is pasteurised; meat and fish where words say so, as a
    file may leave the cooking out. ``concerned``: the steps that may be about it."""
    if raw_class_of(ingredient.food) == "egg":
        firm = any(tells(step.reading.sentence, "until-firm") for step in concerned)
        return not firm and "pasteuri" not in named(ingredient)
    texts = (dish.name, *(s.reading.said for s in dish.steps))
    return (
        any(tells(less_handled_raw(text), "served-raw") for text in texts)
        or any(tells(s.reading.sentence, "no-cooking") for s in dish.steps)
        or (_is_served_or_soured(dish, ingredient) and not any(_could_be_cooked(s) for s in dish.steps))
    )


def _is_served_or_soured(dish: Dish, ingredient: Ingredient) -> bool:
    """Whether a step serves it, or it is fish or shellfish in a dish with lemon, lime or vinegar."""
    if any(tells(s.reading.sentence, "eaten") for s in dish.steps):
        return True
    worked = any(tells(s.reading.sentence, "cut-or-left-in-it") for s in dish.steps)
    if not worked or raw_class_of(ingredient.food) not in ("fish", "shellfish"):
        return False
    salt = sum(i.grams or 0.0 for i in dish.ingredients if i.food.name.partition(",")[0] in ("salt", "sea salt"))
    salted = salt >= CURED_FROM * (ingredient.grams or 0.0) > 0
    return salted or any(tells(named(i), fact) for i in dish.ingredients for fact in ("acid", "eaten-raw-with"))


def _could_be_cooked(step: Step) -> bool:
    """Whether the step may heat, or speaks of what only heat does to food."""
    reading = step.reading
    return (
        reading.may_heat
        or reading.core_said_c is not None
        or any(tells(reading.sentence, fact) for fact in ("looks-cooked", "left-pink"))
    )


def _raw_by(facts: DishFacts, steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients with a temperature class that have been handled by the step ``n`` and were not heated before it, wherever else the heat was on."""
    raw = []
    for ingredient in facts.dish.ingredients:
        if raw_class_of(ingredient.food):
            first = next((m for m, s in enumerate(steps[: n + 1]) if _handled_at(s, ingredient)), None)
            since = [s for s in steps[first:n] if s.stage == "cook" and ingredient in facts.states[s.number].foods]
            if first is not None and not any(s.reading.may_heat for s in since):
                raw.append(ingredient)
    return tuple(raw)


def _never_heated(steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients that go in at the step ``n``, where neither it nor any later one can mean heat."""
    additions = steps[n].additions
    if not additions or any(s.reading.may_heat for s in steps[n:]):
        return ()
    return tuple(a.ingredient for a in additions)
