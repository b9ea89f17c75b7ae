"""A command in a process of its own, so that one that breaks, hangs or fills the memory still ends with a word and a 2."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from collections.abc import Callable
from typing import NoReturn

from scriptkit import file_in_hand
from scriptkit.cli.budgets import MEGABYTES, budget_of, time_is_spent
from scriptkit.problems import Place, Problem, error, format_problem
from scriptkit.process_limits import keep_within

_PASSED_ON = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


def supervised(command: Callable[[], NoReturn]) -> NoReturn:
    """Run the command and leave as it does. Where the system ended its process, say so and exit with 2. Where there is no
    `fork` (Windows), the command runs here."""
    if not hasattr(os, "fork"):
        command()
    file_in_hand.share()
    read_end, write_end = os.pipe()
    # Until both know what to do with them, no signal comes through; the command lets them in (exit_codes.py).
    held = signal.pthread_sigmask(signal.SIG_BLOCK, _PASSED_ON)
    child = os.fork()
    if child == 0:
        os.close(write_end)
        _end_with_the_parent(read_end)
        keep_within(budget_of(sys.argv[1] if len(sys.argv) > 1 else "", os.environ))
        command()
    os.close(read_end)
    for number in _PASSED_ON:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, lambda got, _: _pass_on(child, got))
    signal.pthread_sigmask(signal.SIG_SETMASK, held)
    sys.exit(_outcome(os.waitpid(child, 0)[1]))


def _pass_on(child: int, number: int) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.kill(child, number)


def _end_with_the_parent(read_end: int) -> None:
    """The parent holds the other end and never writes: when it is gone, however it went, the system sends SIGIO, which ends us."""
    import fcntl

    with contextlib.suppress(OSError, AttributeError):
        fcntl.fcntl(read_end, fcntl.F_SETOWN, os.getpid())
        flags = fcntl.fcntl(read_end, fcntl.F_GETFL)
        fcntl.fcntl(read_end, fcntl.F_SETFL, flags | os.O_ASYNC | os.O_NONBLOCK)


def _outcome(status: int) -> int:
    if not os.WIFSIGNALED(status):
        return os.waitstatus_to_exitcode(status)
    if os.WTERMSIG(status) in _PASSED_ON:
        return 128 + os.WTERMSIG(status)
    print(format_problem(_ended_by(os.WTERMSIG(status))), file=sys.stderr)
    return 2


def _ended_by(number: int) -> Problem:
    place = Place(file_in_hand.last() or "scriptkit")
    if number == getattr(signal, "SIGXCPU", None):
        budget = budget_of(sys.argv[1] if len(sys.argv) > 1 else "", os.environ)
        return time_is_spent(place, budget.seconds)
    if number == signal.SIGKILL:
        hint = f"close other programs; or allow less with {MEGABYTES}, and the message says what was too large"
        return error(place, "ended", "the system ended the program, as it does where memory is short", hint)
    name = signal.Signals(number).name
    return error(
        place, "broke", f"the program broke ({name}) while it worked on this", "please report it, with this message"
    )
