"""Phrases that were struck out because nobody says them, and names of makers and services, stay out of everything a person reads."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from neutral_names import named

from scriptkit.cli import PAGES
from scriptkit.pack import make_pack
from scriptkit.production import read

Run = Callable[..., subprocess.CompletedProcess[str]]

# struck out: what is written instead
STRUCK_OUT = {
    "nothing to see to": "no problems",
    "is no verdict": "is not a verdict",
    "is no time code": "is not time code",
    "is no moment of the cut": "is not a time in the cut",
    "to see to": "needs attention",
    "must still see to": "what still needs your attention",
    "counted in nothing": "not counted (to taste)",
    "said otherwise than": "spoken figures that differ from the recipe",
    "still open before what": "not yet covered before a one-chance step",
    "say it anew": "record this line again",
    "type them anew": "type them again",
    "number the second one anew": "give the second one another number",
    "said of planned": "spoken / planned",
    "ends at, left": "ends / remaining",
    "not said: static": "static unless stated",
    "no order is shorter": "the shortest possible",
    "minutes to the serving": "ready in 72 min",
    "has no room for it": "has no time left for it",
    "is called so": "no match",
    "told and left out": "skipped with a warning",
    "they leave with": "exit codes",
    "contradict one another are named": "conflicting limits are named",
    "with what would do": "and the nearest value that works",
    "what only you know": "nothing is invented",
    "g across tables": "between 7.2 and 12.3 g, depending on the food table",
    "its spread across tables": "the range between food tables",
    "% too much": "8% more than the recipe; about twice the recipe's amount",
    "% too little": "8% less than the recipe",
    "100 g of it": "per 100 g",
    "device keeps nothing": "this browser cannot save",
    "a device that keeps": "if the browser cannot save, the page warns you",
    "what was not filmed as it went": "whatever was not filmed going in is lost",
    "on the path of this terminal": "activate the environment",
    "what stands under the video": "text to paste under the video",
    "the refuse share comes off": "trimmings are deducted",
    "never a guess.": "nothing is guessed",
    "which does not say that": "it may still be on screen",
    "is as there": "inherited from it",
    "spoons and cups as they come": "rounded to what you can measure",
    "completes and explains": "autocomplete and help",
    "complete and explain": "autocomplete and help",
    "risen while": "moved up while a lower third is on screen",
    "made where there is none": "created if missing",
    "that it was made at": "original frame rate",
    "by so many seconds": "shift in seconds",
    "as old editors want them": "for older editors",
    "as some players want": "for players that need one",
    "the ledger of ingredients": "unused and unlisted ingredients",
    "the roll is thrown away": "take discarded",
    "is jumped": "to skip a wait of 18 min",
    "the pantry weighs it otherwise": "the pantry has no weight for",
    "nothing is said for": "22 s without narration",
    "(nothing is said)": "(no narration)",
    "go with it inside": "fit these limits",
    "goes with it inside": "fits these limits",
    "a room imports only rooms": "a package imports only packages",
    "something a person must": "something needs attention",
    "what a person must still": "what still needs your attention",
    "anew": "again",
    "overhead, oh": "overhead",
    "one that cannot be read is told": "unreadable files are skipped with a warning",
    "where all is well": "0 no problems",
}  # fmt: skip
_ANY = re.compile("|".join(r"(?<![a-z])" + r"\s+".join(map(re.escape, phrase.split())) for phrase in STRUCK_OUT))


def struck_out(text: str) -> list[str]:
    """The struck-out phrases in the text, also across line ends and in capitals."""
    return [" ".join(found.split()) for found in _ANY.findall(text.casefold())]


def wrong_words(text: str) -> list[str]:
    """Struck-out phrases, and names that nothing prints."""
    return [*struck_out(text), *named(text)]


def test_phrases_are_found_across_lines_and_in_capitals() -> None:
    assert struck_out("Here is Nothing\n    to see to.") == ["nothing to see to"]
    assert struck_out("a figure; 7.2–12.3 g across\ttables") == ["g across tables"]
    assert struck_out("No problems. Needs attention.") == []
    assert {p for phrase in STRUCK_OUT for p in struck_out(f"x {phrase} y")} <= set(STRUCK_OUT)
    assert all(struck_out(phrase) for phrase in STRUCK_OUT)
    assert [p for p, instead in STRUCK_OUT.items() if struck_out(instead)] == []


DOCS = [f"scriptkit/docs/{name}.md" for name in ("before", "during", "after", "reference")]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", *DOCS])
def test_the_documents(name: str) -> None:
    assert struck_out((ROOT / name).read_text(encoding="utf-8")) == []


def _strings(path: Path) -> Iterator[str]:
    """Every string of a module, docstrings too, with ``…`` where a value is filled in."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(v.value) if isinstance(v, ast.Constant) else "…" for v in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def test_the_strings_of_the_program() -> None:
    modules = sorted((ROOT / "scriptkit").rglob("*.py"))
    found = [
        (path.relative_to(ROOT).as_posix(), phrase)
        for path in modules
        for text in _strings(path)
        for phrase in struck_out(text)
    ]
    assert found == []
    assert len(modules) > 100


