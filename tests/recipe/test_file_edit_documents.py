"""Any change of any document: it reads as meant, only the lines meant differ, and no comment is lost."""

from __future__ import annotations

import copy
import difflib
import re
from typing import Any

import pytest
from conftest import EXAMPLES
from hypothesis import assume, given
from hypothesis import strategies as st
from yaml_documents import DOCUMENTS, KEYS, TEXTS, VALUES, paths, read

from scriptkit.problems import CannotDo
from scriptkit.recipe.file_edit import Add, Append, Delete, Put, Rename, edited
from scriptkit.recipe.yamltree import Tree, lines_of, parse_tree

RECIPES = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith("faulty"))
TEXT_OF = {p.name: p.read_bytes().decode() for p in RECIPES}
ANY = DOCUMENTS | st.sampled_from(sorted(TEXT_OF.values()))


def tree_of(text: str) -> Tree:
    tree = parse_tree(text.removeprefix("\ufeff"), "f.yaml")
    assert tree.problems == []
    return tree


def plain(value: Any) -> Any:
    """As the reference reader gives it, to which an empty value is empty text."""
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    return [plain(one) for one in value] if isinstance(value, list) else value or ("" if value is None else value)


def at(data: Any, path: tuple[str | int, ...]) -> Any:
    for part in path:
        data = data[part]
    return data


def ordered(data: Any) -> Any:
    return [(k, ordered(v)) for k, v in data.items()] if isinstance(data, dict) else [ordered(v) for v in data] if isinstance(data, list) else data  # fmt: skip


def reads(text: str) -> Any:
    data = read(text.removeprefix("\ufeff"))
    return ordered(plain(parse_tree(text.removeprefix("\ufeff"), "").data)) if data is None else ordered(data)


def comments(text: str) -> list[str]:
    return re.findall(r"# c\d+", text)


def changed_lines(before: str, after: str) -> tuple[set[int], int]:
    """The lines (from 1) of the old text that are gone or other now, and how many new ones stand there."""
    old, new = lines_of(before), lines_of(after)
    gone: set[int] = set()
    more = 0
    for tag, a, b, c, d in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag != "equal":
            gone |= set(range(a + 1, b + 1))
            more += d - c
    return gone, more


def line_ends(text: str) -> set[str]:
    return set(re.findall("\r\n|\n", text))


@given(st.data(), ANY)
def test_a_text_put_in_place_of_another_changes_its_lines_alone(data: st.DataObject, text: str) -> None:
    tree = tree_of(text)
    texts = [(p, v) for p, v in paths(tree.data) if p and not isinstance(v, dict | list)]
    assume(texts)
    path, old = data.draw(st.sampled_from(texts))
    new = data.draw(TEXTS)
    after = edited(text, [Put(path, new)], "f.yaml")
    wanted = copy.deepcopy(tree.data)
    at(wanted, path[:-1])[path[-1]] = new
    assert reads(after) == ordered(plain(wanted))
    assert comments(after) == comments(text)
    assert line_ends(after) <= line_ends(text) | {"\n"}
    assert after.startswith("\ufeff") == text.startswith("\ufeff")
    first = tree.values[path].line
    gone, _ = changed_lines(text, after)
    last = first + (
        len(old.splitlines()) + 3 if isinstance(old, str) and "\n" in old else 12 if old and " " in old else 1
    )
    assert all(first <= line <= last for line in gone)


@given(st.data(), ANY, VALUES)
def test_a_value_of_any_form_put_in_place_of_any_other(data: st.DataObject, text: str, new: Any) -> None:
    tree = tree_of(text)
    path, old = data.draw(st.sampled_from([(p, v) for p, v in paths(tree.data) if p]))
    wanted = copy.deepcopy(tree.data)
    at(wanted, path[:-1])[path[-1]] = new
    after = edited(text, [Put(path, new)], "f.yaml")
    assert reads(after) == ordered(plain(wanted))
    if not isinstance(old, dict | list):
        assert comments(after) == comments(text)
    assert edited(after, [Put(path, new)], "f.yaml") == after


