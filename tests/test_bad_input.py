"""Bad input through the command: one clear message, the right exit code, no traceback, nothing written.

`check` runs as the installed command on every file; `macros` and `pack` run the same `main` in this process, which starts
faster, and as the installed command on a few files.
"""

from __future__ import annotations

import random
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from messages import MESSAGE, kinds

from scriptkit import cli
from scriptkit.checks import check
from scriptkit.pack import make_pack
from scriptkit.preproduction import Preproduction
from scriptkit.problems import CannotDo, Severity, format_problem
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source

Run = Callable[..., "subprocess.CompletedProcess[str]"]

HEAD = "dish: D\nservings: 2\n"
FOODS = 'ingredients:\n  butter: {amount: 30 g, food: "butter, unsalted"}\n'
STEPS = "steps:\n  - {stage: cook, do: Melt it., add: {butter: all}, screen: 9 s}\n"
LABEL = HEAD + "ingredients: {rind: 30 g}\nfoods:\n  rind: {basis: us, %s}\n"

# Not a file that can be read at all: exit 2 from every command. (name, bytes or None where nothing is there, code)
UNREADABLE: list[tuple[str, bytes | None, str]] = [
    ("missing.yaml", None, "no-such-file"),
    ("junk.yaml", random.Random(1).randbytes(10_000_000), "too-large"),
    ("small-junk.yaml", bytes(range(256)) * 100, "not-utf-8"),
    ("latin.yaml", b"dish: caf\xe9\n", "not-utf-8"),
    ("utf-16.yaml", HEAD.encode("utf-16"), "not-utf-8"),
    ("nul.yaml", b"dish: a\0b\n", "yaml"),
    ("not-yaml.yaml", b"dish: [\nservings: }\n", "yaml"),
    ("tabs.yaml", b"dish: D\ningredients:\n\tbutter: 30 g\n", "yaml"),
    ("brackets.yaml", b"[" * 100_000, "yaml"),
    ("circle.yaml", b"dish: &x [*x]\n", "yaml"),
    (
        "bomb.yaml",
        b"a0: &a0 [x,x,x,x,x,x,x,x,x]\n"
        + b"".join(b"a%d: &a%d [%s]\n" % (n, n, b",".join([b"*a%d" % (n - 1)] * 9)) for n in range(1, 12)),
        "too-large",
    ),
    ("empty.yaml", b"", "empty-file"),
    ("comments.yaml", b"# only\n# this\n", "empty-file"),
    ("prose.yaml", b"Take an egg.\n", "not-a-recipe"),
    ("list.yaml", b"- dish: D\n", "not-a-recipe"),
    ("neither.yaml", b"servings: 2\n", "not-a-recipe"),
]


def test_a_folder_is_a_source_of_packs_only(run: Run) -> None:
    for command in ("macros", "schedule"):
        done = run(command, ".")
        assert (done.returncode, "error folder" in kinds(done.stderr)) == (2, True)


DISH, TALK = str(EXAMPLES / "fennel-bisque.yaml"), str(EXAMPLES / "harbour-supper-cut.srt")
ENDLESS = "/dev/zero"
READERS = [
    ("check", ENDLESS), ("macros", ENDLESS), ("pack", ENDLESS, "-o", "out"), ("proof", ENDLESS), ("proof", TALK, "--profile", "endless.yaml"),
    ("proof", TALK, "--recipe", ENDLESS), ("conform", ENDLESS, "--offset", "1", "-o", "m.srt"), ("conform", TALK, "--map", ENDLESS, "-o", "m.srt"),
    ("coverage", DISH, "--log", ENDLESS), ("coverage", DISH, "--transcript", ENDLESS), ("coverage", DISH, "--cut", ENDLESS),
    ("paper-edit", DISH, "--log", ENDLESS, "-o", "out"), ("captions", DISH, "--dialogue", ENDLESS, "-o", "o.vtt"),
    ("captions", DISH, "--cut", ENDLESS, "-o", "o.vtt"), ("publish", DISH, "--cut", ENDLESS, "-o", "out"), ("new", "--from", ENDLESS),
    ("publish", DISH, "--templates", "own", "-o", "out"), ("shoot", DISH, "--templates", "own", "-o", "out"),
]  # fmt: skip


