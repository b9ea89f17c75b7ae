"""One card a gap, in the order of what the cook does about it: what, where, pictures, the words, and the ways out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scriptkit.cut.claims.claim import LISTEN
from scriptkit.cut.coverage.corrected import corrected_by
from scriptkit.cut.coverage.corrections import OTHER_AMOUNT, SAID_TO, correction_of
from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.cut.coverage.gap_names import gap_names
from scriptkit.cut.coverage.off_camera_text import missing_written, other_amount_written
from scriptkit.cut.coverage.rescue import ADMITTED, NOT_HEARD, NOT_NAMED, Rescue
from scriptkit.measure.durations import format_clock
from scriptkit.papers.contact_sheet import StripPicture, moments_of, pictures_at
from scriptkit.papers.coverage_matrix import where_of
from scriptkit.papers.description import macro_words, printed_words
from scriptkit.problems import Place

if TYPE_CHECKING:
    from scriptkit.cut.claims.claim import Claim
    from scriptkit.cut.coverage.addition_effects import OfWhichDish
    from scriptkit.cut.coverage.admissions import Admission
    from scriptkit.cut.coverage.as_cooked import AsCooked
    from scriptkit.cut.coverage.corrections import CorrectionOffer
    from scriptkit.cut.coverage.matrix import Gate
    from scriptkit.cut.coverage.statuses import AdditionStatus

FILM, CORRECT, COVER, LISTEN_TO = "Film it", "Correct what is said", "Show it or say it", "Listen"
_NOTES = {
    FILM: "it can still be filmed as it goes in",
    CORRECT: "the video says otherwise than the recipe",
    COVER: "a viewer may not learn that it goes in",
    LISTEN_TO: "it may be wrong, or of something else",
}
AS_COOKED = "As cooked"
BOTH, OVERLAY, DESCRIPTION, RECIPE, RECORD, UNFILMED = "both", "overlay", "description", "recipe", "record", "unfilmed"
NOT_SO = "not so"
"""Ways that ``--accept`` takes."""
USUAL = frozenset({BOTH, UNFILMED})
"""What a name alone means."""
_CHOICES = {
    RECORD: "Record it again",
    BOTH: "Overlay and description",
    OVERLAY: "Overlay only",
    DESCRIPTION: "Description only",
    RECIPE: "Change the recipe",
    UNFILMED: "Accept it: the overlay and the description say it",
    NOT_SO: "That is not so",
}
ABOUT_MS = 1_500
"""The first and the last picture about a figure: as about an addition (contact_sheet.py)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """What to do, ready to copy; ``more``: when and where."""

    label: str
    text: str
    more: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayChoice:
    """A way that can be accepted: its word after ``--accept NAME=``, and what the page calls it."""

    answer: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GapCard:
    """``name`` is what it is called where it is answered, empty where it cannot be; ``title`` says what it is, ``why`` what is wrong,
    ``words`` what is said there. ``asks_seen``: whether a person can answer that it is seen."""

    name: str
    title: str
    why: str
    where: str
    at: str
    before: str
    """The step that works on it, before which it is open; empty: none."""
    words: str
    file: str
    ways: tuple[WayOut, ...]
    choices: tuple[WayChoice, ...]
    pictures: tuple[StripPicture, ...]
    asks_seen: bool
    once: bool = False
    """Whether the step of ``before`` cannot be repeated."""

    @property
    def options(self) -> tuple[tuple[str, str], ...]:
        """The choices as the page asks them, the undecided one first."""
        return (("", "Not decided"), *((one.answer, one.label) for one in self.choices))


@dataclass(frozen=True, slots=True, kw_only=True)
class CardGroup:
    """The cards of one thing to do."""

    title: str
    note: str
    cards: tuple[GapCard, ...]


@dataclass(frozen=True, slots=True)
class Pictures:
    """Still pictures of the cut by their moments in ms; None where there is none. ``length_ms``: of the video."""

    found: Mapping[int, bytes | None]
    length_ms: int | None


