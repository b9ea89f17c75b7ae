"""Where everything of a YAML text begins and ends, so that a part can be changed and the rest left as it is."""

from __future__ import annotations

import bisect
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
"""A line break as YAML counts them."""
_COMMENT = re.compile("#[^\n\r\x85\u2028\u2029]*")
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(slots=True)
class Node:
    """A value or a key. ``start`` and ``end`` are offsets of its text; of a block mapping or list they run from its first key or
    dash to the end of its last value. An empty value has ``start`` = ``end``, right after its colon or dash."""

    kind: str
    """scalar, mapping, sequence or alias."""
    start: int
    end: int
    flow: bool = False
    """Of a collection: written in brackets."""
    in_flow: bool = False
    """Whether it stands inside brackets."""
    style: str = ""
    """Of a scalar: a quote, ``|`` or ``>``; empty where it is plain."""
    marked: bool = False
    """Whether it has an anchor or a tag."""
    keys: list[Node] = field(default_factory=list)
    values: list[Node] = field(default_factory=list)

    def item_start(self, index: int) -> int:
        """Where the key (of a list: the value) of an item begins."""
        return (self.keys or self.values)[index].start

    def item_end(self, index: int) -> int:
        """Where an item ends, whether it has a value or a key alone."""
        return max(self.values[index].end, self.keys[index].end if self.keys else 0)


class Spans:
    """A text that is one YAML document without problems, its nodes, its lines and its comments."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._events: Iterator[Any] = iter(yaml.parse(text, Loader=_Loader))
        self.root: Node | None = None
        for event in self._events:
            if isinstance(event, yaml.DocumentStartEvent):
                self.root = self._node(next(self._events), in_flow=False)
        self._starts = [0, *(m.end() for m in BREAK.finditer(text))]
        self._all_leaves = list(self._leaves(self.root))
        self.comments = list(self._comments())
        """Start and end of each, in order."""

    def line_start(self, at: int) -> int:
        """Where the line begins that this offset is in."""
        return self._starts[bisect.bisect_right(self._starts, at) - 1]

    def line_end(self, at: int) -> int:
        """Where that line ends, before its line break."""
        found = BREAK.search(self.text, at)
        return found.start() if found else len(self.text)

    def next_line(self, at: int) -> int:
        """Where the line after it begins; the end of the text where there is none."""
        found = BREAK.search(self.text, at)
        return found.end() if found else len(self.text)

    def line_break(self, at: int) -> str:
        """The line break of that line; where it has none, the text's first."""
        found = BREAK.search(self.text, at) or BREAK.search(self.text)
        return found.group() if found else "\n"

    def column(self, at: int) -> int:
        """Characters before it on its line."""
        return at - self.line_start(at)

    def opens_line(self, at: int) -> bool:
        """Whether nothing but spaces stands before it on its line."""
        return not self.text[self.line_start(at) : at].strip(" \t")

    def comments_in(self, start: int, end: int) -> list[str]:
        """The comments that begin between two offsets."""
        return [self.text[a:b] for a, b in self.comments if start <= a < end]

    def leaf_before(self, at: int) -> Node | None:
        """The last scalar, alias or empty collection that ends before an offset, or at it."""
        return next((leaf for leaf in reversed(self._all_leaves) if leaf.end <= at), None)

    def _node(self, event: Any, *, in_flow: bool) -> Node:
        start, end = event.start_mark.index, _end_of(event)
        marked = event.anchor is not None or getattr(event, "tag", None) is not None
        if isinstance(event, yaml.AliasEvent):
            return Node("alias", start, end, in_flow=in_flow)
        if isinstance(event, yaml.ScalarEvent):
            style = event.style or ""
            if style in ("|", ">"):
                end = self._block_end(start, end)
            return Node("scalar", start, end, in_flow=in_flow, style=style, marked=marked)
        mapping = isinstance(event, yaml.MappingStartEvent)
        node = Node("mapping" if mapping else "sequence", start, end, in_flow=in_flow, marked=marked)
        node.flow = bool(event.flow_style)
        inside = in_flow or node.flow
        one: Any
        while not isinstance(one := next(self._events), yaml.CollectionEndEvent):
            if mapping:
                node.keys.append(self._node(one, in_flow=inside))
                one = next(self._events)
            value = self._node(one, in_flow=inside)
            if mapping and value.start == value.end:
                value.start = value.end = self._after_colon(node.keys[-1].end)
            node.values.append(value)
        if node.flow:
            node.end = _end_of(one)
        else:
            node.start = node.keys[0].start if mapping else start
            node.end = node.item_end(-1)
        return node

    def _after_colon(self, key_end: int) -> int:
        """Where an empty value stands: after its colon; where it has none, after its key."""
        at = key_end
        while self.text[at : at + 1] in (" ", "\t"):
            at += 1
        return at + 1 if self.text[at : at + 1] == ":" else key_end

    def _block_end(self, start: int, end: int) -> int:
        """Blank lines after a block of text belong to it only where it keeps them (``|+``)."""
        header = self.text[start : self.line_end(start)]
        kept = self.text[start:end]
        if "+" not in header.partition("#")[0]:
            return start + len(kept.rstrip())
        return end - len(found.group()) if (found := re.search(f"(?:{BREAK.pattern})\\Z", kept)) else end

    def _comments(self) -> Iterator[tuple[int, int]]:
        at = 0
        for node in self._all_leaves:
            yield from self._comments_between(at, node.start)
            if node.style in ("|", ">"):  # its first line may end in a comment
                yield from self._comments_between(node.start, min(node.end, self.line_end(node.start)))
            at = max(at, node.end)
        yield from self._comments_between(at, len(self.text))

    def _comments_between(self, start: int, end: int) -> Iterator[tuple[int, int]]:
        at = start
        while found := _COMMENT.search(self.text, at, end):
            yield found.span()
            at = found.end()

    def _leaves(self, node: Node | None) -> Iterator[Node]:
        if node is None:
            return
        if not node.values:
            yield node
        for n, value in enumerate(node.values):
            if node.keys:
                yield node.keys[n]
            yield from self._leaves(value)


def _end_of(event: Any) -> int:
    end: int = event.end_mark.index
    return end