@pytest.mark.parametrize(("folder", "least"), [("templates", 15), ("examples", 5), ("scriptkit", 10)])
def test_templates_examples_and_the_tables_of_the_program(folder: str, least: int) -> None:
    kinds = (".html", ".js", ".css", ".svg", ".txt", ".yaml")
    files = [p for p in sorted((ROOT / folder).rglob("*")) if p.suffix in kinds]
    assert [(p.name, phrase) for p in files for phrase in struck_out(p.read_text(encoding="utf-8"))] == []
    assert len(files) >= least


@pytest.mark.parametrize("name", ["harbour-supper", "quay-dinner"])
def test_a_pack(name: str) -> None:
    files = make_pack(read(str(EXAMPLES / f"{name}.yaml"))).files
    assert [
        (file, phrase) for file, text in files.items() for phrase in wrong_words(re.sub(r"base64,[^)\"]+", "", text))
    ] == []


@pytest.mark.parametrize("command", ["", *PAGES])
def test_the_help_of_each_command(run: Run, command: str) -> None:
    done = run(*command.split(), "--help")
    assert done.returncode == 0
    assert "Usage" in done.stdout
    assert wrong_words(done.stdout) == []


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", str(EXAMPLES / "faulty-chowder.yaml")],
        ["check", str(EXAMPLES / "fennel-bisque.yaml")],
        ["macros", str(EXAMPLES / "harbour-supper.yaml")],
        [
            "portion",
            str(EXAMPLES / "harbour-supper.yaml"),
            "--at-most",
            "energy_kcal=300",
            "--at-least",
            "protein_g=60",
        ],
        ["portion", str(EXAMPLES / "harbour-supper.yaml"), "--at-most", "net_carbs_g=10"],
        ["schedule", str(EXAMPLES / "harbour-supper.yaml")],
        ["food", "xylophone"],
        ["proof", str(EXAMPLES / "harbour-supper-cut.srt")],
        ["coverage", str(EXAMPLES / "harbour-supper.yaml"), "--transcript", str(EXAMPLES / "harbour-supper-cut.srt")],
        ["coverage", str(EXAMPLES / "harbour-supper.yaml"), "--log", str(EXAMPLES / "harbour-supper-takes.csv")],
        ["pair", str(EXAMPLES / "fennel-bisque.yaml"), "--with", str(EXAMPLES), "--at-most", "net_carbs_g=15"],
    ],
    ids=lambda a: " ".join(Path(x).name for x in a),
)
def test_what_commands_print(run: Run, arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.stdout or done.stderr
    assert wrong_words(done.stdout + done.stderr) == []
