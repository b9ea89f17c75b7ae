"""A folder of dishes and meals on one page: figures, what goes with what, what is open, and what was published that no longer holds."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.rounding import digits_of
from scriptkit.papers.tables import aligned
from scriptkit.publish.published_record import PLATE, WEIGHT, StaleFigure
from scriptkit.publish.replaced_lines import LineToReplace

BY_HAND = "It was published with your own templates: look through the rest of its texts by hand."
SHOWN = ("energy_kcal", "protein_g", "fat_g", "net_carbs_g")


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderRecipe:
    """A recipe of the folder. ``figures`` are of a serving, or of the plate of a meal, None where not known; ``open`` are words for what
    is still to be done; ``stale``: published figures that no longer hold, ``stale_allergens``: lists of them, with ``why``, what to ``replace``
    and the ``correction`` to show. With ``by_hand`` its texts were of a cook's own making: other lines may say it too."""

    file: str
    title: str
    kind: str
    figures: tuple[tuple[str, float | None], ...] = ()
    dishes: tuple[str, ...] = ()
    """Files of the dishes of a meal."""
    goes_with: tuple[str, ...] = ()
    unconfirmed: tuple[str, ...] = ()
    errors: int = 0
    filmed: bool = False
    published: bool = False
    stale: tuple[StaleFigure, ...] = ()
    stale_allergens: tuple[str, ...] = ()
    why: str = ""
    by_hand: bool = False
    replace: tuple[LineToReplace, ...] = ()
    correction: str = ""

    @property
    def open(self) -> tuple[str, ...]:
        """What is still open, in words."""
        if self.errors:
            return (
                f"{self.errors} error{'s' if self.errors > 1 else ''}: see `scriptkit check {shlex.quote(self.file)}`",
            )
        found = [f"unconfirmed: {', '.join(self.unconfirmed)}"] if self.unconfirmed else []
        found += [] if self.filmed else ["not filmed"]
        found += [] if self.published else ["not published"]
        if self.stale:
            one = len(self.stale) == 1
            found.append(f"{len(self.stale)} published figure{' no longer holds' if one else 's no longer hold'}")
        elif self.stale_allergens:
            found.append("the published allergens no longer hold")
        elif self.replace:
            one = len(self.replace) == 1
            found.append(f"{len(self.replace)} published line{' no longer holds' if one else 's no longer hold'}")
        return tuple(found)

    @property
    def holds(self) -> bool:
        """Whether all that was published still holds."""
        return not (self.stale or self.stale_allergens or self.replace)

    @property
    def heading(self) -> str:
        """What of it no longer holds."""
        if self.stale:
            return "published figures no longer hold"
        return "published allergens no longer hold" if self.stale_allergens else "published lines no longer hold"

    @property
    def shown(self) -> tuple[str, ...]:
        """Its figures as they are printed."""
        return tuple(_figure(n, dict(self.figures).get(n)) for n in SHOWN)

    @property
    def stale_words(self) -> tuple[str, ...]:
        """A line for each published figure that no longer holds: what it was, what it is, by how much."""
        return (*map(stale_words, self.stale), *self.stale_allergens)


def _figure(nutrient: str, value: float | None) -> str:
    digits = 0 if nutrient == WEIGHT else digits_of(nutrient)
    return "unknown" if value is None else f"{value:.{digits}f} {nutrient.rsplit('_', 1)[1]}"


def stale_words(one: StaleFigure) -> str:
    """``serving of Leeks: energy was 210 kcal, is 240 kcal (+14 %)``."""
    share = f" ({(one.now - one.was) / one.was:+.0%})".replace("%", " %") if one.was and one.now is not None else ""
    return f"{one.of}: {words_of_macro(one.nutrient)} was {_figure(one.nutrient, one.was)}, is {_figure(one.nutrient, one.now)}{share}"


