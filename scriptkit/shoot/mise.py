"""Mise en place: a tray for each dish, a bowl for each addition in order of use, and what else must lie ready."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.measure.amounts import Kind, format_grams
from scriptkit.pantry.household import household_amount
from scriptkit.recipe.dish import Addition, Dish, Meal, Step
from scriptkit.shoot.plan import dishes_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowl:
    """One addition, ready to go in. ``number`` is its place on the tray, in order of use from 1."""

    number: int
    step: Step
    addition: Addition
    grams: str
    household: str
    cut: str
    mm: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """A vessel or tool, and the steps it is needed at, in order of first use."""

    name: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    dish: Dish
    bowls: tuple[Bowl, ...]
    vessels: tuple[Ready, ...]
    tools: tuple[Ready, ...]


def trays_of(source: Dish | Meal) -> tuple[Tray, ...]:
    return tuple(_tray(dish) for dish in dishes_of(source))


def _tray(dish: Dish) -> Tray:
    steps = dish.in_shoot_order
    used = [(step, addition) for step in steps for addition in step.additions]
    bowls = tuple(
        Bowl(
            number=n,
            step=step,
            addition=addition,
            grams=grams_text(addition),
            household=household_text(addition),
            cut=addition.ingredient.prep,
            mm="" if addition.ingredient.mm is None else f"{addition.ingredient.mm:g} mm",
        )
        for n, (step, addition) in enumerate(used, 1)
    )
    return Tray(
        dish=dish,
        bowls=bowls,
        vessels=_ready([(step.vessel, step) for step in steps if step.vessel]),
        tools=_ready([(tool, step) for step in steps for tool in step.tools]),
    )


def _ready(uses: list[tuple[str, Step]]) -> tuple[Ready, ...]:
    steps: dict[str, list[Step]] = {}
    names: dict[str, str] = {}
    for name, step in uses:
        names.setdefault(name.casefold(), name)
        steps.setdefault(name.casefold(), []).append(step)
    return tuple(Ready(name=names[key], steps=tuple(found)) for key, found in steps.items())


def grams_text(addition: Addition) -> str:
    """``30 g``, or ``to taste``."""
    return "to taste" if addition.grams is None else format_grams(addition.grams)


def household_text(addition: Addition) -> str:
    """As the cook wrote it where that was no weight, else about how many cups or spoons; empty where nothing tells."""
    ingredient = addition.ingredient
    if ingredient.to_taste or addition.grams is None:
        return ""
    if addition.amount is not None and addition.amount.kind is not Kind.MASS:
        return str(addition.amount)
    about = household_amount(ingredient.food, addition.grams, ingredient.state)
    return f"about {about}" if about else ""
