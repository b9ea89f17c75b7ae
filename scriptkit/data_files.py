"""The package's own data files: tables (CSV) and entries (YAML), held against the columns and keys that they must have.

A slip in one of them is told with its file and line, like a slip in a cook's file, and never as a traceback. The check is
a comparison of sets; where something stands is worked out only for a file that is wrong.
"""

from __future__ import annotations

import csv
import dataclasses
import functools
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from importlib import resources
from typing import Any, NoReturn, TypeVar

from scriptkit.problems import CannotDo, Place, Problem, error, nearest

T = TypeVar("T")
Path = tuple[str | int, ...]

_WRONG = (ValueError, KeyError, TypeError, AttributeError, IndexError, StopIteration, ZeroDivisionError, re.error)
"""What building a value from a row or an entry can raise, where the row holds something that it cannot be built from."""


class BadDataFile(CannotDo):
    """A data file of the package has a column, a key or a value that does not belong there. Carries every problem of the
    file, each with its line."""


def text_of(package: str, name: str) -> str:
    """The whole text of a data file of the package (``scriptkit.safety``, ``rules.yaml``)."""
    return resources.files(package).joinpath(name).read_text(encoding="utf-8")


def _place(package: str, name: str, line: int = 1, column: int = 1) -> Place:
    return Place(f"{package.replace('.', '/')}/{name}", line, column)


def misfit(package: str, name: str, line: int, message: str, hint: str = "") -> BadDataFile:
    """The error of one line of a data file, to be raised by whoever finds it."""
    return BadDataFile([error(_place(package, name, line), "data-file", message, hint)])


# --- tables -----------------------------------------------------------------------------------------------------------


def rows_of(package: str, name: str, columns: Sequence[str]) -> list[list[str]]:
    """The rows of a CSV table below its header, as text; empty lines and comments (#) left out. Raises BadDataFile where the
    header is not ``columns`` in that order, or a row has more or fewer cells."""
    return [row for _, row in _rows(package, name, columns)]


def unsplit_rows_of(package: str, name: str, columns: Sequence[str]) -> dict[str, str]:
    """The same of a table of many rows of which few are asked for: first cell → the row as it is written, of which no other cell needs
    quotes. Raises BadDataFile as :func:`rows_of` does."""
    text = text_of(package, name)
    header, *lines = [line for line in text.splitlines() if line and line[0] != "#"] or [""]
    quoted = {line[1:].partition('",')[0]: line for line in lines if line[0] == '"'}
    commas = len(lines) * (len(columns) - 1) + sum(first.count(",") for first in quoted)
    if header != ",".join(columns) or text.count('"') != 2 * len(quoted) or "\n".join(lines).count(",") != commas:
        return {row[0]: ",".join(row) for row in rows_of(package, name, columns)}
    return {line.partition(",")[0]: line for line in lines if line[0] != '"'} | quoted


def made_of_rows(package: str, name: str, columns: Sequence[str], make: Callable[..., T]) -> list[T]:
    """What ``make`` builds of each row's cells. Raises BadDataFile as :func:`rows_of` does, and where a row has a cell that
    nothing can be built from."""
    made: list[T] = []
    for line, row in _rows(package, name, columns):
        try:
            made.append(make(*row))
        except _WRONG as wrong:
            raise _row_misfit(package, name, line, columns, wrong) from wrong
    return made


def row_that_cannot_be(package: str, name: str, columns: Sequence[str], first: str, wrong: Exception) -> BadDataFile:
    """The error of the row whose first cell is ``first``, for a table whose rows are made something of when they are asked for."""
    line = next((line for line, row in _rows(package, name, columns) if row[0] == first), 1)
    return _row_misfit(package, name, line, columns, wrong)


def _row_misfit(package: str, name: str, line: int, columns: Sequence[str], wrong: Exception) -> BadDataFile:
    message = f"this row cannot be used: {_words_of(wrong)}"
    return misfit(package, name, line, message, f"check its cells: {', '.join(columns)}")


def _rows(package: str, name: str, columns: Sequence[str]) -> Iterator[tuple[int, list[str]]]:
    text = text_of(package, name)
    reader = csv.reader(io.StringIO(text, newline=""))
    if "\n#" in text:  # a comment becomes an empty line, so that the lines keep their numbers
        reader = csv.reader("" if line.startswith("#") else line for line in text.splitlines())
    header = next(reader, [])
    if header != list(columns):
        _refuse_header(package, name, header, columns)
    for row in reader:
        if len(row) != len(header):
            if not row:
                continue
            message = f"the row has {len(row)} cells, the table has {len(header)} columns"
            raise misfit(package, name, reader.line_num, message, f"its columns: {', '.join(columns)}")
        yield reader.line_num, row


def _refuse_header(package: str, name: str, header: Sequence[str], columns: Sequence[str]) -> NoReturn:
    place = _place(package, name)
    unknown, lacking = [c for c in header if c not in columns], [c for c in columns if c not in header]
    found = [_unknown(place, "column", word, lacking, columns) for word in unknown]
    if not unknown:
        found += [error(place, "data-file", f"the table has no column `{c}`", f"its columns: {', '.join(columns)}") for c in lacking]  # fmt: skip
    if not found:
        found = [error(place, "data-file", "the columns stand in another order", f"write: {','.join(columns)}")]
    raise BadDataFile(found)


def _unknown(place: Place, what: str, word: str, lacking: Sequence[str], known: Sequence[str]) -> Problem:
    meant = nearest(word, lacking, most=1) or nearest(word, known, most=1)
    hint = f"did you mean `{meant[0]}`?" if meant else f"known: {', '.join(sorted(known))}"
    return error(place, "data-file", f"“{word}” is not a {what} here", hint)


