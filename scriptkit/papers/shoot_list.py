"""The shoot list: a row a shot, on the page and in the CSV file. A column of either, or of both, is an entry of COLUMNS."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.measure.unit_system import US, in_scale
from scriptkit.papers.ovens import out_lines, oven_lines
from scriptkit.papers.tables import Column, Head, Span, TableCell, cells_of, csv_of, heads_of
from scriptkit.papers.timeline import SHAPES
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.recipe.leading_units import lead_alone
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.day.oven_outs import OvenOut
from scriptkit.shoot.day.shooting_order import CoverageOrder, block_of, order_of
from scriptkit.shoot.mise_en_place import PreHeat, grams_text, household_text, left_behind_lines
from scriptkit.shoot.plan import Plan
from scriptkit.shoot.shots.framing import TO_CAMERA
from scriptkit.shoot.shots.shots import SIZES, Shot


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedAmount:
    """``name`` is empty where the shot shows one addition only, which its picture names."""

    name: str
    grams: str
    household: str
    measure: str = ""
    """The household measure alone, for the CSV file: its weight has a column of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotRow:
    """A shot as the page says it, with the short cautions of its step where it is the step's first, and its place in the order of
    the day and in the one with fewer camera moves. What there is none of is empty; ``heat`` is told in words, where the step's own work is filmed."""

    shot: Shot
    slate: str
    kind: str
    size: str
    angle: str
    move: str
    sound: str
    step: str
    picture: str
    ingredient: str
    grams: str
    household: str
    heat: str
    planned: str
    irreversible: bool
    swap_out: str
    amounts: tuple[AddedAmount, ...]
    cautions: tuple[str, ...]
    cook_order: int
    grouped_order: int
    dish: str = ""
    """Its short name, where there are several."""
    dish_number: int = 0
    """Which of the shapes and colours is its dish's."""
    begins: bool = False
    """Whether its step begins with it, or goes on after another or when its wait is over."""
    left_behind: tuple[str, ...] = ()
    """What of the food is left behind at the step, at its last shot."""
    start: str = ""
    """When its step begins, or is over where it shows that, from the first step of the day; empty without a schedule."""

    @property
    def cells(self) -> tuple[TableCell, ...]:
        """Its cells on the page."""
        return cells_of(self, COLUMNS)


ONCE_ONLY = "once only"
"""Of a shot that cannot be filmed again."""
_DRAWN = ("overhead", "three-quarter", "eye level")
_STANDS_IN = {
    "twin": "film the one that was made earlier (the twin)",
    "hero": "film the one that is made for the picture alone (the hero)",
}
"""What is filmed in the place of the live dish."""
_SOUND_WORDS = {"SYNC": "To camera", "VO": "Voice-over", "MOS": "No sound"}
_CROPS = {
    "WS": "0 0 64 36", "MS": "8 4.5 48 27", "MCU": "13 7.3 38 21.4", "CU": "18 10.1 28 15.8", "ECU": "23 12.9 18 10.2",
    "OH": "13 7.3 38 21.4",
}  # fmt: skip
"""Shot size → how much of the drawing is seen, as an SVG viewBox."""

# --- the cells of the page that are more than a text --------------------------------------------------------------------


def _picture(row: ShotRow) -> tuple[Span, ...]:
    spans = [Span(row.picture, "strong" if row.ingredient else "")]
    if row.irreversible:
        spans.append(Span(ONCE_ONLY, "once"))
    if row.step:
        where = f"step\N{NO-BREAK SPACE}{row.step}{f', {row.heat}' if row.heat else ''}"
        of_dish = Span(f"{row.dish}, {where}", f"at dish{row.dish_number}", lead=SHAPES[row.dish_number])
        spans.append(of_dish if row.dish else Span(where, "small"))
    spans += [Span(line, "small") for line in row.left_behind]
    if row.swap_out:
        spans.append(Span(_STANDS_IN[row.swap_out], "small"))
    return (*spans, *(Span(line, "care") for line in row.cautions))


def _start(row: ShotRow) -> tuple[Span, ...]:
    return (Span(row.start, "strong" if row.begins else ""),) if row.start else ()


def _amount(row: ShotRow) -> tuple[Span, ...]:
    spans: list[Span] = []
    for amount in row.amounts:
        if amount.name:
            spans.append(Span(amount.name, new_line=bool(spans)))
        spans.append(Span(amount.grams, "strong", new_line=bool(spans) and not amount.name))
        if amount.household:
            spans.append(Span(amount.household, "small", new_line=True))
    return tuple(spans)


def _framing(row: ShotRow) -> tuple[Span, ...]:
    """The picture as a small drawing, then in words."""
    words = ", ".join(part for part in (row.kind, row.shot.look.seen_from, row.move) if part)
    seen = "person" if row.shot.look.kind == TO_CAMERA else row.angle if row.angle in _DRAWN else "three-quarter"
    return Span(seen.replace(" ", "-"), "frame", title=_CROPS.get(row.size, _CROPS["MCU"])), Span(words)


