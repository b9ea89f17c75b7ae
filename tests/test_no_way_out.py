"""No command opens a connection, starts another program unasked, or writes outside the folder it was given."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from conftest import EXAMPLES

SUPPER, BISQUE = str(EXAMPLES / "harbour-supper.yaml"), str(EXAMPLES / "fennel-bisque.yaml")
LOG, CUT = str(EXAMPLES / "harbour-supper-takes.csv"), str(EXAMPLES / "harbour-supper-cut.srt")

Run = Callable[..., subprocess.CompletedProcess[str]]

WATCHED = """
import os, sys
def watch(event, arguments):
    if event.startswith(("socket.", "urllib.", "http.", "ftplib.", "smtplib.", "subprocess.", "os.system", "os.exec", "webbrowser.")):
        sys.stderr.write(f"REFUSED {{event}} {{arguments}}\\n"); sys.stderr.flush(); os._exit(99)
sys.addaudithook(watch)
from scriptkit import cli
for arguments in {commands}:
    sys.argv = ["scriptkit", *arguments]
    try:
        cli.main()
    except SystemExit as left:
        if left.code not in (0, 1):
            sys.exit(f"{{arguments}} left with {{left.code}}")
"""

COMMANDS = [
    ("--help",),
    ("pack", SUPPER, "-o", "pack"),
    ("shoot", SUPPER, "-o", "shoot"),
    ("check", SUPPER),
    ("macros", SUPPER, "--json"),
    ("portion", SUPPER, "--at-most", "net_carbs_g=10"),
    ("pair", BISQUE, "--with", str(EXAMPLES), "--at-most", "net_carbs_g=20"),
    ("schedule", SUPPER),
    ("captions", SUPPER, "-o", "overlays.vtt"),
    ("paper-edit", SUPPER, "--log", LOG, "-o", "edit"),
    ("proof", CUT, "--recipe", SUPPER),
    ("conform", CUT, "--offset", "1.5", "-o", "moved.srt"),
    ("coverage", SUPPER, "--transcript", CUT, "--log", LOG, "-o", "coverage"),
    ("publish", SUPPER, "--cut", CUT, "-o", "publish"),
    ("pack", SUPPER, "--cut", CUT, "--log", LOG, "-o", "whole"),
    ("food", "butter"),
    ("new", "Cod with leeks"),
    ("schema", "dish"),
]


def test_no_command_opens_a_connection_or_starts_a_program(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WATCHED.format(commands=COMMANDS)],
        cwd=tmp_path, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert {"pack", "shoot", "overlays.vtt", "publish", "coverage"} <= {p.name for p in tmp_path.iterdir()}


def test_the_watch_would_see_a_connection() -> None:
    code = (
        WATCHED.split("from scriptkit", maxsplit=1)[0].replace("{{", "{").replace("}}", "}")
        + "import socket; socket.socket()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=False)
    assert (done.returncode, "REFUSED socket" in done.stderr) == (99, True)


def test_a_dish_named_like_a_path_writes_only_into_its_folder(tmp_path: Path, run: Run) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    for n, name in enumerate(
        ["../../outside", "/etc/outside", "CON", "x" * 300, "🐟🔥", "\u202egnol", "a\\\\b", "nul.yaml"]
    ):
        text = f'dish: "{name[:119]}"\nservings: 2\ningredients: {{leek: 300 g}}\nsteps: [{{id: "../{n}", stage: cook, do: Boil it., add: {{leek: all}}}}]\n'
        (inside / f"d{n}.yaml").write_text(text, encoding="utf-8")
        assert run("pack", f"inside/d{n}.yaml", "-o", f"inside/pack{n}").returncode in (0, 1)
    assert [p.name for p in tmp_path.iterdir()] == ["inside"]
    names = {frozenset(p.name for p in folder.iterdir()) for folder in inside.iterdir() if folder.is_dir()}
    assert len(names) == 1  # the names of a pack's files come from nobody's recipe


def test_an_output_of_an_odd_name_is_written_there_or_told(tmp_path: Path, run: Run) -> None:
    names = ["🐟.vtt", "\u202egnol.vtt", "CON.vtt", "a b .vtt", "a\nb.vtt", "-x.vtt", "x" * 300 + ".vtt", "é" * 127 + ".vtt", "a.vtt ", "a.vtt.", ".vtt", ""]  # fmt: skip
    for name in names:
        before = sorted(p.name for p in tmp_path.iterdir())
        done = run("captions", BISQUE, f"--output={name}")
        assert "Traceback" not in done.stderr
        assert all(c.isprintable() or c == "\n" for c in done.stderr.replace(name, "")), name
        new = sorted({p.name for p in tmp_path.iterdir()} - set(before))
        assert (done.returncode, new) in ((0, [name]), (1, [name]), (2, [])), name
        assert done.returncode == 2 or (tmp_path / name).read_text(encoding="utf-8").startswith("WEBVTT")
