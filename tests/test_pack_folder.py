"""A folder of recipes packed at once: each as it would be alone, and one bad one stops no other."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit.cli import pack_folder

Run = Callable[..., CompletedProcess[str]]

DISH = """
    dish: Leeks {n}
    servings: 2
    cooked_weight: 300 g
    ingredients: {{leek: 300 g, butter: {{amount: 30 g, food: "butter, unsalted"}}}}
    steps:
      - {{id: soften, stage: cook, do: Soften the leek., add: {{butter: all, leek: all}}, vessel: wide pan, screen: 20 s}}
"""


@pytest.fixture
def folder(table: Table, tmp_path: Path) -> Path:
    (tmp_path / "recipes").mkdir()
    for n in range(3):
        table.write(f"recipes/leeks-{n}.yaml", DISH.format(n=n))
    return tmp_path / "recipes"


def files(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.usefixtures("folder")
def test_each_recipe_has_the_pack_that_it_has_alone(tmp_path: Path, run: Run) -> None:
    done = run("pack", "recipes", "-o", "packs")
    assert sorted(p.name for p in (tmp_path / "packs").iterdir()) == ["leeks-0", "leeks-1", "leeks-2"]
    for n in range(3):
        alone = run("pack", f"recipes/leeks-{n}.yaml", "-o", f"alone-{n}")
        assert alone.returncode == done.returncode
        assert files(tmp_path / "packs" / f"leeks-{n}") == files(tmp_path / f"alone-{n}")
    assert done.stdout.splitlines()[-1] == "3 of 3 packed into packs"


@pytest.mark.usefixtures("folder")
def test_one_bad_recipe_stops_no_other(table: Table, tmp_path: Path, run: Run) -> None:
    table.write("recipes/a-bad-one.yaml", "dish: Bad\nservings: -1\ningredients: {salt: 3 g}\n")
    table.write("recipes/pantry.yaml", "foods: {}\n")
    done = run("pack", "recipes", "-o", "packs")
    assert done.returncode == 1
    assert sorted(p.name for p in (tmp_path / "packs").iterdir()) == ["leeks-0", "leeks-1", "leeks-2"]
    assert "a-bad-one.yaml:2:11: error" in done.stderr
    assert done.stdout.splitlines()[0] == "a-bad-one.yaml  not packed: 1 error"
    assert done.stdout.splitlines()[-1] == "3 of 4 packed into packs"
    told = json.loads(run("pack", "recipes", "-o", "packs", "--json").stdout)
    assert [p["files"] > 0 for p in told["packs"]] == [False, True, True, True]
    assert [q["code"] for q in told["packs"][0]["problems"]] != []


@pytest.mark.usefixtures("folder")
def test_on_several_cores_the_packs_are_the_same(tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    run("pack", "recipes", "-o", "one")
    monkeypatch.setattr(pack_folder, "_WORTH_A_PROCESS", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    done = run("pack", "recipes", "-o", "several")
    assert files(tmp_path / "one") == files(tmp_path / "several")
    assert done.stdout.splitlines()[-1] == "3 of 3 packed into several"


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("before", [0, 2])
def test_a_worker_that_dies_is_told_with_what_was_written(
    before: int, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def packed(jobs: Sequence[pack_folder.Job]) -> Iterator[pack_folder.Packed]:
        yield from map(pack_folder._pack, jobs[:before])
        raise BrokenProcessPool("a child process terminated abruptly")

    monkeypatch.setattr(pack_folder, "_packed", packed)
    done = run("pack", "recipes", "-o", "packs")
    assert (done.returncode, done.stdout) == (2, "")
    assert "[worker-died]" in done.stderr and "Traceback" not in done.stderr
    names = [f"leeks-{n}.yaml" for n in range(before)]
    assert f"packed into packs before that{': ' + ', '.join(names) if names else ''} [" in done.stderr
    assert sorted(p.name for p in (tmp_path / "packs").glob("*")) == [Path(name).stem for name in names]
    monkeypatch.undo()
    monkeypatch.chdir(tmp_path)
    way_out = shlex.split(done.stderr.partition("alone: `scriptkit ")[2].partition("`")[0])
    assert run(*way_out).returncode in (0, 1) and (tmp_path / "packs" / f"leeks-{before}").is_dir()


@pytest.mark.usefixtures("folder")
def test_other_files_of_the_kitchen_are_left_out(table: Table, tmp_path: Path, run: Run) -> None:
    table.write("recipes/cut.yaml", "cut: Leeks 1\nsteps: {}\n")
    done = run("pack", "recipes", "-o", "packs")
    assert done.returncode == 0 or "warning" in done.stdout
    assert done.stdout.splitlines()[0] == "cut.yaml      skipped: neither a dish nor a meal"
    assert done.stdout.splitlines()[-1] == "3 of 3 packed into packs"
    assert not (tmp_path / "packs" / "cut").exists()


@pytest.mark.usefixtures("folder")
def test_quiet_says_nothing_where_nothing_is_wrong(run: Run) -> None:
    done = run("pack", "recipes", "-o", "packs", "--quiet")
    assert (done.stdout, done.stderr) == ("", "")


def test_a_folder_without_recipes(tmp_path: Path, run: Run) -> None:
    (tmp_path / "empty").mkdir()
    done = run("pack", "empty", "-o", "packs")
    assert done.returncode == 2
    assert "no recipe in this folder" in done.stderr
    assert not (tmp_path / "packs").exists()


def test_two_recipes_whose_names_differ_in_case_only(folder: Path, table: Table) -> None:
    table.write("recipes/LEEKS-0.yml", DISH.format(n=9))
    assert len({name.casefold() for _, name in pack_folder.recipes_in(str(folder))}) == 4
