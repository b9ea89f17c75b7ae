"""Hold plain data against a form: every misfit becomes a problem at its place, and what fits is kept."""

from __future__ import annotations

import copy
import typing
from collections.abc import Iterable
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from scriptkit.problems import Problem, any_of, error, nearest
from scriptkit.recipe.forms import Form
from scriptkit.recipe.yamltree import Path, Tree

F = TypeVar("F", bound=Form)

_ROUNDS = 8
"""Each round takes out what the last one found; nesting is shallower than this."""

_FORM_NAMES = ("function-before", "IngredientForm", "StepForm")


def fit_form(form: type[F], tree: Tree) -> tuple[F | None, list[Problem]]:
    """The form filled from the tree, or None where even its required parts are wrong; and every problem found.

    A value that does not fit is taken out, and the ingredient or step that cannot do without it, so that the rest can
    still be checked in the same run.
    """
    data = copy.deepcopy(tree.data)
    problems: list[Problem] = []
    for _ in range(_ROUNDS):
        try:
            return form.model_validate(data), problems
        except ValidationError as wrong:
            found = wrong.errors(include_url=False)
        for one in found:
            path = _path_in(data, one["loc"])
            if (problem := _problem(form, tree, path, one)) not in problems:
                problems.append(problem)
        for one in found:
            _take_out(data, _path_in(data, one["loc"]), one["type"] == "missing")
    return None, problems


def _path_in(data: Any, loc: Iterable[str | int]) -> Path:
    """pydantic's location without the names of its own validators, as far as it exists in the data."""
    path: list[str | int] = []
    here: Any = data
    for part in loc:
        inside = isinstance(here, list) and isinstance(part, int) and part < len(here)
        if inside or (isinstance(here, dict) and part in here):
            here = here[part]
        elif part == "[key]" or (isinstance(part, str) and part.startswith(_FORM_NAMES)):
            continue
        else:
            return (*path, part)
        path.append(part)
    return tuple(path)


def _take_out(data: Any, path: Path, missing: bool) -> None:
    """Remove the value at the path; for a missing key, what it is missing from."""
    path = path[:-1] if missing else path
    if not path:
        return
    here: Any = data
    for part in path[:-1]:
        try:
            here = here[part]
        except (KeyError, IndexError, TypeError):
            return
    last = path[-1]
    if isinstance(here, dict):
        here.pop(last, None)
    elif isinstance(here, list) and isinstance(last, int) and last < len(here):
        if path[:-1] == ("steps",):
            here[last] = {"stage": "prep", "do": "(not readable)"}  # keeps the later steps' numbers and places
        else:
            del here[last]


def _problem(form: type[Form], tree: Tree, path: Path, one: Any) -> Problem:
    kind, context = one["type"], one.get("ctx", {})
    name = str(path[-1]) if path else "the file"
    place = tree.place(*path)
    if kind == "extra_forbidden":
        known = _known_keys(form, path[:-1])
        meant = nearest(name, known, most=1)
        hint = f"did you mean `{meant[0]}`?" if meant else f"known keys: {', '.join(known)}"
        return error(tree.place(*path, key=True), "unknown-key", f"“{name}” is not a key here", hint)
    if kind == "missing":
        parent = path[:-1]
        inside = f"`{parent[-1]}`" if parent and isinstance(parent[-1], str) else "this step" if parent else "the file"
        return error(tree.place(*parent, key=True), "missing-key", f"{inside} has no `{name}`", _meaning(form, path))
    if one.get("input") is None:
        return error(
            tree.place(*path, key=True),
            "empty",
            f"`{name}` is empty",
            _meaning(form, path) or "write a value or leave the key out",
        )
    message, hint = _words(kind, context, name, one.get("input"))
    return error(place, "wrong-value", message, hint or _meaning(form, path))


def _words(kind: str, context: dict[str, Any], name: str, value: Any) -> tuple[str, str]:
    shown = f"“{value[:40]}”" if isinstance(value, str) else "this"
    if kind == "literal_error":
        allowed = context["expected"].replace("'", "").replace(" or ", ", ").split(", ")
        meant = nearest(str(value), allowed, most=1) if isinstance(value, str) else []
        choice = f"write {any_of(allowed)}"
        return f"{shown} is not a value for `{name}`", f"did you mean `{meant[0]}`? {choice}" if meant else choice
    figures = {
        "greater_than": f"must be above {context.get('gt')}",
        "greater_than_equal": f"must be {context.get('ge')} or more",
        "less_than_equal": f"must be {context.get('le')} or less",
        "less_than": f"must be below {context.get('lt')}",
        "finite_number": "must be a real number",
        "float_parsing": "must be a number",
        "float_type": "must be a number",
        "int_parsing": "must be a whole number",
        "int_type": "must be a whole number",
        "int_from_float": "must be a whole number",
        "int_parsing_size": "must be a smaller number",
        "bool_parsing": "must be true or false",
        "bool_type": "must be true or false",
        "string_type": "must be text, not a list or a group of keys",
        "string_too_long": f"is longer than {context.get('max_length')} characters",
        "string_too_short": "is empty",
        "list_type": "must be a list: - one line for each",
        "dict_type": "must be a group of `key: value` lines",
        "model_type": "must be a group of `key: value` lines",
        "model_attributes_type": "must be a group of `key: value` lines",
        "too_short": "has nothing in it",
        "too_long": f"has more than {context.get('max_length')} entries",
    }
    if kind in ("string_type", "dict_type", "list_type", "model_type", "too_short"):
        return f"`{name}` {figures[kind]}", ""
    said = figures.get(kind)
    return (f"{shown} under `{name}` {said}", "") if said else (f"{shown} does not fit under `{name}`", "")


def _model_at(form: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The form that describes the mapping at this path."""
    here: type[BaseModel] | None = form
    for part in path:
        if isinstance(part, int):
            continue
        field = here.model_fields.get(str(part)) if here else None
        if field is None:
            return here
        here = _model_in(field.annotation) or here
    return here


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in typing.get_args(annotation):
        if found := _model_in(inner):
            return found
    return None


def _known_keys(form: type[BaseModel], path: Path) -> list[str]:
    model = _model_at(form, path)
    return list(model.model_fields) if model else []


def _meaning(form: type[BaseModel], path: Path) -> str:
    """What the form says that this key is for: the hint where nothing better is known."""
    model = _model_at(form, path[:-1])
    field = model.model_fields.get(str(path[-1])) if model and path else None
    if field is None:
        return ""
    examples = f" (such as {any_of([str(e) for e in field.examples[:2]])})" if field.examples else ""
    return f"{field.description or ''}{examples}".strip()
