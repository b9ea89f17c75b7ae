"""Cues as a caption file, by the kind of file and for the picture of a profile."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath

from scriptkit.captions.profile import Profile
from scriptkit.problems import CannotDo, Place, error
from scriptkit.timed_text.cue import Cue

CAPTION_KINDS = ("srt", "vtt", "ttml", "ass")
"""By the ending of the file; ASS is drawn, in drawing/."""

KINDS = {"srt": "SubRip", "vtt": "WebVTT", "ttml": "TTML", "ass": "ASS"}
_ENDINGS = {
    ".srt": "srt",
    ".vtt": "vtt",
    ".webvtt": "vtt",
    ".ttml": "ttml",
    ".dfxp": "ttml",
    ".itt": "ttml",
    ".ass": "ass",
    ".ssa": "ass",
}


def kind_of_name(name: str) -> str:
    """The kind that a file's name ends as; empty where it ends as none of them.

    >>> kind_of_name("supper/cut.VTT"), kind_of_name("notes.txt")
    ('vtt', '')
    """
    return _ENDINGS.get(PurePath(name).suffix.casefold(), "")


def write_cues(kind: str, cues: Sequence[Cue], title: str, profile: Profile) -> str:
    """The cues as SubRip, WebVTT or TTML. Raises CannotDo for another kind."""
    if kind == "srt":
        from scriptkit.timed_text.subrip import write_srt

        return write_srt(cues)
    if kind == "vtt":
        from scriptkit.timed_text.webvtt import write_vtt

        return write_vtt(cues, title, profile.shape)
    if kind == "ttml":
        from scriptkit.timed_text.ttml import USUAL_FONT, write_ttml

        return write_ttml(cues, title, font_percent=profile.font_percent or USUAL_FONT, shape=profile.shape)
    message = f"captions are not written as “{kind}”"
    raise CannotDo([error(Place("captions"), "option", message, f"write one of {', '.join(CAPTION_KINDS)}")])
