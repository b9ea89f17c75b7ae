"""The take log: written and read back the same, each take at its step, and what the takes cover."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from leeks_log import HEAD, P25, ROW, SUPPER, SUPPER_SHOTS, leeks_on_toast, read, told

from scriptkit.problems import Place, printable
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.log.log_cells import VERDICTS
from scriptkit.shoot.log.log_reader import read_log
from scriptkit.shoot.log.take_log import COLUMNS, Take, label, without_circled_take, write_log
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.shoot.shots.shots import Shot, shots_of

leeks = pytest.fixture(leeks_on_toast)


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
