"""Whether words are of a marinade, a brine or a cure: that it is made, or that it is meant."""

from __future__ import annotations

import re

_MARINATES = re.compile(r"marinat|marinad|\bbrin(?:e[ds]?|ing)\b|\bcur(?:e[ds]?|ing)\b", re.IGNORECASE)
_NAMED = re.compile(r"\b(?:marinade|brine|cure)\b", re.IGNORECASE)


def is_of_a_marinade(text: str) -> bool:
    """Whether something is marinated, brined or cured.

    >>> is_of_a_marinade("Brine the chops."), is_of_a_marinade("Fry the chops.")
    (True, False)
    """
    return _MARINATES.search(text) is not None


def names_a_marinade(text: str) -> bool:
    """Whether the liquid itself is named.

    >>> names_a_marinade("the rest of the marinade"), names_a_marinade("the marinated chops")
    (True, False)
    """
    return _NAMED.search(text) is not None
