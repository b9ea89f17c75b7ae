"""What of an ingredient, of the servings or of a step is a guess that nobody has confirmed (`unsure:`)."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Place, Problem, any_of, error, warning
from scriptkit.recipe.form_values import DoubtForm, ServingsDoubtForm, StepDoubtForm
from scriptkit.recipe.tray import is_tray
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What is a guess that nobody has confirmed. ``food``, ``amount`` and ``form`` of an ingredient, and ``do`` of a step, are
    confidences from 0 to 1; None: not in doubt."""

    food: float | None
    amount: float | None
    form: float | None
    read_from: str
    """The words that it was read from; empty: not stated."""
    candidates: tuple[str, ...]
    """Other foods that may be meant, likeliest first."""
    place: Place
    do: float | None = None
    in_tray: bool = False
    """Whether it is about a step that holds what no step names."""


def read_doubt(bench: FieldParser, at: Path, form: DoubtForm | None) -> Doubt | None:
    """The doubt of an ingredient; one that names nothing is told."""
    if form is None:
        return None
    place = bench.tree.place(*at, key=True)
    if form.food is None and form.amount is None and form.form is None:
        if not any((*at, name) in bench.tree.unread for name in ("food", "amount", "form")):
            hint = "write how sure it is, from 0 to 1: `unsure: {food: 0.3}`; or delete `unsure:`"
            bench.problems.append(error(place, "unsure", "`unsure:` does not say what is in doubt", hint))
        return None
    return Doubt(
        food=form.food,
        amount=form.amount,
        form=form.form,
        read_from=form.read_from,
        candidates=tuple(form.candidates),
        place=place,
    )


SERVINGS = "servings"
"""What a dish's own doubt is about."""


def read_servings_doubt(bench: FieldParser, form: ServingsDoubtForm | None) -> Doubt | None:
    """The doubt about how many a dish serves (its ``amount``), which is told; None where there is none."""
    if form is None:
        return None
    place = bench.tree.place("unsure", key=True)
    doubt = Doubt(food=None, amount=form.servings, form=None, read_from=form.read_from, candidates=(), place=place)
    bench.problems.append(doubt_problem(SERVINGS, doubt))
    return doubt


def read_step_doubt(bench: FieldParser, at: Path, form: StepDoubtForm | None, step_id: str) -> Doubt | None:
    """The doubt about what a step does, which is told; None where there is none."""
    if form is None:
        return None
    place = bench.tree.place(*at, "unsure", key=True)
    doubt = Doubt(
        food=None,
        amount=None,
        form=None,
        read_from=form.read_from,
        candidates=(),
        place=place,
        do=form.do,
        in_tray=is_tray(step_id),
    )
    told = tray_problem if doubt.in_tray else doubt_problem
    bench.problems.append(told(step_title(step_id), doubt))
    return doubt


NAME_ITS_STEP = (
    "write each under `add:` of the step where it goes in, and delete this step; `scriptkit confirm` asks for it"
)
"""What helps where no step names an ingredient."""


def tray_problem(name: str, doubt: Doubt) -> Problem:
    """The warning of a draft's step that holds what no step names; ``name`` is the step's title."""
    why = f"; {doubt.read_from}" if doubt.read_from else ""
    return warning(doubt.place, "unsure", f"{name} holds ingredients that no step names{why}", NAME_ITS_STEP)


def step_title(step_id: str) -> str:
    """What a doubt about a step is called by.

    >>> step_title("cook")
    'step “cook”'
    """
    return f"step “{step_id}”"


def doubt_problem(name: str, doubt: Doubt) -> Problem:
    """The warning that every command prints for what nobody has confirmed; ``name`` as the cook calls it."""
    parts = (
        ("which food it is", doubt.food),
        ("how many" if name == SERVINGS else "how much", doubt.amount),
        ("in which form", doubt.form),
        ("what is done", doubt.do),
    )
    guesses = [f"{what} ({confidence:.0%} sure)" for what, confidence in parts if confidence is not None]
    message = f"{name} {'are' if name == SERVINGS else 'is'} not confirmed: {', '.join(guesses)}"
    if doubt.read_from:
        message += f"; read from “{doubt.read_from}”"
    hint = "if it is right, delete `unsure:`; if not, correct it first"
    if doubt.candidates:
        hint += f" (perhaps {any_of([f'“{c}”' for c in doubt.candidates])})"
    return warning(doubt.place, "unsure", message, hint)
