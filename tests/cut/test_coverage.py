"""``coverage``, the whole way: what it prints, writes and leaves with, of the example's cut, its faulty twin and bad input."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cli import coverage
from scriptkit.cut.coverage.coverage import coverage_of
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.problems import CannotDo
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import shots_of

SUPPER = str(EXAMPLES / "harbour-supper.yaml")
LOG = str(EXAMPLES / "harbour-supper-takes.csv")
CUT = str(EXAMPLES / "harbour-supper-cut.srt")
ROUGH = str(EXAMPLES / "harbour-supper-rough-cut.srt")
"""The same talk with the capers never named, the mustard admitted as not filmed, and figures that are wrong."""

TO_TASTE = """
    dish: Leeks
    servings: 2
    ingredients: {leek: to taste, butter: to taste, mustard: to taste}
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek}
      - {id: soften, stage: cook, do: Soften the leek in the butter., add: {butter: to taste, leek: to taste}}
      - {id: finish, stage: cook, do: Stir in the mustard., add: {mustard: to taste}}
"""


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, dict[str, Any]]]:
    """Exit code and JSON of a run."""

    def call(source: str, **options: str) -> tuple[int, dict[str, Any]]:
        capsys.readouterr()
        code = coverage.run(source, as_json=True, **options)
        return code, json.loads(capsys.readouterr().out)

    return call


Told = Callable[..., tuple[int, dict[str, Any]]]


def test_the_example_talk_is_the_one_that_the_claims_are_tested_on() -> None:
    talk = (Path(__file__).parent / "talks" / "harbour-supper.txt").read_text(encoding="utf-8")
    lines = read_transcript(Path(CUT).read_bytes(), CUT).lines
    assert " ".join(line.text for line in lines) == " ".join(re.sub(r"\[\d+:\d\d\]", "", talk).split())


def test_the_faultless_cut_has_nothing_to_see_to(told: Told) -> None:
    code, found = told(SUPPER, log=LOG, transcript=CUT)
    assert code == 0
    assert [p for p in found["problems"] if p["severity"] != "note"] == []
    assert found["not_heard"] == found["rescue"] == found["open_before"] == []
    assert {a["status"] for a in found["additions"]} == {"heard"}
    assert all(s["time_s"] is not None for s in found["steps"])
    assert found["confidence"] > 0.5
    assert [c for c in found["claims"] if c["agrees"] is False] == []
    assert sum(c["agrees"] is True for c in found["claims"]) >= 28


def test_the_rough_cut_has_each_planted_fault(told: Told) -> None:
    code, found = told(SUPPER, transcript=ROUGH)
    assert code == 1
    assert found["not_heard"] == ["capers"]
    codes = [p["code"] for p in found["problems"]]
    assert [codes.count(code) for code in ("not-heard", "admitted-gap", "out-of-order")] == [1, 1, 0]
    assert [(a["ingredient"], a["step"]) for a in found["admitted"]] == [("mustard", "finish")]
    assert [o["id"] for o in found["order"]][-5:] == [
        "sear-hake",
        "turn-hake",
        "chop-parsley",
        "brown-butter",
        "plate-hake",
    ]
    wrong = [(c["said"], c["of"], c["off"]) for c in found["claims"] if c["agrees"] is False]
    assert wrong == [
        ("twelve to fifteen minutes", "step 4 (soften-fennel)", "5 min too long"),
        ("two and a half litres", "stock", "about twice the recipe's amount"),
        ("twelve point four grams", "net carbs", "1.0 g too much"),
        ("twelve point four grams", "net carbs", "1 g too much"),
    ]
    (capers,) = [r for r in found["rescue"] if r["ingredient"] == "capers"]
    assert (
        capers["insert"]
        == "Insert, CU from above: 30 g capers, drained, in its bowl. Not going in: that cannot be shot again"
    )
    assert capers["line"] == "Also in the pan: thirty grams of capers."
    assert capers["overlay"]["text"] == "Also in the pan: 30 g capers"
    assert capers["description"] == "Not named in the video: 30 g capers, in the pan at step 5."
    step = next(s for s in found["steps"] if s["id"] == "brown-butter")
    assert step["time_s"] - 5 < capers["overlay"]["start_s"] < step["time_s"] + 20


def test_each_thing_said_stands_with_its_time_and_line(told: Told) -> None:
    _, found = told(SUPPER, transcript=ROUGH)
    lines = Path(ROUGH).read_text(encoding="utf-8").splitlines()
    for claim in found["claims"]:
        hours, minutes, seconds = lines[claim["line"] - 1].split(" --> ")[0].split(":")
        start = int(hours) * 3600 + int(minutes) * 60 + float(seconds.replace(",", "."))
        assert start <= claim["time_s"] < start + 8
        assert claim["said"].split()[0] in claim["text"]


def test_the_plan_alone(told: Told) -> None:
    code, found = told(SUPPER)
    assert code == 0
    assert found["confidence"] is None
    assert {a["status"] for a in found["additions"]} == {"planned"}
    assert {s["time_s"] for s in found["steps"]} == {None}
    assert found["additions"][1]["shots"] == ["7A"]


def test_a_log_with_a_hole_says_what_is_open_before_what(told: Told, tmp_path: Path) -> None:
    """The stock's good take is struck out: it is open before every later step that cannot be repeated."""
    text = Path(LOG).read_text(encoding="utf-8-sig").replace("10:58:12,circled", "10:58:12,NG")
    log = tmp_path / "takes.csv"
    log.write_text(
        text.replace(
            ",stock,09:58:00:06,09:58:12:17,2026-10-05 09:58:12,circled",
            ",stock,09:58:00:06,09:58:12:17,2026-10-05 09:58:12,NG",
        ),
        encoding="utf-8",
    )
    code, found = told(SUPPER, log=str(log))
    assert code == 1
    assert [(p["code"], p["message"]) for p in found["problems"]] == [
        ("no-circled-take", "stock, step 5 (simmer): 1 take, none circled")
    ]
    assert {(a["ingredient"], a["status"]) for a in found["additions"] if a["status"] != "circled"} == {
        ("stock", "filmed")
    }
    before = [g["step"] for g in found["open_before"]]
    assert before[0] == "blend"
    assert all(g["open"] == ["stock"] for g in found["open_before"])
    (rescue,) = found["rescue"]
    assert rescue["why"] == ["no circled take"]
    overlay = rescue["overlay"]
    assert (overlay["text"], overlay["timed_by"]) == ("Also in the pot: 1.2 l homemade fish stock", "plan")
    assert 60 < overlay["start_s"] < overlay["end_s"] < 100  # step 5 is planned from 1:10 to 1:30


