"""Which paper is which file of a pack: one table, and the files made by it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from enum import Enum
from typing import TYPE_CHECKING

from scriptkit.documents import render, template_text
from scriptkit.papers.buying import buying_of, write_purchases
from scriptkit.papers.cautions import printed_cautions
from scriptkit.papers.labels import labels_of
from scriptkit.papers.mise_en_place import mise_en_place_of
from scriptkit.papers.page import Page, values_of
from scriptkit.papers.schedule import no_schedule_of, schedule_page_of
from scriptkit.papers.script import reading_text, two_columns
from scriptkit.papers.shoot_list import shoot_list_of, write_shots
from scriptkit.papers.stage import SCRIPTS, stage_of
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.shoot.log.take_log import rate_of

if TYPE_CHECKING:
    from scriptkit.cut.coverage.coverage import Coverage
    from scriptkit.cut.coverage.rescue import Rescue
    from scriptkit.papers.description import Description
    from scriptkit.publish.publication import Publication


class PackPart(Enum):
    """What of a pack a file belongs to, by the command that makes it alone."""

    SHOOT = "shoot"
    PUBLISH = "publish"
    COVERAGE = "coverage"
    PACK = "pack"


CUT_FILE = "cut.yaml"
FILES: dict[str, PackPart] = {
    "shoot-list.html": PackPart.SHOOT,
    "shoot-list.csv": PackPart.SHOOT,
    "mise-en-place.html": PackPart.SHOOT,
    "labels.html": PackPart.SHOOT,
    "buying.html": PackPart.SHOOT,
    "buying.csv": PackPart.SHOOT,
    "script.html": PackPart.SHOOT,
    "script.txt": PackPart.SHOOT,
    "schedule.html": PackPart.SHOOT,
    "overlays.srt": PackPart.PACK,
    "overlays.vtt": PackPart.PACK,
    "report.txt": PackPart.PACK,
    "description.txt": PackPart.PUBLISH,
    "chapters.vtt": PackPart.PUBLISH,
    "pinned-comment.txt": PackPart.PUBLISH,
    "recipe-card.html": PackPart.PUBLISH,
    "recipe.jsonld": PackPart.PUBLISH,
    "coverage.html": PackPart.COVERAGE,
    CUT_FILE: PackPart.COVERAGE,
}
"""Every file that a pack can have, in the order in which they are named."""


def files_of(*parts: PackPart) -> tuple[str, ...]:
    """The names of the files of these parts, in their order."""
    return tuple(name for name, part in FILES.items() if part in parts)


def shoot_files(day: Preproduction, own_templates: str = "") -> dict[str, str]:
    """The papers of the day of the shoot, by name; no schedule where there are no steps. Raises CannotDo where a template
    of the cook's own cannot be filled in."""
    written = {name: _SHOOT[name](day, own_templates) for name in files_of(PackPart.SHOOT)}
    return {name: text for name, text in written.items() if text is not None}


def publish_files(publication: Publication, own_templates: str = "") -> tuple[dict[str, str], list[Problem]]:
    """What leaves the house with the video, by name, and what a person must be told of it. Raises CannotDo where a template
    cannot be filled in."""
    from scriptkit.papers.description import fitted
    from scriptkit.papers.page_fit import card_page_of
    from scriptkit.papers.pinned_comment import pinned_comment_of
    from scriptkit.publish.linked_data import as_json, linked_data
    from scriptkit.timed_text.webvtt import write_chapters

    def rendered(description: Description) -> str:
        return render("description.txt", own_templates, description=description)

    text, shortened = fitted(publication, rendered)
    data = as_json(linked_data(publication))
    card, two_pages = card_page_of(publication, data)
    chapters = publication.chapters
    files = {
        "description.txt": text,
        "chapters.vtt": write_chapters([(c.start_ms, c.name) for c in chapters.chapters], chapters.end_ms)
        if chapters.chapters
        else "WEBVTT\n",  # a cut in which no step was found
        "pinned-comment.txt": render("pinned-comment.txt", own_templates, comment=pinned_comment_of(publication)),
        "recipe-card.html": render("recipe-card.html", own_templates, **values_of(card)),
        "recipe.jsonld": data + "\n",
    }
    return files, [*publication.problems, *shortened, *two_pages]


def coverage_files(
    coverage: Coverage, rescues: Sequence[Rescue], problems: Sequence[Problem], own_templates: str = ""
) -> dict[str, str]:
    """The coverage report's page, and the cut file, which a person may correct, where there is a cut of this recipe. Raises
    CannotDo where a template of the cook's own cannot be filled in."""
    from scriptkit.cut.coverage.coverage import is_of_it
    from scriptkit.papers.coverage import coverage_report

    report = values_of(coverage_report(coverage, rescues, problems))
    files = {"coverage.html": render("coverage.html", own_templates, page=Page(coverage.source.name), **report)}
    if coverage.cut is not None and is_of_it(coverage.cut):
        from scriptkit.cut.cut_file import write_cut

        files[CUT_FILE] = write_cut(coverage.cut)
    return files


# --- the papers of the day ------------------------------------------------------------------------------------------------


def _page(day: Preproduction) -> Page:
    return Page(day.source.name, cautions=printed_cautions(day.cautions), unconfirmed=day.unconfirmed)


def _page_with_allergens(day: Preproduction) -> Page:
    """Of the papers that food is bought, laid out and served from."""
    return replace(_page(day), allergens=tuple(day.allergens.lines()))


def _shoot_list(day: Preproduction, own: str) -> str:
    scripts = [template_text(name, own) for name in SCRIPTS]
    shots = shoot_list_of(day.plan, day.shots, day.cautions, day.order)
    stage = stage_of(day.plan, day.order, rate_of(day.source), scripts)
    return render("shoot-list.html", own, page=_page_with_allergens(day), **values_of(shots), **values_of(stage))


def _mise_en_place(day: Preproduction, own: str) -> str:
    mise = values_of(mise_en_place_of(day.trays, day.preheats))
    return render("mise-en-place.html", own, page=_page_with_allergens(day), **mise)


def _labels(day: Preproduction, own: str) -> str:
    return render("labels.html", own, page=_page(day), **values_of(labels_of(day.trays)))


def _buying(day: Preproduction, own: str) -> str:
    buying = values_of(buying_of(day.purchases, day.swap_outs, day.chill_clocks))
    return render("buying.html", own, page=_page_with_allergens(day), **buying)


def _script(day: Preproduction, own: str) -> str:
    return render("script.html", own, page=_page(day), **values_of(two_columns(day.script, day.cautions)))


def _schedule(day: Preproduction, own: str) -> str | None:
    if day.schedule is not None:
        return render(
            "schedule.html", own, page=_page(day), **values_of(schedule_page_of(day.schedule, total=day.total_time))
        )
    if day.no_schedule:  # in the place of an earlier one, which nobody must cook by
        return render("no-schedule.html", own, page=_page(day), **values_of(no_schedule_of(day.no_schedule)))
    return None


_SHOOT: dict[str, Callable[[Preproduction, str], str | None]] = {
    "shoot-list.html": _shoot_list,
    "shoot-list.csv": lambda day, _: write_shots(day.shots, day.order),
    "mise-en-place.html": _mise_en_place,
    "labels.html": _labels,
    "buying.html": _buying,
    "buying.csv": lambda day, _: write_purchases(day.purchases),
    "script.html": _script,
    "script.txt": lambda day, _: reading_text(day.script, day.cautions, day.order),
    "schedule.html": _schedule,
}
