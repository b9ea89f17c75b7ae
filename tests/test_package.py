"""What is installed: the wheel's files, what it declares, its licences and its list of changes; and it works from a folder that
it does not write to, with nothing else at hand."""

from __future__ import annotations

import ast
import hashlib
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT, absent
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from scriptkit import __version__
from scriptkit.example_files import example_files, example_names

Run = Callable[..., subprocess.CompletedProcess[str]]

PACKAGE = ROOT / "scriptkit"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NAMES = {"yaml": "pyyaml", "imageio_ffmpeg": "imageio-ffmpeg", "otio_cmx3600_adapter": "otio-cmx3600-adapter"}
OPTIONAL = {"imageio-ffmpeg", "opentimelineio", "pocketsphinx", "waitress", "segno"}


# --- the wheel --------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    try:
        import hatchling  # noqa: F401
    except ImportError:
        absent("hatchling")
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (found,) = folder.glob("*.whl")
    return found


def test_the_wheel_holds_the_package_its_templates_and_examples_and_nothing_else(wheel: Path) -> None:
    assert wheel.stat().st_size < 1_970_000  # of which 40 kB are the typeface
    names = {n for n in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in n}
    ours = {p for p in PACKAGE.rglob("*") if p.is_file() and "__pycache__" not in p.parts}
    assert names == {
        *(p.relative_to(ROOT).as_posix() for p in ours),
        *(f"scriptkit/templates/{p.name}" for p in (ROOT / "templates").iterdir() if p.is_file()),
        *(f"scriptkit/examples/{p.name}" for p in EXAMPLES.iterdir() if p.is_file()),
    }
    assert {"scriptkit/py.typed", "scriptkit/LICENCES.md", "scriptkit/CHANGES.md"} <= names


