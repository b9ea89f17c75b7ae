"""How long what goes in at a step is on the heat: for alcohol that simmers off, and for raw food in a dish made ahead."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.recipe.dish import Dish, Ingredient, Step


def heated_min(steps: Sequence[Step], at: int) -> float | None:
    """Minutes of heat for what goes in at ``steps[at]``, that step's own included; None where it is heated and nothing says
    for how long."""
    hot = [step for step in steps_through(steps, at) if step.reading.heat.on]
    told = sum(step.length_ms for step in hot) / 60_000
    return None if not told and hot else told


def steps_through(steps: Sequence[Step], at: int) -> list[Step]:
    """The steps that what goes in at ``steps[at]`` goes through, that step first.

    It stays in its vessel as long as that is used again, else it moves on into the next step's. A step in another vessel
    meanwhile is another pan's.
    """
    vessel = steps[at].reading.vessel.key
    through = []
    for n, step in enumerate(steps[at:], at):
        here = step.reading.vessel.key or vessel
        if vessel and here != vessel:
            if any(later.reading.vessel.key == vessel for later in steps[n:]):
                continue
            vessel = here
        vessel = vessel or here
        through.append(step)
    return through


def heat_of(dish: Dish, ingredient: Ingredient) -> list[tuple[float, float | None]]:
    """Shares of the ingredient, with the minutes that each is heated; one share with 0 where no step says that it goes in."""
    steps = dish.in_shoot_order
    found = [
        (float(addition.share), heated_min(steps, n))
        for n, step in enumerate(steps)
        for addition in step.additions
        if addition.ingredient is ingredient and addition.share
    ]
    return found or [(1.0, 0.0)]


def goes_in_raw(dish: Dish, ingredient: Ingredient) -> bool:
    """Whether no step heats the ingredient from where it is first handled: it is as raw in the dish as it was bought."""
    steps = dish.in_shoot_order
    handled = [
        n for n, s in enumerate(steps) if ingredient in s.uses or any(a.ingredient is ingredient for a in s.additions)
    ]
    return not any(step.reading.heat.on for step in steps[handled[0] :]) if handled else True
