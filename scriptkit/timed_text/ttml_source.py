"""A TTML file as it is read: its timed paragraphs (or the timed parts of one) as cues, and everything else kept to the letter."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.problems import CannotDo, Place, Problem, error, note, warning
from scriptkit.timed_text.mending import fix_command
from scriptkit.timed_text.placed_source import Tokens, replaced
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.ttml_reader import Paragraph, TimedPart, TtmlReader
from scriptkit.timed_text.ttml_times import TtmlClock

_STARTS = re.compile(
    r"\s*(?:<\?xml[^>]*\?>\s*)?(?:<!--.*?-->\s*|<\?.*?\?>\s*)*<(?:!DOCTYPE\s+)?(?:[\w.-]+:)?tt[\s>]", re.DOTALL
)
_DECLARED = re.compile(r"(<\?xml[^>]*?\s+encoding\s*=\s*[\"'])([\w.:-]{1,40})")


@dataclass(frozen=True, slots=True)
class TtmlSource:
    """``raw``: the file as UTF-8; ``paragraphs`` by the name of their cue."""

    file: str
    raw: bytes
    clock: TtmlClock
    paragraphs: dict[str, Paragraph]
    tokens: Tokens
    line_break: str

    def with_cues(self, cues: Iterable[ReadCue], scale: Fraction = Fraction(1)) -> str:
        """The file's text with these cues in place of its own; those that are missing are taken out. ``scale``: by how much times
        inside a paragraph are stretched. Raises CannotDo where a time is bounded by what the paragraph stands in."""
        edits: list[tuple[int, int, bytes]] = []
        problems: list[Problem] = []
        left = dict(self.paragraphs)
        for cue in cues:
            paragraph = left.pop(cue.name)
            if problem := self._bounded(paragraph, cue):
                problems.append(problem)
                continue
            edits += self._edits(paragraph, cue, scale)
        edits += [(_with_its_line(self.raw, gone.first, gone.last), gone.last, b"") for gone in left.values()]
        if problems:
            raise CannotDo(problems)
        return replaced(self.raw, edits).decode("utf-8")

    def _bounded(self, paragraph: Paragraph, cue: ReadCue) -> Problem | None:
        if (cue.start_ms, cue.end_ms) == (paragraph.cue.start_ms, paragraph.cue.end_ms):
            return None
        place = Place(self.file, cue.line)
        if paragraph.in_sequence:
            message = (
                'nothing was written: the cue stands in timeContainer="seq", where each time moves all that follow'
            )
            return error(place, "ttml-times", message, "give each paragraph there a begin and an end of its own")
        start_s, end_s = Fraction(cue.start_ms, 1000), Fraction(cue.end_ms, 1000)
        within = paragraph.bound_start <= start_s + _ROUNDED and (
            paragraph.bound_end is None or end_s <= paragraph.bound_end + _ROUNDED
        )
        if within:
            return None
        message = "nothing was written: the cue would fall outside the time of the element around it"
        return error(place, "ttml-times", message, "remove that element's begin, end or dur, or change them first")

    def _edits(self, paragraph: Paragraph, cue: ReadCue, scale: Fraction) -> list[tuple[int, int, bytes]]:
        was = paragraph.cue
        edits: list[tuple[int, int, bytes]] = []
        moved = (cue.start_ms, cue.end_ms) != (was.start_ms, was.end_ms)
        if moved and paragraph.inner and not paragraph.times:
            return [*edits, *self._parts_moved(paragraph, cue, scale)]
        if moved:
            times = {}
            origin = paragraph.bound_start
            start_s, end_s = Fraction(cue.start_ms, 1000), Fraction(cue.end_ms, 1000)
            if cue.start_ms != was.start_ms or "begin" in paragraph.times:
                begin = paragraph.times.get("begin", paragraph.times.get("end", _EXAMPLE))
                unchanged = cue.start_ms == was.start_ms
                times["begin"] = begin if unchanged else self.clock.like(max(start_s - origin, Fraction(0)), begin)
            if "dur" in paragraph.times:
                times["dur"] = self.clock.like(max(end_s - start_s, Fraction(0)), paragraph.times["dur"])
            if "dur" not in paragraph.times or "end" in paragraph.times:
                end = paragraph.times.get("end", paragraph.times.get("begin", _EXAMPLE))
                unchanged = cue.end_ms == was.end_ms and "end" in paragraph.times
                times["end"] = end if unchanged else self.clock.like(max(end_s - origin, Fraction(0)), end)
            tag = self.raw[paragraph.first : paragraph.opened].decode("utf-8")
            edits.append((paragraph.first, paragraph.opened, _with_times(tag, times).encode("utf-8")))
        if cue.text != was.text:
            inner = cue.text.replace("]]>", "]]&gt;").replace("\n", self.line_break)
            edits.append((paragraph.opened, paragraph.closed, self.tokens.restored(inner).encode("utf-8")))
        elif scale != 1:
            for part in paragraph.inner:
                scaled = {name: self.clock.like(self.clock.seconds(t) * scale, t) for name, t in part.times.items()}
                edits.append(self._with(part, scaled))
        return edits

    def _parts_moved(self, paragraph: Paragraph, cue: ReadCue, scale: Fraction) -> list[tuple[int, int, bytes]]:
        """The edits where only the parts of a paragraph have times: the outermost move, and what ends with the paragraph ends where the cue
        does."""
        was, edits = paragraph.cue, []
        for part in paragraph.inner:
            times = {name: self.clock.seconds(t) * scale for name, t in part.times.items()}
            if part.outermost:
                by = Fraction(cue.start_ms, 1000) - Fraction(was.start_ms, 1000) * scale
                last = part.end is not None and round(part.end * 1000) == was.end_ms
                begin = max(Fraction(0), times.get("begin", Fraction(0)) + by)
                end = Fraction(cue.end_ms, 1000) - paragraph.bound_start
                times = {
                    name: begin
                    if name == "begin"
                    else (end - (begin if name == "dur" else 0))
                    if last
                    else t + by * (name == "end")
                    for name, t in (times if "begin" in times or not by else {"begin": Fraction(0), **times}).items()
                }
            written = {name: self.clock.like(t, part.times.get(name, _EXAMPLE)) for name, t in times.items()}
            edits.append(self._with(part, written))
        return edits

    def _with(self, part: TimedPart, times: dict[str, str]) -> tuple[int, int, bytes]:
        tag = self.raw[part.first : part.opened].decode("utf-8")
        return part.first, part.opened, _with_times(tag, times).encode("utf-8")


_ROUNDED = Fraction(1, 1000)
_EXAMPLE = "00:00:00.000"


def looks_like_ttml(text: str) -> bool:
    """Whether the text begins as a TTML file does.

    >>> looks_like_ttml('<?xml version="1.0"?><tt:tt xmlns:tt="x">'), looks_like_ttml("WEBVTT")
    (True, False)
    """
    return bool(_STARTS.match(text[:20_000]))


def parse_ttml(text: str, file: str, repairs: Sequence[Problem] = ()) -> CaptionFile:
    """Its timed text as cues, by their starts. Raises CannotDo where it is not well-formed XML, or declares entities."""
    blank, text_lines = len(text) - len(text.lstrip()), text.count("\n")
    problems = list(repairs)
    if blank and text.startswith("<?xml", blank):
        message = "there is white space before <?xml: many programs refuse such a file"
        problems.append(warning(Place(file), "xml", message, f"remove it: `{fix_command(file)}` does"))
        text = text[blank:]
    lines_before = text_lines - text.count("\n")
    declared = _DECLARED.match(text)
    if declared and declared.group(2).casefold() not in {"utf-8", "us-ascii"}:
        text = text.replace(declared.group(2), "UTF-8", 1)
    raw = text.encode("utf-8", errors="replace")
    reader = TtmlReader(raw, file, lines_before)
    reader.read()
    problems += reader.problems
    if reader.untimed:
        many = f"{reader.untimed} paragraphs have" if reader.untimed > 1 else "a paragraph has"
        problems.append(note(Place(file), "no-time", f"{many} no time: left as written"))
    source = TtmlSource(file, raw, reader.clock, reader.paragraphs, reader.tokens, reader.line_break)
    cues = sorted((p.cue for p in reader.paragraphs.values()), key=lambda c: (c.start_ms, c.end_ms))
    return CaptionFile(file=file, kind="ttml", cues=tuple(cues), repairs=tuple(problems), source=source)


def _with_its_line(raw: bytes, first: int, last: int) -> int:
    """Where to begin so that a paragraph that stands alone on its line leaves no empty one."""
    before = raw[:first].rstrip(b" \t")
    alone = before.endswith(b"\n") and raw[last : last + 1] in {b"\r", b"\n"}
    return len(before.rstrip(b"\r\n")) if alone else first


def _with_times(tag: str, times: dict[str, str]) -> str:
    """The start tag with these attributes in place of its own, or added.

    >>> _with_times('<p begin="1s" end = "2s">', {"begin": "1.5s", "dur": "1s"})
    '<p begin="1.5s" end = "2s" dur="1s">'
    """
    for name, value in times.items():
        pattern = re.compile(rf"(?<=\s){name}(\s*=\s*)(?:\"[^\"]*\"|'[^']*')")
        if pattern.search(tag):
            tag = pattern.sub(rf'{name}\g<1>"{value}"', tag, count=1)
        else:
            close = "/>" if tag.endswith("/>") else ">"
            tag = f'{tag[: -len(close)]} {name}="{value}"{close}'
    return tag
