"""What the overlay wants to say: additions with their amounts, cautions, time that passes, and the macro cards."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from scriptkit.captions.composing.compose import HOUSE, Group, Wish, compose
from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.passed_time import at_the_end, before_result, results_ms, sooner, time_passed
from scriptkit.captions.composing.text_fitting import fits
from scriptkit.captions.composing.titles import (
    addition_title,
    dish_title,
    is_pinch,
    meal_title,
    pinch_text,
    portion_title,
    weight_words,
)
from scriptkit.captions.composing.word_timing import LEAD_MS, by_moment, ends_ms, in_the_last_seconds
from scriptkit.cut.coverage.off_camera_text import also_text, missing_text
from scriptkit.cut.word_clock import WordClock
from scriptkit.english.us_words import in_kitchen_words
from scriptkit.measure.temperatures import format_temperature
from scriptkit.measure.unit_system import in_scale, weight_text
from scriptkit.nutrition.dish_meal_macros import DishMacros, MealMacros
from scriptkit.nutrition.display_figures import eaten_at_table, printed_plate, range_words
from scriptkit.nutrition.rounding import Printed, print_one
from scriptkit.nutrition.servings import Suggestion, words_of
from scriptkit.nutrition.sweetening import deducted_name
from scriptkit.problems import Place, Problem
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.recipe.leading_units import lead_alone
from scriptkit.recipe.publication_fields import Correction
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.mise_en_place import grams_text, household_text
from scriptkit.shoot.plan import CLOSING, MEAL_CLOSING, STEP, Plan, Segment, addition_windows, ready_ms
from scriptkit.shoot.shots.leading_act import juices_into
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.timed_text.title import Title

SAFETY_LEAD_MS = 12_000
"""How much earlier than its step a caution may be shown, so that it can be heeded (common practice, no source)."""

Card = tuple[str, str]
"""The two lines of a cue."""
MACRO_CUES = 2
"""A card of macros as captions: weight, energy, fat and protein; and how the net carbs come about."""


def overlay(
    plan: Plan,
    cautions: Sequence[Caution],
    dishes: Sequence[DishMacros],
    meal: MealMacros | None,
    suggestion: Suggestion | None = None,
    room: CueLimits = HOUSE,
    also: Collection[Place] = (),
    clock: WordClock | None = None,
    *,
    corrections: Sequence[Correction] = (),
    only: Suggestion | None = None,
) -> tuple[list[Cue], list[Problem]]:
    """The overlay of the plan, and what of it could not be shown. ``suggestion``: portions that keep the meal's limits,
    where its usual plate does not. ``also``: places of additions that were not filmed, beside those that the recipe says.
    ``clock``: when what is shown is said in the cut, on which the plan then is laid. ``corrections``: what the file corrects of it,
    each shown at its moment. ``only``: the same pots as the only meal."""
    groups: list[Group] = []
    results = results_ms(plan, clock)
    ends = {} if clock is None else ends_ms(plan, clock)
    of_gaps = {} if clock is None else _of_gaps(plan, clock)
    also = {*also, *(at for at, one in of_gaps.items() if one in corrections)}
    for n, segment in enumerate(plan.segments):
        if segment.step is not None and segment.dish is not None:
            here = [c for c in cautions if c.step is segment.step]
            lead_ms = _lead_ms(plan, segment, clock is not None)
            own = replace(segment, end_ms=ends.get(segment.scene, segment.end_ms))
            passed = time_passed(segment, plan.segments[n + 1 : n + 2], results.get(segment.scene), own.end_ms, room)
            group = _step_group(own, segment.dish, segment.step, here, lead_ms, room, also, clock, passed=passed)
            groups += [group] if clock is None else by_moment(group)
        elif segment.kind == CLOSING and segment.dish is not None:
            file = segment.dish.file  # the dish may be here as it was weighed on the day
            macros = next(m for m in dishes if m.dish.file == file)
            groups.append(
                _card_group(
                    f"the closing of {macros.dish.name}",
                    macros.dish.place,
                    dish_card(macros, meal),
                    dish_card(macros, meal, short=True),
                    _card_ms(segment, macros.dish.file, dish_card(macros, meal), room, clock, plan.length_ms),
                    () if clock is None else [_brief(dish_card(macros, meal, short=True))],
                    [dish_title(macros, meal)],
                )
            )
        elif segment.kind == MEAL_CLOSING and meal is not None:
            full, short = meal_card(meal), meal_card(meal, short=True)
            brief = [] if clock is None else [_brief(short)]
            portions = portion_card(suggestion, room) + only_meal_card(only, room)
            full, short = full + portions, short + portions
            at_ms = _card_ms(segment, "", [*full, *brief], room, clock, plan.length_ms)
            groups.append(
                _card_group(
                    "the meal's closing",
                    meal.meal.place,
                    full,
                    short,
                    at_ms,
                    brief and brief + portions,
                    [meal_title(meal), portion_title(suggestion) if suggestion else None],
                )
            )
    if clock is not None:
        groups = [replace(group, remedy="") for group in groups]
    place = meal.meal.place if meal else dishes[0].dish.place
    groups += [group for one in corrections if one not in of_gaps.values() for group in _correction(one, place)]
    cues, problems = compose(groups, plan.length_ms, room)
    return [replace(c, lines=tuple(map(isolated, c.lines))) for c in cues], problems


def _lead_ms(plan: Plan, segment: Segment, in_cut: bool) -> int:
    """How much earlier the segment's cautions may stand: over the steps before it, never over an opening or, in a plan that can be
    changed, a finished dish; and not where the segment itself has a picture for them."""
    start = segment.start_ms
    for earlier in reversed([s for s in plan.segments if s.end_ms <= segment.start_ms]):
        if earlier.kind != STEP and not (in_cut and earlier.kind == CLOSING):
            break
        start = earlier.start_ms
    ready = 0 if in_cut else ready_ms(segment)
    return min(max(0, SAFETY_LEAD_MS - ready), segment.start_ms - start)


def _step_group(
    segment: Segment,
    dish: Dish,
    step: Step,
    cautions: Sequence[Caution],
    lead_ms: int,
    room: CueLimits,
    also: Collection[Place] = (),
    clock: WordClock | None = None,
    *,
    passed: Sequence[Wish],
) -> Group:
    hazards = [line for c in cautions if not c.rule.measured for line in c.overlay]
    wishes = [Wish(at_ms=segment.start_ms, text=line, track="safety") for line in hazards]
    heard = {} if clock is None else clock.additions
    missing = {} if clock is None else clock.not_there
    if juices := juices_into(step):
        said = None if clock is None else clock.juices.get(step.place)
        at_ms = segment.start_ms + ready_ms(segment) if said is None else max(said - LEAD_MS, 0)
        text = juices[:1].upper() + juices[1:]
        wishes.append(Wish(at_ms=at_ms, text=text, track="addition", heard=said is not None))
    for a, start, _ in addition_windows(segment):
        if a.place not in missing:
            wishes.append(_addition_wish(step, a, start, also, heard))
        elif a.place in also:  # where it would be told that it is not in there
            told_ms, *became = missing[a.place]
            at_ms = max(segment.start_ms, min(told_ms, segment.end_ms))
            wishes.append(Wish(at_ms=at_ms, text=missing_text(step, a, *became), track="addition"))
    minimum = [line for c in cautions if c.rule.measured for line in c.overlay]  # read when it is checked
    done = _doneness(step, cautions)
    said_ms = None if clock is None else clock.cores.get(step.place)
    if said_ms is not None:
        wishes += [Wish(at_ms=max(said_ms - LEAD_MS, 0), text=t, track="time", heard=True) for t in done]
        done = []
    ending = at_the_end(segment, [*((line, "safety") for line in minimum), *((t, "time") for t in done)], room)
    wishes = before_result(wishes, [sooner(one, ending, segment, room) for one in passed])
    wishes += ending
    return Group(
        at_ms=segment.start_ms,
        name=f"step {step.number} ({step.id}) of {dish.name}",
        place=step.place,
        wishes=tuple(wishes),
        lead_ms=lead_ms,
    )


def _addition_wish(
    step: Step, addition: Addition, at_ms: int, also: Collection[Place], heard: Mapping[Place, int]
) -> Wish:
    """What goes in, where it is heard or else shown; of what was not filmed going in, that it is in there too."""
    if (said := heard.get(addition.place)) is not None:
        at_ms = max(said - LEAD_MS, 0)
    is_heard = said is not None
    if addition.ingredient.key in step.unfilmed or addition.place in also:
        return Wish(at_ms=at_ms, text=also_text(step, addition), track="addition", heard=is_heard)
    text, short = addition_line(addition), short_addition_line(addition)
    title = addition_title(addition)
    return Wish(at_ms=at_ms, text=text, short=short, track="addition", share=True, heard=is_heard, title=title)


def _of_gaps(plan: Plan, clock: WordClock) -> dict[Place, Correction]:
    """What stands in the file once it is accepted of each addition that is said not to be in the dish."""
    return {
        a.place: Correction(missing_text(step, a, *became), at_ms // 1000 * 1000, "overlay")
        for step in (s.step for s in plan.segments if s.step is not None)
        for a in step.additions
        if a.place in clock.not_there
        for at_ms, *became in (clock.not_there[a.place],)
    }


def _correction(text: Correction, place: Place) -> list[Group]:
    """What the file corrects, shown at its moment; nothing where it names none, or is for the description alone."""
    if text.at_ms is None or text.only == "description":
        return []
    wish = Wish(at_ms=text.at_ms, text=f"Correction: {text.text}", track="addition")
    remedy = "time (another `at:`)"
    return [Group(at_ms=text.at_ms, name="this moment", place=place, wishes=(wish,), remedy=remedy, gives_way=True)]


def _card_ms(
    segment: Segment, food: str, cards: Sequence[Card], room: CueLimits, clock: WordClock | None, end_ms: int
) -> int:
    """In the plan where the closing begins; in a cut where the figures are said, while one can be read before it ends, else in the
    last seconds of the closing."""
    if clock is None:
        return segment.start_ms
    if (said := clock.figures.get(food)) is not None:
        latest = end_ms - max(room.stands_ms(" ".join(card)) for card in cards)
        return max(min(said - LEAD_MS, latest), 0)
    return in_the_last_seconds(segment, [" ".join(card) for card in cards], room)


def _doneness(step: Step, cautions: Sequence[Caution]) -> list[str]:
    """The core temperature that the step is cooked to and when to take it off the heat."""
    if step.core_c is None:
        return []
    lines = list(dict.fromkeys(c.doneness.line() for c in cautions if c.doneness is not None))
    if not lines:
        return [in_scale(f"Inside: {format_temperature(step.core_c)}", step.units)]
    return lines


def _card_group(
    name: str,
    place: Place,
    full: Sequence[Card],
    short: Sequence[Card],
    at_ms: int,
    brief: Sequence[Card] = (),
    titles: Sequence[Title | None] = (None,),
) -> Group:
    """``titles``: of the first card, however many cues it takes, and of the portions after it."""
    of_card, of_portions = titles[0], titles[-1]
    card_cues = MACRO_CUES if len(full) >= MACRO_CUES else len(full)
    wishes = tuple(
        Wish(
            at_ms=at_ms,
            text="\n".join(card),
            short="\n".join(less),
            track="macros",
            title=of_card if n < card_cues else of_portions,
        )
        for n, (card, less) in enumerate(zip(full, short, strict=True))
    )
    brief_ = tuple(
        Wish(at_ms=at_ms, text="\n".join(card), track="macros", title=of_portions if n else of_card)
        for n, card in enumerate(brief)
    )
    return Group(at_ms=at_ms, name=name, place=place, wishes=wishes, brief=brief_, remedy="`closing:` under `film:`")


def addition_line(addition: Addition) -> str:
    """``Butter 28 g (2 tbsp)``: the same grams and measure as on the bowl's label."""
    household = "" if is_pinch(addition) else household_text(addition)
    return (
        f"{_short_name(addition)} {grams_text(addition)} ({household})" if household else short_addition_line(addition)
    )


