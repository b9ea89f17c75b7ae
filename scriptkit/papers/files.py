"""Which paper is which file of a pack: one table, and the files made by it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from enum import Enum
from typing import TYPE_CHECKING

from scriptkit.documents import render, template_text
from scriptkit.papers.binder import INDEX, PRINT_SET, machine, nav_of
from scriptkit.papers.buying import buying_of, write_purchases
from scriptkit.papers.cautions import deferring_line, printed_cautions
from scriptkit.papers.labels import labels_of
from scriptkit.papers.mise_en_place import mise_en_place_of
from scriptkit.papers.page import Page, values_of
from scriptkit.papers.schedule import no_schedule_of, schedule_page_of
from scriptkit.papers.script import reading_text, two_columns
from scriptkit.papers.shoot_list import shoot_list_of, write_shots
from scriptkit.papers.stage import SCRIPTS, stage_data, stage_of
from scriptkit.papers.today import today_of
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.recipe.day_dishes import dishes_of_the_day
from scriptkit.shoot.day.oven_outs import oven_outs_of
from scriptkit.shoot.log.take_log import rate_of

if TYPE_CHECKING:
    from scriptkit.cut.coverage.coverage import Coverage
    from scriptkit.cut.coverage.rescue import Rescue
    from scriptkit.papers.description import Description
    from scriptkit.papers.gap_cards import Pictures
    from scriptkit.publish.publication import Publication


class PackPart(Enum):
    """What of a pack a file belongs to, by the command that makes it alone."""

    SHOOT = "shoot"
    PUBLISH = "publish"
    COVERAGE = "coverage"
    PACK = "pack"
    PRINT = "print"


CUT_FILE = "cut.yaml"
FILES: dict[str, PackPart] = {
    INDEX: PackPart.SHOOT,
    "buying.html": PackPart.SHOOT,
    "mise-en-place.html": PackPart.SHOOT,
    "labels.html": PackPart.SHOOT,
    "stage.html": PackPart.SHOOT,
    "schedule.html": PackPart.SHOOT,
    "shoot-list.html": PackPart.SHOOT,
    "script.html": PackPart.SHOOT,
    "script.txt": PackPart.SHOOT,
    "check.html": PackPart.PACK,
    "report.txt": PackPart.PACK,
    "coverage.html": PackPart.COVERAGE,
    CUT_FILE: PackPart.COVERAGE,
    "publish.html": PackPart.PUBLISH,
    "recipe-card.html": PackPart.PUBLISH,
    "description.txt": PackPart.PUBLISH,
    "pinned-comment.txt": PackPart.PUBLISH,
    machine("shoot-list.csv"): PackPart.SHOOT,
    machine("buying.csv"): PackPart.SHOOT,
    machine("overlays.srt"): PackPart.PACK,
    machine("overlays.vtt"): PackPart.PACK,
    machine("chapters.vtt"): PackPart.PUBLISH,
    machine("recipe.jsonld"): PackPart.PUBLISH,
    PRINT_SET: PackPart.PRINT,
}
"""Every file that a pack can have, in the order of the work: what is read, then what machines read."""


def files_of(*parts: PackPart) -> tuple[str, ...]:
    """The names of the files of these parts, in their order."""
    return tuple(name for name, part in FILES.items() if part in parts)


def in_pack_order(files: Mapping[str, str]) -> dict[str, str]:
    """The files in the order in which a pack names them."""
    return {name: files[name] for name in FILES if name in files}


def shoot_files(day: Preproduction, own_templates: str = "", beside: Collection[str] = ()) -> dict[str, str]:
    """The papers of the day of the shoot, by name; no schedule where there are no steps. ``beside``: other files that lie in
    the folder, which the pages link to. Raises CannotDo where a template of the cook's own cannot be filled in."""
    present = frozenset(
        {*files_of(PackPart.SHOOT), *beside}
        - ({"schedule.html"} if day.schedule is None and not day.no_schedule else set())
    )
    written = {name: _SHOOT[name](day, own_templates, present) for name in files_of(PackPart.SHOOT) if name != INDEX}
    return {name: text for name, text in written.items() if text is not None}


