"""What is known of a dish and of each of its steps, as far as a caution may ask: what is hot, what is still raw, what is in it."""

from __future__ import annotations

import dataclasses
import functools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.english.methods import HOT, method_of
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Dish, Film, Ingredient, Kitchen, Step

_CLAUSE_END = re.compile(r"[.;:,]|\b(?:then|and|while)\b", re.IGNORECASE)
_CALLED_HOT = re.compile(
    r"\b(?:hot|boiling|steaming|scalding|warm|simmering)\b(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))",
    re.IGNORECASE,
)
_COOLED = re.compile(
    r"\bcool(?:ed)? (?:down )?(?:completely|to room temperature)|\b(?:until|stone|quite) cold\b|\bovernight\b",
    re.IGNORECASE,
)
_MAY_HEAT = re.compile(
    r"\b(?:cook(?:s|ing|er)?|(?<!the )(?:cooked|warmed|charred|toasted|melted)|heat(?:s|ed|ing)?|warm(?! (?:bowls?|plates?))(?:s|ing)?|"
    r"hot(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))|oven|microwaves?|barbecues?|griddles?|char(?:s|ring)?|"
    r"toast(?:s|ing)?|brown(?! (?:sugar|rice|bread|butter|shrimp))|crisp up|scald(?:s|ed|ing)?|melt(?:s|ing)?|temper(?:s|ed|ing)?|"
    r"thicken(?:s|ed|ing)?|wok|skillet|frying|saucepan|pan|pot|hob|stove|bain[- ]marie|boiler|steamer|waffle)\b",
    re.IGNORECASE,
)
"""Words and vessels that can mean heat where no method is named: then food is not called raw."""
_IT = re.compile(
    r"\b(?:it|them|everything|all|together|return|back|tip|transfer|meat|fish|filling|mixture|stew|sauce)\b",
    re.IGNORECASE,
)
_NOT_SAID = re.compile(
    r"\b(?:do not|don't|never|without|no need to|instead of|rather than|avoid|not to)(?: \w+){0,1}(?:ing)?\b",
    re.IGNORECASE,
)
"""*Do not caramelise* is no caramel."""
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
        return any(_cooks(s) for s in self.dish.steps)

    @functools.cached_property
    def on_the_hob(self) -> bool:
        """Whether a step heats anything but in an oven."""
        return any(_cooks(s) and s.method not in ("bake", "roast") and "oven" not in s.heat for s in self.dish.steps)

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
        return _NOT_SAID.sub(" ", self.step.do) if self.step else ""

    @functools.cached_property
    def gear(self) -> str:
        """What is done, and what lies ready for it."""
        return " ; ".join((self.said, self.step.vessel, *self.step.tools, self.step.heat)) if self.step else ""

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
        return self.step is not None and _cooks(self.step)

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
        clauses = _clauses(step)
        was_hot = hot
        blended_hot, hot = _heat_through(step, clauses, hot)
        plain = Situation(
            facts=facts,
            step=step,
            acts=tuple(act for _, act in clauses if act),
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


def _clauses(step: Step) -> list[tuple[str, str]]:
    """The step's words part by part, each with the method it names: *simmer for 20 min, then blend* is both. Where the cook
    wrote a `method:` that the words do not tell, it alone counts."""
    whole, clauses = _methods_in(step.do)
    if step.method != whole:
        return [(step.do, step.method)]
    found = list(clauses)
    if step.method not in (act for _, act in found):
        found.append(("", step.method))
    return found


@functools.lru_cache(maxsize=2048)
def _methods_in(words: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The method of the sentence, and of each of its clauses; asked several times of a step."""
    return method_of(words), tuple((clause, method_of(clause)) for clause in _CLAUSE_END.split(words))


def _heat_through(step: Step, clauses: Sequence[tuple[str, str]], hot: bool) -> tuple[bool, bool]:
    """Whether what is in the vessel is hot where the step's blending happens (else where it begins), and when it ends."""
    on_the_heat = _on_the_heat(step)
    at_blend: bool | None = None
    for words, act in clauses:
        if act == "chill" or _COOLED.search(words):
            hot = False
        elif act in HOT:
            hot = True
        elif act == "blend" and at_blend is None:
            at_blend = hot or on_the_heat or bool(_CALLED_HOT.search(step.do))
            hot = at_blend
    return (hot if at_blend is None else at_blend), hot or on_the_heat


def _on_the_heat(step: Step) -> bool:
    """Whether `heat:` says that the heat is on."""
    return step.stage == "cook" and not re.match(r"\s*(?:$|off\b|none\b|no\b|cold\b)", step.heat, re.IGNORECASE)


def _cooks(step: Step) -> bool:
    return _on_the_heat(step) or any(act in HOT for _, act in _clauses(step))


def _may_heat(step: Step) -> bool:
    """Whether the step heats, or could: its words or its vessel mean heat, or it states a core temperature."""
    return _cooks(step) or step.core_c is not None or bool(_MAY_HEAT.search(f"{step.do} ; {step.vessel} ; {step.heat}"))


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
        if not handled:
            continue
        after = _concerned(steps[steps.index(handled[0]) :], ingredient, handled)
        stated = [s for s in after if s.core_c is not None]
        heated = [s for s in after if _cooks(s)]
        raw = not any(_may_heat(s) for s in after) and _is_meant_raw(dish, ingredient)
        at = (stated or heated[-1:] or handled)[0]
        found.setdefault(at.number, {}).setdefault((ingredient.food.safety, raw), []).append(ingredient)
    return found


def _concerned(steps: Sequence[Step], ingredient: Ingredient, handled: Sequence[Step]) -> list[Step]:
    """The steps that may be about the ingredient: it is handled there, or they are done in a vessel that it is in, or may be
    in by now. What is done to the haddock says nothing of the chicken, and cheese under the grill nothing of the sausage."""
    found: list[Step] = []
    vessels = {s.vessel.casefold() for s in handled}
    for step in steps:
        if step in handled or step.vessel.casefold() in vessels - {""} or _may_hold(step, ingredient):
            found.append(step)
            vessels.add(step.vessel.casefold())
    return found


def _may_hold(step: Step, ingredient: Ingredient) -> bool:
    """Whether a step in another vessel, or in none, may go on with the ingredient: no other raw food goes in, and where
    something does go into a vessel, a core temperature is stated, or its words name the ingredient, or all that there is."""
    others = _all_handled(step)
    if any(i.food.safety and i is not ingredient for i in others):
        return False
    if not others or not step.vessel or step.core_c is not None:
        return True
    names = {*words_of(ingredient.name), *words_of(ingredient.food.name)}
    return bool(_IT.search(step.do)) or bool(names & set(words_of(step.do)))


def _all_handled(step: Step) -> tuple[Ingredient, ...]:
    return (*step.uses, *(a.ingredient for a in step.additions))


def _is_meant_raw(dish: Dish, ingredient: Ingredient) -> bool:
    """Whether a food that nothing heats is eaten raw: an egg is, unless it is pasteurised; meat and fish where words say so."""
    if ingredient.food.safety == "egg":
        return "pasteuri" not in _named(ingredient)
    return any(_SERVED_RAW.search(text) for text in (dish.name, *(s.do for s in dish.steps)))


def _raw_by(dish: Dish, steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients with a temperature class that have been handled by the step ``n`` and were not heated before it."""
    raw = []
    for ingredient in dish.ingredients:
        if ingredient.food.safety:
            first = next((m for m, s in enumerate(steps[: n + 1]) if _handled_at(s, ingredient)), None)
            if first is not None and not any(_may_heat(s) for s in steps[first:n] if s.stage == "cook"):
                raw.append(ingredient)
    return tuple(raw)


def _never_heated(steps: Sequence[Step], n: int) -> tuple[Ingredient, ...]:
    """Ingredients that go in at the step ``n``, where neither it nor any later one can mean heat."""
    additions = steps[n].additions
    if not additions or any(_may_heat(s) for s in steps[n:]):
        return ()
    return tuple(a.ingredient for a in additions)
