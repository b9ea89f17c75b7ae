"""Letters that the font of an overlay lacks: told before anything is drawn with it."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterable, Mapping

from scriptkit.drawing.ass import Timed
from scriptkit.drawing.font_file import FontFile
from scriptkit.drawing.layout import Fonts, Graphic
from scriptkit.problems import Place, Problem, error, warning
from scriptkit.timed_text.direction import ISOLATE_END, ISOLATES, LEFT_TO_RIGHT

_MARKS = frozenset(ISOLATES) | {ISOLATE_END, LEFT_TO_RIGHT}
_NAMED, _CALLED = 8, 3
"""Letters that a message names, and those that it calls by their names in Unicode."""
USED = "another font on this computer is used for them; choose a font that has them with --font FILE"
BY_A_VIEWER = (
    "the program that shows the card draws them in a font of its own, or as boxes; write the name in other letters"
)
BY_A_PLAYER = "a player draws them in a font of its own, or as boxes; choose a font that has them with --font FILE"


def lacking(drawn: Iterable[Timed], fonts: Fonts) -> dict[str, str]:
    """Each character of what is drawn that its font has no glyph for, with the first line in which it stands."""
    return lacking_in((one.graphic for one in drawn), fonts)


def lacking_in(graphics: Iterable[Graphic], fonts: Fonts) -> dict[str, str]:
    """The same of pictures."""
    found: dict[str, str] = {}
    for graphic in graphics:
        for text in graphic.texts:
            for c in fonts.of(text.bold).lacks("".join(x for x in text.text if x not in _MARKS)):
                found.setdefault(c, text.text)
    return found


def glyph_problems(
    found: Mapping[str, str], fonts: Fonts, nowhere: Collection[str] = (), hint: str = USED, place: str = "--font"
) -> list[Problem]:
    """One warning with all that the font cannot draw, and a line that has it; an error where some of it is in no other font of this
    computer either (``nowhere``). Empty where the font can draw everything."""
    if not found:
        return []
    first = next((c for c in found if c in nowhere), next(iter(found)))
    as_in = f"as in “{_plain(found[first])}”"
    if nowhere:
        letters = _shown([c for c in found if c in nowhere])
        message = f"neither the font {_name(fonts.regular)} nor any other on this computer has {letters}, {as_in}: they would be boxes"
        return [error(Place("--font"), "no-glyph", message, "choose a font that has them with --font FILE")]
    message = f"the font {_name(fonts.regular)} has no {_shown(list(found))}, {as_in}"
    return [warning(Place(place), "no-glyph", message, hint)]


def _shown(letters: list[str]) -> str:
    more = f" and {len(letters) - _NAMED} more" if len(letters) > _NAMED else ""
    return " ".join(letters[:_NAMED]) + more + _names(letters)


def _names(letters: list[str]) -> str:
    """Their numbers and names, for the screen may lack them too."""
    called = [f"U+{ord(c):04X} {unicodedata.name(c, '').lower()}".strip() for c in letters[:_CALLED]]
    return f" ({', '.join(called)}{', …' if len(letters) > _CALLED else ''})"


def _plain(text: str) -> str:
    return "".join(c for c in text if c not in _MARKS)


def _name(font: FontFile) -> str:
    return f"“{font.family}”"
