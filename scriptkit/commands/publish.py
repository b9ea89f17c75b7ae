"""``scriptkit publish``: what leaves the house with the video."""

from __future__ import annotations

import sys

from scriptkit.checks import check
from scriptkit.commands.printing import count_words, exit_code, print_json, print_problems
from scriptkit.documents import own_template_files, own_templates_told
from scriptkit.problems import CannotDo, Place, Problem, error, in_order, note, printable
from scriptkit.publish.chapters import Chapters, chapters_of_cut, chapters_of_plan
from scriptkit.publish.publication import publication_of
from scriptkit.publishing import publish_files
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
from scriptkit.writing import write_all

LEAST_SERVINGS, MOST_SERVINGS = 0.1, 10_000
"""As a dish file takes them."""


def run(
    source: str,
    output: str,
    *,
    cut: str = "",
    servings: float | None = None,
    templates: str = "",
    as_json: bool = False,
) -> int:
    """Writes the five files into ``output``. Without a cut, chapters are those of the plan, which is told. Raises CannotDo
    where a file cannot be read or written, or so many servings cannot be made."""
    misnamed = own_templates_told(templates)
    if servings is not None and not LEAST_SERVINGS <= servings <= MOST_SERVINGS:
        raise _cannot_make(f"{servings:g} servings", f"write a figure from {LEAST_SERVINGS} to {MOST_SERVINGS}")
    reading = read_source(source)
    read = reading.usable()
    if servings is not None and isinstance(read, Meal) and servings != int(servings):
        raise _cannot_make(f"{servings:g} plates", "write a whole number of plates")
    chapters, told = _chapters(read, cut)
    publication = publication_of(read, chapters, servings)
    files, of_files = publish_files(publication, templates)
    write_all(output, files, [*reading.texts, cut, *own_template_files(templates)])
    problems = [*misnamed, *in_order([*reading.problems, *check(read), *told, *of_files])]
    if as_json:
        print_json(
            {
                "title": read.name,
                "folder": output,
                "files": list(files),
                "servings": publication.serves,
                "chapters": [{"start_s": c.start_ms / 1000, "name": c.name} for c in chapters.chapters],
                "problems": [p.as_json() for p in problems],
            }
        )
    else:
        print_problems(problems, reading.texts)
        print(f"{printable(read.name)}: {count_words(problems)}", file=sys.stderr)
        print(f"wrote {len(files)} files to {output}: {', '.join(files)}")
    return exit_code(problems)


def _cannot_make(what: str, hint: str) -> CannotDo:
    return CannotDo([error(Place("--servings"), "option", f"{what} cannot be made", hint)])


def _chapters(source: Dish | Meal, cut: str) -> tuple[Chapters, list[Problem]]:
    if not cut:
        told = note(
            source.place, "planned", "the chapters are those of the plan", "give the edited video with --cut FILE"
        )
        return chapters_of_plan(plan_of(source)), [told]
    from scriptkit.cut.source import cut_of

    found = cut_of(source, cut)
    return chapters_of_cut(found, source.place), [*found.problems]
