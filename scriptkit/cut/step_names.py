"""Steps by the names that people give them: an id, a number, what is done; with the dish's name where two could be meant."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.problems import any_of, nearest
from scriptkit.recipe.dish import Dish, Meal, Step
from scriptkit.shoot.log.log_cells import folded
from scriptkit.shoot.plan import STEP, plan_of

Pair = tuple[Dish, Step]


class NotAStep(ValueError):
    """A name that is of no step, or of several; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint


def steps_of(source: Dish | Meal) -> list[Pair]:
    """Every step with its dish, in the order in which the recipe cooks them; those without a picture too."""
    plan = plan_of(source)
    planned = [(s.dish, s.step) for s in plan.segments if s.kind == STEP and s.dish and s.step]
    seen = {step.place for _, step in planned}
    return planned + [(d, s) for d in plan.dishes for s in d.in_shoot_order if s.place not in seen]


class StepNames:
    """The steps that a name may mean."""

    def __init__(self, pairs: Sequence[Pair]) -> None:
        self.pairs = pairs

    def find(self, name: str, dish: str = "") -> Pair:
        """Raises NotAStep."""
        among = [p for p in self.pairs if not dish or folded(dish) in (folded(p[0].name), folded(p[0].short))]
        if not among:
            known = list(dict.fromkeys(p[0].name for p in self.pairs))
            raise NotAStep(f"no dish “{dish}” is cooked here", f"there is {any_of(known)}")
        wanted = _plain(name)
        found = [p for p in among if _plain(p[1].id) == wanted]
        found = found or [p for p in among if wanted.removeprefix("step ").strip() == str(p[1].number)]
        found = found or [p for p in among if _plain(p[1].do).rstrip(".") == wanted.rstrip(".")]
        if len(found) == 1:
            return found[0]
        if found:
            raise NotAStep(f"“{name}” is a step of {any_of([d.name for d, _ in found])}", "name the dish too")
        ids = [p[1].id for p in among]
        meant = nearest(name, ids)
        hint = f"did you mean {any_of(meant)}?" if meant else f"there is {any_of(ids[:8])}"
        raise NotAStep(f"no step “{name}” is in this recipe", hint)


def _plain(text: str) -> str:
    return folded(text).replace("-", " ")
