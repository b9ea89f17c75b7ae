"""An ASS or SSA file as it is read: its events as cues, and everything else kept to the letter."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.problems import Place, Problem, error
from scriptkit.timed_text.markup import MARKUP
from scriptkit.timed_text.placed_source import KEPT, Tokens
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.webvtt import signed_clock

_SECTION = re.compile(r"\[([A-Za-z0-9+ ]{1,40})\]\s*$")
_EVENT = re.compile(r"(Dialogue|Comment)\s*:\s*", re.IGNORECASE)
_TIME = re.compile(r"\s*(\d{1,4}):(\d{1,2}):(\d{1,2})(?:[.:](\d{1,3}))?\s*")
_USUAL = "Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text"
"""Fields of an event where no line says them."""
_STYLES = "Name, Fontname, Fontsize, PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline, StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR, MarginV, Encoding"
_BRACES = re.compile(r"\{[^{}]*\}")
_ANIMATED = re.compile(r"\\(?:move|org|i?clip|[kK][fo]?\d|t\s*\(|p[1-9])")
_WHERE = (re.compile(r"\\pos\([^()]{1,60}\)"), re.compile(r"\\an?\d{1,2}"))
_SOFT = r"{\#n}"
"""Marks a line end that is one only to some (``\\n``)."""


@dataclass(frozen=True, slots=True)
class _Event:
    """A line of the file: what is before its start, its start, what is between, its end, what is before its text, its text."""

    before: str
    start: str
    middle: str
    end: str
    fields: str
    text: str
    cue: ReadCue


@dataclass(slots=True)
class AssSource:
    """``lines`` of the file, each with its line end, as it is read; ``events`` by the name of their cue."""

    lines: list[str]
    events: dict[str, _Event]
    tokens: Tokens
    soft_breaks: bool

    def with_cues(self, cues: Iterable[ReadCue], scale: Fraction = Fraction(1)) -> str:  # noqa: ARG002  effects are not scaled
        """The file's text with these cues in place of its own; those that are missing are taken out."""
        written = {cue.name: self._line(self.events[cue.name], cue) for cue in cues}
        lines = list(self.lines)
        for name, event in self.events.items():
            at = event.cue.line - 1
            end = lines[at][len(lines[at].rstrip("\r\n")) :]
            lines[at] = written[name] + end if name in written else ""
        return "".join(lines)

    def _line(self, event: _Event, cue: ReadCue) -> str:
        start = event.start if cue.start_ms == event.cue.start_ms else signed_clock(cue.start_ms, "ass")
        end = event.end if cue.end_ms == event.cue.end_ms else signed_clock(cue.end_ms, "ass")
        text = event.text if cue.text == event.cue.text else self._text(cue.text)
        return "".join((event.before, start, event.middle, end, event.fields, text))

    def _text(self, text: str) -> str:
        soft = f"\n{_SOFT}" if self.soft_breaks else f" {_SOFT}"
        text = text.replace(soft, "\\n").replace(_SOFT, "").replace("\n", "\\N").replace("\u00a0", "\\h")
        return self.tokens.restored(text.replace("&lt;", "<").replace("&amp;", "&"))


def looks_like_ass(text: str) -> bool:
    """Whether the text begins as an ASS or SSA file does, remarks and blank lines apart.

    >>> looks_like_ass("; by hand\\n[Script Info]\\n"), looks_like_ass("1\\n00:00:01,000 --> 00:00:02,000\\nHello.")
    (True, False)
    """
    first = next((line for line in text[:4096].splitlines() if line.strip() and not line.startswith((";", "!:"))), "")
    return bool(re.match(r"\[(script info|v4\+? styles\+?|events)\]", first.strip(), re.IGNORECASE))


