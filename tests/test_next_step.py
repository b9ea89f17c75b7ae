"""What to do next, by the files that are there: file → check → pack → take log → coverage → captions → publish."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from scriptkit.cli.where_next import overview
from scriptkit.next_step import next_step, recipe_at, recipes_in

DISH = "dish: Leeks on toast   # of the quay\nservings: 2\n"


class Kitchen:
    """A folder in which one file after the other is written, each newer than the one before."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.clock = folder, 1_000_000_000
        self.add("leeks.yaml", DISH)

    def add(self, name: str, text: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        self.clock += 10
        os.utime(path, (self.clock, self.clock))

    def next(self, *, checked: bool = False) -> str:
        recipe = recipe_at(self.folder / "leeks.yaml")
        assert recipe is not None
        return next_step(recipe, checked=checked).replace(self.folder.as_posix() + "/", "")


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    return Kitchen(tmp_path)


def test_from_the_file_to_the_film(kitchen: Kitchen) -> None:
    assert kitchen.next() == "scriptkit check leeks.yaml"
    assert kitchen.next(checked=True) == "scriptkit pack leeks.yaml -o pack"
    kitchen.add("papers/index.html", "<title>Leeks on toast</title>")
    assert kitchen.next().startswith(
        "film with papers/stage.html, save its log, then scriptkit coverage leeks.yaml --log LOG.csv"
    )
    kitchen.add("leeks-takes.csv", "title,step,verdict\nLeeks on toast,soften,circled\n")
    assert kitchen.next() == "scriptkit coverage leeks.yaml --log leeks-takes.csv -o papers"
    kitchen.add("papers/coverage.html", "Leeks on toast")
    assert kitchen.next().startswith("cut the video, then scriptkit captions leeks.yaml")
    kitchen.add("leeks-cut.srt", "1\n")
    kitchen.add("leeks-rough-cut.srt", "1\n")
    assert kitchen.next() == "scriptkit captions leeks.yaml --cut leeks-cut.srt -o overlays.srt"
    kitchen.add("overlays.srt", "1\n")
    assert kitchen.next() == "scriptkit publish leeks.yaml --cut leeks-cut.srt -o publish"
    kitchen.add("publish/description.txt", "Leeks")
    assert kitchen.next() == ""
    assert "nothing is left to do" in overview(kitchen.folder)


def test_who_gives_the_cut_is_not_sent_to_film(kitchen: Kitchen) -> None:
    kitchen.add("pack/index.html", "Leeks on toast")
    kitchen.add("final edit.srt", "1\n")
    recipe, cut = recipe_at(kitchen.folder / "leeks.yaml"), kitchen.folder / "final edit.srt"
    assert recipe is not None

    def after(made: str) -> str:
        return next_step(recipe, checked=True, cut=cut, made=made).replace(kitchen.folder.as_posix() + "/", "")

    assert after("") == "scriptkit captions leeks.yaml --cut 'final edit.srt' -o overlays.srt"
    assert after("captions") == "scriptkit publish leeks.yaml --cut 'final edit.srt' -o publish"
    kitchen.add("overlays.srt", "1\n")
    assert after("publish") == ""


def test_a_guess_comes_first_and_a_changed_recipe_is_packed_again(kitchen: Kitchen) -> None:
    kitchen.add("pack/index.html", "Leeks on toast")
    kitchen.add("leeks.yaml", DISH + "# unsure: no\n")
    assert kitchen.next() == "scriptkit pack leeks.yaml -o pack"
    kitchen.add("leeks.yaml", DISH + "unsure: {servings: 0}\n")
    assert kitchen.next() == "scriptkit confirm leeks.yaml"


def test_what_belongs_to_another_dish_is_not_taken_for_this_one_s(kitchen: Kitchen) -> None:
    kitchen.add("pack/index.html", "Cod with beans")
    kitchen.add("takes.csv", "title,step,verdict\nCod with beans,fry,circled\n")
    assert kitchen.next() == "scriptkit check leeks.yaml"


def test_a_name_with_a_space_can_be_pasted(kitchen: Kitchen) -> None:
    kitchen.add("my leeks.yaml", DISH)
    recipe = recipe_at(kitchen.folder / "my leeks.yaml")
    assert recipe is not None and next_step(recipe).endswith("my leeks.yaml'")


def test_the_recipes_of_a_folder(kitchen: Kitchen) -> None:
    kitchen.add("pantry.yaml", "foods: {}\n")
    kitchen.add("broken.yaml", "\x00\xff")
    kitchen.add("quay-plate.yaml", "meal: Supper on the quay\ndishes:\n  - {dish: stock.yaml, portion: 1 serving}\n")
    kitchen.add("stock.yaml", "dish: Stock\n")  # of the meal
    kitchen.add("cod.yml", "dish: Cod\n")
    assert [r.name for r in recipes_in(kitchen.folder)] == ["Cod", "Leeks on toast", "Supper on the quay"]
    assert overview(kitchen.folder).count("next: ") == 3
    for n in range(20):
        kitchen.add(f"d{n}.yaml", DISH)
    assert overview(kitchen.folder).endswith("and 11 more")
    assert overview(kitchen.folder / "none") == ""
