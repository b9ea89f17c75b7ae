"""The state of what each step works on, through the day: what is in the vessel, how hot, for how long out of the cold, boiled hard or
not. It follows the graph of the steps: what arrives at a step has been through those that it goes on with, and through no other."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scriptkit.english.heat import MICROWAVE, OVEN, PRESSURE_COOKER, SLOW_COOKER, is_cooled
from scriptkit.english.hours_said import HOUR_MS, hours_said, less_the_day_before
from scriptkit.english.kitchen_facts import tells
from scriptkit.english.methods import HOT
from scriptkit.english.step_reading import StepReading
from scriptkit.english.temperatures_said import HOT_FROM_C, degrees_in
from scriptkit.kept import kept
from scriptkit.pantry.kinds_by_name import category_of
from scriptkit.recipe.dish import Dish, Ingredient, Step
from scriptkit.recipe.step_graph import StepGraph, graph_of

OIL_G_PER_ML = 0.92
"""FAO/INFOODS Density Database 2.0, 2012 (olive oil 0.918)."""
OIL_BATH_G = 100.0
"""Fat that food swims in rather than is coated with, and of which a litre boils over (common practice, no source)."""
_CLOSED_HEAT = frozenset((OVEN, MICROWAVE, PRESSURE_COOKER, SLOW_COOKER))
"""What is in one of them is hot when it comes out, whatever the words call the cooking."""
_LIQUID = frozenset(("stock", "drink", "dairy", "wine or spirit", "sauce"))
_PLANT_DRINK = re.compile(r"\b(?:milk|drink|cream)\b")
_WATERY = frozenset(("water", "tomatoes, canned"))
_DRY_BAKED = frozenset(("bread", "baking", "nut or seed", "sweetener"))
SYRUP_FROM_C = 112.0
"""From the soft ball on (words of the trade, no source)."""
_FLOUR = re.compile(r"\b(?:flour|oats)\b", re.IGNORECASE)
_SWEET = frozenset(("sweetener",))


@dataclass(frozen=True, kw_only=True)
class StepState:
    """What arrives at a step, with what goes in at it, and what was done to it before.

    ``grams``: of each ingredient by key, what went into it so far; unweighed ones count 0. ``hot_before``: it was hot when the step
    began; ``hot_at_blend``: where its blending happens, else where it begins; ``hot_after``: when it ends. ``out_h``: hours that it
    has stood neither hot nor cold by the end of the step, since it was last heated. ``earlier``: the sentences of the steps that it
    has been through."""

    foods: tuple[Ingredient, ...]
    grams: Mapping[str, float]
    hot_before: bool
    hot_at_blend: bool
    hot_after: bool
    out_h: float
    out_here_h: float
    was_heated: bool
    earlier: tuple[Step, ...]
    glass: str = ""
    """Where it arrives in glass, stone or earthenware: COLD or HOT, else empty."""
    hot_syrup: bool = False
    """Sugar arrives that was boiled or melted until far hotter than water, and not cooled since."""

    @kept
    def names(self) -> tuple[str, ...]:
        """What is in it, as the cook and the pantry call it."""
        return tuple(named(i) for i in self.foods)

    @kept
    def kinds(self) -> frozenset[str]:
        """The pantry's names and categories of what is in it."""
        return kinds_of(self.foods)

    @kept
    def total_g(self) -> float:
        """Everything in it."""
        return sum(self.grams.values())

    def of_category(self, *categories: str) -> float:
        """Grams of what is of one of the pantry's categories."""
        held = self._by_category
        return sum([held.get(category, 0.0) for category in categories])

    @kept
    def _by_category(self) -> Mapping[str, float]:
        found: dict[str, float] = {}
        for i in self.foods:
            category = category_of(i.food)
            found[category] = found.get(category, 0.0) + self.grams.get(i.key, 0.0)
        return found

    @kept
    def oil_g(self) -> float:
        """Fat or oil in it."""
        return self._by_category.get("fat or oil", 0.0)

    @kept
    def sugar_g(self) -> float:
        """Sugar, syrup, honey."""
        return self.of_category(*_SWEET)

    @kept
    def watery_g(self) -> float:
        """What thins or cools the fat: water, stock, milk, wine, sauces."""
        return sum(
            self.grams.get(i.key, 0.0)
            for i in self.foods
            if category_of(i.food) in _LIQUID
            or i.food.name in _WATERY
            or (category_of(i.food) == "soya and plant" and _PLANT_DRINK.search(i.food.name))
        )

    def is_oil_bath(self, added: float = 0.0) -> bool:
        """Whether food swims in fat in it: much of it, and hardly anything that it could be mixed with. ``added``: grams of watery
        things that go in just now, which are not yet in it."""
        flour = sum(self.grams.get(i.key, 0.0) for i in self.foods if "flour" in i.food.name)
        others = self.watery_g - added + flour
        # nobody's food swims in less butter than there is food: a pâté, a pan of sauté potatoes
        butter = sum(self.grams.get(i.key, 0.0) for i in self.foods if i.food.name.partition(",")[0] == "butter")
        fat = self.oil_g - (butter if butter < self.total_g - self.oil_g - self.watery_g else 0.0)
        return fat >= OIL_BATH_G and others < fat * 0.3

    @kept
    def is_mostly_sugar(self) -> bool:
        """Whether it is a syrup or a caramel: sugar is half of what is not water at least."""
        rest = sum(g for i in self.foods if (g := self.grams.get(i.key, 0.0)) and i.food.name not in _WATERY)
        solid = self.of_category("fruit", "vegetable", "egg", "grain") + sum(
            self.grams.get(i.key, 0.0) for i in self.foods if "flour" in i.food.name
        )
        return self.sugar_g >= 20 and self.sugar_g >= rest * 0.4 and solid < self.sugar_g * 0.5

    @kept
    def keeps_dry(self) -> bool:
        """Whether it is baked goods, which may stand at room temperature."""
        dry = self.of_category(*_DRY_BAKED) + sum(
            self.grams.get(i.key, 0.0)
            for i in self.foods
            if category_of(i.food) == "grain" and _FLOUR.search(i.food.name)
        )
        return (
            dry >= 0.35 * self.total_g
            and not self.of_category("beef", "pork", "lamb", "poultry", "fish", "shellfish", "cured meat")
            and not any("cream" in i.food.name for i in self.foods)
        )


