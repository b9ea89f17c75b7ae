"""What a recipe answers to its cautions. An answer is never silent: it is printed wherever the caution would have been."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

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


def unanswered(cautions: Iterable[tuple[Rule, Dish, Step | None, str, Answer | None]]) -> list[Problem]:
    """The deadly few that the recipe has not answered, each as an error at its step, once: nothing is published before. Of each
    caution its rule, dish, step, printed text and answer."""
    found: dict[tuple[str, str, int], Problem] = {}
    for rule, dish, step, printed, answer in cautions:
        if not rule.deadly or answer is not None:
            continue
        where = f"step {step.number} ({step.id})" if step is not None else dish.name
        found.setdefault(
            (rule.id, dish.file, step.number if step is not None else 0),
            error(
                step.place if step is not None else dish.place, "deadly", f"{where}: {printed}",
                f"change the recipe; or answer it in the file, and the answer is printed: `answered: {{{rule.id}: why it is safe here}}`",
            ),
        )  # fmt: skip
    return list(found.values())


def not_for_them(
    cautions: Iterable[tuple[Rule, Dish, Step | None, str, Answer | None, frozenset[str], set[str]]],
) -> list[Problem]:
    """What those whom a dish is for must not eat, once in a dish, where the recipe has not answered it: an error where its file names
    them, and nothing is published before, else a warning. Of each caution its rule, dish, step, printed text, answer, the eaters who must
    not eat it, and those that files name."""
    found: dict[tuple[str, str], Problem] = {}
    for rule, dish, step, printed, answer, eaters, stated in cautions:
        if not eaters or answer is not None or rule.deadly:
            continue
        where = f"step {step.number} ({step.id})" if step is not None else dish.name
        whom = ", ".join(e for e in rule.not_for if e in eaters)
        safe = f"{rule.safe_when}; or " if rule.safe_when else ""
        said = "`for:`" if eaters & stated else "the texts"
        hint = f"{safe}leave it out; or take them out of {said}; or answer it in the file, and the answer is printed: `answered: {{{rule.id}: why it is safe here}}`"
        told = error if eaters & stated else warning
        found.setdefault(
            (rule.id, dish.file),
            told(step.place if step is not None else dish.place, "not-for-them", f"{where}: the dish is for “{whom}”. {printed}", hint),
        )  # fmt: skip
    return list(found.values())


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
