"""Open a cook's file and read it whole: a dish or a meal, with every problem told at once."""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from scriptkit.pantry.food import Food
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import CannotDo, Place, Problem, Severity, error, in_order, nearest
from scriptkit.recipe import build
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.formcheck import fit_form
from scriptkit.recipe.forms import DishForm, MealForm, PantryForm
from scriptkit.recipe.yamltree import Tree, parse_tree

LARGEST_FILE = 1_000_000
"""Bytes. The longest real recipe is a twentieth of it."""

PANTRY_FILE = "pantry.yaml"
STDIN = "-"


@dataclasses.dataclass(slots=True)
class Reading:
    """What came of reading a file. ``source`` is None where not even a part of it could be used."""

    source: Dish | Meal | None
    problems: list[Problem]
    texts: dict[str, Sequence[str]]
    """Lines of every file read, to show the offending one."""

    def usable(self) -> Dish | Meal:
        """The dish or meal. Raises CannotDo with every problem where anything in the file could not be understood."""
        if self.source is None or any(p.severity is Severity.ERROR for p in self.problems):
            raise CannotDo(in_order(self.problems))
        return self.source


def read_source(path: str) -> Reading:
    """Read a dish or a meal, and the files it names. Raises CannotDo where the file itself cannot be opened or is no YAML."""
    desk = _Desk()
    tree = desk.open(path)
    if not isinstance(tree.data, dict) or not tree.data:
        desk.refuse(_not_a_recipe(tree))
    if "meal" in tree.data:
        source: Dish | Meal | None = desk.meal(tree)
    elif "dish" in tree.data:
        source = desk.dish(tree)
    else:
        desk.refuse(_neither(tree))
    return Reading(source, in_order(desk.problems), desk.texts)


def _not_a_recipe(tree: Tree) -> Problem:
    if tree.data is None or tree.data == {}:
        return error(Place(tree.file), "empty-file", "the file is empty", "start one with `scriptkit new NAME`")
    return error(
        tree.place(), "not-a-recipe", "this is not a dish or a meal", "start it with `dish: NAME` or `meal: NAME`"
    )


def _neither(tree: Tree) -> Problem:
    for key in tree.data:
        if meant := nearest(str(key), ["dish", "meal"], most=1):
            return error(
                tree.place(key, key=True), "unknown-key", f"“{key}” is not a key here", f"did you mean `{meant[0]}`?"
            )
    return error(
        tree.place(),
        "not-a-recipe",
        "the file names no `dish` and no `meal`",
        "start it with `dish: NAME` or `meal: NAME`",
    )


class _Desk:
    """One reading: the files opened so far, their lines, and the problems found in them."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.texts: dict[str, Sequence[str]] = {}
        self._own: dict[Path, list[Food]] = {}

    def refuse(self, problem: Problem) -> NoReturn:
        raise CannotDo(in_order([*self.problems, problem]))

    def open(self, path: str) -> Tree:
        """The file's tree. Raises CannotDo where it cannot be read."""
        text = self._text(path)
        self.texts[path] = text.splitlines()
        tree = parse_tree(text, path)
        self.problems += tree.problems
        if tree.data is None and tree.problems:
            raise CannotDo(in_order(self.problems))
        return tree

    def _text(self, path: str) -> str:
        place = Place(path)
        if path == STDIN:
            return self._decoded(sys.stdin.buffer.read(LARGEST_FILE + 1), path)
        try:
            size = Path(path).stat().st_size
            if Path(path).is_dir():
                self.refuse(error(place, "folder", "this is a folder", "name the dish's or meal's file in it"))
            if size > LARGEST_FILE:
                self.refuse(
                    error(
                        place,
                        "too-large",
                        f"the file has {size / 1e6:.0f} MB; a recipe has at most 1 MB",
                        "check which file this is",
                    )
                )
            raw = Path(path).read_bytes()
        except FileNotFoundError:
            hint = ""
            folder = Path(path).parent
            if folder.is_dir():
                meant = nearest(
                    Path(path).name, [f.name for f in folder.iterdir() if f.suffix in (".yaml", ".yml")], most=1
                )
                hint = f"did you mean {folder / meant[0]}?" if meant else "check the name and the folder"
            self.refuse(error(place, "no-such-file", "there is no such file", hint or "check the name and the folder"))
        except (OSError, ValueError) as wrong:  # ValueError: a name with a NUL in it
            why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
            self.refuse(
                error(place, "unreadable", f"the file cannot be opened: {why}", "check the name and its permissions")
            )
        return self._decoded(raw, path)

    def _decoded(self, raw: bytes, path: str) -> str:
        if len(raw) > LARGEST_FILE:
            self.refuse(error(Place(path), "too-large", "more than 1 MB; a recipe has less", "check what is read"))
        try:
            return raw.decode("utf-8-sig")
        except UnicodeDecodeError as wrong:
            before = raw[: wrong.start]
            at = Place(path, before.count(b"\n") + 1, wrong.start - (before.rfind(b"\n") + 1) + 1)
            self.refuse(error(at, "not-utf-8", "the file is not UTF-8 text", "save it as UTF-8 in your editor"))

    def dish(self, tree: Tree) -> Dish | None:
        form, problems = fit_form(DishForm, tree)
        self.problems += problems
        if form is None:
            return None
        own, problems = build.own_foods(form.foods, tree)
        self.problems += problems
        dish, problems = build.dish(form, tree, Pantry([*self._pantry_beside(tree.file), *own]))
        self.problems += problems
        return dish

    def _pantry_beside(self, file: str) -> list[Food]:
        path = Path(file).parent / PANTRY_FILE
        if path not in self._own:
            self._own[path] = []
            if path.is_file():
                tree = self.open(str(path))
                form, problems = fit_form(PantryForm, tree)
                self.problems += problems
                if form is not None:
                    self._own[path], problems = build.own_foods(form.foods, tree)
                    self.problems += problems
        return self._own[path]

    def meal(self, tree: Tree) -> Meal | None:
        form, problems = fit_form(MealForm, tree)
        self.problems += problems
        if form is None:
            return None
        dishes: list[Dish | None] = []
        for number, portion in enumerate(form.dishes):
            place = tree.place("dishes", number, "dish")
            dishes.append(self._dish_of_meal(str(Path(tree.file).parent / portion.dish), place))
        meal, problems = build.meal(form, tree, dishes)
        self.problems += problems
        return meal

    def _dish_of_meal(self, path: str, named_at: Place) -> Dish | None:
        try:
            tree = self.open(path)
        except CannotDo as wrong:
            known = set(self.problems)
            self.problems += [p for p in wrong.problems if p not in known]
            self.problems.append(
                error(named_at, "dish-file", f"the dish {path} cannot be read", wrong.problems[-1].hint)
            )
            return None
        if not isinstance(tree.data, dict) or "dish" not in tree.data:
            self.problems.append(
                error(
                    named_at, "dish-file", f"{path} is not a dish", "a meal names dish files: they start with `dish:`"
                )
            )
            return None
        return self.dish(tree)
