"""Change values of a cook's YAML text: only the lines that are meant change, and every other letter stays as it was.

After each change the text is read again: it must hold the old values and the change, or nothing is done.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.edit_places import EditRefused, delete, insert, rename, replace
from scriptkit.recipe.yaml_spans import Node, Spans
from scriptkit.recipe.yaml_writing import as_read, flow_text, same
from scriptkit.recipe.yamltree import Path, Tree, lines_of, parse_tree


@dataclass(frozen=True, slots=True)
class Put:
    """Another value, of any form, in place of the one at ``path``. Of a mapping or list only what differs is changed."""

    path: Path
    value: Any


@dataclass(frozen=True, slots=True)
class Add:
    """A key that the mapping at ``path`` has not, after the key ``after``; without one, at the end. Where a bare value stands
    at ``path`` and ``short_for`` says which key it is short for, it becomes a mapping first."""

    path: Path
    key: str
    value: Any
    after: str | None = None
    short_for: str | None = None


@dataclass(frozen=True, slots=True)
class Delete:
    """A key with its value, or an item of a list, with the comments on its lines."""

    path: Path


@dataclass(frozen=True, slots=True)
class Append:
    """A last item for the list at ``path``. A bare text there is a list of one."""

    path: Path
    value: Any


@dataclass(frozen=True, slots=True)
class Rename:
    """Another name for the key at ``path``."""

    path: Path
    key: str


Edit = Put | Add | Delete | Append | Rename


def edited(text: str, edits: Sequence[Edit], file: str) -> str:
    """The text with every change made, one after the other: each path is of the text that the changes before it left.

    A byte order mark, line breaks, blank lines, comments, quotes and alignment stay. Raises CannotDo, with the place and what
    to write by hand, where the text has faults of form, a path is not there, or a change would reach further than it is meant.
    """
    mark, text = (text[:1], text[1:]) if text[:1] == "\ufeff" else ("", text)
    for edit in edits:
        text = _one(text, edit, file)
    return mark + text


def _one(text: str, edit: Edit, file: str) -> str:
    tree = parse_tree(text, file)
    if tree.problems:
        raise CannotDo(tree.problems, {file: lines_of(text)})
    try:
        wanted = _applied(tree.data, edit)
        if same(wanted, tree.data):
            return text
        changed = _changed(text, tree.data, edit, file)
        _reads_as(changed, wanted, Spans(text), edit)
    except EditRefused as why:
        raise CannotDo([_refusal(tree, edit, str(why))], {file: lines_of(text)}) from None
    return changed


def _changed(text: str, data: Any, edit: Edit, file: str) -> str:
    spans = Spans(text)
    match edit:
        case Put():
            changed = _put(spans, data, edit, file)
        case Rename():
            changed = rename(spans, *_parent(spans, data, edit.path), edit.key)
        case Delete():
            changed = delete(spans, *_parent(spans, data, edit.path), _holder(spans, data, edit.path[:-1]))
        case Append():
            changed = _more(spans, data, edit.path, _at(_applied(data, edit), edit.path), -1)
        case Add():
            whole = _at(_applied(data, edit), edit.path)
            changed = _more(spans, data, edit.path, whole, list(whole).index(edit.key))
    return changed


def _more(spans: Spans, data: Any, path: Path, whole: Any, index: int) -> str:
    """The text with one item of ``whole`` that the mapping or list at the path has not yet; a bare value becomes ``whole``."""
    node = _node(spans, data, path)
    if node.kind == "sequence":
        return insert(spans, node, len(node.values), whole[index])
    if node.kind == "mapping":
        key = list(whole)[index]
        return insert(spans, node, index, whole[key], key)
    return replace(spans, *_holder(spans, data, path), whole)


def _put(spans: Spans, data: Any, edit: Put, file: str) -> str:
    """What differs of a mapping or list, or the whole value where its form is another."""
    old, new = _at(data, edit.path), as_read(edit.value)
    steps: list[Edit] = []
    if old and new and isinstance(old, dict) and isinstance(new, dict):
        steps = [Delete((*edit.path, key)) for key in old if key not in new]
        before: str | None = None
        for key, value in new.items():
            if key in old:
                steps.append(Put((*edit.path, key), value))
            elif before is None:
                steps = []  # nothing stands before it
                break
            else:
                steps.append(Add(edit.path, key, value, after=before))
            before = key
        if len(set(old) - set(new)) == len(old) or [k for k in old if k in new] != [k for k in new if k in old]:
            steps = []
    elif old and new and isinstance(old, list) and isinstance(new, list):
        steps = _list_steps(edit.path, old, new)
    if not steps or _node(spans, data, edit.path).kind == "alias":
        return replace(spans, *_holder(spans, data, edit.path), new)
    text = spans.text
    for step in steps:
        text = _one(text, step, file)
    return text


def _list_steps(path: Path, old: list[Any], new: list[Any]) -> list[Edit]:
    """Items taken out where the lists begin to differ, the others changed in place, what is more put at the end."""
    first = next((n for n, (a, b) in enumerate(zip(old, new, strict=False)) if not same(a, b)), min(len(old), len(new)))
    gone = max(0, len(old) - len(new))
    left = old[:first] + old[first + gone :]
    steps: list[Edit] = [Delete((*path, first))] * gone
    steps += [Put((*path, n), value) for n, value in enumerate(new[: len(left)]) if not same(left[n], value)]
    return steps + [Append(path, value) for value in new[len(left) :]]


def _reads_as(text: str, wanted: Any, before: Spans, edit: Edit) -> None:
    """Raises Refused where the changed text does not read as it is meant, or a comment is gone that has nothing to do with it."""
    tree = parse_tree(text, "")
    if tree.problems or not same(tree.data, wanted):
        raise EditRefused("more than this would change (is there an anchor & or an alias *?)")
    comments = Spans(text)
    kept = comments.comments_in(0, len(text))
    had = before.comments_in(0, len(before.text))
    if kept != had and not (isinstance(edit, Delete | Put) and len(kept) < len(had)):
        raise EditRefused("a comment would be lost")


def _applied(data: Any, edit: Edit) -> Any:
    """The data with the change. Raises Refused where it cannot be made."""
    new = copy.deepcopy(data)
    if isinstance(edit, Put) and not edit.path:
        return as_read(edit.value)
    here = _at(new, edit.path)
    parent: Any = _at(new, edit.path[:-1]) if edit.path else None
    last = edit.path[-1] if edit.path else None
    if isinstance(edit, Put):
        parent[last] = as_read(edit.value)
    elif isinstance(edit, Delete):
        if not edit.path:
            raise EditRefused("the whole file cannot be deleted here")
        del parent[last]
    elif isinstance(edit, Rename):
        if not isinstance(parent, dict):
            raise EditRefused("an item of a list has no name")
        if edit.key in parent and edit.key != last:
            raise EditRefused(f"“{edit.key}” stands there already")
        renamed = {edit.key if key == last else key: value for key, value in parent.items()}
        parent.clear()
        parent.update(renamed)
    elif isinstance(edit, Append):
        if not isinstance(here, list | str):
            raise EditRefused("there is no list here")
        return _with(new, edit.path, [*(here if isinstance(here, list) else [here]), as_read(edit.value)])
    else:
        return _with(new, edit.path, _added(here, edit))
    return new


def _added(here: Any, edit: Add) -> dict[str, Any]:
    if isinstance(here, str) and edit.short_for:
        here = {edit.short_for: here}
    if here is None:
        here = {}
    if not isinstance(here, dict):
        raise EditRefused("there is no group of `key: value` here")
    if edit.key in here:
        raise EditRefused(f"“{edit.key}” stands there already")
    if edit.after is not None and edit.after not in here:
        raise EditRefused(f"there is no “{edit.after}” to put it after")
    out: dict[str, Any] = {}
    for key, value in here.items():
        out[key] = value
        if key == edit.after:
            out[edit.key] = as_read(edit.value)
    out.setdefault(edit.key, as_read(edit.value))
    return out


def _with(data: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    _at(data, path[:-1])[path[-1]] = value
    return data


def _at(data: Any, path: Path) -> Any:
    for part in path:
        there = isinstance(data, dict) and part in data
        if not there and not (isinstance(data, list) and isinstance(part, int) and 0 <= part < len(data)):
            raise EditRefused(f"there is no {_words_of(path)} here")
        data = data[part]
    return data


def _node(spans: Spans, data: Any, path: Path) -> Node:
    node = spans.root
    for part in path:
        if node is None or node.kind == "alias":
            raise EditRefused("it stands where an anchor (&) is, and an alias (*) repeats it here")
        index = list(data).index(part) if isinstance(data, dict) else int(part)
        node, data = node.values[index], data[part]
    if node is None:
        raise EditRefused("the file is empty")
    return node


def _parent(spans: Spans, data: Any, path: Path) -> tuple[Node, int]:
    """The mapping or list that holds what is at the path, and its number there."""
    _node(spans, data, path)
    holder = _at(data, path[:-1])
    index = list(holder).index(path[-1]) if isinstance(holder, dict) else int(path[-1])
    return _node(spans, data, path[:-1]), index


def _holder(spans: Spans, data: Any, path: Path) -> tuple[Node | None, int]:
    return _parent(spans, data, path) if path else (None, 0)


def _words_of(path: Path) -> str:
    return "`" + ": ".join(str(part + 1) if isinstance(part, int) else part for part in path) + "`"


def _refusal(tree: Tree, edit: Edit, why: str) -> Any:
    named = edit.path if not isinstance(edit, Add) else (*edit.path, edit.key)
    place: Place = tree.place(*named, key=True)
    if isinstance(edit, Delete):
        by_hand = f"delete {_words_of(named)} by hand"
    elif isinstance(edit, Rename):
        by_hand = f"call {_words_of(named)} `{edit.key}` by hand"
    elif isinstance(edit, Append):
        by_hand = f"add {flow_text(as_read(edit.value))} to {_words_of(named)} by hand"
    else:
        by_hand = f"write {_words_of(named)} by hand: {flow_text(as_read(edit.value), in_flow=False)}"
    return error(place, "cannot-edit", f"this cannot be changed here safely: {why}", by_hand)
