"""The dish and the meal as the rest of the house sees them: weighed, with every place kept."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field, replace
from fractions import Fraction

from scriptkit.english.step_reading import StepReading
from scriptkit.measure.amounts import Amount, Cups, Kind, OwnMeasures
from scriptkit.pantry.food import Food
from scriptkit.pantry.household import household_amount
from scriptkit.problems import Place
from scriptkit.recipe.cooking import CookedIngredient
from scriptkit.recipe.doubt import Doubt
from scriptkit.recipe.publication_fields import NOT_PUBLISHED, Published
from scriptkit.recipe.takeovers import Leftover, Takeover
from scriptkit.recipe.written_shots import Mention, WrittenShot


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """``grams`` is the edible part; None for an amount *to taste* (listed and filmed, not counted)."""

    key: str
    food: Food
    amount: Amount | None
    grams: float | None
    as_bought_g: float | None
    prep: str
    measured_as: str
    mm: float | None
    place: Place
    pack: Amount | None = None
    """What it is sold in."""
    dish: Dish | None = None
    """The dish that it is a part of; its food then only names it."""
    left_share: float = 0.0
    """What of it stays in the pan, 0 to 1."""
    strained_share: float = 0.0
    """What of it is strained out or thrown away, 0 to 1; what that leaves in the dish is not counted."""
    weighed_as: str = ""
    """The household measure in the source's words that made grams of it; empty where it was weighed."""
    behind_share: float = 0.0
    """What of it is left behind at a step, 0 to 1: a marinade that is wiped off."""
    behind_range: tuple[float, float] | None = None
    """Where nobody weighed that, the shares that it lies between; ``behind_share`` is then an estimate. None: as written."""
    behind_at: int | None = None
    """The number of the step at which it is left behind."""
    behind_into: str = ""  # the dish of the meal that takes it over there; empty: nobody eats it
    taken_over: bool = False
    """Whether it was made by a step of another dish of the meal, which this one takes over: it is listed and bought there."""
    ran_out_of: tuple[Ingredient, CookedIngredient] | None = None  # of juices that are taken over
    made_ahead: bool = False  # of a dish: it stands ready, and its steps are not part of the day
    optional: bool = False  # the recipe also works without it
    doubt: Doubt | None = None
    """None where nothing of it is in doubt."""
    juices: str = ""
    """`kept` or `poured off`: whether what runs out of it is eaten; empty: not stated."""
    weight_low_g: float | None = None
    weight_high_g: float | None = None
    borrowed: str = ""
    """What its weight is borrowed from; it then lies between the two bounds."""
    readable: bool = True  # False where its food or weight could not be told, which is among the problems of reading
    called: tuple[str, str] = ("", "")
    food_written: str = ""  # its `food:` as the file has it; empty where its key names the food
    units: str = ""
    with_it: str = ""
    """What nobody eats of it and still is on it when it goes in: ``bones``, ``shells``; the scale shows it, ``grams`` is without."""
    bought_as: Food | None = None  # of lemon juice the lemon; None: the food itself

    @property
    def name(self) -> str:
        """As the file, the voice and a log of takes call it."""
        return self.key.replace("_", " ")

    @property
    def display_name(self) -> str:
        """As lists, labels and cards call it: ``unsalted butter`` (display_names.py)."""
        return self.called[0] or self.name

    @property
    def short_name(self) -> str:
        """As captions and shots call it: ``butter``; never a bare key."""
        return self.called[1] or self.name

    @property
    def lost_share(self) -> float:
        """What of it is eaten by nobody, 0 to 1."""
        return min(self.left_share + self.strained_share + self.behind_share, 1.0)

    @property
    def eaten_share(self) -> float:
        """What of its weight on the scale is eaten, 0 to 1: below 1 where it goes in with bones or shells."""
        if not self.with_it or not self.grams or not self.as_bought_g:
            return 1.0
        return min(self.grams / self.as_bought_g, 1.0)

    @property
    def scale_g(self) -> float | None:
        """What the scale shows as it goes in, with what is on it that nobody eats; None to taste."""
        return None if self.grams is None else self.grams / self.eaten_share

    @property
    def bought_whole(self) -> bool:
        """Whether its amount is as bought, with what is trimmed off it."""
        amount, bought = self.amount, self.as_bought_g
        weighed = amount is not None and amount.kind is Kind.MASS and bought not in (None, self.grams)
        return weighed and amount is not None and bought is not None and abs(amount.grams - bought) < 1e-6

    @property
    def state(self) -> str:
        """The words that choose its household weight."""
        return self.measured_as or self.prep

    @property
    def to_taste(self) -> bool:
        """Whether the file gives no amount; one that cannot be read is still an amount."""
        return self.amount is None and self.readable


