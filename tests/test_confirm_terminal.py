"""``confirm`` as it is typed: a real terminal, one key an answer, left and taken up again."""

from __future__ import annotations

import os
import pty
import sys
from pathlib import Path

import pytest
from conftest import Table

from scriptkit.cli import confirm
from scriptkit.confirming import Asked

DISH = """\
dish: Harbour pie   # a working title
servings: 4
ingredients:
  dough:  {amount: 250 g, food: "pastry, filo", unsure: {food: 0.4, amount: 0.3, read_from: "1 pack dough", candidates: ["pastry, shortcrust"]}}
  butter: {amount: 30 g, food: "butter, unsalted", unsure: {amount: 0.3, read_from: a knob of butter}}
steps:
  - {stage: cook, do: Bake it all., add: {dough: all, butter: all}, screen: 30 s}
"""


def typed(monkeypatch: pytest.MonkeyPatch, file: str, keys: str) -> int:
    """What the command leaves with when these keys come from a terminal."""
    ours, theirs = pty.openpty()
    try:
        os.write(ours, keys.encode())
        with os.fdopen(theirs, encoding="utf-8") as terminal, monkeypatch.context() as here:
            here.setattr(sys, "stdin", terminal)
            return confirm.run(file)
    finally:
        os.close(ours)


def test_one_key_an_answer(monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, "2q") == 1
    text = Path(file).read_text(encoding="utf-8")
    assert "food: pastry, shortcrust" in text.replace('"', "") and "# a working title" in text and "amount: 0.3" in text
    printed = capsys.readouterr().out
    assert "Which food is dough?" in printed and "read from “1 pack dough”" in printed
    assert typed(monkeypatch, file, "ss") == 1  # all skipped, they come again
    assert typed(monkeypatch, file, "11") == 0
    assert "nothing is left to confirm" in capsys.readouterr().out and "unsure" not in Path(file).read_text(
        encoding="utf-8"
    )


def test_a_wrong_key_asks_again_and_an_amount_can_be_typed(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, "1xsw20 g\nq") == 1
    printed = capsys.readouterr().out
    assert "press one of the keys above" in printed and "1 left to confirm" in printed
    assert "20 g" in Path(file).read_text(encoding="utf-8")


def test_each_answer_is_said_back_and_what_is_left_is_listed(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, "2q") == 1
    printed = capsys.readouterr().out
    assert printed.startswith("3 to confirm in ") and "Press ? for help" in printed.splitlines()[0]
    assert "  written: dough: pastry, shortcrust\n" in printed
    stopped = printed.partition("stopped; 2 left to confirm")[2]
    assert "  - How much butter?" in stopped and "  - How much dough?" in stopped and "Which food" not in stopped
    assert typed(monkeypatch, file, "saq") == 1
    printed = capsys.readouterr().out
    assert "  skipped: How much" in printed and printed.count("  - How much") == 3, "one on a, two at the end"


def test_help_explains_the_keys_of_its_question(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    typed(monkeypatch, file, "?q")
    printed = capsys.readouterr().out
    for line in ("The figures and the allergens are those of the food you name.", "  1 to 2  take this choice", "  o       another food: you type it", "  l       its label",
                 "  b       back: undo the last answer", "  q       stop"):  # fmt: skip
        assert line in printed, printed
    typed(monkeypatch, file, "1?q")
    printed = capsys.readouterr().out
    assert "  w       another amount" in printed and "its label" not in printed.partition("How much")[2]


def test_back_undoes_the_last_answers_to_the_letter(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, "b21bbbq") == 1
    assert Path(file).read_text(encoding="utf-8") == DISH
    printed = capsys.readouterr().out
    assert printed.count("there is nothing to take back yet") == 2 and printed.count("taken back") == 2
    assert typed(monkeypatch, file, "sb1q") == 1  # what was skipped comes again at once
    assert "0.4" not in Path(file).read_text(encoding="utf-8")


def test_back_leaves_what_somebody_else_wrote(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    answers = iter("1b")

    def key() -> str:
        pressed = next(answers, "q")
        if pressed == "b":
            text = Path(file).read_text(encoding="utf-8")
            Path(file).write_text(text.replace("servings: 4", "servings: 6"), encoding="utf-8")
        return pressed

    monkeypatch.setattr("scriptkit.cli.confirm_terminal._key", key)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    assert confirm.run(file) == 1
    assert "so the last answer stays" in "".join(capsys.readouterr())
    assert "servings: 6" in Path(file).read_text(encoding="utf-8")


@pytest.mark.parametrize("keys", ["\r1\nq", "\x1b[A1q", "\x1bOP1q", "\x1b[15~1q", "1\nQ"])
def test_enter_and_arrows_are_no_keys(
    keys: str, monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, keys) == 1
    printed = capsys.readouterr().out
    assert "written: dough: pastry, filo" in printed and "answers nothing here" not in printed


def test_a_wrong_key_is_named_with_those_that_there_are(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(monkeypatch, table.write("pie.yaml", DISH), "9q")
    assert "“9” answers nothing here: press one of the keys above (1 to 2, o, l, s, b, a, q; ? explains them)" in capsys.readouterr().out  # fmt: skip


def test_what_is_typed_can_be_thought_better_of_and_is_asked_again(
    monkeypatch: pytest.MonkeyPatch, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table.write("pie.yaml", DISH)
    assert typed(monkeypatch, file, "o\nl300 kcal\n300\n10\n\n\n\nq") == 1
    printed = capsys.readouterr().out
    assert printed.count("Which food is dough?") == 2 and "answers nothing here" not in printed  # asked, asked again
    assert "“300 kcal” is no number" in printed
    assert "written: dough: energy_kcal 300, fat_g 10 per 100 g" in printed
    assert typed(monkeypatch, table.write("pie.yaml", DISH), "ono such food\nq") == 1
    assert "nothing was written" in capsys.readouterr().out


def test_a_food_shows_what_it_would_make_though_its_amount_is_in_doubt() -> None:
    (question,) = [q for q in Asked(DISH, "pie.yaml").questions() if q.id == "food:dough"]
    filo, shortcrust = (c.energy_kcal for c in question.choices)
    assert filo is not None and shortcrust is not None and shortcrust > filo > 100
    assert question.moves > 0
