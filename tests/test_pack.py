"""A whole pack: which files, always the same ones.

The golden files under tests/golden are read by people: look at what changed before renewing them with
``python tests/test_pack.py``.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, ROOT, Table

from scriptkit.pack import make_pack
from scriptkit.papers.files import PackPart, files_of
from scriptkit.problems import CannotDo
from scriptkit.production import Production, read
from scriptkit.recipe.reader import read_source
from scriptkit.written_files import RECORD

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))
FAULTY = sorted(EXAMPLES.glob("faulty*.yaml"))
FILES = sorted(files_of(PackPart.SHOOT, PackPart.PACK, PackPart.PUBLISH))
GOLDEN = ROOT / "tests" / "golden"
GOLDEN_FILES = ("files/chapters.vtt", "description.txt", "files/overlays.srt", "script.txt", "files/shoot-list.csv")

Run = Callable[..., CompletedProcess[str]]


def contents(folder: Path) -> dict[str, bytes]:
    """Every file but the hidden record of what was written."""
    files = (p for p in folder.rglob("*") if p.is_file() and p.name != RECORD)
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in files}


def pack_in(folder: Path, source: str, *, env: dict[str, str]) -> dict[str, bytes]:
    """The pack of an example, made by a fresh Python in a folder of its own."""
    folder.mkdir()
    for path in EXAMPLES.glob("*.yaml"):
        shutil.copy(path, folder)
    done = subprocess.run(
        [sys.executable, "-m", "scriptkit", "pack", source, "-o", "pack"],
        cwd=folder, env={**os.environ, **env}, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
    return contents(folder / "pack")


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_pack_of_an_example(path: Path, tmp_path: Path, run: Run) -> None:
    done = run("pack", str(path), "-o", "pack")
    assert done.returncode == 0, done.stderr
    files = contents(tmp_path / "pack")
    assert sorted(files) == FILES
    assert all(files.values())
    for name in FILES:
        assert name in done.stdout
        files[name].decode("utf-8")


@pytest.mark.parametrize("path", FAULTY, ids=lambda p: p.stem)
def test_a_faulty_example_is_told_and_no_traceback(path: Path, tmp_path: Path, run: Run) -> None:
    done = run("pack", str(path), "-o", "pack")
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr
    assert (tmp_path / "pack").exists() is (done.returncode == 1)


def test_something_to_see_to_is_exit_1_and_the_pack_is_written(table: Table, tmp_path: Path, run: Run) -> None:
    dish = (
        "dish: D\nservings: 1\ningredients: {salt: 3 g, olive oil: 10 g}\nsteps: [{stage: cook, do: Add., add: salt}]"
    )
    done = run("pack", table.write("dish.yaml", dish), "-o", "pack")
    assert done.returncode == 1
    assert sorted(contents(tmp_path / "pack")) == FILES
    assert "Needs attention" in (tmp_path / "pack" / "report.txt").read_text(encoding="utf-8")


def test_what_cannot_be_read_is_exit_2_and_nothing_is_written(table: Table, tmp_path: Path, run: Run) -> None:
    done = run("pack", table.write("dish.yaml", "dish: D\nservings: -1\ningredients: {salt: 3 g}"), "-o", "pack")
    assert done.returncode == 2
    assert not (tmp_path / "pack").exists()


def test_own_templates_that_are_not_there_or_wrong(table: Table, tmp_path: Path, run: Run) -> None:
    source = str(EXAMPLES / "seared-hake.yaml")
    assert run("pack", source, "-o", "pack", "--templates", "none").returncode == 2
    (tmp_path / "own").mkdir()
    table.write("own/shoot-list.html", "{{ no_such_value }}")
    done = run("pack", source, "-o", "pack", "--templates", "own")
    assert done.returncode == 2
    assert "no_such_value" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "pack").exists()
    table.write("own/shoot-list.html", "own: {{ shots }} shots")
    assert run("pack", source, "-o", "pack", "--templates", "own").returncode == 0
    assert (tmp_path / "pack" / "shoot-list.html").read_text(encoding="utf-8").startswith("own: ")


def test_the_same_bytes_in_any_folder_with_any_hash_seed_and_locale(tmp_path: Path) -> None:
    packs = [
        pack_in(tmp_path / name, "harbour-supper.yaml", env={"PYTHONHASHSEED": seed, "LC_ALL": locale, "TZ": zone})
        for name, seed, locale, zone in [("a", "1", "C", "UTC"), ("b ½", "2", "C.UTF-8", "Pacific/Auckland")]
    ]
    assert packs[0] == packs[1]


def test_a_second_pack_replaces_the_first_and_leaves_the_cooks_files(tmp_path: Path, run: Run) -> None:
    (tmp_path / "pack").mkdir()
    (tmp_path / "pack" / "notes.txt").write_text("mine", encoding="utf-8")
    first = run("pack", str(EXAMPLES / "seared-hake.yaml"), "-o", "pack")
    older = (tmp_path / "pack" / "files" / "overlays.srt").read_bytes().replace(b"680", b"670")
    (tmp_path / "pack" / "files" / "overlays.srt").write_bytes(older)
    record = tmp_path / "pack" / RECORD
    kept = json.loads(record.read_text(encoding="utf-8"))
    kept["files"]["files/overlays.srt"] = [hashlib.sha256(older).hexdigest()]  # as an earlier pack wrote it
    record.write_text(json.dumps(kept), encoding="utf-8")
    second = run("pack", str(EXAMPLES / "seared-hake.yaml"), "-o", "pack")
    assert (first.returncode, first.stdout) == (second.returncode, second.stdout)
    files = contents(tmp_path / "pack")
    assert sorted(files) == sorted([*FILES, "notes.txt"])
    assert files["notes.txt"] == b"mine"
    assert b"Hake 680 g" in files["files/overlays.srt"]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_page_and_the_report_defer_to_local_codes(path: Path) -> None:
    line = "Follow your local food code; ask a licensed professional where a rule is a legal or a medical one."
    files = make_pack(read(str(path))).files
    for name in ("shoot-list.html", "mise-en-place.html", "script.html", "report.txt"):
        assert files[name].count(line) == 1


HOSTILE = """
    dish: "<script>alert(1)</script>\\u202Eevil\\""
    servings: 2
    ingredients:
      "{{7*7}}<b>": {amount: 30 g, food: olive oil, prep: "<img src=x onerror=alert(1)>"}
      "=cmd": {amount: 3 g, food: salt}
    steps:
      - {id: s, stage: cook, do: "<script>alert(2)</script> --> {{ page }}", add: ["{{7*7}}<b>", "=cmd"], vessel: "</td><td>",
         tools: ["\\"onclick=\\"alert(3)"], heat: "<i>", screen: 20 s}
