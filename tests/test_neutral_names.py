"""No broadcaster, streaming service, platform, camera, editing program or maker of kitchen tools is named in what the program prints, in an
example, or on a page. Where a limit comes from stands in the data, and is not printed."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from test_plain_english import _strings

from scriptkit.captions.profiles import profiles
from scriptkit.cli import PAGES
from scriptkit.pack import make_pack
from scriptkit.production import read

Run = Callable[..., subprocess.CompletedProcess[str]]

TOOLS = (
    "Microplane", "Thermomix", "KitchenAid", "Pyrex", "Tupperware", "Teflon", "Vitamix", "Nutribullet", "Crock-Pot", "Instant Pot", "Le Creuset",
    "Magimix", "Ninja", "Tefal", "Bamix",
)  # fmt: skip
"""Makers and brands of what stands in a kitchen."""
NAMES = (
    # who broadcasts, streams or hosts
    "BBC", "ITV", "Channel 4", "Netflix", "Disney", "Hulu", "YouTube", "Vimeo", "TikTok", "Instagram", "Facebook", "WhatsApp", "Twitch",
    "Pinterest", "Snapchat", "DCMP", "EBU", "Ofcom", "FCC",
    # what films and cuts
    "GoPro", "Canon", "Nikon", "Sony", "Panasonic", "Lumix", "Fujifilm", "Blackmagic", "DaVinci", "Premiere", "Final Cut", "Avid", "CapCut",
    "iMovie", "iPhone", "iPad", "Android", "Chrome", "Safari", "Firefox",
    *TOOLS,
)  # fmt: skip
_ANY = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, NAMES))})s?(?![\w-])", re.IGNORECASE)
_AS_A_COMMON_WORD = frozenset({"canon", "chrome", "android", "avid", "premiere", "safari", "ninja"})
"""Also ordinary words: only with a capital they are a name."""


def named(text: str) -> list[str]:
    """The names that stand in a text."""
    return [found for found in _ANY.findall(text) if not (found.islower() and found in _AS_A_COMMON_WORD)]


def test_names_are_found() -> None:
    assert named("as on youtube, with a Microplane; an avid cook") == ["youtube", "Microplane"]
    assert named("the itvx, ebullient, canonical") == []


@pytest.mark.parametrize("name", ["harbour-supper", "quay-dinner", "mussel-chowder"])
def test_the_papers_of_every_example(name: str) -> None:
    files = make_pack(read(str(EXAMPLES / f"{name}.yaml")), to_print=True).files
    assert {file: found for file, text in files.items() if (found := named(re.sub(r"base64,[^)\"]+", "", text)))} == {}
    assert len(files) > 10


@pytest.mark.parametrize("command", ["", *PAGES])
def test_the_help_of_every_command(run: Run, command: str) -> None:
    assert named(run(*command.split(), "--help").stdout) == []


@pytest.mark.parametrize(
    "arguments",
    [
        *[["proof", str(EXAMPLES / "harbour-supper-cut.srt"), "--profile", profile] for profile in profiles()],
        *[
            ["captions", str(EXAMPLES / "harbour-supper.yaml"), "--profile", profile, "-o", "o.vtt"]
            for profile in profiles()
        ],
        ["captions", str(EXAMPLES / "harbour-supper.yaml"), "--profile", "none", "-o", "o.vtt"],
        ["coverage", str(EXAMPLES / "harbour-supper.yaml"), "--log", str(EXAMPLES / "harbour-supper-rough-takes.csv")],
        ["check", str(EXAMPLES / "faulty-chowder.yaml")],
    ],
    ids=lambda a: " ".join(Path(x).name for x in a),
)
def test_what_commands_print(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    done = run(*arguments)
    written = [p.read_text(encoding="utf-8") for p in tmp_path.glob("o.*")]
    assert done.stdout + done.stderr
    assert named("\n".join([done.stdout, done.stderr, *written])) == []


def test_examples_templates_and_the_readme() -> None:
    files = [
        p
        for folder in (EXAMPLES, ROOT / "templates")
        for p in sorted(folder.rglob("*"))
        if p.suffix not in (".png", ".pyc")
    ]
    files = [p for p in files if p.is_file()] + [ROOT / "README.md", *(ROOT / "scriptkit" / "docs").iterdir()]
    assert {p.name: found for p in files if (found := named(p.read_text(encoding="utf-8")))} == {}
    assert len(files) > 20


def test_messages_of_the_program() -> None:
    """Strings with a name in them are docstrings, which may cite a source."""
    modules = [ROOT / "scriptkit" / "cli", ROOT / "scriptkit" / "papers", ROOT / "scriptkit" / "captions" / "limits.py"]
    paths = [p for one in modules for p in ([one] if one.is_file() else sorted(one.rglob("*.py")))]
    assert {p.name: found for p in paths if (found := [n for text in _strings(p) for n in named(text)])} == {}
    assert len(paths) > 40


def test_the_tests_call_a_fine_grater_a_fine_grater() -> None:
    """Limits of captions are tested against the guides that publish them, which are cited; no tool needs its maker."""
    tools = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, TOOLS))})s?(?![\w-])", re.IGNORECASE)
    files = [
        p for p in (ROOT / "tests").rglob("*") if p.suffix in (".py", ".csv", ".txt", ".md") and p != Path(__file__)
    ]
    assert {
        p.name: found for p in files if (found := tools.findall(p.read_text(encoding="utf-8", errors="replace")))
    } == {}
    assert len(files) > 200
