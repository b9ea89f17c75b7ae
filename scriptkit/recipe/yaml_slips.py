"""What a hand slipped on where a file is no YAML: the line as it was meant. Each reading of a slip is tried out: only one with which the
file can be read further is told."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import yaml

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

LONGEST_TEXT = 60_000
"""Characters of a file that slips are looked for in; a recipe is far shorter."""
MOST_TRIES = 400

_KEY_LINE = re.compile(
    r"^(?P<before>\s*(?:- +)?)(?P<key>[^\s:#\"'{}\[\],&*!|>%@`-][^:#\"'{}\[\]]{0,60}):\s+(?P<value>\S.*?)\s*$"
)
_FLOW_LINE = re.compile(r"^(?P<before>[^{]*\{)(?P<inside>.*?)(?P<after>\}?\s*)$")
_FLOW_SPLIT = re.compile(r",\s*(?=[A-Za-z_][\w ]{0,40}:\s)")
_NO_SPACE = re.compile(r"^(\s*(?:- +)?)([A-Za-z][\w ]{0,60}):([^\s:/].*)$")
_NO_COLON = re.compile(r"^(\s*)([A-Za-z][A-Za-z_ ]{0,40}?)\s*(?:=\s*|\s)([\d½⅓⅔¼¾].*|to taste)$")
_BULLET = re.compile(r"^\s*(?:[-•–—*·]\s*)(?P<rest>[A-Za-z{\"'].*)$")
_OPEN = {"{": "}", "[": "]"}
_CURLY = str.maketrans("“”„‟‘’‚", '""""\'\'\'')


@dataclass(frozen=True, slots=True)
class Slip:
    """``line`` counts from 1; ``written`` is what to write there, without its indentation where that is not what is wrong."""

    line: int
    column: int
    message: str
    written: str


def slip_in(text: str, line: int) -> Slip | None:
    """The slip that stops the reading at this line (from 1): at it, or before it; None where no reading of it helps."""
    if len(text) > LONGEST_TEXT:
        return None
    lines = text.split("\n")
    stop = min(line, len(lines)) - 1
    tries = 0
    near = [n for n in range(stop, max(stop - 4, -1), -1) if lines[n].strip()]
    far = [n for n, one in enumerate(lines[: stop + 1]) if n not in near and _may_be_open(one)]
    for n in [*near, *far]:
        for message, written, show in _readings(lines, n):
            if (tries := tries + 1) > MOST_TRIES:
                return None
            if written != lines[n] and _gets_on("\n".join([*lines[:n], written, *lines[n + 1 :]]), max(stop, n)):
                column = next(
                    (i for i, (a, b) in enumerate(zip(lines[n], written, strict=False)) if a != b),
                    len(lines[n].rstrip()),
                )
                return Slip(n + 1, column + 1, message, show if show else written.strip())
    return None


def quoted(value: str) -> str:
    """The value between quotes, as YAML takes it: curly quotes around it are taken off."""
    bare = value.strip()
    if len(bare) > 1 and bare[0] in "“„‘‚" and bare[-1] in "”“’‘":
        bare = bare[1:-1]
    if '"' not in bare and "\\" not in bare:
        return f'"{bare}"'
    return "'" + bare.replace("'", "''") + "'"


def _gets_on(text: str, stop: int) -> bool:
    """Whether the text can be read beyond this line (from 0)."""
    try:
        for _ in yaml.parse(text, Loader=_Loader):
            pass
    except yaml.MarkedYAMLError as wrong:
        mark = wrong.problem_mark or wrong.context_mark
        return mark is not None and mark.line > stop + 1 and "end of stream" not in str(wrong.problem)
    except yaml.YAMLError:
        return False
    return True


def _may_be_open(line: str) -> bool:
    return (
        line.count('"') % 2 == 1
        or line.count("'") % 2 == 1
        or any(line.count(a) != line.count(b) for a, b in _OPEN.items())
    )


_Reading = tuple[str, str, str]
"""What is wrong, the line as it was meant, and what of it to show (empty: all of it)."""


