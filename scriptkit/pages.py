"""What the templates print: rows with every figure already formatted and every order already decided."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.nutrition.plates import DishMacros, MealMacros
from scriptkit.nutrition.servings import Suggestion, suggestion_text
from scriptkit.nutrition.tables import dish_text, meal_text
from scriptkit.problems import Problem, format_problem, needs_a_person, printable
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.allergens import allergens_of
from scriptkit.safety.apply import Caution
from scriptkit.shoot.mise import Ready, Tray, grams_text, household_text
from scriptkit.shoot.plan import Plan
from scriptkit.shoot.schedule import Schedule
from scriptkit.shoot.schedule_chart import chart_of, clock, length_words, schedule_text
from scriptkit.shoot.shots import SIZES, Shot
from scriptkit.timed_text.cue import Cue


@dataclass(frozen=True, slots=True)
class PrintedCaution:
    """``where``: the dishes and steps that it applies to, empty where it holds for the whole."""

    where: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Page:
    """What every page has: its title, who made it, and the cautions that leave the house with it."""

    title: str
    made_by: str
    cautions: tuple[PrintedCaution, ...]
    allergens: tuple[str, ...] = ()
    """Lines of the pages that food is bought, laid out and served from."""

    @property
    def deferring(self) -> str:
        """The line that defers to local codes, for a page without room for the cautions."""
        return self.cautions[-1].text if self.cautions else ""


def printed_cautions(cautions: Sequence[Caution]) -> tuple[PrintedCaution, ...]:
    """Each text once, with the steps that it applies to; what holds for the whole comes last."""
    steps: dict[tuple[str, str], dict[str, dict[int, None]]] = {}
    for caution in (c for c in cautions if c.printed):
        here = steps.setdefault((caution.printed, caution.rule.source), {})
        if caution.step is not None:
            here.setdefault(caution.dish.name, {})[caution.step.number] = None
    found = [PrintedCaution(_where(by_dish), text, source) for (text, source), by_dish in steps.items()]
    return (*(p for p in found if p.where), *(p for p in found if not p.where))


def _where(steps: Mapping[str, Iterable[int]]) -> str:
    """``Bisque, steps 1 and 2; Hake, step 4``; empty where it holds for the whole."""
    words = []
    for dish, numbers in steps.items():
        told = [str(n) for n in numbers]
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
        words.append(f"{dish}, step{'' if len(told) == 1 else 's'} {listed}")
    return "; ".join(words)


def shoot_list(plan: Plan, shots: Sequence[Shot], cautions: Sequence[Caution] = ()) -> dict[str, Any]:
    """Sections of the shoot list in shoot order, its key and its counts. A step's cautions stand, in short, at its first
    shot."""
    sections: list[dict[str, Any]] = []
    for before, shot in zip([None, *shots], shots, strict=False):
        title = _section(shot)
        if not sections or sections[-1]["title"] != title:
            sections.append({"title": title, "rows": []})
        first = before is None or before.step is not shot.step
        here = [c for c in cautions if first and c.step is not None and c.step is shot.step]
        lines = [line for c in here for line in (*c.overlay, c.doneness.line() if c.doneness else "") if line]
        sections[-1]["rows"].append({**_shot_row(shot), "cautions": list(dict.fromkeys(lines))})
    used = {s.look.size for s in shots}
    return {
        "sections": sections,
        "key": [f"{size} {words}" for size, words in SIZES.items() if size in used],
        "sounds": sorted({s.sound for s in shots}),
        "shots": len(shots),
        "additions": sum(len(s.additions) for s in shots),
        "irreversible": sum(s.irreversible for s in shots),
        "length": format_clock(plan.length_ms),
    }


def _section(shot: Shot) -> str:
    if shot.step is None or shot.dish is None:
        return {"opening": "Opening", "closing": f"{shot.dish.name}: plated" if shot.dish else "Plated"}.get(
            shot.stage, "The whole plate"
        )
    return f"{'Prep' if shot.stage == 'prep' else 'Cook'}: {shot.dish.name}"


def _shot_row(shot: Shot) -> dict[str, Any]:
    addition = shot.additions[0] if shot.additions else None
    return {
        "slate": shot.slate,
        "kind": shot.look.kind,
        "size": shot.look.size,
        "angle": shot.look.angle,
        "move": "" if shot.look.move == "static" else shot.look.move,
        "sound": shot.sound,
        "step": shot.step.number if shot.step else "",
        "picture": shot.what,
        "ingredient": addition.ingredient.name if addition else "",
        "grams": grams_text(addition) if addition else "",
        "household": household_text(addition) if addition else "",
        "heat": shot.step.heat if shot.step and addition is None else "",
        "planned": format_duration(shot.planned_ms),
        "irreversible": shot.irreversible,
        "swap_out": shot.swap_out,
        "amounts": [
            {
                "name": a.ingredient.name if len(shot.additions) > 1 else "",
                "grams": grams_text(a),
                "household": household_text(a),
            }
            for a in shot.additions
        ],
    }


def cook_schedule(schedule: Schedule) -> dict[str, Any]:
    """The picture of the schedule and its table."""

    def at(minute: float) -> str:
        return clock(minute, schedule, None)

    return {
        "chart": chart_of(schedule),
        "length": length_words(schedule),
        "start": "",
        "serve": "",
        "tasks": [
            {
                "start": at(t.start_min),
                "end": at(t.end_min),
                "free": at(t.hands_end_min) if t.hands_end_min < t.end_min else "",
                "cook": t.cook or "",
                "do": t.step.do,
                "dish": t.dish.short,
                "vessel": t.vessel,
                "burner": "oven" if t.oven else t.burner or "",
            }
            for t in schedule.tasks
        ],
    }


def no_schedule(why: Sequence[Problem]) -> dict[str, Any]:
    """Why no order of the work lands, and what would help, as sentences."""
    return {"why": [{"message": _sentence(p.message), "hint": _sentence(p.hint.replace("`", ""))} for p in why]}


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def trays(found: Sequence[Tray]) -> list[dict[str, Any]]:
    """A tray for each dish: its bowls in order of use, and the vessels and tools that lie ready."""
    return [
        {
            "dish": tray.dish.name,
            "servings": f"{tray.dish.servings:g}",
            "bowls": [
                {
                    "number": bowl.number,
                    "step": bowl.step.number,
                    "stage": bowl.step.stage,
                    "item": bowl.addition.ingredient.name,
                    "grams": bowl.grams,
                    "household": bowl.household,
                    "cut": ", ".join(part for part in (bowl.cut, "" if bowl.mm in bowl.cut else bowl.mm) if part),
                }
                for bowl in tray.bowls
            ],
            "vessels": [_ready(r) for r in tray.vessels],
            "tools": [_ready(r) for r in tray.tools],
        }
        for tray in found
    ]


def _ready(ready: Ready) -> dict[str, str]:
    numbers = [str(step.number) for step in ready.steps]
    when = "" if ready.at_min is None else f", from minute {ready.at_min:g}"
    return {"name": ready.name, "steps": ("step " if len(numbers) == 1 else "steps ") + ", ".join(numbers) + when}


def report(
    source: Dish | Meal,
    *,
    by_dish: Sequence[DishMacros],
    of_meal: MealMacros | None,
    plan: Plan,
    cues: Sequence[Cue],
    cautions: Sequence[Caution],
    problems: Sequence[Problem],
    suggestion: Suggestion | None = None,
    schedule: Schedule | None = None,
    shoot: str = "",
) -> str:
    """The pack's report: what must be seen to, macros, cautions, and the overlay as planned."""
    parts = [source.name, "=" * len(source.name), ""]
    parts.append("To see to" if needs_a_person(problems) else "Nothing to see to")
    parts += [format_problem(p) for p in problems]
    parts += ["", "Macros", "------"]
    if of_meal is not None:
        parts += [meal_text(of_meal), ""]
    if suggestion is not None:
        parts += [suggestion_text(suggestion), ""]
    for macros in by_dish:
        parts += [dish_text(macros, beside=of_meal), ""]
    if schedule is not None:
        parts += ["Cook schedule", "-------------", schedule_text(schedule), ""]
    if shoot:
        parts += [shoot, ""]
    parts += ["Allergens", "---------", *allergens_of(source).lines(), ""]
    parts += ["Cautions", "--------"]
    parts += [f"{c.where}: {c.text}".removeprefix(": ") + f"\n  source: {c.source}" for c in printed_cautions(cautions)]
    parts += ["", f"Overlay, {format_clock(plan.length_ms)} as planned", "------------------------------"]
    parts += [f"{format_clock(c.start_ms)}–{format_clock(c.end_ms)}  {' / '.join(c.lines)}" for c in cues]
    return "\n".join(printable(line) for part in parts for line in part.split("\n")) + "\n"
