"""Heat that a sentence does not name: what goes into water that boils already, and what is in an oven of which only the setting is said."""

from __future__ import annotations

import re

from scriptkit.patterns import LazyPattern

_INTO_WHAT_BOILS = LazyPattern(
    r"\b(?:add|tip|drop|throw|put|slide|lower|stir)\b(?!(?:(?!\bdrain)[^.;]){0,160}\b(?:soak|rinse|wash|cold|iced|sieve|colander|bowl|jar|tin|can|paper|leave|stand|sit|salt|fridge|rack)\b)"
    r"[^.;]{0,160}?\b(?:then|and|before)\b[^.;]{0,12}\bdrain(?:ing)?\b(?! (?:on|in|over)\b)",
    re.IGNORECASE,
)
_BACK_IN = LazyPattern(
    r"\b(?:put|slide|slip|pop|return)\b[^.;]{0,30}?\bback in(?!to)\b(?! (?:the|a|your) (?!oven)| (?:water|its)\b)|\bback in(?:to)? (?:the|your) oven\b|"
    r"\bon the (?:top|middle|bottom|lowest|highest|centre|center) (?:oven )?(?:shelf|rack)\b(?! of the fridge)",
    re.IGNORECASE,
)
_OVEN_CHANGED = LazyPattern(
    r"\b(?:turn|lower|reduce|raise|increase|drop)\b (?:the )?(?:oven|temperature)\b", re.IGNORECASE
)


def goes_into_what_boils(text: str) -> bool:
    """Whether something goes into water that boils, and is poured out of it: *add the peas, then drain*.

    >>> goes_into_what_boils("Add the peas, then drain."), goes_into_what_boils("Tip into a sieve and drain.")
    (True, False)
    """
    return _INTO_WHAT_BOILS.search(text) is not None


def back_in_the_oven(text: str) -> bool:
    """Whether something goes back in, or on a shelf, which are an oven's.

    >>> back_in_the_oven("Put the tray back in."), back_in_the_oven("Put it back in the fridge.")
    (True, False)
    """
    return _BACK_IN.search(text) is not None


def changes_the_oven(text: str) -> bool:
    """Whether an oven that is on is set otherwise: what is cooked then is in it.

    >>> changes_the_oven("Turn the oven down to 160 °C and cook."), changes_the_oven("Heat the oven.")
    (True, False)
    """
    return _OVEN_CHANGED.search(text) is not None
