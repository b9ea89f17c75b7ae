"""What the W3C's WebVTT asks of a file beside its cues' times and text: names, settings, and what must be escaped."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.problems import Place, Problem, error, warning
from scriptkit.timed_text.markup import MARKUP
from scriptkit.timed_text.reading import CaptionFile, ReadCue

_PERCENT = r"(?:100(?:\.0+)?|\d{1,2}(?:\.\d+)?)%"
_SETTING = {
    "vertical": re.compile("rl|lr"),
    "line": re.compile(rf"(?:-?\d+|{_PERCENT})(?:,(?:start|center|end))?"),
    "position": re.compile(rf"{_PERCENT}(?:,(?:line-left|center|line-right))?"),
    "size": re.compile(_PERCENT),
    "align": re.compile("start|center|end|left|right"),
    "region": re.compile(r"\S+"),
}
_AS_WRITTEN = {
    "vertical": "vertical:rl",
    "line": "line:85%",
    "position": "position:50%",
    "size": "size:80%",
    "align": "align:center",
    "region": "region:foot",
}
_LOOSE_AMPERSAND = re.compile(r"&(?!(?:#\d+|#x[0-9a-fA-F]+|\w+);)")
_KNOWN_TAG = re.compile(r"</?(?:c|i|b|u|ruby|rt|v|lang)(?:[.\s>]|$)|<\d\d:")
"""Of the W3C's WebVTT, 3.4."""


def webvtt_rules(file: CaptionFile) -> Iterator[Problem]:
    """Every rule that a cue of a WebVTT file breaks; nothing for other files."""
    if file.kind != "vtt":
        return
    names: dict[str, int] = {}
    if any("-->" in block for block in file.head):
        yield _arrow(Place(file.file), "a block before the first cue")
    for cue in file.cues:
        if "-->" in cue.note or "-->" in cue.name or "-->" in cue.settings:
            yield _arrow(Place(file.file, cue.line), "its name, settings or NOTE")
        yield from _name(cue, names, file.file)
        if cue.settings:
            yield from _settings(cue, file.file)
        if "&" in cue.text or "<" in cue.text:
            yield from _escapes(cue, file.file)


def _arrow(place: Place, where: str) -> Problem:
    return warning(place, "arrow", f"“-->” stands in {where}: readers take it for times", "write →")


def escaped(text: str) -> str:
    """The text with what is no markup written so that no reader takes it for any. What has the form of a tag stays one, though
    WebVTT may not know it: readers leave it out, and show what is between.

    >>> escaped("salt & <i>pepper</i>, 2 <3, <font color=red>hot</font>")
    'salt &amp; <i>pepper</i>, 2 &lt;3, <font color=red>hot</font>'
    """
    parts, at = [], 0
    for tag in MARKUP.finditer(text):
        parts += [_without_signs(text[at : tag.start()]), tag.group()]
        at = tag.end()
    return "".join([*parts, _without_signs(text[at:])])


def _without_signs(text: str) -> str:
    return _LOOSE_AMPERSAND.sub("&amp;", text).replace("<", "&lt;")


def _name(cue: ReadCue, names: dict[str, int], file: str) -> Iterator[Problem]:
    if not cue.name:
        return
    if cue.name in names:
        message = f"the name “{cue.name[:40]}” is the cue's of line {names[cue.name]} too"
        yield warning(Place(file, cue.line), "vtt-name", message, "give each cue a name of its own, or none")
    else:
        names[cue.name] = cue.line


def _settings(cue: ReadCue, file: str) -> Iterator[Problem]:
    seen: set[str] = set()
    for setting in cue.settings.split():
        name, colon, value = setting.partition(":")
        pattern = _SETTING.get(name)
        if pattern is None or not colon:
            wrong = f"“{setting[:40]}” is not a setting of a cue"
            hint = f"delete it; settings are {', '.join(_SETTING)}, each with a colon and its value"
        elif name in seen:
            wrong, hint = f"`{name}:` stands twice", "keep one of them"
        elif not pattern.fullmatch(value):
            wrong = f"“{value[:40]}” is not a value for `{name}:`"
            hint = f"write it as in {_AS_WRITTEN[name]}, percentages from 0% to 100%; or delete it"
        else:
            seen.add(name)
            continue
        yield warning(Place(file, cue.line), "vtt-setting", wrong, hint)


def _escapes(cue: ReadCue, file: str) -> Iterator[Problem]:
    for n, line in enumerate(cue.text.split("\n"), 1):
        place = Place(file, cue.line + n)
        for tag in MARKUP.findall(line):
            if tag.startswith("<") and not _KNOWN_TAG.match(tag):
                message = f"“{tag[:40]}” is not a WebVTT tag: players leave it out"
                yield warning(place, "vtt-tag", message, "delete it, or write <i>, <b>, <u> or <c.name>")
        words = MARKUP.sub("", line)
        if _LOOSE_AMPERSAND.search(words):
            yield warning(place, "vtt-escape", "“&” begins markup in WebVTT", "write &amp;: `--fix` does")
        if "<" in words:
            message = "“<” begins a tag that does not end: browsers show nothing of the cue from here on"
            yield error(place, "vtt-escape", message, "write &lt;: `--fix` does")
