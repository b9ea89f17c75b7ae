"""The whole way in one place: read → compute → time → render → write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scriptkit import __version__, pages, pages_mise, pages_on_set, pages_script
from scriptkit.captions.composed import figures_of, overlay_on, usual_overlay, usual_room
from scriptkit.checks import captions, check
from scriptkit.documents import render, template_text
from scriptkit.measure.timecode import RATES
from scriptkit.problems import Problem, in_order
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading
from scriptkit.safety.allergens import allergens_of
from scriptkit.safety.apply import Caution, cautions_in
from scriptkit.shoot.buying import Purchase, purchases_of, write_purchases
from scriptkit.shoot.coverage_order import CoverageOrder, order_of
from scriptkit.shoot.mise import Tray, preheats_of, trays_of
from scriptkit.shoot.plan import Plan, plan_of
from scriptkit.shoot.schedule import CannotSchedule, Schedule, usual_schedule
from scriptkit.shoot.script import Script, script_of
from scriptkit.shoot.shot_csv import write_shots
from scriptkit.shoot.shots import Shot, shots_of
from scriptkit.shoot.swap_outs import ChillClock, SwapOut, chill_clocks, swap_outs_of
from scriptkit.shoot.take_log import rate_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.webvtt import write_vtt

if TYPE_CHECKING:
    from scriptkit.cut.coverage import Coverage
    from scriptkit.publish.chapters import Chapters


def _schedule(source: Dish | Meal) -> Schedule | None:
    """The cook schedule; None where there are no steps, or no order lands (which is among the problems)."""
    try:
        return usual_schedule(source)
    except CannotSchedule:
        return None


def _why_none(source: Dish | Meal) -> tuple[Problem, ...]:
    """Why no order lands; nothing where one does, or where there are no steps."""
    try:
        usual_schedule(source)
    except CannotSchedule as wrong:
        return wrong.problems
    return ()


@dataclass(frozen=True, slots=True)
class Pack:
    """Files by name, ready to write, and what a person must still see to."""

    source: Dish | Meal
    files: dict[str, str]
    problems: tuple[Problem, ...]


def make_pack(reading: Reading, *, own_templates: str = "", coverage: Coverage | None = None) -> Pack:
    """Everything that follows from one dish or meal; with a ``coverage``, what is timed by its cut, and its report. Raises
    CannotDo where the file could not be understood."""
    # 1. read
    source = reading.usable()
    # 2. compute
    figures = figures_of(source)
    # 3. time
    shoot = _shoot(source)
    timed = _timed(source, shoot.plan, coverage)
    problems = [*reading.problems, *timed.problems]
    # 4. render
    from scriptkit.publish.publication import publication_of
    from scriptkit.publishing import publish_files

    files = _shoot_files(shoot, own_templates)
    published, told = publish_files(publication_of(source, timed.chapters), own_templates)
    problems = in_order([*problems, *told])
    covered: dict[str, str] = {}
    if coverage is not None:
        from scriptkit.covering import coverage_files, rescues_in

        covered = coverage_files(coverage, rescues_in(coverage), problems, own_templates)
    files |= {
        "overlays.srt": write_srt(timed.cues),
        "overlays.vtt": write_vtt(timed.cues, source.name),
        "report.txt": pages.report(
            source,
            by_dish=figures.dishes,
            of_meal=figures.meal,
            plan=shoot.plan,
            cues=timed.cues,
            cautions=shoot.cautions,
            problems=problems,
            suggestion=figures.suggestion,
            schedule=shoot.schedule,
            shoot=pages_mise.shoot_text(shoot.order, shoot.purchases, shoot.twins, shoot.clocks),
        ),
    }
    return Pack(source, files | published | covered, tuple(problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Timed:
    cues: Sequence[Cue]
    chapters: Chapters
    problems: Sequence[Problem]


def _timed(source: Dish | Meal, plan: Plan, coverage: Coverage | None) -> _Timed:
    """The overlay and the chapters by the plan, or by the cut where there is one of this recipe; and what is to be told."""
    from scriptkit.publish.chapters import chapters_of_cut, chapters_of_plan

    rate = RATES[source.film.frame_rate]
    if coverage is None or coverage.cut is None or not any(p.time_ms is not None for p in coverage.cut.placements):
        cues, _ = usual_overlay(source)  # what found no room is among the problems of check
        told = [*check(source), *(coverage.problems if coverage is not None else ())]
        return _Timed(cues=on_frames(cues, rate), chapters=chapters_of_plan(plan), problems=told)
    from scriptkit.cut.cut_plan import not_placed, plan_in_cut

    in_cut = plan_in_cut(plan, coverage.cut)
    laid, no_room = overlay_on(source, in_cut, usual_room(source))
    told = [*check(source, without=[captions]), *coverage.problems, *no_room, *not_placed(plan, in_cut)]
    chapters = chapters_of_cut(coverage.cut, source.place)
    return _Timed(cues=on_frames(laid, rate), chapters=chapters, problems=told)


def make_shoot(reading: Reading, *, own_templates: str = "") -> Pack:
    """The shoot's papers alone. Raises CannotDo where the file could not be understood."""
    source = reading.usable()
    problems = in_order([*reading.problems, *check(source)])
    return Pack(source, _shoot_files(_shoot(source), own_templates), tuple(problems))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shoot:
    """What the papers of the day are made of."""

    source: Dish | Meal
    cautions: Sequence[Caution]
    plan: Plan
    shots: Sequence[Shot]
    script: Script
    schedule: Schedule | None
    order: CoverageOrder
    trays: Sequence[Tray]
    purchases: Sequence[Purchase]
    twins: Sequence[SwapOut]
    clocks: Sequence[ChillClock]


