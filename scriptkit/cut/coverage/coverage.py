"""Coverage of a dish or meal: every addition against plan, log and cut; what is claimed; and how to rescue what is missing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scriptkit.cut.coverage.as_cooked import AsCooked, as_cooked
from scriptkit.cut.coverage.corrected import corrected_by
from scriptkit.cut.coverage.corrections import (
    OTHER_AMOUNT,
    SAID_TO,
    CorrectionOffer,
    corrections_offered,
    without_confessed,
)
from scriptkit.cut.coverage.matrix import (
    Gate,
    filmed_shots,
    gaps_of,
    gates_of,
    matrix_of,
    matrix_problems,
)
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.cut.placement import HAND, MARKER, TAKE, Cut
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.measure.durations import format_clock
from scriptkit.problems import Place, Problem, any_of, in_order, note, warning
from scriptkit.recipe.dish import Addition, Dish, Meal
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.plan import screen_ms
from scriptkit.shoot.shots.shot_problems import shot_problems
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.addition_effects import OfWhichDish
    from scriptkit.cut.coverage.admissions import Admission
    from scriptkit.cut.coverage.answers import GapAnswer
    from scriptkit.cut.coverage.heard_otherwise import HeardOtherwise
    from scriptkit.cut.coverage.spoken_additions import SpokenAddition
    from scriptkit.nutrition.dish_meal_macros import AllMacros
    from scriptkit.safety.rule_matching import Caution


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """``takes`` is None without a log, ``cut`` without a cut, ``transcript`` without one. Where nothing of the transcript is
    of this recipe, ``other_video`` is true, and nothing is said of additions; ``not_heard`` then is what its words lack of the recipe's."""

    source: Dish | Meal
    shots: tuple[Shot, ...]
    takes: tuple[Take, ...] | None
    transcript: Transcript | None
    cut: Cut | None
    rows: tuple[AdditionStatus, ...]
    gates: tuple[Gate, ...]
    admissions: tuple[Admission, ...]
    not_heard: tuple[str, ...]
    claims: tuple[Claim, ...]
    problems: tuple[Problem, ...]
    corrections: tuple[CorrectionOffer, ...] = ()
    """What is said wrongly, each with what corrects it."""
    cooked: tuple[AsCooked, ...] = ()
    """The macros of a serving of each dish of which it is said that not all went in, beside those of what is written."""
    of_which_dish: tuple[OfWhichDish, ...] = ()
    """What is said to become of an ingredient of several dishes, and not of which."""

    @property
    def other_video(self) -> bool:
        """Whether there are a transcript and a cut, and they are not of this recipe."""
        return self.transcript is not None and self.cut is not None and not is_of_it(self.cut)

    @property
    def admitted(self) -> tuple[Addition, ...]:
        """The additions that are said not to have been filmed, in the order in which it is said."""
        return tuple(a.addition for a in self.admissions if a.addition is not None)

    @property
    def gaps(self) -> tuple[AdditionStatus, ...]:
        """The rows to rescue, without what was admitted."""
        return gaps_of(self.rows, self.admitted)


def is_of_it(cut: Cut) -> bool:
    """Whether the cut is of this recipe: a person or an editor has said so, or enough of it is heard."""
    from scriptkit.cut.placing.video_match import OTHER_VIDEO

    set_by_hand = any(p.known_from in (HAND, MARKER, TAKE) for p in cut.placements if p.time_ms is not None)
    return set_by_hand or cut.confidence >= OTHER_VIDEO


def only_of_it(cut: Cut) -> Cut:
    """The cut; without its times where it is not of this recipe."""
    if is_of_it(cut):
        return cut
    return replace(cut, placements=tuple(replace(p, time_ms=None, start_ms=None) for p in cut.placements))


