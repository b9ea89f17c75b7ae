"""A dish or meal before and after a change, side by side: what a serving and a plate have, and what else changes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.basis import Basis
from scriptkit.nutrition.display_figures import interval_words
from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.nutrition.rounding import digits_of, print_one
from scriptkit.papers.still_said import still_said
from scriptkit.papers.tables import aligned
from scriptkit.problems import Problem, Severity
from scriptkit.recipe.dish import Meal

if TYPE_CHECKING:
    from scriptkit.cut.claims.promised import PromisedFigure
    from scriptkit.production import Production
    from scriptkit.safety.allergens import Allergens, FoundAllergen

FIGURES = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedFigure:
    """One figure of a serving or plate; None where it is not known."""

    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """``of``: *a serving of …*, *the plate*."""

    of: str
    before_g: float
    after_g: float
    figures: tuple[ComparedFigure, ...]
    text: tuple[tuple[str, str, str, str], ...]
    """A row each: what it is, before, after, the difference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """``also``: what else changes, a line each."""

    title: str
    compared: tuple[Comparison, ...]
    also: tuple[str, ...]


def what_if_of(before: Production, after: Production, basis: Basis = Basis.US) -> WhatIf:
    """The comparison. Raises CannotDo where one of them cannot be computed."""
    compared = []
    for was, now in zip(before.macros.dishes, after.macros.dishes, strict=True):
        compared.append(
            _compared(
                f"a serving of {now.dish.name} (1 of {_count(was.dish.servings, now.dish.servings)})",
                was.serving,
                now.serving,
                basis,
            )
        )
    if before.macros.meal is not None and after.macros.meal is not None:
        compared.append(_compared("the plate", before.macros.meal.plate, after.macros.meal.plate, basis))
    return WhatIf(title=after.source.name, compared=tuple(compared), also=tuple(_also(before, after)))


def _count(was: float, now: float) -> str:
    return f"{now:g}" if was == now else f"{was:g} → {now:g}"


def _compared(of: str, was: Macros, now: Macros, basis: Basis) -> Comparison:
    old, new = print_one(was, basis=basis), print_one(now, basis=basis)
    figures = tuple(ComparedFigure(name=n, before=old.figures[n], after=new.figures[n]) for n in FIGURES)
    rows = [
        ("weight", format_grams(was.weight_g), format_grams(now.weight_g), _more(now.weight_g - was.weight_g, 0, "g"))
    ]
    for one in figures:
        by = (
            ""
            if one.before is None or one.after is None
            else _more(one.after - one.before, digits_of(one.name), one.name.rsplit("_", 1)[1])
        )
        rows.append((words_of_macro(one.name), old.text(one.name, unit=True), new.text(one.name, unit=True), by))
    return Comparison(of=of, before_g=was.weight_g, after_g=now.weight_g, figures=figures, text=tuple(rows))


def _more(difference: float, digits: int, unit: str) -> str:
    return "same" if round(difference, digits) == 0 else f"{difference:+.{digits}f} {unit}"


def _also(before: Production, after: Production) -> Iterator[str]:
    yield from _allergens(before.allergens, after.allergens)
    yield from _cautions(before, after)
    old = {(p.nutrient, p.bound, p.figure): p for p in before.promised}
    for promise in after.promised:
        was = old.get((promise.nutrient, promise.bound, promise.figure))
        if was is not None and was.verdict != promise.verdict:
            yield f"promise “{promise.text}”: {_judged(was)} → {_judged(promise)}"
    yield from _problems(before, after)
    yield from _weighed(before, after)
    yield from still_said(before, after)
    if before.total_time != after.total_time:
        yield f"times are those of {_eaters(before)}: a larger batch takes longer to heat and to brown"
    elif _eaters(before) != _eaters(after):
        yield f"times, heat and vessels stay those for {_eaters(before)}"


def _judged(promise: PromisedFigure) -> str:
    """Its verdict, and the interval that it was held against, or the figure where that is narrow."""
    likely = interval_words(promise.nutrient, promise.has, promise.low, promise.high)
    unit = promise.nutrient.rsplit("_", 1)[1]
    return f"{promise.verdict} ({likely or f'{promise.has:.{digits_of(promise.nutrient)}f} {unit}'})"


def _weighed(before: Production, after: Production) -> Iterator[str]:
    """A batch that was weighed is the old one's where other food goes in."""
    for was, now in zip(before.dishes, after.dishes, strict=True):
        same = [i.food.name for i in was.ingredients] == [i.food.name for i in now.ingredients]
        if not same and not now.cooked_estimated:
            yield f"{now.name}: `cooked_weight:` is of the batch as it was; weigh it again"


def _eaters(production: Production) -> str:
    source = production.source
    return f"{source.plates} plates" if isinstance(source, Meal) else f"{source.servings:g} servings"


