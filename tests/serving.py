"""A `scriptkit serve` that a test starts, asks and stops."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass
class Served:
    """``link`` is what the terminal says, with the key of the run."""

    link: str
    process: subprocess.Popen[str]

    def get(self, name: str) -> str:
        """A paper, as a device gets it."""
        with urllib.request.urlopen(self.link + name, timeout=60) as answer:
            return str(answer.read().decode("utf-8"))


@contextmanager
def serving(folder: Path, *arguments: str) -> Iterator[Served]:
    """The command on this machine alone, ended as by Ctrl-C."""
    command = [sys.executable, "-m", "scriptkit", "serve", *arguments, "--address", "127.0.0.1"]
    pipes: dict[str, Any] = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "encoding": "utf-8"}
    if sys.platform != "win32":  # a suite that was started in the background has Ctrl-C ignored, and hands that down
        pipes["preexec_fn"] = lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)
    with subprocess.Popen(command, cwd=folder, **pipes) as process:
        assert process.stdout and process.stderr
        for line in process.stdout:
            if found := re.search(r"open (http://\S+)", line):
                try:
                    yield Served(found[1], process)
                finally:
                    process.send_signal(signal.SIGINT)
                    process.wait(60)
                assert process.returncode == 0, process.stderr.read()
                return
        raise AssertionError(process.stderr.read())
