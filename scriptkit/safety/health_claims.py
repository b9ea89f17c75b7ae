"""Claims about nutrition and health: *high protein*, *low-carb*, *keto*; held against published conditions where there are any."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.data_files import Shape, made_of_entries, shape_of
from scriptkit.measure.unit_system import US
from scriptkit.nutrition.macros import Macros, words_of_macro
from scriptkit.pattern_cache import kept_patterns
from scriptkit.problems import Problem, note, warning
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.safety.allergens import LIST_NAMES, foods_in
from scriptkit.safety.promises import Promise, promises

KCAL_PER_G = {"fat_g": 9.0, "saturated_g": 9.0, "protein_g": 4.0}
"""21 CFR 101.9(c)(1); Regulation (EU) 1169/2011, Annex XIV."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthFigure:
    """One figure of a condition: of ``nutrient`` per ``per``, a ``bound`` (at_most, below, at_least) and its limit."""

    nutrient: str
    per: str
    bound: str
    limit: float

    def of(self, serving: Macros) -> float | None:
        """The dish's figure in the nutrient's unit, of the energy in %; None where there is nothing to divide by, or a part of it is
        unknown and what is known does not settle it: of what must be little, the known part may be too much already."""
        if self.per == "serving":
            return self._settled(serving)
        if self.per == "100 g":
            return self._settled(serving.weighing(100.0)) if serving.weight_g else None
        amount, kcal = serving.figure(self.nutrient), serving.figure("energy_kcal")
        if amount is None or not kcal:
            return None
        return amount / kcal * 100 if self.per == "100 kcal" else amount * KCAL_PER_G[self.nutrient] / kcal * 100

    def _settled(self, food: Macros) -> float | None:
        figure, known = food.figure(self.nutrient), food.at_least(self.nutrient)
        return known if figure is None and self.bound != "at_least" and not self.holds(known) else figure

    def holds(self, figure: float) -> bool:
        """Whether the figure that :meth:`of` found keeps the limit."""
        slack = 1e-9
        if self.bound == "at_least":
            return figure >= self.limit - slack
        return figure < self.limit if self.bound == "below" else figure <= self.limit + slack

    def words(self, figure: float | None = None) -> str:
        """``protein at least 20 % of the energy``; of a dish's ``figure``: ``protein 17 % of the energy``."""
        unit = "%" if self.per == "energy" else self.nutrient.rsplit("_", 1)[1]
        per = {"energy": "of the energy", "serving": "a serving"}.get(self.per, f"per {self.per}")
        shown = f"{self.limit:g}" if figure is None else f"{figure:.1f}".removesuffix(".0")
        bound = f"{self.bound.replace('_', ' ')} " if figure is None else ""
        return f"{words_of_macro(self.nutrient)} {bound}{shown} {unit} {per}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What a published list asks of a claim: EU or US, with its source."""

    list: str
    source: str
    every: bool
    """Whether all of its figures must hold, or one of them."""
    figures: tuple[HealthFigure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthClaim:
    """A claim and what it may be said of; see health_claims.yaml."""

    id: str
    pattern: re.Pattern[str]
    conditions: tuple[Condition, ...]
    figures: tuple[str, ...]
    not_foods: frozenset[str]
    source: str
    instead: str
    grave: bool


@functools.cache
def claims() -> tuple[HealthClaim, ...]:
    """Every row of health_claims.yaml, in its order; read once. Raises BadDataFile."""
    return tuple(made_of_entries("scriptkit.safety", "health_claims.yaml", _shape(), _claim))


_BOUNDS = ("at_most", "below", "at_least")


def _shape() -> Shape:
    figure = shape_of(HealthFigure, called={"bound": "", "limit": ""}, optional=_BOUNDS)
    condition = shape_of(Condition, called={"every": "need"}, inside={"figures": figure})
    may = ("conditions", "figures", "not_foods", "source", "instead", "grave")
    return shape_of(HealthClaim, called={"pattern": "claim"}, optional=may, inside={"conditions": condition})


def _claim(row: dict[str, Any]) -> HealthClaim:
    return HealthClaim(
        id=row["id"],
        pattern=kept_patterns().compiled(rf"\b(?:{row['claim']})(?!\w)", re.IGNORECASE),
        conditions=tuple(
            Condition(
                list=one["list"],
                source=one["source"],
                every=one["need"] == "all",
                figures=tuple(_figure(f) for f in one["figures"]),
            )
            for one in row.get("conditions", ())
        ),
        figures=tuple(row.get("figures", ())),
        not_foods=frozenset(row.get("not_foods", ())),
        source=row.get("source", ""),
        instead=row.get("instead", ""),
        grave=row.get("grave", False),
    )


def _figure(row: dict[str, Any]) -> HealthFigure:
    (bound,) = (b for b in _BOUNDS if b in row)
    return HealthFigure(nutrient=row["nutrient"], per=row["per"], bound=bound, limit=float(row[bound]))


@functools.cache
def _any_claim() -> re.Pattern[str]:
    return kept_patterns().compiled("|".join(one.pattern.pattern for one in claims()), re.IGNORECASE)


def claim_problems(source: Dish | Meal, eaten: Macros) -> list[Problem]:
    """Claims in the texts of a dish or a meal that its figures do not bear (of a US kitchen by the US list, else by both), that no figure can bear, or for which nothing is
    published. ``eaten`` is what one person eats of it. A claim that a published condition bears is no problem; one said of an ingredient (*low-fat yoghurt*) is its own."""
    own = source.ingredients if isinstance(source, Dish) else [i for _, i in foods_in(source)]
    if not all(i.readable for i in own) or not next(promises(source, _any_claim(), own), None):
        return []  # of a dish that could not be read, no figure is sure
    found: list[Problem] = []
    for claim in claims():
        for promise in promises(source, claim.pattern, own):
            if not promise.of:
                found += _held(claim, promise, eaten, source)
    return list(dict.fromkeys(found))


def _held(claim: HealthClaim, promise: Promise, serving: Macros, source: Dish | Meal) -> Iterator[Problem]:
    said = f"“{promise.words}”"
    for condition in (
        c for c in claim.conditions if source.units != US or c.list == US
    ):  # a US kitchen has the US list
        yield from _against(condition, said, promise, serving)
    if claim.not_foods:
        sweet = [name for name, i in foods_in(source) if {i.food.name, i.food.category} & claim.not_foods]
        if sweet:
            yield warning(promise.place, "claim", f"{said} is said, and {', '.join(dict.fromkeys(sweet))} goes in",
                          f"take the claim out ({claim.source})")  # fmt: skip
    lacking = [words_of_macro(n) for n in claim.figures if serving.figure(n) is None]
    if lacking:
        yield warning(promise.place, "claim-unknown", f"{said} is said, and {', '.join(lacking)} is not known: {claim.instead}",
                      "give the foods that lack it a label under `foods:`, or take the claim out")  # fmt: skip
    elif claim.instead and claim.grave:
        yield warning(promise.place, "claim", f"{said}: {claim.instead}", "take it out")
    elif claim.instead:
        figures = ", ".join(f"{serving.figure(n):.1f} g {words_of_macro(n)}" for n in claim.figures)
        beside = (
            f"a serving holds {figures}; the cards and the description print it" if figures else "say what is meant"
        )
        yield note(promise.place, "claim-no-condition", f"{said}: {claim.instead}", beside)


def _against(condition: Condition, said: str, promise: Promise, serving: Macros) -> Iterator[Problem]:
    figures = [(f, f.of(serving)) for f in condition.figures]
    known = [(f, value) for f, value in figures if value is not None]
    kept = [f.holds(value) for f, value in known]
    wanted = (" and " if condition.every else " or ").join(f.words() for f in condition.figures)
    name = LIST_NAMES[condition.list]
    if (not condition.every and any(kept)) or (condition.every and len(known) == len(figures) and all(kept)):
        return
    if (condition.every and not all(kept)) or (known and len(known) == len(figures)):
        has = " and ".join(f.words(value) for f, value in known)
        yield warning(promise.place, "claim", f"{said} is said; for it {name} wants {wanted}, and this has {has}",
                      f"take the claim out, or say the figure instead ({condition.source}; from memory)")  # fmt: skip
        return
    lacking = [words_of_macro(f.nutrient) for f, value in figures if value is None]
    yield warning(promise.place, "claim-unknown", f"{said} is said; for it {name} wants {wanted}, and {', '.join(_once(lacking))} is not known",
                  f"give the foods that lack it a label under `foods:`, or take the claim out ({condition.source}; from memory)")  # fmt: skip


def _once(words: Sequence[str]) -> list[str]:
    return list(dict.fromkeys(words))