def index_page(
    day: Preproduction, problems: Sequence[Problem], own_templates: str = "", beside: Collection[str] = ()
) -> str:
    """The page that the binder is opened at, with the cautions in full; ``problems``: all of the pack. Raises CannotDo where a
    template of the cook's own cannot be filled in."""
    nav = nav_of(INDEX, beside)
    page = Page(
        day.source.name,
        cautions=printed_cautions(day.cautions),
        allergens=tuple(day.allergens.lines()),
        unconfirmed=day.unconfirmed,
        nav=nav,
    )
    return render(INDEX, own_templates, page=page, **values_of(today_of(day, nav, problems)))


def check_page(
    day: Preproduction, problems: Sequence[Problem], own_templates: str = "", beside: Collection[str] = ()
) -> str:
    """What needs attention, what is promised, how sure the figures are; ``problems``: all of the pack. Raises CannotDo where a
    template of the cook's own cannot be filled in."""
    from scriptkit.papers.check_page import check_page_of

    page = _page(day, "check.html", beside)
    return render("check.html", own_templates, page=page, **values_of(check_page_of(day, problems)))


def print_set(day: Preproduction, files: Mapping[str, str], own_templates: str = "") -> str:
    """The pages of ``files`` that are carried on the day, in one page to be printed at once. Raises CannotDo where a template of
    the cook's own cannot be filled in."""
    from scriptkit.papers.print_set import print_set_of

    nothing_on_it = () if day.schedule is not None else ("schedule.html",)  # why there is none stands on the first page
    papers = print_set_of(files, nothing_on_it)
    return render(PRINT_SET, own_templates, page=Page(day.source.name), **values_of(papers))


def publish_files(
    publication: Publication, own_templates: str = "", beside: Collection[str] = ()
) -> tuple[dict[str, str], list[Problem]]:
    """What leaves the house with the video, by name, with the page to copy it from, and what a person must be told of it.
    ``beside``: other files that lie in the folder, which the page links to. Raises CannotDo where a template cannot be filled in."""
    from scriptkit.papers.description import fitted
    from scriptkit.papers.page_fit import card_page_of
    from scriptkit.papers.pinned_comment import pinned_comment_of
    from scriptkit.papers.publish_page import publish_page_of
    from scriptkit.publish.linked_data import as_json, linked_data
    from scriptkit.timed_text.webvtt import write_chapters

    def rendered(description: Description) -> str:
        return render("description.txt", own_templates, description=description)

    text, shortened = fitted(publication, rendered)
    data = as_json(linked_data(publication))
    card, two_pages = card_page_of(publication, data)
    chapters = publication.chapters
    pinned = render("pinned-comment.txt", own_templates, comment=pinned_comment_of(publication))
    here = (*files_of(PackPart.PUBLISH), *beside)
    deferring = deferring_line(publication.cautions)
    page = Page(publication.source.name, deferring=deferring, nav=nav_of("publish.html", here))
    files = {
        "publish.html": render(
            "publish.html", own_templates, page=page, **values_of(publish_page_of(text, pinned, here))
        ),
        "description.txt": text,
        machine("chapters.vtt"): write_chapters([(c.start_ms, c.name) for c in chapters.chapters], chapters.end_ms)
        if chapters.chapters
        else "WEBVTT\n",  # a cut in which no step was found
        "pinned-comment.txt": pinned,
        "recipe-card.html": render("recipe-card.html", own_templates, **values_of(card)),
        machine("recipe.jsonld"): data + "\n",
    }
    return in_pack_order(files), [*publication.problems, *shortened, *two_pages]


def coverage_files(
    coverage: Coverage,
    rescues: Sequence[Rescue],
    problems: Sequence[Problem],
    own_templates: str = "",
    beside: Collection[str] = (),
    pictures: Pictures | None = None,
    transcript: str = "",
) -> dict[str, str]:
    """The coverage report's page, with ``pictures`` of the cut where there are any, and the cut file, which a person may correct, where there is a cut of this recipe. ``beside``:
    other files that lie in the folder, which the page links to; ``transcript``: the talk, as it is found from the folder. Raises
    CannotDo where a template of the cook's own cannot be filled in."""
    from scriptkit.cut.coverage.coverage import is_of_it
    from scriptkit.papers.answers_script import ANSWERS_SCRIPT, answers_script
    from scriptkit.papers.coverage import coverage_report

    report = coverage_report(coverage, rescues, problems, pictures)
    asks = any(card.choices for group in report.groups for card in group.cards)
    script = answers_script(template_text(ANSWERS_SCRIPT, own_templates), asks=asks)
    page = Page(coverage.source.name, nav=nav_of("coverage.html", beside))
    files = {"coverage.html": render("coverage.html", own_templates, page=page, answers=script, **values_of(report))}
    if coverage.cut is not None and is_of_it(coverage.cut):
        from scriptkit.cut.cut_file import write_cut

        files[CUT_FILE] = write_cut(coverage.cut, transcript)
    return files


