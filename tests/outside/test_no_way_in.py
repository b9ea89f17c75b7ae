"""Hostile text in every field of a recipe, of a log and of a transcript, on every page in a real browser: text it was, and text it stays.

The pages' own policy is switched off in the browser, so that what keeps a script out is the escaping alone.
"""

from __future__ import annotations

import re
import typing
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hostile import MEASURED, PAYLOADS, Hostile, hostile_files
from pydantic import BaseModel
from watching import LOOK, NEVER, TOUCH, Watch, watching

from scriptkit.recipe.forms import DishForm, MealForm, PantryForm

hostile = pytest.fixture(hostile_files, scope="module")
watch = pytest.fixture(watching)


def text_fields(form: type[BaseModel], seen: set[type]) -> Iterator[tuple[str, str]]:
    """Form and name of every field that holds text, or keys of text, through all forms inside."""
    if form in seen:
        return
    seen.add(form)
    for name, of in form.model_fields.items():
        kinds = set(parts(of.annotation))
        if str in kinds:
            yield form.__name__, name
        for kind in kinds:
            if isinstance(kind, type) and issubclass(kind, BaseModel):
                yield from text_fields(kind, seen)


def parts(kind: Any) -> Iterator[Any]:
    yield kind
    for inner in typing.get_args(kind):
        if not isinstance(inner, str):
            yield from parts(inner)


def test_every_field_of_text_has_a_hostile_one(hostile: Hostile) -> None:
    named: set[type] = set()
    fields = {f for form in (DishForm, MealForm, PantryForm) for f in text_fields(form, named)}
    assert len(fields) > 60
    by_reference = {
        "uses",
        "add",
        "from",
        "left_behind",
        "after",
        "of",
        "unfilmed",
    }  # ingredients and steps, which are hostile themselves
    no_text = {"at_most", "at_least"}  # macros by their names
    other = {("VideoForm", "picture"), ("PortionForm", "dish"), ("IngredientForm", "dish")}
    lacking = {f for f in fields - other if f[1] not in hostile.texts.fields | MEASURED | by_reference | no_text}
    assert lacking == set()


def seen(text: str) -> str:
    """A text as it can be told apart on a page: what is not printable, and how words are spaced, does not count; a caption that
    is quoted has its signs as captions have them (timed_text/cleaning.py)."""
    text = text.replace("‹", "<").replace("›", ">")
    return "".join(c for c in text if c.isprintable() and not c.isspace() and c not in "\u00b7\ufffd\ufeff")


def stands(wanted: str, number: str, text: str) -> bool:
    """Whether the text stands there wherever its number does, whole or with its end cut off and an ellipsis in its place."""
    for found in re.finditer(number, text):
        at = found.start() - wanted.index(number)
        common = next((k for k, c in enumerate(wanted) if text[at + k : at + k + 1] != c), len(wanted))
        if common < len(wanted) and text[at + common : at + common + 1] != "…":
            return False
    return True


IN_THE_KITCHEN = {"index", "check", "stage", "shoot-list", "mise-en-place", "labels", "buying", "script", "schedule"}
PAGES = {
    "out-meal": IN_THE_KITCHEN | {"publish", "recipe-card", "coverage"},
    "out-dish": IN_THE_KITCHEN | {"publish", "recipe-card"},
    "out-publish": {"publish", "recipe-card"},
    "out-doubted": IN_THE_KITCHEN,
    "out-coverage": {"coverage", "contact-sheet"},
}
OWN = {
    "schedule": [["", ""]],
    "stage": [["application/json", ""], ["", ""]],
    "recipe-card": [["application/ld+json", ""]],
    "coverage": [["", ""]],
    "contact-sheet": [["", ""]],
}


def test_the_watch_would_see_a_script_and_a_request(watch: Watch, tmp_path: Path) -> None:
    path = tmp_path / "open.html"
    path.write_text("<title>t</title>" + "".join(f"<p>{p}</p>" for p in PAYLOADS[1:4]), encoding="utf-8")
    found = watch.open(path)
    watch.page.evaluate(TOUCH)
    assert watch.ran
    assert set(watch.ran) == {"ran"}
    assert watch.outside(path)
    assert found["handlers"] and found["links"]
    watch.ran.clear()


def test_nothing_runs_on_any_page_and_every_text_is_text(hostile: Hostile, watch: Watch) -> None:
    pages = {folder: {p.stem for p in (hostile.folder / folder).glob("*.html")} for folder in PAGES}
    assert pages == PAGES
    assert set(hostile.files(".html")) == {
        hostile.folder / f / f"{n}.html" for f, names in PAGES.items() for n in names
    }
    shown: set[int] = set()
    given = {n: seen(text) for n, text in hostile.texts.given.items()}
    for path in hostile.files(".html"):
        found = watch.open(path)
        for again in (False, True):
            assert watch.ran == [], path
            assert watch.outside(path) == [], path
            allowed = {"img"} if path.stem in ("contact-sheet", "coverage") else set()
            assert not set(found["kinds"]) & (NEVER | {"img"} - allowed), path
            own = OWN.get(path.stem, [])
            assert found["scripts"] == own or (path.stem == "schedule" and not found["scripts"]), (
                path
            )  # where none lands
            for kind in ("metas", "handlers", "links", "styles"):
                assert found[kind] == [], (path, kind)
            if not again:
                watch.page.evaluate(TOUCH)
                watch.page.wait_for_timeout(20)
                first, found = found, watch.page.evaluate(LOOK)
        text = seen(first["text"])
        there = {n for n in given if f"h{n}q" in text}
        shown |= {n for n in there if given[n] in text}
        broken = {n for n in there - hostile.texts.spoken if not stands(given[n], f"h{n}q", text)}
        assert not {n: (hostile.texts.given[n], text[text.index(f"h{n}q") :][:150]) for n in broken}, path
    assert len(shown) > 100


def test_a_hostile_log_opened_on_the_page_is_text_there(hostile: Hostile, watch: Watch) -> None:
    path = hostile.folder / "out-meal" / "stage.html"
    watch.open(path)
    watch.page.set_input_files("#log", str(hostile.folder / "log.csv"))
    watch.page.wait_for_function("document.querySelector('#said').textContent.startsWith('Read ')")
    watch.page.evaluate(TOUCH)
    found = watch.page.evaluate(LOOK)
    assert not set(found["kinds"]) & (NEVER | {"img"})
    assert (found["handlers"], found["links"], watch.outside(path)) == ([], [], [])
    assert "ran" not in watch.ran
