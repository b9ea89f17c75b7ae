"""``scriptkit pack FOLDER``: a pack for every dish and meal of a folder, on all cores; one bad recipe stops no other."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import shlex
import signal
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import resource_tracker
from multiprocessing.process import BaseProcess
from pathlib import Path

from scriptkit.cli.printing import Progress, count_words, print_json, print_problems
from scriptkit.documents import own_template_files
from scriptkit.pack import make_pack, make_shoot
from scriptkit.problems import CannotDo, Place, Problem, error, needs_a_person, printable
from scriptkit.process_limits import collect_seldom
from scriptkit.production import read
from scriptkit.recipe.reader import PANTRY_FILE
from scriptkit.written_files import write_folder

SUFFIXES = (".yaml", ".yml")
Job = tuple[str, str, str, bool, bool, bool]
_WORTH_A_PROCESS = 16
"""Packs that take longer than another Python takes to start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """What came of one recipe: ``files`` is 0 where it could not be read or written, and the problems say why."""

    source: str
    folder: str
    title: str
    files: int
    problems: tuple[Problem, ...]

    @property
    def no_recipe(self) -> bool:
        """Whether it is another kind of YAML file: a cut file, a caption profile."""
        return not self.files and all(p.code == "not-a-recipe" for p in self.problems)

    @property
    def outcome(self) -> str:
        """In words, for its line of the summary."""
        if self.no_recipe:
            return "skipped: neither a dish nor a meal"
        return count_words(self.problems) if self.files else "not packed: " + count_words(self.problems)


def run(
    folder: str,
    output: str,
    *,
    templates: str,
    shoot_only: bool,
    as_json: bool,
    to_print: bool = False,
    force: bool = False,
    quiet: bool = False,
) -> int:
    """0: every recipe packed, nothing wrong. 1: something needs attention, an unreadable recipe included. Raises
    CannotDo where the folder cannot be read, or has no recipe, and where a process that packs is ended from outside."""
    jobs = [
        (path, str(Path(output) / name), templates, shoot_only, to_print, force) for path, name in recipes_in(folder)
    ]
    if not jobs:
        raise CannotDo(
            [error(Place(folder), "no-recipes", "there is no recipe in this folder", "a recipe ends in .yaml")]
        )
    packed: list[Packed] = []
    try:
        with Progress("packing", len(jobs), quiet=quiet) as progress:
            for one in _packed(jobs):
                packed.append(one)
                progress.step(Path(one.source).name)
    except BrokenExecutor:
        raise _a_worker_died(jobs, packed, output) from None
    for one in packed:
        if not one.files and not one.no_recipe:
            print_problems(one.problems)
    if as_json:
        print_json(
            {
                "folder": output,
                "packs": [
                    {
                        "source": p.source, "folder": p.folder, "title": p.title, "files": p.files,
                        "problems": [q.as_json() for q in p.problems],
                    }
                    for p in packed
                ],
            }
        )  # fmt: skip
    elif not quiet:
        print(summary(packed, output))
    recipes = [p for p in packed if not p.no_recipe]
    return 1 if not recipes or any(not p.files or needs_a_person(p.problems) for p in recipes) else 0


def _a_worker_died(jobs: Sequence[Job], packed: Sequence[Packed], output: str) -> CannotDo:
    """What is written by then, and what comes next in the folder; of a recipe that was under way there is the old pack or the new one."""
    done = [printable(Path(p.source).name) for p in packed if p.files]
    written = (
        f"packed into {output} before that: {', '.join(done)}"
        if done
        else f"nothing was packed into {output} before that"
    )
    source, target, *_ = jobs[min(len(packed), len(jobs) - 1)]
    message = f"a process that packs was ended from outside, perhaps for want of memory; {written}"
    hint = f"run the same command again; where it ends so again, pack this one alone: `scriptkit pack {shlex.quote(source)} -o {shlex.quote(target)}`"
    return CannotDo([error(Place(source), "worker-died", message, hint)])


def recipes_in(folder: str) -> list[tuple[str, str]]:
    """The recipes of the folder, by name, each with the name of its pack; no two alike. Raises CannotDo where the folder
    cannot be read."""
    try:
        found = sorted(p for p in Path(folder).iterdir() if p.suffix in SUFFIXES and p.is_file())
    except OSError as wrong:
        raise CannotDo(
            [error(Place(folder), "unreadable", f"the folder cannot be read: {wrong.strerror}", "check its name")]
        ) from None
    recipes = [p for p in found if p.name != PANTRY_FILE]
    stems = [p.stem.casefold() for p in recipes]  # a disk that does not tell cases apart would mix two
    return [(str(p), p.stem if stems.count(p.stem.casefold()) == 1 and p.stem.strip(".") else p.name) for p in recipes]


def _packed(jobs: Sequence[Job]) -> Iterator[Packed]:
    cores = min(os.cpu_count() or 1, len(jobs) // _WORTH_A_PROCESS)
    if cores < 2:
        yield from map(_pack, jobs)
        return
    # A new Python for each core: to copy this one would copy the solver's threads half-way.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(cores, mp_context=context, initializer=begin_worker)
    try:
        with interrupts_left_to_the_parent():
            packed = pool.map(_pack, jobs, chunksize=4)
        yield from packed
    finally:
        pool.shutdown(cancel_futures=True)


def begin_worker() -> None:
    """A process that packs ends with the one that started it, also where that was killed without a word: the pool's pipes are open in
    every worker, so that none of them would ever hear of it."""
    collect_seldom()
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: BaseProcess) -> None:
    parent.join()
    os._exit(1)


@contextlib.contextmanager
def interrupts_left_to_the_parent() -> Iterator[None]:
    """Processes that are started here never hear of a Ctrl-C; it waits for us meanwhile, and is not lost."""
    if not hasattr(signal, "pthread_sigmask"):  # on Windows it reaches the whole console, and each ends by itself
        yield
        return
    resource_tracker.ensure_running()  # started later, it would let Ctrl-C in again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _pack(job: Job) -> Packed:
    source, target, templates, shoot_only, to_print, force = job
    try:
        production = read(source)
        pack = (make_shoot if shoot_only else make_pack)(production, own_templates=templates, to_print=to_print)
        done = write_folder(target, pack.files, [*production.made_from, *own_template_files(templates)], force=force)
    except CannotDo as wrong:
        return Packed(source=source, folder=target, title="", files=0, problems=tuple(wrong.problems))
    title = pack.source.name
    return Packed(
        source=source, folder=target, title=title, files=len(done.names), problems=(*pack.problems, *done.kept)
    )


def summary(packed: Sequence[Packed], output: str) -> str:
    """A line for each recipe, and one for all."""
    names = [printable(Path(p.source).name) for p in packed]
    width = max(map(len, names))
    lines = [f"{name:{width}}  {p.outcome}" for name, p in zip(names, packed, strict=True)]
    done, of = sum(1 for p in packed if p.files), sum(not p.no_recipe for p in packed)
    return "\n".join([*lines, f"{done} of {of} packed into {output}"])
