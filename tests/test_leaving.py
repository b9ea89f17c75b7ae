"""However a run ends, it ends with a word and an exit code of ours: a fault, a signal, a pipe, no time, no memory."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT, Table
from messages import kinds

from scriptkit.cli import check, main
from scriptkit.cli.budgets import budget_of
from scriptkit.cli.exit_codes import NOT_READ_ON, leave_with
from scriptkit.cli.fault_report import report_of
from scriptkit.input_bytes import first_bytes

FORKS = pytest.mark.skipif(not hasattr(os, "fork"), reason="no processes that are copied")
HAKE = EXAMPLES / "seared-hake.yaml"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def scriptkit(*arguments: str, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "scriptkit", *arguments],
        cwd=cwd, env=ENVIRONMENT | environment, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip


def supervised(work: str, cwd: Path, before: str = "pass", **environment: str) -> subprocess.CompletedProcess[str]:
    """Run these lines as if they were a command that reads soup.yaml."""
    code = f"""
import os, signal, sys
from scriptkit import file_in_hand
from scriptkit.cli.exit_codes import NOT_READ_ON, leave_with
from scriptkit.cli.supervisor import supervised
{before}
def work():
    file_in_hand.take("soup.yaml")
    {work}
supervised(lambda: leave_with(work))
"""
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=cwd, env=ENVIRONMENT | environment, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip


# --- a fault of ours --------------------------------------------------------------------------------------------------


def test_a_fault_of_ours_ends_with_2_a_place_and_no_traceback(capsys: pytest.CaptureFixture[str]) -> None:
    def faulty() -> None:
        {}["leeks of a person"]

    with pytest.raises(SystemExit) as left:
        leave_with(faulty)
    told = capsys.readouterr().err
    assert left.value.code == 2
    assert kinds(told) == ["error broke"] and "KeyError" in told and "SCRIPTKIT_REPORT=report.txt" in told
    assert "Traceback" not in told and "leeks of a person" not in told


def test_the_report_holds_versions_and_places_and_none_of_the_persons_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def faulty() -> None:
        from scriptkit.measure.durations import format_duration

        format_duration("Granny's secret" / 2)  # type: ignore[operator]

    report = tmp_path / "report.txt"
    monkeypatch.setenv("SCRIPTKIT_REPORT", str(report))
    monkeypatch.setattr(
        sys, "argv", ["scriptkit", "pack", "/home/granny/secret.yaml", "--templates=/home/granny", "-o", "x"]
    )
    with pytest.raises(SystemExit):
        leave_with(faulty)
    text = report.read_text(encoding="utf-8")
    assert "command: pack --templates -o\n" in text and "pydantic" in text and "TypeError" in text
    assert "test_leaving.py" in text
    assert "ranny" not in text and "secret" not in text and str(Path.home()) not in text
    assert "send" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        leave_with(faulty)
    assert report.read_text(encoding="utf-8") == text, "a report is never written over"


def test_every_frame_of_the_report_is_named_from_the_package_on() -> None:
    try:
        Table(Path("/nowhere")).read("dish: x")
    except OSError as wrong:
        text = report_of(wrong)
    assert all(not line.strip().startswith("/") for line in text.splitlines())


# --- ended by the system ----------------------------------------------------------------------------------------------


@FORKS
@pytest.mark.parametrize("name", ["SIGSEGV", "SIGABRT", "SIGBUS", "SIGKILL"])
def test_a_process_that_dies_is_told_with_the_file_that_it_read(name: str, tmp_path: Path) -> None:
    done = supervised(f"os.kill(os.getpid(), signal.{name})", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("soup.yaml:") and "fix:" in done.stderr
    assert name in done.stderr or name == "SIGKILL"


@FORKS
@pytest.mark.parametrize(
    "work",
    ["while True: pass", "import re; re.match(r'(a+)+$', 'a' * 60 + 'b')"],
    ids=["a loop of Python", "a loop inside a library"],
)
def test_work_without_end_is_ended_and_told_with_the_limit_to_raise(work: str, tmp_path: Path) -> None:
    done = supervised(work, tmp_path, SCRIPTKIT_SECONDS="1")
    assert (done.returncode, kinds(done.stderr)) == (2, ["error too-long"])
    assert done.stderr.startswith("soup.yaml:") and "SCRIPTKIT_SECONDS=10" in done.stderr


@FORKS
@pytest.mark.skipif(sys.platform == "darwin", reason="the system counts memory otherwise")
def test_memory_without_end_is_refused_and_told_with_the_limit_to_raise(tmp_path: Path) -> None:
    done = supervised("bytearray(10**10)", tmp_path, SCRIPTKIT_MEGABYTES="2000")
    assert (done.returncode, kinds(done.stderr)) == (2, ["error too-much-memory"])
    assert done.stderr.startswith("soup.yaml:") and "SCRIPTKIT_MEGABYTES=4000" in done.stderr


@FORKS
def test_a_template_that_never_ends_is_ended(tmp_path: Path) -> None:
    """One filter that the sandbox lets through, and that no loop of Python interrupts."""
    (tmp_path / "own").mkdir()
    text = "{% set r = range(100000)|list %}{{ r|select('in', r)|list|length }}"
    (tmp_path / "own" / "pinned-comment.txt").write_text(text, encoding="utf-8")
    done = scriptkit("publish", str(HAKE), "--templates", "own", "-o", "out", cwd=tmp_path, SCRIPTKIT_SECONDS="2")
    assert (done.returncode, kinds(done.stderr)[-1:]) == (2, ["error too-long"])
    assert not (tmp_path / "out").exists() or not any((tmp_path / "out").iterdir())


def test_what_no_count_says_is_no_budget() -> None:
    for wrong in ("", "0", "-3", "many", "²", "9" * 40):
        assert budget_of("pack", {"SCRIPTKIT_SECONDS": wrong, "SCRIPTKIT_MEGABYTES": wrong}) == budget_of("pack", {})


# --- signals ----------------------------------------------------------------------------------------------------------


@FORKS
@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
def test_a_wish_that_it_ends_is_heard_once_and_told(name: str, tmp_path: Path) -> None:
    number = getattr(signal, name)
    usual = "signal.default_int_handler" if name == "SIGINT" else "signal.SIG_DFL"  # a shell may have it ignored
    # sent to the parent, as `kill` does; slept in pieces, for a signal between two lines of Python does not end a pause
    work = f"os.kill(os.getppid(), {number:d}); [__import__('time').sleep(0.02) for _ in range(50_000)]"
    done = supervised(work, tmp_path, before=f"signal.signal({number:d}, {usual})")
    assert (done.returncode, done.stderr) == (128 + number, "stopped; nothing was left half-written\n")


@pytest.mark.skipif(sys.platform != "linux", reason="asks /proc")
def test_a_supervisor_that_is_killed_takes_the_command_with_it(tmp_path: Path) -> None:
    code = """
