"""``scriptkit new``: start a dish or a meal, with the schema beside it that an editor explains it by."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from scriptkit import file_in_hand
from scriptkit.cli.command import SUPPER, HelpPage, command
from scriptkit.cli.where_next import print_next, print_next_of
from scriptkit.problems import CannotDo, Place, error, note


@command(
    "new",
    HelpPage(
        short="start a dish or a meal, or draft one from a recipe",
        reads="nothing; with --from a saved web page (.html), schema.org data (.json, .jsonld), a text or Markdown with an ingredient list, or a table of ingredients (.csv). "
        "Nothing is fetched.",
        writes="one YAML file, and beside it dish.schema.json or meal.schema.json if missing, which gives your "
        "editor autocomplete and help for the file; with --example the files of an example into the folder examples. No file is ever replaced.",
        exits="0 done; 1 drafted, and something in it must be confirmed; 2 could not be done, and nothing was written.",
        examples=(
            'scriptkit new "Cod with leeks"',
            "scriptkit new --example harbour-supper",
            f'scriptkit new "Quay plate" --dish {SUPPER.replace("harbour-supper", "fennel-bisque")} --dish examples/seared-hake.yaml',
        ),
    ),
)
def new(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="NAME", help="Name of the dish or meal. With --from you may leave it out: the recipe's name."
        ),
    ] = None,
    output: Annotated[
        str,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="File to write. Default: named after the dish. With --example: the folder, by default examples.",
        ),
    ] = "",
    found_in: Annotated[
        str,
        typer.Option(
            "--from",
            metavar="FILE",
            help="A recipe to draft it from: a saved page, schema.org JSON-LD, plain text, Markdown, or a CSV of ingredients.",
        ),
    ] = "",
    which: Annotated[
        str,
        typer.Option(
            "--recipe", metavar="NAME", help="Which recipe, if the file of --from has several: its name or number."
        ),
    ] = "",
    dishes: Annotated[
        list[str] | None,
        typer.Option("--dish", metavar="FILE", help="Start a meal of this dish instead. May be repeated."),
    ] = None,
    example: Annotated[
        str,
        typer.Option(
            "--example",
            metavar="NAME",
            help="Write an example with its dishes; `all` writes every one, `list` names them.",
        ),
    ] = "",
) -> None:
    """Start a dish from its name, draft one from a recipe, or start a meal of dishes. What you must fill in or confirm is marked."""
    raise typer.Exit(run(name, output, found_in, dishes or (), example, which=which))


_RESERVED = re.compile(r"^(?:con|prn|aux|nul|com\d|lpt\d)$", re.IGNORECASE)

LARGEST_PAGE = 20_000_000
"""Bytes of a saved page; its pictures lie beside it."""

_MEAL = """\
{schema}
meal: {name}
plates: 2
dishes:
{dishes}
# at_most: {{net_carbs_g: 20}}      what the viewer is promised of a plate
# at_least: {{protein_g: 30}}
# kitchen: {{cooks: 1, burners: 4, ovens: 1, jug: 1.5 l}}
"""


def run(
    name: str | None,
    output: str,
    found_in: str = "",
    dishes: Sequence[str] = (),
    example: str = "",
    *,
    which: str = "",
) -> int:
    """Write a dish file with the foods of its name and every guess marked, a draft of the recipe in ``found_in``, or a meal of
    ``dishes``; and the schema beside it, where there is none yet; or the files of an ``example``. Raises CannotDo where the file exists
    already, and where there is neither a name nor a recipe."""
    if example:
        from scriptkit.cli.example import run as lay_out

        if name is not None or found_in or dishes:
            message, hint = "an example has its own name and dishes", "use --example alone, or with -o FOLDER"
            raise CannotDo([error(Place("--example"), "option", message, hint)])
        return lay_out(example, output)
    if found_in and dishes:
        raise CannotDo(
            [error(Place("--dish"), "option", "a meal is not drafted from a recipe", "use --from or --dish, not both")]
        )
    if found_in:
        return _draft(name or "", output, found_in, which)
    if name is None or not _clean(name):
        hint = 'write one, such as `scriptkit new "Cod with leeks"`, or name a recipe with --from FILE'
        raise CannotDo([error(Place("NAME"), "option", "the dish has no name", hint)])
    path = Path(output or f"{slug(name)}.yaml")
    if dishes:
        _write_new(
            path, _MEAL.format(schema=_pointer("meal"), name=_quoted(name), dishes=_portions(dishes, path)), "meal"
        )
    else:
        from scriptkit.drafting.first_recipe import first_recipe

        _write_new(path, first_recipe(_clean(name), _pointer("dish")), "dish")
    named = shlex.quote(str(path))
    print_next(f"fill in {named}, then scriptkit check {named}")
    return 0


def schema_file(kind: str) -> str:
    """The name of the schema beside the files of a kind."""
    return f"{kind}.schema.json"


def _pointer(kind: str) -> str:
    """The first line of a file, from which an editor knows what may stand in it."""
    return f"# yaml-language-server: $schema={schema_file(kind)}"


def _portions(dishes: Sequence[str], meal: Path) -> str:
    """A line for each dish, its file as it is found from the meal's folder. Raises CannotDo where one is not there."""
    import json

    missing = [d for d in dishes if not Path(d).is_file()]
    if missing:
        raise CannotDo([error(Place(d), "no-such-file", "there is no such dish", "check --dish") for d in missing])
    rows = []
    for dish in dishes:
        path = Path(dish)
        try:
            path = path.resolve().relative_to(meal.parent.resolve())
        except ValueError:
            path = path.resolve()
        rows.append(f"  - {{dish: {json.dumps(path.as_posix(), ensure_ascii=False)}, portion: 1 serving}}")
    return "\n".join(rows)


