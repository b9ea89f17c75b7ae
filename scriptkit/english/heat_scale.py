"""A `heat:` that is a figure without its scale: what it is taken for, and what to write."""

from __future__ import annotations

import re

HOTTEST_BARE_C, HIGHEST_MARK = 260, 10
"""A figure without a scale is °C up to here; up to the mark it is a dial's."""
_BARE = re.compile(r"(?:oven|grill|air[- ]?fryer)?\s*(\d{1,3})\s*(?:°|degrees?)?", re.IGNORECASE)


def heat_without_scale(written: str) -> str:
    """What to write for a `heat:` that is a figure without a scale; empty where it has one, or is none.

    >>> heat_without_scale("180"), heat_without_scale("oven 425"), heat_without_scale("6"), heat_without_scale("180 °C")
    ('oven 180 °C', 'oven 425 °F', 'gas mark 6', '')
    """
    found = _BARE.fullmatch(written.strip())
    if found is None:
        return ""
    figure = int(found[1])
    if figure <= HIGHEST_MARK:
        return f"gas mark {figure}"
    kind = written.strip()[: found.start(1)].strip() or "oven"
    return f"{kind} {figure} {'°F' if figure > HOTTEST_BARE_C else '°C'}"
