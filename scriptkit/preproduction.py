"""Everything that follows from the written recipe alone: computed when it is first asked for, and kept with the one object."""

from __future__ import annotations

import functools
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from scriptkit.recipe.dish import Dish, Meal

if TYPE_CHECKING:
    from scriptkit.captions.composing.cue_limits import CueLimits
    from scriptkit.cut.claims.promised import PromisedFigure
    from scriptkit.cut.coverage.coverage import Coverage
    from scriptkit.cut.coverage.rescue import Rescue
    from scriptkit.cut.word_clock import WordClock
    from scriptkit.nutrition.dish_meal_macros import AllMacros
    from scriptkit.nutrition.servings import Suggestion
    from scriptkit.problems import Place, Problem
    from scriptkit.publish.times import TotalTime
    from scriptkit.recipe.on_plates import OnPlate
    from scriptkit.safety.allergens import Allergens
    from scriptkit.safety.rule_matching import Caution
    from scriptkit.shoot.buying import Purchase
    from scriptkit.shoot.day.schedule import CannotSchedule, Schedule
    from scriptkit.shoot.day.shooting_order import CoverageOrder
    from scriptkit.shoot.day.swap_outs import ChillClock, SwapOut
    from scriptkit.shoot.mise_en_place import PreHeat, Tray
    from scriptkit.shoot.plan import Plan
    from scriptkit.shoot.script.script import Script
    from scriptkit.shoot.shots.shots import Shot
    from scriptkit.timed_text.cue import Cue

Overlay = tuple[tuple["Cue", ...], tuple["Problem", ...]]
"""The cues, in milliseconds of the cut, and what found no room among them."""


