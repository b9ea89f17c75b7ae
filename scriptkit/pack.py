"""The pack: every paper of a production, rendered."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.papers.files import coverage_files, publish_files, shoot_files
from scriptkit.papers.report import report, shoot_part_of
from scriptkit.problems import Problem, in_order
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.timed_text.subrip import write_srt
from scriptkit.timed_text.webvtt import write_vtt


@dataclass(frozen=True, slots=True)
class Pack:
    """Files by name, ready to write, and the problems that still need attention."""

    source: Dish | Meal
    files: dict[str, str]
    problems: tuple[Problem, ...]


def make_pack(production: Production, *, own_templates: str = "") -> Pack:
    """Everything that follows from a production; its coverage where it has a cut or a log. Raises CannotDo where a file
    could not be understood."""
    source = production.source
    files = shoot_files(production, own_templates)
    published, told = publish_files(production.publication(), own_templates)
    problems = in_order([*production.problems, *told])
    covered: dict[str, str] = {}
    if production.has_coverage:
        covered = coverage_files(production.coverage, production.rescues, problems, own_templates)
    files |= {
        "overlays.srt": write_srt(production.cues),
        "overlays.vtt": write_vtt(production.cues, source.name),
        "report.txt": report(
            source,
            by_dish=production.macros.dishes,
            of_meal=production.macros.meal,
            plan=production.plan,
            cues=production.cues,
            cautions=production.cautions,
            problems=problems,
            suggestion=production.suggestion,
            schedule=production.schedule,
            shoot=shoot_part_of(production.order, production.purchases, production.swap_outs, production.chill_clocks),
        ),
    }
    return Pack(source, files | published | covered, tuple(problems))


def make_shoot(production: Production, *, own_templates: str = "") -> Pack:
    """The shoot's papers alone. Raises CannotDo where the file could not be understood."""
    return Pack(production.source, shoot_files(production, own_templates), production.problems)
