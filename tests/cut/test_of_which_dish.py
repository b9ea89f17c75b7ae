"""An ingredient that two dishes of a meal have: of which dish it is said that more went in."""

from __future__ import annotations

from pathlib import Path

from scriptkit.papers.coverage import coverage_report
from scriptkit.papers.gap_cards import LISTEN_TO
from scriptkit.production import Production, read

POTATOES = """\
dish: Lemon potatoes
servings: 2
ingredients: {potato: 600 g, salt: 6 g, olive oil: 20 g}
steps:
  - {id: boil, stage: cook, do: Boil the potatoes in water with the salt., add: {potato: all, salt: all}, vessel: pot, wait: 15 min, screen: 20 s}
  - {id: dress, stage: cook, do: Toss the potatoes in the olive oil., add: {olive oil: all}, vessel: bowl, screen: 12 s}
"""
COD = """\
dish: Baked cod
servings: 2
ingredients: {cod: 400 g, salt: 4 g, butter: {amount: 20 g, food: "butter, unsalted"}}
steps:
  - {id: season, stage: cook, do: Season the cod with the salt., add: {cod: all, salt: all}, vessel: tray, screen: 12 s}
  - {id: bake, stage: cook, do: Dot the butter over the cod and bake it., add: {butter: all}, vessel: tray, wait: 12 min, screen: 20 s}
"""
TEA = """\
meal: Quay tea
dishes: [{dish: potatoes.yaml, portion: 1 serving}, {dish: cod.yaml, portion: 1 serving}]
"""


def tea(folder: Path, near: str = "", last: str = "") -> Production:
    """The meal, with a line said beside the cod's salt, and one at the end."""
    talk = [
        "[0:05] Boil the potatoes in water with the salt. Fifteen minutes.",
        "[0:30] Now toss the potatoes in the olive oil in a bowl.",
        "[0:50] Season the cod with the salt, all over.",
        near and f"[0:58] {near}",
        "[1:10] Dot the butter over the cod and bake it for twelve minutes.",
        "[1:40] That's tea.",
        last and f"[1:50] {last}",
    ]
    for name, text in (("potatoes", POTATOES), ("cod", COD), ("tea", TEA)):
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    (folder / "talk.txt").write_text("\n".join(filter(None, talk)) + "\n", encoding="utf-8")
    return read(folder / "tea.yaml", transcript=folder / "talk.txt")


def of_the_salt(production: Production) -> dict[str, str]:
    return {row.dish.short: row.said for row in production.coverage.rows if row.name == "salt"}


def test_of_two_dishes_the_one_is_meant_at_whose_step_it_is_said(tmp_path: Path) -> None:
    production = tea(tmp_path, near="I put in double what it says of the salt.")
    assert of_the_salt(production) == {"Lemon potatoes": "goes in", "Baked cod": "more"}
    assert production.coverage.of_which_dish == ()


def test_of_two_dishes_the_one_is_meant_that_is_named(tmp_path: Path) -> None:
    production = tea(tmp_path, last="I put in double what it says of the salt for the potatoes.")
    assert of_the_salt(production) == {"Lemon potatoes": "more", "Baked cod": "goes in"}


def test_where_nothing_tells_which_of_two_dishes_is_meant_it_is_asked(tmp_path: Path) -> None:
    production = tea(tmp_path, last="By the way, I put in double what it says of the salt.")
    assert of_the_salt(production) == {"Lemon potatoes": "goes in", "Baked cod": "goes in"}
    (problem,) = (p for p in production.coverage_problems if p.code == "of-which-dish")
    assert problem.message == (
        "at 1:50 it is said that more went in of salt, and not whether of Lemon potatoes or Baked cod: "
        "“By the way, I put in double what it says of the salt.”"
    )
    report = coverage_report(production.coverage, production.rescues, production.coverage_problems)
    (card,) = next(g for g in report.groups if g.title == LISTEN_TO).cards
    assert (card.name, card.title) == ("1:50", "salt, of Lemon potatoes or of Baked cod")
    assert problem not in report.problems
    way = next(w for w in card.ways if w.label == "If of Baked cod")
    with (tmp_path / "tea.yaml").open("a", encoding="utf-8") as file:
        file.write(f"{way.text}\n")
    again = read(tmp_path / "tea.yaml", transcript=tmp_path / "talk.txt")
    assert again.coverage.of_which_dish == ()
    assert not [p for p in again.coverage_problems if p.code == "of-which-dish"]
