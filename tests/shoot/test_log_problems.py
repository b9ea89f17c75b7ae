"""What is wrong with a take log is told, with its line and column."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st
from leeks_log import HEAD, LEEKS, ROW, SUPPER, SUPPER_SHOTS, leeks_on_toast, read, told

from scriptkit.problems import CannotDo
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.log.csv_cells import MOST_BYTES
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import COLUMNS, TakeLog
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.shots.shots import shots_of

leeks = pytest.fixture(leeks_on_toast)


@pytest.mark.parametrize(
    ("bent", "code", "cell", "words"),
    [
        (("circled", "splendid"), "unknown-verdict", "verdict", "“splendid” is not a verdict"),
        (("circled", ""), "no-verdict", "verdict", "no verdict"),
        (("10:00:05:00", "banana"), "bad-timecode", "out", "“banana” is not time code"),
        (("10:00:05:00", "10:00:05:25"), "bad-timecode", "out", "frames run from 00 to 24"),
        (("10:00:05:00", "09:00:05:00"), "out-before-in", "out", "before its in"),
        ((",A,1,", ",A,one,"), "bad-number", "take", "“one” is not a take number"),
        ((",3,A,", ",three,A,"), "bad-number", "scene", "“three” is not a scene number"),
        ((",3,A,", ",0,A,"), "bad-number", "scene", "“0” is not a scene number"),
        ((",3,A,1,soften", ",,,1,"), "unknown-shot", "scene", "the take has neither a step nor a scene"),
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


OLDER = [
    (("Leeks on toast", "Chowder"), "other-recipe", "title", "takes of “Chowder”, not of “Leeks on toast”"),
    (("toast,,", "toast,Chowder,"), "unknown-dish", "dish", "no dish “Chowder”"),
    (("soften", "softn"), "unknown-step", "step", "“softn”"),
    (("butter", "buter"), "unknown-addition", "additions", "“buter” is not added at step 2 (soften)"),
    (("butter", "mustard"), "unknown-addition", "additions", "“mustard” is not added at step 2 (soften)"),
    ((",3,A,1,soften,butter", ",77,A,1,,"), "unknown-shot", "scene", "no shot has the slate 77A"),
]


@pytest.mark.parametrize(("bent", "code", "cell", "words"), OLDER)
def test_rows_that_the_recipe_does_not_have_are_named_and_the_others_read(
    leeks: Dish, bent: tuple[str, str], code: str, cell: str, words: str
) -> None:
    row, good = ROW.replace(*bent), ROW.replace("C0001", "C0002").replace(",1,soften", ",2,soften")
    log = read(leeks, good, row)
    (problem,) = log.problems
    column = len(",".join(row.split(",")[: COLUMNS.index(cell)])) + (2 if cell != "title" else 1)
    assert (problem.severity, problem.code, problem.place.line, problem.place.column) == ("warning", code, 3, column)
    slate = "77A" if "77" in row else "3A"
    assert words in problem.message and problem.message.endswith(f"; left out: {slate} take 1")
    assert problem.hint
    assert [t.number for t in log.usable("takes.csv")] == [2]
    with pytest.raises(CannotDo):  # where no row is of this recipe, nothing can be done with the log
        read(leeks, row).usable("takes.csv")


def test_a_take_keeps_the_additions_that_its_step_still_has(leeks: Dish) -> None:
    log = read(leeks, ROW.replace("butter", "butter; oregano"))
    assert [[a.ingredient.key for a in t.additions] for t in log.takes] == [["butter"]]
    assert [p.message for p in log.problems] == ["“oregano” is not added at step 2 (soften); left out: 3A take 1"]


def test_many_rows_of_one_lost_step_are_one_warning(leeks: Dish) -> None:
    rows = [
        ROW.replace("soften", "bloom").replace(",3,A,1", f",9,B,{n}").replace("C0001", f"C{n}") for n in range(2, 22)
    ]
    log = read(leeks, ROW, *rows)
    (problem,) = log.problems
    assert problem.message.startswith("no step “bloom” is in this recipe; left out: 9B take 2, 9B take 3")
    assert problem.message.endswith(" and 8 more")


def test_weights_of_what_is_not_there_any_more_are_left_out(leeks: Dish) -> None:
    weights = [
        "Leeks on toast,,,,,,,soften,oregano,,,,weighed,,3 g",
        "Leeks on toast,,,,,,,bloom,butter,,,,weighed,,30 g",
    ]
    log = read(leeks, ROW, *weights)
    assert log.weighings == ()
    assert [(p.severity, p.code, p.place.line) for p in log.problems] == [
        ("warning", "unknown-addition", 3),
        ("warning", "unknown-step", 4),
    ]
    assert log.problems[0].message.endswith("left out: the weight in line 3")


def test_everything_wrong_in_a_row_is_told_at_once(leeks: Dish) -> None:
    log = read(leeks, "Leeks on toast,,,,3,A,x,softn,butter,banana,,,great,")
    assert sorted(p.code for p in log.problems) == ["bad-number", "bad-timecode", "unknown-step", "unknown-verdict"]


def test_a_log_of_another_recipe_is_told_once(leeks: Dish) -> None:
    log = read(leeks, *[ROW.replace("Leeks on toast", "Chowder")] * 5)
    assert [p.message for p in log.problems] == ["the log has takes of “Chowder”, not of “Leeks on toast” (3A take 1)"]
    assert log.problems[0].severity == "error"


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


def test_a_number_that_two_dishes_have_is_asked_about_unless_the_slate_tells() -> None:
    one, other = (next(s for s in SUPPER_SHOTS if s.step is d.steps[0]) for d in dishes_of(SUPPER))

    def log(slate: str) -> TakeLog:
        text = f"step,scene,setup,additions,verdict\n1,{slate},,circled\n"
        return read_log(text.encode(), "takes.csv", SUPPER, SUPPER_SHOTS)

    (asked,) = log(",").problems
    assert (asked.code, asked.place.line, asked.place.column) == ("ambiguous-step", 2, 1)
    for shot in (one, other):
        number, letter = shot.slate[:-1], shot.slate[-1]
        found = log(f"{number},{letter}").usable("takes.csv")
        assert [t.shot.step for t in found] == [shot.step]


def test_a_take_of_a_step_that_is_not_shown_is_told(table: Table) -> None:
    dish = table.dish(LEEKS.replace("hands: 4 min, screen: 6 s", "hands: 4 min, screen: 0 s"))
    found = read_log(b"step,verdict\nslice,circled\n", "takes.csv", dish, shots_of(plan_of(dish)))
    assert [(p.code, p.place.line) for p in found.problems] == [("unknown-shot", 2)]
    assert "step 1 (slice) has no shot" in found.problems[0].message