@given(st.data(), ANY, st.sampled_from(KEYS), VALUES)
def test_a_key_more_leaves_every_other_line(data: st.DataObject, text: str, key: str, new: Any) -> None:
    tree = tree_of(text)
    path, old = data.draw(st.sampled_from([(p, v) for p, v in paths(tree.data) if isinstance(v, dict)]))
    assume(key not in old)
    after_key = data.draw(st.sampled_from([None, *old]))
    after = edited(text, [Add(path, key, new, after=after_key)], "f.yaml")
    items = [(k, v) for k, v in old.items()]
    items.insert(len(items) if after_key is None else list(old).index(after_key) + 1, (key, new))
    wanted: Any = copy.deepcopy(tree.data)
    if path:
        at(wanted, path[:-1])[path[-1]] = dict(items)
    else:
        wanted = dict(items)
    assert reads(after) == ordered(plain(wanted))
    assert comments(after) == comments(text)
    assert len(changed_lines(text, after)[0]) <= 1


@given(st.data(), ANY)
def test_what_is_deleted_takes_only_its_own_lines(data: st.DataObject, text: str) -> None:
    tree = tree_of(text)
    path, _ = data.draw(st.sampled_from([(p, v) for p, v in paths(tree.data) if p]))
    wanted = copy.deepcopy(tree.data)
    del at(wanted, path[:-1])[path[-1]]
    assume(wanted)
    after = edited(text, [Delete(path)], "f.yaml")
    assert reads(after) == ordered(plain(wanted))
    gone, _ = changed_lines(text, after)
    lost = set(comments(text)) - set(comments(after))
    lines = lines_of(text)
    assert all(any(c in comments(lines[n - 1]) for n in gone) for c in lost)
    block = [p.line for q, p in tree.keys.items() if len(q) == len(path) and q[:-1] == path[:-1]]
    if lost and block:  # a comment on a line of its own before it is not its own
        assert all(n >= tree.place(*path, key=True).line for n in gone if set(comments(lines[n - 1])) & lost)


@given(st.data(), ANY, VALUES)
def test_an_item_more_is_the_last_of_its_list(data: st.DataObject, text: str, new: Any) -> None:
    tree = tree_of(text)
    lists = [(p, v) for p, v in paths(tree.data) if isinstance(v, list)]
    assume(lists)
    path, _ = data.draw(st.sampled_from(lists))
    after = edited(text, [Append(path, new)], "f.yaml")
    wanted = copy.deepcopy(tree.data)
    at(wanted, path).append(new)
    assert reads(after) == ordered(plain(wanted))
    assert comments(after) == comments(text)
    assert len(changed_lines(text, after)[0]) <= 1


@given(st.data(), ANY, st.sampled_from(KEYS) | TEXTS.filter(bool))
def test_another_key_changes_one_line(data: st.DataObject, text: str, key: str) -> None:
    tree = tree_of(text)
    path, _ = data.draw(st.sampled_from([(p, v) for p, v in paths(tree.data) if p and isinstance(p[-1], str)]))
    parent = at(tree.data, path[:-1])
    assume(key not in parent)
    after = edited(text, [Rename(path, key)], "f.yaml")
    wanted: Any = copy.deepcopy(tree.data)
    items = {(key if k == path[-1] else k): v for k, v in parent.items()}
    if path[:-1]:
        at(wanted, path[:-2])[path[-2]] = items
    else:
        wanted = items
    assert reads(after) == ordered(plain(wanted))
    assert comments(after) == comments(text)
    assert changed_lines(text, after)[0] <= {tree.keys[path].line}


@pytest.mark.parametrize("name", sorted(TEXT_OF))
def test_a_value_of_an_example_put_to_itself_changes_nothing(name: str) -> None:
    text = TEXT_OF[name]
    every = list(paths(tree_of(text).data))
    assert len(every) > 20
    for path, value in every:
        assert edited(text, [Put(path, value)], name) == text


@pytest.mark.parametrize("name", sorted(TEXT_OF))
def test_a_text_of_an_example_and_back_is_the_same_file(name: str) -> None:
    text = TEXT_OF[name]
    texts = [(p, v) for p, v in paths(tree_of(text).data) if isinstance(v, str)]
    for path, value in texts[::5]:
        there = edited(text, [Put(path, f"{value} or so")], name)
        assert len(changed_lines(text, there)[0]) == 1
        back = edited(there, [Put(path, value)], name)
        assert re.sub(" +#", " #", back) == re.sub(" +#", " #", text)  # a comment that was pushed aside stays there


def test_a_broken_file_is_refused_with_its_own_problems() -> None:
    with pytest.raises(CannotDo) as wrong:
        edited("a: 1\na: 2\n", [Put(("a",), "3")], "f.yaml")
    assert [p.code for p in wrong.value.problems] == ["duplicate-key"]