def short_addition_line(addition: Addition) -> str:
    """``Butter 28 g``, or ``Salt, to taste``: without the household measure, where there is no room for it."""
    name = _short_name(addition)
    if is_pinch(addition):
        return f"{name}, {pinch_text(addition)}"  # its grams are a guess
    return f"{name}, to taste" if addition.grams is None else f"{name} {lead_alone(addition)}"


def _short_name(addition: Addition) -> str:
    name = addition.ingredient.short_name
    return name[:1].upper() + name[1:]


def dish_card(macros: DishMacros, meal: MealMacros | None = None, *, short: bool = False) -> list[Card]:
    """The dish's macros by serving, or of the portion on the meal's plate, two lines a cue; the printed figures agree with one another,
    and with the meal's."""
    word, eaten, estimated = eaten_at_table(macros, meal)
    printed = print_one(eaten)
    weight = weight_words(printed, macros.dish.units, estimated=estimated)
    head = f"{word.capitalize()} {weight}" if short else f"A {word}, {weight}"
    return _card(head, printed, short, range_words(eaten, "net_carbs_g"), macros.dish.units)


def meal_card(macros: MealMacros, *, short: bool = False) -> list[Card]:
    """The whole plate's macros, two lines a cue."""
    estimated = any(p.dish.cooked_estimated for p, _, _ in macros.portions)
    printed = printed_plate(macros).whole
    weight = weight_words(printed, macros.meal.units, estimated=estimated)
    return _card(
        f"Plate {weight}" if short else f"The whole plate, {weight}",
        printed,
        short,
        range_words(macros.plate, "net_carbs_g"),
        macros.meal.units,
    )


