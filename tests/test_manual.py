"""`--help` of every command tells what it reads and writes and what its exit codes mean, and its examples run; and a shell
completes commands, options and values."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import typer
from conftest import ROOT
from serving import serving

from scriptkit import __version__, cli
from scriptkit.cli import app
from scriptkit.cli.command import LAY_OUT, PAGES, PHASES

Run = Callable[..., subprocess.CompletedProcess[str]]
COMMANDS = sorted(PAGES)


def test_every_command_has_a_page() -> None:
    assert sorted(typer.main.get_command(app).commands) == COMMANDS  # type: ignore[attr-defined]


def test_commands_are_listed_by_what_the_cook_is_at(run: Run) -> None:
    listed = run("--help").stdout
    heads = re.findall(r"^(\w+ the shoot):$", listed, re.MULTILINE)
    assert heads == ["Before the shoot", "During the shoot", "After the shoot"] == list(PHASES)
    assert sorted(name for names in PHASES.values() for name in names) == sorted(PAGES)
    under = re.split(r"^\w+ the shoot:$", listed, flags=re.MULTILINE)[1:]
    assert [re.findall(r"^  ([a-z-]+) {2,}", part, re.MULTILINE) for part in under] == [
        list(n) for n in PHASES.values()
    ]


def test_the_list_of_commands_is_whole(run: Run) -> None:
    listed = run("--help").stdout
    for name, page in PAGES.items():
        assert re.search(rf"^  {name} +{re.escape(page.short)}$", listed, re.MULTILINE), name


@pytest.mark.parametrize("name", COMMANDS)
def test_the_help_of_a_command(run: Run, name: str) -> None:
    done = run(name, "--help")
    assert done.returncode == 0
    for part in ("Usage: scriptkit", "  Reads: ", "  Writes: ", "  Exit codes: 0 ", *PAGES[name].examples):
        assert part in done.stdout, part
    options = re.findall(r"^  (-[^\s,]+(?:, --\S+)?)(.*(?:\n {4,}.*)*)", done.stdout, re.MULTILINE)
    assert options
    for option, said in options:
        assert re.search(r"[a-z]{2,}.*[.\])]", said, re.DOTALL), f"{option} is not explained"
    assert all(len(line) <= 80 for line in done.stdout.splitlines() if "scriptkit " not in line)


EXAMPLE_LINES = [(name, line) for name in COMMANDS for line in PAGES[name].examples]


@pytest.mark.parametrize(("name", "line"), EXAMPLE_LINES, ids=[line for _, line in EXAMPLE_LINES])
def test_the_examples_of_the_help_run(
    run: Run, tmp_path: Path, name: str, line: str, request: pytest.FixtureRequest
) -> None:
    if name == "preview":
        request.getfixturevalue("ffmpeg")
    words = shlex.split(line)
    assert words[:2] == ["scriptkit", name]
    if "examples" in line:  # in an empty folder, after the one line that the help sends to
        assert LAY_OUT in run(name, "--help").stdout
        assert run(*shlex.split(LAY_OUT)[1:]).returncode == 0
    if name == "serve":  # until somebody stops it
        with serving(tmp_path, *words[2:]) as served:
            assert served.get("stage.html")
        return
    done = run(*words[1:])
    assert done.returncode == (1 if "faulty" in line else 0), done.stderr
    if "-o" in words:
        made = tmp_path / words[words.index("-o") + 1]
        assert made.stat().st_size if made.is_file() else list(made.iterdir())


# --- completion -------------------------------------------------------------------------------------------------------


def completed(typed: str, *, shell: str = "bash") -> list[str]:
    """What the shell offers after these words."""
    count = str(len(typed.split(" ")) - 1)
    asked = {"bash": {"COMP_WORDS": typed, "COMP_CWORD": count}, "zsh": {"_TYPER_COMPLETE_ARGS": typed}}[shell]
    done = subprocess.run(
        [sys.executable, "-c", "from scriptkit.cli import main; import sys; sys.argv[0] = 'scriptkit'; main()"],
        env={**os.environ, **asked, "_SCRIPTKIT_COMPLETE": f"complete_{shell}"},
        capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("scriptkit pa", ["pair", "pack", "paper-edit"]),
        ("scriptkit proof --pro", ["--profile"]),
        ("scriptkit proof --profile e", ["education"]),
        ("scriptkit captions --fps 29", ["29.97", "29.97", "drop"]),
        ("scriptkit schema ", ["dish", "meal", "pantry"]),
        ("scriptkit macros --basis ", ["us", "eu"]),
    ],
)
def test_a_shell_completes(typed: str, offered: list[str]) -> None:
    assert completed(typed) == offered


def test_zsh_completes_with_what_a_command_is_for() -> None:
    assert "proof any caption file" in " ".join(completed("scriptkit proo", shell="zsh"))


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_the_completion_of_a_shell_is_shown(run: Run, shell: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION", "1")
    monkeypatch.setattr(cli, "_built", cli._built.__wrapped__)  # the shell is asked for when the commands are made
    done = run("--show-completion", shell)
    assert (done.returncode, done.stderr) == (0, "")
    assert "_SCRIPTKIT_COMPLETE" in done.stdout


def test_completion_is_installed_in_the_home_of_who_asks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run: Run
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION", "1")
    monkeypatch.setattr(cli, "_built", cli._built.__wrapped__)  # the shell is asked for when the commands are made
    done = run("--install-completion", "bash")
    assert done.returncode == 0, done.stderr
    assert "scriptkit" in (tmp_path / ".bashrc").read_text(encoding="utf-8")
    assert "complete" in next((tmp_path / ".bash_completions").iterdir()).read_text(encoding="utf-8")


def test_the_examples_are_of_this_house() -> None:
    for _, line in EXAMPLE_LINES:
        for path in re.findall(r"examples/[\w./-]+", line):
            assert (ROOT / path).is_file(), path


def test_the_version_is_told(run: Run) -> None:
    done = run("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"scriptkit {__version__}\n", "")