def test_the_wheel_says_its_version_and_its_licences(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (name,) = (n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
    metadata = archive.read(name).decode("utf-8")
    assert f"\nVersion: {__version__}\n" in metadata
    assert "\nLicense-Expression: MIT AND etalab-2.0 AND Bitstream-Vera AND OFL-1.1\n" in metadata
    folder = name.rpartition("/")[0]
    assert archive.read(f"{folder}/licenses/LICENSE") == (ROOT / "LICENSE").read_bytes()
    assert archive.read(f"{folder}/licenses/scriptkit/LICENCES.md") == (PACKAGE / "LICENCES.md").read_bytes()


def digests(folder: Path) -> dict[str, str]:
    return {str(p): hashlib.sha256(p.read_bytes()).hexdigest() for p in folder.rglob("*") if p.is_file()}


def test_an_installed_wheel_makes_the_same_pack_in_an_empty_folder_and_changes_nothing_of_its_own(
    wheel: Path, tmp_path: Path, run: Run
) -> None:
    site, empty = tmp_path / "site", tmp_path / "empty"
    empty.mkdir()
    pip = ["pip", "install", "--no-deps", "--no-index", "--no-compile", "--quiet", "--target", str(site), str(wheel)]
    subprocess.run([sys.executable, "-m", *pip], check=True, capture_output=True)
    before = digests(site)
    env = {**os.environ, "PYTHONPATH": str(site), "PYTHONDONTWRITEBYTECODE": "1"}

    def installed(*arguments: str) -> str:
        done = subprocess.run(
            [sys.executable, *arguments], cwd=empty, env=env, capture_output=True, encoding="utf-8", check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    assert installed("-c", "import scriptkit; print(scriptkit.__file__)").startswith(str(site))
    assert installed("-m", "scriptkit", "--version") == f"scriptkit {__version__}\n"
    installed("-m", "scriptkit", "new", "--example", "harbour-supper")
    installed("-m", "scriptkit", "pack", "examples/harbour-supper.yaml", "-o", "pack")
    assert run("new", "--example", "harbour-supper").returncode == 0
    assert run("pack", "examples/harbour-supper.yaml", "-o", "pack").returncode == 0
    for folder in ("examples", "pack"):
        assert {p.name: p.read_bytes() for p in (empty / folder).rglob("*.*")} == {
            p.name: p.read_bytes() for p in (tmp_path / folder).rglob("*.*")
        }
    assert digests(site) == before


# --- what is declared -------------------------------------------------------------------------------------------------


def imported() -> set[str]:
    """The distributions that the package imports, wherever the import stands."""
    found = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.partition(".")[0])
    return {
        canonicalize_name(NAMES.get(m, m)) for m in found - set(sys.stdlib_module_names) - {"scriptkit", "_typeshed"}
    }


def declared(lines: list[str]) -> dict[str, Requirement]:
    return {canonicalize_name(r.name): r for r in map(Requirement, lines)}


def test_what_is_imported_is_declared_and_nothing_more() -> None:
    needed = declared(PROJECT["dependencies"])
    assert imported() - OPTIONAL == set(needed)
    extras = PROJECT["optional-dependencies"]
    of_users = declared([e for name in ("video", "otio", "voice", "serve") for e in extras[name]])
    assert set(of_users) - {"otio-cmx3600-adapter"} == OPTIONAL
    assert set(of_users) <= set(declared(extras["test"]))


def test_the_lowest_versions_that_are_tried_are_the_lowest_that_are_allowed() -> None:
    lines = (ROOT / ".ci" / "lowest.txt").read_text(encoding="utf-8").splitlines()
    pinned = declared([line for line in lines if line and not line.startswith("#")])
    allowed = declared([*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["test"]])
    assert set(pinned) == set(allowed)
    for name, requirement in allowed.items():
        (version,) = (s.version for s in pinned[name].specifier)
        assert requirement.specifier.contains(version), name
        assert f">={version}" in str(requirement.specifier), name


def test_no_hint_sends_to_an_extra_by_a_bare_name() -> None:
    """`pip install scriptkit[…]` outside a checkout would fetch whatever bears that name in an index."""
    for path in [ROOT / "README.md", *PACKAGE.rglob("*.md"), *PACKAGE.rglob("*.py")]:
        assert not re.search(r"pip install ['\"]?scriptkit", path.read_text(encoding="utf-8")), path


def test_every_table_that_the_licences_name_is_there_and_its_sources_are_known() -> None:
    text = (PACKAGE / "LICENCES.md").read_text(encoding="utf-8")
    tables = re.findall(r"`([\w/]+\.(?:csv|yaml|txt|woff))`", text)
    assert {"pantry/foods.csv", "captions/composing/advance_widths.csv", "fonts/regular.woff"} <= set(tables)
    assert [t for t in tables if not (PACKAGE / t).is_file()] == []
    rows = (PACKAGE / "pantry" / "foods.csv").read_text(encoding="utf-8")
    for source in set(re.findall(r",(sr28|ciqual2020),", rows)):
        assert f"`{source}`" in text


def test_the_list_of_changes_begins_with_this_version() -> None:
    versions = re.findall(r"^## (\S+)", (PACKAGE / "CHANGES.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert versions[0] == __version__
    assert versions == sorted(versions, key=lambda v: [int(n) for n in v.split(".")], reverse=True)


def test_every_path_that_ci_names_is_there() -> None:
    named = re.findall(r"(?<![\w/])(?:tests|\.ci)/[\w./]+", (ROOT / ".ci" / "run").read_text(encoding="utf-8"))
    assert {".ci/smoke", ".ci/lowest.txt"} < set(named)
    assert [path for path in named if not (ROOT / path).exists()] == []


# --- new --example ----------------------------------------------------------------------------------------------------


def test_the_examples_are_listed(run: Run) -> None:
    done = run("new", "--example", "list")
    assert (done.returncode, done.stderr) == (0, "")
    assert [line.split()[0] for line in done.stdout.splitlines()] == example_names()
    assert re.search(r"^harbour-supper +meal: Harbour supper$", done.stdout, re.MULTILINE)


@pytest.mark.parametrize("name", example_names())
def test_an_example_is_laid_out_with_all_that_it_names(name: str, run: Run, tmp_path: Path) -> None:
    done = run("new", "--example", name)
    assert (done.returncode, done.stderr) == (0, "")
    laid = sorted(p.name for p in (tmp_path / "examples").iterdir())
    assert done.stdout.splitlines() == [f"wrote {Path('examples', file)}" for file in laid]
    assert all((tmp_path / "examples" / file).read_bytes() == (EXAMPLES / file).read_bytes() for file in laid)
    assert run("check", f"examples/{name}.yaml").returncode == (1 if "faulty" in name else 0)


def test_a_meal_comes_with_its_dishes_their_parts_its_cut_and_its_log() -> None:
    assert [p.name for p in example_files("quay-dinner")] == [
        "fish-stock.yaml", "mussel-chowder.yaml", "pork-chops.yaml", "quay-dinner.yaml",
    ]  # fmt: skip
    assert {"harbour-supper-cut.srt", "harbour-supper-takes.csv", "seared-hake.yaml"} <= {
        p.name for p in example_files("harbour-supper")
    }


def test_all_of_them_are_what_the_house_has(run: Run, tmp_path: Path) -> None:
    assert run("new", "--example", "all", "-o", "mine").returncode == 0
    assert {p.name for p in (tmp_path / "mine").iterdir()} == {p.name for p in EXAMPLES.iterdir() if p.is_file()}


def test_no_file_is_replaced(run: Run, tmp_path: Path) -> None:
    assert run("new", "--example", "seared-hake").returncode == 0
    again = run("new", "--example", "harbour-supper")  # the hake is there and the same
    assert (again.returncode, again.stderr) == (0, "")
    assert f"there already: {Path('examples', 'seared-hake.yaml')}" in again.stdout
    mine = tmp_path / "examples" / "fish-stock.yaml"
    mine.write_text("mine", encoding="utf-8")
    (tmp_path / "examples" / "pork-chops.yaml").symlink_to("nowhere.yaml")
    before = {p.name for p in (tmp_path / "examples").iterdir()}
    done = run("new", "--example", "quay-dinner")
    assert (done.returncode, done.stdout) == (2, "")
    for file in ("fish-stock.yaml", "pork-chops.yaml"):
        assert f"{Path('examples', file)}:1:1: error" in done.stderr
    assert mine.read_text(encoding="utf-8") == "mine"
    assert {p.name for p in (tmp_path / "examples").iterdir()} == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--example", "harbour-super"], "write one of: harbour-supper, all"),
        (["--example", "../secret"], "there is no example “../secret”"),
        (["--example", "harbour-supper", "Cod"], "use --example alone"),
        (["--example", "harbour-supper", "--dish", "cod.yaml"], "use --example alone"),
        (["--example", "harbour-supper", "--from", "cod.txt"], "use --example alone"),
    ],
)
def test_what_cannot_be_laid_out_is_told(arguments: list[str], words: str, run: Run, tmp_path: Path) -> None:
    done = run("new", *arguments)
    assert (done.returncode, done.stdout, list(tmp_path.iterdir())) == (2, "", [])
    assert words in done.stderr
