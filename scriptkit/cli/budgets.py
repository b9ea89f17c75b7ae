"""What each command may use: far more than any real kitchen needs, and an end to what has none."""

from __future__ import annotations

from collections.abc import Mapping

from scriptkit.problems import Place, Problem, error
from scriptkit.process_limits import Budget

SECONDS, MEGABYTES = "SCRIPTKIT_SECONDS", "SCRIPTKIT_MEGABYTES"
"""Variables of the environment that allow more, or less."""
_USUAL = Budget(120, 3_000)
_BUDGETS = {
    "serve": Budget(86_400, 3_000),
    "pair": Budget(600, 3_000), "schedule": Budget(600, 3_000), "coverage": Budget(600, 3_000), "captions": Budget(600, 3_000),
    "publish": Budget(600, 3_000), "proof": Budget(600, 3_000), "conform": Budget(600, 3_000), "contact-sheet": Budget(600, 3_000),
    "preview": Budget(600, 3_000), "overlays": Budget(600, 3_000), "pack": Budget(3_600, 3_000), "shoot": Budget(3_600, 3_000),
}  # fmt: skip


def budget_of(command: str, environment: Mapping[str, str]) -> Budget:
    """The budget of a command by its name; what the environment says goes before it.

    >>> budget_of("macros", {"SCRIPTKIT_SECONDS": "7"})
    Budget(seconds=7, megabytes=3000)
    """
    usual = _BUDGETS.get(command, _USUAL)
    seconds, megabytes = (environment.get(name, "") for name in (SECONDS, MEGABYTES))
    return Budget(
        int(seconds) if _is_count(seconds) else usual.seconds,
        int(megabytes) if _is_count(megabytes) else usual.megabytes,
    )


def _is_count(text: str) -> bool:
    return text.isascii() and text.isdecimal() and int(text[:9]) > 0 and len(text) < 9


def time_is_spent(place: Place, seconds: int) -> Problem:
    """What a run says that has used its processor time."""
    message = f"more than {seconds} s of work, so it was ended; nothing was left half-written"
    hint = f"{SECONDS}={seconds * 10} in the environment allows more, if this file is meant to be so large"
    return error(place, "too-long", message, hint)


def memory_is_spent(place: Place, megabytes: int) -> Problem:
    """What a run says that was refused more memory."""
    message = f"more than {megabytes} MB of memory, so it was ended; nothing was left half-written"
    hint = f"{MEGABYTES}={megabytes * 2} in the environment allows more, if this file is meant to be so large"
    return error(place, "too-much-memory", message, hint)