def _words_of(wrong: BaseException) -> str:
    return (
        f"there is no `{wrong.args[0]}`"
        if isinstance(wrong, KeyError) and wrong.args
        else str(wrong) or type(wrong).__name__
    )


# --- entries ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The keys that a mapping must and may have, and the shape of the mappings (or lists of mappings) inside it: by key, or
    ``each`` for those under any key."""

    required: frozenset[str] = frozenset()
    optional: frozenset[str] = frozenset()
    inside: Mapping[str, Shape] = field(default_factory=dict)
    each: Shape | None = None

    def fits(self, keys: Any) -> bool:
        """Whether the keys are those of the shape."""
        return self.each is not None or bool(self.required <= keys <= self.required | self.optional)


def shape_of(
    cls: type[Any],
    *,
    called: Mapping[str, str] | None = None,
    optional: Sequence[str] = (),
    required: Sequence[str] = (),
    inside: Mapping[str, Shape] | None = None,
) -> Shape:
    """The shape of an entry that fills the dataclass: its fields, those without a default required. ``called`` gives the key
    of a field that the file calls otherwise (empty: the file does not have it); ``optional`` are keys that may be left out
    though the field has no default, ``required`` keys that are no field."""
    needed, free = set(required), set(optional)
    for one in dataclasses.fields(cls):
        key = (called or {}).get(one.name, one.name)
        has_default = one.default is not dataclasses.MISSING or one.default_factory is not dataclasses.MISSING
        (free if has_default or key in free else needed).add(key)
    return Shape(required=frozenset(needed - {""}), optional=frozenset(free - {""}), inside=inside or {})


def made_of_entries(package: str, name: str, shape: Shape, make: Callable[[dict[str, Any]], T]) -> list[T]:
    """What ``make`` builds of each entry of a YAML list. Raises BadDataFile where the file is no such list, an entry has a key
    that it must not have or lacks one, or nothing can be built from it."""
    entries = _loaded(package, name)
    if not isinstance(entries, list):
        raise misfit(package, name, 1, "the file must be a list", "start each entry with - ")
    _check(package, name, entries, shape)
    return [_made(package, name, (n,), functools.partial(make, entry)) for n, entry in enumerate(entries)]


def made_of_groups(package: str, name: str, shape: Shape, make: Callable[[str, dict[str, Any]], T]) -> dict[str, T]:
    """What ``make`` builds of each named group of a YAML file, by its name; ``shape`` is the whole file's. Raises BadDataFile
    as :func:`made_of_entries`."""
    groups = _loaded(package, name)
    if not isinstance(groups, dict):
        raise misfit(package, name, 1, "the file must be groups of `key: value` lines", "write `name:` above each")
    _check(package, name, groups, shape)
    return {key: _made(package, name, (key,), functools.partial(make, key, group)) for key, group in groups.items()}


def _loaded(package: str, name: str) -> Any:
    import yaml

    try:
        return yaml.load(text_of(package, name), Loader=_loader())
    except yaml.MarkedYAMLError as wrong:
        mark = wrong.problem_mark or wrong.context_mark
        line = mark.line + 1 if mark else 1
        raise misfit(package, name, line, f"this is not YAML: {wrong.problem or wrong.context}", "check quotes and indentation") from None  # fmt: skip


def _loader() -> Any:
    """The fastest reader of YAML that is here."""
    import yaml

    return getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _made(package: str, name: str, path: Path, make: Callable[[], T]) -> T:
    try:
        return make()
    except _WRONG as wrong:
        place = _places(package, name)[path]
        message = f"this entry cannot be used: {_words_of(wrong)}"
        raise BadDataFile([error(place, "data-file", message, "check its values")]) from wrong


def _check(package: str, name: str, value: Any, shape: Shape) -> None:
    if found := list(_misfits(value, shape, ())):
        places = _places(package, name)
        raise BadDataFile([problem(places.get(path) or places[()]) for path, problem in found])


def _misfits(value: Any, shape: Shape, path: Path) -> Iterator[tuple[Path, Callable[[Place], Problem]]]:
    """Where a mapping, or a mapping in a list, has other keys than its shape, and the problem of that place."""
    if isinstance(value, list):
        for n, one in enumerate(value):
            yield from _misfits(one, shape, (*path, n))
        return
    if not isinstance(value, dict):
        yield path, functools.partial(error, code="data-file", message="this must be `key: value` lines", hint=f"known: {', '.join(sorted(shape.required | shape.optional))}")  # fmt: skip
        return
    if not shape.fits(value.keys()):
        known, lacking = sorted(shape.required | shape.optional), sorted(shape.required - value.keys())
        unknown = [str(key) for key in value if key not in shape.required | shape.optional]
        for key in unknown:
            yield (*path, key), functools.partial(_unknown, what="key", word=key, lacking=lacking, known=known)
        if not unknown:
            for key in lacking:
                yield path, functools.partial(error, code="data-file", message=f"the entry has no `{key}`", hint=f"write `{key}: …`")  # fmt: skip
    for key, inner in value.items():
        under = shape.each or shape.inside.get(str(key))
        if under is not None:
            yield from _misfits(inner, under, (*path, key))


def _places(package: str, name: str) -> dict[Path, Place]:
    """Where each entry, and each key of a mapping, begins."""
    import yaml

    found: dict[Path, Place] = {}

    def walk(node: Any, path: Path) -> None:
        found.setdefault(path, _place(package, name, node.start_mark.line + 1, node.start_mark.column + 1))
        if isinstance(node, yaml.SequenceNode):
            for n, one in enumerate(node.value):
                walk(one, (*path, n))
        elif isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                walk(key, (*path, key.value))
                walk(value, (*path, key.value))

    walk(yaml.compose(text_of(package, name), Loader=_loader()), ())
    return found