@dataclass(frozen=True, kw_only=True)
class Addition:
    """An ingredient going into a vessel at a step, the dish's ``number``-th; ``each``: of a serving, where it is written so."""

    number: int
    ingredient: Ingredient
    words: str
    share: Fraction | None
    """Of the ingredient, 0 to 1; None for an amount to taste."""
    amount: Amount | None
    """The household amount as a cook would measure it out; None to taste, or where only grams can be told."""
    grams: float | None
    place: Place
    each: Amount | None = None

    @property
    def scale_g(self) -> float | None:
        """What the scale shows as it goes in, with the bones or shells that are on it; None to taste."""
        return None if self.grams is None else self.grams / self.ingredient.eaten_share

    @functools.cached_property
    def household(self) -> str:
        """As the cook wrote it where that was no weight, else about how many cups or spoons; empty where nothing tells."""
        if self.ingredient.to_taste or self.grams is None:
            return ""
        if self.amount is not None and (self.each or self.amount.kind is not Kind.MASS):
            return f"{self.each} each" if self.each else str(self.amount)
        if self.ingredient.with_it:  # a cup of it is without its bones or shells
            return ""
        about = household_amount(self.ingredient.food, self.grams, self.ingredient.state)
        return f"about {about}" if about else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. Durations are milliseconds; None is *not stated*. ``number`` counts the dish's steps from 1 in the file."""

    id: str
    number: int
    stage: str
    do: str
    vessel: str
    heat: str
    tools: tuple[str, ...]
    uses: tuple[Ingredient, ...]
    additions: tuple[Addition, ...]
    mentions: tuple[Mention, ...]
    reading: StepReading
    """What its words and keys mean: everyone who must understand the step asks this, and only those who print it take the words."""
    core_c: float | None
    hands_ms: int | None
    wait_ms: int | None
    wait_at_most_ms: int | None
    after: tuple[str, ...]
    """Ids of the steps it waits for; empty: a cook step waits for the cook step before it."""
    screen_ms: int | None
    sound: str
    say: str
    shots: tuple[WrittenShot, ...]
    swap_out: bool | None
    irreversible: bool
    """Whether what is done can be filmed only once; an addition always is."""
    place: Place
    say_place: Place
    chapter: str = ""
    """Its name among the chapters, where the file gives one."""
    keeps_ms: int | None = None
    """How long what is made may be kept before the next step, beyond the step's own time."""
    takes: tuple[Takeover, ...] = ()
    """What of other steps goes on here; empty: the file does not say, and it follows from the order (step_graph.py)."""
    left_behind: tuple[Leftover, ...] = ()
    """What of the food that arrives here nobody eats."""
    juices: str = ""
    """`kept` or `poured off`: whether what runs out here is eaten; empty: not stated."""
    units: str = ""
    unfilmed: tuple[str, ...] = ()
    """Keys of ingredients that the cook has accepted as added off camera; the overlay says so."""
    doubt: Doubt | None = None
    """None where nothing of it is in doubt."""

    @property
    def length_ms(self) -> int:
        """Hands time and waiting; what is not stated counts 0."""
        return (self.hands_ms or 0) + (self.wait_ms or 0)

    def in_vessel(self, name: str) -> Step:
        """The same step in another vessel."""
        return replace(self, vessel=name, reading=replace(self.reading, written_vessel=name))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the recipe answers to a caution: the rule by its id, and why it is not shown. ``step`` is the step's number; None
    for the whole dish."""

    rule: str
    reason: str
    step: int | None
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """Where it is cooked and filmed. ``vessels`` counts those there are several of. What is not stated is common practice, no source."""

    jug_ml: float = 1500.0
    jug_fill: float = 1 / 3
    cooks: int = 1
    attended: int = 1
    burners: int = 4
    ovens: int = 1
    vessels: tuple[tuple[str, int], ...] = ()
    preheat_ms: int = 15 * 60_000
    landing_ms: int = 3 * 60_000
    filming_ms: int = 60_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """How the cut is planned and what the camera has. None: not stated, so not checked; other
    figures that the file does not state are common practice, no source."""

    opening_ms: int = 10_000
    closing_ms: int = 26_000
    closing_stated: bool = False
    reading_rate: float = 150.0
    """The presenter's words a minute."""
    longest_silence_ms: int = 12_000
    swap_out_over_ms: int | None = None
    heroes: int = 0
    safety_takes: int = 0
    handles_ms: int = 4_000
    takes: float = 2.0
    battery_ms: int | None = None
    card_gb: float | None = None
    bitrate_mbit: float | None = None
    daylight_ms: int | None = None
    beauty_within_ms: int = 6 * 60_000
    """How soon after plating its beauty shot begins (common practice: a few minutes; no source)."""
    hood: bool = False
    lights: str = ""
    """mains, battery or daylight; empty: not stated."""
    frame_rate: str = "25"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dish:
    """A dish. ``cooked_g`` is what the batch weighs when it is served; ``cooked_estimated`` marks a figure nobody weighed."""

    name: str
    short: str
    """A short name for the overlay; the name where the file gives none."""
    file: str
    promise: str
    goodbye: str
    """What is said over it finished; ``{macros}`` stands for its figures."""
    servings: float
    doubt: Doubt | None = None
    """About how many it serves; None where that is no guess."""
    as_published: tuple[tuple[str, float], ...] = ()
    """What its source prints of a serving: figures by their names, in kcal and grams."""
    as_published_place: Place | None = None
    serving_g: float
    serving_stated: bool
    cooked_g: float
    cooked_estimated: bool
    cooked_ml: float | None
    cooked_by: tuple[str, ...]
    """Where the cooked weight is not measured: what it was estimated with, named."""
    keeps_ms: int | None
    """How long it may be kept hot; None: no longer than the kitchen's landing."""
    made_ahead: bool = False
    """Where another dish or a meal takes it, its steps are not part of the day."""
    taken_out: tuple[Ingredient, ...]
    """What came out of the food and is not eaten."""
    ingredients: tuple[Ingredient, ...]
    listed: tuple[str, ...]
    """Every ingredient key of the file, also those that could not be read."""
    steps: tuple[Step, ...]
    kitchen: Kitchen
    film: Film
    place: Place
    cooking: tuple[CookedIngredient, ...] = field(default=(), hash=False)
    """The ingredients that cooking changes."""
    cooked_uneaten_g: float = 0.0  # bones and shells that lay on the scale with it
    cooked_low_g: float | None = None
    cooked_high_g: float | None = None
    """Bounds of an estimated weight (90 %); None where it was weighed."""
    cups: Cups = Cups.US
    """The cups and spoons that the file means."""
    units: str = ""
    measures: OwnMeasures = field(default_factory=dict, hash=False)
    """The kitchen's own measures that the file and the pantry beside it define."""
    published: Published = NOT_PUBLISHED
    answered: tuple[Answer, ...] = ()
    promise_place: Place | None = None
    goodbye_place: Place | None = None
    steps_readable: bool = True
    """False where a part of the steps could not be read: what seems never used may stand there."""

    @property
    def additions(self) -> tuple[Addition, ...]:
        """Of all steps, in the file's order."""
        return tuple(a for step in self.steps for a in step.additions)

    def left_behind_at(self, step: Step) -> tuple[Ingredient, ...]:
        """The ingredients of which some is left behind at the step."""
        return tuple(i for i in self.ingredients if i.behind_at == step.number)

    @property
    def in_shoot_order(self) -> tuple[Step, ...]:
        """Prep steps first, then cook steps, each in the file's order."""
        return tuple(sorted(self.steps, key=lambda s: (s.stage != "prep", s.number)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A dish on one plate, in grams as served. ``step_g``, ``least_g`` and ``most_g`` bound what it may become; None is
    the usual bound. ``step`` is the step as the cook measures it, None where it is weighed."""

    dish: Dish
    grams: float
    words: str
    place: Place
    by_share: bool = False
    """Whether it is a share of the batch, such as a serving, and no weight on a scale."""
    step_g: float | None = None
    step: Amount | None = None
    least_g: float | None = None
    most_g: float | None = None
    made_ahead: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """Something on one plate that is no dish: poured over a portion, or added at the table."""

    ingredient: Ingredient
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A bound of the meal; ``figure`` is in the unit in which the ``macro``'s name ends; of a ratio, a bare number."""

    macro: str
    bound: str
    """``at_most`` or ``at_least``, on one plate."""
    figure: float
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal:
    """Portions of several dishes, and extras, on one plate; ``plates`` such plates are served."""

    name: str
    file: str
    promise: str
    goodbye: str
    plates: int
    portions: tuple[Portion, ...]
    extras: tuple[Extra, ...]
    limits: tuple[Limit, ...]
    only_meal: tuple[Limit, ...] | None
    """Limits of the same pot as the only meal of the day; None where the file does not ask for it."""
    kitchen: Kitchen
    film: Film
    place: Place
    promise_place: Place | None = None
    goodbye_place: Place | None = None
    published: Published = NOT_PUBLISHED
    units: str = ""

    @property
    def dishes(self) -> tuple[Dish, ...]:
        """One for each portion, in the file's order."""
        return tuple(p.dish for p in self.portions)
