"""Hold plain data against a form: every misfit becomes a problem at its place, and what fits is kept."""

from __future__ import annotations

import re
import typing
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from scriptkit.measure.numbers import in_figures
from scriptkit.problems import Problem, any_of, error, nearest
from scriptkit.recipe.as_meant import as_meant
from scriptkit.recipe.form_values import Form, MacroName
from scriptkit.recipe.forms import LabelForm
from scriptkit.recipe.yaml_slips import quoted
from scriptkit.recipe.yamltree import Path, Tree

F = TypeVar("F", bound=Form)

_ROUNDS = 8
"""Each round takes out what the last one found; nesting is shallower than this."""
_MOST_A_ROUND = 500
"""More misfits than a person reads; it also bounds the work that a hostile file can ask for."""

_UNITS = r"g|kg|ml|l|cl|dl|oz|lb|tbsp|tsp|cups?|tablespoons?|teaspoons?|small|medium|large|cloves?|pinch|bunch(?:es)?|tins?|cans?|sprigs?"
UNREAD = "(not readable)"
"""Stands where a required text could not be read, so that what stands around it can still be checked."""

_FIGURES = tuple(name for name in LabelForm.model_fields if name.endswith(("_g", "_kcal", "_mg")))
_STAND_INS: tuple[tuple[tuple[str, ...], Any], ...] = (
    (("dish",), UNREAD),
    (("meal",), UNREAD),
    (("servings",), "1"),
    (("ingredients", "*"), {"amount": UNREAD}),
    (("ingredients", "*", "amount"), UNREAD),
    (("steps", "*"), {"stage": "cook", "do": UNREAD, "screen": "0 s"}),  # keeps the later steps' numbers
    (("steps", "*", "stage"), "cook"),
    (("steps", "*", "do"), UNREAD),
    (("steps", "*", "add", "*"), UNREAD),
    (("measures", "*"), UNREAD),
    (("foods", "*"), {"basis": "us", **dict.fromkeys(_FIGURES, "0")}),
    (("foods", "*", "basis"), "us"),
    *((("foods", "*", name), "0") for name in _FIGURES),
)

_FORM_NAMES = ("function-before", "IngredientForm", "StepForm")


def fit_form(form: type[F], tree: Tree) -> tuple[F | None, list[Problem]]:
    """The form filled from the tree, or None where even its required parts are wrong; and every problem found.

    So that one fault neither hides another nor draws more after it, the rest is read as it was most likely meant: a
    misspelt key as the known one, a required value as a stand-in. ``tree.unread`` then names what was taken out, and the
    tree's places follow what moved.
    """
    data = _copied(tree.data)
    problems: dict[Problem, None] = dict.fromkeys(as_meant(data, tree, lambda path: _keys_at(form, path)))
    for _ in range(_ROUNDS):
        try:
            return form.model_validate(data), list(problems)
        except ValidationError as wrong:
            found = [(_path_in(data, one["loc"]), one) for one in wrong.errors(include_url=False)[:_MOST_A_ROUND]]
        renamed = _renamed(form, data, found)
        for path, one in found:
            if path not in renamed.values() and not _follows(tree, path, one["type"]):
                problems[_problem(form, tree, path, one)] = None
        _mend(data, tree, found, renamed)
    return None, list(problems)


def _copied(data: Any) -> Any:
    """Dictionaries, lists and texts, as a tree has them."""
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(value) for value in data] if isinstance(data, list) else data


def _follows(tree: Tree, path: Path, kind: str) -> bool:
    """Whether a misfit only follows from one that has been told."""
    emptied = kind == "too_short" and any(p[: len(path)] == path for p in tree.unread)
    return emptied or (kind == "missing" and path in tree.unread)


def _renamed(form: type[Form], data: Any, found: Iterable[tuple[Path, Any]]) -> dict[Path, Path]:
    """Misspelt keys and what they were most likely meant to be, where that does not stand there too."""
    renamed: dict[Path, Path] = {}
    for path, one in found:
        if one["type"] == "extra_forbidden":
            known = _known_keys(form, path[:-1])
            for meant in _called(path[-1], known) or nearest(str(path[-1]), known, most=1):
                target = (*path[:-1], meant)
                if meant not in _at(data, path[:-1]) and target not in renamed.values():
                    renamed[path] = target
    return renamed


