"""``scriptkit new`` and ``scriptkit schema``."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import kinds

from scriptkit.checks import check
from scriptkit.cli.new import slug
from scriptkit.preproduction import Preproduction
from scriptkit.problems import needs_a_person
from scriptkit.recipe.forms import FORMS
from scriptkit.recipe.reader import read_source
from scriptkit.recipe.schema import json_schema
from scriptkit.recipe.yamltree import parse_tree

Run = Callable[..., "subprocess.CompletedProcess[str]"]


# --- new --------------------------------------------------------------------------------------------------------------

NAMES = [
    ("Cod with leeks", "cod-with-leeks.yaml"),
    ("Crème brûlée à l’orange", "creme-brulee-a-l-orange.yaml"),
    ("../../etc/passwd", "etc-passwd.yaml"),
    ("..", "dish.yaml"),
    ("/", "dish.yaml"),
    ("a\\b:c*d?", "a-b-c-d.yaml"),
    ("CON", "dish-con.yaml"),
    ("lpt1", "dish-lpt1.yaml"),
    ("🐟🔥", "dish.yaml"),
    ("魚のスープ", "dish.yaml"),
    ("x" * 300, "x" * 60 + ".yaml"),
    ("🐟" * 300, "dish.yaml"),
    ("yes", "yes.yaml"),
    ("1:30", "1-30.yaml"),
    ('quote " and \\ and # and {braces}', "quote-and-and-and-braces.yaml"),
    ("two\nlines\x1b[31m", "two-lines-31m.yaml"),
    ("{{ 7 * 7 }} <b>bold</b>", "7-7-b-bold-b.yaml"),
]


@pytest.mark.parametrize(("name", "file"), NAMES)
def test_a_new_dish_has_nothing_but_guesses(run: Run, tmp_path: Path, name: str, file: str) -> None:
    done = run("new", "--", name)
    told = f"wrote {file}\nwrote dish.schema.json: gives your editor autocomplete and help for the file\n"
    assert (done.returncode, done.stdout) == (0, told), done.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(["dish.schema.json", file])
    reading = read_source(str(tmp_path / file))
    assert {p.code for p in reading.problems} == {"unsure"}
    assert not needs_a_person(check(Preproduction(reading.usable())))


def test_nothing_is_ever_overwritten(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cod.yaml").write_text("mine", encoding="utf-8")
    for arguments in (("cod",), ("cod", "-o", "cod.yaml"), ("other", "-o", "cod.yaml")):
        done = run("new", *arguments)
        assert done.returncode == 2
        assert re.match(r"cod.yaml:1:1: error: .* \[exists\]\n", done.stderr)
        assert (tmp_path / "cod.yaml").read_text(encoding="utf-8") == "mine"
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("output", [".", "x" * 300, "folder/" + "x" * 300, "file/a.yaml"])
def test_where_no_file_can_be_written(run: Run, tmp_path: Path, output: str) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    done = run("new", "cod", "-o", output)
    assert done.returncode == 2
    assert re.search(r": error: .* \[(cannot-write|exists)\]\n", done.stderr)
    assert "Traceback" not in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["file"]


def test_a_folder_that_is_not_there_is_made(run: Run, tmp_path: Path) -> None:
    assert run("new", "cod", "-o", "autumn/week 2/cod.yaml").returncode == 0
    assert sorted(p.name for p in (tmp_path / "autumn" / "week 2").iterdir()) == ["cod.yaml", "dish.schema.json"]


def test_a_file_may_be_named(run: Run, tmp_path: Path) -> None:
    assert run("new", "Cod", "-o", "mine.yaml").returncode == 0
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8").splitlines()[1] == 'dish: "Cod"'


DISH_POINTER, MEAL_POINTER = (f"# yaml-language-server: $schema={kind}.schema.json" for kind in ("dish", "meal"))


def test_an_editor_finds_the_schema_beside_the_file(run: Run, tmp_path: Path) -> None:
    (tmp_path / "quay").mkdir()
    assert run("new", "Cod", "-o", "quay/cod.yaml").returncode == 0
    assert (tmp_path / "quay" / "cod.yaml").read_text(encoding="utf-8").splitlines()[0] == DISH_POINTER
    schema = json.loads((tmp_path / "quay" / "dish.schema.json").read_text(encoding="utf-8"))
    assert schema == json_schema("dish")
    assert [p.name for p in tmp_path.iterdir()] == ["quay"]


@pytest.mark.parametrize("arguments", [("Cod",), ("--from", "cod.txt")], ids=["a new dish", "a draft"])
def test_a_schema_that_is_there_stays_as_it_is(run: Run, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    (tmp_path / "cod.txt").write_text("Cod\nServes 2\n\n300 g cod\n\nPoach the cod.\n", encoding="utf-8")
    (tmp_path / "dish.schema.json").write_text("mine", encoding="utf-8")
    done = run("new", *arguments, "-o", "mine.yaml")
    assert (done.returncode, "schema" in done.stdout) == (0, False), done.stderr
    assert (tmp_path / "dish.schema.json").read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8").startswith(DISH_POINTER + "\n")


def test_without_its_schema_no_file_is_left(run: Run, tmp_path: Path) -> None:
    (tmp_path / "dish.schema.json").symlink_to(tmp_path / "gone")  # it is not there, and cannot be made
    done = run("new", "Cod")
    assert (done.returncode, done.stdout) == (2, "")
    assert [p.name for p in tmp_path.iterdir()] == ["dish.schema.json"]


def test_a_new_meal_of_dishes(run: Run, tmp_path: Path) -> None:
    (tmp_path / "meals").mkdir()
    for name in ("Cod with leeks", "Leeks"):
        run("new", name)
    done = run("new", "Quay supper", "--dish", "cod-with-leeks.yaml", "--dish", "leeks.yaml")
    assert done.returncode == 0, done.stderr
    lines = (tmp_path / "quay-supper.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[0] == MEAL_POINTER
    assert '  - {dish: "cod-with-leeks.yaml", portion: 1 serving}' in lines
    assert json.loads((tmp_path / "meal.schema.json").read_text(encoding="utf-8")) == json_schema("meal")
    checked = run("check", "quay-supper.yaml")  # the guesses of its dishes, and no error
    assert (checked.returncode, [k for k in kinds(checked.stderr) if k.startswith("error")]) == (1, [])
    assert run("new", "Elsewhere", "--dish", "leeks.yaml", "-o", "meals/elsewhere.yaml").returncode == 0
    checked = run("check", "meals/elsewhere.yaml")
    assert "warning unsure" in kinds(checked.stderr)
    assert re.search(r"\nnext: scriptkit confirm \S*leeks\.yaml\n$", checked.stderr)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("Quay", "--dish", "none.yaml"), "there is no such dish"),
        (("Quay", "--dish", "none.yaml", "--from", "page.html"), "a meal is not drafted from a recipe"),
        (("--dish", "none.yaml"), "the dish has no name"),
    ],
)
def test_a_meal_that_cannot_be_started(run: Run, tmp_path: Path, arguments: tuple[str, ...], told: str) -> None:
    done = run("new", *arguments)
    assert done.returncode == 2
    assert told in done.stderr
    assert list(tmp_path.iterdir()) == []


@given(st.text(max_size=200))
@settings(max_examples=100)
def test_every_name_makes_a_file_name_that_every_system_takes(name: str) -> None:
    made = slug(name)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", made)
    assert len(made) <= 65
    assert not re.fullmatch(r"con|prn|aux|nul|com\d|lpt\d", made)


# --- schema ---------------------------------------------------------------------------------------------------------


def fits(schema: dict[str, Any], value: Any, root: dict[str, Any]) -> bool:
    """Whether the value fits the schema, by the keywords of JSON Schema 2020-12 that the schemas use."""
    if "$ref" in schema:
        return fits(root["$defs"][schema["$ref"].removeprefix("#/$defs/")], value, root)
    types = schema.get("type", [])
    alone = [
        "anyOf" not in schema or any(fits(one, value, root) for one in schema["anyOf"]),
        "enum" not in schema or value in schema["enum"],
        "const" not in schema or value == schema["const"],
        not types or any(is_type(value, name) for name in ([types] if isinstance(types, str) else types)),
    ]
    if isinstance(value, str):
        alone.append(schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", 10**9))
    if is_type(value, "number"):
        alone.append(schema.get("minimum", value) <= value <= schema.get("maximum", value))
    if isinstance(value, list):
        alone += [fits(schema.get("items", {}), item, root) for item in value]
    if isinstance(value, dict):
        properties, others = schema.get("properties", {}), schema.get("additionalProperties", {})
        alone.append(set(schema.get("required", ())) <= set(value))
        alone.append(others is not False or set(value) <= set(properties))
        other_keys = others if isinstance(others, dict) else {}
        alone += [fits(properties.get(key, other_keys), one, root) for key, one in value.items()]
    return all(alone)


def is_type(value: Any, name: str) -> bool:
    if name in ("number", "integer"):
        return isinstance(value, int if name == "integer" else int | float) and not isinstance(value, bool)
    kinds: dict[str, type] = {"string": str, "object": dict, "array": list, "boolean": bool, "null": type(None)}
    return isinstance(value, kinds[name])


KEYWORDS = {
    "$schema", "$defs", "$ref", "title", "description", "examples", "default", "type", "properties", "required", "items", "anyOf",
    "additionalProperties", "enum", "const", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "minLength", "maxLength",
    "minItems", "maxItems", "minProperties", "maxProperties", "propertyNames",
}  # fmt: skip


def schemas_in(schema: Any) -> list[dict[str, Any]]:
    """The schema and every schema inside it."""
    found = [schema]
    for key in ("$defs", "properties"):
        found += [s for one in schema.get(key, {}).values() for s in schemas_in(one)]
    for key in ("items", "additionalProperties", "propertyNames"):
        if isinstance(schema.get(key), dict):
            found += schemas_in(schema[key])
    return found + [s for one in schema.get("anyOf", ()) for s in schemas_in(one)]


def as_an_editor_reads_it(value: Any) -> Any:
    """Plain text that looks like a number is one (YAML 1.2 core schema)."""
    if isinstance(value, dict):
        return {k: as_an_editor_reads_it(v) for k, v in value.items()}
    if isinstance(value, list):
        return [as_an_editor_reads_it(v) for v in value]
    if isinstance(value, str) and re.fullmatch(r"-?\d+(\.\d+)?", value):
        return float(value) if "." in value else int(value)
    return value


@pytest.mark.parametrize("kind", sorted(FORMS))
def test_the_schema_is_one(kind: str) -> None:
    schema = json_schema(kind)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["additionalProperties"] is False
    inside = schemas_in(schema)
    assert {key for one in inside for key in one} <= KEYWORDS
    refs = {one["$ref"].removeprefix("#/$defs/") for one in inside if "$ref" in one}
    assert refs <= set(schema.get("$defs", {}))
    assert all(set(one.get("required", ())) <= set(one.get("properties", {})) for one in inside if "properties" in one)


@pytest.mark.parametrize("kind", sorted(FORMS))
def test_the_command_prints_it(run: Run, kind: str) -> None:
    done = run("schema", kind)
    assert done.returncode == 0
    assert json.loads(done.stdout) == json_schema(kind)


def test_an_unknown_kind_of_file(run: Run) -> None:
    done = run("schema", "menu")
    assert done.returncode == 2
    assert "error: “menu” is not a kind of file [option]\n  fix: write dish, meal or pantry" in done.stderr


GOOD = [*sorted(EXAMPLES.glob("*.yaml")), *sorted((Path(__file__).parent / "valid").glob("*.yaml"))]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.name)
def test_examples_fit_the_schema(path: Path) -> None:
    if path.stem == "written-as-numbers":
        pytest.skip("an editor takes a name that is a number for a number; the kitchen does not")
    data = as_an_editor_reads_it(parse_tree(path.read_text(encoding="utf-8"), path.name).data)
    schema = json_schema("meal" if "meal" in data else "dish")
    assert fits(schema, data, schema) is ("faulty" not in path.name)


@pytest.mark.parametrize(
    ("change", "fit"),
    [
        ({}, True), ({"servings": 0}, False), ({"servings": "two"}, False), ({"colour": "red"}, False), ({"cups": "uk"}, False),
        ({"ingredients": {"egg": 3}}, True), ({"ingredients": {"egg": {"amount": 3}}}, True), ({"ingredients": ["egg"]}, False),
        ({"ingredients": {"egg": {"food": "egg"}}}, False), ({"steps": [{"stage": "cook", "do": "Stir."}]}, True),
        ({"steps": [{"stage": "cook", "do": "Stir.", "add": ["a"], "uses": "b"}]}, True),
        ({"steps": [{"stage": "cook", "do": "Stir.", "add": {"a": 2, "b": "half"}}]}, True),
        ({"steps": [{"stage": "cook"}]}, False), ({"steps": 7}, False), ({"promise": 7}, False),
    ],
)  # fmt: skip
def test_the_schema_tells_right_from_wrong(change: dict[str, Any], fit: bool) -> None:
    schema = json_schema("dish")
    data = {"dish": "D", "servings": 2, "ingredients": {"egg": "3 large"}, **change}
    assert fits(schema, data, schema) is fit


def test_an_apostrophe_parts_no_word_of_a_file_s_name() -> None:
    assert slug("Grandma's Sunday roast") == slug("Grandma’s Sunday roast") == "grandmas-sunday-roast"
