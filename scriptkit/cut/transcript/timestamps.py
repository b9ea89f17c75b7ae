"""Moments of the cut as people write them: ``1:05``, ``1:02:05.250``, ``65.2 s``."""

from __future__ import annotations

import re

_CLOCK = re.compile(r"(?:(\d{1,3}):)?(\d{1,3}):([0-5]?\d)(?:[.,](\d{1,6}))?")
_SECONDS = re.compile(r"(\d{1,6})(?:[.,](\d{1,6}))?\s*(?:s|sec|seconds?)?", re.IGNORECASE)


def moment_ms(text: str) -> int | None:
    """Milliseconds of ``m:ss``, ``h:mm:ss`` or seconds, each with a fraction or without; None where it is none of them.

    >>> moment_ms("1:05.5"), moment_ms("1:02:05"), moment_ms("65,25 s"), moment_ms("later")
    (65500, 3725000, 65250, None)
    """
    text = text.strip()
    if found := _CLOCK.fullmatch(text):
        hours, minutes, seconds, fraction = found.groups()
        if hours is not None and int(minutes) > 59:
            return None
        whole = (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)
    elif found := _SECONDS.fullmatch(text):
        whole, fraction = int(found[1]), found[2]
    else:
        return None
    return whole * 1000 + round(int((fraction or "0").ljust(6, "0")) / 1000)


def clock_text(ms: int) -> str:
    """``1:05``, ``1:02:05``, with thousandths only where there are some.

    >>> clock_text(65_000), clock_text(3_725_250)
    ('1:05', '1:02:05.250')
    """
    seconds, rest = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    whole = f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
    return f"{whole}.{rest:03d}" if rest else whole
