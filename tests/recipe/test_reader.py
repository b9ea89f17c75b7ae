"""Opening files: what cannot be read is told once, with what to do."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from messages import placed

from scriptkit.problems import CannotDo, Problem
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import LARGEST_FILE, read_source

DISH = "dish: D\nservings: 1\ningredients: {leek: 30 g}\n"


def refused(path: str) -> Problem:
    with pytest.raises(CannotDo) as wrong:
        read_source(path)
    assert len(wrong.value.problems) == 1
    assert wrong.value.problems[0].hint
    return wrong.value.problems[0]


def told(problem: Problem) -> tuple[int, int, str]:
    return (problem.place.line, problem.place.column, problem.code)


def test_a_file_that_is_not_there_and_its_near_name(table: Table) -> None:
    table.write("bisque.yaml", DISH)
    problem = refused(str(table.folder / "bisqe.yaml"))
    assert told(problem) == (1, 1, "no-such-file")
    assert problem.hint == f"did you mean {table.folder / 'bisque.yaml'}?"
    assert refused(str(table.folder / "zzz.yaml")).hint == "check the name and the folder"
    assert refused(str(table.folder / "no" / "such" / "x.yaml")).code == "no-such-file"


@pytest.mark.parametrize("name", ["", ".", "/"])
def test_a_folder(name: str) -> None:
    assert refused(name).code == "folder"


@pytest.mark.parametrize("name", ["a\0b.yaml", "x" * 5000])
def test_a_name_that_no_file_can_have(name: str) -> None:
    assert refused(name).code == "unreadable"


def test_a_file_in_a_file(table: Table) -> None:
    assert refused(table.write("a.yaml", DISH) + "/b.yaml").code == "unreadable"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device here")
def test_a_device_without_end() -> None:
    assert refused("/dev/zero").code == "too-large"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="everything may be read here")
def test_a_file_that_may_not_be_read(table: Table) -> None:
    path = Path(table.write("a.yaml", DISH))
    path.chmod(0)
    assert refused(str(path)).code == "unreadable"


@pytest.mark.parametrize(
    ("raw", "place"),
    [
        (b"dish: caf\xe9\n", (1, 10)),
        ("dish: é漢🐟".encode() + b"\xff\n", (1, 10)),
        (b"dish: D\r\nservings: \xfc\r\n", (2, 11)),
        (DISH.encode("utf-16"), (1, 1)),
        (b"\xef\xbb\xbfdish: \xff", (1, 7)),
    ],
)
def test_text_that_is_not_utf_8(table: Table, raw: bytes, place: tuple[int, int]) -> None:
    path = table.folder / "a.yaml"
    path.write_bytes(raw)
    assert told(refused(str(path))) == (*place, "not-utf-8")


def test_utf_16_without_its_mark_is_told_too(table: Table) -> None:
    path = table.folder / "a.yaml"
    path.write_bytes(DISH.encode("utf-16-le"))
    assert told(refused(str(path))) == (1, 2, "yaml")


def test_a_byte_order_mark_is_no_part_of_the_text(table: Table) -> None:
    path = table.folder / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + DISH.encode())
    assert read_source(str(path)).problems == []


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_ends_of_lines(table: Table, ends: str) -> None:
    path = table.folder / "a.yaml"
    path.write_bytes((DISH + "cups: x\n").replace("\n", ends).encode())
    reading = read_source(str(path))
    assert told(reading.problems[0]) == (4, 7, "wrong-value")
    assert reading.texts[str(path)][3] == "cups: x"


def test_a_file_that_is_too_large(table: Table) -> None:
    assert refused(table.write("a.yaml", "# " + "x" * LARGEST_FILE)).code == "too-large"
    just = DISH + "# " + "x" * (LARGEST_FILE - len(DISH) - 2)
    assert read_source(table.write("b.yaml", just)).problems == []


def test_what_is_wrong_cannot_be_used(table: Table) -> None:
    reading = table.read(DISH.replace("leek", "leak"))
    assert isinstance(reading.source, Dish)
    with pytest.raises(CannotDo) as wrong:
        reading.usable()
    assert [p.code for p in wrong.value.problems] == ["unknown-food"]
    assert any(wrong.value.lines.values())


def test_warnings_do_not_stop_a_dish(table: Table) -> None:
    reading = table.read(DISH + "serving: 100 g\n")
    assert [p.severity for p in reading.problems] == ["warning"]
    assert reading.usable() is reading.source


# --- meals --------------------------------------------------------------------------------------------------------------


def meal(table: Table, *dishes: str) -> list[tuple[str, int, int, str]]:
    """What is told of a meal of these dish files."""
    text = "meal: M\ndishes:\n" + "".join(f"  - {{dish: '{name}'}}\n" for name in dishes)
    problems = table.read(text, "meal.yaml").problems
    return [(Path(p.place.file).name, *told(p)) for p in problems]


def test_a_meal_of_two_dishes(table: Table) -> None:
    table.write("a.yaml", DISH)
    table.write("b.yaml", DISH)
    source = table.meal("meal: M\nplates: 3\ndishes:\n  - {dish: a.yaml}\n  - {dish: b.yaml, portion: 10 g}\n")
    assert [(p.dish.file, p.grams) for p in source.portions] == [
        (str(table.folder / "a.yaml"), 30), (str(table.folder / "b.yaml"), 10),
    ]  # fmt: skip
    assert source.plates == 3


def test_a_dish_named_twice_is_one_dish(table: Table) -> None:
    table.write("a.yaml", DISH.replace("leek", "leak"))
    assert meal(table, "a.yaml", "a.yaml") == [("a.yaml", 3, 15, "unknown-food")]
    table.write("a.yaml", DISH)
    source = table.meal("meal: M\ndishes: [{dish: a.yaml}, {dish: a.yaml}]\n")
    assert source.dishes[0] is source.dishes[1]


@pytest.mark.parametrize(
    ("on_disk", "written"),
    [
        ("dishes/leek.yaml", "dishes\\\\leek.yaml"),
        ("a/b/leek.yaml", "x\\\\..\\\\a\\\\b\\\\leek.yaml"),
        ("cr\u00e8me.yaml", "cre\u0300me.yaml"),
        ("dishes/cre\u0300me.yaml", "dishes\\\\cr\u00e8me.yaml"),
    ],
    ids=["backslash", "backslashes", "accent composed", "accent apart"],
)
def test_a_meal_that_was_written_on_another_system(on_disk: str, written: str, table: Table) -> None:
    for folder in ("x", Path(on_disk).parent):
        (table.folder / folder).mkdir(parents=True, exist_ok=True)
    table.write(
        on_disk,
        "dish: Leek\nservings: 1\ningredients: {leek: 200 g}\nsteps: [{stage: cook, do: Boil it., add: {leek: all}}]\n",
    )
    assert [d.name for d in table.meal(f'meal: M\nplates: 1\ndishes: [{{dish: "{written}"}}]\n').dishes] == ["Leek"]


@pytest.mark.parametrize(
    ("name", "text", "problems"),
    [
        ("missing.yaml", None, [("meal.yaml", 3, 12, "dish-file")]),
        (".", None, [("meal.yaml", 3, 12, "dish-file")]),
        ("-", None, [("meal.yaml", 3, 12, "dish-file")]),
        ("meal.yaml", None, [("meal.yaml", 3, 12, "dish-file")]),
        ("other.yaml", "meal: O\ndishes: [{dish: other.yaml}]\n", [("meal.yaml", 3, 12, "dish-file")]),
        ("empty.yaml", "", [("meal.yaml", 3, 12, "dish-file")]),
        ("list.yaml", "- a\n", [("meal.yaml", 3, 12, "dish-file")]),
        ("pantry.yaml", "foods: {}\n", [("meal.yaml", 3, 12, "dish-file")]),
        ("broken.yaml", "dish: [\n", [("broken.yaml", 1, 8, "yaml")]),
        ("faulty.yaml", DISH + "cups: x\n", [("faulty.yaml", 4, 7, "wrong-value")]),
    ],
)
def test_a_dish_of_a_meal_that_cannot_be_used(
    table: Table, name: str, text: str | None, problems: list[tuple[str, int, int, str]]
) -> None:
    if text is not None:
        table.write(name, text)
    assert meal(table, name) == problems
    table.write("good.yaml", DISH.replace("servings: 1", "servings: 2"))  # it is served twice
    assert meal(table, name, "good.yaml", "good.yaml") == problems


def test_limits_are_not_judged_where_a_dish_is_missing(table: Table) -> None:
    source = table.read("meal: M\ndishes: [{dish: no.yaml}]\nat_least: {protein_g: 30}\n", "meal.yaml").source
    assert isinstance(source, Meal)
    assert source.limits == ()


def test_a_dish_called_hyphen_is_no_standard_input(table: Table, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(table.folder)
    table.write("meal.yaml", "meal: M\ndishes: [{dish: '-'}]\n")
    assert [told(p) for p in read_source("meal.yaml").problems] == [(2, 17, "dish-file")]


def test_the_example_meal() -> None:
    reading = read_source(str(EXAMPLES / "harbour-supper.yaml"))
    assert reading.problems == []
    assert isinstance(reading.usable(), Meal)
    assert len(reading.texts) == 3


# --- standard input ------------------------------------------------------------------------------------------------------


def test_standard_input(run: Callable[..., subprocess.CompletedProcess[str]]) -> None:
    done = run("check", "-", stdin=DISH + "cups: x\n")
    assert done.returncode == 1
    assert "-:4:7 error wrong-value" in placed(done.stderr)
    assert run("check", "-", stdin="").returncode == 2
    assert "-:1:1 error too-large" in placed(run("check", "-", stdin="x" * (LARGEST_FILE + 1)).stderr)
