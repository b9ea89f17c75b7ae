"""Stopped by the person: nothing half-written, and it says so. And the line that tells how far a long work is."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT

from scriptkit.cli.pack_folder import interrupts_left_to_the_parent
from scriptkit.cli.printing import Progress


@pytest.fixture(autouse=True)
def _ctrl_c_is_heard() -> Iterator[None]:
    """A shell that starts the tests in the background has them ignore it, and what they start too."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


WORKS_ON = """
import concurrent.futures, multiprocessing, os, sys, time
from scriptkit.cli.pack_folder import begin_worker
if __name__ == "__main__":
    context = multiprocessing.get_context("spawn")
    pool = concurrent.futures.ProcessPoolExecutor(1, mp_context=context, initializer=begin_worker)
    print(pool.submit(os.getpid).result(), flush=True)
    time.sleep(600)
"""


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="looks for a process where Linux lists them")
def test_a_worker_ends_with_the_process_that_started_it_though_that_is_killed(tmp_path: Path) -> None:
    (tmp_path / "works.py").write_text(WORKS_ON, encoding="utf-8")
    begun = [sys.executable, str(tmp_path / "works.py")]
    with subprocess.Popen(begun, stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(ROOT)}) as parent:
        assert parent.stdout is not None
        worker = Path("/proc") / parent.stdout.readline().decode().strip()
        assert (worker / "stat").exists()
        parent.kill()
    until = time.monotonic() + 60
    while worker.exists() and (worker / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z":
        assert time.monotonic() < until, "it works on"
        time.sleep(0.02)


GATE = """
import os, sys, time
def gate(event, arguments):
    if event == "open" and str(arguments[0]).endswith("d40.yaml"):
        while not os.path.exists({go_on!r}):
            time.sleep(0.02)
sys.addaudithook(gate)
"""
"""In every process that is started: the 41st recipe is not read before the test says so, however fast the machine is."""


@pytest.mark.skipif(os.name == "nt", reason="sends a signal")
def test_a_folder_that_is_stopped_midway_has_whole_packs_only(tmp_path: Path) -> None:
    (tmp_path / "recipes").mkdir()
    text = (EXAMPLES / "seared-hake.yaml").read_text(encoding="utf-8")
    for n in range(60):
        (tmp_path / "recipes" / f"d{n:02d}.yaml").write_text(text.replace("Seared hake", f"Hake {n}"), encoding="utf-8")
    (tmp_path / "gate").mkdir()
    (tmp_path / "gate" / "sitecustomize.py").write_text(GATE.format(go_on=str(tmp_path / "go-on")), encoding="utf-8")
    path = os.pathsep.join([str(tmp_path / "gate"), str(ROOT)])
    process = subprocess.Popen(
        [sys.executable, "-m", "scriptkit", "pack", "recipes", "-o", "packs"],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": path}, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8", start_new_session=True,
    )  # fmt: skip
    while not list(tmp_path.glob("packs/*/report.txt")):
        assert process.poll() is None
        time.sleep(0.02)
    os.killpg(process.pid, signal.SIGINT)  # as Ctrl-C does, to every process of the terminal
    (tmp_path / "go-on").touch()
    out, err = process.communicate()
    assert (process.returncode, out) == (130, "")
    assert err == "stopped; nothing was left half-written\n"
    packs = list((tmp_path / "packs").iterdir())
    assert packs
    names = {
        frozenset(p.relative_to(pack).as_posix() for p in pack.rglob("*.*")) for pack in packs if any(pack.iterdir())
    }
    record = ".scriptkit-written.json"
    assert len(names) == 1 and not any(name.startswith(".") for some in names for name in some - {record})


@pytest.mark.skipif(os.name == "nt", reason="sends a signal")
def test_ctrl_c_while_processes_are_started_is_not_lost_and_not_theirs() -> None:
    ask = "import signal; print(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, []))"
    with pytest.raises(KeyboardInterrupt), interrupts_left_to_the_parent():
        signal.pthread_kill(threading.get_ident(), signal.SIGINT)  # not to a thread that a library has left behind
        child = subprocess.run([sys.executable, "-c", ask], capture_output=True, encoding="utf-8", check=True)
    assert child.stdout == "True\n"
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, [])


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("stream", "quiet", "waited", "shown"),
    [
        (Terminal(), False, 2.0, True),
        (Terminal(), False, 0.5, False),
        (Terminal(), True, 2.0, False),
        (io.StringIO(), False, 2.0, False),
    ],
    ids=["long", "short", "quiet", "no terminal"],
)
def test_how_far_it_is_stands_on_a_terminal_after_a_second(
    stream: io.StringIO, quiet: bool, waited: float, shown: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    clock = iter([0.0, waited])
    monkeypatch.setattr("scriptkit.cli.printing.time.monotonic", lambda: next(clock, waited))
    with Progress("packing", 3, quiet=quiet) as progress:
        progress.step("a[b]c.yaml")
    assert ("packing: 1 of 3, a[b]c.yaml" in stream.getvalue()) == shown
    assert bool(stream.getvalue()) == shown


def test_how_far_it_is_goes_on_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    clock = iter([0.0])
    monkeypatch.setattr("scriptkit.cli.printing.time.monotonic", lambda: next(clock, 2.0))
    with Progress("packing", 3) as progress:
        progress.step("one.yaml")
        line = progress.line
        progress.step("two.yaml")
        assert progress.line is line
    assert isinstance(sys.stderr, Terminal)
    assert "packing: 2 of 3, two.yaml" in sys.stderr.getvalue()