def named(ingredient: Ingredient) -> str:
    """The ingredient as the cook and the pantry call it, and how it is got ready."""
    return f"{ingredient.name} , {ingredient.food.name} , {ingredient.prep}"


def kinds_of(foods: Iterable[Ingredient]) -> frozenset[str]:
    """The pantry's names and categories of several foods."""
    return frozenset(kind for i in foods for kind in (i.food.name, category_of(i.food)))


_BATH_FROM_C = 54.4
"""From 130 °F on a bath cooks, given its time (USDA FSIS, Appendix A, from memory)."""
COLD, HOT_GLASS = "cold", "hot"
NOTHING_YET = StepState(
    foods=(),
    grams={},
    hot_before=False,
    hot_at_blend=False,
    hot_after=False,
    out_h=0.0,
    out_here_h=0.0,
    was_heated=False,
    earlier=(),
)
"""Of the whole dish, at no step."""


def states_of(dish: Dish) -> dict[int, StepState]:
    """The state at each step, by its number."""
    graph = graph_of(dish)
    found: dict[int, StepState] = {}
    last: int | None = None
    for step in graph.in_order:
        found[step.number] = _state(step, graph, found, last)
        last = step.number
    return {s.number: found[s.number] for s in dish.steps}


def _state(step: Step, graph: StepGraph, known: Mapping[int, StepState], last: int | None) -> StepState:
    into = [e for e in graph.into[step.number] if e.takes and e.before in known]
    before = [known[e.before] for e in into]
    if not into and last is not None and not step.additions and not step.uses:
        before = [known[last]]  # nothing goes in, so it goes on with what was done before
    goes_on = known[last] if before and not into and last is not None else None
    on = {last, *(s.number for s in goes_on.earlier)} if goes_on is not None else set()
    through = sorted({*graph.taken_into(step), *(n for n in on if n is not None)})
    by_number = {s.number: s for s in graph.steps}
    earlier = tuple(by_number[n] for n in through)
    foods: dict[str, Ingredient] = {}
    grams: dict[str, float] = {}
    for one in (*earlier, step):
        for addition in one.additions:
            foods.setdefault(addition.ingredient.key, addition.ingredient)
            grams[addition.ingredient.key] = grams.get(addition.ingredient.key, 0.0) + (addition.grams or 0.0)
        for used in one.uses:
            foods.setdefault(used.key, used)
            grams.setdefault(used.key, 0.0)
    hot_before = any(s.hot_after for s in before)
    at_blend, after = heat_through(step.reading, hot_before)
    reading = step.reading
    kept_cold = bool(earlier) and tells(earlier[-1].reading.sentence, "cold-place")
    out_here = _out_here_h(step, kept_cold)
    heats = is_heated(reading) and not _cools(reading)
    out_before = max((s.out_h for s in before), default=0.0)
    closed = reading.heats_food and reading.heat.source in _CLOSED_HEAT
    machine = (closed or tells(reading.sentence, "smoking-hot")) and not _cools(reading)
    return StepState(
        foods=tuple(foods.values()),
        grams=grams,
        hot_before=hot_before,
        hot_at_blend=at_blend,
        hot_after=after or machine or (heats and (not reading.heats_food or _is_only_cooked(reading))),
        out_h=out_here + (0.0 if heats else out_before),
        out_here_h=out_here,
        was_heated=any(is_heated(s.reading) for s in earlier),
        earlier=earlier,
        glass=_glass_of(earlier),
        hot_syrup=_was_hot_syrup(earlier, hot_before),
    )