def correction_words(stale: Sequence[StaleFigure]) -> str:
    """What to say or show under the video; empty where nothing is known to be right."""
    of = PLATE if any(s.of == PLATE for s in stale) else stale[0].of if stale else ""
    known = [s for s in stale if s.of == of and s.now is not None and s.was is not None]
    if not known:
        return ""
    whose = "The plate" if of == PLATE else f"A {of}"
    has = [
        f"{_figure(s.nutrient, s.now)} of {words_of_macro(s.nutrient)}, not {_figure(s.nutrient, s.was)}"
        for s in known
        if s.nutrient != WEIGHT
    ]
    weighs = [f"weighs {_figure(WEIGHT, s.now)}, not {_figure(WEIGHT, s.was)}" for s in known if s.nutrient == WEIGHT]
    return f"{whose} {'; '.join([*weighs, *([f'has {has[0]}', *has[1:]] if has else [])])}."


def with_meals(recipes: Sequence[FolderRecipe]) -> tuple[FolderRecipe, ...]:
    """Each dish with the meals that serve it and what stands beside it there; a dish of a filmed meal is filmed."""
    titles = {r.file: r.title for r in recipes}
    beside: dict[str, list[str]] = {}
    filmed = {dish for meal in recipes if meal.filmed for dish in meal.dishes}
    for meal in recipes:
        for dish in meal.dishes:
            others = [titles.get(d, d) for d in meal.dishes if d != dish]
            with_them = f", beside {' and '.join(others)}" if others else ""
            beside.setdefault(dish, []).append(f"{meal.title}{with_them}")
    return tuple(
        replace(
            r,
            goes_with=tuple(titles.get(d, d) for d in r.dishes) if r.dishes else tuple(beside.get(r.file, ())),
            filmed=r.filmed or r.file in filmed,
        )
        for r in recipes
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderPage:
    """The values of folder.html."""

    recipes: tuple[FolderRecipe, ...]
    stale: tuple[FolderRecipe, ...]
    counts: str


def folder_page_of(recipes: Sequence[FolderRecipe]) -> FolderPage:
    """The page's values; first what was published and no longer holds."""
    count = len(recipes)
    words = [
        f"{count} recipe{'' if count == 1 else 's'}", f"{sum(r.published for r in recipes)} published", f"{sum(bool(r.unconfirmed) for r in recipes)} unconfirmed",
        f"{sum(bool(r.errors) for r in recipes)} with errors",
    ]  # fmt: skip
    return FolderPage(recipes=tuple(recipes), stale=tuple(r for r in recipes if not r.holds), counts=", ".join(words))


def folder_text(page: FolderPage) -> str:
    """The recipes as a table, then every published figure that no longer holds."""
    rows = [
        ("", "energy", "protein", "fat", "net carbs", "open"),
        *((r.title, *r.shown, "; ".join(r.open) or "nothing") for r in page.recipes),
    ]
    lines = [*aligned(rows, right=(1, 2, 3, 4)), "", page.counts]
    for recipe in page.stale:
        lines += ["", f"{recipe.title} ({recipe.file}): {recipe.heading}: {recipe.why}"]
        lines += [f"  {words}" for words in recipe.stale_words]
        for line in recipe.replace:
            head = f"  {line.where}: "
            if line.was:
                lines += [f"{head}replace  {line.was}", f"{' ' * len(head)}with     {line.now or '(nothing)'}"]
            else:
                lines.append(f"{head}add      {line.now}")
        if recipe.by_hand:
            lines.append(f"  {BY_HAND}")
        if recipe.correction:
            lines.append(f"  show: {recipe.correction}")
    return "\n".join(lines)


def folder_json(page: FolderPage) -> list[dict[str, Any]]:
    """A recipe an entry."""
    return [
        {
            "file": r.file, "title": r.title, "kind": r.kind, "figures": dict(r.figures), "goes_with": list(r.goes_with), "unconfirmed": list(r.unconfirmed),
            "errors": r.errors, "filmed": r.filmed, "published": r.published, "why": r.why, "correction": r.correction,
            "stale": [{"of": s.of, "nutrient": s.nutrient, "was": s.was, "now": s.now} for s in r.stale],
            "stale_allergens": list(r.stale_allergens),
            "replace": [{"where": line.where, "line": line.was, "with": line.now} for line in r.replace],
        }
        for r in page.recipes
    ]  # fmt: skip
