"""``scriptkit publish``: what leaves the house with the video."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from scriptkit.cli.command import SUPPER, TIMES, HelpPage, command
from scriptkit.cli.options import CutTimes, Folder, Force, Json, Log, Seen, Source, Templates
from scriptkit.cli.pack import out_of_date, pages_in
from scriptkit.cli.printing import count_words, exit_code, print_json, print_problems
from scriptkit.cli.where_next import print_next_of
from scriptkit.problems import CannotDo, Place, Problem, Severity, error, in_order, note, printable

if TYPE_CHECKING:
    from scriptkit.production import Production
    from scriptkit.recipe.doubt import Doubt


@command(
    "publish",
    HelpPage(
        short="description, chapters, recipe card, linked data",
        reads=f"a dish or a meal. {TIMES} Without them the chapters are those of the plan.",
        writes="publish.html, recipe-card.html, description.txt and pinned-comment.txt into DIR, chapters.vtt and recipe.jsonld "
        "into DIR/files. All or none. What it said is kept beside the recipe (NAME.published.json), for `check FOLDER`.",
        examples=(f"scriptkit publish {SUPPER} --servings 8 -o publish",),
    ),
)
def publish(  # noqa: PLR0917  an option each
    source: Source,
    output: Folder,
    cut: CutTimes = "",
    log: Log = "",
    servings: Annotated[
        float | None, typer.Option("--servings", metavar="N", help="Amounts for N servings, or N plates of a meal.")
    ] = None,
    templates: Templates = "",
    answers: Seen = None,
    force: Force = False,
    json: Json = False,
) -> None:
    """The texts and files that go with the video: description, chapters, recipe card, linked data, pinned comment."""
    raise typer.Exit(
        run(
            source,
            output,
            cut=cut,
            log=log,
            servings=servings,
            templates=templates,
            force=force,
            as_json=json,
            answers=tuple(answers or ()),
        )
    )


LEAST_SERVINGS, MOST_SERVINGS = 0.1, 10_000
"""As a dish file takes them."""


def run(
    source: str,
    output: str,
    *,
    cut: str = "",
    log: str = "",
    servings: float | None = None,
    templates: str = "",
    force: bool = False,
    as_json: bool = False,
    answers: Sequence[str] = (),
) -> int:
    """Writes the files into ``output``. Without a cut, chapters are those of the plan, which is told. Raises CannotDo
    where an ingredient is unconfirmed, a caution of the deadly few or of what those it is for must not eat is not answered, a file cannot be read or written, or so many
    servings cannot be made."""
    from scriptkit.cli.check_folder import keep_record
    from scriptkit.documents import own_template_files, own_templates_told
    from scriptkit.papers.files import publish_files
    from scriptkit.production import read
    from scriptkit.recipe.dish import Meal
    from scriptkit.recipe.unconfirmed import unconfirmed
    from scriptkit.safety.rule_matching import deadly_of, not_for_them_of
    from scriptkit.written_files import write_folder

    misnamed = own_templates_told(templates)
    if servings is not None and not LEAST_SERVINGS <= servings <= MOST_SERVINGS:
        raise _cannot_make(f"{servings:g} servings", f"write a figure from {LEAST_SERVINGS} to {MOST_SERVINGS}")
    production = read(source, cut=cut, log=log, answers=answers)
    if guessed := unconfirmed(production.source):
        raise CannotDo([_not_published(name, doubt) for name, doubt in guessed], production.files)
    title = production.source.name
    if servings is not None and isinstance(production.source, Meal) and servings != int(servings):
        raise _cannot_make(f"{servings:g} plates", "write a whole number of plates")
    not_for_them = not_for_them_of(production.cautions, production.source)
    stopping = [p for p in (*deadly_of(production.cautions), *not_for_them) if p.severity is Severity.ERROR]
    if stopping:
        raise CannotDo(in_order(stopping), production.files)
    chapters = production.chapters
    publication = production.publication(servings)
    files, of_files = publish_files(publication, templates, pages_in(output))
    done = write_folder(output, files, [*production.made_from, *own_template_files(templates)], force=force)
    kept = keep_record(source, production, publication, files, own_templates=bool(templates), cut=cut, log=log)
    told = in_order(
        [
            *production.recipe_problems,
            *_of_chapters(production),
            *production.log_problems,
            *production.said_wrongly,
            *of_files,
        ]
    )
    problems = [*misnamed, *told, *kept, *done.kept, *out_of_date(output, files)]
    if as_json:
        print_json(
            {
                "title": title,
                "folder": output,
                "files": list(done.names),
                "servings": publication.serves,
                "chapters": [{"start_s": c.start_ms / 1000, "name": c.name} for c in chapters.chapters],
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems, production.files)
        print(f"{printable(title)}: {count_words(problems)}", file=sys.stderr)
        print(f"wrote {len(done.names)} files to {output}: {', '.join(done.names)}", flush=True)
        print_next_of(source, cut=cut or "", made="publish")
    return exit_code(problems)


def _not_published(name: str, doubt: Doubt) -> Problem:
    from scriptkit.recipe.doubt import NAME_ITS_STEP

    if doubt.in_tray:
        return error(
            doubt.place, "unconfirmed", f"{name} holds ingredients that no step names: not published", NAME_ITS_STEP
        )
    message = f"{name}: a guess that nobody has confirmed is not published"
    return error(doubt.place, "unconfirmed", message, "check it; if it is right, delete `unsure:`; then publish")


def _cannot_make(what: str, hint: str) -> CannotDo:
    return CannotDo([error(Place("--servings"), "option", f"{what} cannot be made", hint)])


def _of_chapters(production: Production) -> tuple[Problem, ...]:
    """What must be told of where the chapters' times come from."""
    if production.cut is not None:
        return production.placing_problems
    hint = "give the edited video with --cut FILE"
    return (note(production.source.place, "planned", "the chapters are those of the plan", hint),)