def portion_card(suggestion: Suggestion | None, room: CueLimits = HOUSE) -> list[Card]:
    """``For at most 10 g net carbs:`` and the portions that do."""
    if suggestion is None or suggestion.found.grams is None or suggestion.tightest is None:
        return []
    return _portions_under(f"For {words_of(suggestion.tightest)}:", suggestion, room)


def only_meal_card(only: Suggestion | None, room: CueLimits = HOUSE) -> list[Card]:
    """``As the only meal of the day:`` and its portions; nothing where no portions keep its limits."""
    if only is None or only.found.grams is None:
        return []
    return _portions_under("As the only meal of the day:", only, room)


def _portions_under(head: str, suggestion: Suggestion, room: CueLimits) -> list[Card]:
    """In one cue where they fit a line, else in one for each; with the measure (``180 g (¾ cup) soup``) where there is room."""
    if suggestion.found.grams is None:
        return []
    dishes = [p.dish for p, _, _ in suggestion.meal.portions]
    found = [*zip(suggestion.choices, suggestion.found.grams, dishes, strict=True)]
    measured = [f"{choice.words(grams)} {dish.short}" for choice, grams, dish in found]
    plain = [f"{weight_text(grams, dish.units)} {dish.short}" for _, grams, dish in found]
    usual = [abs(grams - choice.usual_g) < 0.5 for choice, grams, _ in found]
    other = [p if u else m for p, m, u in zip(plain, measured, usual, strict=True)]  # measures of what is not as usual
    for portions in (measured, other, plain):
        if fits(together := ", ".join(portions), room.width, room.ems):
            return [(head, together)]
    return [(head, m if fits(m, room.width, room.ems) else p) for m, p in zip(measured, plain, strict=True)]


