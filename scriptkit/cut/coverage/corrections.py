"""What the video says wrongly, each with what corrects it: a line to record, a text over the picture, and a line of `corrections:`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.cut.coverage.matrix import corrections_ms, is_corrected
from scriptkit.cut.coverage.off_camera_text import missing_line, missing_text, missing_written, other_amount_written
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.durations import format_clock
from scriptkit.recipe.dish import Dish, Meal

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim

OTHER_AMOUNT = frozenset({"more", "less"})


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

    @property
    def entry(self) -> dict[str, str]:
        """The item of `corrections:` that says it."""
        return {"text": self.text, "at": format_clock(self.time_ms)}


def corrections_offered(
    source: Dish | Meal, rows: Sequence[AdditionStatus], claims: Sequence[Claim]
) -> tuple[CorrectionOffer, ...]:
    """One for each figure that differs, and for each addition that is said to be left out, replaced, more or less; in the order of
    time."""
    at = corrections_ms(source)
    found = [_of_claim(c, accepted=is_corrected(c.time_ms, at)) for c in claims if c.agrees is False]
    found += [one for row in rows if (one := _of_row(row)) is not None]
    return tuple(sorted(found, key=lambda c: (c.time_ms, c.of)))


def _of_claim(claim: Claim, *, accepted: bool) -> CorrectionOffer:
    text = f"Not “{claim.words}” of {claim.subject}: {claim.recipe}."
    return CorrectionOffer(
        time_ms=claim.time_ms,
        of=claim.subject,
        said=claim.words,
        line=f"A correction: not “{claim.words}” of {claim.subject}. {claim.recipe[:1].upper()}{claim.recipe[1:]}.",
        overlay=text,
        text=text,
        accepted=accepted,
    )


def _of_row(row: AdditionStatus) -> CorrectionOffer | None:
    effect = row.effect
    if effect is None or effect.time_ms is None or not (row.not_there or effect.effect in OTHER_AMOUNT):
        return None
    if row.not_there:
        written = missing_written(row.step, row.addition, effect.effect)
        line, overlay = missing_line(row.step, row.addition), missing_text(row.step, row.addition)
    else:
        written = other_amount_written(row.step, row.addition, effect.effect)
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
