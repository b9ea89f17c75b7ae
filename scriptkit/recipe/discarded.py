"""What of an ingredient nobody eats: left in the pan, strained out, or poured off with its juices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scriptkit.measure.amounts import Kind
from scriptkit.measure.numbers import NotANumber, split_number
from scriptkit.pantry.food import Food
from scriptkit.pantry.weighing import CannotWeigh, weigh_or_estimate
from scriptkit.problems import Problem, error
from scriptkit.recipe.cooking import POURED_OFF, CookedIngredient
from scriptkit.recipe.dish import Ingredient, Step
from scriptkit.recipe.forms import IngredientForm
from scriptkit.recipe.step_graph import StepGraph
from scriptkit.recipe.takeovers import SHARES, Takeover
from scriptkit.recipe.value_parser import FieldParser
from scriptkit.recipe.yamltree import Path


def lost_shares(
    bench: FieldParser, at: Path, form: IngredientForm, food: Food, grams: float | None
) -> tuple[float, float]:
    """Shares of the ingredient, 0 to 1, that are left in the pan and strained out; together no more than the whole."""
    left, strained = (
        0.0 if text is None else _share(bench, (*at, name), text, form, food, grams)
        for name, text in (("left_in_pan", form.left_in_pan), ("strained_out", form.strained_out))
    )
    if left + strained > 1 + 1e-9:
        _too_much(bench, (*at, "strained_out" if strained <= 1 else "left_in_pan"), form, "both together")
        return 0.0, 0.0
    return left, strained


def _share(bench: FieldParser, path: Path, text: str, form: IngredientForm, food: Food, grams: float | None) -> float:
    """A share of the ingredient from ``all``, ``half``, ``25 %``, a weight or a spoon of it."""
    told = text.casefold().strip()
    share = float(SHARES[told]) if told in SHARES else _percent(bench, path, text)
    if share is None:
        left = _grams(bench, path, text, form, food)
        share = None if left is None or not grams else left / grams
    if share is not None and share > 1 + 1e-9:
        _too_much(bench, path, form, text)
        return 0.0
    return min(share or 0.0, 1.0)


def _percent(bench: FieldParser, path: Path, text: str) -> float | None:
    """None where the text is no percentage; 0 where it is one that cannot be read, which is then told."""
    words = text.strip()
    for sign in ("%", "percent", "per cent"):
        if words.casefold().endswith(sign):
            try:
                value, rest = split_number(words[: -len(sign)])
            except NotANumber as wrong:
                bench.problems.append(error(bench.tree.place(*path), "amount", str(wrong), wrong.hint))
                return 0.0
            if rest.strip():
                bench.problems.append(
                    error(
                        bench.tree.place(*path), "amount", f"“{text}” is not a share", "write `25 %`, `half` or grams"
                    )
                )
                return 0.0
            return float(value) / 100
    return None


def _grams(bench: FieldParser, path: Path, text: str, form: IngredientForm, food: Food) -> float | None:
    amount = bench.amount(text, *path)
    if amount is None or amount.kind is Kind.MASS or not food.source:
        return amount.grams if amount is not None and amount.kind is Kind.MASS else None
    try:
        return weigh_or_estimate(food, amount, form.measured_as or form.prep, bench.cups).grams
    except CannotWeigh as wrong:
        code = "which-weight" if wrong.candidates else "no-weight"
        bench.problems.append(error(bench.tree.place(*path), code, str(wrong), wrong.hint))
        return None


def _too_much(bench: FieldParser, path: Path, form: IngredientForm, text: str) -> None:
    name = str(path[-2]).replace("_", " ")
    bench.problems.append(
        error(
            bench.tree.place(*path),
            "parts",
            f"more than the {form.amount} of {name} that goes in: {text}",
            "write less than went in",
        )
    )


def juices_problems(
    bench: FieldParser, ingredients: Sequence[Ingredient], steps: Sequence[Step], cooking: Sequence[CookedIngredient]
) -> Iterator[Problem]:
    """`juices:` where nothing can run out: at a step that heats nothing, or of food of which it is not known what cooking takes."""
    by_id = {s.id: s for s in steps}
    taken = [(t, by_id[t.step]) for s in steps for t in s.takes if t.juices and not t.dish and t.step in by_id]
    yield from taken_juices_problems([(t, s, steps) for t, s in taken])
    cooked = {one.key for one in cooking if one.cooked is not None}
    for number, step in enumerate(steps):
        if step.juices and not step.reading.may_heat:
            place = bench.tree.place("steps", number, "juices", key=True)
            yield error(place, "juices", f"nothing is heated at step {step.number} ({step.id}), so no juices run out", "write `juices:` at the step that cooks it, or take it out")  # fmt: skip
    for ingredient in ingredients:
        if ingredient.juices and ingredient.readable and ingredient.key not in cooked:
            place = bench.tree.place("ingredients", ingredient.key, "juices", key=True)
            yield error(place, "juices", f"no juices run out of {ingredient.name}: it is eaten raw, or is not meat, poultry or fish", "take `juices:` out; fat or liquid that stays in the pan stands under `left_in_pan:`")  # fmt: skip


def taken_juices_problems(taken: Sequence[tuple[Takeover, Step, Sequence[Step]]]) -> Iterator[Problem]:
    """Juices that are taken over where none run out, or that have gone elsewhere already. ``taken``: each entry of `from:` that takes
    juices, with the step that they come from and all steps of its dish."""
    first: dict[int, Takeover] = {}
    for one, made, steps in taken:
        if not _has_been_heated(made, steps):
            hint = "write `all`, `rest` or a weight; juices run out of what is cooked"
            message = f"nothing is heated at step {made.number} ({made.id}), so there are no juices to take over"
            yield error(one.place, "juices", message, hint)
        elif made.juices == POURED_OFF:
            message = (
                f"the juices of {one.name} are taken over, and step {made.number} ({made.id}) says `juices: poured off`"
            )
            yield error(one.place, "juices", message, f"delete `juices: poured off` at step {made.number} ({made.id})")
        elif (before := first.get(id(made))) is not None:
            message = f"the juices of {one.name} go on elsewhere already (line {before.place.line})"
            hint = "let one step take them, and take that step's work over: `from: {that step: half}`"
            yield error(one.place, "juices", message, hint)
        else:
            first[id(made)] = one


def _has_been_heated(made: Step, steps: Sequence[Step]) -> bool:
    """Whether the step or one whose work it goes on with, such as the roast that rests, heats food."""
    before = StepGraph(steps).taken_into(made)
    return any(s.reading.may_heat for s in steps if s is made or s.number in before)