def parse_ass(text: str, file: str, repairs: Sequence[Problem] = ()) -> CaptionFile:
    """Its events as cues, by their starts; an event whose line is broken is a problem, and stays as it is."""
    lines = re.findall(r"[^\n]*\n|[^\n]+", text)
    problems = list(repairs)
    soft = bool(re.search(r"^WrapStyle\s*:\s*2", text[:20_000], re.MULTILINE | re.IGNORECASE))
    source = AssSource(lines, {}, Tokens(), soft)
    section, names, style_names = "", _names(_USUAL), _names(_STYLES)
    styles: dict[str, dict[str, str]] = {}
    for number, line in enumerate(lines, 1):
        row = line.rstrip("\r\n")
        if found := _SECTION.match(row):
            section = found.group(1).strip().casefold()
            continue
        if row[:7].casefold() == "format:":
            if section == "events":
                names = _names(row[7:])
            elif "styles" in section:
                style_names = _names(row[7:])
        elif section == "events" and (found := _EVENT.match(row)):
            event = _event(row, found, names, number, source, styles)
            if event is None:
                shown = " ".join(row.split())[:60]
                usual = "Dialogue: 0,0:00:01.00,0:00:03.00,Default,,0,0,0,,Soften the leeks."
                message = f"“{shown}” is not an event with a start, an end and a text"
                problems.append(error(Place(file, number), "broken-time", message, f"write {usual}"))
            else:
                source.events[event.cue.name] = event
        elif "styles" in section and row[:6].casefold() == "style:":
            cells = [cell.strip() for cell in row[6:].split(",")]
            style = dict(zip(style_names, cells, strict=False))
            styles[style.get("name", "").lstrip("*")] = style
    cues = sorted((e.cue for e in source.events.values()), key=lambda c: (c.start_ms, c.end_ms))
    return CaptionFile(file=file, kind="ass", cues=tuple(cues), repairs=tuple(problems), source=source)


def _names(row: str) -> tuple[str, ...]:
    return tuple(name.strip().casefold() for name in row.split(","))


def _event(
    row: str,
    found: re.Match[str],
    names: Sequence[str],
    number: int,
    source: AssSource,
    styles: dict[str, dict[str, str]],
) -> _Event | None:
    """The event of a line; None where it has no times or too few fields."""
    if not {"start", "end", "text"} <= set(names) or names[-1] != "text":
        return None
    first, last = sorted((names.index("start"), names.index("end")))
    cells = row[found.end() :].split(",", len(names) - 1)
    if len(cells) < len(names) or names.index("start") > names.index("end"):
        return None
    start, end = _ms(cells[first]), _ms(cells[last])
    if start is None or end is None:
        return None
    fields = dict(zip(names, cells, strict=True))
    raw = cells[-1]
    kept = found.group(1).casefold() == "comment" or _ANIMATED.search("".join(_BRACES.findall(raw)))
    place = f"{KEPT}{number}" if kept else _place(fields, raw, styles)
    cue = ReadCue(start, end, _text(raw, source), number, str(number), place)
    before = row[: found.end()] + "".join(f"{c}," for c in cells[:first])
    middle = "," + "".join(f"{c}," for c in cells[first + 1 : last])
    after = "," + "".join(f"{c}," for c in cells[last + 1 : -1])
    return _Event(before, cells[first], middle, cells[last], after, raw, cue)


def _place(fields: dict[str, str], raw: str, styles: dict[str, dict[str, str]]) -> str:
    """Where on the picture it stands: events of one place must not overlap."""
    style = styles.get(fields.get("style", "").strip().lstrip("*"), {})
    codes = "".join(_BRACES.findall(raw))
    code = next((found.group() for where in _WHERE if (found := where.search(codes))), "")
    margin = fields.get("marginv", "0").strip()
    margin = style.get("marginv", "") if margin.strip("0") == "" else margin
    return "/".join((fields.get("layer", "0").strip(), code or style.get("alignment", ""), margin))


def _text(raw: str, source: AssSource) -> str:
    """The text as a cue has it: override codes stay, other braces are codes of ours, and signs are written as references."""
    parts, at = [], 0
    for found in _BRACES.finditer(raw):
        braces = found.group()
        plain_code = MARKUP.fullmatch(braces) and not braces.startswith(r"{\#")
        parts += [_words(raw[at : found.start()], source), braces if plain_code else source.tokens.code(braces)]
        at = found.end()
    return "".join([*parts, _words(raw[at:], source)])


def _words(raw: str, source: AssSource) -> str:
    text = raw.replace("&", "&amp;").replace("<", "&lt;").replace("\\N", "\n").replace("\\h", "\u00a0")
    return text.replace("\\n", f"\n{_SOFT}" if source.soft_breaks else f" {_SOFT}")


def _ms(cell: str) -> int | None:
    found = _TIME.fullmatch(cell)
    if not found:
        return None
    hours, minutes, seconds, part = found.groups()
    ms = int((part or "0").ljust(3, "0"))
    return ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + ms
