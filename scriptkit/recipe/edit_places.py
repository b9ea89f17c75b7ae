"""The four changes of a YAML text at places that are known: a value replaced, an item put in, taken out, or called otherwise.

Each gives the whole new text. Nothing here knows whether it still reads as it should: file_edit.py sees to that.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from scriptkit.recipe.yaml_spans import Node, Spans
from scriptkit.recipe.yaml_writing import WIDEST_FLOW, block_text, flow_text, literal_text, scalar_text

_GAP = re.compile(r"[ \t]*")


class EditRefused(Exception):
    """A change that cannot be made safely; its text says why, for a cook."""


def replace(spans: Spans, parent: Node | None, index: int, value: Any) -> str:
    """The text with another value at an item of ``parent``; without one, as the whole document. Raises Refused."""
    node = parent.values[index] if parent else spans.root
    if node is None:
        raise EditRefused("the file is empty")
    _unmarked(node)
    if node.kind == "scalar":
        new = _scalar_in_place(spans, node, value)
    elif node.kind != "alias" and isinstance(value, dict | list) and not node.flow and value:
        new = block_text(value, " " * spans.column(node.start), spans.line_break(node.start))
    else:
        new = flow_text(value, in_flow=node.in_flow)
    if node.kind in ("scalar", "alias") or node.flow:
        return _spliced(spans, node.start, node.end, _led(spans, node, new))
    return _in_place_of_a_block(spans, parent, index, node, value, new)


def insert(spans: Spans, parent: Node, index: int, value: Any, key: str | None = None) -> str:
    """The text with an item more, before the one that is now at ``index``; with a ``key`` in a mapping, without in a list.
    Raises Refused."""
    if parent.flow:
        return _insert_in_brackets(spans, parent, index, _item(value, key))
    _explicit(spans, parent)
    column = spans.column(parent.start)
    at = spans.line_end(parent.item_end(index - 1)) if index else parent.start
    line_break, indent = spans.line_break(parent.item_end(index - 1) if index else at), " " * column
    new = _block_item(spans, parent, value, key, indent, line_break)
    if not index:
        return spans.text[:at] + new + line_break + indent + spans.text[at:]
    before = _without_last_break(spans) if at == len(spans.text) else spans.text[:at]
    return before + line_break + indent + new + spans.text[at:]


def _without_last_break(spans: Spans) -> str:
    """The text, of which a block of lines at the very end, without a line break after it, still ends without one if more follows."""
    last = spans.leaf_before(len(spans.text))
    if last is None or not _ends_in_lines(spans, len(spans.text)) or last.end < len(spans.text):
        return spans.text
    return spans.text[: last.start + 1] + "-" + spans.text[last.start + 1 :].lstrip("+-")


def _ends_in_lines(spans: Spans, at: int) -> bool:
    """Whether the last thing before an offset is a block of lines, to which line breaks matter."""
    last = spans.leaf_before(at)
    return last is not None and last.style in ("|", ">")


def delete(spans: Spans, parent: Node, index: int, holder: tuple[Node | None, int]) -> str:
    """The text without an item. ``holder``: what holds the mapping or list that the item is in, and its number there.
    Raises Refused."""
    _unmarked(parent.values[index])
    if parent.flow:
        return _delete_in_brackets(spans, parent, index)
    _explicit(spans, parent)
    text = spans.text
    if len(parent.values) == 1:
        if holder[0] is None:
            raise EditRefused("nothing would be left in the file")
        return _in_place_of_a_block(spans, *holder, parent, [], "[]" if parent.kind == "sequence" else "{}")
    start, end = _begins(spans, parent, index), parent.item_end(index)
    after = spans.next_line(end)
    if spans.opens_line(start):
        if after == len(text) and text[spans.line_end(end) :] == "":  # the last line, without a line break
            before = spans.line_start(start)
            return text[: before if _ends_in_lines(spans, before) else before - len(_break_before(text, before))]
        last = spans.leaf_before(start)
        if last and last.style in ("|", ">") and "+" in text[last.start : spans.line_end(last.start)]:
            while after < len(text) and not text[after : spans.line_end(after)].strip():
                after = spans.next_line(after)  # blank lines that would now belong to the block of lines before
        return text[: spans.line_start(start)] + text[after:]
    # the first of a list's item, on the line of its dash: the next one takes its place there
    following = _begins(spans, parent, index + 1)
    if spans.line_start(following) == after:
        return text[:start] + text[following:]
    return text[:start].rstrip(" \t") + text[spans.line_end(end) :]


def rename(spans: Spans, parent: Node, index: int, key: str) -> str:
    """The text with another key; the value stays in its column where the values of the mapping have one. Raises Refused."""
    node, value = parent.keys[index], parent.values[index]
    if node.marked:
        raise EditRefused("the key has an anchor (&) or a tag (!)")
    new = scalar_text(key, in_flow=node.in_flow, quote=node.style)
    column = _column_of_values(spans, parent)
    if column is None or _breaks(spans.text, node.start, value.start):
        return _spliced(spans, node.start, node.end, new)
    new += ":" + " " * max(1, column - len(new) - 1)
    return _spliced(spans, node.start, value.start, new)


def _breaks(text: str, start: int, end: int) -> bool:
    return any(c in text[start:end] for c in "\r\n\x85\u2028\u2029")


def _unmarked(node: Node) -> None:
    if any(one.marked for one in _inside(node)):
        raise EditRefused("an anchor (&) or a tag (!) stands here")


def _inside(node: Node) -> Iterator[Node]:
    yield node
    yield from node.keys
    for value in node.values:
        yield from _inside(value)


def _explicit(spans: Spans, parent: Node) -> None:
    if parent.kind == "mapping" and any(
        spans.text[spans.line_start(key.start) : key.start].rstrip(" \t").endswith("?") for key in parent.keys
    ):
        raise EditRefused("a key is set apart by a question mark")


def _scalar_in_place(spans: Spans, node: Node, value: Any) -> str:
    """The new value as the old one was written: in its quotes, or as a block of lines."""
    if node.style not in ("|", ">"):
        return (
            flow_text(value, in_flow=node.in_flow)
            if isinstance(value, dict | list)
            else scalar_text(value, in_flow=node.in_flow, quote=node.style)
        )
    header = spans.text[node.start : spans.line_end(node.start)]
    indicator = header.split()[0]
    comment = header[len(indicator) :].rstrip()
    if isinstance(value, dict | list) or value is None:
        return flow_text(value, in_flow=node.in_flow) + comment
    body = spans.next_line(node.start)
    indent = spans.text[body : body + _indent(spans, body, node.end)]
    new = literal_text(value, node.style, indent, spans.line_break(node.start), comment)
    unended = value.endswith("\n") and spans.line_end(node.end) == len(spans.text)
    if new and indent and indicator in (node.style, node.style + "-") and not unended:
        return new
    return scalar_text(value, in_flow=node.in_flow, quote='"') + comment


def _indent(spans: Spans, start: int, end: int) -> int:
    found = _GAP.match(spans.text, start, end)
    return len(found.group()) if found else 0


def _led(spans: Spans, node: Node, new: str) -> str:
    """With what must stand before it where the value was empty."""
    if node.start != node.end:
        return new
    before = spans.text[node.start - 1 : node.start]
    return (" " if before in (":", "-") else ": ") + new


def _in_place_of_a_block(spans: Spans, parent: Node | None, index: int, node: Node, value: Any, new: str) -> str:
    """The text with a value in place of a block mapping or list."""
    text = spans.text
    if isinstance(value, dict | list) and value:
        return text[: node.start] + new + text[node.end :]
    if parent is None:
        return text[: node.start] + new + text[node.end :]
    if not spans.opens_line(node.start):
        return text[: node.start] + new + text[node.end :]
    lead = text.index(":", parent.keys[index].end) + 1 if parent.keys else _dash(spans, parent, index) + 1
    line_end = spans.line_end(node.end)
    first = spans.line_start(node.start)
    return text[:lead] + " " + new + text[lead : first - len(_break_before(text, first))] + text[line_end:]


def _break_before(text: str, at: int) -> str:
    return "\r\n" if text[:at].endswith("\r\n") else text[at - 1 : at]


def _item(value: Any, key: str | None) -> str:
    return flow_text(value) if key is None else f"{flow_text(key)}: {flow_text(value)}"


def _block_item(spans: Spans, parent: Node, value: Any, key: str | None, indent: str, line_break: str) -> str:
    one_line = flow_text(value, in_flow=False)
    wide = isinstance(value, dict | list) and bool(value) and len(indent) + len(one_line) + len(key or "") > WIDEST_FLOW
    if key is None:
        return "- " + (block_text(value, indent + "  ", line_break) if wide else one_line)
    name = scalar_text(key, in_flow=False)
    if wide:
        deeper = indent + "  "
        return f"{name}:{line_break}{deeper}{block_text(value, deeper, line_break)}"
    column = _column_of_values(spans, parent) or 0
    return f"{name}:{' ' * max(1, column - len(name) - 1)}{one_line}"


def _column_of_values(spans: Spans, parent: Node) -> int | None:
    """How far after their keys' beginnings the values of a block mapping stand, where they are lined up; else None."""
    apart = [
        (value.start - key.start, value.start - key.end)
        for key, value in zip(parent.keys, parent.values, strict=True)
        if value.start < value.end and not _breaks(spans.text, key.start, value.start)
    ]
    columns = {column for column, _ in apart}
    lined_up = not parent.flow and len(apart) > 1 and len(columns) == 1 and any(gap > 2 for _, gap in apart)
    return columns.pop() if lined_up else None


