"""Which caution applies at which step, read from what is done, with what, and how hot; its texts filled in."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale, spoken_in_scale
from scriptkit.problems import Problem, note
from scriptkit.recipe.day_dishes import dishes_of_the_day, served_dishes
from scriptkit.recipe.dish import Answer, Dish, Film, Kitchen, Meal, Step
from scriptkit.recipe.film_settings import film_of
from scriptkit.safety.caution_words import word_for
from scriptkit.safety.coming_out import where_it_comes_out
from scriptkit.safety.concerned import concerned_in
from scriptkit.safety.doneness import Doneness, doneness_of
from scriptkit.safety.marinades import fate_of_marinade
from scriptkit.safety.rules import OVERLAY, PRINTED, SPOKEN, Rule
from scriptkit.safety.rules_holding import rules_holding
from scriptkit.safety.step_facts import DishFacts, Situation, eaters_of_meal, situations
from scriptkit.safety.waivers import answer_problems, answer_to, answered_text, not_for_them, unanswered

MOST_LINES_A_STEP = 4
"""Of cautions in the overlay: more is not read (common practice, no source). What is over is spoken and printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A rule at a step of a dish (no step: the whole dish), its texts filled in; a text that the rule does not carry there is
    empty. ``answer``: the recipe's own, which is printed in its place."""

    rule: Rule
    dish: Dish
    step: Step | None
    overlay: tuple[str, ...]
    spoken: str
    printed: str
    doneness: Doneness | None = None
    answer: Answer | None = None
    short: tuple[str, ...] = ()
    """Its short lines, filled in, also where they are not on screen."""
    not_for: frozenset[str] = frozenset()
    """Whom the dish is for, of those who must not eat it."""
    about: tuple[str, ...] = ()
    """Keys of the ingredients that it is about; empty: the step as a whole."""


def cautions_of(
    dish: Dish, kitchen: Kitchen | None = None, film: Film | None = None, also_for: frozenset[str] = frozenset()
) -> tuple[Caution, ...]:
    """Every caution of the dish, in the order of its steps; what holds for the whole dish comes last. ``kitchen`` and ``film``
    are those that it is cooked in and filmed with, where they are not the dish's own; ``also_for``: who eats the meal that it is a
    part of."""
    facts = DishFacts(dish=dish, kitchen=kitchen or dish.kitchen, film=film or dish.film, also_for=also_for)
    once: set[str] = set()
    asked = tuple(situations(facts))
    found = [
        caution
        for situation, here in zip(asked, rules_holding(asked), strict=True)
        for caution in _at(situation, here, once)
    ]
    return tuple(_not_flooded(_notes_once(where_it_comes_out(found))))


def cautions_in(source: Dish | Meal) -> tuple[Caution, ...]:
    """Every caution of a dish, or of a meal's dishes in the meal's kitchen, and of what is made for them on the day; a dish that is
    served twice is told once."""
    served = served_dishes(source)
    parts = [dish for dish in dishes_of_the_day(source) if dish not in served]
    if not isinstance(source, Meal):
        made_for_it = [c for part in parts for c in cautions_of(part, source.kitchen, source.film)]
        return _doses_of_what_is_served(made_for_it, cautions_of(source))
    # A meal that says nothing of its kitchen leaves it to the dishes.
    kitchen = None if source.kitchen == Kitchen() else source.kitchen
    eaters = eaters_of_meal(source)
    made_for_it = [c for dish in parts for c in cautions_of(dish, kitchen, film_of(source, dish), eaters)]
    return _doses_of_what_is_served(
        made_for_it, [c for dish in served for c in cautions_of(dish, kitchen, film_of(source, dish), eaters)]
    )


def _doses_of_what_is_served(made_for_it: Iterable[Caution], served: Sequence[Caution]) -> tuple[Caution, ...]:
    """How much there is in a serving is told of what is served, and not again of what is made for it."""
    told = {c.rule.id for c in served if c.rule.tells_a_dose}
    return (*(c for c in made_for_it if c.rule.id not in told), *served)


def doneness_problems(cautions: Iterable[Caution]) -> list[Problem]:
    """Of a dish's cautions: a stated core temperature below the published minimum, which is the cook's choice, and the minimum
    stands beside it. Minutes a side without any temperature: a guide only."""
    problems = []
    for caution in cautions:
        step, least, done = caution.step, caution.rule.minimum_c, caution.doneness
        if step is not None and least is not None and done is not None and done.below:
            problems.append(
                note(step.place, "below-minimum",
                     f"step {step.number} ({step.id}) is cooked to {format_temperature(done.target_c)}, below the published minimum of {format_temperature(least)}",
                     f"it stays as you chose; the papers print the minimum beside it ({caution.rule.source})")
            )  # fmt: skip
        if step is not None and caution.rule.id == "minutes-a-side" and step.core_c is None:
            problems.append(
                note(step.place, "minutes-a-side", f"step {step.number} ({step.id}) goes by minutes a side, which depend on thickness",
                     "write `core:`, the temperature inside when it is done; the papers then say when to take it off the heat")
            )  # fmt: skip
    return problems


def answers_of(dish: Dish, cautions: Iterable[Caution]) -> list[Problem]:
    """What is to be said of the recipe's answers to the dish's cautions."""
    if not dish.answered:
        return []
    return list(answer_problems(dish, [(c.rule, c.step) for c in cautions]))


