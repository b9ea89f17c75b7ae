"""The JSON Schema explains every key, and its examples are values that the reader takes."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from typing import Any

import pytest
import yaml
from pydantic import create_model

from scriptkit.recipe import form_values, forms
from scriptkit.recipe.schema import json_schema

KINDS = ("dish", "meal", "pantry")


def properties(kind: str) -> Iterator[tuple[str, str, dict[str, Any]]]:
    schema = json_schema(kind)
    for form, definition in (("", schema), *schema.get("$defs", {}).items()):
        for key, said in definition.get("properties", {}).items():
            yield form or forms.FORMS[kind].__name__, key, said


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_is_explained(kind: str) -> None:
    assert [(form, key) for form, key, said in properties(kind) if len(said.get("description", "")) < 8] == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_has_an_example_but_where_the_choice_or_the_usual_value_is_one(kind: str) -> None:
    shown = {"examples", "enum", "default"}
    booleans = [(f, k) for f, k, s in properties(kind) if not shown & set(s) and s.get("type") != "boolean"]
    assert booleans == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_reader_takes_every_example(kind: str) -> None:
    taken = 0
    for form, key, said in properties(kind):
        field = (getattr(forms, form, None) or getattr(form_values, form)).model_fields[key]
        one: Any = create_model("One", __base__=forms.Form, **{key: (field.rebuild_annotation(), ...)})
        for example in said.get("examples", ()):
            one.model_validate({key: example})
            taken += 1
    assert taken > 3


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_that_may_be_left_out_explains_itself_and_not_its_kind_of_value(kind: str) -> None:
    """An editor shows the description of the branch that fits, not the one beside `anyOf`."""
    inside = [(said, one) for _, _, said in properties(kind) for one in said.get("anyOf", ()) if "description" in one]
    assert all(one["description"] == said["description"] for said, one in inside)
    assert inside or kind != "dish"


def test_every_note_is_of_a_key_that_there_is() -> None:
    notes = yaml.safe_load(
        resources.files("scriptkit.recipe").joinpath("schema_notes.yaml").read_text(encoding="utf-8")
    )
    unknown = [(f, k) for f, keys in notes.items() for k in keys if k not in getattr(forms, f).model_fields]
    assert unknown == []