def _listed(texts: Iterable[str]) -> str:
    """What several additions of one shot say, in one cell of the CSV file."""
    return "; ".join(texts)


COLUMNS: tuple[Column[ShotRow], ...] = (
    Column(heading="Done", cls="tick", width=6, tick=True, value=lambda r: f"{r.slate} done"),
    Column(name="shot", value=lambda r: str(r.shot.number)),
    Column(heading="Start", cls="start", width=7, spans=_start),
    Column(name="slate", heading="Slate", cls="slate", width=7, value=lambda r: r.slate),
    Column(heading="Amount", cls="amount", width=16, spans=_amount),
    Column(heading="Picture", cls="item", width=34, spans=_picture),
    Column(heading="Shot", cls="framing", width=20, spans=_framing),
    Column(name="scene", value=lambda r: str(r.shot.scene)),
    Column(name="setup", value=lambda r: r.shot.letter),
    Column(name="dish", value=lambda r: r.shot.dish.name if r.shot.dish else ""),
    Column(name="stage", value=lambda r: r.shot.stage),
    Column(name="step", value=lambda r: r.step),
    Column(name="step_id", value=lambda r: r.shot.step.id if r.shot.step else ""),
    Column(name="kind", value=lambda r: r.kind),
    Column(name="size", value=lambda r: r.size),
    Column(name="angle", value=lambda r: r.angle),
    Column(name="move", value=lambda r: r.shot.look.move),
    Column(name="sound", value=lambda r: r.sound),
    Column(heading="Sound", cls="sound", width=9, value=lambda r: _SOUND_WORDS.get(r.sound, r.sound)),
    Column(name="picture", value=lambda r: r.picture),
    Column(name="ingredient", value=lambda r: _listed(a.ingredient.name for a in r.shot.additions)),
    Column(
        name="grams",
        value=lambda r: _listed("to taste" if a.scale_g is None else f"{a.scale_g:.1f}" for a in r.shot.additions),
    ),
    Column(name="household", value=lambda r: _listed(a.measure or a.household for a in r.amounts).strip("; ")),
    Column(heading="Length", cls="time", head_cls="num", width=8, value=lambda r: r.planned),
    Column(name="planned_s", value=lambda r: f"{r.shot.planned_ms / 1000:.1f}"),
    Column(name="irreversible", value=lambda r: "irreversible" if r.irreversible else ""),
    Column(name="swap_out", value=lambda r: r.swap_out),
    Column(name="camera_setup", value=lambda r: str(r.shot.camera_setup)),
    Column(name="cook_order", value=lambda r: str(r.cook_order)),
    Column(name="grouped_order", value=lambda r: str(r.grouped_order)),
    Column(name="done"),
)
"""``setup`` is the letter on the slate; ``camera_setup`` is the same number wherever the camera need not move. A shot that
shows several additions has them in one cell of the CSV file, apart by semicolons, and so their amounts."""


