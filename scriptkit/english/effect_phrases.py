"""Phrases of talk that say what becomes of an ingredient, from effect_phrases.csv, made so that they compile fast."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from typing import NamedTuple

from scriptkit.data_files import made_of_rows
from scriptkit.english.effect_kinds import GOES_IN, GOES_IN_NOW, INSTEAD, LATER, LEFT_OUT, LESS, MORE, UNFILMED
from scriptkit.pattern_cache import kept_patterns
from scriptkit.pattern_needs import Needs
from scriptkit.patterns import LazyPattern

SCENE, OUT_OF, IF_OURS, ABSENT = "scene", "out of", "instead if ours", "absent"
RANK = (INSTEAD, LATER, LESS, MORE, LEFT_OUT, UNFILMED, GOES_IN_NOW, GOES_IN)
"""Of two that are said of one name in one breath the earlier counts."""
NO_NAME = frozenset(
    """
    i you we they he she it me us him them who which that what where when while why how if so because but and or nor then now as than
    is are was were be been am do does did have has had will would can could should might must may not never no
    in on at to into onto with from by for until till up out off over under about without after before of
    go goes went gone put add adds added stir stirred pour poured use used make makes made take takes took get gets got let there here
    forgot forget said say says tell told see saw look looks know think want need needs like
    """.split()  # noqa: SIM905  a paragraph is easier to read and to change than a list
)
"""None of these stands within the words of a name."""
_NOT_BESIDE = NO_NAME - {"of", "that"}
_ING_OF_A_NAME = frozenset({"remaining", "spring", "seasoning"})
BESIDE = r"(?:(?<!\t)[a-z0-9%/'-]+\s){0,6}?"
"""Words that may stand before a name: no tab stands before them, as it does before those that may not (:func:`marked`). To name those here
would take a tenth of a second to compile."""

AND_ANOTHER = LazyPattern(
    rf"(?:,\s)?(?:and|or|nor)\s(?:no\s)?{BESIDE}@(\d+)(?!\s(?:go|goes|went|is|are|was|were|will|can|in|do|does|did|never)\b)"
)


def marked(words: Sequence[str]) -> str:
    """The words with a space between them, or a tab before those that cannot stand before a name."""
    return "".join(
        f"{chr(9) if w in _NOT_BESIDE or (w.endswith('ing') and w not in _ING_OF_A_NAME) else ' '}{w}" for w in words
    )[1:]


class Phrase(NamedTuple):
    """What it tells, letters of which one at least must stand there, and whether the name may stand first."""

    effect: str
    needs: tuple[str, ...]
    source: str
    named_first: bool

    @property
    def pattern(self) -> re.Pattern[str]:
        """For words as :func:`marked` has them."""
        return _compiled(self.source)

    @property
    def all_needs(self) -> Needs:
        """More letters, of each group of which one must stand there."""
        return kept_patterns().needs(self.source)


@functools.cache
def _compiled(source: str) -> re.Pattern[str]:
    return kept_patterns().compiled(source)


_KINDS = frozenset({"part", SCENE, OUT_OF, IF_OURS, ABSENT, *RANK})


def _row(effect: str, needs: str, phrase: str) -> tuple[str, str, str]:
    if effect not in _KINDS:
        raise ValueError(f"“{effect}” is none of {', '.join(sorted(_KINDS))}")
    return effect, needs, phrase


@functools.cache
def phrases() -> tuple[Phrase, ...]:
    """Of effect_phrases.csv, with their parts filled in. Raises BadDataFile."""
    rows = made_of_rows("scriptkit.english", "effect_phrases.csv", ("effect", "needs", "phrase"), _row)
    parts = {"X": rf"(?:{BESIDE}@\d+(?: (?:, )?(?:and|or|nor) {BESIDE}@\d+)*)"}
    parts["X_first"] = rf"(?:@\d+(?: (?:, )?(?:and|or|nor) {BESIDE}@\d+)*)"  # what stands before it is read by _begin
    parts |= {name: text for kind, name, text in rows if kind == "part"}
    found = []
    for effect, needs, written in rows:
        if effect != "part":
            named_first = written.startswith(("{X}", "(?:{X}", "{it}", "@"))
            phrase = re.sub(r"^(\(\?:)?\{X\}", lambda m: (m.group(1) or "") + "{X_first}", written)
            phrase = phrase.replace("|{X}", "|{X_first}") if named_first else phrase
            for _ in range(3):  # a part may be made of parts
                phrase = re.sub(r"\{([a-zA-Z_]+)\}", lambda m: parts[m.group(1)], phrase)
            found.append(
                Phrase(
                    effect,
                    tuple(n.replace("_", " ") for n in needs.split()),
                    rf"(?<![\w@])(?:{phrase})(?![\w@])".replace(" ", r"\s"),
                    named_first,
                )
            )
    return tuple(found)
