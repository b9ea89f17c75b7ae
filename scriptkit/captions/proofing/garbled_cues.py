"""Garbled letters (*crÃ¨me*) in the cues of a file: each word told with what it was, and written so where that is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.timed_text.garbled import as_meant, garbled_words

_WHY = "its letters were read in a wrong encoding"


def garbled(sheet: Sheet) -> Iterator[Problem]:
    """Words whose letters were read in a wrong encoding before the file was written."""
    for place, word, meant in _words(sheet):
        hint = f"write “{meant}”: `--mend` with `--fix FILE` does"
        yield warning(place, "garbled", f"“{word}” is garbled: {_WHY}", hint)


def ungarbled(sheet: Sheet) -> tuple[Sheet, list[Problem]]:
    """The sheet with every garbled word as it was, and a note for each."""
    notes = [note(place, "garbled-mended", f"“{word}” → “{meant}”: {_WHY}") for place, word, meant in _words(sheet)]
    if not notes:
        return sheet, []
    cues = tuple(replace(c, text=as_meant(c.text)) if not c.text.isascii() else c for c in sheet.cues)
    return replace(sheet, file=replace(sheet.file, cues=cues)), notes


def _words(sheet: Sheet) -> Iterator[tuple[Place, str, str]]:
    for cue in sheet.cues:
        if cue.text.isascii() or as_meant(cue.text) == cue.text:
            continue
        for n, line in enumerate(sheet.lines(cue)):
            for word, meant in garbled_words(line):
                yield sheet.place_of_line(cue, n), word[:40], meant[:40]
