"""A log opened on the stage page in a real browser: the rows that belong to the list are read, the rest is told, and what is no log is refused."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES
from stage_phone import GOOD_ROW, LEEKS, Set, leeks_on_toast, log_of, make_set, phone

from scriptkit.measure.timecode import RATES, frames_of, label_of
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import COLUMNS

leeks = pytest.fixture(leeks_on_toast)


def test_a_saved_log_is_opened_on_another_phone(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A", "Circle 3A", "Change")
        on.page.get_by_label("Remark").fill("-1 stop, 'dark'")
        on.page.get_by_label("Remark").press("Tab")
        on.tap("Done", "NG 3B", "Weigh")
        on.page.locator("#weights input").first.fill("310")
        on.page.locator("#weights input").first.press("Tab")
        on.tap("Done")
        saved = on.save(tmp_path).read_bytes()
    with phone(browser, leeks.path) as on:
        assert on.open_log(saved) == "Read 2 takes, 2 of them new"
        assert on.page.get_by_label("Next clip").input_value() == "3"
        on.tap("Close")
        assert on.gate() == "Film before 4A: leek (3B)"
        assert on.state("3A") == "Take 1 circled"
        assert on.save(tmp_path).read_bytes() == saved
        assert on.open_log(saved) == "Read 2 takes, 0 of them new"
        on.tap("Close")
        assert on.count() == "1 of 4 additions circled, 2 takes"
        on.tap("Undo", "Undo")
        assert on.count() == "0 of 4 additions circled, 0 takes"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        (GOOD_ROW.replace("Leeks on toast", "Chowder", 1), "it is of “Chowder”"),
        (GOOD_ROW.replace("soften", "sear"), "there is no step “sear” of “Leeks on toast”"),
        (GOOD_ROW.replace("butter", "cream"), "“cream” is not added at “soften”"),
        (GOOD_ROW.replace(",3,A,", ",33,A,").replace("soften", ""), "there is no shot 33A"),
        (GOOD_ROW.replace("circled", "great"), "“great” is not a verdict"),
        (GOOD_ROW.replace("10:00:05;00", "10:01:00;00"), "“10:01:00;00” is not time code"),
        (GOOD_ROW.replace("10:00:05;00", "0.427"), "“0.427” is not time code"),
        (GOOD_ROW.replace(",A,1,", ",A,one,"), "“one” is not a take number"),
        (GOOD_ROW[:-30], "the log is cut off"),
        (GOOD_ROW.replace("circled,,", "weighed,,much"), "“much” is not a weight"),
    ],
)
def test_rows_that_belong_here_are_read_and_the_rest_is_told(browser: Any, leeks: Set, row: str, told: str) -> None:
    with phone(browser, leeks.path) as on:
        assert on.open_log(log_of(GOOD_ROW, row)) == "Read 1 take, 1 of them new"
        assert on.refused()[0].startswith("Left out")
        assert on.refused()[1].startswith("Line 3") and told in on.refused()[1]
        assert ("take" in on.refused()[1].partition(":")[0]) == ("weight" not in told)  # the row by its name
        on.tap("Close")
        assert on.state("3A") == "Take 1 circled"


@pytest.mark.parametrize(
    "content", [log_of(GOOD_ROW) + '"Leeks', "", "<html><script>alert(1)</script>", "\x00\x01\xff"]
)
def test_what_is_no_log_is_refused(browser: Any, leeks: Set, content: str) -> None:
    with phone(browser, leeks.path) as on:
        on.open_log(content)
        assert on.refused()[0].startswith("Not read. ")
        assert on.page.locator("#refused").get_attribute("role") == "alert"
        on.tap("Close")
        assert on.count() == "0 of 4 additions circled, 0 takes"


def test_a_log_of_an_older_list_finds_its_steps_and_additions(browser: Any, leeks: Set) -> None:
    """Its slates are another list's; steps and additions are what counts, as for the program."""
    rows = [GOOD_ROW.replace(",3,A,", ",7,C,"), GOOD_ROW.replace(",3,A,", ",7,D,").replace("butter", "leek")]
    with phone(browser, leeks.path) as on:
        assert on.open_log(log_of(*rows)) == "Read 2 takes, 2 of them new"
        on.tap("Close")
        assert [on.state("3A"), on.state("3B")] == ["Take 1 circled"] * 2


def test_the_example_log_is_the_same_on_the_page_and_in_the_program(browser: Any, tmp_path: Path) -> None:
    supper = make_set("harbour-supper.yaml", tmp_path)
    raw = (EXAMPLES / "harbour-supper-takes.csv").read_bytes()
    takes = read_log(raw, "takes.csv", supper.source, supper.shots).takes
    with phone(browser, supper.path) as on:
        assert on.open_log(raw) == f"Read {len(takes)} takes, {len(takes)} of them new"
        assert on.refused() == []
        on.tap("Close")
        again = supper.read(on.save(tmp_path)).takes
    assert [(t.shot.slate, t.number, t.verdict, t.in_frame, t.clip) for t in again] == [
        (t.shot.slate, t.number, t.verdict, t.in_frame, t.clip) for t in takes
    ]


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_log_that_a_spreadsheet_saved_is_opened(browser: Any, leeks: Set, separator: str) -> None:
    rows = list(csv.reader(io.StringIO(log_of(GOOD_ROW))))
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows([[c.upper() for c in rows[0]], *rows[1:]])
    with phone(browser, leeks.path) as on:
        assert on.open_log("\ufeff" + out.getvalue()) == "Read 1 take, 1 of them new"
        on.tap("Close")
        on.go("3A")
        on.tap("Change")
        assert on.text("#history li") == "Take 1 circled 10:00:00;00 to 10:00:05;00"


def test_a_log_without_the_column_of_weights_is_opened(browser: Any, leeks: Set) -> None:
    head, row = ",".join(c for c in COLUMNS if c != "weighed"), GOOD_ROW.removesuffix(",")
    with phone(browser, leeks.path) as on:
        assert on.open_log(log_of(row, head=head)) == "Read 1 take, 1 of them new"


def test_the_pages_time_code_is_the_programs(browser: Any, tmp_path: Path) -> None:
    """Each rate's first and last labels of minutes, and every hour's, opened as a log and saved again."""
    for rate in (RATES["25"], RATES["29.97 drop"], RATES["59.94"]):
        folder = tmp_path / rate.name
        folder.mkdir()
        stage = make_set(LEEKS.replace("29.97 drop", rate.name), folder)
        day = rate.frames_ten_minutes * 144
        minutes = [m * rate.frames_ten_minutes // 10 for m in range(0, 1440, 37)]
        frames = sorted({(f + d) % day for f in (0, *minutes) for d in (-1, 0, 1, 2)})
        cells = [[*GOOD_ROW.split(",")[:9], label_of(f, rate), label_of(f, rate), "", "NG", "", ""] for f in frames]
        assert all(frames_of(c[9], rate) == f for c, f in zip(cells, frames, strict=True))
        content = log_of(*[",".join(c) for c in cells])
        with phone(browser, stage.path) as on:
            assert on.open_log(content) == f"Read {len(frames)} takes, {len(frames)} of them new"
            on.tap("Close")
            assert on.save(folder).read_text(encoding="utf-8-sig").splitlines() == content.splitlines()