def _glass_of(earlier: tuple[Step, ...]) -> str:
    """Whether what arrives lies in glass or stone that is cold from the fridge, or hot from the oven."""
    glass, state = False, ""
    for step in earlier:
        reading = step.reading
        glass = glass or any(tells(words, "glassware") for words in (reading.sentence, *reading.gear))
        if tells(reading.sentence, "warms-up-with-it") or tells(reading.sentence, "gone-cold"):
            state = ""
        elif is_heated(reading) or (reading.cooks and any(c >= HOT_FROM_C for c in degrees_in(reading.sentence))):
            state = HOT_GLASS
        elif tells(reading.sentence, "cold-thing") or tells(reading.sentence, "cold-place"):
            state = COLD
    return state if glass else ""


def _was_hot_syrup(earlier: tuple[Step, ...], hot: bool) -> bool:
    told = [step.reading.sentence for step in earlier]
    if any(tells(words, "gone-cold") for words in told):
        return False
    coloured = hot and any(tells(words, "sugar-work") and tells(words, "caramel-colour") for words in told)
    return coloured or any(SYRUP_FROM_C <= c <= 200 for words in told for c in degrees_in(words))


def is_heated(reading: StepReading) -> bool:
    """Whether it is heated there: a method or a heat says so, or it gets a time in the heat."""
    return reading.heats_food or reading.has_time_in_the_heat


def _is_only_cooked(reading: StepReading) -> bool:
    """Whether it is on the heat by a word that is no method (*cook*, *heat*), and not said to cool."""
    cold = tells(reading.sentence, "gone-cold") or tells(reading.sentence, "no-longer-hot")
    return reading.cooks and not cold and not any(act in HOT for act in reading.methods)


def _cools(reading: StepReading) -> bool:
    return tells(reading.sentence, "cold-place") or is_cooled(reading.said)


def _out_here_h(step: Step, kept_cold: bool) -> float:
    """Hours that it stands out at the step: its waiting, or what the words say, where it is neither on the heat nor in the cold. ``kept_cold``:
    the step before left it in the cold, and *next day* passed there."""
    reading = step.reading
    if any(tells(text, "cold-place") for text in (reading.sentence, step.say)) or any(
        tells(g, "cold-place") for g in reading.gear
    ):
        return 0.0
    if tells(reading.sentence, "slow-cooker") or (is_heated(reading) and not tells(reading.sentence, "counter")):
        return 0.0
    if tells(reading.sentence, "low-bath") and max(degrees_in(reading.sentence), default=0.0) >= _BATH_FROM_C:
        return 0.0
    said = hours_said(less_the_day_before(reading.sentence) if kept_cold else reading.sentence) or 0.0
    waits = (step.wait_ms or 0) / HOUR_MS
    return max(said, waits)


def heat_through(reading: StepReading, hot: bool) -> tuple[bool, bool]:
    """Whether what is in the vessel is hot where the step's blending happens (else where it begins), and when it ends."""
    on_the_heat = reading.cooks and (
        (reading.heat.on and (reading.heat.written or bool(reading.heat.level))) or reading.comes_off_the_heat
    )
    at_blend: bool | None = None
    cooled = False
    for words, act in reading.clauses:
        if act == "chill" or is_cooled(words) or tells(words, "no-longer-hot") or tells(words, "gone-cold"):
            hot, cooled = False, True
        elif act in HOT or tells(words, "seethes"):
            hot = True
        elif act == "blend" and at_blend is None:
            at_blend = hot or on_the_heat or reading.calls_hot
            hot = at_blend
    return (hot if at_blend is None else at_blend), hot or (on_the_heat and not cooled)