# --- the page -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotSection:
    """A block of the list, prep or cook, in the order of the day."""

    title: str
    rows: tuple[ShotRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A stay of the camera at one setup."""

    setup: int
    where: str
    slates: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraMoves:
    """The moves of the camera in cook order and grouped by setup, and the grouped order, a stay a row."""

    moves: int
    grouped_moves: int
    setups: int
    words: str
    stays: tuple[Stay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShootList:
    """The page's blocks, prep and cook, its key and its counts. ``timed``: whether the rows say when their step begins."""

    heads: tuple[Head, ...]
    sections: tuple[ShotSection, ...]
    key: tuple[str, ...]
    sounds: tuple[str, ...]
    shots: int
    additions: int
    irreversible: int
    length: str
    camera: CameraMoves
    timed: bool
    ovens: tuple[str, ...]
    """When each oven is switched on."""


def shoot_list_of(
    plan: Plan,
    shots: Sequence[Shot],
    cautions: Sequence[Caution] = (),
    order: CoverageOrder | None = None,
    preheats: Sequence[PreHeat] = (),
    outs: Sequence[OvenOut] = (),
) -> ShootList:
    """A step's cautions stand, in short, at its first shot. ``order``: in which to film the shots; left out, as they are
    cooked without a schedule."""
    order = order or order_of(shots)
    sections = [
        ShotSection(title=title, rows=tuple(rows))
        for title, rows in itertools.groupby(
            rows_of(shots, cautions, order, dishes_of_the_day(plan.meal or plan.dishes[0])),
            key=lambda r: _BLOCKS[block_of(r.shot)],
        )
    ]
    used = {s.look.size for s in shots}
    return ShootList(
        heads=heads_of(COLUMNS),
        sections=tuple(sections),
        key=tuple(f"{size} {words}" for size, words in SIZES.items() if size in used),
        sounds=tuple(sorted({s.sound for s in shots})),
        shots=len(shots),
        additions=sum(len(s.additions) for s in shots),
        irreversible=sum(s.irreversible for s in shots),
        length=format_clock(plan.length_ms),
        camera=camera_moves(order),
        timed=bool(order.start_min),
        ovens=(*oven_lines(preheats), *out_lines(outs)),
    )


def rows_of(
    shots: Sequence[Shot], cautions: Sequence[Caution], order: CoverageOrder, dishes: Sequence[Dish] = ()
) -> list[ShotRow]:
    """A row a shot, in the order of the printed list; ``dishes`` in the order in which every page counts them."""
    cooked = {shot.number: n for n, shot in enumerate(order.cooked, 1)}
    grouped = {shot.number: n for n, shot in enumerate(order.grouped, 1)}
    rows = []
    listed = order.listed
    shown = dict.fromkeys(s.dish.file for s in shots if s.dish is not None)
    files, several = list(dict.fromkeys([*(d.file for d in dishes), *shown])), len(shown) > 1
    begins, ends = {id(s.step): s for s in reversed(listed)}, {id(s.step): s for s in listed}
    for before, shot in zip([None, *listed], listed, strict=False):
        first = begins[id(shot.step)] is shot
        turns = before is None or before.step is not shot.step or before.when_over is not shot.when_over
        care = short_cautions(shot.step, cautions) if first and shot.step is not None else ()
        row = _row(shot, care, cooked[shot.number], grouped[shot.number])
        at = order.start_min.get(shot.number)
        name = shot.dish.short if several and shot.dish is not None else ""
        number = files.index(shot.dish.file) % len(SHAPES) if shot.dish is not None else 0
        last = ends[id(shot.step)] is shot
        behind = left_behind_lines(shot.dish, shot.step) if last and shot.dish and shot.step else ()
        start = "" if at is None else _after(at)
        rows.append(replace(row, dish=name, dish_number=number, left_behind=behind, start=start, begins=turns))
    return rows


def short_cautions(step: Step, cautions: Sequence[Caution]) -> tuple[str, ...]:
    """The cautions of a step in a few words, each once."""
    here = [c for c in cautions if c.step is step]
    lines = [line for c in here for line in (*c.overlay, c.doneness.line() if c.doneness else "") if line]
    return tuple(dict.fromkeys(lines))


def _after(minute: float) -> str:
    """Hours and minutes after the beginning, as the schedule has them: ``1:05``; half minutes are rounded down."""
    return f"{int(minute) // 60}:{int(minute) % 60:02d}"


def _measure(addition: Addition) -> str:
    """As the cook measures it out: in US units what leads, with the bones that are on it; else the household measure."""
    if addition.ingredient.units == US and addition.each is None and addition.grams is not None:
        return lead_alone(addition)
    return household_text(addition) if addition.ingredient.with_it else addition.household


def _row(shot: Shot, cautions: tuple[str, ...], cook_order: int, grouped_order: int) -> ShotRow:
    amounts = tuple(
        AddedAmount(
            name=a.ingredient.short_name if len(shot.additions) > 1 else "",
            grams=grams_text(a),
            household=household_text(a),
            measure=_measure(a),
        )
        for a in shot.additions
    )
    return ShotRow(
        shot=shot,
        slate=shot.slate,
        kind=shot.look.kind,
        size=shot.look.size,
        angle=shot.look.angle,
        move="" if shot.look.move == "static" else shot.look.move,
        sound=shot.sound,
        step=str(shot.step.number) if shot.step else "",
        picture=shot.what,
        ingredient=shot.additions[0].ingredient.short_name if shot.additions else "",
        grams=amounts[0].grams if amounts else "",
        household=amounts[0].household if amounts else "",
        heat=in_scale(shot.step.reading.heat.shown, shot.step.units) if shot.step and not shot.additions else "",
        planned=format_duration(shot.planned_ms),
        irreversible=shot.irreversible,
        swap_out=shot.swap_out,
        amounts=amounts,
        cautions=cautions,
        cook_order=cook_order,
        grouped_order=grouped_order,
    )


_BLOCKS = ("Prep", "Cook")


def camera_moves(order: CoverageOrder) -> CameraMoves:
    """How often the camera moves in each order, and its stays in the grouped one."""
    stays = [list(shots) for _, shots in itertools.groupby(order.grouped, key=lambda s: s.camera_setup)]
    return CameraMoves(
        moves=order.moves_cooked,
        grouped_moves=order.moves_grouped,
        setups=len({s.camera_setup for s in order.cooked}),
        words=(
            f"{order.moves_cooked} camera moves in the order of the day, {order.moves_grouped} with the repeatable shots grouped by setup"
        ),
        stays=tuple(
            Stay(
                setup=stay[0].camera_setup,
                where=f"{stay[0].look.seen_from or stay[0].look.angle}, {stay[0].place}",
                slates=tuple(s.slate for s in stay),
            )
            for stay in stays
        ),
    )


# --- the CSV file ---------------------------------------------------------------------------------------------------------


def write_shots(shots: Sequence[Shot], order: CoverageOrder | None = None) -> str:
    """CSV (RFC 4180) with a header; grams to 0.1 and seconds to 0.1, with a point. ``order``: in which to film them; left
    out, as they are cooked without a schedule."""
    return csv_of(rows_of(shots, (), order or order_of(shots)), COLUMNS)