def test_what_is_open_is_told_once_to_a_person(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "takes.csv"
    log.write_text(
        Path(LOG).read_text(encoding="utf-8-sig").replace("2026-10-05 09:58:12,circled", "2026-10-05 09:58:12,NG"),
        encoding="utf-8",
    )
    assert coverage.run(SUPPER, log=str(log), output=str(tmp_path / "out")) == 1
    text = capsys.readouterr().out
    assert re.search(
        r"\n  stock, bisque, step 5 \(simmer\): No circled take\n +open before +bisque, step 6 \(blend\)\n", text
    )
    assert text.count("open before") == 1
    page = (tmp_path / "out" / "coverage.html").read_text(encoding="utf-8")
    assert (
        page.count("Still open before bisque, step 6 (blend), which cannot be repeated")
        == page.count("Still open")
        == 1
    )
    assert page.count('aria-hidden="true">◐') == 1


def test_a_dish_without_amounts_and_screen_times_goes_through(told: Told, table: Table) -> None:
    dish = table.write("dish.yaml", TO_TASTE)
    talk = table.write(
        "talk.txt",
        "[0:05] First slice the leek into rings.\n[0:40] Soften the leek in a knob of butter,\n[0:45] about ten minutes, "
        "with a teaspoon of butter more.\n[1:30] Stir in the rest and serve.\n",
    )
    code, found = told(dish, transcript=talk)
    assert code == 1
    assert found["not_heard"] == ["mustard"]
    assert [(c["kind"], c["agrees"]) for c in found["claims"] if c["kind"] == "amount"] == [
        ("amount", None),
        ("amount", None),
    ]
    assert [c for c in found["claims"] if c["agrees"] is False] == []
    assert {"id", "time_s", "confidence"} <= set(found["steps"][0])
    assert {a["ingredient"]: a["status"] for a in found["additions"]} == {
        "butter": "heard",
        "leek": "heard",
        "mustard": "not heard",
    }
    assert found["rescue"][0]["overlay"]["text"] == "Also in it: mustard, to taste"


def test_a_transcript_of_another_video_is_said_so_and_not_aligned(told: Told, table: Table) -> None:
    talk = table.write(
        "talk.txt",
        "\n".join(
            f"[{n}:00] Today we fix the outboard motor of the dinghy, part {n}: the spark plug and the fuel line."
            for n in range(1, 9)
        ),
    )
    code, found = told(SUPPER, transcript=talk)
    assert code == 1
    assert "other-video" in [p["code"] for p in found["problems"]]
    assert found["confidence"] < 0.25
    assert {s["time_s"] for s in found["steps"]} == {None}
    assert found["claims"] == found["rescue"] == []
    assert {"celeriac", "hake"} <= set(found["not_heard"])
    assert {a["status"] for a in found["additions"]} == {"planned"}


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ({"log": "gone.csv"}, "no-such-file"),
        ({"transcript": "gone.srt"}, "no-such-file"),
        ({"transcript": ""}, "empty-file"),
        ({"transcript": "[0:01] ♪ ♪\n[0:05] [music]\n"}, "no-speech"),
        ({"log": "step,additions,verdict\nsoften,butter,perhaps\n"}, "unknown-verdict"),
        ({"log": "title,step,verdict\nCod with beans,fry,circled\n"}, "other-recipe"),
        ({"cut": "cut: Leeks\nsteps:\n  - {step: boil, time: 0:10}\n"}, "unknown-step"),
    ],
    ids=lambda x: str(x)[:40],
)
def test_what_cannot_be_read_cannot_be_done(table: Table, options: dict[str, str], code: str) -> None:
    dish = table.write("dish.yaml", TO_TASTE)
    paths = {
        name: str(table.folder / text) if text.startswith("gone") else table.write(f"{name}.txt", text)
        for name, text in options.items()
    }
    with pytest.raises(CannotDo) as refused:
        coverage.run(dish, **paths)
    assert code in [p.code for p in refused.value.problems]


