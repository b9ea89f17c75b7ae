"""One shape for everything a person must be told."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.problems import (
    CannotDo,
    Place,
    Problem,
    any_of,
    error,
    format_problem,
    in_order,
    nearest,
    needs_a_person,
    note,
    printable,
    warning,
)

AT = Place("dish.yaml", 3, 9)


def test_a_problem_is_printed_with_its_line_a_caret_and_the_hint() -> None:
    problem = error(AT, "unit", "“ladle” is not a unit", "write ml")
    lines = {"dish.yaml": ["dish: X", "ingredients:", "  milk: 2 ladle"]}
    assert format_problem(problem, lines) == (
        "dish.yaml:3:9: error[unit]: “ladle” is not a unit\n      milk: 2 ladle\n            ^\n  hint: write ml"
    )


@pytest.mark.parametrize(
    "lines", [{}, {"other.yaml": ["a"]}, {"dish.yaml": ["only one"]}, {"dish.yaml": ["", "", "   "]}]
)
def test_a_line_that_is_not_known_is_left_out(lines: dict[str, list[str]]) -> None:
    assert format_problem(note(AT, "x", "m"), lines) == "dish.yaml:3:9: note[x]: m"


def test_the_caret_stays_under_its_word_in_a_long_line() -> None:
    source = "x" * 400 + "WORD" + "y" * 400
    shown = format_problem(warning(Place("f", 1, 401), "c", "m"), {"f": [source]}).splitlines()
    assert len(shown[1]) <= 104
    assert shown[1][shown[2].index("^") :].startswith("WORD")


@given(st.text(max_size=300), st.integers(1, 400), st.text(max_size=40), st.text(max_size=40))
@settings(max_examples=100)
def test_a_terminal_never_acts_on_what_a_file_contains(source: str, column: int, message: str, hint: str) -> None:
    told = format_problem(
        Problem(Place("f\x1b[2J", 1, column), error(AT, "c", "").severity, "c", message, hint), {"f\x1b[2J": [source]}
    )
    assert all(c.isprintable() or c == "\n" for c in told)


def test_escape_sequences_are_seen_and_not_acted_on() -> None:
    assert printable("\x1b[31mred\u202etxet\tend") == "·[31mred·txet end"


def test_problems_are_sorted_by_place_and_each_is_told_once() -> None:
    a, b, c = (error(Place(*p), "c", "m") for p in (("a", 2, 1), ("a", 2, 3), ("b", 1, 1)))
    d = error(Place("a", 10, 1), "c", "m")
    assert in_order([c, d, b, a, b]) == [a, b, d, c]


def test_notes_need_no_person() -> None:
    assert not needs_a_person([note(AT, "c", "m")])
    assert needs_a_person([note(AT, "c", "m"), warning(AT, "c", "m")])
    assert not needs_a_person([])


def test_what_cannot_be_done_says_why() -> None:
    with pytest.raises(ValueError, match="at least one problem"):
        CannotDo([])
    wrong = CannotDo([error(AT, "a", "first"), error(AT, "b", "second")], {"dish.yaml": ["x"]})
    assert str(wrong) == "first; second"
    assert wrong.lines == {"dish.yaml": ["x"]}


def test_json_has_every_part() -> None:
    assert error(AT, "unit", "m", "h").as_json() == {
        "file": "dish.yaml", "line": 3, "column": 9, "severity": "error", "code": "unit", "message": "m", "hint": "h",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("word", "known", "found"),
    [
        ("buter", ["butter", "batter", "salt"], "butter"),
        ("BUTTER", ["Butter"], "Butter"),
        ("xyz", ["butter"], None),
        ("", ["butter"], None),
        ("butter", [], None),
    ],
)
def test_the_likely_spelling(word: str, known: list[str], found: str | None) -> None:
    assert next(iter(nearest(word, known)), None) == found


@pytest.mark.parametrize(
    ("words", "said"), [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")]
)
def test_choices_are_said_as_a_person_says_them(words: list[str], said: str) -> None:
    assert any_of(words) == said
