"""Today: the page that a binder is opened at. How long the day is, what is on the plate, where to go, what needs attention."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scriptkit.measure.numbers import round_half_up
from scriptkit.papers.binder import Nav
from scriptkit.papers.ovens import out_lines, oven_lines
from scriptkit.papers.plate_picture import PlatePicture, plate_picture
from scriptkit.papers.schedule import length_words
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem, Severity
from scriptkit.publish.made_for import made_for
from scriptkit.recipe.dish import Meal
from scriptkit.shoot.day.oven_outs import oven_outs_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A tab of the day: what is behind it in one line, and where it leads."""

    name: str
    href: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A problem on a page: ``kind`` is *error*, *warning* or *note*; ``where`` is the line of the recipe's file."""

    kind: str
    where: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """The values of index.html. ``length`` and ``length_unit`` are its largest figure, empty where there is no schedule."""

    serves: str
    length: str
    length_unit: str
    length_words: str
    alone: str
    plate: PlatePicture | None
    made_for: str
    """Whom it is made for, and to whom that defers; empty where the file names nobody."""
    ovens: tuple[str, ...]
    stops: tuple[Stop, ...]
    attention: tuple[Told, ...]


def today_of(day: Preproduction, nav: Nav, problems: Sequence[Problem]) -> Today:
    """``nav``: the tabs that there are; each but this page is a stop."""
    schedule, source = day.schedule, day.source
    count, noun = (source.plates, "plate") if isinstance(source, Meal) else (source.servings, "serving")
    length, unit = _hours(schedule.length_min) if schedule is not None else ("", "")
    total = day.total_time
    return Today(
        serves=f"{count:g} {noun}{'' if count == 1 else 's'}",
        length=length,
        length_unit=unit,
        length_words="" if schedule is None else length_words(schedule),
        alone=f"Without a camera: {total.words}." if total.words else "",
        plate=plate_picture(day.macros) if day.macros.dishes else None,
        made_for=made_for(source),
        ovens=(*oven_lines(day.preheats), *out_lines(oven_outs_of(day.schedule, day.preheats))),
        stops=tuple(
            Stop(name=tab.name, href=tab.href, what=what)
            for tab in nav.tabs
            if not tab.here and (what := _what(tab.name, day))
        ),
        attention=told(p for p in problems if p.severity is not Severity.NOTE),
    )


def told(problems: Iterable[Problem]) -> tuple[Told, ...]:
    """The problems as a page shows them."""
    return tuple(
        Told(kind=str(p.severity), where=f"{p.place.file}, line {p.place.line}", message=p.message, hint=p.hint)
        for p in problems
    )


def _hours(minutes: float) -> tuple[str, str]:
    """``("72", "min")``, ``("2 h 5", "min")``, ``("3", "h")``."""
    whole = int(round_half_up(minutes))
    if whole < 100:
        return str(whole), "min"
    return (f"{whole // 60} h {whole % 60}", "min") if whole % 60 else (str(whole // 60), "h")


def _what(tab: str, day: Preproduction) -> str:
    bowls = sum(len(tray.bowls) for tray in day.trays) + len(day.on_plates)
    sync = sum(shot.sound == "SYNC" for shot in day.shots)
    order = "in the order of the day"
    if day.order.listed != day.order.cooked:
        order = f"in two blocks, prep and cook, each {order}"
    to_camera = f"; {_many(sync, 'shot')} to camera" if sync else ""
    return {
        "Shop": f"{_many(len(day.purchases), 'food')} to buy{', and what to make ahead' if day.swap_outs else ''}",
        "Bowls": f"{_many(bowls, 'bowl')} to weigh out, with labels",
        "Cook & film": f"{_many(len(day.shots), 'shot')} {order}; take log and schedule",
        "Lines": f"what to say{to_camera}",
        "Check": "what needs attention, promises, figures and what is filmed",
        "Publish": "description, recipe card, chapters and the note to pin",
    }.get(tab, "")


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
