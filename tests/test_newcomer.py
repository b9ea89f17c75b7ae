"""A newcomer with an empty folder: a checked first recipe in three commands, of which one at most is refused; and every command says the next."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

Run = Callable[..., "subprocess.CompletedProcess[str]"]


def test_three_commands_from_an_empty_folder_to_a_checked_recipe(run: Run, tmp_path: Path) -> None:
    """Who reads only what the program prints: the name of the file, what is marked in it, and the next command."""
    runs = [run("new", "Cod with leeks")]
    path = tmp_path / (re.search(r"wrote (\S+\.yaml)", runs[-1].stdout) or [""])[1]
    assert runs[-1].stderr == f"next: fill in {path.name}, then scriptkit check {path.name}\n"
    filled = path.read_text(encoding="utf-8")
    for guess, fact in [
        ("cod: {amount: 100 g, unsure: {amount: 0}}", "cod: 600 g"),
        ("leeks: {amount: 100 g, unsure: {amount: 0}}", "leeks: 400 g"),
        ("unsure: {servings: 0}        # a guess: correct it, then delete its `unsure:`\n", ""),
        ("Cook the cod and the leeks.", "Fry the cod on the leeks until just cooked through."),
        (", unsure: {do: 0}", ""),
    ]:
        assert filled.count(guess) == 1
        filled = filled.replace(guess, fact)
    path.write_text(filled, encoding="utf-8")
    runs.append(run(*_next(runs[-1].stderr)))
    assert runs[-1].returncode == 0, runs[-1].stderr
    assert runs[-1].stderr.splitlines()[-1] == "next: scriptkit pack cod-with-leeks.yaml -o pack"
    assert len(runs) <= 3 and sum(r.returncode == 2 for r in runs) <= 1
    packed = run(*_next(runs[-1].stderr))
    assert (tmp_path / "pack" / "index.html").is_file()
    assert packed.returncode == 0, packed.stderr
    assert packed.stderr.splitlines()[-1].startswith("next: film with pack/stage.html")


def _next(told: str) -> list[str]:
    return told.splitlines()[-1].rpartition("scriptkit ")[2].split()


def test_what_new_writes_is_listed_left_out_of_publishing_and_never_published(run: Run, tmp_path: Path) -> None:
    run("new", "Cod with leeks")
    checked = run("check", "cod-with-leeks.yaml")
    assert checked.returncode == 1
    for guess in (
        "servings are not confirmed",
        "cod is not confirmed",
        "leeks is not confirmed",
        "step “cook” is not confirmed",
    ):
        assert guess in checked.stderr
    assert checked.stderr.splitlines()[-1] == "next: scriptkit confirm cod-with-leeks.yaml"
    packed = run("pack", "cod-with-leeks.yaml", "-o", "pack")
    assert packed.returncode == 1
    assert (tmp_path / "pack" / "shoot-list.html").is_file() and not (tmp_path / "pack" / "publish.html").exists()
    assert "step “cook”" in (tmp_path / "pack" / "index.html").read_text(encoding="utf-8")
    refused = run("publish", "cod-with-leeks.yaml", "-o", "out")
    assert (refused.returncode, (tmp_path / "out").exists()) == (2, False)
    (tmp_path / "answers.json").write_text(
        '{"servings": 2, "step:cook": 1, "amount:cod": "300 g", "amount:leeks": "200 g"}', encoding="utf-8"
    )
    confirmed = run("confirm", "cod-with-leeks.yaml", "--answers", "answers.json")
    assert (confirmed.returncode, confirmed.stderr.splitlines()[-1]) == (
        0,
        "next: scriptkit pack cod-with-leeks.yaml -o pack",
    )
    assert "unsure: {" not in (tmp_path / "cod-with-leeks.yaml").read_text(encoding="utf-8")
    assert run("check", "cod-with-leeks.yaml").returncode == 0


def test_a_dish_without_a_name_is_refused(run: Run, tmp_path: Path) -> None:
    for name in ("", "  ", "\u200b"):
        done = run("new", name)
        assert (
            done.returncode,
            "the dish has no name" in done.stderr,
            'scriptkit new "Cod with leeks"' in done.stderr,
        ) == (2, True, True)
    assert list(tmp_path.iterdir()) == []


def test_what_must_be_corrected_comes_first(run: Run, tmp_path: Path) -> None:
    (tmp_path / "my leeks.yaml").write_text(
        "dish: Leeks\nservings: 2\ningredients: {leek: 300 g}\nstep: []\n", encoding="utf-8"
    )
    told = run("check", "my leeks.yaml").stderr
    assert told.splitlines()[-1] == "next: correct what is marked error, then scriptkit check 'my leeks.yaml'"
    assert "next:" not in run("check", "my leeks.yaml", "--json").stderr


def test_scriptkit_alone_says_what_is_next(run: Run) -> None:
    empty = run()
    assert (empty.returncode, "Usage: scriptkit" in empty.stdout) == (0, True)
    assert empty.stdout.rstrip().endswith('next: scriptkit new "Cod with leeks"')
    run("new", "Cod with leeks")
    assert run().stdout == "Cod with leeks (cod-with-leeks.yaml)\n  next: scriptkit confirm cod-with-leeks.yaml\n"


def test_the_beginning_of_a_file_s_name_is_understood(run: Run) -> None:
    run("new", "Cod with leeks")
    assert "fix: did you mean cod-with-leeks.yaml?" in run("check", "cod").stderr
