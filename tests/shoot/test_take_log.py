"""The take log: written and read back the same, read as spreadsheets leave it, and told what is wrong with it, where."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.timecode import RATES, FrameRate, label_of
from scriptkit.problems import CannotDo, Place, printable
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.csv_cells import MOST_BYTES, rows_of
from scriptkit.shoot.log_cells import VERDICTS, NotACell, guarded, names_in, recorded_at, time_code, unguarded, verdict
from scriptkit.shoot.log_reader import read_log
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.shots import Shot, shots_of
from scriptkit.shoot.take_log import COLUMNS, Take, TakeLog, label, without_circled_take, write_log

LEEKS = """
    dish: Leeks on toast
    servings: 2
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
      salt: to taste
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min, screen: 6 s}
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir it in., add: {mustard: all, salt: to taste}, vessel: wide pan, screen: 14 s}
"""
HEAD = ",".join(COLUMNS)
ROW = "Leeks on toast,,A001,C0001,3,A,1,soften,butter,10:00:00:00,10:00:05:00,2026-10-05 10:00:05,circled,steam"
"""One good row; the tests below bend it."""
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
SUPPER_SHOTS = shots_of(plan_of(SUPPER))
P25 = RATES["25"]
DROP = RATES["29.97 drop"]


@pytest.fixture
def leeks(table: Table) -> Dish:
    return table.dish(LEEKS)


def read(dish: Dish, *rows: str, head: str = HEAD) -> TakeLog:
    text = "".join(f"{line}\r\n" for line in (head, *rows))
    return read_log(text.encode("utf-8"), "takes.csv", dish, shots_of(plan_of(dish)))


def told(log: TakeLog) -> list[tuple[str, int, int]]:
    return [(p.code, p.place.line, p.place.column) for p in log.problems]


# --- written and read back -------------------------------------------------------------------------------------------

words = st.text(st.characters(codec="utf-8"), max_size=20).map(lambda t: printable(t).strip())
moments = st.integers(0, 24 * 3600 * 25 - 1)


@st.composite
def takes(draw: st.DrawFn) -> Take:
    shot = draw(st.sampled_from(SUPPER_SHOTS))
    start = draw(st.none() | moments)
    return Take(
        shot=shot,
        number=draw(st.none() | st.integers(1, 99)),
        additions=shot.additions if draw(st.booleans()) else (),
        verdict=draw(st.sampled_from(VERDICTS)),
        card=draw(words),
        clip=draw(words),
        in_frame=start,
        out_frame=None if start is None else start + draw(st.integers(0, 3600 * 25)),
        recorded=draw(st.sampled_from(["", "2026-10-05 10:00:05", "this morning"])),
        remark=draw(words),
        place=Place("takes.csv"),
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(takes(), min_size=1, max_size=8))
def test_what_is_written_is_read_back(written: list[Take]) -> None:
    text = write_log(written, SUPPER.name, P25)
    log = read_log(text.encode("utf-8"), "takes.csv", SUPPER, SUPPER_SHOTS)
    assert {p.code for p in log.problems} <= {"take-twice", "overlapping-takes"}
    plain = [(t.shot.slate, t.number, t.additions, t.verdict, t.card, t.clip, t.in_frame, t.out_frame, t.recorded, t.remark) for t in log.takes]  # fmt: skip
    assert plain == [
        (t.shot.slate, t.number, t.additions, t.verdict, t.card, t.clip, t.in_frame, t.out_frame, t.recorded, t.remark) for t in written
    ]  # fmt: skip
    assert write_log(log.takes, SUPPER.name, P25) == text


@settings(max_examples=60, deadline=None)
@given(st.lists(takes(), min_size=1, max_size=4))
def test_no_cell_that_is_written_is_a_formula(written: list[Take]) -> None:
    for row in csv.reader(io.StringIO(write_log(written, "=1+1", P25))):
        assert not [c for c in row if c.lstrip(" ·")[:1] in tuple("=+-@＝＋－＠") and c.strip(" ·")]


@given(st.text(alphabet="'=+-@＝ ·ax\t", max_size=8))
def test_a_guarded_cell_is_unguarded_to_the_same_text(text: str) -> None:
    text = printable(text).strip()
    assert unguarded(guarded(text)) == text


# --- the CSV itself --------------------------------------------------------------------------------------------------


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


# --- as a spreadsheet leaves it --------------------------------------------------------------------------------------


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


@pytest.mark.parametrize("minute", range(60))
@pytest.mark.parametrize("frames", ["00", "01"])
def test_labels_that_drop_frame_skips_do_not_exist(minute: int, frames: str) -> None:
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


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_separators_marks_and_line_ends(leeks: Dish, separator: str, encoding: str, end: str) -> None:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator=end)
    writer.writerows([COLUMNS, [*ROW.split(",")[:-1], "dämpft; ½, so"]])
    log = read_log(out.getvalue().encode(encoding), "takes.csv", leeks, shots_of(plan_of(leeks)))
    assert (log.problems, [t.remark for t in log.takes]) == ((), ["dämpft; ½, so"])


def test_a_line_that_names_the_separator(leeks: Dish) -> None:
    rows = [line.replace(",", ";") for line in (HEAD, ROW, ROW.replace("circled", "great"))]
    raw = "\r\n".join(["sep=;", *rows, ""]).encode()
    log = read_log(raw, "takes.csv", leeks, shots_of(plan_of(leeks)))
    assert len(log.takes) == 1
    assert [(c, line) for c, line, _ in told(log)] == [("unknown-verdict", 4)]


def test_the_least_that_a_log_needs(leeks: Dish) -> None:
    log = read(leeks, "Soften, Circled ", "FINISH, n.g.", "2,false start", head="STEP,Verdict")
    assert log.problems == ()
    assert [(t.shot.step.id if t.shot.step else "", t.verdict) for t in log.takes] == [
        ("soften", "circled"), ("finish", "NG"), ("soften", "false start"),
    ]  # fmt: skip


def test_without_a_column_of_additions_the_slate_tells_them(leeks: Dish) -> None:
    log = read(leeks, "3,b,circled", "3.0,A,hold", "4B,,circled", head="scene,setup,verdict")
    assert [(t.shot.slate, [a.ingredient.key for a in t.additions]) for t in log.takes] == [
        ("3B", ["leek"]), ("3A", ["butter"]), ("4B", ["salt"]),
    ]  # fmt: skip


def test_an_empty_cell_of_additions_covers_nothing(leeks: Dish) -> None:
    (take,) = read(leeks, ROW.replace(",butter,", ",,")).takes
    assert take.additions == ()


def test_other_columns_are_left_alone_and_a_misspelt_one_is_told(leeks: Dish) -> None:
    log = read(leeks, f"{ROW},50 mm,x", head=f"{HEAD},Lens,")
    assert (len(log.takes), log.problems) == (1, ())
    log = read(leeks, ROW, head=HEAD.replace("additions", "aditions"))
    assert [p.hint for p in log.problems] == ["did you mean additions?"]


def test_a_name_may_have_the_sign_that_stands_between_names() -> None:
    known = ["butter, unsalted", "butter", "salt + pepper", "olive_oil", "=x"]
    assert names_in("Olive oil; butter, unsalted", known) == ([3, 0], [])
    assert names_in("salt + pepper + butter", known) == ([2, 1], [])
    assert names_in("butter/sugar,'=x", known) == ([1, 4], ["sugar"]) or names_in("'=x", known) == ([4], [])
    assert names_in(" ; ", known) == ([], [])


# --- placed by step, whatever the slate says -------------------------------------------------------------------------


def test_a_log_of_an_older_list_is_placed_by_step_and_additions(leeks: Dish) -> None:
    log = read(leeks, ROW.replace(",3,A,", ",7,C,"), ROW.replace("butter", "leek").replace("C0001", "C0002"))
    assert [(t.shot.slate, t.additions[0].ingredient.key) for t in log.takes] == [("3A", "butter"), ("3B", "leek")]
    assert [p.code for p in log.problems] == ["slate-moved"]
    assert "2 of 2 takes" in log.problems[0].message


def test_a_take_over_midnight(leeks: Dish) -> None:
    (take,) = read(leeks, ROW.replace("10:00:00:00", "23:59:58:00").replace("10:00:05:00", "00:00:03:00")).takes
    assert take.frames == 125
    assert label(take.out_frame or 0, P25) == "00:00:03:00"


def test_steps_of_the_same_name_are_told_apart_by_dish_or_slate() -> None:
    ids = [s.step.id for s in SUPPER_SHOTS if s.step]
    assert ids
    for shot in SUPPER_SHOTS:
        if shot.step is not None and shot.dish is not None:
            raw = f"dish,step,verdict\n{shot.dish.name},{shot.step.id},NG\n".encode()
            log = read_log(raw, "takes.csv", SUPPER, SUPPER_SHOTS)
            assert log.problems == ()
            assert log.takes[0].shot.step is shot.step


# --- what is wrong, and where ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bent", "code", "cell", "words"),
    [
        (("Leeks on toast", "Chowder"), "other-recipe", "title", "of “Chowder”, not of “Leeks on toast”"),
        (("toast,,", "toast,Chowder,"), "unknown-dish", "dish", "no dish “Chowder”"),
        (("soften", "softn"), "unknown-step", "step", "“softn”"),
        (("butter", "buter"), "unknown-addition", "additions", "“buter” is not added at step 2 (soften)"),
        (("butter", "mustard"), "unknown-addition", "additions", "“mustard” is not added at step 2 (soften)"),
        (("circled", "splendid"), "unknown-verdict", "verdict", "“splendid” is no verdict"),
        (("circled", ""), "no-verdict", "verdict", "no verdict"),
        (("10:00:05:00", "banana"), "bad-timecode", "out", "“banana” is no time code"),
        (("10:00:05:00", "10:00:05:25"), "bad-timecode", "out", "frames run from 00 to 24"),
        (("10:00:05:00", "09:00:05:00"), "out-before-in", "out", "before its in"),
        ((",A,1,", ",A,one,"), "bad-number", "take", "“one” is no take number"),
        ((",3,A,", ",three,A,"), "bad-number", "scene", "“three” is no scene number"),
        ((",3,A,", ",0,A,"), "bad-number", "scene", "“0” is no scene number"),
        ((",3,A,1,soften,butter", ",77,A,1,,"), "unknown-shot", "scene", "no shot has the slate 77A"),
    ],
)  # fmt: skip
def test_a_wrong_cell_is_told_with_its_line_and_column(
    leeks: Dish, bent: tuple[str, str], code: str, cell: str, words: str
) -> None:
    row = ROW.replace(*bent)
    log = read(leeks, ROW.replace("C0001", "C0002").replace(",1,soften", ",2,soften"), row)
    (problem,) = [p for p in log.problems if p.severity == "error"]
    column = len(",".join(row.split(",")[: COLUMNS.index(cell)])) + (2 if cell != "title" else 1)
    assert (problem.code, problem.place.file, problem.place.line, problem.place.column) == (
        code,
        "takes.csv",
        3,
        column,
    )
    assert words in problem.message
    assert problem.hint
    assert len(log.takes) == 1
    with pytest.raises(CannotDo):
        log.usable("takes.csv")


def test_everything_wrong_in_a_row_is_told_at_once(leeks: Dish) -> None:
    log = read(leeks, "Leeks on toast,,,,3,A,x,softn,butter,banana,,,great,")
    assert sorted(p.code for p in log.problems) == ["bad-number", "bad-timecode", "unknown-step", "unknown-verdict"]


def test_a_log_of_another_recipe_is_told_once(leeks: Dish) -> None:
    log = read(leeks, *[ROW.replace("Leeks on toast", "Chowder")] * 5)
    assert [p.message for p in log.problems] == ["5 takes are of “Chowder”, not of “Leeks on toast”"]


def test_a_log_that_is_cut_off(leeks: Dish) -> None:
    shots = shots_of(plan_of(leeks))
    whole = f"{HEAD}\r\n{ROW}\r\n{ROW.replace('C0001', 'C0002').replace('steam', chr(34) + 'a b' + chr(34))}\r\n"
    codes = set()
    for end in range(len(whole)):
        try:
            log = read_log(whole[:end].encode(), "takes.csv", leeks, shots)
            codes |= {p.code for p in log.problems}
            assert all(p.place.line >= 1 and p.hint for p in log.problems if p.severity == "error")
        except CannotDo as wrong:
            codes |= {p.code for p in wrong.problems}
    assert "truncated" in codes
    cut = whole[: whole.index("C0002") + 5].encode()
    assert told(read_log(cut, "takes.csv", leeks, shots)) == [("truncated", 3, len("Leeks on toast,,A001,") + 1)]
    with pytest.raises(CannotDo, match="not closed"):
        read_log(whole[:-4].encode(), "takes.csv", leeks, shots)


def test_overlapping_takes_on_one_clip_are_told_at_the_later_line(leeks: Dish) -> None:
    second = (
        ROW.replace("10:00:00:00", "10:00:04:24")
        .replace("10:00:05:00", "10:00:09:00")
        .replace(",1,soften", ",2,soften")
    )
    log = read(leeks, ROW, second)
    assert [(p.code, p.place.line, p.severity) for p in log.problems] == [("overlapping-takes", 3, "warning")]
    assert "line 2" in log.problems[0].message
    assert (
        read(leeks, ROW, second.replace("10:00:04:24", "10:00:05:00")).problems == ()
    )  # out is the frame after the last
    assert read(leeks, ROW, second.replace("C0001", "C0002")).problems == ()
    assert read(leeks, ROW, second.replace("A001", "A002")).problems == ()


def test_a_take_that_is_logged_twice(leeks: Dish) -> None:
    log = read(leeks, ROW, ROW.replace("C0001", "C0002"))
    assert told(log) == [("take-twice", 3, 1)]


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "empty-log"), (b"\r\n\r\n", "empty-log"), (b"title,step\r\nx,y\r\n", "missing-column"), (b"verdict\r\nNG\r\n", "missing-column"),
        (b"step,verdict,Step\r\n", "column-twice"), (b"\x00\x01\x02", "not-text"), (b"x" * (MOST_BYTES + 1), "too-large"),
        (b'step,verdict\r\n"soften', "truncated"), (b"\xff\xfe\x00", "not-text"), (b"\xff\xfea\x00", "missing-column"), (b"PK\x03\x04\x14\x00", "not-text"),
    ],
)  # fmt: skip
def test_what_is_no_log_is_told(leeks: Dish, raw: bytes, code: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        read_log(raw, "takes.csv", leeks, shots_of(plan_of(leeks)))
    assert code in [p.code for p in wrong.value.problems]


PIECES = st.sampled_from(
    [HEAD, ROW, *COLUMNS, ",", ";", "\t", '"', "\r\n", "\n", "soften", "butter", "circled", "10:00:00:00", "0,5", "'=x", "½", "\u202e"]
)  # fmt: skip


@settings(max_examples=100, deadline=None)
@given(st.lists(PIECES | st.text(max_size=5), max_size=25).map("".join))
def test_any_text_is_a_log_or_a_clear_problem(text: str) -> None:
    raw = text.encode("utf-8", errors="replace")
    try:
        log = read_log(raw, "takes.csv", SUPPER, SUPPER_SHOTS)
    except CannotDo as wrong:
        assert all(p.message for p in wrong.problems)
        return
    lines = text.count("\n") + text.count("\r") + 1
    assert all(1 <= p.place.line <= lines and p.place.column >= 1 for p in log.problems)


@settings(max_examples=60)
@given(st.binary(max_size=60))
def test_any_bytes_are_a_log_or_a_clear_problem(raw: bytes) -> None:
    with pytest.raises(CannotDo):
        read_log(raw, "takes.csv", SUPPER, SUPPER_SHOTS)


def test_verdicts_in_the_words_of_the_set() -> None:
    assert [verdict(w) for w in ("Circled", "HOLD", " n.g. ", "No good", "FS")] == [
        "circled",
        "hold",
        "NG",
        "NG",
        "false start",
    ]


# --- what is covered -------------------------------------------------------------------------------------------------


def test_only_a_circled_take_covers_an_addition(leeks: Dish) -> None:
    rows = [ROW, ROW.replace("butter", "leek").replace("circled", "hold").replace("C0001", "C0002")]
    log = read(leeks, *rows)
    missing = without_circled_take(log.takes, dishes_of(leeks))
    assert [(d.name, s.id, a.ingredient.key) for d, s, a in missing] == [
        ("Leeks on toast", "soften", "leek"), ("Leeks on toast", "finish", "mustard"), ("Leeks on toast", "finish", "salt"),
    ]  # fmt: skip
    both = read(leeks, ROW.replace("butter", "butter; leek"))
    assert [a.ingredient.key for _, _, a in without_circled_take(both.takes, dishes_of(leeks))] == ["mustard", "salt"]


@given(st.sets(st.sampled_from([s.slate for s in SUPPER_SHOTS])))
@settings(max_examples=40, deadline=None)
def test_covered_and_missing_are_all_additions(circled: set[str]) -> None:
    def take(shot: Shot) -> Take:
        return Take(shot=shot, number=1, additions=shot.additions, verdict="circled", place=Place("f"))

    logged = [take(s) for s in SUPPER_SHOTS if s.slate in circled]
    missing = [a.place for _, _, a in without_circled_take(logged, dishes_of(SUPPER))]
    covered = [a.place for t in logged for a in t.additions]
    assert sorted(missing + covered) == sorted(a.place for d in dishes_of(SUPPER) for a in d.additions)
