"""YAML into plain data in which every key and value keeps its place."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.problems import Place
from scriptkit.recipe.yamltree import MOST_VALUES, Path, Tree, parse_tree


def told(tree: Tree) -> list[tuple[int, int, str]]:
    return [(p.place.line, p.place.column, p.message) for p in tree.problems]


def one(text: str) -> tuple[int, int, str]:
    """The one problem of a text that must not be used."""
    tree = parse_tree(text, "x.yaml")
    assert len(tree.problems) == 1
    assert tree.problems[0].hint
    return told(tree)[0]


# --- places ---------------------------------------------------------------------------------------------------------


def marks(node: Any, path: Path = ()) -> dict[Path, tuple[int, int]]:
    """Where yaml's own composer says that every value stands."""
    found = {path: (node.start_mark.line + 1, node.start_mark.column + 1)}
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            found |= marks(value, (*path, key.value))
    elif isinstance(node, yaml.SequenceNode):
        for n, value in enumerate(node.value):
            found |= marks(value, (*path, n))
    return found


WORDS = st.text(alphabet="abcäßñ漢🐟 -:#'\"{}[]&*!?|>%@`,0.5½\t\\", max_size=12)
NESTED = st.recursive(
    WORDS | st.none() | st.integers(0, 999),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS.filter(bool), inner, max_size=4),
    max_leaves=20,
)


@given(st.dictionaries(WORDS.filter(bool), NESTED, max_size=5), st.booleans(), st.sampled_from([1, 2, 4]))
@settings(max_examples=100)
def test_every_value_stands_where_yaml_says_that_it_stands(data: dict[str, Any], flow: bool, indent: int) -> None:
    text = yaml.safe_dump(data, default_flow_style=flow, allow_unicode=True, indent=indent, width=60)
    tree = parse_tree(text, "x.yaml")
    assert tree.problems == []
    assert {p: (at.line, at.column) for p, at in tree.values.items()} == marks(yaml.compose(text))
    assert all(at.file == "x.yaml" for at in (*tree.keys.values(), *tree.values.values()))


@given(st.dictionaries(WORDS.filter(bool), NESTED, max_size=5), st.booleans())
@settings(max_examples=100)
def test_scalars_stay_the_text_that_was_written(data: dict[str, Any], flow: bool) -> None:
    def as_text(value: Any) -> Any:
        if isinstance(value, dict):
            return {k: as_text(v) for k, v in value.items()}
        if isinstance(value, list):
            return [as_text(v) for v in value]
        return value if value is None else str(value)

    text = yaml.safe_dump(data, default_flow_style=flow, allow_unicode=True)
    assert parse_tree(text, "x.yaml").data == as_text(data)


def test_what_yaml_would_guess_stays_text() -> None:
    tree = parse_tree(
        "a: 1:30\nb: no\nc: 1.50\nd: 0x1f\ne: 2024-01-01\nf: .nan\ng:\nh: ~\ni: null\nj: ''\nk: 'null'\n", "x"
    )
    assert tree.data == {
        "a": "1:30", "b": "no", "c": "1.50", "d": "0x1f", "e": "2024-01-01", "f": ".nan", "g": None, "h": None, "i": None,
        "j": "", "k": "null",
    }  # fmt: skip


def test_keys_and_values_have_places_of_their_own() -> None:
    tree = parse_tree("dish: X\nsteps:\n  - {do: Stir, add: {butter: 30 g}}\n", "x.yaml")
    assert tree.place("steps", 0, "add", "butter") == Place("x.yaml", 3, 30)
    assert tree.place("steps", 0, "add", "butter", key=True) == Place("x.yaml", 3, 22)
    assert tree.place("steps", 0, "wait") == Place("x.yaml", 3, 5)  # not there: what it is missing from
    assert tree.place("nothing", "here") == Place("x.yaml", 1, 1)
    assert Tree("y").place("a") == Place("y", 1, 1)


