"""``scriptkit check FOLDER``: every recipe of a folder, and what was published and no longer holds."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from scriptkit.cli.printing import print_json
from scriptkit.papers.folder import (
    BY_HAND,
    SHOWN,
    FolderRecipe,
    correction_words,
    folder_json,
    folder_page_of,
    folder_text,
    with_meals,
)
from scriptkit.problems import CannotDo, Place, Problem, Severity, error, note, printable
from scriptkit.publish.replaced_lines import LineToReplace, lines_to_replace

if TYPE_CHECKING:
    from scriptkit.papers.folder import FolderPage
    from scriptkit.production import Production
    from scriptkit.publish.publication import Publication
    from scriptkit.publish.published_record import PublishedRecord

_WORTH_A_PROCESS = 40
"""Recipes that take longer than another Python takes to start."""
_FILMED = ("-takes", "-cut", "-rough-takes", "-rough-cut")
"""What stands behind the recipe's name in a take log or a cut that lies beside it."""


def run(folder: str, *, page: str = "", as_json: bool = False) -> int:
    """0 where nothing is open but filming and publishing; 1 where a published figure no longer holds, something is unconfirmed or has
    errors. ``page``: also as a page to this file. Raises CannotDo where the folder holds no recipe, or the page cannot be written."""
    from scriptkit.cli.pack_folder import recipes_in

    paths = [path for path, _ in recipes_in(folder)]
    found = with_meals([one for one in _read(paths) if one is not None])
    if not found:
        hint = "a recipe ends in .yaml"
        raise CannotDo([error(Place(folder), "no-recipes", "there is no recipe in this folder", hint)])
    view = folder_page_of(found)
    if page:
        _write_page(folder, page, view, paths)
    if as_json:
        print_json({"folder": folder, "recipes": folder_json(view)})
    else:
        print("\n".join(map(printable, folder_text(view).splitlines())))
        if page:
            print(f"wrote {printable(page)}")
    return 1 if any(not r.holds or r.unconfirmed or r.errors for r in found) else 0


def _write_page(folder: str, page: str, view: FolderPage, read: Sequence[str]) -> None:
    from scriptkit.documents import render
    from scriptkit.papers.page import Page
    from scriptkit.written_files import write_own

    title = Path(folder).resolve().name or "Recipes"
    text = render(
        "folder.html", page=Page(title), recipes=view.recipes, stale=view.stale, counts=view.counts, by_hand=BY_HAND
    )
    target = Path(page)
    write_own(target.parent, {target.name: text}, read, fix="write the page to another name, or move this file away")


