"""The pack: every paper of a production, rendered."""

from __future__ import annotations

from dataclasses import dataclass, replace

from scriptkit import __version__, pages, pages_mise, pages_on_set, pages_script
from scriptkit.documents import render, template_text
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem, in_order
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.shoot.buying import write_purchases
from scriptkit.shoot.shot_csv import write_shots
from scriptkit.shoot.take_log import rate_of
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.webvtt import write_vtt


@dataclass(frozen=True, slots=True)
class Pack:
    """Files by name, ready to write, and what a person must still see to."""

    source: Dish | Meal
    files: dict[str, str]
    problems: tuple[Problem, ...]


def make_pack(production: Production, *, own_templates: str = "") -> Pack:
    """Everything that follows from a production; its coverage where it has a cut or a log. Raises CannotDo where a file
    could not be understood."""
    from scriptkit.publishing import publish_files

    source = production.source
    files = _shoot_files(production, own_templates)
    published, told = publish_files(production.publication(), own_templates)
    problems = in_order([*production.problems, *told])
    covered: dict[str, str] = {}
    if production.has_coverage:
        from scriptkit.covering import coverage_files

        covered = coverage_files(production.coverage, production.rescues, problems, own_templates)
    files |= {
        "overlays.srt": write_srt(production.cues),
        "overlays.vtt": write_vtt(production.cues, source.name),
        "report.txt": pages.report(
            source,
            by_dish=production.macros.dishes,
            of_meal=production.macros.meal,
            plan=production.plan,
            cues=production.cues,
            cautions=production.cautions,
            problems=problems,
            suggestion=production.suggestion,
            schedule=production.schedule,
            shoot=pages_mise.shoot_text(
                production.order, production.purchases, production.swap_outs, production.chill_clocks
            ),
        ),
    }
    return Pack(source, files | published | covered, tuple(problems))


def make_shoot(production: Production, *, own_templates: str = "") -> Pack:
    """The shoot's papers alone. Raises CannotDo where the file could not be understood."""
    return Pack(production.source, _shoot_files(production, own_templates), production.problems)


def _shoot_files(of: Preproduction, own_templates: str) -> dict[str, str]:
    page = pages.Page(of.source.name, f"scriptkit {__version__}", pages.printed_cautions(of.cautions))
    with_allergens = replace(page, allergens=tuple(of.allergens.lines()))
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
            preheats=pages_mise.preheats(of.preheats),
        ),
        "labels.html": render("labels.html", own_templates, page=page, **pages_mise.labels(of.trays)),
        "buying.html": render(
            "buying.html",
            own_templates,
            page=with_allergens,
            **pages_mise.buying(of.purchases, of.swap_outs, of.chill_clocks),
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
    elif why := of.no_schedule:  # in the place of an earlier one, which nobody must cook by
        files["schedule.html"] = render("no-schedule.html", own_templates, page=page, **pages.no_schedule(why))
    return files