def coverage_of(
    source: Dish | Meal,
    shots: Sequence[Shot],
    *,
    takes: Sequence[Take] | None = None,
    transcript: Transcript | None = None,
    cut: Cut | None = None,
    macros: Callable[[], AllMacros] | None = None,
    cautions: Callable[[], Sequence[Caution]] | None = None,
    answers: Sequence[GapAnswer] = (),
    day: Callable[[], Sequence[Shot]] | None = None,
    otherwise: Callable[[], Sequence[HeardOtherwise]] | None = None,
) -> Coverage:
    """Everything that plan, log, transcript and cut tell together; what is not given is not asked about. ``macros`` and
    ``cautions`` give the source's, and are asked only where something is said that needs them. ``answers``: what a person saw.
    ``day``: the shots in the order of the day; left out, it is that of ``shots``. ``otherwise``: words that were likely misheard."""
    cut = None if cut is None else only_of_it(cut)
    heard = effects = None
    admissions: tuple[Admission, ...] = ()
    not_heard: tuple[str, ...] = ()
    claims: tuple[Claim, ...] = ()
    unsure: tuple[OfWhichDish, ...] = ()
    if transcript is not None and cut is not None and is_of_it(cut):
        from scriptkit.cut.claims import all_claims as claiming
        from scriptkit.cut.coverage import admissions as admitting
        from scriptkit.cut.coverage import spoken_additions
        from scriptkit.cut.coverage.addition_effects import effects_heard, effects_of, of_which_dish
        from scriptkit.cut.coverage.heard_otherwise import with_misheard
        from scriptkit.cut.placing.mention_matcher import KIND

        heard = spoken_additions.heard(source, transcript, cut)
        if otherwise is not None and any(one.how in ("", KIND) for one in heard):
            heard = with_misheard(heard, otherwise(), cut)
        effects = effects_heard(effects_of(source, transcript, cut), heard, cut)
        unsure = of_which_dish(source, transcript, cut)
        admissions = admitting.admissions_in(source, transcript, cut)
        claims = claiming.claims_in(source, transcript, cut, macros=macros, cautions=cautions)
        claims = without_confessed(claims, effects)
    unknown: list[Problem] = []
    if answers and effects is not None:
        from scriptkit.cut.coverage.believed import believed

        told = believed(answers, matrix_of(source, shots), effects, claims, admissions, unsure, _unheard(heard))
        effects, claims, admissions, unsure = told.effects, told.claims, told.admissions, told.of_which_dish
        unknown = list(told.problems)
    if transcript is not None and cut is not None:
        from scriptkit.cut.coverage.spoken_additions import not_heard as unheard

        not_heard = tuple(dict.fromkeys(i.name for i in unheard(source, transcript, cut)))
    rows = matrix_of(source, shots, takes=takes, cut=cut, heard=heard, effects=effects)
    if answers:
        from scriptkit.cut.coverage.answers import seen_of
        from scriptkit.cut.coverage.gap_names import gap_names

        seen, unnamed = seen_of(answers, gap_names(rows), _unheard(heard))
        unknown += unnamed
        rows = tuple(replace(row, seen=seen.get(row.addition.place)) for row in rows)
    problems = [*unknown, *shot_problems(source), *matrix_problems(rows)]
    if transcript is not None:
        from scriptkit.cut.claims.claim import claim_problems

        at = corrected_by(source)
        uncorrected = [c for c in claims if not at.has(c.time_ms, c.subject, c.words)]
        problems += [*transcript.problems, *claim_problems(uncorrected, transcript.file)]
        problems += _other_amounts(rows, transcript.file)
        problems += _admitted(admissions, rows, transcript.file)
        problems += _of_which_dish(source, unsure, transcript.file)
    if cut is not None:
        problems += placing_problems(source, cut, transcript)
    return Coverage(
        source=source,
        shots=tuple(shots),
        takes=None if takes is None else tuple(takes),
        transcript=transcript,
        cut=cut,
        rows=rows,
        gates=() if takes is None else gates_of(rows, shots, filmed_shots(source, takes), day),
        admissions=admissions,
        not_heard=not_heard,
        claims=claims,
        corrections=corrections_offered(source, rows, claims),
        cooked=() if macros is None else as_cooked(rows, macros),
        of_which_dish=tuple(
            one for one in unsure if not corrected_by(source).has(one.ms, one.additions[0][2].ingredient.name)
        ),
        problems=tuple(in_order(problems)),
    )


def _unheard(heard: Sequence[SpokenAddition] | None) -> frozenset[Place]:
    """The additions that nobody names, or only by their kind."""
    from scriptkit.cut.placing.mention_matcher import KIND

    return frozenset(h.addition.place for h in heard or () if h.time_ms is None or h.how == KIND)


