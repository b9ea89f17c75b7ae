"""What a sentence says of liquid that boils: brought to it, boiled away, what is left in the pan: covered or not, how wide, wiped out."""

from __future__ import annotations

import functools
import re

_I = re.IGNORECASE
_UNCOVERED = re.compile(
    r"\b(?:uncover(?:ed)?|without (?:a|the|its) lid|lid off|(?:take|lift) (?:off )?the lid(?: off)?|open pan)\b", _I
)
_COVERED = re.compile(
    r"\b(?:cover(?:ed)?(?! (?:it |them )?(?:with|in) (?:the )?(?:water|stock|wine|milk))|(?:with|put|under) (?:a|the|its) (?:\w+ )?lid(?: on)?|lid on|cartouche)\b",
    _I,
)
_WIDTH = re.compile(r"\b(\d{2}(?:\.\d)?)[ -]?cm\b", _I)
_SHARES = {
    "half": 0.5,
    "a half": 0.5,
    "a third": 1 / 3,
    "one third": 1 / 3,
    "two thirds": 2 / 3,
    "a quarter": 0.25,
    "three quarters": 0.75,
}
_REDUCED = re.compile(
    r"\b(?:reduc(?:e|es|ed|ing)|boil(?:s|ed|ing)? down)\b[^.;]{0,30}?\b(?P<how>by|to) (?P<share>three quarters|two thirds|(?:a |one )?third|(?:a )?half|a quarter)\b",
    _I,
)
_WIPED = re.compile(
    r"\b(?:wip(?:e|ed|ing)|clean(?:ed)?|rins(?:e|ed)|fresh|another|second|new) (?:out )?(?:the )?(?:\w+ )?(?:pan|pot|skillet|casserole|tin)\b",
    _I,
)


_TO_THE_BOIL = re.compile(r"\bbring\b(?:(?!\bback\b)[^.;])*?\bto (?:the |a )?(?:\w+ )?boil\b", _I)
_POURED_HOT = re.compile(
    r"\b(?:hot|boiling|boiled|scalding) (?:\w+ ){0,2}(?:water|stock|broth|milk|cream|liquid)\b|\bkettle\b", _I
)
_CALLED_HOT = re.compile(
    r"\b(?:hot(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))|boiling|boiled|scalding|kettle)\b", _I
)


def brings_to_the_boil(text: str) -> bool:
    """Whether something that was not boiling is brought to the boil.

    >>> brings_to_the_boil("Bring the stock to the boil."), brings_to_the_boil("Bring it back to the boil.")
    (True, False)
    """
    return _TO_THE_BOIL.search(text) is not None


def is_poured_in_hot(text: str) -> bool:
    """Whether a step's words pour in what is hot already; *once it is boiling* tells of afterwards.

    >>> is_poured_in_hot("Pour in the hot chicken stock."), is_poured_in_hot("Bring it to the boil. Once boiling, lower the heat.")
    (True, False)
    """
    return _POURED_HOT.search(text) is not None


def is_called_hot(name: str) -> bool:
    """Whether a food, by its name and how it is got ready, goes in hot: *stock, hot*, and not *hot sauce*."""
    return _CALLED_HOT.search(name) is not None


@functools.lru_cache(maxsize=1024)
def covered_in(text: str) -> bool | None:
    """Whether a lid is on; None where nothing is said of it.

    >>> covered_in("Cover and simmer."), covered_in("Simmer uncovered."), covered_in("Cover it with water."), covered_in("Simmer.")
    (True, False, None, None)
    """
    if _UNCOVERED.search(text):
        return False
    return True if _COVERED.search(text) else None


@functools.lru_cache(maxsize=1024)
def width_cm_in(text: str) -> float | None:
    """The vessel's width, 10 to 60 cm; None where none is said.

    >>> width_cm_in("28 cm sauté pan"), width_cm_in("stock pot")
    (28.0, None)
    """
    found = _WIDTH.search(text)
    width = float(found[1]) if found else 0.0
    return width if 10 <= width <= 60 else None


@functools.lru_cache(maxsize=1024)
def reduced_to(text: str) -> float | None:
    """The share of the liquid that is left, 0 to 1, where it is boiled down by or to a share; None where that is not said.

    >>> reduced_to("Reduce the wine by two thirds."), reduced_to("Boil down to a third."), reduced_to("Reduce the heat.")
    (0.33333333333333337, 0.3333333333333333, None)
    """
    found = _REDUCED.search(text)
    if found is None:
        return None
    words = found["share"].casefold()
    share = _SHARES.get(words) or _SHARES[f"a {words}"]
    return share if found["how"].casefold() == "to" else 1 - share


@functools.lru_cache(maxsize=1024)
def wiped_in(text: str) -> bool:
    """Whether it goes on in a pan that is wiped out, or in another one.

    >>> wiped_in("Brown the butter in the wiped pan."), wiped_in("Deglaze the pan.")
    (True, False)
    """
    return bool(_WIPED.search(text))