def _insert_in_brackets(spans: Spans, parent: Node, index: int, item: str) -> str:
    text = spans.text
    if not parent.values:
        inside = text[parent.start + 1 : parent.end - 1]
        end = parent.end - 1 if not inside.strip() and not _breaks(inside, 0, len(inside)) else parent.start + 1
        return _spliced(spans, parent.start + 1, end, item)
    if not index:
        return _spliced(spans, parent.item_start(0), parent.item_start(0), item + ", ")
    before = index - 1
    end = parent.item_end(before)
    if spans.opens_line(parent.item_start(before)) and spans.line_end(end) < parent.end:
        comma = _comma(spans, end)
        line = spans.line_end(end if comma is None else comma)
        indent = text[spans.line_start(parent.item_start(before)) : parent.item_start(before)]
        apart = " " if text[end - 1] == ":" else ""
        middle = text[end:line] if comma is not None else apart + "," + text[end:line]
        return (
            text[:end]
            + middle
            + spans.line_break(end)
            + indent
            + item
            + ("," if comma is not None else "")
            + text[line:]
        )
    joint = " ," if text[end - 1] == ":" else ","
    if spans.line_end(end) - spans.line_start(end) + len(item) > WIDEST_FLOW and not spans.comments_in(
        parent.start, end
    ):
        indent = " " * spans.column(parent.item_start(0))
        return _spliced(spans, end, end, joint + spans.line_break(end) + indent + item)
    return _spliced(spans, end, end, f"{joint} {item}")


