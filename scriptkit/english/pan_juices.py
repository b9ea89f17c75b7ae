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