def test_the_page_has_the_matrix_and_nothing_that_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    coverage.run(SUPPER, log=LOG, transcript=ROUGH, output=str(tmp_path / "out"))
    capsys.readouterr()
    page = (tmp_path / "out" / "coverage.html").read_text(encoding="utf-8")
    assert "default-src &#39;none&#39;" in page
    assert page.count("<script") == 1 and "script-src &#39;sha256-" in page  # its own, which keeps what is answered
    assert page.count('<section class="matrix">') == 8  # steps with additions
    assert page.count('aria-hidden="true">●') == 17
    assert "Also in the pan: 30 g capers" in page
    assert (tmp_path / "out" / "cut.yaml").is_file()


def test_a_page_that_asks_nothing_runs_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    coverage.run(SUPPER, log=LOG, output=str(tmp_path / "out"))
    capsys.readouterr()
    page = (tmp_path / "out" / "coverage.html").read_text(encoding="utf-8")
    assert "<script" not in page and "script-src" not in page


def test_names_cannot_write_into_the_page(table: Table, capsys: pytest.CaptureFixture[str]) -> None:
    dish = table.write(
        "dish.yaml", TO_TASTE.replace("Leeks", "'<b onclick=x>Leeks</b>'").replace("Soften the", "<i>Soften</i> the")
    )
    coverage.run(dish, output=str(table.folder / "out"))
    capsys.readouterr()
    page = (table.folder / "out" / "coverage.html").read_text(encoding="utf-8")
    assert "<b onclick" not in page
    assert "&lt;b onclick" in page


def test_times_set_by_hand_are_kept_when_it_is_made_again(told: Told, tmp_path: Path) -> None:
    out = str(tmp_path / "out")
    told(SUPPER, transcript=CUT, output=out)
    file = tmp_path / "out" / "cut.yaml"
    text = file.read_text(encoding="utf-8")
    row = next(line for line in text.splitlines() if re.search(r'step: "?finish\b', line))
    file.write_text(
        text.replace(row, '  - {dish: "Fennel and celeriac bisque", step: "finish", time: "2:02", by: hand}'),
        encoding="utf-8",
    )
    _, found = told(SUPPER, transcript=CUT, output=out)
    finish = next(s for s in found["steps"] if s["id"] == "finish")
    assert (finish["time_s"], finish["confidence"], finish["known_from"]) == (122.0, 1.0, "hand")
    assert re.search(r'finish"?, time: "?2:02"?, by: hand', file.read_text(encoding="utf-8"))


