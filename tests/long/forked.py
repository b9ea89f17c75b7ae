"""A command in a copy of this process, which has read the tables already: a tenth of the time of a new one, and it can hang or die alone."""

from __future__ import annotations

import io
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NoReturn

from conftest import EXAMPLES

from scriptkit.cli import main
from scriptkit.pack import make_pack
from scriptkit.production import read


@dataclass(frozen=True, slots=True)
class Left:
    """What a command ended with: its code, below zero where it did not end by itself, and what it said on standard error."""

    code: int
    errors: str


@cache
def read_the_tables() -> None:
    """Once, of an example, whose place no command is given."""
    make_pack(read(str(EXAMPLES / "harbour-supper.yaml")))


def forked(
    words: list[str], folder: Path, seconds: float, *, terminal: int | None = None, again: Callable[[], object] = int
) -> Left:
    """The command in the folder, its standard input empty or the terminal; what is done ``again`` every second until it ends."""
    read_the_tables()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err, Path(os.devnull).open("rb") as nothing:
        sys.stdout.flush()
        sys.stderr.flush()
        child = os.fork()
        if child == 0:
            _be(words, folder, nothing.fileno() if terminal is None else terminal, out.fileno(), err.fileno())
        code = _ended(child, seconds, again)
        err.seek(0)
        return Left(code, err.read().decode("utf-8", "replace"))


def _be(words: list[str], folder: Path, *streams: int) -> NoReturn:
    code = 70
    try:
        for theirs, ours in enumerate(streams):
            os.dup2(ours, theirs)
        os.chdir(folder)
        sys.argv = ["scriptkit", *words]
        sys.stdin, sys.stdout, sys.stderr = (
            io.TextIOWrapper(io.FileIO(n, "wb" if n else "rb", closefd=False), encoding="utf-8", write_through=n > 0)
            for n in range(3)
        )
        main()
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else 0
    except BaseException:
        import traceback

        os.write(2, traceback.format_exc().encode("utf-8", "replace"))
    finally:
        os._exit(code)


def _ended(child: int, seconds: float, again: Callable[[], object]) -> int:
    """``seconds`` of the processor, so that a busy machine is no hang; what uses none hangs after three times as many by the clock."""
    began = time.monotonic()
    asked = 0
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        waited = time.monotonic() - began
        if waited > seconds and (waited > 3 * seconds or _worked_s(child) > seconds):
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return -signal.SIGALRM
        if waited > asked + 1:
            asked += 1
            again()
        time.sleep(0.01)


def _worked_s(process: int) -> float:
    """Seconds of the processor that it and its ended children have used; as many as can be where the system does not tell."""
    try:
        fields = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    except OSError:
        return float("inf")
    return sum(map(int, fields[11:15])) / os.sysconf("SC_CLK_TCK")