class Preproduction:
    """What is known before anything is filmed, from one dish or meal. Nothing is computed before it is asked for, nothing
    twice; the rooms that compute it are loaded with it."""

    def __init__(self, source: Dish | Meal) -> None:
        self._written = source

    @property
    def source(self) -> Dish | Meal:
        """The dish or meal."""
        return self._written

    @functools.cached_property
    def dishes(self) -> tuple[Dish, ...]:
        """The dishes that are served: one that a meal serves twice is there once."""
        from scriptkit.recipe.day_dishes import served_dishes

        return served_dishes(self.source)

    @functools.cached_property
    def day_dishes(self) -> tuple[Dish, ...]:
        """The dishes that are cooked and filmed on the day, each after those that go into it; what was made ahead is not."""
        from scriptkit.recipe.day_dishes import dishes_of_the_day

        return dishes_of_the_day(self.source)

    # --- figures ------------------------------------------------------------------------------------------------------

    @functools.cached_property
    def written_macros(self) -> AllMacros:
        """Of every dish as it is written: by ingredient, batch, serving and 100 g; of a meal also by portion and plate. Grams, kilocalories."""
        from scriptkit.nutrition.dish_meal_macros import all_macros

        return all_macros(self.source, self.dishes)

    @property
    def macros(self) -> AllMacros:
        """The macros that every paper prints."""
        return self.written_macros

    @functools.cached_property
    def promised(self) -> tuple[PromisedFigure, ...]:
        """Figures that the file promises of a serving or the plate, and of a meal's dishes by their own files: each with its verdict."""
        from scriptkit.cut.claims.promised import promised_figures

        if not all(i.readable for dish in self.dishes for i in dish.ingredients):
            return ()  # of a part of the figures nothing can be said
        sources = [self.source, *(d for d in self.dishes if d is not self.source)]
        return tuple(one for source in sources for one in promised_figures(source, self.macros))

    @functools.cached_property
    def suggestion(self) -> Suggestion | None:
        """Portions that keep the meal's limits; None where its usual plate keeps them, and for a dish."""
        from scriptkit.nutrition.servings import suggestion_for

        return suggestion_for(self.macros.meal) if self.macros.meal is not None else None

    @functools.cached_property
    def only_meal(self) -> Suggestion | None:
        """Portions of the same pots as the only meal of the day; None where the file asks for none, or a limited figure is unknown."""
        from scriptkit.nutrition.servings import only_meal_if_known

        return only_meal_if_known(self.macros.meal)

    @functools.cached_property
    def allergens(self) -> Allergens:
        """Of everything that goes in, by list."""
        from scriptkit.safety.allergens import allergens_of

        return allergens_of(self.source)

    @functools.cached_property
    def unconfirmed(self) -> tuple[str, ...]:
        """Names of what is a guess that nobody has confirmed: ingredients, counted as unknown, servings, and steps. Never published."""
        from scriptkit.recipe.unconfirmed import unconfirmed_names, unconfirmed_steps

        names = [name for one in (self.source, *self.day_dishes) for name in unconfirmed_names(one)]
        return tuple(dict.fromkeys([*names, *unconfirmed_steps(self.source)]))

    # --- cautions -----------------------------------------------------------------------------------------------------

    @functools.cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """Every caution, in the order of the steps; in the meal's kitchen, where it is a meal."""
        from scriptkit.safety.rule_matching import cautions_in

        return cautions_in(self.source)

    @functools.cached_property
    def cautions_by_dish(self) -> tuple[tuple[Dish, tuple[Caution, ...]], ...]:
        """Of each dish alone, in its own kitchen."""
        from scriptkit.safety.rule_matching import cautions_of

        if isinstance(self.source, Dish):
            return ((self.source, self.cautions),)
        return tuple((dish, cautions_of(dish)) for dish in self.dishes)

    # --- the day of the shoot -----------------------------------------------------------------------------------------

    @functools.cached_property
    def plan(self) -> Plan:
        """The planned cut: which step is on screen from when to when."""
        from scriptkit.shoot.plan import plan_of

        return plan_of(self.source)

    @functools.cached_property
    def shots(self) -> tuple[Shot, ...]:
        """The shot list, in the order of the planned cut."""
        from scriptkit.shoot.shots.shots import shots_of

        return shots_of(self.plan)

    @functools.cached_property
    def script(self) -> Script:
        """What is said over which shot."""
        from scriptkit.shoot.script.script import script_of

        return script_of(self.source, self.plan, self.shots, self.macros)

    @functools.cached_property
    def _scheduled(self) -> Schedule | CannotSchedule | None:
        from scriptkit.shoot.day.schedule import CannotSchedule, usual_schedule

        try:
            return usual_schedule(self.source)
        except CannotSchedule as wrong:
            return wrong

    @functools.cached_property
    def schedule(self) -> Schedule | None:
        """Who does what when: where no order lands, the least late, with what is late. None where there are no steps, or not even that
        can be done."""
        from scriptkit.shoot.day.lateness import late_schedule

        return late_schedule(self.source) if isinstance(self._scheduled, Exception) else self._scheduled

    @property
    def no_schedule(self) -> tuple[Problem, ...]:
        """Why no order lands; empty where one does, and where there are no steps."""
        if not isinstance(self._scheduled, Exception) or (self.schedule is not None and not self.schedule.late):
            return ()
        return self._scheduled.problems

    @functools.cached_property
    def total_time(self) -> TotalTime:
        """How long it takes those who cook and do not film: the total that every paper prints."""
        from scriptkit.publish.times import total_time_of

        return total_time_of(self.source)

    @functools.cached_property
    def order(self) -> CoverageOrder:
        """The order of the day, which every paper of the day follows, and the one with fewer camera moves."""
        from scriptkit.shoot.day.shooting_order import order_of

        return order_of(self.shots, self.schedule)

    @functools.cached_property
    def on_plates(self) -> tuple[OnPlate, ...]:
        """What goes on the plates beside the dishes."""
        from scriptkit.recipe.on_plates import on_plates

        return on_plates(self.source)

    @functools.cached_property
    def trays(self) -> tuple[Tray, ...]:
        """The mise en place, a tray for each dish."""
        from scriptkit.shoot.mise_en_place import trays_of

        return tuple(trays_of(self.source, self.schedule))

    @functools.cached_property
    def preheats(self) -> tuple[PreHeat, ...]:
        """The ovens to switch on, those that are needed first first."""
        from scriptkit.shoot.mise_en_place import preheats_of

        return preheats_of(self.source, self.schedule)

    @functools.cached_property
    def purchases(self) -> tuple[Purchase, ...]:
        """What to buy, in order of first use on the day."""
        from scriptkit.shoot.buying import purchases_of

        return purchases_of(self.source, self.schedule)

    @functools.cached_property
    def swap_outs(self) -> tuple[SwapOut, ...]:
        """The twins that are made ahead to jump a wait."""
        from scriptkit.shoot.day.swap_outs import swap_outs_of

        return swap_outs_of(self.source)

    @functools.cached_property
    def chill_clocks(self) -> tuple[ChillClock, ...]:
        """How long each twin and hero stands out of the fridge."""
        from scriptkit.shoot.day.swap_outs import chill_clocks

        return tuple(chill_clocks(self.source, self.schedule))

    # --- the overlay --------------------------------------------------------------------------------------------------

    @functools.cached_property
    def room(self) -> CueLimits:
        """The limits of a cue: the usual profile's, at the film's frame rate."""
        from scriptkit.captions.composing.cue_limits import cue_limits_for
        from scriptkit.captions.profiles import USUAL_PROFILE, profiles
        from scriptkit.measure.timecode import RATES

        return cue_limits_for(profiles()[USUAL_PROFILE], RATES[self.source.film.frame_rate])

    def overlay_on(self, plan: Plan, also: Collection[Place] = ()) -> Overlay:
        """The overlay on a plan of the source, or on the plan laid on its cut. ``also``: places of additions that were not
        filmed."""
        from scriptkit.captions.composing.overlay import overlay

        macros = self.macros
        cues, problems = overlay(
            plan, self.cautions, macros.dishes, macros.meal, self.suggestion, self.room, also,
            clock=None if plan is self.plan else self.word_clock,
            corrections=() if plan is self.plan else self.source.published.corrections, only=self.only_meal,
        )  # fmt: skip
        return tuple(cues), tuple(problems)

    @property
    def word_clock(self) -> WordClock | None:
        """When what is said of the recipe is heard in the cut; None before there is one."""
        return None

    @functools.cached_property
    def planned_overlay(self) -> Overlay:
        """The overlay on the planned cut."""
        return self.overlay_on(self.plan)

    def rescues_of(self, coverage: Coverage) -> tuple[Rescue, ...]:
        """How to rescue each addition that is not on camera, each overlay with its place: in the cut, and before there is
        one, in the planned one."""
        gaps = coverage.gaps
        if not gaps:
            return ()
        from scriptkit.captions.composing.rescue_cues import rescue_cues
        from scriptkit.cut.coverage.rescue import rescues_of
        from scriptkit.cut.plan_in_cut import plan_in_cut

        def compose(also: Collection[Place]) -> Sequence[Cue]:
            plan = self.plan if coverage.cut is None else plan_in_cut(self.plan, coverage.cut)
            return self.overlay_on(plan, also)[0]

        return rescues_of(gaps, admitted=coverage.admitted, cues=rescue_cues(coverage, compose))

    @property
    def steps_readable(self) -> bool:
        """Whether the steps of every dish were understood."""
        return all(dish.steps_readable for dish in self.dishes)
