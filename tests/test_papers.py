"""README.md, the pages that it links to and DEVELOPERS.md are true: their example files are read, their commands run, their pictures are there, and every
room has its place in the layout."""

from __future__ import annotations

import re
import shlex
import subprocess
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from layout import files, listed
from serving import serving

from scriptkit.cli import PAGES
from scriptkit.papers.files import FILES

Run = Callable[..., subprocess.CompletedProcess[str]]
DOCS = [f"scriptkit/docs/{name}.md" for name in ("before", "during", "after", "reference")]
FOR_COOKS = ["README.md", *DOCS]
PAPERS = {name: (ROOT / name).read_text(encoding="utf-8") for name in (*FOR_COOKS, "DEVELOPERS.md")}
MOST_WORDS = 1600
"""Of the README: what a newcomer reads before the first pack."""
LARGEST_PICTURE = 120_000


def files_of(name: str) -> dict[str, str]:
    """The example files of a paper: blocks whose first line names one, as in ```yaml pantry.yaml."""
    return dict(re.findall(r"^```\w+ (\S+)\n(.*?)^```$", PAPERS[name], re.DOTALL | re.MULTILINE))


def commands_of(name: str) -> list[str]:
    blocks = re.findall(r"^```sh\n(.*?)^```$", PAPERS[name], re.DOTALL | re.MULTILINE)
    lines = [re.split(r"\s+# ", line)[0].strip() for block in blocks for line in block.splitlines()]
    return [line for line in lines if line.startswith("scriptkit ")]


COMMANDS = list(dict.fromkeys(line for name in PAPERS for line in commands_of(name)))


