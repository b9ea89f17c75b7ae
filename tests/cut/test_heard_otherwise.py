"""A word that was likely misheard is the same to the coverage of a cut as to the proof of its captions: to be listened to, never certain."""

from __future__ import annotations

from pathlib import Path

from scriptkit.captions.proofing.misheard import due_in, misheard, words_of_dishes
from scriptkit.papers.coverage_matrix import step_tables
from scriptkit.production import Production, read
from scriptkit.timed_text.reading import parse_captions

DISH = """\
dish: Steak and slaw
servings: 4
ingredients:
  steak: {amount: 900 g, food: flank steak}
  paprika: 8 g
  cabbage: {amount: 340 g, prep: shredded}
  carrots: {amount: 170 g, prep: grated}
  mayonnaise: 80 g
steps:
  - {id: rub, stage: prep, do: Rub the steak with the paprika., add: [steak, paprika], vessel: tray, screen: 15 s}
  - {id: slaw, stage: prep, do: Toss the cabbage and carrots with the mayonnaise., add: [cabbage, carrots, mayonnaise], vessel: large bowl, screen: 20 s}
"""
TALK = """\
1
00:00:01,000 --> 00:00:06,000
Rub the steak with eight grams of pepper rica, all over.

2
00:01:20,000 --> 00:01:26,000
Toss the cabbage and a hundred and seventy grams of {carrots} with the mayonnaise.
"""


def production(tmp_path: Path, carrots: str = "parrots") -> Production:
    (tmp_path / "steak.yaml").write_text(DISH, encoding="utf-8")
    (tmp_path / "cut.srt").write_text(TALK.format(carrots=carrots), encoding="utf-8")
    return read(str(tmp_path / "steak.yaml"), transcript=str(tmp_path / "cut.srt"))


def test_coverage_hears_what_proof_calls_misheard(tmp_path: Path) -> None:
    made = production(tmp_path)
    dishes = made.dishes
    told = misheard(
        parse_captions((tmp_path / "cut.srt").read_text(encoding="utf-8"), "cut.srt"),
        words_of_dishes(dishes),
        due_in(dishes),
    )
    assert [p.message.split("”")[0] for p in told] == ["“pepper rica", "“parrots"]
    rows = {row.name: row for row in made.coverage.rows}
    assert {name: row.heard_as for name, row in rows.items() if row.heard_as} == {
        "paprika": "pepper rica",
        "carrots": "parrots",
    }
    assert not made.coverage.gaps
    assert {row.status for table in step_tables(made.coverage) for row in table.rows if "as “" in row.status} == {
        "heard as “pepper rica”: please listen",
        "heard as “parrots”: please listen",
    }


def test_what_sounds_like_nothing_of_the_recipe_is_still_not_heard(tmp_path: Path) -> None:
    rows = {row.name: row for row in production(tmp_path, "cheese").coverage.rows}
    assert (rows["carrots"].status.value, rows["carrots"].heard_as) == ("not heard", "")


def test_a_name_that_is_heard_needs_no_other_word(tmp_path: Path) -> None:
    rows = {row.name: row for row in production(tmp_path, "carrots and parrots").coverage.rows}
    assert (rows["carrots"].status.value, rows["carrots"].heard_as) == ("heard", "")
