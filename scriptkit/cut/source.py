"""Where a cut's times come from: a cut file, an editor's markers or a transcript, told apart by what is in the file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from scriptkit.cut.cut_file import looks_like_cut, read_cut
from scriptkit.cut.markers import read_markers, read_timeline
from scriptkit.cut.placement import Cut
from scriptkit.cut.placing import place
from scriptkit.cut.transcript_reader import looks_like_transcript, read_transcript
from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.timed_text.reading import LARGEST_FILE, decode


def bytes_of(path: str) -> bytes:
    """Raises CannotDo where the file cannot be opened, or is larger than any transcript."""
    place_ = Path(path)
    try:
        if place_.is_dir():
            raise CannotDo([error(Place(path), "folder", "this is a folder", "name the file in it")])
        with place_.open("rb") as opened:
            raw = opened.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the file cannot be opened: {why}", "check the name and the folder")]
        ) from None
    if len(raw) > LARGEST_FILE:
        raise CannotDo([error(Place(path), "too-large", "more than 50 MB", "check which file this is")])
    return raw


def cut_of(source: Dish | Meal, path: str) -> Cut:
    """The cut of the file, whichever kind it is. Raises CannotDo where it cannot be read as any."""
    raw = bytes_of(path)
    text, _ = decode(raw, path)
    text = text.lstrip("\ufeff")
    if "OTIO_SCHEMA" in text[:20_000] and text.lstrip().startswith("{"):
        return read_timeline(text, path, source)
    if looks_like_cut(text):
        return read_cut(text, path, source)
    if looks_like_transcript(text) or not text.strip():
        transcript = read_transcript(raw, path)
        cut = place(source, transcript)
        return replace(cut, problems=(*transcript.problems, *cut.problems))
    return read_markers(raw, path, source)