import os, time
from scriptkit.cli.exit_codes import NOT_READ_ON, leave_with
from scriptkit.cli.supervisor import supervised
def work():
    print(os.getpid(), flush=True)
    while True:
        time.sleep(60)
supervised(lambda: leave_with(work))
"""
    process = subprocess.Popen([sys.executable, "-c", code], cwd=tmp_path, env=ENVIRONMENT, stdout=subprocess.PIPE)
    assert process.stdout is not None
    child = int(process.stdout.readline())
    process.kill()
    process.wait()
    process.stdout.close()
    while _runs(child):  # as long as it takes; it would be a minute's sleep otherwise, again and again
        time.sleep(0.01)


def _runs(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


# --- streams ----------------------------------------------------------------------------------------------------------


@pytest.mark.skipif(os.name == "nt", reason="pipes are other there")
@pytest.mark.parametrize("arguments", [["macros", str(HAKE)], ["check", "bad.yaml"], ["--help"]])
def test_a_reader_that_goes_away_changes_no_exit_code(arguments: list[str], tmp_path: Path) -> None:
    bad = HAKE.read_text(encoding="utf-8").replace("servings:", "servngs: 2\nservings:", 1)
    (tmp_path / "bad.yaml").write_text(bad, encoding="utf-8")
    read_end, write_end = os.pipe()
    os.close(read_end)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "scriptkit", *arguments],
            cwd=tmp_path, env=ENVIRONMENT, stdout=write_end, stderr=subprocess.PIPE, encoding="utf-8", check=False,
        )  # fmt: skip
    finally:
        os.close(write_end)
    whole = scriptkit(*arguments, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (whole.returncode, whole.stderr)
    assert "Traceback" not in done.stderr and "Exception" not in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="a shell closes them")
@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_streams_are_no_fault(closed: str, tmp_path: Path) -> None:
    order = f'"{sys.executable}" -m scriptkit macros "{HAKE}" {closed}'
    done = subprocess.run(["sh", "-c", order], cwd=tmp_path, env=ENVIRONMENT, capture_output=True, check=False)
    whole = scriptkit("macros", str(HAKE), cwd=tmp_path)
    assert done.returncode == whole.returncode
    assert done.stdout.decode("utf-8") == ("" if ">&-" in closed.replace("2>&-", "") else whole.stdout)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device without room")
@pytest.mark.parametrize("arguments", [("food", "butter"), ("schema",), ("check", str(HAKE)), ("--help",)])
def test_output_that_has_no_room_is_told_and_is_no_success(arguments: tuple[str, ...], tmp_path: Path) -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "scriptkit", *arguments],
            cwd=tmp_path, env=ENVIRONMENT, stdout=full, stderr=subprocess.PIPE, encoding="utf-8", check=False,
        )  # fmt: skip
    silent = not scriptkit(*arguments, cwd=tmp_path).stdout
    assert (done.returncode, "cannot-print" in done.stderr) == ((0, False) if silent else (2, True))
    assert "Traceback" not in done.stderr and "fault" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device without room")
def test_messages_that_have_no_room_change_no_code(tmp_path: Path) -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "scriptkit", "macros", "no-such.yaml"],
            cwd=tmp_path, env=ENVIRONMENT, stdout=subprocess.PIPE, stderr=full, encoding="utf-8", check=False,
        )  # fmt: skip
    assert (done.returncode, done.stdout) == (2, "")


# --- files that are never half there ----------------------------------------------------------------------------------


@FORKS
def test_a_new_recipe_on_a_full_disk_leaves_nothing(tmp_path: Path) -> None:
    order = f'ulimit -f 1; "{sys.executable}" -B -m scriptkit new Foo -o foo.yaml'
    done = subprocess.run(
        ["bash", "-c", order], cwd=tmp_path, env=ENVIRONMENT, capture_output=True, encoding="utf-8", check=False
    )
    assert (done.returncode, kinds(done.stderr)) == (2, ["error cannot-write"])
    assert list(tmp_path.iterdir()) == []


def test_a_recipe_named_by_dots_alone_is_packed_inside_the_folder(tmp_path: Path) -> None:
    (tmp_path / "dishes").mkdir()
    (tmp_path / "dishes" / "...yaml").write_text(HAKE.read_text(encoding="utf-8"), encoding="utf-8")
    scriptkit("pack", "dishes", "-o", "packs/today", cwd=tmp_path)
    assert [p.name for p in (tmp_path / "packs").iterdir()] == ["today"]
    assert [p.name for p in (tmp_path / "packs" / "today").iterdir()] == ["...yaml"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names")
def test_a_pipe_among_the_dishes_is_no_dish(tmp_path: Path) -> None:
    (tmp_path / "with").mkdir()
    os.mkfifo(tmp_path / "with" / "pipe.yaml")
    done = scriptkit("pair", str(HAKE), "--with", "with", "--at-most", "net_carbs_g=20", cwd=tmp_path)
    assert done.returncode == 1 and "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("text", "more"), [("dish: Leeks\n promise: x\nservins: 2\n", True), ("dish: Leeks\nservins: 2\n", False)]
)
def test_after_a_slip_of_yaml_it_is_said_that_more_may_follow(
    text: str, more: bool, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    path = table.write("soup.yaml", text)
    with pytest.raises(SystemExit) as left:
        leave_with(lambda: check.run(path))
    told = capsys.readouterr().err
    assert (left.value.code == 2) is more and "error: " in told
    assert told.rstrip().endswith(NOT_READ_ON) is more and (NOT_READ_ON in told) is more


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names")
def test_a_pipe_that_nobody_writes_into_is_told(
    tmp_path: Path, run: Callable[..., subprocess.CompletedProcess[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("scriptkit.input_bytes._NOBODY_WRITES_S", 0.0)
    for name in ("pipe.yaml", "pipe.srt"):
        os.mkfifo(tmp_path / name)
    for command in (
        ("check", "pipe.yaml"),
        ("proof", "pipe.srt"),
        ("coverage", str(HAKE), "--log", "pipe.srt"),
        ("new", "--from", "pipe.yaml", "-o", "draft.yaml"),
    ):
        done = run(*command)
        assert done.returncode == 2 and "it is a pipe, and nobody writes into it" in done.stderr, command
    assert sorted(p.name for p in tmp_path.iterdir()) == ["pipe.srt", "pipe.yaml"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names")
def test_a_pipe_that_somebody_writes_into_is_read_to_its_end(tmp_path: Path) -> None:
    pipe, text = tmp_path / "pipe.yaml", HAKE.read_bytes() * 40
    os.mkfifo(pipe)
    writer = threading.Thread(target=pipe.write_bytes, args=[text])
    writer.start()
    assert first_bytes(pipe, len(text) + 1) == text
    writer.join()


@pytest.mark.parametrize("command", [("confirm", str(HAKE)), ("check", "-")])
def test_closed_standard_input_is_told(
    command: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "argv", ["scriptkit", *command])
    monkeypatch.setattr(sys, "stdin", None)
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as left:
        main()
    told = capsys.readouterr().err
    assert left.value.code == 2
    assert ("there is no terminal to ask in" in told) or ("standard input is closed" in told)