def test_a_transcript_may_be_given_as_the_cut(told: Told) -> None:
    _, by_cut = told(SUPPER, cut=CUT)
    _, by_transcript = told(SUPPER, transcript=CUT)
    assert by_cut == by_transcript


def test_a_dish_without_steps_has_nothing_to_cover(told: Told, table: Table) -> None:
    dish = table.write("dish.yaml", "dish: Leeks\nservings: 2\ningredients: {leek: 300 g}\n")
    _, found = told(dish)
    assert found["additions"] == found["steps"] == found["rescue"] == []
    _, found = told(dish, transcript=CUT, output=str(table.folder / "out"))
    assert found["additions"] == []


def test_the_command_as_it_is_installed(run: Callable[..., subprocess.CompletedProcess[str]]) -> None:
    done = run("coverage", SUPPER, "--log", LOG, "--transcript", CUT)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(
        "Harbour supper: 17 additions: 17 with a shot, 17 with a circled take, 17 in the cut, 17 heard\n"
    )
    assert "Spoken: 32 figures: 32 verified, 0 differ, 0 to listen to" in done.stdout
    done = run("coverage", SUPPER, "--transcript", ROUGH)
    assert done.returncode == 1
    assert "  1:25  “two and a half litres” of stock: 1.18 kg (1.2 l) goes in at step 5" in done.stdout
    assert "A correction: the recipe has 1.18 kg (1.2 l) of stock, not two and a half litres." in done.stdout
    assert "It takes 7 min here, not “twelve to fifteen minutes”." in done.stdout
    assert "A serving of bisque has 11.4 g of net carbs, not “twelve point four grams”." in done.stdout
    assert "litres" not in done.stderr


def test_an_admission_that_names_nothing_is_told_and_one_that_the_cook_has_accepted_is_not(table: Table) -> None:
    text = """
        dish: Leeks
        servings: 2
        ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}, mustard: {amount: 10 g, food: "mustard, wholegrain"}}
        steps:
          - {id: soften, stage: cook, do: Soften the leek in the butter., add: [butter, leek], screen: 20 s}
          - {id: finish, stage: cook, do: Stir in the mustard., add: mustard, screen: 10 s%s}
    """
    talk = (
        "[0:10] Soften the leek in thirty grams of butter.\n[0:30] Sorry, I forgot to film the mustard.\n"
        "[0:40] Stir in ten grams of mustard.\n[1:20] And one more thing I forgot to film here.\n"
    )

    def admitted(more: str) -> list[tuple[int, str]]:
        dish = read_source(table.write("dish.yaml", text % more)).usable()
        transcript = read_transcript(talk.encode(), "talk.txt")
        cut = place(dish, transcript)
        told = coverage_of(dish, shots_of(plan_of(dish)), transcript=transcript, cut=cut).problems
        return [(p.place.line, p.message) for p in told if p.code == "admitted-gap"]

    (mustard, nothing) = admitted("")
    assert mustard[0] == 2 and "mustard, step 2 (finish), was not filmed" in mustard[1]
    assert nothing == (
        4, "at 1:20 it is said that something was not filmed, and not what: “And one more thing I forgot to film here.”"
    )  # fmt: skip
    assert admitted(", unfilmed: [mustard]") == [nothing]


def test_a_step_without_a_time_in_the_cut_file_is_told(told: Told, table: Table) -> None:
    dish = table.write("dish.yaml", TO_TASTE)
    rows = "[{step: soften, time: 0:10}, {step: slice, time: 0:02}]"
    _, found = told(dish, cut=table.write("cut.yaml", f"cut: Leeks\nsteps: {rows}\n"))
    assert [p["line"] for p in found["problems"] if p["code"] == "step-not-placed"] == [8]
    assert [s["time_s"] for s in found["steps"]] == [2, 10, None]


def test_a_cut_file_that_is_hardly_sure_of_itself_is_not_dropped_without_a_word(told: Told, table: Table) -> None:
    dish = table.write("dish.yaml", TO_TASTE)
    rows = "[{step: soften, time: 0:10}, {step: slice, time: 0:02}, {step: finish, time: 0:20}]"
    code, found = told(dish, cut=table.write("cut.yaml", f"cut: Leeks\nconfidence: 0.01\nsteps: {rows}\n"))
    assert code == 1
    (problem,) = [p for p in found["problems"] if p["code"] == "other-video"]
    assert "its times are not used" in problem["message"]
    assert [s["time_s"] for s in found["steps"]] == [None, None, None]
