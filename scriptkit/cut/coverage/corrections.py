"""What the video says wrongly, each with what corrects it: a line to record, a text over the picture, and a line of `corrections:`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.cut.coverage.corrected import corrected_by
from scriptkit.cut.coverage.off_camera_text import missing_line, missing_text, missing_written, other_amount_written
from scriptkit.cut.coverage.recipe_changes import RecipeChange, recipe_change
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.recipe.dish import Dish, Meal

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.addition_effects import AdditionEffect

OTHER_AMOUNT = frozenset({"more", "less"})
SAID_TO = {
    "left out": "it is said that there is no",
    "later": "it is said that later goes in the",
    "instead": "it is said that something else went in instead of",
    "more": "it is said that more went in of",
    "less": "it is said that less went in of",
}
"""What is said of an ingredient, up to its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionOffer:
    """``of``: what is corrected; ``said``: the words of the cut at ``time_ms``. ``line`` can be recorded, ``overlay`` stand over the
    picture, ``text`` be written under `corrections:`. ``accepted``: whether the file corrects that moment already."""

    time_ms: int
    of: str
    said: str
    line: str
    overlay: str
    text: str
    accepted: bool
    change: RecipeChange | None = None
    """What to write into the recipe instead, where one line of it would make the figure right."""

    def entries(self, only: str = "") -> list[dict[str, str]]:
        """The items of `corrections:` that say it; ``only`` over the picture, or only under the video. Two where the picture and the
        description have words of their own."""
        if not only and self.overlay != self.text:
            return [self._entry(one) for one in ("overlay", "description")]
        return [self._entry(only)]

    def _entry(self, only: str) -> dict[str, str]:
        text = self.overlay if only == "overlay" else self.text
        return {"text": text, "at": format_clock(self.time_ms), **({"only": only} if only else {})}


def without_confessed(claims: Sequence[Claim], effects: Sequence[AdditionEffect]) -> tuple[Claim, ...]:
    """The claims without the figures that are themselves what went in instead of the recipe's: those are told of the addition."""
    confessed = {e.amount_ms for e in effects if e.amount_ms is not None}
    return tuple(c for c in claims if not (c.kind == "amount" and c.agrees is not True and c.time_ms in confessed))


def corrections_offered(
    source: Dish | Meal, rows: Sequence[AdditionStatus], claims: Sequence[Claim]
) -> tuple[CorrectionOffer, ...]:
    """One for each figure that differs, and for each addition that is said to be left out, replaced, more or less; in the order of
    time."""
    at = corrected_by(source)
    wrong = sorted((c for c in claims if c.agrees is False), key=lambda c: c.kind == "sum")
    first = {(c.time_ms, c.words): c for c in reversed(wrong)}  # what is wrong in two ways is corrected once
    found = [correction_of(c, accepted=at.has(c.time_ms, c.subject, c.words)) for c in first.values()]
    found += [one for row in rows if (one := _of_row(row)) is not None]
    return tuple(sorted(found, key=lambda c: (c.time_ms, c.of)))


def correction_of(claim: Claim, *, accepted: bool = False) -> CorrectionOffer:
    """What corrects a figure that is wrong; of one that is only to be listened to, what would if it is."""
    right = _right(claim)
    text = f"{right[:1].upper()}{right[1:]}, not “{claim.words}”."
    return CorrectionOffer(
        time_ms=claim.time_ms,
        of=claim.subject,
        said=claim.words,
        line=f"A correction: {right}, not {claim.words[:1].lower()}{claim.words[1:]}.",
        overlay=text,
        text=text,
        accepted=accepted,
        change=recipe_change(claim),
    )


def _right(claim: Claim) -> str:
    """What is right, in words that a viewer understands, who knows no step by its number: ``the recipe has 1.18 kg (1.2 l) of stock``,
    ``it takes 7 min here``, ``a serving of bisque has 11.4 g of net carbs``."""
    step, recipe = claim.step, claim.recipe.partition("; ")[0]
    if claim.kind == "time" and step is not None and (step.wait_ms or step.hands_ms):
        return f"it takes {format_duration(step.wait_ms or step.hands_ms or 0)} here"
    name = claim.subject.partition(" at step ")[0]
    for before in ("the recipe has ", "the step has "):
        recipe = recipe.removeprefix(before)
    amount, goes_in, _ = recipe.partition(" goes in at step ")
    if goes_in:
        return f"the recipe has {name}, {amount}" if amount == "to taste" else f"the recipe has {amount} of {name}"
    fact = (
        recipe.partition(" goes in all")[0]
        .replace(" as they are said make ", " make ")
        .replace(" of it in all", " in all")
    )
    if (fact.endswith(" g") and " has " in fact) or fact.startswith("total "):
        return f"{fact} of {name}"
    if fact.endswith(" in all") and " has " in fact:
        return f"{fact.removesuffix(' in all')} of {name} in all"
    return fact if " weighs " in fact else f"{name}: {fact}"


def _of_row(row: AdditionStatus) -> CorrectionOffer | None:
    effect = row.effect
    if effect is None or effect.time_ms is None or not (row.not_there or effect.effect in OTHER_AMOUNT):
        return None
    if row.not_there:
        written = missing_written(row.step, row.addition, effect.effect, row.stand_in)
        line = missing_line(row.step, row.addition, effect.effect, row.stand_in)
        overlay = missing_text(row.step, row.addition, effect.effect, row.stand_in)
    else:
        written = other_amount_written(row.step, row.addition, effect.effect, effect.grams)
        line = overlay = written
    return CorrectionOffer(
        time_ms=effect.time_ms,
        of=row.name,
        said=effect.words,
        line=line,
        overlay=overlay,
        text=written,
        accepted=row.corrected,
    )
