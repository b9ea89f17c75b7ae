"""What every test may use: a kitchen table to write files on and read them from."""

from __future__ import annotations

import io
import itertools
import os
import re
import shutil
import subprocess
import sys
import tempfile
import textwrap
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

import pytest
from chromium import CHROMIUM, QUIET
from hypothesis import HealthCheck, Phase, settings

from scriptkit import documents
from scriptkit.cli import main
from scriptkit.pack import make_pack
from scriptkit.problems import CannotDo
from scriptkit.production import Production
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading, read_source
from scriptkit.video import ffmpeg_path

# No test is timed, nor how long its inputs take to make: a busy machine is no fault. The same examples in every run: red means that something changed.
SLOW = (HealthCheck.too_slow,)
settings.register_profile("house", deadline=None, derandomize=True, suppress_health_check=SLOW)
# other ones each time, and ten times as many: the long run
settings.register_profile("explore", deadline=None, suppress_health_check=SLOW)
settings.register_profile(
    "mutants", deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate], suppress_health_check=SLOW
)  # nothing shrunk
settings.load_profile("house")


ROOT = Path(__file__).parent.parent
EXAMPLES = ROOT / "examples"


@dataclass(frozen=True, slots=True)
class Table:
    """A folder of its own for each test. ``dish`` and ``meal`` read YAML that must be free of errors."""

    folder: Path

    def write(self, name: str, text: str) -> str:
        path = self.folder / name
        path.write_text(textwrap.dedent(text), encoding="utf-8")
        return str(path)

    def read(self, text: str, name: str = "dish.yaml") -> Reading:
        return read_source(self.write(name, text))

    def dish(self, text: str) -> Dish:
        source = self.read(text).usable()
        assert isinstance(source, Dish)
        return source

    def meal(self, text: str) -> Meal:
        source = self.read(text, "meal.yaml").usable()
        assert isinstance(source, Meal)
        return source


def pytest_make_parametrize_id(val: object, argname: str) -> str | None:
    """A test's name is plain letters, so that it can be asked for by it: what it is given is as often as not a hostile text."""
    return re.sub(r"[^A-Za-z0-9 .,%+_-]+", " ", val)[:60].strip() or argname if isinstance(val, str) else None


_FOLDERS = itertools.count()


@pytest.fixture
def tmp_path(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As pytest's own, which looks through the folders of all tests before for a number that is free."""
    name = re.sub(r"\W", "_", request.node.name)[:30]
    return tmp_path_factory.mktemp(f"{name}{next(_FOLDERS)}", numbered=False)


@pytest.fixture
def table(tmp_path: Path) -> Table:
    return Table(tmp_path)


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run the command as a person would, in the test's own folder: the same entry, arguments, streams and exit code, without
    a new interpreter each time. (What only a process of its own shows has its own tests: test_pack.py, test_house.py.)"""

    def call(*arguments: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
        out, err, given = (io.TextIOWrapper(io.BytesIO(b), encoding="utf-8") for b in (b"", b"", stdin.encode("utf-8")))
        with monkeypatch.context() as here:
            here.chdir(tmp_path)
            here.setattr(sys, "argv", ["scriptkit", *arguments])
            if "--templates" in arguments:
                documents._environment.cache_clear()  # the last test had a folder of the same name elsewhere
            for name, stream in (("stdout", out), ("stderr", err), ("stdin", given)):
                here.setattr(sys, name, stream)
            with pytest.raises(SystemExit) as left:
                main()
        return subprocess.CompletedProcess(arguments, int(left.value.code or 0), *(_written(s) for s in (out, err)))

    return call


def _written(stream: io.TextIOWrapper) -> str:
    stream.flush()
    stream.seek(0)
    return stream.read()


def absent(what: str) -> NoReturn:
    """Skip at a desk; in CI, where everything is installed, fail."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is not installed, and this must not be skipped in CI")
    pytest.skip(f"{what} is not installed")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A headless Chromium, one for each worker."""
    if CHROMIUM is None:
        absent("Chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        absent("playwright")
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield found
        found.close()


def packs_of(readings: Mapping[str, Reading], factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pack of each reading in a folder of its own, to be opened in a browser."""
    folders = {}
    for name, reading in readings.items():
        folders[name] = factory.mktemp(name)
        for file, text in make_pack(Production(reading)).files.items():
            (folders[name] / file).parent.mkdir(exist_ok=True)
            (folders[name] / file).write_text(text, encoding="utf-8", newline="")
    return folders