def _delete_in_brackets(spans: Spans, parent: Node, index: int) -> str:
    text = spans.text
    start, end = parent.item_start(index), parent.item_end(index)
    comma = _comma(spans, end)
    if comma is None and index and not spans.comments_in(parent.item_end(index - 1), start):
        start = parent.item_end(index - 1)
        start += text[start - 1] == ":"  # what follows a colon is set apart from it
    elif comma is not None:
        end = comma + 1 + _indent(spans, comma + 1, len(text))
    first, last = spans.line_start(start), spans.line_end(end)
    if not text[first:start].strip(" \t") and not text[end:last].strip(" \t"):
        return text[:first] + text[spans.next_line(end) :]
    return _spliced(spans, start, end, "")


def _comma(spans: Spans, at: int) -> int | None:
    """Where the comma stands after an item in brackets; None where the bracket closes first."""
    ends = dict(spans.comments)
    while at < len(spans.text):
        if at in ends:
            at = ends[at]
        elif spans.text[at] == ",":
            return at
        elif spans.text[at] in "]}":
            return None
        else:
            at += 1
    return None


def _begins(spans: Spans, parent: Node, index: int) -> int:
    """Where an item of a block begins: at its key, or at its dash."""
    return parent.item_start(index) if parent.keys else _dash(spans, parent, index)


def _dash(spans: Spans, parent: Node, index: int) -> int:
    if not index:
        return parent.start
    column = spans.column(parent.start)
    at = spans.next_line(parent.item_end(index - 1))
    while at < len(spans.text):
        if spans.text[at + column : at + column + 1] == "-" and not spans.text[at : at + column].strip(" \t"):
            return at + column
        at = spans.next_line(at)
    raise EditRefused("its dash cannot be found")


def _spliced(spans: Spans, start: int, end: int, new: str) -> str:
    """The text with ``new`` between two offsets; a comment at the end of the line stays in its column, where it has one."""
    text = spans.text
    if _breaks(text, start, end) or _breaks(new, 0, len(new)):
        return text[:start] + new + text[end:]
    line_end = spans.line_end(end)
    at = next((a for a, _ in spans.comments if end <= a < line_end), None)
    if at is None:
        return text[:start] + new + text[end:]
    left = at - len(text[end:at]) + len(text[end:at].rstrip(" \t"))
    gap = at - left
    if gap < 2 and not _in_a_column(spans, at):
        return text[:start] + new + text[end:]
    gap = max(1, gap - len(new) + (end - start))
    return text[:start] + new + text[end:left] + " " * gap + text[at:]


def _in_a_column(spans: Spans, at: int) -> bool:
    """Whether a comment of the line before or after begins in the same column."""
    column, first, after = spans.column(at), spans.line_start(at), spans.next_line(at)
    around = [spans.line_start(first - 1)] if first else []
    around += [after] if after < len(spans.text) else []
    begins = {a for a, _ in spans.comments}
    return any(line + column in begins for line in around)
