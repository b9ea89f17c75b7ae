"""Whether a command holds with a file: done or told, never a traceback, never a hang, nothing written where it could not be done."""

from __future__ import annotations

import shutil
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from subprocess import CompletedProcess

from conftest import EXAMPLES
from kinds import FILES, WITH_PANTRY, commands

Run = Callable[..., CompletedProcess[str]]

HANG_S = 2


@contextmanager
def no_longer_than(seconds: int) -> Iterator[None]:
    """Stops what hangs, where the system can: seconds of the processor, for a busy machine is no defect."""

    def stop(*_: object) -> None:
        raise TimeoutError(f"longer than {seconds} s")

    if not hasattr(signal, "SIGPROF"):
        yield
        return
    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def held(kind: str, data: bytes, which: int, folder: Path, run: Run, seconds: int = HANG_S) -> str:
    """What went wrong with the file; empty where it was done or told."""
    name = FILES[kind]
    (folder / name).write_bytes(data)
    out = folder / "out"
    shutil.rmtree(out, ignore_errors=True)
    choice = commands(kind, name)
    arguments = choice[which % len(choice)]
    try:
        with no_longer_than(seconds):
            done = run(*arguments)
    except Exception as wrong:
        return f"{arguments[0]}: {type(wrong).__name__}: {wrong}"
    if done.returncode not in (0, 1, 2):
        return f"{arguments[0]}: exit {done.returncode}"
    if "Traceback" in done.stderr:
        return f"{arguments[0]}: a traceback"
    if done.returncode == 2 and not done.stderr.strip():
        return f"{arguments[0]}: exit 2 without a word"
    if done.returncode == 2 and out.exists() and any(out.iterdir()):
        return f"{arguments[0]}: exit 2, and a file was written"
    return ""


def set_out(folder: Path) -> Path:
    """The files that the commands look for beside the one in question."""
    for path in (*EXAMPLES.glob("*.yaml"), *EXAMPLES.glob("*.srt")):
        shutil.copy(path, folder)
    (folder / "with-pantry.yaml").write_bytes(WITH_PANTRY)
    return folder
