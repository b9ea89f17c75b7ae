"""What of a caption's text is markup: taken out, and its letters read."""

from __future__ import annotations

import html
import re

MARKUP = re.compile(r"</?[a-zA-Z][^<>]{0,200}>|\{\\[^{}]{0,200}\}|<\d\d:[\d:.]{4,12}>")
"""Tags, the braces of other formats, and the moments inside a WebVTT cue: none holds the sign that begins it, so that a text of
such signs is read in one go."""

TIMED_WORD = re.compile(r"<\d\d:[\d:.]{4,12}>")
"""The moment of a word inside a WebVTT cue."""
_MOMENT = re.compile(r"<(?:(\d{2,6}):)?(\d\d):(\d\d)\.(\d{3})>")


def moment_ms(written: str) -> int | None:
    """The moment of a word as it is written, in milliseconds; None where that is no time.

    >>> moment_ms("<00:01:02.300>")
    62300
    """
    if (found := _MOMENT.fullmatch(written)) is None:
        return None
    hours, minutes, seconds, ms = (int(part or 0) for part in found.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + ms


def word_times(text: str) -> list[int]:
    """The moments of its words, in milliseconds."""
    found = (moment_ms(written) for written in TIMED_WORD.findall(text))
    return [ms for ms in found if ms is not None]


def without_markup(text: str) -> str:
    """A cue's text as it is read.

    >>> without_markup("<i>Soft</i> and {\\\\an8}glossy, 2 < 3")
    'Soft and glossy, 2 < 3'
    """
    return MARKUP.sub("", text) if "<" in text or "{" in text else text


_TOO_LONG = re.compile(r"&#[0-9]{20,};?")


def unescaped(text: str) -> str:
    """The text with its references (``&amp;``, ``&#189;``) read; a number that no character has is a broken character.

    >>> unescaped("&frac12; &amp; &#99999999999999999999999;")
    '½ & \ufffd'
    """
    return html.unescape(without_long_references(text)) if "&" in text else text


def without_long_references(text: str) -> str:
    """The text with a broken character for each number that no character has, however long it is: Python reads no number of
    thousands of digits."""
    return _TOO_LONG.sub("\ufffd", text)


def plain_lines(text: str, kind: str) -> tuple[str, ...]:
    """The lines of a cue of this kind of file without markup, blank ones left out; in all kinds but SubRip references (``&amp;``) are
    read."""
    shown = without_markup(text)
    if kind != "srt":
        shown = unescaped(shown)
    return tuple(line.strip() for line in shown.splitlines() if line.strip())