"""


def test_hostile_text_is_harmless_in_every_file(table: Table) -> None:
    files = make_pack(Production(table.read(HOSTILE))).files
    for name in ("stage.html", "shoot-list.html", "mise-en-place.html", "labels.html", "buying.html"):
        html = files[name]
        if name == "stage.html":  # its own two: the shots as data, and what works with them
            head, data, script = html.split("<script")
            assert data.startswith(' type="application/json" id="shots">{"title":"\\u003cscript\\u003e')
            assert script.startswith(">(() => {")
            assert html.count("</script") == 2
            assert "alert(" not in script
            html = head
        assert "<script" not in html
        assert "<img" not in html
        assert "}}<b>" not in html
        assert 'onclick="' not in html
        assert "{{7*7}}" in files[name]
    assert "‹b›" in files["files/overlays.srt"]
    assert files["files/overlays.srt"].count("-->") == files["files/overlays.srt"].count("\n00:0") + files[
        "files/overlays.srt"
    ].startswith("00")
    assert "'=cmd" in files["files/shoot-list.csv"]
    assert not any("\u202e" in text for text in files.values())


# --- golden files ----------------------------------------------------------------------------------------------------


def golden_pack() -> dict[str, str]:
    return make_pack(read(str(EXAMPLES / "harbour-supper.yaml"))).files


@pytest.mark.parametrize("name", GOLDEN_FILES)
def test_the_pack_is_the_one_that_a_person_has_read(name: str) -> None:
    golden = (GOLDEN / "harbour-supper" / Path(name).name).read_bytes().decode("utf-8")
    assert golden_pack()[name] == golden, "look at what changed; renew with: python tests/test_pack.py"


def renew_golden() -> None:
    """Write the golden files anew. Only after somebody has looked at what changed."""
    folder = GOLDEN / "harbour-supper"
    folder.mkdir(parents=True, exist_ok=True)
    pack = golden_pack()
    for name in GOLDEN_FILES:
        (folder / Path(name).name).write_bytes(pack[name].encode("utf-8"))


if __name__ == "__main__":
    try:
        renew_golden()
    except CannotDo as wrong:
        sys.exit(str(wrong))


def test_the_shoots_papers_alone_are_those_of_the_pack(tmp_path: Path, run: Run) -> None:
    supper = str(EXAMPLES / "harbour-supper.yaml")
    assert run("pack", supper, "-o", "pack").returncode == run("shoot", supper, "-o", "shoot").returncode == 0
    whole, papers = contents(tmp_path / "pack"), contents(tmp_path / "shoot")
    assert sorted(papers) == [
        "buying.html", "files/buying.csv", "files/shoot-list.csv", "index.html", "labels.html", "mise-en-place.html",
        "schedule.html", "script.html", "script.txt", "shoot-list.html", "stage.html",
    ]  # fmt: skip
    for name in papers:  # all but the tabs, which lead to what there is
        one, other = (
            re.sub(rb'<nav class="(tabs|pages|stops)".*?</nav>', b"", pack[name], flags=re.DOTALL)
            for pack in (whole, papers)
        )
        assert one == other, name


def test_a_meal_that_cannot_land_leaves_no_old_schedule_to_cook_by(tmp_path: Path, run: Run) -> None:
    for file in EXAMPLES.glob("*.yaml"):
        shutil.copy(file, tmp_path)
    supper = tmp_path / "harbour-supper.yaml"
    assert run("pack", str(supper), "-o", "pack").returncode == 0
    text = supper.read_text(encoding="utf-8")
    supper.write_text(text.replace("landing: 5 min", "landing: 1 min"), encoding="utf-8")
    assert run("pack", str(supper), "-o", "pack").returncode == 1
    page = (tmp_path / "pack" / "schedule.html").read_text(encoding="utf-8")
    assert "shortest possible" not in page and "serve" in page.casefold()
    assert re.search(r"\d+ min late: .+ and 1 min is the most", page)
    supper.write_text(text.replace("burners: 4", "burners: 0"), encoding="utf-8")
    assert run("pack", str(supper), "-o", "pack").returncode == 1
    page = (tmp_path / "pack" / "schedule.html").read_text(encoding="utf-8")
    assert "There is no schedule to cook by" in page and "the kitchen has none" in page


def test_a_dish_without_steps_has_a_pack_and_no_schedule(table: Table) -> None:
    reading = table.read("dish: Leeks\nservings: 2\ningredients: {leek: 300 g}\n")
    assert set(make_pack(Production(reading)).files) == set(FILES) - {"schedule.html"}


def test_a_pack_told_as_json_and_a_quiet_one(tmp_path: Path, run: Run) -> None:
    source = str(EXAMPLES / "seared-hake.yaml")
    done = run("pack", source, "-o", "pack", "--json")
    told = json.loads(done.stdout)
    assert (told["folder"], sorted(told["files"])) == ("pack", sorted(contents(tmp_path / "pack")))
    assert told["title"] == read_source(source).usable().name
    assert (told["problems"], done.stderr) == ([], "")
    quiet = run("pack", source, "-o", "quiet", "--quiet")
    assert (quiet.returncode, quiet.stdout, quiet.stderr) == (0, "", "")
    assert contents(tmp_path / "quiet") == contents(tmp_path / "pack")


def test_portions_that_keep_the_limits_stand_in_the_report(table: Table, tmp_path: Path, run: Run) -> None:
    dish = (
        "dish: Leeks\nservings: 2\ncooked_weight: 600 g\ningredients: {leek: 600 g}\n"
        "steps: [{stage: cook, do: Soften it., add: leek, vessel: pan, heat: low, hands: 1 min, wait: 8 min}]"
    )
    table.write("leeks.yaml", dish)
    meal = table.write(
        "meal.yaml", "meal: Supper\nplates: 2\ndishes: [{dish: leeks.yaml, least: 100 g}]\nat_most: {net_carbs_g: 20}\n"
    )
    assert run("pack", meal, "-o", "pack").returncode == 1
    report = (tmp_path / "pack" / "report.txt").read_text(encoding="utf-8")
    assert run("portion", meal, "--json").returncode == 0
    suggested = run("portion", meal).stdout
    assert "portions nearest to the usual ones" in suggested and suggested.strip() in report
