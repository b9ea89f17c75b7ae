"""``scriptkit schedule``: who does what when, so that all dishes are ready together."""

from __future__ import annotations

import re
import sys
from typing import Annotated

import typer

from scriptkit.cli.changed import ForServings, reading_for
from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.options import Json, Source
from scriptkit.cli.printing import exit_code, print_json, print_problems
from scriptkit.problems import CannotDo, Place, Problem, error


@command(
    "schedule",
    HelpPage(
        short="who does what when, so that all dishes are ready together",
        reads="a dish or a meal, with its kitchen.",
        writes="a table to standard output, hours and minutes after the first step or times of day.",
        examples=(f"scriptkit schedule {SUPPER} --serve 18:30",),
    ),
)
def schedule(
    source: Source,
    serve: Annotated[
        str, typer.Option(metavar="HH:MM", help="When it is served: prints times of day and when to start.")
    ] = "",
    fewer: Annotated[
        bool, typer.Option("--fewer", help="Also how much longer it takes with one burner, cook or pan less.")
    ] = False,
    servings: ForServings = None,
    json: Json = False,
) -> None:
    """Who does what when, so that all dishes are ready together in the shortest time."""
    raise typer.Exit(run(source, serve=serve, fewer=fewer, servings=servings, as_json=json))


def run(
    source: str, *, serve: str = "", fewer: bool = False, servings: float | None = None, as_json: bool = False
) -> int:
    """``serve``: the hour to serve at; empty: hours and minutes after the first step. ``fewer``: what less of a resource would cost.
    Raises CannotDo where the hour cannot be read, or no schedule keeps the kitchen's limits."""
    from scriptkit.papers.schedule import cost_words, schedule_json, schedule_text
    from scriptkit.papers.timeline import clock
    from scriptkit.production import Production
    from scriptkit.shoot.day.lateness import late_problems
    from scriptkit.shoot.day.schedule import CannotSchedule, schedule_of, with_fewer

    serve_at = _minutes(serve) if serve else None
    production = Production(reading_for(source, servings))
    reading = production.reading
    why: list[Problem] = []
    try:
        schedule = schedule_of(production.source)  # searched for longer than for the papers
    except CannotSchedule as wrong:
        late = production.schedule
        if late is None:
            raise CannotDo(wrong.problems) from None
        schedule = late
        if late.late:
            why = late_problems(production.source, late, wrong.problems)
    costs = [*with_fewer(production.source, schedule)] if fewer else []
    if as_json:
        print_json(schedule_json(schedule, serve_at, costs, production.total_time, production.preheats))
    else:
        print(schedule_text(schedule, serve_at, production.total_time, production.preheats))
        if serve_at is not None:
            print(
                f"Start at {clock(0, schedule, serve_at)}, serve at {clock(schedule.length_min, schedule, serve_at)}."
            )
        for less in costs:
            print(f"{less.words}: {cost_words(less, schedule)}")
    problems = [*reading.problems, *why]
    print_problems(problems, reading.texts)
    print(f"{schedule.title}: scheduled{', not in time' if why else ''}", file=sys.stderr)
    return exit_code(problems)


def _minutes(text: str) -> int:
    found = re.fullmatch(r"([01]?\d|2[0-3])[:.]([0-5]\d)", text.strip())
    if not found:
        raise CannotDo([error(Place("--serve"), "option", f"“{text}” is not a time of day", "write it as 18:30")])
    return int(found.group(1)) * 60 + int(found.group(2))
