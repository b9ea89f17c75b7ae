"""A folder of dishes and meals on one page: figures, what goes with what, what is open, and what was published that no longer holds."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from scriptkit.nutrition.macros import words_of_macro
from scriptkit.nutrition.rounding import digits_of
from scriptkit.papers.tables import aligned
from scriptkit.publish.published_record import StaleFigure

SHOWN = ("energy_kcal", "protein_g", "fat_g", "net_carbs_g")


@dataclass(frozen=True, slots=True, kw_only=True)
class LineToReplace:
    """A line of what was published, as it stands there, and as it must read; ``now`` is empty where it is to go."""

    where: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderRecipe:
    """A recipe of the folder. ``figures`` are of a serving, or of the plate of a meal, None where not known; ``open`` are words for what
    is still to be done; ``stale``: published figures that no longer hold, with ``why``, what to ``replace`` and the ``correction`` to show."""

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
    why: str = ""
    replace: tuple[LineToReplace, ...] = ()
    correction: str = ""

    @property
    def open(self) -> tuple[str, ...]:
        """What is still open, in words."""
        if self.errors:
            return (f"{self.errors} error{'s' if self.errors > 1 else ''}: see `scriptkit check {self.file}`",)
        found = [f"unconfirmed: {', '.join(self.unconfirmed)}"] if self.unconfirmed else []
        found += [] if self.filmed else ["not filmed"]
        found += [] if self.published else ["not published"]
        if self.stale:
            one = len(self.stale) == 1
            found.append(f"{len(self.stale)} published figure{' no longer holds' if one else 's no longer hold'}")
        return tuple(found)

    @property
    def shown(self) -> tuple[str, ...]:
        """Its figures as they are printed."""
        return tuple(_figure(n, dict(self.figures).get(n)) for n in SHOWN)

    @property
    def stale_words(self) -> tuple[str, ...]:
        """A line for each published figure that no longer holds: what it was, what it is, by how much."""
        return tuple(map(stale_words, self.stale))


def _figure(nutrient: str, value: float | None) -> str:
    return "unknown" if value is None else f"{value:.{digits_of(nutrient)}f} {nutrient.rsplit('_', 1)[1]}"


def stale_words(one: StaleFigure) -> str:
    """``serving of Leeks: energy was 210 kcal, is 240 kcal (+14 %)``."""
    share = f" ({(one.now - one.was) / one.was:+.0%})".replace("%", " %") if one.was and one.now is not None else ""
    return f"{one.of}: {words_of_macro(one.nutrient)} was {_figure(one.nutrient, one.was)}, is {_figure(one.nutrient, one.now)}{share}"


def correction_words(stale: Sequence[StaleFigure]) -> str:
    """What to say or show under the video; empty where nothing is known to be right."""
    of = "plate" if any(s.of == "plate" for s in stale) else stale[0].of if stale else ""
    known = [s for s in stale if s.of == of and s.now is not None and s.was is not None]
    if not known:
        return ""
    whose = "The plate has" if of == "plate" else f"A {of} has"
    parts = [
        f"{_figure(s.nutrient, s.now)} of {words_of_macro(s.nutrient)}, not {_figure(s.nutrient, s.was)}" for s in known
    ]
    return f"{whose} {'; '.join(parts)}."


def lines_to_replace(where: str, was: str, now: str) -> Iterator[LineToReplace]:
    """The lines of a published text that hold a figure and are others now, each with what it becomes."""
    old, new = was.splitlines(), now.splitlines()
    for kind, a, b, c, d in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind in ("replace", "delete"):
            for n, line in enumerate(old[a:b]):
                becomes = new[c + n] if c + n < d else ""
                if re.search(r"\d", line):
                    yield LineToReplace(where=where, was=line.strip(), now=becomes.strip())


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
    return FolderPage(recipes=tuple(recipes), stale=tuple(r for r in recipes if r.stale), counts=", ".join(words))


def folder_text(page: FolderPage) -> str:
    """The recipes as a table, then every published figure that no longer holds."""
    rows = [
        ("", "energy", "protein", "fat", "net carbs", "open"),
        *((r.title, *r.shown, "; ".join(r.open) or "nothing") for r in page.recipes),
    ]
    lines = [*aligned(rows, right=(1, 2, 3, 4)), "", page.counts]
    for recipe in page.stale:
        lines += ["", f"{recipe.title} ({recipe.file}): published figures no longer hold: {recipe.why}"]
        lines += [f"  {words}" for words in recipe.stale_words]
        for line in recipe.replace:
            lines += [
                f"  {line.where}: replace  {line.was}",
                f"  {' ' * len(line.where)}  with     {line.now or '(nothing)'}",
            ]
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
            "replace": [{"where": line.where, "line": line.was, "with": line.now} for line in r.replace],
        }
        for r in page.recipes
    ]  # fmt: skip
