"""The ingredient ledger: what is listed must be used, what is used must be listed, and the parts must make the whole."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from fractions import Fraction

from scriptkit.problems import Problem, any_of, error, nearest, note, warning
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.recipe.step_graph import (
    carried_without_from,
    graph_of,
    heaviest_addition,
    named_without_from,
    names_an_ingredient,
    takes_over_too_early,
)

TOLERANCE = Fraction(2, 100)
"""Parts may miss the whole by this much: a spoon is no finer (common practice, no source)."""

_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")


def ledger_problems(dish: Dish) -> list[Problem]:
    """Every finding of every check in ``CHECKS``."""
    return [problem for check in CHECKS for problem in check(dish)]


def _parts(dish: Dish) -> dict[str, list[tuple[Step, Addition]]]:
    parts = defaultdict(list)
    for step in dish.steps:
        for addition in step.additions:
            parts[addition.ingredient.key].append((step, addition))
    return parts


def _misspelt(dish: Dish) -> set[str]:
    """Ingredients that a name which is not listed was likely meant to be: what is told of that name is enough."""
    unlisted = {m.key for step in dish.steps for m in step.mentions if m.key not in dish.listed}
    return {near for key in unlisted for near in nearest(key, dish.listed, most=1)}


def listed_never_used(dish: Dish) -> Iterator[Problem]:
    """An error where no step uses it; a warning where it is got ready and never goes in."""
    misspelt = _misspelt(dish)
    added = {m.key for step in dish.steps for m in step.mentions if m.where == "add"}
    handled = {m.key for step in dish.steps for m in step.mentions if m.where == "uses"}
    for ingredient in dish.ingredients if dish.steps and dish.steps_readable else ():
        if ingredient.key in added or ingredient.key in misspelt or ingredient.taken_over:
            continue
        if ingredient.key in handled:
            yield warning(
                ingredient.place,
                "never-added",
                f"{ingredient.name} is got ready and never goes in",
                "put it under `add:` of the step it goes in at",
            )
        else:
            yield error(
                ingredient.place,
                "never-used",
                f"{ingredient.name} is listed and no step uses it",
                "put it under `add:` of a step, or take it off the list",
            )


def used_not_listed(dish: Dish) -> Iterator[Problem]:
    """Names in steps that the list of ingredients does not have, each with the likely spelling."""
    for step in dish.steps:
        for mention in step.mentions:
            if mention.key not in dish.listed:
                meant = nearest(mention.key, dish.listed, most=1)
                yield error(
                    mention.place, "not-listed", f"step {step.number} ({step.id}) uses “{mention.key}”, which is not listed",
                    f"did you mean “{meant[0]}”?" if meant else f"list it under `ingredients:` with its amount: `{mention.key}: 30 g`",
                )  # fmt: skip


def parts_do_not_add_up(dish: Dish) -> Iterator[Problem]:
    """Parts of an ingredient that make more or less than the whole by over 2 %; to taste, nothing is counted."""
    misspelt = _misspelt(dish)
    for parts in _parts(dish).values():
        ingredient = parts[0][1].ingredient
        shares = [addition.share for _, addition in parts]
        if ingredient.to_taste or any(share is None for share in shares):
            continue
        total = sum((share for share in shares if share is not None), Fraction(0))
        steps = any_of([f"step {step.number}" for step, _ in parts]).replace(" or ", " and ")
        last = parts[-1][1]
        if last.share == 0 and last.words.casefold() in ("rest", "the rest", "remaining"):
            yield error(
                last.place,
                "used-twice",
                f"no {ingredient.name} is left for the rest at step {parts[-1][0].number}",
                "write the parts out",
            )
        elif total > 1 + TOLERANCE and any(share == 1 for share in shares):
            at, again = next((s, a) for n, (s, a) in enumerate(parts) if n and a.share) if len(parts) > 1 else parts[-1]
            yield error(
                again.place,
                "used-twice",
                f"all the {ingredient.name} goes in, and then more of it ({steps})",
                f"where step {at.number} goes on with what step {parts[0][0].number} made, write `from: {parts[0][0].id}` there "
                f"in place of the {ingredient.name}; else write how much goes in each time, or `rest`",
            )
        elif total > 1 + TOLERANCE or (
            total < 1 - TOLERANCE and dish.steps_readable and ingredient.key not in misspelt
        ):
            whole = f"{ingredient.amount}"
            yield error(
                last.place, "parts", f"{ingredient.name}: {float(total):.0%} of the {whole} goes in at {steps}",
                f"the parts must make {whole}: " + ("use `rest` for the last one" if total < 1 else "make them smaller, or list more"),
            )  # fmt: skip


def added_before_prepared(dish: Dish) -> Iterator[Problem]:
    """What goes in at a step before the one that first gets it ready."""
    first_added = {key: parts[0] for key, parts in _parts(dish).items()}
    prepared: set[str] = set()
    for step in dish.steps:
        for used in step.uses if step.stage == "prep" else ():
            again = used.key in prepared  # the rest of it may be got ready later
            prepared.add(used.key)
            if not again and used.key in first_added and first_added[used.key][0].number < step.number:
                at, addition = first_added[used.key]
                yield error(
                    addition.place, "before-prepared", f"{used.name} goes in at step {at.number} and is got ready only at step {step.number}",
                    f"move step {step.number} ({step.id}) before step {at.number}",
                )  # fmt: skip


def not_connected(dish: Dish) -> Iterator[Problem]:
    """A step whose words name what went in at an earlier one that it does not take over; a cook step that names nothing that it works
    on; and in a file that uses `from:`, work that no step goes on with."""
    for earlier, step in named_without_from(dish):
        [heaviest] = heaviest_addition(earlier)
        named = names_an_ingredient(step, heaviest.ingredient)
        what = f"the {heaviest.ingredient.name} of" if named else "what was got ready at"
        yield warning(
            step.place,
            "not-connected",
            f"step {step.number} ({step.id}) speaks of {what} step {earlier.number} ({earlier.id}), and does not say that it "
            "goes on with it",
            f"write `from: {earlier.id}` at step {step.number}",
        )
    if carried := carried_without_from(dish):
        step, ready = carried[0][1], [earlier for earlier, _ in carried]
        names = " and ".join(f"step {one.number} ({one.id})" for one in ready)
        ids = ready[0].id if len(ready) == 1 else f"[{', '.join(one.id for one in ready)}]"
        some = "" if len(ready) == 1 else ", and of these only what it goes on with"
        yield note(
            step.place,
            "not-connected",
            f"step {step.number} ({step.id}) names nothing that it works on, so it is counted as going on with {names}",
            f"write `from: {ids}` at step {step.number}{some}",
        )
    if not any(step.takes for step in dish.steps) or takes_over_too_early(dish.steps):
        return
    graph = graph_of(dish)
    ends = [s for s in dish.steps if not any(e.takes for e in graph.out_of[s.number])]
    for step in ends[:-1]:
        if (step.additions or step.takes) and not step.reading.plates_up:
            yield warning(
                step.place,
                "not-connected",
                f"no step goes on with step {step.number} ({step.id})",
                f"write `from: {step.id}` at the step that it goes into",
            )


def no_steps(dish: Dish) -> Iterator[Problem]:
    """A dish with ingredients and no steps at all."""
    if dish.ingredients and not dish.steps and dish.steps_readable:
        yield warning(
            dish.place,
            "no-steps",
            "the dish has no steps: no shoot list, bowls or captions come of it",
            "write `steps:` and under it `- {stage: cook, do: Soften the leek., add: leek}`, one line a step",
        )


def narration_names_known(dish: Dish) -> Iterator[Problem]:
    """An error where ``{name}`` in `say:` is not listed; a warning where it does not go in at that step."""
    for step in dish.steps:
        here = {mention.key for mention in step.mentions}
        for name in _PLACEHOLDER.findall(step.say):
            if name not in dish.listed:
                meant = nearest(name, dish.listed, most=1)
                yield error(
                    step.say_place,
                    "say-unknown",
                    f"the narration names {{{name}}}, which is not listed",
                    f"did you mean {{{meant[0]}}}?" if meant else "use an ingredient's key",
                )
            elif name not in here:
                yield warning(
                    step.say_place,
                    "say-elsewhere",
                    f"the narration gives the amount of {name}, which does not go in at step {step.number}",
                    "say it at the step where it goes in",
                )


CHECKS: tuple[Callable[[Dish], Iterator[Problem]], ...] = (
    listed_never_used,
    used_not_listed,
    parts_do_not_add_up,
    added_before_prepared,
    no_steps,
    narration_names_known,
)
