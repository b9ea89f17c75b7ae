"""A log opened on the on-set page in a real browser: read as it was saved, or refused whole."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from on_set_phone import GOOD_ROW, LEEKS, Set, leeks_on_toast, log_of, make_set, phone

from scriptkit.measure.timecode import RATES, frames_of, label_of

leeks = pytest.fixture(leeks_on_toast)


def test_a_saved_log_is_opened_on_another_phone(browser: Any, leeks: Set, tmp_path: Path) -> None:
    with phone(browser, leeks.path) as on:
        on.tap("Roll 3A", "Circle 3A", "NG 3B")
        on.page.get_by_label("Remark on take 1").first.fill("-1 stop, 'dark'")
        on.page.get_by_label("Remark on take 1").first.press("Tab")
        saved = on.save(tmp_path).read_bytes()
    with phone(browser, leeks.path) as on:
        on.open_log(saved)
        assert on.text("#said") == "Read 2 takes, 2 of them new"
        assert on.missing()[1] == ["leek (3B)"]
        assert on.page.get_by_label("3A done").is_checked()
        assert on.page.get_by_label("Next clip").input_value() == "3"
        assert on.save(tmp_path).read_bytes() == saved
        on.open_log(saved)
        assert on.text("#said") == "Read 2 takes, 0 of them new"
        assert on.text("#wrap").endswith("2 takes")
        on.tap("Undo", "Undo")
        assert on.text("#wrap").endswith("0 takes")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (log_of(GOOD_ROW.replace("Leeks on toast", "Chowder", 1)), "Line 2: this log is of “Chowder”, not of “Leeks on toast”"),
        (log_of(GOOD_ROW, GOOD_ROW.replace("soften", "sear")), "Line 3: 3A is not “Leeks on toast, sear”"),
        (log_of(GOOD_ROW.replace("butter", "cream")), "Line 2: “cream” is not added at 3A"),
        (log_of(GOOD_ROW.replace(",3,A,", ",33,A,")), "Line 2: there is no shot 33A"),
        (log_of(GOOD_ROW.replace("circled", "great")), "Line 2: “great” is no verdict"),
        (log_of(GOOD_ROW.replace("10:00:05;00", "10:01:00;00")), "Line 2: “10:01:00;00” is no time code"),
        (log_of(GOOD_ROW.replace("10:00:05;00", "0.427")), "Line 2: “0.427” is no time code"),
        (log_of(GOOD_ROW.replace(",A,1,", ",A,one,")), "Line 2: “one” is no take number"),
        (log_of(GOOD_ROW)[:-30] + "\r\n", "Line 2: the log is cut off"),
        (log_of(GOOD_ROW) + '"Leeks', "The file is cut off"),
        ("", "This is no take log"),
        ("<html><script>alert(1)</script>", "This is no take log"),
        ("\x00\x01\xff", "This is no take log"),
    ],
)  # fmt: skip
def test_a_log_that_does_not_belong_here_is_refused_whole(browser: Any, leeks: Set, content: str, told: str) -> None:
    with phone(browser, leeks.path) as on:
        on.open_log(content)
        assert told in on.text("#refused")
        assert on.page.locator("#refused").get_attribute("role") == "alert"
        assert on.text("#wrap").endswith("0 takes")


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_log_that_a_spreadsheet_saved_is_opened(browser: Any, leeks: Set, separator: str) -> None:
    rows = list(csv.reader(io.StringIO(log_of(GOOD_ROW))))
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows([[c.upper() for c in rows[0]], *rows[1:]])
    with phone(browser, leeks.path) as on:
        on.open_log("\ufeff" + out.getvalue())
        assert on.text("#said") == "Read 1 take, 1 of them new"
        assert on.text(".told:not(:empty)").startswith("1 circled 10:00:00;00–10:00:05;00")


def test_the_pages_time_code_is_the_programs(browser: Any, tmp_path: Path) -> None:
    """Each rate's first and last labels of minutes, and every hour's, opened as a log and saved again."""
    for rate in (RATES["25"], RATES["29.97 drop"], RATES["59.94"]):
        folder = tmp_path / rate.name
        folder.mkdir()
        on_set = make_set(LEEKS.replace("29.97 drop", rate.name), folder)
        day = rate.frames_ten_minutes * 144
        minutes = [m * rate.frames_ten_minutes // 10 for m in range(0, 1440, 37)]
        frames = sorted({(f + d) % day for f in (0, *minutes) for d in (-1, 0, 1, 2)})
        cells = [[*GOOD_ROW.split(",")[:9], label_of(f, rate), label_of(f, rate), "", "NG", ""] for f in frames]
        assert all(frames_of(c[9], rate) == f for c, f in zip(cells, frames, strict=True))
        content = log_of(*[",".join(c) for c in cells])
        with phone(browser, on_set.path) as on:
            on.open_log(content)
            assert on.text("#refused" if on.page.locator("#refused").is_visible() else "#said").startswith("Read ")
            assert on.save(folder).read_text(encoding="utf-8-sig").splitlines() == content.splitlines()
