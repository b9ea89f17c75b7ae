"""The JSON Schema of the files, for editors that autocomplete: forms.py with the notes of schema_notes.yaml."""

from __future__ import annotations

import copy
import functools
from typing import Any

from scriptkit.data_files import Shape, made_of_groups
from scriptkit.recipe import forms
from scriptkit.recipe.form_values import Form
from scriptkit.recipe.forms import FORMS


def json_schema(name: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a ``dish``, a ``meal`` or a ``pantry`` file; every key with a description."""
    return copy.deepcopy(_made(name))


@functools.cache
def _made(name: str) -> dict[str, Any]:
    notes = _notes()
    schema = FORMS[name].model_json_schema()
    root = notes["PublishedForm"] | notes[FORMS[name].__name__] if name != "pantry" else notes["PantryForm"]
    _explain(schema, root)
    for form, definition in schema.get("$defs", {}).items():
        _explain(definition, notes.get(form, {}))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"scriptkit {name}", **schema}


def _notes() -> dict[str, dict[str, Any]]:
    """What schema_notes.yaml says, by form and key. Raises BadDataFile where a form or a key is not one of forms.py."""
    said = Shape(optional=frozenset({"description", "examples"}))
    models = {n: m for n, m in vars(forms).items() if isinstance(m, type) and issubclass(m, Form) and m is not Form}
    keys = {n: frozenset(m.model_fields) for n, m in models.items()}
    shapes = {n: Shape(optional=known, inside=dict.fromkeys(known, said)) for n, known in keys.items()}
    shape = Shape(required=frozenset(f.__name__ for f in FORMS.values()), optional=frozenset(keys), inside=shapes)
    return made_of_groups("scriptkit.recipe", "schema_notes.yaml", shape, lambda _, group: group)


def _explain(schema: dict[str, Any], notes: dict[str, Any]) -> None:
    for key, said in schema.get("properties", {}).items():
        for what, value in notes.get(key, {}).items():
            said.setdefault(what, value)
        for one in said.get("anyOf", ()):  # an editor shows what the key means, not what any length of time is
            one.update({what: said[what] for what in ("description", "examples") if what in one and what in said})
