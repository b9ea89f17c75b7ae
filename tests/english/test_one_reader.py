"""A step is understood in one place: nobody else reads its words and keys, save to print them."""

from __future__ import annotations

import ast
import functools
import re
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "scriptkit"
KEYS = frozenset({"do", "heat", "vessel", "tools", "method"})
"""What a cook wrote of the step; `say:` belongs to the script and to captions."""

PRINTED = {
    "captions/composing/sounds.py": {"method"},
    "cli/preview.py": {"do"},
    "confirming.py": {"do"},
    "cut/step_names.py": {"do"},
    "drafting/draft.py": {"do", "vessel", "heat"},
    "drafting/steps.py": {"heat"},
    "papers/buying.py": {"do"},
    "papers/description.py": {"method"},
    "papers/mise_en_place.py": {"do", "tools"},
    "papers/schedule.py": {"vessel"},
    "papers/shoot_list.py": {"heat"},
    "papers/step_readings.py": {"do"},
    "papers/timeline.py": {"do", "vessel"},
    "publish/chapter_names.py": {"do"},
    "shoot/shots/leading_act.py": {"do"},
    "publish/method_words.py": {"do"},
    "publish/step_deeds.py": {"do"},
    "recipe/doubt.py": {"do"},
    "recipe/unconfirmed.py": {"do"},
    "recipe/additions.py": {"do", "vessel", "heat", "tools", "method"},
    "safety/promises.py": {"do"},
    "shoot/shots/shots.py": {"do"},
}
"""Who may: they print the sentence or a name (of a task, a tray, a draft, a yield or a row of sounds too), ask whether it is right (confirming.py and the doubts), compare it with what a person calls the step
(step_names.py), hold published texts against their promises (promises.py), or build the reading from the file (additions.py)."""
_A_READING = frozenset({"reading", "act", "a"})


@functools.cache
def asked(path: Path) -> tuple[tuple[str, int], ...]:
    return tuple(_asked(path))


def tree_with(path: Path, word: re.Pattern[str]) -> ast.Module:
    """The file's code; nothing where the word does not stand in it, for most files need not be parsed."""
    text = path.read_text(encoding="utf-8")
    return ast.parse(text if word.search(text) else "")


_A_KEY = re.compile(rf"\.\s*(?:{'|'.join(sorted(KEYS))})\b")


def _asked(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree_with(path, _A_KEY)):
        if isinstance(node, ast.Attribute) and node.attr in KEYS:
            owner = node.value
            name = owner.attr if isinstance(owner, ast.Attribute) else owner.id if isinstance(owner, ast.Name) else ""
            if name not in _A_READING:
                yield node.attr, node.lineno


def rooms() -> list[tuple[str, Path]]:
    found = [(str(p.relative_to(PACKAGE)), p) for p in sorted(PACKAGE.rglob("*.py"))]
    return [(name, path) for name, path in found if not name.startswith("english/")]


def test_nobody_else_reads_what_a_step_says() -> None:
    more = {
        f"{name}:{line} .{key}"
        for name, path in rooms()
        for key, line in asked(path)
        if key not in PRINTED.get(name, set())
    }
    assert not more, "ask step.reading instead"


def test_the_list_of_those_who_print_is_no_longer_than_it_must_be() -> None:
    used = {name: {key for key, _ in asked(path)} for name, path in rooms()}
    assert {name: keys - used.get(name, set()) for name, keys in PRINTED.items() if keys - used.get(name, set())} == {}


_WORDS = frozenset({"sentence", "said", "said_with_gear", "gear", "stems"})
_PATTERN_CALLS = frozenset({"search", "match", "fullmatch", "finditer", "findall", "sub", "split", "fits"})
_A_WORD = re.compile(rf"\.\s*(?:{'|'.join(sorted(_WORDS))})\b")
OF_A_TABLE = {"safety/conditions.py": {"said", "gear"}, "captions/composing/sounds.py": {"said_with_gear"}}
"""Patterns that stand in a table: in a rule (`words:`, `gear:`), in a row of sounds."""


def patterns_on_words(path: Path) -> set[str]:
    """Which words of a reading the file holds a regular expression against."""
    calls = (node for node in ast.walk(tree_with(path, _A_WORD)) if isinstance(node, ast.Call))
    asks = (c for c in calls if getattr(c.func, "attr", getattr(c.func, "id", "")) in _PATTERN_CALLS)
    return {a.attr for c in asks for a in c.args if isinstance(a, ast.Attribute) and a.attr in _WORDS}


def test_no_pattern_on_the_words_of_a_step_stands_in_another_room() -> None:
    found = {name: words for name, path in rooms() if (words := patterns_on_words(path))}
    assert found == OF_A_TABLE, "put the pattern in english/ and ask for what it finds"


def test_a_pattern_of_its_own_is_found(tmp_path: Path) -> None:
    file = tmp_path / "own.py"
    file.write_text("def hot(step):\n    return HOT.search(step.reading.said)\n")
    assert patterns_on_words(file) == {"said"}


def test_a_reader_of_its_own_is_found(tmp_path: Path) -> None:
    file = tmp_path / "own.py"
    file.write_text("def hot(step):\n    return 'boil' in step.do or step.reading.heat.on\n")
    assert list(asked(file)) == [("do", 2)]
