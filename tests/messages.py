"""Read back what a command printed: the form of a message is promised to editors, so tests read it by one expression."""

from __future__ import annotations

import re
from pathlib import Path

MESSAGE = re.compile(
    r"^(?P<file>\S.*?):(?P<line>[1-9][0-9]*):(?P<column>[1-9][0-9]*): (?P<severity>error|warning|note): "
    r"(?P<message>.*) \[(?P<code>[a-z0-9-]+)\]$",
    re.MULTILINE,
)


def kinds(printed: str) -> list[str]:
    """``error unknown-food``, a message an entry, in the order they were printed."""
    return [f"{m['severity']} {m['code']}" for m in MESSAGE.finditer(printed)]


def placed(printed: str) -> list[str]:
    """``dish.yaml:3:9 error unknown-food``, a message an entry, in the order they were printed; without folders."""
    return [
        f"{Path(m['file']).name}:{m['line']}:{m['column']} {m['severity']} {m['code']}"
        for m in MESSAGE.finditer(printed)
    ]
