"""A step of prose in which the oven is turned up or down while the food is in it: two heats, and so two steps."""

from __future__ import annotations

import re
from itertools import islice

from scriptkit.english.heat import goes_into_the_oven, oven_degrees_in
from scriptkit.english.written_method import wait_ms_in
from scriptkit.patterns import LazyPattern

_TURN = r"(?:turn|increase|raise|reduce|lower|drop|crank|bump|bring)\b(?: (?:up|down|back))?"
_DEGREES = r"(?:\d{3} ?(?:°|º|℃|℉|degrees?|c\b|f\b)|gas(?: ?mark)? ?\d|\bto \d{3}\b)"
_TURNED = LazyPattern(
    rf"(?P<join>(?:\s?[,;.])?\s?\b(?:(?:and|then),?\s){{0,2}})(?<![\w-])(?P<turn>{_TURN}[^.;]{{0,60}}?{_DEGREES})",
    re.IGNORECASE,
)
_TURNS_FIRST = LazyPattern(rf"^\W*(?:then,? )?{_TURN}[^.;]{{0,60}}?{_DEGREES}", re.IGNORECASE)


_MOST = 3
"""Times that an oven is turned in one step."""


def parted_by_the_oven(text: str, most: int = _MOST) -> list[str]:
    """The text in pieces of one oven heat each, up to ``most`` times: cut before the oven is turned, where food was in it for a time before.

    >>> parted_by_the_oven("Roast at gas 4 for 20 minutes, then turn up to 200 C for 10 minutes.")
    ['Roast at gas 4 for 20 minutes.', 'Turn up to 200 C for 10 minutes.']
    >>> parted_by_the_oven("Put it in the oven, then lower it to 180 C. Bake for an hour.")
    ['Put it in the oven, then lower it to 180 C. Bake for an hour.']
    """
    for found in islice(_TURNED.finditer(text), most):
        before, after = text[: found.start()], text[found.start("turn") :]
        if wait_ms_in(before) and (goes_into_the_oven(before) or oven_degrees_in(before)):
            end = "" if before.rstrip().endswith((".", "!")) else "."
            return [f"{before.rstrip(' ,;')}{end}", *parted_by_the_oven(f"{after[:1].upper()}{after[1:]}", most - 1)]
    return [text]


def oven_turned_to(text: str) -> str:
    """The heat as `heat:` has it where the text begins with turning the oven; else empty.

    >>> oven_turned_to("Turn up to 200 C for 10 minutes."), oven_turned_to("Turn the fish.")
    ('oven 200 °C', '')
    """
    return oven_degrees_in(text) if _TURNS_FIRST.search(text) else ""


_HOT_FIRST = LazyPattern(
    r"\b(?:heat|warm|preheat|melt)\b[^.;]*\b(?:in|inside) the (?:hot )?oven\b|\boven\b[^.;]*\buntil (?:it is |they are )?(?:very |smoking |searing )?hot\b|"
    r"\b(?:very |smoking |searing[- ]|screaming[- ])?(?:hot|heated|preheated|pre-heated) (?:\w+ )?(?:tin|tray|stone|steel|sheet|skillet|dish|pot|casserole)\b",
    re.IGNORECASE,
)


def hot_from_the_start(words: str) -> bool:
    """Whether the work of a step needs the oven hot before the food goes in.

    >>> hot_from_the_start("Heat the fat in the oven, then add the parsnips."), hot_from_the_start("Tip it onto the hot baking tray.")
    (True, True)
    >>> hot_from_the_start("Toss it in the oil and bake it.")
    False
    """
    return _HOT_FIRST.search(words) is not None


_TAKES_OUT = LazyPattern(
    r"\b(?:out of|from) the (?:hot )?oven\b|\b(?:take|lift|bring|pull|slide)\b[^.;,]*\bout\b(?! of the (?!oven))",
    re.IGNORECASE,
)


def takes_out(words: str) -> bool:
    """Whether the words take something out of the oven.

    >>> takes_out("Lift the loaf out and tap it."), takes_out("Take it off the heat.")
    (True, False)
    """
    return _TAKES_OUT.search(words) is not None
