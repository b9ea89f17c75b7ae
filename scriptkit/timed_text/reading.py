"""Read any SubRip or WebVTT file: leniently where that is safe, with every repair told, and every cue's line kept."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.problems import Place, Problem, error, warning

LARGEST_FILE = 50_000_000
"""Bytes: more than a day of captions."""


@dataclass(frozen=True, slots=True)
class ReadCue:
    """A cue as it stands in a file; ``line`` is that of its times, from 1. ``text`` keeps its markup and line ends."""

    start_ms: int
    end_ms: int
    text: str
    line: int
    name: str = ""
    settings: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaptionFile:
    """``kind`` is srt or vtt. ``head`` holds a WebVTT file's blocks before the first cue (STYLE, REGION, NOTE)."""

    file: str
    kind: str
    cues: tuple[ReadCue, ...]
    repairs: tuple[Problem, ...]
    head: tuple[str, ...] = ()
    crlf: bool = False
    bom: bool = False


# Hours may be left out in WebVTT; files in the wild mix commas and points, and write one or two figures.
_TIME = r"(?:(\d{1,4}):)?(\d{1,3}):(\d{1,2})(?:[,.](\d{1,3}))?"
_TIMES = re.compile(rf"^\s*(-?){_TIME}\s*-{{1,3}}>\s*(-?){_TIME}[ \t]*(.*)$")
_ANY_TIMES = re.compile(r"\d\s*-{1,3}>|-->\s*\d")
"""A line that means to be one of times, though it may be broken."""
_NUMBER = re.compile(r"^\s*\d+\s*$")


def decode(raw: bytes, file: str) -> tuple[str, list[Problem]]:
    """The text of a caption file, and what had to be assumed of its encoding."""
    place = Place(file)
    for bom, name in ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be")):
        if raw.startswith(bom):
            told = (
                []
                if name == "utf-8"
                else [warning(place, "encoding", "the file is UTF-16", "write it as UTF-8: `--fix` does")]
            )
            return raw[len(bom) :].decode(name, errors="replace"), told
    try:
        return raw.decode("utf-8"), []
    except UnicodeDecodeError as wrong:
        line = raw[: wrong.start].count(b"\n") + 1
        hint = "check accents and quotes, then write it as UTF-8: `--fix` does"
        return raw.decode("cp1252", errors="replace"), [
            warning(Place(file, line), "encoding", "the file is not UTF-8; it is read as Windows Latin-1", hint)
        ]


def parse_captions(text: str, file: str, repairs: Sequence[Problem] = ()) -> CaptionFile:
    """Cues in the file's order. What is no cue and no part of one is told, never dropped in silence."""
    bom = text.startswith("\ufeff")
    crlf = "\r\n" in text[:4096]
    lines = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    told = list(repairs)
    kind = "vtt" if lines and lines[0].startswith("WEBVTT") else "srt"
    marks = [(n, _TIMES.match(line)) for n, line in enumerate(lines) if "->" in line and _ANY_TIMES.search(line)]
    told += [_broken(lines[n], Place(file, n + 1)) for n, found in marks if found is None]
    cues = []
    firsts = [_first_line(lines, n, marks[i - 1][0] if i else -1) for i, (n, _) in enumerate(marks)]
    for i, (n, found) in enumerate(marks):
        if found is None:
            continue
        body = lines[n + 1 : firsts[i + 1] if i + 1 < len(marks) else len(lines)]
        if kind == "vtt":
            body = _until_blank(body)
        name = lines[firsts[i]].strip() if firsts[i] < n else ""
        start_ms, end_ms = _ms(found, 1), _ms(found, 6)
        cues.append(ReadCue(start_ms, end_ms, "\n".join(body).strip("\n"), n + 1, name, found.group(11).strip()))
        if found.group(1) or found.group(6):
            told.append(
                error(Place(file, n + 1), "negative-time", "a time is below zero", "shift the file, or delete the cue")
            )
    head = _head(lines, firsts[0] if firsts else len(lines)) if kind == "vtt" else ()
    if kind == "srt" and firsts and (before := [line for line in lines[: firsts[0]] if line.strip()]):
        told.append(warning(Place(file), "stray-text", f"text before the first cue: “{before[0][:40]}”", "delete it"))
    return CaptionFile(file=file, kind=kind, cues=tuple(cues), repairs=tuple(told), head=head, crlf=crlf, bom=bom)


def _first_line(lines: Sequence[str], times: int, before: int) -> int:
    """Where a cue begins: at the line over its times, where that is its number or name, else at its times."""
    above = times - 1
    if above <= before or not lines[above].strip():
        return times
    named = above == 0 or above - 1 <= before or not lines[above - 1].strip()
    return above if _NUMBER.match(lines[above]) or (named and above - 1 > before) or above == 0 else times


def _until_blank(body: list[str]) -> list[str]:
    return body[: next((n for n, line in enumerate(body) if not line.strip()), len(body))]


def _ms(found: re.Match[str], group: int) -> int:
    hours, minutes, seconds, fraction = (found.group(group + n) or "0" for n in (1, 2, 3, 4))
    ms = ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(fraction.ljust(3, "0"))
    return -ms if found.group(group) else ms


def _broken(line: str, place: Place) -> Problem:
    shown = " ".join(line.split())[:60]
    return error(place, "broken-time", f"“{shown}” is not a line of times", "write 00:00:01,000 --> 00:00:03,000")


def _head(lines: Sequence[str], first: int) -> tuple[str, ...]:
    blocks = "\n".join(lines[1:first]).split("\n\n")
    return tuple(b.strip("\n") for b in blocks if b.strip())
