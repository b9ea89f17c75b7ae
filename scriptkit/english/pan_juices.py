"""Whether a step's words work with what has run out of a roast: *pour the juices and the cider into the saucepan*."""

from __future__ import annotations

import re

from scriptkit.english.negation import affirmed

_WORKS_WITH = (
    r"(?:pour|tip|add|stir|whisk|mix|beat|blend|use|take|scrape|strain|sieve|heat|warm|boil|simmer|bring|reduce|cook|thicken|deglaze|loosen|"
    r"spoon|ladle|swirl|put|return|start|begin|make|set)"
)
_JUICES = (
    r"(?:(?:the|all the|all its|its|their|any|those|these|all of the) (?:(?:pan|roasting|meat|resting|cooking|hot|warm|reserved|roast) )*"
    r"(?:juices|drippings|dripping|gravy juices)|(?:pan|roasting|meat|resting|cooking) (?:juices|drippings))"
)
_USED = re.compile(
    rf"\b{_WORKS_WITH}\b(?:(?!\b(?:until|till|when|once|if|as|so that|before|after|off|away|out|over)\b)[^.;]){{0,60}}?\b{_JUICES}\b"
    r"(?! (?:run|runs|ran|are|come|go|goes|has|have|flow|seep|of (?:the |an? |\d )?(?:lemon|lime|orange|grapefruit|fruit|tomato)))",
    re.IGNORECASE,
)


def works_with_juices(text: str) -> bool:
    """Whether juices that have run out of meat go on in what the words do.

    >>> works_with_juices("Pour the juices and the cider into the saucepan."), works_with_juices("Whisk the flour into the pan juices.")
    (True, True)
    >>> works_with_juices("Cook until the juices run clear."), works_with_juices("Squeeze in the juice of a lemon.")
    (False, False)
    >>> works_with_juices("Pour off the juices."), works_with_juices("Do not use the juices.")
    (False, False)
    """
    return bool(_USED.search(affirmed(text)))


_NAMED = re.compile(r"\b(?:juices|drippings)\b", re.IGNORECASE)


def juices_named_at(text: str) -> float | None:
    """How far into the text juices are named, 0 to 1; None where they are not.

    >>> juices_named_at("The juices go in."), juices_named_at("The juice of a lemon.")
    (0.23529411764705882, None)
    """
    found = _NAMED.search(text)
    return None if found is None else found.start() / len(text)