def test_what_moved_is_found_at_its_new_place() -> None:
    tree = parse_tree("ad: {a: 1}\nlist: [x, y, {z: 1}]\n", "x")
    tree.moved({("ad",): ("add",), ("list", 2): ("list", 1)})
    assert tree.place("add", "a") == Place("x", 1, 9)
    assert tree.place("list", 1, "z") == Place("x", 2, 18)


# --- duplicates, tags, documents -----------------------------------------------------------------------------------


def test_a_key_that_stands_twice_is_told_and_the_first_is_kept() -> None:
    tree = parse_tree("a: 1\nb:\n  c: [1, {d: 2}]\n  c: [3, {d: 4}]\n  e: 5\na: {f: 6}\nz: 7\n", "x")
    assert tree.data == {"a": "1", "b": {"c": ["1", {"d": "2"}], "e": "5"}, "z": "7"}
    assert told(tree) == [
        (4, 3, "“c” stands here a second time (first on line 3)"),
        (6, 1, "“a” stands here a second time (first on line 1)"),
    ]


def test_tags_are_told() -> None:
    tree = parse_tree("a: !cup 1\nb: !!python/object:os.system x\nc: !!str 1\nd: !!int 3\n", "x")
    assert [(line, column) for line, column, _ in told(tree)] == [(1, 4), (2, 4)]
    assert tree.data == {"a": "1", "b": "x", "c": "1", "d": "3"}


def test_a_second_document_is_told_and_the_first_is_kept() -> None:
    tree = parse_tree("a: 1\n---\nb: 2\n", "x")
    assert tree.data == {"a": "1"}
    assert told(tree) == [(2, 1, "a second document starts here (---)")]


# --- aliases -------------------------------------------------------------------------------------------------------


def test_an_alias_repeats_the_value_and_its_place_is_where_that_is_written() -> None:
    tree = parse_tree("a: &x {p: [1, 2]}\nb: *x\nc: [*x, *x]\n", "f")
    assert tree.problems == []
    assert tree.data["b"] == tree.data["c"][1] == {"p": ["1", "2"]}
    assert tree.data["b"] is not tree.data["a"]
    assert tree.place("b") == Place("f", 1, 4)
    assert tree.place("b", key=True) == Place("f", 2, 1)
    assert tree.place("c", 1, "p", 1) == Place("f", 1, 15)


def test_nested_anchors() -> None:
    tree = parse_tree("a: &x {p: &y [1], q: *y}\nb: *x\nc: *y\n", "f")
    assert tree.problems == []
    assert tree.data == {"a": {"p": ["1"], "q": ["1"]}, "b": {"p": ["1"], "q": ["1"]}, "c": ["1"]}


def test_an_anchor_may_be_given_again() -> None:
    assert parse_tree("a: &x 1\nb: &x 2\nc: *x\n", "f").data == {"a": "1", "b": "2", "c": "2"}


def test_an_alias_to_nothing() -> None:
    assert one("a: *x\n") == (1, 4, "“*x” has no anchor (&) before it")


@pytest.mark.parametrize("text", ["a: &x [*x]\n", "a: &x {b: *x}\n", "a: &x {b: &y [1, {c: *x}]}\n"])
def test_an_alias_in_itself_is_a_circle(text: str) -> None:
    assert "“*x” contains itself" in one(text)[2]


def test_an_alias_bomb_is_bounded() -> None:
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    tree = parse_tree("\n".join(rows), "x")
    assert tree.data is None
    assert told(tree)[0][2] == f"more than {MOST_VALUES} values"


def test_thousands_of_anchors_need_no_deep_stack() -> None:
    text = "".join(f"k{n}: &a{n} [{n}]\n" for n in range(10_000)) + "last: *a9999\n"
    tree = parse_tree(text, "x")
    assert tree.problems == []
    assert tree.data["last"] == ["9999"]


