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


def test_a_food_shows_what_it_would_make_though_its_amount_is_in_doubt() -> None:
    (question,) = [q for q in Asked(DISH, "pie.yaml").questions() if q.id == "food:dough"]
    filo, shortcrust = (c.energy_kcal for c in question.choices)
    assert filo is not None and shortcrust is not None and shortcrust > filo > 100
    assert question.moves > 0
