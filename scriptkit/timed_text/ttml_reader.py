"""Walk through a TTML file with every place kept: which text is shown from when to when, and where in the file it stands."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from xml.parsers import expat

from scriptkit.problems import CannotDo, Place, Problem, error, warning
from scriptkit.timed_text.placed_source import KEPT, Tokens
from scriptkit.timed_text.reading import ReadCue
from scriptkit.timed_text.ttml_times import TtmlClock

_TAG = re.compile(rb"<[^<>\"']*(?:\"[^\"]*\"[^<>\"']*|'[^']*'[^<>\"']*)*>")
_TIMED = {"body", "div", "p", "span"}
_TIMES = ("begin", "end", "dur")
_SPACES = re.compile(r"[ \t\r\n]+")
_AROUND_LINE_END = re.compile(r"[ \t]*\n[ \t]*")
_MOST_DEEP = 200
"""Elements in one another: more is no captions."""


@dataclass(slots=True)
class _Element:
    """An open element: its name without the namespace; from when to when in seconds, None for no end."""

    name: str
    first: int
    opened: int
    line: int
    start: Fraction
    end: Fraction | None
    bound_end: Fraction | None
    bound_start: Fraction
    times: dict[str, str]
    place: str
    preserve: bool
    sequence: bool
    in_sequence: bool
    next_start: Fraction
    """Where what follows begins, in a sequence."""


@dataclass(frozen=True, slots=True)
class TimedPart:
    """A tag in a paragraph that has times of its own, from ``first`` to ``opened``; it is shown to ``end``, in seconds."""

    first: int
    opened: int
    times: dict[str, str]
    start: Fraction
    end: Fraction | None
    outermost: bool


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A cue in the file: its start tag from ``first`` to ``opened``, its end tag from ``closed`` to ``last``, in bytes. Its times are
    counted from ``bound_start``, in seconds, and end with ``bound_end``. ``inner``: tags in it that have times of their own."""

    cue: ReadCue
    first: int
    opened: int
    closed: int
    last: int
    times: dict[str, str]
    bound_start: Fraction
    bound_end: Fraction | None
    in_sequence: bool
    inner: tuple[TimedPart, ...]