def deadly_of(cautions: Iterable[Caution]) -> list[Problem]:
    """The deadly few among the cautions that the recipe has not answered, as errors: nothing is published before."""
    return unanswered((c.rule, c.dish, c.step, c.printed, c.answer) for c in cautions)


def not_for_them_of(cautions: Iterable[Caution], source: Dish | Meal) -> list[Problem]:
    """What those whom the dishes are for must not eat and the recipe has not answered: errors, at which publishing stops, where `for:`
    of the dish or of the source names them; warnings where only texts speak of them."""
    return not_for_them(
        (c.rule, c.dish, c.step, c.printed, c.answer, c.not_for, {*c.dish.published.eaters, *source.published.eaters})
        for c in cautions
    )


def _at(situation: Situation, here: Sequence[Rule], once: set[str]) -> Iterator[Caution]:
    """The cautions of a situation, of the rules that hold ``here``. ``once`` gathers the rules that are told no second time in the dish, with those that say less."""
    replaced = {name for rule in here for name in rule.instead_of}
    for rule in here:
        if rule.id in replaced or (rule.told != "step" and rule.id in once):
            continue
        once.update((rule.id, *rule.instead_of))
        yield _fill(rule, situation)


def _notes_once(found: Sequence[Caution]) -> list[Caution]:
    """Less the notes that another note of the dish says too, wherever it is told: the grater's speaks of knives."""
    said_too = {name for c in found if c.rule.severity == "note" for name in c.rule.instead_of}
    return [c for c in found if c.rule.severity != "note" or c.rule.id not in said_too]


def _not_flooded(found: Sequence[Caution]) -> Iterator[Caution]:
    """What the overlay and the voice have said of a hazard is not said again in the dish, and no step says more in the overlay
    than can be read; published figures go first. The papers keep everything."""
    said: set[tuple[str, tuple[str, ...], str]] = set()
    room: dict[int, int] = {}
    by_need = sorted(found, key=lambda c: c.rule.severity != "safety")
    shown: dict[int, Caution] = {}
    for caution in by_need:
        again = (caution.rule.id, caution.overlay, caution.spoken) in said and not caution.rule.measured
        said.add((caution.rule.id, caution.overlay, caution.spoken))
        at = caution.step.number if caution.step else 0
        left = MOST_LINES_A_STEP - room.get(at, 0)
        lines = () if again or len(caution.overlay) > left else caution.overlay
        room[at] = room.get(at, 0) + len(lines)
        spoken = "" if again else caution.spoken
        same = lines == caution.overlay and spoken == caution.spoken
        shown[id(caution)] = caution if same else dataclasses.replace(caution, overlay=lines, spoken=spoken)
    return (shown[id(caution)] for caution in found)


# --- texts ------------------------------------------------------------------------------------------------------------


_NAME = re.compile(r"\{(\w+)\}")


def _fill(rule: Rule, situation: Situation) -> Caution:
    asked, fates = rule, rule.where_marinade
    if (
        situation.step is not None
        and fates
        and (texts := fates.get(fate_of_marinade(situation.facts.dish, situation.step)))
    ):
        rule = dataclasses.replace(
            rule, short=tuple(texts["short"]), spoken=str(texts["spoken"]), printed=str(texts["printed"])
        )
    dish, step = situation.facts.dish, situation.step
    about, not_for = concerned_in(asked, situation), situation.facts.eaters.intersection(rule.not_for)

    def filled(text: str) -> str:
        text = in_kitchen_words(text, dish.units)  # before the cook's own words stand in it
        if "{" in text:
            text = _NAME.sub(lambda found: word_for(found[1], rule, situation, found[0]), text)
        return text.strip().replace("  ", " ")

    def short_line(text: str) -> str:
        return in_scale(filled(text), dish.units, beside="(" in text)

    done = None
    if step is not None and rule.minimum_c is not None:
        done = doneness_of(step, situation.cooked, rule.minimum_c, rule.rest_min)
    overlay = tuple(line for text in rule.short if (line := short_line(text))) if step else ()
    short = overlay
    spoken = spoken_in_scale(filled(rule.spoken), dish.units)
    printed = in_scale(filled(rule.printed), dish.units)
    if done is not None:
        printed = f"{printed} {done.printed()}".strip()
        spoken = done.spoken() or spoken
    if rule.minimum_c is not None and step is not None:
        # only what the cook's own figure contradicts: a temperature hurts nobody within seconds
        below = done is not None and done.below
        overlay = (short_line(f"{{food}}: published minimum {format_temperature(rule.minimum_c)}"),) if below else ()
    answer = answer_to(rule, dish, step)
    if answer is not None:
        return Caution(
            rule=rule, dish=dish, step=step, overlay=(), spoken="", doneness=done, answer=answer, about=about, not_for=not_for,
            printed=answered_text(rule, printed, answer.reason) if PRINTED in rule.where else "",
        )  # fmt: skip
    return Caution(
        rule=rule,
        dish=dish,
        step=step,
        overlay=overlay if OVERLAY in rule.where else (),
        spoken=spoken if SPOKEN in rule.where and step is not None else "",
        printed=printed if PRINTED in rule.where else "",
        doneness=done,
        short=short,
        about=about,
        not_for=not_for,
    )
