"""Open a cook's file and read it whole: a dish or a meal, with every problem told at once."""

from __future__ import annotations

import contextlib
import dataclasses
import os
import sys
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NoReturn

from scriptkit import file_in_hand
from scriptkit.input_bytes import first_bytes
from scriptkit.measure.amounts import Cups, OwnMeasures
from scriptkit.pantry.food import Food
from scriptkit.pantry.lookup import Pantry
from scriptkit.problems import CannotDo, Place, Problem, Severity, error, in_order, nearest
from scriptkit.recipe import build, meal_build
from scriptkit.recipe.day_weights import DayWeights, with_weights
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.formcheck import fit_form
from scriptkit.recipe.forms import DishForm, IngredientForm, MealForm, PantryForm
from scriptkit.recipe.leading_units import UnitsSetter, units_of_meal
from scriptkit.recipe.parts import MOST_DEEP, MOST_PARTS, dishes_in
from scriptkit.recipe.user_foods import own_foods
from scriptkit.recipe.user_measures import own_measures
from scriptkit.recipe.yamltree import Path as YamlPath
from scriptkit.recipe.yamltree import Tree, lines_of, parse_tree

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
            raise CannotDo(in_order(self.problems), self.texts)
        return self.source


def read_source(path: str) -> Reading:
    """Read a dish or a meal, and the files it names. Raises CannotDo where the file itself cannot be opened or is no YAML."""
    desk = _Desk()
    return _read(desk, desk.open(path, stdin=True))


def read_source_text(text: str, name: str, also: Mapping[str, str] | None = None) -> Reading:
    """Read a dish or a meal from text. The files it names are looked for in the folder of ``name``; ``also``: of some the text that is
    read in place of the file's. Raises CannotDo where it is no YAML, or larger than any recipe."""
    desk = _Desk(known=also)
    return _read(desk, desk.parsed(desk.decoded(text.encode("utf-8", "replace"), name), name))


def reread(reading: Reading, weights: Mapping[str, DayWeights]) -> Reading:
    """The same texts read again, each dish with its weights by its file. Nothing is opened that was not open before."""
    desk = _Desk(weights, {name: "\n".join(lines) for name, lines in reading.texts.items()})
    first = next(iter(reading.texts))
    return _read(desk, desk.parsed(desk.known[first], first))


def _read(desk: _Desk, tree: Tree) -> Reading:
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
    for key in ("title", "name", "recipe", "recipe_name"):
        if isinstance(name := tree.data.get(key), str):
            words = f"the file has neither `dish:` nor `meal:`; its name stands under `{key}:`"
            return error(tree.place(key, key=True), "not-a-recipe", words, f"write `dish: {name}`")
    return error(
        tree.place(),
        "not-a-recipe",
        "the file has neither `dish:` nor `meal:`",
        "start it with `dish: NAME` or `meal: NAME`",
    )


def _near_name(path: Path) -> str:
    """The hint for a file that is not there."""
    try:
        names = [f.name for f in path.parent.iterdir() if f.suffix in (".yaml", ".yml")]
    except OSError:
        names = []
    begun = [name for name in names if path.stem and name.casefold().startswith(path.stem.casefold())]
    meant = begun if len(begun) == 1 else nearest(path.name, names, most=1)
    return f"did you mean {path.parent / meant[0]}?" if meant else "check the name and the folder"


def _beside(file: str, name: str) -> str:
    """The file that ``file`` calls so, from its own folder. What was written on another system is found here too: folders that are
    set apart by backslashes, and accents that are kept as characters of their own."""
    folder = Path(file).parent
    with contextlib.suppress(OSError, ValueError):
        for path in (folder / name, folder / name.replace("\\", "/")):
            if path.exists():
                return str(path)
        for other in sorted(path.parent.iterdir()):
            if unicodedata.normalize("NFC", other.name) == unicodedata.normalize("NFC", path.name):
                return str(other)
    return str(folder / name)


def _same_file(path: str) -> str:
    """One name for one file, however it is written; a name that no file can have is its own."""
    try:
        return os.path.realpath(path)
    except ValueError:
        return path


@dataclasses.dataclass(frozen=True, slots=True)
class _Beside:
    """What the pantry beside a file defines."""

    foods: Sequence[Food] = ()
    measures: OwnMeasures = dataclasses.field(default_factory=dict)
    units: str = ""