@dataclass(slots=True)
class TtmlReader:
    """``paragraphs`` by name, once `read`; ``untimed``: how many have no time at all."""

    raw: bytes
    file: str
    lines_before: int = 0
    clock: TtmlClock = field(default_factory=TtmlClock)
    paragraphs: dict[str, Paragraph] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    tokens: Tokens = field(default_factory=Tokens)
    untimed: int = 0
    line_break: str = "<br/>"
    _open: list[_Element] = field(default_factory=list)
    _parts: list[str] = field(default_factory=list)
    """Of the paragraph that is open."""
    _inner: list[TimedPart] = field(default_factory=list)
    _foreign: int = 0
    """Depth inside an element whose text is not shown."""
    _foreign_from: int = 0
    _broken: bool = False
    _odd: list[tuple[int, str]] = field(default_factory=list)

    def read(self) -> None:
        """Read the whole file. Raises CannotDo where it is not well-formed, or declares entities."""
        parser = expat.ParserCreate(namespace_separator="}")
        parser.buffer_text = False
        parser.ordered_attributes = False
        parser.StartElementHandler = lambda name, attributes: self._start(parser, name, attributes)
        parser.EndElementHandler = lambda name: self._end(parser, name)
        parser.CharacterDataHandler = self._words
        parser.CommentHandler = lambda _: self._aside(parser, b"-->")
        parser.ProcessingInstructionHandler = lambda *_: self._aside(parser, b"?>")
        parser.EntityDeclHandler = lambda *_: self._entities(parser)
        try:
            parser.Parse(self.raw, True)
        except expat.ExpatError as wrong:
            why = expat.errors.messages.get(wrong.code, "broken")
            message = f"the file is not well-formed XML from here on: {why}"
            hint = "export it again, or correct the tag there"
            raise CannotDo([error(Place(self.file, wrong.lineno + self.lines_before), "xml", message, hint)]) from None
        if self._odd:
            line, shown = self._odd[0]
            others = f", and {len(self._odd) - 1} more" if self._odd[1:] else ""
            message = f"“{shown[:40]}” is not how TTML writes a time{others}; it was read as it was meant"
            self.problems.append(warning(Place(self.file, line), "odd-time", message, "write 00:00:01.000 or 1.5s"))

    def _entities(self, parser: expat.XMLParserType) -> None:
        place = Place(self.file, parser.CurrentLineNumber + self.lines_before)
        raise CannotDo([error(place, "xml", "the file declares entities, which captions do not need", "remove them")])

    def _start(self, parser: expat.XMLParserType, full_name: str, attributes: dict[str, str]) -> None:
        first, line = parser.CurrentByteIndex, parser.CurrentLineNumber + self.lines_before
        found = _TAG.match(self.raw, first)
        opened = found.end() if found else first
        space, _, name = full_name.rpartition("}")
        if len(self._open) > _MOST_DEEP:
            raise CannotDo([error(Place(self.file, line), "xml", "elements are nested too deeply", "export it again")])
        above = self._open[-1] if self._open else None
        if name == "tt" and above is None:
            self._parameters(attributes, line)
        shown = self._shown()
        other = name not in {"span", "br"} or (space and not space.endswith(("ttml", "ttaf1")))
        if shown and (self._foreign or other):
            self._foreign_from = first if not self._foreign else self._foreign_from
            self._foreign += 1
        element = self._element(name, attributes, above, (first, opened, line))
        self._open.append(element)
        if not shown or self._foreign:
            return
        written = self.raw[first:opened].decode("utf-8")
        if name == "br":
            self._parts.append("\n")
            if written.endswith("/>"):
                self.line_break = written
            return
        self._parts.append(self.tokens.code(written))
        if element.times:
            outermost = not any(e.times for e in self._open[:-1] if e.name == "span")
            self._inner.append(TimedPart(first, opened, element.times, element.start, element.end, outermost))

    def _element(
        self, name: str, attributes: dict[str, str], above: _Element | None, at: tuple[int, int, int]
    ) -> _Element:
        bound_start = above.start if above else Fraction(0)
        bound_end = above.end if above else None
        in_sequence = bool(above and (above.in_sequence or above.sequence))
        origin = above.next_start if above and above.sequence else bound_start
        times = {key: attributes[key] for key in _TIMES if key in attributes} if name in _TIMED else {}
        start, end = origin, bound_end
        try:
            start = origin + (self.clock.seconds(times["begin"]) if "begin" in times else 0)
            ends = [origin + self.clock.seconds(times["end"])] if "end" in times else []
            ends += [start + self.clock.seconds(times["dur"])] if "dur" in times else []
            ends += [bound_end] if bound_end is not None else []
            end = min(ends) if ends else None
        except ValueError as wrong:
            message = f"“{str(wrong)[:40]}” is not a time"
            hint = "write 00:00:01.000, 1.5s or 36f"
            self.problems.append(error(Place(self.file, at[2]), "broken-time", message, hint))
            self._broken = True
        if (odd := next((t for t in times.values() if self.clock.is_odd(t)), None)) and not self._broken:
            self._odd.append((at[2], odd))
        region = next(
            (v for k, v in attributes.items() if k.rpartition("}")[2] == "region"), above.place if above else ""
        )
        space = next((v for k, v in attributes.items() if k.endswith("namespace}space")), "")
        if above and above.sequence:
            above.next_start = end if end is not None else start
        return _Element(
            name=name,
            first=at[0],
            opened=at[1],
            line=at[2],
            start=start,
            end=end,
            bound_start=bound_start,
            bound_end=bound_end,
            times=times,
            place=region,
            preserve=space == "preserve" if space else bool(above and above.preserve),
            sequence=attributes.get("timeContainer") == "seq",
            in_sequence=in_sequence,
            next_start=start,
        )

    def _parameters(self, attributes: dict[str, str], line: int) -> None:
        found = {k.rpartition("}")[2]: v for k, v in attributes.items() if k.rpartition("}")[0].endswith("#parameter")}
        try:
            self.clock = TtmlClock.of(found)
        except (ValueError, ZeroDivisionError):
            message = "a frame rate, its multiplier or a tick rate is not a number above 0"
            hint = 'write ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001"'
            raise CannotDo([error(Place(self.file, line), "rate", message, hint)]) from None

    def _shown(self) -> bool:
        return any(e.name == "p" for e in self._open)

    def _words(self, text: str) -> None:
        if not self._open or self._foreign or not self._shown():
            return
        if not self._open[-1].preserve:
            text = _SPACES.sub(" ", text)
        self._parts.append(text.replace("&", "&amp;").replace("<", "&lt;").replace("{", "&#123;"))

    def _aside(self, parser: expat.XMLParserType, ends: bytes) -> None:
        if self._shown() and not self._foreign:
            first = parser.CurrentByteIndex
            last = self.raw.index(ends, first) + len(ends)
            self._parts.append(self.tokens.code(self.raw[first:last].decode("utf-8")))

    def _end(self, parser: expat.XMLParserType, _: str) -> None:
        element = self._open.pop()
        closed = parser.CurrentByteIndex
        empty = closed == element.first  # <p/>: both events are of the one tag
        found = None if empty else _TAG.match(self.raw, closed)
        last = element.opened if empty else (found.end() if found else closed)
        closed = element.opened if empty else closed
        if element.name == "p" and not self._shown():
            self._paragraph(element, closed, last)
            self._parts, self._inner, self._foreign, self._broken = [], [], 0, False
        elif self._foreign:
            self._foreign -= 1
            if not self._foreign:
                self._parts.append(self.tokens.code(self.raw[self._foreign_from : last].decode("utf-8")))
        elif self._shown() and element.name != "br" and not empty:
            self._parts.append(self.tokens.code(self.raw[closed:last].decode("utf-8")))

    def _paragraph(self, element: _Element, closed: int, last: int) -> None:
        """The paragraph as a cue, where it is shown for a time."""
        if self._broken:
            return
        start, end = element.start, element.end
        if self._inner and not element.times:
            ends = [part.end for part in self._inner if part.end is not None]
            start = min(part.start for part in self._inner)
            end = max(ends) if len(ends) == len(self._inner) else end
        if end is None:
            self.untimed += 1
            return
        text = "".join(self._parts)
        if not element.preserve:
            text = _AROUND_LINE_END.sub("\n", re.sub(" {2,}", " ", text)).strip(" ")
        tag = self.raw[element.first : element.opened]
        name = str(len(self.paragraphs) + 1)
        kept = b"backgroundImage" in tag or b"<image" in self.raw[element.opened : closed]
        place = f"{KEPT}{name}" if kept else element.place
        cue = ReadCue(round(start * 1000), round(end * 1000), text, element.line, name, place)
        first, opened = element.first, element.opened
        self.paragraphs[name] = Paragraph(
            cue, first, opened, closed, last, element.times, element.bound_start, element.bound_end, element.in_sequence, tuple(self._inner)
        )  # fmt: skip