def _mend(data: Any, tree: Tree, found: Iterable[tuple[Path, Any]], renamed: Mapping[Path, Path]) -> None:
    """Rename misspelt keys, put stand-ins where there are some, and take the other misfits out."""
    moves = dict(renamed)
    items: dict[Path, set[int]] = defaultdict(set)
    for path, target in renamed.items():
        parent = _at(data, path[:-1])
        parent[target[-1]] = parent.pop(path[-1])
    for misfit, one in found:
        if misfit in renamed or misfit in renamed.values():
            continue
        path = misfit
        if one["type"] == "missing" and _stand_in(path) is None:
            path = path[:-1]  # what lacks it cannot be used
        while path and not isinstance(_at(data, path[:-1]), dict | list):
            path = path[:-1]  # `butter: 30 g` has no `amount` that could be taken out alone
        if not path:
            continue
        parent, last = _at(data, path[:-1]), path[-1]
        tree.unread.add(path)
        stand_in = _stand_in(path)
        if stand_in is not None and one["loc"][-1] != "[key]":
            parent[last] = _copied(stand_in)
        elif isinstance(parent, list):
            items[path[:-1]].add(int(last))
        else:
            parent.pop(last, None)
    moves |= _without_items(data, items)
    if moves:
        tree.moved(moves)


def _without_items(data: Any, items: Mapping[Path, set[int]]) -> dict[Path, Path]:
    """Take items out of their lists; where the later ones moved to."""
    moves: dict[Path, Path] = {}
    for path, gone in items.items():
        found = _at(data, path)
        kept = [n for n in range(len(found)) if n not in gone]
        moves |= {(*path, old): (*path, new) for new, old in enumerate(kept) if new != old}
        found[:] = [found[n] for n in kept]
    return moves


def _at(data: Any, path: Path) -> Any:
    """What stands at the path, or None."""
    for part in path:
        inside = isinstance(data, list) and isinstance(part, int) and part < len(data)
        if not inside and not (isinstance(data, dict) and part in data):
            return None
        data = data[part]
    return data


def _stand_in(path: Path) -> Any:
    """What stands in for the value at the path, or None."""
    return next((value for pattern, value in _STAND_INS if _fits(path, pattern)), None)


def _fits(path: Path, pattern: tuple[str, ...]) -> bool:
    return len(path) == len(pattern) and all(want in ("*", part) for part, want in zip(path, pattern, strict=True))


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


_OF_A_MEAL = frozenset({"at_most", "at_least", "only_meal", "plates", "dishes", "at_table"})


_CALLED = {
    "serves": ("servings",), "portions": ("servings",), "yield": ("servings",), "makes": ("servings",), "method": ("steps", "do"),
    "instructions": ("steps", "do"), "directions": ("steps", "do"), "text": ("do",), "description": ("do",), "action": ("do",),
    "time": ("wait",), "duration": ("wait",), "minutes": ("wait",), "temperature": ("heat",), "temp": ("heat",), "oven": ("heat",),
    "pan": ("vessel",), "pot": ("vessel",), "dish": ("vessel",), "quantity": ("amount",), "qty": ("amount",), "weight": ("amount",),
    "kcal": ("energy_kcal",), "calories": ("energy_kcal",), "energy": ("energy_kcal",), "fat": ("fat_g",), "protein": ("protein_g",),
    "carbs": ("carbohydrate_g",), "carbohydrate": ("carbohydrate_g",), "fibre": ("fibre_g",), "fiber": ("fibre_g",),
    "preparation": ("prep",), "notes": ("prep",), "voice": ("say",), "narration": ("say",), "line": ("say",),
}  # fmt: skip
"""What newcomers call our keys: the first that there is at that place is meant, before one that is only spelt alike."""


def _called(key: str | int, known: list[str]) -> list[str]:
    return [meant for meant in _CALLED.get(str(key).casefold(), ()) if meant in known][:1]