def test_a_chain_of_aliases() -> None:
    text = "k0: &a0 x\n" + "".join(f"k{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 5_000))
    tree = parse_tree(text, "x")
    assert told(tree)[0][2] == "nested more than 20 deep"


# --- hostile and broken text ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("brackets", ["[" * 100_000, "{a: " * 100_000, "- " * 100_000, "[" * 50_000 + "]" * 50_000])
def test_a_hundred_thousand_brackets(brackets: str) -> None:
    line, _, message = one("a: 1\nb:\n  " + brackets)
    assert line in (1, 3)
    assert "nested more than 20 deep" in message or "too many brackets" in message


def test_twenty_deep_is_deep_enough() -> None:
    assert parse_tree("[" * 20 + "]" * 20, "x").problems == []


def test_too_many_values() -> None:
    tree = parse_tree(f"[{'1, ' * (MOST_VALUES + 5)}]", "x")
    assert tree.data is None
    assert told(tree)[0][2] == f"more than {MOST_VALUES} values"


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        ("a: 1\n\tb: 2\n", 2, 1, "a tab indents this line; YAML takes spaces alone"),
        ("a:\n\t- 1\n", 2, 1, "a tab indents this line; YAML takes spaces alone"),
        ("a: b: c\n", 1, 4, "the text has a colon in it: YAML reads what stands before it as a key"),
        ("a: 1\nbutter\nc: 2\n", 2, 1, "a text that goes on must be indented further than its key"),
        ("a: [1, 2\nb: 3\n", 1, 9, "a [ is opened and not closed"),
        ("a:\n  - 1\n b: 2\n", 3, 1, "this line is indented by one space more than its neighbours"),
        ('a: "1\nb: 2\n', 1, 6, "a quote is opened and not closed"),
        ('a: "\\q"\n', 1, 4, "a backslash in double quotes begins a sign of its own"),
        ("? [1, 2]\n: 3\n", 1, 3, "a key must be plain text"),
        ("? {a: b}\n: 3\n", 1, 3, "a key must be plain text"),
        ("k" * 5000 + ": {a: 1}\n", 1, 5001, "a key is longer than 1,024 characters"),
        ("a: @x\n", 1, 4, "text cannot begin with @ unless it stands in quotes"),
        ("a: 1\nb: x\x00y\n", 2, 5, "an invisible character (U+0000) stands here"),
        ("a: 1\r\nb: \x1b[31m\r\n", 2, 4, "an invisible character (U+001B) stands here"),
        ("a: \x0c\n", 1, 4, "an invisible character (U+000C) stands here"),
        ("a: \ufffe\n", 1, 4, "an invisible character (U+FFFE) stands here"),
        ("%YAML 9.9\n---\na: 1\n", 1, 1, "this is not YAML: found incompatible YAML document"),
    ],
)
def test_text_that_is_no_yaml(text: str, line: int, column: int, message: str) -> None:
    assert one(text) == (line, column, message)


@pytest.mark.parametrize(
    ("text", "data"), [("", None), ("# only this\n", None), ("---\n", None), ("{}", {}), ("x", "x")]
)
def test_next_to_nothing(text: str, data: Any) -> None:
    tree = parse_tree(text, "x")
    assert (tree.data, tree.problems) == (data, [])


@given(st.text(alphabet="ab: -[]{}&*!|>'\"%@#\n\t\\,?~\x00\x85\u2028é🐟", max_size=80))
@settings(max_examples=100)
def test_any_text_is_a_tree_or_told(text: str) -> None:
    tree = parse_tree(text, "x")
    assert all(p.place.line >= 1 and p.place.column >= 1 for p in tree.problems)
    assert all(p.hint for p in tree.problems)


def test_a_key_again_and_again_is_told_so_often_and_no_more() -> None:
    tree = parse_tree("k: 1\n" * (MOST_VALUES + 5), "x")
    assert tree.data is None
    assert told(tree)[-1][2] == f"more than {MOST_VALUES} values"