def _allergens(was: Allergens, now: Allergens) -> Iterator[str]:
    """What is gone for certain, what may still be there, and what came. Where a food's allergens are not known, none is certainly gone."""
    had, has = _entries(was, may=False), _entries(now, may=False)
    had_maybe, has_maybe = _entries(was, may=True) - had, _entries(now, may=True) - has
    not_known = list(dict.fromkeys((*now.unknown, *now.unconfirmed, *now.check_label)))
    for word in sorted((had | had_maybe) - has):
        left = "no longer in it" if word in had else "it may no longer contain"
        if word in has_maybe:
            if word in had:
                yield f"allergen that may still be in it, check the label: {word} ({_by(now, word)})"
        elif not_known:
            yield f"allergen no longer found in what is known: {word}; not known of {' and '.join(not_known)}, check the label"
        else:
            yield f"allergen {left}: {word}"
    yield from (f"allergen now in it: {word}" for word in sorted(has - had))
    yield from (
        f"allergen that may be in it now, check the label: {word} ({_by(now, word)})"
        for word in sorted(has_maybe - had - had_maybe)
    )
    if new := [n for n in not_known if n not in (*was.unknown, *was.unconfirmed, *was.check_label)]:
        yield f"allergens not known of {' and '.join(new)}: check the label"


def _entries(found: Allergens, *, may: bool) -> set[str]:
    """Entries of both lists; of one that holds several foods each kind for itself: another nut is another allergen."""
    lists = (one.may_contain if may else one.contains for one in (found.us, found.eu))
    return {word for of_list in lists for a in of_list for word in _words_of(a)}


def _words_of(one: FoundAllergen) -> list[str]:
    return [f"{one.name}: {kind}" for kind in one.kinds] or [one.name]


def _by(found: Allergens, word: str) -> str:
    """Which ingredients may bring it."""
    names = [n for of_list in (found.us, found.eu) for a in of_list.may_contain if word in _words_of(a) for n in a.by]
    return ", ".join(dict.fromkeys(names))


def _cautions(before: Production, after: Production) -> Iterator[str]:
    was = {(c.rule.id, c.dish.file, c.step.id if c.step else ""): c.printed or c.spoken for c in before.cautions}
    now = {(c.rule.id, c.dish.file, c.step.id if c.step else ""): c.printed or c.spoken for c in after.cautions}
    for key, text in now.items():
        at = f" at {key[2]}" if key[2] else ""
        if key not in was:
            yield f"new caution{at}: {text}"
        elif was[key] != text:
            yield f"caution{at} now: {text}"
    yield from (
        f"caution no longer needed{f' at {key[2]}' if key[2] else ''}: {text}"
        for key, text in was.items()
        if key not in now
    )


_FIGURES_IN_WORDS = re.compile(r"\d+(?:[.,/]\d+)*")


def _problems(before: Production, after: Production) -> Iterator[str]:
    """What is no longer a problem, what still is in other words, and what is one now. Notes ask for nothing and are left out."""
    was, now = _to_mend(before), _to_mend(after)
    gone = [p for p in was if all(_words(p) != _words(q) for q in now)]
    new = [p for p in now if all(_words(p) != _words(q) for q in was)]
    same_lines = {f: len(lines) for f, lines in before.files.items()} == {
        f: len(lines) for f, lines in after.files.items()
    }
    for alike in (_but_figures, _by_place) if same_lines else (_but_figures,):
        for one in tuple(new):
            if (old := next((p for p in gone if alike(p) == alike(one)), None)) is not None:
                gone.remove(old)
                new.remove(one)
                yield f"still a problem: {_words(one)}"
    yield from (f"no longer a problem: {_words(p)}" for p in gone)
    yield from (f"new problem: {_words(p)}" for p in new)


def _to_mend(production: Production) -> list[Problem]:
    by_words = {_words(p): p for p in production.problems if p.severity is not Severity.NOTE}
    return list(by_words.values())


def _words(problem: Problem) -> str:
    return f"{problem.message} [{problem.code}]"


def _but_figures(problem: Problem) -> tuple[str, str]:
    """The same of two messages that differ in nothing but figures."""
    return problem.code, _FIGURES_IN_WORDS.sub("#", problem.message)


def _by_place(problem: Problem) -> tuple[str, str, int]:
    return problem.code, problem.place.file, problem.place.line


def what_if_text(view: WhatIf) -> str:
    """The tables one under the other, then what else changes."""
    lines = [view.title]
    for one in view.compared:
        rows = [(one.of, "before", "after", ""), *one.text]
        lines += ["", *aligned(rows, right=(1, 2, 3))]
    if view.also:
        lines += ["", "What else changes", *(f"  {line}" for line in view.also)]
    return "\n".join(lines)


def what_if_json(view: WhatIf) -> dict[str, Any]:
    """The same for a program; figures as they are printed, None where not known."""
    return {
        "title": view.title,
        "compared": [
            {
                "of": c.of,
                "before": {"weight_g": round(c.before_g, 1), **{f.name: f.before for f in c.figures}},
                "after": {"weight_g": round(c.after_g, 1), **{f.name: f.after for f in c.figures}},
            }
            for c in view.compared
        ],
        "also": list(view.also),
    }