class _Desk:
    """One reading: the files opened so far, their lines, and the problems found in them."""

    def __init__(self, weights: Mapping[str, DayWeights] | None = None, known: Mapping[str, str] | None = None) -> None:
        self.weights = weights or {}
        self.known = known or {}
        """Texts that need not be opened."""
        self.problems: list[Problem] = []
        self.texts: dict[str, Sequence[str]] = {}
        self._own: dict[Path, _Beside] = {}
        self._dishes: dict[str, Dish | None] = {}
        self._open: list[str] = []
        self._in_units = UnitsSetter()

    def refuse(self, problem: Problem) -> NoReturn:
        raise CannotDo(in_order([*self.problems, problem]), self.texts)

    def open(self, path: str, *, stdin: bool = False) -> Tree:
        """The file's tree; with ``stdin``, the name - is standard input. Raises CannotDo where it cannot be read."""
        if path in self.known:
            text = self.known[path]
        elif stdin and path == STDIN:
            if sys.stdin is None:
                self.refuse(error(Place(path), "unreadable", "standard input is closed", "name a file instead of -"))
            text = self.decoded(sys.stdin.buffer.read(LARGEST_FILE + 1), path)
        else:
            text = self.decoded(self._bytes(path), path)
        return self.parsed(text, path)

    def parsed(self, text: str, path: str) -> Tree:
        """The tree of the text. Raises CannotDo where there is none."""
        self.texts[path] = lines_of(text)
        tree = parse_tree(text, path)
        self.problems += tree.problems
        if tree.data is None and tree.problems:
            raise CannotDo(in_order(self.problems), self.texts)
        return tree

    def _bytes(self, path: str) -> bytes:
        place = Place(path)
        file_in_hand.take(path)
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
            return first_bytes(Path(path), LARGEST_FILE + 1)  # a device has no size, and no end
        except FileNotFoundError:
            self.refuse(error(place, "no-such-file", "there is no such file", _near_name(Path(path))))
        except (OSError, ValueError) as wrong:  # ValueError: a name with a NUL in it
            why = (wrong.strerror or str(wrong)) if isinstance(wrong, OSError) else "no file can have this name"
            self.refuse(
                error(place, "unreadable", f"the file cannot be opened: {why}", "check the name and its permissions")
            )

    def decoded(self, raw: bytes, path: str) -> str:
        """The text of UTF-8 bytes. Raises CannotDo where it is none, or larger than any recipe."""
        if len(raw) > LARGEST_FILE:
            self.refuse(error(Place(path), "too-large", "more than 1 MB; a recipe has less", "check what is read"))
        try:
            return raw.decode("utf-8-sig")
        except UnicodeDecodeError as wrong:
            before = lines_of(wrong.object[: wrong.start].decode("utf-8"))
            at = Place(path, len(before), len(before[-1]) + 1)
            self.refuse(error(at, "not-utf-8", "the file is not UTF-8 text", "save it as UTF-8 in your editor"))

    def dish(self, tree: Tree) -> Dish | None:
        form, problems = fit_form(DishForm, tree)
        self.problems += problems
        if form is None:
            return None
        measures = self._measures(form.measures, tree, Cups(form.cups))
        own, problems = own_foods(form.foods, tree, Cups(form.cups), measures)
        self.problems += problems
        parts = {
            key: self._part(tree, ("ingredients", key, "dish"), one.dish)
            for key, one in form.ingredients.items()
            if one.dish is not None
        }
        self._bound(tree, parts)
        if tree.file in self.weights:
            form = with_weights(form, self.weights[tree.file])
        beside = self._pantry_beside(tree.file)
        units = form.units or beside.units
        dish, problems = build.dish(form, tree, Pantry([*beside.foods, *own]), parts, measures, units)
        self.problems += problems
        return self._in_units.dish(dish, units)

    def _bound(self, tree: Tree, parts: Mapping[str, Dish | None]) -> None:
        """Refuse a dish that is made of more dishes than anyone cooks."""
        count = 1
        for key, part in parts.items():
            count += dishes_in(part) if part is not None else 0
            if count > MOST_PARTS:
                place = tree.place("ingredients", key, "dish")
                hint = "write what is cooked at once as one dish"
                self.refuse(error(place, "too-large", f"more than {MOST_PARTS} dishes in one", hint))

    def _part(self, tree: Tree, at: YamlPath, name: str) -> Dish | None:
        """A dish that is an ingredient of the one in the tree."""
        path = _beside(tree.file, name)
        place = tree.place(*at)
        self._open.append(_same_file(tree.file))
        try:
            if _same_file(path) in self._open:
                hint = "a dish cannot be an ingredient of its own parts"
                self.problems.append(error(place, "circle", f"{name} is made of itself", hint))
                return None
            if len(self._open) > MOST_DEEP:
                hint = "write what is cooked at once as one dish"
                message = f"{name} is the {len(self._open)}th dish inside another"
                self.problems.append(error(place, "too-deep", message, hint))
                return None
            return self._dish_at(path, place)
        finally:
            self._open.pop()

    def _dish_at(self, path: str, named_at: Place) -> Dish | None:
        """The dish of the file; one that is named twice, however it is written, is one dish."""
        same = _same_file(path)
        if same not in self._dishes:
            self._dishes[same] = self._named_dish(path, named_at)
        return self._dishes[same]

    def _measures(self, written: Mapping[str, str], tree: Tree, cups: Cups) -> OwnMeasures:
        """The file's own measures over those of the pantry beside it."""
        around = self._pantry_beside(tree.file).measures
        if not written:
            return around
        measures, problems = own_measures(written, tree, cups, around)
        self.problems += problems
        return measures

    def _pantry_beside(self, file: str) -> _Beside:
        path = Path(file).parent / PANTRY_FILE
        if path not in self._own:
            self._own[path] = _Beside()
            if path.is_file():
                tree = self.open(str(path))
                form, problems = fit_form(PantryForm, tree)
                self.problems += problems
                if form is not None:
                    measures = self._measures(form.measures, tree, Cups(form.cups))
                    foods, problems = own_foods(form.foods, tree, Cups(form.cups), measures)
                    self._own[path] = _Beside(foods, measures, form.units or "")
                    self.problems += problems
        return self._own[path]

    def meal(self, tree: Tree) -> Meal | None:
        form, problems = fit_form(MealForm, tree)
        self.problems += problems
        if form is None:
            return None
        measures = self._measures(form.measures, tree, Cups.US)
        dishes: list[Dish | None] = []
        for number, portion in enumerate(form.dishes):
            place = tree.place("dishes", number, "dish")
            dishes.append(self._dish_at(_beside(tree.file, portion.dish), place))
        beside: list[tuple[YamlPath, Mapping[str, IngredientForm]]] = [(("at_table",), form.at_table)]
        beside += [(("dishes", n, "poured_over"), portion.poured_over) for n, portion in enumerate(form.dishes)]
        parts = {
            (*at, key): self._part(tree, (*at, key, "dish"), one.dish)
            for at, forms in beside
            for key, one in forms.items()
            if one.dish is not None
        }
        pantry = self._pantry_beside(tree.file)
        units = units_of_meal(form.units or pantry.units, dishes)
        if units:
            dishes = [None if dish is None else self._in_units.dish(dish, units) for dish in dishes]
        meal, problems = meal_build.meal(form, tree, dishes, Pantry(pantry.foods), parts, measures, pantry.measures)
        self.problems += problems
        extras = tuple(
            dataclasses.replace(e, ingredient=self._in_units.extra(e.ingredient, units)) for e in meal.extras
        )
        return dataclasses.replace(meal, units=units, extras=extras) if units else meal

    def _named_dish(self, path: str, named_at: Place) -> Dish | None:
        try:
            tree = self.open(path)
        except CannotDo as wrong:
            new = [p for p in wrong.problems if p not in set(self.problems)]
            if path in self.texts:  # it was opened, and what is wrong stands in it
                self.problems += new
            else:
                self.problems.append(error(named_at, "dish-file", f"{path}: {new[0].message}", new[0].hint))
            return None
        if not isinstance(tree.data, dict) or "dish" not in tree.data:
            self.problems.append(error(named_at, "dish-file", f"{path} is not a dish", "dish files start with `dish:`"))
            return None
        return self.dish(tree)
