"""What the written shots of a step leave out or get wrong."""

from __future__ import annotations

from collections.abc import Iterator

from scriptkit.measure.durations import format_duration
from scriptkit.problems import Problem, error, nearest, warning
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Dish, Meal, Step
from scriptkit.shoot.plan import SHORTEST_ADDITION_MS, shown_in, spoken, written_shots


def shot_problems(source: Dish | Meal) -> list[Problem]:
    """What the written shots of the steps leave out or get wrong."""
    steps = [step for dish in dishes_of_the_day(source) for step in dish.steps if step.shots]
    return [problem for step in steps for problem in (*_of_problems(step), *_unfilmed(step), *_screen_problems(step))]


def _of_problems(step: Step) -> Iterator[Problem]:
    known = {spoken(name): name for a in step.additions for name in (a.ingredient.key, a.ingredient.name)}
    for shot in step.shots:
        for name in shot.of:
            if spoken(name) not in known:
                meant = nearest(name, known.values(), most=1)
                hint = f"did you mean “{meant[0]}”?" if meant else "name what the step has under `add:`"
                message = f"a shot shows “{name}”, and nothing of that name goes in at step {step.number} ({step.id})"
                yield error(shot.place, "no-such-addition", message, hint)


def _unfilmed(step: Step) -> Iterator[Problem]:
    filmed = {a.number for shot in written_shots(step) for a in shown_in(shot, step)}
    for addition in step.additions:
        accepted = addition.ingredient.key in step.unfilmed
        if written_shots(step) and addition.number not in filmed and not accepted:
            message = f"no shot of step {step.number} ({step.id}) shows {addition.ingredient.name} go in: it cannot be filmed later"
            hint = f"add it to the `of:` of a shot, or write one: `{{of: [{addition.ingredient.key}]}}`"
            yield error(addition.place, "unfilmed-addition", message, hint)


def _screen_problems(step: Step) -> Iterator[Problem]:
    here = f"step {step.number} ({step.id})"
    for shot in step.shots:
        if shot.screen_ms == 0:
            yield error(
                shot.place,
                "no-shot",
                f"a shot of {here} lasts 0 s and shows nothing",
                "give it seconds, or leave it out",
            )
    if not written_shots(step) or step.screen_ms is None:
        return
    too_long = [s for s in written_shots(step) if s.screen_ms is not None and s.screen_ms > step.screen_ms]
    for shot in too_long:
        message = (
            f"a shot of {format_duration(shot.screen_ms or 0)} in {here}, which has {format_duration(step.screen_ms)}"
        )
        yield error(shot.place, "shot-too-long", message, "shorten the shot, or give the step a longer `screen:`")
    shots = written_shots(step)
    stated, open_ended = sum(s.screen_ms or 0 for s in shots), [s for s in shots if s.screen_ms is None]
    least = stated + SHORTEST_ADDITION_MS * len(open_ended)
    if not too_long and least > step.screen_ms:
        message = f"the shots of {here} need {format_duration(least)}, and it has {format_duration(step.screen_ms)}"
        yield error(
            shots[0].place, "shots-too-long", message, f"shorten them by {format_duration(least - step.screen_ms)}"
        )
    if not open_ended and stated < step.screen_ms:
        message = f"{here} has {format_duration(step.screen_ms)} on screen and shots for {format_duration(stated)}"
        hint = f"add a shot for the other {format_duration(step.screen_ms - stated)}, or leave one `screen:` out"
        yield warning(shots[0].place, "no-shot", message, hint)
