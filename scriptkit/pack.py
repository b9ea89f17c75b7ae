"""The pack: every paper of a production, rendered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.papers.binder import INDEX, PRINT_SET, machine
from scriptkit.papers.files import (
    PackPart,
    check_page,
    coverage_files,
    files_of,
    in_pack_order,
    index_page,
    print_set,
    publish_files,
    shoot_files,
)
from scriptkit.papers.report import report, shoot_part_of
from scriptkit.problems import Problem, in_order, warning
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


def make_pack(
    production: Production,
    *,
    own_templates: str = "",
    to_print: bool = False,
    also: Sequence[Problem] = (),
    transcript: str = "",
) -> Pack:
    """Everything that follows from a production; its coverage where it has a cut or a log; nothing to publish while an
    ingredient is unconfirmed. ``to_print``: with the pages of the day in one, to be printed at once. ``also``: what must be told
    beside the production's own problems. ``transcript``: the talk, as it is found from the pack's folder. Raises CannotDo where a file could not be understood."""
    source = production.source
    parts = [PackPart.SHOOT, PackPart.PACK]
    parts += [PackPart.PUBLISH] if not production.unconfirmed else []
    parts += [PackPart.COVERAGE] if production.has_coverage else []
    present = files_of(*parts)
    files = shoot_files(production, own_templates, present)
    published: dict[str, str] = {}
    told = [left_unpublished(production)] if production.unconfirmed else []
    if not production.unconfirmed:
        published, told = publish_files(production.publication(), own_templates, present)
    found = in_order([*production.problems, *also])
    problems = in_order([*found, *told])
    covered: dict[str, str] = {}
    if production.has_coverage:
        covered = coverage_files(
            production.coverage, production.rescues, found, own_templates, present, transcript=transcript
        )
    files |= {
        INDEX: index_page(production, problems, own_templates, present),
        "check.html": check_page(production, problems, own_templates, present),
        machine("overlays.srt"): write_srt(production.cues),
        machine("overlays.vtt"): write_vtt(production.cues, source.name),
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
    if to_print:
        files[PRINT_SET] = print_set(production, files, own_templates)
    return Pack(source, in_pack_order(files | published | covered), tuple(problems))


def left_unpublished(production: Production) -> Problem:
    """What is told of a pack without the files that would be published: a guess never leaves the house."""
    names = ", ".join(production.unconfirmed)
    hint = "confirm them and pack again; files of an earlier pack in the folder are out of date"
    message = f"{', '.join(files_of(PackPart.PUBLISH))} are not written: unconfirmed are {names}"
    return warning(production.source.place, "not-published", message, hint)


def make_shoot(production: Production, *, own_templates: str = "", to_print: bool = False) -> Pack:
    """The shoot's papers alone. Raises CannotDo where the file could not be understood."""
    files = shoot_files(production, own_templates)
    files[INDEX] = index_page(production, production.problems, own_templates, files)
    if to_print:
        files[PRINT_SET] = print_set(production, files, own_templates)
    return Pack(production.source, in_pack_order(files), production.problems)
