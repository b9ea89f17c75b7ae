"""A line of `corrections:` is of its own figure, and closes none of its neighbours."""

from __future__ import annotations

from pathlib import Path

from scriptkit.cut.coverage.corrected import corrected_by
from scriptkit.recipe.reader import read_source

DISH = """\
dish: Beans
servings: 2
ingredients:
  olive oil: 2 tbsp
  shallot: 60 g
  cumin: {{amount: 1 tsp, food: cumin}}
steps:
  - {{id: warm, stage: cook, do: Soften it., add: {{olive oil: all, shallot: all, cumin: all}}, vessel: pan, hands: 5 min}}
corrections:
  - {{text: "{text}", at: "2:35"}}
"""


def has(tmp_path: Path, text: str, time_ms: int, subject: str, words: str = "") -> bool:
    """Whether the correction at 2:35 is of what is said of the subject then."""
    file = tmp_path / "dish.yaml"
    file.write_text(DISH.format(text=text), encoding="utf-8")
    return corrected_by(read_source(str(file)).usable()).has(time_ms, subject, words)


def test_a_correction_closes_its_own_figure_and_no_other_of_the_same_breath(tmp_path: Path) -> None:
    text = "The recipe has 60 g of shallot, not “two tablespoons”."
    assert has(tmp_path, text, 155_600, "shallot", "two tablespoons")
    assert has(tmp_path, text, 158_000, "shallot", "Two tablespoons")
    assert not has(tmp_path, text, 158_400, "cumin", "a tablespoon")
    assert not has(tmp_path, text, 155_900, "cumin", "a tablespoon")
    assert not has(tmp_path, text, 155_900, "olive oil", "two tablespoons")
    assert not has(tmp_path, text, 155_900, "cumin")
    assert not has(tmp_path, text, 161_000, "shallot", "two tablespoons")


def test_a_correction_that_names_nothing_is_of_the_moment_alone(tmp_path: Path) -> None:
    text = "That is half as much."
    assert has(tmp_path, text, 155_900, "cumin", "a tablespoon")
    assert not has(tmp_path, text, 158_400, "cumin", "a tablespoon")


def test_a_correction_by_hand_needs_no_words_of_the_talk(tmp_path: Path) -> None:
    assert has(tmp_path, "It is 1 tsp of cumin.", 158_400, "cumin", "a tablespoon")
    assert has(tmp_path, "No cumin went in.", 158_400, "cumin")
    assert not has(tmp_path, "It is 1 tsp of cumin.", 158_400, "shallot", "ten grams")


def test_a_time_is_known_by_the_words(tmp_path: Path) -> None:
    text = "It takes 6 min here, not “ten minutes”."
    assert has(tmp_path, text, 157_000, "step 1 (warm)", "ten minutes")
    assert not has(tmp_path, text, 157_000, "step 1 (warm)", "five minutes")
