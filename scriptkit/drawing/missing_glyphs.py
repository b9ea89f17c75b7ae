"""Letters that the font of an overlay lacks: told before anything is drawn with it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from scriptkit.drawing.ass import Timed
from scriptkit.drawing.font_file import FontFile
from scriptkit.drawing.layout import Fonts
from scriptkit.problems import Place, Problem, error, warning
from scriptkit.timed_text.direction import ISOLATE_END, ISOLATES, LEFT_TO_RIGHT

_MARKS = frozenset(ISOLATES) | {ISOLATE_END, LEFT_TO_RIGHT}
_NAMED = 8
"""Letters that a message names."""
USED = "another font on this computer is used for them; choose a font that has them with --font FILE"
BY_A_PLAYER = "a player draws them in a font of its own, or as boxes; choose a font that has them with --font FILE"


def lacking(drawn: Iterable[Timed], fonts: Fonts) -> dict[str, str]:
    """Each character of what is drawn that its font has no glyph for, with the first line in which it stands."""
    found: dict[str, str] = {}
    for one in drawn:
        for text in one.graphic.texts:
            for c in fonts.of(text.bold).lacks("".join(x for x in text.text if x not in _MARKS)):
                found.setdefault(c, text.text)
    return found


def glyph_problems(
    found: Mapping[str, str], fonts: Fonts, nowhere: Collection[str] = (), hint: str = USED
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
    return [warning(Place("--font"), "no-glyph", message, hint)]


def _shown(letters: list[str]) -> str:
    more = f" and {len(letters) - _NAMED} more" if len(letters) > _NAMED else ""
    return " ".join(letters[:_NAMED]) + more


def _plain(text: str) -> str:
    return "".join(c for c in text if c not in _MARKS)


def _name(font: FontFile) -> str:
    return f"“{font.family}”"
