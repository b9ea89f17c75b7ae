"""YAML text into plain data in which every key and value keeps its line and column.

Scalars stay the text a person wrote (only an empty value is None): what ``1:30``, ``no`` or ``1.50`` means is decided
by the field that it stands in, not by YAML's own guesses. Anchors may be reused, but what they expand to is bounded.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from scriptkit.problems import Place, Problem, error, warning
from scriptkit.recipe.yaml_slips import quoted, slip_in

DEEPEST = 20
MOST_VALUES = 50_000
LONGEST_KEY = 1024
"""YAML 1.2, 7.4.3: an implicit key has at most so many characters."""

Path = tuple[str | int, ...]
_PROSE = ("do", "say", "dish", "meal", "short", "promise", "goodbye", "prep", "title")
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What the parser says, and what a cook can do about it.
_PARSER_WORDS = (
    ("tab character", "a tab cannot indent", "indent with spaces"),
    ("cannot start any token", "a character cannot stand here", "indent with spaces, not tabs; put quotes around text that starts with % @ or `"),
    ("mapping values are not allowed", "a second colon, or wrong indentation", "put quotes around text that has a colon in it, and line keys up"),
    ("could not find expected ':'", "a line has no colon after its key", "write `key: value`"),
    ("expected ',' or", "a list or mapping in brackets is not closed", "close it with ] or }"),
    ("expected node content", "a bracket is not closed, or nothing stands beside a comma", "close it with ] or }"),
    ("did not find expected key", "the indentation does not match the lines above", "line keys of one group up under each other"),
    ("expected '-' indicator", "the indentation does not match the list above", "start each item with - under the others"),
    ("expected <block end>", "the indentation does not match the lines above", "line keys of one group up under each other"),
    ("key too long", "a key is longer than 1,024 characters", "shorten it"),
    ("unexpected end of stream", "a quote or bracket is never closed", "close it"),
    ("undefined alias", "an alias (*) has no anchor (&) before it", "write the value out"),
    ("nesting depth", "too many brackets inside one another", "check the brackets"),
    ("unknown escape", "a backslash in double quotes", "use single quotes around text with backslashes"),
)  # fmt: skip


@dataclass(slots=True)
class Tree:
    """``data`` is dicts, lists, text and None. ``keys`` and ``values`` map a path to where its key and value stand."""

    file: str
    data: Any = None
    keys: dict[Path, Place] = field(default_factory=dict)
    values: dict[Path, Place] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    unread: set[Path] = field(default_factory=set)
    """Where a value stands that could not be understood, which has been told."""

    def moved(self, moves: Mapping[Path, Path]) -> None:
        """Let what stood at each path be found at its new one, with everything under it."""
        for places in (self.keys, self.values):
            at = {_after(path, moves): place for path, place in places.items()}
            places.clear()
            places.update(at)

    def place(self, *path: str | int, key: bool = False) -> Place:
        """Where the value (or the key) at this path stands; for a path that is not there, its nearest parent."""
        wanted: Path = path
        while wanted:
            first, second = (self.keys, self.values) if key else (self.values, self.keys)
            if found := first.get(wanted) or second.get(wanted):
                return found
            wanted, key = wanted[:-1], True
        return self.values.get((), Place(self.file))


def _after(path: Path, moves: Mapping[Path, Path]) -> Path:
    for n in range(1, len(path) + 1):
        if path[:n] in moves:
            return moves[path[:n]] + path[n:]
    return path


class _TooMuch(Exception):
    """Ends reading; carries the one problem to tell."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def parse_tree(text: str, file: str) -> Tree:
    """Read one YAML document. Problems are collected in the tree; after a syntax error ``data`` is None."""
    tree = Tree(file)
    try:
        _Composer(tree, yaml.parse(text, Loader=_Loader), text).document()
    except _TooMuch as stop:
        tree.data = None
        tree.problems.append(stop.problem)
    except yaml.MarkedYAMLError as wrong:
        tree.data = None
        mark = wrong.problem_mark or wrong.context_mark
        place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
        said = wrong.problem or wrong.context or "this is not YAML"
        slip = slip_in(text, mark.line + 1) if mark else None
        if slip is not None:
            at = Place(file, slip.line, slip.column)
            tree.problems.append(error(at, "yaml", slip.message, f"write `{slip.written}`"))
            return tree
        if mark and mark.column > LONGEST_KEY and "mapping values" in said:
            said = "key too long"
        for words, message, hint in _PARSER_WORDS:
            if words in said:
                tree.problems.append(error(place, "yaml", message, hint))
                break
        else:
            tree.problems.append(error(place, "yaml", f"this is not YAML: {said}", "check quotes and indentation"))
    except yaml.YAMLError as wrong:  # a character YAML does not allow; it has no mark
        tree.data = None
        tree.problems.append(_bad_character(text, file, wrong))
    return tree


def lines_of(text: str) -> list[str]:
    """The lines as YAML counts them."""
    return re.split("\r\n|[\n\r\x85\u2028\u2029]", text)


def _bad_character(text: str, file: str, wrong: yaml.YAMLError) -> Problem:
    found = re.search(r"[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", text)
    if not found:
        return error(Place(file), "yaml", f"this is not YAML: {wrong}", "save the file as plain text")
    lines = lines_of(text[: found.start()])
    place = Place(file, len(lines), len(lines[-1]) + 1)
    return error(place, "yaml", f"an invisible character (U+{ord(found.group()):04X}) stands here", "delete it")