def _shoot(source: Dish | Meal) -> _Shoot:
    plan, schedule = plan_of(source), _schedule(source)
    shots = shots_of(plan)
    return _Shoot(
        source=source,
        cautions=cautions_in(source),
        plan=plan,
        shots=shots,
        script=script_of(source),
        schedule=schedule,
        order=order_of(shots, schedule),
        trays=trays_of(source, schedule),
        purchases=purchases_of(source),
        twins=swap_outs_of(source),
        clocks=chill_clocks(source, schedule),
    )


def _shoot_files(of: _Shoot, own_templates: str) -> dict[str, str]:
    page = pages.Page(of.source.name, f"scriptkit {__version__}", pages.printed_cautions(of.cautions))
    with_allergens = replace(page, allergens=tuple(allergens_of(of.source).lines()))
    scripts = [template_text(name, own_templates) for name in pages_on_set.SCRIPTS]
    files = {
        "shoot-list.html": render(
            "shoot-list.html",
            own_templates,
            page=with_allergens,
            **pages.shoot_list(of.plan, of.shots, of.cautions),
            **pages_on_set.on_set(of.plan, of.shots, rate_of(of.source), scripts),
            camera=pages_mise.camera(of.order),
        ),
        "shoot-list.csv": write_shots(of.shots, of.order),
        "mise-en-place.html": render(
            "mise-en-place.html",
            own_templates,
            page=with_allergens,
            trays=pages.trays(of.trays),
            preheats=pages_mise.preheats(preheats_of(of.source, of.schedule)),
        ),
        "labels.html": render("labels.html", own_templates, page=page, **pages_mise.labels(of.trays)),
        "buying.html": render(
            "buying.html", own_templates, page=with_allergens, **pages_mise.buying(of.purchases, of.twins, of.clocks)
        ),
        "buying.csv": write_purchases(of.purchases),
        "script.html": render(
            "script.html", own_templates, page=page, **pages_script.two_columns(of.script, of.cautions)
        ),
        "script.txt": pages_script.reading_text(of.script, of.cautions),
    }
    if of.schedule is not None:
        schedule = pages.cook_schedule(of.schedule)
        files["schedule.html"] = render("schedule.html", own_templates, page=page, **schedule)
    elif why := _why_none(of.source):  # in the place of an earlier one, which nobody must cook by
        files["schedule.html"] = render("no-schedule.html", own_templates, page=page, **pages.no_schedule(why))
    return files
