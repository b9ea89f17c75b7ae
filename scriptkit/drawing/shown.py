"""The cues of an overlay as what is drawn: a card that takes several captions is one graphic."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.drawing.ass import Timed, write_ass
from scriptkit.drawing.canvas import Canvas
from scriptkit.drawing.font_file import NotAFont, read_font
from scriptkit.drawing.layout import Fonts, graphic_of
from scriptkit.problems import CannotDo, Place, error
from scriptkit.timed_text.cue import Cue
from scriptkit.typeface import WEIGHTS, font_folder


def house_fonts() -> Fonts:
    """The two weights that travel in the package."""
    regular, bold = (read_font((font_folder() / f"{weight}.woff").read_bytes()) for weight in WEIGHTS)
    return Fonts(regular, bold)


def fonts_from(path: str) -> Fonts:
    """A person's own font for both weights; the house's where ``path`` is empty. Raises CannotDo where it cannot be read."""
    if not path:
        return house_fonts()
    from scriptkit.input_bytes import bytes_of

    try:
        own = read_font(bytes_of(path))
    except NotAFont as wrong:
        raise CannotDo([error(Place(path), "font", str(wrong), "name a .ttf, .otf or .woff file")]) from None
    return Fonts(own, own)


def merged(cues: Sequence[Cue]) -> list[Cue]:
    """The cues with those that follow one another and show the same card as one."""
    found: list[Cue] = []
    for cue in cues:
        last = found[-1] if found else None
        if last and cue.title is not None and cue.title.heading and cue.title == last.title:
            found[-1] = _longer(last, cue)
        else:
            found.append(cue)
    return found


def _longer(first: Cue, last: Cue) -> Cue:
    return Cue(
        start_ms=first.start_ms,
        end_ms=last.end_ms,
        lines=first.lines + last.lines,
        track=first.track,
        title=first.title,
    )


def shown(cues: Sequence[Cue], canvas: Canvas, fonts: Fonts) -> list[Timed]:
    """What is drawn, in order, none overlapping another."""
    return [Timed(c.start_ms, c.end_ms, " ".join(c.lines), graphic_of(c, canvas, fonts)) for c in merged(cues)]


def overlay_as_ass(cues: Sequence[Cue], title: str, canvas: Canvas, fonts: Fonts | None = None) -> str:
    """The overlay as ASS subtitles for a canvas, in the house's fonts where none are given."""
    fonts = fonts or house_fonts()
    return write_ass(shown(cues, canvas, fonts), title, canvas, fonts)