def wait_until(page: Any, expression: str, seconds: float = 300) -> None:
    """Ask the page until it is so; the bound is for a page that never will be, not for a slow machine.
    (Playwright's own waiting evaluates text in the page, which the pages' policy forbids.)"""
    until = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < until, f"never so: {expression}"
        page.wait_for_timeout(20)


@pytest.fixture(scope="session")
def ffmpeg() -> str:
    """The ffmpeg that scriptkit itself finds: on PATH, else that of imageio-ffmpeg, which comes with the extra `test`."""
    try:
        return ffmpeg_path()
    except CannotDo:
        absent("ffmpeg")


@pytest.fixture(scope="session")
def drawing_ffmpeg(ffmpeg: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    """An ffmpeg that draws captions: it has the filter (libass), and the machine has a font for it."""
    folder = tmp_path_factory.mktemp("drawn")
    (folder / "one.srt").write_text("1\n00:00:00,000 --> 00:00:09,000\nLEEK\n", encoding="utf-8")
    film = ["-f", "lavfi", "-i", "color=c=black:s=320x180:r=25:d=1", "-vf", "subtitles=one.srt", "-frames:v", "1"]
    done = subprocess.run(
        [ffmpeg, "-loglevel", "error", *film, "-pix_fmt", "gray", "-f", "rawvideo", "-"],
        cwd=folder, capture_output=True, check=False,
    )  # fmt: skip
    if done.returncode:
        absent("an ffmpeg with the subtitles filter")
    if max(done.stdout) < 100:
        absent("a font that ffmpeg can draw with")
    return ffmpeg


_CACHE = "XDG_CACHE_HOME"


def pytest_configure(config: pytest.Config) -> None:
    """No test writes to the home of who runs it: what is cached goes to a folder of this run, which its workers share."""
    if not hasattr(config, "workerinput"):
        os.environ[_CACHE] = tempfile.mkdtemp(prefix="scriptkit-tests-")
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # a started program need not compile the whole house each time
        config.add_cleanup(lambda: shutil.rmtree(os.environ[_CACHE], ignore_errors=True))


def slow_tests() -> frozenset[str]:
    """What tests/slow.txt lists, files or tests of them: each takes a second or more, and CI runs them apart from the ordinary suite."""
    lines = (Path(__file__).parent / "slow.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(line for line in lines if line and not line.startswith("#"))


_SLOW = slow_tests()


def pytest_itemcollected(item: pytest.Item) -> None:
    """What drives a browser; and what is listed: by its file, its name, or its name and what it is given."""
    name = item.nodeid.partition("[")[0]
    drives = "browser" in getattr(item, "fixturenames", ())
    if item.get_closest_marker("long") is not None:
        return  # hours, not seconds
    if drives or not _SLOW.isdisjoint({item.nodeid, name, name.partition("::")[0]}):
        item.add_marker("slow")


_MOST_EXAMPLES = 20
"""Of a property, in the ordinary suite, which is run before each change goes on."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """How many examples property tests try: in the ordinary suite a few dozen at the most, under the profile of mutation testing,
    where every test runs hundreds of times, ten, and under that of the long run ten times what they ask for, and no other tests."""
    profile = config.getoption("--hypothesis-profile", None)
    for item in items:
        test = getattr(item, "obj", None)
        if (own := getattr(test, "_hypothesis_internal_use_settings", None)) is not None:
            most = {"mutants": 10, "explore": own.max_examples * 10}.get(profile or "", _MOST_EXAMPLES)
            many = most if profile == "explore" else min(own.max_examples, most)
            test._hypothesis_internal_use_settings = settings(own, max_examples=many)
    if profile == "explore":
        others = [item for item in items if not getattr(getattr(item, "obj", None), "is_hypothesis_test", False)]
        config.hook.pytest_deselected(items=others)
        items[:] = [item for item in items if item not in others]
