"""What of an ingredient is a guess that nobody has confirmed (`unsure:`)."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Place, error
from scriptkit.recipe.form_values import DoubtForm
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What of an ingredient is a guess that nobody has confirmed. ``food``, ``amount`` and ``form`` are confidences from 0 to 1;
    None: not in doubt."""

    food: float | None
    amount: float | None
    form: float | None
    read_from: str
    """The words that it was read from; empty: not stated."""
    candidates: tuple[str, ...]
    """Other foods that may be meant, likeliest first."""
    place: Place


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