@pytest.mark.skipif(not Path(ENDLESS).exists(), reason="no endless file here")
@pytest.mark.parametrize("arguments", READERS, ids=lambda a: " ".join(w for w in a if "/" not in w or w == ENDLESS))
def test_a_file_without_an_end_is_told_by_every_reader_and_nothing_written(
    run: Run, tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    (tmp_path / "own").mkdir()
    for name in ("endless.yaml", "own/description.txt", "own/stage.js"):
        (tmp_path / name).symlink_to(ENDLESS)
    before = sorted(p.name for p in tmp_path.iterdir())
    done = run(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert [m["code"] for m in messages(done)] in (["too-large"], ["template"])
    assert sorted(p.name for p in tmp_path.iterdir()) == before


# A file that can be read, with what is wrong in it: exit 1 from check, 2 from the others. (name, text, codes among those told)
READABLE: list[tuple[str, str, set[str]]] = [
    ("duplicate-keys", HEAD + FOODS + STEPS + "servings: 3\n", {"duplicate-key"}),
    ("dish-alone", "dish: X\n", {"missing-key"}),
    ("no-ingredients", HEAD + "ingredients: {}\n", {"wrong-value"}),
    ("ingredients-as-list", HEAD + "ingredients: [butter]\n" + STEPS, {"wrong-value"}),
    ("steps-7", HEAD + FOODS + "steps: 7\n", {"wrong-value"}),
    ("dish-as-list", "dish: [a]\nservings: 2\n" + FOODS + STEPS, {"wrong-value"}),
    ("servings-as-group", "dish: D\nservings: {a: b}\n" + FOODS + STEPS, {"wrong-value"}),
    ("negative", HEAD + FOODS.replace("30 g", "-30 g") + STEPS, {"amount"}),
    ("negative-servings", "dish: D\nservings: -2\n" + FOODS + STEPS, {"wrong-value"}),
    ("no-servings", "dish: D\nservings: 0\n" + FOODS + STEPS, {"wrong-value"}),
    ("next-to-no-servings", "dish: D\nservings: 1e-320\n" + FOODS + STEPS, {"wrong-value"}),
    ("tonne-of-salt", HEAD + "ingredients: {salt: 1 tonne}\n", {"absurd-amount"}),
    ("thousand-kilograms-of-salt", HEAD + "ingredients: {salt: 1000 kg}\n", {"absurd-amount"}),
    ("unknown-food", HEAD + "ingredients: {unobtainium: 1 g}\n", {"unknown-food"}),
    ("nan-amount", HEAD + FOODS.replace("30 g", "nan g") + STEPS, {"amount"}),
    ("inf-amount", HEAD + FOODS.replace("30 g", ".inf") + STEPS, {"amount"}),
    ("nan-servings", "dish: D\nservings: nan\n" + FOODS + STEPS, {"wrong-value"}),
    ("dot-nan-servings", "dish: D\nservings: .nan\n" + FOODS + STEPS, {"wrong-value"}),
    ("inf-servings", "dish: D\nservings: inf\n" + FOODS + STEPS, {"wrong-value"}),
    ("nan-label", LABEL % "fat_g: nan", {"wrong-value"}),
    ("inf-label", LABEL % "fat_g: -Infinity", {"wrong-value"}),
    ("negative-label", LABEL % "fat_g: -1", {"wrong-value"}),
    ("nan-per", LABEL % "per: nan g", {"amount"}),
    ("nan-refuse", LABEL % "refuse_percent: nan", {"wrong-value"}),
    ("nan-duration", HEAD + FOODS + STEPS.replace("9 s", "nan s"), {"duration"}),
    ("nan-temperature", HEAD + FOODS + STEPS.replace("screen", "core: nan °C, screen"), {"temperature"}),
    ("huge-amount", HEAD + FOODS.replace("30 g", "9" * 30 + " g") + STEPS, {"amount"}),
    ("huger-amount", HEAD + FOODS.replace("30 g", "9" * 110 + " g") + STEPS, {"amount"}),
    ("huge-servings", f"dish: D\nservings: {'9' * 4000}\n" + FOODS + STEPS, {"wrong-value"}),
    ("huge-exponent", "dish: D\nservings: 1e999999999\n" + FOODS + STEPS, {"wrong-value"}),
    ("huge-label", LABEL % ("fat_g: " + "9" * 5000), {"wrong-value"}),
    ("huge-duration", HEAD + FOODS + STEPS.replace("9 s", "99999999 days"), {"duration"}),
    ("long-dish", f"dish: {'x' * 5000}\nservings: 2\n" + FOODS + STEPS, {"wrong-value"}),
    ("long-amount", HEAD + FOODS.replace("30 g", "x" * 5000) + STEPS, {"wrong-value"}),
    ("long-food", HEAD + FOODS.replace("unsalted", "x" * 5000) + STEPS, {"wrong-value"}),
    ("long-ingredient", HEAD + FOODS + "  ? " + "x" * 5000 + "\n  : 30 g\n" + STEPS, {"wrong-value"}),
    ("long-step", HEAD + FOODS + STEPS.replace("Melt it.", "x" * 5000), {"wrong-value"}),
    ("escape-sequence", HEAD + FOODS + STEPS.replace("stage: cook", 'stage: "\\e[31m\\e]0;x\\a"'), {"wrong-value"}),
    ("many-unknown-keys", HEAD + FOODS + STEPS + "".join(f"key{n}: 1\n" for n in range(1000)), {"unknown-key"}),
]


def messages(done: subprocess.CompletedProcess[str]) -> list[re.Match[str]]:
    """What was told; nothing else may stand at the start of a line but source, hint and the summary of check."""
    assert "Traceback" not in done.stderr
    assert all(c.isprintable() or c == "\n" for c in done.stderr)
    found = list(MESSAGE.finditer(done.stderr))
    assert found, done.stderr
    assert max(len(m.group()) for m in found) < 500
    return found


@pytest.fixture
def main(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """The command's own `main`, in the test's folder, without the start of a process."""

    def call(*arguments: str) -> subprocess.CompletedProcess[str]:
        monkeypatch.chdir(tmp_path)
        monkeypatch.setattr(sys, "argv", ["scriptkit", *arguments])
        with pytest.raises(SystemExit) as left:
            cli.main()
        out, err = capsys.readouterr()
        return subprocess.CompletedProcess(arguments, int(left.value.code or 0), out, err)

    return call


OTHERS = (["macros"], ["pack", "-o", "out", "--json"])


@pytest.mark.parametrize(("name", "content", "code"), UNREADABLE, ids=[name for name, _, _ in UNREADABLE])
def test_a_file_that_cannot_be_read(
    run: Run, main: Run, tmp_path: Path, name: str, content: bytes | None, code: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    before = sorted(tmp_path.iterdir())
    for done in (run("check", name), *(main(command, name, *options) for command, *options in OTHERS)):
        assert (done.returncode, done.stdout) == (2, "")
        assert [(m["file"], m["code"]) for m in messages(done)] == [(name, code)]
        assert "\n  fix: " in done.stderr
        assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(("name", "text", "codes"), READABLE, ids=[name for name, _, _ in READABLE])
def test_a_file_with_something_wrong_in_it(
    run: Run, main: Run, tmp_path: Path, name: str, text: str, codes: set[str]
) -> None:
    file = f"{name}.yaml"
    (tmp_path / file).write_text(text, encoding="utf-8")
    checked = run("check", file)
    assert checked.returncode == 1
    for done in (checked, *(main(command, file, *options) for command, *options in OTHERS)):
        assert done.stdout == ""
        assert done is checked or done.returncode == 2
        found = messages(done)
        assert {m["file"] for m in found} == {file}
        errors = {m["code"] for m in found if m["severity"] == "error"}
        assert errors == codes, "one fault is told as one kind of error"
    assert [p.name for p in tmp_path.iterdir()] == [file]


@pytest.mark.parametrize("name", ["missing.yaml", "bomb.yaml", "junk.yaml"])
def test_the_installed_command_makes_no_pack_of_it(run: Run, tmp_path: Path, name: str) -> None:
    content = next(c for n, c, _ in UNREADABLE if n == name)
    if content is not None:
        (tmp_path / name).write_bytes(content)
    for arguments in (("macros", name), ("pack", name, "-o", "out")):
        done = run(*arguments)
        assert (done.returncode, done.stdout) == (2, "")
        assert messages(done)
    assert not (tmp_path / "out").exists()


def test_an_unreadable_file_as_json_too(run: Run) -> None:
    done = run("check", "missing.yaml", "--json")
    assert done.returncode == 2
    assert '"code": "no-such-file"' in done.stdout


@pytest.mark.parametrize("arguments", [("check",), ("pack", "x.yaml"), ("nonsense",), ("check", "a", "--no")])
def test_wrong_usage(run: Run, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


# --- any text at all --------------------------------------------------------------------------------------------------

TEXTS = {p.name: p.read_text(encoding="utf-8") for p in sorted(EXAMPLES.glob("*.yaml"))}
SPICES = [
    "", ":", ": ", "- ", "[", "]", "{", "}", "#", '"', "'", "&a ", "*a", "!x ", "\t", "\n", "  ", "0", "-1", "1/0", "½", "nan", ".inf",
    "1e999", "9" * 40, "all", "rest", "to taste", "2-3", "null", "~", "é", "🐟", "\u2028", "\x00", "dish", "meal", "kg", "l", "s", "%",
    "1 tonne", "amount", "add", "steps", "---", "<<", "?", "|", ">",
]  # fmt: skip


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """An example with some of its lines and characters dropped, doubled, moved or replaced."""
    lines = TEXTS[draw(st.sampled_from(sorted(TEXTS)))].splitlines(keepends=True)
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(lines) - 1))
        line = lines[at]
        start = draw(st.integers(0, len(line)))
        end = min(len(line), start + draw(st.integers(0, 8)))
        change = draw(st.integers(0, 5))
        if change == 0 and len(lines) > 1:
            del lines[at]
        elif change == 1:
            lines.insert(draw(st.integers(0, len(lines))), line)
        elif change == 2:
            lines[at] = line[:start] + line[end:]
        elif change == 3:
            lines[at] = line[:start] + line[start:end] * 2 + line[end:]
        elif change == 4:
            lines[at] = line[: len(line) - len(line.lstrip())] + draw(st.sampled_from(lines)).lstrip()
        else:
            lines[at] = line[:start] + draw(st.sampled_from(SPICES)) + line[end:]
    return "".join(lines)


@given(mutated())
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_file_is_a_pack_or_told(tmp_path: Path, text: str) -> None:
    for name, original in TEXTS.items():  # a mutated meal finds its dishes
        if not (tmp_path / name).exists():
            (tmp_path / name).write_text(original, encoding="utf-8")
    path = tmp_path / "mutated.yaml"
    path.write_text(text, encoding="utf-8", newline="")
    try:
        reading = read_source(str(path))
    except CannotDo as wrong:
        told = list(wrong.problems)
    else:
        told = [*reading.problems, *(check(Preproduction(reading.source)) if reading.source else [])]
        try:
            pack = make_pack(Production(reading))
        except CannotDo as wrong:
            assert any(p.severity is Severity.ERROR for p in wrong.problems)
        else:
            assert all(pack.files.values())
            assert not any(p.severity is Severity.ERROR for p in reading.problems)
    for problem in told:
        assert MESSAGE.match(format_problem(problem).splitlines()[0])
