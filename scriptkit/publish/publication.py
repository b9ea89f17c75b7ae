"""Everything that the publish files are made from, computed once, so that they cannot disagree."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from scriptkit.cut.coverage.off_camera_text import also_written
from scriptkit.measure.unit_system import weight_text
from scriptkit.nutrition.cooking import estimated_after_cooking
from scriptkit.nutrition.dish_meal_macros import AllMacros, DishMacros, MealMacros, all_macros
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.rounding import print_one
from scriptkit.nutrition.servings import Suggestion, only_meal_if_known
from scriptkit.problems import Problem
from scriptkit.publish.chapters import Chapters
from scriptkit.publish.dual_units import IngredientLine, line_of, lines_of
from scriptkit.publish.scaling import scaled
from scriptkit.publish.times import Times, TotalTime, total_time_of
from scriptkit.recipe.day_dishes import served_dishes
from scriptkit.recipe.dish import Dish, Meal, Step
from scriptkit.recipe.display_names import display_names, weighed_without
from scriptkit.recipe.on_plates import on_plates
from scriptkit.safety.allergens import Allergens, allergens_of
from scriptkit.safety.rule_matching import Caution, cautions_in

DEFERRING = frozenset({"local-code"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One dish: what goes in, in order of use, and its steps in the order in which they are cooked."""

    dish: Dish
    macros: DishMacros
    lines: tuple[IngredientLine, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """``source`` as it is printed, scaled where that was asked for; ``filmed_for`` is then what the video shows."""

    source: Dish | Meal
    parts: tuple[Part, ...]
    of_meal: MealMacros | None
    cautions: tuple[Caution, ...]
    allergens: Allergens
    chapters: Chapters
    total_time: TotalTime
    filmed_for: float | None
    problems: tuple[Problem, ...]
    only_meal: Suggestion | None = None
    """The same pots as the only meal of the day, where the file asks for that."""

    @property
    def serves(self) -> float:
        """Plates of a meal, servings of a dish."""
        return self.source.plates if isinstance(self.source, Meal) else self.source.servings

    @property
    def on_plates(self) -> tuple[IngredientLine, ...]:
        """What goes on the plates beside the dishes, for all of them: ``4 tsp (20 g) lemon juice, 1 tsp each, at the table``."""
        return tuple(
            line_of(one.whole, ", ".join(part for part in (one.each_words, one.how) if part))
            for one in on_plates(self.source)
        )

    @property
    def macros(self) -> AllMacros:
        """Of each dish, and of the meal where it is one."""
        return AllMacros(dishes=tuple(part.macros for part in self.parts), meal=self.of_meal)

    @property
    def eaten(self) -> Macros:
        """What one person eats: a serving, or the plate."""
        return self.of_meal.plate if self.of_meal is not None else self.parts[0].macros.serving

    @property
    def times(self) -> Times:
        """How long it takes those who cook and do not film."""
        return self.total_time.times

    @property
    def estimated(self) -> bool:
        """Whether nobody weighed what was cooked."""
        return any(part.dish.cooked_estimated for part in self.parts)

    @property
    def estimated_after_cooking(self) -> str:
        """The ingredients of which what runs out is not counted, in words; empty where there are none."""
        found = [n for part in self.parts for n in display_names([part.dish], estimated_after_cooking(part.dish))]
        return ", ".join(dict.fromkeys(found))

    @property
    def without_bones(self) -> tuple[str, ...]:
        """``A serving is weighed without its bones.``, of each dish that has any on the plate."""
        of = [
            (f"{p.dish.name}: a portion" if len(self.parts) > 1 else "A serving", weighed_without(p.dish))
            for p in self.parts
        ]
        return tuple(f"{words} is weighed without its {on}." for words, on in of if on)

    @property
    def to_taste(self) -> tuple[str, ...]:
        """Ingredients not counted, being to taste; of several dishes, each with its dish."""
        several = len(self.parts) > 1
        names = [
            f"{n} of {p.dish.short}" if several else n
            for p in self.parts
            for n in display_names([p.dish], p.macros.to_taste)
        ]
        extras = self.of_meal.meal.extras if self.of_meal is not None else ()
        return tuple(dict.fromkeys([*names, *(e.ingredient.display_name for e in extras if e.ingredient.to_taste)]))

    @property
    def lacking_words(self) -> str:
        """What ``≥`` and *unknown* mean, where one stands among what one person eats; else empty."""
        row = print_one(self.eaten)
        if all(
            row.figures[n] is not None
            for n in ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
        ):
            return ""
        known = self.of_meal.unknown if self.of_meal is not None else self.parts[0].macros.unknown
        to_taste = {n for p in self.parts for n in p.macros.to_taste}
        lacking = display_names((p.dish for p in self.parts), (n for n in known if n not in to_taste))
        names = ", ".join(dict.fromkeys(lacking))
        return "≥ means at least, and unknown is not zero: a table lacks a figure" + (f" of {names}." if names else ".")

    @property
    def not_shown(self) -> tuple[str, ...]:
        """A line for each addition that the cook accepted as not filmed (`unfilmed:`)."""
        several = len(self.parts) > 1
        return tuple(
            also_written(step, addition, at=f"step {number}{f' of the {part.dish.short}' if several else ''}")
            for part in self.parts
            for number, step in enumerate(part.steps, 1)
            for addition in step.additions
            if addition.ingredient.key in step.unfilmed
        )

    @property
    def serving_words(self) -> str:
        """``320 g a serving``, ``485 g a plate``; *about* where nobody weighed the batch."""
        of = "plate" if self.of_meal is not None else "serving"
        about = "about " if self.estimated else ""
        return f"{about}{weight_text(self.eaten.weight_g, self.source.units, both=True)} a {of}"

    @property
    def serves_words(self) -> str:
        """``6 servings``, ``1 plate``."""
        what = "plate" if self.of_meal is not None else "serving"
        return f"{self.serves:g} {what}{'' if self.serves == 1 else 's'}"


def publication_of(
    source: Dish | Meal,
    chapters: Chapters,
    servings: float | None = None,
    *,
    macros: AllMacros | None = None,
    cautions: Sequence[Caution] | None = None,
    total_time: TotalTime | None = None,
) -> Publication:
    """The publication of a dish or meal, for so many servings (of a meal: plates) where that is asked for. ``macros``,
    ``cautions`` and ``total_time`` are the source's, where they are known already."""
    shown, problems = (source, []) if servings is None else scaled(source, servings)
    was = source.plates if isinstance(source, Meal) else source.servings
    if macros is None or shown is not source:
        macros = all_macros(shown, served_dishes(shown))
    if cautions is None or shown is not source:
        cautions = cautions_in(shown)
    shown_files = {of.dish.file for of in macros.dishes}  # what goes into them has a page of its own
    return Publication(
        source=shown,
        parts=tuple(
            Part(dish=of.dish, macros=of, lines=lines_of(of.dish), steps=of.dish.in_shoot_order) for of in macros.dishes
        ),
        of_meal=macros.meal,
        cautions=tuple(c for c in cautions if not c.rule.for_crew and c.dish.file in shown_files),
        allergens=allergens_of(shown),
        chapters=chapters,
        total_time=total_time if total_time is not None and shown is source else total_time_of(shown),
        filmed_for=None if shown is source else float(was),
        problems=(*chapters.problems, *problems),
        only_meal=only_meal_if_known(macros.meal),
    )


def caution_lines(
    cautions: Sequence[Caution], short: Collection[str] = (), *, several: bool = False
) -> tuple[str, ...]:
    """Each caution once, with the step that it belongs to; what holds for everything, such as the deferring line, last. Rules
    in ``short`` stand in the wording of the overlay. ``several``: each with its dish, where the page has several."""
    by_text: dict[str, list[str]] = {}
    for caution in cautions:
        if text := _short(caution) if caution.rule.id in short else caution.printed:
            where = f"step {_position(caution.dish, caution.step)}" if caution.step else ""
            by_text.setdefault(text, []).append(
                f"{_capital(caution.dish.short)}, {where}" if where and several else where
            )
    of_steps = {t: w for t, w in by_text.items() if any(w)}
    whole = [t for t in by_text if t not in of_steps]
    return (*(f"{_capital('; '.join(dict.fromkeys(w)))}: {t}" for t, w in of_steps.items()), *whole)


DISH_LINES = 3
"""Of a summary of cautions, which has at most five lines with what holds for the whole and the deferring line."""


def caution_summary(cautions: Sequence[Caution], *, several: bool = False) -> tuple[str, ...]:
    """At most five lines: a dish a line, step by step in the wording of the overlay (of more than three dishes the rest in the third),
    what holds for the whole, and the deferring line last. ``several``: the page has several dishes, and each line names its own."""
    steps: dict[str, dict[str, dict[int, None]]] = {}
    whole: dict[str, None] = {}
    deferring: dict[str, None] = {}
    for caution in cautions:
        text = _short(caution) if caution.step is not None else caution.printed
        if not text:
            continue
        if caution.step is None:
            (deferring if caution.rule.id in DEFERRING else whole)[text] = None
        else:
            here = steps.setdefault(_capital(caution.dish.short), {}).setdefault(text, {})
            here[_position(caution.dish, caution.step)] = None
    by_dish = [_of_a_dish(name if several else "", texts) for name, texts in steps.items()]
    lines = [*by_dish[: DISH_LINES - 1], " ".join(by_dish[DISH_LINES - 1 :])]
    return tuple(line for line in (*lines, " ".join(whole), *deferring) if line)


def _of_a_dish(name: str, texts: Mapping[str, Mapping[int, None]]) -> str:
    """``Hake, step 1: Raw: its own board. Step 3: Dry it; extractor on.``"""
    by_step: dict[tuple[int, ...], list[str]] = {}
    for text, numbers in texts.items():
        by_step.setdefault(tuple(numbers), []).append(text)
    parts = [
        f"Step{'' if len(numbers) == 1 else 's'} {' and '.join(map(str, numbers))}: {' '.join(said)}"
        for numbers, said in sorted(by_step.items())
    ]
    line = " ".join(parts)
    return f"{name}, {line[:1].lower()}{line[1:]}" if name else line


def in_order_of_need(cautions: Sequence[Caution]) -> tuple[str, ...]:
    """The rules of the cautions, those with a published figure first, and what is only noted last."""
    ranks = {"safety": 0, "caution": 1, "note": 2}
    return tuple(dict.fromkeys(c.rule.id for c in sorted(cautions, key=lambda c: ranks.get(c.rule.severity, 1))))


def _short(caution: Caution) -> str:
    """In the wording of the overlay; whole where the recipe answers it, and where it defers."""
    rule = caution.rule
    if caution.answer is not None or not caution.printed or rule.id in DEFERRING:
        return caution.printed
    short = caution.overlay or caution.short or tuple(line for line in rule.short if "{" not in line)
    return ". ".join(line.rstrip(".") for line in short) + "." if short else caution.printed


def _position(dish: Dish, step: Step) -> int:
    """The number of the step as the card and the description count them: in the order in which it is cooked."""
    return 1 + [s.number for s in dish.in_shoot_order].index(step.number)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