def card_moments(coverage: Coverage) -> list[int]:
    """The moments of the cut that the cards show, in ms."""
    wrong = [c.time_ms for c in coverage.corrections if not c.accepted]
    wrong += [c.time_ms for c in coverage.claims if c.verdict == LISTEN]
    found = {ms for at in wrong for ms in _about(at)}
    return sorted(found | {ms for row in coverage.gaps for ms in moments_of(row)})


def card_groups(
    coverage: Coverage, rescues: Sequence[Rescue], pictures: Pictures | None = None
) -> tuple[CardGroup, ...]:
    """The cards in the order of what is to be done first: filmed while it can be, corrected, shown or said, listened to."""
    names = gap_names(coverage.rows)
    before = _before(coverage)
    cards: dict[str, list[tuple[int, GapCard]]] = {title: [] for title in _NOTES}
    told_ms: set[int] = set()
    left = {one.dish.file: one for one in coverage.cooked}
    for rescue in rescues:
        row = rescue.row
        title = FILM if row.still_to_shoot else CORRECT if row.not_there else COVER
        own = _of_row(rescue, coverage, names[row.addition.place], before.get(row.addition.place), pictures)
        if row.not_there:
            told_ms |= {row.told_ms} if row.told_ms is not None else set()
            own = _with_macros(own, left.pop(row.dish.file, None))
        at = row.told_ms if row.not_there else row.begins_ms
        cards[title].append((at or 0, own))
    open_ = [c for c in coverage.corrections if not c.accepted]
    corrections = corrected_by(coverage.source)
    to_listen = [
        c for c in coverage.claims if c.verdict == LISTEN and not corrections.has(c.time_ms, c.subject, c.words)
    ]
    in_second = Counter(ms // 1000 for ms in [*(c.time_ms for c in open_), *(c.time_ms for c in to_listen)])
    for offer in open_:
        if offer.time_ms in told_ms:
            continue
        of_row = _row_of(offer, coverage)
        own = _of_offer(offer, of_row, coverage, exact=in_second[offer.time_ms // 1000] > 1, pictures=pictures)
        if of_row is not None:
            own = _with_macros(own, left.pop(of_row.dish.file, None))
        cards[CORRECT].append((offer.time_ms, own))
    cards[COVER] += [(a.time_ms, _of_admission(a, coverage)) for a in coverage.admissions if a.addition is None]
    cards[LISTEN_TO] += [(one.ms, _of_which_dish(one, coverage, pictures)) for one in coverage.of_which_dish]
    cards[LISTEN_TO] += [
        (c.time_ms, _of_listen(c, pictures, exact=in_second[c.time_ms // 1000] > 1)) for c in to_listen
    ]
    return tuple(
        CardGroup(title=title, note=_NOTES[title], cards=tuple(card for _, card in sorted(own, key=lambda one: one[0])))
        for title, own in cards.items()
        if own
    )


def _with_macros(card: GapCard, cooked: AsCooked | None) -> GapCard:
    """The first card of a dish of which not all went in says what a serving has then."""
    if cooked is None:
        return card
    counted = f"; with {' and '.join(cooked.said_amounts)}, as it is said" if cooked.said_amounts else ""
    counted += (
        f"; not counted: {', '.join(cooked.not_counted)}" if cooked.not_counted and cooked.cooked is not None else ""
    )
    more = f"a serving of {cooked.dish.short}{counted}; as written: {printed_words(cooked.printed, cooked.dish.units)}"
    return replace(card, ways=(*card.ways, WayOut(label=AS_COOKED, text=cooked_words(cooked), more=more)))


def cooked_words(one: AsCooked) -> str:
    """The macros of a serving as it was cooked, or that they are not known."""
    return (
        "not known until the file says how much went in, such as `weighed: 35 g`"
        if one.cooked is None
        else macro_words(one.cooked, one.dish.units)
    )


def _row_of(offer: CorrectionOffer, coverage: Coverage) -> AdditionStatus | None:
    """The addition of which the offer says that more or less of it went in; None for a figure."""
    if any(c.agrees is False and (c.time_ms, c.words) == (offer.time_ms, offer.said) for c in coverage.claims):
        return None
    return next(
        (r for r in coverage.rows if r.name == offer.of and r.effect is not None and r.effect.time_ms == offer.time_ms),
        None,
    )


def _of_row(rescue: Rescue, coverage: Coverage, name: str, gate: Gate | None, pictures: Pictures | None) -> GapCard:
    row = rescue.row
    said = row.effect.words if row.effect is not None and (row.not_there or ADMITTED in rescue.why) else ""
    at = row.told_ms if row.not_there else row.begins_ms
    answers = [BOTH, OVERLAY, DESCRIPTION] if row.not_there else [UNFILMED]
    answers += [NOT_SO] if row.not_there or {ADMITTED, NOT_HEARD, NOT_NAMED} & set(rescue.why) else []
    ms = moments_of(row)
    return GapCard(
        name=format_clock(at) if row.not_there and at is not None else name,
        title=row.addition.ingredient.short_name,
        why=_sentence(", ".join(rescue.why)),
        where=where_of(row, coverage),
        at="" if at is None else format_clock(at),
        before="" if gate is None else f"{gate.dish.short}, step {gate.step.number} ({gate.step.id})",
        once=gate is not None and gate.once,
        words=said,
        file=_file(row.addition.place),
        ways=tuple(_ways(rescue)),
        choices=_choices(answers),
        pictures=() if pictures is None else pictures_at(ms, pictures.found, pictures.length_ms),
        asks_seen=not row.not_there and row.in_cut,
    )


def _ways(rescue: Rescue) -> Iterator[WayOut]:
    row = rescue.row
    if not row.not_there:
        insert = rescue.insert.removeprefix("Nothing: ")
        yield WayOut(label="Picture", text=insert[:1].upper() + insert[1:])
    yield WayOut(label="Say", text=rescue.line)
    yield WayOut(label="Overlay", text=rescue.overlay, more=_span(rescue))
    yield WayOut(label="Description", text=rescue.description)
    if not row.not_there:
        yield WayOut(
            label="Accept", text=rescue.accept, more=f"at step {row.step.id}: the overlay and the description say it"
        )


def _of_offer(
    offer: CorrectionOffer, row: AdditionStatus | None, coverage: Coverage, *, exact: bool, pictures: Pictures | None
) -> GapCard:
    claims = [c for c in coverage.claims if c.agrees is False and (c.time_ms, c.words) == (offer.time_ms, offer.said)]
    line = claims[0].line if claims else row.effect.line if row is not None and row.effect is not None else None
    why = ". ".join(f"{c.recipe}; {c.off}" for c in claims)
    if not claims and row is not None and row.effect is not None:
        why = f"said that {row.effect.effect} of it went in"
    file = coverage.transcript.file if coverage.transcript is not None else ""
    same = offer.overlay == offer.text
    ways = [WayOut(label="Say again", text=offer.line)]
    ways += [WayOut(label="Overlay, description" if same else "Overlay", text=offer.overlay)]
    ways += [] if same else [WayOut(label="Description", text=offer.text)]
    if offer.change is not None:
        ways += [WayOut(label="Recipe", text=offer.change.words, more=_file(offer.change.place))]
    answers = (RECORD, BOTH, OVERLAY, DESCRIPTION, *((RECIPE,) if offer.change is not None else ()), NOT_SO)
    return GapCard(
        name=_exact(offer.time_ms) if exact else format_clock(offer.time_ms),
        title=f"“{offer.said}” of {offer.of}" if claims else offer.of,
        why=_sentence(why),
        where="" if row is None else where_of(row, coverage),
        at=format_clock(offer.time_ms),
        before="",
        words=claims[0].said if claims else row.effect.words if row is not None and row.effect is not None else "",
        file=_file(Place(file, line.line)) if line is not None else "",
        ways=tuple(ways),
        choices=_choices(answers),
        pictures=_pictures(offer.time_ms, pictures),
        asks_seen=False,
    )


def _of_admission(one: Admission, coverage: Coverage) -> GapCard:
    return GapCard(
        name=format_clock(one.time_ms), title="Something", why=_sentence(f"{ADMITTED}, and not what it is"), where="", at=format_clock(one.time_ms), before="",
        words=one.words, file=_file(Place(coverage.transcript.file if coverage.transcript else "", one.line.line)),
        ways=(WayOut(label="Accept", text="unfilmed: […]", more="at its step, once you see what it is"),),
        choices=_choices((NOT_SO,)), pictures=(), asks_seen=False,
    )  # fmt: skip


def _of_which_dish(one: OfWhichDish, coverage: Coverage, pictures: Pictures | None) -> GapCard:
    """``ways``: for each dish that may be meant what the file then says."""
    texts = {
        dish.short: missing_written(step, addition, one.effect)
        if one.effect not in OTHER_AMOUNT
        else other_amount_written(step, addition, one.effect)
        for dish, step, addition in one.additions
    }
    ways = tuple(
        WayOut(label=f"If of {name}", text=f'corrections: [{{text: "{text}", at: "{format_clock(one.ms)}"}}]', more="at the head of the file")
        for name, text in texts.items()
    )  # fmt: skip
    file = coverage.transcript.file if coverage.transcript is not None else ""
    name = one.additions[0][2].ingredient.short_name
    return GapCard(
        name=format_clock(one.ms), title=f"{name}, of {' or of '.join(texts)}", why=_sentence(f"{SAID_TO[one.effect]} {name}, and not in which dish"),
        where="", at=format_clock(one.ms), before="", words=one.words, file=_file(Place(file, one.line.line)), ways=ways,
        choices=_choices((NOT_SO,)), pictures=_pictures(one.ms, pictures), asks_seen=False,
    )  # fmt: skip


def _of_listen(claim: Claim, pictures: Pictures | None, *, exact: bool) -> GapCard:
    """``ways``: what to write where it is wrong; none where nothing is known to be right."""
    text = correction_of(claim).text if claim.off else ""
    entry = f'corrections: [{{text: "{text}", at: "{format_clock(claim.time_ms)}"}}]'
    ways = (WayOut(label="If it is wrong", text=entry, more="at the head of the file"),) if text else ()
    return GapCard(
        name=_exact(claim.time_ms) if exact else format_clock(claim.time_ms), title=f"“{claim.words}”, perhaps of {claim.subject}", why=_sentence("; ".join(filter(None, (claim.recipe, claim.off)))),
        where="", at=format_clock(claim.time_ms), before="", words=claim.said, file="", ways=ways,
        choices=_choices((*((BOTH, OVERLAY, DESCRIPTION) if text else ()), NOT_SO)),
        pictures=_pictures(claim.time_ms, pictures), asks_seen=False,
    )  # fmt: skip


def _before(coverage: Coverage) -> dict[Place, Gate]:
    """Before which step an addition is open: the first of the day that works on it; where it is too late, the first that was filmed."""
    found: dict[Place, Gate] = {}
    for gate in coverage.gates:
        for row in gate.open:
            if gate.filmed == row.too_late:
                found.setdefault(row.addition.place, gate)
    return found


def _choices(answers: Sequence[str]) -> tuple[WayChoice, ...]:
    return tuple(WayChoice(answer=one, label=_CHOICES[one]) for one in answers)


def _about(ms: int) -> tuple[int, ...]:
    return (max(0, ms - ABOUT_MS), ms, ms + ABOUT_MS)


def _pictures(ms: int, pictures: Pictures | None) -> tuple[StripPicture, ...]:
    return () if pictures is None else pictures_at(_about(ms), pictures.found, pictures.length_ms)


def _file(place: Place) -> str:
    return f"{place.file}:{place.line}" if place.file else ""


def _span(rescue: Rescue) -> str:
    cue = rescue.cue
    if cue is None:
        return "no free place in the cut" if rescue.row.in_cut else ""
    return (
        f"{_hundredths(cue.start_ms)} to {_hundredths(cue.end_ms)}{'' if rescue.row.in_cut else ' of the planned cut'}"
    )


def _hundredths(ms: int) -> str:
    return f"{format_clock(ms)}.{ms % 1000 // 10:02d}"


def _exact(ms: int) -> str:
    return f"{format_clock(ms)}.{ms % 1000 // 100}"


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
