"""The cut file of a talk, given as the cut, is as good as the talk: the same captions, and nothing that was left out is shown."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES

from scriptkit.cut.cut_file import read_cut, write_cut
from scriptkit.production import Production, read

Run = Callable[..., "CompletedProcess[str]"]

TALKS = [
    ("harbour-supper.yaml", "harbour-supper-cut.srt"), ("harbour-supper.yaml", "harbour-supper-rough-cut.srt"),
    ("fennel-bisque.yaml", "harbour-supper-cut.srt"), ("seared-hake.yaml", "harbour-supper-cut.srt"),
]  # fmt: skip


@pytest.fixture
def kitchen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The examples in a folder of one's own."""
    for path in EXAMPLES.iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def kept(recipe: str, talk: str, *, names_it: bool = True) -> Production:
    """The production by the cut file of the talk."""
    cut = read(recipe, cut=talk).cut
    assert cut is not None
    Path("out").mkdir(exist_ok=True)
    Path("out/cut.yaml").write_text(write_cut(cut, f"../{talk}" if names_it else ""), encoding="utf-8")
    return read(recipe, cut="out/cut.yaml")


@pytest.mark.parametrize(("recipe", "talk"), TALKS)
@pytest.mark.usefixtures("kitchen")
def test_the_captions_are_the_same(recipe: str, talk: str) -> None:
    of_talk, of_file = read(recipe, cut=talk), kept(recipe, talk)
    assert of_file.cues == of_talk.cues
    assert of_file.chapters.chapters == of_talk.chapters.chapters
    assert [p.code for p in of_file.timing_problems] == [p.code for p in of_talk.timing_problems]
    assert talk in of_file.made_from


@pytest.mark.parametrize(("recipe", "talk"), TALKS)
@pytest.mark.usefixtures("kitchen")
def test_without_its_talk_each_step_begins_where_it_did(recipe: str, talk: str) -> None:
    """Within a frame, so that what is timed by the steps alone is the same."""
    of_talk, of_file = read(recipe, cut=talk), kept(recipe, talk, names_it=False)
    assert of_talk.cut is not None
    assert of_file.cut is not None
    assert of_file.transcript is None
    assert of_file.cut.begins_ms == of_talk.cut.begins_ms
    assert times(of_file) == times(of_talk)
    assert read_cut(write_cut(of_file.cut), "cut.yaml", of_file.source) == of_file.cut


def times(production: Production) -> list[tuple[str, str, int]]:
    """Of each piece of the plan on the cut, when it begins."""
    return [(s.kind, s.step.id if s.step else "", s.start_ms) for s in production.timed_plan.segments]


def without_capers(kitchen: Path) -> str:
    """A talk that says that something was forgotten."""
    text = (kitchen / "harbour-supper-cut.srt").read_text(encoding="utf-8")
    rows = text.split("\n\n")
    n = next(n for n, row in enumerate(rows) if "capers" in row.casefold())
    head = rows[n].split("\n")[:2]
    rows[n] = "\n".join([*head, "I forgot the capers, sorry, so they are not in there."])
    (kitchen / "talk.srt").write_text("\n\n".join(rows), encoding="utf-8")
    return "capers"


def test_what_was_left_out_is_not_captioned(kitchen: Path, run: Run) -> None:
    name = without_capers(kitchen)
    run("coverage", "harbour-supper.yaml", "--transcript", "talk.srt", "-o", "out")
    assert 'transcript: "../talk.srt"' in (kitchen / "out/cut.yaml").read_text(encoding="utf-8")
    talk = run("captions", "harbour-supper.yaml", "--cut", "talk.srt", "-o", "talk.vtt")
    file = run("captions", "harbour-supper.yaml", "--cut", "out/cut.yaml", "-o", "file.vtt")
    assert (kitchen / "file.vtt").read_bytes() == (kitchen / "talk.vtt").read_bytes()
    assert not re.search(
        rf"^{name} \d", (kitchen / "file.vtt").read_text(encoding="utf-8"), re.IGNORECASE | re.MULTILINE
    )
    assert "[said-left-out]" in file.stderr
    assert file.stderr.replace("file.vtt", "talk.vtt").replace("--cut out/cut.yaml", "--cut talk.srt") == talk.stderr

    accepted = run("coverage", "harbour-supper.yaml", "--transcript", "talk.srt", "--accept", "all", "-o", "out")
    assert accepted.returncode in (0, 1), accepted.stderr
    assert 'transcript: "../talk.srt"' in (kitchen / "out/cut.yaml").read_text(encoding="utf-8")
    run("captions", "harbour-supper.yaml", "--cut", "talk.srt", "-o", "talk.vtt")
    run("captions", "harbour-supper.yaml", "--cut", "out/cut.yaml", "-o", "file.vtt")
    assert (kitchen / "file.vtt").read_bytes() == (kitchen / "talk.vtt").read_bytes()