def _keys_at(form: type[Form], path: Path) -> list[str]:
    """The keys of the mapping at the path; empty where the cook names them."""
    named = path and path[-1] in (
        "add",
        "ingredients",
        "foods",
        "measures",
        "from",
        "left_behind",
        "left_in_pan",
        "answered",
        "household",
    )
    return [] if named else _known_keys(form, path)


def _problem(form: type[Form], tree: Tree, path: Path, one: Any) -> Problem:
    kind, context = one["type"], one.get("ctx", {})
    kind = str(context["error"]) if kind == "value_error" else kind
    if kind == "extra_forbidden":
        known = _known_keys(form, path[:-1])
        meant = _called(path[-1], known) or nearest(str(path[-1]), known, most=1)
        hint = f"did you mean `{meant[0]}`?" if meant else f"known keys: {', '.join(known)}"
        if form.__name__ == "DishForm" and path[:-1] == () and path[-1] in _OF_A_MEAL:
            hint = "limits, plates and dishes stand in a meal's file (`meal: NAME`); what a dish promises stands under `promise:`"
        return error(tree.place(*path, key=True), "unknown-key", f"“{_short(path[-1])}” is not a key here", hint)
    if kind in ("missing", "each_and_amount"):
        return _missing_or_twice(form, tree, path, kind)
    if one.get("input") is None:
        hint = _meaning(form, path) or "write a value or leave the key out"
        if path[:-1] in (("ingredients",), ("left_in_pan",)):
            hint = f"write how much: `{path[-1]}: 30 g`" + (
                f", or `{path[-1]}: to taste`" if path[0] == "ingredients" else ""
            )
        return error(tree.place(*path, key=True), "empty", f"{_name(path)} is empty", hint)
    if one["loc"][-1:] == ("[key]",):
        if kind == "literal_error":
            hint = _words(kind, context, "", one["input"])[1]
            allowed = [w for w in context["expected"].replace("'", "").replace(" or ", ", ").split(", ") if w]
            if meant := _called(path[-1], allowed):
                hint = f"did you mean `{meant[0]}`? {hint.rpartition('? ')[2]}"
            return error(tree.place(*path, key=True), "unknown-key", f"“{_short(path[-1])}” is not a key here", hint)
        return error(tree.place(*path, key=True), "wrong-value", *_words(kind, context, "", one["input"]))
    message, hint = _words(kind, context, _name(path), one.get("input"))
    if kind.startswith(("int_", "float_")):
        hint = _as_number(path, one.get("input"), whole=kind.startswith("int"))
    hint = hint or _instead(path, one.get("input"))
    return error(tree.place(*path), "wrong-value", message, hint or _meaning(form, path))


def _as_number(path: Path, value: Any, *, whole: bool) -> str:
    """``write `cooks: 1` `` for *one*, ``write `protein_g: 40` `` for *protein: 40g*; empty where no number is in it."""
    text = value if isinstance(value, str) else ""
    number = re.search(r"\d+(?:\.\d+)?", in_figures(text) or text)
    if number is None or isinstance(path[-1], int) or "%" in text:
        return ""
    keys = list(typing.get_args(MacroName)) if path[-2:-1] in (("at_most",), ("at_least",)) else []
    key = path[-1] if path[-1] in keys else next(iter(_meant_key(path[-1], keys)), path[-1])
    figure = f"{float(number[0]):.0f}" if whole else number[0]
    return f"write `{key}: {figure}`"


def _meant_key(key: str | int, known: list[str]) -> list[str]:
    return _called(key, known) or nearest(str(key).replace(" ", "_"), known, most=1)


