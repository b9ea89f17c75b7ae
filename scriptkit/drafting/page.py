"""What a saved web page holds of recipe data: its JSON-LD scripts, and schema.org microdata or RDFa. Nothing is run or fetched."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Any

from scriptkit.timed_text.markup import without_long_references

_EMPTY = frozenset({
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr",
})  # fmt: skip
_BLOCKS = frozenset({"p", "li", "br", "div", "tr", "h1", "h2", "h3", "h4"})
_UNSEEN = frozenset({"script", "style", "template", "noscript"})
_SCRIPT = re.compile(r"<script\b([^<>]*)>", re.IGNORECASE)
_SCRIPT_END = re.compile(r"</script", re.IGNORECASE)
_JSON_LD = re.compile(r"application/ld\+json", re.IGNORECASE)
_ITEM = re.compile(r"schema\.org/Recipe\b|\btypeof\s*=\s*[\"']?[\w:]*\bRecipe\b", re.IGNORECASE)
_ENDS_ITSELF = frozenset({"li", "p", "tr", "td", "th", "dt", "dd", "option"})
"""Elements whose end may be left out: the next of its kind ends it."""
_OF_A_RECIPE = frozenset({
    "recipeIngredient", "ingredients", "recipeInstructions", "recipeYield", "nutrition", "prepTime", "cookTime", "totalTime",
})  # fmt: skip
_RDFA = frozenset({"recipe", "nutritioninformation", "howtostep", "howtosection", "person", "organization"})
"""Types that a recipe is made of; other vocabularies mark pages, too."""
MOST_VALUES = 2_000
"""Of one property."""
MOST_MICRODATA = 1_000_000
"""Characters that are read from where the first recipe begins."""
LONGEST_TEXT = 20_000
"""Of one value."""
DEEPEST = 40
"""Properties inside one another; no recipe comes near."""


@dataclass(slots=True)
class _Item:
    """An element that is an item, or a property, or a value being collected."""

    depth: int
    node: dict[str, Any] | None = None
    names: tuple[str, ...] = ()
    text: list[str] | None = None


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.items: list[dict[str, Any]] = []
        self._tags: list[str] = []
        self._count: Counter[str] = Counter()
        self._open: list[_Item] = []
        self._unseen = 0

    def parse_marked_section(self, i: int, report: int = 1) -> int:
        """What begins with ``<![`` is a comment in HTML, and ends with the next ``>``."""
        return self.parse_bogus_comment(i, bool(report))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag in _UNSEEN:
            self._unseen += 1
        if tag in _BLOCKS:
            self._write("\n")
        if tag in _ENDS_ITSELF and self._tags and self._tags[-1] == tag:
            self._ended()
        if tag not in _EMPTY:
            self._tags.append(tag)
            self._count[tag] += 1
        self._microdata(tag, told)

    def _microdata(self, tag: str, told: dict[str, str]) -> None:
        if len(self._open) >= DEEPEST:
            return
        names = tuple(told.get("itemprop", "").split()) or tuple(
            n.removeprefix("schema:").removeprefix("v:")
            for n in told.get("property", "").split()
            if not n.startswith("og:")
        )
        parent = self._parent(names)
        rdfa = re.split(r"[/:#]", told.get("typeof", "").strip())[-1].casefold() in _RDFA
        if "itemscope" in told or rdfa:
            kind = told.get("itemtype") or told.get("typeof", "")
            node: dict[str, Any] = {"@type": re.split(r"[/:#]", kind.strip().rstrip("/"))[-1]}
            if names and parent is not None:
                self._add(parent, names, node)
            if node["@type"].casefold() == "recipe":
                self.items.append(node)
            if tag not in _EMPTY:
                self._open.append(_Item(depth=len(self._tags), node=node))
            return
        if not names or parent is None:
            return
        given = told.get("content") or told.get("datetime") or (told.get("href") if tag in ("a", "link") else None)
        if given is None and tag == "img":
            given = told.get("src")
        if given is not None:
            self._add(parent, names, given)
        elif tag not in _EMPTY:
            self._open.append(_Item(depth=len(self._tags), names=names, text=[]))

    def handle_endtag(self, tag: str) -> None:
        if tag in _UNSEEN:
            self._unseen = max(0, self._unseen - 1)
        if tag in _EMPTY:
            return
        if tag in _BLOCKS:
            self._write("\n")
        if not self._count[tag]:
            return  # nothing that is open has this name
        while self._tags[-1] != tag:
            self._ended()
        self._ended()

    def _parent(self, names: tuple[str, ...]) -> dict[str, Any] | None:
        """The item that the properties belong to: the one they stand in; where a stray end tag has closed it, the last recipe."""
        inside = next((i.node for i in reversed(self._open) if i.node is not None), None)
        if inside is None and self.items and not _OF_A_RECIPE.isdisjoint(names):
            return self.items[-1]
        return inside

    def _ended(self) -> None:
        """The innermost element is over, and with it what it is or holds."""
        while self._open and self._open[-1].depth >= len(self._tags):
            done = self._open.pop()
            parent = self._parent(done.names)
            if done.text is not None and parent is not None:
                self._add(parent, done.names, "".join(done.text))
        self._count[self._tags.pop()] -= 1

    def handle_data(self, data: str) -> None:
        if not self._unseen:
            self._write(data)

    def _write(self, data: str) -> None:
        for item in self._open:
            if item.text is not None:
                item.text.append(data)

    def _add(self, node: dict[str, Any], names: tuple[str, ...], value: Any) -> None:
        for name in names:
            values = node.setdefault(name, [])
            if len(values) < MOST_VALUES:
                values.append(value)


def scripts_of(text: str) -> Iterator[str]:
    """The texts of the page's JSON-LD script elements; one that is never closed runs to the end."""
    at = 0
    while found := _SCRIPT.search(text, at):
        end = _SCRIPT_END.search(text, found.end())
        at = end.end() if end else len(text)
        if _JSON_LD.search(found.group(1)):
            yield text[found.end() : end.start() if end else len(text)]


def items_of(text: str) -> list[dict[str, Any]]:
    """The page's microdata recipes, as JSON-LD nodes; a page that is not well-formed is read as far as it goes."""
    named = _ITEM.search(text)
    if not named:
        return []
    start = max(text.rfind("<", 0, named.start()), 0)
    reader = _Reader()
    reader.feed(readable_in_one_go(text[start : start + MOST_MICRODATA]))
    reader.close()
    return reader.items


def readable_in_one_go(text: str) -> str:
    """The HTML without what a parser searches the end of again and again: comments and tags that never end.

    >>> readable_in_one_go("<b>1 <!-- 2 <i> 3 <a <a")
    '<b>1  2 <i> 3 &lt;a &lt;a'
    """
    text = without_long_references(text)
    closed = text.rfind("-->") + 3 if "-->" in text else 0
    text = text[:closed] + text[closed:].replace("<!--", "")
    last = text.rfind(">") + 1
    return text[:last] + text[last:].replace("<", "&lt;")


def plain(text: str) -> str:
    """The text of a piece of HTML: without elements and entities, a line for each block.

    >>> plain("Stir <b>well</b> &amp; serve.<br>Hot.")
    'Stir well & serve.\\nHot.'
    """
    text = text[:LONGEST_TEXT]
    if "<" not in text and "&" not in text:
        return text
    reader = _Reader()
    piece: list[str] = []
    reader._open.append(_Item(depth=-1, text=piece))
    reader.feed(readable_in_one_go(text))
    reader.close()
    return "".join(piece).strip("\n")