def _readings(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    for reading in _READINGS:
        yield from reading(lines, n)


def _tabs(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    line = lines[n]
    indent = line[: len(line) - len(line.lstrip())]
    if "\t" in indent:
        for width in _indents(lines, n):
            yield (
                "a tab indents this line; YAML takes spaces alone",
                " " * width + line.lstrip(),
                f"{' ' * width}{line.strip()}",
            )
    if "\u00a0" in line:
        yield "a space here is a special one (no-break), as web pages have them", line.replace("\u00a0", " "), ""


def _spaces(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    if found := _NO_SPACE.match(lines[n]):
        before, key, value = found.groups()
        yield "a space is missing after the colon", f"{before}{key}: {value}", ""
    if found := _NO_COLON.match(lines[n]):
        before, key, value = found.groups()
        yield f"a colon is missing after “{key.strip()}”", f"{before}{key.strip()}: {value}", ""


def _quotes(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    line = lines[n]
    if any(c in line for c in "“”„"):
        yield "curly quotes are no quotes to YAML", line.translate(_CURLY), ""
    for mark in ('"', "'"):
        if line.count(mark) % 2:
            closed = "a quote is opened and not closed"
            for at in (len(line.rstrip()), *(i for i in range(len(line) - 1, 0, -1) if line[i] in "}],")):
                yield closed, f"{line[:at]}{mark}{line[at:]}", ""
    if (found := _KEY_LINE.match(line)) and not found["value"].startswith(("|", ">")):
        value = found["value"]
        why = _why_quoted(value)
        for text in dict.fromkeys(
            [quoted(value.strip("\"'") if value[0] in "\"'" and value[-1] == value[0] else value), quoted(value)]
        ):
            yield why, f"{found['before']}{found['key']}: {text}", f"{found['key']}: {text}"
    if found := _FLOW_LINE.match(line):
        parts = _FLOW_SPLIT.split(found["inside"])
        for i, part in enumerate(parts):
            key, colon, value = part.partition(": ")
            if colon and value and value[0] not in "\"'{[":
                one = f"{key}: {quoted(value)}"
                inside = ", ".join([*parts[:i], one, *parts[i + 1 :]])
                yield _why_quoted(value), f"{found['before']}{inside}{found['after']}", one.strip()


def _why_quoted(value: str) -> str:
    if value[0] == '"' and "\\" in value:
        return "a backslash in double quotes begins a sign of its own"
    if value[0] in "\"'":
        return "quotes stand inside of the text, or around a part of it alone"
    if value[0] in "%@`*&!{[|>":
        return f"text cannot begin with {value[0]} unless it stands in quotes"
    if ": " in value or value.endswith(":"):
        return "the text has a colon in it: YAML reads what stands before it as a key"
    return "the text must stand in quotes"


def _brackets(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    line = lines[n]
    for opened, closed in _OPEN.items():
        if line.count(opened) > line.count(closed):
            yield f"a {opened} is opened and not closed", line.rstrip() + closed, ""
        if line.count(opened) < line.count(closed):
            yield f"a {closed} closes what was not opened", line[::-1].replace(closed, "", 1)[::-1], ""


def _list_marks(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    found = _BULLET.match(lines[n])
    if not found:
        return
    depths = dict.fromkeys(len(one) - len(one.lstrip()) for one in reversed(lines[:n]) if re.match(r"\s*- ", one))
    wrong = (
        "this - does not stand under the others of its list"
        if re.match(r"\s*- ", lines[n])
        else "a list takes - and a space"
    )
    for depth in depths:
        written = f"{' ' * depth}- {found['rest']}"
        yield wrong, written, f"{' ' * depth}- {found['rest'].strip()}"
    for depth in _indents(lines, n):
        yield "no - belongs here: these are keys, not a list", f"{' ' * depth}{found['rest']}", ""


def _indentation(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    line = lines[n]
    width = len(line) - len(line.lstrip())
    if not re.match(r"\s*[A-Za-z][\w ]*:(?:\s|$)", line):
        return
    for depth in _indents(lines, n):
        few = "one space" if abs(depth - width) == 1 else f"{abs(depth - width)} spaces"
        yield (
            f"this line is indented by {few} {'less' if depth > width else 'more'} than its neighbours",
            f"{' ' * depth}{line.lstrip()}",
            f"{' ' * depth}{line.strip()}",
        )


def _goes_on(lines: Sequence[str], n: int) -> Iterator[_Reading]:
    """A text that goes on in the next line stands further in than its key."""
    before = next((one for one in reversed(lines[:n]) if one.strip()), "")
    if re.match(r"\s*(?:- +)?[A-Za-z][\w ]*:\s+\S", before) and not re.match(
        r"\s*(?:- |[A-Za-z][\w ]*:(?:\s|$))", lines[n]
    ):
        depth = len(before) - len(before.lstrip()) + (4 if before.lstrip().startswith("- ") else 2)
        written = f"{' ' * depth}{lines[n].strip()}"
        yield "a text that goes on must be indented further than its key", written, written


def _indents(lines: Sequence[str], n: int) -> list[int]:
    """Where the keys of the lines around begin, the nearest first."""
    around = [lines[i] for d in (1, 2, 3) for i in (n - d, n + d) if 0 <= i < len(lines) and lines[i].strip()]
    found = []
    for one in around:
        if "\t" in one[: len(one) - len(one.lstrip())]:
            continue
        width = len(one) - len(one.lstrip())
        found += [width + 2, width] if one.lstrip().startswith("- ") else [width]
    return list(dict.fromkeys([*found, 2, 4]))


_READINGS: tuple[Callable[[Sequence[str], int], Iterator[_Reading]], ...] = (
    _tabs, _spaces, _brackets, _list_marks, _indentation, _quotes, _goes_on,
)  # fmt: skip
