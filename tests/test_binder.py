"""The binder: its tabs lead only to what there is, and each page to the others; what machines read has a folder of its own; what an
earlier version left is told; the pages of the day in one."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES

from scriptkit.pack import make_pack, make_shoot
from scriptkit.papers.binder import INDEX, MACHINE_FOLDER, OLD_PLACES, PAGES, TABS, in_the_old_place, nav_of
from scriptkit.papers.cautions import mark_word, marks_at, printed_cautions
from scriptkit.papers.files import FILES
from scriptkit.papers.print_set import PRINTED
from scriptkit.production import Production, read, read_text
from scriptkit.safety.rules import rules

Run = Callable[..., CompletedProcess[str]]
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
CUT = str(EXAMPLES / "harbour-supper-cut.srt")


def hrefs(html: str) -> set[str]:
    found = {h.partition("#")[0] for h in re.findall(r'<a [^>]*?href="([^"]+)"', html)}
    return {h for h in found if h and not h.startswith("http")}


@pytest.fixture(scope="module")
def files() -> dict[str, str]:
    return make_pack(read(SUPPER, cut=CUT), to_print=True).files


def test_tabs_stand_in_the_order_of_the_work_on_every_page(files: dict[str, str]) -> None:
    names = ["Today", "Shop", "Bowls", "Cook &amp; film", "Lines", "Check", "Publish"]
    inside = [name for name in files if name in PAGES and name not in ("recipe-card.html", "labels.html", "stage.html")]
    assert len(inside) >= 8
    for name in inside:
        nav = re.search(r'<nav class="tabs".*?</nav>', files[name], re.DOTALL)
        assert nav, name
        assert re.findall(r">([^<>\n]+)</a>", nav[0]) == names
        assert nav[0].count("aria-current") + nav[0].count("within") == 1


def test_every_link_leads_to_a_file_of_the_pack_and_every_page_is_reached(files: dict[str, str]) -> None:
    for name, text in files.items():
        if name.endswith(".html"):
            assert hrefs(text) <= set(files), name
    reached, new = {INDEX}, {INDEX}
    while new:
        new = {h for name in new if name.endswith(".html") for h in hrefs(files[name])} - reached
        reached |= new
    assert {name for name in files if name.endswith(".html")} - {"print.html"} <= reached


def test_what_leaves_the_house_has_no_tabs(files: dict[str, str]) -> None:
    assert "<nav" not in files["recipe-card.html"]


def test_the_papers_of_the_shoot_alone_lead_nowhere_else() -> None:
    papers = make_shoot(Production(read(SUPPER).reading)).files
    for name, text in papers.items():
        if name.endswith(".html"):
            assert hrefs(text) <= set(papers), name


def test_what_machines_read_has_a_folder_of_its_own(files: dict[str, str]) -> None:
    for name in files:
        machine = name.rsplit(".", 1)[1] in ("csv", "srt", "vtt", "jsonld")
        assert name.startswith(f"{MACHINE_FOLDER}/") is machine, name
    assert set(files) == set(FILES)
    assert list(files) == [name for name in FILES if name in files]


def test_no_tab_where_there_is_one_page_and_the_first_that_there_is_opens() -> None:
    assert nav_of("coverage.html", ()).tabs == ()
    nav = nav_of("coverage.html", ("index.html", "contact-sheet.html"))
    assert [(tab.name, tab.href, tab.here, tab.within) for tab in nav.tabs] == [
        ("Today", "index.html", False, False), ("Check", "coverage.html", True, True),
    ]  # fmt: skip
    assert [(link.name, link.here) for link in nav.pages] == [("Coverage", True), ("Contact sheet", False)]
    assert len(TABS) == 7


def test_what_to_open_is_the_first_line(run: Run) -> None:
    done = run("pack", SUPPER, "-o", "pack")
    assert done.stdout.splitlines()[0] == f"open {Path('pack', 'index.html')}"
    assert run("shoot", SUPPER, "-o", "shoot").stdout.splitlines()[0] == f"open {Path('shoot', 'index.html')}"


def test_files_of_an_earlier_pack_are_told_and_stay(run: Run, tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    for name in ("overlays.srt", "buying.csv", "notes.csv"):
        (tmp_path / "pack" / name).write_text("mine", encoding="utf-8")
    done = run("pack", SUPPER, "-o", "pack")
    assert done.returncode == 1
    assert "buying.csv, overlays.srt are from an earlier pack and out of date [out-of-date]" in done.stderr
    assert f"use those in {Path('pack', 'files')}" in done.stderr
    assert (tmp_path / "pack" / "overlays.srt").read_text(encoding="utf-8") == "mine"
    for name in ("overlays.srt", "buying.csv"):
        (tmp_path / "pack" / name).unlink()
    assert run("pack", SUPPER, "-o", "pack").returncode == 0
    assert in_the_old_place(FILES, OLD_PLACES) == OLD_PLACES
    assert in_the_old_place(("files/chapters.vtt",), OLD_PLACES) == ("chapters.vtt",)


def test_a_page_that_is_added_to_a_pack_leads_back_to_it(run: Run, tmp_path: Path) -> None:
    run("pack", SUPPER, "-o", "pack")
    run("coverage", SUPPER, "--transcript", CUT, "-o", "pack")
    assert {"index.html", "script.html"} <= hrefs((tmp_path / "pack" / "coverage.html").read_text(encoding="utf-8"))
    run("coverage", SUPPER, "--transcript", CUT, "-o", "alone")
    assert hrefs((tmp_path / "alone" / "coverage.html").read_text(encoding="utf-8")) == set()


def test_cautions_stand_in_full_once_and_are_marked_where_they_apply(files: dict[str, str]) -> None:
    production = read(SUPPER)
    printed = printed_cautions(production.cautions)
    pages = [name for name in files if name in PAGES and name not in (INDEX, "publish.html", "recipe-card.html")]
    for caution in printed[:-1]:
        assert files[INDEX].count(caution.text) == 1
        assert [name for name in pages if caution.text in files[name]] == []
    schedule = files["schedule.html"]
    for caution in production.cautions:
        if caution.step is not None and caution.printed:
            assert mark_word(caution.rule) in marks_at(production.cautions, caution.step)
            assert f"</svg>{mark_word(caution.rule)}</a>" in schedule


def test_a_caution_names_dishes_shortly_and_a_problem_shows_what_to_type(files: dict[str, str]) -> None:
    assert "<b>Knife: bisque, step 1; hake, step 2.</b>" in " ".join(files["index.html"].split())
    dish = "dish: Leeks\nservings: 2\ningredients: {leek: 300 g, 'salt <b>`x`</b>': to taste}\nsteps: [{stage: cook, do: Stir., add: leek, vessel: pan, screen: 60 s}]\n"
    page = make_pack(read_text(dish, "leeks.yaml")).files["index.html"]
    assert '<span class="fix">' in page and "<code>add:</code>" in page and "`add:`" not in page
    assert "<b>`x`" not in page and "salt &lt;b&gt;" in page  # the person's own text is never an element


def test_every_rule_has_a_mark_of_a_word_or_two() -> None:
    words = {rule.id: mark_word(rule) for rule in rules()}
    assert all(1 <= len(word.split()) <= 2 and word[:1].isupper() for word in words.values())
    assert words["cook-poultry"] == "Temperature"
    assert words["raw-egg"] == "Raw"
    assert words["hot-blending-jug"] == "Scald"


def test_the_pages_of_the_day_in_one_have_each_paper_once(files: dict[str, str]) -> None:
    html = files["print.html"]
    assert [n.partition(".")[0] for n in PRINTED] == re.findall(r'<section class="paper ([\w-]+)">', html)
    assert html.count("<main>") == 1
    assert "<script" not in html
    assert html.count("@font-face") == 2
    for caution in printed_cautions(read(SUPPER).cautions)[:-1]:
        assert html.count(caution.text) == 1
    assert "print.html" not in make_pack(read(SUPPER)).files
