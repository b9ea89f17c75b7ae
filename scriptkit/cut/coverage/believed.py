"""What is told of the talk, without what a person answered is not so: there the talk was misunderstood."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from scriptkit.cut.claims.claim import Claim
from scriptkit.cut.coverage.addition_effects import NONE, SHOWN, AdditionEffect, OfWhichDish
from scriptkit.cut.coverage.admissions import Admission
from scriptkit.cut.coverage.answers import NOT_SO, GapAnswer
from scriptkit.cut.coverage.gap_names import gap_names
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.english.effect_kinds import GOES_IN
from scriptkit.measure.durations import parse_moment
from scriptkit.problems import Place, Problem, printable, warning


@dataclass(frozen=True, slots=True)
class Believed:
    """What is left, and a problem for each answer that is about nothing."""

    effects: tuple[AdditionEffect, ...]
    claims: tuple[Claim, ...]
    admissions: tuple[Admission, ...]
    of_which_dish: tuple[OfWhichDish, ...]
    problems: tuple[Problem, ...]


def believed(
    answers: Sequence[GapAnswer],
    rows: Sequence[AdditionStatus],
    effects: Sequence[AdditionEffect],
    claims: Sequence[Claim],
    admissions: Sequence[Admission],
    unsure: Sequence[OfWhichDish],
    not_heard: Collection[Place] = (),
) -> Believed:
    """What is left of effects, figures and admissions: an addition of which it is not so goes in as it is written. With a warning for each
    such answer about which nothing is told. Of several answers about one gap the last counts.
    ``not_heard``: of these it may be answered that it is not so (answers.seen_of)."""
    last = {one.gap.casefold(): one for one in answers}
    not_so = _NotSo(tuple(one for one in last.values() if one.answer == NOT_SO), gap_names(rows))
    told = [e for e in effects if e.unfilmed or e.effect not in (GOES_IN, SHOWN, NONE)]
    doubted = [c for c in claims if c.agrees is not True]
    moments = [
        *(e.time_ms for e in told if e.time_ms is not None),
        *(c.time_ms for c in doubted),
        *(a.time_ms for a in admissions),
        *(one.ms for one in unsure),
    ]
    places = [*(e.addition.place for e in told), *not_heard]
    return Believed(
        tuple(
            replace(e, effect=GOES_IN, unfilmed=False, grams=None, amount_ms=None, stand_in="")
            if e in told and (not_so.at(e.time_ms) or not_so.of(e.addition.place))
            else e
            for e in effects
        ),
        tuple(c for c in claims if c.agrees is True or not not_so.at(c.time_ms)),
        tuple(a for a in admissions if not (not_so.at(a.time_ms) or not_so.of(a.addition.place if a.addition else None))),
        tuple(one for one in unsure if not not_so.at(one.ms)),
        tuple(not_so.problems(moments, places)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _NotSo:
    """The answers, and the names of the additions by gap_names."""

    answers: tuple[GapAnswer, ...]
    names: dict[Place, str]

    def at(self, time_ms: int | None) -> bool:
        """Whether what is told of the moment is not so; a name to the second means all of that second."""
        return time_ms is not None and any(_is_at(one.gap, time_ms) for one in self.answers)

    def of(self, place: Place | None) -> bool:
        """Whether what is told of the addition is not so."""
        name = "" if place is None else self.names.get(place, "").casefold()
        return bool(name) and any(one.gap.casefold() == name for one in self.answers)

    def problems(self, moments: Sequence[int], places: Sequence[Place]) -> list[Problem]:
        """A warning for each answer about which nothing is told."""
        told = {self.names.get(place, "").casefold() for place in places}
        return [
            warning(
                one.place, "unknown-gap", f"nothing is told of “{printable(one.gap)}” here", "save the answers again from the page as it is now"
            )
            for one in self.answers
            if one.gap.casefold() not in told and not any(_is_at(one.gap, ms) for ms in moments)
        ]  # fmt: skip


def _is_at(gap: str, time_ms: int) -> bool:
    moment = parse_moment(gap)
    unit = 100 if "." in gap else 1000
    return moment is not None and time_ms // unit == moment // unit