def test_the_readme_is_short_and_leads_on() -> None:
    text = PAPERS["README.md"]
    assert len(text.split()) <= MOST_WORDS
    heads = re.findall(r"^## (.+)$", text, re.MULTILINE)
    assert heads == ["A first recipe", "A recipe that you have already", "Check", "Pack", "The day", "After", "More"]
    assert text.index("](examples/pictures/") < text.index("```sh")  # a picture, then the two commands
    assert files_of("README.md")["cod-on-leeks.yaml"].count("\n") == 10
    assert all(f"]({page})" in text for page in DOCS)
    assert sorted(p.name for p in (ROOT / "scriptkit" / "docs").iterdir()) == sorted(Path(page).name for page in DOCS)


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A folder with the examples and with every file that the papers show."""
    (tmp_path / "examples").symlink_to(EXAMPLES)
    for paper in PAPERS:
        for name, text in files_of(paper).items():
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_the_readme_names_every_file_of_a_pack_and_no_other() -> None:
    rows = re.search(r"^\| file of the pack .*?\n\n", PAPERS["scriptkit/docs/reference.md"], re.MULTILINE | re.DOTALL)
    assert rows
    named = [
        name for row in rows[0].strip().splitlines()[2:] for name in re.findall(r"`([\w./-]+\.\w+)`", row.split("|")[1])
    ]
    assert sorted(named) == sorted(FILES)


@pytest.mark.usefixtures("kitchen")
@pytest.mark.parametrize("line", COMMANDS)
def test_commands_of_the_papers_run(line: str, run: Run, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    words = shlex.split(line)[1:]
    if words[0] == "serve":  # until somebody stops it
        with serving(tmp_path, *words[1:]) as served:
            assert served.get("stage.html")
        return
    if words[0] == "preview":
        request.getfixturevalue("ffmpeg")
    done = run(*words)
    assert done.returncode == 0, done.stderr
    assert done.stdout or re.search("no problems|[0-9] notes?\\b|wrote ", done.stderr)


def test_the_readme_shows_every_command_and_every_kind_of_file() -> None:
    assert {line.split()[1] for name in FOR_COOKS for line in commands_of(name)} == set(PAGES)
    assert {file for name in FOR_COOKS for file in files_of(name)} == {
        "cod-on-leeks.yaml", "leeks-on-toast.yaml", "pantry.yaml", "quay-plate.yaml", "buttered-leeks.txt", "takes.csv", "talk.txt", "markers.csv",
        "cut.yaml", "quay-captions.yaml", "map.csv", "templates/pinned-comment.txt",
    }  # fmt: skip


def test_every_file_that_the_readme_shows_is_used() -> None:
    used = " ".join(line for name in FOR_COOKS for line in commands_of(name))
    beside = {
        "pantry.yaml",
        "markers.csv",
        "templates/pinned-comment.txt",
    }  # read with the dish, below, and with its folder
    assert [n for name in FOR_COOKS for n in files_of(name) if n not in used and n not in beside] == []


@pytest.mark.usefixtures("kitchen")
def test_markers_and_talk_of_the_readme_place_every_step(run: Run) -> None:
    for arguments in (("--cut", "markers.csv"), ("--cut", "cut.yaml"), ("--transcript", "talk.txt")):
        done = run("coverage", "leeks-on-toast.yaml", *arguments)
        told = [line for line in done.stderr.splitlines() if not line.startswith("next: ")]
        assert (done.returncode, told) == (0, ["Leeks on toast: no problems"])


def test_the_own_template_of_the_readme_is_taken(kitchen: Path, run: Run) -> None:
    assert run("publish", "leeks-on-toast.yaml", "--templates", "templates", "-o", "out").returncode == 0
    assert "WEIGHTS" not in (kitchen / "out" / "pinned-comment.txt").read_text(encoding="utf-8")


def test_the_own_pantry_of_the_readme_is_taken(kitchen: Path, run: Run) -> None:
    (kitchen / "pantry.yaml").unlink()
    assert "quay mustard" in run("check", "leeks-on-toast.yaml").stderr


def test_the_pictures_are_there_and_small() -> None:
    paths = [
        p
        for name in FOR_COOKS
        for p in re.findall(r"!\[.+?\]\((?:\.\./\.\./)?(examples/pictures/[\w-]+\.png)\)", PAPERS[name])
    ]
    shown = sorted(set(paths))
    assert sorted(shown) == sorted(f"examples/pictures/{p.name}" for p in (EXAMPLES / "pictures").iterdir())
    assert len(shown) == 7
    for path in shown:
        raw = (ROOT / path).read_bytes()
        assert raw.startswith(b"\x89PNG")
        assert len(raw) < LARGEST_PICTURE, path


@pytest.mark.parametrize("paper", PAPERS)
def test_every_link_leads_somewhere(paper: str) -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", PAPERS[paper]):
        assert ((ROOT / paper).parent / target).exists(), target
    anchors = {
        re.sub(r"[^\w -]", "", h.casefold()).replace(" ", "-")
        for h in re.findall(r"^#+ (.+)$", PAPERS[paper], re.MULTILINE)
    }
    assert set(re.findall(r"\]\(#([^)]+)\)", PAPERS[paper])) <= anchors


def test_every_room_has_its_place_in_the_layout() -> None:
    layout = PAPERS["DEVELOPERS.md"].split("```")[1]
    rooms = [p for p in (ROOT / "scriptkit").rglob("*") if (p / "__init__.py").is_file()]
    assert len(rooms) > 20
    assert [room.name for room in rooms if not re.search(rf"^ +{room.name}/ ", layout, re.MULTILINE)] == []


def test_the_first_line_of_each_file_says_what_no_other_file_is() -> None:
    told = files()
    assert len(told) > 500
    assert {name for name, line in told.items() if not line.strip()} == set()
    assert [line for line, count in Counter(told.values()).items() if count > 1] == []
    assert [name for name, line in told.items() if line.startswith("read by :")] == []
    assert listed("publish/")[0].startswith("publish/chapter_names.py  Short names for chapters")
    assert [line.split()[0] for line in listed("chapter")][:2] == ["publish/chapter_names.py", "publish/chapters.py"]


def test_every_path_and_module_that_the_developers_are_sent_to_is_there() -> None:
    text = PAPERS["DEVELOPERS.md"]
    modules = re.findall(r"python3? -m (tests[\w.]+|scriptkit[\w.]+)", text)
    assert modules
    for module in modules:
        path = ROOT / module.replace(".", "/")
        assert path.with_suffix(".py").is_file() or (path / "__main__.py").is_file(), module
    for path in re.findall(r"`((?:tests|templates|scriptkit|examples)/[\w./-]+)`", text):
        assert (ROOT / path).exists(), path
    names = {p.name for p in ROOT.rglob("*") if ".git" not in p.parts and ".venv" not in p.parts}
    for path in re.findall(r"`((?:[a-z_]+/)?[\w-]+\.(?:py|csv|yaml|html|js))`", text):
        assert Path(path).name in names, path
