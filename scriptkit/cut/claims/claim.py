"""A claim: a figure that is spoken in the cut, and what the recipe says of the same thing."""

from __future__ import annotations

import bisect
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.running_text import Talk
from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.measure.durations import format_clock
from scriptkit.measure.figures import Figure
from scriptkit.problems import Place, Problem, warning
from scriptkit.recipe.dish import Dish, Step

AMOUNT, TIME, TEMPERATURE, MACROS, SERVING, SUM = "amount", "time", "temperature", "macros", "serving", "sum"
VERIFIED, DIFFERS, LISTEN = "verified", "differs", "listen"
"""What is found of a figure; to listen to: what it may be is known, and not surely enough to say that it is wrong."""
SURE = 0.65
"""A placement that is less sure than this does not tell one step's amounts from another's."""
_A_CAPTION = 4, 30
"""A caption of so many words at least, and at most, is read at once (common practice, no source)."""
_CODES = {kind: f"spoken-{kind}" for kind in (AMOUNT, TIME, TEMPERATURE, MACROS, SERVING, SUM)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """``words`` as they are said at ``time_ms``, of the ``subject``; ``recipe``: what the recipe has; ``off``: by how much they
    differ, empty where they do not. ``agrees`` is None where it is not sure whose the figure is, or the recipe has nothing to hold it
    against."""

    kind: str
    time_ms: int
    line: SpokenLine
    words: str
    subject: str
    agrees: bool | None
    recipe: str = ""
    off: str = ""
    dish: Dish | None = None
    step: Step | None = None
    about: str = ""
    """The words with a few of those beside them."""

    @property
    def said(self) -> str:
        """The caption that it stands in; where that is a word or two, or minutes of talk, the words with a few of those beside them."""
        words = self.line.text.count(" ") + 1
        return self.line.text if not self.about or _A_CAPTION[0] <= words <= _A_CAPTION[1] else self.about

    @property
    def verdict(self) -> str:
        """VERIFIED, DIFFERS or LISTEN."""
        return LISTEN if self.agrees is None else VERIFIED if self.agrees else DIFFERS


@dataclass(frozen=True, slots=True)
class Near:
    """The steps by how near they stand to a moment of the cut."""

    placed: tuple[Placement, ...]
    all: tuple[Placement, ...]

    def around(self, ms: int) -> tuple[Placement, ...]:
        """The placed steps before and after the moment, the nearer one first."""
        at = bisect.bisect_right([p.time_ms or 0 for p in self.placed], ms)
        return tuple(sorted(self.placed[max(0, at - 1) : at + 1], key=lambda p: abs((p.time_ms or 0) - ms)))

    def by_distance(self, ms: int) -> list[Placement]:
        """Every step, the nearest first, those that are not placed last."""
        return sorted(self.all, key=lambda p: (p.time_ms is None, abs((p.time_ms or 0) - ms)))


def near_of(cut: Cut) -> Near:
    """The steps of the cut, those that are placed by their time."""
    placed = sorted((p for p in cut.placements if p.time_ms is not None), key=lambda p: p.time_ms or 0)
    return Near(tuple(placed), cut.placements)


def claimed(
    kind: str,
    talk: Talk,
    figure: Figure,
    subject: str,
    agrees: bool | None,
    *,
    recipe: str = "",
    off: str = "",
    dish: Dish | None = None,
    step: Step | None = None,
) -> Claim:
    """The claim that the figure makes."""
    return Claim(
        kind=kind,
        time_ms=talk.ms_at(figure.start),
        line=talk.line_at(figure.start),
        words=" ".join(talk.text[figure.start : figure.end].split()),
        subject=subject,
        agrees=agrees,
        recipe=recipe,
        off="" if agrees else off,
        dish=dish,
        step=step,
        about=talk.words_about(figure.start, figure.end),
    )


def claim_problems(claims: Sequence[Claim], file: str) -> list[Problem]:
    """One for each claim that differs from the recipe."""
    return [
        warning(
            Place(file, claim.line.line),
            _CODES[claim.kind],
            f"“{claim.words}” of {claim.subject} is said at {format_clock(claim.time_ms)}, and {claim.recipe}: {claim.off}",
            "record this line again, correct it in an overlay and in the description, or correct the recipe",
        )
        for claim in claims
        if claim.agrees is False
    ]
