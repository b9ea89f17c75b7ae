"""``scriptkit confirm``: what only a person can tell of a dish, asked one by one, the one that moves the figures most first."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from scriptkit.cli.command import HelpPage, command
from scriptkit.cli.options import Json
from scriptkit.cli.printing import print_json, print_problems
from scriptkit.cli.where_next import print_next_of_answers
from scriptkit.problems import CannotDo, Place, error

if TYPE_CHECKING:
    from scriptkit.confirming import Question


@command(
    "confirm",
    HelpPage(
        short="confirm what a draft guessed, one key an answer",
        reads="a dish; with --answers a file (.yaml or .json) of answers by the ids that --json prints: the number of a choice, a food, "
        "an amount, servings, or the figures of a label.",
        writes="the dish itself: only what was answered changes, comments and order stay. With --json nothing.",
        exits="0 nothing is left to confirm; 1 something is; 2 could not be done, and nothing was written.",
        examples=("scriptkit confirm examples/fennel-bisque.yaml --json",),
    ),
)
def confirm(
    dish: Annotated[str, typer.Argument(metavar="FILE", help="A dish (YAML).")],
    answers: Annotated[
        str,
        typer.Option("--answers", metavar="FILE", help="Answers by the ids of the questions, instead of a terminal."),
    ] = "",
    json: Json = False,
) -> None:
    """Confirm what is a guess in a dish, and what its figures lack: foods, amounts, egg sizes, labels, servings. It asks for the
    servings first, then what moves calories, net carbs or an allergen most, writes each answer at once, and can be left and taken up again.
    In the terminal ? explains the keys, b takes the last answer back, a lists what is left."""
    raise typer.Exit(run(dish, answers=answers, as_json=json))


def run(path: str, *, answers: str = "", as_json: bool = False) -> int:
    """0 where nothing is left to confirm, else 1. Raises CannotDo where the file cannot be read or changed, an answer does not fit, or
    there is no terminal to ask in."""
    from scriptkit.cli.confirm_terminal import by_hand

    if answers and as_json:
        raise CannotDo([error(Place("--json"), "option", "--json only asks", "use --answers alone, then --json again")])
    if answers:
        return _by_file(path, answers)
    if as_json:
        return _as_json(path)
    if sys.stdin is None or not sys.stdin.isatty():  # None: closed
        message = "there is no terminal to ask in"
        raise CannotDo([error(Place(path), "no-terminal", message, "use --json and --answers FILE")])
    return by_hand(path)


def text_of(path: str) -> str:
    """The file's text. Raises CannotDo where it cannot be read as UTF-8."""
    from scriptkit.input_bytes import bytes_of

    try:
        return bytes_of(path).decode("utf-8")
    except UnicodeDecodeError:
        raise CannotDo([error(Place(path), "not-utf-8", "the file is not UTF-8 text", "save it as UTF-8")]) from None


def lines_as_read(text: str) -> list[str]:
    """Its lines as a reading of it has them."""
    from scriptkit.recipe.yamltree import lines_of

    return list(lines_of(text.removeprefix("\ufeff")))


def _as_json(path: str) -> int:
    from scriptkit.confirming import Asked

    questions = Asked(text_of(path), path).questions()
    print_json({"file": path, "questions": [_question_json(q) for q in questions]})
    return 1 if questions else 0


def _question_json(question: Question) -> dict[str, Any]:
    return {
        "id": question.id,
        "asks": question.asks,
        "ingredient": question.ingredient,
        "question": question.words,
        "read_from": question.read_from,
        "line": question.place.line,
        "moves_kcal": round(question.moves, 1),
        "choices": [
            {
                "answer": n,
                "words": c.words,
                "serving_energy_kcal": None if c.energy_kcal is None else round(c.energy_kcal, 1),
                "serving_net_carbs_g": None if c.net_carbs_g is None else round(c.net_carbs_g, 2),
                "allergens": list(c.allergens),
            }
            for n, c in enumerate(question.choices, 1)
        ],
    }


def _by_file(path: str, answers: str) -> int:
    """All answers of a file, or none where one does not fit."""
    from scriptkit.confirming import Asked, edits_of
    from scriptkit.editing import write_edit

    given = _answers(answers)
    text = text_of(path)
    write_edit(path, edits_of(text, path, given), as_read=lines_as_read(text))
    left = Asked(text_of(path), path, effects=False)
    print_problems(left.production.reading.problems, left.production.files)
    remaining = len(left.questions())
    print(f"{len(given)} answered, {remaining} left to confirm in {path}")
    print_next_of_answers(path)
    return 1 if remaining else 0


def _answers(path: str) -> dict[str, object]:
    """Ids to answers. Raises CannotDo where the file is no mapping; numbers stay numbers."""
    import json

    from scriptkit.recipe.yamltree import parse_tree

    text = text_of(path)
    if Path(path).suffix == ".json":
        try:
            data: object = json.loads(text)
        except ValueError as wrong:
            raise CannotDo(
                [error(Place(path), "json", f"this is not JSON ({wrong})", "check where it was cut off")]
            ) from None
    else:
        tree = parse_tree(text, path)
        if tree.problems:
            raise CannotDo(tree.problems, {path: text.splitlines()})
        data = tree.data
    if not isinstance(data, Mapping):
        raise CannotDo(
            [error(Place(path), "answer", "this is not a list of answers", "write lines such as `food:cream: 1`")]
        )
    return {str(k): _figure(v) for k, v in data.items()}


def _figure(value: object) -> object:
    """Numbers that YAML kept as text."""
    if isinstance(value, Mapping):
        return {k: _number(v) for k, v in value.items()}
    return int(value) if isinstance(value, str) and value.isdigit() and len(value) < 9 else value


def _number(value: object) -> object:
    try:
        return float(value) if isinstance(value, str) else value
    except ValueError:
        return value
