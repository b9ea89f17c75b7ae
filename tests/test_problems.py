"""One shape for everything a person must be told."""

from __future__ import annotations

import io
import os
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from messages import MESSAGE, kinds

from scriptkit.cli.printing import terminal_style
from scriptkit.problems import (
    CannotDo,
    Place,
    Problem,
    Severity,
    Style,
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


def test_a_problem_is_printed_with_its_line_a_caret_and_the_fix() -> None:
    problem = error(AT, "unit", "“ladle” is not a unit", "write ml")
    lines = {"dish.yaml": ["dish: X", "ingredients:", "  milk: 2 ladle"]}
    assert format_problem(problem, lines) == (
        "dish.yaml:3:9: error: “ladle” is not a unit [unit]\n      milk: 2 ladle\n            ^\n  fix: write ml"
    )


@pytest.mark.parametrize(
    "lines", [{}, {"other.yaml": ["a"]}, {"dish.yaml": ["only one"]}, {"dish.yaml": ["", "", "   "]}]
)
def test_a_line_that_is_not_known_is_left_out(lines: dict[str, list[str]]) -> None:
    assert format_problem(note(AT, "x", "m"), lines) == "dish.yaml:3:9: note: m [x]"


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


NAMES = st.text(min_size=1, max_size=40) | st.sampled_from(
    [
        "a:1:2: error: b",
        " soup.yaml",
        "a:1",
        "a:1:2",
        ":1:2: note: :1:2: note: ",
        "C:\\soup.yaml",
        "cut.srt: error",
        "a:1:2: error",
    ]
)
WORDS = st.text(max_size=80) | st.sampled_from(
    ["", "no [unit]", "x:1:2: error: y [z]", "two\nlines", "\u2028a\x85b\x0c", "[a] [b]", "\x1b[31mred"]
)


@given(
    NAMES, st.integers(1, 10**7), st.integers(1, 10**5), st.sampled_from(Severity), WORDS,
    st.from_regex(r"[a-z0-9]+(-[a-z0-9]+)*", fullmatch=True), WORDS, WORDS,
)  # fmt: skip
@settings(max_examples=400)
def test_a_printed_problem_is_read_back_by_one_expression(
    name: str, line: int, column: int, severity: Severity, message: str, code: str, hint: str, source: str
) -> None:
    printed = format_problem(Problem(Place(name, line, column), severity, code, message, hint), {name: [source]})
    first, *rest = printed.split("\n")
    read = MESSAGE.fullmatch(first)
    assert read is not None
    assert {(a, b) for a, b in zip(read["file"], printable(name), strict=True) if a != b} <= {("·", " ")}
    assert (read["line"], read["column"], read["severity"]) == (str(line), str(column), severity.value)
    assert (read["message"], read["code"]) == (printable(message), code)
    assert rest[-1:] == ([f"  fix: {printable(hint)}"] if hint else rest[-1:])
    assert len(MESSAGE.findall(printed)) == 1, "neither the shown line nor the fix reads as another message"


@given(st.text(min_size=1, max_size=60), st.text(min_size=1, max_size=200), st.integers(1, 120))
def test_colour_and_width_change_no_word(message: str, hint: str, width: int) -> None:
    problem = warning(AT, "c", message, hint)
    plain = format_problem(problem)
    coloured = format_problem(problem, style=Style(colour=True))
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    wrapped = format_problem(problem, style=Style(width=width))
    assert wrapped.split() == plain.split()


def test_a_long_fix_is_wrapped_between_words_and_options_stay_whole() -> None:
    problem = error(
        AT, "c", "m", "use `--from-recipe supper.yaml` or write the portion as grams with `--portion 350 g`"
    )
    assert format_problem(problem, style=Style(width=44)).splitlines()[1:] == [
        "  fix: use `--from-recipe supper.yaml` or",
        "       write the portion as grams with",
        "       `--portion 350 g`",
    ]


def test_severity_and_fix_have_a_colour() -> None:
    coloured = format_problem(error(AT, "c", "m", "h"), {"dish.yaml": ["", "", "butter"]}, Style(colour=True))
    assert coloured.splitlines() == [
        "dish.yaml:3:9: \x1b[1;31merror:\x1b[0m m [c]", "    butter", "          \x1b[1;31m^\x1b[0m",
        "\x1b[1;32m  fix: \x1b[0mh",
    ]  # fmt: skip


class Terminal(io.StringIO):
    """A stream that says it is a terminal; it has no size of its own."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("stream", "environment", "style"),
    [
        (Terminal(), {}, Style(colour=True)),
        (Terminal(), {"COLUMNS": "80"}, Style(colour=True, width=80)),
        (Terminal(), {"COLUMNS": "0"}, Style(colour=True)),
        (Terminal(), {"COLUMNS": "wide"}, Style(colour=True)),
        (Terminal(), {"NO_COLOR": "1"}, Style()),
        (Terminal(), {"NO_COLOR": ""}, Style(colour=True)),
        (Terminal(), {"TERM": "dumb"}, Style()),
        (Terminal(), {"NO_COLOR": "1", "FORCE_COLOR": "1"}, Style()),
        (io.StringIO(), {}, Style()),
        (io.StringIO(), {"COLUMNS": "80"}, Style()),
        (io.StringIO(), {"FORCE_COLOR": "1"}, Style(colour=True)),
        (io.StringIO(), {"FORCE_COLOR": ""}, Style()),
    ],
)
def test_colour_and_wrapping_are_for_terminals(stream: io.StringIO, environment: dict[str, str], style: Style) -> None:
    assert terminal_style(stream, environment) == style


def test_the_width_is_that_of_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "get_terminal_size", lambda _: os.terminal_size((72, 20)))
    monkeypatch.setattr(Terminal, "fileno", lambda _: 2)
    assert terminal_style(Terminal(), {}).width == 72


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


def test_what_matters_most_is_printed_first(capsys: pytest.CaptureFixture[str]) -> None:
    from scriptkit.cli.printing import print_problems

    at = [Place("a.yaml", n) for n in (1, 2, 3, 4)]
    print_problems(
        [note(at[0], "n", "n"), warning(at[1], "w", "w"), error(at[3], "late", "e"), error(at[2], "early", "e")],
        {"a.yaml": ["one", "two", "three", "four"]},
    )
    printed = capsys.readouterr().err
    assert kinds(printed) == ["error early", "error late", "warning w", "note n"]
    assert "two" in printed and "one" not in printed  # a note goes without its line