def _read(paths: Sequence[str]) -> Iterator[FolderRecipe | None]:
    from scriptkit.cli.pack_folder import begin_worker, interrupts_left_to_the_parent

    cores = min(os.cpu_count() or 1, len(paths) // _WORTH_A_PROCESS)
    if cores < 2:
        yield from map(recipe_of, paths)
        return
    pool = ProcessPoolExecutor(cores, mp_context=multiprocessing.get_context("spawn"), initializer=begin_worker)
    try:
        with interrupts_left_to_the_parent():
            found = pool.map(recipe_of, paths, chunksize=8)
        yield from found
    except BrokenExecutor:
        message = "a process that reads recipes was ended from outside, perhaps for want of memory; nothing was written"
        hint = "run the same command again; where it ends so again, check one recipe at a time"
        raise CannotDo([error(Place(str(Path(paths[0]).parent)), "worker-died", message, hint)]) from None
    finally:
        pool.shutdown(cancel_futures=True)


def recipe_of(path: str) -> FolderRecipe | None:
    """The recipe in the file as the folder's page shows it; None where it is another kind of file."""
    from scriptkit.production import read
    from scriptkit.publish.published_record import figures_of
    from scriptkit.recipe.dish import Meal

    file = Path(path)
    try:
        production = read(path)
        source = production.source
    except CannotDo as wrong:
        if all(p.code == "not-a-recipe" for p in wrong.problems):
            return None
        errors = sum(p.severity is Severity.ERROR for p in wrong.problems)
        return FolderRecipe(file=file.name, title=file.stem, kind="recipe", errors=max(errors, 1))
    meal = isinstance(source, Meal)
    figures = figures_of(production.macros)
    eaten = figures["plate"] if meal else next(iter(figures.values()))
    record = _record(path)
    shown = FolderRecipe(
        file=file.name,
        title=source.name,
        kind="meal" if meal else "dish",
        figures=tuple((n, eaten[n]) for n in SHOWN),
        dishes=tuple(Path(d.file).name for d in production.dishes) if meal else (),
        unconfirmed=production.unconfirmed,
        filmed=any(
            file.with_name(f"{file.stem}{end}{kind}").is_file() for end in _FILMED for kind in (".csv", ".srt", ".yaml")
        ),
        published=record is not None,
    )
    return shown if record is None else _held_against(shown, production, record)


def _record(path: str) -> PublishedRecord | None:
    from scriptkit.publish.published_record import record_in, record_path

    try:
        return record_in(record_path(path).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return None


def _held_against(shown: FolderRecipe, production: Production, record: PublishedRecord) -> FolderRecipe:
    """With what was published and no longer holds; its texts are only made again where the recipe or a figure is another one."""
    from dataclasses import replace

    from scriptkit.publish.published_record import hash_of, portions_of, stale_allergens, stale_figures, why_stale

    stale = tuple(stale_figures(record, production.macros, portions_of(production.source)))
    allergens = tuple(stale_allergens(record, production.allergens))
    if not (stale or allergens) and record.recipe == hash_of(production.files):
        return shown
    lines = _lines_of(record, production)
    return replace(
        shown,
        stale=stale,
        stale_allergens=allergens,
        why=why_stale(record, production.files),
        replace=tuple(lines),
        by_hand=record.own_templates,
        correction=correction_words(stale),
    )


def _lines_of(record: PublishedRecord, production: Production) -> list[LineToReplace]:
    """Which published lines must read otherwise. A recipe that was only written for more servings is held against what was said for those of
    then: of its own servings and those of the record, the ones that leave more of the text as it is."""
    from scriptkit.papers.files import publish_files
    from scriptkit.recipe.dish import Meal

    source = production.source
    production = _of_the_film(record, production)
    own = source.plates if isinstance(source, Meal) else source.servings
    then = _for_servings(production, record.servings) if own != record.servings else None
    said = [production.publication(), *([production.publication(record.servings), then.publication()] if then else [])]
    texts = []
    for files, _ in map(publish_files, said):
        of_text = _replaced("description", record.description, files["description.txt"], record)
        texts.append(
            [*of_text, *_replaced("pinned comment", record.pinned_comment, files["pinned-comment.txt"], record)]
        )
    captions = [
        _replaced("captions", "\n".join(record.captions), "\n".join(caption_lines(made)), record)
        for made in (production, then)
        if made is not None
    ]
    return [*min(texts, key=len), *min(captions, key=len)]


def _of_the_film(record: PublishedRecord, production: Production) -> Production:
    """The recipe with the film of which its texts were made; without it where that is no longer there, or cannot be read."""
    from scriptkit.production import Production as Made

    folder = Path(production.source.file).parent
    cut, log = (str(folder / name) if name and (folder / name).is_file() else "" for name in (record.cut, record.log))
    if not cut and not log:
        return production
    try:
        made = Made(production.reading, cut=cut, log=log)
        _ = made.chapters
    except CannotDo:
        return production
    return made


def _replaced(where: str, was: str, now: str, record: PublishedRecord) -> list[LineToReplace]:
    """Texts of a cook's own templates are only held against the usual ones where a line is known again."""
    found = lines_to_replace(where, was, now)
    return [line for line in found if (line.was and line.now) or not record.own_templates]


def _for_servings(production: Production, servings: float) -> Production | None:
    """The same recipe for so many; None where it cannot be made so."""
    from scriptkit.production import Production as Made
    from scriptkit.what_if import Change, changed_reading

    try:
        return Made(changed_reading(production.reading, Change(servings=servings)))
    except CannotDo:
        return None


def caption_lines(production: Production) -> list[str]:
    """The overlay captions that hold a figure, a line each; none where they cannot be made."""
    try:
        cues = production.cues
    except CannotDo:
        return []
    return [" ".join(cue.text.split()) for cue in cues if any(c.isdigit() for c in cue.text)]


def _seen_from(recipe: str, file: str) -> str:
    """The file as it is found from the recipe's folder; empty where there is none, or no way from there, as on another drive."""
    try:
        return Path(os.path.relpath(file, Path(recipe).parent)).as_posix() if file else ""
    except ValueError:
        return ""


def keep_record(
    source: str,
    production: Production,
    publication: Publication,
    files: Mapping[str, str],
    *,
    own_templates: bool = False,
    cut: str = "",
    log: str = "",
) -> list[Problem]:
    """What is being published, kept beside the recipe; a note where it cannot be written there. Of standard input nothing is kept."""
    from scriptkit.example_files import examples_folder
    from scriptkit.publish.published_record import record_of, record_path
    from scriptkit.writing import write_all

    if source == "-" or Path(source).resolve().parent == examples_folder().resolve():
        return []  # nobody publishes the program's own examples
    record = record_of(
        publication,
        {name: production.files[name] for name in production.reading.texts},  # and not those of its cut
        description=files["description.txt"],
        pinned_comment=files["pinned-comment.txt"],
        captions=caption_lines(production),
        allergens=production.allergens,
        own_templates=own_templates,
        cut=_seen_from(source, cut),
        log=_seen_from(source, log),
    )
    path = record_path(source)
    try:
        write_all(str(path.parent), {path.name: record.as_json()}, production.made_from)
    except CannotDo as wrong:
        message = f"what is published is not kept beside the recipe: {wrong.problems[0].message}"
        return [
            note(Place(str(path)), "not-kept", message, "`check FOLDER` cannot tell later which figures no longer hold")
        ]
    return []
