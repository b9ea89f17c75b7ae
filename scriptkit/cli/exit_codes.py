"""How a command ends: the one place that turns exceptions into exit codes."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from collections.abc import Callable
from typing import NoReturn

from scriptkit.problems import CannotDo


class Stopped(BaseException):
    """Ctrl-C. A kind of its own, for the library of commands would leave without a word on an interruption."""


def leave_with(command: Callable[[], object]) -> NoReturn:
    """Run the command and leave: 2 where it could not be done, 130 where the person stopped it, else as it says itself."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    before = _on_interruption()
    try:
        command()
    except CannotDo as wrong:
        from scriptkit.cli.printing import print_problems

        print_problems(wrong.problems, wrong.lines)
        sys.exit(2)
    except (KeyboardInterrupt, Stopped):
        print("stopped; nothing was left half-written", file=sys.stderr)
        sys.exit(130)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader went away; that is no error
        sys.exit(0)
    finally:
        if before is not None:
            signal.signal(signal.SIGINT, before)
    sys.exit(0)


def _on_interruption() -> Callable[..., object] | None:
    """Stop as we do; what stood there before, None where it was left: another thread, or interruptions not wanted."""
    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler:
        return None
    with contextlib.suppress(ValueError):  # not the main thread
        signal.signal(signal.SIGINT, _stop)
        return signal.default_int_handler
    return None


def _stop(*_: object) -> NoReturn:
    raise Stopped