# --- the papers of the day ------------------------------------------------------------------------------------------------


def _page(day: Preproduction, here: str, present: Collection[str]) -> Page:
    """The cautions stand in full on the first page, and are only marked on the others."""
    return Page(
        day.source.name, unconfirmed=day.unconfirmed, deferring=deferring_line(day.cautions), nav=nav_of(here, present)
    )


def _page_with_allergens(day: Preproduction, here: str, present: Collection[str]) -> Page:
    """Of the papers that food is bought, laid out and served from."""
    return replace(_page(day, here, present), allergens=tuple(day.allergens.lines()))


def stage_page(day: Preproduction, own: str = "", present: Collection[str] = (), *, served: bool = False) -> str:
    """The page that stands by the stove. ``served``: it may ask the machine that it comes from; else it asks nobody."""
    data = stage_data(
        day.plan,
        day.order,
        day.script,
        day.cautions,
        rate_of(day.source),
        day.preheats,
        oven_outs_of(day.schedule, day.preheats),
    )
    stage = stage_of(data, [template_text(name, own) for name in SCRIPTS], served=served)
    return render("stage.html", own, page=_page(day, "stage.html", present), **values_of(stage))


def _shoot_list(day: Preproduction, own: str, present: Collection[str]) -> str:
    shots = shoot_list_of(
        day.plan, day.shots, day.cautions, day.order, day.preheats, oven_outs_of(day.schedule, day.preheats)
    )
    return render(
        "shoot-list.html", own, page=_page_with_allergens(day, "shoot-list.html", present), **values_of(shots)
    )


def _mise_en_place(day: Preproduction, own: str, present: Collection[str]) -> str:
    mise = values_of(mise_en_place_of(day.trays, day.preheats, day.cautions, day.on_plates))
    return render("mise-en-place.html", own, page=_page_with_allergens(day, "mise-en-place.html", present), **mise)


def _labels(day: Preproduction, own: str, present: Collection[str]) -> str:
    page = _page(day, "labels.html", present)
    return render("labels.html", own, page=page, **values_of(labels_of(day.trays, day.on_plates, day.source.units)))


def _buying(day: Preproduction, own: str, present: Collection[str]) -> str:
    buying = values_of(buying_of(day.purchases, day.swap_outs, day.chill_clocks))
    return render("buying.html", own, page=_page_with_allergens(day, "buying.html", present), **buying)


def _script(day: Preproduction, own: str, present: Collection[str]) -> str:
    page = _page(day, "script.html", present)
    return render("script.html", own, page=page, **values_of(two_columns(day.script, day.cautions)))


def _schedule(day: Preproduction, own: str, present: Collection[str]) -> str | None:
    page = _page(day, "schedule.html", present)
    if day.schedule is not None:
        view = schedule_page_of(
            day.schedule,
            total=day.total_time,
            cautions=day.cautions,
            dishes=dishes_of_the_day(day.source),
            preheats=day.preheats,
        )
        return render("schedule.html", own, page=page, **values_of(view))
    if day.no_schedule:  # in the place of an earlier one, which nobody must cook by
        return render("no-schedule.html", own, page=page, **values_of(no_schedule_of(day.no_schedule)))
    return None


_SHOOT: dict[str, Callable[[Preproduction, str, Collection[str]], str | None]] = {
    "buying.html": _buying,
    "mise-en-place.html": _mise_en_place,
    "labels.html": _labels,
    "stage.html": stage_page,
    "schedule.html": _schedule,
    "shoot-list.html": _shoot_list,
    "script.html": _script,
    "script.txt": lambda day, *_: reading_text(day.script, day.cautions, day.order),
    machine("shoot-list.csv"): lambda day, *_: write_shots(day.shots, day.order),
    machine("buying.csv"): lambda day, *_: write_purchases(day.purchases),
}
