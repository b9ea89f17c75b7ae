"""How a command ends: the one place that turns exceptions and signals into exit codes."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import signal
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NoReturn, TextIO

from scriptkit.pattern_cache import keep_patterns
from scriptkit.problems import CannotDo, Place, Problem, error
from scriptkit.process_limits import BudgetSpent, unlimited_memory

_STOPPING = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


NOT_READ_ON = "nothing after that was read: once it is right, check again for what else there may be"


class Stopped(BaseException):
    """Ctrl-C, or another wish that it ends. A kind of its own, for the library of commands would leave without a word on an
    interruption."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


class CannotPrint(BaseException):
    """What the command prints has no room where it goes; ``why`` in the system's words. A kind of its own, for no file of the person's
    is at fault."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def leave_with(command: Callable[[], object]) -> NoReturn:
    """Run the command and leave: 2 where it could not be done or broke, 128 + the signal where it was stopped, else as it says
    itself. No exception passes."""
    for name in ("stdout", "stderr"):
        setattr(sys, name, _ready(getattr(sys, name)))
    try:
        with _heard():
            _printed(command)
    except CannotPrint as wrong:
        _tell([_cannot_print(wrong)])
        sys.exit(2)
    except CannotDo as wrong:
        _tell(wrong.problems, wrong.lines)
        if any(p.code == "yaml" for p in wrong.problems):
            print(NOT_READ_ON, file=sys.stderr)
        sys.exit(2)
    except (KeyboardInterrupt, Stopped) as stop:
        print("stopped; nothing was left half-written", file=sys.stderr)
        sys.exit(128 + (stop.number if isinstance(stop, Stopped) else signal.SIGINT))
    except BudgetSpent:
        _tell([_time_is_spent()])
        sys.exit(2)
    except MemoryError:
        with unlimited_memory():
            _tell([_memory_is_spent()])
        sys.exit(2)
    except Exception as wrong:
        _tell([_too_long(wrong) if getattr(wrong, "errno", None) == errno.ENAMETOOLONG else _broke(wrong)])
        sys.exit(2)
    sys.exit(0)


def _printed(command: Callable[[], object]) -> None:
    """Run it, and see that what it prints has arrived, however it ends."""
    try:
        command()
    except SystemExit:
        sys.stdout.flush()
        keep_patterns()
        raise
    sys.stdout.flush()
    keep_patterns()


def _cannot_print(wrong: CannotPrint) -> Problem:
    return error(
        Place("scriptkit"), "cannot-print", f"what the command prints was not written to the end: {wrong.why}",
        "send it somewhere else, or make room, and run it again",
    )  # fmt: skip


def _tell(problems: Sequence[Problem], lines: Mapping[str, Sequence[str]] | None = None) -> None:
    from scriptkit.cli.printing import print_problems

    print_problems(problems, lines)


def _command_name() -> str:
    return sys.argv[1] if len(sys.argv) > 1 else ""


def _time_is_spent() -> Problem:
    from scriptkit.cli.budgets import budget_of, time_is_spent

    return time_is_spent(_place(), budget_of(_command_name(), os.environ).seconds)


def _memory_is_spent() -> Problem:
    from scriptkit.cli.budgets import budget_of, memory_is_spent

    return memory_is_spent(_place(), budget_of(_command_name(), os.environ).megabytes)


def _place() -> Place:
    from scriptkit import file_in_hand

    return Place(file_in_hand.last() or "scriptkit")


def _too_long(wrong: Exception) -> Problem:
    """A name that no disk here takes, wherever it is looked at first."""
    name = str(getattr(wrong, "filename", None) or "")
    shown = f"{name[:40]}…{name[-10:]}" if len(name) > 60 else name
    message = f"a name of {len(name)} letters is too long for this system; nothing was written"
    return error(
        Place(shown or "scriptkit"),
        "name-too-long",
        message,
        "give a shorter name, or run it from a folder nearer to the file",
    )


def _broke(wrong: Exception) -> Problem:
    """A fault of ours: where, and how to send it on without a word of the person's own text."""
    from scriptkit.cli.fault_report import VARIABLE, write_report

    where, hint = write_report(wrong, os.environ.get(VARIABLE, ""))
    return error(_place(), "broke", f"scriptkit itself has a fault here: {where}; nothing was written", hint)


# --- signals ----------------------------------------------------------------------------------------------------------


@contextlib.contextmanager
def _heard() -> Iterator[None]:
    """Stop as we do; where a signal is ignored or somebody else's, it stays so."""
    before: dict[int, signal._HANDLER] = {}
    for number in _STOPPING:
        usual: signal._HANDLER = signal.default_int_handler if number == signal.SIGINT else signal.SIG_DFL
        if signal.getsignal(number) is usual:
            with contextlib.suppress(ValueError):  # not the main thread
                signal.signal(number, _stop)
                before[number] = usual
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _STOPPING)  # held back since the fork (supervisor.py)
    try:
        yield
    finally:
        for number, usual in before.items():
            signal.signal(number, usual)


def _stop(number: int, _: object) -> NoReturn:
    for one in _STOPPING:
        if signal.getsignal(one) is _stop:
            signal.signal(one, _already_stopping)  # the terminal and the parent both send it
    raise Stopped(number)


def _already_stopping(*_: object) -> None:
    """What is being put back is put back in peace."""


# --- streams ----------------------------------------------------------------------------------------------------------


_STDOUT = 1


class _Pipe(io.FileIO):
    """A standard stream whose reader may go away: what is written then goes nowhere, and the work goes on. Standard output that has no
    room is told."""

    def write(self, data: object) -> int:
        try:
            return super().write(data) or 0  # type: ignore[arg-type]
        except OSError as wrong:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self.fileno())
            os.close(nowhere)
            if self.fileno() == _STDOUT and not isinstance(wrong, BrokenPipeError):
                raise CannotPrint(wrong.strerror or str(wrong)) from None
            return len(memoryview(data))  # type: ignore[arg-type]


def _ready(stream: TextIO | None) -> TextIO:
    """The stream in UTF-8; a half character in a name is no reason to stop. A closed one goes nowhere."""
    if stream is None:
        return io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="backslashreplace")
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    below = getattr(stream, "buffer", None)
    if os.name == "nt" or not isinstance(
        getattr(below, "raw", below), io.FileIO
    ):  # unbuffered, the file is right below
        return stream
    stream.flush()
    raw = io.BufferedWriter(_Pipe(stream.fileno(), "wb", closefd=False))
    return io.TextIOWrapper(raw, "utf-8", "backslashreplace", line_buffering=stream.isatty() or stream is sys.stderr)