def test_a_talk_that_is_gone_is_told_at_its_line(kitchen: Path, run: Run) -> None:
    without_capers(kitchen)
    run("coverage", "harbour-supper.yaml", "--transcript", "talk.srt", "-o", "out")
    lines = (kitchen / "out/cut.yaml").read_text(encoding="utf-8").splitlines()
    (line,) = [n for n, text in enumerate(lines, 1) if text.startswith("transcript:")]
    (kitchen / "talk.srt").unlink()
    for command in (("captions", "-o", "file.vtt"), ("publish", "-o", "pub"), ("coverage",)):
        done = run(command[0], "harbour-supper.yaml", "--cut", "out/cut.yaml", *command[1:], "--json")
        (told,) = [p for p in json.loads(done.stdout)["problems"] if p["code"] == "no-transcript"]
        assert (told["file"], told["line"], done.returncode) == ("out/cut.yaml", line, 1)


@pytest.mark.usefixtures("kitchen")
def test_a_time_that_is_not_set_by_hand_gives_way_to_the_talk_and_that_is_told() -> None:
    kept("harbour-supper.yaml", "harbour-supper-cut.srt")
    file = Path("out/cut.yaml")
    text = file.read_text(encoding="utf-8")
    (row,) = [row for row in text.splitlines() if "step: blend" in row]
    file.write_text(text.replace(row, re.sub(r"time: [\d:.]+", "time: 1:50", row)), encoding="utf-8")
    (told,) = [p for p in read("harbour-supper.yaml", cut="out/cut.yaml").cut_problems if p.code == "not-by-hand"]
    assert told.place.line == text.splitlines().index(row) + 1
    file.write_text(text.replace(row, re.sub(r"time: .*", "time: 1:50, by: hand}", row)), encoding="utf-8")
    by_hand = read("harbour-supper.yaml", cut="out/cut.yaml")
    assert by_hand.cut is not None
    assert {p.step.id: p.time_ms for p in by_hand.cut.placements}["blend"] == 110_000
    assert not [p for p in by_hand.cut_problems if p.code == "not-by-hand"]


def test_a_serving_as_written_has_the_figures_of_its_card(kitchen: Path) -> None:
    """Of a meal, whose parts are rounded together."""
    from scriptkit.nutrition.display_figures import printed_serving
    from scriptkit.papers.coverage import coverage_report
    from scriptkit.papers.description import printed_words

    without_capers(kitchen)
    made = read("harbour-supper.yaml", cut="talk.srt")
    (one,) = made.coverage.cooked
    of_dish = next(m for m in made.macros.dishes if m.dish is one.dish)
    due = printed_words(printed_serving(of_dish, made.macros.meal))
    pages = [w.more for g in coverage_report(made.coverage, made.rescues).groups for c in g.cards for w in c.ways]
    assert any(f"as written: {due}" in more for more in pages)


def test_the_option_of_a_fix_is_copied_and_works(kitchen: Path, run: Run) -> None:
    without_capers(kitchen)
    files = ("coverage", "harbour-supper.yaml", "--transcript", "talk.srt", "-o", "out")
    (told,) = [p for p in json.loads(run(*files, "--json").stdout)["problems"] if p["code"] == "said-left-out"]
    option = told["hint"].split("`")[1].split()
    assert option[0] == "--accept"
    accepted = run(*files, *option)
    assert accepted.returncode in (0, 1), accepted.stderr
    (after,) = [p for p in json.loads(run(*files, "--json").stdout)["problems"] if p["code"] == "said-left-out"]
    assert (told["severity"], after["severity"]) == ("warning", "note")
