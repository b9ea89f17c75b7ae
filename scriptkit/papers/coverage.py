"""The coverage report: one view of plan, log and cut, which is the page, and of which the terminal's text is made.

Ordered by what the cook does: a card for each gap, then what is fine, then the whole matrix to look things up in.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.rescue import Rescue
from scriptkit.papers.coverage_matrix import PlacedStep, StepTable, counts, placed_steps, step_tables
from scriptkit.papers.description import printed_words
from scriptkit.papers.gap_cards import AS_COOKED, CardGroup, Pictures, card_groups, cooked_words
from scriptkit.problems import Problem, printable

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.as_cooked import AsCooked


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedDish:
    """The macros of a serving as it was cooked, beside those of what is written; ``why``: what did not go in."""

    name: str
    why: str
    cooked: str
    written: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSeeTo:
    """A problem as the page prints it."""

    where: str
    severity: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageReport:
    """The values of coverage.html. ``fine`` says what needs nothing; ``problems`` are those that no card has. ``confidence`` and
    ``order`` are empty without a cut, ``other_video`` says why nothing is told of what is heard, ``verdicts`` counts the spoken
    figures."""

    counts: str
    groups: tuple[CardGroup, ...]
    gaps: int
    fine: tuple[str, ...]
    steps: tuple[StepTable, ...]
    placed: tuple[PlacedStep, ...]
    with_log: bool
    with_cut: bool
    heard_known: bool
    confidence: str
    order: str
    other_video: str
    figures: int
    verdicts: str
    cooked: tuple[CookedDish, ...]
    problems: tuple[ToSeeTo, ...]


def coverage_report(
    coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem] = (), pictures: Pictures | None = None
) -> CoverageReport:
    """The cards, what is fine, and the matrix. ``problems``: everything that was found; ``pictures``: of the cut, for the cards."""
    cut = coverage.cut
    groups = card_groups(coverage, rescues, pictures)
    return CoverageReport(
        counts=counts(coverage),
        groups=groups,
        gaps=sum(len(group.cards) for group in groups),
        fine=tuple(_fine(coverage)),
        steps=step_tables(coverage),
        placed=placed_steps(coverage),
        with_log=coverage.takes is not None,
        with_cut=cut is not None,
        heard_known=any(row.heard is not None for row in coverage.rows),
        confidence="" if cut is None else f"{cut.confidence:.2f}",
        order="" if cut is None else cut.order_words,
        other_video=_nothing_said(coverage) if coverage.other_video else "",
        figures=len(coverage.claims),
        verdicts=_verdicts(coverage.claims),
        cooked=() if _on_a_card(groups) else tuple(map(_cooked, coverage.cooked)),
        problems=tuple(
            ToSeeTo(
                where=f"{p.place.file}:{p.place.line}",
                severity=p.severity.value,
                message=printable(p.message),
                hint=printable(p.hint),
            )
            for p in without_cards(problems, coverage, rescues)
        ),
    )


def _on_a_card(groups: Sequence[CardGroup]) -> bool:
    return any(way.label == AS_COOKED for group in groups for card in group.cards for way in card.ways)


def without_cards(problems: Sequence[Problem], coverage: Coverage, rescues: Sequence[Rescue]) -> list[Problem]:
    """The problems that no card tells already."""
    additions = {rescue.row.addition.place for rescue in rescues}
    takes = {
        take.place for take in coverage.takes or () if take.additions and {a.place for a in take.additions} <= additions
    }
    return [p for p in problems if not _has_a_card(p, additions, takes)]


_OF_A_GAP = frozenset({"no-shot", "no-circled-take", "not-heard", "not-named", "not-seen", "said-left-out"})
_OF_THE_CUT = frozenset({"said-other-amount", "admitted-gap", "of-which-dish"})


def _has_a_card(problem: Problem, additions: object, takes: object) -> bool:
    if problem.code in _OF_A_GAP:
        return problem.place in additions  # type: ignore[operator]
    if problem.code == "no-clip":
        return problem.place in takes  # type: ignore[operator]
    return problem.code in _OF_THE_CUT or problem.code.startswith("spoken-")


def _fine(coverage: Coverage) -> list[str]:
    """``15 of 17 additions``, ``14 of 14 steps in the cut``."""
    rows = coverage.rows
    gaps = {row.addition.place for row in coverage.gaps}
    found = [f"{sum(r.addition.place not in gaps for r in rows)} of {_many(len(rows), 'addition')}"] if rows else []
    if coverage.cut is not None and not coverage.other_video:
        placed = coverage.cut.in_time
        found.append(f"{sum(p.time_ms is not None for p in placed)} of {_many(len(placed), 'step')} found in the cut")
    circled = [take for take in coverage.takes or () if take.circled]
    if any(take.files is not None for take in circled):
        found.append(f"{sum(take.proven for take in circled)} of {_many(len(circled), 'circled take')} with a clip")
    return found


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _verdicts(claims: Sequence[Claim]) -> str:
    """``41 figures: 30 verified, 4 differ, 7 to listen to``."""
    of = Counter(c.verdict for c in claims)
    figures = f"{len(claims)} figure{'s' if len(claims) != 1 else ''}"
    return f"{figures}: {of[VERIFIED]} verified, {of[DIFFERS]} differ{'s' if of[DIFFERS] == 1 else ''}, {of[LISTEN]} to listen to"


def _cooked(one: AsCooked) -> CookedDish:
    without = f"without {' and '.join(one.without)}" if one.without else ""
    as_said = f"with {' and '.join(one.said_amounts)}, as it is said" if one.said_amounts else ""
    not_counted = f"not counted: {', '.join(one.not_counted)}" if one.not_counted else ""
    return CookedDish(
        name=one.dish.short,
        why="; ".join(filter(None, (without, as_said, not_counted))),
        cooked=cooked_words(one),
        written=printed_words(one.printed, one.dish.units),
    )


def _nothing_said(coverage: Coverage) -> str:
    one_line = coverage.transcript is not None and len(coverage.transcript.lines) == 1
    why = "holds only one line" if one_line else "seems to be of another video"
    return f"The transcript {why}, so it is not used to tell what is heard."