class _Composer:
    """Builds the tree from parser events, without recursion in the parser and with everything counted."""

    def __init__(self, tree: Tree, events: Iterator[Any], text: str = "") -> None:
        self.tree = tree
        self.lines = lines_of(text) if "#" in text or "!" in text else []
        self.events = events
        self.anchors: dict[str, list[Any] | None] = {}
        self.count = 0

    def document(self) -> None:
        documents = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.tree.problems.append(
                        error(
                            self._place(event),
                            "yaml",
                            "a second document starts here (---)",
                            "one file, one dish or meal",
                        )
                    )
                    return
                self.tree.data = self._value((), next(self.events))

    def _place(self, event: Any) -> Place:
        return Place(self.tree.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _value(self, path: Path, event: Any) -> Any:
        place = self._place(event)
        self.tree.values[path] = place
        self._bound(path, place)
        if isinstance(event, yaml.AliasEvent):
            return self._again(path, event, place)
        if event.tag is not None and (not event.tag.startswith("tag:yaml.org,2002:") or "python" in event.tag):
            self.tree.problems.append(self._tag(path, event, place))
        if event.anchor is None:
            return self._content(path, event)
        self.anchors[event.anchor] = None  # being read: an alias to it inside itself is a circle
        recorded, outer = [event], self.events
        self.events = _record(outer, recorded)
        value = self._content(path, event)
        self.events = outer
        self.anchors[event.anchor] = recorded
        return value

    def _content(self, path: Path, event: Any) -> Any:
        if isinstance(event, yaml.ScalarEvent):
            plain = event.implicit[0] and event.style in (None, "")
            if plain and self.lines:
                self._cut_off(path, event)
            return None if plain and event.value in ("", "~", "null") else event.value
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Any] = []
            while not isinstance(item := next(self.events), yaml.SequenceEndEvent):
                items.append(self._value((*path, len(items)), item))
            return items
        return self._mapping(path)

    def _tag(self, path: Path, event: Any, place: Place) -> Problem:
        """Told of a text that begins with !, which YAML takes for a name of its type."""
        line = self.lines[place.line - 1][place.column - 1 :] if place.line <= len(self.lines) else ""
        if not line.startswith("!") or line.startswith("!!") or not path or not isinstance(path[-1], str):
            return error(place, "yaml", f"a tag ({event.tag}) is not used here", "write the plain value")
        return error(
            place, "yaml", "text cannot begin with ! unless it stands in quotes", f"write `{path[-1]}: {quoted(line)}`"
        )

    def _cut_off(self, path: Path, event: Any) -> None:
        """A warning where text goes on after a #: YAML leaves the rest of the line out."""
        line = self.lines[event.end_mark.line] if event.end_mark.line < len(self.lines) else ""
        rest = line[event.end_mark.column :]
        key = path[-1] if path else ""
        if not re.match(r"\s+#\d", rest) and not (key in _PROSE and re.match(r"\s+#[^\s#]", rest)):
            return
        place = Place(
            self.tree.file, event.end_mark.line + 1, event.end_mark.column + len(rest) - len(rest.lstrip()) + 1
        )
        whole = quoted(f"{event.value}{rest}")
        shown = f"{key}: {whole}" if isinstance(key, str) and key else whole
        self.tree.problems.append(
            warning(
                place,
                "hash",
                f"“{rest.strip()}” is taken for a remark and left out, for a # begins one",
                f"write `{shown}`",
            )
        )

    def _mapping(self, path: Path) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            place = self._place(event)
            if not isinstance(event, yaml.ScalarEvent):
                raise _TooMuch(error(place, "yaml", "a key must be plain text", "write `key: value`"))
            key = event.value
            if key in found:
                self._bound(path, place)
                first = self.tree.keys[(*path, key)].line
                self.tree.problems.append(
                    error(
                        place,
                        "duplicate-key",
                        f"“{key}” stands here a second time (first on line {first})",
                        _one_of_two(path, key, next(iter(found)), value := next(self.events)),
                    )
                )
                self._skip(value)
                continue
            self.tree.keys[(*path, key)] = place
            found[key] = self._value((*path, key), next(self.events))
        return found

    def _skip(self, event: Any) -> None:
        depth = 0
        while True:
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            if depth == 0:
                return
            event = next(self.events)

    def _again(self, path: Path, event: Any, place: Place) -> Any:
        recorded = self.anchors.get(event.anchor, ())
        if recorded is None:
            raise _TooMuch(error(place, "yaml", f"“*{event.anchor}” contains itself", "write the value out"))
        if not recorded:
            raise _TooMuch(
                error(place, "yaml", f"“*{event.anchor}” has no anchor (&) before it", "write the value out")
            )
        outer, self.events = self.events, iter(recorded[1:])
        value = self._value(path, _without_anchor(recorded[0]))
        self.events = outer
        return value

    def _bound(self, path: Path, place: Place) -> None:
        self.count += 1
        if self.count > MOST_VALUES:
            raise _TooMuch(
                error(
                    place,
                    "too-large",
                    f"more than {MOST_VALUES} values",
                    "check which file this is; a recipe is far shorter",
                )
            )
        if len(path) > DEEPEST:
            raise _TooMuch(
                error(place, "yaml", f"nested more than {DEEPEST} deep", "check the brackets and the indentation")
            )


def _one_of_two(path: Path, key: str, first: str, value: Any) -> str:
    """What to do about a key that stands twice: in a list it may begin the next item, whose dash was forgotten."""
    if key == first and path and isinstance(path[-1], int) and isinstance(value, yaml.ScalarEvent):
        return f"keep one of them; if the next step begins here, write `- {key}: {value.value}`"
    return "keep one of them"


def _record(events: Iterator[Any], into: list[Any]) -> Iterator[Any]:
    for event in events:
        into.append(event)
        yield event


def _without_anchor(event: Any) -> Any:
    plain = copy.copy(event)
    plain.anchor = None
    return plain
