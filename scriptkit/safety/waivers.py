"""What a recipe answers to its cautions. An answer is never silent: it is printed wherever the caution would have been."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.problems import Problem, any_of, error, nearest, note, warning
from scriptkit.recipe.dish import Answer, Dish, Step
from scriptkit.safety.rules import Rule, rule_ids

NEVER = frozenset({"local-code"})
"""Rules that cannot be answered."""


def answer_to(rule: Rule, dish: Dish, step: Step | None) -> Answer | None:
    """The recipe's answer to the rule at the step: the step's own goes before the dish's."""
    here = [a for a in dish.answered if a.rule == rule.id and rule.id not in NEVER]
    own = [a for a in here if step is not None and a.step == step.number]
    return next(iter([*own, *(a for a in here if a.step is None)]), None)


def answered_text(rule: Rule, printed: str, reason: str) -> str:
    """What stands on the papers in place of an answered caution; a published figure stays beside the answer."""
    said = f"the cook answers: “{reason}”"
    if rule.severity == "safety":
        return f"{printed} Not shown in the film; {said}."
    return f"{rule.title}: left out here; {said}."


def answer_problems(dish: Dish, told: Sequence[tuple[Rule, Step | None]]) -> Iterator[Problem]:
    """Every answer of the dish: those that answer nothing, and, as notes, those that do. ``told``: the cautions that hold."""
    for answer in dish.answered:
        if answer.rule not in rule_ids():
            meant = nearest(answer.rule, rule_ids())
            hint = f"did you mean {any_of(meant)}?" if meant else f"the rules are {', '.join(rule_ids())}"
            yield error(answer.place, "no-such-rule", f"there is no rule called “{answer.rule}”", hint)
        elif answer.rule in NEVER:
            yield error(answer.place, "not-answerable", f"“{answer.rule}” cannot be answered", "take the answer out")
        elif not any(
            rule.id == answer.rule and (answer.step is None or (step is not None and step.number == answer.step))
            for rule, step in told
        ):
            where = "this step" if answer.step else "this dish"
            yield warning(
                answer.place, "answers-nothing", f"“{answer.rule}” is not told of {where}", "take the answer out"
            )
        else:
            yield note(
                answer.place, "answered", f"“{answer.rule}” is not shown, as you answer: “{answer.reason}”",
                "the papers print the answer where the caution would have been",
            )  # fmt: skip