def _brief(short: Sequence[Card]) -> Card:
    """The short card in one cue: how the net carbs come about is left out."""
    (head, rest), (_, net), *_ = short
    return head, f"{rest}, {net.removeprefix('= ')}"


def _card(head: str, figures: Printed, short: bool, likely: str, units: str) -> list[Card]:
    """Weight, energy, fat and protein; and how the net carbs come about, with their ``likely`` range. A bound is no sum: where a
    figure is one, no equation is written."""
    name = deducted_name(figures.at_least)
    less = f" − {name} {figures.text('deducted_sweeteners_g')} g" if name else ""
    return [
        (
            f"{head}: {figures.text('energy_kcal')} kcal",
            f"fat {figures.text('fat_g')} g, protein {figures.text('protein_g')} g",
        ),
        _net_carbs(figures, less, "" if short else "carbs ", likely, in_kitchen_words("fibre", units)),
    ]


def _net_carbs(figures: Printed, less: str, carbs: str, likely: str, fibre: str) -> Card:
    parts = [figures.text(n) for n in ("carbohydrate_g", "fibre_g")]
    with_unit = [text if text == "unknown" else f"{text} g" for text in parts]
    if any(figures.figures[n] is None for n in ("carbohydrate_g", "fibre_g", "net_carbs_g")):
        text = figures.text("net_carbs_g")
        unsure = likely if figures.figures["net_carbs_g"] is None or not carbs else ""
        net = unsure or (text if text == "unknown" else f"{text} g{f' ({likely})' if likely else ''}")
        return f"Carbs {with_unit[0]}, {fibre} {with_unit[1]}", f"net carbs {net}"
    beside = f" ({likely})" if likely and carbs else ""  # the short form leaves it out
    return (
        f"Carbs {with_unit[0]} − {fibre} {with_unit[1]}{less}",
        f"= net {carbs}{figures.text('net_carbs_g')} g{beside}",
    )
