"""The cells of a take log: of the CSV, and as cameras, cooks and spreadsheets write them."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from leeks_log import DROP, P25

from scriptkit.measure.timecode import RATES, FrameRate, label_of
from scriptkit.problems import printable
from scriptkit.shoot.log.csv_cells import rows_of
from scriptkit.shoot.log.log_cells import NotACell, guarded, names_in, recorded_at, time_code, unguarded, verdict
from scriptkit.shoot.log.take_log import COLUMNS, label


@given(st.text(alphabet="'=+-@＝ ·ax\t", max_size=8))
def test_a_guarded_cell_is_unguarded_to_the_same_text(text: str) -> None:
    text = printable(text).strip()
    assert unguarded(guarded(text)) == text


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.lists(st.text(alphabet='ab",;\t \r\n½', max_size=5), min_size=2, max_size=4), min_size=1, max_size=5),
    st.sampled_from(",;\t"),
    st.sampled_from(["\r\n", "\n"]),
)
def test_cells_are_those_of_the_csv_module(rows: list[list[str]], separator: str, end: str) -> None:
    rows = [["take", "step"], *rows]
    out = io.StringIO()
    every = (
        csv.QUOTE_ALL if any("\r" in c for row in rows for c in row) else csv.QUOTE_MINIMAL
    )  # it leaves a lone \r bare
    csv.writer(out, delimiter=separator, lineterminator=end, quoting=every).writerows(rows)
    found = [[c.text for c in row] for row in rows_of(out.getvalue(), "f", COLUMNS)]
    assert found == [row for row in rows if any(c.strip() for c in row)]


def test_every_cell_knows_its_line_and_column() -> None:
    rows = rows_of('take;step\r\n1;"two\nlines; ""x"""\n\n;b', "f", COLUMNS)
    assert [[(c.text, c.place.line, c.place.column) for c in row] for row in rows] == [
        [("take", 1, 1), ("step", 1, 6)],
        [("1", 2, 1), ('two\nlines; "x"', 2, 3)],
        [("", 5, 1), ("b", 5, 2)],
    ]


@pytest.mark.parametrize(
    ("text", "frame"),
    [
        ("10:00:00:12", 36000 * 25 + 12),
        ("10:00:00;12", 36000 * 25 + 12),
        ("10:00:00.12", 36000 * 25 + 12),
        ("9:05:07:03", (9 * 3600 + 5 * 60 + 7) * 25 + 3),
        ("10:00:00", 36000 * 25),
        ("10:00", 36000 * 25),
        ("10:00:00,480", 36000 * 25 + 12),
        ("10:00:00.480", 36000 * 25 + 12),
        ("10:00:00 PM", 79200 * 25),
        ("12:00:00 AM", 0),
        ("12:30 p.m.", 45000 * 25),
        ("05/10/2026 10:00:00", 36000 * 25),
        ("2026-10-05 10:00:00:12", 36000 * 25 + 12),
        ("2026-10-05T10:00:00", 36000 * 25),
        ("0.5", 43200 * 25),
        ("0,5", 43200 * 25),
        ("0,416666666666667", 36000 * 25),
        ("46300,4166666667", 36000 * 25),
        ("4,16666666666667E-1", 36000 * 25),
        ("0", 0),
        ("0.99999999999", 86400 * 25 - 1),
    ],
)  # fmt: skip
def test_times_as_a_camera_a_cook_and_a_spreadsheet_write_them(text: str, frame: int) -> None:
    assert time_code(text, P25) == frame


@pytest.mark.parametrize(
    "text",
    ["banana", "25:00:00:00", "10:60:00", "10:00:00:25", "46300", "-0.5", "1e99", "10:00:00:", "13:00 PM", "0x10", "9" * 30, "100:00:00:00", "1.2.3"],
)  # fmt: skip
def test_what_is_no_time_is_told_not_guessed(text: str) -> None:
    with pytest.raises(NotACell) as wrong:
        time_code(text, P25)
    assert wrong.value.hint


@pytest.mark.parametrize("frames", ["00", "01"])
def test_labels_that_drop_frame_skips_do_not_exist(frames: str) -> None:
    for minute in range(60):
        text = f"10:{minute:02d}:00;{frames}"
        if minute % 10 == 0:  # SMPTE ST 12-1: every minute but each tenth
            assert label(time_code(text, DROP) or 0, DROP) == text
        else:
            with pytest.raises(NotACell, match="does not exist in drop-frame"):
                time_code(text, DROP)


@settings(max_examples=100)
@given(st.sampled_from(list(RATES.values())), st.integers(0, 86_399))
def test_a_label_survives_being_made_a_part_of_a_day(rate: FrameRate, second: int) -> None:
    """A spreadsheet takes 10:15:30 for a time and saves 0.427430555555556."""
    share = f"{float(Fraction(second, 86_400)):.15f}"
    frame = time_code(share, rate)
    clock = f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
    assert frame == time_code(clock, rate)
    assert label_of(frame or 0, rate).startswith(clock)


def test_dates_are_dates_again() -> None:
    # 1 January 2025 is day 45658 where 1 January 1900 is day 1 (the date system of spreadsheets, ECMA-376 part 1, 18.17.4.1).
    assert recorded_at("45658") == "2025-01-01 00:00:00"
    assert recorded_at("45658,75") == "2025-01-01 18:00:00"
    assert recorded_at("5 October") == "5 October"
    assert recorded_at("0.5") == "0.5"


def test_a_name_may_have_the_sign_that_stands_between_names() -> None:
    known = ["butter, unsalted", "butter", "salt + pepper", "olive_oil", "=x"]
    assert names_in("Olive oil; butter, unsalted", known) == ([3, 0], [])
    assert names_in("salt + pepper + butter", known) == ([2, 1], [])
    assert names_in("butter/sugar,'=x", known) == ([1, 4], ["sugar"]) or names_in("'=x", known) == ([4], [])
    assert names_in(" ; ", known) == ([], [])


def test_verdicts_in_the_words_of_the_set() -> None:
    assert [verdict(w) for w in ("Circled", "HOLD", " n.g. ", "No good", "FS")] == [
        "circled",
        "hold",
        "NG",
        "NG",
        "false start",
    ]