def _instead(path: Path, value: Any) -> str:
    """What to write for a value that is nearly right; empty where nothing tells."""
    if path == ("servings",) and isinstance(value, str):
        number = re.search(r"\d+(?:\.\d+)?", in_figures(value) or value)
        return f"write `servings: {number[0]}`" if number else ""
    if path == ("ingredients",) and isinstance(value, list) and value and isinstance(value[0], dict) and value[0]:
        name, amount = next(iter(value[0].items()))
        shown = amount if isinstance(amount, str) else "30 g"
        return f"write a name and its amount on each line, without a dash: `{name}: {shown}`"
    if path == ("ingredients",) and isinstance(value, list) and value and isinstance(value[0], str):
        found = re.fullmatch(r"(.*?\d\S*(?:\s+(?:" + _UNITS + r")\b)?)\s+(.+)", value[0])
        name, amount = (found[2].partition(",")[0], found[1]) if found else (value[0], "30 g")
        return f"write a name and its amount on each line, without a dash: `{name}: {amount}`"
    if path[:1] == ("dishes",) and len(path) == 2 and isinstance(value, str) and value:
        return f"write `- {{dish: {quoted(value)}, portion: 1 serving}}`"
    if path[:1] == ("steps",) and isinstance(value, str) and value:
        return f"write `- {{stage: cook, do: {quoted(value)}}}`, with what goes in under `add:`"
    return ""


def _missing_or_twice(form: type[Form], tree: Tree, path: Path, kind: str) -> Problem:
    if kind == "each_and_amount":
        words = f"{_name(path)} has an `amount:` and an amount for each"
        return error(tree.place(*path, "each", key=True), "each", words, "keep one of them: `each:` is of one serving")
    place = tree.place(*path[:-1], key=True)
    return error(place, "missing-key", f"{_name(path[:-1])} has no `{path[-1]}`", _meaning(form, path))


def _name(path: Path) -> str:
    """What the thing at the path is called in a message."""
    if not path:
        return "the file"
    if isinstance(path[-1], int):
        return f"step {path[-1] + 1}" if path[:-1] == ("steps",) else f"item {path[-1] + 1} of `{_short(path[-2])}`"
    return f"`{_short(path[-1])}`"


def _short(word: str | int) -> str:
    text = str(word)
    return text if len(text) <= 40 else text[:39] + "…"


def _words(kind: str, context: dict[str, Any], name: str, value: Any) -> tuple[str, str]:
    """Message and hint; without a ``name``, the value is one itself."""
    shown = f"“{_short(value)}”" if isinstance(value, str) else "this"
    if kind == "literal_error":
        allowed = [w for w in context["expected"].replace("'", "").replace(" or ", ", ").split(", ") if w]
        meant = nearest(str(value), allowed, most=1) if isinstance(value, str) else []
        choice = f"write {any_of(allowed)}"
        return f"{shown} is not a value for {name}", f"did you mean `{meant[0]}`? {choice}" if meant else choice
    bound = next((f"{context[name]:,g}" for name in ("ge", "le", "lt") if name in context), "")
    figures = {
        "greater_than_equal": f"must be {bound} or more",
        "less_than_equal": f"must be {bound} or less",
        "less_than": f"must be below {bound}",
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
    if kind in ("string_type", "dict_type", "list_type", "model_type", "too_short", "too_long"):
        return f"{name} {figures[kind]}", ""
    subject = f"{shown} under {name}" if name else f"the name {shown}"
    return f"{subject} {figures.get(kind, 'does not fit')}", ""


def _model_at(form: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The form that describes the mapping at this path."""
    here: type[BaseModel] | None = form
    named = False  # the next part is a name of the cook's, not a key of a form
    for part in path:
        if named or isinstance(part, int):
            named = False
            continue
        field = here.model_fields.get(str(part)) if here else None
        if field is None:
            return here
        named = typing.get_origin(field.annotation) is dict
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


def _as_yaml(example: object) -> str:
    """``{drippings: {amount: 12 g}}``, as a file writes it."""
    if isinstance(example, dict):
        return "{" + ", ".join(f"{key}: {_as_yaml(value)}" for key, value in example.items()) + "}"
    if isinstance(example, list | tuple):
        return "[" + ", ".join(map(_as_yaml, example)) + "]"
    return str(example)


def _meaning(form: type[BaseModel], path: Path) -> str:
    """What the form says that this key is for: the hint where nothing better is known."""
    model = _model_at(form, path[:-1])
    field = model.model_fields.get(str(path[-1])) if model and path else None
    if field is None:
        return ""
    meaning = field.description or ""
    if not field.examples:
        return meaning
    told = f" ({meaning[:1].lower()}{meaning[1:].split('. ')[0].rstrip('.')})" if meaning else ""
    return f"write `{path[-1]}: {_as_yaml(field.examples[0])}`{told}"