def _admitted(admissions: Sequence[Admission], rows: Sequence[AdditionStatus], file: str) -> list[Problem]:
    accepted = {row.addition.place for row in rows if row.accepted}
    found = []
    for one in admissions:
        place, at = Place(file, one.line.line), format_clock(one.time_ms)
        if one.addition is None or one.step is None:
            message = f"at {at} it is said that something was not filmed, and not what: “{_short(one.words)}”"
            found.append(
                warning(place, "admitted-gap", message, "see what it is, and write it under `unfilmed:` of its step")
            )
        elif one.addition.place not in accepted:
            name = one.addition.ingredient.name
            message = f"at {at} it is said that {name}, step {one.step.number} ({one.step.id}), was not filmed: “{_short(one.words)}”"
            hint = f"write `unfilmed: [{one.addition.ingredient.key}]` at the step, and the overlay says it"
            found.append(warning(place, "admitted-gap", message, hint))
    return found


def _other_amounts(rows: Sequence[AdditionStatus], file: str) -> list[Problem]:
    """Where it is said that more or less of an addition went in than the recipe has."""
    found = []
    for row in rows:
        effect = row.effect
        if effect is None or effect.effect not in OTHER_AMOUNT or effect.time_ms is None or effect.line is None:
            continue
        at = format_clock(effect.time_ms)
        message = (
            f"{row.name}, {row.where}: at {at} it is said that {effect.effect} of it went in: “{_short(effect.words)}”"
        )
        if not row.corrected:
            hint = f"correct the recipe, or accept the correction: run coverage again with the same files and `--accept {at}`"
            found.append(warning(Place(file, effect.line.line), "said-other-amount", message, hint))
    return found


def _of_which_dish(source: Dish | Meal, unsure: Sequence[OfWhichDish], file: str) -> list[Problem]:
    """Where something is said to become of an ingredient of several dishes, and not of which; nothing where the file corrects it."""
    corrections = corrected_by(source)
    found = []
    for one in unsure:
        if corrections.has(one.ms, one.additions[0][2].ingredient.name):
            continue
        at, (_, _, addition) = format_clock(one.ms), one.additions[0]
        dishes = any_of(list(dict.fromkeys(dish.short for dish, _, _ in one.additions)))
        message = f"at {at} {SAID_TO[one.effect]} {addition.ingredient.name}, and not whether of {dishes}: “{_short(one.words)}”"
        hint = f'write `corrections: [{{text: "…", at: "{at}"}}]` for the dish that is meant'
        found.append(warning(Place(file, one.line.line), "of-which-dish", message, hint))
    return found


def _short(text: str) -> str:
    return text if len(text) <= 80 else f"{text[:79].rstrip()}…"


def placing_problems(source: Dish | Meal, cut: Cut, transcript: Transcript | None) -> list[Problem]:
    """What the cut itself tells, and steps that are found in no place or in another than the recipe's. A warning where the
    plan has a picture of the step, of which then nothing is shown; else a note."""
    found = list(cut.problems)
    if not is_of_it(cut):
        if (
            transcript is None
        ):  # a cut file that says so of itself; of a transcript it is told where the steps are placed
            found.append(
                warning(
                    source.place, "other-video",
                    f"the cut file itself doubts that it is of this recipe (confidence {cut.confidence:g}): its times are not used",
                    "leave its `confidence:` out, or write `by: hand` at the times that are right",
                )
            )  # fmt: skip
        return found
    told = {p.place for p in found}
    for placement in cut.placements:
        step = placement.step
        if placement.is_left_out:
            message = f"step {step.number} ({step.id}) of {placement.dish.name} is not in the cut, as its cut file says"
            found.append(note(step.place, "left-out-by-hand", message, "write its time there once it is filmed"))
        elif placement.time_ms is None and step.place not in told:
            message = f"step {step.number} ({step.id}) of {placement.dish.name} is not found in the cut"
            hint = "say what is done there, or write its time in a cut file: `scriptkit coverage --help`"
            tell = warning if screen_ms(step) else note
            shown = ": nothing of it is shown" if screen_ms(step) else ""
            found.append(tell(step.place, "step-not-placed", f"{message}{shown}", hint))
    return found
