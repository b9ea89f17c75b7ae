"""What one run may use of the machine, kept by the system itself: no loop, in Python or in a library, outlasts it."""

from __future__ import annotations

import contextlib
import gc
import signal
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from types import ModuleType


def _system() -> ModuleType | None:
    try:
        import resource
    except ImportError:  # Windows has none
        return None
    return resource


@dataclass(frozen=True, slots=True)
class Budget:
    """Seconds of processor time, and megabytes of address space, which is a few times what is in use."""

    seconds: int
    megabytes: int


class BudgetSpent(BaseException):
    """The processor time is nearly spent; a kind of its own, so that no command takes it for an error of a file."""


_COLLECT_AFTER = 10_000
"""New objects more than freed ones; Python's own figure is 700."""


def collect_seldom() -> None:
    """Tables and rules stay, and a run leaves hardly a circle of things behind: looking through them all is seldom of use."""
    gc.set_threshold(_COLLECT_AFTER, 20, 20)


_WARNED_AT = 0.95
"""The share after which Python is interrupted; where it does not listen, the system ends it at the whole."""


def keep_within(budget: Budget) -> None:
    """Hold this process to the budget from now on. BudgetSpent is raised where the time is nearly spent; the system sends SIGXCPU
    at its end, and refuses memory beyond it. Does nothing on Windows."""
    resource = _system()
    if resource is None:
        return
    _lower(resource, resource.RLIMIT_CPU, budget.seconds)
    if sys.platform != "darwin":  # there it is counted otherwise, and refused
        _lower(resource, resource.RLIMIT_AS, budget.megabytes * 1_000_000)
    signal.signal(signal.SIGPROF, _spent)
    signal.setitimer(signal.ITIMER_PROF, budget.seconds * _WARNED_AT)


_TO_LEAVE_S = 10
"""Seconds of processor time in which a run that is interrupted puts back what it had begun, and says why."""


def _spent(*_: object) -> None:
    if (resource := _system()) is not None:
        used = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        later = round(used) + _TO_LEAVE_S
        with contextlib.suppress(OSError, ValueError):
            limit = later if hard == resource.RLIM_INFINITY else min(later, hard)
            resource.setrlimit(resource.RLIMIT_CPU, (limit, hard))
    raise BudgetSpent


def _lower(resource: ModuleType, which: int, to: int) -> None:
    soft, hard = resource.getrlimit(which)
    bounds = [b for b in (to, soft, hard) if b != resource.RLIM_INFINITY]
    with contextlib.suppress(OSError, ValueError):
        resource.setrlimit(which, (min(bounds), hard))


def for_a_helper() -> Callable[[], None] | None:
    """What a program that we start (ffmpeg) does first: it may take its own time and memory, and where the system can say so
    (Linux), it ends when we do, however we end. None on Windows."""
    resource = _system()
    if resource is None:
        return None
    limits = [(which, resource.getrlimit(which)[1]) for which in (resource.RLIMIT_CPU, resource.RLIMIT_AS)]
    ends_with_us = _ends_with_us()

    def first() -> None:
        for which, hard in limits:
            resource.setrlimit(which, (hard, hard))
        if ends_with_us is not None:
            ends_with_us()

    return first


_PR_SET_PDEATHSIG = 1
"""linux/prctl.h"""


def _ends_with_us() -> Callable[[], object] | None:
    if sys.platform != "linux":
        return None
    import ctypes

    with contextlib.suppress(OSError, AttributeError):
        prctl = ctypes.CDLL(None).prctl
        return lambda: prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
    return None


@contextlib.contextmanager
def unlimited_memory() -> Iterator[None]:
    """For the few lines that end a run that has no memory left."""
    resource = _system()
    if resource is not None:
        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_AS, (hard, hard))
    yield
