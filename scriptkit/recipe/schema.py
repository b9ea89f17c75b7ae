"""The JSON Schema of the files, for editors that autocomplete: forms.py with the notes of schema_notes.yaml."""

from __future__ import annotations

from importlib import resources
from typing import Any

from scriptkit.recipe.forms import FORMS


def json_schema(name: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a ``dish``, a ``meal`` or a ``pantry`` file; every key with a description."""
    import yaml

    notes = yaml.safe_load(resources.files(__package__).joinpath("schema_notes.yaml").read_text(encoding="utf-8"))
    schema = FORMS[name].model_json_schema()
    root = notes["PublishedForm"] | notes[FORMS[name].__name__] if name != "pantry" else notes["PantryForm"]
    _explain(schema, root)
    for form, definition in schema.get("$defs", {}).items():
        _explain(definition, notes.get(form, {}))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"scriptkit {name}", **schema}


def _explain(schema: dict[str, Any], notes: dict[str, Any]) -> None:
    for key, said in schema.get("properties", {}).items():
        for what, value in notes.get(key, {}).items():
            said.setdefault(what, value)
        for one in said.get("anyOf", ()):  # an editor shows what the key means, not what any length of time is
            one.update({what: said[what] for what in ("description", "examples") if what in one and what in said})