def _draft(name: str, output: str, found_in: str, which: str) -> int:
    """1 where something of the draft must be confirmed or cannot be read as it stands, which is told; else 0."""
    from scriptkit.cli.printing import exit_code, print_problems
    from scriptkit.drafting.draft import draft
    from scriptkit.drafting.raw_recipe import NoRecipe
    from scriptkit.drafting.source import recipe_of
    from scriptkit.recipe.reader import read_source

    raw = _bytes(found_in)
    try:
        made = draft(recipe_of(raw, found_in, which), name=name, file=Path(found_in).name)
    except NoRecipe as wrong:
        raise CannotDo([error(Place(found_in), "no-recipe", str(wrong), wrong.hint)]) from None
    path = Path(output or f"{slug(made.name)}.yaml")
    guesses = "1 guess" if made.guesses == 1 else f"{made.guesses} guesses"
    guessed = f"{guesses} to confirm, marked `unsure:`" if made.guesses else "nothing to confirm"
    told = f": {made.ingredients} ingredients, {made.steps} steps; {guessed}"
    _write_new(path, f"{_pointer('dish')}\n{made.text}", "dish", told)
    reading = read_source(str(path))
    print_problems([note(Place(found_in), "source", remark) for remark in made.remarks])
    print_problems(reading.problems, reading.texts)
    print_next_of(str(path), reading.problems)
    return exit_code(reading.problems)


def _bytes(path: str) -> bytes:
    from scriptkit.input_bytes import first_bytes

    file_in_hand.take(path)
    try:
        raw = first_bytes(Path(path), LARGEST_PAGE + 1)
    except (OSError, ValueError) as wrong:
        why = getattr(wrong, "strerror", None) or str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the recipe cannot be read: {why}", "check --from")]
        ) from None
    if len(raw) > LARGEST_PAGE:
        raise CannotDo([error(Place(path), "too-large", "more than 20 MB", "check which file this is")])
    return raw


def _write_new(path: Path, text: str, kind: str, told: str = "") -> None:
    """The file and, where there is none beside it, its schema; both, or neither. Never over another file."""
    import json

    from scriptkit.recipe.schema import json_schema
    from scriptkit.writing import create_files

    schema = path.parent / schema_file(kind)
    files = {path: text}
    if not schema.exists():
        files[schema] = json.dumps(json_schema(kind), ensure_ascii=False, indent=2) + "\n"
    create_files(files)
    print(f"wrote {path}{told}")
    if schema in files:
        print(f"wrote {schema}: gives your editor autocomplete and help for the file")


def slug(name: str) -> str:
    """A file name that every system takes: lower case letters, figures and hyphens."""
    import unicodedata

    plain = unicodedata.normalize("NFKD", name.casefold())
    words = re.findall(
        r"[a-z0-9]+", "".join(c for c in re.sub(r"['’](?=s\b)", "", plain) if not unicodedata.combining(c))
    )
    made = "-".join(words)[:60].strip("-") or "dish"
    return f"dish-{made}" if _RESERVED.match(made) else made


def _clean(name: str) -> str:
    """The name on one line, without what cannot be seen."""
    return " ".join("".join(c if c.isprintable() else " " for c in name).split())[:120]


def _quoted(name: str) -> str:
    """The name as a YAML value."""
    import json

    return json.dumps(_clean(name), ensure_ascii=False)
